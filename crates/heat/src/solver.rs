//! The linear systems of a step: conjugate gradients, preconditioned by line solves along x, y and z.
//!
//! The matrix is `A = diagonal + L'`, with `L'` the conductances of the mesh and a positive diagonal. On a box, with
//! the diagonal replaced by `s V` (a number times the cell volumes), the product of the three directions' matrices
//! `(sM + L)x (sM + L)y (sM + L)z / s^2` differs from `A` only by products of two or three `L`, and its inverse is
//! three sweeps of line solves with a handful of coefficients. It is symmetric and positive, so the outer iteration
//! converges for any step; short steps need one or two iterations.
//!
//! For long steps a larger `s` than the diagonal asks for serves the waves between the longest and the shortest
//! of the grid, as in alternating-direction iterations for steady problems: `s` is kept above a share of their
//! middle eigenvalue. Measured with four times the share: 357 iterations become 21 on an hour-long step.
//!
//! Set aside: the same product with the full diagonal in every sweep. It follows the properties more closely, but
//! its factors do not commute, and on long steps with a rough diagonal the iteration stagnated.

use crate::kernels::{self, dot_and_largest};
use crate::mesh::Mesh;

/// Share of the grid's middle eigenvalue that the shift is kept above.
const WAVE_SHARE: f64 = 0.3;
/// An outer iteration that needs more than this asks for a shorter step.
const MOST_ITERATIONS: usize = 400;

/// Work space and factors of one grid's systems.
#[derive(Clone, Debug)]
pub struct Solver {
    diagonal: Vec<f64>,
    /// One over the diagonal of the whole matrix.
    per_total: Vec<f64>,
    /// Sum of the links that meet at each node.
    links: Vec<f64>,
    /// Coefficients of the line solves along x, y, z.
    lines: [Lines; 3],
    /// Number times the cell volumes that stands for the diagonal, 1/m2.
    shift: f64,
    /// What it is at least, for long steps, 1/m2.
    wave: f64,
    step: Vec<f64>,
    product: Vec<f64>,
    refined: Vec<f64>,
    residual: Vec<f64>,
    /// One plane with x and y exchanged, so that rows along x are solved side by side.
    turned: Vec<f64>,
    /// Iterations so far.
    pub iterations: usize,
}

impl Solver {
    /// Work space for a mesh.
    pub fn new(mesh: &Mesh) -> Solver {
        let zeros = || vec![0.0; mesh.len()];
        Solver {
            diagonal: zeros(),
            per_total: zeros(),
            links: mesh.total_links(),
            lines: [0, 1, 2].map(|direction| Lines::new(&mesh.nodes[direction])),
            shift: 0.0,
            wave: WAVE_SHARE * mesh.nodes.iter().map(|n| middle_wave(n)).product::<f64>().cbrt(),
            step: zeros(),
            product: zeros(),
            refined: zeros(),
            residual: zeros(),
            turned: vec![0.0; mesh.count[0] * mesh.count[1]],
            iterations: 0,
        }
    }

    /// The diagonal, to be filled before [`Solver::factor`].
    pub fn diagonal_mut(&mut self) -> &mut [f64] {
        &mut self.diagonal
    }

    /// Factors the line systems for the diagonal now set; `shift` is about the diagonal over the cell volumes, and is
    /// taken as it is when the line solves stand alone.
    pub fn factor(&mut self, shift: f64, alone: bool) {
        self.shift = if alone { shift } else { shift.max(self.wave) };
        for lines in &mut self.lines {
            lines.factor(self.shift);
        }
        for ((inverse, links), d) in self.per_total.iter_mut().zip(&self.links).zip(&self.diagonal) {
            *inverse = 1.0 / (links + d);
        }
    }

    /// Solves `A x = right`, starting from zero, until two estimates of the error are below `tolerance` everywhere:
    /// the line solves of the residual, which see long waves, and the residual over the diagonal, which sees the
    /// shortest ones (the line solves underrate those by orders of magnitude when the step is long).
    /// Leaves the final residual in [`Solver::residual`], so that the caller can book what was left out, and
    /// returns whether the tolerance was met.
    #[must_use]
    pub fn solve(&mut self, mesh: &Mesh, right: &[f64], tolerance: f64, x: &mut [f64]) -> bool {
        x.fill(0.0);
        self.residual.copy_from_slice(right);
        let mut weight = 0.0;
        let mut shortest_waves = f64::INFINITY;
        for iteration in 0..MOST_ITERATIONS {
            let (new_weight, long_waves) = self.precondition(mesh);
            self.iterations += 1;
            if new_weight == 0.0 || shortest_waves.max(long_waves) <= tolerance {
                return true;
            }
            let turn = if iteration == 0 { 0.0 } else { new_weight / weight };
            weight = new_weight;
            for (p, z) in self.step.iter_mut().zip(&self.refined) {
                *p = z + turn * *p;
            }
            let length = weight / mesh.operator(&self.diagonal, &self.step, &mut self.product);
            let along = (&self.step[..], &self.product[..], &self.per_total[..]);
            shortest_waves = kernels::advance(length, along, x, &mut self.residual);
        }
        false
    }

    /// One sweep of line solves instead of a solution; books nothing as left out.
    pub fn sweep(&mut self, mesh: &Mesh, right: &[f64], x: &mut [f64]) {
        self.residual.copy_from_slice(right);
        self.precondition(mesh);
        self.iterations += 1;
        x.copy_from_slice(&self.refined);
        self.residual.fill(0.0);
    }

    /// What the last [`Solver::solve`] left of the right-hand side.
    pub fn residual(&self) -> &[f64] {
        &self.residual
    }

    /// Three sweeps of line solves on the residual; returns the sum of residual times result, and the largest result.
    fn precondition(&mut self, mesh: &Mesh) -> (f64, f64) {
        let [nx, ny, nz] = mesh.count;
        let plane = nx * ny;
        let square = self.shift * self.shift;
        let (z, r) = (&mut self.refined, &self.residual);
        for k in 0..nz {
            let range = k * plane..(k + 1) * plane;
            let (here, turned) = (&mut z[range.clone()], &mut self.turned[..]);
            turn(&r[range], nx, square, turned);
            self.lines[0].solve_strided(ny, turned);
            turn(turned, ny, 1.0, here);
            self.lines[1].solve_strided(nx, here);
            self.lines[2].forward(plane, k, z);
        }
        let (mut sum, mut most) = (0.0, 0.0_f64);
        for k in (0..nz).rev() {
            self.lines[2].backward(plane, k, z);
            let range = k * plane..(k + 1) * plane;
            let (part, largest) = dot_and_largest(&r[range.clone()], &z[range]);
            sum += part;
            most = most.max(largest);
        }
        (sum, most)
    }
}

/// Rows become columns: `out[i, j] = factor * values[j, i]`, for rows of `count` values.
fn turn(values: &[f64], count: usize, factor: f64, out: &mut [f64]) {
    let rows = values.len() / count;
    for (j, row) in values.chunks_exact(count).enumerate() {
        for (value, out) in row.iter().zip(out[j..].iter_mut().step_by(rows)) {
            *out = factor * value;
        }
    }
}

/// The symmetric tridiagonal matrix `shift * widths + links` of one direction, factored.
#[derive(Clone, Debug)]
struct Lines {
    widths: Vec<f64>,
    links: Vec<f64>,
    /// One over each pivot.
    pivot: Vec<f64>,
    /// Forward coefficient: link to the node before, times own pivot's inverse.
    before: Vec<f64>,
    /// Backward coefficient: link to the next node, times own pivot's inverse.
    after: Vec<f64>,
}

impl Lines {
    fn new(nodes: &[f64]) -> Lines {
        let zeros = vec![0.0; nodes.len()];
        let (widths, links) = (crate::mesh::widths(nodes), crate::mesh::inverse_gaps(nodes));
        Lines { widths, links, pivot: zeros.clone(), before: zeros.clone(), after: zeros }
    }

    fn factor(&mut self, shift: f64) {
        let mut last = [0.0; 2];
        for n in 0..self.links.len() {
            let [link, pivot] = last;
            let inverse = 1.0 / (shift * self.widths[n] + self.links[n] + link - link * link * pivot);
            self.pivot[n] = inverse;
            self.before[n] = link * inverse;
            self.after[n] = self.links[n] * inverse;
            last = [self.links[n], inverse];
        }
    }

    /// Solves along lines whose nodes are `stride` apart, all `stride` lines side by side.
    fn solve_strided(&self, stride: usize, x: &mut [f64]) {
        let count = self.pivot.len();
        (0..count).for_each(|n| self.forward(stride, n, x));
        (0..count).rev().for_each(|n| self.backward(stride, n, x));
    }

    /// Forward elimination at node `n` of all lines.
    fn forward(&self, stride: usize, n: usize, x: &mut [f64]) {
        let (pivot, link) = (self.pivot[n], self.before[n]);
        if n == 0 {
            x[..stride].iter_mut().for_each(|x| *x *= pivot);
            return;
        }
        let (before, here) = x[(n - 1) * stride..(n + 1) * stride].split_at_mut(stride);
        for (h, b) in here.iter_mut().zip(before) {
            *h = *h * pivot + link * *b;
        }
    }

    /// Back substitution at node `n` of all lines.
    fn backward(&self, stride: usize, n: usize, x: &mut [f64]) {
        if n + 1 == self.pivot.len() {
            return;
        }
        let link = self.after[n];
        let (here, after) = x[n * stride..(n + 2) * stride].split_at_mut(stride);
        for (h, a) in here.iter_mut().zip(after) {
            *h += link * *a;
        }
    }
}

/// Geometric mean of the smallest and largest eigenvalues of the second difference on these nodes, 1/m2.
fn middle_wave(nodes: &[f64]) -> f64 {
    let length = nodes[nodes.len() - 1] - nodes[0];
    let gap = nodes.windows(2).map(|w| w[1] - w[0]).fold(length, f64::min);
    std::f64::consts::PI / length * 2.0 / gap
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem(scale: f64) -> (Mesh, Solver) {
        let line = |n: usize, length: f64| (0..=n).map(|i| length * (i as f64 / n as f64).powf(1.4)).collect();
        let mesh = Mesh::of_box([line(11, 0.3), line(9, 0.2), line(13, 0.4)]);
        let mut solver = Solver::new(&mesh);
        for (n, (d, v)) in solver.diagonal_mut().iter_mut().zip(&mesh.volume).enumerate() {
            *d = scale * v * (1.0 + 0.3 * ((n * 37) % 11) as f64 / 11.0);
        }
        solver.factor(1.15 * scale, false);
        (mesh, solver)
    }

    fn smooth(mesh: &Mesh) -> Vec<f64> {
        let [nx, ny, _] = mesh.count;
        let value = |n: usize| {
            let [x, y, z] = [n % nx, n / nx % ny, n / (nx * ny)];
            let place = [mesh.nodes[0][x], mesh.nodes[1][y], mesh.nodes[2][z]];
            mesh.volume[n] * (1.0 + (9.0 * place[0]).sin() + (7.0 * place[1] - 5.0 * place[2]).cos())
        };
        (0..mesh.len()).map(value).collect()
    }

    #[test]
    fn solution_satisfies_the_system_for_short_and_hour_long_steps() {
        for scale in [1e7, 1e3, 30.0] {
            let (mesh, mut solver) = problem(scale);
            let right = smooth(&mesh);
            let (mut rough, mut x) = (vec![0.0; mesh.len()], vec![0.0; mesh.len()]);
            let tolerance = 1e-4 / scale;
            assert!(solver.solve(&mesh, &right, tolerance, &mut rough));
            assert!(solver.solve(&mesh, &right, 1e-5 * tolerance, &mut x));
            let mut product = vec![0.0; mesh.len()];
            mesh.operator(&solver.diagonal, &x, &mut product);
            let (mut largest_miss, mut unsolved, mut drift) = (0.0_f64, 0.0_f64, 0.0_f64);
            for n in 0..mesh.len() {
                largest_miss = largest_miss.max((rough[n] - x[n]).abs());
                let left = right[n] - product[n];
                unsolved = unsolved.max(left.abs());
                drift = drift.max((left - solver.residual()[n]).abs());
            }
            let size = right.iter().fold(0.0_f64, |m, r| m.max(r.abs()));
            assert!(unsolved < 1e-6 * size && drift < 1e-10 * size, "scale {scale}: {unsolved} {drift} of {size}");
            assert!(largest_miss < 100.0 * tolerance, "scale {scale}: {largest_miss}");
            assert!(solver.iterations < 200, "{}", solver.iterations);
        }
    }

    #[test]
    fn solution_is_that_of_a_dense_factorisation() {
        let line = |n: usize| (0..=n).map(|i| 0.1 * (i as f64 / n as f64).powf(1.4)).collect();
        let mesh = Mesh::of_box([line(5), line(4), line(6)]);
        let mut solver = Solver::new(&mesh);
        for (d, v) in solver.diagonal_mut().iter_mut().zip(&mesh.volume) {
            *d = 2e3 * v;
        }
        solver.factor(2e3, false);
        let count = mesh.len();
        let column = |n: usize| {
            let (mut unit, mut out) = (vec![0.0; count], vec![0.0; count]);
            unit[n] = 1.0;
            mesh.operator(&solver.diagonal, &unit, &mut out);
            nalgebra::DVector::from_vec(out)
        };
        let matrix = nalgebra::DMatrix::from_columns(&(0..count).map(column).collect::<Vec<_>>());
        assert!((&matrix - matrix.transpose()).amax() < 1e-18);
        let right = smooth(&mesh);
        let dense = matrix.cholesky().expect("positive definite").solve(&nalgebra::DVector::from_vec(right.clone()));
        let mut x = vec![0.0; count];
        assert!(solver.solve(&mesh, &right, 1e-12, &mut x));
        for (ours, theirs) in x.iter().zip(dense.iter()) {
            approx::assert_abs_diff_eq!(ours, theirs, epsilon = 1e-10);
        }
    }

    #[test]
    fn turning_twice_gives_the_plane_back() {
        let plane: Vec<f64> = (0..35).map(f64::from).collect();
        let (mut turned, mut back) = (vec![0.0; 35], vec![0.0; 35]);
        turn(&plane, 7, 2.0, &mut turned);
        assert_eq!(turned[3], 2.0 * plane[21]);
        turn(&turned, 5, 0.5, &mut back);
        assert_eq!(back, plane);
    }
}
