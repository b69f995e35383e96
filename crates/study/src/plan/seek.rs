//! The search for the shortest job on quick runs.

use rayon::prelude::*;

use super::trial::{Fineness, Job, Reading, Setting};
use crate::progress::Share;
use crate::{Error, Lever, Range};

/// The first heating that is looked at is no longer than this, s.
pub const LONGEST_HEAT_UP_S: f64 = 4.0 * 3600.0;
/// The target stays this far inside the limits above it, K.
const INSIDE_K: f64 = 1.0;
/// The reading is found to within this, K.
const CLOSE_K: f64 = 0.25;
/// An end that takes off this much more is another end, K.
const TELLS_K: f64 = 1.0;
/// Most candidates that are looked at with ends of their own.
const MOST_ENDS: usize = 12;
/// A rise by a coarse grid is taken to be this share too small.
pub const RISE_ERROR: f64 = 0.03;
/// Most readings tried for one width and flame.
const MOST_TRIALS: usize = 7;

/// Within what a plan may choose.
#[derive(Clone, Debug, PartialEq)]
pub struct Bounds {
    /// Widths over the scenario's.
    pub scales: Vec<f64>,
    /// Strengths of the torch over the scenario's.
    pub strengths: Vec<f64>,
    /// Steepest rise of the surface over a minute, K/s.
    pub rise_k_s: f64,
    /// Shortest first heating, s.
    pub least_soak_s: f64,
    /// Longest first heating, s.
    pub longest_heat_up_s: f64,
    /// Longest whole job, s.
    pub longest_job_s: f64,
    /// Most gas of the whole job, kg.
    pub most_gas_kg: f64,
}

impl Bounds {
    /// Every width with every flame, in the order of widths, then strengths.
    pub fn pairs(&self) -> Vec<(f64, f64)> {
        self.scales.iter().flat_map(|&scale| self.strengths.iter().map(move |&strength| (scale, strength))).collect()
    }
}

/// What the inputs are moved by at the ends that matter.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ends {
    /// Everything at its worst with the flame that soaks least.
    pub strong: Vec<(Lever, f64)>,
    /// Everything at its worst with the weakest flame; the same list where the torch has no range.
    pub weak: Vec<(Lever, f64)>,
    /// Everything at its worst for the limits above.
    pub hot: Vec<(Lever, f64)>,
    /// Everything at its worst for the rise of the surface: the strongest flame on metal that leads off and takes up least.
    pub steep: Vec<(Lever, f64)>,
}

/// A setting that holds on quick runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// The setting.
    pub setting: Setting,
    /// As stated.
    pub nominal: Reading,
    /// At the strong end.
    pub strong: Reading,
    /// At the weak end.
    pub weak: Reading,
    /// Whole job as stated, s.
    pub total_s: f64,
}

/// Which ends of the stated ranges are the worse for the coldest of the ring, looked at in one setting: with the strongest
/// flame, where little heat spreads wide, and with the weakest, which may not get there, it need not be the same.
///
/// # Errors
/// As [`heat::solve`].
pub fn ends(job: &Job, setting: &Setting) -> Result<Ends, Error> {
    let ranges = &job.question.ranges;
    let torch = ranges.iter().find(|range| range.lever == Lever::TorchStrength);
    let flames = torch.map_or([1.0; 2], |range| [range.high, range.low]);
    let flame = |factor: f64| torch.map(|_| (Lever::TorchStrength, factor));
    let tried = |moved: Vec<(Lever, f64)>| job.tried(setting, &moved, job.reheats.min(1), Fineness::Quick);
    let [strong, weak] = flames.map(flame);
    let both = |with: Option<(Lever, f64)>, range: &Range| {
        let at = |factor: f64| tried(with.into_iter().chain([(range.lever, factor)]).collect());
        Ok::<_, heat::Error>([at(range.low)?, at(range.high)?])
    };
    let others: Vec<&Range> = ranges.iter().filter(|range| range.lever != Lever::TorchStrength).collect();
    let runs = others.par_iter().map(|range| Ok::<_, heat::Error>([both(strong, range)?, both(weak, range)?]));
    let runs: Vec<[[Reading; 2]; 2]> = runs.collect::<Result<_, _>>()?;
    let mut ends = Ends { strong: Vec::from_iter(strong), weak: Vec::from_iter(weak), ..Ends::default() };
    ends.steep.extend(strong);
    if torch.is_some() {
        let hot_k = |moved: Option<(Lever, f64)>| tried(Vec::from_iter(moved)).map(|reading| reading.hot_k);
        ends.hot.extend(if hot_k(weak)? < hot_k(strong)? { weak } else { strong });
    }
    for (range, [by_strong, by_weak]) in others.iter().zip(&runs) {
        let factor = |low: bool| (range.lever, if low { range.low } else { range.high });
        ends.strong.push(factor(is_colder(by_strong)));
        ends.weak.push(factor(is_colder(by_weak)));
        ends.hot.push(factor(by_strong[0].hot_k < by_strong[1].hot_k));
        ends.steep.push(factor(by_strong[0].rise_k_s > by_strong[1].rise_k_s));
    }
    Ok(ends)
}

/// Whether the first of two readings is the worse for the minimum: a flame that gives up before it gets there is worst.
fn is_colder([low, high]: &[Reading; 2]) -> bool {
    if low.reached == high.reached { low.cold_k < high.cold_k } else { high.reached }
}

/// The shortest jobs of all widths and flames, at the ends that are the worse in the shortest of all: those given were
/// chosen in a setting that may be far from it.
///
/// # Errors
/// As [`heat::solve`].
pub fn grid_at_its_ends(
    job: &Job,
    bounds: &Bounds,
    ends: &Ends,
    guard_k: f64,
    share: &Share<'_>,
) -> Result<(Vec<Option<Candidate>>, Ends), Error> {
    let pairs = bounds.pairs();
    let found = grid(job, bounds, &pairs, ends, guard_k, share)?;
    let Some(best) = shortest(found.iter().flatten()) else { return Ok((found, ends.clone())) };
    let own = self::ends(job, &best.setting)?;
    if share.was_stopped() || !is_worse(job, &best, &own)? {
        return Ok((found, own));
    }
    let again = grid(job, bounds, &pairs, &own, guard_k, share)?;
    if again.iter().any(Option::is_some) {
        return Ok((again, own));
    }
    // What is worse for one width and flame need not be for another: each of the shortest at its own.
    one_by_one(job, bounds, (found, own), guard_k)
}

/// The shortest of the candidates that holds at its own ends too; the longer ones stand as they are, the shorter ones fall.
fn one_by_one(
    job: &Job,
    bounds: &Bounds,
    (mut found, mut own): (Vec<Option<Candidate>>, Ends),
    guard_k: f64,
) -> Result<(Vec<Option<Candidate>>, Ends), Error> {
    for _ in 0..MOST_ENDS {
        let Some(best) = shortest(found.iter().flatten()) else { break };
        own = ends(job, &best.setting)?;
        if !is_worse(job, &best, &own)? {
            return Ok((found, own));
        }
        let pair = (best.setting.scale, best.setting.strength);
        let tuned = candidate(job, bounds, &own, pair, (guard_k, Fineness::Quick))?;
        found.iter_mut().filter(|f| f.is_some_and(|f| f.setting == best.setting)).for_each(|f| *f = tuned);
    }
    // The check has the last word on those that are left.
    Ok((found, own))
}

/// Whether some ends take clearly more off a candidate than those that it was found with.
fn is_worse(job: &Job, best: &Candidate, own: &Ends) -> Result<bool, heat::Error> {
    let cold_k = |moved: &[(Lever, f64)]| -> Result<f64, heat::Error> {
        let reading = job.tried(&best.setting, moved, job.reheats.min(1), Fineness::Quick)?;
        Ok(if reading.reached { reading.cold_k } else { f64::NEG_INFINITY })
    };
    Ok(cold_k(&own.strong)? < best.strong.cold_k - TELLS_K || cold_k(&own.weak)? < best.weak.cold_k - TELLS_K)
}

/// The shortest job of every pair of width and flame; none where no reading holds.
///
/// # Errors
/// As [`heat::solve`].
pub fn grid(
    job: &Job,
    bounds: &Bounds,
    pairs: &[(f64, f64)],
    ends: &Ends,
    guard_k: f64,
    share: &Share<'_>,
) -> Result<Vec<Option<Candidate>>, Error> {
    let found = pairs.par_iter().with_max_len(1).map(|&pair| {
        if !share.going() {
            return Ok(None);
        }
        let found = candidate(job, bounds, ends, pair, (guard_k, Fineness::Quick));
        share.add(1.0 / pairs.len() as f64);
        found
    });
    found.collect()
}

/// The lowest reading that holds at both ends for a width and a flame.
///
/// # Errors
/// As [`heat::solve`].
pub fn candidate(
    job: &Job,
    bounds: &Bounds,
    ends: &Ends,
    (scale, strength): (f64, f64),
    (guard_k, fineness): (f64, Fineness),
) -> Result<Option<Candidate>, Error> {
    let longest_s = bounds.longest_heat_up_s;
    let setting =
        Setting { scale, strength, target_c: f64::NAN, heat_up_at_most_s: longest_s, reheat_at_most_s: longest_s };
    let place = Place { job, bounds, ends, setting, guard_k, fineness };
    // The flame that soaks least is nearly always the worse one: the other is asked only where it is not.
    let found = place.lowest(false)?;
    let found = if matches!(found, Tuned::WeakIsCold) { place.lowest(true)? } else { found };
    Ok(if let Tuned::Holds(candidate) = found { Some(*candidate) } else { None })
}

/// One width and flame, its reading still to be found.
struct Place<'a> {
    job: &'a Job,
    bounds: &'a Bounds,
    ends: &'a Ends,
    setting: Setting,
    guard_k: f64,
    fineness: Fineness,
}

/// What a reading comes to.
enum Tuned {
    Holds(Box<Candidate>),
    /// With the weakest flame the ring falls below.
    WeakIsCold,
    Fails,
}

impl Place<'_> {
    fn at(&self, target_c: f64) -> Setting {
        Setting { target_c, ..self.setting }
    }

    fn tried(&self, at: &Setting, moved: &[(Lever, f64)], reheats: usize) -> Result<Reading, heat::Error> {
        self.job.tried(at, moved, reheats, self.fineness)
    }

    /// Margin of the ring over the guard at the worse end, K.
    fn cold(&self, target_c: f64, both: bool) -> Result<f64, heat::Error> {
        let at = self.at(target_c);
        let strong_k = self.tried(&at, &self.ends.strong, 0)?.cold_k - self.guard_k;
        if !both || strong_k < 0.0 {
            return Ok(strong_k);
        }
        let weak = self.tried(&at, &self.ends.weak, 0)?;
        Ok(if weak.reached { strong_k.min(weak.cold_k - self.guard_k) } else { strong_k })
    }

    /// The lowest reading that holds with the flame that soaks least, or with `both`, and what it comes to.
    fn lowest(&self, both: bool) -> Result<Tuned, Error> {
        let window = self.job.window;
        let lowest_c = window.minimum_c + INSIDE_K;
        let ceiling = window.maximum_interpass_c.min(window.surface_limit_c.unwrap_or(f64::INFINITY));
        let highest_c = (ceiling - INSIDE_K).floor();
        let Some(target_c) = lowest_target([lowest_c, highest_c], |c| self.cold(c, both))? else {
            return Ok(Tuned::Fails);
        };
        self.tuned(self.at(target_c.ceil().min(highest_c)), both)
    }

    /// Whether the surface may rise faster than is allowed.
    fn is_too_steep(&self, at: &Setting) -> Result<bool, heat::Error> {
        let allowed = self.bounds.rise_k_s;
        Ok(allowed.is_finite() && (1.0 + RISE_ERROR) * self.tried(at, &self.ends.steep, 0)?.rise_k_s > allowed)
    }

    /// Everything that a reading has to keep to; what fails soonest first.
    fn tuned(&self, at: Setting, both: bool) -> Result<Tuned, Error> {
        let (job, ends, bounds) = (self.job, self.ends, self.bounds);
        let reheats = job.reheats.min(1);
        let inside = |reading: &Reading| reading.reached && reading.hot_k >= self.guard_k;
        let holds = |reading: &Reading| inside(reading) && reading.cold_k >= self.guard_k;
        let strong = self.tried(&at, &ends.strong, reheats)?;
        if !holds(&strong) || strong.heat_up_s < bounds.least_soak_s || self.is_too_steep(&at)? {
            return Ok(Tuned::Fails);
        }
        let weak = if ends.weak == ends.strong { strong } else { self.tried(&at, &ends.weak, reheats)? };
        if !holds(&weak) {
            return Ok(if inside(&weak) && !both { Tuned::WeakIsCold } else { Tuned::Fails });
        }
        let nominal = self.tried(&at, &[], reheats)?;
        let total_s = job.total_s(&nominal);
        let affordable = total_s <= bounds.longest_job_s && job.gas_kg(&at, &nominal) <= bounds.most_gas_kg;
        // The limits above are nearest once the casting is warm.
        if !holds(&nominal) || !affordable || self.tried(&at, &ends.hot, job.reheats)?.hot_k < self.guard_k {
            return Ok(Tuned::Fails);
        }
        Ok(Tuned::Holds(Box::new(Candidate { setting: at, nominal, strong, weak, total_s })))
    }
}

/// Where a rising function of the target is first at zero, by the rule of false position; none where it is not up to the
/// highest. The function is nearly straight: the reading falls in proportion to how far it stands above the casting.
fn lowest_target(
    [lowest_c, highest_c]: [f64; 2],
    above: impl Fn(f64) -> Result<f64, heat::Error>,
) -> Result<Option<f64>, heat::Error> {
    let (mut low, mut high) = (lowest_c, highest_c);
    if high <= low {
        return Ok(None);
    }
    let mut at_high = above(high)?;
    if at_high < 0.0 {
        return Ok(None);
    }
    let mut at_low = above(low)?;
    if at_low >= 0.0 {
        return Ok(Some(low));
    }
    for _ in 0..MOST_TRIALS {
        if at_high < CLOSE_K || high - low < CLOSE_K {
            break;
        }
        let between = low + (high - low) * -at_low / (at_high - at_low);
        let aimed = (between + 0.05).clamp(low, high);
        let at = above(aimed)?;
        if at >= 0.0 {
            (high, at_high) = (aimed, at);
        } else {
            (low, at_low) = (aimed, at);
        }
    }
    Ok(Some(high))
}

/// The shortest of the candidates; of equals the first.
pub fn shortest<'a>(candidates: impl IntoIterator<Item = &'a Candidate>) -> Option<Candidate> {
    candidates.into_iter().min_by(|a, b| a.total_s.total_cmp(&b.total_s)).copied()
}

/// `count` numbers from low to high, each the same factor above the one before.
pub fn geometric([low, high]: [f64; 2], count: usize) -> Vec<f64> {
    if count < 2 || high <= low {
        return vec![high];
    }
    (0..count).map(|n| low * (high / low).powf(n as f64 / (count - 1) as f64)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lowest_target_is_found_on_a_bent_curve_and_none_where_it_stays_below() {
        let bent = |t: f64| Ok((t - 180.0) * 0.5 + 0.001 * (t - 180.0) * (t - 180.0));
        let found = lowest_target([150.0, 260.0], bent).unwrap().unwrap();
        assert!((180.0..181.0).contains(&found), "{found}");
        assert_eq!(lowest_target([150.0, 170.0], bent).unwrap(), None);
        assert_eq!(lowest_target([200.0, 260.0], bent).unwrap(), Some(200.0));
    }

    #[test]
    fn steps_of_equal_factor_meet_both_ends() {
        let steps = geometric([0.5, 8.0], 5);
        assert!(steps.windows(2).all(|pair| (pair[1] / pair[0] - 2.0).abs() < 1e-12), "{steps:?}");
        assert_eq!(geometric([2.0, 2.0], 5), [2.0]);
    }
}
