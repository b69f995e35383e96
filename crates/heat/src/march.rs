//! The nested grids marched side by side.
//!
//! All grids take the same steps and see the same switches, chosen from the extrapolated readings, so at every
//! instant their readings differ by the spacing alone and Richardson extrapolation needs no second run. A copy of
//! the middle grid takes every step in two halves: its difference measures the error of the steps.

use crate::case::Case;
use crate::curve::{Curve, Sample};
use crate::error::Error;
use crate::exchange::{Active, Exchange};
use crate::layout;
use crate::ledger::Ledger;
use crate::level::Level;
use crate::map::{Map, Mapper, Window};
use crate::mesh::Mesh;
use crate::properties::Properties;
use crate::run::{Accuracy, Grids, Method, Stats};
use crate::sampling::{Cloud, Reduction, Sampler, shared_points};
use crate::symmetry::Part;

/// Largest growth of a step over the one before.
const MOST_GROWTH: f64 = 3.0;
/// Safety factor on the step that the error estimate allows.
const SAFETY: f64 = 0.85;
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
pub struct March {
    /// Finest first; one alone for [`Grids::MiddleOnly`].
    levels: Vec<Level>,
    /// Which of the levels decides on the steps.
    control: usize,
    /// The control level with halved steps.
    halved: Option<Level>,
    samplers: Vec<Sampler>,
    clouds: Vec<Cloud>,
    part: Part,
    tolerance_k: f64,
    method: Method,
    start_j: f64,
    next_step: f64,
    /// Error bar of the reading at which the last stop by temperature was met, K: the stop came early or late by
    /// that much, and so is everything after it.
    stop_doubt_k: f64,
    /// Present time, s.
    pub time_s: f64,
    /// One curve per probe.
    pub curves: Vec<Curve>,
    /// Size of the work.
    pub stats: Stats,
    /// Coldest and hottest so far, Celsius.
    pub span_c: [f64; 2],
}

impl March {
    /// The march of a checked case, at its start.
    pub fn new(case: &Case, accuracy: &Accuracy, method: Method) -> Result<March, Error> {
        let part = Part::of(case);
        let properties = Properties::of(&case.material);
        let start = case.material.enthalpy(case.start_c);
        let level = |lines: [Vec<f64>; 3]| {
            let mesh = Mesh::of_box(lines);
            let exchange = Exchange::new(case, &mesh, part.open());
            Level::new(mesh, exchange, properties.clone(), method.integrator, start)
        };
        let [fine, middle, coarse] = layout::nested(layout::finest(case, &part, accuracy.cells_across));
        let (levels, control) = match accuracy.grids {
            Grids::Nested => (vec![level(fine), level(middle), level(coarse)], 1),
            Grids::MiddleOnly => (vec![level(middle)], 0),
        };
        let mut clouds: Vec<Cloud> = case.probes.iter().map(|p| Cloud::of(p, case.block.size)).collect();
        if let Some(probe) = clouds.iter().position(|c| c.points.is_empty()) {
            return Err(Error::OffTheCasting { what: format!("probe {}", case.probes[probe].name) });
        }
        let places = shared_points(&mut clouds, &part);
        let samplers = levels.iter().map(|l| Sampler::new(&places, &l.mesh)).collect();
        let mut march = March {
            halved: (accuracy.grids == Grids::Nested).then(|| levels[control].clone()),
            start_j: levels[0].stored(),
            stats: Stats { cells: levels[0].mesh.len(), ..Stats::default() },
            curves: vec![Curve::default(); case.probes.len()],
            next_step: 0.0,
            stop_doubt_k: 0.0,
            time_s: 0.0,
            span_c: [case.start_c; 2],
            tolerance_k: accuracy.step_error_k,
            levels,
            control,
            samplers,
            clouds,
            part,
            method,
        };
        march.record(Edge::Both);
        march.next_step = march.levels[control].first_step();
        Ok(march)
    }

    /// Switches flame and arc, and starts again with a small step.
    pub fn switch(&mut self, active: Active) {
        for level in self.levels.iter_mut().chain(&mut self.halved) {
            level.switch(active);
        }
        self.next_step = self.levels[self.control].first_step();
        self.record(Edge::After);
    }

    /// Marches to `until_s`, or to the instant at which `stop` is met; returns whether it was.
    pub fn advance(&mut self, until_s: f64, stop: Option<Stop>) -> Result<bool, Error> {
        if stop.is_some_and(|stop| self.met(&stop)) {
            return Ok(true);
        }
        while self.time_s < until_s {
            self.step_towards(until_s)?;
            if let Some(stop) = &stop
                && self.met(stop)
            {
                self.step_back_to(stop)?;
                self.doubt(stop.probe);
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// The heat booked on the finest grid, for the whole casting.
    pub fn ledger(&self) -> Ledger {
        let level = &self.levels[0];
        level.booked.ledger(level.stored() - self.start_j, self.part.share())
    }

    /// The ledgers of all grids, finest first, the halved-step one last.
    pub fn ledgers(&self) -> Vec<Ledger> {
        let start = |level: &Level| {
            self.start_j * level.mesh.volume.iter().sum::<f64>() / self.levels[0].mesh.volume.iter().sum::<f64>()
        };
        let ledger = |level: &Level| level.booked.ledger(level.stored() - start(level), self.part.share());
        self.levels.iter().chain(&self.halved).map(ledger).collect()
    }

    /// What reads maps of the control level.
    pub fn mapper(&self, window: &Window) -> Mapper {
        Mapper::new(window, &self.levels[self.control], &self.part)
    }

    /// The maps of the present instant, from the control level.
    pub fn map(&self, mapper: &Mapper) -> Map {
        mapper.read(&self.levels[self.control], self.time_s)
    }

    /// The symmetry used.
    pub fn model(&self) -> &'static str {
        self.part.name()
    }

    /// Takes the bar of the stopping reading along, in place of that of an earlier stop.
    fn doubt(&mut self, probe: usize) {
        if let Some(last) = self.curves[probe].samples().last() {
            self.stop_doubt_k = last.grid_k + last.time_k - self.stop_doubt_k;
        }
    }

    fn met(&self, stop: &Stop) -> bool {
        let samples = self.curves[stop.probe].samples();
        samples.last().is_some_and(|s| (s.value_c >= stop.temperature_c) == stop.rising)
    }

    /// One accepted step, no further than `until_s`.
    fn step_towards(&mut self, until_s: f64) -> Result<(), Error> {
        let start_s = self.time_s;
        let left = until_s - start_s;
        if let Some(equal_s) = self.method.equal_steps_s {
            return self.equal_step(left / (left / equal_s - 1e-9).ceil().max(1.0), until_s);
        }
        loop {
            let step = shortened(self.next_step, left);
            let error = self.try_step(step);
            let share = (error / self.tolerance_k).max(1e-6);
            let growth = (SAFETY * share.powf(-1.0 / f64::from(self.method.integrator.order()))).min(MOST_GROWTH);
            if error <= self.tolerance_k {
                // A step cut short by an output time says nothing against the longer one planned.
                self.next_step = if growth < 1.0 { step * growth } else { self.next_step.max(step * growth) };
                self.time_s = if step == left { until_s } else { start_s + step };
                self.stats.steps += 1;
                self.record(Edge::Both);
                return self.checked();
            }
            self.restore();
            self.stats.rejected += 1;
            self.next_step = step * if error.is_finite() { growth.clamp(0.1, 0.8) } else { 0.25 };
            if self.next_step < SMALLEST_STEP {
                return Err(Error::StepTooSmall { time_s: start_s, step_s: self.next_step });
            }
        }
    }

    /// A step of a given length, whatever its error.
    fn equal_step(&mut self, step: f64, until_s: f64) -> Result<(), Error> {
        for level in self.levels.iter_mut().chain(&mut self.halved) {
            level.save();
        }
        self.levels[self.control].advance(step, self.tolerance_k);
        self.follow(step);
        let left = until_s - self.time_s;
        self.time_s = if step >= left * (1.0 - 1e-9) { until_s } else { self.time_s + step };
        self.stats.steps += 1;
        self.record(Edge::Both);
        self.checked()
    }

    /// Tries a step on the control level and, if its error passes, on all others; returns the error, K.
    fn try_step(&mut self, step: f64) -> f64 {
        for level in self.levels.iter_mut().chain(&mut self.halved) {
            level.save();
        }
        let error = self.levels[self.control].advance(step, self.tolerance_k);
        if error <= self.tolerance_k && !self.follow(step) { f64::INFINITY } else { error }
    }

    /// The other grids take the step that the control level has taken; returns whether all could.
    fn follow(&mut self, step: f64) -> bool {
        let (control, tolerance) = (self.control, self.tolerance_k);
        let mut fine = true;
        for (_, level) in self.levels.iter_mut().enumerate().filter(|(n, _)| *n != control) {
            fine &= level.advance(step, tolerance).is_finite();
        }
        if let Some(level) = &mut self.halved {
            fine &= level.advance(0.5 * step, tolerance).is_finite();
            fine &= level.advance(0.5 * step, tolerance).is_finite();
        }
        self.stats.iterations = self.levels[0].iterations();
        fine
    }

    fn restore(&mut self) {
        for level in self.levels.iter_mut().chain(&mut self.halved) {
            level.restore();
        }
    }

    /// Takes the last step back and repeats it up to the instant at which the stop is met.
    fn step_back_to(&mut self, stop: &Stop) -> Result<(), Error> {
        let curve = &self.curves[stop.probe];
        let [.., before, after] = curve.samples() else { return Ok(()) };
        let (from, to) = (before.time_s, after.time_s);
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
        for curve in &mut self.curves {
            curve.pop();
        }
        // Part of a step that has just been accepted: its error is smaller still.
        self.try_step(step);
        self.time_s = from + step;
        self.record(Edge::Both);
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
    fn record(&mut self, edge: Edge) {
        let readings: Vec<Vec<[f64; 2]>> =
            self.samplers.iter().zip(&self.levels).map(|(sampler, level)| sampler.read(level)).collect();
        let halved = self.halved.as_ref().map(|level| self.samplers[self.control].read(level));
        let gain = 2.0_f64.powi(self.method.integrator.order());
        let step_share = gain / (gain - 1.0);
        let estimate = |n: usize| match &halved {
            Some(halved) => {
                let at = [readings[0][n], readings[1][n], readings[2][n]];
                Estimate::nested(at, halved[n], step_share)
            }
            None => Estimate::single(readings[0][n]),
        };
        let estimates: Vec<Estimate> = (0..readings[0].len()).map(estimate).collect();
        for (cloud, curve) in self.clouds.iter().zip(&mut self.curves) {
            let own = cloud.places.iter().map(|&place| estimates[place]);
            let mut estimate = reduce(cloud, own);
            estimate.grid += self.stop_doubt_k;
            edge.push(curve, self.time_s, estimate);
        }
    }
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

/// Whether a reading opens a new instant or corrects the rate after a switch.
#[derive(Clone, Copy, PartialEq)]
enum Edge {
    Both,
    After,
}

impl Edge {
    fn push(self, curve: &mut Curve, time_s: f64, e: Estimate) {
        match (self, curve.last_mut()) {
            (Edge::After, Some(last)) => last.rate_after = e.rate,
            _ => curve.push(Sample {
                time_s,
                value_c: e.value,
                rate_before: e.rate,
                rate_after: e.rate,
                grid_k: e.grid,
                time_k: e.time,
            }),
        }
    }
}

/// One extrapolated reading with its error bars.
#[derive(Clone, Copy, Debug)]
struct Estimate {
    value: f64,
    rate: f64,
    grid: f64,
    time: f64,
}

impl Estimate {
    /// From the three grids, finest first, and the middle one with halved steps; `[temperature, rate]` each.
    fn nested([fine, middle, coarse]: [[f64; 2]; 3], halved: [f64; 2], step_share: f64) -> Estimate {
        let steps = (halved[0] - middle[0]) * step_share;
        let step_rate = (halved[1] - middle[1]) * step_share;
        let (near, far) = (fine[0] - middle[0], middle[0] - coarse[0]);
        let (share, doubt) = extrapolation(near, far);
        Estimate {
            value: fine[0] + share * near + steps,
            rate: fine[1] + share * (fine[1] - middle[1]) + step_rate,
            grid: doubt * near.abs(),
            time: 0.5 * steps.abs(),
        }
    }

    fn single([value, rate]: [f64; 2]) -> Estimate {
        Estimate { value, rate, grid: 0.0, time: 0.0 }
    }
}

/// What to add to the fine reading, as a share of fine - middle, and the error bar as another share of it.
///
/// With the ratio `R = (middle - coarse) / (fine - middle)` Aitken's extrapolation adds `1 / (R - 1)`. Inside the
/// metal the scheme is of second order, `R = 4`, and the share is Richardson's 1/3. Under the rim of a patch the
/// flux jumps, the measured order is about 1.5 and `R` about 2.9: there Aitken's share is used (it brings the rim
/// of the first yardstick from 0.52 to 0.16 K). Where the grids do not approach at all, Richardson's share stands
/// and the bar is wide. The bar is a tenth of the last difference, and what Aitken and Richardson disagree by.
fn extrapolation(near: f64, far: f64) -> (f64, f64) {
    const RICHARDSON: f64 = 1.0 / 3.0;
    const SETTLED: f64 = 0.1;
    let ratio = if near == 0.0 { 4.0 } else { far / near };
    let aitken = 1.0 / (ratio.max(2.0) - 1.0);
    let disagreement = (aitken - RICHARDSON).abs();
    // Aitken up to R = 3, Richardson from 3.5, and a straight passage, so that readings stay continuous in time.
    let rim = ((3.5 - ratio) / 0.5).clamp(0.0, 1.0);
    if ratio >= 2.0 {
        (RICHARDSON + rim * (aitken - RICHARDSON), SETTLED + disagreement)
    } else {
        let trust = (ratio - 1.0).clamp(0.0, 1.0);
        (RICHARDSON + trust * (1.0 - RICHARDSON), SETTLED + 1.0 + 0.25 * ratio.abs())
    }
}

/// Makes one estimate of a probe's points.
fn reduce(cloud: &Cloud, estimates: impl Iterator<Item = Estimate>) -> Estimate {
    let zero = Estimate { value: 0.0, rate: 0.0, grid: 0.0, time: 0.0 };
    match cloud.reduction {
        Reduction::Mean => estimates.zip(&cloud.points).fold(zero, |sum, (e, p)| Estimate {
            value: sum.value + p.weight * e.value,
            rate: sum.rate + p.weight * e.rate,
            grid: sum.grid + p.weight * e.grid,
            time: sum.time + p.weight * e.time,
        }),
        Reduction::Coldest => estimates.reduce(|a, b| if b.value < a.value { b } else { a }).unwrap_or(zero),
        Reduction::Hottest => estimates.reduce(|a, b| if b.value > a.value { b } else { a }).unwrap_or(zero),
    }
}
