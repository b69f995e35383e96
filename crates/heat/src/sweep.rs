//! Line solves along x, y and z: the preconditioner of a step's systems.
//!
//! With the diagonal replaced by `s` times the cell volumes, the product of the three directions' matrices
//! `(sW + L)x (sW + L)y (sW + L)z / s^2` differs from the whole matrix only by products of two or three `L`. Its inverse
//! is three sweeps of line solves with a handful of coefficients; it is symmetric and positive.
//!
//! Lines along z are eliminated from the back to the worked face. The exchange at that face then changes nothing but
//! each line's last pivot, so a sweep that stands for a solution takes it along; the product is no longer symmetric.

use crate::kernels;
use crate::line::Line;

/// Rows along x that are solved side by side: one row alone would wait for each of its own results.
const LANES: usize = 8;
/// Rows along x that are solved before the planes they make up go on along y and z, while they lie in cache.
const ROWS_AT_ONCE: usize = 64;

/// Factors of the three directions and work space.
#[derive(Clone, Debug)]
pub struct Sweep {
    /// Those of z from the back to the worked face.
    factors: [Factors; 3],
    /// Areas of the worked face's cells, m2.
    areas: Vec<f64>,
    /// What the exchange at the worked face leaves of the last pivot's inverse on each line along z; empty without.
    left: Vec<f64>,
    /// One over the square of the shift.
    square: f64,
    tile: Vec<[f64; LANES]>,
}

impl Sweep {
    /// For the three lines of a mesh.
    pub fn new(lines: &[Line; 3]) -> Sweep {
        let [x, y, z] = lines;
        let areas = y.weights.iter().flat_map(|wy| x.weights.iter().map(move |wx| wx * wy)).collect();
        let factors = [Factors::new(x), Factors::new(y), Factors::new(z).turned()];
        Sweep { factors, areas, left: Vec::new(), square: 0.0, tile: vec![[0.0; LANES]; x.len()] }
    }

    /// Factors all lines for a shift, 1/m2, and the slopes of the exchange at the worked face's nodes, m, if they count.
    pub fn factor(&mut self, shift: f64, worked: &[f64]) {
        self.square = shift * shift;
        for factors in &mut self.factors {
            factors.factor(shift);
        }
        let pivot = self.factors[2].pivot.last().copied().unwrap_or_default();
        self.left.clear();
        self.left.extend(worked.iter().zip(&self.areas).map(|(slope, area)| 1.0 / (1.0 + pivot * slope / area)));
    }

    /// Three sweeps over `right`, into `out`; returns the sum of `right * out`.
    pub fn apply(&mut self, right: &[f64], out: &mut [f64]) -> f64 {
        let [x, y, z] = &self.factors;
        let (nx, ny, nz) = (x.pivot.len(), y.pivot.len(), z.pivot.len());
        let plane = nx * ny;
        let planes_at_once = ROWS_AT_ONCE.div_ceil(ny);
        for last in (1..=nz).rev().step_by(planes_at_once) {
            let first = last.saturating_sub(planes_at_once);
            let slab = first * plane..last * plane;
            x.solve_rows(self.square, &right[slab.clone()], &mut self.tile, &mut out[slab]);
            for k in (first..last).rev() {
                y.solve_strided(nx, &mut out[k * plane..(k + 1) * plane]);
                let (here, below) = out[k * plane..].split_at_mut(plane);
                z.forward(nz - 1 - k, below.get(..plane).unwrap_or_default(), here);
            }
        }
        for (value, left) in out.iter_mut().zip(&self.left) {
            *value *= left;
        }
        let mut sum = 0.0;
        for k in 0..nz {
            let (above, here) = out[..(k + 1) * plane].split_at_mut(k * plane);
            let above = &above[k.saturating_sub(1) * plane..];
            sum += kernels::add_and_weigh(z.after[nz - 1 - k], above, &right[k * plane..(k + 1) * plane], here);
        }
        sum
    }
}

/// The symmetric tridiagonal matrix `shift * weights + links` of one direction, factored.
#[derive(Clone, Debug)]
struct Factors {
    weights: Vec<f64>,
    links: Vec<f64>,
    /// One over each pivot.
    pivot: Vec<f64>,
    /// Forward coefficient: link to the node before, times own pivot's inverse.
    before: Vec<f64>,
    /// Backward coefficient: link to the next node, times own pivot's inverse.
    after: Vec<f64>,
}

impl Factors {
    fn new(line: &Line) -> Factors {
        let zeros = vec![0.0; line.len()];
        let (weights, links) = (line.weights.clone(), line.links.clone());
        Factors { weights, links, pivot: zeros.clone(), before: zeros.clone(), after: zeros }
    }

    /// The same line from its other end.
    fn turned(mut self) -> Factors {
        self.weights.reverse();
        let between = self.links.len() - 1;
        self.links[..between].reverse();
        self
    }

    fn factor(&mut self, shift: f64) {
        let mut last = [0.0; 2];
        for n in 0..self.links.len() {
            let [link, pivot] = last;
            let inverse = 1.0 / (shift * self.weights[n] + self.links[n] + link - link * link * pivot);
            self.pivot[n] = inverse;
            self.before[n] = link * inverse;
            self.after[n] = self.links[n] * inverse;
            last = [self.links[n], inverse];
        }
    }

    /// Solves along the rows of `from` times `factor`, into `to`, a tile of rows at a time.
    fn solve_rows(&self, factor: f64, from: &[f64], tile: &mut [[f64; LANES]], to: &mut [f64]) {
        let count = self.pivot.len();
        for (from, to) in from.chunks(LANES * count).zip(to.chunks_mut(LANES * count)) {
            if from.len() == LANES * count {
                let rows = std::array::from_fn(|lane| &from[lane * count..(lane + 1) * count]);
                self.solve_tile(factor, rows, tile);
            } else {
                // Lanes without a row of their own repeat the first; nobody reads them.
                let start = |lane: usize| if (lane + 1) * count <= from.len() { lane * count } else { 0 };
                let rows = std::array::from_fn(|lane| &from[start(lane)..start(lane) + count]);
                self.solve_tile(factor, rows, tile);
            }
            for (lane, row) in to.chunks_exact_mut(count).enumerate() {
                for (value, lanes) in row.iter_mut().zip(tile.iter()) {
                    *value = lanes[lane];
                }
            }
        }
    }

    fn solve_tile(&self, factor: f64, rows: [&[f64]; LANES], tile: &mut [[f64; LANES]]) {
        let count = tile.len();
        let (pivot, before, after) = (&self.pivot[..count], &self.before[..count], &self.after[..count]);
        let rows = rows.map(|row| &row[..count]);
        let mut last = [0.0; LANES];
        for n in 0..count {
            let (scaled, link) = (factor * pivot[n], before[n]);
            for lane in 0..LANES {
                last[lane] = rows[lane][n] * scaled + link * last[lane];
            }
            tile[n] = last;
        }
        for n in (0..count.saturating_sub(1)).rev() {
            let link = after[n];
            for lane in 0..LANES {
                last[lane] = tile[n][lane] + link * last[lane];
            }
            tile[n] = last;
        }
    }

    /// Solves along lines whose nodes are `stride` apart, all `stride` lines side by side.
    fn solve_strided(&self, stride: usize, x: &mut [f64]) {
        let count = self.pivot.len();
        for n in 0..count {
            let (before, here) = x[n.saturating_sub(1) * stride..(n + 1) * stride].split_at_mut(n.min(1) * stride);
            self.forward(n, before, here);
        }
        for n in (0..count - 1).rev() {
            let link = self.after[n];
            let (here, after) = x[n * stride..(n + 2) * stride].split_at_mut(stride);
            for (h, a) in here.iter_mut().zip(after) {
                *h += link * *a;
            }
        }
    }

    /// Forward elimination at node `n` of all lines, given the nodes before it; none before the first.
    fn forward(&self, n: usize, before: &[f64], here: &mut [f64]) {
        let (pivot, link) = (self.pivot[n], self.before[n]);
        if before.is_empty() {
            here.iter_mut().for_each(|x| *x *= pivot);
            return;
        }
        for (h, b) in here.iter_mut().zip(before) {
            *h = *h * pivot + link * *b;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sweeps_invert_the_product_of_the_three_directions() {
        // Rows that do not fill a tile and planes that do not fill a slab.
        let lines = [vec![0.0, 0.1, 0.3, 0.4], vec![0.0, 0.2, 0.5], vec![0.0, 0.01, 0.03, 0.07, 0.2]];
        for lines in [lines.clone().map(Line::straight), {
            let [r, _, z] = lines;
            [Line::radial(r), Line::single(), Line::straight(z)]
        }] {
            let shift = 30.0;
            let matrix = |line: &Line| {
                let entry = |i: usize, j: usize| match i.abs_diff(j) {
                    0 => shift * line.weights[i] + line.links[i] + line.before(i),
                    1 => -line.links[i.min(j)],
                    _ => 0.0,
                };
                nalgebra::DMatrix::from_fn(line.len(), line.len(), entry)
            };
            let [x, y, z] = [0, 1, 2].map(|d| matrix(&lines[d]));
            let product = z.kronecker(&y.kronecker(&x)) / (shift * shift);
            let right: Vec<f64> = (0..product.nrows()).map(|n| ((n * 7919) % 101) as f64 - 50.0).collect();
            let mut sweep = Sweep::new(&lines);
            sweep.factor(shift, &[]);
            let mut out = vec![0.0; right.len()];
            let sum = sweep.apply(&right, &mut out);
            let back = product * nalgebra::DVector::from_vec(out.clone());
            for (a, b) in back.iter().zip(&right) {
                approx::assert_abs_diff_eq!(a, b, epsilon = 1e-9);
            }
            let dot: f64 = right.iter().zip(&out).map(|(a, b)| a * b).sum();
            approx::assert_relative_eq!(sum, dot, max_relative = 1e-12);
        }
    }
}
