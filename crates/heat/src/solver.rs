//! The linear systems of a step: conjugate gradients, preconditioned by line solves along x, then y, then z.
//!
//! The matrix is `A = diagonal + L'`, with `L'` the conductances of the mesh and a positive diagonal. The
//! product of three line solves `(d + Lx) d^-1 (d + Ly) d^-1 (d + Lz)` differs from `A` only by products of two
//! or three `L`: small steps need one iteration, any step converges, since the outer iteration is on `A` itself.

use crate::mesh::Mesh;

/// Rows solved side by side along x, so that the recurrences of one row hide behind those of the others.
const LANES: usize = 8;
/// An outer iteration that needs more than this has met a broken matrix.
const MOST_ITERATIONS: usize = 400;

/// Work space and factors of one grid's systems.
#[derive(Clone, Debug)]
pub struct Solver {
    diagonal: Vec<f64>,
    /// One over the pivots of the line systems along x, y, z.
    pivot: [Vec<f64>; 3],
    step: Vec<f64>,
    product: Vec<f64>,
    refined: Vec<f64>,
    residual: Vec<f64>,
    last_residual: Vec<f64>,
    /// Iterations so far.
    pub iterations: usize,
}

impl Solver {
    /// Work space for a mesh.
    pub fn new(mesh: &Mesh) -> Solver {
        let zeros = || vec![0.0; mesh.len()];
        Solver {
            diagonal: zeros(),
            pivot: [zeros(), zeros(), zeros()],
            step: zeros(),
            product: zeros(),
            refined: zeros(),
            residual: zeros(),
            last_residual: zeros(),
            iterations: 0,
        }
    }

    /// The diagonal, to be filled before [`Solver::factor`].
    pub fn diagonal_mut(&mut self) -> &mut [f64] {
        &mut self.diagonal
    }

    /// Factors the line systems for the diagonal now set.
    pub fn factor(&mut self, mesh: &Mesh) {
        let [nx, ny, _] = mesh.count;
        for (direction, stride) in [1, nx, nx * ny].into_iter().enumerate() {
            factor_lines(
                &self.diagonal,
                &mesh.conductance[direction],
                mesh.count[direction],
                stride,
                &mut self.pivot[direction],
            );
        }
    }

    /// Solves `A x = right`, starting from zero, until the preconditioned residual is below `tolerance` everywhere.
    /// Returns with the final residual in [`Solver::residual`], so that the caller can book what was left out.
    pub fn solve(&mut self, mesh: &Mesh, right: &[f64], tolerance: f64, x: &mut [f64]) {
        x.fill(0.0);
        self.residual.copy_from_slice(right);
        let mut weight = 0.0;
        for iteration in 0..MOST_ITERATIONS {
            let size = self.precondition(mesh);
            self.iterations += 1;
            if size <= tolerance && iteration > 0 {
                return;
            }
            // The Polak-Ribiere form tolerates that the line solves do not quite commute.
            let new_weight = dot(&self.residual, &self.refined);
            let change = if iteration == 0 { 0.0 } else { dot(&self.last_residual, &self.refined) };
            let turn = if iteration == 0 { 0.0 } else { (new_weight - change) / weight };
            weight = new_weight;
            if weight == 0.0 {
                return;
            }
            for (p, z) in self.step.iter_mut().zip(&self.refined) {
                *p = z + turn * *p;
            }
            self.advance(mesh, weight, x);
        }
    }

    /// What the last [`Solver::solve`] left of the right-hand side.
    pub fn residual(&self) -> &[f64] {
        &self.residual
    }

    fn advance(&mut self, mesh: &Mesh, weight: f64, x: &mut [f64]) {
        mesh.outflow(&self.step, &mut self.product);
        for ((q, p), d) in self.product.iter_mut().zip(&self.step).zip(&self.diagonal) {
            *q += d * p;
        }
        let length = weight / dot(&self.step, &self.product);
        self.last_residual.copy_from_slice(&self.residual);
        for (x, p) in x.iter_mut().zip(&self.step) {
            *x += length * p;
        }
        for (r, q) in self.residual.iter_mut().zip(&self.product) {
            *r -= length * q;
        }
    }

    /// Three line solves on the residual; returns the largest entry of the result.
    fn precondition(&mut self, mesh: &Mesh) -> f64 {
        let [nx, ny, nz] = mesh.count;
        let z = &mut self.refined;
        z.copy_from_slice(&self.residual);
        solve_rows(&mesh.conductance[0], &self.pivot[0], nx, z);
        scale(&self.diagonal, z);
        for plane in 0..nz {
            let range = plane * nx * ny..(plane + 1) * nx * ny;
            solve_strided(&mesh.conductance[1][range.clone()], &self.pivot[1][range.clone()], nx, &mut z[range]);
        }
        scale(&self.diagonal, z);
        solve_strided(&mesh.conductance[2], &self.pivot[2], nx * ny, z);
        largest(z)
    }
}

/// One over the pivots of `diagonal + L` along lines of `count` nodes `stride` apart.
fn factor_lines(diagonal: &[f64], link: &[f64], count: usize, stride: usize, pivot: &mut [f64]) {
    for n in 0..diagonal.len() {
        let place = n / stride % count;
        let mut value = diagonal[n] + link[n];
        if place > 0 {
            let before = n - stride;
            value += link[before] - link[before] * link[before] * pivot[before];
        }
        pivot[n] = 1.0 / value;
    }
}

/// Solves along x: rows of `nx`, eight at a time.
fn solve_rows(link: &[f64], pivot: &[f64], nx: usize, x: &mut [f64]) {
    let block = LANES * nx;
    let whole = x.len() / block * block;
    for start in (0..whole).step_by(block) {
        let range = start..start + block;
        solve_block(&link[range.clone()], &pivot[range.clone()], nx, &mut x[range]);
    }
    for start in (whole..x.len()).step_by(nx) {
        let range = start..start + nx;
        solve_strided(&link[range.clone()], &pivot[range.clone()], 1, &mut x[range]);
    }
}

/// Eight rows side by side.
fn solve_block(link: &[f64], pivot: &[f64], nx: usize, x: &mut [f64]) {
    let mut carry = [0.0; LANES];
    for i in 0..nx {
        for (lane, carry) in carry.iter_mut().enumerate() {
            let n = lane * nx + i;
            x[n] = (x[n] + *carry) * pivot[n];
            *carry = link[n] * x[n];
        }
    }
    let mut next = [0.0; LANES];
    for i in (0..nx).rev() {
        for (lane, next) in next.iter_mut().enumerate() {
            let n = lane * nx + i;
            x[n] += link[n] * pivot[n] * *next;
            *next = x[n];
        }
    }
}

/// Solves along lines whose nodes are `stride` apart, all `stride` lines side by side.
fn solve_strided(link: &[f64], pivot: &[f64], stride: usize, x: &mut [f64]) {
    let count = x.len() / stride;
    for (y, p) in x[..stride].iter_mut().zip(pivot) {
        *y *= p;
    }
    for n in 1..count {
        let (before, here) = x[(n - 1) * stride..(n + 1) * stride].split_at_mut(stride);
        let link = &link[(n - 1) * stride..n * stride];
        let pivot = &pivot[n * stride..(n + 1) * stride];
        for i in 0..stride {
            here[i] = (here[i] + link[i] * before[i]) * pivot[i];
        }
    }
    for n in (1..count).rev() {
        let (here, after) = x[(n - 1) * stride..(n + 1) * stride].split_at_mut(stride);
        let link = &link[(n - 1) * stride..n * stride];
        let pivot = &pivot[(n - 1) * stride..n * stride];
        for i in 0..stride {
            here[i] += link[i] * pivot[i] * after[i];
        }
    }
}

fn scale(factor: &[f64], x: &mut [f64]) {
    for (x, f) in x.iter_mut().zip(factor) {
        *x *= f;
    }
}

/// Sum of products in eight fixed strands: fast, and the same bits on every machine and thread count.
pub fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut strands = [0.0; 8];
    let (a_blocks, b_blocks) = (a.chunks_exact(8), b.chunks_exact(8));
    let rest: f64 = a_blocks.remainder().iter().zip(b_blocks.remainder()).map(|(a, b)| a * b).sum();
    for (a, b) in a_blocks.zip(b_blocks) {
        for lane in 0..8 {
            strands[lane] += a[lane] * b[lane];
        }
    }
    strands.iter().sum::<f64>() + rest
}

fn largest(values: &[f64]) -> f64 {
    let mut strands = [0.0_f64; 8];
    let blocks = values.chunks_exact(8);
    let rest = blocks.remainder().iter().fold(0.0_f64, |m, v| m.max(v.abs()));
    for block in blocks {
        for (strand, value) in strands.iter_mut().zip(block) {
            *strand = strand.max(value.abs());
        }
    }
    strands.iter().fold(rest, |m, &s| m.max(s))
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
        solver.factor(&mesh);
        (mesh, solver)
    }

    #[test]
    fn solution_satisfies_the_system_for_small_and_huge_steps() {
        for scale in [1e7, 1e3, 1.0] {
            let (mesh, mut solver) = problem(scale);
            let right: Vec<f64> = (0..mesh.len()).map(|n| mesh.volume[n] * ((n * 13) % 17) as f64).collect();
            let (mut rough, mut x) = (vec![0.0; mesh.len()], vec![0.0; mesh.len()]);
            let tolerance = 1e-4 / scale;
            solver.solve(&mesh, &right, tolerance, &mut rough);
            solver.solve(&mesh, &right, 1e-9 * tolerance, &mut x);
            let mut product = vec![0.0; mesh.len()];
            mesh.outflow(&x, &mut product);
            let (mut largest_miss, mut unsolved, mut drift) = (0.0_f64, 0.0_f64, 0.0_f64);
            for n in 0..mesh.len() {
                largest_miss = largest_miss.max((rough[n] - x[n]).abs());
                let left = right[n] - product[n] - solver.diagonal[n] * x[n];
                unsolved = unsolved.max(left.abs());
                drift = drift.max((left - solver.residual()[n]).abs());
            }
            let size = right.iter().fold(0.0_f64, |m, r| m.max(r.abs()));
            assert!(unsolved < 1e-8 * size && drift < 1e-10 * size, "scale {scale}: {unsolved} {drift} of {size}");
            assert!(largest_miss < 100.0 * tolerance, "scale {scale}: {largest_miss}");
            assert!(solver.iterations < 400, "{}", solver.iterations);
        }
    }

    #[test]
    fn rows_and_strided_lines_give_the_same_answer() {
        let (mesh, solver) = problem(10.0);
        let start: Vec<f64> = (0..mesh.len()).map(|n| (n % 23) as f64).collect();
        let mut by_rows = start.clone();
        solve_rows(&mesh.conductance[0], &solver.pivot[0], mesh.count[0], &mut by_rows);
        let mut by_lines = start;
        let nx = mesh.count[0];
        for row in 0..mesh.len() / nx {
            let range = row * nx..(row + 1) * nx;
            solve_strided(
                &mesh.conductance[0][range.clone()],
                &solver.pivot[0][range.clone()],
                1,
                &mut by_lines[range],
            );
        }
        for (a, b) in by_rows.iter().zip(&by_lines) {
            assert!((a - b).abs() < 1e-13 * a.abs().max(1.0));
        }
    }
}
