//! `compare`: a log of readings held against what the scenario computes.

use heat::{Accuracy, Case, Event, Flame, Grids, Interval, Run, Schedule};
use serde::Serialize;

use crate::estimate::NORMAL_95;
use crate::outcome::Heat;
use crate::reading::{Reading, Said, with_places};
use crate::sweep::{self, sweep};
use crate::vary::each_end;
use crate::{Error, Question};

/// Points of a drawn curve.
const DRAWN_POINTS: usize = 240;

/// What is compared.
#[derive(Clone, Debug, PartialEq)]
pub struct CompareAsk {
    /// The readings; not empty.
    pub readings: Vec<Reading>,
    /// Standard deviation of a reading, K.
    pub noise_k: f64,
}

/// How a reading stands to what is computed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Standing {
    /// Within the error of the reading and of the computation.
    #[serde(rename = "within error")]
    WithinError,
    /// Only within what the stated ranges of the inputs allow.
    #[serde(rename = "within ranges")]
    WithinRanges,
    /// Outside all of it.
    #[serde(rename = "outside")]
    Outside,
}

/// What was said, in words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum SaidHow {
    /// By a thermometer.
    #[serde(rename = "reads")]
    Reads,
    /// A crayon melted: at least so warm.
    #[serde(rename = "melted")]
    Melted,
    /// A crayon did not melt: colder.
    #[serde(rename = "not melted")]
    NotMelted,
}

/// One reading beside what is computed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ComparedReading {
    /// Line of the log; null where it came otherwise.
    pub line: Option<usize>,
    /// Where, as written.
    pub place: String,
    /// When, s.
    pub time_s: f64,
    /// What was said.
    pub said: SaidHow,
    /// The reading, or the rating of the crayon, Celsius.
    pub measured_c: f64,
    /// What is computed, Celsius.
    pub computed_c: f64,
    /// Measured less computed, K; null for a crayon, which tells only a side.
    pub residual_k: Option<f64>,
    /// Error bar of the reading (95 %), K.
    pub reading_k: f64,
    /// Numerical error bar, K.
    pub error_k: f64,
    /// How far the stated ranges may take the computed value down and up, K: the sum of what each does alone.
    pub inputs_k: [f64; 2],
    /// How it stands.
    pub standing: Standing,
    /// How far it lies outside of everything, K; 0 inside.
    pub beyond_k: f64,
}

/// A place over time, with what the ranges allow.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceCurve {
    /// The place, as written.
    pub place: String,
    /// Times, s.
    pub time_s: Vec<f64>,
    /// Computed, Celsius.
    pub computed_c: Vec<f64>,
    /// Lowest that the ranges allow, Celsius.
    pub low_c: Vec<f64>,
    /// Highest, Celsius.
    pub high_c: Vec<f64>,
}

/// A log held against its scenario.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Comparison {
    /// Name and number of this layout.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// SHA-256 of the scenario after overrides.
    pub input_sha256: String,
    /// Title of the scenario.
    pub title: String,
    /// Whether no reading lies outside of everything.
    pub agrees: bool,
    /// Readings within the error of reading and computation.
    pub within_error: usize,
    /// Readings that need the stated ranges.
    pub within_ranges: usize,
    /// Readings outside of everything.
    pub outside: usize,
    /// Mean of the residuals, K; null without a thermometer.
    pub mean_residual_k: Option<f64>,
    /// Root of their mean square, K.
    pub rms_residual_k: Option<f64>,
    /// Standard deviation of a reading, K.
    pub noise_k: f64,
    /// Inputs whose ranges were allowed for, in words.
    pub inputs: Vec<String>,
    /// The readings.
    pub readings: Vec<ComparedReading>,
    /// Each place over time.
    pub curves: Vec<PlaceCurve>,
    /// Flames of the run.
    pub flames: Vec<Heat>,
    /// Cautions to print.
    pub cautions: Vec<String>,
    /// Warnings to print.
    pub warnings: Vec<String>,
    /// Whether the runs were stopped before their end.
    pub interrupted: bool,
}

/// Compares.
///
/// The scenario runs with its own schedule, made long enough for the last reading, on nested grids; each stated range
/// runs at both ends on one grid through the same switches. `keep_going` as for [`crate::check`].
///
/// # Errors
/// [`Error::Heat`] when the engine cannot solve the case.
pub fn compare(
    case: &Case,
    question: &Question,
    ask: &CompareAsk,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Comparison, Error> {
    /// Share of the work that the nested grids are.
    const NESTED: f64 = 0.5;
    let (mut case, probes) = with_places(case, &ask.readings);
    let last_s = ask.readings.iter().map(|reading| reading.time_s).fold(0.0, f64::max);
    lengthen(&mut case.schedule, last_s);
    let nested = Accuracy { grids: Grids::Nested, ..question.accuracy };
    let run = heat::solve(&case, &nested, &|share| keep_going(NESTED * share))?;
    // Had the torch been weaker, the flame would still have gone off when it did.
    case.output_s = vec![last_s];
    let ends = ends(&case, question, &run.events, &|share| keep_going(NESTED + (1.0 - NESTED) * share))?;
    let swayed = Swayed { run: &run, ends: ends.as_deref() };
    let one = |(reading, &probe): (&Reading, &usize)| swayed.reading(reading, probe, NORMAL_95 * ask.noise_k);
    let readings: Vec<ComparedReading> = ask.readings.iter().zip(&probes).map(one).collect();
    let curves =
        places(&ask.readings, &probes).into_iter().map(|(place, probe)| swayed.curve(place, probe, last_s)).collect();
    let count = |standing: Standing| readings.iter().filter(|reading| reading.standing == standing).count();
    let outside = count(Standing::Outside);
    let residuals: Vec<f64> = readings.iter().filter_map(|reading| reading.residual_k).collect();
    let mean = |of: &dyn Fn(f64) -> f64| {
        let sum: f64 = residuals.iter().map(|r| of(*r)).sum();
        (!residuals.is_empty()).then(|| sum / residuals.len() as f64)
    };
    Ok(Comparison {
        schema: "warmhold comparison 1".to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: question.input_sha256.clone(),
        title: question.title.clone(),
        agrees: outside == 0,
        within_error: count(Standing::WithinError),
        within_ranges: count(Standing::WithinRanges),
        outside,
        mean_residual_k: mean(&|r| r),
        rms_residual_k: mean(&|r| r * r).map(f64::sqrt),
        noise_k: ask.noise_k,
        inputs: question.ranges.iter().map(|range| range.lever.words().to_owned()).collect(),
        curves,
        flames: run.heats().iter().map(|&[start_s, end_s]| Heat { start_s, end_s }).collect(),
        cautions: question.cautions.clone(),
        warnings: question.warnings.iter().cloned().chain(found_times(&case.schedule, &run, last_s)).collect(),
        interrupted: run.interrupted || ends.is_none(),
        readings,
    })
}

/// Makes a schedule last until the last reading.
fn lengthen(schedule: &mut Schedule, last_s: f64) {
    match schedule {
        Schedule::Spans { end_s, .. } => *end_s = end_s.max(last_s),
        // When cycles end is known only afterwards.
        Schedule::Cycles { after_s, .. } => *after_s = after_s.max(last_s),
    }
}

/// A warning where readings stand on flame times that the model found.
fn found_times(schedule: &Schedule, run: &Run, last_s: f64) -> Option<String> {
    let Schedule::Cycles { heat_up, interval, reheat, .. } = schedule else { return None };
    let found = |flame: &Flame| matches!(flame, Flame::Until { .. });
    let any = found(heat_up) || found(reheat) || matches!(interval, Interval::UntilFalls { .. });
    let beyond = run.heats().first().is_some_and(|heat| heat[1] < last_s);
    (any && beyond).then(|| {
        "The log goes on after the first flame, and the flame times are those that the model found: write the real ones as \
         [schedule.spans], or as `for` and a fixed interval."
            .to_owned()
    })
}

/// Each place once, with its probe.
fn places<'a>(readings: &'a [Reading], probes: &[usize]) -> Vec<(&'a str, usize)> {
    let mut places: Vec<(&str, usize)> = Vec::new();
    for (reading, &probe) in readings.iter().zip(probes) {
        if places.iter().all(|(_, known)| *known != probe) {
            places.push((&reading.place, probe));
        }
    }
    places
}

/// The case as stated and every range at both ends, through the switches of its run, on one grid; none when stopped.
fn ends(
    case: &Case,
    question: &Question,
    events: &[Event],
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Option<Vec<Run>>, Error> {
    let mut cases = vec![case.clone()];
    cases.extend(each_end(case, &question.ranges)?);
    let accuracy = Accuracy { grids: Grids::MiddleOnly, ..question.accuracy };
    let swept = sweep(&cases, keep_going, |_, case, going| heat::replay(case, &accuracy, events, &|_| going()));
    Ok(sweep::all(swept)?.filter(|runs| runs.iter().all(|run| !run.interrupted)))
}

/// A run with what its inputs do to it.
struct Swayed<'a> {
    run: &'a Run,
    /// As stated, then both ends of each range.
    ends: Option<&'a [Run]>,
}

impl Swayed<'_> {
    /// How far down and up the ranges take a probe, K.
    fn inputs_k(&self, probe: usize, time_s: f64) -> [f64; 2] {
        let Some([middle, ends @ ..]) = self.ends else { return [0.0; 2] };
        let at = |run: &Run| run.curves[probe].at(time_s);
        let stated = at(middle);
        ends.chunks_exact(2).fold([0.0; 2], |[down, up], pair| {
            let [a, b] = [at(&pair[0]) - stated, at(&pair[1]) - stated];
            [down - a.min(b).min(0.0), up + a.max(b).max(0.0)]
        })
    }

    fn reading(&self, reading: &Reading, probe: usize, reading_k: f64) -> ComparedReading {
        let curve = &self.run.curves[probe];
        let (computed_c, error_k) = (curve.at(reading.time_s), curve.error_at(reading.time_s));
        let inputs_k = self.inputs_k(probe, reading.time_s);
        let (said, measured_c) = match reading.said {
            Said::Reads(celsius) => (SaidHow::Reads, celsius),
            Said::Melted(celsius) => (SaidHow::Melted, celsius),
            Said::NotMelted(celsius) => (SaidHow::NotMelted, celsius),
        };
        let off_k = measured_c - computed_c;
        // A crayon speaks against the model on one side only.
        let speaks = match said {
            SaidHow::Reads => off_k,
            SaidHow::Melted => off_k.max(0.0),
            SaidHow::NotMelted => off_k.min(0.0),
        };
        let allowed = if speaks < 0.0 { inputs_k[0] } else { inputs_k[1] };
        let sure_k = reading_k + error_k;
        let standing = match speaks.abs() {
            off if off <= sure_k => Standing::WithinError,
            off if off <= sure_k + allowed => Standing::WithinRanges,
            _ => Standing::Outside,
        };
        ComparedReading {
            line: reading.line,
            place: reading.place.clone(),
            time_s: reading.time_s,
            said,
            measured_c,
            computed_c,
            residual_k: (said == SaidHow::Reads).then_some(off_k),
            reading_k,
            error_k,
            inputs_k,
            standing,
            beyond_k: (speaks.abs() - sure_k - allowed).max(0.0),
        }
    }

    fn curve(&self, place: &str, probe: usize, last_s: f64) -> PlaceCurve {
        let mut time_s: Vec<f64> = (0..=DRAWN_POINTS).map(|n| last_s * n as f64 / DRAWN_POINTS as f64).collect();
        time_s.extend(self.run.heats().into_iter().flatten().filter(|time| *time < last_s));
        time_s.sort_by(f64::total_cmp);
        time_s.dedup();
        let at = |&time: &f64| self.run.curves[probe].at(time);
        let side = |side: usize, sign: f64| {
            time_s.iter().map(|time| at(time) + sign * self.inputs_k(probe, *time)[side]).collect()
        };
        PlaceCurve {
            place: place.to_owned(),
            computed_c: time_s.iter().map(at).collect(),
            low_c: side(0, -1.0),
            high_c: side(1, 1.0),
            time_s,
        }
    }
}
