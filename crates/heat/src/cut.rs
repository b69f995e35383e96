//! A mesh of a body that is a block with boxes taken out of it.
//!
//! Grid lines follow every side of every hollow, so each element between grid lines is metal or not. A node keeps the
//! eighths of the elements around it that are metal, and a link between neighbours the quarters of its face that are: the
//! scheme stays conservative, symmetric and of second order, and is that of the block where nothing is missing. Nodes
//! without metal keep no volume and no links; nothing reads them.

use crate::hollows::Hollows;
use crate::line::Line;

/// Cell volumes and links, node by node.
#[derive(Clone, Debug)]
pub struct Cut {
    count: [usize; 3],
    /// Volume of each node's metal, m3.
    pub volumes: Vec<f64>,
    /// Face over distance to the next node along x, y, z, m; 0 at the last and where no metal lies between.
    links: [Vec<f64>; 3],
    /// Whether each element between grid lines is metal.
    metal: Vec<bool>,
    /// Places of the sides of hollows along each direction, m.
    breaks: [Vec<f64>; 3],
}

/// The two other directions, in their order, for each direction.
pub const ACROSS: [[usize; 2]; 3] = [[1, 2], [0, 2], [0, 1]];

/// A quarter of an element's face that is a surface of the body, found at one of its nodes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exposed {
    /// Node.
    pub node: usize,
    /// Area, m2.
    pub area: f64,
    /// Which way it points, numbered as the faces are.
    pub side: usize,
    /// Its place along that direction, m.
    pub at: f64,
    /// Its extents along the two other directions, in their order, m.
    pub extent: [[f64; 2]; 2],
    /// Whether it lies on an end of the mesh, and not inside a hollow.
    pub is_outside: bool,
}

impl Cut {
    /// What hollows leave of the mesh of three straight lines.
    pub fn new(lines: &[Line; 3], hollows: &Hollows) -> Cut {
        let count = [0, 1, 2].map(|d| lines[d].len());
        let nodes: usize = count.iter().product();
        let zeros = || vec![0.0; nodes];
        let breaks = [0, 1, 2].map(|d| hollows.boxes.iter().flat_map(|hollow| hollow[d]).collect());
        let links = [zeros(), zeros(), zeros()];
        let mut cut = Cut { count, volumes: zeros(), links, metal: Vec::new(), breaks };
        for place in cut.elements() {
            let middle = [0, 1, 2].map(|d| 0.5 * (lines[d].nodes[place[d]] + lines[d].nodes[place[d] + 1]));
            let metal = !hollows.contain(middle);
            cut.metal.push(metal);
            if metal {
                cut.add([0, 1, 2].map(|d| lines[d].nodes[place[d] + 1] - lines[d].nodes[place[d]]), place);
            }
        }
        cut
    }

    fn elements(&self) -> impl Iterator<Item = [usize; 3]> + use<> {
        let [nx, ny, nz] = self.count.map(|count| count - 1);
        (0..nz).flat_map(move |k| (0..ny).flat_map(move |j| (0..nx).map(move |i| [i, j, k])))
    }

    fn node(&self, [i, j, k]: [usize; 3]) -> usize {
        i + self.count[0] * (j + self.count[1] * k)
    }

    fn is_metal(&self, [i, j, k]: [usize; 3]) -> bool {
        let [nx, ny, _] = self.count.map(|count| count - 1);
        self.metal[i + nx * (j + ny * k)]
    }

    /// Adds an element of metal of the given sides to its corners' volumes and its edges' links.
    fn add(&mut self, sides: [f64; 3], place: [usize; 3]) {
        let volume: f64 = sides.iter().product();
        for corner in 0..8 {
            let upper = [corner & 1, corner >> 1 & 1, corner >> 2];
            let node = self.node([0, 1, 2].map(|d| place[d] + upper[d]));
            self.volumes[node] += 0.125 * volume;
            for direction in (0..3).filter(|&d| upper[d] == 0) {
                self.links[direction][node] += 0.25 * volume / (sides[direction] * sides[direction]);
            }
        }
    }

    /// Every quarter of a face of the metal that touches none.
    pub fn exposed(&self, lines: &[Line; 3]) -> Vec<Exposed> {
        let mut list = Vec::new();
        for place in self.elements().filter(|&place| self.is_metal(place)) {
            for side in 0..6 {
                let (direction, upper) = (side / 2, side % 2);
                let at_end = place[direction] == if upper == 1 { self.count[direction] - 2 } else { 0 };
                let mut beyond = place;
                if !at_end {
                    beyond[direction] = if upper == 1 { place[direction] + 1 } else { place[direction] - 1 };
                    if self.is_metal(beyond) {
                        continue;
                    }
                }
                self.expose(lines, place, (side, at_end), &mut list);
            }
        }
        list
    }

    fn expose(&self, lines: &[Line; 3], place: [usize; 3], (side, is_outside): (usize, bool), list: &mut Vec<Exposed>) {
        let (direction, upper) = (side / 2, side % 2);
        let [u, v] = ACROSS[direction];
        // The half of an element's edge that belongs to its lower or upper node.
        let half = |d: usize, upper: usize| {
            let [low, high] = [0, 1].map(|n| lines[d].nodes[place[d] + n]);
            let middle = 0.5 * (low + high);
            if upper == 1 { [middle, high] } else { [low, middle] }
        };
        for corner in 0..4 {
            let mut node = place;
            node[direction] += upper;
            node[u] += corner & 1;
            node[v] += corner >> 1;
            let extent = [half(u, corner & 1), half(v, corner >> 1)];
            let area = extent.iter().map(|[low, high]| high - low).product();
            let at = lines[direction].nodes[node[direction]];
            list.push(Exposed { node: self.node(node), area, side, at, extent, is_outside });
        }
    }

    /// Whether all elements between nodes along each direction are metal; where both are the same node, it is enough that
    /// those on one side of it are.
    pub fn is_whole(&self, ends: [[usize; 2]; 3]) -> bool {
        let sides = |d: usize, n: usize| {
            let [first, last] = ends[d];
            let both = if first == last { [n.checked_sub(1), Some(n)] } else { [Some(n), None] };
            both.into_iter().flatten().filter(move |&n| n + 1 < self.count[d])
        };
        let range = |d: usize| ends[d][0]..ends[d][1].max(ends[d][0] + 1);
        let metal = |i: usize, j: usize, k: usize| {
            sides(2, k).any(|k| sides(1, j).any(|j| sides(0, i).any(|i| self.is_metal([i, j, k]))))
        };
        range(2).all(|k| range(1).all(|j| range(0).all(|i| metal(i, j, k))))
    }

    /// Sets what no metal belongs to to nothing.
    pub fn clear_hollows(&self, values: &mut [f64]) {
        for (value, volume) in values.iter_mut().zip(&self.volumes) {
            *value = if *volume > 0.0 { *value } else { 0.0 };
        }
    }

    /// Ends of the stretch between sides of hollows that a place along a direction lies in, m.
    pub fn stretch(&self, direction: usize, at: f64) -> [f64; 2] {
        self.breaks[direction].iter().fold([f64::MIN, f64::MAX], |[low, high], &side| {
            [if side <= at { low.max(side) } else { low }, if side >= at { high.min(side) } else { high }]
        })
    }

    /// Sum of the links at each node of a row.
    pub fn row_links(&self, start: usize, sums: &mut [f64]) {
        for (i, sum) in sums.iter_mut().enumerate() {
            let node = start + i;
            let before = self.strides().map(|(direction, stride)| {
                node.checked_sub(stride).map_or(0.0, |before| self.links[direction][before])
            });
            let after = [0, 1, 2].map(|direction| self.links[direction][node]);
            *sum = before.iter().chain(&after).sum();
        }
    }

    fn strides(&self) -> [(usize, usize); 3] {
        let [nx, ny, _] = self.count;
        [(0, 1), (1, nx), (2, nx * ny)]
    }

    /// `L' x` of a row from differences, into `out`.
    pub fn outflow(&self, x: &[f64], start: usize, out: &mut [f64]) {
        let count = out.len();
        let own = &x[start..start + count];
        out.fill(0.0);
        for (direction, stride) in self.strides() {
            let links = &self.links[direction];
            if start + stride < x.len() {
                let next = x[start + stride..].iter();
                for (((out, own), next), link) in out.iter_mut().zip(own).zip(next).zip(&links[start..]) {
                    *out += link * (own - next);
                }
            }
            let (skipped, from) = before(start, stride, count);
            let befores = x[from..].iter().zip(&links[from..]);
            for ((out, own), (before, link)) in out[skipped..].iter_mut().zip(&own[skipped..]).zip(befores) {
                *out += link * (own - before);
            }
        }
    }

    /// `out = D x + L' x` of a row, given the diagonal of the whole matrix; returns the sum of `x * out`.
    pub fn operator(&self, total: &[f64], x: &[f64], start: usize, out: &mut [f64]) -> f64 {
        let count = out.len();
        let own = &x[start..start + count];
        for ((out, own), total) in out.iter_mut().zip(own).zip(&total[start..]) {
            *out = total * own;
        }
        for (direction, stride) in self.strides() {
            let links = &self.links[direction];
            if start + stride < x.len() {
                let next = x[start + stride..].iter();
                for ((out, next), link) in out.iter_mut().zip(next).zip(&links[start..]) {
                    *out -= link * next;
                }
            }
            let (skipped, from) = before(start, stride, count);
            for ((out, before), link) in out[skipped..].iter_mut().zip(&x[from..]).zip(&links[from..]) {
                *out -= link * before;
            }
        }
        crate::kernels::dot(own, out)
    }
}

/// Of a row's nodes, how many have no node a stride before them, and the node before the first that has one. A link that
/// would lead out of a line to the one before it is 0.
fn before(start: usize, stride: usize, count: usize) -> (usize, usize) {
    (stride.saturating_sub(start).min(count), start.saturating_sub(stride))
}
