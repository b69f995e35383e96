//! One test for each defect that was found and mended, named for it.

use warmhold::exact;
use warmhold::heat;
use warmhold::quantity::Units;
use warmhold::report;
use warmhold::scenario::{self, Override};
use warmhold::study::{Outcome, Verdict, check};
use whole::{casting, film, march, point};

/// The demonstration on a small block and a coarse grid, changed as a user would change it.
fn outcome(changes: &[&str]) -> Outcome {
    let small = [
        "casting.length=1 m",
        "casting.width=0.8 m",
        "casting.depth=0.4 m",
        "accuracy.cells_across=5",
        "schedule.cycles.reheats=1",
    ];
    let all: Vec<Override> =
        small.iter().chain(changes).map(|text| Override::parse(text).expect("an override")).collect();
    match scenario::read(scenario::DEMONSTRATION, "demonstration", &all) {
        Ok(scenario) => check(&scenario.case, &scenario.question, &|_| true).expect("an outcome"),
        Err(problems) => panic!("{}", problems.render(false)),
    }
}

#[test]
fn a_guard_that_leaves_no_time_for_a_bead_does_not_hold() {
    let guard = "schedule.cycles.interval={ guard = \"54 K\", at_most = \"5 min\" }";
    let outcome = outcome(&[guard]);
    assert_eq!(outcome.beads_per_heat, Some(0));
    assert_eq!(outcome.verdict, Verdict::FallsShort);
}

#[test]
fn a_window_is_never_answered_with_not_asked() {
    let guard = "schedule.cycles.interval={ guard = \"54.9 K\", at_most = \"5 min\" }";
    let outcome = outcome(&[guard, "passes.first_after=2 min"]);
    assert_ne!(outcome.verdict, Verdict::NotAsked);
}

#[test]
fn a_hold_is_found_although_the_middle_of_the_patch_cools_first() {
    // A warm casting with the patch in a corner, far from the groove.
    let outcome = outcome(&[
        "casting.start=170 C",
        "patch.disc.diameter=60 mm",
        "patch.centre=[\"0.05 m\", \"0.05 m\"]",
        "groove.centre=[\"0.5 m\", \"0.4 m\"]",
        "schedule.cycles.heat_up={ for = \"10 s\" }",
        "schedule.cycles.reheat={ for = \"10 s\" }",
        "torch.fuel.rate=0.2 kg/h",
    ]);
    assert!(outcome.hold_s.is_some_and(|hold_s| hold_s > 600.0), "{:?}", outcome.hold_s);
}

#[test]
fn a_face_in_a_condition_of_its_own_keeps_the_range_of_its_emissivity() {
    let text = scenario::DEMONSTRATION
        .replace("condition = \"as cast\"", "emissivity = 0.8")
        .replace("\n[faces.back]\n", "\n[faces.worked]\ncondition = \"as cast\"\n\n[faces.back]\n");
    let scenario = scenario::read(&text, "demonstration", &[]).expect("a scenario");
    let levers: Vec<_> = scenario.question.ranges.iter().map(|range| range.lever).collect();
    assert!(levers.contains(&warmhold::study::Lever::Emissivity), "{levers:?}");
}

/// Four beads of a filling that wait for a ring far too hot for them.
const TOO_HOT: [&str; 5] = [
    "window={ minimum = \"300 F\", maximum_interpass = \"310 F\", heat_to = \"400 F\" }",
    "schedule.cycles.interval=60 s",
    "schedule.cycles.reheats=until all beads are laid",
    "passes.wait_until_below_maximum=10 min",
    "passes.per_heat=1",
];

#[test]
fn a_wait_that_outlasts_the_interval_does_not_blame_the_flame_off() {
    let outcome = outcome(&TOO_HOT);
    let day = outcome.welding.as_ref().expect("a welding day");
    assert_eq!((day.laid, day.too_hot), (0, 1));
    assert!(day.arc_s.is_sign_positive(), "a negative zero prints as -0");
    let text = report::text(&outcome, Units::Metric);
    assert!(
        text.contains("No bead fits: heat to less, or wait until it has cooled.") && !text.contains("-0 %"),
        "{text}"
    );
}

#[test]
fn a_list_of_one_bead_is_not_one_of_two_planned_beads() {
    let outcome = outcome(&["schedule.cycles.reheats=until all beads are laid"]);
    assert_eq!((outcome.planned_per_heat, outcome.beads_per_heat), (Some(1), Some(1)));
    let text = report::text(&outcome, Units::Metric);
    assert!(text.contains("The one planned bead fits") && text.contains("the only bead of the list"), "{text}");
}

#[test]
fn the_metal_under_an_arc_is_not_warned_of_as_beyond_its_table() {
    let fill = "passes.fill={ bead_length = \"10 mm\", bead_width = \"5 mm\", layers = 1 }";
    let outcome = outcome(&[fill, "passes.power=5 kW", "accuracy.cells_across=12"]);
    let run = outcome.curves["patch_hottest"].temperature_c.iter().fold(0.0_f64, |most, &celsius| most.max(celsius));
    assert!(run > 700.0, "the arc goes beyond the table: {run}");
    assert!(outcome.warnings.iter().all(|line| !line.contains("property table")), "{:?}", outcome.warnings);
}

#[test]
fn a_flame_beyond_the_table_is_warned_of_in_both_systems_of_units() {
    let outcome = outcome(&[
        "window={ minimum = \"300 F\", maximum_interpass = \"2000 F\", heat_to = \"1400 F\" }",
        "schedule.cycles.heat_up={ for = \"30 min\" }",
        "torch.fuel.rate=20 kg/h",
        "torch.fuel.share=90 %",
        "torch.fuel.share_range=[\"80 %\", \"95 %\"]",
    ]);
    let table = outcome.warnings.iter().find(|line| line.contains("property table"));
    assert!(table.is_some_and(|line| line.contains(" C (") && line.contains("[metal]")), "{:?}", outcome.warnings);
}

#[test]
fn a_target_that_electric_heat_misses_asks_for_power_not_gas() {
    let outcome = outcome(&[
        "torch={ electric = { power_density = \"1 W/cm2\" } }",
        "schedule.cycles.heat_up={ until = \"ring_coldest\", reads = \"400 F\", at_most = \"2 min\" }",
        "schedule.cycles.reheats=0",
    ]);
    assert!(outcome.warnings.iter().any(|line| line.contains("with more power")), "{:?}", outcome.warnings);
    assert!(outcome.warnings.iter().all(|line| !line.contains("gas")), "{:?}", outcome.warnings);
}

#[test]
fn a_circling_spot_too_small_to_be_real_is_warned_of() {
    let outcome = outcome(&["torch.circles={ diameter = \"200 mm\", spot = \"6 mm\", period = \"1 s\" }"]);
    assert!(outcome.warnings.iter().any(|line| line.contains("too small to be real")), "{:?}", outcome.warnings);
}

#[test]
fn stress_in_figures_is_not_said_to_be_left_out() {
    let cautions = outcome(&[]).cautions;
    assert!(
        cautions.iter().any(|line| line.starts_with("Cracking in figures: ") && line.contains("ksi)")),
        "{cautions:?}"
    );
    assert!(cautions.iter().all(|line| !line.contains("is not computed")), "{cautions:?}");
}

#[test]
fn a_back_that_is_felt_late_is_told_in_minutes_and_inches() {
    let outcome = outcome(&["casting.depth=60 mm"]);
    let meaning = outcome.half_space.expect("a closed form").meaning;
    assert!(meaning.contains("60 mm (2.4 in) thick and its back is felt after"), "{meaning}");
    let long = felt_late();
    assert!(long.contains(" min") && !long.contains("000 s"), "{long}");
}

/// A thick section under a long flame: its back is felt after most of an hour.
fn felt_late() -> String {
    let long = ["schedule.cycles.heat_up={ for = \"3 h\" }", "torch.fuel.rate=0.6 kg/h", "schedule.cycles.reheats=0"];
    outcome(&long).half_space.expect("a closed form").meaning
}

/// A casting in still air, from an hour to a day on, at the default accuracy: every instant, and how long it takes from 50
/// to 43 C, against the closed form. What the linear solver left behind made the rates at the ends of an hours-long step
/// wrong by a tenth, the curve between them by 0.2 K, and those hours by 200 s with a bar of 30 s.
#[test]
fn a_casting_that_cools_for_hours_is_known_between_its_steps_too() {
    let (half_sizes, film_coefficient, air_c, start_c) = ([0.1, 0.08, 0.03], 2.0, 20.0, 180.0);
    let end_s = 100e3;
    for conductivity in [46.0, 460.0] {
        let brick =
            exact::Brick { half_sizes, metal: exact::Metal::new(conductivity, 7200.0, 500.0), film_coefficient };
        let mut case = casting(half_sizes.map(|half| 2.0 * half), end_s);
        case.material = heat::Material::constant(7200.0, conductivity, 500.0).expect("the numbers are in range");
        case.start_c = start_c;
        case.surfaces = [film(film_coefficient); 6];
        case.probes = vec![point(half_sizes), point([0.0; 3])];
        let run = march(&case, &heat::Accuracy::default());
        for (curve, place) in run.curves.iter().zip([[0.0; 3], half_sizes]) {
            let exact_c = |time_s: f64| air_c + (start_c - air_c) * brick.share_left(place, time_s);
            // A bar is meant to cover 95 of 100 readings, and none was ever to be off by what the bug made of it. Two thousandths of a kelvin none is asked to tell, as in the
            // test of the bars.
            let mut missed = 0;
            for time_s in (0..400).map(|n| 3600.0 + (end_s - 3600.0) * f64::from(n) / 400.0) {
                let (error_k, bar_k) = ((curve.at(time_s) - exact_c(time_s)).abs(), curve.error_at(time_s));
                missed += usize::from(error_k > bar_k + 0.002);
                assert!(error_k < 0.1, "{place:?} {time_s} s: off by {error_k} K, bar {bar_k} K");
                assert!(bar_k < 0.1, "{place:?} {time_s} s: {bar_k} K");
            }
            assert!(missed <= 20, "{place:?}: {missed} of 400 readings miss their bars");
            let [from, to] = [50.0, 43.0].map(|limit_c| curve.falls_below(limit_c, 0.0, end_s).expect("a crossing"));
            let error_s = |crossing: &heat::Crossing, limit_c: f64| {
                (exact_c(crossing.time_s) - limit_c).abs() / curve.rate(crossing.time_s).abs()
            };
            assert!(error_s(&from, 50.0) <= from.error_s && error_s(&to, 43.0) <= to.error_s, "{from:?} {to:?}");
            assert!(to.error_s < 1e-3 * to.time_s, "{to:?}");
        }
    }
}
