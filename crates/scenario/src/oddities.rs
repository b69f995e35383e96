//! Warnings of what can be computed and is hardly meant: beads beside their groove, a filling that is never finished, heat
//! and covers that never come.

use heat::{Case, Schedule, Shape, Thermostat, When};

use crate::diagnostic::Diagnostic;
use crate::measure::Measure;
use crate::reader::Reader;

/// A heater stronger than so many times the torch is hardly meant.
const STRONG: f64 = 2.0;

/// Reports them, where nothing was refused: a case that is read in part looks odder than it is.
pub(crate) fn odd(reader: &mut Reader, case: &Case, groove: Option<Shape>) {
    if reader.has_errors() {
        return;
    }
    beads_beside(reader, groove);
    unfinished(reader, case);
    never_after_work(reader, case);
    thermostats(reader, case);
    strong_heaters(reader);
}

/// A listed bead that lies farther beside the groove than it is wide.
fn beads_beside(reader: &mut Reader, groove: Option<Shape>) {
    let Some(groove) = groove else { return };
    for number in 0..reader.len("passes.beads") {
        let at = format!("passes.beads.{number}");
        let numbers = |names: [&str; 2]| names.map(|name| reader.number(&format!("{at}.{name}")));
        let ([x, y], sides) = (numbers(["centre.0", "centre.1"]), numbers(["length", "width"]));
        let half = sides.map(|side| 0.5 * side);
        let extent = groove.extent();
        // How far each end lies beyond the groove, along x and y.
        let beyond = [(x, half[0], extent[0]), (y, half[1], extent[1])]
            .map(|(middle, half, [low, high])| (low - middle + half).max(middle + half - high));
        let width = sides[0].min(sides[1]);
        let most = beyond[0].max(beyond[1]);
        if most > width * (1.0 + 1e-9) {
            let show = |length: f64| Measure::Length.show(length);
            let message = format!("the bead reaches {} beyond the groove, and is {} wide", show(most), show(width));
            let problem = Diagnostic::warning("W110", message)
                .at(reader.place(&format!("{at}.centre")), "the bead")
                .at(reader.key_place("groove"), "the groove");
            reader.report(
                problem.help("the ring that is judged lies around the groove: widen the groove, or move the bead"),
            );
        }
    }
}

/// A groove to be filled by a fixed number of reheats.
fn unfinished(reader: &mut Reader, case: &Case) {
    let (Some(work), Schedule::Cycles { reheats, .. }) = (&case.passes, &case.schedule) else { return };
    let key = ["passes.fill", "passes.preset"].into_iter().find(|path| reader.has(path));
    let Some(key) = key.filter(|_| !work.once && !reader.has("passes.beads")) else { return };
    let (planned, laid) = (work.list.len(), work.laid_in(reheats + 1));
    let rest = match laid {
        _ if laid < planned => format!("the other {} are not", planned - laid),
        _ if laid > planned => format!("{} more are laid on top", laid - planned),
        _ => return,
    };
    let heats = if *reheats == 0 { "1 heat lays".to_owned() } else { format!("{} heats lay", reheats + 1) };
    let message = format!("{planned} beads fill the groove, {heats} {laid} at most: {rest}");
    let problem = Diagnostic::warning("W111", message)
        .at(reader.key_place(key), "the filling")
        .at(reader.place("schedule.cycles.reheats"), "reheats");
    reader.report(problem.help("write reheats = \"until all beads are laid\""));
}

/// Something there after the work in a run that ends with it.
fn never_after_work(reader: &mut Reader, case: &Case) {
    let Schedule::Cycles { after_s, .. } = case.schedule else { return };
    let heaters = case.heaters.iter().map(|heater| &heater.when);
    let covers = case.covers.iter().map(|cover| &cover.when);
    if after_s > 0.0 || !heaters.chain(covers).any(|when| *when == When::AfterWork) {
        return;
    }
    let paths =
        ["heater", "cover"].into_iter().flat_map(|list| (0..reader.len(list)).map(move |n| format!("{list}.{n}.when")));
    for path in paths.filter(|path| reader.text(path) == Some("after work")).collect::<Vec<_>>() {
        let problem = Diagnostic::warning("W112", "the run ends with the work, and this would come after it")
            .at(reader.place(&path), "never comes")
            .help("write schedule.cycles.after = \"30 min\"; `warmhold cool` follows the cooling by itself");
        reader.report(problem);
    }
}

/// Thermostats that turn their heat down before it has done anything.
fn thermostats(reader: &mut Reader, case: &Case) {
    let own = case.torches.iter().filter_map(|torch| torch.thermostat).map(|t| ("torch.electric".to_owned(), t));
    let heaters = case.heaters.iter().enumerate();
    let heaters = heaters.filter_map(|(n, heater)| Some((format!("heater.{n}"), heater.torch.thermostat?)));
    for (at, thermostat) in own.chain(heaters) {
        below_what_is_wanted(reader, case, (&format!("{at}.thermostat.set"), thermostat));
    }
}

fn below_what_is_wanted(reader: &mut Reader, case: &Case, (path, thermostat): (&str, Thermostat)) {
    let show = |celsius: f64| Measure::Temperature.show(celsius);
    let set = show(thermostat.set_c);
    if thermostat.set_c <= case.start_c {
        let message = format!("the thermostat is set to {set}, and the casting starts at {}", show(case.start_c));
        let problem = Diagnostic::warning("W113", message)
            .at(reader.place(path), "never heats")
            .at(reader.place("casting.start"), "the start");
        return reader.report(problem.help("set it above the temperature that is wanted"));
    }
    let name = &case.probes[thermostat.probe].name;
    for flame in ["schedule.cycles.heat_up", "schedule.cycles.reheat"] {
        let target = [format!("{flame}.reads"), "window.heat_to".to_owned()].into_iter().find(|path| reader.has(path));
        let same = reader.text(&format!("{flame}.until")) == Some(name.as_str());
        if let Some(target) = target.filter(|target| same && reader.number(target) > thermostat.set_c) {
            let wanted = show(reader.number(&target));
            let message = format!("the thermostat is set to {set}, and the flame waits until {name} reads {wanted}");
            let problem = Diagnostic::warning("W113", message)
                .at(reader.place(path), "turns the heat down before that")
                .at(reader.place(&target), "the target");
            return reader.report(problem.help("set it above the target, or want less"));
        }
    }
}

fn strong_heaters(reader: &mut Reader) {
    for number in 0..reader.len("heater") {
        let path = format!("heater.{number}.strength");
        let strength = reader.number(&path);
        if strength > STRONG {
            let message =
                format!("the heater is {:.0} % of the torch: more than a second torch as strong", 100.0 * strength);
            let problem = Diagnostic::warning("W114", message).at(reader.place(&path), "a share of the torch");
            reader.report(problem.help("a soft flame is 10 to 40 %; for heat of its own write flux"));
        }
    }
}
