//! Chooses the grid lines of a case.

use crate::axis::{Feature, Wishes, coarsened, lines};
use crate::case::{Case, Face, ProbeKind, Torch};
use crate::cut::ACROSS;
use crate::symmetry::Part;

/// Cells across that the growth rates below belong to; more cells across make everything finer in proportion.
const REFERENCE_CELLS: f64 = 12.0;
/// Growth of the spacing along the face, m per m, at the reference.
const GROWTH_ALONG: f64 = 0.14;
/// Growth of the spacing into the depth, m per m, at the reference.
const GROWTH_DOWN: f64 = 0.10;
/// First depth spacing over the spacing along the face.
const FIRST_DOWN: f64 = 1.0 / 3.0;
/// The patch's own spacing reaches this much beyond its rim, in half widths.
const BEYOND: f64 = 0.3;
/// Spacing at the rim of a round patch in a body of revolution, over the patch's own.
const AT_THE_RIM: f64 = 0.5;
/// Growth of the spacing away from the rim, m per m, at the reference.
const GROWTH_FROM_RIM: f64 = 0.2;
/// Spacing along a bead over the patch's own: what is judged lies beside it, a minute later.
const BEAD_SPACING: f64 = 0.5;
/// Spacing under a heater beside the torch, over that under a torch: nothing is judged there.
const HEATER_SPACING: f64 = 5.0;
/// Fewest cells along a direction, at the reference.
const FEWEST: f64 = 8.0;

/// Grid lines of the finest grid along x, y, z.
pub fn finest(case: &Case, part: &Part, cells_across: usize) -> [Vec<f64>; 3] {
    let scale = REFERENCE_CELLS / cells_across as f64;
    let line = |direction: usize| {
        let [low, high] = part.ends(direction);
        if low == high { vec![low] } else { lines(&wishes(case, part, direction, scale)) }
    };
    [0, 1, 2].map(line)
}

/// Spacing of the finest grid across the smallest heated patch, m; 0 without one.
pub fn patch_spacing(case: &Case, cells_across: usize) -> f64 {
    narrowest(case).unwrap_or(0.0) / cells_across as f64
}

/// Half width of the narrowest patch of the schedule's torches, or without them of the heaters, m.
pub fn narrowest(case: &Case) -> Option<f64> {
    let own = if case.torches.is_empty() { case.heaters.len() } else { case.torches.len() };
    case.all_torches().take(own).map(|torch| torch.patch.half_width()).reduce(f64::min)
}

/// The nested set, finest first.
pub fn nested(finest: [Vec<f64>; 3]) -> [[Vec<f64>; 3]; 3] {
    let middle = [0, 1, 2].map(|d| coarsened(&finest[d]));
    let coarse = [0, 1, 2].map(|d| coarsened(&middle[d]));
    [finest, middle, coarse]
}

fn wishes(case: &Case, part: &Part, direction: usize, scale: f64) -> Wishes {
    let ends = part.ends(direction);
    let length = ends[1] - ends[0];
    let mut wishes =
        Wishes { ends, features: Vec::new(), lines: Vec::new(), walls: Vec::new(), largest: length / FEWEST * scale };
    wishes.walls = case.hollows.boxes.iter().flat_map(|hollow| hollow[direction]).collect();
    if case.all_torches().next().is_none() && case.passes.is_none() {
        cooling_faces(&mut wishes, part, direction, scale);
    }
    let floor = case.floor_depth();
    for torch in &case.torches {
        patch(&mut wishes, (part, floor), torch, direction, scale);
    }
    // Without a torch of the schedule the heaters are what the case is about.
    let coarser = if case.torches.is_empty() { 1.0 } else { HEATER_SPACING };
    for heater in &case.heaters {
        patch(&mut wishes, (part, floor), &heater.torch, direction, coarser * scale);
    }
    let finest = wishes.features.iter().map(|f| f.spacing).fold(wishes.largest, f64::min);
    for pass in case.passes.iter().flat_map(|p| &p.list).filter(|_| direction < 2) {
        let stretch = part.stretch(&pass.place, direction);
        let spacing = finest * BEAD_SPACING;
        wishes.features.push(Feature { stretch, spacing, growth: GROWTH_ALONG * scale });
        wishes.lines.extend(stretch);
    }
    for probe in &case.probes {
        watched(&mut wishes, (part, floor), &probe.kind, direction, scale);
    }
    wishes
}

/// Without a source the body cools from its faces: they set the spacing.
fn cooling_faces(wishes: &mut Wishes, part: &Part, direction: usize, scale: f64) {
    let spacing = part.size[direction] / 40.0 * scale;
    for end in 0..2 {
        if part.open(direction)[end] {
            let at = wishes.ends[end];
            wishes.features.push(Feature { stretch: [at, at], spacing, growth: 0.12 * scale });
        }
    }
}

/// A heated shape: its spacing, and lines on its edges.
fn patch(wishes: &mut Wishes, (part, floor): (&Part, f64), torch: &Torch, direction: usize, scale: f64) {
    let (shape, side) = (&torch.patch, torch.face as usize);
    let half = shape.half_width();
    let spacing = half / REFERENCE_CELLS * scale;
    let Some(along) = ACROSS[side / 2].iter().position(|&d| d == direction) else {
        let spacing = spacing * FIRST_DOWN;
        let at = if torch.face == Face::Worked { floor } else { wishes.ends[side % 2] };
        return wishes.features.push(Feature { stretch: [at, at], spacing, growth: GROWTH_DOWN * scale });
    };
    let [low, high] = if side < 4 { shape.extent()[along] } else { part.stretch(shape, direction) };
    let stretch = [low - BEYOND * half, high + BEYOND * half];
    wishes.features.push(Feature { stretch, spacing, growth: GROWTH_ALONG * scale });
    if part.is_revolved() {
        // The steepest gradients of all lie where the flux jumps. Only here does a line follow the whole rim.
        let spacing = spacing * AT_THE_RIM;
        wishes.features.push(Feature { stretch: [high, high], spacing, growth: GROWTH_FROM_RIM * scale });
    }
    // A line where the flux jumps: the smeared jump is then odd about the line and its first-order error cancels.
    wishes.lines.extend([low, high]);
}

/// A ring's depth is read at its bottom, so the depth spacing there must be as fine as the ring is deep.
fn watched(wishes: &mut Wishes, (part, floor): (&Part, f64), kind: &ProbeKind, direction: usize, scale: f64) {
    let (ProbeKind::RingColdest(ring) | ProbeKind::RingHottest(ring)) = kind else { return };
    if part.is_revolved() && direction == 0 {
        // The readings of a ring are read off a node on every grid.
        wishes.lines.push(ring.groove.half_width() + ring.width);
    }
    if direction == 2 && ring.depth > 0.0 && !wishes.features.is_empty() {
        let spacing = ring.depth.max(0.004) * scale;
        wishes.features.push(Feature { stretch: [floor, floor], spacing, growth: GROWTH_DOWN * scale });
    }
}
