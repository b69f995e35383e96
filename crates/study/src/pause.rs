//! A break in the work: when the ring falls below maintenance, and what flame brings it back.

use heat::{Case, Flame, Interval, Schedule, What};
use serde::Serialize;

use crate::Question;
use crate::advice::{AdviceError, nested};
use crate::aside::kept_on;

/// A reheat is followed for at most so many times the first heating.
const MOST_HEATINGS: f64 = 4.0;
/// And for at least so long, s.
const LEAST_S: f64 = 600.0;

/// What a break does. Maintenance is the minimum here (ISO 13916, ST1; ST15).
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Pause {
    /// Length of the break, from the first flame off, s.
    pub break_s: f64,
    /// From flame off until the coldest of the ring is below the minimum, s: 0 if it never was above; null where it is
    /// still above at the end of the break.
    pub falls_s: Option<f64>,
    /// Error bar of that, s.
    pub falls_error_s: Option<f64>,
    /// Coldest of the ring at the end of the break, Celsius.
    pub coldest_c: f64,
    /// Error bar of that, K.
    pub coldest_error_k: f64,
    /// Reheat with the same flame until the coldest of the ring is at the minimum again, s: 0 if it never fell below;
    /// null where the flame does not get it there.
    pub to_minimum_s: Option<f64>,
    /// Error bar of that, s.
    pub to_minimum_error_s: Option<f64>,
    /// What the coldest of the ring had when the flame first went off, Celsius.
    pub was_c: f64,
    /// Reheat until it has that again, s; null where the flame does not get it there.
    pub to_where_it_was_s: Option<f64>,
    /// Error bar of that, s.
    pub to_where_it_was_error_s: Option<f64>,
    /// Hottest of the patch at the end of that reheat, Celsius.
    pub hottest_c: f64,
    /// Whether a heater that is kept on between flames burns all through the break.
    pub kept_on: bool,
}

/// The first heating, a break without passes, and a reheat.
///
/// # Errors
/// [`AdviceError`].
pub(crate) fn pause(
    watched: &Case,
    question: &Question,
    break_s: f64,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Option<Pause>, AdviceError> {
    let (Some(window), Some((_, probes)), Schedule::Cycles { heat_up, .. }) =
        (question.window, question.ring, &watched.schedule)
    else {
        return Ok(None);
    };
    let alone = Case { schedule: cycles(*heat_up, 1.0, None), ..watched.clone() };
    let run = heat::solve(&alone, &nested(question), &|share| keep_going(0.3 * share))?;
    let &[on_s, off_s] = run.heats().first().ok_or(AdviceError::NoFlameOff)?;
    let was_c = run.curves[probes.coldest].at(off_s);
    let longest_s = (MOST_HEATINGS * (off_s - on_s)).max(LEAST_S);
    // A hair more than wanted, so that the crossing lies inside the run.
    let goal_c = was_c.max(window.minimum_c) + 0.2;
    let reheat = Flame::Until { probe: probes.coldest, temperature_c: goal_c, at_most_s: longest_s };
    let whole = Case { schedule: cycles(*heat_up, break_s, Some(reheat)), ..watched.clone() };
    let run = heat::solve(&whole, &nested(question), &|share| keep_going(0.3 + 0.7 * share))?;
    if run.interrupted {
        return Err(AdviceError::Interrupted);
    }
    let ons: Vec<f64> =
        run.events.iter().filter(|event| event.what == What::FlameOn).map(|event| event.time_s).collect();
    let (off_s, again_s) = (run.heats()[0][1], ons.get(1).copied().unwrap_or(run.ran_until_s));
    let (coldest, hottest) = (&run.curves[probes.coldest], &run.curves[probes.surface]);
    let falls = coldest.falls_below(window.minimum_c, off_s, again_s);
    let rises = |limit_c: f64| coldest.rises_to(limit_c, again_s, run.ran_until_s);
    let (minimum, was) = (rises(window.minimum_c), rises(was_c));
    Ok(Some(Pause {
        break_s,
        falls_s: falls.map(|fall| fall.time_s - off_s),
        falls_error_s: falls.map(|fall| if fall.time_s > off_s { fall.error_s } else { 0.0 }),
        coldest_c: coldest.at(again_s),
        coldest_error_k: coldest.error_from_switch(again_s),
        to_minimum_s: minimum.map(|rise| rise.time_s - again_s),
        to_minimum_error_s: minimum.map(|rise| if rise.time_s > again_s { rise.error_s } else { 0.0 }),
        was_c,
        to_where_it_was_s: was.map(|rise| rise.time_s - again_s),
        to_where_it_was_error_s: was.map(|rise| if rise.time_s > again_s { rise.error_s } else { 0.0 }),
        hottest_c: hottest.at(was.map_or(run.ran_until_s, |rise| rise.time_s)),
        kept_on: kept_on(&whole),
    }))
}

fn cycles(heat_up: Flame, break_s: f64, reheat: Option<Flame>) -> Schedule {
    Schedule::Cycles {
        heat_up,
        interval: Interval::Fixed { seconds: break_s },
        reheat: reheat.unwrap_or(Flame::For { seconds: 1.0 }),
        reheats: usize::from(reheat.is_some()),
        after_s: 0.0,
    }
}
