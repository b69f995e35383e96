//! SVG and PNG: nothing clipped, nothing on top of another, nothing planted.

use report::Units;
use report::plot::{Style, Theme, cooling_curve, cooling_curve_png, ledger, ledger_png};

use super::made_up;

const SIZES: [(u32, u32); 3] = [(900, 560), (1400, 800), (640, 480)];

pub fn styles() -> Vec<Style> {
    let mut styles = Vec::new();
    for (width, height) in SIZES {
        for units in [Units::Metric, Units::Shop, Units::Both] {
            styles.push(Style { width, height, theme: Theme::Light, units });
        }
    }
    styles
}

/// A text of an SVG with the box it takes, in units of the view box.
#[derive(Debug)]
pub struct Label {
    pub text: String,
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

/// The mean letter of the font is narrower than 0.6 of its size; texts of mostly wide letters are not used here.
const LETTER: f64 = 0.6;

pub fn labels(svg: &roxmltree::Document) -> Vec<Label> {
    svg.descendants().filter(|node| node.has_tag_name("text")).map(label).collect()
}

fn label(node: roxmltree::Node) -> Label {
    let number = |name| node.attribute(name).unwrap().parse::<f64>().unwrap();
    let text = node.text().unwrap().trim().to_owned();
    let (x, y, size) = (number("x"), number("y"), number("font-size"));
    let width = text.chars().count() as f64 * LETTER * size;
    let left = match node.attribute("text-anchor") {
        Some("start") => x,
        Some("middle") => x - width / 2.0,
        Some("end") => x - width,
        other => panic!("anchor {other:?}"),
    };
    Label { text, left, right: left + width, top: y - size / 2.0, bottom: y + size / 2.0 }
}

pub fn view_box(svg: &roxmltree::Document) -> (f64, f64) {
    let text = svg.root_element().attribute("viewBox").unwrap();
    let numbers: Vec<f64> = text.split(' ').map(|number| number.parse().unwrap()).collect();
    (numbers[2], numbers[3])
}

#[test]
fn no_text_is_clipped_and_none_covers_another() {
    for (name, outcome) in made_up::all() {
        for style in styles() {
            let drawings = [cooling_curve(&outcome, &style).unwrap(), ledger(&outcome, &style).unwrap()];
            for drawing in &drawings {
                let document = roxmltree::Document::parse(drawing).unwrap();
                let labels = labels(&document);
                assert!(labels.len() > 3);
                assert_inside(&labels, view_box(&document), &format!("{name} {style:?}"));
                assert_apart(&labels, &format!("{name} {style:?}"));
            }
        }
    }
}

pub fn assert_inside(labels: &[Label], (width, height): (f64, f64), what: &str) {
    for label in labels {
        let inside = label.left >= 0.0 && label.right <= width && label.top >= 0.0 && label.bottom <= height;
        assert!(inside, "{what}: {label:?} leaves {width} x {height}");
    }
}

pub fn assert_apart(labels: &[Label], what: &str) {
    for (index, one) in labels.iter().enumerate() {
        for other in &labels[index + 1..] {
            let apart_across = one.right <= other.left || other.right <= one.left;
            let apart_down = one.bottom <= other.top || other.bottom <= one.top;
            assert!(apart_across || apart_down, "{what}: {one:?} covers {other:?}");
        }
    }
}

#[test]
fn an_svg_has_the_size_asked_and_holds_only_shapes_and_text() {
    let style = Style { units: Units::Shop, ..Style::default() };
    let drawing = cooling_curve(&made_up::hostile(), &style).unwrap();
    let document = roxmltree::Document::parse(&drawing).unwrap();
    let root = document.root_element();
    assert_eq!((root.attribute("width"), root.attribute("height")), (Some("900"), Some("560")));
    let known = ["svg", "rect", "polyline", "polygon", "line", "circle", "text"];
    let planted = root.descendants().filter(|node| node.is_element());
    assert_eq!(planted.filter(|node| !known.contains(&node.tag_name().name())).count(), 0);
}

#[test]
fn the_limits_and_the_falls_are_labelled_in_the_units_asked() {
    let style = Style { units: Units::Shop, ..Style::default() };
    let drawing = cooling_curve(&made_up::falls_short(), &style).unwrap();
    let document = roxmltree::Document::parse(&drawing).unwrap();
    let texts: Vec<String> = labels(&document).into_iter().map(|label| label.text).collect();
    let wanted = [
        "minimum 300 F",
        "max. interpass 500 F",
        "below 300 F 41.3 s after flame-off, with beads laid",
        "below 300 F 36.8 s after flame-off, with beads laid",
        "ring, coldest",
        "flame on",
    ];
    for text in wanted {
        assert_eq!(texts.iter().filter(|t| *t == text).count(), 1, "{text} in {texts:?}");
    }
}

#[test]
fn what_an_arc_adds_does_not_set_the_scale() {
    let texts_of = |outcome: &study::Outcome| {
        let drawing = cooling_curve(outcome, &Style::default()).unwrap();
        let document = roxmltree::Document::parse(&drawing).unwrap();
        labels(&document).into_iter().map(|label| label.text).collect::<Vec<String>>()
    };
    let mut outcome = made_up::falls_short();
    let calm = texts_of(&outcome);
    let bead = outcome.passes[0];
    let hottest = outcome.curves.get_mut("ring_hottest").unwrap();
    let under_arc = hottest.time_s.iter().position(|&time| time > bead.start_s && time < bead.end_s + 60.0).unwrap();
    hottest.temperature_c[under_arc] = 900.0;
    let spiked = texts_of(&outcome);
    assert_eq!(spiked.iter().filter(|text| *text == "arc: hotter than shown").count(), 1, "{spiked:?}");
    assert!(!calm.iter().any(|text| text.starts_with("arc:")), "{calm:?}");
    let ticks = |texts: &[String]| {
        texts.iter().filter(|text| text.len() < 6 && text.ends_with(" C")).cloned().collect::<Vec<_>>()
    };
    assert_eq!(ticks(&spiked), ticks(&calm));
}

#[test]
fn a_png_has_the_size_asked_and_the_colour_of_its_theme() {
    for (theme, corner) in [(Theme::Light, [255, 255, 255]), (Theme::Dark, [0x14, 0x17, 0x1A])] {
        let style = Style { theme, ..Style::default() };
        let bytes = cooling_curve_png(&made_up::holds(), &style).unwrap();
        let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
        let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
        let info = reader.next_frame(&mut pixels).unwrap();
        assert_eq!((info.width, info.height), (900, 560));
        assert_eq!(pixels[..3], corner);
    }
}

#[test]
fn the_same_outcome_gives_the_same_bytes() {
    let (outcome, style) = (made_up::too_close(), Style::default());
    assert_eq!(cooling_curve(&outcome, &style), cooling_curve(&outcome, &style));
    assert_eq!(ledger_png(&outcome, &style), ledger_png(&outcome, &style));
}

/// Writes every picture where `REPORT_LOOK` says, to be looked at.
#[test]
#[ignore = "writes files, for people to look at"]
fn write_all_pictures() {
    let Ok(folder) = std::env::var("REPORT_LOOK") else { return };
    for (name, outcome) in made_up::all() {
        for theme in [Theme::Light, Theme::Dark] {
            for ((width, height), units) in SIZES.into_iter().zip([Units::Metric, Units::Both, Units::Shop]) {
                let style = Style { width, height, theme, units };
                let file = format!("{folder}/{name}-{theme:?}-{width}");
                std::fs::write(format!("{file}.png"), cooling_curve_png(&outcome, &style).unwrap()).unwrap();
                std::fs::write(format!("{file}.svg"), cooling_curve(&outcome, &style).unwrap()).unwrap();
                std::fs::write(format!("{file}-ledger.png"), ledger_png(&outcome, &style).unwrap()).unwrap();
            }
        }
    }
}
