//! The built-in demonstration, solved and drawn, to be looked at.

use std::path::Path;

use report::plot::{self, Style, Theme};
use report::{Units, full_text, maps_csv, text};

const SIZES: [(u32, u32); 3] = [(900, 560), (1400, 900), (900, 1100)];

/// Writes text and pictures of the demonstration where `REPORT_LOOK` says.
#[test]
#[ignore = "solves a whole case and writes files, for people to look at"]
fn write_the_demonstration() {
    let Ok(folder) = std::env::var("REPORT_LOOK") else { return };
    let folder = Path::new(&folder);
    let scenario = scenario::read(scenario::DEMONSTRATION, "demonstration.toml", &[]).unwrap();
    let outcome = study::check(&scenario.case, &scenario.question, &|_| true).unwrap();
    std::fs::write(folder.join("demonstration.txt"), text(&outcome, Units::Shop)).unwrap();
    std::fs::write(folder.join("demonstration_full.txt"), full_text(&outcome, Units::Shop)).unwrap();
    let pictures = study::pictures(&scenario.case, &scenario.question, &outcome).unwrap();
    std::fs::write(folder.join("maps.csv"), maps_csv(&pictures)).unwrap();
    for (index, picture) in pictures.iter().enumerate() {
        for theme in [Theme::Light, Theme::Dark] {
            for ((width, height), units) in SIZES.into_iter().zip([Units::Shop, Units::Both, Units::Metric]) {
                let style = Style { width, height, theme, units };
                let name = format!("map{index}-{theme:?}-{width}x{height}");
                let drawing = plot::picture(picture, &outcome, &style).unwrap();
                std::fs::write(folder.join(format!("{name}.svg")), drawing).unwrap();
                let drawing = plot::picture_png(picture, &outcome, &style).unwrap();
                std::fs::write(folder.join(format!("{name}.png")), drawing).unwrap();
            }
        }
    }
    let curves = [("big die", &outcome), ("the same again", &outcome)];
    let drawing = plot::comparison_png(&curves, "ring_coldest", &Style::default()).unwrap();
    std::fs::write(folder.join("comparison.png"), drawing).unwrap();
}
