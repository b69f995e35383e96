//! Measuring advice and comparisons, held against the engine's own field on finer grids.

use warmhold::heat::{Accuracy, Flame, Grids, Interval, Probe, ProbeKind, Ring, Run, Schedule, solve};
use warmhold::quantity::Units;
use warmhold::report::advice_text;
use warmhold::scenario::{DEMONSTRATION, Override, Scenario, looks, read};
use warmhold::study::{
    Advice, AdviceAsk, AdviceError, CRAYON_K, CompareAsk, Comparison, RELAXED_K, Reading, Said, Spot, Standing, advice,
    compare,
};

/// A round case far from every edge, a patch off the middle near an edge, and a thin wall.
const CASES: [&[&str]; 3] = [
    &["accuracy.cells_across=8"],
    &[
        "accuracy.cells_across=4",
        "casting={ length = \"500 mm\", width = \"400 mm\", depth = \"200 mm\", metal = \"grey iron 250\", start = \"20 C\" }",
        "patch={ rectangle = { length = \"200 mm\", width = \"160 mm\" }, centre = [\"200 mm\", \"100 mm\"] }",
        "ring.width=40 mm",
        "torch.fuel.rate=1.5 kg/h",
    ],
    &[
        "accuracy.cells_across=4",
        "casting={ length = \"600 mm\", width = \"600 mm\", depth = \"45 mm\", metal = \"grey iron 250\", start = \"20 C\" }",
        "ring.width=60 mm",
    ],
];

/// The demonstration without a back that stands on anything, with changes.
fn scenario(changes: &[&str]) -> Scenario {
    let text = DEMONSTRATION.replace("[faces.back]\nstands_on = \"timber\"", "[faces.back]\nadiabatic = true");
    let changes: Vec<Override> = changes.iter().map(|change| Override::parse(change).expect("an override")).collect();
    let mut text = text;
    // Its probes and times belong to its own casting.
    text.truncate(text.find("[probes]").expect("it has probes"));
    read(&text, "changed", &changes).unwrap_or_else(|problems| panic!("{problems}"))
}

fn ask() -> AdviceAsk {
    let crayons_c = (0..29).map(|n| (100.0 + 25.0 * f64::from(n) - 32.0) / 1.8).collect();
    AdviceAsk { crayons_c, gun: 0.95, looks: looks(), lag_s: Some(3.0), break_s: Some(180.0) }
}

fn advised(scenario: &Scenario) -> Advice {
    advice(&scenario.case, &scenario.question, &ask(), &|_| true).expect("there is advice")
}

/// The same heating and watch on finer grids and shorter steps, with the spot, the depths and the face of the ring.
fn finer(scenario: &Scenario, advice: &Advice) -> (Run, [usize; 5]) {
    let Schedule::Cycles { heat_up, .. } = scenario.case.schedule else { panic!("cycles") };
    let watch = Interval::Fixed { seconds: 1200.0 };
    let mut case = scenario.case.clone();
    let once = Flame::For { seconds: 1.0 };
    case.schedule = Schedule::Cycles { heat_up, interval: watch, reheat: once, reheats: 0, after_s: 0.0 };
    case.passes = None;
    let (ring, probes) = scenario.question.ring.expect("a ring");
    let first = case.probes.len();
    let point = |z: f64| ProbeKind::Point { at: [advice.touch.x_m, advice.touch.y_m, z] };
    let face = ProbeKind::RingColdest(Ring { depth: 0.0, ..ring });
    for kind in [point(0.0), point(advice.depths_m[0]), point(advice.depths_m[1]), face] {
        case.probes.push(Probe { name: format!("{kind:?}"), kind });
    }
    let own = scenario.question.accuracy;
    let finer = Accuracy {
        cells_across: own.cells_across + own.cells_across / 2,
        step_error_k: 0.3,
        grids: Grids::Nested,
        ..own
    };
    let run = solve(&case, &finer, &|_| true).expect("the case must march");
    (run, [first, first + 1, first + 2, probes.coldest, first + 3])
}

#[test]
fn every_line_of_advice_is_what_a_finer_field_shows() {
    for (number, changes) in CASES.into_iter().enumerate() {
        let scenario = scenario(changes);
        let advice = advised(&scenario);
        let (run, [spot, shallow, deep, coldest, face]) = finer(&scenario, &advice);
        let off_s = run.heats()[0][1];
        let at = |probe: usize, after_s: f64| run.curves[probe].at(off_s + after_s);
        let bar = |probe: usize, after_s: f64| run.curves[probe].error_from_switch(off_s + after_s);
        for moment in &advice.moments {
            let after_s = moment.after_off_s;
            let told = [
                (spot, moment.spot_c),
                (shallow, moment.below_c[0]),
                (deep, moment.below_c[1]),
                (coldest, moment.coldest_c),
            ];
            for (probe, celsius) in told {
                let off = (at(probe, after_s) - celsius).abs();
                let allowed = moment.error_k + bar(probe, after_s) + 0.05;
                assert!(off <= allowed, "case {number}, {after_s} s, probe {probe}: {off} over {allowed}");
            }
        }
        // No place of the ring's face is colder than the spot, where it matters.
        let judged_s = advice.hold_s.unwrap_or(1200.0);
        let colder = at(spot, judged_s) - at(face, judged_s);
        assert!(colder < 0.5 + bar(face, judged_s), "case {number}: the face is {colder} K colder elsewhere");
        waits(number, &advice, &|after_s| {
            let gaps = [shallow, deep].map(|below| (at(spot, after_s) - at(below, after_s)).abs());
            gaps[0].max(gaps[1])
        });
        let low = advice.low_crayon.expect("a rating is high enough");
        if let Some(until_s) = low.melts_until_s.filter(|until_s| *until_s > 0.0) {
            let off = (at(spot, until_s) - low.rating_c).abs();
            assert!(
                off < 0.1 + bar(spot, until_s) + low.error_s.unwrap() * run.curves[spot].rate(off_s + until_s).abs()
            );
            assert!(at(coldest, until_s) > advice.minimum_c - CRAYON_K - bar(coldest, until_s) - 0.1, "case {number}");
        }
        if let Some(hold_s) = advice.hold_s.filter(|hold_s| *hold_s > 0.0) {
            let own = run.curves[coldest].falls_below(advice.minimum_c, off_s, run.ran_until_s).expect("it falls");
            assert!((own.time_s - off_s - hold_s).abs() < 0.03 * hold_s + own.error_s, "case {number}");
        }
    }
}

/// What the instruments show, from the finer field by other ways: small steps, and the formula turned round.
#[test]
fn instruments_show_what_a_finer_field_makes_them_show() {
    for (number, changes) in CASES.into_iter().enumerate() {
        let scenario = scenario(changes);
        let advice = advised(&scenario);
        let (run, [spot, ..]) = finer(&scenario, &advice);
        let off_s = run.heats()[0][1];
        let (surface, lag_s) = (&run.curves[spot], advice.lag_s.expect("asked for"));
        let in_time = |wait_s: &f64| advice.hold_s.is_none_or(|hold_s| *wait_s < hold_s);
        let touched_s = off_s + advice.wait_s.filter(in_time).unwrap_or(0.0);
        let step_s = 1e-3;
        let (mut shown_c, mut step) = (20.0, 0_u32);
        for told in &advice.lagging {
            while f64::from(step) * step_s < told.after_touch_s {
                let middle_s = touched_s + (f64::from(step) + 0.5) * step_s;
                shown_c += step_s / lag_s * (surface.at(middle_s) - shown_c);
                step += 1;
            }
            let bar = surface.error_from_switch(touched_s + told.after_touch_s);
            let off = (told.shown_c - shown_c).abs();
            assert!(off < 0.5 + 3.0 * bar, "case {number}: {told:?} and {shown_c}");
        }
        let kelvin = |celsius: f64| celsius + 273.15;
        for gun in &advice.gun {
            let fourth = |celsius: f64| kelvin(celsius).powi(4);
            let background = fourth(20.0);
            let back =
                (advice.gun_set / gun.emissivity * (fourth(gun.shown_c[0]) - background) + background).powf(0.25);
            assert!((back - kelvin(advice.minimum_c)).abs() < 1e-6, "{gun:?}");
        }
        let high = advice.high_crayon.expect("a rating is low enough");
        let (_, probes) = scenario.question.ring.expect("a ring");
        let hottest = &run.curves[probes.hottest];
        match high.melts_until_s {
            Some(0.0) => assert!(hottest.at(off_s) < high.rating_c + hottest.error_from_switch(off_s) + 0.3),
            Some(until_s) => {
                let own = hottest.falls_below(high.rating_c, off_s, run.ran_until_s).expect("it falls");
                let bar = own.error_s + high.error_s.expect("it falls") + 0.05 * until_s + 0.1;
                assert!((own.time_s - off_s - until_s).abs() < bar, "case {number}: {own:?} {high:?}");
            }
            None => assert!(hottest.at(off_s + 1200.0) > high.rating_c - 0.3),
        }
    }
}

/// The gap is as told when the wait is over, and was larger before.
fn waits(number: usize, advice: &Advice, gap_k: &dyn Fn(f64) -> f64) {
    let Some((wait_s, error_s)) = advice.wait_s.zip(advice.wait_error_s) else {
        assert!(gap_k(1200.0) > RELAXED_K - 0.5, "case {number}");
        return;
    };
    assert!(gap_k(wait_s + error_s) <= RELAXED_K + 0.1, "case {number}: {}", gap_k(wait_s + error_s));
    let before_s = wait_s - error_s - 0.5;
    assert!(before_s <= 0.0 || gap_k(before_s) > RELAXED_K - 0.1, "case {number}: {}", gap_k(before_s));
}

#[test]
fn a_break_and_its_reheat_are_what_a_finer_field_shows() {
    for (number, changes) in CASES.into_iter().enumerate() {
        let scenario = scenario(changes);
        let pause = advised(&scenario).pause.expect("a break was asked for");
        let Schedule::Cycles { heat_up, .. } = scenario.case.schedule else { panic!("cycles") };
        let (_, probes) = scenario.question.ring.expect("a ring");
        let reheat_s = pause.to_where_it_was_s.expect("the flame brings it back");
        let mut case = scenario.case.clone();
        case.passes = None;
        case.schedule = Schedule::Cycles {
            heat_up,
            interval: Interval::Fixed { seconds: pause.break_s },
            reheat: Flame::For { seconds: reheat_s },
            reheats: 1,
            after_s: 0.0,
        };
        let own = scenario.question.accuracy;
        let finer = Accuracy { cells_across: own.cells_across + own.cells_across / 2, grids: Grids::Nested, ..own };
        let run = solve(&case, &finer, &|_| true).expect("the case must march");
        let [on_s, off_s] = run.heats()[1];
        let coldest = &run.curves[probes.coldest];
        let bar = |time_s: f64| coldest.error_from_switch(time_s) + 0.2;
        assert!((coldest.at(on_s) - pause.coldest_c).abs() < pause.coldest_error_k + bar(on_s), "case {number}");
        let allowed = bar(off_s) + pause.to_where_it_was_error_s.unwrap() * coldest.rate(off_s - 0.1).abs();
        let off = (coldest.at(off_s) - pause.was_c).abs();
        assert!(off < allowed, "case {number}: {off} over {allowed}");
        let minimum_c = scenario.question.window.expect("a window").minimum_c;
        if let Some(reheat_s) = pause.to_minimum_s.filter(|seconds| *seconds > 0.0) {
            let off = (coldest.at(on_s + reheat_s) - minimum_c).abs();
            let slope = coldest.rate(on_s + reheat_s).abs();
            assert!(off < bar(on_s + reheat_s) + pause.to_minimum_error_s.unwrap() * slope, "case {number}: {off}");
        }
    }
}

#[test]
fn advice_says_the_same_in_both_systems_of_units_and_is_no_wider_than_a_terminal() {
    let advice = advised(&scenario(CASES[0]));
    let [metric, shop, both] = [Units::Metric, Units::Shop, Units::Both].map(|units| advice_text(&advice, units));
    assert!(metric.starts_with("Touch here: 75 mm from the edge of the groove"), "{metric}");
    assert!(shop.starts_with("Touch here: 2.95 in from the edge of the groove"), "{shop}");
    assert!(both.contains("75 mm (2.95 in)") && both.contains("149 C (300 F)"));
    // Cautions and closing name temperatures and steps of the trade in its own units.
    let [in_metric, in_shop] = [&metric, &shop].map(|text| text.split("\nCautions").next().unwrap_or_default());
    for unit in [" K", " mm", " C,"] {
        assert!(!in_shop.contains(unit), "{unit}: {in_shop}");
    }
    for unit in [" F", " in,", " in)"] {
        assert!(!in_metric.contains(unit), "{unit}: {in_metric}");
    }
    for text in [&metric, &shop, &both] {
        // The title of a table may be longer than its columns.
        let wide = text.lines().find(|line| line.chars().count() > 100 && !line.starts_with("An infrared gun"));
        assert_eq!(wide, None);
    }
}

#[test]
fn without_a_ring_there_is_nothing_to_advise() {
    let mut plain = scenario(CASES[0]);
    plain.question.window = None;
    assert_eq!(advice(&plain.case, &plain.question, &ask(), &|_| true), Err(AdviceError::NoRing));
    assert_eq!(
        advice(&scenario(CASES[0]).case, &scenario(CASES[0]).question, &ask(), &|_| false),
        Err(AdviceError::Interrupted)
    );
}

/// Readings that the model itself gives at two probes, moved by so many kelvin.
fn log(scenario: &Scenario, moved_k: f64) -> Vec<Reading> {
    let accuracy = Accuracy { cells_across: 10, ..scenario.question.accuracy };
    let run = solve(&scenario.case, &accuracy, &|_| true).expect("the case must march");
    let (_, probes) = scenario.question.ring.expect("a ring");
    let reading = |(probe, time_s): (usize, f64)| Reading {
        line: None,
        time_s,
        place: scenario.case.probes[probe].name.clone(),
        spot: Spot::Probe(probe),
        said: Said::Reads(run.curves[probe].at(time_s) + moved_k),
    };
    let (centre, coldest) = (probes.centre, probes.coldest);
    [(centre, 200.0), (centre, 420.0), (coldest, 400.0), (coldest, 500.0)].map(reading).to_vec()
}

fn compared(scenario: &Scenario, readings: Vec<Reading>) -> Comparison {
    compare(&scenario.case, &scenario.question, &CompareAsk { readings, noise_k: 2.0 }, &|_| true).expect("it marches")
}

#[test]
fn a_log_of_the_model_agrees_one_moved_needs_the_ranges_and_one_far_off_does_not_agree() {
    let timed = ["schedule.cycles.heat_up={ for = \"7 min\" }", "schedule.cycles.reheats=0", "accuracy.cells_across=6"];
    let scenario = scenario(&timed);
    let own = compared(&scenario, log(&scenario, 0.0));
    assert!(own.agrees && own.within_error == 4 && own.rms_residual_k.unwrap() < 1.0, "{own:?}");
    let moved = compared(&scenario, log(&scenario, -25.0));
    assert!(moved.agrees && moved.within_ranges == 4, "{moved:?}");
    assert!((moved.mean_residual_k.unwrap() + 25.0).abs() < 1.0);
    let far = compared(&scenario, log(&scenario, 200.0));
    assert!(!far.agrees && far.outside > 0 && far.readings.iter().any(|r| r.beyond_k > 20.0), "{far:?}");
}

#[test]
fn a_crayon_speaks_on_one_side_only() {
    let timed = ["schedule.cycles.heat_up={ for = \"7 min\" }", "schedule.cycles.reheats=0", "accuracy.cells_across=6"];
    let mut scenario = scenario(&timed);
    scenario.question.ranges.clear();
    let model = log(&scenario, 0.0);
    let said = |said: &dyn Fn(f64) -> Said| {
        let crayon = |reading: &Reading| Reading { said: said(reading.shown_c().unwrap()), ..reading.clone() };
        let comparison = compared(&scenario, model.iter().map(crayon).collect());
        assert!(comparison.mean_residual_k.is_none());
        comparison.readings.iter().map(|reading| reading.standing).collect::<Vec<_>>()
    };
    assert_eq!(said(&|t| Said::Melted(t - 40.0)), [Standing::WithinError; 4]);
    assert_eq!(said(&|t| Said::NotMelted(t + 40.0)), [Standing::WithinError; 4]);
    assert_eq!(said(&|t| Said::Melted(t + 40.0)), [Standing::Outside; 4]);
    assert_eq!(said(&|t| Said::NotMelted(t - 40.0)), [Standing::Outside; 4]);
}
