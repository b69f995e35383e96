//! What would hold where nothing does: one thing given way at a time.

use schemars::JsonSchema;
use serde::Serialize;

use super::seek::{Bounds, Candidate, LONGEST_HEAT_UP_S, geometric, grid, shortest};
use super::trial::Job;
use super::{SPARE_K, Wishes, largest_scale, torch_is_ranged, torch_range, worse_ends};
use crate::progress::Share;
use crate::{Error, Lever};

/// Steps of a halving search for a start temperature.
const HALVINGS: usize = 4;
/// A torch whose share was found by timing a heat-up is known to this.
const TIMED: f64 = 0.10;
/// Widths and strengths looked at for a remedy.
const LOOKS: usize = 4;

/// What gives way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum RemedyKind {
    /// A wider patch; value: width, m.
    Wider,
    /// A longer first heating with a softer flame; value: its time, s.
    LongerSoak,
    /// A stronger torch; value: strength over the scenario's.
    StrongerTorch,
    /// The whole casting warmed to a temperature before; value: Celsius.
    WarmCasting,
    /// Fewer beads for each heat; value: how many.
    FewerBeads,
    /// A shorter time between two flames; value: s.
    ShorterInterval,
    /// A torch whose heat is known from a timed heat-up; value: range either way, as a share.
    KnownTorch,
}

/// One thing that would make it hold, with the number that does.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Remedy {
    /// What gives way.
    pub lever: RemedyKind,
    /// By how much; see the lever for the unit. Null where it does not help alone.
    pub value: Option<f64>,
    /// Heated width then, m.
    pub width_m: Option<f64>,
    /// Strength of the torch then, over the scenario's.
    pub torch: Option<f64>,
    /// Reading at flame off then, Celsius.
    pub reads_c: Option<f64>,
    /// Whole job then, s.
    pub total_s: Option<f64>,
}

/// Every lever alone, by quick runs; those that work first, the shorter job before the longer.
///
/// # Errors
/// As [`heat::solve`].
pub fn remedies(job: &Job, stated: &Bounds, share: &Share<'_>) -> Result<Vec<Remedy>, Error> {
    let coarse =
        |bounds: Bounds| Bounds { scales: thinned(&bounds.scales), strengths: thinned(&bounds.strengths), ..bounds };
    let here = coarse(stated.clone());
    let mut all = vec![
        wider(job, &here, share)?,
        longer_soak(job, &here, share)?,
        warm_casting(job, &here, share)?,
        less_work(job, &here, share)?,
    ];
    all.extend(stronger_torch(job, &here, share)?);
    all.extend(known_torch(job, &here, share)?);
    // Further levers take their place here, each as a function of its own: a soft flame kept on between the beads, a
    // helper's torch, heat from the back.
    let order = |remedy: &Remedy| remedy.total_s.unwrap_or(f64::INFINITY);
    all.sort_by(|a, b| order(a).total_cmp(&order(b)));
    Ok(all)
}

/// What the job would be with the torch known; nothing where it is known already.
///
/// # Errors
/// As [`heat::solve`].
pub fn better_known(job: &Job, stated: &Bounds, share: &Share<'_>) -> Result<Vec<Remedy>, Error> {
    Ok(known_torch(job, stated, share)?.into_iter().collect())
}

fn thinned(list: &[f64]) -> Vec<f64> {
    geometric([list[0], list[list.len() - 1]], LOOKS.min(list.len()))
}

fn best(job: &Job, bounds: &Bounds, share: &Share<'_>) -> Result<Option<Candidate>, Error> {
    let ends = worse_ends(job, bounds)?;
    Ok(shortest(grid(job, bounds, &ends, SPARE_K[0], share)?.iter().flatten()))
}

fn remedy(job: &Job, lever: RemedyKind, found: Option<(f64, Candidate)>) -> Remedy {
    let width = 2.0 * job.case.torches[0].patch.half_width();
    let candidate = found.map(|(_, candidate)| candidate);
    Remedy {
        lever,
        value: found.map(|(value, _)| value),
        width_m: candidate.map(|c| c.setting.scale * width),
        torch: candidate.map(|c| c.setting.strength),
        reads_c: candidate.map(|c| c.setting.target_c),
        total_s: candidate.map(|c| c.total_s),
    }
}

/// The narrowest of wider patches that holds.
fn wider(job: &Job, here: &Bounds, share: &Share<'_>) -> Result<Remedy, Error> {
    let patch = job.case.torches[0].patch;
    let (from, to) = (here.scales[here.scales.len() - 1], largest_scale(&job.case, patch));
    let width = 2.0 * patch.half_width();
    for scale in geometric([from, to.min(4.0 * from)], 2 * LOOKS) {
        if let Some(found) = best(job, &Bounds { scales: vec![scale], ..here.clone() }, share)? {
            return Ok(remedy(job, RemedyKind::Wider, Some((scale * width, found))));
        }
    }
    Ok(remedy(job, RemedyKind::Wider, None))
}

/// Softer flames for up to three times the longest heating.
fn longer_soak(job: &Job, here: &Bounds, share: &Share<'_>) -> Result<Remedy, Error> {
    let weakest = here.strengths[0];
    let strengths = geometric([0.3 * weakest, here.strengths[here.strengths.len() - 1]], 2 * LOOKS);
    let bounds = Bounds { strengths, longest_heat_up_s: 3.0 * LONGEST_HEAT_UP_S, ..here.clone() };
    let found = best(job, &bounds, share)?;
    Ok(remedy(job, RemedyKind::LongerSoak, found.map(|found| (found.nominal.heat_up_s, found))))
}

/// The coolest start of the whole casting that holds, to five kelvin.
fn warm_casting(job: &Job, here: &Bounds, share: &Share<'_>) -> Result<Remedy, Error> {
    const WHOLE_K: f64 = 5.0;
    let at = |start_c: f64| {
        let mut warm = job.clone();
        warm.case.start_c = start_c;
        best(&warm, here, share)
    };
    let (mut low, mut high) = (job.case.start_c, job.window.minimum_c - WHOLE_K);
    let Some(mut found) = at(high)? else { return Ok(remedy(job, RemedyKind::WarmCasting, None)) };
    for _ in 0..HALVINGS {
        let middle = (0.5 * (low + high) / WHOLE_K).ceil() * WHOLE_K;
        if middle >= high {
            break;
        }
        match at(middle)? {
            Some(holds) => (high, found) = (middle, holds),
            None => low = middle,
        }
    }
    Ok(remedy(job, RemedyKind::WarmCasting, Some((high, found))))
}

/// Fewer beads for each heat, or without passes a shorter interval.
fn less_work(job: &Job, here: &Bounds, share: &Share<'_>) -> Result<Remedy, Error> {
    let Some(passes) = &job.case.passes else {
        for part in [0.75, 0.5, 0.25, 0.1] {
            let interval_s = (job.interval_s * part).floor().max(1.0);
            if let Some(found) = best(&Job { interval_s, ..job.clone() }, here, share)? {
                return Ok(remedy(job, RemedyKind::ShorterInterval, Some((interval_s, found))));
            }
        }
        return Ok(remedy(job, RemedyKind::ShorterInterval, None));
    };
    for beads in (1..passes.per_heat).rev() {
        let wishes = Wishes { beads: Some(beads), ..Wishes::default() };
        let fewer = super::job(&job.case, &job.question, &wishes)?;
        if let Some(found) = best(&fewer, here, share)? {
            return Ok(remedy(job, RemedyKind::FewerBeads, Some((beads as f64, found))));
        }
    }
    Ok(remedy(job, RemedyKind::FewerBeads, None))
}

/// A stronger torch, where the scenario's was to be kept.
fn stronger_torch(job: &Job, here: &Bounds, share: &Share<'_>) -> Result<Option<Remedy>, Error> {
    let (from, most) = (here.strengths[here.strengths.len() - 1], torch_range(job, false)[1]);
    if most <= from * 1.01 {
        return Ok(None);
    }
    for strength in geometric([from, most], 2 * LOOKS) {
        if let Some(found) = best(job, &Bounds { strengths: vec![strength], ..here.clone() }, share)? {
            return Ok(Some(remedy(job, RemedyKind::StrongerTorch, Some((strength, found)))));
        }
    }
    Ok(Some(remedy(job, RemedyKind::StrongerTorch, None)))
}

/// The torch known to a tenth, where its range is wider.
fn known_torch(job: &Job, here: &Bounds, share: &Share<'_>) -> Result<Option<Remedy>, Error> {
    if !torch_is_ranged(&job.question) {
        return Ok(None);
    }
    let mut known = job.clone();
    for range in known.question.ranges.iter_mut().filter(|range| range.lever == Lever::TorchStrength) {
        if range.high / range.low < (1.0 + TIMED) / (1.0 - TIMED) {
            return Ok(None);
        }
        (range.low, range.high) = (1.0 - TIMED, 1.0 + TIMED);
    }
    let found = best(&known, here, share)?;
    Ok(Some(remedy(job, RemedyKind::KnownTorch, found.map(|found| (TIMED, found)))))
}
