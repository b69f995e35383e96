//! `cool`: from the last bead until the casting can be ground, inspected, touched and measured, and how far the heat
//! reached on the worked face.

use heat::{Accuracy, Case, Event, Grids, Map, MapWindow, Probe, ProbeKind, Run, Schedule, Shape, Surface};
use schemars::JsonSchema;
use serde::Serialize;

use crate::{Error, Question};

/// Name and number of the layout.
const SCHEMA: &str = "warmhold cool 1";
/// The cool-down is followed for so long, s.
const LONGEST_S: f64 = 5.0 * 24.0 * 3600.0;
const HOUR_S: f64 = 3600.0;
/// Largest error of a step, K.
const STEP_ERROR_K: f64 = 0.04;
/// What is waited for, and the temperature, Celsius: job map 18 to 20 and ST16 (`memory`, `practice`).
const WAITS: [(&str, f64); 4] = [
    ("grind and inspect", 50.0),
    ("touch briefly with the bare hand", 48.0),
    ("touch", 43.0),
    ("measure at 20 ± 2 C", 22.0),
];
/// Contours whose reach is told, Celsius (ST17).
const CONTOURS_C: [f64; 4] = [150.0, 204.0, 260.0, 400.0];
/// Points along each side of a map, and half its side over that of the patch.
const MAP: (usize, f64) = (121, 2.5);
/// Instants of the footprint.
const INSTANTS: usize = 48;
/// Points of a drawn curve.
const DRAWN: usize = 240;

/// A blanket laid on the worked face.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Blanket {
    /// Thickness, m.
    pub thickness_m: f64,
    /// Conductivity, W/mK.
    pub conductivity_w_mk: f64,
}

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wishes {
    /// The blanket to compare with.
    pub blanket: Blanket,
    /// The fastest cooling allowed over an hour, K/s.
    pub limit_k_s: Option<f64>,
}

/// When one limit is reached.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Wait {
    /// What is waited for.
    pub what: String,
    /// Temperature that everything must be below, Celsius.
    pub below_c: f64,
    /// Anywhere on the worked face, after the last bead or flame, s; null where it is not reached in five days.
    pub face_s: Option<f64>,
    /// Its numerical error, s; null where there is none or the run has no bar.
    pub face_error_s: Option<f64>,
    /// The whole casting, s.
    pub casting_s: Option<f64>,
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
    /// Times of the drawn curve, after the last bead, s.
    pub time_s: Vec<f64>,
    /// Hottest of the worked face, Celsius.
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
    /// Fastest cooling allowed over an hour, K; null where none is stated.
    pub limit_k: Option<f64>,
    /// The bare face, on nested grids.
    pub bare: Way,
    /// With the blanket from the start, on one grid.
    pub blanketed: Way,
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
    wishes: Wishes,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Option<Cool>, Error> {
    if case.torches.is_empty() && (case.start_c - case.surfaces[4].air_c).abs() < 1.0 {
        return Err(Error::Needs { what: "a torch, or a casting warmer than the shop: nothing cools".to_owned() });
    }
    let (long, places) = followed(case);
    let covered = covered(&long, wishes.blanket);
    let (bare, under) = rayon::join(
        || heat::solve(&long, &in_small_steps(&question.accuracy), &|share| keep_going(0.8 * share)),
        || heat::solve(&covered, &one_grid(&question.accuracy), keep_going),
    );
    let (bare, under) = (bare?, under?);
    if bare.interrupted || under.interrupted {
        return Ok(None);
    }
    let from_s = last_heat(&bare);
    let (footprint, step_m) = footprint(case, question, &bare, from_s)?;
    Ok(Some(Cool {
        schema: SCHEMA.to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: question.input_sha256.clone(),
        title: question.title.clone(),
        from_s,
        limit_k: wishes.limit_k_s.map(|limit| limit * HOUR_S),
        bare: way(&bare, &places, None, true),
        blanketed: way(&under, &places, Some(wishes.blanket), false),
        footprint,
        footprint_step_m: step_m,
        notes: notes(case),
        cautions: question.cautions.clone(),
    }))
}

/// A casting that cools as a whole takes errors of all its steps along for days: each must be small.
fn in_small_steps(accuracy: &Accuracy) -> Accuracy {
    Accuracy { step_error_k: accuracy.step_error_k.min(STEP_ERROR_K), ..*accuracy }
}

fn one_grid(accuracy: &Accuracy) -> Accuracy {
    Accuracy { grids: Grids::MiddleOnly, ..in_small_steps(accuracy) }
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

/// The worked face under a blanket all the time: what crosses it leaves its outside by the film and by radiation to the
/// shop, `h = 1 / (d/k + 1/(film + 4 sigma T_air^3))`, as the blanket of a face in a scenario has it.
fn covered(case: &Case, blanket: Blanket) -> Case {
    let mut case = case.clone();
    let surface: &mut Surface = &mut case.surfaces[4];
    let kelvin = surface.air_c + heat::ZERO_CELSIUS_K;
    let radiating = 4.0 * 0.9 * heat::STEFAN_BOLTZMANN * kelvin * kelvin * kelvin;
    let film = surface.film_at(surface.air_c + 50.0);
    let resistance = blanket.thickness_m / blanket.conductivity_w_mk;
    surface.film_coefficient = 1.0 / (resistance + 1.0 / (film + radiating));
    surface.film_table = None;
    surface.emissivity = 0.0;
    case
}

/// End of the last bead, or of the last flame, s.
fn last_heat(run: &Run) -> f64 {
    let ends = run.passes().into_iter().chain(run.heats()).map(|span| span[1]);
    ends.fold(0.0, f64::max)
}

fn way(run: &Run, places: &Places, blanket: Option<Blanket>, with_bars: bool) -> Way {
    let from_s = last_heat(run);
    let end_s = run.ran_until_s;
    let after = |probe: usize, below_c: f64| {
        run.curves[probe].falls_below(below_c, from_s, end_s).map(|c| (c.time_s - from_s, c.error_s))
    };
    let wait = |&(what, below_c): &(&str, f64)| {
        let face = after(places.face, below_c);
        let through: Option<Vec<f64>> =
            places.through.iter().chain([&places.face]).map(|&probe| Some(after(probe, below_c)?.0)).collect();
        Wait {
            what: what.to_owned(),
            below_c,
            face_s: face.map(|f| f.0),
            face_error_s: face.filter(|_| with_bars).map(|f| f.1),
            casting_s: through.map(|times| times.into_iter().fold(0.0, f64::max)),
        }
    };
    let fall = |probe: usize| -> (f64, f64) {
        let curve = &run.curves[probe];
        let start = |n: usize| from_s + 0.25 * HOUR_S * n as f64;
        let fall = |t: f64| {
            let later = (t + HOUR_S).min(end_s);
            (curve.at(t) - curve.at(later), curve.error_from_switch(t) + curve.error_from_switch(later))
        };
        (0..96).map(start).map(fall).fold((0.0, 0.0), |most, one| if one.0 > most.0 { one } else { most })
    };
    let (fall_in_an_hour_k, fall_error_k) = fall(places.ring);
    // Close together at first, an hour apart at last.
    let time_s: Vec<f64> = (0..=DRAWN).map(|n| (end_s - from_s) * (n as f64 / DRAWN as f64).powi(4)).collect();
    Way {
        blanket,
        waits: WAITS.iter().map(wait).collect(),
        fall_in_an_hour_k,
        fall_error_k,
        casting_in_an_hour_k: places.away.iter().map(|&probe| fall(probe).0).fold(0.0, f64::max),
        face_c: time_s.iter().map(|t| run.curves[places.face].at(from_s + t)).collect(),
        time_s,
    }
}

/// The contours at instants of the work and of the first hour after it.
fn footprint(case: &Case, question: &Question, run: &Run, from_s: f64) -> Result<(Vec<Footprint>, f64), Error> {
    let Some(torch) = case.torches.first() else { return Ok((Vec::new(), 0.0)) };
    let [length, width, depth] = case.block.size;
    let middle = torch.patch.centre();
    let extent = torch.patch.extent();
    let half = MAP.1 * 0.5 * (extent[0][1] - extent[0][0]).max(extent[1][1] - extent[1][0]);
    let clip = |at: f64, most: f64| [(at - half).max(0.0), (at + half).min(most)];
    let face = [clip(middle[0], length), clip(middle[1], width)];
    let window = MapWindow {
        face,
        section_y: middle[1].clamp(0.0, width),
        depth: (0.01_f64).min(depth),
        points: MAP.0,
        times_s: instants(run, from_s),
    };
    let until_s = window.times_s.last().copied().unwrap_or(from_s);
    let events: Vec<Event> = run.events.iter().copied().filter(|e| e.time_s <= until_s).collect();
    let accuracy = Accuracy { grids: Grids::MiddleOnly, ..question.accuracy };
    let maps = heat::maps(case, &accuracy, &window, &events)?;
    let step = (face[0][1] - face[0][0]).max(face[1][1] - face[1][0]) / (MAP.0 - 1) as f64;
    Ok((CONTOURS_C.iter().map(|&contour| contour_of(&maps, contour, middle)).collect(), step))
}

/// Ends of flames and beads, and then ever later.
fn instants(run: &Run, from_s: f64) -> Vec<f64> {
    let mut times: Vec<f64> = run.heats().into_iter().chain(run.passes()).map(|span| span[1]).collect();
    let stride = times.len().div_ceil(INSTANTS / 2).max(1);
    times = times.into_iter().step_by(stride).collect();
    times.extend((0..INSTANTS / 2).map(|n| from_s + HOUR_S * (n as f64 / (INSTANTS / 2) as f64).powi(2)));
    times.retain(|t| *t > 0.0 && *t <= run.ran_until_s);
    times.sort_by(f64::total_cmp);
    times.dedup();
    times
}

fn contour_of(maps: &[Map], contour_c: f64, [x, y]: [f64; 2]) -> Footprint {
    let mut out = Footprint {
        contour_c,
        reach_m: 0.0,
        area_m2: 0.0,
        at_s: 0.0,
        time_s: Vec::new(),
        radius_m: Vec::new(),
        beyond_the_map: false,
    };
    for map in maps {
        let (columns, rows) = (map.x.len(), map.y.len());
        let cell = (map.x[columns - 1] - map.x[0]) * (map.y[rows - 1] - map.y[0]) / ((columns - 1) * (rows - 1)) as f64;
        let mut area = 0.0;
        for (n, _) in map.face_c.iter().enumerate().filter(|(_, celsius)| **celsius >= contour_c) {
            let (i, j) = (n % columns, n / columns);
            let edge = |k: usize, last: usize| if k == 0 || k == last { 0.5 } else { 1.0 };
            area += cell * edge(i, columns - 1) * edge(j, rows - 1);
            out.reach_m = out.reach_m.max((map.x[i] - x).hypot(map.y[j] - y));
            out.beyond_the_map |= i == 0 || j == 0 || i == columns - 1 || j == rows - 1;
        }
        if area > out.area_m2 {
            (out.area_m2, out.at_s) = (area, map.time_s);
        }
        out.time_s.push(map.time_s);
        out.radius_m.push((area / std::f64::consts::PI).sqrt());
    }
    out
}

fn notes(case: &Case) -> Vec<String> {
    let mut notes = vec![
        "The blanket lies on the worked face from the start, also under the flame: its gain is overrated.".to_owned(),
        "A local patch gives its heat to the casting, not to the air (N4): a blanket slows the casting, hardly the patch."
            .to_owned(),
    ];
    let air_c = case.surfaces[4].air_c;
    if air_c >= WAITS[3].1 {
        notes.push(format!("The shop is at {air_c:.0} C: the casting never comes to 20 ± 2 C there."));
    }
    notes
}
