//! `hold`: how long does a heated patch hold, and how many beads fit?

use comfy_table::{Table, presets};
use warmhold::quantity::{Duration, Temperature, Units};
use warmhold::report;
use warmhold::scenario::draft::Heating;
use warmhold::scenario::{self, Scenario};
use warmhold::study::{Breach, Outcome};

use super::check::solve;
use super::what_if::{self, WhatIf};
use crate::args::Hold;
use crate::failure::Failure;
use crate::job::{self, Drafted, Plan};
use crate::offer::Offer;
use crate::output::{printable, wrapped};
use crate::{INTERRUPTED, output, run};

/// Answers; the exit code is 0 for any answer, since no verdict is asked.
pub(crate) fn run(hold: &Hold) -> Result<u8, Failure> {
    let drafted = job::draft(&hold.job, Plan::Hold).map_err(|faults| Failure::Options { faults, hint: "" })?;
    let text = drafted.draft.text();
    let scenario = scenario::read(&text, "the scenario of these options", &[]).map_err(Failure::Scenario)?;
    if let Some(path) = &hold.write {
        output::write_file(path, text.as_bytes(), hold.force)?;
    }
    run::use_threads(hold.show.threads)?;
    let outcome = solve(&scenario, &hold.show)?;
    let answer = match hold.show.json {
        true => report::json(&outcome),
        false => {
            let what_ifs =
                if outcome.interrupted { Vec::new() } else { what_if::ask(&drafted.draft, &scenario, &outcome)? };
            Answer { hold, drafted: &drafted, outcome: &outcome, units: hold.show.units.into() }
                .text(&scenario, &what_ifs)
        }
    };
    output::print(&answer)?;
    Ok(if outcome.interrupted || run::stopped() { INTERRUPTED } else { 0 })
}

/// A warning without the line of a scenario that nobody has seen.
fn without_line(warning: &str) -> String {
    let told = warning.split_once(": ").filter(|(place, _)| place.starts_with("line "));
    told.map_or(warning, |(_, told)| told).to_owned()
}

struct Answer<'a> {
    hold: &'a Hold,
    drafted: &'a Drafted,
    outcome: &'a Outcome,
    units: Units,
}

impl Answer<'_> {
    fn text(&self, scenario: &Scenario, what_ifs: &[WhatIf]) -> String {
        let sections = [
            self.opening(scenario),
            what_if_table(what_ifs),
            assumed(&self.drafted.offers),
            list("Cautions", &self.outcome.cautions),
            list("Warnings", &self.outcome.warnings.iter().map(|told| without_line(told)).collect::<Vec<_>>()),
            Some(self.same_case()),
        ];
        sections.into_iter().flatten().collect::<Vec<_>>().join("\n\n") + "\n"
    }

    fn opening(&self, scenario: &Scenario) -> Option<String> {
        let minimum = scenario.question.window.map_or(f64::NAN, |window| window.minimum_c);
        let minimum = Temperature::from_celsius(minimum).show(self.units);
        let outcome = self.outcome;
        let ring = holds("The ring", outcome.hold_s, outcome.error.hold_s, &minimum);
        let centre = holds("The middle of the patch", outcome.hold_centre_s, None, &minimum);
        let mut lines = vec![ring + &self.worst(), centre, self.beads(), self.flame()];
        lines.extend(report::supply_line(outcome, self.units));
        if outcome.interrupted {
            lines.insert(0, format!("Interrupted: only the first {} are computed.", time(outcome.ran_until_s)));
        }
        Some(lines.iter().map(|line| wrapped(line, 2)).collect::<Vec<_>>().join("\n"))
    }

    fn worst(&self) -> String {
        if self.outcome.hold_s == Some(0.0) {
            return String::new();
        }
        match self.outcome.worst_end.map(|worst| worst.hold_s) {
            None => String::new(),
            Some(None) => " With every input at the worst end of its range it still does.".to_owned(),
            Some(Some(0.0)) => " With every input at the worst end of its range it never gets there.".to_owned(),
            Some(Some(seconds)) => format!(" With every input at the worst end of its range: {}.", time(seconds)),
        }
    }

    fn beads(&self) -> String {
        let work = &self.drafted.draft.work;
        let bead =
            format!("{} arc, {} pause, the first {} after flame off", work.arc_time, work.pause, work.first_after);
        let planned = work.per_heat;
        match self.outcome.beads_per_heat {
            Some(0) => format!("No bead fits ({bead}): {}.", self.why_none()),
            Some(1..) if planned == 1 => format!("The one planned bead fits ({bead})."),
            Some(fit) if fit >= planned => format!("All {planned} beads fit ({bead})."),
            Some(1) => format!("1 bead fits before the flame must return ({bead})."),
            Some(fit) => format!("{fit} beads fit before the flame must return ({bead})."),
            None => "No bead was judged.".to_owned(),
        }
    }

    fn why_none(&self) -> String {
        let remedy = "heat wider, soak longer, or weld under the flame";
        match &self.outcome.first_breach {
            Some(breach) if breach.temperature_c > breach.limit_c => {
                format!("{}; heat to less, or wait until it has cooled", self.breach(breach, "above"))
            }
            Some(breach) => format!("{}; {remedy}", self.breach(breach, "below")),
            None => remedy.to_owned(),
        }
    }

    fn breach(&self, breach: &Breach, side: &str) -> String {
        let show = |celsius| Temperature::from_celsius(celsius).show(self.units);
        let at = Duration::from_si(breach.time_s - self.outcome.heats.first().map_or(0.0, |heat| heat.end_s));
        format!(
            "{} after flame off the {} reads {}, {side} {}",
            at.show(Units::Metric),
            place(&breach.place),
            show(breach.temperature_c),
            show(breach.limit_c)
        )
    }

    fn flame(&self) -> String {
        let Some(heat) = self.outcome.heats.first() else { return "The flame never burnt.".to_owned() };
        let burnt = heat.end_s - heat.start_s;
        match &self.drafted.draft.heating {
            Heating::For(_) => format!("The flame burns for {}.", time(burnt)),
            Heating::To { reads, probe } => {
                let place =
                    if *probe == "ring_coldest" { "the coldest of the ring" } else { "the middle of the patch" };
                match what_if::gave_up(burnt) {
                    true => format!("THE FLAME IS TOO WEAK: after {} {place} does not read {reads}.", time(burnt)),
                    false => format!("The flame burns for {} until {place} reads {reads}.", time(burnt)),
                }
            }
        }
    }

    fn same_case(&self) -> String {
        match &self.hold.write {
            Some(path) => {
                let path = output::shown(path);
                format!("The same case is now in {path}: warmhold check {path}")
            }
            None => format!("The same case as a file:\n  {} --write repair.toml", command_line()),
        }
    }
}

/// `ring, coldest` as people say it.
fn place(place: &str) -> String {
    match place.split_once(", ") {
        Some((whole, part)) => format!("{} of the {}", printable(part), printable(whole)),
        None => printable(place),
    }
}

/// The command as it was typed, quoted for a shell.
fn command_line() -> String {
    let quoted = |word: String| {
        let plain = |letter: char| letter.is_ascii_alphanumeric() || "-_./=".contains(letter);
        if !word.is_empty() && word.chars().all(plain) { word } else { format!("'{}'", word.replace('\'', "'\\''")) }
    };
    let words = std::env::args_os().skip(1).map(|word| quoted(printable(&word.to_string_lossy())));
    std::iter::once("warmhold".to_owned()).chain(words).collect::<Vec<_>>().join(" ")
}

fn holds(what: &str, hold_s: Option<f64>, error_s: Option<f64>, minimum: &str) -> String {
    match hold_s {
        None => format!("{what} stays above {minimum} to the end of the run."),
        Some(0.0) => format!("{what} does not hold at all: it is below {minimum} when the flame goes off."),
        Some(seconds) => {
            let error = error_s.map_or_else(String::new, |error| format!(" ± {}", time(error)));
            format!("{what} holds {}{error} above {minimum} after the flame goes off.", time(seconds))
        }
    }
}

pub(crate) fn time(seconds: f64) -> String {
    Duration::from_si(seconds).show(Units::Metric)
}

fn what_if_table(what_ifs: &[WhatIf]) -> Option<String> {
    if what_ifs.is_empty() {
        return None;
    }
    let mut table = Table::new();
    table.load_style(presets::NOTHING).set_header([
        "What would change it",
        "ring holds",
        "middle holds",
        "flame burns",
    ]);
    for what_if in what_ifs {
        table.add_row([&what_if.what, &what_if.ring, &what_if.centre, &what_if.flame]);
    }
    table.column_iter_mut().for_each(|column| {
        column.set_padding((0, 2));
    });
    Some(table.trim_fmt())
}

pub(crate) fn assumed(offers: &[Offer]) -> Option<String> {
    let widest = offers.iter().map(|offer| said(offer).chars().count()).max()?;
    let line = |offer: &Offer| wrapped(&format!("  {:<widest$}  {}", said(offer), offer.why), widest + 4);
    let lines: Vec<String> = offers.iter().map(line).collect();
    Some(format!("Assumed, since you did not say; give the option to say otherwise\n{}", lines.join("\n")))
}

fn said(offer: &Offer) -> String {
    match offer.value.contains(' ') {
        true => format!("{} \"{}\"", offer.option, offer.value),
        false => format!("{} {}", offer.option, offer.value),
    }
}

fn list(title: &str, entries: &[String]) -> Option<String> {
    let lines: Vec<String> = entries.iter().map(|entry| wrapped(&format!("- {}", printable(entry)), 2)).collect();
    (!lines.is_empty()).then(|| format!("{title}\n{}", lines.join("\n")))
}
