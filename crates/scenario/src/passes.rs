//! `[passes]`: the weld passes of every interval.

use heat::{Case, CoolTo, Halt, Pass, Passes, Schedule, Shape};
use study::{BeadFacts, Lever, Range};

use crate::arc;
use crate::diagnostic::Diagnostic;
use crate::fill::fill;
use crate::habits::Habits;
use crate::place::{FaceSize, centre, on_casting, rectangle};
use crate::range::{STATED, lever};
use crate::reader::{Reader, Typed};
use crate::schedule::longest;

/// The passes, and what is known beside their heat.
pub(crate) struct Work {
    pub(crate) passes: Passes,
    /// Range of the power.
    pub(crate) range: Option<Range>,
    pub(crate) facts: Vec<BeadFacts>,
    /// Values taken from a preset.
    pub(crate) assumed: Vec<String>,
}

/// A place to weld, before its heat is known.
struct Place {
    shape: Shape,
    length: Option<f64>,
    layer: Option<usize>,
    /// Path of the table that may hold values of its own.
    at: String,
}

/// What every bead has that says nothing of its own.
struct Common {
    power: f64,
    arc_s: Option<f64>,
    /// Speed along the bead, m/s.
    travel: f64,
    pause_s: f64,
}

/// The passes; none where there are none.
pub(crate) fn passes(reader: &mut Reader, face: FaceSize, groove: Option<Shape>) -> Option<Work> {
    if !reader.has("passes") {
        return None;
    }
    need_cycles(reader);
    let mut habits = Habits::chosen(reader);
    let places = places(reader, &mut habits, face, groove);
    let common = common(reader, &mut habits);
    let list = places.iter().map(|place| pass(reader, place, &common)).collect();
    let mut work = Work {
        passes: Passes {
            list,
            first_after_s: habits.needed(reader, "passes.first_after", ""),
            per_heat: habits.needed(reader, "passes.per_heat", "") as usize,
            ..Passes::default()
        },
        range: range(reader, &common),
        facts: places.iter().map(|p| BeadFacts { length_m: p.length, layer: p.layer, again: false }).collect(),
        assumed: Vec::new(),
    };
    grind(reader, &mut work);
    work.assumed = habits.taken;
    Some(work)
}

fn need_cycles(reader: &mut Reader) {
    if reader.has("schedule") && !reader.has("schedule.cycles") {
        let problem = Diagnostic::error("E029", "passes need a schedule in cycles")
            .at(reader.key_place("passes"), "passes are laid between two flames")
            .at(reader.key_place("schedule.spans"), "fixed times")
            .help("write [schedule.cycles], or leave out [passes]");
        reader.report(problem);
    }
}

fn places(reader: &mut Reader, habits: &mut Habits, face: FaceSize, groove: Option<Shape>) -> Vec<Place> {
    let ways = ["passes.fill", "passes.beads"].map(str::to_owned);
    if reader.clash("E018", &ways, "the beads are listed, and the groove is to be filled with others") {
        return Vec::new();
    }
    if reader.has("passes.beads") {
        return beads(reader, face);
    }
    if reader.has("passes.fill") || habits.are_chosen() {
        let filling = fill(reader, habits, face, groove).into_iter();
        let place = |f: crate::fill::Filling| Place {
            shape: f.place,
            length: Some(f.length),
            layer: Some(f.layer),
            at: String::new(),
        };
        return filling.map(place).collect();
    }
    if !reader.has("groove") {
        reader.missing("passes.beads", ", and there is no [groove] to lay one bead over");
    }
    // How far the arc travels over a whole groove is known only where its speed is.
    let length = |shape: Shape| reader.has("passes.travel").then(|| longer_side(shape));
    groove.map(|shape| Place { shape, length: length(shape), layer: None, at: String::new() }).into_iter().collect()
}

fn beads(reader: &mut Reader, face: FaceSize) -> Vec<Place> {
    let count = reader.len("passes.beads");
    if count == 0 && reader.typed("passes.beads").is_some() {
        let problem = Diagnostic::error("E007", "the list of beads is empty")
            .at(reader.place("passes.beads"), "no bead")
            .help("leave `beads` out for one bead over the whole groove");
        reader.report(problem);
    }
    (0..count).filter_map(|number| bead(reader, number, face)).collect()
}

fn bead(reader: &mut Reader, number: usize, face: FaceSize) -> Option<Place> {
    let at = format!("passes.beads.{number}");
    let middle = centre(reader, &format!("{at}.centre"), face, [f64::NAN; 2]);
    let place = rectangle(reader, &at, middle, face);
    let shape = on_casting(reader, place, face, "bead", &[&format!("{at}.centre")])?;
    Some(Place { shape, length: Some(longer_side(shape)), layer: None, at })
}

fn longer_side(shape: Shape) -> f64 {
    shape.extent().map(|[low, high]| high - low).into_iter().fold(0.0, f64::max)
}

fn common(reader: &mut Reader, habits: &mut Habits) -> Common {
    let arcs = ["passes.power", "passes.arc"].map(str::to_owned);
    let both = reader.clash("E018", &arcs, "both the power of the arc and its process are given");
    let power = if both {
        f64::NAN
    } else if arc::is_asked_for(reader, habits) {
        arc::power(reader, habits)
    } else {
        habits.needed(reader, "passes.power", " and no `arc`")
    };
    let times = ["passes.arc_time", "passes.travel"].map(str::to_owned);
    let both = reader.clash("E018", &times, "both an arc time and a travel speed are given");
    let by_speed = both || reader.has("passes.travel");
    let arc_s = (!by_speed).then(|| habits.needed(reader, "passes.arc_time", " and no `travel`"));
    Common { power, arc_s, travel: reader.number("passes.travel"), pause_s: pause(reader, habits) }
}

/// Arc off to the next arc, s: a time, or the sum of what is done.
fn pause(reader: &mut Reader, habits: &mut Habits) -> f64 {
    let parts = ["peen", "brush", "inspect"].map(|name| format!("passes.pause.{name}"));
    if reader.has("passes.pause") && reader.typed("passes.pause") != Some(&Typed::Table) {
        return reader.number("passes.pause");
    }
    if !habits.are_chosen() && !parts.iter().any(|part| reader.has(part)) {
        let (path, why) = if reader.has("passes.pause") {
            ("passes.pause.peen", ", `brush` or `inspect`")
        } else {
            ("passes.pause", "")
        };
        reader.missing(path, why);
    }
    parts.iter().map(|part| habits.value(reader, part).unwrap_or(0.0)).sum()
}

/// A pass with the values of its own table, or else those of `[passes]`.
fn pass(reader: &Reader, place: &Place, common: &Common) -> Pass {
    let own = |name: &str| reader.optional(&format!("{}.{name}", place.at));
    let by_speed = || place.length.map_or(f64::NAN, |length| length / common.travel);
    Pass {
        place: place.shape,
        power: own("power").unwrap_or(common.power),
        arc_s: own("arc_time").or(common.arc_s).unwrap_or_else(by_speed),
        pause_s: own("pause").unwrap_or(common.pause_s),
    }
}

fn range(reader: &mut Reader, common: &Common) -> Option<Range> {
    let stated = ["passes.power", "passes.arc"].into_iter().find(|path| reader.has(path));
    let ends = reader.range("passes.power_range", common.power, stated.unwrap_or("passes.preset"));
    lever(Lever::ArcPower, ends, STATED)
}

/// The stop to grind out a void, and the beads that are welded again after it.
fn grind(reader: &mut Reader, work: &mut Work) {
    if !reader.has("passes.grind") || work.passes.list.is_empty() {
        return;
    }
    let [after, again] = ["after_bead", "beads"].map(|name| format!("passes.grind.{name}"));
    let (after_bead, beads) = (reader.number(&after), reader.optional(&again).unwrap_or(1.0));
    let count = work.passes.list.len();
    let refused = if after_bead > count as f64 {
        Some((after, format!("there are {count} beads, and this is to be after bead {after_bead}"), count as f64))
    } else if beads > after_bead {
        Some((again, format!("{beads} beads are to be welded again, and only {after_bead} are laid"), after_bead))
    } else {
        None
    };
    if let Some((path, message, most)) = refused {
        let problem = Diagnostic::error("E012", message).at(reader.place(&path), "too high");
        reader.report(problem.help(format!("accepted: 1 to {most}")));
    } else if after_bead >= 1.0 && beads >= 1.0 {
        let (after_bead, beads) = (after_bead as usize, beads as usize);
        weld_again(work, after_bead, beads, reader.number("passes.grind.takes"));
    }
}

fn weld_again(work: &mut Work, after_bead: usize, beads: usize, seconds: f64) {
    let last = after_bead - beads..after_bead;
    let again: Vec<Pass> = work.passes.list[last.clone()].to_vec();
    let facts: Vec<BeadFacts> = work.facts[last].iter().map(|f| BeadFacts { again: true, ..*f }).collect();
    work.passes.list.splice(after_bead..after_bead, again);
    work.facts.splice(after_bead..after_bead, facts);
    work.passes.halts.push(Halt { after: after_bead - 1, seconds });
}

/// What the passes ask of the schedule and the probes: reheats until all beads are laid, and the wait for a ring that is
/// too hot.
pub(crate) fn bind(reader: &mut Reader, case: &mut Case) {
    let until_laid = reader.text("schedule.cycles.reheats").is_some();
    if until_laid && !reader.has("passes") {
        reader.missing("passes", ", and the reheats go on until its beads are laid");
    }
    let wait = "passes.wait_until_below_maximum";
    if reader.has(wait) && !reader.has("window") {
        reader.missing("window", ", and beads are to wait for its maximum");
    }
    let probe = case.probes.iter().position(|probe| probe.name == "ring_hottest");
    let Some(passes) = &mut case.passes else { return };
    let temperature_c = reader.number("window.maximum_interpass");
    let cool_to = |at_most_s: f64| probe.map(|probe| CoolTo { probe, temperature_c, at_most_s });
    passes.cool_to = reader.optional(wait).and_then(cool_to);
    if let Schedule::Cycles { reheats, .. } = &mut case.schedule
        && until_laid
    {
        passes.once = true;
        // Every heat lays one bead at least, or it is the last.
        *reheats = passes.list.len();
    }
}

/// Warns of passes that do not fit between two flames.
pub(crate) fn fit(reader: &mut Reader, case: &Case) {
    let (Some(passes), Schedule::Cycles { interval, .. }) = (&case.passes, &case.schedule) else { return };
    let order = passes.list.iter().cycle().take(passes.planned(0));
    let needed =
        order.fold([passes.first_after_s, 0.0], |[time, pause], pass| [time + pause + pass.arc_s, pass.pause_s])[0];
    let longest = longest(interval);
    if needed > longest {
        let show = |seconds| crate::measure::Measure::Duration.show(seconds);
        let message = format!("the planned passes take {} and the interval lasts {}", show(needed), show(longest));
        // Fixed times with a window are the user's own contradiction; a guard may come back early, and that is judged.
        let refused = reader.has("window") && matches!(interval, heat::Interval::Fixed { .. });
        let problem = if refused { Diagnostic::error("E033", message) } else { Diagnostic::warning("W104", message) };
        let planned = if reader.has("passes.per_heat") { "passes.per_heat" } else { "passes.preset" };
        let problem = problem
            .at(reader.place(planned), "planned passes")
            .at(reader.key_place("schedule.cycles.interval"), "interval")
            .help("plan fewer passes for each heat, or a longer interval");
        reader.report(problem);
    }
}
