//! The same patch, flame and reading on other castings.

use heat::{Case, Cover, Face, Grids, Hollows, ProbeKind, Shape};
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

use super::{Heated, heated};
use crate::hold::FOLLOWED_S;
use crate::{Error, Question};

/// Section of a plate: that of a rib or a thin face, m (D3, `practice`).
const PLATE_M: f64 = 0.04;
/// Face of a small block over the heated width, and its depth over that.
const SMALL: [f64; 2] = [1.3, 0.6];
/// Points of a drawn curve.
const DRAWN: usize = 160;
/// A hair of rounding at an edge is not off the casting.
const HAIR: f64 = 1e-9;

/// One casting with the same patch heated to the same reading.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Beside {
    /// Which.
    pub what: String,
    /// Length, width and depth, m.
    pub size_m: [f64; 3],
    /// Mass, kg.
    pub mass_kg: f64,
    /// Flame time until the reading, s; null where it is never read.
    pub flame_s: Option<f64>,
    /// Net heat that the torch brought, J.
    pub heat_j: f64,
    /// Hold of the ring, s; null where it stays above for four hours.
    pub hold_s: Option<f64>,
    /// Its numerical error, s.
    pub error_s: f64,
    /// What is left out because it has no place on this casting.
    pub without: Vec<String>,
    /// Times after flame off, s.
    pub time_s: Vec<f64>,
    /// Coldest of the ring, Celsius.
    pub coldest_c: Vec<f64>,
}

/// The casting as stated, whose run is there already, a plate of its face, and a small block.
pub(super) fn castings(case: &Case, question: &Question, stated: &Heated) -> Result<Vec<Beside>, Error> {
    let [length, width, depth] = case.block.size;
    let extent = case.torches[0].patch.extent();
    let heated_m = (extent[0][1] - extent[0][0]).max(extent[1][1] - extent[1][0]);
    let small = (SMALL[0] * heated_m).min(length).min(width);
    let mut others = Vec::new();
    if case.thickness_under_the_patch() > 1.2 * PLATE_M {
        others.push(("a plate of its face", on_another(case, [length, width, PLATE_M], [0.0; 2])));
    }
    if small < 0.8 * length.min(width) {
        let middle = case.torches[0].patch.centre();
        let shift = middle.map(|place| 0.5 * small - place);
        others.push(("a small block", on_another(case, [small, small, (SMALL[1] * small).min(depth)], shift)));
    }
    let runs: Vec<Beside> = others
        .into_par_iter()
        .map(|(what, (case, without))| {
            let held = heated(&case, question, Grids::Nested)?;
            Ok(Beside { without, ..beside(what, &case, question, &held) })
        })
        .collect::<Result<_, heat::Error>>()?;
    Ok(std::iter::once(beside("the casting as stated", case, question, stated)).chain(runs).collect())
}

fn beside(what: &str, case: &Case, question: &Question, held: &Heated) -> Beside {
    let off_s = held.run.heats().first().map_or(0.0, |heat| heat[1]);
    let curve = &held.run.curves[question.ring.map_or(0, |(_, probes)| probes.coldest)];
    let last_s = (held.run.ran_until_s - off_s).min(3.0 * held.hold_s.unwrap_or(FOLLOWED_S).max(60.0));
    let time_s: Vec<f64> = (0..=DRAWN).map(|n| last_s * n as f64 / DRAWN as f64).collect();
    Beside {
        what: what.to_owned(),
        size_m: case.block.size,
        mass_kg: case.mass(),
        flame_s: held.reached.then_some(held.flame_s),
        heat_j: held.run.ledger.torch_j,
        hold_s: held.hold_s,
        error_s: held.error_s,
        without: Vec::new(),
        coldest_c: time_s.iter().map(|t| curve.at(off_s + t)).collect(),
        time_s,
    }
}

/// The case on another block without hollows, all that lies on its face moved along with the patch; and what of the heat
/// and the covers beside the torch has no place there. Probes keep their places in the list.
fn on_another(case: &Case, size: [f64; 3], shift: [f64; 2]) -> (Case, Vec<String>) {
    let floor = case.floor_depth();
    let mut moved = case.clone();
    moved.block.size = size;
    moved.hollows = Hollows::default();
    moved.torches.iter_mut().for_each(|torch| torch.patch = torch.patch.moved(shift));
    for probe in &mut moved.probes {
        probe.kind = placed(probe.kind, (size, moved.torches[0].patch), shift, floor);
    }
    let mut without = Vec::new();
    moved.heaters.retain_mut(|heater| {
        let (face, torch) = (heater.torch.face, &mut heater.torch);
        torch.patch = torch.patch.moved(along(face, shift));
        let fits = fits(&torch.patch, sides(face, size));
        if !fits {
            without.push(format!("the heat on {}", named(face)));
        }
        fits
    });
    moved.covers.retain_mut(|cover| {
        let there = cut_to_the_face(cover, size, shift);
        if !there {
            without.push(format!("the cover on {}", named(cover.face)));
        }
        there
    });
    (moved, without)
}

/// A blanket hangs over the edge of a smaller casting: only what lies on it counts.
fn cut_to_the_face(cover: &mut Cover, size: [f64; 3], shift: [f64; 2]) -> bool {
    let sides = sides(cover.face, size);
    cover.area = cover.area.moved(along(cover.face, shift));
    if let Shape::Rectangle { x, y } = &mut cover.area {
        *x = x.map(|place| place.clamp(0.0, sides[0]));
        *y = y.map(|place| place.clamp(0.0, sides[1]));
        return x[1] - x[0] > HAIR && y[1] - y[0] > HAIR;
    }
    fits(&cover.area, sides)
}

/// A probe where it is on the other casting; one that would lie off it comes to the nearest place.
fn placed(kind: ProbeKind, (size, patch): ([f64; 3], Shape), shift: [f64; 2], floor: f64) -> ProbeKind {
    let face = [size[0], size[1]];
    let on_face = |shape: Shape, other: Shape| {
        let shape = shape.moved(shift);
        if fits(&shape, face) { shape } else { other }
    };
    let moved = |mut ring: heat::Ring| {
        let middle = patch.centre();
        let from = ring.groove.centre();
        let centred = ring.groove.moved([middle[0] - from[0], middle[1] - from[1]]);
        ring.groove = on_face(ring.groove, centred);
        ring.depth = ring.depth.min(0.5 * size[2]);
        ring
    };
    match kind {
        ProbeKind::Point { at: [x, y, z] } => {
            let at = [x + shift[0], y + shift[1], z - floor];
            ProbeKind::Point { at: std::array::from_fn(|d| at[d].clamp(0.0, size[d])) }
        }
        ProbeKind::PatchMean(shape) => ProbeKind::PatchMean(on_face(shape, patch)),
        ProbeKind::PatchColdest(shape) => ProbeKind::PatchColdest(on_face(shape, patch)),
        ProbeKind::PatchHottest(shape) => ProbeKind::PatchHottest(on_face(shape, patch)),
        ProbeKind::RingColdest(ring) => ProbeKind::RingColdest(moved(ring)),
        ProbeKind::RingHottest(ring) => ProbeKind::RingHottest(moved(ring)),
        ProbeKind::RingMean(ring) => ProbeKind::RingMean(moved(ring)),
    }
}

/// The two edges of a face in their order x, y, z.
fn sides(face: Face, [x, y, z]: [f64; 3]) -> [f64; 2] {
    match face {
        Face::XMin | Face::XMax => [y, z],
        Face::YMin | Face::YMax => [x, z],
        Face::Worked | Face::Back => [x, y],
    }
}

/// A shift over the worked face, as it is along another face.
fn along(face: Face, [x, y]: [f64; 2]) -> [f64; 2] {
    match face {
        Face::XMin | Face::XMax => [y, 0.0],
        Face::YMin | Face::YMax => [x, 0.0],
        Face::Worked | Face::Back => [x, y],
    }
}

fn named(face: Face) -> &'static str {
    match face {
        Face::Worked => "the worked face",
        Face::Back => "the back",
        _ => "a side",
    }
}

fn fits(shape: &Shape, sides: [f64; 2]) -> bool {
    shape.extent().iter().zip(sides).all(|(e, side)| e[0] >= -HAIR && e[1] <= side + HAIR)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cover_is_cut_to_a_smaller_casting_and_a_pad_that_would_hang_over_has_no_place() {
        let whole = Shape::Rectangle { x: [0.0, 2.0], y: [0.0, 1.0] };
        let mut cover =
            Cover { face: Face::Worked, area: whole, surface: heat::Surface::ADIABATIC, when: heat::When::Always };
        assert!(cut_to_the_face(&mut cover, [0.4, 0.4, 0.2], [-0.8, -0.3]));
        assert_eq!(cover.area, Shape::Rectangle { x: [0.0, 0.4], y: [0.0, 0.4] });
        assert!(!fits(&whole.moved([-0.8, -0.3]), [0.4, 0.4]));
        cover.area = Shape::Rectangle { x: [0.0, 0.1], y: [0.0, 0.1] };
        assert!(!cut_to_the_face(&mut cover, [0.4, 0.4, 0.2], [-0.8, -0.3]), "beside the casting");
    }

    #[test]
    fn a_probe_deeper_than_a_plate_comes_to_its_back() {
        let patch = Shape::Disc { centre: [0.2, 0.2], radius: 0.1 };
        let kind = ProbeKind::Point { at: [1.0, 0.5, 0.3] };
        let ProbeKind::Point { at } = placed(kind, ([0.4, 0.4, 0.04], patch), [-0.8, -0.3], 0.0) else { panic!() };
        assert!(at.iter().zip([0.2, 0.2, 0.04]).all(|(a, b)| (a - b).abs() < 1e-12), "{at:?}");
    }
}
