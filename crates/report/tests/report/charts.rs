//! Heat map, bars and residuals: nothing clipped, nothing on top of another, light and dark. THE NUMBERS ARE MADE UP.

use report::Units;
use report::plot::{Answer, Style, Theme, answer, answer_png};
use study::WindowC;
use study::explain::{Budget, Chart, Explanation, Pull};
use study::rules::{Head, Rule, Table};
use study::spread::{Band, Share, Spread};

use super::logs::{comparison, fit};
use super::pictures::{assert_apart, assert_inside, labels, styles, view_box};

const COLD: &str = "the flame does not bring the reading within 8 soaks";

/// As many masses and sections as asked; the lightest are not possible.
fn table(masses: usize, sections: usize) -> Table {
    let masses_kg: Vec<f64> = (0..masses).map(|n| 200.0 * 3f64.powi(n as i32)).collect();
    let sections_m: Vec<f64> = (0..sections).map(|n| 0.04 + 0.05 * n as f64).collect();
    let (widths_m, soaks_s) = (vec![0.32, 0.43], vec![900.0, 2700.0]);
    let mut rules = Vec::new();
    for (m, &mass_kg) in masses_kg.iter().enumerate() {
        for (s, &section_m) in sections_m.iter().enumerate() {
            for (&width_m, soak_s) in widths_m.iter().flat_map(|w| soaks_s.iter().map(move |soak| (w, *soak))) {
                let interval_s = (m > 0).then(|| 40.0 + 2e3 * width_m * width_m * soak_s / 900.0 / (1.0 + s as f64));
                rules.push(Rule {
                    number: rules.len(),
                    mass_kg,
                    section_m,
                    width_m,
                    soak_s,
                    why_not: interval_s.is_none().then(|| COLD.to_owned()),
                    net_power_w: Some(5e3),
                    flame_s: Some(soak_s),
                    flame_band_s: Some([soak_s, soak_s]),
                    hold_s: interval_s.map(|s| 1.2 * s),
                    hold_error_s: Some(2.0),
                    hold_band_s: interval_s.map(|s| [s, 1.4 * s]),
                    interval_s,
                    beads: interval_s.map(|s| (s / 60.0) as usize),
                    beads_band: None,
                    model: None,
                });
            }
        }
    }
    let head = Head {
        reheats: 4,
        schema: String::new(),
        version: String::new(),
        input_sha256: String::new(),
        title: "Lower die \u{1b}[2J".to_owned(),
        metal: "grey iron".to_owned(),
        start_c: 20.0,
        window: WindowC { minimum_c: 149.0, maximum_interpass_c: 260.0, surface_limit_c: None },
        reads_at: "ring_coldest".to_owned(),
        reads_c: 204.0,
        ring_m: [0.075, 0.006],
        groove_m: [0.06, 0.02],
        torch_w: 5e3,
        bead_s: Some([20.0, 20.0, 60.0]),
        masses_kg,
        sections_m,
        widths_m,
        soaks_s,
        ranges: vec![],
        cautions: vec![],
    };
    Table { head, findings: None, rules }
}

fn explanation() -> Explanation {
    let lever = |what: &str, gained_s: f64, reached: bool| Pull {
        what: what.to_owned(),
        hold_s: reached.then_some(57.0 + gained_s),
        gained_s,
        flame_s: 900.0,
        reached,
        to_c: None,
        affordable: true,
        before_j: 0.0,
    };
    Explanation {
        schema: String::new(),
        version: String::new(),
        input_sha256: String::new(),
        title: "Lower die".to_owned(),
        minimum_c: 149.0,
        hold_s: Some(57.0),
        hold_error_s: 0.7,
        flame_s: 900.0,
        reached: true,
        longest_flame_s: None,
        budget: Budget { radius_m: 0.15, depth_m: 0.075, moments: vec![], stands_for: None, unaccounted: 0.01 },
        beside: vec![],
        levers: vec![
            lever(
                "heated 1.5 times as wide, with the same torch and a name that goes on and on to a second line",
                153.0,
                false,
            ),
            lever("heated to 20 K more", 47.0, true),
            lever("flame turned up to 1.5", -18.0, true),
        ],
        chart: Chart { curves: vec![], off: 0.0 },
        example: None,
        cautions: vec![],
    }
}

fn spread() -> Spread {
    let share = |input: &str, of_hold: f64| Share {
        input: input.to_owned(),
        low: 0.9,
        high: 1.1,
        source: String::new(),
        short: input.to_owned(),
        of_hold: Some(of_hold),
        of_hold_error: Some(0.03),
        of_interval: Some(of_hold),
        of_interval_error: Some(0.03),
    };
    Spread {
        schema: String::new(),
        version: String::new(),
        input_sha256: String::new(),
        title: "Lower die".to_owned(),
        samples: 256,
        seed: 1,
        band: 0.9,
        hold_s: Band { stated: 57.0, low: 20.0, median: 55.0, high: 130.0, low_doubt: 1.0, high_doubt: 1.0 },
        hold_error_s: 0.7,
        interval_s: Band { stated: 70.0, low: 25.0, median: 66.0, high: 150.0, low_doubt: 1.0, high_doubt: 1.0 },
        beads: None,
        planned_fit: None,
        never_reached: 0.0,
        inputs: vec![share("torch power", 0.81), share("conductivity of the metal", 0.14)],
        together_of_hold: Some(0.05),
        together_of_interval: Some(0.05),
        never_held: 0.0,
        shares_need: 124,
        cautions: vec![],
    }
}

/// Every picture of an answer with a name.
fn with_all(check: impl Fn(&str, Answer)) {
    let (rules, explanation, spread, comparison, fit) = (table(6, 4), explanation(), spread(), comparison(), fit());
    check("rules", Answer::Rules(&rules));
    check("rules of two masses", Answer::Rules(&table(2, 2)));
    check("levers", Answer::Levers(&explanation));
    check("spread", Answer::Shares(&spread));
    check("residuals", Answer::Residuals(&comparison));
    check("fit", Answer::Fitted(&fit));
}

#[test]
fn no_text_is_clipped_and_none_covers_another() {
    for style in styles() {
        with_all(|name, picture| {
            let drawing = answer(picture, &style).unwrap();
            let document = roxmltree::Document::parse(&drawing).unwrap();
            let labels = labels(&document);
            assert!(labels.len() > 5, "{name}");
            assert_inside(&labels, view_box(&document), &format!("{name} {style:?}"));
            assert_apart(&labels, &format!("{name} {style:?}"));
        });
    }
}

fn texts(picture: Answer) -> Vec<String> {
    let drawing = answer(picture, &Style::default()).unwrap();
    labels(&roxmltree::Document::parse(&drawing).unwrap()).into_iter().map(|label| label.text).collect()
}

#[test]
fn every_cell_says_its_interval_and_beads_and_what_is_not_possible_is_lettered_and_hatched() {
    let table = table(3, 2);
    let texts = texts(Answer::Rules(&table));
    let count = |text: &str| texts.iter().filter(|t| *t == text).count();
    for rule in &table.rules {
        match rule.interval_s {
            Some(interval_s) => assert!(count(&format!("{:.0}", interval_s.floor())) > 0, "{interval_s} in {texts:?}"),
            None => assert!(count("a") > 0),
        }
    }
    // Two sections, two widths, two soaks of the lightest.
    assert_eq!(count("a"), 8, "{texts:?}");
    assert!(texts.contains(&format!("a: {COLD}")) && texts.contains(&"Hatched: not possible.".to_owned()), "{texts:?}");
    assert!(texts.iter().any(|text| text.contains("beads")), "{texts:?}");
    assert_eq!(texts.iter().filter(|text| text.starts_with("disc ")).count(), 4, "a panel for each width and soak");
}

#[test]
fn a_table_of_any_size_has_a_picture_and_one_too_large_for_a_sheet_is_drawn_smaller() {
    for (masses, sections) in [(1, 1), (2, 1), (50, 50)] {
        let drawing = answer(Answer::Rules(&table(masses, sections)), &Style::default()).unwrap();
        let document = roxmltree::Document::parse(&drawing).unwrap();
        let size = |name| document.root_element().attribute(name).unwrap().parse::<f64>().unwrap();
        assert!(size("width") <= 4000.0 && size("height") <= 4000.0, "{masses} x {sections}");
        assert!(size("width") >= 480.0, "{masses} x {sections}");
    }
}

#[test]
fn levers_bands_and_residuals_carry_their_numbers() {
    let (explanation, spread, comparison) = (explanation(), spread(), comparison());
    let levers = texts(Answer::Levers(&explanation));
    for text in ["+47.0 s", "-18.0 s", "heated to 20 K more"] {
        assert!(levers.iter().any(|t| t == text), "{text} in {levers:?}");
    }
    let shares = texts(Answer::Shares(&spread));
    for text in ["81 %", "torch power", "20.0 s to 2 min 10 s", "several together"] {
        assert!(shares.iter().any(|t| t == text), "{text} in {shares:?}");
    }
    let off = texts(Answer::Residuals(&comparison));
    for text in ["reading less computed, K", "patch_centre", "no difference"] {
        assert!(off.iter().any(|t| t == text), "{text} in {off:?}");
    }
}

#[test]
fn a_dark_picture_has_the_same_words_and_shares_no_light_ground() {
    with_all(|name, picture| {
        let light = answer(picture, &Style::default()).unwrap();
        let dark = answer(picture, &Style { theme: Theme::Dark, ..Style::default() }).unwrap();
        let words = |drawing: &str| -> Vec<String> {
            labels(&roxmltree::Document::parse(drawing).unwrap()).into_iter().map(|label| label.text).collect()
        };
        assert_eq!(words(&light), words(&dark), "{name}");
        assert!(light.contains("#FFFFFF") && !dark.contains("#FFFFFF"), "{name}");
        assert!(dark.contains("#14171A"), "{name}");
        assert_eq!(answer(picture, &Style::default()).unwrap(), light, "{name}: the same bytes");
        assert!(
            answer_png(picture, &Style { units: Units::Shop, ..Style::default() }).unwrap().starts_with(b"\x89PNG")
        );
    });
}
