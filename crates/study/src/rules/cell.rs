//! One cell of the table.

use heat::{Case, Grids};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Head;
use super::die::{Die, Held, PATIENCE};
use crate::said::duration;
use crate::{Limit, Question};

/// Times until the reading are rounded to this, s.
const FLAME_STEP_S: f64 = 60.0;
/// A reading that takes the rounded time to this share takes just that.
const SAME_TIME: f64 = 0.01;
/// Settings of interval and beads that are judged before a cell is given up.
const MOST_SETTINGS: usize = 12;
/// A small hold is rounded down to the first of these, from two minutes on to the second, s.
const INTERVAL_STEPS_S: [f64; 2] = [5.0, 15.0];

/// One line of the table; where it is not possible, `why_not` says why and the numbers that could not be had are null.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Rule {
    /// Number of the cell.
    pub number: usize,
    /// Mass of the casting, kg.
    pub mass_kg: f64,
    /// Thickness under the patch, m.
    pub section_m: f64,
    /// Diameter of the heated disc, m.
    pub width_m: f64,
    /// First heating wanted, s.
    pub soak_s: f64,
    /// Why it is not possible; null where it is.
    pub why_not: Option<String>,
    /// Net power into the metal that makes the reading take the soak, rounded to the nearest minute, W.
    pub net_power_w: Option<f64>,
    /// How long it takes as stated until the reading, to the nearest minute, s: the flame goes off by the reading.
    pub flame_s: Option<f64>,
    /// Shortest and longest time until the reading over the stated ranges, s.
    pub flame_band_s: Option<[f64; 2]>,
    /// Hold of the ring as stated, s; at most four hours are followed.
    pub hold_s: Option<f64>,
    /// Its numerical error, s.
    pub hold_error_s: Option<f64>,
    /// Shortest and longest hold over the stated ranges, s.
    pub hold_band_s: Option<[f64; 2]>,
    /// Flame off to flame on, rounded down from the shortest hold less its error, s.
    pub interval_s: Option<f64>,
    /// Beads that are laid within the interval, the last arc and all; null where no passes are planned.
    pub beads: Option<usize>,
    /// Beads that are laid within the shortest and within the longest hold, by their time alone.
    pub beads_band: Option<[usize; 2]>,
    /// Which body was solved.
    pub model: Option<String>,
}

impl Rule {
    fn blank(number: usize, [mass_kg, section_m, width_m, soak_s]: [f64; 4]) -> Rule {
        Rule {
            number,
            mass_kg,
            section_m,
            width_m,
            soak_s,
            why_not: None,
            net_power_w: None,
            flame_s: None,
            flame_band_s: None,
            hold_s: None,
            hold_error_s: None,
            hold_band_s: None,
            interval_s: None,
            beads: None,
            beads_band: None,
            model: None,
        }
    }

    fn not(self, why: &str) -> Rule {
        Rule { why_not: Some(why.to_owned()), interval_s: None, beads: None, ..self }
    }
}

/// Answers one cell.
///
/// # Errors
/// As [`heat::solve`].
pub fn rule(
    (case, question): (&Case, &Question),
    head: &Head,
    (number, cell): (usize, [f64; 4]),
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Rule, heat::Error> {
    let blank = Rule::blank(number, cell);
    let [mass_kg, section_m, width_m, soak_s] = cell;
    let rounded_s = to_the_minute(soak_s);
    let Some(die) = Die::new((case, question), head, [mass_kg, section_m, width_m, rounded_s], keep_going) else {
        return Ok(blank.not("the patch is wider than the face"));
    };
    let (die, stated) = set_by_the_rounded_time(die, rounded_s)?;
    let rule = Rule { net_power_w: Some(die.net_power_w()), model: Some(die.name.clone()), ..blank };
    let all = if stated.reached { die.ends(stated)? } else { vec![stated] };
    if !all.iter().all(|held| held.reached) {
        let waited = duration(PATIENCE * rounded_s);
        return Ok(rule.not(&format!(
            "at the weak end of the ranges the reading is not reached within {waited}, {PATIENCE:.0} times the soak"
        )));
    }
    let band = |of: fn(&Held) -> f64| {
        all.iter().map(of).fold([f64::INFINITY, 0.0_f64], |[low, high], v| [low.min(v), high.max(v)])
    };
    let holds = band(|held| held.hold_s);
    let count = |hold_s: f64| head.bead_s.map(|bead| beads(bead, hold_s));
    let rule = Rule {
        flame_s: Some(to_the_minute(stated.flame_s)),
        flame_band_s: Some(band(|held| held.flame_s)),
        hold_s: Some(stated.hold_s),
        hold_error_s: Some(stated.error_s),
        hold_band_s: Some(holds),
        beads_band: count(holds[0]).zip(count(holds[1])).map(|(low, high)| [low, high]),
        ..rule
    };
    Ok(match settled(&die, head, holds[0] - stated.error_s)? {
        Ok((interval_s, beads)) => Rule { interval_s: Some(interval_s), beads, ..rule },
        Err(why) => rule.not(why),
    })
}

/// The torch as the printed time sets it: turned until the reading takes just that, to a hundredth, so that every number of
/// the rule and both its limits are those of the rounded time.
fn set_by_the_rounded_time(mut die: Die, rounded_s: f64) -> Result<(Die, Held), heat::Error> {
    die.set_torch(rounded_s)?;
    let stated = die.held(&[], Grids::Nested)?;
    if !stated.reached || (rounded_s / stated.flame_s - 1.0).abs() <= SAME_TIME {
        return Ok((die, stated));
    }
    // The torch is set on one grid, where it takes a little longer or shorter than on nested ones.
    die.set_torch(rounded_s * rounded_s / stated.flame_s)?;
    let stated = die.held(&[], Grids::Nested)?;
    Ok((die, stated))
}

/// The longest interval and the most beads, from the shortest hold downwards, that keep inside the window at the worst end
/// of the stated ranges over all heats; or why there are none.
fn settled(die: &Die, head: &Head, hold_s: f64) -> Result<Result<(f64, Option<usize>), &'static str>, heat::Error> {
    let mut interval_s = whole(hold_s);
    let mut most = usize::MAX;
    for _ in 0..MOST_SETTINGS {
        let laid = head.bead_s.map(|bead| beads(bead, interval_s).min(most));
        if interval_s <= 0.0 {
            return Ok(Err("at the worst end the ring is below the minimum as the flame goes off"));
        }
        if laid == Some(0) {
            return Ok(Err("at the worst end not one bead can be laid within the interval"));
        }
        let sure_k = die.sure_margins(interval_s, laid)?;
        let broken = |limit: Limit| sure_k[limit as usize] <= 0.0;
        if broken(Limit::Surface) {
            return Ok(Err("at the worst end the surface gets hotter than its limit"));
        }
        match laid {
            _ if !broken(Limit::Minimum) && !broken(Limit::Interpass) => return Ok(Ok((interval_s, laid))),
            Some(laid) if laid > 1 => most = laid - 1,
            _ if broken(Limit::Interpass) => {
                return Ok(Err("at the worst end the ring gets above the maximum over the reheats"));
            }
            Some(_) => break,
            None => interval_s = whole(interval_s - INTERVAL_STEPS_S[0]),
        }
    }
    Ok(Err("at the worst end the ring falls below the minimum over the reheats"))
}

fn to_the_minute(seconds: f64) -> f64 {
    (seconds / FLAME_STEP_S).round().max(1.0) * FLAME_STEP_S
}

/// Downwards to five seconds, from two minutes on to fifteen.
fn whole(seconds: f64) -> f64 {
    let step = INTERVAL_STEPS_S[usize::from(seconds >= 120.0)];
    (seconds.max(0.0) / step).floor() * step
}

/// Beads that are laid within a time: the last arc is out before it is over, its pause need not be.
fn beads([first_s, arc_s, pause_s]: [f64; 3], within_s: f64) -> usize {
    if within_s < first_s + arc_s {
        return 0;
    }
    1 + ((within_s - first_s - arc_s) / (arc_s + pause_s).max(1.0)).floor().min(999.0) as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_rounded_down_and_the_last_arc_is_out_before_the_interval_is_over() {
        assert_eq!([-3.0, 4.9, 59.0, 119.9, 134.0].map(whole), [0.0, 0.0, 55.0, 115.0, 120.0]);
        let bead = [20.0, 20.0, 60.0];
        // 20 s to the first arc, 20 s of it, then 60 s and 20 s for each further one.
        assert_eq!([39.9, 40.0, 115.0, 119.9, 120.0, 200.0].map(|s| beads(bead, s)), [0, 1, 1, 1, 2, 3]);
    }
}
