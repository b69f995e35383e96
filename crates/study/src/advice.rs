//! `advice`: where to touch, when a reading means something, what it then says, and what each instrument shows.

use heat::{Accuracy, Case, Curve, Flame, Grids, Interval, Probe, ProbeKind, Ring, Run, Schedule};
use serde::Serialize;

use crate::instrument::{gun_shows_c, probe_shows_c};
use crate::outcome::Heat;
use crate::pause::{Pause, pause};
use crate::picture::around;
use crate::said::with_more;
use crate::{Question, RingProbes, Window};

/// How long the metal is watched after the first flame, s.
const WATCHED_S: f64 = 1200.0;
/// The surface tells of the metal below once it is so near to it, K.
pub const RELAXED_K: f64 = 5.0;
/// Older practice waits so long for each metre of section, s/m: 2 min per 25 mm (ST2, `memory`).
const OLD_RULE: f64 = 120.0 / 0.025;
/// A rating this near to a temperature is that temperature, K: crayons are no better.
pub const CRAYON_K: f64 = 1.0;
/// Depths below the surface that it is to tell of, m.
const DEPTHS_M: [f64; 2] = [0.010, 0.025];
/// Seconds after flame off at which the spot is told.
const MOMENTS_S: [f64; 7] = [0.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0];
/// Spacing of the instants that are searched, s.
const SEARCHED_S: f64 = 0.5;
/// Parts of the ring's width at which places are tried.
const ACROSS: usize = 4;
/// Lags after which a contact probe is told.
const LAGS: [f64; 4] = [1.0, 2.0, 3.0, 5.0];

/// Why no advice could be given.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AdviceError {
    /// Nothing to measure against.
    #[error(
        "advice needs [window], [groove] and a torch: without them there is no ring to measure and no limit to measure it against"
    )]
    NoRing,
    /// No flame goes off within the run.
    #[error("the flame never goes off, so nothing can be measured after it")]
    NoFlameOff,
    /// Stopped before there was an answer.
    #[error("interrupted before there was any advice")]
    Interrupted,
    /// The engine could not solve the case.
    #[error(transparent)]
    Heat(#[from] heat::Error),
}

/// A surface by its look, as an infrared gun meets it.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// In words.
    pub name: String,
    /// Emissivity: usual, lowest, highest.
    pub emissivity: [f64; 3],
}

/// What advice is asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct AdviceAsk {
    /// Ratings of the crayons at hand, Celsius.
    pub crayons_c: Vec<f64>,
    /// Emissivity at which the infrared gun is set.
    pub gun: f64,
    /// Surfaces to tell of, beside that of the scenario.
    pub looks: Vec<Look>,
    /// Time constant of the contact probe, s.
    pub lag_s: Option<f64>,
    /// A break after the first flame, s.
    pub break_s: Option<f64>,
}

/// Where to touch.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Touch {
    /// From the corner x_min, y_min, m.
    pub x_m: f64,
    /// From the corner x_min, y_min, m.
    pub y_m: f64,
    /// Distance from the edge of the groove, m.
    pub from_groove_m: f64,
    /// From the middle of the heated patch, m.
    pub from_patch_centre_m: [f64; 2],
}

/// The spot at one moment.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Moment {
    /// After the flame went off, s.
    pub after_off_s: f64,
    /// The surface at the spot, Celsius.
    pub spot_c: f64,
    /// Coldest of the ring, its depth included, Celsius.
    pub coldest_c: f64,
    /// Below the spot at each of the depths, Celsius.
    pub below_c: [f64; 2],
    /// Largest numerical error bar of these, K.
    pub error_k: f64,
}

/// One crayon.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Crayon {
    /// Rating, Celsius.
    pub rating_c: f64,
    /// After the flame went off a fresh mark melts until then, s: 0 if it never does, null if it still does when the
    /// watch ends.
    pub melts_until_s: Option<f64>,
    /// Error bar of that, s.
    pub error_s: Option<f64>,
}

/// What an infrared gun shows on a surface.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Gun {
    /// The surface, in words.
    pub surface: String,
    /// Its usual emissivity.
    pub emissivity: f64,
    /// What is shown when the surface is at the minimum, Celsius: with the usual, the lowest and the highest emissivity.
    pub shown_c: [f64; 3],
}

/// What a contact probe shows.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Lagging {
    /// After it touched, s.
    pub after_touch_s: f64,
    /// Shown, Celsius.
    pub shown_c: f64,
    /// The surface then, Celsius.
    pub surface_c: f64,
}

/// The advice. The inputs are as stated: their ranges are in the check, not in here.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Advice {
    /// Name and number of this layout.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// SHA-256 of the scenario after overrides.
    pub input_sha256: String,
    /// Title of the scenario.
    pub title: String,
    /// The minimum, Celsius.
    pub minimum_c: f64,
    /// The maximum interpass temperature, Celsius.
    pub maximum_interpass_c: f64,
    /// The flame after which is measured.
    pub flame: Heat,
    /// Where to touch: the coldest spot of the ring on the worked face.
    pub touch: Touch,
    /// Depths below the spot that are told, m.
    pub depths_m: [f64; 2],
    /// From flame off until the surface is within [`RELAXED_K`] of both depths, s; null where not within the watch.
    pub wait_s: Option<f64>,
    /// Error bar of that, s.
    pub wait_error_s: Option<f64>,
    /// What older practice would wait, s: 2 min for each 25 mm of section (ST2).
    pub old_rule_s: f64,
    /// From flame off until the coldest of the ring is below the minimum, s; null where not within the watch.
    pub hold_s: Option<f64>,
    /// The spot after flame off; with the wait among the moments.
    pub moments: Vec<Moment>,
    /// The crayon for the spot: the lowest rating whose melting shows that the whole ring is at the minimum, to
    /// [`CRAYON_K`].
    pub low_crayon: Option<Crayon>,
    /// What that crayon has to allow for: the spot less the coldest of the ring, K, where the ring falls below the minimum
    /// or, if it never was above, at flame off; where it stays above, at the end of the watch.
    pub spot_above_coldest_k: f64,
    /// The next rating up: while it melts at the spot there is time left.
    pub next_crayon: Option<Crayon>,
    /// The crayon for the hottest of the ring: the highest rating that must not melt when a bead starts.
    pub high_crayon: Option<Crayon>,
    /// Emissivity at which the gun is set.
    pub gun_set: f64,
    /// What it shows when the spot is just at the minimum.
    pub gun: Vec<Gun>,
    /// Time constant of the contact probe, s.
    pub lag_s: Option<f64>,
    /// What the contact probe shows; it touches when the wait is over, or at flame off where that would be too late.
    pub lagging: Vec<Lagging>,
    /// The break, where one was asked for.
    pub pause: Option<Pause>,
    /// Cautions to print.
    pub cautions: Vec<String>,
    /// Warnings to print.
    pub warnings: Vec<String>,
}

/// Advises.
///
/// The first heating and what follows it without passes are computed: once on one grid with places all over the ring to
/// find the coldest spot on the face, then on nested grids with that spot. `keep_going` as for [`crate::check`].
///
/// # Errors
/// [`AdviceError`].
pub fn advice(
    case: &Case,
    question: &Question,
    ask: &AdviceAsk,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Advice, AdviceError> {
    let (Some(window), Some((ring, probes))) = (question.window, question.ring) else {
        return Err(AdviceError::NoRing);
    };
    let watched = watched(case).ok_or(AdviceError::NoRing)?;
    let touch_at = coldest_spot(&watched, question, (&ring, &probes), &|share| keep_going(0.2 * share))?;
    let spot = Spot::new(&watched, touch_at, probes);
    let going = |share: f64| keep_going(0.2 + 0.4 * share);
    let run = heat::solve(&spot.case, &nested(question), &going)?;
    if run.interrupted {
        return Err(AdviceError::Interrupted);
    }
    let flame = *run.heats().first().ok_or(AdviceError::NoFlameOff)?;
    let view = View { run: &run, spot: &spot, off_s: flame[1], window };
    let pause = match ask.break_s {
        Some(break_s) => pause(&watched, question, break_s, &|share| keep_going(0.6 + 0.4 * share))?,
        None => None,
    };
    let wait = view.relaxed();
    Ok(Advice {
        schema: "warmhold advice 1".to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: question.input_sha256.clone(),
        title: question.title.clone(),
        minimum_c: window.minimum_c,
        maximum_interpass_c: window.maximum_interpass_c,
        flame: Heat { start_s: flame[0], end_s: flame[1] },
        touch: touch(case, &ring, touch_at),
        depths_m: spot.depths_m,
        wait_s: wait.map(|wait| wait[0]),
        wait_error_s: wait.map(|wait| wait[1]),
        old_rule_s: OLD_RULE * case.thickness_under(touch_at),
        hold_s: view.hold_s(),
        moments: view.moments(wait.map(|wait| wait[0])),
        low_crayon: view.low_crayon(&ask.crayons_c),
        spot_above_coldest_k: view.spot_above_coldest_k(),
        next_crayon: view.next_crayon(&ask.crayons_c),
        high_crayon: view.high_crayon(&ask.crayons_c),
        gun_set: ask.gun,
        gun: gun(case, question, ask, window.minimum_c),
        lag_s: ask.lag_s,
        lagging: ask.lag_s.map_or_else(Vec::new, |lag_s| view.lagging(lag_s, view.touched_s(wait))),
        pause,
        cautions: question.cautions.clone(),
        warnings: question.warnings.iter().cloned().chain(missed(question, &run)).collect(),
    })
}

/// A flame that went off without its target.
fn missed(question: &Question, run: &Run) -> Option<String> {
    let more = with_more(question);
    let told =
        format!("The flame went off at the longest allowed time without reaching its target: heat longer, or {more}.");
    (!run.every_flame_reached()).then_some(told)
}

/// On nested grids, with error bars.
pub(crate) fn nested(question: &Question) -> Accuracy {
    Accuracy { grids: Grids::Nested, ..question.accuracy }
}

/// The first heating, then nothing but a watch; none without a torch or a flame.
fn watched(case: &Case) -> Option<Case> {
    case.torches.first()?;
    let heat_up = case.schedule.first_flame()?;
    let schedule = Schedule::Cycles {
        heat_up,
        interval: Interval::Fixed { seconds: WATCHED_S },
        reheat: Flame::For { seconds: 1.0 },
        reheats: 0,
        after_s: 0.0,
    };
    Some(Case { schedule, passes: None, output_s: Vec::new(), ..case.clone() })
}

/// The place on the worked face, within the ring, that is coldest when the coldest of the ring falls below the minimum,
/// or as the flame goes off if it never was above; where it stays above, at the end of the watch.
fn coldest_spot(
    watched: &Case,
    question: &Question,
    (ring, probes): (&Ring, &RingProbes),
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<[f64; 2], AdviceError> {
    let places = face_places(watched, ring);
    let mut case = watched.clone();
    let first = case.probes.len();
    case.probes.extend(
        places
            .iter()
            .enumerate()
            .map(|(n, &[x, y])| Probe { name: format!("place {n}"), kind: ProbeKind::Point { at: [x, y, 0.0] } }),
    );
    let one_grid = Accuracy { grids: Grids::MiddleOnly, ..question.accuracy };
    let run = heat::solve(&case, &one_grid, keep_going)?;
    if run.interrupted {
        return Err(AdviceError::Interrupted);
    }
    let off_s = run.heats().first().ok_or(AdviceError::NoFlameOff)?[1];
    let minimum_c = question.window.map_or(f64::NAN, |window| window.minimum_c);
    let fall = run.curves[probes.coldest].falls_below(minimum_c, off_s, run.ran_until_s);
    let judged_s = fall.map_or(run.ran_until_s, |fall| fall.time_s);
    let at = |n: &usize| run.curves[first + n].at(judged_s);
    let coldest = (0..places.len()).min_by(|a, b| at(a).total_cmp(&at(b)));
    coldest.map(|n| places[n]).ok_or(AdviceError::NoRing)
}

/// Places on the worked face from the groove's edge to the ring's outer edge; what lies beyond the casting is moved onto
/// its edge, and what lies over a hollow is left out.
fn face_places(case: &Case, ring: &Ring) -> Vec<[f64; 2]> {
    let [length, width, _] = case.block.size;
    let rows = (0..=ACROSS).map(|n| around(&ring.groove, ring.width * n as f64 / ACROSS as f64));
    let places = rows.flatten().map(|[x, y]| [x.clamp(0.0, length), y.clamp(0.0, width)]);
    places.filter(|&[x, y]| case.hollows.leave_metal([x, y, 0.0], case.block.size)).collect()
}

fn touch(case: &Case, ring: &Ring, [x, y]: [f64; 2]) -> Touch {
    let [middle_x, middle_y] = case.torches[0].patch.centre();
    Touch {
        x_m: x,
        y_m: y,
        from_groove_m: ring.groove.distance([x, y]),
        from_patch_centre_m: [x - middle_x, y - middle_y],
    }
}

/// The case with probes at the spot and below it.
struct Spot {
    case: Case,
    probes: RingProbes,
    depths_m: [f64; 2],
    /// Probe of the surface; the two depths follow.
    first: usize,
}

impl Spot {
    fn new(watched: &Case, [x, y]: [f64; 2], probes: RingProbes) -> Spot {
        let mut case = watched.clone();
        let section = case.thickness_under([x, y]);
        // A thin section is looked at down to its middle.
        let depths_m = DEPTHS_M.map(|depth| depth.min(0.5 * section * depth / DEPTHS_M[1]));
        let first = case.probes.len();
        for (name, z) in [("spot", 0.0), ("spot, shallow", depths_m[0]), ("spot, deep", depths_m[1])] {
            case.probes.push(Probe { name: name.to_owned(), kind: ProbeKind::Point { at: [x, y, z] } });
        }
        Spot { case, probes, depths_m, first }
    }
}

/// The finished run, looked at from the spot.
struct View<'a> {
    run: &'a Run,
    spot: &'a Spot,
    off_s: f64,
    window: Window,
}

impl View<'_> {
    fn curve(&self, probe: usize) -> &Curve {
        &self.run.curves[probe]
    }

    fn surface(&self) -> &Curve {
        self.curve(self.spot.first)
    }

    fn coldest(&self) -> &Curve {
        self.curve(self.spot.probes.coldest)
    }

    /// The surface less the depth that it is farthest from, K.
    fn gap_k(&self, time_s: f64) -> f64 {
        let surface = self.surface().at(time_s);
        let gaps = [1, 2].map(|below| surface - self.curve(self.spot.first + below).at(time_s));
        if gaps[0].abs() > gaps[1].abs() { gaps[0] } else { gaps[1] }
    }

    /// When the surface is within reach of both depths for good, after flame off, and its error bar, s.
    fn relaxed(&self) -> Option<[f64; 2]> {
        let count = (WATCHED_S / SEARCHED_S) as usize;
        let near = |after_s: f64| self.gap_k(self.off_s + after_s).abs() <= RELAXED_K;
        let last_far = (0..=count).rev().find(|n| !near(*n as f64 * SEARCHED_S));
        let Some(last_far) = last_far else { return Some([0.0, 0.0]) };
        if last_far == count {
            return None;
        }
        let (mut far, mut reached) = (last_far as f64 * SEARCHED_S, (last_far + 1) as f64 * SEARCHED_S);
        for _ in 0..40 {
            let middle = 0.5 * (far + reached);
            if near(middle) { reached = middle } else { far = middle }
        }
        let at_s = self.off_s + reached;
        let slope = (self.gap_k(at_s + 0.5) - self.gap_k(at_s - 0.5)).abs();
        let errors = [0, 2].map(|n| self.curve(self.spot.first + n).error_from_switch(at_s));
        Some([reached, (errors[0] + errors[1]) / slope.max(1e-9)])
    }

    fn hold_s(&self) -> Option<f64> {
        let fall = self.coldest().falls_below(self.window.minimum_c, self.off_s, self.run.ran_until_s)?;
        Some(fall.time_s - self.off_s)
    }

    fn moments(&self, wait_s: Option<f64>) -> Vec<Moment> {
        moments_with(wait_s.into_iter().chain(self.hold_s())).into_iter().map(|after_s| self.moment(after_s)).collect()
    }

    fn moment(&self, after_off_s: f64) -> Moment {
        let time_s = self.off_s + after_off_s;
        let first = self.spot.first;
        let told = [first, first + 1, first + 2, self.spot.probes.coldest];
        let errors = told.map(|probe| self.curve(probe).error_from_switch(time_s));
        Moment {
            after_off_s,
            spot_c: self.surface().at(time_s),
            coldest_c: self.coldest().at(time_s),
            below_c: [1, 2].map(|below| self.curve(first + below).at(time_s)),
            error_k: errors.into_iter().fold(0.0, f64::max),
        }
    }

    fn spot_above_coldest_k(&self) -> f64 {
        let judged_s = self.off_s + self.hold_s().unwrap_or(WATCHED_S);
        (self.surface().at(judged_s) - self.coldest().at(judged_s)).max(0.0)
    }

    fn low_crayon(&self, ratings_c: &[f64]) -> Option<Crayon> {
        let least_c = self.window.minimum_c + self.spot_above_coldest_k() - CRAYON_K;
        self.from(least_c, ratings_c)
    }

    fn next_crayon(&self, ratings_c: &[f64]) -> Option<Crayon> {
        let low_c = self.low_crayon(ratings_c)?.rating_c;
        self.from(low_c + CRAYON_K, ratings_c)
    }

    /// The lowest rating that is no lower than this.
    fn from(&self, least_c: f64, ratings_c: &[f64]) -> Option<Crayon> {
        let rating_c = ratings_c.iter().copied().filter(|rating| *rating >= least_c).min_by(f64::total_cmp)?;
        Some(self.crayon(rating_c, self.surface()))
    }

    fn high_crayon(&self, ratings_c: &[f64]) -> Option<Crayon> {
        let most_c = self.window.maximum_interpass_c + CRAYON_K;
        let rating_c = ratings_c.iter().copied().filter(|rating| *rating <= most_c).max_by(f64::total_cmp)?;
        Some(self.crayon(rating_c, self.curve(self.spot.probes.hottest)))
    }

    fn crayon(&self, rating_c: f64, curve: &Curve) -> Crayon {
        let fall = curve.falls_below(rating_c, self.off_s, self.run.ran_until_s);
        let after = |time_s: f64| time_s - self.off_s;
        Crayon {
            rating_c,
            melts_until_s: fall.map(|fall| after(fall.time_s)),
            error_s: fall.map(|fall| if fall.time_s > self.off_s { fall.error_s } else { 0.0 }),
        }
    }

    /// When to touch after flame off, s: when the wait is over, but before the ring is below the minimum, or else at once.
    fn touched_s(&self, wait: Option<[f64; 2]>) -> f64 {
        let in_time = |wait_s: &f64| self.hold_s().is_none_or(|hold_s| *wait_s < hold_s);
        wait.map(|wait| wait[0]).filter(in_time).unwrap_or(0.0)
    }

    fn lagging(&self, lag_s: f64, touched_s: f64) -> Vec<Lagging> {
        let air_c = self.spot.case.surfaces[heat::Face::Worked as usize].air_c;
        let at = |lags: f64| {
            let after_touch_s = lags * lag_s;
            let from_s = self.off_s + touched_s;
            Lagging {
                after_touch_s,
                shown_c: probe_shows_c(self.surface(), from_s, (lag_s, air_c), after_touch_s),
                surface_c: self.surface().at(from_s + after_touch_s),
            }
        };
        LAGS.map(at).to_vec()
    }
}

/// What the gun shows on each surface when it is at the minimum; first the surface of the scenario.
fn gun(case: &Case, question: &Question, ask: &AdviceAsk, minimum_c: f64) -> Vec<Gun> {
    let worked = &case.surfaces[heat::Face::Worked as usize];
    let range = question.ranges.iter().find(|range| range.lever == crate::Lever::Emissivity);
    let [low, high] = range.map_or([1.0; 2], |range| [range.low, range.high]);
    let own = [1.0, low, high].map(|factor| (factor * worked.emissivity).min(1.0));
    let own = Look { name: "as in the scenario".to_owned(), emissivity: own };
    let looks = (worked.emissivity > 0.0).then_some(&own).into_iter().chain(&ask.looks);
    let shown = |look: &Look| Gun {
        surface: look.name.clone(),
        emissivity: look.emissivity[0],
        shown_c: look.emissivity.map(|true_one| gun_shows_c(minimum_c, worked.surroundings_c, [true_one, ask.gun])),
    };
    looks.map(shown).collect()
}

/// The usual moments with those of a case: of two that nobody can tell apart only one, the case's own before a usual one.
fn moments_with(own: impl Iterator<Item = f64>) -> Vec<f64> {
    /// Share of a time, and least difference, s, that a watch tells apart.
    const APART: (f64, f64) = (0.02, 0.5);
    let mut kept: Vec<f64> = Vec::new();
    for after_s in own.chain(MOMENTS_S) {
        let apart = |other: &f64| (other - after_s).abs() > (APART.0 * after_s).max(APART.1);
        if kept.iter().all(apart) {
            kept.push(after_s);
        }
    }
    kept.sort_by(f64::total_cmp);
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_moment_is_told_once() {
        assert_eq!(moments_with([119.7].into_iter()), [0.0, 5.0, 10.0, 20.0, 30.0, 60.0, 119.7]);
        assert_eq!(moments_with([4.8, 5.1, 90.0].into_iter()), [0.0, 4.8, 10.0, 20.0, 30.0, 60.0, 90.0, 120.0]);
        assert_eq!(moments_with(std::iter::empty()), MOMENTS_S);
    }
}
