//! Report, card, log sheet and trainer's page. THE NUMBERS ARE MADE UP, for the layout only.

use report::Units;
use report::html::{Card, Die, LogSheet, Report, card, log_sheet, page, report};
use report::plot::{Style, Theme, ledger_over_time};
use study::{
    Advice, ComeBack, Crayon, Film, FlameOff, Heat, HeatedPatch, Instruction, LedgerJ, Moment, Outcome, Touch,
};

use super::logs::comparison;
use super::made_up;
use super::maps::hill;
use super::pictures::{assert_apart, assert_inside, labels, styles, view_box};

/// What must never stand in a page as it is.
const PLANTED: &str =
    "</title></text></p></pre><script>alert(1)</script><img src=x onerror=\"alert(2)\">\u{1b}[2J\u{202e}'\"&";

fn film() -> Film {
    let map = |n: usize| {
        let mut picture = hill([1.0, 1.4], [0.5, 0.9], 0.2, 0.15);
        picture.map.time_s = 60.0 * n as f64;
        picture.map.ledger = heat::Ledger {
            torch_j: 2e5 * n as f64,
            stored_j: 1.9e5 * n as f64,
            convection_j: 1e4 * n as f64,
            ..heat::Ledger::default()
        };
        picture
    };
    let outlines = map(0).outlines;
    Film { maps: (0..=60).map(|n| map(n).map).collect(), outlines, ring_depth: 0.03, section_y: 0.7 }
}

fn instruction(name: &str) -> Instruction {
    let probe = name.to_owned();
    Instruction {
        patch: Some(HeatedPatch::Disc { diameter_m: 0.3 }),
        groove_m: Some([0.06, 0.02]),
        groove_from_patch_m: Some([0.0, -0.05]),
        first: Some(FlameOff::WhenReads { probe: probe.clone(), temperature_c: 204.4, at_most_s: 2400.0 }),
        reheat: Some(FlameOff::After { seconds: 300.0 }),
        come_back: Some(ComeBack::WhenFalls { probe: probe.clone(), temperature_c: 158.9, at_most_s: 600.0 }),
        first_arc_s: Some(20.0),
        places: vec![probe, "ring_coldest".to_owned()],
    }
}

fn advice(title: &str) -> Advice {
    let crayon = |rating_c| Some(Crayon { rating_c, melts_until_s: Some(70.0), error_s: Some(1.0) });
    Advice {
        schema: String::new(),
        version: "0.1.0".to_owned(),
        input_sha256: String::new(),
        title: title.to_owned(),
        minimum_c: 148.889,
        maximum_interpass_c: 260.0,
        flame: Heat { start_s: 0.0, end_s: 900.0 },
        touch: Touch { x_m: 1.3, y_m: 0.8, from_groove_m: 0.075, from_patch_centre_m: [0.1, -0.03] },
        depths_m: [0.01, 0.025],
        wait_s: Some(40.0),
        wait_error_s: Some(2.0),
        old_rule_s: 1800.0,
        hold_s: Some(600.0),
        moments: vec![Moment {
            after_off_s: 40.0,
            spot_c: 170.0,
            coldest_c: 168.0,
            below_c: [168.0, 164.0],
            error_k: 0.5,
        }],
        low_crayon: crayon(148.9),
        spot_above_coldest_k: 2.0,
        next_crayon: crayon(162.8),
        high_crayon: crayon(260.0),
        gun_set: 0.95,
        gun: Vec::new(),
        lag_s: None,
        lagging: Vec::new(),
        pause: None,
        cautions: Vec::new(),
        warnings: Vec::new(),
    }
}

/// The outcome with something planted in every text that a scenario can reach.
fn hostile(mut outcome: Outcome) -> Outcome {
    let curve = outcome.curves.values().next().cloned();
    outcome.title = PLANTED.to_owned();
    outcome.casting.metal = PLANTED.to_owned();
    outcome.casting.model_reason = PLANTED.to_owned();
    outcome.warnings.push(PLANTED.to_owned());
    outcome.cautions.push(PLANTED.to_owned());
    outcome.inputs.iter_mut().for_each(|input| input.source = PLANTED.to_owned());
    outcome.crossings.iter_mut().for_each(|crossing| crossing.probe = PLANTED.to_owned());
    outcome.curves.extend(curve.map(|curve| (PLANTED.to_owned(), curve)));
    outcome
}

/// Every page of an outcome with its name.
fn pages(outcome: &Outcome, name: &str) -> Vec<(&'static str, String)> {
    let (film, instruction, advice) = (film(), instruction(name), advice(name));
    let mut compared = comparison();
    compared.curves.iter_mut().for_each(|curve| curve.place = name.to_owned());
    let full = Report {
        outcome,
        film: Some(&film),
        comparison: Some(&compared),
        scenario: &format!("title = \"{name}\"\n[casting]"),
        units: Units::Both,
    };
    let of_card = Card { outcome, instruction: &instruction, advice: Some(&advice) };
    let sheet = LogSheet { outcome, instruction: &instruction, advice: Some(&advice), units: Units::Both };
    let die = Die { name, outcome, film: &film };
    vec![
        ("report", report(&full).unwrap()),
        ("card", card(&of_card)),
        ("sheet", log_sheet(&sheet)),
        ("page", page(&[die, die, die], Units::Both).unwrap()),
    ]
}

#[test]
fn nothing_that_a_scenario_plants_stands_in_a_page_as_markup_or_control_code() {
    for (what, outcome) in made_up::all() {
        for (kind, text) in pages(&hostile(outcome), PLANTED) {
            let scripts = text.matches("<script").count();
            assert_eq!(scripts, if kind == "page" { 2 } else { 0 }, "{what} {kind}");
            assert!(!text.contains("<img") && !text.contains("onerror=\""), "{what} {kind}");
            assert!(text.chars().all(|letter| letter == '\n' || !letter.is_control()), "{what} {kind}");
            assert!(!text.contains('\u{202e}'), "{what} {kind}");
            assert_eq!(text.matches("</title>").count(), 1, "{what} {kind}");
        }
    }
}

#[test]
fn pages_load_nothing_and_forbid_what_is_not_theirs() {
    for (kind, text) in pages(&made_up::holds(), "a die") {
        assert!(text.contains("default-src 'none'"), "{kind}");
        // Names of the SVG format are no addresses that anything is loaded from.
        let addresses = text.replace("http://www.w3.org/2000/svg", "");
        assert!(!addresses.contains("http:") && !addresses.contains("https:"), "{kind}");
        assert!(!addresses.contains("src=") && !addresses.contains("href=") && !addresses.contains("url("), "{kind}");
    }
}

#[test]
fn the_same_input_gives_the_same_bytes_and_three_castings_stay_under_five_megabytes() {
    let [first, second] = [0, 1].map(|_| pages(&made_up::falls_short(), "a die"));
    assert_eq!(first, second);
    let (_, page) = &first[3];
    assert!(page.len() < 5_000_000, "{} bytes", page.len());
}

#[test]
fn a_card_instructs_only_where_the_verdict_holds() {
    let (instruction, advice) = (instruction("ring_coldest"), advice("a die"));
    for (what, outcome) in made_up::all() {
        let text = card(&Card { outcome: &outcome, instruction: &instruction, advice: Some(&advice) });
        let holds = matches!(what, "holds" | "late_falls");
        assert_eq!(text.contains("DO NOT USE AS AN INSTRUCTION"), !holds, "{what}");
        for step in ["Heat this wide", "Heat this long", "Come back with the flame", "Touch here", "Beads per heat"] {
            assert_eq!(text.contains(step), holds, "{what}: {step}");
        }
        assert!(text.contains("Predicted, not measured: check with a contact reading before every pass"), "{what}");
        assert!(text.contains("contact thermometer at the ring before every pass"), "{what}: cautions");
        assert!(text.contains(&"0123456789abcdef".repeat(4)) && text.contains("warmhold 0.1.0"), "{what}: made from");
        for blank in ["Job", "Date", "Name", "Procedure no."] {
            assert!(text.contains(&format!("<span>{blank}</span>")), "{what}: {blank}");
        }
    }
}

#[test]
fn a_card_of_an_interrupted_run_is_no_instruction_even_if_it_holds_so_far() {
    let mut outcome = made_up::holds();
    outcome.interrupted = true;
    let text = card(&Card { outcome: &outcome, instruction: &instruction("a"), advice: None });
    assert!(text.contains("DO NOT USE AS AN INSTRUCTION") && text.contains("interrupted"), "{text}");
}

#[test]
fn a_card_promises_no_more_beads_than_the_worst_end_of_the_ranges() {
    let mut outcome = made_up::holds();
    outcome.worst_end.as_mut().unwrap().beads_per_heat = Some(2);
    let text = card(&Card { outcome: &outcome, instruction: &instruction("a"), advice: None });
    assert!(text.contains("<dt>Beads per heat, no more</dt><dd>2<"), "{text}");
    outcome.worst_end = None;
    outcome.error.input_k = None;
    let text = card(&Card { outcome: &outcome, instruction: &instruction("a"), advice: None });
    assert!(text.contains("<dd>3<") && text.contains("Nominal only"), "{text}");
}

#[test]
fn cautions_that_find_no_room_on_a_card_are_counted() {
    let mut outcome = made_up::holds();
    outcome.cautions = (0..60).map(|n| format!("{n} {}", "a caution of many words ".repeat(6))).collect();
    let text = card(&Card { outcome: &outcome, instruction: &instruction("a"), advice: None });
    let before = text.split(" more stand in the report").next().unwrap();
    let told: usize = before.rsplit('>').next().unwrap().parse().unwrap();
    let shown = (0..60).filter(|n| text.contains(&format!("<li>{n} a caution"))).count();
    assert!(shown > 5 && told > 5, "{shown} shown, {told} told");
    assert_eq!(shown + told, outcome.cautions.len());
}

#[test]
fn a_report_says_that_nothing_was_measured_until_something_was() {
    let outcome = made_up::falls_short();
    let without = Report { outcome: &outcome, film: None, comparison: None, scenario: "", units: Units::Both };
    let text = report(&without).unwrap();
    assert!(text.contains("not yet compared with a measured patch"));
    let compared = comparison();
    let text = report(&Report { comparison: Some(&compared), ..without }).unwrap();
    assert!(!text.contains("not yet compared") && text.contains("Model and log do not agree"));
}

#[test]
fn a_report_has_the_margin_with_both_errors_the_inputs_with_their_sources_and_what_is_left_out() {
    let outcome = made_up::falls_short();
    let film = film();
    let full = Report {
        outcome: &outcome,
        film: Some(&film),
        comparison: None,
        scenario: "title = \"x\" # <note>",
        units: Units::Both,
    };
    let text = report(&full).unwrap();
    for part in [
        "Margin",
        "numerical error",
        "stated ranges",
        "share of the flame that enters the metal",
        "0.70 to 1.30",
        "What the model leaves out",
        "not accounted for",
        "title = &quot;x&quot; # &lt;note&gt;",
        "heated patch",
        "minimum 149 C",
    ] {
        assert!(text.contains(part), "{part}");
    }
    assert!(text.matches("<svg role=\"img\" aria-label=").count() >= 4);
}

#[test]
fn a_log_sheet_has_the_columns_of_a_log_and_the_names_of_its_places() {
    let outcome = made_up::falls_short();
    let places = instruction("r40");
    let text = log_sheet(&LogSheet { outcome: &outcome, instruction: &places, advice: None, units: Units::Metric });
    for column in ["time", "place", "reading"] {
        assert!(text.contains(&format!(">{column}</th>")), "{column}");
    }
    assert!(text.contains("<code>r40</code>") && text.contains("<code>time,place,reading</code>"));
}

#[test]
fn a_page_reads_without_its_script() {
    let (_, text) = pages(&made_up::falls_short(), "a die").swap_remove(3);
    let still = text.split("<script").next().unwrap();
    assert!(still.matches("<svg").count() >= 5, "a picture of each, the curves, the scale");
    assert!(still.contains("<caption>The same numbers as a table</caption>"));
    // What only the script can work is hidden until it does.
    assert_eq!(
        still.matches("live\" hidden").count(),
        9,
        "controls, keys, chart, and two maps of each of three castings"
    );
}

/// The lesson of the page is a comparison: without its script, too, a colour is a temperature.
#[test]
fn the_still_maps_of_a_page_share_one_scale_of_colours_and_one_of_lengths() {
    let (outcome, cold, mut hot) = (made_up::falls_short(), film(), film());
    hot.maps.iter_mut().for_each(|map| map.face_c.iter_mut().for_each(|celsius| *celsius += 300.0));
    let dies =
        [Die { name: "cold", outcome: &outcome, film: &cold }, Die { name: "hot", outcome: &outcome, film: &hot }];
    let text = page(&dies, Units::Metric).unwrap();
    let articles: Vec<&str> = text.split("<article").skip(1).collect();
    let highest = |article: &str| {
        let labels = article.split(['<', '>']).filter_map(|part| part.trim().strip_suffix(" C")?.parse::<f64>().ok());
        labels.fold(f64::NEG_INFINITY, f64::max)
    };
    assert!(highest(articles[1]) > 300.0, "{}", highest(articles[1]));
    assert_eq!(highest(articles[0]), highest(articles[1]));
    let whole = |article: &str| article.split("viewBox=").nth(1).unwrap().split('>').next().unwrap().to_owned();
    assert_eq!(whole(articles[0]).split('"').nth(1), whole(articles[1]).split('"').nth(1));
}

#[test]
fn a_page_without_a_window_speaks_of_no_minimum_and_no_verdict() {
    let mut outcome = made_up::not_asked();
    outcome.window = None;
    let film = film();
    let die = Die { name: "a die", outcome: &outcome, film: &film };
    let text = page(&[die, die], Units::Both).unwrap();
    let shown = text.split("<script").next().unwrap();
    assert!(shown.contains("White line: the watched limit"), "{shown}");
    assert!(!shown.contains("above the minimum") && !shown.contains("No verdict was asked"));
}

#[test]
fn a_page_says_first_where_the_heat_of_the_shortest_hold_went_and_what_holds_longest() {
    let (mut heavy, light) = (made_up::falls_short(), made_up::holds());
    heavy.casting.mass_kg = 50.0 * light.casting.mass_kg;
    let film = film();
    let die = |name, outcome| Die { name, outcome, film: &film };
    let text = page(&[die("light", &light), die("heavy", &heavy)], Units::Metric).unwrap();
    let leads: Vec<&str> =
        text.split("<p class=\"lead\">").skip(1).filter_map(|rest| rest.split("</p>").next()).collect();
    let wanted = [
        "<strong>heavy:</strong> above 149 C for 41.3 s after the flame. By then 5 % of the heat has left the metal: the rest \
         has spread from the patch into the colder metal around it.",
        "<strong>light:</strong> above 149 C for 10 min 12 s after the flame. It has 50 times less metal to fill.",
    ];
    assert_eq!(leads, wanted);
}

fn ledgers() -> Vec<(f64, LedgerJ)> {
    film().ledgers()
}

#[test]
fn no_text_of_the_areas_is_clipped_and_none_covers_another() {
    let mut giving = ledgers();
    for (time_s, ledger) in &mut giving {
        ledger.stored_j = -1e3 * *time_s;
    }
    for (what, ledgers) in [("heated", ledgers()), ("giving up", giving), ("nothing", Vec::new())] {
        for style in styles() {
            let drawing = ledger_over_time(&ledgers, PLANTED, &style).unwrap();
            let document = roxmltree::Document::parse(&drawing).unwrap();
            let labels = labels(&document);
            assert_inside(&labels, view_box(&document), what);
            assert_apart(&labels, what);
        }
    }
    let dark = Style { theme: Theme::Dark, ..Style::default() };
    assert_ne!(ledger_over_time(&ledgers(), "", &dark), ledger_over_time(&ledgers(), "", &Style::default()));
}
