//! The nested grids marched side by side.
//!
//! All grids take the same steps and see the same switches, chosen from the extrapolated readings, so at every
//! instant their readings differ by the spacing alone and Richardson extrapolation needs no second run. A copy of
//! the middle grid takes every step in two halves: its difference measures the error of the steps.

use crate::beside::Thermostat;
use crate::case::{Case, Face, Torch};
use crate::curve::Curve;
use crate::edges::Edges;
use crate::error::Error;
use crate::exchange::{Active, Exchange, Powers};
use crate::forecast;
use crate::layout;
use crate::ledger::Ledger;
use crate::level::{By, Level};
use crate::map::{Field, FieldReader, Map, Mapper, Window};
use crate::mesh::Mesh;
use crate::properties::Properties;
use crate::readings::{Doubt, Reader, settled};
use crate::run::{Accuracy, Grids, Method, Model, Stats};
use crate::sampling::{Cloud, Sampler, shared_points};
use crate::scheme::Integrator;
use crate::symmetry::Part;

/// Largest growth of a step over the one before.
const MOST_GROWTH: f64 = 6.0;
/// Largest growth of what is remembered of first steps from one switch to the next.
const MOST_LEARNT: f64 = 1.5;
/// Safety factor on the step that the error estimate allows.
const SAFETY: f64 = 0.85;
/// Times that what the linear solver leaves may show in a reading.
const AMPLIFIED: f64 = 3.0;
/// Tolerances that a step may err by on the grids that do not control it. Elsewhere they err by about one; through a
/// sharp peak of specific heat a finer grid can run away on a step that the control grid takes with ease.
const MOST_APART: f64 = 10.0;
/// Largest change of what a thermostat reads within its band over one step, in tolerances of a step.
const MOST_TURN: f64 = 0.25;
/// Steps as short as this may change it by more, s.
const SHORTEST_TURN_S: f64 = 0.05;
/// Steps below this end the run with an error, s.
const SMALLEST_STEP: f64 = 1e-9;

/// Where an advance is to stop before its time is up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// Probe.
    pub probe: usize,
    /// Temperature, Celsius.
    pub temperature_c: f64,
    /// Whether it is to be reached from below (true) or undershot from above.
    pub rising: bool,
}

/// The state of a march.
#[derive(Clone)]
pub struct March {
    /// Finest first; one alone for [`Grids::MiddleOnly`].
    levels: Vec<Level>,
    /// Which of the levels decides on the steps.
    control: usize,
    /// The control level with halved steps.
    halved: Option<Level>,
    reader: Reader,
    part: Part,
    /// Depth of the floor of the work, m.
    floor: f64,
    model_reason: String,
    /// What the edges of the block change at a body of revolution.
    edges: Option<Edges>,
    tolerance_k: f64,
    /// Those of the torches and heaters.
    thermostats: Vec<Thermostat>,
    method: Method,
    start_j: f64,
    next_step: f64,
    /// First steps that did after each kind of switch.
    first_steps: Vec<(Active, f64)>,
    /// The switch after which no step has been taken yet.
    switched_to: Option<Active>,
    /// What a stop by temperature that came early or late leaves behind.
    doubt: Doubt,
    /// Present time, s.
    pub time_s: f64,
    /// Size of the work.
    pub stats: Stats,
    /// Coldest and hottest so far, Celsius.
    pub span_c: [f64; 2],
}

impl March {
    /// The march of a checked case, at its start.
    pub fn new(case: &Case, accuracy: &Accuracy, method: Method) -> Result<March, Error> {
        let (part, model_reason) = with_its_faces(case, accuracy.model)?;
        let properties = Properties::of(&case.material);
        let start = case.material.enthalpy(case.start_c);
        let floor = case.floor_depth();
        let patch = layout::narrowest(case).map(|half_width| half_width.powi(3));
        let patch_volume = part.share() * patch.unwrap_or(case.block.size.iter().product());
        let level = |lines: [Vec<f64>; 3]| {
            let mesh = Mesh::new(part.lines(lines)).without(&case.hollows);
            let exchange = Exchange::new(case, &mesh, &part);
            Level::new((mesh, patch_volume), exchange, properties.clone(), method.integrator, start)
        };
        let finest = layout::finest(case, &part, accuracy.cells_across);
        forecast::of_grid(case, accuracy, method, &finest)?;
        let [fine, middle, coarse] = layout::nested(finest);
        let (levels, control) = match accuracy.grids {
            Grids::Nested => (vec![level(fine), level(middle), level(coarse)], 1),
            Grids::MiddleOnly => (vec![level(middle)], 0),
        };
        let mut clouds: Vec<Cloud> =
            case.probes.iter().map(|p| Cloud::of(p, case.block.size, (&case.hollows, floor))).collect();
        if let Some(probe) = clouds.iter().position(|c| c.points.is_empty()) {
            return Err(Error::OffTheCasting { what: format!("probe {}", case.probes[probe].name) });
        }
        let spacing = layout::patch_spacing(case, accuracy.cells_across);
        let noise_k = AMPLIFIED * method.integrator.solver_share() * accuracy.step_error_k;
        let places = shared_points(&mut clouds, &part);
        let at_a_jump = |at: &[f64; 3]| {
            let near = |torch: &Torch| {
                torch.face == Face::Worked && torch.patch.distance([at[0], at[1]]).abs() < 0.5 * spacing
            };
            (at[2] - floor).abs() < 0.5 * spacing && case.all_torches().any(near)
        };
        let settled = places.iter().map(|at| settled(at_a_jump(at))).collect();
        let samplers = levels.iter().map(|l| Sampler::new(&places, &l.mesh)).collect();
        let mut march = March {
            halved: (accuracy.grids == Grids::Nested).then(|| levels[control].clone()),
            start_j: levels[0].stored(),
            stats: Stats { cells: levels[0].mesh.cells(), ..Stats::default() },
            next_step: 0.0,
            first_steps: Vec::new(),
            switched_to: None,
            doubt: Doubt { probes_k: vec![0.0; case.probes.len()], ..Doubt::default() },
            time_s: 0.0,
            span_c: [case.start_c; 2],
            tolerance_k: accuracy.step_error_k,
            thermostats: case.all_torches().filter_map(|torch| torch.thermostat).collect(),
            levels,
            control,
            reader: Reader::new(samplers, clouds, control, (method.integrator.order(), noise_k), settled),
            edges: part.edges(case),
            part,
            floor,
            model_reason,
            method,
        };
        // The rates of the readings are those of this grid alone.
        march.halved.as_mut().unwrap_or(&mut march.levels[control]).read_rates();
        march.record();
        march.next_step = march.levels[control].first_step();
        Ok(march)
    }

    /// Switches flame and arc, and starts again with a small step.
    pub fn switch(&mut self, active: Active) {
        for level in self.levels.iter_mut().chain(&mut self.halved) {
            level.switch(active);
        }
        let known = self.first_steps.iter().find(|(kind, _)| *kind == active);
        let longest = self.levels[self.control].first_step();
        self.next_step = known.map_or(longest, |(_, step)| step.min(longest));
        self.switched_to = Some(active);
        self.reader.switched(&self.levels, self.halved.as_ref(), self.time_s);
    }

    /// One step towards `until_s`, or to the instant at which `stop` is met; returns whether it was.
    pub fn step(&mut self, until_s: f64, stop: Option<Stop>) -> Result<bool, Error> {
        let Some(stop) = stop else { return self.step_towards(until_s).map(|()| false) };
        if self.met(&stop) {
            return Ok(true);
        }
        self.step_towards(until_s)?;
        let met = self.met(&stop);
        if met {
            self.step_back_to(&stop)?;
            self.doubt(stop.probe);
        }
        Ok(met)
    }

    /// The heat booked on the finest grid, for the whole casting.
    pub fn ledger(&self) -> Ledger {
        let level = &self.levels[0];
        level.booked.ledger(level.stored() - self.start_j, self.part.share())
    }

    /// The ledgers of all grids, finest first, the halved-step one last.
    pub fn ledgers(&self) -> Vec<Ledger> {
        let start = |level: &Level| self.start_j * (level.volume() / self.levels[0].volume());
        let ledger = |level: &Level| level.booked.ledger(level.stored() - start(level), self.part.share());
        self.levels.iter().chain(&self.halved).map(ledger).collect()
    }

    /// What reads maps of the control level.
    pub fn mapper(&self, window: &Window) -> Mapper {
        Mapper::new((window, self.floor), &self.levels[self.control], &self.part)
    }

    /// The maps of the present instant, from the control level.
    pub fn map(&self, mapper: &Mapper) -> Map {
        mapper.read(&self.levels[self.control], (self.time_s, self.ledger()))
    }

    /// What reads fields of the control level.
    pub fn field_reader(&self, lines: &[Vec<f64>; 3]) -> FieldReader {
        FieldReader::new(lines, &self.levels[self.control], &self.part)
    }

    /// The field of the present instant, from the control level.
    pub fn field(&self, reader: &FieldReader) -> Field {
        reader.read(&self.levels[self.control], self.time_s)
    }

    /// The curves of all probes.
    pub fn into_curves(self) -> Vec<Curve> {
        self.reader.curves
    }

    /// The symmetry used.
    pub fn model(&self) -> &'static str {
        self.part.name()
    }

    /// Why that one.
    pub fn model_reason(&self) -> &str {
        &self.model_reason
    }

    /// Takes the bar of the stopping reading along: the stop came early or late by that bar over the slope, and every
    /// other probe was then off by as much as it changed meanwhile. It stands in place of that of an earlier stop, but the
    /// clock keeps both. What the edges change is left out: it shifts this reading and those after it alike.
    fn doubt(&mut self, probe: usize) {
        let last_of = |probe: usize| self.reader.curves[probe].samples().last().copied();
        let Some(last) = last_of(probe) else { return };
        let own_k = last.grid_k + last.time_k - self.doubt.probes_k[probe] - self.edges_effect_k();
        let own_s = own_k.max(0.0) / last.rate_before.abs().max(f64::MIN_POSITIVE);
        let rates = (0..self.doubt.probes_k.len()).map(|n| last_of(n).map_or(0.0, |sample| sample.rate_before.abs()));
        self.doubt.probes_k = rates.map(|rate| own_s * rate).collect();
        self.doubt.clock_s += own_s;
    }

    /// What the edges of the block may change at present, K.
    fn edges_effect_k(&self) -> f64 {
        let Powers { torch, heaters, arc, .. } = self.levels[0].booked;
        let heat_j = torch + heaters + arc;
        self.edges.as_ref().map_or(0.0, |edges| edges.effect(self.time_s, heat_j))
    }

    /// Whether the latest reading meets a stop.
    pub fn met(&self, stop: &Stop) -> bool {
        let samples = self.reader.curves[stop.probe].samples();
        samples.last().is_some_and(|s| (s.value_c >= stop.temperature_c) == stop.rising)
    }

    /// One accepted step, no further than `until_s`.
    fn step_towards(&mut self, until_s: f64) -> Result<(), Error> {
        let start_s = self.time_s;
        let left = until_s - start_s;
        if let Some(equal_s) = self.method.equal_steps_s {
            return self.equal_step(left / (left / equal_s - 1e-9).ceil().max(1.0), until_s);
        }
        self.turn();
        loop {
            let step = shortened(self.next_step, left);
            let error = self.try_step(step);
            let share = (error / self.tolerance_k).max(1e-6);
            let growth = (SAFETY * share.powf(-1.0 / f64::from(self.method.integrator.order()))).min(MOST_GROWTH);
            if error <= self.tolerance_k {
                // A step cut short by an output time says nothing against the longer one planned.
                self.next_step = if growth < 1.0 { step * growth } else { self.next_step.max(step * growth) };
                self.learn(step, growth);
                self.time_s = if step == left { until_s } else { start_s + step };
                self.record();
                if self.turns_too_far(step) {
                    self.restore();
                    self.reader.take_back();
                    self.time_s = start_s;
                    self.stats.rejected += 1;
                    self.next_step = 0.5 * step;
                    continue;
                }
                self.stats.steps += 1;
                return self.checked();
            }
            self.stats.rejected += 1;
            self.next_step = step * if error.is_finite() { growth.clamp(0.1, 0.8) } else { 0.25 };
            if self.next_step < SMALLEST_STEP {
                return Err(Error::StepTooSmall { time_s: start_s, step_s: self.next_step });
            }
        }
    }

    /// Turns every thermostat to the present readings.
    fn turn(&mut self) {
        if self.thermostats.is_empty() {
            return;
        }
        let Reader { curves, .. } = &self.reader;
        let reading_c = |probe: usize| curves[probe].samples().last().map_or(f64::NAN, |sample| sample.value_c);
        for level in self.levels.iter_mut().chain(&mut self.halved) {
            level.turn(&reading_c);
        }
    }

    /// Whether the readings after a step ask for another power than it was taken with; when they do not, keeps the next step
    /// so short that it stays so.
    fn turns_too_far(&mut self, step: f64) -> bool {
        let curves = &self.reader.curves;
        let change = |thermostat: &Thermostat| {
            let samples = curves[thermostat.probe].samples();
            let shares = self.reader.step_start().map(|from_s| {
                let before = samples.iter().rfind(|sample| sample.time_s <= from_s);
                [before, samples.last()].map(|sample| sample.map_or(1.0, |sample| thermostat.share(sample.value_c)))
            });
            shares.map_or(0.0, |[before, after]| (after - before).abs() * thermostat.band_k / self.tolerance_k)
        };
        let most = self.thermostats.iter().map(change).fold(0.0, f64::max);
        if most > MOST_TURN && step > SHORTEST_TURN_S {
            return true;
        }
        if most > 0.0 {
            self.next_step = self.next_step.min(step * (SAFETY * MOST_TURN / most).max(SAFETY));
        }
        false
    }

    /// Remembers what the first step after a switch of this kind could have been, for the next one: a repair repeats
    /// the same few switches many times over.
    fn learn(&mut self, step: f64, growth: f64) {
        let Some(active) = self.switched_to.take() else { return };
        let step = step * growth.min(MOST_LEARNT);
        match self.first_steps.iter_mut().find(|(kind, _)| *kind == active) {
            Some((_, known)) => *known = step,
            None => self.first_steps.push((active, step)),
        }
    }

    /// A step of a given length, whatever its error.
    fn equal_step(&mut self, step: f64, until_s: f64) -> Result<(), Error> {
        self.turn();
        self.take(step);
        let left = until_s - self.time_s;
        self.time_s = if step >= left * (1.0 - 1e-9) { until_s } else { self.time_s + step };
        self.stats.steps += 1;
        self.record();
        self.checked()
    }

    /// Tries a step on the control level and, if its error passes, on all others; returns the error, K. A step that
    /// does not pass is taken back.
    fn try_step(&mut self, step: f64) -> f64 {
        let by = self.by(step);
        let error = self.levels[self.control].advance(step, by);
        if error <= self.tolerance_k {
            if self.follow(step, by) {
                return error;
            }
            self.restore();
            return f64::INFINITY;
        }
        self.levels[self.control].undo();
        error
    }

    /// All grids take a step, whatever its error.
    fn take(&mut self, step: f64) {
        let by = self.by(step);
        self.levels[self.control].advance(step, by);
        self.follow(step, by);
    }

    /// How the systems of a step are to be solved: alike on all grids, so that their readings differ by the spacing
    /// alone, and as the finest of them asks.
    fn by(&self, step: f64) -> By {
        let sweeps = self.method.integrator == Integrator::Ros2 && self.levels[0].is_short(step);
        if sweeps { By::Sweeps } else { By::Solving { step_error_k: self.tolerance_k } }
    }

    /// The other grids take the step that the control level has taken; returns whether all could.
    fn follow(&mut self, step: f64, by: By) -> bool {
        let (control, most_k) = (self.control, MOST_APART * self.tolerance_k);
        let mut fine = true;
        for (_, level) in self.levels.iter_mut().enumerate().filter(|(n, _)| *n != control) {
            fine &= level.advance(step, by) <= most_k;
        }
        if let Some(level) = &mut self.halved {
            level.save();
            // It measures the error of the steps, so it does without the sweeps, whose error is one of them.
            let by = By::Solving { step_error_k: self.tolerance_k };
            fine &= level.advance(0.5 * step, by) <= most_k;
            self.reader.take_middle(level);
            fine &= level.advance(0.5 * step, by) <= most_k;
        }
        self.stats.iterations = self.levels[0].iterations();
        fine
    }

    fn restore(&mut self) {
        self.levels.iter_mut().for_each(Level::undo);
        if let Some(level) = &mut self.halved {
            level.restore();
        }
    }

    /// Takes the last step back and repeats it up to the instant at which the stop is met.
    fn step_back_to(&mut self, stop: &Stop) -> Result<(), Error> {
        let curve = &self.reader.curves[stop.probe];
        let (Some(from), to) = (self.reader.step_start(), self.time_s) else { return Ok(()) };
        let crossing = if stop.rising {
            curve.rises_to(stop.temperature_c, from, to)
        } else {
            curve.falls_below(stop.temperature_c, from, to)
        };
        let step = crossing.map_or(to, |c| c.time_s) - from;
        if step <= 0.0 || step >= (to - from) * (1.0 - 1e-9) {
            return Ok(());
        }
        self.restore();
        self.reader.take_back();
        // Part of a step that has just been accepted: its error is smaller still.
        self.take(step);
        self.time_s = from + step;
        self.record();
        self.checked()
    }

    fn checked(&mut self) -> Result<(), Error> {
        match self.levels[self.control].span() {
            Ok([low, high]) => {
                self.span_c = [self.span_c[0].min(low), self.span_c[1].max(high)];
                Ok(())
            }
            Err(cell) => Err(Error::NotANumber { time_s: self.time_s, cell }),
        }
    }

    /// Reads every probe on every grid.
    fn record(&mut self) {
        self.doubt.edges_k = self.edges_effect_k();
        self.reader.record(&self.levels, self.halved.as_ref(), self.time_s, &self.doubt);
    }
}

/// The part to solve; a body of revolution has no sides for heaters and covers.
fn with_its_faces(case: &Case, model: Model) -> Result<(Part, String), Error> {
    let (part, why) = Part::of(case, model);
    let mut faces = case.all_torches().map(|torch| torch.face).chain(case.covers.iter().map(|cover| cover.face));
    let on_a_side = faces.any(|face| !matches!(face, Face::Worked | Face::Back));
    if part.is_revolved() && on_a_side { Err(Error::NoSides) } else { Ok((part, why)) }
}

/// A step that neither overshoots what is left nor leaves a sliver.
fn shortened(step: f64, left: f64) -> f64 {
    if step >= left {
        left
    } else if 2.0 * step > left {
        0.5 * left
    } else {
        step
    }
}
