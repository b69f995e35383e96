//! `check`: does this schedule hold on this casting.

use heat::{Accuracy, Case, Grids, Run};
use rayon::prelude::*;

use crate::assemble::{Answer, Answers, Nominal, outcome};
use crate::hold::{hold, hold_case};
use crate::judge::{Judgement, judge};
use crate::progress::Progress;
use crate::vary::varied;
use crate::{Outcome, Question, Range};

/// Why a check could not be answered.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The engine could not solve the case.
    #[error(transparent)]
    Heat(#[from] heat::Error),
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
    let ends = if question.window.is_some() { 2 * question.ranges.len() + 2 } else { 0 };
    let progress = Progress::new(ends, keep_going);
    let (nominal, ranged) = rayon::join(
        || nominal(case, question, &progress),
        || if ends > 0 { ranged(case, question, &progress).map(Some) } else { Ok(None) },
    );
    let nominal = nominal?;
    // An interrupted run has no comparable ends.
    let answers = if nominal.run.interrupted { None } else { ranged? };
    Ok(outcome(case, question, &nominal, answers.as_ref()))
}

fn nominal(case: &Case, question: &Question, progress: &Progress<'_>) -> Result<Nominal, Error> {
    let (run, held) = both(case, question, &question.accuracy, (progress, Progress::NOMINAL))?;
    let judgement = judge(case, question, &run);
    Ok(Nominal { run, held, judgement })
}

/// The scheduled run and, where there is a window, the hold run.
fn both(
    case: &Case,
    question: &Question,
    accuracy: &Accuracy,
    (progress, job): (&Progress<'_>, usize),
) -> Result<(Run, Option<Run>), Error> {
    let main = || heat::solve(case, accuracy, &|share| progress.report(job, 0.8 * share));
    let held = || match (question.window, question.ring) {
        (Some(window), Some((_, probes))) if !case.torches.is_empty() => {
            let held = |probe: usize| heat::solve(&hold_case(case, &window, probe), accuracy, &|_| progress.going());
            let run = held(probes.centre)?;
            // The middle may be under the minimum before the ring is: the ring is then followed by itself.
            let open = !run.interrupted && hold(&run, probes.coldest, window.minimum_c).is_none();
            if open { held(probes.coldest).map(Some) } else { Ok(Some(run)) }
        }
        _ => Ok(None),
    };
    let (run, held) = rayon::join(main, held);
    progress.report(job, 1.0);
    Ok((run?, held?))
}

/// Every range at both ends, then everything at its worst.
fn ranged(case: &Case, question: &Question, progress: &Progress<'_>) -> Result<Answers, Error> {
    let accuracy = Accuracy { grids: Grids::MiddleOnly, ..question.accuracy };
    let answer = |case: &Case, job: usize| -> Result<Answer, Error> {
        let (run, held) = both(case, question, &accuracy, (progress, job))?;
        Ok(summed_up(question, judge(case, question, &run).as_ref(), held.as_ref()))
    };
    let mut cases = vec![case.clone()];
    for range in &question.ranges {
        for factor in [range.low, range.high] {
            cases.push(varied(case, range.lever, factor)?);
        }
    }
    let run = |(number, case): (usize, &Case)| answer(case, number + 1);
    let results: Vec<Answer> = cases.par_iter().enumerate().map(run).collect::<Result<_, Error>>()?;
    let (middle, ends) = (results[0], &results[1..]);
    let pairs: Vec<[Answer; 2]> = ends.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect();
    let worst = worst_case(case, &question.ranges, &pairs)?;
    let worst = if pairs.is_empty() { None } else { Some(answer(&worst, Progress::WORST)?) };
    Ok(Answers { middle, pairs, worst })
}

/// The case with every input at the end that leaves the smaller margin.
fn worst_case(case: &Case, ranges: &[Range], pairs: &[[Answer; 2]]) -> Result<Case, heat::Error> {
    ranges.iter().zip(pairs).try_fold(case.clone(), |case, (range, [low, high])| {
        let worse_low = (low.margin_k, low.hold_s) < (high.margin_k, high.hold_s);
        varied(&case, range.lever, if worse_low { range.low } else { range.high })
    })
}

fn summed_up(question: &Question, judgement: Option<&Judgement>, held: Option<&Run>) -> Answer {
    let hold_s = match (held, question.ring, question.window) {
        (Some(run), Some((_, probes)), Some(window)) => {
            hold(run, probes.coldest, window.minimum_c).map_or(f64::INFINITY, |c| c.time_s)
        }
        _ => f64::INFINITY,
    };
    Answer {
        margin_k: judgement.and_then(Judgement::worst).map_or(f64::INFINITY, |w| w.margin_k),
        hold_s,
        beads_per_heat: judgement.and_then(|j| j.beads_per_heat),
    }
}
