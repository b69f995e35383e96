//! What would hold where nothing does: one thing given way at a time.

use schemars::JsonSchema;
use serde::Serialize;

use super::help;
use super::seek::{Bounds, Candidate, Ends, LONGEST_HEAT_UP_S, RISE_ERROR, geometric, grid_at_its_ends, shortest};
use super::trial::{Fineness, Job};
use super::{WIDTH_STEP_M, Wishes, largest_scale, torch_is_ranged, torch_range, worse_ends};
use crate::progress::Share;
use crate::{Error, Lever};

/// Steps of a halving search for a start temperature.
const HALVINGS: usize = 4;
/// The whole casting is warmed by so much more than just holds, K.
const MORE_K: f64 = 10.0;
/// A torch whose share was found by timing a heat-up is known to this.
const TIMED: f64 = 0.10;
/// Widths and strengths looked at for a remedy; over hollows, where each run takes its time.
const LOOKS: [usize; 2] = [4, 3];
/// Margin that a quick run of a remedy keeps, K: about what numerical error takes when it is planned with and checked.
const REMEDY_GUARD_K: f64 = 3.5;

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
    /// The torch turned down and kept on between flames; value: heat over the patch as a share of the torch's.
    SoftFlame,
    /// A second torch over the same patch while the flame burns; value: its heat as a share of the first one's.
    HelpersTorch,
    /// Electric pads on the back, on from the start of the job; value: net flux into the metal, W/m2.
    PadsOnTheBack,
    /// The whole casting warmed to a temperature before; value: Celsius.
    WarmCasting,
    /// Fewer beads for each heat; value: how many.
    FewerBeads,
    /// A shorter time between two flames; value: s.
    ShorterInterval,
    /// A faster rise of the surface than was allowed; value: the slowest that was found to hold, K/s.
    FasterHeating,
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
    /// Diameter of the pads, m; null for every other lever.
    pub pads_m: Option<f64>,
    /// Heated width then, m.
    pub width_m: Option<f64>,
    /// Strength of the torch then, over the scenario's.
    pub torch: Option<f64>,
    /// Reading at flame off then, Celsius.
    pub reads_c: Option<f64>,
    /// First heating then, at the strong and at the weak end of the stated ranges, s.
    pub heat_up_band_s: Option<[f64; 2]>,
    /// Whole job then, s; what warms the whole casting before it comes on top.
    pub total_s: Option<f64>,
}

/// What every lever is tried within.
pub(super) struct Search<'a> {
    pub(super) job: &'a Job,
    /// Few widths and flames of those that the plan looks at.
    pub(super) here: Bounds,
    ends: &'a Ends,
    share: &'a Share<'a>,
}

/// A number with the shortest job that it makes hold.
pub(super) type Found = Option<(f64, Candidate)>;

impl Search<'_> {
    fn new<'a>(job: &'a Job, stated: &Bounds, ends: &'a Ends, share: &'a Share<'a>) -> Search<'a> {
        let looks = LOOKS[usize::from(!job.case.hollows.boxes.is_empty())];
        let (scales, strengths) = (thinned(&stated.scales, looks), thinned(&stated.strengths, looks));
        Search { job, here: Bounds { scales, strengths, ..stated.clone() }, ends, share }
    }

    /// The shortest job within bounds.
    fn best(&self, job: &Job, bounds: &Bounds, ends: &Ends) -> Result<Option<Candidate>, Error> {
        let (found, _) = grid_at_its_ends(job, bounds, ends, REMEDY_GUARD_K, self.share)?;
        Ok(shortest(found.iter().flatten()))
    }

    /// The first of some numbers with which a job holds.
    pub(super) fn first(
        &self,
        values: impl IntoIterator<Item = f64>,
        with: impl Fn(f64) -> (Job, Bounds),
    ) -> Result<Found, Error> {
        for value in values {
            let (job, bounds) = with(value);
            if let Some(found) = self.best(&job, &bounds, self.ends)? {
                return Ok(Some((value, found)));
            }
        }
        Ok(None)
    }

    pub(super) fn remedy(&self, lever: RemedyKind, found: Found) -> Remedy {
        let width = 2.0 * self.job.case.torches[0].patch.half_width();
        let candidate = found.map(|(_, candidate)| candidate);
        Remedy {
            lever,
            value: found.map(|(value, _)| value),
            pads_m: None,
            width_m: candidate.map(|c| c.setting.scale * width),
            torch: candidate.map(|c| c.setting.strength),
            reads_c: candidate.map(|c| c.setting.target_c),
            heat_up_band_s: candidate.map(|c| [c.strong.heat_up_s, c.weak.heat_up_s]),
            total_s: candidate.map(|c| c.total_s),
        }
    }
}

/// Looks at one lever; nothing where it is none for this job.
type Look = fn(&Search<'_>) -> Result<Option<Remedy>, Error>;

/// All levers. A further one takes its place here, as a function of its own.
const LEVERS: [Look; 10] = [
    faster_heating,
    wider,
    longer_soak,
    stronger_torch,
    help::soft_flame,
    help::helpers_torch,
    help::pads_on_the_back,
    warm_casting,
    less_work,
    known_torch,
];

/// Every lever alone, by quick runs; those that work first, the shorter job before the longer.
///
/// # Errors
/// As [`heat::solve`].
pub fn remedies(job: &Job, stated: &Bounds, ends: &Ends, share: &Share<'_>) -> Result<Vec<Remedy>, Error> {
    let search = Search::new(job, stated, ends, share);
    let mut all = Vec::new();
    for (number, look) in LEVERS.iter().enumerate() {
        let part = |n: usize| 0.25 + 0.75 * n as f64 / LEVERS.len() as f64;
        share.stage(part(number), part(number + 1));
        all.extend(look(&search)?);
        if share.was_stopped() {
            return Ok(Vec::new());
        }
    }
    let order = |remedy: &Remedy| remedy.total_s.unwrap_or(f64::INFINITY);
    all.sort_by(|a, b| order(a).total_cmp(&order(b)));
    Ok(all)
}

/// What the job would be with the torch known; nothing where it is known already.
///
/// # Errors
/// As [`heat::solve`].
pub fn better_known(job: &Job, stated: &Bounds, ends: &Ends, share: &Share<'_>) -> Result<Vec<Remedy>, Error> {
    Ok(known_torch(&Search::new(job, stated, ends, share))?.into_iter().collect())
}

/// So many of a list, its ends among them: a job found with them is one that a plan looks at.
fn thinned(list: &[f64], looks: usize) -> Vec<f64> {
    let last = list.len() - 1;
    let mut few: Vec<f64> = (0..looks).map(|n| list[(n * last + (looks - 1) / 2) / (looks - 1)]).collect();
    few.dedup();
    few
}

/// The narrowest of wider patches that holds.
fn wider(search: &Search<'_>) -> Result<Option<Remedy>, Error> {
    let patch = search.job.case.torches[0].patch;
    let (from, most) = (search.here.scales[search.here.scales.len() - 1], largest_scale(&search.job.case, patch));
    let width = 2.0 * patch.half_width();
    let whole = |scale: f64| (scale * width / WIDTH_STEP_M + 1e-6).floor() * WIDTH_STEP_M;
    let mut widths: Vec<f64> = geometric([from, most.min(4.0 * from)], 8).into_iter().map(whole).collect();
    widths.dedup();
    widths.retain(|w| *w > from * width * (1.0 + 1e-9));
    let at = |width_m: f64| (search.job.clone(), Bounds { scales: vec![width_m / width], ..search.here.clone() });
    Ok(Some(search.remedy(RemedyKind::Wider, search.first(widths, at)?)))
}

/// The slowest rise of the surface that holds, where a limit of it was stated.
fn faster_heating(search: &Search<'_>) -> Result<Option<Remedy>, Error> {
    if search.here.rise_k_s.is_infinite() {
        return Ok(None);
    }
    let bounds = Bounds { rise_k_s: f64::INFINITY, ..search.here.clone() };
    let (found, ends) = grid_at_its_ends(search.job, &bounds, search.ends, REMEDY_GUARD_K, search.share)?;
    let mut slowest = None;
    for one in found.into_iter().flatten() {
        let rise_k_s = search.job.tried(&one.setting, &ends.steep, 0, Fineness::Quick)?.rise_k_s * (1.0 + RISE_ERROR);
        if slowest.is_none_or(|(least, _)| rise_k_s < least) {
            slowest = Some((rise_k_s, one));
        }
    }
    Ok(Some(search.remedy(RemedyKind::FasterHeating, slowest)))
}

/// Softer flames for up to three times the longest heating that is looked at.
fn longer_soak(search: &Search<'_>) -> Result<Option<Remedy>, Error> {
    let here = &search.here;
    let [weakest, strongest] = [here.strengths[0], here.strengths[here.strengths.len() - 1]];
    let longest_heat_up_s = 3.0 * here.longest_heat_up_s.max(LONGEST_HEAT_UP_S);
    let strengths = geometric([0.3 * weakest, strongest], 2 * here.strengths.len());
    let bounds = Bounds { strengths, longest_heat_up_s, longest_job_s: f64::INFINITY, ..here.clone() };
    let found = search.best(search.job, &bounds, search.ends)?;
    let longer = found.filter(|found| found.weak.heat_up_s > here.longest_heat_up_s || search.is_longer(found));
    Ok(Some(search.remedy(RemedyKind::LongerSoak, longer.map(|found| (found.nominal.heat_up_s, found)))))
}

impl Search<'_> {
    /// Whether a job needs a flame softer than any that was looked at, or more time than is given.
    fn is_longer(&self, found: &Candidate) -> bool {
        found.setting.strength < self.here.strengths[0] || found.total_s > self.here.longest_job_s
    }
}

/// The coolest start of the whole casting that holds, to five kelvin, and a little more.
fn warm_casting(search: &Search<'_>) -> Result<Option<Remedy>, Error> {
    const WHOLE_K: f64 = 5.0;
    let warmed = |start_c: f64| {
        let mut warm = search.job.clone();
        warm.case.start_c = start_c;
        warm
    };
    let whole = |celsius: f64| (celsius / WHOLE_K).floor() * WHOLE_K;
    let (mut low, mut high) = (search.job.case.start_c, whole(search.job.window.minimum_c - WHOLE_K));
    if high <= low {
        return Ok(None);
    }
    let ends = worse_ends(&warmed(high), &search.here)?;
    let at = |start_c: f64| search.best(&warmed(start_c), &search.here, &ends);
    let Some(mut found) = at(high)? else { return Ok(Some(search.remedy(RemedyKind::WarmCasting, None))) };
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
    // The coolest that just holds is not one to aim at: some more, where that holds too.
    let more = high + MORE_K;
    if more <= search.job.window.minimum_c - WHOLE_K
        && let Some(holds) = at(more)?
    {
        (high, found) = (more, holds);
    }
    Ok(Some(search.remedy(RemedyKind::WarmCasting, Some((high, found)))))
}

/// Fewer beads for each heat, or without passes a shorter interval.
fn less_work(search: &Search<'_>) -> Result<Option<Remedy>, Error> {
    let (job, here) = (search.job, &search.here);
    let Some(passes) = &job.case.passes else {
        let shorter = [0.75, 0.5, 0.25, 0.1].map(|part| (job.interval_s * part).floor().max(1.0));
        let found = search.first(shorter, |interval_s| (Job { interval_s, ..job.clone() }, here.clone()))?;
        return Ok(Some(search.remedy(RemedyKind::ShorterInterval, found)));
    };
    if passes.per_heat <= 1 {
        return Ok(None);
    }
    for beads in (1..passes.per_heat).rev() {
        let wishes = Wishes { beads: Some(beads), ..Wishes::default() };
        let fewer = super::job(&job.case, &job.question, &wishes)?;
        if let Some(found) = search.best(&fewer, here, search.ends)? {
            return Ok(Some(search.remedy(RemedyKind::FewerBeads, Some((beads as f64, found)))));
        }
    }
    Ok(Some(search.remedy(RemedyKind::FewerBeads, None)))
}

/// A stronger torch, where the scenario's was to be kept.
fn stronger_torch(search: &Search<'_>) -> Result<Option<Remedy>, Error> {
    let here = &search.here;
    let (from, most) = (here.strengths[here.strengths.len() - 1], torch_range(search.job, false)[1]);
    if most <= from * 1.01 {
        return Ok(None);
    }
    let stronger = geometric([from, most], 6).into_iter().skip(1);
    let at = |strength: f64| (search.job.clone(), Bounds { strengths: vec![strength], ..here.clone() });
    Ok(Some(search.remedy(RemedyKind::StrongerTorch, search.first(stronger, at)?)))
}

/// The torch known to a tenth, where its range is wider.
fn known_torch(search: &Search<'_>) -> Result<Option<Remedy>, Error> {
    if !torch_is_ranged(&search.job.question) {
        return Ok(None);
    }
    let mut known = search.job.clone();
    for range in known.question.ranges.iter_mut().filter(|range| range.lever == Lever::TorchStrength) {
        if range.high / range.low < (1.0 + TIMED) / (1.0 - TIMED) {
            return Ok(None);
        }
        (range.low, range.high) = (1.0 - TIMED, 1.0 + TIMED);
    }
    let found = search.best(&known, &search.here, &worse_ends(&known, &search.here)?)?;
    Ok(Some(search.remedy(RemedyKind::KnownTorch, found.map(|found| (TIMED, found)))))
}
