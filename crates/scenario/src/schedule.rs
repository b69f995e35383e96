//! `[schedule]`: when the flame burns.

use heat::{Case, Flame, Interval, Schedule};

use crate::diagnostic::{Diagnostic, Severity};
use crate::probes;
use crate::reader::Reader;
use crate::window::{Limit, target};

/// The schedule; an empty one where it is missing or wrong.
pub(crate) fn schedule(reader: &mut Reader, case: &Case) -> Schedule {
    let variants = ["schedule.spans", "schedule.cycles"].map(str::to_owned);
    let both = reader.clash("E030", &variants, "two schedules: fixed times and cycles");
    if reader.has("schedule") && !variants.iter().any(|path| reader.has(path)) {
        reader.missing("schedule.cycles", " and no `spans`");
    }
    if both || !reader.has("schedule.cycles") { spans(reader) } else { cycles(reader, case) }
}

/// Whether the schedule asks for any flame.
pub(crate) fn has_flame(reader: &Reader) -> bool {
    reader.has("schedule.cycles") || reader.len("schedule.spans.on") > 0
}

/// Reports what cannot work without a flame.
pub(crate) fn need_heat(reader: &mut Reader) {
    let cause = if reader.has("window") {
        "window"
    } else if !reader.has("torch") && has_flame(reader) {
        "schedule"
    } else {
        return;
    };
    let (message, place) = match (reader.has("torch"), has_flame(reader)) {
        (false, _) if cause == "window" => ("a window with no heat: there is no torch", "window"),
        (false, _) => ("the schedule lights a torch, and there is none", "schedule"),
        (true, false) if reader.has("schedule") => {
            ("a window with no heat: the flame never burns", "schedule.spans.on")
        }
        _ => return,
    };
    let problem = Diagnostic::error("E023", message)
        .at(reader.key_place(place), "needs heat")
        .help("add [torch.flux], [torch.flame], [torch.fuel] or [torch.electric] and a flame in [schedule]; for a plain cool-down leave out [window] and write on = []");
    reader.report(problem);
}

fn spans(reader: &mut Reader) -> Schedule {
    let end_s = reader.number("schedule.spans.end");
    let mut on: Vec<[f64; 2]> = Vec::new();
    for number in 0..reader.len("schedule.spans.on") {
        let path = format!("schedule.spans.on.{number}");
        let span = [0, 1].map(|end| reader.number(&format!("{path}.{end}")));
        check_span(reader, &path, span, on.last().copied(), end_s);
        on.push(span);
    }
    Schedule::Spans { on, end_s }
}

fn check_span(reader: &mut Reader, path: &str, [on, off]: [f64; 2], before: Option<[f64; 2]>, end_s: f64) {
    let [on_place, off_place] = [0, 1].map(|end| reader.place(&format!("{path}.{end}")));
    if on >= off {
        let problem =
            Diagnostic::error("E024", "this flame goes off before it comes on").at(off_place, "off").at(on_place, "on");
        reader.report(problem.help("write on, then off: [\"0 s\", \"300 s\"]"));
    }
    if before.is_some_and(|[_, off_before]| on < off_before) {
        let number: usize = path.rsplit('.').next().and_then(|last| last.parse().ok()).unwrap_or(1);
        let previous = reader.place(&format!("schedule.spans.on.{}.1", number.saturating_sub(1)));
        let problem = Diagnostic::error("E024", "this flame comes on before the one before it has gone off")
            .at(on_place, "comes on")
            .at(previous, "the one before goes off");
        reader.report(problem.help("put the flames in order of time, none within another"));
    }
    if off > end_s {
        let problem = Diagnostic::error("E024", "this flame burns beyond the end of the run")
            .at(off_place, "goes off")
            .at(reader.place("schedule.spans.end"), "end of the run");
        reader.report(problem.help("set `end` later; a cool-down after the last flame is usual"));
    }
}

fn cycles(reader: &mut Reader, case: &Case) -> Schedule {
    let at = |name: &str| format!("schedule.cycles.{name}");
    Schedule::Cycles {
        heat_up: flame(reader, &at("heat_up"), case),
        interval: interval(reader, &at("interval"), case),
        reheat: flame(reader, &at("reheat"), case),
        reheats: reader.count(&at("reheats")),
        after_s: reader.optional(&at("after")).unwrap_or(0.0),
    }
}

fn flame(reader: &mut Reader, at: &str, case: &Case) -> Flame {
    let path = |name: &str| format!("{at}.{name}");
    let seconds = reader.number(&path("for"));
    for other in ["until", "reads", "at_most"] {
        let both = [path("for"), path(other)];
        if reader.clash("E018", &both, &format!("a fixed heating time and `{other}` are both given")) {
            return Flame::For { seconds };
        }
    }
    if reader.has(&path("for")) || !reader.has(at) {
        return Flame::For { seconds };
    }
    if !reader.has(&path("until")) {
        reader.missing(&path("for"), " and no `until`");
        return Flame::For { seconds };
    }
    if !reader.has(&path("at_most")) {
        reader.missing(&path("at_most"), ": a probe might never read it");
    }
    let probe = probes::index(reader, &path("until"), case);
    let temperature_c = reads(reader, &path("reads"), &path("until"));
    Flame::Until { probe: probe.unwrap_or(0), temperature_c, at_most_s: reader.number(&path("at_most")) }
}

/// The target: given, or of the window.
fn reads(reader: &mut Reader, path: &str, until: &str) -> f64 {
    if !reader.has(path) {
        if !reader.has("window.heat_to") {
            reader.missing(path, ", and the window has no `heat_to`");
        }
        return reader.number("window.heat_to");
    }
    let probe = reader.text(until).unwrap_or_default();
    // Elsewhere on the casting a temperature outside the window may well be meant.
    let severity = if crate::keys::RESERVED.contains(&probe) { Severity::Error } else { Severity::Warning };
    let value = reader.number(path);
    target(reader, path, Limit { value, severity });
    value
}

fn interval(reader: &mut Reader, at: &str, case: &Case) -> Interval {
    let guard = format!("{at}.guard");
    if !reader.has(&guard) {
        return Interval::Fixed { seconds: reader.number(at) };
    }
    if !reader.has("window") {
        reader.missing("window", ", and the guard counts from its minimum");
    }
    let probe = case.probes.iter().position(|probe| probe.name == "ring_coldest").unwrap_or(0);
    let temperature_c = reader.number("window.minimum") + reader.number(&guard);
    above_maximum(reader, temperature_c, &guard);
    let at_most_s = reader.number(&format!("{at}.at_most"));
    working_time(reader, at, at_most_s);
    Interval::UntilFalls { probe, temperature_c, at_most_s }
}

/// What a guard is judged by: the working time wanted, or else the planned passes.
fn working_time(reader: &mut Reader, at: &str, at_most_s: f64) {
    let path = format!("{at}.working_time");
    if !reader.has(&path) {
        if !reader.has("passes") {
            reader.missing(
                &path,
                ", and no [passes] are planned: there is nothing that the interval must be long enough for",
            );
        }
        return;
    }
    if reader.number(&path) > at_most_s {
        let problem = Diagnostic::error("E033", "the working time wanted is longer than the interval can last")
            .at(reader.place(&path), "wanted")
            .at(reader.place(&format!("{at}.at_most")), "the longest interval");
        reader.report(problem.help("raise `at_most`, or want less time"));
    }
}

fn above_maximum(reader: &mut Reader, temperature_c: f64, guard: &str) {
    let [minimum, maximum] = ["window.minimum", "window.maximum_interpass"].map(|path| reader.number(path));
    if minimum < maximum && temperature_c >= maximum {
        let problem = Diagnostic::error("E025", "minimum and guard together are not below the maximum interpass")
            .at(reader.place(guard), "guard")
            .at(reader.place("window.minimum"), "minimum")
            .at(reader.place("window.maximum_interpass"), "maximum");
        reader.report(problem.help("lower the guard; 5 to 15 K is usual"));
    }
}

/// The latest end of the run, s.
pub(crate) fn latest_end(schedule: &Schedule) -> f64 {
    let flame = |flame: &Flame| match *flame {
        Flame::For { seconds } => seconds,
        Flame::Until { at_most_s, .. } => at_most_s,
    };
    match schedule {
        Schedule::Spans { end_s, .. } => *end_s,
        Schedule::Cycles { heat_up, interval, reheat, reheats, after_s } => {
            let interval = longest(interval);
            flame(heat_up) + *reheats as f64 * (interval + flame(reheat)) + interval + after_s
        }
    }
}

/// The longest an interval can be, s.
pub(crate) fn longest(interval: &Interval) -> f64 {
    match *interval {
        Interval::Fixed { seconds } => seconds,
        Interval::UntilFalls { at_most_s, .. } => at_most_s,
    }
}
