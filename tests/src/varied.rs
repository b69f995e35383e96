//! Random cases of every kind that the engine is made for, for the proof of its error bars.

use warmhold::heat::{
    Accuracy, Case, Flame, Hold, Interval, Model, Pass, Passes, Run, Schedule, Shape, Surface, Torch, TorchKind,
    solve_with_hold,
};

use crate::lottery::Lottery;
use crate::{alone, casting, disc, film, flame, flux, iron, rectangle, still_air, table_iron};

/// A case, what it is in a few words, and a limit that its ring falls below while it cools.
#[derive(Clone, Debug)]
pub struct Varied {
    /// The case.
    pub case: Case,
    /// What it is: patch, place, body, torch, metal, losses, schedule.
    pub words: String,
    /// What the coldest point of the ring falls to while it only cools, Celsius.
    pub limit_c: f64,
    /// That fall, followed a little beyond.
    pub hold: Hold,
}

/// Number of the probe that a flame, an interval and a hold go by: the coldest point of the ring.
const WATCHED: usize = 5;
const PLACES: [&str; 4] = ["middle", "off the middle", "edge", "corner"];

/// The case of a number: its kind follows from the number, so that no kind is missed, and its sizes are random.
pub fn varied(lottery: &mut Lottery, number: usize) -> Varied {
    if number % 6 == 5 {
        let case = wide(lottery);
        return finished(lottery, case, "disc, middle, wide block", number);
    }
    let radius = lottery.between(0.03, 0.07);
    let (body, size) = body(lottery, number, radius);
    let place = lottery.bits() as usize % PLACES.len();
    let centre = centre(lottery, place, size, radius);
    let (form, patch) = if lottery.coin() {
        ("disc", disc(centre[0], centre[1], radius))
    } else {
        ("rectangle", rectangle(centre, [radius * lottery.between(1.0, 1.6), radius]))
    };
    let mut case = casting(size, 1.0);
    case.torches = vec![torch(lottery, patch)];
    case.probes = lottery.probes(patch, size, radius);
    finished(lottery, case, &format!("{form}, {}, {body}", PLACES[place]), number)
}

/// A disc so far from every edge that the body may be taken as one of revolution.
fn wide(lottery: &mut Lottery) -> Case {
    let radius = lottery.between(0.03, 0.05);
    let size = [lottery.between(1.0, 1.4), lottery.between(1.0, 1.4), lottery.between(0.1, 0.4)];
    let patch = disc(0.5 * size[0], 0.5 * size[1], radius);
    let mut case = casting(size, 1.0);
    case.torches = vec![torch(lottery, patch)];
    case.probes = lottery.probes(patch, size, radius);
    case
}

fn body(lottery: &mut Lottery, number: usize, radius: f64) -> (&'static str, [f64; 3]) {
    let (name, across, deep) = match number % 3 {
        0 => ("block", [4.0, 6.0], [1.2, 2.5]),
        1 => ("plate", [4.0, 6.0], [0.3, 0.8]),
        _ => ("small block", [2.6, 4.0], [1.0, 2.0]),
    };
    let [across_x, across_y] = [0, 1].map(|_| lottery.between(across[0], across[1]) * radius);
    (name, [across_x, across_y, lottery.between(deep[0], deep[1]) * radius])
}

fn centre(lottery: &mut Lottery, place: usize, size: [f64; 3], radius: f64) -> [f64; 2] {
    let near = |lottery: &mut Lottery| lottery.between(0.05, 0.9) * radius;
    let off = |lottery: &mut Lottery, length: f64| lottery.between(0.35, 0.65) * length;
    match place {
        0 => [0.5 * size[0], 0.5 * size[1]],
        1 => [off(lottery, size[0]), off(lottery, size[1])],
        2 => [near(lottery), off(lottery, size[1])],
        _ => [near(lottery), size[1] - near(lottery)],
    }
}

fn torch(lottery: &mut Lottery, patch: Shape) -> Torch {
    if lottery.coin() { flux(patch, lottery.between(5e4, 2.5e5)) } else { flame(patch, lottery.between(80.0, 250.0)) }
}

/// Metal, losses, schedule, passes and instants; then the limit of the hold.
fn finished(lottery: &mut Lottery, mut case: Case, words: &str, number: usize) -> Varied {
    case.start_c = lottery.between(10.0, 120.0);
    let tabled = lottery.coin();
    case.material = if tabled { table_iron() } else { iron() };
    let losses = lottery.bits() as usize % 3;
    let surface = [film(0.0), still_air(), film(lottery.between(10.0, 60.0))][losses];
    case.surfaces = [surface; 6];
    if losses == 1 {
        case.surfaces[5] = Surface { contact_conductance: 150.0, contact_c: 30.0, ..Surface::ADIABATIC };
    }
    let heat_s = lottery.between(60.0, 240.0);
    let schedule = schedule(lottery, &mut case, heat_s, number);
    let torch = if matches!(case.torches[0].kind, TorchKind::Flux { .. }) { "flux" } else { "hot gas" };
    let metal = if tabled { "tables" } else { "constants" };
    let losses = ["no losses", "air, radiation, contact", "film"][losses];
    let radius = case.torches[0].patch.half_width();
    let [length, width, depth] = case.block.size.map(|side| side / radius);
    let words =
        format!("{words} of {length:.1} x {width:.1} x {depth:.1} half widths, {torch}, {metal}, {losses}, {schedule}");
    let limit_c = limit(lottery, &case, heat_s);
    let hold = Hold { probes: vec![WATCHED], below_c: limit_c - 1.0, at_most_s: 2.0 * heat_s };
    Varied { case, words, limit_c, hold }
}

/// Sets schedule, passes and instants; says which in words.
fn schedule(lottery: &mut Lottery, case: &mut Case, heat_s: f64, number: usize) -> &'static str {
    let interval_s = lottery.between(0.6, 1.0) * heat_s;
    let reheat_s = 0.3 * heat_s;
    let shares = [0.2, 0.6, 0.95, 1.05, 1.15, 1.3, 1.5];
    case.output_s = shares.map(|share| share * heat_s).to_vec();
    let cycles = |heat_up, interval, reheat| Schedule::Cycles { heat_up, interval, reheat, reheats: 1, after_s: 0.0 };
    match number % 4 {
        0 | 1 => {
            case.output_s.extend([1.8 * heat_s, 2.0 * heat_s]);
            case.schedule = Schedule::Spans { on: vec![[0.0, heat_s]], end_s: 2.0 * heat_s };
            "heat and hold"
        }
        2 => {
            let back_s = heat_s + interval_s;
            case.output_s.extend([0.5 * reheat_s, 1.05 * reheat_s, 2.0 * reheat_s].map(|after_s| back_s + after_s));
            let [long, short] = [heat_s, reheat_s].map(|seconds| Flame::For { seconds });
            case.schedule = cycles(long, Interval::Fixed { seconds: interval_s }, short);
            if lottery.coin() {
                return "reheat";
            }
            case.passes = Some(passes(case, heat_s));
            "passes and reheat"
        }
        _ => {
            case.schedule = Schedule::Spans { on: vec![[0.0, heat_s]], end_s: heat_s };
            let target = rough(case, heat_s, None).curves[WATCHED].at(heat_s);
            let falls_to = target - lottery.between(0.2, 0.5) * (target - case.start_c);
            let until = Flame::Until { probe: WATCHED, temperature_c: target, at_most_s: 3.0 * heat_s };
            let falls = Interval::UntilFalls { probe: WATCHED, temperature_c: falls_to, at_most_s: 2.0 * heat_s };
            case.schedule = cycles(until, falls, until);
            "reheats by temperature"
        }
    }
}

/// Two short beads across the middle of the patch.
fn passes(case: &Case, heat_s: f64) -> Passes {
    let patch = case.torches[0].patch;
    let (radius, [x, y]) = (patch.half_width(), patch.centre());
    let pass = |side: f64| Pass {
        place: rectangle([x, y + 0.06 * side * radius], [0.25 * radius, 0.1 * radius]),
        power: 1500.0,
        arc_s: 0.1 * heat_s,
        pause_s: 0.1 * heat_s,
    };
    Passes { list: vec![pass(-1.0), pass(1.0)], first_after_s: 0.1 * heat_s, per_heat: 2, ..Passes::default() }
}

/// The coldest point of the ring somewhere in the second half of a free cooling, as a coarse run sees it.
fn limit(lottery: &mut Lottery, case: &Case, heat_s: f64) -> f64 {
    let never = Hold { probes: vec![WATCHED], below_c: -1000.0, at_most_s: heat_s };
    let run = rough(case, heat_s, Some(&never));
    let share = lottery.between(0.4, 0.9);
    let begin_s = run.ran_until_s - heat_s;
    run.curves[WATCHED].at(begin_s + share * heat_s)
}

/// One coarse grid; with a hold, the run that follows it.
fn rough(case: &Case, heat_s: f64, hold: Option<&Hold>) -> Run {
    let accuracy = Accuracy { model: Model::Smallest, ..alone(6, 1.0) };
    let heating = Case { schedule: Schedule::Spans { on: vec![[0.0, heat_s]], end_s: heat_s }, ..case.clone() };
    let Some(hold) = hold else { return crate::march(&heating, &accuracy) };
    let heating = Case { passes: None, ..heating };
    let (_, held) = solve_with_hold(&heating, &accuracy, hold, &|_| true).expect("the case must march");
    held.expect("the flame goes off")
}
