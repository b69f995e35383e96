//! The welding day: beads against closed forms, the day against its mean, and the order of the work.

use warmhold::exact::{Disc, Heating, Metal, Rectangle};
use warmhold::heat::{
    Accuracy, CoolTo, Event, Flame, Grids, Halt, Interval, Pass, Passes, ProbeKind, Ring, Run, Schedule, What,
};
use warmhold::scenario::{DEMONSTRATION, Override, Scenario, read};
use warmhold::study::{Outcome, check};
use whole::{alone, casting, disc, flux, march, nested, point, probe, rectangle};

/// The demonstration after some changes, on grids of a few cells across.
fn demonstration(changes: &[&str]) -> Scenario {
    let set = |change: &&str| Override::parse(change).expect("an override");
    let mut changes: Vec<Override> = changes.iter().map(set).collect();
    changes.push(Override::parse("accuracy.cells_across=4").expect("an override"));
    read(DEMONSTRATION, "demonstration.toml", &changes).unwrap_or_else(|problems| panic!("{problems}"))
}

/// The answer on one grid: quick, and good for what happens when.
fn answer(mut scenario: Scenario) -> Outcome {
    scenario.question.accuracy.grids = Grids::MiddleOnly;
    answered(scenario)
}

/// The answer without ranges.
fn answered(mut scenario: Scenario) -> Outcome {
    scenario.question.ranges.clear();
    check(&scenario.case, &scenario.question, &|_| true).expect("the case must march")
}

/// Twenty-four beads in six layers.
const DAY: &str = "passes={ per_heat = 2, first_after = \"20 s\", travel = \"2 mm/s\", \
    pause = { peen = \"20 s\", brush = \"10 s\", inspect = \"15 s\" }, \
    arc = { process = \"MMA\", volts = 24, amps = 120 }, \
    fill = { bead_length = \"30 mm\", bead_width = \"10 mm\", layers = 6, order = \"staggered\" } }";
const TO_THE_END: &str = "schedule.cycles.reheats=until all beads are laid";
const TIMED: &str = "schedule.cycles.heat_up={ for = \"18 min\" }";
const TIMED_REHEAT: &str = "schedule.cycles.reheat={ for = \"4 min\" }";

#[test]
fn a_repair_of_24_beads_is_laid_bead_by_bead_and_no_joule_is_lost() {
    let scenario = demonstration(&[DAY, TO_THE_END]);
    let run = march(&scenario.case, &scenario.question.accuracy);
    for ledger in &run.ledgers {
        assert!(ledger.residual_j().abs() <= 1e-9 * ledger.scale_j(), "{ledger:?}");
    }
    // 24 beads of 15 s at 2304 W.
    assert!((run.ledger.arc_j / (24.0 * 15.0 * 2304.0) - 1.0).abs() < 1e-9, "{}", run.ledger.arc_j);
    let outcome = answer(scenario);
    let day = outcome.welding.expect("there are passes");
    assert_eq!((day.planned, day.laid, outcome.heats.len()), (Some(24), 24, 12));
    assert!((day.arc_s - 24.0 * 15.0).abs() < 1e-6 && day.waited_s == 0.0);
    for (number, bead) in day.beads.iter().enumerate() {
        assert_eq!((bead.bead, bead.heat, bead.number), (number + 1, number / 2 + 1, number % 2 + 1));
        assert_eq!(bead.flame_before, number % 2 == 0);
        assert_eq!(bead.layer, Some(number / 4 + 1));
        assert!((bead.heat_input_j_per_m.expect("the length is known") / 1.152e6 - 1.0).abs() < 1e-9);
        assert!(bead.coldest_c < bead.mean_c && bead.mean_c < bead.hottest_c);
    }
    // The run ends with the pause of the last bead.
    let last = day.beads.last().expect("24 beads");
    assert!((day.total_s - last.end_s - 45.0).abs() < 1e-6 && day.total_s <= outcome.ran_until_s);
    assert!(day.cooling.contains("cast iron"), "{}", day.cooling);
}

/// The same work with one bead over the whole groove for each heat, of the same heat over the same time.
fn averaged(scenario: &Scenario) -> Scenario {
    let mut mean = scenario.clone();
    let passes = mean.case.passes.as_mut().expect("there are passes");
    let (first, heats) = (passes.list[0], passes.list.len() / 2);
    let groove = scenario.question.ring.expect("there is a window").0.groove;
    let arc_s = 2.0 * first.arc_s + first.pause_s;
    let power = 2.0 * first.arc_s * first.power / arc_s;
    passes.list = vec![Pass { place: groove, power, arc_s, ..first }; heats];
    passes.per_heat = 1;
    mean
}

/// Mean over time of the ring's mean from the first flame-off on, Celsius.
fn mean_of_the_day(scenario: &Scenario, run: &Run) -> f64 {
    let curve = &run.curves[scenario.question.ring.expect("there is a window").1.mean];
    let (from, to) = (run.heats()[0][1], run.ran_until_s);
    let places = 4000;
    (0..places).map(|n| curve.at(from + (to - from) * (f64::from(n) + 0.5) / f64::from(places))).sum::<f64>()
        / f64::from(places)
}

#[test]
fn a_day_of_beads_and_the_same_heat_all_over_the_groove_agree_on_the_mean_of_the_ring() {
    let beads = demonstration(&[DAY, TO_THE_END, TIMED, TIMED_REHEAT]);
    let mean = averaged(&beads);
    let [by_bead, by_mean] = [&beads, &mean].map(|s| march(&s.case, &alone(4, 1.0)));
    let stored = (by_bead.ledger.stored_j / by_mean.ledger.stored_j - 1.0).abs();
    let ring_k = mean_of_the_day(&beads, &by_bead) - mean_of_the_day(&mean, &by_mean);
    println!("stored heat apart by {stored:.1e}, ring mean of the day by {ring_k:.3} K");
    assert!((by_bead.ledger.arc_j / by_mean.ledger.arc_j - 1.0).abs() < 1e-9);
    assert!(stored < 3e-4, "{stored:e}");
    assert!(ring_k.abs() < 0.3, "{ring_k} K");
}

/// Beads of 20 s and 60 s of pause, one after the other, on a lossless block that no wave crosses in the time.
#[test]
fn the_interpass_temperature_climbs_as_pulses_on_a_half_space_do() {
    const BEADS: usize = 8;
    let (place, power) = (rectangle([0.3, 0.3], [0.02, 0.006]), 2304.0);
    let pass = Pass { place, power, arc_s: 20.0, pause_s: 60.0 };
    let mut case = casting([0.6, 0.6, 0.3], 0.0);
    case.torches = vec![flux(disc(0.3, 0.3, 0.06), 0.0)];
    case.passes = Some(Passes { list: vec![pass], first_after_s: 1.0, per_heat: BEADS, ..Passes::default() });
    case.schedule = Schedule::Cycles {
        heat_up: Flame::For { seconds: 1.0 },
        interval: Interval::Fixed { seconds: 700.0 },
        reheat: Flame::For { seconds: 1.0 },
        reheats: 0,
        after_s: 0.0,
    };
    let places = [[0.0, 0.02, 0.0], [0.04, 0.0, 0.0], [0.0, 0.03, 0.01], [0.06, 0.05, 0.0]];
    case.probes = places.map(|p| point([0.3 + p[0], 0.3 + p[1], p[2]])).to_vec();
    let run = march(&case, &nested(8, 0.3));
    assert_eq!(run.passes().len(), BEADS);

    let metal = Metal::new(46.0, 7200.0, 500.0);
    let bead = Rectangle { half_x: 0.02, half_y: 0.006 };
    let heating = Heating { flux: power / bead.area(), duration: 20.0 };
    let rise = |at: [f64; 3], time_s: f64| -> f64 {
        run.passes().iter().map(|[start_s, _]| bead.rise_after(metal, heating, at, time_s - start_s)).sum()
    };
    let mut worst = 0.0_f64;
    for (curve, at) in run.curves.iter().zip(places) {
        let climb: Vec<f64> = run.passes().iter().skip(1).map(|[start_s, _]| curve.at(*start_s)).collect();
        assert!(climb.windows(2).all(|pair| pair[0] < pair[1]), "{climb:?}");
        for [start_s, _] in run.passes().into_iter().skip(1) {
            let off = (curve.at(start_s) - 20.0 - rise(at, start_s)).abs();
            let bar = curve.error_at(start_s);
            worst = worst.max(off / rise(at, start_s));
            assert!(off <= bar + 0.02, "{at:?} at {start_s} s: {off} K of {}, bar {bar} K", rise(at, start_s));
        }
    }
    println!("interpass climb within {:.2} % of the closed form", 100.0 * worst);
    assert!(worst < 0.01, "{worst}");
}

/// A small warm casting with four beads in a row, and what happens in order.
fn row_of_beads(change: impl Fn(&mut Passes)) -> Run {
    let mut case = casting([0.3, 0.24, 0.1], 0.0);
    case.torches = vec![flux(disc(0.15, 0.12, 0.06), 2e5)];
    let groove = rectangle([0.15, 0.12], [0.03, 0.01]);
    case.probes = vec![probe(ProbeKind::RingHottest(Ring { groove, width: 0.03, depth: 0.0 }))];
    let pass = |n: usize| Pass {
        place: rectangle([0.135 + 0.01 * n as f64, 0.12], [0.005, 0.005]),
        power: 1500.0,
        arc_s: 5.0,
        pause_s: 10.0,
    };
    let mut passes =
        Passes { list: (0..4).map(pass).collect(), first_after_s: 5.0, per_heat: 3, once: true, ..Passes::default() };
    change(&mut passes);
    case.passes = Some(passes);
    case.schedule = Schedule::Cycles {
        heat_up: Flame::For { seconds: 60.0 },
        interval: Interval::Fixed { seconds: 60.0 },
        reheat: Flame::For { seconds: 20.0 },
        reheats: 10,
        after_s: 30.0,
    };
    march(&case, &nested(4, 1.0))
}

/// Times of the beads' starts, s, and of the end of the work.
fn starts(run: &Run) -> (Vec<f64>, f64) {
    let end = run.events.iter().rfind(|event| event.what == What::IntervalEnd).expect("the work ends");
    (run.passes().iter().map(|pass| pass[0].round()).collect(), end.time_s.round())
}

#[test]
fn beads_run_on_over_heats_and_the_schedule_ends_with_the_last() {
    let run = row_of_beads(|_| ());
    assert_eq!(starts(&run), (vec![65.0, 80.0, 95.0, 145.0], 160.0));
    assert_eq!((run.heats().len(), run.ran_until_s.round()), (2, 190.0));
    let again = row_of_beads(|passes| passes.once = false);
    assert_eq!((again.heats().len(), again.passes().len()), (11, 33));
}

#[test]
fn a_stop_to_grind_ends_its_heat_and_keeps_the_flame_off() {
    let run = row_of_beads(|passes| passes.halts = vec![Halt { after: 1, seconds: 120.0 }]);
    // Second bead at 80 s, 5 s of arc, 10 s of pause, 120 s of grinding; then 20 s of flame.
    assert_eq!(run.heats()[1].map(f64::round), [215.0, 235.0]);
    assert_eq!(starts(&run), (vec![65.0, 80.0, 240.0, 255.0], 270.0));
}

#[test]
fn nothing_is_heated_again_and_again_for_beads_that_never_fit() {
    let run = row_of_beads(|passes| passes.list[3].arc_s = 58.0);
    assert_eq!((run.passes().len(), run.heats().len()), (3, 2));
}

#[test]
fn a_ring_that_gets_too_cold_while_someone_grinds_is_told() {
    let day = DAY.replace("layers = 6,", "layers = 1,");
    let grind = |takes: &str| {
        let grind = format!("passes.grind={{ after_bead = 1, takes = \"{takes}\" }}");
        answer(demonstration(&[&day, TO_THE_END, &grind, "window.minimum=250 F", "schedule.cycles.interval=200 s"]))
    };
    let told = |outcome: &Outcome| {
        outcome.warnings.iter().any(|warning| warning.contains("ground out") && warning.contains("ST15"))
    };
    let (long, short) = (grind("10 min"), grind("1 s"));
    assert!(told(&long) && !told(&short), "{:?} {:?}", long.warnings, short.warnings);
    let beads = &long.welding.as_ref().expect("there are passes").beads;
    assert_eq!(beads.iter().filter(|bead| bead.again).map(|bead| bead.bead).collect::<Vec<_>>(), [2]);
    assert!(beads[1].flame_before && beads[1].start_s - beads[0].end_s > 600.0);
}

/// An interval that ends by temperature is not called too short when the work was done before.
#[test]
fn a_guarded_interval_that_ends_with_the_work_is_long_enough() {
    let day = DAY.replace("per_heat = 2", "per_heat = 1").replace("layers = 6,", "layers = 1,");
    let guard = "schedule.cycles.interval={ guard = \"5 K\", at_most = \"5 min\" }";
    let outcome = answer(demonstration(&[&day, TO_THE_END, guard]));
    assert_eq!((outcome.verdict.words(), outcome.beads_per_heat), ("holds", Some(1)), "{:?}", outcome.first_breach);
    assert_eq!(outcome.welding.expect("there are passes").laid, 4);
}

#[test]
fn a_ring_that_is_too_hot_is_waited_for() {
    let hottest_c = |run: &Run, number: usize| run.curves[0].at(run.passes()[number][0]);
    let eager = row_of_beads(|_| ());
    let limit_c = hottest_c(&eager, 1) - 10.0;
    let cool_to = |at_most_s: f64| Some(CoolTo { probe: 0, temperature_c: limit_c, at_most_s });
    let patient = row_of_beads(|passes| passes.cool_to = cool_to(40.0));
    assert!(patient.passes()[1][0] > eager.passes()[1][0] + 1.0);
    for (number, _) in patient.passes().iter().enumerate() {
        assert!(
            hottest_c(&patient, number) <= limit_c + 0.2,
            "{number}: {} over {limit_c}",
            hottest_c(&patient, number)
        );
    }
    let waits: Vec<&Event> = patient.events.iter().filter(|event| event.what == What::Waiting).collect();
    assert!(!waits.is_empty());
    // A wait that runs out starts the bead all the same.
    let hasty = row_of_beads(|passes| passes.cool_to = cool_to(0.5));
    assert!(hottest_c(&hasty, 1) > limit_c + 1.0);
}

#[test]
fn a_wait_keeps_the_verdict_from_the_maximum_and_is_counted() {
    let hot = |wait: &str| {
        let passes = format!(
            "passes={{ per_heat = 2, first_after = \"5 s\", arc_time = \"20 s\", pause = \"5 s\", power = \"2.3 kW\"{wait} }}"
        );
        answer(demonstration(&[
            &passes,
            "window.maximum_interpass=430 F",
            "window.minimum=250 F",
            "schedule.cycles.interval=5 min",
        ]))
    };
    let eager = hot("");
    assert!(
        eager.first_breach.as_ref().is_some_and(|breach| breach.place == "ring, hottest"),
        "{:?}",
        eager.first_breach
    );
    let patient = hot(", wait_until_below_maximum = \"4 min\"");
    let day = patient.welding.as_ref().expect("there are passes");
    assert!(day.waited_s > 10.0 && day.beads.iter().all(|bead| bead.hottest_c < Some(221.2 + 0.5)), "{day:?}");
    assert!(patient.first_breach.as_ref().is_none_or(|breach| breach.place != "ring, hottest"));
}

#[test]
fn heat_of_the_arc_makes_beads_more_where_the_ring_is_near_and_is_said_not_to_where_it_is_far() {
    let work =
        "passes={ per_heat = 8, first_after = \"20 s\", arc_time = \"30 s\", pause = \"30 s\", power = \"2.3 kW\" }";
    let beads = |width: &str| {
        let outcome =
            answer(demonstration(&[work, "schedule.cycles.interval=9 min", width, "window.maximum_interpass=900 F"]));
        let effect = outcome.welding.as_ref().and_then(|day| day.arc_effect).expect("there is a window");
        println!("{width}: {:?} beads a heat, {effect:?}", outcome.beads_per_heat);
        // Here the answer itself comes from the same grid.
        assert_eq!(outcome.beads_per_heat, Some(effect.beads_per_heat_with));
        (effect.beads_per_heat_with, effect)
    };
    let (near, effect) = beads("ring.width=15 mm");
    assert!(near > effect.beads_per_heat_without && effect.coldest_gain_k > 1.0, "{near} {effect:?}");
    let (far, effect) = beads("ring.width=75 mm");
    assert!(far == effect.beads_per_heat_without && effect.coldest_gain_k > 0.0, "{far} {effect:?}");
}

#[test]
fn cooling_times_come_from_the_ring_as_each_bead_starts() {
    let outcome = answer(demonstration(&[DAY, "casting.metal=cast steel", "schedule.cycles.reheats=1"]));
    let day = outcome.welding.expect("there are passes");
    assert!(day.cooling.contains("ST7"), "{}", day.cooling);
    for bead in &day.beads {
        let plate_c = bead.mean_c.expect("there is a window");
        let by_hand = (6700.0 - 5.0 * plate_c) * 1.152 * (1.0 / (500.0 - plate_c) - 1.0 / (800.0 - plate_c));
        assert!((bead.cooling_s.expect("steel") / by_hand - 1.0).abs() < 1e-9 && bead.thick_plate == Some(true));
    }
}

/// The patch that is said to be just wide enough is: with its flux the engine brings the coldest of the ring to the
/// minimum as the middle gets as hot as before.
#[test]
fn the_smallest_patch_just_warms_the_ring() {
    let metal = "metal={ density = \"7200 kg/m3\", conductivity = \"46 W/mK\", specific_heat = \"500 J/kgK\" }";
    let run = |flux: &str, patch: &str| {
        let text = DEMONSTRATION.replacen("metal = \"grey iron 250\"", "# ", 1).replacen(
            "condition = \"as cast\"",
            "emissivity = 0 #",
            1,
        );
        let text = text.replacen("[torch.fuel]\ngas = \"propane\"\nrate = \"2.2 kg/h\"\nshare = \"30 %\"\nshare_range = [\"15 %\", \"50 %\"]", flux, 1);
        let changes = [
            metal,
            patch,
            "faces={ adiabatic = true }",
            "schedule.cycles.heat_up={ for = \"15 min\" }",
            "accuracy.cells_across=6",
            "schedule.cycles.reheats=0",
        ];
        let changes: Vec<Override> =
            changes.iter().map(|change| Override::parse(change).expect("an override")).collect();
        let scenario = read(&text, "smallest.toml", &changes).unwrap_or_else(|problems| panic!("{problems}"));
        answered(scenario)
    };
    let at_off = |outcome: &Outcome, probe: &str| {
        let curve = &outcome.curves[probe];
        let number = curve.time_s.iter().position(|t| (t - 900.0).abs() < 1e-9).expect("the flame goes off at 15 min");
        curve.temperature_c[number]
    };
    let wide = run("[torch.flux]\nflux = \"80 kW/m2\"", "patch={ disc = { diameter = \"400 mm\" } }");
    let [diameter, _] = wide.ring.as_ref().and_then(|ring| ring.smallest_heated_m).expect("there is one");
    let peak_k = at_off(&wide, "patch_centre") - 20.0;
    let needed = Disc { radius: 0.5 * diameter }.flux_for_centre_rise(Metal::new(46.0, 7200.0, 500.0), peak_k, 900.0);
    let narrow = run(
        &format!("[torch.flux]\nflux = \"{needed} W/m2\""),
        &format!("patch={{ disc = {{ diameter = \"{diameter} m\" }} }}"),
    );
    let (peak_c, coldest_c) = (at_off(&narrow, "patch_centre"), at_off(&narrow, "ring_coldest"));
    println!("{diameter} m across: middle {peak_c} C, coldest of the ring {coldest_c} C");
    assert!((peak_c - 20.0 - peak_k).abs() < 0.5, "{peak_c} {peak_k}");
    assert!((coldest_c - (300.0 - 32.0) / 1.8).abs() < 1.0, "{coldest_c}");
}

/// What the nominal day costs: with `--ignored --nocapture`, in a release build.
#[test]
#[ignore = "measures time"]
fn time_of_a_day_of_24_beads() {
    let scenario = demonstration(&[DAY, TO_THE_END]);
    for (cells_across, grids) in
        [(4, Grids::MiddleOnly), (4, Grids::Nested), (6, Grids::Nested), (10, Grids::MiddleOnly), (10, Grids::Nested)]
    {
        let start = std::time::Instant::now();
        let run = march(&scenario.case, &Accuracy { cells_across, grids, ..scenario.question.accuracy });
        println!(
            "{cells_across} {grids:?}: {:.2} s, {} cells, {} steps",
            start.elapsed().as_secs_f64(),
            run.stats.cells,
            run.stats.steps
        );
    }
}
