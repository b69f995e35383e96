//! Report, card, log sheet and trainer's page. THE NUMBERS ARE MADE UP, for the layout only.

use report::Units;
use report::html::{Card, Die, LogSheet, Report, card, log_sheet, page, report};
use report::plot::{Style, Theme, ledger_over_time};
use study::{
    Advice, ComeBack, Crayon, Doing, Film, FlameOff, Gas, Heat, HeatedPatch, Heating, Instruction, LedgerJ, MadeFor,
    Moment, Outcome, Step, Supply, Touch, Touching, Verdict, Work,
};

use super::logs::comparison;
use super::made_up;
use super::maps::hill;
use super::pictures::{assert_apart, assert_inside, labels, styles, view_box};

/// What must never stand in a page as it is.
const PLANTED: &str =
    "</title></text></p></pre><script>alert(1)</script><img src=x onerror=\"alert(2)\">\u{1b}[2J\u{202e}'\"&";

pub fn film() -> Film {
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
        groove_round: false,
        patch_middle_m: Some([1.2, 0.75]),
        groove_from_patch_m: Some([0.0, -0.05]),
        first: Some(FlameOff::WhenReads { probe: probe.clone(), temperature_c: 204.4, at_most_s: 2400.0 }),
        reheat: Some(FlameOff::After { seconds: 300.0 }),
        come_back: Some(ComeBack::WhenFalls { probe: probe.clone(), temperature_c: 158.9, at_most_s: 600.0 }),
        made_for: MadeFor {
            supply: Some(Supply::Gas(Gas {
                fuel: probe.clone(),
                mass_rate: 3.0 / 3600.0,
                volume_rate: 4.0e-4,
                power_w: 38e3,
                oxygen_ratio: None,
                contents_hours: None,
            })),
            torches: vec![study::TorchHeat::Flux { flux_w_per_m2: 91e3 }],
            other_face: false,
            circles: false,
            start_c: 20.0,
            air_c: 18.0,
            depth_m: Some(0.006),
            work: Some(Work { first_after_s: 15.0, power_w: [2300.0; 2], arc_s: [20.0; 2], pause_s: [30.0; 2] }),
        },
        places: vec![probe, "ring_coldest".to_owned()],
    }
}

/// Three beads in each interval, and a flame that comes back by a reading.
fn touching() -> Touching {
    let first = Heating {
        took_s: [1396.0; 2],
        over_torch_s: Some([1210.0, 1590.0]),
        off_c: [225.7; 2],
        off_over_ranges_c: Some([222.0, 229.4]),
        soon_c: Some([209.7; 2]),
        reached: true,
    };
    let again =
        Heating { took_s: [290.0, 300.0], over_torch_s: None, off_over_ranges_c: None, off_c: [223.0, 224.0], ..first };
    let step = |doing, after_s: f64, spot_c: f64| Step {
        doing,
        after_off_s: [after_s, after_s],
        spot_c: [spot_c, spot_c + 1.2],
        least_c: 151.2,
        most_c: 231.9,
    };
    let beads = [1, 2, 3].map(|n| step(Doing::Bead(n), 15.0 + 50.0 * (n - 1) as f64, 197.0 - 20.0 * n as f64));
    let touch = advice("").touch;
    let steps = beads.into_iter().chain([step(Doing::Flame, 160.0, 150.0), step(Doing::End, 160.0, 150.0)]).collect();
    Touching { touch, first, again: Some(again), steps, back_c: Some(163.7) }
}

/// A card with all there is.
fn full_card(outcome: &Outcome, instruction: &Instruction) -> String {
    let (advice, touching) = (advice("a die"), touching());
    card(&Card { outcome, instruction, advice: Some(&advice), touching: Some(&touching) })
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
    let touching = touching();
    let of_card = Card { outcome, instruction: &instruction, advice: Some(&advice), touching: Some(&touching) };
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
    let instruction = instruction("ring_coldest");
    for (what, outcome) in made_up::all() {
        let text = full_card(&outcome, &instruction);
        let holds = matches!(what, "holds" | "late_falls");
        assert_eq!(text.contains("DO NOT USE AS AN INSTRUCTION"), !holds, "{what}");
        let steps = [
            "Heat this wide",
            "Heat until",
            "Come back",
            "touch here",
            "Beads per heat",
            "Made for",
            "<svg",
            "bead 1,",
        ];
        for step in steps {
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
    let text = card(&Card { outcome: &outcome, instruction: &instruction("a"), advice: None, touching: None });
    assert!(text.contains("DO NOT USE AS AN INSTRUCTION") && text.contains("interrupted"), "{text}");
}

#[test]
fn a_card_promises_no_more_beads_than_the_worst_end_of_the_ranges() {
    let mut outcome = made_up::holds();
    outcome.worst_end.as_mut().unwrap().beads_per_heat = Some(2);
    let text = card(&Card { outcome: &outcome, instruction: &instruction("a"), advice: None, touching: None });
    assert!(text.contains("Beads per heat, no more</dt><dd>2<"), "{text}");
    outcome.worst_end = None;
    outcome.error.input_k = None;
    let text = card(&Card { outcome: &outcome, instruction: &instruction("a"), advice: None, touching: None });
    assert!(text.contains("<dd>3<") && text.contains("Nominal only"), "{text}");
}

#[test]
fn the_large_number_of_the_heating_is_a_reading_and_the_time_only_a_check() {
    let (outcome, mut told) = (made_up::holds(), instruction("ring_coldest"));
    let text = full_card(&outcome, &told);
    // The highest over the ends of the ranges, rounded up: 229.4 C, 444.9 F.
    assert!(text.contains("Heat until the touch spot reads</dt><dd>230 C (445 F)<small>"), "{text}");
    for part in [
        "a reading under the flame is wrong",
        "5 s later it shows 214 C (417 F)",
        "As stated 226 C (439 F)",
        "Expected after about 23 min (20 to 27 min over the stated torch). Much sooner or later: stop and ask.",
        "The first heating takes a time outside 20 to 27 min",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    assert!(!text.contains("<dd>23 min") && !text.contains("216 C"), "{text}");
    told.first = Some(FlameOff::After { seconds: 900.0 });
    let text = full_card(&outcome, &told);
    assert!(text.contains("Heat by the clock for</dt><dd>15 min<"), "{text}");
    assert!(
        text.contains("it should read 226 C (438 F), 222 to 229 C (432 to 445 F) over the stated ranges"),
        "{text}"
    );
}

#[test]
fn one_table_tells_when_to_touch_and_what_must_be_read_there() {
    let text = full_card(&made_up::holds(), &instruction("ring_coldest"));
    let row = |cells: [&str; 5]| format!("<tr>{}</tr>", cells.map(|cell| format!("<td>{cell}</td>")).concat());
    let bead = ["0:15", "bead 1, arc 20 s", "152 C (305 F)", "231 C (449 F)", "177 to 178 C (351 to 353 F)"];
    assert!(text.contains(&row(bead)), "{text}");
    assert!(text.contains(&row(["2:40", "flame on again", "", "", "150 to 151 C (302 to 304 F)"])), "{text}");
    assert!(!text.contains("only then") && !text.contains("settle"), "one answer to when: {text}");
    // A mark of 149 C tells too little where 151 C must be read; the next does.
    assert!(text.contains("a fresh mark of 163 C (325 F) must melt"), "{text}");
}

#[test]
fn many_beads_are_told_in_few_rows_with_the_strictest_limits_of_all() {
    let mut outcome = made_up::holds();
    (outcome.beads_per_heat, outcome.planned_per_heat, outcome.worst_end) = (Some(20), Some(20), None);
    let (told, advice, mut touching) = (instruction("a"), advice("a"), touching());
    let like = touching.steps[0];
    let step = |n: usize| Step {
        doing: Doing::Bead(n),
        after_off_s: [60.0 * n as f64; 2],
        least_c: 150.0 + n as f64,
        most_c: 240.0 - n as f64,
        ..like
    };
    touching.steps = (1..=20).map(step).collect();
    let text = card(&Card { outcome: &outcome, instruction: &told, advice: Some(&advice), touching: Some(&touching) });
    assert_eq!(text.matches("<tr><td>").count(), 8, "{text}");
    assert!(text.contains(
        "<td>7:00 to 19:00</td><td>beads 7 to 19, arc 20 s</td><td>169 C (337 F)</td><td>221 C (429 F)</td>"
    ));
    assert!(text.contains("<td>bead 20, arc 20 s</td><td>170 C (338 F)</td>"), "{text}");
}

#[test]
fn the_flame_comes_back_at_a_reading_of_the_spot_and_never_by_a_clock_that_runs_too_long() {
    let (outcome, mut told) = (made_up::holds(), instruction("ring_coldest"));
    let text = full_card(&outcome, &told);
    assert!(text.contains("Come back with the flame</dt><dd>when the spot reads 164 C (327 F)<small>"), "{text}");
    // 433 s at the worst, 600 s by the clock.
    assert!(
        text.contains("after the flame went off.") && !text.contains("at the latest") && !text.contains('\u{2026}')
    );
    told.come_back =
        Some(ComeBack::WhenFalls { probe: "ring_coldest".to_owned(), temperature_c: 158.9, at_most_s: 400.0 });
    assert!(full_card(&outcome, &told).contains("after the flame went off, at the latest after 6 min 40 s."));
    told.come_back = Some(ComeBack::After { seconds: 600.0 });
    assert!(full_card(&outcome, &told).contains("<dd>10 min after it went off<"));
}

#[test]
fn a_plan_of_one_heat_ends_with_its_last_bead() {
    let mut outcome = made_up::holds();
    outcome.heats.truncate(1);
    let text = full_card(&outcome, &instruction("a"));
    assert!(text.contains("<dd>Stop after bead 3<small>Only one heat is planned: stop after bead 3."), "{text}");
    assert!(!text.contains("Come back") && !text.contains("over 1 heat") && !text.contains("1 heats"), "{text}");
}

#[test]
fn a_card_says_what_it_was_made_for_with_a_box_to_tick_each() {
    let text = full_card(&made_up::holds(), &instruction("propane"));
    for item in [
        "propane with air, 3.0 kg/h (6.6 lb/h)",
        "casting at 20 C (68 F) all through, shop air 18 C (64 F)",
        "groove 60 by 20 mm (2 3/8 by 13/16 in), 6 mm (1/4 in) deep",
        "arc 2.3 kW into the metal",
        "first bead 15 s after flame off",
        "arc 20 s, pause 30 s",
    ] {
        assert!(text.contains(&format!("<li>{item}</li>")), "{item}: {text}");
    }
}

#[test]
fn the_sketch_has_the_cross_its_two_dimensions_and_words_for_the_ring() {
    let mut outcome = made_up::holds();
    outcome.ring = Some(ring());
    let mut told = instruction("a");
    let text = full_card(&outcome, &told);
    let drawing = &text[text.find("<svg").unwrap()..text.find("</svg>").unwrap() + 6];
    let document = roxmltree::Document::parse(drawing).unwrap();
    let count = |name: &str| document.descendants().filter(|node| node.has_tag_name(name)).count();
    assert_eq!((count("circle"), count("rect"), count("text")), (1, 2, 2));
    // From the middle of the groove, not of the patch.
    assert!(
        drawing.contains(">100 mm (3 15/16 in)</text>") && drawing.contains(">20 mm (13/16 in)</text>"),
        "{drawing}"
    );
    assert!(
        text.contains("1200 mm (47 1/4 in) from the left end and 750 mm (29 1/2 in) from the lower side"),
        "{text}"
    );
    assert!(text.contains("<b>Ring</b> = the 75 mm (3 in) of metal around the groove"), "{text}");
    (told.patch, told.groove_round) = (Some(HeatedPatch::Rectangle { sides_m: [0.42, 0.36] }), true);
    let text = full_card(&outcome, &told);
    assert!(
        text.contains("<dd>420 by 360 mm (16 9/16 by 14 3/16 in)<") && text.matches("<circle").count() == 2,
        "{text}"
    );
}

fn ring() -> study::RingFacts {
    study::RingFacts {
        width_m: 0.075,
        depth_m: 0.006,
        rule: "stated".to_owned(),
        iso_13916_m: 0.075,
        thickness_m: 0.4,
        smallest_heated_m: None,
        smallest_by: String::new(),
    }
}

#[test]
fn no_number_of_the_steps_is_finer_than_the_shop_can_read() {
    let text = full_card(&made_up::holds(), &instruction("propane"));
    let steps = &text[text.find("<h1>").unwrap()..text.find("<h2>Cautions").unwrap()];
    let seen: String =
        steps.split('<').filter_map(|part| part.split_once('>')).map(|(_, text)| format!("{text} ")).collect();
    for unit in [" s", " in", " min", " C", " F", " mm"] {
        for before in seen.split(unit).filter(|part| part.ends_with(|c: char| c.is_ascii_digit())) {
            let number = before.rsplit([' ', '(']).next().unwrap();
            assert!(!number.contains('.'), "{number}{unit}");
        }
    }
    assert!(seen.contains("2880 kg (6340 lb)"), "{seen}");
}

#[test]
fn a_card_that_is_no_instruction_never_tells_the_better_half() {
    let all = [made_up::falls_short(), made_up::too_close(), made_up::no_bead_fits()];
    for mut outcome in all {
        let text = full_card(&outcome, &instruction("a"));
        assert!(!text.contains("planned beads fit") && !text.contains("\u{b1}"), "{text}");
        outcome.worst_end = None;
        let text = full_card(&outcome, &instruction("a"));
        assert!(!text.contains("Hold ") && !text.contains(" beads at the worst"), "no bare hold: {text}");
    }
    let text = full_card(&made_up::falls_short(), &instruction("a"));
    assert!(text.contains("Hold 41 s as stated, 24 s at the worst: no bead is safe."), "{text}");
    let text = full_card(&made_up::too_close(), &instruction("a"));
    assert!(text.contains("Hold 10 min as stated, 5 min 10 s at the worst; 2 of 3 beads at the worst."), "{text}");
}

#[test]
fn what_helps_follows_what_is_wrong() {
    let helps = |outcome: &Outcome| {
        let text = full_card(outcome, &instruction("a"));
        text.split("What helps: ").nth(1).map(|rest| rest.split('<').next().unwrap().to_owned())
    };
    let mut outcome = made_up::falls_short();
    assert_eq!(
        helps(&outcome).unwrap(),
        "heat wider, or heat the whole casting first, or fewer beads per heat, or a shorter wait."
    );
    outcome.planned_per_heat = None;
    assert!(!helps(&outcome).unwrap().contains("beads"));
    outcome.first_breach.as_mut().unwrap().limit = study::Limit::Interpass;
    assert!(helps(&outcome).unwrap().starts_with("heat to less") && !helps(&outcome).unwrap().contains("wider"));
    assert!(helps(&made_up::too_close()).unwrap().contains("narrower ranges"));
    let none = made_up::not_asked();
    assert_eq!(helps(&none), None);
    let text = full_card(&none, &instruction("a"));
    assert!(text.contains("No minimum was given: put [window] from the procedure into the scenario."), "{text}");
    assert!(!text.contains("does not hold for certain"), "{text}");
}

#[test]
fn a_card_without_a_title_is_called_a_heating_card() {
    let mut outcome = made_up::holds();
    outcome.title = " ".to_owned();
    let text = full_card(&outcome, &instruction("a"));
    assert!(text.contains("<title>Heating card</title>") && text.contains("<h1>Heating card</h1>"), "{text}");
}

#[test]
fn cautions_that_find_no_room_on_a_card_are_counted() {
    let mut outcome = made_up::holds();
    outcome.cautions = (0..60).map(|n| format!("{n} {}", "a caution of many words ".repeat(6))).collect();
    let text = card(&Card { outcome: &outcome, instruction: &instruction("a"), advice: None, touching: None });
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
fn a_log_sheet_is_a_schedule_only_where_it_holds() {
    let told = instruction("ring_coldest");
    for (what, outcome) in made_up::all() {
        let text = log_sheet(&LogSheet { outcome: &outcome, instruction: &told, advice: None, units: Units::Both });
        let holds = outcome.verdict == Verdict::Holds && !outcome.interrupted;
        assert_eq!(text.contains("For logging a trial only") && text.contains("do not weld by it"), !holds, "{what}");
        assert_eq!(text.contains("before bead"), holds, "{what}");
        assert!(text.contains("flame off</td>"), "{what}: a trial is logged, too");
        // A planned time in the column of the clock would be typed in as if it had been read.
        assert_eq!(text.matches("<tr><td></td>").count(), 16, "{what}");
    }
}

#[test]
fn a_log_sheet_tells_of_places_that_find_no_room() {
    let mut told = instruction("ring_coldest");
    told.places = (0..90).map(|n| format!("place_number_{n}")).collect();
    let outcome = made_up::holds();
    let text = log_sheet(&LogSheet { outcome: &outcome, instruction: &told, advice: None, units: Units::Both });
    let shown = text.matches("<code>place_number_").count();
    assert!(shown > 10 && text.contains(&format!("and {} more in the scenario", 90 - shown)), "{shown}");
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
