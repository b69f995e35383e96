//! `cool`: from the last bead until the casting can be ground, inspected, touched and measured, and how far the heat
//! reached on the worked face.

mod blanket;
mod footprint;

use heat::{Accuracy, Case, Grids, Probe, ProbeKind, Run, Schedule, Shape};
use schemars::JsonSchema;
use serde::Serialize;

use crate::{Error, HOUR_S, Question, said};

/// Name and number of the layout.
const SCHEMA: &str = "warmhold cool 1";
/// The cool-down is followed for so long, s.
const LONGEST_S: f64 = 5.0 * 24.0 * 3600.0;
/// What is waited for first.
pub const GRIND: &str = "grind and inspect";
const MEASURE: &str = "measure";
/// What is waited for, and the temperature, Celsius: the bare hand's first touch is brief, measuring is done at 20 ± 2 C; job map 18 to 20 and ST16 (`memory`, `practice`).
const WAITS: [(&str, f64); 4] = [(GRIND, 50.0), ("touch briefly", 48.0), ("touch", 43.0), (MEASURE, 22.0)];
/// Contours whose reach is told where none are asked for, Celsius (ST17).
const CONTOURS_C: [f64; 4] = [150.0, 204.0, 260.0, 400.0];
/// Points of a drawn curve.
const DRAWN: usize = 240;

/// A blanket over the whole worked face, floors of pockets too, from the end of the last bead or flame on.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Blanket {
    /// Thickness, m.
    pub thickness_m: f64,
    /// Conductivity, W/mK.
    pub conductivity_w_mk: f64,
}

/// What is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Wishes {
    /// The blanket to compare with.
    pub blanket: Blanket,
    /// The fastest cooling allowed over an hour, K/s.
    pub limit_k_s: Option<f64>,
    /// Temperatures to wait for beside the usual ones, Celsius.
    pub below_c: Vec<f64>,
    /// Contours of the footprint in place of the usual ones, Celsius; none for those.
    pub contours_c: Vec<f64>,
}

/// When one limit is reached.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Wait {
    /// What is waited for.
    pub what: String,
    /// Temperature that everything must be below, Celsius.
    pub below_c: f64,
    /// Anywhere on the heated patch, after the last bead or flame, s; null where it is not reached in five days.
    pub face_s: Option<f64>,
    /// Its numerical error, s; null where there is none or the run has no bar.
    pub face_error_s: Option<f64>,
    /// The whole casting, s: the patch, five depths under its middle, the middle of the casting and two of its corners.
    pub casting_s: Option<f64>,
    /// Its numerical error, s, null as that of the patch: how much later the last of these places may be.
    pub casting_error_s: Option<f64>,
}

/// One way of cooling.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Way {
    /// The blanket; null for the bare face.
    pub blanket: Option<Blanket>,
    /// What is waited for.
    pub waits: Vec<Wait>,
    /// Largest fall of the mean of the ring (without one, of the hottest of the patch) within an hour, from the last bead
    /// on, K.
    pub fall_in_an_hour_k: f64,
    /// Its numerical error, K; 0 on one grid, which has none.
    pub fall_error_k: f64,
    /// Largest fall away from the patch, in the middle of the casting and at its corners, within an hour, K.
    pub casting_in_an_hour_k: f64,
    /// Its numerical error, K; 0 on one grid.
    pub casting_error_k: f64,
    /// Largest fall of the same within five minutes, K.
    pub fall_in_five_minutes_k: f64,
    /// Its numerical error, K; 0 on one grid.
    pub five_minutes_error_k: f64,
    /// Times of the drawn curve, after the last bead, s.
    pub time_s: Vec<f64>,
    /// Hottest of the patch, Celsius.
    pub face_c: Vec<f64>,
}

/// How far a temperature reached on the worked face.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Footprint {
    /// Contour, Celsius.
    pub contour_c: f64,
    /// Farthest from the middle of the patch at any instant looked at, m; 0 where it was never reached.
    pub reach_m: f64,
    /// Largest area within the contour, m2.
    pub area_m2: f64,
    /// When it was largest, s from the start.
    pub at_s: f64,
    /// Instants, s from the start.
    pub time_s: Vec<f64>,
    /// Radius of the disc of equal area at each, m.
    pub radius_m: Vec<f64>,
    /// Area within the contour at each, m2.
    pub covered_m2: Vec<f64>,
    /// Whether it reached beyond what was mapped.
    pub beyond_the_map: bool,
}

/// Everything about the cool-down.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Cool {
    /// Name and number of this layout.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// SHA-256 of the scenario after overrides.
    pub input_sha256: String,
    /// Title of the scenario.
    pub title: String,
    /// End of the last bead or flame, s from the start.
    pub from_s: f64,
    /// What that was the end of: "the last bead", "the last flame"; "the start" where nothing heats.
    pub after: String,
    /// Whose fall within an hour is told: "the mean of the ring", or "the hottest of the patch" where there is
    /// no ring.
    pub falls_at: String,
    /// Fastest cooling allowed over an hour, K; null where none is stated.
    pub limit_k: Option<f64>,
    /// The bare face, on nested grids.
    pub bare: Way,
    /// With the blanket laid at the end of the last bead or flame, on one grid.
    pub blanketed: Way,
    /// Sides of the worked face that it covers, m.
    pub blanket_over_m: [f64; 2],
    /// How far heat reached on the worked face, on one grid.
    pub footprint: Vec<Footprint>,
    /// Spacing of the points that the footprint was read at, m.
    pub footprint_step_m: f64,
    /// What else to know.
    pub notes: Vec<String>,
    /// Cautions to print.
    pub cautions: Vec<String>,
}

/// Follows the schedule and then the cool-down; `None` when it was stopped.
///
/// # Errors
/// [`Error::Needs`] for a scenario without anything hot, and as [`heat::solve`].
pub fn cool(
    case: &Case,
    question: &Question,
    wishes: &Wishes,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Option<Cool>, Error> {
    if case.torches.is_empty() && (case.start_c - case.surfaces[4].air_c).abs() < 1.0 {
        return Err(Error::Needs { what: "a torch, or a casting warmer than the shop: nothing cools".to_owned() });
    }
    let (long, places) = followed(case);
    let bare = heat::solve(&long, &question.accuracy, &|share| keep_going(0.8 * share))?;
    let from_s = last_heat(&bare);
    let under = blanket::laid(&long, wishes.blanket, &bare, from_s);
    let under = Case { output_s: vec![bare.ran_until_s], ..under };
    let one_grid = Accuracy { grids: Grids::MiddleOnly, ..question.accuracy };
    let under = heat::replay(&under, &one_grid, &bare.events, &|share| keep_going(0.8 + 0.15 * share))?;
    if bare.interrupted || under.interrupted {
        return Ok(None);
    }
    let contours_c = if wishes.contours_c.is_empty() { &CONTOURS_C[..] } else { &wishes.contours_c };
    let (footprint, step_m) = footprint::footprint(case, question, contours_c, (&bare, from_s))?;
    let waits = waits(case, &wishes.below_c);
    let [length, width, _] = case.block.size;
    Ok(Some(Cool {
        schema: SCHEMA.to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: question.input_sha256.clone(),
        title: question.title.clone(),
        from_s,
        after: last_of(&bare).to_owned(),
        falls_at: if places.ring == places.face { "the hottest of the patch" } else { "the mean of the ring" }
            .to_owned(),
        limit_k: wishes.limit_k_s.map(|limit| limit * HOUR_S),
        bare: way(&bare, &places, &waits, None),
        blanketed: way(&under, &places, &waits, Some(wishes.blanket)),
        blanket_over_m: [length, width],
        footprint,
        footprint_step_m: step_m,
        notes: notes(case, &waits),
        cautions: question.cautions.clone(),
    }))
}

/// Whether a casting that is below 22 C is at 20 ± 2 C: not where it was colder, or is going to be.
fn can_be_measured(case: &Case) -> bool {
    let measuring_c = 18.0..22.0;
    measuring_c.contains(&case.surfaces[4].air_c) && case.start_c >= measuring_c.start
}

/// The usual waits and those asked for, the hottest first.
fn waits(case: &Case, below_c: &[f64]) -> Vec<(&'static str, f64)> {
    let mut waits: Vec<(&str, f64)> =
        WAITS.into_iter().chain(below_c.iter().map(|below| ("as asked", *below))).collect();
    waits.retain(|wait| wait.0 != MEASURE || can_be_measured(case));
    waits.sort_by(|a, b| b.1.total_cmp(&a.1));
    waits
}

/// Indices of the places looked at.
struct Places {
    face: usize,
    ring: usize,
    through: Vec<usize>,
    /// Those of them that lie away from the patch.
    away: Vec<usize>,
}

/// The case with the cool-down and the places that tell of it.
fn followed(case: &Case) -> (Case, Places) {
    let mut case = case.clone();
    match &mut case.schedule {
        Schedule::Cycles { after_s, .. } => *after_s = LONGEST_S,
        Schedule::Spans { on, end_s } => *end_s = on.last().map_or(0.0, |span| span[1]) + LONGEST_S,
    }
    case.output_s.clear();
    let [length, width, depth] = case.block.size;
    let whole = Shape::Rectangle { x: [0.0, length], y: [0.0, width] };
    let patch = case.torches.first().map_or(whole, |torch| torch.patch);
    let [x, y] = patch.centre();
    let middle = [x.clamp(0.0, length), y.clamp(0.0, width)];
    let mut add = |name: String, kind: ProbeKind| {
        case.probes.push(Probe { name, kind });
        case.probes.len() - 1
    };
    let face = add("cool_face".to_owned(), ProbeKind::PatchHottest(patch));
    let under = [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| [middle[0], middle[1], share * depth]);
    let others = [[0.0, 0.0, 0.0], [0.5 * length, 0.5 * width, 0.5 * depth], [length, width, depth]];
    let (mut through, mut away) = (Vec::new(), Vec::new());
    for (n, at) in under.into_iter().chain(others).enumerate() {
        if !case.hollows.leave_metal(at, [length, width, depth]) {
            continue;
        }
        case.probes.push(Probe { name: format!("cool_{n}"), kind: ProbeKind::Point { at } });
        through.push(case.probes.len() - 1);
        if n >= under.len() {
            away.push(case.probes.len() - 1);
        }
    }
    let ring = case.probes.iter().position(|probe| probe.name == "ring_mean").unwrap_or(face);
    (case, Places { face, ring, through, away })
}

/// End of the last bead, or of the last flame, s.
fn last_heat(run: &Run) -> f64 {
    let ends = run.passes().into_iter().chain(run.heats()).map(|span| span[1]);
    ends.fold(0.0, f64::max)
}

fn way(run: &Run, places: &Places, waits: &[(&str, f64)], blanket: Option<Blanket>) -> Way {
    let from_s = last_heat(run);
    let end_s = run.ran_until_s;
    let (fall_in_an_hour_k, fall_error_k) = steepest(run, places.ring, HOUR_S);
    let away = places.away.iter().map(|&probe| steepest(run, probe, HOUR_S));
    let (fall_in_five_minutes_k, five_minutes_error_k) = steepest(run, places.ring, 300.0);
    let (casting_in_an_hour_k, casting_error_k) = away.fold((0.0, 0.0), larger);
    // Close together at first, an hour apart at last.
    let time_s: Vec<f64> = (0..=DRAWN).map(|n| (end_s - from_s) * (n as f64 / DRAWN as f64).powi(4)).collect();
    Way {
        waits: waits.iter().map(|&(what, below_c)| wait(run, places, (what, below_c), blanket.is_none())).collect(),
        blanket,
        fall_in_an_hour_k,
        fall_error_k,
        casting_in_an_hour_k,
        casting_error_k,
        fall_in_five_minutes_k,
        five_minutes_error_k,
        face_c: time_s.iter().map(|t| run.curves[places.face].at(from_s + t)).collect(),
        time_s,
    }
}

fn last_of(run: &Run) -> &'static str {
    match (run.passes().last(), run.heats().last()) {
        (Some(pass), Some(flame)) if flame[1] > pass[1] => "the last flame",
        (Some(_), _) => "the last bead",
        (None, Some(_)) => "the last flame",
        (None, None) => "the start",
    }
}

fn wait(run: &Run, places: &Places, (what, below_c): (&str, f64), with_bars: bool) -> Wait {
    let from_s = last_heat(run);
    let after = |probe: usize| {
        run.curves[probe].falls_below(below_c, from_s, run.ran_until_s).map(|c| (c.time_s - from_s, c.error_s))
    };
    let face = after(places.face);
    let everywhere: Option<Vec<(f64, f64)>> = places.through.iter().chain([&places.face]).map(|&p| after(p)).collect();
    let casting = everywhere.map(|times| {
        let last_s = times.iter().fold(0.0, |last: f64, time| last.max(time.0));
        // A place that is below from the start on makes nothing later.
        let later = times.iter().filter(|time| time.0 > 0.0);
        (last_s, later.fold(0.0, |most: f64, time| most.max(time.0 + time.1 - last_s)))
    });
    Wait {
        what: what.to_owned(),
        below_c,
        face_s: face.map(|f| f.0),
        face_error_s: face.filter(|_| with_bars).map(|f| f.1),
        casting_s: casting.map(|c| c.0),
        casting_error_s: casting.filter(|_| with_bars).map(|c| c.1),
    }
}

/// Largest fall of a probe within a time, looked for every quarter of it 96 times, and its error, K.
fn steepest(run: &Run, probe: usize, within_s: f64) -> (f64, f64) {
    let (curve, from_s) = (&run.curves[probe], last_heat(run));
    let fall = |n: usize| {
        let start_s = from_s + 0.25 * within_s * n as f64;
        let later_s = (start_s + within_s).min(run.ran_until_s);
        (curve.at(start_s) - curve.at(later_s), curve.error_from_switch(start_s) + curve.error_from_switch(later_s))
    };
    (0..96).map(fall).fold((0.0, 0.0), larger)
}

/// The one of two values with their errors that is larger.
fn larger(most: (f64, f64), one: (f64, f64)) -> (f64, f64) {
    if one.0 > most.0 { one } else { most }
}

fn notes(case: &Case, waits: &[(&str, f64)]) -> Vec<String> {
    let mut notes = vec![
        "A local patch gives its heat to the casting, not to the air (N4): a blanket slows the casting, hardly the patch."
            .to_owned(),
    ];
    if !case.hollows.boxes.is_empty() {
        notes.push("The walls of pockets and hollows stay bare under the blanket.".to_owned());
    }
    if blanket::takes_the_place(case) {
        notes.push("What the scenario lays on the worked face comes off when this blanket comes on.".to_owned());
    }
    let air_c = case.surfaces[4].air_c;
    if !can_be_measured(case) {
        let [air, start] = [air_c, case.start_c].map(said::temperature);
        notes.push(format!(
            "Measuring at 20 ± 2 C (68 ± 4 F) is not told: the shop is at {air}, the casting starts at {start}."
        ));
    }
    if let Some((_, hottest_c)) = waits.iter().find(|wait| wait.1 <= air_c) {
        let [air, below] = [air_c, *hottest_c].map(said::temperature);
        notes.push(format!("The shop is at {air}: nothing comes below {below} there."));
    }
    notes
}
