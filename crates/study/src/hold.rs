//! The hold: from flame off until the coldest of the ring is below the minimum, and its closed-form neighbour.

use exact::{Disc, Heating, Metal, Rectangle};
use heat::{Accuracy, Case, Crossing, Face, Hold, Ring, Run, Shape, TorchKind};

use crate::said::{duration, length};
use crate::{HalfSpace, Question, RingProbes};

/// The longest hold that is followed, s.
const LONGEST_S: f64 = 24.0 * 3600.0;
/// What is said of holds beside a verdict is followed for so long, s.
pub const FOLLOWED_S: f64 = 4.0 * 3600.0;
/// How far below the minimum it is followed, K, so that the crossing lies inside the run.
const PAST_K: f64 = 1.0;

/// What is followed from the first flame-off on, where there is a window and something to hold.
pub fn hold_of(case: &Case, question: &Question, places: impl Fn(&RingProbes) -> Vec<usize>) -> Option<Hold> {
    let (window, (_, probes)) = (question.window?, question.ring?);
    let below_c = window.minimum_c - PAST_K;
    // Other heat may keep the ring above for ever: it is then followed for as long as the work can take.
    let at_most_s = if case.heaters.is_empty() { LONGEST_S } else { LONGEST_S.min(case.schedule.longest_s()) };
    (!case.torches.is_empty()).then(|| Hold { probes: places(&probes), below_c, at_most_s })
}

/// One heat and the hold after it, followed for four hours at most: the scheduled run and the hold run.
///
/// # Errors
/// As [`heat::solve`]; [`heat::Error::NoSuchProbe`] without a window, a ring or a torch.
pub fn followed(
    case: &Case,
    question: &Question,
    accuracy: &Accuracy,
    places: impl Fn(&RingProbes) -> Vec<usize>,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Followed, heat::Error> {
    const NOTHING: heat::Error = heat::Error::NoSuchProbe { index: 0 };
    let (Some(follow), Some(window), Some((_, probes))) =
        (hold_of(case, question, places), question.window, question.ring)
    else {
        return Err(NOTHING);
    };
    let follow = Hold { at_most_s: FOLLOWED_S, ..follow };
    let (scheduled, held) = heat::solve_with_hold(case, accuracy, &follow, keep_going)?;
    let held = held.ok_or(NOTHING)?;
    let hold = hold(&held, probes.coldest, window.minimum_c);
    Ok(Followed { scheduled, held, hold })
}

/// What [`followed`] gives.
pub struct Followed {
    /// The scheduled run.
    pub scheduled: Run,
    /// The hold run: the first heat, then nothing.
    pub held: Run,
    /// Hold of the ring; none where it stays above for as long as it is followed.
    pub hold: Option<Crossing>,
}

/// Hold of one probe in a finished hold run: when it fell below the minimum, counted from flame off.
///
/// `None` where it stays above to the end of the run.
pub fn hold(run: &Run, probe: usize, minimum_c: f64) -> Option<Crossing> {
    let off_s = run.heats().first()?[1];
    let crossing = run.curves[probe].falls_below(minimum_c, off_s, run.ran_until_s)?;
    let after = crossing.time_s - off_s;
    let error_s = if after > 0.0 { crossing.error_s } else { 0.0 };
    Some(Crossing { time_s: after, error_s })
}

/// The hold of the same patch on a half space without losses.
///
/// The half space is heated by a constant flux for the same time to the same temperature in the middle of the
/// patch, with the properties at the temperature of the run at which the metal is slowest; see `exact` for the form.
pub fn half_space(case: &Case, question: &Question, run: &Run) -> Option<HalfSpace> {
    let (window, (ring, probes)) = (question.window?, question.ring?);
    let [on_s, off_s] = *run.heats().first()?;
    let peak_c = run.curves[probes.centre].at(off_s);
    let rise_k = peak_c - case.start_c;
    let limit_k = window.minimum_c - case.start_c;
    if rise_k <= 0.0 || limit_k <= 0.0 {
        return None;
    }
    let metal = slowest_metal(case, peak_c);
    let patch = case.torches.first().filter(|torch| torch.face == Face::Worked)?.patch;
    let hold_s = closed_form(patch, &ring, metal, (off_s - on_s, rise_k, limit_k));
    let reason = not_a_limit(case, &ring, metal, off_s - on_s + hold_s.unwrap_or(0.0));
    let meaning = match &reason {
        None => "upper limit here".to_owned(),
        Some(reason) => format!("not a limit here because {reason}"),
    };
    Some(HalfSpace { hold_s, upper_limit: reason.is_none(), meaning })
}

/// The shortest hold of the places where the ring's outer edge may be coldest.
fn closed_form(patch: Shape, ring: &Ring, metal: Metal, heated: (f64, f64, f64)) -> Option<f64> {
    let holds = outer_places(patch, ring).map(|place| hold_at(patch, place, metal, heated).unwrap_or(0.0));
    let shortest = holds.into_iter().fold(f64::INFINITY, f64::min);
    (shortest > 0.0).then_some(shortest)
}

/// Hold of a place on the face, given from the middle of the patch.
fn hold_at(patch: Shape, [x, y]: [f64; 2], metal: Metal, (time_s, rise_k, limit_k): (f64, f64, f64)) -> Option<f64> {
    match patch {
        Shape::Disc { radius, .. } => {
            let disc = Disc { radius };
            let flux = disc.flux_for_centre_rise(metal, rise_k, time_s);
            disc.hold(metal, Heating { flux, duration: time_s }, x.hypot(y), 0.0, limit_k)
        }
        Shape::Rectangle { x: along, y: across } => {
            let rectangle = Rectangle { half_x: 0.5 * (along[1] - along[0]), half_y: 0.5 * (across[1] - across[0]) };
            let flux = rise_k / rectangle.rise(metal, 1.0, [0.0; 3], time_s);
            rectangle.hold(metal, Heating { flux, duration: time_s }, [x, y, 0.0], limit_k)
        }
    }
}

/// Places of the ring's outer edge, from the middle of the patch, m: beyond the groove's end, beside it, and straight
/// out over its corner, which is the farthest.
fn outer_places(patch: Shape, ring: &Ring) -> [[f64; 2]; 3] {
    let (middle, groove) = (patch.centre(), ring.groove.centre());
    let extent = ring.groove.extent();
    let half = [0, 1].map(|n| 0.5 * (extent[n][1] - extent[n][0]));
    let offset = [0, 1].map(|n| (groove[n] - middle[n]).abs());
    let corner = match ring.groove {
        Shape::Disc { .. } => [half[0] * std::f64::consts::FRAC_1_SQRT_2; 2],
        Shape::Rectangle { .. } => half,
    };
    let grown = 1.0 + ring.width / corner[0].hypot(corner[1]);
    let corner = corner.map(|c| c * grown);
    let from_groove = [[half[0] + ring.width, 0.0], [0.0, half[1] + ring.width], corner];
    from_groove.map(|place| [offset[0] + place[0], offset[1] + place[1]])
}

/// Rise of the coldest of the ring's outer places over that of the middle of the patch, after heating by a constant flux
/// for a time in seconds on a half space without losses; without unit.
pub fn closed_form_share(patch: Shape, ring: &Ring, metal: Metal, time_s: f64) -> f64 {
    let rise = |[x, y, depth]: [f64; 3]| match patch {
        Shape::Disc { radius, .. } => Disc { radius }.rise(metal, 1.0, x.hypot(y), depth, time_s),
        Shape::Rectangle { x: along, y: across } => {
            let rectangle = Rectangle { half_x: 0.5 * (along[1] - along[0]), half_y: 0.5 * (across[1] - across[0]) };
            rectangle.rise(metal, 1.0, [x, y, depth], time_s)
        }
    };
    let coldest =
        outer_places(patch, ring).map(|[x, y]| rise([x, y, ring.depth])).into_iter().fold(f64::INFINITY, f64::min);
    coldest / rise([0.0; 3])
}

/// Properties where the diffusivity is lowest between the start and the peak.
pub fn slowest_metal(case: &Case, peak_c: f64) -> Metal {
    let material = &case.material;
    let candidates = (0..=20).map(|n| case.start_c + (peak_c - case.start_c) * f64::from(n) / 20.0);
    let slowest = candidates.min_by(|a, b| material.diffusivity(*a).total_cmp(&material.diffusivity(*b)));
    let at_c = slowest.unwrap_or(case.start_c);
    Metal::new(material.conductivity(at_c), material.density(), material.specific_heat(at_c))
}

/// Why the half space is not an upper limit for this case, if it is not.
fn not_a_limit(case: &Case, ring: &Ring, metal: Metal, time_s: f64) -> Option<String> {
    let diffusivity = metal.diffusivity;
    // A boundary at distance d is first felt after about 0.3 d2 / alpha: the image term exp(-d2 / alpha t) is 4 %.
    let felt_s = |distance: f64| 0.3 * distance * distance / diffusivity;
    let depth = case.thickness_under_the_patch();
    if felt_s(depth) < time_s {
        let (thick, time) = (length(depth), duration(felt_s(depth)));
        return Some(format!("the section is {thick} thick and its back is felt after {time}"));
    }
    if !case.hollows.boxes.is_empty() {
        return Some("the casting has hollows, and metal that is not there takes no heat".to_owned());
    }
    let edge = edge_distance(case, ring);
    if felt_s(edge) < time_s {
        let (away, time) = (length(edge), duration(felt_s(edge)));
        return Some(format!("an edge of the casting {away} away is felt after {time}"));
    }
    if case.torches.iter().any(|t| matches!(t.kind, TorchKind::Flame { .. })) {
        return Some("the flame gives less as the surface warms, so that more of its heat has soaked in".to_owned());
    }
    if case.torches.iter().any(|torch| torch.circles.is_some()) {
        return Some("the flame circles, and heats a ring more than its middle".to_owned());
    }
    if !case.heaters.is_empty() {
        return Some("other heat is there beside the torch".to_owned());
    }
    (case.torches.len() > 1).then(|| "more than one torch heats it".to_owned())
}

/// Shortest way from the middle of the groove to an edge of the worked face, m; 0 when the patch meets an edge.
fn edge_distance(case: &Case, ring: &Ring) -> f64 {
    let [x, y] = ring.groove.centre();
    let [length, width, _] = case.block.size;
    let touches = case.torches.iter().any(|t| {
        let [px, py] = t.patch.extent();
        px[0] <= 0.0 || px[1] >= length || py[0] <= 0.0 || py[1] >= width
    });
    if touches { 0.0 } else { x.min(length - x).min(y).min(width - y).max(0.0) }
}
