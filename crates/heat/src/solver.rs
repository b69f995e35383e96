//! The linear systems of a step: conjugate gradients, preconditioned by line solves along x, y and z.
//!
//! The matrix is `A = diagonal + L'`, with `L'` the conductances of the mesh and a positive diagonal. The line solves
//! ([`Sweep`]) stand for the same matrix with the diagonal replaced by a number times the cell volumes, so the outer
//! iteration converges for any step; short steps need one or two iterations.
//!
//! For long steps a larger shift than the diagonal asks for serves the waves between the longest and the shortest
//! of the grid, as in alternating-direction iterations for steady problems: it is kept above a share of their
//! middle eigenvalue. Measured with four times the share: 357 iterations become 21 on an hour-long step.
//!
//! Set aside: the same product with the full diagonal in every sweep. It follows the properties more closely, but
//! its factors do not commute, and on long steps with a rough diagonal the iteration stagnated.

use crate::kernels;
use crate::mesh::Mesh;
use crate::sweep::Sweep;

/// Share of the grid's middle eigenvalue that the shift is kept above.
const WAVE_SHARE: f64 = 0.3;
/// An outer iteration that needs more than this asks for a shorter step.
const MOST_ITERATIONS: usize = 400;
/// What the shortest waves may err by, in tolerances: they are gone before anything is judged.
const SHORT_WAVES: f64 = 10.0;
/// Contraction, of the square of the error, that the first iteration is taken to have before a second has shown it.
const UNSEEN_CONTRACTION: f64 = 0.1;

/// Work space and factors of one grid's systems.
#[derive(Clone, Debug)]
pub struct Solver {
    diagonal: Vec<f64>,
    /// What of it the exchange at the worked face makes.
    worked: Vec<f64>,
    /// Diagonal of the whole matrix: the links that meet at each node as well.
    total: Vec<f64>,
    sweep: Sweep,
    /// Shift of the sweeps, 1/m2.
    shift: f64,
    /// Volume that errors are averaged over, m3.
    patch_volume: f64,
    diagonal_sum: f64,
    /// Smallest of the diagonal over the cell volumes, 1/m2.
    stiffness: f64,
    /// What the shift is at least, for long steps, 1/m2.
    wave: f64,
    step: Vec<f64>,
    product: Vec<f64>,
    refined: Vec<f64>,
    /// Whether rates of change are read after a solution.
    pub for_rates: bool,
    /// Iterations so far.
    pub iterations: usize,
}

impl Solver {
    /// Work space for a mesh; errors are averaged over `patch_volume`, m3.
    pub fn new(mesh: &Mesh, patch_volume: f64) -> Solver {
        let zeros = || vec![0.0; mesh.len()];
        let waves: Vec<f64> = mesh.lines.iter().filter_map(|line| line.middle_wave()).collect();
        let middle = waves.iter().product::<f64>().powf(1.0 / waves.len().max(1) as f64);
        Solver {
            diagonal: zeros(),
            worked: vec![0.0; mesh.count[0] * mesh.count[1]],
            total: zeros(),
            sweep: Sweep::new(&mesh.lines),
            shift: 0.0,
            patch_volume,
            stiffness: 0.0,
            diagonal_sum: 0.0,
            wave: WAVE_SHARE * middle,
            step: zeros(),
            product: zeros(),
            refined: zeros(),
            for_rates: false,
            iterations: 0,
        }
    }

    /// The diagonal and what of it the exchange at the worked face makes, to be filled before [`Solver::factor`].
    pub fn diagonal_mut(&mut self) -> [&mut [f64]; 2] {
        [&mut self.diagonal, &mut self.worked]
    }

    /// Two arrays that nothing needs between two solutions.
    pub fn scratch(&mut self) -> [&mut [f64]; 2] {
        [&mut self.product, &mut self.refined]
    }

    /// Factors the line systems for the diagonal now set, given about the smallest and largest of it over the cell
    /// volumes, 1/m2, and whether sweeps are to stand for solutions.
    pub fn factor(&mut self, mesh: &Mesh, [low, high]: [f64; 2], sweeps: bool) {
        let mean = 0.5 * (low + high);
        self.stiffness = low;
        self.diagonal_sum = kernels::sum(&self.diagonal);
        self.shift = if sweeps { mean } else { mean.max(self.wave) };
        self.sweep.factor(self.shift, if sweeps { &self.worked } else { &[] });
        if !sweeps {
            self.add_links(mesh);
        }
    }

    fn add_links(&mut self, mesh: &Mesh) {
        let (diagonal, total) = (&self.diagonal, &mut self.total);
        mesh.each_row_links(|row, links| {
            let range = row.start..row.start + links.len();
            for ((total, links), d) in total[range.clone()].iter_mut().zip(links).zip(&diagonal[range]) {
                *total = links + d;
            }
        });
    }

    /// Solves `A x = residual`, starting from zero, until two estimates of the error are small enough.
    ///
    /// Each iteration takes `length * weight` off the square of the error in the norm of `A`, which is at least
    /// `stiffness` times its square over the volume: what is left is judged from the last two such steps, and its root
    /// mean square over the patch must be below `tolerance`. (The line solves of the residual alone underrate the
    /// longest waves when the shift is kept up for long steps.) The residual over the diagonal sees the shortest waves;
    /// it must be below ten tolerances everywhere. Where rates of change are read, that is the diagonal without the links
    /// of the matrix: what is left of the right-hand side then shows in the rate at a node, as a change of ten tolerances
    /// over `gamma h`. With the links, a step of hours left rates that were off by a tenth, and curves drawn through them
    /// were off by tenths of a kelvin between two steps.
    ///
    /// Returns a shift of the whole solution that leaves nothing of the right-hand side out in the sum, so that heat is
    /// conserved to rounding however loosely the system was solved (the links of `L'` do not feel it); or `None` if the
    /// tolerance was not met. The right-hand side is overwritten by what is left of it.
    #[must_use]
    pub fn solve(&mut self, mesh: &Mesh, residual: &mut [f64], tolerance: f64, x: &mut [f64]) -> Option<f64> {
        let enough = (tolerance * tolerance) * self.stiffness * self.patch_volume;
        let (mut weight, mut gain) = (0.0_f64, 0.0_f64);
        x.fill(0.0);
        for iteration in 0..MOST_ITERATIONS {
            let new_weight = self.sweep.apply(residual, &mut self.refined);
            if let Some(cut) = &mesh.cut {
                cut.clear_hollows(&mut self.refined);
            }
            self.iterations += 1;
            if new_weight == 0.0 {
                return Some(kernels::sum(residual) / self.diagonal_sum);
            }
            let turn = if iteration == 0 { 0.0 } else { new_weight / weight };
            weight = new_weight;
            kernels::turn(turn, &self.refined, &mut self.step);
            let length = weight / mesh.operator(&self.total, &self.step, &mut self.product);
            let scale = if self.for_rates { &self.diagonal } else { &self.total };
            let along = (&self.step[..], &self.product[..], &scale[..]);
            let short_waves = kernels::advance(length, along, SHORT_WAVES * tolerance, x, residual);
            let new_gain = length * weight;
            let contraction = if iteration == 0 { UNSEEN_CONTRACTION } else { new_gain / gain };
            gain = new_gain;
            if short_waves <= 0.0 && gain * contraction <= enough * (1.0 - contraction) {
                return Some(kernels::sum(residual) / self.diagonal_sum);
            }
        }
        None
    }

    /// One sweep of line solves in place of a solution of `A x = right`; returns the shift that conserves heat.
    ///
    /// The sweeps take one diffusivity for all nodes. Where nodes have their `own` (one over each, s/m2, and the factor
    /// that makes the diagonal of them), the sweeps yield the change of enthalpy at the mean one, and `x` is the potential
    /// that goes with it at the node's own: as if the Jacobian had been taken with a single diffusivity. The two-stage
    /// scheme is of second order for any Jacobian. (The potential at the mean diffusivity would make a step that is off by
    /// a share of itself however short it is.)
    pub fn sweep(&mut self, right: &[f64], own: Option<(&[f64], f64)>, x: &mut [f64]) -> f64 {
        self.sweep.apply(right, x);
        self.iterations += 1;
        let held = match own {
            Some((per_diffusivity, factor)) => {
                kernels::scale_and_weigh(self.shift / factor, per_diffusivity, &self.diagonal, x)
            }
            None => kernels::dot(&self.diagonal, x),
        };
        (kernels::sum(right) - held) / self.diagonal_sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;

    fn problem(scale: f64) -> (Mesh, Solver) {
        let line =
            |n: usize, length: f64| -> Vec<f64> { (0..=n).map(|i| length * (i as f64 / n as f64).powf(1.4)).collect() };
        let mesh = Mesh::new([line(11, 0.3), line(9, 0.2), line(13, 0.4)].map(Line::straight));
        let mut solver = Solver::new(&mesh, mesh.total_volume());
        for (n, d) in solver.diagonal_mut()[0].iter_mut().enumerate() {
            *d = scale * mesh.volume(n) * (1.0 + 0.3 * ((n * 37) % 11) as f64 / 11.0);
        }
        solver.factor(&mesh, [scale, 1.3 * scale], false);
        (mesh, solver)
    }

    fn smooth(mesh: &Mesh) -> Vec<f64> {
        let [nx, ny, _] = mesh.count;
        let value = |n: usize| {
            let [x, y, z] = [n % nx, n / nx % ny, n / (nx * ny)];
            let place = [mesh.lines[0].nodes[x], mesh.lines[1].nodes[y], mesh.lines[2].nodes[z]];
            mesh.volume(n) * (1.0 + (9.0 * place[0]).sin() + (7.0 * place[1] - 5.0 * place[2]).cos())
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
            assert!(solver.solve(&mesh, &mut right.clone(), tolerance, &mut rough).is_some());
            let shift = solver.solve(&mesh, &mut right.clone(), 1e-5 * tolerance, &mut x).unwrap();
            let mut product = vec![0.0; mesh.len()];
            mesh.operator(&solver.total, &x, &mut product);
            let (mut largest_miss, mut unsolved, mut sum) = (0.0_f64, 0.0_f64, 0.0);
            for n in 0..mesh.len() {
                largest_miss = largest_miss.max((rough[n] - x[n]).abs());
                let left = right[n] - product[n];
                unsolved = unsolved.max(left.abs());
                sum += left;
            }
            let size = right.iter().fold(0.0_f64, |m, r| m.max(r.abs()));
            assert!(unsolved < 1e-6 * size, "scale {scale}: {unsolved} of {size}");
            let shifted = shift * solver.diagonal.iter().sum::<f64>();
            assert!((sum - shifted).abs() < 1e-10 * size, "scale {scale}: {sum} {shifted} of {size}");
            assert!(largest_miss < 100.0 * tolerance, "scale {scale}: {largest_miss}");
            assert!(solver.iterations < 200, "{}", solver.iterations);
        }
    }

    #[test]
    fn solution_is_that_of_a_dense_factorisation() {
        let line = |n: usize| Line::straight((0..=n).map(|i| 0.1 * (i as f64 / n as f64).powf(1.4)).collect());
        let mesh = Mesh::new([line(5), line(4), line(6)]);
        let mut solver = Solver::new(&mesh, mesh.total_volume());
        for (n, d) in solver.diagonal_mut()[0].iter_mut().enumerate() {
            *d = 2e3 * mesh.volume(n);
        }
        solver.factor(&mesh, [2e3, 2e3], false);
        let count = mesh.len();
        let column = |n: usize| {
            let (mut unit, mut out) = (vec![0.0; count], vec![0.0; count]);
            unit[n] = 1.0;
            mesh.operator(&solver.total, &unit, &mut out);
            nalgebra::DVector::from_vec(out)
        };
        let matrix = nalgebra::DMatrix::from_columns(&(0..count).map(column).collect::<Vec<_>>());
        assert!((&matrix - matrix.transpose()).amax() < 1e-18);
        let mut right = smooth(&mesh);
        let dense = matrix.cholesky().expect("positive definite").solve(&nalgebra::DVector::from_vec(right.clone()));
        let mut x = vec![0.0; count];
        assert!(solver.solve(&mesh, &mut right, 1e-12, &mut x).is_some());
        for (ours, theirs) in x.iter().zip(dense.iter()) {
            approx::assert_abs_diff_eq!(ours, theirs, epsilon = 1e-10);
        }
    }
}
