//! Makes the reference tables of Y2 and Y3 again: `references y2|y3`, table on standard output. Y2 takes an hour of
//! processor time.
//!
//! The engine marches each of three grids alone with small steps; the second method marches two grids of its own, extrapolated.

use validation::plain::{Plain, eighth_of_y3, half_of_y2};
use validation::yardstick::{self, Reading, Yardstick, readings};
use validation::{Error, refine};

use heat::{Accuracy, Grids, Model};

/// Largest error of a step, K. Far below the default: hours after the last flame, when a kelvin is left of the heat,
/// the errors of looser steps are 5 mK and more.
const STEP_ERROR_K: f64 = 0.003_125;

/// How fine a table is made.
struct Plan {
    yardstick: Yardstick,
    /// Cells across the half width of the patch on the coarsest grid.
    cells: usize,
    /// The two finenesses of the second method.
    second: [usize; 2],
}

fn main() -> Result<(), Error> {
    let plan = match std::env::args().nth(1).as_deref() {
        Some("y2") => Plan { yardstick: yardstick::Y2, cells: 8, second: [2, 3] },
        _ => Plan { yardstick: yardstick::Y3, cells: 24, second: [2, 4] },
    };
    let (grids, second) = std::thread::scope(|scope| {
        let second = scope.spawn(|| second(&plan));
        let grids = [1, 2, 4].map(|times| alone(plan.yardstick, times * plan.cells));
        (grids, second.join())
    });
    let [coarse, middle, fine] = grids;
    let second = second.unwrap_or_else(|_| Ok(Vec::new()))?;
    let rows = refine::rows(&[coarse?, middle?, fine?], &second);
    print!("{}", yardstick::table(&head(&plan), &rows));
    Ok(())
}

fn head(plan: &Plan) -> String {
    let (name, cells) = (plan.yardstick.name, plan.cells);
    format!(
        "Yardstick {name}, status: computed. Made by `cargo run --release -p validation --example references {}`.
The engine on three grids, each alone, {cells}, {} and {} cells across the half width of the patch (the middle grids
of sets asked for with twice as many), steps of {STEP_ERROR_K} K, extrapolated with the observed order.
`second` is the plain explicit method of this crate, from two grids, 1/{} and 1/{} of its unit spacing.",
        name.to_lowercase(),
        2 * cells,
        4 * cells,
        plan.second[0],
        plan.second[1],
    )
}

/// Readings of the engine on one grid with `cells` across.
fn alone(yardstick: Yardstick, cells: usize) -> Result<Vec<Reading>, Error> {
    // The middle grid of a nested set has half as many cells across as the finest.
    let accuracy =
        Accuracy { cells_across: 2 * cells, step_error_k: STEP_ERROR_K, grids: Grids::MiddleOnly, model: Model::Block };
    let (scenario, run) = yardstick.solve(&accuracy)?;
    eprintln!("{cells} across: {} steps", run.stats.steps);
    Ok(readings(&scenario.case, &scenario.question, &run))
}

/// Readings of the second method, extrapolated from two grids.
fn second(plan: &Plan) -> Result<Vec<Reading>, Error> {
    let scenario = plan.yardstick.scenario()?;
    let [coarse, fine] = plan.second;
    let run = |n: usize| Plain::new(&scenario.case, part(plan.yardstick, n)).run(&scenario.question);
    Ok(refine::pair(run(coarse), run(fine), fine as f64 / coarse as f64))
}

/// The part of the body that the second method marches: half of Y2, an eighth of Y3.
fn part(yardstick: Yardstick, n: usize) -> [Vec<f64>; 3] {
    if yardstick == yardstick::Y2 {
        return half_of_y2(n);
    }
    eighth_of_y3(n)
}
