//! Yardstick 4, the repair day: the hold of the ring after the first heating, and the breach after each of its 61 flames.

use heat::{Accuracy, Hold, Model, Run};

use crate::Error;
use crate::refine::refined;
use crate::yardstick::Yardstick;

/// Its scenario, and its reference of its own kind ([`rows`]), made by the example `repair_day`.
const Y4: Yardstick = Yardstick {
    name: "Y4",
    text: include_str!("../yardsticks/y4.toml"),
    table: include_str!("../yardsticks/y4.reference.csv"),
};
/// The ring at 100 mm, and what it must not fall below, Celsius.
const PROBE: &str = "r100";
const BELOW_C: f64 = 150.0;

/// One row of the reference.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// From flame-off to the limit, s.
    pub value_s: f64,
    /// Its uncertainty, s.
    pub uncertainty_s: f64,
}

/// From each flame-off to the breach, s, with its error bar: the hold without arc heat first, then the day's 61 heats.
///
/// # Errors
/// When the scenario does not read or the engine refuses it.
pub fn solve(accuracy: &Accuracy) -> Result<(Vec<[f64; 2]>, Run), Error> {
    let case = Y4.scenario()?.case;
    let probe = case.probes.iter().position(|p| p.name == PROBE).unwrap_or(0);
    let hold = Hold { probes: vec![probe], below_c: BELOW_C - 1.0, at_most_s: 3600.0 };
    let (run, held) = heat::solve_with_hold(&case, accuracy, &hold, &|_| true)?;
    let breach = |run: &Run, off_s: f64| {
        let crossing = run.curves[probe].falls_below(BELOW_C, off_s, run.ran_until_s);
        crossing.map_or([f64::NAN; 2], |c| [c.time_s - off_s, c.error_s])
    };
    let first = held.iter().flat_map(|held| held.heats().first().map(|heat| breach(held, heat[1])));
    let day = run.heats().into_iter().map(|heat| breach(&run, heat[1]));
    let all = first.chain(day).collect();
    Ok((all, run))
}

/// The reference rows.
///
/// # Errors
/// When the table does not read.
pub fn rows() -> Result<Vec<Row>, Error> {
    let lines = Y4.table.lines().filter(|line| !line.starts_with('#')).skip(1);
    let row = |line: &str| {
        let number = |n: usize| line.split(',').nth(n).and_then(|text| text.parse().ok());
        match (number(1), number(2)) {
            (Some(value_s), Some(uncertainty_s)) => Ok(Row { value_s, uncertainty_s }),
            _ => Err(Error::Table { line: line.to_owned() }),
        }
    };
    lines.map(row).collect()
}

/// Cells across the patch on the coarsest of the three grids of the reference, and its largest error of a step, K: an
/// eighth of the default.
const CELLS: usize = 6;
const STEP_ERROR_K: f64 = 0.125;

/// The reference made again, as text.
///
/// # Errors
/// As [`solve`].
pub fn table() -> Result<String, Error> {
    let alone = |cells: usize, model: Model| {
        let grids = heat::Grids::MiddleOnly;
        // The middle grid of a nested set has half as many cells across as the finest.
        let accuracy = Accuracy { cells_across: 2 * cells, step_error_k: STEP_ERROR_K, grids, model };
        let (values, run) = solve(&accuracy)?;
        eprintln!("{model:?}, {cells} across: {} cells, {} steps", run.stats.cells, run.stats.steps);
        Ok::<_, Error>(values)
    };
    let of = |model: Model, times: [usize; 3]| {
        let [a, b, c] = times.map(|times| alone(times * CELLS, model));
        let (a, b, c) = (a?, b?, c?);
        let row = |n: usize| ([a[n][0], b[n][0], c[n][0]], refined([a[n][0], b[n][0], c[n][0]]));
        Ok::<_, Error>((0..a.len()).map(row).collect::<Vec<_>>())
    };
    let round = of(Model::Revolved, [2, 4, 8])?;
    let block = of(Model::Block, [1, 2, 4])?;
    let mut text = format!(
        "# Yardstick Y4, status: computed. Made by `cargo run --release -p validation --example repair_day`.
# Seconds from flame-off until {PROBE} is below {BELOW_C} C: the hold without arc heat, then after each flame of the day.
# The block on three grids, each alone, {}, {} and {} cells across the radius of the patch, steps of {STEP_ERROR_K} K,
# extrapolated with the observed order. `axisymmetric` is the body of revolution, from three grids twice as fine.
heat,value_s,uncertainty_s,order,h,h_half,h_quarter,axisymmetric\n",
        CELLS,
        2 * CELLS,
        4 * CELLS
    );
    for (n, ((grids, found), (_, other))) in block.iter().zip(&round).enumerate() {
        let name = if n == 0 { "hold".to_owned() } else { n.to_string() };
        let order = found.order.map_or_else(String::new, |order| format!("{order:.2}"));
        let [h, half, quarter] = grids;
        text += &format!(
            "{name},{:.4},{:.4},{order},{h:.4},{half:.4},{quarter:.4},{:.4}\n",
            found.value, found.uncertainty, other.value
        );
    }
    Ok(text)
}
