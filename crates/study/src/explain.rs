//! `explain`: where the heat of the patch goes, beside other castings, what lengthens the hold, and the chart of all discs.

mod budget;
mod chart;

use heat::{Case, Flame, Grids, Hollows, Interval, Schedule, Shape, TorchKind};
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

use crate::hold::{hold, hold_of};
use crate::plan::{quick_or_nested, round_beads, scaled};
use crate::question::ring_probes;
use crate::{Error, Question};
pub use budget::{Budget, Moment};
pub use chart::{Chart, ChartCurve, ChartPoint};

/// Name and number of the layout.
const SCHEMA: &str = "warmhold explain 1";
/// Longest hold that is followed, s.
const LONGEST_S: f64 = 4.0 * 3600.0;
/// Longest first heating, s, where it ends by a reading.
const LONGEST_HEATING_S: f64 = 12.0 * 3600.0;
/// Section of a plate: that of a rib or a thin face, m (D3, `practice`).
const PLATE_M: f64 = 0.04;
/// Face of a small block over the heated width, and its depth over that.
const SMALL: [f64; 2] = [1.3, 0.6];
/// Points of a drawn curve.
const DRAWN: usize = 160;

/// One casting with the same patch heated to the same reading.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Beside {
    /// Which.
    pub what: String,
    /// Length, width and depth, m.
    pub size_m: [f64; 3],
    /// Mass, kg.
    pub mass_kg: f64,
    /// Flame time until the reading, s; null where it is never read.
    pub flame_s: Option<f64>,
    /// Net heat that the torch brought, J.
    pub heat_j: f64,
    /// Hold of the ring, s; null where it stays above for four hours.
    pub hold_s: Option<f64>,
    /// Its numerical error, s.
    pub error_s: f64,
    /// Times after flame off, s.
    pub time_s: Vec<f64>,
    /// Coldest of the ring, Celsius.
    pub coldest_c: Vec<f64>,
}

/// One lever pulled alone.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Pull {
    /// What was changed, in words.
    pub what: String,
    /// Hold then, s; null where the ring stays above for four hours.
    pub hold_s: Option<f64>,
    /// Gained, s; at least this where the hold has no end.
    pub gained_s: f64,
    /// Flame time then, s.
    pub flame_s: f64,
    /// Whether the reading was reached.
    pub reached: bool,
}

/// Everything that explains a hold.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Explanation {
    /// Name and number of this layout.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// SHA-256 of the scenario after overrides.
    pub input_sha256: String,
    /// Title of the scenario.
    pub title: String,
    /// No bead starts below it, Celsius.
    pub minimum_c: f64,
    /// Hold of the ring as stated, s; null where it stays above for four hours.
    pub hold_s: Option<f64>,
    /// Its numerical error, s.
    pub hold_error_s: f64,
    /// Where the heat of the patch goes after flame off.
    pub budget: Budget,
    /// The casting as stated, a plate and a small block.
    pub beside: Vec<Beside>,
    /// Levers, the one that gains most first; by quick runs.
    pub levers: Vec<Pull>,
    /// Hold over heating time of the middle of any disc on massive metal.
    pub chart: Chart,
    /// Cautions to print.
    pub cautions: Vec<String>,
}

/// One run: heated, then cooled.
#[derive(Clone, Debug, PartialEq)]
struct Heated {
    run: heat::Run,
    hold_s: Option<f64>,
    error_s: f64,
    flame_s: f64,
    reached: bool,
}

/// Explains the hold of a case; `None` when it was stopped.
///
/// # Errors
/// [`Error::Needs`] without a window or a torch, and as [`heat::solve`].
pub fn explain(
    case: &Case,
    question: &Question,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Option<Explanation>, Error> {
    let (Some(window), 1) = (question.window, case.torches.len()) else {
        return Err(Error::Needs {
            what: "a [window] and one torch: the hold is counted from flame off to the minimum".to_owned(),
        });
    };
    let stated = single(case, window.minimum_c);
    let held = heated(&stated, question, Grids::Nested)?;
    if !keep_going(0.3) {
        return Ok(None);
    }
    let budget = budget::budget(&stated, question, &held.run)?;
    let beside = castings(&stated, question)?;
    if !keep_going(0.5) {
        return Ok(None);
    }
    let levers = levers(&stated, question)?;
    if !keep_going(0.7) {
        return Ok(None);
    }
    let chart = chart::chart()?;
    Ok(keep_going(1.0).then(|| Explanation {
        schema: SCHEMA.to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: question.input_sha256.clone(),
        title: question.title.clone(),
        minimum_c: window.minimum_c,
        hold_s: held.hold_s,
        hold_error_s: held.error_s,
        budget,
        beside,
        levers,
        chart,
        cautions: question.cautions.clone(),
    }))
}

/// One heat without beads.
fn single(case: &Case, minimum_c: f64) -> Case {
    let mut case = round_beads(case.clone());
    case.passes = None;
    case.output_s.clear();
    let heat_up = match &case.schedule {
        Schedule::Cycles { heat_up: Flame::Until { probe, temperature_c, .. }, .. } => {
            Flame::Until { probe: *probe, temperature_c: temperature_c.max(minimum_c), at_most_s: LONGEST_HEATING_S }
        }
        Schedule::Cycles { heat_up, .. } => *heat_up,
        Schedule::Spans { on, .. } => Flame::For { seconds: on.first().map_or(1.0, |span| span[1] - span[0]) },
    };
    let interval = Interval::Fixed { seconds: 1.0 };
    case.schedule = Schedule::Cycles { heat_up, interval, reheat: heat_up, reheats: 0, after_s: 0.0 };
    case
}

fn heated(case: &Case, question: &Question, grids: Grids) -> Result<Heated, heat::Error> {
    let accuracy = quick_or_nested(case, &question.accuracy, grids);
    let mut follow = hold_of(case, question, |probes| vec![probes.coldest]);
    follow.iter_mut().for_each(|hold| hold.at_most_s = LONGEST_S);
    let (Some(follow), Some((_, probes)), Some(window)) = (follow, question.ring, question.window) else {
        return Err(heat::Error::NoSuchProbe { index: 0 });
    };
    let (_, held) = heat::solve_with_hold(case, &accuracy, &follow, &|_| true)?;
    let Some(run) = held else { return Err(heat::Error::NoSuchProbe { index: 0 }) };
    let crossing = hold(&run, probes.coldest, window.minimum_c);
    let flame_s = run.heats().first().map_or(0.0, |heat| heat[1] - heat[0]);
    let reached = run.events.iter().all(|e| e.what != heat::What::FlameOff { reached: false });
    let (hold_s, error_s) = (crossing.map(|c| c.time_s), crossing.map_or(0.0, |c| c.error_s));
    Ok(Heated { hold_s, error_s, flame_s, reached, run })
}

/// The same patch, flame and reading on the casting as stated, on a plate of its face, and on a small block.
fn castings(case: &Case, question: &Question) -> Result<Vec<Beside>, Error> {
    let [length, width, depth] = case.block.size;
    let extent = case.torches[0].patch.extent();
    let heated_m = (extent[0][1] - extent[0][0]).max(extent[1][1] - extent[1][0]);
    let small = (SMALL[0] * heated_m).min(length).min(width);
    let section = case.thickness_under_the_patch();
    let mut list = vec![("the casting as stated", case.clone())];
    if section > 1.2 * PLATE_M {
        let mut plate = case.clone();
        plate.block.size = [length, width, PLATE_M];
        plate.hollows = Hollows::default();
        list.push(("a plate of its face", plate));
    }
    if small < 0.8 * length.min(width) {
        let block = [small, small, (SMALL[1] * small).min(depth)];
        list.push(("a small block", resized(case, question, block)));
    }
    let beside = list.par_iter().map(|(what, case)| {
        let question = reprobed(case, question);
        let held = heated(case, &question, Grids::Nested)?;
        let off_s = held.run.heats().first().map_or(0.0, |heat| heat[1]);
        let curve = &held.run.curves[question.ring.map_or(0, |(_, probes)| probes.coldest)];
        let last_s = (held.run.ran_until_s - off_s).min(3.0 * held.hold_s.unwrap_or(LONGEST_S).max(60.0));
        let time_s: Vec<f64> = (0..=DRAWN).map(|n| last_s * n as f64 / DRAWN as f64).collect();
        Ok(Beside {
            what: (*what).to_owned(),
            size_m: case.block.size,
            mass_kg: case.mass(),
            flame_s: held.reached.then_some(held.flame_s),
            heat_j: held.run.ledger.torch_j,
            hold_s: held.hold_s,
            error_s: held.error_s,
            coldest_c: time_s.iter().map(|t| curve.at(off_s + t)).collect(),
            time_s,
        })
    });
    beside.collect::<Result<_, heat::Error>>().map_err(Error::from)
}

/// The case on another block, everything moved to its middle.
fn resized(case: &Case, question: &Question, size: [f64; 3]) -> Case {
    let mut case = case.clone();
    case.block.size = size;
    case.hollows = Hollows::default();
    let middle = [0.5 * size[0], 0.5 * size[1]];
    let patch = centred(case.torches[0].patch, middle);
    case.torches[0].patch = patch;
    let flame_probe = match case.schedule {
        Schedule::Cycles { heat_up: Flame::Until { probe, .. }, .. } => case.probes.get(probe).map(|p| p.name.clone()),
        _ => None,
    };
    case.probes.clear();
    if let Some((mut ring, _)) = question.ring {
        ring.groove = centred(ring.groove, middle);
        ring.depth = ring.depth.min(0.5 * size[2]);
        let probes = ring_probes(&mut case, ring, patch);
        let at = flame_probe.and_then(|name| case.probes.iter().position(|p| p.name == name)).unwrap_or(probes.coldest);
        if let Schedule::Cycles { heat_up, reheat, .. } = &mut case.schedule {
            for flame in [heat_up, reheat] {
                if let Flame::Until { probe, .. } = flame {
                    *probe = at;
                }
            }
        }
    }
    case
}

fn centred(shape: Shape, to: [f64; 2]) -> Shape {
    let from = shape.centre();
    match shape {
        Shape::Disc { radius, .. } => Shape::Disc { centre: to, radius },
        Shape::Rectangle { x, y } => {
            Shape::Rectangle { x: x.map(|v| v - from[0] + to[0]), y: y.map(|v| v - from[1] + to[1]) }
        }
    }
}

/// The question with its probes where the case has them.
fn reprobed(case: &Case, question: &Question) -> Question {
    let mut question = question.clone();
    let Some((ring, probes)) = &mut question.ring else { return question };
    let at = |name: &str| case.probes.iter().position(|probe| probe.name == name);
    let found = ["ring_coldest", "ring_mean", "ring_hottest", "patch_hottest", "patch_centre"].map(at);
    if let [Some(coldest), Some(mean), Some(hottest), Some(surface), Some(centre)] = found {
        *probes = crate::RingProbes { coldest, mean, hottest, surface, centre };
    }
    if let Some(heat::ProbeKind::RingColdest(own)) = case.probes.get(probes.coldest).map(|probe| probe.kind) {
        *ring = own;
    }
    question
}

/// Levers pulled alone; what a lever does to the flame time is told with it.
fn levers(case: &Case, question: &Question) -> Result<Vec<Pull>, Error> {
    let base = heated(case, question, Grids::MiddleOnly)?;
    let base_s = base.hold_s.unwrap_or(LONGEST_S);
    let changed = pulls(case, question);
    let pulled = changed.par_iter().map(|(what, case)| {
        let question = reprobed(case, question);
        let held = heated(case, &question, Grids::MiddleOnly)?;
        Ok(Pull {
            what: what.clone(),
            hold_s: held.hold_s,
            gained_s: held.hold_s.unwrap_or(LONGEST_S) - base_s,
            flame_s: held.flame_s,
            reached: held.reached,
        })
    });
    let mut pulled: Vec<Pull> = pulled.collect::<Result<_, heat::Error>>().map_err(Error::from)?;
    // A flame that never brings the reading gains nothing, whatever its metal holds.
    pulled.sort_by(|a, b| b.reached.cmp(&a.reached).then(b.gained_s.total_cmp(&a.gained_s)));
    Ok(pulled)
}

/// Each lever as a case: what N3 and N4 name.
fn pulls(case: &Case, question: &Question) -> Vec<(String, Case)> {
    let mut list: Vec<(String, Case)> = Vec::new();
    let [length, width, _] = case.block.size;
    let fits = |patch: Shape| patch.extent().iter().zip([length, width]).all(|(e, side)| e[0] >= 0.0 && e[1] <= side);
    let patch = case.torches[0].patch;
    for scale in [1.25, 1.5] {
        let wide = scaled(patch, scale);
        if fits(wide) {
            let same = with_patch(case, patch, wide, 1.0);
            list.push((format!("heated {scale} times as wide, with the same flux"), same));
            let spread = with_patch(case, patch, wide, 1.0 / (scale * scale));
            list.push((format!("heated {scale} times as wide, with the same torch"), spread));
        }
    }
    for (words, factor) in [("flame turned down to 0.7, and so a longer soak", 0.7), ("flame turned up to 1.5", 1.5)] {
        list.push((words.to_owned(), with_patch(case, patch, patch, factor)));
    }
    let minimum_c = question.window.map_or(case.start_c, |window| window.minimum_c);
    let warm_c = case.start_c + 0.5 * (minimum_c - case.start_c);
    let mut warm = case.clone();
    warm.start_c = warm_c;
    list.push((format!("the whole casting at {warm_c:.0} C before"), warm));
    list.extend(hotter(case, question));
    let mut still = case.clone();
    still.surfaces[4] = heat::Surface::ADIABATIC;
    list.push(("a perfect blanket on the worked face, flame included".to_owned(), still));
    let mut draft = case.clone();
    draft.surfaces[4].film_table = None;
    draft.surfaces[4].film_coefficient = 3.0 * case.surfaces[4].film_at(100.0).max(5.0);
    list.push(("a draft: three times the film on the worked face".to_owned(), draft));
    list
}

/// Heated to 20 K more, where the window lets it.
fn hotter(case: &Case, question: &Question) -> Option<(String, Case)> {
    const MORE_K: f64 = 20.0;
    let window = question.window?;
    let mut case = case.clone();
    let Schedule::Cycles { heat_up, .. } = &mut case.schedule else { return None };
    let Flame::Until { temperature_c, .. } = heat_up else { return None };
    (*temperature_c + MORE_K <= window.maximum_interpass_c).then(|| {
        *temperature_c += MORE_K;
    })?;
    Some((format!("heated to {MORE_K:.0} K more"), case))
}

fn with_patch(case: &Case, old: Shape, new: Shape, strength: f64) -> Case {
    let mut case = case.clone();
    for torch in &mut case.torches {
        torch.patch = new;
        match &mut torch.kind {
            TorchKind::Flux { flux } => *flux *= strength,
            TorchKind::Flame { film_coefficient, .. } => *film_coefficient *= strength,
        }
    }
    for probe in &mut case.probes {
        if let heat::ProbeKind::PatchHottest(shape)
        | heat::ProbeKind::PatchColdest(shape)
        | heat::ProbeKind::PatchMean(shape) = &mut probe.kind
            && *shape == old
        {
            *shape = new;
        }
    }
    case
}
