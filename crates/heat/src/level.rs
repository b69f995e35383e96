//! One grid of the nested set: its state and one step of it.

use crate::exchange::{Active, Exchange, Frozen, Powers, SurfaceState};
use crate::kernels;
use crate::mesh::{Mesh, Row};
use crate::properties::Properties;
use crate::scheme::{Integrator, Scheme};
use crate::solver::Solver;

/// Share of the largest local error that counts against the error averaged over the patch.
const LOCAL_SHARE: f64 = 0.1;

/// State and work space of one grid.
#[derive(Clone, Debug)]
pub struct Level {
    /// Geometry.
    pub mesh: Mesh,
    /// Volume that the step error is averaged over, m3.
    patch_volume: f64,
    exchange: Exchange,
    /// Slopes of the exchanges at the start of the step.
    frozen: Frozen,
    properties: Properties,
    scheme: &'static Scheme,
    split: bool,
    active: Active,
    /// Enthalpy per volume of each node, J/m3: the conserved state.
    enthalpy: Vec<f64>,
    /// One over the diffusivity (s/m2) and net power (W) of each node of the state, kept current.
    per_diffusivity: Vec<f64>,
    power: Vec<f64>,
    powers: Powers,
    /// Energies booked since the start, J.
    pub booked: Powers,
    /// State at the start of the last step.
    before: (Vec<f64>, Powers),
    /// State to come back to over more than one step; empty unless asked for.
    saved: (Vec<f64>, Powers),
    stages: Vec<Vec<f64>>,
    right: Vec<f64>,
    solver: Solver,
    /// Whether every system of the step met its tolerance.
    solved: bool,
}

impl Level {
    /// A level at a uniform enthalpy; step errors are averaged over `patch_volume`, m3.
    pub fn new(
        (mesh, patch_volume): (Mesh, f64),
        exchange: Exchange,
        properties: Properties,
        integrator: Integrator,
        enthalpy: f64,
    ) -> Level {
        let scheme = integrator.scheme();
        let zeros = || vec![0.0; mesh.len()];
        let mut level = Level {
            enthalpy: vec![enthalpy; mesh.len()],
            per_diffusivity: zeros(),
            power: zeros(),
            powers: Powers::default(),
            booked: Powers::default(),
            before: (zeros(), Powers::default()),
            saved: (Vec::new(), Powers::default()),
            stages: scheme.m.iter().map(|_| zeros()).collect(),
            right: zeros(),
            solver: Solver::new(&mesh, patch_volume),
            solved: true,
            patch_volume,
            active: Active::default(),
            frozen: Frozen::default(),
            mesh,
            exchange,
            properties,
            scheme,
            split: integrator == Integrator::Ros2Split,
        };
        level.refresh();
        level
    }

    /// Switches flame and arc.
    pub fn switch(&mut self, active: Active) {
        self.active = active;
        self.refresh();
    }

    /// Takes the last advance back.
    pub fn undo(&mut self) {
        std::mem::swap(&mut self.enthalpy, &mut self.before.0);
        self.booked = self.before.1;
        self.refresh();
    }

    /// Remembers the present state for [`Level::restore`].
    pub fn save(&mut self) {
        self.saved.0.clone_from(&self.enthalpy);
        self.saved.1 = self.booked;
    }

    /// Goes back to the state last saved.
    pub fn restore(&mut self) {
        self.enthalpy.clone_from(&self.saved.0);
        self.booked = self.saved.1;
        self.refresh();
    }

    /// Temperature (Celsius) and its rate (K/s) at a node.
    pub fn reading(&self, node: usize) -> (f64, f64) {
        let (t, per_capacity) = self.properties.temperature(self.enthalpy[node]);
        (t, self.power[node] / self.mesh.volume(node) * per_capacity)
    }

    /// Heat stored above 0 C, J.
    pub fn stored(&self) -> f64 {
        self.mesh.integral(&self.enthalpy)
    }

    /// Volume of the part that is solved, m3.
    pub fn volume(&self) -> f64 {
        self.mesh.total_volume()
    }

    /// Coldest and hottest temperatures, Celsius, and the first node that is not a number, if any.
    pub fn span(&self) -> Result<[f64; 2], usize> {
        let [low, high] = kernels::span(&self.enthalpy);
        if !(low.is_finite() && high.is_finite()) {
            return Err(self.enthalpy.iter().position(|e| !e.is_finite()).unwrap_or(0));
        }
        Ok([low, high].map(|e| self.properties.temperature(e).0))
    }

    /// Linear solver iterations so far.
    pub fn iterations(&self) -> usize {
        self.solver.iterations
    }

    /// First step after a switch, s: a tenth of what the smallest surface cell takes to feel its neighbour. A surface
    /// starts to cool with the root of time, and a ring close to its limit crosses it in that first second.
    pub fn first_step(&self) -> f64 {
        let nodes = &self.mesh.lines[2].nodes;
        let gap = nodes[1] - nodes[0];
        0.1 * gap * gap * kernels::span(&self.per_diffusivity)[0]
    }

    /// Advances by `step` seconds and returns the largest error estimate of the step over all nodes, K; infinite
    /// when a linear system could not be solved.
    pub fn advance(&mut self, step: f64, tolerance_k: f64) -> f64 {
        let scheme = self.scheme;
        let [low, high] = kernels::span(&self.enthalpy);
        let per_capacity = self.properties.temperature(low).1.max(self.properties.temperature(high).1);
        self.set_matrix(1.0 / (scheme.gamma * step));
        self.solved = true;
        let mut booked: Vec<Powers> = Vec::with_capacity(scheme.m.len());
        let mut changes: Vec<Powers> = Vec::with_capacity(scheme.m.len());
        for stage in 0..scheme.m.len() {
            let (powers, change) = self.stage(stage, step, tolerance_k, &changes);
            changes.push(change);
            let own = Powers::default().plus(scheme.gamma * step, powers.plus(1.0, change));
            let coupled = scheme.c[stage].iter().zip(&booked);
            booked.push(coupled.fold(own, |sum, (c, share)| sum.plus(scheme.gamma * c, *share)));
        }
        let error = per_capacity * self.error();
        kernels::combine(&self.enthalpy, scheme.m, &self.stages, &mut self.before.0);
        std::mem::swap(&mut self.enthalpy, &mut self.before.0);
        self.before.1 = self.booked;
        self.booked = scheme.m.iter().zip(&booked).fold(self.booked, |sum, (m, share)| sum.plus(*m, *share));
        self.refresh();
        if self.solved { error } else { f64::INFINITY }
    }

    /// Size of the error estimate of the step, J/m3: its root mean square over the volume of the patch, or a share of
    /// its largest value if that is more. A spot that is small against the patch, such as the metal under an arc, may
    /// err by more: its error is one of place, not of heat, and has spread before anything near it is judged.
    fn error(&self) -> f64 {
        let weights = &self.mesh.lines[0].weights;
        let mut estimate = vec![0.0; weights.len()];
        let (mut squares, mut most) = (0.0, 0.0);
        for row in self.mesh.rows() {
            estimate.fill(0.0);
            kernels::add_stages(self.scheme.e, &self.stages, row.start, &mut estimate);
            let (sum, largest) = kernels::square_and_largest(weights, &estimate);
            squares += row.weight * sum;
            most = if largest <= most { most } else { largest };
        }
        let (mean, local) = ((squares / self.patch_volume).sqrt(), LOCAL_SHARE * most);
        // In this order, so that what is not a number stays so.
        if local > mean { local } else { mean }
    }

    /// Brings diffusivity and power up to date with the state.
    fn refresh(&mut self) {
        let [potential, _] = self.solver.scratch();
        self.properties.potentials(&self.enthalpy, potential, &mut self.per_diffusivity);
        let power = &mut self.power;
        self.mesh.each_outflow(potential, |row, flow| {
            for (power, flow) in power[row.start..].iter_mut().zip(flow) {
                *power = -flow;
            }
        });
        self.powers = self.exchange.power(self.active, &self.properties, &self.enthalpy, power);
    }

    /// Diagonal of `(V / (alpha gamma h) + slopes) + L'` in the potential, frozen for the step.
    fn set_matrix(&mut self, inverse: f64) {
        let diagonal = self.solver.diagonal_mut();
        let weights = &self.mesh.lines[0].weights;
        for row in self.mesh.rows() {
            let range = row.start..row.start + weights.len();
            let factor = inverse * row.weight;
            for ((d, w), a) in diagonal[range.clone()].iter_mut().zip(weights).zip(&self.per_diffusivity[range]) {
                *d = factor * w * a;
            }
        }
        let (properties, enthalpy, per_diffusivity) = (&self.properties, &self.enthalpy[..], &self.per_diffusivity[..]);
        let state = SurfaceState { properties, enthalpy, per_diffusivity };
        self.exchange.freeze(self.active, &state, &mut self.frozen, diagonal);
        let [fast, slow] = kernels::span(&self.per_diffusivity);
        self.solver.factor(&self.mesh, [inverse * fast, inverse * slow], self.split);
    }

    /// Solves one stage into `self.stages[stage]` (J/m3); returns the powers at its own place, and their linearised
    /// change over the stage, W.
    fn stage(&mut self, stage: usize, step: f64, tolerance_k: f64, changes: &[Powers]) -> (Powers, Powers) {
        let powers = self.set_right(stage, step);
        let with_first = self.pair_up(stage);
        let conductivity = 1.0 / (self.per_diffusivity[0] * self.properties.temperature(self.enthalpy[0]).1);
        let tolerance = self.scheme.solver_share * tolerance_k * conductivity;
        let (earlier, rest) = self.stages.split_at_mut(stage);
        let solution = &mut rest[0];
        let shift = if self.split {
            self.solver.sweep(&self.right, solution);
            Some(0.0)
        } else {
            self.solver.solve(&self.mesh, &mut self.right, tolerance, solution)
        };
        self.solved &= shift.is_some();
        let shift = shift.unwrap_or(0.0);
        let mut change = self.frozen.change(solution, shift);
        if with_first {
            change = change.plus(-1.0, changes[0]);
            for ((k, a), first) in solution.iter_mut().zip(&self.per_diffusivity).zip(&earlier[0]) {
                *k = (*k + shift) * a - first;
            }
        } else {
            for (k, a) in solution.iter_mut().zip(&self.per_diffusivity) {
                *k = (*k + shift) * a;
            }
        }
        (powers, change)
    }

    /// The two stages of a pair nearly cancel: the second is solved as their small sum, which is also the error
    /// estimate. Keeps the first right-hand side in the second's place meanwhile; returns whether a sum is solved for.
    fn pair_up(&mut self, stage: usize) -> bool {
        if !self.scheme.paired || self.split {
            return false;
        }
        if stage == 0 {
            self.stages[1].copy_from_slice(&self.right);
            return false;
        }
        for (right, first) in self.right.iter_mut().zip(&self.stages[1]) {
            *right += first;
        }
        true
    }

    /// Right-hand side of a stage: the power at its own place, and what earlier stages couple in. Returns the powers
    /// by name.
    fn set_right(&mut self, stage: usize, step: f64) -> Powers {
        let scheme = self.scheme;
        if stage == 0 {
            self.right.copy_from_slice(&self.power);
            return self.powers;
        }
        let earlier = &self.stages[..stage];
        let weights = &self.mesh.lines[0].weights;
        let right = &mut self.right;
        let mut coupled = vec![0.0; weights.len()];
        let mut couple = |row: Row, sign: f64, power: &[f64]| {
            coupled.fill(0.0);
            kernels::add_stages(scheme.c[stage], earlier, row.start, &mut coupled);
            let factor = row.weight / step;
            let right = &mut right[row.start..row.start + weights.len()];
            for (((right, w), c), p) in right.iter_mut().zip(weights).zip(&coupled).zip(power) {
                *right = sign * p + factor * w * c;
            }
        };
        if scheme.a[stage].iter().all(|&a| a == 0.0) {
            self.mesh.rows().for_each(|row| couple(row, 1.0, &self.power[row.start..]));
            return self.powers;
        }
        let [potential, place] = self.solver.scratch();
        kernels::combine(&self.enthalpy, scheme.a[stage], earlier, place);
        self.properties.potentials_alone(place, potential);
        self.mesh.each_outflow(potential, |row, flow| couple(row, -1.0, flow));
        self.exchange.power(self.active, &self.properties, place, right)
    }
}
