//! The card of a schedule that does not hold for certain: no step, why, the worst beside every number, and what helps.

use study::{Limit, Outcome, Verdict};

use super::parts::list;
use super::plain::time_down;
use crate::words::{difference, verdict_sentence};

use super::card::UNITS;

const NO_MINIMUM: &str = "No minimum was given: put [window] from the procedure into the scenario.";

/// Why it is no instruction, in one sentence.
pub(super) fn reason(outcome: &Outcome) -> String {
    match outcome.verdict {
        _ if outcome.interrupted => "The computation was interrupted before its end.".to_owned(),
        Verdict::NotAsked => NO_MINIMUM.to_owned(),
        _ => verdict_sentence(outcome, UNITS),
    }
}

/// What was computed, as far as it is no half of the truth; empty where nothing was judged.
pub(super) fn computed(outcome: &Outcome) -> String {
    if outcome.verdict == Verdict::NotAsked {
        return String::new();
    }
    let why = if outcome.interrupted { "it was not computed to its end" } else { "it does not hold for certain" };
    let mut lines = vec![format!("No step of this schedule is printed here, because {why}.")];
    if !outcome.interrupted {
        lines.extend(held(outcome));
        lines.extend(worst(outcome));
        lines.push(format!("What helps: {}.", levers(outcome).join(", or ")));
    }
    format!("<h2>What was computed</h2>\n{}", list(&lines))
}

/// The hold and the beads, and never without the worst end of the ranges: as stated alone they promise too much.
fn held(outcome: &Outcome) -> Option<String> {
    let (hold_s, worst) = (outcome.hold_s?, outcome.worst_end?);
    let stated = time_down(hold_s);
    let shortest = match worst.hold_s {
        Some(worst_s) => format!("{} at the worst", time_down(worst_s)),
        None => "longer than was computed at the worst".to_owned(),
    };
    let beads = match (worst.beads_per_heat, outcome.planned_per_heat) {
        (Some(0), _) => ": no bead is safe".to_owned(),
        (Some(fit), Some(planned)) => format!("; {} of {planned} beads at the worst", fit.min(planned)),
        _ => String::new(),
    };
    Some(format!("Hold {stated} as stated, {shortest}{beads}."))
}

fn worst(outcome: &Outcome) -> Option<String> {
    let worst = outcome.worst_end?;
    let side = if worst.margin_k < 0.0 { "outside the window" } else { "inside the window" };
    Some(format!("With every stated range at its worst: {} {side}.", difference(worst.margin_k.abs(), UNITS)))
}

/// Ways out of what is wrong here, and no others.
fn levers(outcome: &Outcome) -> Vec<&'static str> {
    let mut levers = match nearest(outcome) {
        Limit::Minimum => vec!["heat wider", "heat the whole casting first"],
        Limit::Interpass => vec!["heat to less", "wait until it has cooled before the first bead"],
        Limit::Surface => vec!["a weaker flame for longer", "heat wider"],
    };
    if nearest(outcome) == Limit::Minimum {
        if outcome.planned_per_heat.is_some_and(|planned| planned > 1) {
            levers.push("fewer beads per heat");
        }
        if outcome.heats.len() > 1 || outcome.planned_per_heat.is_some() {
            levers.push("a shorter wait");
        }
    }
    if outcome.verdict == Verdict::TooCloseToCall && outcome.error.input_k.is_some_and(|k| k > 0.0) {
        levers.push("narrower ranges: time one heat-up with a contact probe");
    }
    levers
}

/// The limit that is broken first or, where none is, the one that a bead is nearest to.
fn nearest(outcome: &Outcome) -> Limit {
    if let Some(breach) = &outcome.first_breach {
        return breach.limit;
    }
    let Some(window) = outcome.window else { return Limit::Minimum };
    let smallest = |margins: Vec<f64>| margins.into_iter().fold(f64::INFINITY, f64::min);
    let below = smallest(outcome.passes.iter().map(|pass| pass.coldest_c - window.minimum_c).collect());
    let above = smallest(outcome.passes.iter().map(|pass| window.maximum_interpass_c - pass.hottest_c).collect());
    if above < below { Limit::Interpass } else { Limit::Minimum }
}
