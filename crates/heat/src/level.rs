//! One grid of the nested set: its state and one step of it.

use crate::exchange::{Active, Exchange, Frozen, Powers, SurfaceState};
use crate::kernels;
use crate::line::Line;
use crate::mesh::{Mesh, Row};
use crate::properties::Properties;
use crate::scheme::{Integrator, MOST_STAGES, Scheme};
use crate::solver::Solver;

/// Share of the largest local error that counts against the error averaged over the patch.
const LOCAL_SHARE: f64 = 0.1;
/// What exchange with the surroundings may add to the diagonal of a node elsewhere than on the worked face, in shares,
/// where a sweep that leaves it out stands for a solution.
const WEAK_EXCHANGE: f64 = 0.25;
/// Steps are short while `gamma h` is at most one over this in units of what the finest gap takes to feel its neighbour.
const SHORT: f64 = 0.03;
/// How far the diffusivities of all nodes may lie apart, as a ratio, where a sweep stands for a solution. (The two-stage
/// scheme would stay stable while that of the sweep is at least `1 / (4 gamma) = 0.854` of the fastest, but its errors
/// show well before that.)
const ALIKE: f64 = 1.1;

/// How the systems of a step are solved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum By {
    /// One sweep of line solves stands for each solution.
    Sweeps,
    /// To a share of this error of a step, K.
    Solving {
        /// That error, K.
        step_error_k: f64,
    },
}

/// State and work space of one grid.
#[derive(Clone, Debug)]
pub struct Level {
    /// Geometry.
    pub mesh: Mesh,
    /// Volume that the step error is averaged over, m3.
    patch_volume: f64,
    /// Least distance of neighbours, m.
    finest_gap: f64,
    /// Strongest exchange elsewhere than at the worked face, for the volume of its node, W/m3K.
    elsewhere: f64,
    exchange: Exchange,
    /// Slopes of the exchanges at the start of the step.
    frozen: Frozen,
    properties: Properties,
    scheme: &'static Scheme,
    active: Active,
    /// Enthalpy per volume of each node, J/m3: the conserved state.
    enthalpy: Vec<f64>,
    /// One over the diffusivity (s/m2) and net power (W) of each node of the state, kept current.
    per_diffusivity: Vec<f64>,
    /// Smallest and largest of one over the diffusivity, s/m2.
    diffusivity_ends: [f64; 2],
    power: Vec<f64>,
    powers: Powers,
    /// Smallest and largest enthalpy, J/m3.
    ends: [f64; 2],
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
            diffusivity_ends: [0.0; 2],
            power: zeros(),
            powers: Powers::default(),
            ends: [enthalpy; 2],
            booked: Powers::default(),
            before: (zeros(), Powers::default()),
            saved: (Vec::new(), Powers::default()),
            stages: scheme.m.iter().map(|_| zeros()).collect(),
            right: zeros(),
            solver: Solver::new(&mesh, patch_volume),
            solved: true,
            patch_volume,
            finest_gap: mesh.lines.iter().filter_map(Line::finest_gap).fold(f64::INFINITY, f64::min),
            elsewhere: exchange.elsewhere(&mesh),
            active: Active::default(),
            frozen: Frozen::default(),
            mesh,
            exchange,
            properties,
            scheme,
        };
        let [potential, _] = level.solver.scratch();
        level.properties.potentials(&level.enthalpy, potential, &mut level.per_diffusivity);
        level.diffusivity_ends = [level.per_diffusivity[0]; 2];
        level.refresh();
        level
    }

    /// Switches flame and arc.
    pub fn switch(&mut self, active: Active) {
        self.active = active;
        self.refresh();
    }

    /// Turns heaters with a thermostat to what it allows at the readings of the probes; returns the largest change.
    pub fn turn(&mut self, reading_c: &dyn Fn(usize) -> f64) -> f64 {
        let most = self.exchange.turn(reading_c);
        if most > 0.0 {
            self.refresh();
        }
        most
    }

    /// Solves so that the rates of [`Level::reading`] may be relied on over a step.
    pub fn read_rates(&mut self) {
        self.solver.for_rates = true;
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
        let [low, high] = self.ends;
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
        let line = &self.mesh.lines[2];
        let first = line.nodes[1] - line.nodes[0];
        // The work may lie on the floor of a pocket, where the lines are closest.
        let gap = if self.mesh.cut.is_some() { line.finest_gap().unwrap_or(first) } else { first };
        0.1 * gap * gap * self.diffusivity_ends[0]
    }

    /// Whether a step is so short, the metal so much alike everywhere, and the exchange elsewhere than at the worked face
    /// so weak that sweeps may stand for solutions.
    pub fn is_short(&self, step: f64) -> bool {
        let held = self.scheme.gamma * step;
        let [fast, slow] = self.diffusivity_ends;
        let per_capacity = self.properties.temperature(self.ends[0]).1;
        // The sweeps are those of the whole box: they guide a solution, but do not stand for one where metal is missing.
        self.mesh.cut.is_none()
            && fast * self.finest_gap * self.finest_gap >= SHORT * held
            && slow <= ALIKE * fast
            && self.elsewhere * per_capacity * held <= WEAK_EXCHANGE
    }

    /// Advances by `step` seconds and returns the error estimate of the step, K; infinite when a linear system could not
    /// be solved.
    pub fn advance(&mut self, step: f64, by: By) -> f64 {
        let scheme = self.scheme;
        let [low, high] = self.ends;
        let per_capacity = self.properties.temperature(low).1.max(self.properties.temperature(high).1);
        self.set_matrix(1.0 / (scheme.gamma * step), by);
        self.solved = true;
        let (mut booked, mut changes) = ([Powers::default(); MOST_STAGES], [Powers::default(); MOST_STAGES]);
        for stage in 0..scheme.m.len() {
            let (powers, change) = self.stage(stage, step, by, &changes);
            changes[stage] = change;
            let own = Powers::default().plus(scheme.gamma * step, powers.plus(1.0, change));
            let coupled = scheme.c[stage].iter().zip(&booked);
            booked[stage] = coupled.fold(own, |sum, (c, share)| sum.plus(scheme.gamma * c, *share));
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
        let mut estimate = vec![0.0; self.mesh.count[0]];
        let (mut squares, mut most) = (0.0, 0.0);
        for row in self.mesh.rows() {
            estimate.fill(0.0);
            kernels::add_stages(self.scheme.e, &self.stages, row.start, &mut estimate);
            let (sum, largest) = kernels::square_and_largest(row.weights, &estimate);
            squares += row.weight * sum;
            most = if largest <= most { most } else { largest };
        }
        let (mean, local) = ((squares / self.patch_volume).sqrt(), LOCAL_SHARE * most);
        // In this order, so that what is not a number stays so.
        if local > mean { local } else { mean }
    }

    /// Brings diffusivity and power up to date with the state.
    fn refresh(&mut self) {
        self.ends = kernels::span(&self.enthalpy);
        let [potential, _] = self.solver.scratch();
        if self.properties.are_constant() {
            self.properties.potentials_alone(&self.enthalpy, potential);
        } else {
            self.properties.potentials(&self.enthalpy, potential, &mut self.per_diffusivity);
            self.diffusivity_ends = kernels::span(&self.per_diffusivity);
        }
        let power = &mut self.power;
        self.mesh.each_outflow(potential, |row, flow| {
            for (power, flow) in power[row.start..].iter_mut().zip(flow) {
                *power = -flow;
            }
        });
        self.powers = self.exchange.power(self.active, &self.properties, &self.enthalpy, power);
    }

    /// Diagonal of `(V / (alpha gamma h) + slopes) + L'` in the potential, frozen for the step.
    fn set_matrix(&mut self, inverse: f64, by: By) {
        let [diagonal, worked] = self.solver.diagonal_mut();
        for row in self.mesh.rows() {
            let range = row.start..row.start + row.weights.len();
            let factor = inverse * row.weight;
            for ((d, w), a) in diagonal[range.clone()].iter_mut().zip(row.weights).zip(&self.per_diffusivity[range]) {
                *d = factor * w * a;
            }
        }
        let (properties, enthalpy, per_diffusivity) = (&self.properties, &self.enthalpy[..], &self.per_diffusivity[..]);
        let state = SurfaceState { properties, enthalpy, per_diffusivity };
        self.exchange.freeze(self.active, &state, &mut self.frozen, [diagonal, worked]);
        let [fast, slow] = self.diffusivity_ends;
        self.solver.factor(&self.mesh, [inverse * fast, inverse * slow], by == By::Sweeps);
    }

    /// Solves one stage into `self.stages[stage]` (J/m3); returns the powers at its own place, and their linearised
    /// change over the stage, W.
    fn stage(&mut self, stage: usize, step: f64, by: By, changes: &[Powers]) -> (Powers, Powers) {
        let powers = self.set_right(stage, step);
        let with_first = by != By::Sweeps && self.pair_up(stage);
        let (earlier, rest) = self.stages.split_at_mut(stage);
        let solution = &mut rest[0];
        let shift = match by {
            By::Sweeps => {
                let factor = 1.0 / (self.scheme.gamma * step);
                let own = (!self.properties.are_constant()).then_some((&self.per_diffusivity[..], factor));
                Some(self.solver.sweep(&self.right, own, solution))
            }
            By::Solving { step_error_k } => {
                let conductivity = 1.0 / (self.per_diffusivity[0] * self.properties.temperature(self.enthalpy[0]).1);
                let tolerance = self.scheme.solver_share * step_error_k * conductivity;
                self.solver.solve(&self.mesh, &mut self.right, tolerance, solution)
            }
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
        if !self.scheme.paired {
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
        let right = &mut self.right;
        let mut coupled = vec![0.0; self.mesh.count[0]];
        let mut couple = |row: Row<'_>, sign: f64, power: &[f64]| {
            coupled.fill(0.0);
            kernels::add_stages(scheme.c[stage], earlier, row.start, &mut coupled);
            let factor = row.weight / step;
            let right = &mut right[row.start..row.start + row.weights.len()];
            for (((right, w), c), p) in right.iter_mut().zip(row.weights).zip(&coupled).zip(power) {
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
