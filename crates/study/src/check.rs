//! `check`: does this schedule hold on this casting.

use heat::{Accuracy, Case, Forecast, Grids, Hold, Method, Model, Run};

use crate::assemble::{Answer, Answers, Nominal, bars, outcome};
use crate::hold::{hold, hold_of};
use crate::judge::{Judgement, judge};
use crate::progress::Progress;
use crate::sweep::{self, sweep};
use crate::vary::{all_varied, each_end};
use crate::{ArcEffect, Outcome, Question, Range, Wanted};

/// Most times that a request makes the grids finer.
const MOST_REFINEMENTS: usize = 3;

/// Why a check could not be answered.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The engine could not solve the case.
    #[error(transparent)]
    Heat(#[from] heat::Error),
    /// The question needs something that the scenario does not have.
    #[error("this question needs {what}")]
    Needs {
        /// What it needs.
        what: String,
    },
}

/// Marches the case and judges it.
///
/// The case as stated runs on three nested grids for the answer and its numerical error; each stated range runs at
/// both ends, and all inputs at their worst together, on one grid, for the difference that each makes.
///
/// `keep_going` is called with the share of the work done, 0 to 1, from several threads; when it returns false the
/// runs stop and what has been computed is judged, with [`Outcome::interrupted`] set.
///
/// # Errors
/// [`Error::Heat`] when the engine cannot solve the case.
pub fn check(case: &Case, question: &Question, keep_going: &(dyn Fn(f64) -> bool + Sync)) -> Result<Outcome, Error> {
    let ends = ends(case, question);
    let progress = Progress::new(ends, keep_going);
    let (nominal, ranged) = rayon::join(
        || nominal(case, question, &progress),
        || if ends > 0 { ranged(case, question, &progress) } else { Ok(None) },
    );
    let (nominal, wanted) = nominal?;
    // An interrupted run has no comparable ends.
    let answers = if nominal.run.interrupted { None } else { ranged? };
    Ok(Outcome { wanted, ..outcome(case, question, &nominal, answers.as_ref()) })
}

/// What [`check`] will take: the first run of the case as stated, and the time of all its runs together. A request for an
/// error bar may ask for finer grids once the first answer shows its own.
///
/// # Errors
/// As [`heat::forecast`].
pub fn forecast(case: &Case, question: &Question) -> Result<Forecast, Error> {
    let accuracy = question.request.map_or(question.accuracy, |request| request.first(&question.accuracy));
    let nominal = heat::forecast(case, &accuracy, Method::default())?;
    let end = heat::forecast(case, &for_differences(&question.accuracy), Method::default())?;
    Ok(Forecast { seconds: nominal.seconds + ends(case, question) as f64 * end.seconds, ..nominal })
}

/// Runs beside that of the case as stated: both ends of every range, the middle they are compared with, the one with a
/// cold arc where there are passes, and the worst.
fn ends(case: &Case, question: &Question) -> usize {
    let cold_arc = usize::from(case.passes.is_some());
    if question.window.is_some() { 2 * question.ranges.len() + 2 + cold_arc } else { 0 }
}

/// One grid, looser steps, and beads averaged around a round patch: differences between neighbouring inputs forgive more
/// than values do.
pub(crate) fn for_differences(accuracy: &Accuracy) -> Accuracy {
    let model = if accuracy.model == Model::Smallest { Model::Averaged } else { accuracy.model };
    Accuracy { grids: Grids::MiddleOnly, step_error_k: 3.0 * accuracy.step_error_k, model, ..*accuracy }
}

/// The case as stated, on grids as fine as the request asks for, and whether its error bars are what was asked for.
fn nominal(case: &Case, question: &Question, progress: &Progress<'_>) -> Result<(Nominal, Option<Wanted>), Error> {
    let Some(request) = question.request else {
        return nominal_at(case, question, &question.accuracy, progress).map(|nominal| (nominal, None));
    };
    let mut accuracy = request.first(&question.accuracy);
    let mut nominal = nominal_at(case, question, &accuracy, progress)?;
    for _ in 0..MOST_REFINEMENTS {
        let bars = bars(case, question, &nominal);
        if nominal.run.interrupted || request.is_met(&bars) {
            break;
        }
        // A finer grid that does not fit into memory is not an error: the answer so far stands, and says so.
        let Some(next) = request.next(&accuracy, &bars) else { break };
        if heat::forecast(case, &next, Method::default()).is_err() {
            break;
        }
        accuracy = next;
        nominal = nominal_at(case, question, &accuracy, progress)?;
    }
    let met = request.is_met(&bars(case, question, &nominal));
    let wanted = Wanted { temperature_k: request.temperature_k, hold_s: request.hold_s, met };
    Ok((nominal, Some(wanted)))
}

fn nominal_at(
    case: &Case,
    question: &Question,
    accuracy: &Accuracy,
    progress: &Progress<'_>,
) -> Result<Nominal, Error> {
    let hold = hold_of(case, question, |probes| vec![probes.coldest, probes.centre]);
    let (run, held) = both(case, hold.as_ref(), accuracy, &|share| progress.report(Progress::NOMINAL, share))?;
    let judgement = judge(case, question, &run);
    Ok(Nominal { run, held, judgement })
}

/// The scheduled run and, where there is a window, the hold run of some places.
fn both(
    case: &Case,
    hold: Option<&Hold>,
    accuracy: &Accuracy,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<(Run, Option<Run>), heat::Error> {
    Ok(match hold {
        Some(hold) => heat::solve_with_hold(case, accuracy, hold, keep_going)?,
        None => (heat::solve(case, accuracy, keep_going)?, None),
    })
}

/// Every range at both ends, then everything at its worst.
fn ranged(case: &Case, question: &Question, progress: &Progress<'_>) -> Result<Option<Answers>, Error> {
    let accuracy = for_differences(&question.accuracy);
    let hold = hold_of(case, question, |probes| vec![probes.coldest]);
    let answer = |case: &Case, job: usize| -> Result<Answer, heat::Error> {
        let (run, held) = both(case, hold.as_ref(), &accuracy, &|share| progress.report(job, share))?;
        Ok(summed_up(question, judge(case, question, &run).as_ref(), held.as_ref()))
    };
    let mut cases = vec![case.clone()];
    cases.extend(each_end(case, &question.ranges)?);
    cases.extend(cold_arc(case));
    let swept = sweep(&cases, &|_| progress.going(), |number, case, _| answer(case, number + 1));
    let Some(results) = sweep::all(swept)? else { return Ok(None) };
    let (middle, ends) = (results[0], &results[1..=2 * question.ranges.len()]);
    let arc_effect = results.get(1 + ends.len()).and_then(|cold| arc_effect(&middle, cold));
    let pairs: Vec<[Answer; 2]> = ends.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect();
    let choices = worst_choices(&pairs);
    let worst = choices.iter().map(|low| answer(&worst_case(case, &question.ranges, low)?, Progress::WORST));
    let worst = worst.collect::<Result<Vec<_>, _>>()?;
    Ok(Some(Answers { middle, pairs, worst, arc_effect }))
}

/// The same work with an arc that brings no heat, where there is work.
fn cold_arc(case: &Case) -> Option<Case> {
    let mut cold = case.clone();
    cold.passes.as_mut()?.list.iter_mut().for_each(|pass| pass.power = 0.0);
    Some(cold)
}

fn arc_effect(with: &Answer, without: &Answer) -> Option<ArcEffect> {
    let coldest_gain_k = with.coldest_c - without.coldest_c;
    let (beads_per_heat_with, beads_per_heat_without) = (with.beads_per_heat?, without.beads_per_heat?);
    let effect = ArcEffect { beads_per_heat_with, beads_per_heat_without, coldest_gain_k };
    coldest_gain_k.is_finite().then_some(effect)
}

/// For each range whether its low end is the worse, in every way that may be the worst of all together: what is worst for
/// the nearest limit need not be worst for the minimum, nor for the limits above.
pub(crate) fn worst_choices(pairs: &[[Answer; 2]]) -> Vec<Vec<bool>> {
    let mut choices = vec![
        worse(pairs, |a| (a.margin_k, a.hold_s)),
        worse(pairs, |a| (a.margins_k[0], a.hold_s)),
        worse(pairs, |a| (a.margins_k[1].min(a.margins_k[2]), a.hold_s)),
    ];
    choices.sort();
    choices.dedup();
    choices.retain(|choice| !choice.is_empty());
    choices
}

/// For each range whether its low end is the worse by a measure.
fn worse(pairs: &[[Answer; 2]], measure: impl Fn(&Answer) -> (f64, f64)) -> Vec<bool> {
    pairs.iter().map(|[low, high]| measure(low) < measure(high)).collect()
}

/// The case with every input at one end of its range: the low one where it says so.
pub(crate) fn worst_case(case: &Case, ranges: &[Range], low: &[bool]) -> Result<Case, heat::Error> {
    let end = |(range, &low): (&Range, &bool)| (range.lever, if low { range.low } else { range.high });
    all_varied(case.clone(), ranges.iter().zip(low).map(end))
}

pub(crate) fn summed_up(question: &Question, judgement: Option<&Judgement>, held: Option<&Run>) -> Answer {
    let hold_s = match (held, question.ring, question.window) {
        (Some(run), Some((_, probes)), Some(window)) => {
            hold(run, probes.coldest, window.minimum_c).map_or(f64::INFINITY, |c| c.time_s)
        }
        _ => f64::INFINITY,
    };
    Answer {
        margins_k: judgement.map_or([f64::INFINITY; 3], Judgement::margins),
        margin_k: judgement.and_then(Judgement::worst).map_or(f64::INFINITY, |w| w.margin_k),
        hold_s,
        beads_per_heat: judgement.and_then(|j| j.beads_per_heat),
        coldest_c: judgement.map_or(f64::NAN, Judgement::mean_coldest_c),
    }
}
