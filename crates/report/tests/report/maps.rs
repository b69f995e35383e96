//! Maps and comparisons, on made-up hills of temperature: layout only.

use heat::Map;
use report::plot::{Style, Theme, comparison, picture, picture_png};
use report::{Units, maps_csv};
use study::{Outline, Picture};

use super::made_up;
use super::pictures::{assert_apart, assert_inside, labels, styles, view_box};

pub const POINTS: usize = 61;
const LARGEST_FILE: usize = 300_000;

/// A hill about the middle of a disc, on a window of the face and down to a depth, m.
pub fn hill(x: [f64; 2], y: [f64; 2], depth: f64, radius: f64) -> Picture {
    let places = |[low, high]: [f64; 2]| -> Vec<f64> {
        (0..POINTS).map(|n| low + (high - low) * n as f64 / (POINTS - 1) as f64).collect()
    };
    let (xs, ys, zs) = (places(x), places(y), places([0.0, depth]));
    let middle = [0.5 * (x[0] + x[1]), 0.5 * (y[0] + y[1])];
    let celsius = |u: f64, v: f64| 20.0 + 330.0 * (-(u * u + v * v) / (radius * radius)).exp();
    let face_c = ys.iter().flat_map(|y| xs.iter().map(move |x| celsius(x - middle[0], y - middle[1]))).collect();
    let section_c = zs.iter().flat_map(|z| xs.iter().map(move |x| celsius(x - middle[0], *z))).collect();
    let circle = |name, radius: f64| {
        let turn = |n: usize| (std::f64::consts::TAU * n as f64 / 96.0).sin_cos();
        let points = (0..96).map(|n| [middle[0] + radius * turn(n).1, middle[1] + radius * turn(n).0]).collect();
        Outline { name, points }
    };
    let outlines = vec![circle("heated patch", radius), circle("ring", 0.7 * radius), circle("groove", 0.15 * radius)];
    let map = Map { time_s: 1100.0, x: xs, y: ys, z: zs, face_c, section_c, ledger: heat::Ledger::default() };
    Picture { moment: "as the first flame goes off".to_owned(), map, outlines, ring_depth: 0.03 }
}

/// In the middle of a big face, in a corner, on a thin plate, a strip, and two that cannot be drawn.
fn all() -> Vec<(&'static str, Picture)> {
    let mut broken = hill([1.0, 1.4], [0.5, 0.9], 0.2, 0.15);
    broken.map.face_c[17] = f64::NAN;
    let mut bare = hill([1.0, 1.4], [0.5, 0.9], 0.2, 0.15);
    bare.outlines.truncate(1);
    let mut even = hill([1.0, 1.4], [0.5, 0.9], 0.2, 0.15);
    even.map.face_c.iter_mut().chain(&mut even.map.section_c).for_each(|celsius| *celsius = 200.0);
    vec![
        ("middle", hill([1.0, 1.4], [0.5, 0.9], 0.2, 0.15)),
        ("corner", hill([0.0, 0.3], [0.0, 0.4], 0.2, 0.15)),
        ("plate", hill([0.0, 1.2], [0.0, 0.8], 0.04, 0.3)),
        ("strip", hill([0.0, 0.1], [0.0, 0.9], 0.3, 0.04)),
        ("bare", bare),
        ("even", even),
        ("broken", broken),
    ]
}

#[test]
fn no_text_of_a_map_is_clipped_and_none_covers_another() {
    for (name, map) in all() {
        for style in styles().into_iter().chain([Style { height: 1100, ..Style::default() }]) {
            let drawing = picture(&map, &made_up::falls_short(), &style).unwrap();
            let document = roxmltree::Document::parse(&drawing).unwrap();
            let what = format!("{name} {style:?}");
            assert!(drawing.len() < LARGEST_FILE, "{what}: {} bytes", drawing.len());
            let labels = labels(&document);
            assert!(labels.len() > 2, "{what}");
            assert_inside(&labels, view_box(&document), &what);
            assert_apart(&labels, &what);
        }
    }
}

#[test]
fn a_map_names_its_limits_its_outlines_and_the_coldest_of_the_ring() {
    let style = Style { width: 1400, height: 900, units: Units::Shop, ..Style::default() };
    let map = hill([1.0, 1.4], [0.5, 0.9], 0.2, 0.15);
    let drawing = picture(&map, &made_up::falls_short(), &style).unwrap();
    let document = roxmltree::Document::parse(&drawing).unwrap();
    let texts: Vec<String> = labels(&document).into_iter().map(|label| label.text).collect();
    // 20 + 330 exp(-0.49) C on the outline of the ring.
    let wanted = ["minimum 300 F", "max. interpass 500 F", "400 F", "heated patch", "groove", "coldest 432 F"];
    for text in wanted {
        assert!(texts.iter().any(|t| t == text), "{text} in {texts:?}");
    }
    assert!(texts.contains(&"As the first flame goes off: 18 min 20 s after the start".to_owned()), "{texts:?}");
}

#[test]
fn a_map_that_is_broken_says_so() {
    let (_, broken) = all().pop().unwrap();
    let drawing = picture(&broken, &made_up::holds(), &Style::default()).unwrap();
    assert!(drawing.contains("no map was computed"));
}

#[test]
fn the_middle_of_a_map_is_drawn_in_the_colour_of_its_temperature() {
    for theme in [Theme::Light, Theme::Dark] {
        let style = Style { theme, ..Style::default() };
        let even = |celsius: f64| {
            let mut map = hill([1.0, 1.4], [0.5, 0.9], 0.2, 0.15);
            map.outlines.clear();
            map.map.section_c.iter_mut().for_each(|c| *c = 20.0);
            map.map.face_c.iter_mut().for_each(|c| *c = celsius);
            let bytes = picture_png(&map, &made_up::not_asked(), &style).unwrap();
            let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
            let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
            reader.next_frame(&mut pixels).unwrap();
            let at = 3 * (200 * 900 + 150);
            [pixels[at], pixels[at + 1], pixels[at + 2]]
        };
        let hot = even(380.0);
        assert!(hot[0] > 200 && hot[1] > 200, "{hot:?}");
    }
}

#[test]
fn the_csv_of_maps_has_a_row_for_each_place_and_instant() {
    let mut late = hill([0.0, 0.3], [0.0, 0.4], 0.2, 0.15);
    late.moment = "at the first breach, \"bead 2\"".to_owned();
    let text = maps_csv(&[hill([1.0, 1.4], [0.5, 0.9], 0.2, 0.15), late]);
    let mut reader = ::csv::Reader::from_reader(text.as_bytes());
    let header = vec!["moment", "time_s", "plane", "x_m", "y_m", "depth_m", "temperature_c"];
    assert_eq!(reader.headers().unwrap(), header);
    let rows: Vec<::csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 2 * 2 * POINTS * POINTS);
    let middle = &rows[POINTS * POINTS / 2];
    assert_eq!((&middle[2], &middle[3], &middle[5], &middle[6]), ("worked face", "1.2", "0", "350"));
    assert_eq!((&rows[POINTS * POINTS][2], &rows[POINTS * POINTS][4]), ("section", "0.7"));
}

#[test]
fn a_comparison_names_each_outcome_with_the_time_it_stays_above_its_minimum() {
    let (short, long, plain) = (made_up::falls_short(), made_up::holds(), made_up::not_asked());
    let outcomes = [("big die, cold all through", &short), ("same die, warm", &long), ("no ring", &plain)];
    for style in styles() {
        let drawing = comparison(&outcomes, "ring_coldest", &style).unwrap();
        let document = roxmltree::Document::parse(&drawing).unwrap();
        let labels = labels(&document);
        assert_inside(&labels, view_box(&document), &format!("{style:?}"));
        assert_apart(&labels, &format!("{style:?}"));
    }
    let drawing = comparison(&outcomes, "ring_coldest", &Style { width: 1400, ..Style::default() }).unwrap();
    let document = roxmltree::Document::parse(&drawing).unwrap();
    let named = |name: &str| labels(&document).iter().filter(|label| label.text.starts_with(name)).count();
    assert_eq!((named("big die, cold all through: "), named("same die, warm: "), named("no ring")), (1, 1, 0));
    assert_eq!(named("minimum 149 C"), 1);
    assert!(comparison(&[], "ring_coldest", &Style::default()).unwrap().contains("no curve was computed"));
}
