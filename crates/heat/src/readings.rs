//! What the probes read on all grids, extrapolated, with error bars.

use crate::curve::{Curve, Sample};
use crate::level::Level;
use crate::sampling::{Cloud, Reduction, Sampler};

/// Reads every place that a probe looks at, on every grid, and keeps the curves.
#[derive(Clone)]
pub struct Reader {
    samplers: Vec<Sampler>,
    clouds: Vec<Cloud>,
    /// Which level the halved steps belong to.
    control: usize,
    /// What the difference of halved and whole steps says of the halved ones' error.
    step_share: f64,
    /// What the linear solver may leave in a reading, K.
    noise_k: f64,
    /// For each place, the share of the last difference between grids that its bar is at least.
    settled: Vec<f64>,
    /// The instant before the last step, and the last.
    instants: [Option<Instant>; 2],
    /// Readings of the halved-step grid in the middle of the step under way.
    middle: Option<Vec<[f64; 2]>>,
    /// One curve per probe.
    pub curves: Vec<Curve>,
}

/// What comes on top of the bars that the grids and steps give.
#[derive(Clone, Debug, Default)]
pub struct Doubt {
    /// What the edges of a block may change at a body of revolution, K.
    pub edges_k: f64,
    /// How far each probe was off when the last stop by temperature was met, K.
    pub probes_k: Vec<f64>,
    /// How far all stops together may have shifted the clock, s.
    pub clock_s: f64,
}

/// All places at one instant.
#[derive(Clone)]
struct Instant {
    time_s: f64,
    estimates: Vec<Estimate>,
    halved: Vec<[f64; 2]>,
}

impl Reader {
    /// For samplers of the levels, finest first, and the probes' clouds; with the order of the steps and what the
    /// linear solver may leave in a reading, K.
    pub fn new(
        samplers: Vec<Sampler>,
        clouds: Vec<Cloud>,
        control: usize,
        (order, noise_k): (i32, f64),
        settled: Vec<f64>,
    ) -> Reader {
        let gain = 2.0_f64.powi(order);
        let curves = vec![Curve::default(); clouds.len()];
        let step_share = gain / (gain - 1.0);
        Reader { samplers, clouds, control, step_share, noise_k, settled, instants: [None, None], middle: None, curves }
    }

    /// Reads the halved-step grid after the first half of a step.
    pub fn take_middle(&mut self, halved: &Level) {
        self.middle = Some(self.samplers[self.control].read(halved));
    }

    /// Adds the present instant to the curves, and before it the middle of the step that led to it; `doubt` goes on
    /// top of the bars.
    pub fn record(&mut self, levels: &[Level], halved: Option<&Level>, time_s: f64, doubt: &Doubt) {
        let now = self.instant(levels, halved, time_s);
        if let (Some(before), Some(middle)) = (&self.instants[1], self.middle.take()) {
            let between = between(before, &now, &middle);
            self.push(&between, doubt);
        }
        self.push(&now, doubt);
        self.instants.swap(0, 1);
        self.instants[1] = Some(now);
    }

    /// Reads again after a switch: the temperatures are the same, the rates from here on are not.
    pub fn switched(&mut self, levels: &[Level], halved: Option<&Level>, time_s: f64) {
        let now = self.instant(levels, halved, time_s);
        for (cloud, curve) in self.clouds.iter().zip(&mut self.curves) {
            if let Some(last) = curve.last_mut() {
                last.rate_after = reduce(cloud, &now.estimates).rate;
            }
        }
        self.instants[1] = Some(now);
    }

    /// Takes the last step back; returns its start, s.
    pub fn take_back(&mut self) -> Option<f64> {
        let before = self.instants[0].take()?;
        let start_s = before.time_s;
        for curve in &mut self.curves {
            curve.cut_after(start_s);
        }
        self.instants[1] = Some(before);
        Some(start_s)
    }

    /// Start of the last step, s.
    pub fn step_start(&self) -> Option<f64> {
        self.instants[0].as_ref().map(|instant| instant.time_s)
    }

    fn instant(&self, levels: &[Level], halved: Option<&Level>, time_s: f64) -> Instant {
        let readings: Vec<Vec<[f64; 2]>> =
            self.samplers.iter().zip(levels).map(|(sampler, level)| sampler.read(level)).collect();
        let halved = halved.map(|level| self.samplers[self.control].read(level));
        let estimate = |n: usize| match &halved {
            Some(halved) => {
                let at = [readings[0][n], readings[1][n], readings[2][n]];
                Estimate::nested(at, halved[n], (self.step_share, self.noise_k), self.settled[n])
            }
            None => Estimate::single(readings[0][n]),
        };
        let estimates = (0..readings[0].len()).map(estimate).collect();
        Instant { time_s, estimates, halved: halved.unwrap_or_default() }
    }

    fn push(&mut self, instant: &Instant, doubt: &Doubt) {
        for ((cloud, curve), stop_k) in self.clouds.iter().zip(&mut self.curves).zip(&doubt.probes_k) {
            let e = reduce(cloud, &instant.estimates);
            curve.push(Sample {
                time_s: instant.time_s,
                value_c: e.value,
                rate_before: e.rate,
                rate_after: e.rate,
                grid_k: e.grid + stop_k + doubt.edges_k,
                clock_s: doubt.clock_s,
                time_k: e.time,
            });
        }
    }
}

/// The middle of a step. The cubic through both ends is off there by what the halved-step grid shows of its own
/// cubic; with the middle put right, a sixteenth of that is left in each half.
fn between(before: &Instant, now: &Instant, middle: &[[f64; 2]]) -> Instant {
    let width = now.time_s - before.time_s;
    let cubic = |[a, from]: [f64; 2], [b, to]: [f64; 2]| {
        [0.5 * (a + b) + 0.125 * width * (from - to), 1.5 * (b - a) / width - 0.25 * (from + to)]
    };
    let estimate = |n: usize| {
        let (a, b) = (before.estimates[n], now.estimates[n]);
        let own = cubic([a.value, a.rate], [b.value, b.rate]);
        let halved = cubic(before.halved[n], now.halved[n]);
        let miss = middle[n][0] - halved[0];
        Estimate {
            value: own[0] + miss,
            rate: own[1] + middle[n][1] - halved[1],
            grid: a.grid.max(b.grid),
            time: a.time.max(b.time) + miss.abs() / 16.0,
        }
    };
    let estimates = (0..now.estimates.len()).map(estimate).collect();
    Instant { time_s: before.time_s + 0.5 * width, estimates, halved: Vec::new() }
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
    /// From the three grids, finest first, and the middle one with halved steps; `[temperature, rate]` each. The rate is
    /// that of the halved-step grid: it alone solves all its systems, and what sweeps leave of the shortest waves hardly
    /// shows in a temperature but plainly in a rate.
    fn nested(
        [fine, middle, coarse]: [[f64; 2]; 3],
        halved: [f64; 2],
        (step_share, noise_k): (f64, f64),
        settled: f64,
    ) -> Estimate {
        let steps = (halved[0] - middle[0]) * step_share;
        let (near, far) = (fine[0] - middle[0], middle[0] - coarse[0]);
        let (share, doubt, unsettled) = extrapolation(near, far, settled);
        Estimate {
            value: fine[0] + share * near + steps,
            rate: halved[1],
            // Where the last difference passes through zero, the one before still tells its usual size.
            grid: doubt * near.abs().max(far.abs() / 6.0) + unsettled,
            time: 0.25 * steps.abs() + noise_k,
        }
    }

    fn single([value, rate]: [f64; 2]) -> Estimate {
        Estimate { value, rate, grid: 0.0, time: 0.0 }
    }
}

/// What to add to the fine reading, as a share of fine - middle; the error bar as another share of it; and what comes on
/// top where the grids do not approach each other.
///
/// With the ratio `R = (middle - coarse) / (fine - middle)` Aitken's extrapolation adds `1 / (R - 1)`. Inside the
/// metal the scheme is of second order, `R = 4`, and the share is Richardson's 1/3. Under the rim of a patch the
/// flux jumps, the measured order is about 1.5 and `R` about 2.9: there Aitken's share is used (it brings the rim
/// of the first yardstick from 0.52 to 0.16 K). Where the grids do not approach at all, Richardson's share stands
/// and the bar is wide: a quarter of the difference before is added. The bar is a share of the last difference, and what
/// Aitken and Richardson disagree by.
fn extrapolation(near: f64, far: f64, settled: f64) -> (f64, f64, f64) {
    const RICHARDSON: f64 = 1.0 / 3.0;
    let ratio = if near == 0.0 { 4.0 } else { far / near };
    let aitken = 1.0 / (ratio.max(2.0) - 1.0);
    let disagreement = (aitken - RICHARDSON).abs();
    // Aitken up to R = 3, Richardson from 3.5, and a straight passage, so that readings stay continuous in time.
    let rim = ((3.5 - ratio) / 0.5).clamp(0.0, 1.0);
    if ratio >= 2.0 {
        (RICHARDSON + rim * (aitken - RICHARDSON), settled + disagreement, 0.0)
    } else {
        let trust = (ratio - 1.0).clamp(0.0, 1.0);
        (RICHARDSON + trust * (1.0 - RICHARDSON), settled + 1.0, 0.25 * far.abs())
    }
}

/// Least bar of a place, as a share of the last difference between grids: a tenth, and more at a place on the outline
/// of a heated patch. There the flux jumps, and the grids can look settled while their limit is still half of that
/// difference away (the corner of the second yardstick's patch).
pub fn settled(at_a_jump: bool) -> f64 {
    if at_a_jump { 0.5 } else { 0.1 }
}

/// Makes one estimate of a probe's points.
fn reduce(cloud: &Cloud, all: &[Estimate]) -> Estimate {
    let estimates = cloud.places.iter().map(|&place| all[place]);
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

#[cfg(test)]
mod tests {
    use super::*;

    fn bar(near: f64, far: f64) -> f64 {
        let at = [[far + near, 0.0], [far, 0.0], [0.0, 0.0]];
        Estimate::nested(at, [far, 0.0], (4.0 / 3.0, 0.0), 0.1).grid
    }

    /// It was in proportion to the square of one difference over the other: thousands of kelvin.
    #[test]
    fn a_bar_does_not_run_away_where_the_last_difference_passes_through_zero() {
        for near in [-1.0, -1e-3, -1e-6, -1e-12, 0.0, 1e-12, 1e-6, 1e-3, 1.0] {
            let bar = bar(near, 2.0);
            assert!((0.1 * 2.0 / 6.0..=2.0).contains(&bar), "{near}: {bar}");
        }
        assert!(bar(-1.0, 2.0) > bar(0.5, 2.0), "grids that do not approach are in more doubt");
    }
}
