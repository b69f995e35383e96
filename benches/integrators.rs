//! The table that decided on the integrator: `cargo run --release --example integrators`.
//!
//! Every integrator marches the first two yardsticks on one grid at several step tolerances; the error is the largest
//! difference from the same grid marched with steps of a thousandth of the tolerance, over all probes and times.

use std::time::Instant;

use heat::{Accuracy, Case, Grids, Integrator, Method, Run, solve_by};

const INTEGRATORS: [Integrator; 4] = [Integrator::Rodas4, Integrator::Rodas3, Integrator::Ros2, Integrator::Ros2Split];
const TOLERANCES_K: [f64; 4] = [1.0, 0.2, 0.05, 0.01];

fn main() {
    for number in [1, 2] {
        let case = benches::yardstick(number);
        let (reference, _) = run(&case, Integrator::Rodas4, 2e-4);
        println!("\nYardstick {number}, {} cells\n", reference.stats.cells);
        println!("| integrator | tolerance K | steps | rejected | sweeps | error K | s |");
        println!("|---|---|---|---|---|---|---|");
        for integrator in INTEGRATORS {
            for tolerance in TOLERANCES_K {
                let (result, seconds) = run(&case, integrator, tolerance);
                let stats = result.stats;
                let error = largest_difference(&case, &result, &reference);
                println!(
                    "| {integrator:?} | {tolerance} | {} | {} | {} | {error:.4} | {seconds:.3} |",
                    stats.steps, stats.rejected, stats.iterations
                );
            }
        }
    }
}

fn run(case: &Case, integrator: Integrator, step_error_k: f64) -> (Run, f64) {
    let accuracy = Accuracy { cells_across: 20, step_error_k, grids: Grids::MiddleOnly };
    let method = Method { integrator, equal_steps_s: None };
    let start = Instant::now();
    match solve_by(method, case, &accuracy, &|_| true) {
        Ok(run) => (run, start.elapsed().as_secs_f64()),
        Err(error) => panic!("{error}"),
    }
}

fn largest_difference(case: &Case, run: &Run, reference: &Run) -> f64 {
    let pairs = run.curves.iter().zip(&reference.curves);
    let differences = pairs.flat_map(|(a, b)| case.output_s.iter().map(move |&t| (a.at(t) - b.at(t)).abs()));
    differences.fold(0.0, f64::max)
}
