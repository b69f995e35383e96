//! `[passes]`: the weld passes of every interval.

use heat::{Pass, Passes, Schedule, Shape};
use study::{Lever, Range};

use crate::diagnostic::Diagnostic;
use crate::place::{FaceSize, centre, on_casting, rectangle};
use crate::range::{STATED, lever};
use crate::reader::Reader;
use crate::schedule::longest;

/// The passes and the range of their power.
pub(crate) fn passes(reader: &mut Reader, face: FaceSize, groove: Option<Shape>) -> (Option<Passes>, Option<Range>) {
    if !reader.has("passes") {
        return (None, None);
    }
    if reader.has("schedule") && !reader.has("schedule.cycles") {
        let problem = Diagnostic::error("E029", "passes need a schedule in cycles")
            .at(reader.key_place("passes"), "passes are laid between two flames")
            .at(reader.key_place("schedule.spans"), "fixed times")
            .help("write [schedule.cycles], or leave out [passes]");
        reader.report(problem);
    }
    let list = if reader.has("passes.beads") { beads(reader, face) } else { whole_groove(reader, groove) };
    let passes =
        Passes { list, first_after_s: reader.number("passes.first_after"), per_heat: reader.count("passes.per_heat") };
    let ends = reader.range("passes.power_range", reader.number("passes.power"), "passes.power");
    (Some(passes), lever(Lever::ArcPower, ends, STATED))
}

fn whole_groove(reader: &mut Reader, groove: Option<Shape>) -> Vec<Pass> {
    if !reader.has("groove") {
        reader.missing("passes.beads", ", and there is no [groove] to lay one bead over");
    }
    groove.map(|place| pass(reader, place, "passes")).into_iter().collect()
}

fn beads(reader: &mut Reader, face: FaceSize) -> Vec<Pass> {
    let count = reader.len("passes.beads");
    if count == 0 && reader.typed("passes.beads").is_some() {
        let problem = Diagnostic::error("E007", "the list of beads is empty")
            .at(reader.place("passes.beads"), "no bead")
            .help("leave `beads` out for one bead over the whole groove");
        reader.report(problem);
    }
    (0..count).filter_map(|number| bead(reader, number, face)).collect()
}

fn bead(reader: &mut Reader, number: usize, face: FaceSize) -> Option<Pass> {
    let at = format!("passes.beads.{number}");
    let middle = centre(reader, &format!("{at}.centre"), face, [f64::NAN; 2]);
    let place = rectangle(reader, &at, middle, face);
    let place = on_casting(reader, place, face, "bead", &[&format!("{at}.centre")])?;
    Some(pass(reader, place, &at))
}

/// A pass with the values of its own table, or else those of `[passes]`.
fn pass(reader: &Reader, place: Shape, at: &str) -> Pass {
    let value = |name: &str| {
        let own = reader.optional(&format!("{at}.{name}"));
        own.unwrap_or_else(|| reader.number(&format!("passes.{name}")))
    };
    Pass { place, power: value("power"), arc_s: value("arc_time"), pause_s: value("pause") }
}

/// Warns of passes that do not fit between two flames.
pub(crate) fn fit(reader: &mut Reader, passes: &Passes, schedule: &Schedule) {
    let Schedule::Cycles { interval, .. } = schedule else { return };
    let order = passes.list.iter().cycle().take(passes.per_heat);
    let needed =
        order.fold([passes.first_after_s, 0.0], |[time, pause], pass| [time + pause + pass.arc_s, pass.pause_s])[0];
    let longest = longest(interval);
    if needed > longest {
        let show = |seconds| crate::measure::Measure::Duration.show(seconds);
        let message = format!("the planned passes take {} and the interval lasts {}", show(needed), show(longest));
        // Fixed times with a window are the user's own contradiction; a guard may come back early, and that is judged.
        let refused = reader.has("window") && matches!(interval, heat::Interval::Fixed { .. });
        let problem = if refused { Diagnostic::error("E033", message) } else { Diagnostic::warning("W104", message) };
        let problem = problem
            .at(reader.place("passes.per_heat"), "planned passes")
            .at(reader.key_place("schedule.cycles.interval"), "interval")
            .help("plan fewer passes for each heat, or a longer interval");
        reader.report(problem);
    }
}
