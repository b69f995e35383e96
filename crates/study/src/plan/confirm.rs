//! A proposal is not one before `check` has said so.

use super::SPARE_K;
use super::seek::{Bounds, Candidate, Ends, candidate};
use super::trial::{Fineness, Job, Setting};
use crate::progress::Share;
use crate::{Error, Outcome, Verdict, check};

/// Most checks of one plan.
const MOST_CHECKS: usize = 24;
/// Quicker ones that are still looked at once one is confirmed.
const MOST_QUICKER: usize = 3;

/// Most checks of one width and flame.
const CHECKS_OF_ONE: usize = 4;

/// What is no wider than an unresolved one by this factor, with a flame no weaker by the other, resolves no better: it is
/// put off until all others have been looked at.
const TWIN: [f64; 2] = [1.12, 1.25];

/// First guard where the ends are run as `check` runs them, K: what its numerical error takes, about.
const FIRST_GUARD_K: f64 = 1.5;

/// A margin known no better than this is not worth moving the reading for, K: a fast flame on a thin wall needs a finer grid
/// than a plan can afford, and the next width and flame are looked at.
const UNRESOLVED_K: f64 = 4.0;

/// What the checks of a plan come to.
pub(super) struct Confirmed {
    /// The shortest that holds; else the one that is nearest to it. None where at every width and flame no reading is left.
    pub(super) found: Option<(Candidate, Outcome)>,
    /// Widths with a flame that were left unchecked when the checks of a plan were used up.
    pub(super) unchecked: usize,
}

/// Checks the shortest, then the next, until one holds: each with a guard that grows or shrinks until it holds with little
/// to spare.
pub(super) fn confirmed(
    job: &Job,
    bounds: &Bounds,
    ends: &Ends,
    mut pool: Vec<Candidate>,
    share: &Share<'_>,
) -> Result<Confirmed, Error> {
    pool.sort_by(|a, b| a.total_s.total_cmp(&b.total_s));
    let mut seen: Vec<[u64; 2]> = Vec::new();
    pool.retain(|c| {
        let place = [c.setting.scale.to_bits(), c.setting.strength.to_bits()];
        let new = !seen.contains(&place);
        seen.push(place);
        new
    });
    let mut tried = Tried {
        checks: 0,
        quicker: 0,
        guard_k: FIRST_GUARD_K,
        unresolved: Vec::new(),
        kept: None,
        closest: None,
        unchecked: 0,
    };
    let mut put_off = Vec::new();
    for candidate in pool {
        if tried.is_twin(&candidate) {
            put_off.push(candidate);
        } else {
            tried.take(job, (bounds, ends), candidate, share)?;
        }
    }
    for candidate in put_off {
        tried.take(job, (bounds, ends), candidate, share)?;
    }
    let unchecked = if tried.kept.is_some() { 0 } else { tried.unchecked };
    Ok(Confirmed { found: tried.kept.or(tried.closest), unchecked })
}

/// What the checks of a plan have found.
struct Tried {
    checks: usize,
    /// Looked at since one was confirmed.
    quicker: usize,
    /// The guard that the last check would have needed, K: the next width and flame start with it.
    guard_k: f64,
    /// Scales and strengths of those that need a finer grid than a plan can afford.
    unresolved: Vec<[f64; 2]>,
    kept: Option<(Candidate, Outcome)>,
    closest: Option<(Candidate, Outcome)>,
    unchecked: usize,
}

impl Tried {
    fn is_twin(&self, candidate: &Candidate) -> bool {
        let Setting { scale, strength, .. } = candidate.setting;
        self.unresolved.iter().any(|[wide, strong]| scale <= wide * TWIN[0] && strength >= strong / TWIN[1])
    }

    /// Follows a width and flame if it may be quicker than what is confirmed and checks are left.
    fn take(&mut self, job: &Job, within: (&Bounds, &Ends), one: Candidate, share: &Share<'_>) -> Result<(), Error> {
        if share.was_stopped() {
            return Ok(());
        }
        if let Some((kept, _)) = &self.kept {
            if one.total_s >= kept.total_s || self.quicker >= MOST_QUICKER {
                return Ok(());
            }
            self.quicker += 1;
        } else if self.checks >= MOST_CHECKS {
            self.unchecked += 1;
            return Ok(());
        }
        self.follow(job, within, one, share)
    }

    /// Checks one width and flame with the reading moved until it holds with little to spare.
    fn follow(
        &mut self,
        job: &Job,
        (bounds, ends): (&Bounds, &Ends),
        first: Candidate,
        share: &Share<'_>,
    ) -> Result<(), Error> {
        let mut guard_k = self.guard_k;
        let mut before_c = f64::NAN;
        let mut held = false;
        for _ in 0..CHECKS_OF_ONE {
            let place = (first.setting.scale, first.setting.strength);
            let Some(at) = candidate(job, bounds, ends, place, (guard_k, Fineness::AsChecked))?.map(in_time) else {
                break;
            };
            if at.setting.target_c == before_c || !self.is_quicker(&at) {
                break;
            }
            before_c = at.setting.target_c;
            let outcome = self.check(job, &at, share)?;
            if !affordable(&outcome, bounds) {
                break;
            }
            let (safe_k, unresolved) = (safe_k(&outcome), outcome.error.grid_k > UNRESOLVED_K);
            let holds = outcome.verdict == Verdict::Holds;
            if holds {
                held = true;
                self.kept = Some((at, outcome));
            } else if !unresolved || self.closest.is_none() {
                self.closest = Some((at, outcome));
            }
            if unresolved && !holds {
                self.unresolved.push([place.0, place.1]);
            }
            let done = if holds { safe_k < SPARE_K[1] } else { unresolved || held };
            if done || share.was_stopped() {
                break;
            }
            guard_k += (SPARE_K[0] + 0.3) - safe_k;
            if !unresolved {
                self.guard_k = guard_k.max(FIRST_GUARD_K);
            }
        }
        Ok(())
    }

    /// Whether a job is quicker than what is confirmed; nothing confirmed is slower than all.
    fn is_quicker(&self, one: &Candidate) -> bool {
        self.kept.as_ref().is_none_or(|(kept, _)| one.total_s < kept.total_s)
    }

    fn check(&mut self, job: &Job, at: &Candidate, share: &Share<'_>) -> Result<Outcome, Error> {
        let done = 0.4 + 0.5 * (1.0 - 0.85_f64.powi(self.checks as i32));
        share.stage(done, done + 0.05);
        self.checks += 1;
        let (case, question) = job.at(&at.setting, job.reheats);
        check(&case, &question, &|_| share.going())
    }
}

/// Whether a job keeps to the time and the gas that are given.
fn affordable(outcome: &Outcome, bounds: &Bounds) -> bool {
    let gas_kg = outcome.consumption.as_ref().and_then(|used| used.fuel_kg).unwrap_or(0.0);
    outcome.ran_until_s <= bounds.longest_job_s && gas_kg <= bounds.most_gas_kg
}

/// What the verdict has to stand on: margin less numerical error less what the ranges take, K.
fn safe_k(outcome: &Outcome) -> f64 {
    let error = &outcome.error;
    outcome.margin_k.unwrap_or(f64::NEG_INFINITY) - error.grid_k - error.time_k - error.input_k.unwrap_or(0.0)
}

/// Longest times for the flames, half as long again as the weak end takes.
fn in_time(mut candidate: Candidate) -> Candidate {
    let whole = |seconds: f64, step: f64| (1.5 * seconds / step).ceil().max(1.0) * step;
    candidate.setting.heat_up_at_most_s = whole(candidate.weak.heat_up_s, 300.0);
    candidate.setting.reheat_at_most_s = whole(candidate.weak.reheat_s.max(60.0), 60.0);
    candidate
}
