//! What lengthens the hold: levers pulled one at a time, each with its price.

use heat::{Case, Flame, Grids, Schedule, Shape};
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

use super::{Heated, heated};
use crate::hold::FOLLOWED_S;
use crate::plan::follow_the_patch;
use crate::{Error, Question};

/// One lever pulled alone.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Pull {
    /// What was changed, in words.
    pub what: String,
    /// The temperature that it is changed to, Celsius; null where it is none.
    pub to_c: Option<f64>,
    /// Heat that it puts into the casting before the flame, J.
    pub before_j: f64,
    /// Hold then, s; null where the ring stays above for four hours.
    pub hold_s: Option<f64>,
    /// Gained, s; at least this where the hold has no end.
    pub gained_s: f64,
    /// Flame time then, s.
    pub flame_s: f64,
    /// Whether the reading was reached.
    pub reached: bool,
    /// Whether it was reached within the longest flame time that the schedule allows.
    pub affordable: bool,
}

/// A lever before it is pulled.
struct Change {
    what: String,
    to_c: Option<f64>,
    before_j: f64,
    case: Case,
}

/// Levers pulled alone, the one that gains most first; what a lever does to the flame time is told with it.
///
/// They are quick runs: what one grid is off by where everything is as stated is taken off every hold.
pub(super) fn levers(
    case: &Case,
    question: &Question,
    stated_s: Option<f64>,
    longest_flame_s: Option<f64>,
) -> Result<Vec<Pull>, Error> {
    let base = heated(case, question, Grids::MiddleOnly)?;
    let factor = match (stated_s, base.hold_s) {
        (Some(stated_s), Some(base_s)) if stated_s > 0.0 && base_s > 0.0 => stated_s / base_s,
        _ => 1.0,
    };
    let base_s = base.hold_s.map_or(FOLLOWED_S, |hold_s| factor * hold_s);
    let pull = |change: Change| {
        let Heated { hold_s, flame_s, reached, .. } = heated(&change.case, question, Grids::MiddleOnly)?;
        let hold_s = hold_s.map(|hold_s| factor * hold_s);
        Ok(Pull {
            what: change.what,
            to_c: change.to_c,
            before_j: change.before_j,
            hold_s,
            gained_s: hold_s.unwrap_or(FOLLOWED_S) - base_s,
            flame_s,
            reached,
            affordable: reached && longest_flame_s.is_none_or(|longest_s| flame_s <= longest_s),
        })
    };
    let mut pulled: Vec<Pull> =
        changes(case, question).into_par_iter().map(pull).collect::<Result<_, heat::Error>>().map_err(Error::from)?;
    // A flame that never brings the reading gains nothing, whatever its metal holds.
    pulled.sort_by(|a, b| b.reached.cmp(&a.reached).then(b.gained_s.total_cmp(&a.gained_s)));
    Ok(pulled)
}

/// Each lever as a case: what N3 and N4 name.
fn changes(case: &Case, question: &Question) -> Vec<Change> {
    let plain = |what: &str, case: Case| Change { what: what.to_owned(), to_c: None, before_j: 0.0, case };
    let mut list = wider(case);
    list.push(plain("flame turned down to 0.7, and so a longer soak", with_patch(case, 1.0, 0.7)));
    list.push(plain("flame turned up to 1.5", with_patch(case, 1.0, 1.5)));
    let minimum_c = question.window.map_or(case.start_c, |window| window.minimum_c);
    if minimum_c > case.start_c {
        list.push(warmer(case, case.start_c + 0.5 * (minimum_c - case.start_c)));
    }
    list.extend(hotter(case, question));
    let mut still = case.clone();
    still.surfaces[4] = heat::Surface::ADIABATIC;
    list.push(plain("a perfect blanket on the worked face, flame included", still));
    let mut draft = case.clone();
    draft.surfaces[4].film_table = None;
    draft.surfaces[4].film_coefficient = 3.0 * case.surfaces[4].film_at(100.0).max(5.0);
    list.push(plain("a draft: three times the film on the worked face", draft));
    list
}

/// Heated wider, where the face has room for it.
fn wider(case: &Case) -> Vec<Change> {
    let [length, width, _] = case.block.size;
    let fits = |patch: Shape| patch.extent().iter().zip([length, width]).all(|(e, side)| e[0] >= 0.0 && e[1] <= side);
    let mut list = Vec::new();
    for scale in [1.25, 1.5] {
        if fits(case.torches[0].patch.scaled(scale)) {
            for (words, strength) in [("flux", 1.0), ("torch", 1.0 / (scale * scale))] {
                let what = format!("heated {scale} times as wide, with the same {words}");
                list.push(Change { what, to_c: None, before_j: 0.0, case: with_patch(case, scale, strength) });
            }
        }
    }
    list
}

/// The whole casting warm before the flame; the heat for that is its price.
fn warmer(case: &Case, to_c: f64) -> Change {
    let material = &case.material;
    let volume = case.mass() / material.density();
    let before_j = volume * (material.enthalpy(to_c) - material.enthalpy(case.start_c));
    let mut case = case.clone();
    case.start_c = to_c;
    Change { what: "the whole casting warm before".to_owned(), to_c: Some(to_c), before_j, case }
}

/// Heated higher, where the window lets it.
fn hotter(case: &Case, question: &Question) -> Option<Change> {
    const MORE_K: f64 = 20.0;
    let window = question.window?;
    let mut case = case.clone();
    let Schedule::Cycles { heat_up, .. } = &mut case.schedule else { return None };
    let Flame::Until { temperature_c, .. } = heat_up else { return None };
    let to_c = *temperature_c + MORE_K;
    if to_c > window.maximum_interpass_c {
        return None;
    }
    *temperature_c = to_c;
    Some(Change { what: "heated to a higher reading".to_owned(), to_c: Some(to_c), before_j: 0.0, case })
}

/// The patch and the circles over it wider by a factor, the torch stronger by another.
fn with_patch(case: &Case, scale: f64, strength: f64) -> Case {
    let mut case = case.clone();
    let old = case.torches[0].patch;
    let new = old.scaled(scale);
    for torch in &mut case.torches {
        torch.patch = new;
        if let Some(circles) = &mut torch.circles {
            circles.path_radius *= scale;
            circles.spot_radius *= scale;
        }
        torch.kind = torch.kind.scaled(strength);
    }
    follow_the_patch(&mut case.probes, old, new);
    case
}
