//! What is missing of a block: boxes without metal, the floors they leave, and the cavities they make.

use crate::cut::ACROSS;
use crate::{Shape, Surface};

/// Boxes without metal inside the block: pockets, steps, the cells between ribs.
#[derive(Clone, Debug, PartialEq)]
pub struct Hollows {
    /// Extents along x, y and z of each, m, low end first; they may touch, overlap and reach the block's faces.
    pub boxes: Vec<[[f64; 2]; 3]>,
    /// What their surfaces exchange.
    pub surface: Surface,
}

impl Default for Hollows {
    fn default() -> Hollows {
        Hollows { boxes: Vec::new(), surface: Surface::ADIABATIC }
    }
}

impl Hollows {
    /// Volume that they take of a block, m3; what overlaps counts once.
    pub fn volume(&self, size: [f64; 3]) -> f64 {
        let pieces = Pieces::new(self, size);
        (0..pieces.empty.len()).filter(|&piece| pieces.empty[piece]).map(|piece| pieces.volume(piece)).sum()
    }

    /// The separate cavities that they make of a block, each with its openings and its walls.
    pub fn cavities(&self, size: [f64; 3]) -> Vec<Cavity> {
        let pieces = Pieces::new(self, size);
        let mut cavities = Vec::new();
        pieces.bodies(true, |body, piece| {
            cavities.resize(body + 1, Cavity::default());
            pieces.add_to(&mut cavities[body], piece);
        });
        cavities
    }

    /// How many pieces of metal they leave of a block: 1 unless they cut it through, 0 where nothing is left.
    pub fn parts(&self, size: [f64; 3]) -> usize {
        Pieces::new(self, size).bodies(false, |_, _| ())
    }

    /// Those that lie above or below a place of the worked face.
    fn over(&self, place: [f64; 2]) -> impl Iterator<Item = &[[f64; 2]; 3]> {
        let holds = move |hollow: &&[[f64; 2]; 3]| (0..2).all(|d| hollow[d][0] < place[d] && place[d] < hollow[d][1]);
        self.boxes.iter().filter(holds)
    }

    /// Depth of the first metal below a place, seen from above the worked face, m.
    pub fn floor_under(&self, place: [f64; 2]) -> f64 {
        let mut over: Vec<[f64; 2]> = self.over(place).map(|hollow| hollow[2]).collect();
        over.sort_by(|a, b| a[0].total_cmp(&b[0]));
        over.iter().fold(0.0, |floor, [top, bottom]| if *top <= floor { floor.max(*bottom) } else { floor })
    }

    /// Thickness of the metal of a block of some depth below a place, from the floor that is seen from above, m.
    pub fn thickness_under(&self, depth: f64, place: [f64; 2]) -> f64 {
        let floor = self.floor_under(place);
        let tops = self.over(place).map(|hollow| hollow[2][0]).filter(|&top| top > floor);
        tops.fold(depth, f64::min) - floor
    }

    /// Whether all metal under a shape, seen from above the worked face, lies at one depth; only the part of the shape on a
    /// casting of a size counts.
    pub fn floor_is_level(&self, shape: &Shape, size: [f64; 3], depth: f64) -> bool {
        let extent = shape.extent();
        let stops = [0, 1].map(|d| {
            let [low, high] = extent[d].map(|at| at.max(0.0).min(size[d]));
            let sides = self.boxes.iter().flat_map(|hollow| hollow[d]).filter(|at| low < *at && *at < high);
            let mut stops: Vec<f64> = sides.chain([low, high]).collect();
            stops.sort_by(f64::total_cmp);
            stops.dedup();
            stops
        });
        let level = |x: &[f64], y: &[f64]| {
            let shared = shape.overlap([x[0], x[1]], [y[0], y[1]]) > 0.0;
            !shared || self.floor_under([0.5 * (x[0] + x[1]), 0.5 * (y[0] + y[1])]) == depth
        };
        stops[0].windows(2).all(|x| stops[1].windows(2).all(|y| level(x, y)))
    }

    /// Whether there is metal at a place of the block or right beside it.
    pub fn leave_metal(&self, at: [f64; 3], size: [f64; 3]) -> bool {
        /// A nanometre to either side.
        const BESIDE_M: f64 = 1e-9;
        (0..8).any(|corner| {
            let beside = [0, 1, 2].map(|d| at[d] + if corner >> d & 1 == 1 { BESIDE_M } else { -BESIDE_M });
            (0..3).all(|d| beside[d] > 0.0 && beside[d] < size[d]) && !self.contain(beside)
        })
    }

    /// Whether a place lies inside one of them, not on its surface.
    pub fn contain(&self, at: [f64; 3]) -> bool {
        self.boxes.iter().any(|hollow| (0..3).all(|d| hollow[d][0] < at[d] && at[d] < hollow[d][1]))
    }
}

/// One cavity: hollows that are open to each other.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Cavity {
    /// Area open to the outside of the block, m2; 0 for one that is closed.
    pub opening: f64,
    /// Area of its walls of metal, m2.
    pub walls: f64,
}

/// The block in pieces between the sides of all hollows; each is empty or metal as a whole.
struct Pieces {
    stops: [Vec<f64>; 3],
    empty: Vec<bool>,
}

impl Pieces {
    fn new(hollows: &Hollows, size: [f64; 3]) -> Pieces {
        let stops = [0, 1, 2].map(|d| {
            let sides = hollows.boxes.iter().flat_map(|hollow| hollow[d]).map(|at| at.max(0.0).min(size[d]));
            let mut stops: Vec<f64> = sides.chain([0.0, size[d]]).collect();
            stops.sort_by(f64::total_cmp);
            stops.dedup();
            stops
        });
        let mut pieces = Pieces { stops, empty: Vec::new() };
        pieces.empty = vec![false; pieces.counts().iter().product()];
        hollows.boxes.iter().for_each(|hollow| pieces.take_out(hollow));
        pieces
    }

    /// Marks the pieces inside a hollow as empty. They are found along each side: asking every piece about every hollow took
    /// most of the time of reading a casting with a hundred of them.
    fn take_out(&mut self, hollow: &[[f64; 2]; 3]) {
        let inside = |d: usize| {
            let middles = self.stops[d].windows(2).map(|pair| 0.5 * (pair[0] + pair[1]));
            let inside = middles.enumerate().filter(|(_, middle)| hollow[d][0] < *middle && *middle < hollow[d][1]);
            inside.map(|(place, _)| place).collect::<Vec<usize>>()
        };
        let [x, y, z] = [0, 1, 2].map(inside);
        let [nx, ny, _] = self.counts();
        for (k, j) in z.iter().flat_map(|k| y.iter().map(move |j| (k, j))) {
            x.iter().for_each(|i| self.empty[i + nx * (j + ny * k)] = true);
        }
    }

    /// The pieces before and after one along a direction; None at the ends of the block.
    fn beside(&self, piece: usize, direction: usize) -> [Option<usize>; 2] {
        let counts = self.counts();
        let stride = [1, counts[0], counts[0] * counts[1]][direction];
        let at = self.place(piece)[direction];
        [(at > 0).then(|| piece - stride), (at + 1 < counts[direction]).then(|| piece + stride)]
    }

    /// Visits each body of air, or of metal, that hangs together through faces: `visit` gets the number of a body, from 0
    /// on, and a piece of it. Returns how many bodies there are.
    fn bodies(&self, empty: bool, mut visit: impl FnMut(usize, usize)) -> usize {
        let mut seen: Vec<bool> = self.empty.iter().map(|&other| other != empty).collect();
        let mut bodies = 0;
        for first in 0..seen.len() {
            if !seen[first] {
                self.walk(first, &mut seen, |piece| visit(bodies, piece));
                bodies += 1;
            }
        }
        bodies
    }

    /// Visits a piece and all that it reaches through faces of pieces not yet seen, which then are.
    fn walk(&self, first: usize, seen: &mut [bool], mut visit: impl FnMut(usize)) {
        let mut open = vec![first];
        seen[first] = true;
        while let Some(piece) = open.pop() {
            visit(piece);
            for next in (0..3).flat_map(|direction| self.beside(piece, direction)).flatten() {
                if !seen[next] {
                    seen[next] = true;
                    open.push(next);
                }
            }
        }
    }

    fn counts(&self) -> [usize; 3] {
        self.stops.each_ref().map(|stops| stops.len() - 1)
    }

    fn place(&self, piece: usize) -> [usize; 3] {
        let [nx, ny, _] = self.counts();
        [piece % nx, piece / nx % ny, piece / (nx * ny)]
    }

    fn side(&self, piece: usize, direction: usize) -> [f64; 2] {
        let at = self.place(piece)[direction];
        [self.stops[direction][at], self.stops[direction][at + 1]]
    }

    fn volume(&self, piece: usize) -> f64 {
        (0..3).map(|d| self.side(piece, d)).map(|[low, high]| high - low).product()
    }

    /// Adds what an empty piece has of openings and walls to its cavity.
    fn add_to(&self, cavity: &mut Cavity, piece: usize) {
        for (direction, across) in ACROSS.iter().enumerate() {
            let area: f64 = across.iter().map(|&d| self.side(piece, d)).map(|[low, high]| high - low).product();
            for next in self.beside(piece, direction) {
                match next {
                    None => cavity.opening += area,
                    Some(next) if !self.empty[next] => cavity.walls += area,
                    Some(_) => {}
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZE: [f64; 3] = [1.0, 0.8, 0.5];

    fn hollows(boxes: &[[[f64; 2]; 3]]) -> Hollows {
        Hollows { boxes: boxes.to_vec(), ..Hollows::default() }
    }

    #[test]
    fn a_pocket_has_one_opening_and_five_walls() {
        let pocket = hollows(&[[[0.2, 0.4], [0.3, 0.6], [0.0, 0.1]]]);
        let cavities = pocket.cavities(SIZE);
        assert_eq!(cavities.len(), 1);
        assert!((cavities[0].opening - 0.06).abs() < 1e-12);
        assert!((cavities[0].walls - (0.06 + 2.0 * 0.1 * (0.2 + 0.3))).abs() < 1e-12);
    }

    #[test]
    fn hollows_that_touch_are_one_cavity_and_others_are_not() {
        let apart = [[[0.1, 0.2], [0.1, 0.2], [0.1, 0.2]], [[0.5, 0.6], [0.1, 0.2], [0.1, 0.2]]];
        let closed = hollows(&apart).cavities(SIZE);
        assert_eq!(closed.len(), 2);
        assert!(closed.iter().all(|cavity| cavity.opening == 0.0 && (cavity.walls - 0.06).abs() < 1e-12));
        let joined = hollows(&[apart[0], apart[1], [[0.2, 0.5], [0.1, 0.2], [0.1, 0.2]]]).cavities(SIZE);
        assert_eq!(joined.len(), 1);
        assert!((joined[0].walls - (4.0 * 0.5 * 0.1 + 0.02)).abs() < 1e-12, "{joined:?}");
    }

    #[test]
    fn a_slot_right_through_leaves_two_parts_and_metal_that_meets_in_an_edge_is_two() {
        let parts = |boxes: &[[[f64; 2]; 3]]| hollows(boxes).parts(SIZE);
        assert_eq!(parts(&[]), 1);
        assert_eq!(parts(&[[[0.4, 0.5], [0.0, 0.8], [0.0, 0.4]]]), 1);
        assert_eq!(parts(&[[[0.4, 0.5], [0.0, 0.8], [0.0, 0.5]]]), 2);
        assert_eq!(parts(&[[[0.4, 0.5], [0.0, 0.8], [0.0, 0.3]], [[0.4, 0.5], [0.0, 0.8], [0.3, 0.5]]]), 2);
        assert_eq!(parts(&[[[0.0, 0.5], [0.0, 0.4], [0.0, 0.5]], [[0.5, 1.0], [0.4, 0.8], [0.0, 0.5]]]), 2);
        assert_eq!(parts(&[[[0.0, 1.0], [0.0, 0.8], [0.0, 0.5]]]), 0);
    }

    #[test]
    fn the_floor_is_the_first_metal_from_above() {
        let sunk = hollows(&[[[0.2, 0.4], [0.2, 0.4], [0.0, 0.1]], [[0.2, 0.4], [0.2, 0.4], [0.3, 0.5]]]);
        assert_eq!([[0.3, 0.3], [0.5, 0.3]].map(|place| sunk.floor_under(place)), [0.1, 0.0]);
        let through = hollows(&[[[0.2, 0.4], [0.2, 0.4], [0.0, 0.3]], [[0.2, 0.4], [0.2, 0.4], [0.3, 0.5]]]);
        assert_eq!(through.floor_under([0.3, 0.3]), 0.5);
        let disc = |x| Shape::Disc { centre: [x, 0.3], radius: 0.05 };
        assert!(sunk.floor_is_level(&disc(0.3), SIZE, 0.1) && !sunk.floor_is_level(&disc(0.38), SIZE, 0.1));
        assert!(sunk.floor_is_level(&disc(0.6), SIZE, 0.0));
    }
}
