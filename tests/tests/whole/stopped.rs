//! Runs that are stopped half way.

use std::sync::atomic::{AtomicUsize, Ordering};

use warmhold::scenario;
use warmhold::study::{self, Verdict};

/// Two heats and two beads in each, inside the window at every worst end.
const HOLDS: &str = include_str!("../../../examples/05_an_interval_that_holds/scenario.toml");

/// However much of a plan that holds has been computed, nobody may read that it does not hold, nor that it does.
#[test]
fn half_a_run_of_a_plan_that_holds_neither_holds_nor_falls_short() {
    let coarse = scenario::Override::parse("accuracy.cells_across=5").unwrap();
    let scenario = scenario::read(HOLDS, "lesson 5", &[coarse]).unwrap();
    let (case, question) = (&scenario.case, &scenario.question);
    let calls = AtomicUsize::new(0);
    let after = |most: usize| {
        calls.store(0, Ordering::Relaxed);
        study::check(case, question, &|_| calls.fetch_add(1, Ordering::Relaxed) < most).unwrap()
    };
    let whole = after(usize::MAX);
    assert_eq!(whole.verdict, Verdict::Holds, "{:?}", whole.margin_k);
    let all = calls.load(Ordering::Relaxed);
    let mut stopped = 0;
    for most in (0..all).step_by(all.div_ceil(40)) {
        let outcome = after(most);
        if outcome.interrupted {
            stopped += 1;
            assert_eq!(outcome.verdict, Verdict::TooCloseToCall, "after {most} of {all}: {:?}", outcome.beads_per_heat);
            assert_ne!(outcome.beads_per_heat, Some(0), "after {most} of {all}");
        }
    }
    assert!(stopped > 20, "only {stopped} runs were stopped");
}
