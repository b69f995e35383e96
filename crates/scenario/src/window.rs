//! `[window]`, `[output]` and `[accuracy]`.

use heat::{Accuracy, Model, Schedule};
use study::{Request, Window};

use crate::diagnostic::{Diagnostic, Severity};
use crate::reader::Reader;
use crate::schedule::latest_end;

/// Most output times of a scenario.
const MOST_TIMES: usize = 10_000;

/// The window, checked against itself.
pub(crate) fn window(reader: &mut Reader) -> Option<Window> {
    if !reader.has("window") {
        return None;
    }
    if !reader.has("groove") {
        reader.missing("groove", ", and a window is judged on the ring around it");
    }
    let minimum_c = reader.number("window.minimum");
    let maximum_interpass_c = reader.number("window.maximum_interpass");
    let surface_limit_c = reader.optional("window.surface_limit");
    if minimum_c >= maximum_interpass_c {
        let problem = Diagnostic::error("E031", "the minimum is not below the maximum interpass temperature")
            .at(reader.place("window.minimum"), "minimum")
            .at(reader.place("window.maximum_interpass"), "maximum")
            .help("take both from the qualified procedure: no pass starts below minimum or above maximum_interpass");
        reader.report(problem);
    }
    if surface_limit_c.is_some_and(|limit| limit <= minimum_c) {
        let problem = Diagnostic::error("E026", "the surface limit is not above the minimum")
            .at(reader.place("window.surface_limit"), "limit of the surface under the flame")
            .at(reader.place("window.minimum"), "minimum")
            .help("the surface is hotter than the ring while the flame burns: raise the limit or leave it out");
        reader.report(problem);
    }
    temper(reader, surface_limit_c);
    if let Some(value) = reader.optional("window.heat_to") {
        target(reader, "window.heat_to", Limit { value, severity: Severity::Error });
    }
    Some(Window { minimum_c, maximum_interpass_c, surface_limit_c })
}

/// A surface limit that lets the flame go beyond the last tempering heat (H8, `practice`).
fn temper(reader: &mut Reader, surface_limit_c: Option<f64>) {
    let last_temper = "casting.last_temper";
    if surface_limit_c.is_some_and(|limit| limit > reader.number(last_temper)) {
        let problem = Diagnostic::warning("W108", "the surface limit is above the last tempering heat")
            .at(reader.place("window.surface_limit"), "surface limit")
            .at(reader.place(last_temper), "last tempering heat")
            .help("hardened metal softens beyond its last tempering heat: lower the surface limit");
        reader.report(problem);
    }
}

/// A target of heating, and how bad it is when the window does not suit it.
#[derive(Clone, Copy)]
pub(crate) struct Limit {
    pub(crate) value: f64,
    pub(crate) severity: Severity,
}

/// Checks a target of heating against the window.
pub(crate) fn target(reader: &mut Reader, path: &str, limit: Limit) {
    let Limit { value, severity } = limit;
    let [minimum, maximum, surface] =
        ["window.minimum", "window.maximum_interpass", "window.surface_limit"].map(|path| reader.number(path));
    if minimum >= maximum || surface <= minimum {
        // The window contradicts itself, and that has been reported.
        return;
    }
    let (message, other, severity, help) = if value < minimum {
        (
            "heating stops below the minimum",
            "window.minimum",
            severity,
            "heat to more than the minimum: the ring cools at once when the flame goes off",
        )
    } else if value > surface {
        (
            "heating goes beyond the surface limit",
            "window.surface_limit",
            severity,
            "heat to less, for longer, or over a wider patch",
        )
    } else if value > maximum {
        (
            "heating goes beyond the maximum interpass temperature",
            "window.maximum_interpass",
            Severity::Warning,
            "the first pass must then wait until the ring has cooled to it",
        )
    } else {
        return;
    };
    let problem = match severity {
        Severity::Error => Diagnostic::error("E025", message),
        Severity::Warning => Diagnostic::warning("W103", message),
    };
    let problem = problem.at(reader.place(path), "target").at(reader.place(other), "limit").help(help);
    reader.report(problem);
}

/// Output times, ascending; those that no run can reach are left out with a warning.
pub(crate) fn output(reader: &mut Reader, schedule: &Schedule) -> Vec<f64> {
    let ways = ["output.times".to_owned(), "output.every".to_owned()];
    if reader.clash("E018", &ways, "both a list of times and a time step are given") {
        return Vec::new();
    }
    let end_s = latest_end(schedule);
    if reader.has("output.every") {
        return every(reader, schedule, end_s);
    }
    let count = reader.len("output.times");
    if count > MOST_TIMES {
        too_many(reader, "output.times", count);
        return Vec::new();
    }
    let mut times: Vec<f64> = (0..count).map(|number| reader.number(&format!("output.times.{number}"))).collect();
    beyond_end(reader, &times, end_s);
    times.retain(|time| *time <= end_s);
    times.sort_by(f64::total_cmp);
    times.dedup();
    times
}

fn every(reader: &mut Reader, schedule: &Schedule, end_s: f64) -> Vec<f64> {
    let step = reader.number("output.every");
    if !reader.has("output.until") && matches!(schedule, Schedule::Cycles { .. }) && reader.has("schedule.cycles") {
        reader.missing("output.until", ", and the end of a run in cycles is not known beforehand");
        return Vec::new();
    }
    let until = reader.optional("output.until").unwrap_or(end_s);
    if until > end_s {
        let problem = Diagnostic::warning("W105", "output is wanted beyond the end of the run")
            .at(reader.place("output.until"), "later than the run can last")
            .help(format!("the run ends at {} at the latest; later times are left out", show(end_s)));
        reader.report(problem);
    }
    // A hair of rounding must not lose the last time.
    let count = (until.min(end_s) / step + 1e-9).floor();
    if count > MOST_TIMES as f64 {
        too_many(reader, "output.every", count as usize);
        return Vec::new();
    }
    (1..=count as usize).map(|number| number as f64 * step).collect()
}

fn too_many(reader: &mut Reader, path: &str, count: usize) {
    let problem = Diagnostic::error("E032", format!("{count} output times are too many"))
        .at(reader.place(path), "")
        .help(format!("accepted: up to {MOST_TIMES}; the curves of a report have points of their own"));
    reader.report(problem);
}

fn beyond_end(reader: &mut Reader, times: &[f64], end_s: f64) {
    let Some(first) = times.iter().position(|time| *time > end_s) else { return };
    let count = times.iter().filter(|time| **time > end_s).count();
    let message = match count {
        1 => "an output time lies beyond the end of the run".to_owned(),
        _ => format!("{count} output times lie beyond the end of the run"),
    };
    let problem = Diagnostic::warning("W105", message)
        .at(reader.place(&format!("output.times.{first}")), "too late")
        .help(format!("the run ends at {} at the latest; later times are left out", show(end_s)));
    reader.report(problem);
}

fn show(seconds: f64) -> String {
    crate::measure::Measure::Duration.show(seconds)
}

/// How fine to compute.
pub(crate) fn accuracy(reader: &Reader) -> Accuracy {
    let default = Accuracy::default();
    let cells_across =
        if reader.has("accuracy.cells_across") { reader.count("accuracy.cells_across") } else { default.cells_across };
    let step_error_k = reader.optional("accuracy.step_error").unwrap_or(default.step_error_k);
    let model = match reader.text("accuracy.model") {
        Some("block") => Model::Block,
        Some("axisymmetric") => Model::Revolved,
        _ => Model::Smallest,
    };
    Accuracy { cells_across, step_error_k, model, ..default }
}

/// Error bars to stay within, where they are asked for in place of a fineness.
pub(crate) fn request(reader: &mut Reader) -> Option<Request> {
    let [temperature, hold] = ["accuracy.temperature", "accuracy.hold"].map(|path| reader.optional(path));
    for path in ["accuracy.temperature", "accuracy.hold"] {
        let both = ["accuracy.cells_across".to_owned(), path.to_owned()];
        reader.clash("E018", &both, "a fineness and an error bar to choose it by are both given");
    }
    (temperature.is_some() || hold.is_some()).then_some(Request { temperature_k: temperature, hold_s: hold })
}
