//! A proposal is not one before `check` has said so.

use super::SPARE_K;
use super::seek::{Bounds, Candidate, Ends, candidate};
use super::trial::{Fineness, Job};
use crate::progress::Share;
use crate::{Error, Outcome, Verdict, check};

/// Most checks of one plan.
const MOST_CHECKS: usize = 6;

/// Most checks of one width and flame.
const CHECKS_OF_ONE: usize = 4;

/// First guard where the ends are run as `check` runs them, K: what its numerical error takes, about.
const FIRST_GUARD_K: f64 = 1.5;

/// A margin known no better than this is not worth moving the reading for, K: a fast flame on a thin wall needs a finer grid
/// than a plan can afford, and the next width and flame are looked at.
const UNRESOLVED_K: f64 = 4.0;

/// Checks the shortest, then the next: each with a guard that grows or shrinks until it holds with little to spare.
/// Nothing where at every width and flame no reading is left.
pub(super) fn confirmed(
    job: &Job,
    bounds: &Bounds,
    ends: &Ends,
    mut pool: Vec<Candidate>,
    share: &Share<'_>,
) -> Result<Option<(Candidate, Outcome)>, Error> {
    pool.sort_by(|a, b| a.total_s.total_cmp(&b.total_s));
    let mut seen: Vec<[u64; 2]> = Vec::new();
    pool.retain(|c| {
        let place = [c.setting.scale.to_bits(), c.setting.strength.to_bits()];
        let new = !seen.contains(&place);
        seen.push(place);
        new
    });
    let mut tried = Tried { checks: 0, guard_k: FIRST_GUARD_K, kept: None, closest: None };
    for candidate in pool {
        if tried.checks >= MOST_CHECKS || tried.kept.is_some() || share.was_stopped() {
            break;
        }
        tried.follow(job, (bounds, ends), candidate, share)?;
    }
    Ok(tried.kept.or(tried.closest))
}

/// What the checks of a plan have found.
struct Tried {
    checks: usize,
    /// The guard that the last check would have needed, K: the next width and flame start with it.
    guard_k: f64,
    kept: Option<(Candidate, Outcome)>,
    closest: Option<(Candidate, Outcome)>,
}

impl Tried {
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
        for _ in 0..CHECKS_OF_ONE {
            let place = (first.setting.scale, first.setting.strength);
            let Some(at) = candidate(job, bounds, ends, place, (guard_k, Fineness::AsChecked))?.map(in_time) else {
                break;
            };
            if at.setting.target_c == before_c {
                break;
            }
            before_c = at.setting.target_c;
            let done = 0.4 + 0.5 * self.checks as f64 / MOST_CHECKS as f64;
            share.stage(done, done + 0.08);
            self.checks += 1;
            let (case, question) = job.at(&at.setting, job.reheats);
            let outcome = check(&case, &question, &|_| share.going())?;
            if !affordable(&outcome, bounds) {
                break;
            }
            let (safe_k, unresolved) = (safe_k(&outcome), outcome.error.grid_k > UNRESOLVED_K);
            let holds = outcome.verdict == Verdict::Holds;
            if holds {
                self.kept = Some((at, outcome));
            } else if !unresolved || self.closest.is_none() {
                self.closest = Some((at, outcome));
            }
            let done = if holds { safe_k < SPARE_K[1] } else { unresolved || self.kept.is_some() };
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
