//! One grid of the nested set: its state and one step of it.

use crate::exchange::{Active, Exchange, Powers, SurfaceState};
use crate::kernels;
use crate::mesh::Mesh;
use crate::properties::Properties;
use crate::scheme::{Integrator, Scheme};
use crate::solver::Solver;

/// Share of the step tolerance that the linear solver may leave. The scheme's coefficients amplify what is left some
/// tens of times, and the error of long steps on a nearly level body is made of it: a hundredth moved a crossing by
/// twelve seconds, this moves it by a third of one.
pub const SOLVER_SHARE: f64 = 2e-4;

/// State and work space of one grid.
#[derive(Clone, Debug)]
pub struct Level {
    /// Geometry.
    pub mesh: Mesh,
    volume: f64,
    exchange: Exchange,
    properties: Properties,
    scheme: &'static Scheme,
    split: bool,
    active: Active,
    /// Enthalpy per volume of each node, J/m3: the conserved state.
    enthalpy: Vec<f64>,
    /// Potential, diffusivity and net power of the state, kept current.
    potential: Vec<f64>,
    diffusivity: Vec<f64>,
    power: Vec<f64>,
    powers: Powers,
    /// State at the start of the last step, to take it back.
    saved: (Vec<f64>, Powers),
    /// Energies booked since the start, J.
    pub booked: Powers,
    stages: Vec<Vec<f64>>,
    work: Work,
    solver: Solver,
    /// Whether every system of the step met its tolerance.
    solved: bool,
}

#[derive(Clone, Debug)]
struct Work {
    enthalpy: Vec<f64>,
    potential: Vec<f64>,
    power: Vec<f64>,
    right: Vec<f64>,
    solution: Vec<f64>,
}

impl Level {
    /// A level at a uniform enthalpy.
    pub fn new(mesh: Mesh, exchange: Exchange, properties: Properties, integrator: Integrator, enthalpy: f64) -> Level {
        let scheme = integrator.scheme();
        let zeros = || vec![0.0; mesh.len()];
        let work = Work { enthalpy: zeros(), potential: zeros(), power: zeros(), right: zeros(), solution: zeros() };
        let mut level = Level {
            enthalpy: vec![enthalpy; mesh.len()],
            potential: zeros(),
            diffusivity: zeros(),
            power: zeros(),
            powers: Powers::default(),
            saved: (zeros(), Powers::default()),
            booked: Powers::default(),
            stages: scheme.m.iter().map(|_| zeros()).collect(),
            solver: Solver::new(&mesh),
            solved: true,
            volume: mesh.volume.iter().sum(),
            active: Active::default(),
            mesh,
            exchange,
            properties,
            scheme,
            split: integrator == Integrator::Ros2Split,
            work,
        };
        level.refresh();
        level
    }

    /// Switches flame and arc.
    pub fn switch(&mut self, active: Active) {
        self.active = active;
        self.refresh();
    }

    /// Takes the last step back.
    pub fn restore(&mut self) {
        self.enthalpy.copy_from_slice(&self.saved.0);
        self.booked = self.saved.1;
        self.refresh();
    }

    /// Remembers the present state for [`Level::restore`].
    pub fn save(&mut self) {
        self.saved.0.copy_from_slice(&self.enthalpy);
        self.saved.1 = self.booked;
    }

    /// Temperature (Celsius) and its rate (K/s) at a node.
    pub fn reading(&self, node: usize) -> (f64, f64) {
        let (t, per_capacity) = self.properties.temperature(self.enthalpy[node]);
        (t, self.power[node] / self.mesh.volume[node] * per_capacity)
    }

    /// Heat stored above 0 C, J.
    pub fn stored(&self) -> f64 {
        crate::kernels::dot(&self.enthalpy, &self.mesh.volume)
    }

    /// Coldest and hottest temperatures, Celsius, and the first node that is not a number, if any.
    pub fn span(&self) -> Result<[f64; 2], usize> {
        if let Some(node) = self.enthalpy.iter().position(|e| !e.is_finite()) {
            return Err(node);
        }
        let (low, high) = self.enthalpy.iter().fold((f64::MAX, f64::MIN), |(l, h), &e| (l.min(e), h.max(e)));
        Ok([low, high].map(|e| self.properties.temperature(e).0))
    }

    /// Linear solver iterations so far.
    pub fn iterations(&self) -> usize {
        self.solver.iterations
    }

    /// Largest safe first step after a switch, s: what the smallest surface cell takes to feel its neighbour.
    pub fn first_step(&self) -> f64 {
        let gap = self.mesh.nodes[2][1] - self.mesh.nodes[2][0];
        let fastest = self.diffusivity.iter().fold(0.0_f64, |m, &d| m.max(d));
        0.1 * gap * gap / fastest
    }

    /// Advances by `step` seconds and returns the largest error estimate of the step over all nodes, K; infinite
    /// when a linear system could not be solved.
    pub fn advance(&mut self, step: f64, tolerance_k: f64) -> f64 {
        let scheme = self.scheme;
        let inverse = 1.0 / (scheme.gamma * step);
        self.set_matrix(inverse);
        self.solved = true;
        let mut booked = Vec::with_capacity(scheme.m.len());
        for stage in 0..scheme.m.len() {
            let share = self.stage(stage, step, tolerance_k, &booked);
            booked.push(share);
        }
        for (weight, share) in scheme.m.iter().zip(&booked) {
            self.booked = self.booked.plus(*weight, *share);
        }
        let error = self.error();
        kernels::combine(&self.enthalpy, scheme.m, &self.stages, &mut self.work.enthalpy);
        std::mem::swap(&mut self.enthalpy, &mut self.work.enthalpy);
        self.refresh();
        if self.solved { error } else { f64::INFINITY }
    }

    fn refresh(&mut self) {
        self.powers = evaluate(
            (&self.mesh, &self.exchange, &self.properties, self.active),
            &self.enthalpy,
            (&mut self.potential, Some(&mut self.diffusivity), &mut self.power),
        );
    }

    /// Diagonal of `(V / (alpha gamma h) + slopes) + L'` in the potential, frozen for the step.
    fn set_matrix(&mut self, inverse: f64) {
        let diagonal = self.solver.diagonal_mut();
        for ((d, v), a) in diagonal.iter_mut().zip(&self.mesh.volume).zip(&self.diffusivity) {
            *d = v * inverse / a;
        }
        let state =
            SurfaceState { properties: &self.properties, enthalpy: &self.enthalpy, diffusivity: &self.diffusivity };
        self.exchange.slopes(self.active, &state, diagonal);
        let (slow, fast) = self.diffusivity.iter().fold((f64::MAX, 0.0_f64), |(l, h), &a| (l.min(a), h.max(a)));
        self.solver.factor(0.5 * inverse * (1.0 / slow + 1.0 / fast), self.split);
    }

    /// Solves one stage into `self.stages[stage]` (J/m3) and returns the energies it stands for, J.
    fn stage(&mut self, stage: usize, step: f64, tolerance_k: f64, booked: &[Powers]) -> Powers {
        let scheme = self.scheme;
        let mut powers = self.evaluate_stage(stage);
        let (earlier, rest) = self.stages.split_at_mut(stage);
        let work = &mut self.work;
        let power = if stage == 0 { &self.power } else { &work.power };
        let coupling = (1.0 / step, scheme.c[stage]);
        kernels::combine_by_volume(power, &self.mesh.volume, coupling, earlier, &mut work.right);
        let conductivity = self.diffusivity[0] / self.properties.temperature(self.enthalpy[0]).1;
        let tolerance = SOLVER_SHARE * tolerance_k * conductivity;
        self.solved &= if self.split {
            self.solver.sweep(&self.mesh, &work.right, &mut work.solution);
            true
        } else {
            self.solver.solve(&self.mesh, &work.right, tolerance, &mut work.solution)
        };
        let factor = scheme.gamma * step;
        // Heat that the solver left out is spread evenly: conserved to rounding however loosely the system was
        // solved. Putting the residual back where it arose would amplify what is left of the finest waves.
        let left_out = factor * self.solver.residual().iter().sum::<f64>() / self.volume;
        for ((k, s), a) in rest[0].iter_mut().zip(&work.solution).zip(&self.diffusivity) {
            *k = s / a + left_out;
        }
        let state =
            SurfaceState { properties: &self.properties, enthalpy: &self.enthalpy, diffusivity: &self.diffusivity };
        powers = powers.plus(1.0, self.exchange.change(self.active, &state, &work.solution));
        let own = Powers::default().plus(factor, powers);
        scheme.c[stage].iter().zip(booked).fold(own, |sum, (c, share)| sum.plus(scheme.gamma * c, *share))
    }

    /// Power of the stage's own place into `work.power`; the first stage uses the state's.
    fn evaluate_stage(&mut self, stage: usize) -> Powers {
        let scheme = self.scheme;
        if stage == 0 {
            return self.powers;
        }
        let work = &mut self.work;
        if !scheme.a[stage].iter().any(|&a| a != 0.0) {
            work.power.copy_from_slice(&self.power);
            return self.powers;
        }
        kernels::combine(&self.enthalpy, scheme.a[stage], &self.stages, &mut work.enthalpy);
        evaluate(
            (&self.mesh, &self.exchange, &self.properties, self.active),
            &work.enthalpy,
            (&mut work.potential, None, &mut work.power),
        )
    }

    /// Largest error estimate over all nodes, K, with the smaller of the heat capacities at the coldest and hottest.
    fn error(&mut self) -> f64 {
        let estimate = &mut self.work.power;
        self.work.right.fill(0.0);
        kernels::combine(&self.work.right, self.scheme.e, &self.stages, estimate);
        let (low, high) = self.enthalpy.iter().fold((f64::MAX, f64::MIN), |(l, h), &e| (l.min(e), h.max(e)));
        let per_capacity = self.properties.temperature(low).1.max(self.properties.temperature(high).1);
        per_capacity * kernels::largest(estimate)
    }
}

/// Potential, diffusivity where it is wanted, and net power of each node at an enthalpy.
fn evaluate(
    (mesh, exchange, properties, active): (&Mesh, &Exchange, &Properties, Active),
    enthalpy: &[f64],
    (potential, diffusivity, power): (&mut [f64], Option<&mut [f64]>, &mut [f64]),
) -> Powers {
    match diffusivity {
        Some(diffusivity) => properties.potentials(enthalpy, potential, diffusivity),
        None => properties.potentials_alone(enthalpy, potential),
    }
    mesh.inflow(potential, power);
    exchange.power(active, properties, enthalpy, power)
}
