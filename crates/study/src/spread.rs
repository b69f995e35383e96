//! `spread`: how far hold, interval and beads are spread by what is known only within ranges.
//!
//! Every input is drawn evenly from its stated range by a low-discrepancy sequence with a shift of its own for each seed
//! (the additive recurrence of the roots of `x^(d+1) = x + 1`), so that a few hundred samples fill the ranges without
//! gaps. One heat is followed for each sample; beads are laid until the ring is out of the window.

use heat::{Case, Flame, Grids, Interval, Schedule};
use schemars::JsonSchema;
use serde::Serialize;

use crate::hold::{hold, hold_of};
use crate::judge::judge;
use crate::plan::{quick_or_nested, round_beads};
use crate::sweep::{Swept, sweep};
use crate::vary::varied;
use crate::{Error, Question};

/// Name and number of the layout.
const SCHEMA: &str = "warmhold spread 1";
/// Share of the samples within a band.
const BAND: f64 = 0.90;
/// Longest hold and interval that are followed, s.
const LONGEST_S: f64 = 4.0 * 3600.0;
/// Most beads that are counted.
const MOST_BEADS: usize = 100;

/// How to sample.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wishes {
    /// Samples.
    pub samples: usize,
    /// Another seed is another shift of the sequence.
    pub seed: u64,
}

/// Where nine tenths of the samples lie.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Band {
    /// With the values as stated.
    pub stated: f64,
    /// A twentieth of the samples lies below.
    pub low: f64,
    /// Half of the samples lies below.
    pub median: f64,
    /// A twentieth of the samples lies above.
    pub high: f64,
}

/// What one input adds to the spread.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Share {
    /// Which input.
    pub input: String,
    /// Low end over nominal.
    pub low: f64,
    /// High end over nominal.
    pub high: f64,
    /// Where the range comes from.
    pub source: String,
    /// Share of the variance of the hold that goes with this input alone, 0 to 1.
    pub of_hold: f64,
    /// The same of the interval.
    pub of_interval: f64,
}

/// The spread of the answer.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Spread {
    /// Name and number of this layout.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// SHA-256 of the scenario after overrides.
    pub input_sha256: String,
    /// Title of the scenario.
    pub title: String,
    /// Samples that were run.
    pub samples: usize,
    /// Seed.
    pub seed: u64,
    /// Share of the samples within each band.
    pub band: f64,
    /// Hold of the ring without arc heat, s; at most four hours are followed.
    pub hold_s: Band,
    /// Numerical error of the hold as stated, s.
    pub hold_error_s: f64,
    /// From flame off until the ring is down to the minimum while beads are laid, s.
    pub interval_s: Band,
    /// Beads that start inside the window; null where no passes are planned.
    pub beads: Option<Band>,
    /// Share of the samples in which all planned beads fit; null where no passes are planned.
    pub planned_fit: Option<f64>,
    /// Share of the samples in which the flame never reaches its reading.
    pub never_reached: f64,
    /// Inputs, the most telling for the hold first.
    pub inputs: Vec<Share>,
    /// Share of the variance of the hold that goes with several inputs together.
    pub together_of_hold: f64,
    /// Cautions to print.
    pub cautions: Vec<String>,
}

/// The answer of one sample.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Sample {
    hold_s: f64,
    error_s: f64,
    interval_s: f64,
    beads: f64,
    reached: bool,
}

/// Samples the stated ranges; `None` when it was stopped.
///
/// # Errors
/// [`Error::Needs`] without a window, a torch or a range, and as [`heat::solve`].
pub fn spread(
    case: &Case,
    question: &Question,
    wishes: Wishes,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Option<Spread>, Error> {
    let needs = |what: &str| Error::Needs { what: what.to_owned() };
    if question.window.is_none() || question.ring.is_none() || case.torches.is_empty() {
        return Err(needs("a [window], a [groove] and a [torch]: the hold is counted from flame off to the minimum"));
    }
    if question.ranges.is_empty() {
        return Err(needs("an input with a range, such as metal.conductivity_range = [\"-12 %\", \"+12 %\"]"));
    }
    let planned = case.passes.as_ref().map(|passes| passes.per_heat);
    let case = one_heat(case, question);
    let points = points(wishes, question.ranges.len());
    let moved = |point: &Vec<f64>| {
        let each = question.ranges.iter().zip(point);
        each.into_iter().try_fold(case.clone(), |case, (range, u)| {
            varied(&case, range.lever, range.low + (range.high - range.low) * u)
        })
    };
    let mut cases: Vec<Case> = points.iter().map(moved).collect::<Result<_, _>>()?;
    cases.push(case.clone());
    let swept = sweep(&cases, keep_going, |_, case, _| sample(case, question, Grids::MiddleOnly));
    let mut samples = Vec::with_capacity(cases.len());
    for one in swept {
        match one {
            Swept::Answer(sample) => samples.push(sample),
            Swept::Failed(error) => return Err(error.into()),
            Swept::NotRun => return Ok(None),
        }
    }
    let middle = samples.pop().ok_or_else(|| needs("at least one sample"))?;
    let stated = sample(&case, question, Grids::Nested)?;
    Ok(Some(summed_up((&case, question, planned), wishes, (&points, &samples), (middle, stated))))
}

/// One heat as stated, then beads until the ring is down to the minimum.
fn one_heat(case: &Case, question: &Question) -> Case {
    let mut case = round_beads(case.clone());
    let heat_up = match &case.schedule {
        Schedule::Cycles { heat_up, .. } => *heat_up,
        Schedule::Spans { on, .. } => Flame::For { seconds: on.first().map_or(1.0, |[on_s, off_s]| off_s - on_s) },
    };
    let coldest = question.ring.map_or(0, |(_, probes)| probes.coldest);
    let minimum_c = question.window.map_or(0.0, |window| window.minimum_c);
    let interval = Interval::UntilFalls { probe: coldest, temperature_c: minimum_c, at_most_s: LONGEST_S };
    case.schedule = Schedule::Cycles { heat_up, interval, reheat: heat_up, reheats: 0, after_s: 0.0 };
    case.output_s.clear();
    case.passes.iter_mut().for_each(|passes| passes.per_heat = MOST_BEADS);
    case
}

fn sample(case: &Case, question: &Question, grids: Grids) -> Result<Sample, heat::Error> {
    let accuracy = quick_or_nested(case, &question.accuracy, grids);
    let mut follow = hold_of(case, question, |probes| vec![probes.coldest]);
    follow.iter_mut().for_each(|hold| hold.at_most_s = LONGEST_S);
    let (Some(follow), Some((_, probes)), Some(window)) = (follow, question.ring, question.window) else {
        return Err(heat::Error::NoSuchProbe { index: 0 });
    };
    let (run, held) = heat::solve_with_hold(case, &accuracy, &follow, &|_| true)?;
    let crossing = held.as_ref().and_then(|held| hold(held, probes.coldest, window.minimum_c));
    let off_s = run.heats().first().map_or(0.0, |heat| heat[1]);
    let end_s = run.events.last().map_or(off_s, |event| event.time_s);
    let beads = judge(case, question, &run).and_then(|j| j.beads_per_heat);
    Ok(Sample {
        hold_s: crossing.map_or(LONGEST_S, |c| c.time_s),
        error_s: crossing.map_or(0.0, |c| c.error_s),
        interval_s: end_s - off_s,
        beads: beads.unwrap_or(0) as f64,
        reached: run.events.iter().all(|e| e.what != heat::What::FlameOff { reached: false }),
    })
}

fn summed_up(
    (case, question, planned): (&Case, &Question, Option<usize>),
    wishes: Wishes,
    (points, samples): (&[Vec<f64>], &[Sample]),
    (middle, stated): (Sample, Sample),
) -> Spread {
    // What one grid is off by where everything is as stated is taken off every sample.
    let column = |of: fn(&Sample) -> f64| -> Vec<f64> {
        let factor = if of(&middle) > 0.0 { of(&stated) / of(&middle) } else { 1.0 };
        samples.iter().map(|sample| of(sample) * factor).collect()
    };
    let (holds, intervals) = (column(|s| s.hold_s), column(|s| s.interval_s));
    let beads: Vec<f64> = samples.iter().map(|s| s.beads).collect();
    let fit =
        |planned: usize| beads.iter().filter(|n| **n >= planned as f64).count() as f64 / beads.len().max(1) as f64;
    let share = |(n, range): (usize, &crate::Range)| {
        let inputs: Vec<f64> = points.iter().map(|point| point[n]).collect();
        Share {
            input: range.lever.words().to_owned(),
            low: range.low,
            high: range.high,
            source: range.source.clone(),
            of_hold: first_order(&inputs, &holds),
            of_interval: first_order(&inputs, &intervals),
        }
    };
    let mut inputs: Vec<Share> = question.ranges.iter().enumerate().map(share).collect();
    inputs.sort_by(|a, b| b.of_hold.total_cmp(&a.of_hold));
    let alone: f64 = inputs.iter().map(|input| input.of_hold).sum();
    Spread {
        schema: SCHEMA.to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: question.input_sha256.clone(),
        title: question.title.clone(),
        samples: samples.len(),
        seed: wishes.seed,
        band: BAND,
        hold_s: band(&holds, stated.hold_s),
        hold_error_s: stated.error_s,
        interval_s: band(&intervals, stated.interval_s),
        beads: case.passes.as_ref().map(|_| band(&beads, stated.beads)),
        planned_fit: planned.map(fit),
        never_reached: samples.iter().filter(|s| !s.reached).count() as f64 / samples.len() as f64,
        inputs,
        together_of_hold: (1.0 - alone).max(0.0),
        cautions: question.cautions.clone(),
    }
}

/// Samples of the unit cube in `inputs` dimensions: the fractional parts of `shift + n a`, `a` the powers of the inverse
/// of the root of `x^(d+1) = x + 1`.
fn points(wishes: Wishes, inputs: usize) -> Vec<Vec<f64>> {
    let root = (0..64).fold(1.5_f64, |x, _| (1.0 + x).powf(1.0 / (inputs as f64 + 1.0)));
    let mut state = wishes.seed;
    let shifts: Vec<f64> = (0..inputs).map(|_| unit(&mut state)).collect();
    let point = |n: usize| {
        let place = |(d, shift): (usize, &f64)| (shift + (n + 1) as f64 * root.powi(-(d as i32) - 1)).fract();
        shifts.iter().enumerate().map(place).collect()
    };
    (0..wishes.samples).map(point).collect()
}

/// The next number from 0 to 1 of a splitting generator.
fn unit(state: &mut u64) -> f64 {
    *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mut mixed = *state;
    mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}

fn band(values: &[f64], stated: f64) -> Band {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let at = |share: f64| {
        let place = share * (sorted.len().max(1) - 1) as f64;
        let (below, part) = (place.floor() as usize, place.fract());
        let value = |n: usize| sorted.get(n.min(sorted.len() - 1)).copied().unwrap_or(0.0);
        value(below) + part * (value(below + 1) - value(below))
    };
    let tail = 0.5 * (1.0 - BAND);
    Band { stated, low: at(tail), median: at(0.5), high: at(1.0 - tail) }
}

/// Share of the variance of `values` that goes with one input: that of its best polynomial of fourth order over the whole
/// variance. Its coefficients on the Legendre polynomials of the unit interval are means over the samples, which fill the
/// unit cube evenly.
fn first_order(input: &[f64], values: &[f64]) -> f64 {
    let count = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / count;
    let whole: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / count;
    if whole <= 0.0 {
        return 0.0;
    }
    let mut coefficients = [0.0; 4];
    for (&u, value) in input.iter().zip(values) {
        for (sum, legendre) in coefficients.iter_mut().zip(legendre(u)) {
            *sum += (value - mean) * legendre / count;
        }
    }
    (coefficients.iter().map(|c| c * c).sum::<f64>() / whole).clamp(0.0, 1.0)
}

/// Legendre polynomials of first to fourth order on 0 to 1, each of variance 1.
fn legendre(u: f64) -> [f64; 4] {
    let x = 2.0 * u - 1.0;
    let (square, fourth) = (x * x, x * x * x * x);
    [
        3.0_f64.sqrt() * x,
        5.0_f64.sqrt() * 0.5 * (3.0 * square - 1.0),
        7.0_f64.sqrt() * 0.5 * (5.0 * square - 3.0) * x,
        3.0 * 0.125 * (35.0 * fourth - 30.0 * square + 3.0),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `3 u + v^2 + 0 w` over the unit cube: variances 9/12 and 4/45, nothing for the third.
    #[test]
    fn shares_of_a_known_function_are_found() {
        let points = points(Wishes { samples: 512, seed: 7 }, 3);
        let values: Vec<f64> = points.iter().map(|p| 3.0 * p[0] + p[1] * p[1]).collect();
        let whole = 9.0 / 12.0 + 4.0 / 45.0;
        let shares: Vec<f64> =
            (0..3).map(|d| first_order(&points.iter().map(|p| p[d]).collect::<Vec<_>>(), &values)).collect();
        for (share, exact) in shares.iter().zip([0.75 / whole, 4.0 / 45.0 / whole, 0.0]) {
            assert!((share - exact).abs() < 0.02, "{shares:?}");
        }
    }

    #[test]
    fn bands_of_an_even_spread_lie_at_its_twentieths_for_any_seed() {
        for seed in 0..5 {
            let values: Vec<f64> = points(Wishes { samples: 256, seed }, 4).iter().map(|p| p[2]).collect();
            let band = band(&values, 0.5);
            assert!((band.low - 0.05).abs() < 0.01 && (band.high - 0.95).abs() < 0.01, "{seed}: {band:?}");
        }
    }
}
