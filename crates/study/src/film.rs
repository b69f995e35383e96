//! Maps at many instants of one run, with the heat booked at each: for pages that move and for areas over time.

use heat::{Case, Map, MapWindow};

use crate::picture::{outlines, switches, window};
use crate::{Error, LedgerJ, Outcome, Outline, Picture, Question};

/// Instants after each flame-off that are always there, s: cooling is fastest right after it.
const AFTER_OFF_S: [f64; 3] = [5.0, 15.0, 40.0];
/// Gaps are not parted below this, s.
const CLOSEST_S: f64 = 0.5;

/// One run as a row of maps.
#[derive(Clone, Debug, PartialEq)]
pub struct Film {
    /// The maps in order of time, the first at the start.
    pub maps: Vec<Map>,
    /// What is drawn over the face.
    pub outlines: Vec<Outline>,
    /// Depth of the ring, m; 0 without a ring.
    pub ring_depth: f64,
    /// Place of the section along y, m.
    pub section_y: f64,
}

impl Film {
    /// When, s, and the heat booked until then, J.
    pub fn ledgers(&self) -> Vec<(f64, LedgerJ)> {
        self.maps.iter().map(|map| (map.time_s, LedgerJ::from(&map.ledger))).collect()
    }

    /// The map nearest to a time, as a picture of its own.
    pub fn picture(&self, time_s: f64, moment: &str) -> Option<Picture> {
        let apart = |map: &&Map| (map.time_s - time_s).abs();
        let map = self.maps.iter().min_by(|a, b| apart(a).total_cmp(&apart(b)))?.clone();
        let (outlines, ring_depth) = (self.outlines.clone(), self.ring_depth);
        Some(Picture { moment: moment.to_owned(), map, outlines, ring_depth })
    }
}

/// Maps of `points` by `points` places at about `frames` instants of an outcome's run: every switch of the flame, shortly
/// after each, and evenly between. None where nothing heats a patch.
///
/// They come from one grid, without error bar: good to a kelvin or so, for looking at.
///
/// # Errors
/// [`Error::Heat`] when the engine cannot solve the case.
pub fn film(
    case: &Case,
    question: &Question,
    outcome: &Outcome,
    (points, frames): (usize, usize),
) -> Result<Option<Film>, Error> {
    let Some(torch) = case.torches.first().filter(|_| outcome.ran_until_s > 0.0) else { return Ok(None) };
    let ring = question.ring.map(|(ring, _)| ring);
    let window = MapWindow { times_s: instants(outcome, frames), ..window(case, (torch.patch, ring), points) };
    let maps = heat::maps(case, &question.accuracy, &window, &switches(case, outcome))?;
    let ring_depth = ring.map_or(0.0, |ring| ring.depth);
    Ok(Some(Film { maps, outlines: outlines(torch.patch, ring), ring_depth, section_y: window.section_y }))
}

/// About so many instants of a run, s, ascending: its ends, the flames with what follows them, the rest where the gaps are
/// widest. The judged instants of the first heat and the first breach are always there. Of very many flames only the first
/// have instants of their own.
pub(crate) fn instants(outcome: &Outcome, frames: usize) -> Vec<f64> {
    let end_s = outcome.ran_until_s;
    let own = 2 + AFTER_OFF_S.len();
    let flames = outcome.heats.iter().take((frames / own).saturating_sub(1));
    let judged = outcome.passes.iter().filter(|pass| pass.heat == 1).take(frames / 4).map(|pass| pass.start_s);
    let judged = judged.chain(outcome.first_breach.iter().map(|breach| breach.time_s));
    let mut times: Vec<f64> = flames
        .flat_map(|heat| [heat.start_s, heat.end_s].into_iter().chain(AFTER_OFF_S.map(|after| heat.end_s + after)))
        .chain(judged)
        .filter(|&time| time > 0.0 && time < end_s)
        .chain([0.0, end_s])
        .collect();
    times.sort_by(f64::total_cmp);
    times.dedup();
    while times.len() < frames {
        let widest = (1..times.len()).max_by(|&a, &b| (times[a] - times[a - 1]).total_cmp(&(times[b] - times[b - 1])));
        let Some(after) = widest.filter(|&n| times[n] - times[n - 1] > CLOSEST_S) else { break };
        times.insert(after, 0.5 * (times[after - 1] + times[after]));
    }
    times
}
