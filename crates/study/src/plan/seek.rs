//! The search for the shortest job on quick runs.

use rayon::prelude::*;

use super::trial::{Fineness, Job, Reading, Setting};
use crate::progress::Share;
use crate::{Error, Lever};

/// The first heating that is looked at is no longer than this, s.
pub const LONGEST_HEAT_UP_S: f64 = 4.0 * 3600.0;
/// The target stays this far inside the limits above it, K.
const INSIDE_K: f64 = 1.0;
/// The reading is found to within this, K.
const CLOSE_K: f64 = 0.25;
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
}

/// What the inputs are moved by at the ends that matter.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ends {
    /// Everything at its worst with the flame that soaks least.
    pub strong: Vec<(Lever, f64)>,
    /// The same with the weakest flame; the same list where the torch has no range.
    pub weak: Vec<(Lever, f64)>,
    /// Everything at its worst for the limits above.
    pub hot: Vec<(Lever, f64)>,
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

/// Which ends of the stated ranges are the worse for the coldest of the ring, looked at in one setting.
///
/// # Errors
/// As [`heat::solve`].
pub fn ends(job: &Job, setting: &Setting) -> Result<Ends, Error> {
    let ranges = &job.question.ranges;
    let both = ranges.par_iter().map(|range| {
        let at = |factor: f64| job.tried(setting, &[(range.lever, factor)], job.reheats, Fineness::Quick);
        Ok::<_, heat::Error>([at(range.low)?, at(range.high)?])
    });
    let both: Vec<[Reading; 2]> = both.collect::<Result<_, _>>()?;
    let mut ends = Ends::default();
    for (range, [low, high]) in ranges.iter().zip(&both) {
        ends.hot.push((range.lever, if low.hot_k < high.hot_k { range.low } else { range.high }));
        if range.lever == Lever::TorchStrength {
            ends.strong.push((range.lever, range.high));
            ends.weak.push((range.lever, range.low));
        } else {
            let factor = if low.cold_k < high.cold_k { range.low } else { range.high };
            ends.strong.push((range.lever, factor));
            ends.weak.push((range.lever, factor));
        }
    }
    Ok(ends)
}

/// Every width with every flame; none where no reading holds. In the order of widths, then strengths.
///
/// # Errors
/// As [`heat::solve`].
pub fn grid(
    job: &Job,
    bounds: &Bounds,
    ends: &Ends,
    guard_k: f64,
    share: &Share<'_>,
) -> Result<Vec<Option<Candidate>>, Error> {
    let pairs: Vec<(f64, f64)> =
        bounds.scales.iter().flat_map(|&scale| bounds.strengths.iter().map(move |&s| (scale, s))).collect();
    let found = pairs.par_iter().with_max_len(1).map(|&(scale, strength)| {
        if !share.going() {
            return Ok(None);
        }
        let found = candidate(job, bounds, ends, (scale, strength), (guard_k, Fineness::Quick));
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
    let window = job.window;
    let lowest_c = window.minimum_c + INSIDE_K;
    let ceiling = window.maximum_interpass_c.min(window.surface_limit_c.unwrap_or(f64::INFINITY));
    let highest_c = (ceiling - INSIDE_K).floor();
    let setting = |target_c: f64| Setting {
        scale,
        strength,
        target_c,
        heat_up_at_most_s: bounds.longest_heat_up_s,
        reheat_at_most_s: bounds.longest_heat_up_s,
    };
    let cold = |target_c: f64| -> Result<f64, heat::Error> {
        let at = setting(target_c);
        let strong = job.tried(&at, &ends.strong, 0, fineness)?;
        if ends.weak == ends.strong || strong.cold_k < guard_k - 10.0 {
            return Ok(strong.cold_k - guard_k);
        }
        let weak = job.tried(&at, &ends.weak, 0, fineness)?;
        Ok(if weak.reached { strong.cold_k.min(weak.cold_k) - guard_k } else { strong.cold_k - guard_k })
    };
    let Some(target_c) = lowest_target([lowest_c, highest_c], cold)? else { return Ok(None) };
    let at = setting(target_c.ceil().min(highest_c));
    let reheats = job.reheats.min(1);
    let strong = job.tried(&at, &ends.strong, reheats, fineness)?;
    let weak = if ends.weak == ends.strong { strong } else { job.tried(&at, &ends.weak, reheats, fineness)? };
    let nominal = job.tried(&at, &[], reheats, fineness)?;
    // The limits above are nearest once the casting is warm.
    let hot = job.tried(&at, &ends.hot, job.reheats, fineness)?;
    let above = hot.hot_k >= guard_k;
    let holds =
        above && [&strong, &weak, &nominal].iter().all(|r| r.reached && r.cold_k >= guard_k && r.hot_k >= guard_k);
    let gentle = strong.rise_k_s <= bounds.rise_k_s && strong.heat_up_s >= bounds.least_soak_s;
    let total_s = job.total_s(&nominal);
    Ok((holds && gentle).then_some(Candidate { setting: at, nominal, strong, weak, total_s }))
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
    let (mut at_low, mut at_high) = (above(low)?, above(high)?);
    if at_high < 0.0 {
        return Ok(None);
    }
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
