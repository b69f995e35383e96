//! Planes of symmetry, found from the case, and the part of the body that has to be solved.

use crate::case::Case;
use crate::shape::Shape;

/// The part of the block that is solved: where a direction is symmetric, its upper half.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Whether x and y are halved.
    pub halved: [bool; 2],
    /// Size of the whole block, m.
    pub size: [f64; 3],
}

impl Part {
    /// The smallest part of a case.
    pub fn of(case: &Case) -> Part {
        Part { halved: [symmetric(case, 0), symmetric(case, 1)], size: case.block.size }
    }

    /// Share of the body that is solved.
    pub fn share(&self) -> f64 {
        self.halved.iter().map(|&h| if h { 0.5 } else { 1.0 }).product()
    }

    /// In words.
    pub fn name(&self) -> &'static str {
        match self.halved {
            [true, true] => "quarter",
            [false, false] => "full",
            _ => "half",
        }
    }

    /// Ends of the part along a direction, m.
    pub fn ends(&self, direction: usize) -> [f64; 2] {
        let low = if direction < 2 && self.halved[direction] { 0.5 * self.size[direction] } else { 0.0 };
        [low, self.size[direction]]
    }

    /// Which faces of the part are faces of the body.
    pub fn open(&self) -> [bool; 6] {
        [!self.halved[0], true, !self.halved[1], true, true, true]
    }

    /// A place of the body mapped into the part.
    pub fn fold(&self, mut at: [f64; 3]) -> [f64; 3] {
        for (direction, value) in at.iter_mut().enumerate().take(2) {
            if self.halved[direction] {
                let [middle, _] = self.ends(direction);
                *value = middle + (*value - middle).abs();
            }
        }
        at
    }
}

/// Whether everything that acts on the body is unchanged by a mirror in its middle plane.
fn symmetric(case: &Case, direction: usize) -> bool {
    let middle = 0.5 * case.block.size[direction];
    let mirror_image = |shape: &Shape| close(&shape.mirrored(direction, middle), shape, middle);
    let torches = case.torches.iter().map(|t| &t.patch);
    let passes = case.passes.iter().flat_map(|p| &p.list).map(|p| &p.place);
    case.surfaces[2 * direction] == case.surfaces[2 * direction + 1] && torches.chain(passes).all(mirror_image)
}

fn close(a: &Shape, b: &Shape, scale: f64) -> bool {
    let near = |p: [f64; 2], q: [f64; 2]| p.iter().zip(q).all(|(p, q)| (p - q).abs() <= 1e-12 * scale);
    let (ea, eb) = (a.extent(), b.extent());
    near(ea[0], eb[0]) && near(ea[1], eb[1])
}
