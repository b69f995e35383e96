//! Many cases at once: `cargo run --release -p benches --example sweeps`.
//!
//! Cases a minute on one and two cores, for three-dimensional heat-and-hold cases and for repair days on the body of
//! revolution, and whether the answers are the same bits.

use std::time::Instant;

use heat::{Accuracy, Case, Error, Grids, Model, Schedule, TorchKind, solve};
use study::{Swept, sweep};

fn main() {
    let hold = Accuracy { cells_across: 16, step_error_k: 2.0, grids: Grids::MiddleOnly, model: Model::Block };
    let day = Accuracy { cells_across: 10, step_error_k: 2.0, grids: Grids::MiddleOnly, model: Model::Revolved };
    println!("| cases | cells | cores | cases a minute | against one core |\n|---|---|---|---|---|");
    // Yardstick 1 up to two minutes after the flame: its hold, and nothing of the hours after it.
    let mut heated = benches::yardstick(1);
    heated.schedule = Schedule::Spans { on: vec![[0.0, 300.0]], end_s: 420.0 };
    heated.output_s.clear();
    report("3-D heat and hold (yardstick 1)", &variants(&heated, 240), &hold);
    report("axisymmetric repair day (yardstick 4)", &variants(&benches::yardstick(4), 120), &day);
}

/// The case with as many fluxes, 20 % apart from end to end.
fn variants(case: &Case, count: usize) -> Vec<Case> {
    let stronger = |n: usize| {
        let mut case = case.clone();
        for torch in &mut case.torches {
            if let TorchKind::Flux { flux } = &mut torch.kind {
                *flux *= 0.9 + 0.2 * n as f64 / count as f64;
            }
        }
        case
    };
    (0..count).map(stronger).collect()
}

fn report(words: &str, cases: &[Case], accuracy: &Accuracy) {
    let last = |case: &Case| -> Result<(f64, usize), Error> {
        let run = solve(case, accuracy, &|_| true)?;
        Ok((run.curves[0].at(run.ran_until_s), run.stats.cells))
    };
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        let start = Instant::now();
        let swept = pool.install(|| sweep(cases, &|_| true, |_, case, _| last(case)));
        (start.elapsed().as_secs_f64(), swept)
    };
    let ((one_s, one), (two_s, two)) = (on(1), on(2));
    let cells = match &one[0] {
        Swept::Answer((_, cells)) => *cells,
        _ => 0,
    };
    for (cores, seconds) in [(1, one_s), (2, two_s)] {
        let a_minute = 60.0 * cases.len() as f64 / seconds;
        println!("| {words} | {cells} | {cores} | {a_minute:.0} | {:.2} |", one_s / seconds);
    }
    println!("same bits: {}", one == two);
}
