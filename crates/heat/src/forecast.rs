//! What a run will take, known before it starts.

use crate::case::{Case, Schedule};
use crate::error::Error;
use crate::layout;
use crate::run::{Accuracy, Grids, Method};
use crate::symmetry::Part;

/// Arrays of a level beside those of its stages: state, state before, diffusivity, power, right-hand side, and five of
/// the solver.
const ARRAYS: usize = 10;
/// Largest memory of one run, bytes.
const MOST_BYTES: usize = 1 << 30;
/// Steps that a switch of flame or arc costs at a step error of 1 K, as met on the yardsticks.
const STEPS_PER_SWITCH: f64 = 8.0;
/// Steps that a time wanted exactly costs.
const STEPS_PER_OUTPUT: f64 = 3.0;
/// Seconds of a step while a thermostat turns its heat up and down, about.
const THERMOSTAT_STEP_S: f64 = 5.0;
/// Steps of any run.
const STEPS_AT_LEAST: f64 = 12.0;
/// Seconds for a cell and a step of two stages on one core of the machine of the benches: between 16e-9 where sweeps stand
/// for solutions and 45e-9 with property tables.
const SECONDS_PER_CELL_STEP: f64 = 30e-9;

/// What a run will take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Forecast {
    /// Cells of the finest grid.
    pub cells: usize,
    /// Steps, roughly: within a factor of two.
    pub steps: usize,
    /// Memory of all grids, bytes.
    pub bytes: usize,
    /// Time on one core of the machine of the benches, s: within a factor of two there.
    pub seconds: f64,
}

/// What solving a case will take.
///
/// # Errors
/// What [`Case::check`] refuses, and [`Error::TooLarge`] for a run that takes more than 1 GiB.
pub fn forecast(case: &Case, accuracy: &Accuracy, method: Method) -> Result<Forecast, Error> {
    case.check()?;
    let (part, _) = Part::of(case, accuracy.model);
    of_grid(case, accuracy, method, &layout::finest(case, &part, accuracy.cells_across))
}

/// The same for grid lines that are there already.
pub(crate) fn of_grid(
    case: &Case,
    accuracy: &Accuracy,
    method: Method,
    finest: &[Vec<f64>; 3],
) -> Result<Forecast, Error> {
    let nodes = |times_coarser: usize| -> usize {
        finest.iter().map(|line| if line.len() == 1 { 1 } else { (line.len() - 1) / times_coarser + 1 }).product()
    };
    let stages = method.integrator.stages();
    // The copy with halved steps keeps one array more and takes two steps in place of one.
    let (cells, stored, stepped) = match accuracy.grids {
        Grids::Nested => (nodes(1), nodes(1) + 2 * nodes(2) + nodes(4), nodes(1) + 3 * nodes(2) + nodes(4)),
        Grids::MiddleOnly => (nodes(2), nodes(2), nodes(2)),
    };
    let bytes = 8 * (stored * (ARRAYS + stages) + nodes(2));
    if bytes > MOST_BYTES {
        return Err(Error::TooLarge { cells, megabytes: bytes >> 20, most_megabytes: MOST_BYTES >> 20 });
    }
    let steps = steps(case) * accuracy.step_error_k.powf(-1.0 / 3.0);
    let seconds = steps * stepped as f64 * SECONDS_PER_CELL_STEP * 0.5 * stages as f64;
    Ok(Forecast { cells, steps: steps.ceil() as usize, bytes, seconds })
}

fn steps(case: &Case) -> f64 {
    let (flames, intervals) = match &case.schedule {
        Schedule::Spans { on, .. } => (on.len(), 0),
        Schedule::Cycles { reheats, .. } => (reheats + 1, reheats + 1),
    };
    let laid_once = case.passes.as_ref().filter(|passes| passes.once);
    let intervals = laid_once.map_or(intervals, |p| intervals.min(p.list.len().div_ceil(p.per_heat.max(1))));
    let flames = if laid_once.is_some() { intervals } else { flames };
    let passes = intervals * case.passes.as_ref().map_or(0, |passes| passes.per_heat);
    let switches = 2 * (flames + passes);
    let thermostats = case.all_torches().any(|torch| torch.thermostat.is_some());
    let turns = if thermostats { case.schedule.longest_s() / THERMOSTAT_STEP_S } else { 0.0 };
    turns + STEPS_AT_LEAST + STEPS_PER_SWITCH * switches as f64 + STEPS_PER_OUTPUT * case.output_s.len() as f64
}
