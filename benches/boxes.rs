//! Bodies of many sizes that take equal steps, and the time of each step.
//!
//! The engine's kernels are its own; what can be timed from outside are whole steps, by the clock at each call that
//! the engine makes after a step. Setting up and the first steps are left out: right after the switch the adaptive
//! engine would step far more finely, and equal steps take more iterations than they do ever after.

use std::sync::Mutex;
use std::time::Instant;

use heat::{Accuracy, Case, Error, Grids, Integrator, Method, Model, Schedule, solve_by};

/// Length of the equal steps, s: about the mean of yardstick 1 while its flame is on.
pub const STEP_S: f64 = 1.0;

/// The metal of a box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Metal {
    /// Constant properties.
    Constant,
    /// Properties from a table.
    Tabled,
}

impl Metal {
    /// In words.
    pub fn name(self) -> &'static str {
        match self {
            Metal::Constant => "constant",
            Metal::Tabled => "tabled",
        }
    }
}

/// A body to be timed: that of yardstick 1, in so many cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Body {
    /// Cells across the patch of the grid above the one that is marched.
    pub cells_across: usize,
    /// A quarter of the block, or the body of revolution.
    pub model: Model,
    /// Its metal.
    pub metal: Metal,
}

/// Steps that are not timed.
pub const WARM_UP: usize = 8;
/// Cells across of boxes of about 1e4, 3e4, 1e5, 3e5, 1e6 and 5e6 cells.
pub const ACROSS: [usize; 6] = [14, 21, 32, 47, 72, 126];

impl Body {
    /// A quarter of the block.
    pub fn quarter(cells_across: usize, metal: Metal) -> Body {
        Body { cells_across, model: Model::Block, metal }
    }

    /// The body of revolution of about 500 cells.
    pub fn revolved(metal: Metal) -> Body {
        Body { cells_across: 10, model: Model::Revolved, metal }
    }

    /// Takes equal steps with the flame on, those of the warm-up and more.
    ///
    /// # Errors
    /// What the engine refuses; a grid that is too large, above all.
    pub fn march(&self, timed: usize) -> Result<March, Error> {
        let steps = WARM_UP + timed;
        let accuracy = Accuracy {
            cells_across: self.cells_across,
            grids: Grids::MiddleOnly,
            model: self.model,
            ..Accuracy::default()
        };
        let method = Method { integrator: Integrator::Ros2, equal_steps_s: Some(STEP_S) };
        let marks = Mutex::new(Vec::with_capacity(steps));
        let note = |_| marks.lock().map(|mut marks| marks.push(Mark::now())).is_ok();
        let stats = solve_by(method, &self.case(steps), &accuracy, &note)?.stats;
        let marks = marks.into_inner().unwrap_or_default();
        let timed = &marks[WARM_UP.min(marks.len()) - 1..];
        let seconds = timed.windows(2).map(|pair| pair[1].since(&pair[0])).collect();
        Ok(March { cells: stats.cells, seconds, iterations: stats.iterations })
    }

    fn case(&self, steps: usize) -> Case {
        let end_s = STEP_S * steps as f64;
        let mut case = crate::yardstick(1);
        case.output_s.clear();
        case.schedule = Schedule::Spans { on: vec![[0.0, end_s]], end_s };
        if self.metal == Metal::Tabled {
            case.material = crate::yardstick(2).material;
        }
        case
    }
}

/// An instant between two steps.
struct Mark {
    reached: Instant,
    waited_s: f64,
    left: Instant,
}

impl Mark {
    fn now() -> Mark {
        Mark { reached: Instant::now(), waited_s: waited_s(), left: Instant::now() }
    }

    /// Time at work since another, s.
    fn since(&self, other: &Mark) -> f64 {
        (self.reached - other.left).as_secs_f64() - (self.waited_s - other.waited_s)
    }
}

/// How long this thread has waited for a core that others held, s; 0 where the system does not tell. Steps of large
/// grids are longer than a turn at the core, and the best of several does not help them.
fn waited_s() -> f64 {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let nanoseconds = text.split_whitespace().nth(1).and_then(|word| word.parse::<f64>().ok());
    1e-9 * nanoseconds.unwrap_or(0.0)
}

/// A march of equal steps.
#[derive(Clone, Debug)]
pub struct March {
    /// Cells of its one grid.
    pub cells: usize,
    /// Time of each step after the warm-up, s.
    pub seconds: Vec<f64>,
    /// Iterations of all its systems, those of the warm-up too.
    pub iterations: usize,
}

/// The best of several marches.
#[derive(Clone, Copy, Debug)]
pub struct Best {
    /// Cells.
    pub cells: usize,
    /// Least time of a step, averaged over the steps, s.
    pub step_s: f64,
    /// Iterations of a system.
    pub iterations: f64,
}

/// Takes the least time of each step over some marches, and the iterations of the steps after the warm-up.
///
/// # Errors
/// As [`Body::march`].
pub fn best(body: &Body, steps: usize, repeats: usize) -> Result<Best, Error> {
    let first = body.march(0)?;
    let mut least = vec![f64::INFINITY; steps];
    let mut iterations = 0;
    for _ in 0..repeats {
        let march = body.march(steps)?;
        iterations = march.iterations - first.iterations;
        least.iter_mut().zip(&march.seconds).for_each(|(least, s)| *least = least.min(*s));
    }
    let count = least.len() as f64;
    let step_s = least.iter().sum::<f64>() / count;
    Ok(Best { cells: first.cells, step_s, iterations: iterations as f64 / (count * crate::traffic::STAGES as f64) })
}
