//! Levers that bring more heat beside the torch: a soft flame kept on, a helper's torch, pads on the back.

use heat::{Face, Heater, MOST_BESIDE, Shape, Torch, TorchKind, When};

use super::remedy::{Found, Remedy, RemedyKind, Search};
use super::trial::Job;
use super::{PADS_MOST, WIDTH_STEP_M, largest_scale, ring_width};
use crate::Error;

/// Shares of the torch that a soft flame is looked at with.
const SOFT: [f64; 8] = [0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.40, 0.50];
/// Shares of the first torch that a helper's is looked at with: no tip is taken to be larger than the first one's.
const HELPERS: [f64; 4] = [0.25, 0.50, 0.75, 1.0];
/// Net fluxes of pads that are looked at, W/m2: from what silicone mats give to most of what ceramic pads do (EL1).
const PADS: [f64; 8] = [5e3, 1e4, 2e4, 3e4, 4e4, 6e4, 9e4, PADS_MOST];
/// Pads reach so far beyond the ring, over its outer diameter (D12, `computed` for a torch).
const PADS_REACH: f64 = 1.5;

/// A soft flame over the patch between flames.
pub(super) fn soft_flame(search: &Search<'_>) -> Result<Option<Remedy>, Error> {
    let found = beside(search, SOFT, |share| of_the_torch(search.job, share, When::InIntervals))?;
    Ok(Some(search.remedy(RemedyKind::SoftFlame, found)))
}

/// A second torch with the first one, both moved over the whole patch: heat for a patch too wide for one.
pub(super) fn helpers_torch(search: &Search<'_>) -> Result<Option<Remedy>, Error> {
    let found = beside(search, HELPERS, |share| of_the_torch(search.job, share, When::WithFlame))?;
    Ok(Some(search.remedy(RemedyKind::HelpersTorch, found)))
}

/// Pads on the back under the patch from the start of the job on; no lever where the torch heats the back, or the back
/// is open there: nothing lies on air.
pub(super) fn pads_on_the_back(search: &Search<'_>) -> Result<Option<Remedy>, Error> {
    let Some(pads) = pads_patch(search.job) else { return Ok(None) };
    let heater = |flux: f64| {
        let torch = Torch { face: Face::Back, ..Torch::new(pads, TorchKind::Flux { flux }) };
        Heater::new(torch, When::Always)
    };
    let least = beside(search, PADS, heater)?;
    // The least that just holds is not one to aim at: the next, where that holds too.
    let next = PADS.into_iter().find(|flux| least.is_some_and(|(least, _)| *flux > least));
    let more = next.map_or(Ok(None), |next| beside(search, [next], heater))?;
    let found = more.or(least);
    let pads_m = found.map(|_| 2.0 * pads.half_width());
    Ok(Some(Remedy { pads_m, ..search.remedy(RemedyKind::PadsOnTheBack, found) }))
}

/// The first of some strengths of a heater with which a job holds.
fn beside<const N: usize>(
    search: &Search<'_>,
    values: [f64; N],
    heater: impl Fn(f64) -> Heater,
) -> Result<Found, Error> {
    if search.job.case.heaters.len() + search.job.case.covers.len() >= MOST_BESIDE {
        return Ok(None);
    }
    search.first(values, |value| {
        let mut job = search.job.clone();
        job.case.heaters.push(heater(value));
        (job, search.here.clone())
    })
}

/// A share of the torch's heat over its patch, from the same supply.
fn of_the_torch(job: &Job, share: f64, when: When) -> Heater {
    let Torch { patch, kind, face, .. } = job.case.torches[0];
    Heater { shares_supply: true, ..Heater::new(Torch { face, ..Torch::new(patch, kind.scaled(share)) }, when) }
}

/// The disc that the pads cover: under the middle of the patch, half as wide again as the ring, or as wide as fits.
fn pads_patch(job: &Job) -> Option<Shape> {
    let (case, patch) = (&job.case, job.case.torches[0].patch);
    let widest = 2.0 * patch.half_width() * largest_scale(case, patch);
    let whole = |metres: f64| (metres / WIDTH_STEP_M + 1e-6).floor() * WIDTH_STEP_M;
    let radius = 0.5 * whole((PADS_REACH * ring_width(job)?).min(widest));
    let centre = patch.centre();
    let depth = case.block.size[2];
    let open = |hollow: &[[f64; 2]; 3]| {
        let [x, y, z] = *hollow;
        z[1] >= depth && Shape::Rectangle { x, y }.overlap_with_disc(centre, radius) > 0.0
    };
    let is_bare = case.torches[0].face == Face::Worked && !case.hollows.boxes.iter().any(open);
    (is_bare && radius > 0.0).then_some(Shape::Disc { centre, radius })
}
