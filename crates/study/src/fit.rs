//! `fit`: how much of its heat this torch brings into this metal, from temperatures read during one heat-up.

use heat::{Accuracy, Case, Grids, Run, Schedule, Torch, TorchKind};
use serde::Serialize;

use crate::estimate::{Estimate, NORMAL_95, Response, Sway, cut_band};
use crate::outcome::{Heat, Outcome, Verdict};
use crate::reading::{Reading, Spot, instants, with_places};
use crate::sweep::{self, sweep};
use crate::vary::{each_end, varied};
use crate::{Lever, Question, Range};

/// Usual noise of a reading, as its standard deviation, K.
pub const USUAL_NOISE_K: f64 = 2.0;
/// The secant stops when two shares are closer than this.
const CLOSE: f64 = 0.02;
/// How far another share is then tried, if there is only one.
const APART: f64 = 0.1;
/// Most shares that are tried.
const MOST_SHARES: usize = 3;
/// How far from its stated value a share is looked for, as a factor.
const FARTHEST: f64 = 20.0;
/// Beyond so many deviations nothing is left of a normal distribution.
const FAR_OFF: f64 = 8.0;
/// Most readings of one place that are used, evenly spread: rows a second apart repeat the same error.
const MOST_OF_A_PLACE: usize = 12;
/// Most instants at which the engine halts; between them its curves are smooth enough.
const MOST_HALTS: usize = 40;
/// A reading tells nothing of the torch where the share's deviation is larger than this, as a logarithm.
const TELLS_NOTHING: f64 = 1.0;

/// Why a torch could not be fitted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FitError {
    /// Only crayons, or nothing at all.
    #[error(
        "there is no reading of a thermometer to fit to; a crayon watched until it melts is one: its rating, and when"
    )]
    NoReading,
    /// Nothing heats.
    #[error("the scenario has no torch, so there is nothing to fit")]
    NoTorch,
    /// The flame burns after all readings, or far from them.
    #[error(
        "the readings hardly feel the torch: read where and when it has warmed the metal by more than a few kelvin, in or beside the patch"
    )]
    TellsNothing,
    /// The readings ask for more heat than the torch releases.
    #[error(
        "the readings ask for {percent:.0} % of the torch's heat, more than all of it: check the place, the time, the patch and the rate"
    )]
    MoreThanAll {
        /// Share in per cent.
        percent: f64,
    },
    /// Stopped before there was an answer.
    #[error("interrupted before the torch was fitted")]
    Interrupted,
    /// The engine could not solve the case.
    #[error(transparent)]
    Heat(#[from] heat::Error),
}

/// What a torch is fitted to.
#[derive(Clone, Debug, PartialEq)]
pub struct FitAsk {
    /// The readings; crayons are left out.
    pub readings: Vec<Reading>,
    /// Standard deviation of a reading, K.
    pub noise_k: f64,
    /// When the flame went off, s; none: the spans of the scenario, or else it burnt until the last reading.
    pub flame_off_s: Option<f64>,
}

/// What of the torch is fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Fitted {
    /// Share of the lower heating value that enters the metal.
    #[serde(rename = "share of the gas's heat")]
    GasShare,
    /// Share of the electric power that enters the metal.
    #[serde(rename = "share of the power")]
    PowerShare,
    /// Net flux into the metal, W/m2.
    #[serde(rename = "flux")]
    Flux,
    /// Film coefficient of the flame, W/m2K.
    #[serde(rename = "film coefficient of the flame")]
    FilmCoefficient,
}

/// One reading beside what the fitted torch gives there.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FitReading {
    /// Line of the log; null where it came otherwise.
    pub line: Option<usize>,
    /// Where, as written.
    pub place: String,
    /// When, s.
    pub time_s: f64,
    /// What was read, Celsius.
    pub measured_c: f64,
    /// What is computed with the fitted torch and everything else as stated, Celsius.
    pub computed_c: f64,
    /// Numerical error bar of that, K.
    pub error_k: f64,
    /// Measured less computed, K.
    pub residual_k: f64,
}

/// What one source of doubt adds to the band.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BandPart {
    /// Which, in words.
    pub source: String,
    /// Half of the 95 % band that it alone would give, as a share of the fitted value; parts add as squares.
    pub share: f64,
}

/// A verdict and what the stated ranges do to it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct VerdictBand {
    /// The verdict.
    pub verdict: Verdict,
    /// Smallest distance to any limit, K.
    pub margin_k: Option<f64>,
    /// What the worst end of all stated ranges takes from it, K.
    pub input_k: Option<f64>,
    /// Hold of the ring, s; null where it stays above to the end of the run.
    pub hold_s: Option<f64>,
    /// The same at the worst end of all ranges, s.
    pub worst_hold_s: Option<f64>,
}

/// The verdict with the torch as stated and as fitted.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct VerdictBands {
    /// As stated in the scenario.
    pub before: VerdictBand,
    /// With the fitted torch and its band as its range.
    pub after: VerdictBand,
}

/// The fitted torch.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fit {
    /// Name and number of this layout.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// SHA-256 of the scenario after overrides.
    pub input_sha256: String,
    /// Title of the scenario.
    pub title: String,
    /// What was fitted; a share is a number from 0 to 1, the others are SI.
    pub fitted: Fitted,
    /// What the scenario says.
    pub stated: f64,
    /// Low and high end of its stated range; null where none is stated.
    pub stated_range: Option<[f64; 2]>,
    /// The value with which the scenario as stated gives the readings.
    pub value: f64,
    /// 95 % band: noise of the readings, numerical error, and the ranges of all other inputs.
    pub band: [f64; 2],
    /// Width of the stated range over the width of the band; null where no range is stated.
    pub narrower: Option<f64>,
    /// Whether the readings ask for a value outside the stated range.
    pub outside_stated: bool,
    /// Standard deviation of a reading, K.
    pub noise_k: f64,
    /// Root of the mean square of the residuals that the best torch and metal together leave, K; where it is larger than
    /// the noise, the band stands on it instead.
    pub scatter_k: f64,
    /// What makes the band.
    pub parts: Vec<BandPart>,
    /// The flame of the heat-up that was computed.
    pub flames: Vec<Heat>,
    /// The readings.
    pub readings: Vec<FitReading>,
    /// Crayon marks that were not used.
    pub crayons_left_out: usize,
    /// Readings of thermometers that were not used, since others of the same place lie close by in time.
    pub thinned_out: usize,
    /// Runs of the engine.
    pub runs: usize,
    /// The verdict before and after; null without a window.
    pub verdict: Option<VerdictBands>,
    /// Cautions to print.
    pub cautions: Vec<String>,
}

/// Fits the torch.
///
/// One heat-up is computed: the flame burns from the start until the last reading (see [`FitAsk::flame_off_s`]), without
/// passes. A secant finds the share on one grid in two or three runs; there the nested grids run once, and each other
/// ranged input at both ends; the rest is the algebra of crate-private `estimate`. `keep_going` as for [`crate::check`].
///
/// # Errors
/// [`FitError`].
pub fn fit(
    case: &Case,
    question: &Question,
    ask: &FitAsk,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Fit, FitError> {
    let (used, crayons): (Vec<Reading>, Vec<Reading>) =
        ask.readings.iter().cloned().partition(|reading| reading.shown_c().is_some());
    let (stated, fitted) = stated(case, question).ok_or(FitError::NoTorch)?;
    let all = used.len();
    let used = thinned(used);
    match used.iter().map(|reading| reading.time_s).reduce(f64::max) {
        None => return Err(FitError::NoReading),
        Some(last_s) if last_s <= 0.0 => return Err(FitError::TellsNothing),
        Some(_) => {}
    }
    let job = Job::new(case, question, ask, &used);
    let read_c: Vec<f64> = used.iter().filter_map(Reading::shown_c).collect();
    let (response, nested) = job.response(&read_c, keep_going)?;
    let (estimate, scatter_k) = estimate(&response, &read_c, ask.noise_k);
    if !(estimate.deviation < TELLS_NOTHING && estimate.as_stated.is_finite()) {
        return Err(FitError::TellsNothing);
    }
    let torch = question.ranges.iter().find(|range| range.lever == Lever::TorchStrength);
    let most = matches!(fitted, Fitted::GasShare | Fitted::PowerShare).then_some(1.0 / stated);
    // By more than the readings leave open.
    if let Some(most) = most.filter(|most| estimate.mean - NORMAL_95 * estimate.deviation > most.ln()) {
        return Err(FitError::MoreThanAll { percent: 100.0 * estimate.mean.exp() / most });
    }
    let (band, outside_stated) = band(&estimate, torch, most);
    let value = estimate.as_stated.exp().clamp(band[0], band[1]);
    let readings = beside(&used, &response, (&read_c, value));
    Ok(Fit {
        schema: "warmhold fit 1".to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: question.input_sha256.clone(),
        title: question.title.clone(),
        fitted,
        stated,
        stated_range: torch.map(|range| [range.low * stated, range.high * stated]),
        value: value * stated,
        band: band.map(|end| end * stated),
        narrower: torch.map(|range| (range.high - range.low) / (band[1] - band[0])),
        outside_stated,
        noise_k: ask.noise_k,
        scatter_k,
        parts: parts(&estimate, &response),
        flames: nested.heats().iter().map(|&[start_s, end_s]| Heat { start_s, end_s }).collect(),
        readings,
        crayons_left_out: crayons.len(),
        thinned_out: all - read_c.len(),
        runs: response.shares.len() + 2 * response.sways.len() + 1,
        verdict: None,
        cautions: question.cautions.clone(),
    })
}

/// At most [`MOST_OF_A_PLACE`] readings of each place, evenly spread over its own, in the order given.
fn thinned(readings: Vec<Reading>) -> Vec<Reading> {
    let mut places: Vec<(Spot, usize)> = Vec::new();
    let mut numbered = Vec::new();
    for reading in &readings {
        let place = places.iter().position(|(spot, _)| *spot == reading.spot).unwrap_or_else(|| {
            places.push((reading.spot.clone(), 0));
            places.len() - 1
        });
        numbered.push((place, places[place].1));
        places[place].1 += 1;
    }
    let kept = |&(place, number): &(usize, usize)| {
        let all = places[place].1;
        let slot = |number: usize| number * MOST_OF_A_PLACE / all;
        // The last of each place is kept: it is the warmest of a heat-up.
        all <= MOST_OF_A_PLACE || slot(number + 1) > slot(number)
    };
    let kept: Vec<bool> = numbered.iter().map(kept).collect();
    readings.into_iter().zip(kept).filter_map(|(reading, kept)| kept.then_some(reading)).collect()
}

/// The estimate and the scatter it leaves, K. Readings that scatter more than their noise are taken at their scatter.
fn estimate(response: &Response, read_c: &[f64], noise_k: f64) -> (Estimate, f64) {
    let scatter = |estimate: &Estimate| {
        let square = |(best, read): (&f64, &f64)| (read - best).powi(2);
        (estimate.best_c.iter().zip(read_c).map(square).sum::<f64>() / read_c.len() as f64).sqrt()
    };
    let first = response.estimate(read_c, noise_k);
    let scatter_k = scatter(&first);
    if scatter_k > noise_k && read_c.len() > 1 {
        let second = response.estimate(read_c, scatter_k);
        let scatter_k = scatter(&second);
        return (second, scatter_k);
    }
    (first, scatter_k)
}

/// The case and question with the fitted torch, its band as its range.
///
/// # Errors
/// As for any change of a case; a torch never causes one.
pub fn with_fitted(case: &Case, question: &Question, fit: &Fit) -> Result<(Case, Question), heat::Error> {
    let case = varied(case, Lever::TorchStrength, fit.value / fit.stated)?;
    let mut question = question.clone();
    let count = fit.readings.len();
    let readings = if count == 1 { "one reading".to_owned() } else { format!("{count} readings") };
    let [low, high] = fit.band.map(|end| end / fit.value);
    question.ranges.retain(|range| range.lever != Lever::TorchStrength);
    question.ranges.push(Range { lever: Lever::TorchStrength, low, high, source: format!("fitted to {readings}") });
    Ok((case, question))
}

impl VerdictBand {
    /// Of an outcome.
    pub fn of(outcome: &Outcome) -> VerdictBand {
        VerdictBand {
            verdict: outcome.verdict,
            margin_k: outcome.margin_k,
            input_k: outcome.error.input_k,
            hold_s: outcome.hold_s,
            worst_hold_s: outcome.worst_end.and_then(|worst| worst.hold_s),
        }
    }
}

/// What the torch is stated to give, and what that is.
fn stated(case: &Case, question: &Question) -> Option<(f64, Fitted)> {
    let Torch { patch, kind, .. } = *case.torches.first()?;
    Some(match (kind, &question.supply) {
        (TorchKind::Flux { flux }, Some(supply)) => {
            let kind = match supply {
                crate::Supply::Gas(_) => Fitted::GasShare,
                crate::Supply::Electricity { .. } => Fitted::PowerShare,
            };
            (flux * patch.area() / supply.power_w(), kind)
        }
        (TorchKind::Flux { flux }, None) => (flux, Fitted::Flux),
        (TorchKind::Flame { film_coefficient, .. }, _) => (film_coefficient, Fitted::FilmCoefficient),
    })
}

/// The band of the share as factors, and whether the readings ask for more or less than the stated range. No share is
/// above `most`, unless the readings themselves are.
fn band(estimate: &Estimate, torch: Option<&Range>, most: Option<f64>) -> ([f64; 2], bool) {
    let ends = torch.map(|range| [range.low.ln(), range.high.ln()]);
    let reach = NORMAL_95 * estimate.deviation;
    let outside = ends.is_some_and(|[low, high]| estimate.mean + reach < low || estimate.mean - reach > high);
    let all_of_it = most.map(f64::ln).filter(|most| estimate.mean < *most);
    let below_all = all_of_it.map(|most| [estimate.mean - FAR_OFF * estimate.deviation, most]);
    let band = cut_band(estimate.mean, estimate.deviation, ends.filter(|_| !outside).or(below_all));
    (band.map(f64::exp), outside)
}

fn parts(estimate: &Estimate, response: &Response) -> Vec<BandPart> {
    let names = response.sways.iter().map(|sway| sway.lever.words());
    let names = std::iter::once("noise of the readings").chain(names).chain(["numerical error"]);
    let part = |(source, without): (&str, &f64)| BandPart {
        source: source.to_owned(),
        share: NORMAL_95 * (estimate.deviation.powi(2) - without.powi(2)).max(0.0).sqrt(),
    };
    let mut parts: Vec<BandPart> = names.zip(&estimate.without).map(part).collect();
    parts.sort_by(|a, b| b.share.total_cmp(&a.share));
    parts
}

fn beside(used: &[Reading], response: &Response, (read_c, share): (&[f64], f64)) -> Vec<FitReading> {
    let computed_c = response.as_stated(share.ln());
    let one = |(n, reading): (usize, &Reading)| FitReading {
        line: reading.line,
        place: reading.place.clone(),
        time_s: reading.time_s,
        measured_c: read_c[n],
        computed_c: computed_c[n],
        error_k: response.bar_k[n],
        residual_k: read_c[n] - computed_c[n],
    };
    used.iter().enumerate().map(one).collect()
}

/// One heat-up and the places where it was read.
struct Job {
    case: Case,
    places: Vec<(usize, f64)>,
    ranges: Vec<Range>,
    accuracy: Accuracy,
}

impl Job {
    fn new(case: &Case, question: &Question, ask: &FitAsk, used: &[Reading]) -> Job {
        let (mut case, probes) = with_places(case, used);
        let times_s = instants(used);
        let end_s = times_s.last().copied().unwrap_or(0.0);
        let on = match (&case.schedule, ask.flame_off_s) {
            (Schedule::Spans { on, .. }, None) => on.clone(),
            (_, off_s) => vec![[0.0, off_s.unwrap_or(end_s)]],
        };
        let clipped = on.into_iter().filter(|span| span[0] < end_s).map(|[from, to]| [from, to.min(end_s)]);
        case.schedule = Schedule::Spans { on: clipped.collect(), end_s };
        case.passes = None;
        case.output_s = if times_s.len() <= MOST_HALTS { times_s } else { Vec::new() };
        let other = |range: &&Range| !matches!(range.lever, Lever::TorchStrength | Lever::ArcPower);
        Job {
            case,
            places: probes.into_iter().zip(used.iter().map(|reading| reading.time_s)).collect(),
            ranges: question.ranges.iter().filter(other).cloned().collect(),
            accuracy: question.accuracy,
        }
    }

    fn on_one_grid(&self) -> Accuracy {
        Accuracy { grids: Grids::MiddleOnly, ..self.accuracy }
    }

    fn read(&self, run: &Run) -> Vec<f64> {
        self.places.iter().map(|&(probe, time_s)| run.curves[probe].at(time_s)).collect()
    }

    /// What is read at a share, on one grid.
    fn at_share(&self, share: f64, keep_going: &(dyn Fn(f64) -> bool + Sync)) -> Result<Vec<f64>, FitError> {
        let case = varied(&self.case, Lever::TorchStrength, share)?;
        let run = heat::solve(&case, &self.on_one_grid(), keep_going)?;
        if run.interrupted { Err(FitError::Interrupted) } else { Ok(self.read(&run)) }
    }

    /// The shares of a secant, ending at the one that suits the readings.
    fn secant(
        &self,
        read_c: &[f64],
        keep_going: &(dyn Fn(f64) -> bool + Sync),
    ) -> Result<Vec<(f64, Vec<f64>)>, FitError> {
        let mut tried = vec![(1.0, self.at_share(1.0, keep_going)?)];
        let mut cold = (0.0, vec![self.case.start_c; read_c.len()]);
        while tried.len() < MOST_SHARES {
            let last = tried[tried.len() - 1].clone();
            let next = chord(read_c, &cold, &last).ok_or(FitError::TellsNothing)?;
            let next = next.clamp(last.0 / FARTHEST, last.0 * FARTHEST);
            if (next / last.0).ln().abs() < CLOSE {
                if tried.len() == 1 {
                    // One run alone does not show what the share does.
                    tried.insert(0, (1.0 + APART, self.at_share(1.0 + APART, keep_going)?));
                }
                break;
            }
            cold = last;
            tried.push((next, self.at_share(next, keep_going)?));
        }
        Ok(tried)
    }

    /// Everything the algebra needs, and the run on nested grids.
    fn response(&self, read_c: &[f64], keep_going: &(dyn Fn(f64) -> bool + Sync)) -> Result<(Response, Run), FitError> {
        /// Shares of the work: the secant, the nested grids, the ends of the ranges.
        const DONE: [f64; 3] = [0.15, 0.6, 1.0];
        let shares = self.secant(read_c, &|share| keep_going(DONE[0] * share))?;
        let (at, base) = shares[shares.len() - 1].clone();
        let case = varied(&self.case, Lever::TorchStrength, at)?;
        let nested_going = |share: f64| keep_going(DONE[0] + (DONE[1] - DONE[0]) * share);
        let nested = heat::solve(&case, &Accuracy { grids: Grids::Nested, ..self.accuracy }, &nested_going)?;
        if nested.interrupted {
            return Err(FitError::Interrupted);
        }
        let sways = self.sways(&case, &base, &|share| keep_going(DONE[1] + (DONE[2] - DONE[1]) * share))?;
        let finer = self.read(&nested);
        let bar = |&(probe, time_s): &(usize, f64)| nested.curves[probe].error_at(time_s);
        let response = Response {
            shares,
            at,
            finer_k: finer.iter().zip(&base).map(|(fine, middle)| fine - middle).collect(),
            bar_k: self.places.iter().map(bar).collect(),
            sways,
        };
        Ok((response, nested))
    }

    fn sways(
        &self,
        case: &Case,
        base: &[f64],
        keep_going: &(dyn Fn(f64) -> bool + Sync),
    ) -> Result<Vec<Sway>, FitError> {
        let cases = each_end(case, &self.ranges)?;
        let swept = sweep(&cases, keep_going, |_, case, going| {
            heat::solve(case, &self.on_one_grid(), &|_| going()).map(|run| (self.read(&run), run.interrupted))
        });
        let reads = sweep::all(swept)?.filter(|reads| reads.iter().all(|(_, interrupted)| !interrupted));
        let change = |(read, _): (Vec<f64>, bool)| read.iter().zip(base).map(|(a, b)| a - b).collect();
        let changes: Vec<Vec<f64>> = reads.ok_or(FitError::Interrupted)?.into_iter().map(change).collect();
        let pair = |(range, pair): (&Range, &[Vec<f64>])| Sway {
            lever: range.lever,
            ends: [range.low, range.high],
            change_k: [pair[0].clone(), pair[1].clone()],
        };
        Ok(self.ranges.iter().zip(changes.chunks_exact(2)).map(pair).collect())
    }
}

/// Where the straight line through two shares comes nearest to the readings; none where they do not feel the share.
fn chord(read_c: &[f64], a: &(f64, Vec<f64>), b: &(f64, Vec<f64>)) -> Option<f64> {
    let slope: Vec<f64> = a.1.iter().zip(&b.1).map(|(from, to)| (to - from) / (b.0 - a.0)).collect();
    let square: f64 = slope.iter().map(|s| s * s).sum();
    let pull: f64 = slope.iter().zip(read_c.iter().zip(&b.1)).map(|(s, (read, now))| s * (read - now)).sum();
    let share = b.0 + pull / square;
    share.is_finite().then_some(share)
}
