//! Fits, comparisons and their picture. THE NUMBERS ARE MADE UP, for the layout only.

use report::plot::{Style, log, log_png};
use report::{Units, comparison_text, fit_text, fitted_value};
use study::{BandPart, ComparedReading, Comparison, Fit, FitReading, Fitted, Heat, PlaceCurve, SaidHow, Standing};

use super::pictures::{assert_apart, assert_inside, labels, styles, view_box};

fn reading(place: &str, time_s: f64, said: SaidHow, standing: Standing) -> ComparedReading {
    ComparedReading {
        line: Some(3),
        place: place.to_owned(),
        time_s,
        said,
        measured_c: 149.0,
        computed_c: 160.0,
        residual_k: (said == SaidHow::Reads).then_some(-11.0),
        reading_k: 3.9,
        error_k: 0.4,
        inputs_k: [20.0, 31.0],
        standing,
        beyond_k: if standing == Standing::Outside { 6.7 } else { 0.0 },
    }
}

pub fn comparison() -> Comparison {
    let curve = |place: &str, hot: f64| {
        let time_s: Vec<f64> = (0..=40).map(|n| 20.0 * f64::from(n)).collect();
        let computed_c: Vec<f64> = time_s.iter().map(|t| 20.0 + hot * (t / 800.0).sqrt()).collect();
        let moved = |share: f64| computed_c.iter().map(|t| 20.0 + share * (t - 20.0)).collect();
        PlaceCurve { place: place.to_owned(), low_c: moved(0.7), high_c: moved(1.3), time_s, computed_c }
    };
    Comparison {
        schema: String::new(),
        version: String::new(),
        input_sha256: String::new(),
        title: "Lower die".to_owned(),
        agrees: false,
        within_error: 1,
        within_ranges: 2,
        outside: 1,
        mean_residual_k: Some(-11.0),
        rms_residual_k: Some(11.0),
        noise_k: 2.0,
        inputs: vec!["conductivity of the metal".to_owned()],
        readings: vec![
            reading("patch_centre", 300.0, SaidHow::Reads, Standing::WithinError),
            reading("patch_centre", 620.0, SaidHow::Reads, Standing::WithinRanges),
            reading("x 1.2 m y 30 in \u{1b}[2Jdepth 25 mm", 420.0, SaidHow::Melted, Standing::WithinRanges),
            reading("patch_centre", 790.0, SaidHow::NotMelted, Standing::Outside),
        ],
        curves: vec![curve("patch_centre", 240.0), curve("x 1.2 m y 30 in \u{1b}[2Jdepth 25 mm", 150.0)],
        flames: vec![Heat { start_s: 0.0, end_s: 700.0 }],
        cautions: vec![],
        warnings: vec![],
        interrupted: false,
    }
}

pub fn fit() -> Fit {
    let part = |source: &str, share| BandPart { source: source.to_owned(), share };
    Fit {
        schema: String::new(),
        version: String::new(),
        input_sha256: String::new(),
        title: "Lower die".to_owned(),
        fitted: Fitted::GasShare,
        stated: 0.3,
        stated_range: Some([0.15, 0.5]),
        value: 0.2714,
        band: [0.241, 0.302],
        narrower: Some(5.74),
        outside_stated: false,
        noise_k: 2.0,
        scatter_k: 5.0,
        parts: vec![part("conductivity of the metal", 0.08), part("numerical error", 1e-5)],
        flames: vec![Heat { start_s: 0.0, end_s: 250.0 }],
        readings: [1.0, 40.0]
            .map(|residual_k| FitReading {
                line: Some(2),
                place: "r40".to_owned(),
                time_s: 250.0,
                measured_c: 150.0 + residual_k,
                computed_c: 150.0,
                error_k: 0.3,
                residual_k,
            })
            .to_vec(),
        crayons_left_out: 2,
        thinned_out: 300,
        runs: 13,
        verdict: None,
        cautions: vec!["Guidance only.".to_owned()],
    }
}

#[test]
fn no_text_of_a_log_picture_is_clipped_and_none_covers_another() {
    for style in styles() {
        let drawing = log(&comparison(), &style).unwrap();
        let document = roxmltree::Document::parse(&drawing).unwrap();
        let labels = labels(&document);
        assert!(labels.iter().any(|label| label.text == "patch_centre"));
        assert_inside(&labels, view_box(&document), &format!("{style:?}"));
        assert_apart(&labels, &format!("{style:?}"));
    }
    assert_eq!(log_png(&comparison(), &Style::default()), log_png(&comparison(), &Style::default()));
}

#[test]
fn a_comparison_leads_with_its_answer_and_fits_a_terminal() {
    for units in [Units::Metric, Units::Shop, Units::Both] {
        let text = comparison_text(&comparison(), units);
        assert!(text.starts_with("Model and log do not agree: 1 of 4 readings lie outside all errors."), "{text}");
        assert!(text.contains("fit the torch to it with `warmhold fit`") && !text.contains('\u{1b}'), "{text}");
        assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
    }
    assert!(comparison_text(&comparison(), Units::Shop).contains("-19.8"));
}

#[test]
fn a_fit_says_what_its_band_contains_and_what_was_left_out() {
    let text = fit_text(&fit(), Units::Both);
    assert!(text.starts_with("27.1 % of the gas's heat enters the metal, 95 % band 24.1 % to 30.2 %.\n"), "{text}");
    for words in [
        "the band is 5.7 times narrower",
        "conductivity of the metal ± 8.0 %",
        "the band stands on the scatter",
        "r40 at 4 min 10 s is 40 K (72 F) off",
        "2 crayon marks were not used",
        "300 readings close in time",
    ] {
        let joined = text.replace('\n', " ").split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(joined.contains(words), "{words}: {text}");
    }
    assert!(!text.contains("numerical error ±") && text.lines().all(|line| line.chars().count() <= 100), "{text}");
    assert_eq!(fitted_value(Fitted::Flux, 103_400.0, Units::Metric), "103.4 kW/m2");
}
