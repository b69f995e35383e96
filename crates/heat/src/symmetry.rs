//! The smallest part of a body that has to be solved: a half or a quarter where mirrors allow it, or the body of
//! revolution around a patch far from every edge.

use crate::case::{Case, Face};
use crate::cut::ACROSS;
use crate::edges::{self, Edges};
use crate::hollows::Hollows;
use crate::line::Line;
use crate::run::Model;
use crate::shape::Shape;

/// Edge effects up to this make a patch "far from every edge", K.
const FAR_K: f64 = 0.1;

/// The part of the block that is solved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Size of the whole block, m.
    pub size: [f64; 3],
    kind: Kind,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    /// The upper half of each direction that is halved.
    Box { halved: [bool; 2] },
    /// The disc of equal top area around a centre.
    Revolved { centre: [f64; 2] },
}

impl Part {
    /// The smallest part of a case that the wish allows, and why, in words.
    pub fn of(case: &Case, model: Model) -> (Part, String) {
        let revolved = || Kind::Revolved { centre: middle(case) };
        let size = case.block.size;
        if model == Model::Revolved {
            return (Part { size, kind: revolved() }, "as asked for".to_owned());
        }
        let in_box = |why: String| {
            let halved = [symmetric(case, 0), symmetric(case, 1)];
            (Part { size, kind: Kind::Box { halved } }, why)
        };
        if model == Model::Block {
            return in_box("as asked for".to_owned());
        }
        if !case.hollows.boxes.is_empty() {
            return in_box("the casting is not one block".to_owned());
        }
        if let Some(reason) = not_round(case, model == Model::Averaged) {
            return in_box(reason.to_owned());
        }
        let effect_k = edges::largest_effect(case, middle(case));
        if effect_k > FAR_K {
            return in_box(format!("the edges of the casting may change the patch by {effect_k:.2} K"));
        }
        let why = format!("all is round, and the edges of the casting change the patch by {effect_k:.2} K at most");
        (Part { size, kind: revolved() }, why)
    }

    /// What the edges of the block change, for a body of revolution.
    pub fn edges(&self, case: &Case) -> Option<Edges> {
        match self.kind {
            Kind::Box { .. } => None,
            Kind::Revolved { centre } => Some(Edges::new(case, centre, case.schedule.longest_s())),
        }
    }

    /// Share of the body that is solved.
    pub fn share(&self) -> f64 {
        match self.kind {
            Kind::Box { halved } => halved.iter().map(|&h| if h { 0.5 } else { 1.0 }).product(),
            Kind::Revolved { .. } => 1.0,
        }
    }

    /// Whether it is a body of revolution.
    pub fn is_revolved(&self) -> bool {
        matches!(self.kind, Kind::Revolved { .. })
    }

    /// In words.
    pub fn name(&self) -> &'static str {
        match self.kind {
            Kind::Box { halved: [true, true] } => "quarter",
            Kind::Box { halved: [false, false] } => "full",
            Kind::Box { .. } => "half",
            Kind::Revolved { .. } => "axisymmetric",
        }
    }

    /// Ends of the part along a direction, m: along x, y, z, or along the radius, nothing, and z.
    pub fn ends(&self, direction: usize) -> [f64; 2] {
        match self.kind {
            Kind::Box { halved } if direction < 2 && halved[direction] => {
                [0.5 * self.size[direction], self.size[direction]]
            }
            Kind::Revolved { .. } if direction == 0 => [0.0, self.radius()],
            Kind::Revolved { .. } if direction == 1 => [0.0, 0.0],
            _ => [0.0, self.size[direction]],
        }
    }

    /// The lines of a mesh from node places along each direction; the second are not used for a body of revolution.
    pub fn lines(&self, nodes: [Vec<f64>; 3]) -> [Line; 3] {
        match self.kind {
            Kind::Box { .. } => nodes.map(Line::straight),
            Kind::Revolved { .. } => {
                let [radii, _, depths] = nodes;
                [Line::radial(radii), Line::single(), Line::straight(depths)]
            }
        }
    }

    /// Stretch of a shape along a direction of the part's mesh, m: from the axis outwards for a body of revolution.
    pub fn stretch(&self, shape: &Shape, direction: usize) -> [f64; 2] {
        match self.kind {
            Kind::Box { .. } => shape.extent()[direction],
            Kind::Revolved { .. } => [0.0, shape.half_width()],
        }
    }

    /// Whether the end of a direction is a surface of the body, lower end first.
    pub fn open(&self, direction: usize) -> [bool; 2] {
        match self.kind {
            Kind::Box { halved } => [direction == 2 || !halved[direction], true],
            Kind::Revolved { .. } => [direction == 2, direction != 1],
        }
    }

    /// The end of the part's mesh that a face of the body is found on, numbered as the faces are, with the factor
    /// from mesh area to the face's own area. The four sides share the rim of a body of revolution.
    pub fn end_of(&self, face: Face) -> Option<(usize, f64)> {
        let (number, [length, width, _]) = (face as usize, self.size);
        match self.kind {
            Kind::Box { .. } => self.open(number / 2)[number % 2].then_some((number, 1.0)),
            Kind::Revolved { .. } => Some(match face {
                Face::XMin | Face::XMax => (Face::XMax as usize, width),
                Face::YMin | Face::YMax => (Face::XMax as usize, length),
                Face::Worked | Face::Back => (number, 1.0),
            }),
        }
    }

    /// Area that a shape shares with a cell of the mesh, m2; for a body of revolution with the ring `x[0]..x[1]`.
    pub fn overlap(&self, shape: &Shape, x: [f64; 2], y: [f64; 2]) -> f64 {
        match self.kind {
            Kind::Box { .. } => shape.overlap(x, y),
            Kind::Revolved { centre } => {
                let [inner, outer] = x.map(|radius| shape.overlap_with_disc(centre, radius));
                outer - inner
            }
        }
    }

    /// A place of the body mapped into the part.
    pub fn fold(&self, mut at: [f64; 3]) -> [f64; 3] {
        match self.kind {
            Kind::Box { halved } => {
                for direction in (0..2).filter(|&d| halved[d]) {
                    let [middle, _] = self.ends(direction);
                    at[direction] = middle + (at[direction] - middle).abs();
                }
                at
            }
            Kind::Revolved { centre } => {
                let radius = (at[0] - centre[0]).hypot(at[1] - centre[1]);
                [radius.min(self.radius()), 0.0, at[2]]
            }
        }
    }

    /// Radius of the disc of equal top area, m.
    fn radius(&self) -> f64 {
        (self.size[0] * self.size[1] / std::f64::consts::PI).sqrt()
    }
}

/// Middle of the first thing that heats the face, or of the face.
fn middle(case: &Case) -> [f64; 2] {
    let [length, width, _] = case.block.size;
    shapes(case).next().map_or([0.5 * length, 0.5 * width], Shape::centre)
}

/// Everything of the schedule that heats the worked face.
fn shapes(case: &Case) -> impl Iterator<Item = &Shape> {
    let torches = case.torches.iter().filter(|torch| torch.face as usize >= 4).map(|t| &t.patch);
    torches.chain(case.passes.iter().flat_map(|p| &p.list).map(|p| &p.place))
}

/// Every torch, heater and cover, each on its face.
fn beside(case: &Case) -> impl Iterator<Item = (&Shape, Face)> {
    let torches = case.all_torches().map(|torch| (&torch.patch, torch.face));
    torches.chain(case.covers.iter().map(|cover| (&cover.area, cover.face)))
}

/// Why the case is not one of revolution, if it is not; passes well inside the patch may be `averaged` around the axis.
fn not_round(case: &Case, averaged: bool) -> Option<&'static str> {
    let centre = middle(case);
    let scale = case.block.size[0].max(case.block.size[1]);
    let round = |shape: &Shape| {
        let off = shape.centre();
        matches!(shape, Shape::Disc { .. }) && (off[0] - centre[0]).hypot(off[1] - centre[1]) <= 1e-9 * scale
    };
    if case.torches.is_empty() {
        return Some("nothing heats a round patch");
    }
    if !case.all_torches().all(|t| round(&t.patch) && t.face as usize >= 4) {
        return Some("the heated patch is not one disc");
    }
    if !case.covers.is_empty() {
        return Some("covers lie on parts of the faces");
    }
    let passes = case.passes.iter().flat_map(|p| &p.list);
    let inner = case.torches.iter().map(|t| 0.5 * t.patch.half_width()).fold(f64::INFINITY, f64::min);
    let well_inside = |shape: &Shape| {
        let [x, y] = shape.extent();
        let farthest = |[low, high]: [f64; 2], middle: f64| (middle - low).max(high - middle);
        farthest(x, centre[0]).hypot(farthest(y, centre[1])) <= inner
    };
    if !passes.clone().all(|p| round(&p.place) || averaged && well_inside(&p.place)) {
        return Some("the passes are not laid over a disc in the middle of the patch");
    }
    None
}

/// Whether everything that acts on the body is unchanged by a mirror in its middle plane.
fn symmetric(case: &Case, direction: usize) -> bool {
    let middle = 0.5 * case.block.size[direction];
    let mirror_image = |shape: &Shape| close(&shape.mirrored(direction, middle), shape, middle);
    case.surfaces[2 * direction] == case.surfaces[2 * direction + 1]
        && case.passes.iter().flat_map(|passes| &passes.list).all(|pass| mirror_image(&pass.place))
        && beside(case).all(|(shape, face)| {
            // Along a side's own edge the mirror is that of the edge; what lies on the side itself has none there.
            let along = ACROSS[face as usize / 2].iter().position(|&d| d == direction);
            along.is_some_and(|axis| close(&shape.mirrored(axis, middle), shape, middle))
        })
        && mirrored(&case.hollows, direction, middle)
}

/// Whether the mirror image of every hollow is one of them.
fn mirrored(hollows: &Hollows, direction: usize, middle: f64) -> bool {
    let near = |a: [f64; 2], b: [f64; 2]| a.iter().zip(b).all(|(a, b)| (a - b).abs() <= 1e-9 * middle);
    let image = |hollow: &[[f64; 2]; 3]| {
        let mut image = *hollow;
        image[direction] = [2.0 * middle - hollow[direction][1], 2.0 * middle - hollow[direction][0]];
        image
    };
    let boxes = &hollows.boxes;
    boxes.iter().map(image).all(|image| boxes.iter().any(|own| (0..3).all(|d| near(image[d], own[d]))))
}

fn close(a: &Shape, b: &Shape, scale: f64) -> bool {
    let near = |p: [f64; 2], q: [f64; 2]| p.iter().zip(q).all(|(p, q)| (p - q).abs() <= 1e-12 * scale);
    let (ea, eb) = (a.extent(), b.extent());
    near(ea[0], eb[0]) && near(ea[1], eb[1])
}
