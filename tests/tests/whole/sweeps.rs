//! Line solves that stand in for solutions of a step's systems cost little accuracy, on short steps and on long ones.

use warmhold::heat::{Case, Integrator, Method, Schedule, solve_by};
use whole::lottery::Lottery;
use whole::{alone, apart};

/// What the largest error may be of that with every system solved.
const MOST_TIMES: f64 = 3.0;
/// What it may be of the tolerance of a step.
const MOST_SHARE: f64 = 0.3;

/// Every reading of a run at one tolerance.
fn march(case: &Case, integrator: Integrator, step_error_k: f64) -> Vec<f64> {
    let method = Method { integrator, equal_steps_s: None };
    let run = solve_by(method, case, &alone(6, step_error_k), &|_| true).expect("the case must march");
    case.output_s.iter().flat_map(|&t| run.curves.iter().map(move |curve| curve.at(t))).collect()
}

#[test]
fn the_engines_scheme_errs_little_more_than_one_that_solves_every_system() {
    let mut lottery = Lottery::new(11);
    for number in 0..16 {
        let mut case = lottery.case();
        if let Schedule::Spans { on, end_s } = &mut case.schedule {
            let heat_s = on[0][1];
            *end_s = 60.0 * heat_s;
            case.output_s.extend([4.0, 10.0, 25.0, 60.0].map(|share| share * heat_s));
        }
        let finest = march(&case, Integrator::Rodas4, 1e-3);
        for tolerance_k in [1.0, 0.2] {
            let [own, solved] =
                [Integrator::Ros2, Integrator::Ros2Solved].map(|i| apart(&march(&case, i, tolerance_k), &finest));
            println!("case {number}, tolerance {tolerance_k} K: {own:.4} K swept, {solved:.4} K solved");
            assert!(
                own <= MOST_TIMES * solved && own <= MOST_SHARE * tolerance_k,
                "case {number}: {own} K, {solved} K"
            );
        }
    }
}
