//! `spread`: how far hold, interval and beads are spread by what is known only within ranges.
//!
//! Every input is drawn evenly from its stated range by a scrambled Sobol' sequence, so that a few hundred samples fill the
//! ranges without gaps. One heat is followed for each sample; beads are laid until the ring is out of the window. What each
//! input adds to the variance is fitted to the same samples.

mod sobol;
mod variance;

use heat::{Case, Flame, Grids, Interval, Schedule};
use schemars::JsonSchema;
use serde::Serialize;

use crate::hold::{self, FOLLOWED_S};
use crate::judge::judge;
use crate::plan::{quick_or_nested, round_beads};
use crate::sweep::{self, sweep};
use crate::vary::all_varied;
use crate::{Error, Question};
use sobol::{MOST_INPUTS, points};
use variance::Parts;

/// Name and number of the layout.
const SCHEMA: &str = "warmhold spread 2";
/// Share of the samples within a band.
const BAND: f64 = 0.90;
/// Most beads that are counted.
const MOST_BEADS: usize = 100;

/// How to sample.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wishes {
    /// Samples.
    pub samples: usize,
    /// Another seed is another scramble of the sequence.
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
    /// How far the low end is in doubt by the sampling: two standard deviations of samples drawn at random, which these
    /// stay well within.
    pub low_doubt: f64,
    /// The same of the high end.
    pub high_doubt: f64,
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
    /// The input in a word or two.
    pub short: String,
    /// Share of the variance of the hold that goes with this input alone: what would be gone, on the average, if it were
    /// known. A share near 0 may come out a little below. Null where the samples are too few to tell, or nothing varies.
    pub of_hold: Option<f64>,
    /// Its error bar, two standard deviations.
    pub of_hold_error: Option<f64>,
    /// The same of the interval.
    pub of_interval: Option<f64>,
    /// Its error bar.
    pub of_interval_error: Option<f64>,
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
    /// Share of the samples that do not hold at all: the ring is below the minimum when the flame goes off.
    pub never_held: f64,
    /// Inputs, the most telling for the hold first.
    pub inputs: Vec<Share>,
    /// Share of the variance of the hold that goes with no input alone: with several together, and whatever the fit does
    /// not follow. With all of the inputs it makes 1.
    pub together_of_hold: Option<f64>,
    /// The same of the interval.
    pub together_of_interval: Option<f64>,
    /// Samples from which shares of the variance can be told.
    pub shares_need: usize,
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
    if question.ranges.len() > MOST_INPUTS {
        return Err(needs("fewer inputs with a range"));
    }
    let planned = case.passes.as_ref().map(|passes| passes.per_heat);
    let case = one_heat(case, question);
    let points = points(wishes.samples, question.ranges.len(), wishes.seed);
    let moved = |point: &Vec<f64>| {
        let each = question.ranges.iter().zip(point);
        all_varied(case.clone(), each.map(|(range, u)| (range.lever, range.low + (range.high - range.low) * u)))
    };
    let mut cases: Vec<Case> = points.iter().map(moved).collect::<Result<_, _>>()?;
    cases.push(case.clone());
    let swept = sweep(&cases, keep_going, |_, case, _| sample(case, question, Grids::MiddleOnly));
    let Some(mut samples) = sweep::all(swept)? else { return Ok(None) };
    let middle = samples.pop().ok_or_else(|| needs("at least one sample"))?;
    let stated = sample(&case, question, Grids::Nested)?;
    Ok(Some(summed_up((&case, question, planned), wishes, (&points, &samples), (middle, stated))))
}

/// One heat as stated, then beads until the ring is down to the minimum.
fn one_heat(case: &Case, question: &Question) -> Case {
    let mut case = round_beads(case.clone());
    let heat_up = case.schedule.first_flame().unwrap_or(Flame::For { seconds: 1.0 });
    let coldest = question.ring.map_or(0, |(_, probes)| probes.coldest);
    let minimum_c = question.window.map_or(0.0, |window| window.minimum_c);
    let interval = Interval::UntilFalls { probe: coldest, temperature_c: minimum_c, at_most_s: FOLLOWED_S };
    case.schedule = Schedule::Cycles { heat_up, interval, reheat: heat_up, reheats: 0, after_s: 0.0 };
    case.output_s.clear();
    case.passes.iter_mut().for_each(|passes| passes.per_heat = MOST_BEADS);
    case
}

fn sample(case: &Case, question: &Question, grids: Grids) -> Result<Sample, heat::Error> {
    let accuracy = quick_or_nested(case, &question.accuracy, grids);
    let followed = hold::followed(case, question, &accuracy, |probes| vec![probes.coldest], &|_| true)?;
    let (run, crossing) = (followed.scheduled, followed.hold);
    let off_s = run.heats().first().map_or(0.0, |heat| heat[1]);
    let end_s = run.events.last().map_or(off_s, |event| event.time_s);
    let beads = judge(case, question, &run).and_then(|j| j.beads_per_heat);
    Ok(Sample {
        hold_s: crossing.map_or(FOLLOWED_S, |c| c.time_s),
        error_s: crossing.map_or(0.0, |c| c.error_s),
        interval_s: end_s - off_s,
        beads: beads.unwrap_or(0) as f64,
        reached: run.every_flame_reached(),
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
    let [of_hold, of_interval] = [&holds, &intervals].map(|values| variance::parts(points, values));
    let mut inputs: Vec<Share> = question.ranges.iter().map(input).collect();
    for (n, input) in inputs.iter_mut().enumerate() {
        [input.of_hold, input.of_hold_error] = alone(of_hold.as_ref(), n);
        [input.of_interval, input.of_interval_error] = alone(of_interval.as_ref(), n);
    }
    inputs.sort_by(|a, b| b.of_hold.unwrap_or(0.0).total_cmp(&a.of_hold.unwrap_or(0.0)));
    let part = |of: fn(&Sample) -> bool| samples.iter().filter(|s| of(s)).count() as f64 / samples.len() as f64;
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
        never_reached: part(|s| !s.reached),
        never_held: part(|s| s.hold_s <= 0.0),
        inputs,
        together_of_hold: of_hold.map(|parts| parts.together),
        together_of_interval: of_interval.map(|parts| parts.together),
        shares_need: variance::least_samples(question.ranges.len()),
        cautions: question.cautions.clone(),
    }
}

/// An input whose shares are not told yet.
fn input(range: &crate::Range) -> Share {
    Share {
        input: range.lever.words().to_owned(),
        short: range.lever.short().to_owned(),
        low: range.low,
        high: range.high,
        source: range.source.clone(),
        of_hold: None,
        of_hold_error: None,
        of_interval: None,
        of_interval_error: None,
    }
}

fn alone(parts: Option<&Parts>, input: usize) -> [Option<f64>; 2] {
    [0, 1].map(|n| parts.map(|parts| parts.alone[input][n]))
}

fn band(values: &[f64], stated: f64) -> Band {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let at = |share: f64| {
        let place = share.clamp(0.0, 1.0) * (sorted.len().max(1) - 1) as f64;
        let (below, part) = (place.floor() as usize, place.fract());
        let value = |n: usize| sorted.get(n.min(sorted.len() - 1)).copied().unwrap_or(0.0);
        value(below) + part * (value(below + 1) - value(below))
    };
    let tail = 0.5 * (1.0 - BAND);
    // Of samples drawn at random this many lie beyond an end, give or take two standard deviations.
    let sway = 2.0 * (tail * (1.0 - tail) / sorted.len().max(1) as f64).sqrt();
    let doubt = |end: f64| 0.5 * (at(end + sway) - at(end - sway));
    Band {
        stated,
        low: at(tail),
        median: at(0.5),
        high: at(1.0 - tail),
        low_doubt: doubt(tail),
        high_doubt: doubt(1.0 - tail),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bands_of_an_even_spread_lie_at_its_twentieths_for_any_seed() {
        for seed in 0..5 {
            let values: Vec<f64> = points(256, 4, seed).iter().map(|p| p[2]).collect();
            let band = band(&values, 0.5);
            assert!((band.low - 0.05).abs() < 0.005 && (band.high - 0.95).abs() < 0.005, "{seed}: {band:?}");
        }
    }
}
