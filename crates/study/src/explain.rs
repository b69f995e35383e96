//! `explain`: where the heat of the patch goes, beside other castings, what lengthens the hold, and the chart of all discs.

mod budget;
mod castings;
mod chart;
mod levers;

use heat::{Case, Flame, Grids, Interval, Schedule};
use schemars::JsonSchema;
use serde::Serialize;

use crate::hold::{self, Followed};
use crate::plan::{quick_or_nested, round_beads};
use crate::{Error, Question, RingProbes};
pub use budget::{Budget, Moment};
pub use castings::Beside;
pub use chart::{Chart, ChartCurve, ChartPoint, Example};
pub use levers::Pull;

/// Name and number of the layout.
const SCHEMA: &str = "warmhold explain 2";
/// Longest first heating, s, where it ends by a reading.
const LONGEST_HEATING_S: f64 = 12.0 * 3600.0;

/// Everything that explains a hold.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Explanation {
    /// Name and number of this layout.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// SHA-256 of the scenario after overrides.
    pub input_sha256: String,
    /// Title of the scenario.
    pub title: String,
    /// No bead starts below it, Celsius.
    pub minimum_c: f64,
    /// Hold of the ring as stated, s; null where it stays above for four hours.
    pub hold_s: Option<f64>,
    /// Its numerical error, s.
    pub hold_error_s: f64,
    /// Flame time until the reading, s.
    pub flame_s: f64,
    /// Whether the reading was reached; if not, `flame_s` is the longest that was tried.
    pub reached: bool,
    /// Longest first flame that the schedule allows, s; null where its time is fixed.
    pub longest_flame_s: Option<f64>,
    /// Where the heat of the patch goes after flame off.
    pub budget: Budget,
    /// The casting as stated, a plate and a small block.
    pub beside: Vec<Beside>,
    /// Levers, the one that gains most first; by quick runs.
    pub levers: Vec<Pull>,
    /// Hold over heating time of the middle of any disc on massive metal.
    pub chart: Chart,
    /// This scenario read off that chart; null where its middle does not pass the minimum from above.
    pub example: Option<Example>,
    /// Cautions to print.
    pub cautions: Vec<String>,
}

/// One run: heated, then cooled.
#[derive(Clone, Debug, PartialEq)]
struct Heated {
    run: heat::Run,
    hold_s: Option<f64>,
    error_s: f64,
    flame_s: f64,
    reached: bool,
}

/// Explains the hold of a case; `None` when it was stopped.
///
/// # Errors
/// [`Error::Needs`] without a window or a torch, and as [`heat::solve`].
pub fn explain(
    case: &Case,
    question: &Question,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Option<Explanation>, Error> {
    let (Some(window), 1) = (question.window, case.torches.len()) else {
        return Err(Error::Needs {
            what: "a [window] and one torch: the hold is counted from flame off to the minimum".to_owned(),
        });
    };
    let stated = single(case, window.minimum_c);
    let held = followed(&stated, question, Grids::Nested, |probes| vec![probes.coldest, probes.centre])?;
    let longest_flame_s = longest_flame(case);
    if !keep_going(0.3) {
        return Ok(None);
    }
    let budget = budget::budget(&stated, question, &held.run)?;
    let beside = castings::castings(&stated, question, &held)?;
    if !keep_going(0.5) {
        return Ok(None);
    }
    let levers = levers::levers(&stated, question, held.hold_s, longest_flame_s)?;
    if !keep_going(0.7) {
        return Ok(None);
    }
    let chart = chart::chart()?;
    let example = chart::example(&stated, question, &held.run);
    Ok(keep_going(1.0).then(|| Explanation {
        schema: SCHEMA.to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: question.input_sha256.clone(),
        title: question.title.clone(),
        minimum_c: window.minimum_c,
        hold_s: held.hold_s,
        hold_error_s: held.error_s,
        flame_s: held.flame_s,
        reached: held.reached,
        longest_flame_s,
        budget,
        beside,
        levers,
        chart,
        example,
        cautions: question.cautions.clone(),
    }))
}

/// Longest first flame that the schedule allows, s; `None` where its time is fixed.
fn longest_flame(case: &Case) -> Option<f64> {
    match case.schedule {
        Schedule::Cycles { heat_up: Flame::Until { at_most_s, .. }, .. } => Some(at_most_s),
        _ => None,
    }
}

/// One heat without beads.
fn single(case: &Case, minimum_c: f64) -> Case {
    let mut case = round_beads(case.clone());
    case.passes = None;
    case.output_s.clear();
    let heat_up = match case.schedule.first_flame() {
        Some(Flame::Until { probe, temperature_c, .. }) => {
            Flame::Until { probe, temperature_c: temperature_c.max(minimum_c), at_most_s: LONGEST_HEATING_S }
        }
        other => other.unwrap_or(Flame::For { seconds: 1.0 }),
    };
    let interval = Interval::Fixed { seconds: 1.0 };
    case.schedule = Schedule::Cycles { heat_up, interval, reheat: heat_up, reheats: 0, after_s: 0.0 };
    case
}

fn heated(case: &Case, question: &Question, grids: Grids) -> Result<Heated, heat::Error> {
    followed(case, question, grids, |probes| vec![probes.coldest])
}

/// The same, followed until the last of some places is out of the window.
fn followed(
    case: &Case,
    question: &Question,
    grids: Grids,
    places: fn(&RingProbes) -> Vec<usize>,
) -> Result<Heated, heat::Error> {
    let accuracy = quick_or_nested(case, &question.accuracy, grids);
    let Followed { held, hold, .. } = hold::followed(case, question, &accuracy, places, &|_| true)?;
    let flame_s = held.heats().first().map_or(0.0, |heat| heat[1] - heat[0]);
    let (hold_s, error_s) = (hold.map(|c| c.time_s), hold.map_or(0.0, |c| c.error_s));
    Ok(Heated { hold_s, error_s, flame_s, reached: held.every_flame_reached(), run: held })
}
