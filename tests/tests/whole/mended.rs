//! One test for each defect that was found and mended, named for it.

use warmhold::scenario::{self, Override};
use warmhold::study::{Outcome, Verdict, check};

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
