//! What a march returns.

use ndarray::Array2;

use crate::{Curve, Integrator, Ledger};

/// How accurate a run is to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Accuracy {
    /// Cells of the finest grid across the radius (or half width) of the smallest heated patch. More is finer;
    /// cost grows with its third power. Default 10; 24 for a reference.
    pub cells_across: usize,
    /// Largest error that one time step may commit by its own estimate, K: averaged over the patch, ten times as much
    /// at a spot. Default 1: the estimate is that of a scheme one order lower, so the error is far smaller, and it is
    /// measured in every run.
    pub step_error_k: f64,
    /// Which grids are marched: three, each of half the spacing of the next, for an answer with an error bar, or the
    /// second-finest alone, without one, at about a tenth of the cost.
    pub grids: Grids,
    /// What body the grids cover.
    pub model: Model,
}

/// What body is solved.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Model {
    /// The smallest that is right: of revolution where everything is round and far from every edge, else a quarter or
    /// half where mirrors allow it, else the whole block.
    #[default]
    Smallest,
    /// As the smallest, with passes averaged around the axis where they lie in the inner half of a round patch: for
    /// differences between neighbouring inputs, which the place of a bead hardly touches.
    Averaged,
    /// The block in three dimensions, a quarter or half of it where mirrors allow it.
    Block,
    /// The body of revolution around the first patch, of equal top area; what is not round is averaged around the
    /// axis. What the edges may change is added to every error bar.
    Revolved,
}

/// Which of the nested grids are marched.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grids {
    /// Fine, middle and coarse, and the middle one again with halved steps: extrapolated answer and error bar.
    Nested,
    /// The middle grid alone: for differences between neighbouring inputs.
    MiddleOnly,
}

impl Default for Accuracy {
    fn default() -> Self {
        Accuracy { cells_across: 10, step_error_k: 1.0, grids: Grids::Nested, model: Model::Smallest }
    }
}

/// How the steps are taken; the default serves every question, the rest serves measurements.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Method {
    /// Integrator.
    pub integrator: Integrator,
    /// Equal steps of about this many seconds between switches instead of steps chosen by their error.
    pub equal_steps_s: Option<f64>,
}

/// What happened at an instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum What {
    /// The flame came on.
    FlameOn,
    /// The flame went off. `reached` is false when it was to bring a probe to a temperature and did not.
    FlameOff {
        /// Whether the target was reached.
        reached: bool,
    },
    /// A pass started; its number in the list of passes.
    PassStart(usize),
    /// A pass ended.
    PassEnd(usize),
    /// A pass was due and the metal too hot: the wait for it began.
    Waiting,
    /// An interval ended with no flame to follow.
    IntervalEnd,
}

/// A switch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Event {
    /// When, s.
    pub time_s: f64,
    /// What.
    pub what: What,
}

/// Size of the work done.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Stats {
    /// Cells of the finest grid.
    pub cells: usize,
    /// Accepted steps.
    pub steps: usize,
    /// Rejected steps.
    pub rejected: usize,
    /// Linear solver iterations of the finest grid.
    pub iterations: usize,
}

/// A finished march.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// One curve for each probe of the case, in its order.
    pub curves: Vec<Curve>,
    /// Switches in order of time.
    pub events: Vec<Event>,
    /// Heat of the finest grid, for the whole casting.
    pub ledger: Ledger,
    /// The same for every grid, finest first, the one with halved steps last.
    pub ledgers: Vec<Ledger>,
    /// Size of the work.
    pub stats: Stats,
    /// Last instant computed, s.
    pub ran_until_s: f64,
    /// Whether the caller stopped it before the end.
    pub interrupted: bool,
    /// Hottest and coldest temperatures met anywhere in the metal, Celsius.
    pub span_c: [f64; 2],
    /// What was solved: "full", "half", "quarter", "axisymmetric".
    pub model: &'static str,
    /// Why, in words.
    pub model_reason: String,
}

impl Run {
    /// `[on, off]` of each flame, s.
    pub fn heats(&self) -> Vec<[f64; 2]> {
        self.pairs(|what| what == What::FlameOn, |what| matches!(what, What::FlameOff { .. }))
    }

    /// Whether every flame that went off had reached its target.
    pub fn every_flame_reached(&self) -> bool {
        self.events.iter().all(|event| event.what != What::FlameOff { reached: false })
    }

    /// `[start, end]` of each pass, s.
    pub fn passes(&self) -> Vec<[f64; 2]> {
        self.pairs(|what| matches!(what, What::PassStart(_)), |what| matches!(what, What::PassEnd(_)))
    }

    /// Temperatures of every probe at some times, Celsius: a row for each time, a column for each probe.
    pub fn readings(&self, times_s: &[f64]) -> Array2<f64> {
        Array2::from_shape_fn((times_s.len(), self.curves.len()), |(t, probe)| self.curves[probe].at(times_s[t]))
    }

    fn pairs(&self, opens: impl Fn(What) -> bool, closes: impl Fn(What) -> bool) -> Vec<[f64; 2]> {
        let mut pairs: Vec<[f64; 2]> = Vec::new();
        for event in &self.events {
            if opens(event.what) {
                pairs.push([event.time_s, self.ran_until_s]);
            } else if closes(event.what)
                && let Some(last) = pairs.last_mut()
            {
                last[1] = event.time_s;
            }
        }
        pairs
    }
}
