//! The outcome for a person at a terminal: verdict first, then why, then the tables.

use quantity::{Mass, Units, Volume};
use study::{Consumption, Outcome, Verdict};

use crate::asides;
use crate::beads;
use crate::spans::{cycles_s, intervals_s};
use crate::tables;
use crate::words::{
    NOT_COMPARED, difference, duration, error_bar, numerical_error_k, printable, setting, temperature,
    verdict_sentence, waits_too_long, with_error,
};
use crate::wrap::wrap;

/// Width of the labels of the facts, letters.
const LABEL: usize = 20;

/// The outcome on one screen, no wider than 100 columns but for its first line, the verdict in one sentence.
///
/// The second line says how many beads fit; then the hold, the margin with its errors apart, the closed-form
/// comparison, the beads of the first and of the last heat, the warnings and the cautions. A plain run shows its
/// probes instead. It ends with a newline.
pub fn text(outcome: &Outcome, units: Units) -> String {
    let asked = outcome.verdict != Verdict::NotAsked;
    let (beads, probes, watched) = if asked {
        (tables::telling_passes(outcome, units), None, None)
    } else {
        (None, tables::probes(outcome, units), tables::crossings(outcome, units))
    };
    let mut facts = if asked { judged_facts(outcome, units) } else { Vec::new() };
    facts.extend(beads::facts(outcome, units));
    facts.push(("Heat", heat_words(outcome, units)));
    facts.extend(supply(outcome, units));
    facts.extend(asides::fact(outcome, units));
    joined([
        Some(opening(outcome, units)),
        Some(self::facts(&facts)),
        beads,
        probes,
        watched,
        list("Warnings", &outcome.warnings),
        list("Cautions", &outcome.cautions),
        Some(closing(outcome)),
    ])
}

/// The outcome with every table: each heat, each bead, each watch, each stated range, and the heat ledger.
pub fn full_text(outcome: &Outcome, units: Units) -> String {
    let asked = outcome.verdict != Verdict::NotAsked;
    let mut full_facts = if asked { judged_facts(outcome, units) } else { Vec::new() };
    full_facts.extend(beads::full_facts(outcome, units));
    full_facts.extend(supply(outcome, units));
    full_facts.extend(asides::fact(outcome, units));
    joined([
        Some(opening(outcome, units)),
        listed(&full_facts),
        tables::heats(outcome),
        beads::bead_by_bead(outcome, units).or_else(|| tables::passes(outcome, units)),
        tables::probes(outcome, units),
        tables::crossings(outcome, units),
        tables::inputs(outcome, units),
        tables::ledger(outcome, units),
        list("Warnings", &outcome.warnings),
        list("Cautions", &outcome.cautions),
        Some(closing(outcome)),
    ])
}

pub(crate) fn joined(sections: impl IntoIterator<Item = Option<String>>) -> String {
    let mut text = sections.into_iter().flatten().collect::<Vec<_>>().join("\n\n");
    text.push('\n');
    text
}

/// The verdict in one sentence.
pub fn verdict_line(outcome: &Outcome, units: Units) -> String {
    verdict_sentence(outcome, units)
}

fn opening(outcome: &Outcome, units: Units) -> String {
    let mut lines =
        vec![verdict_sentence(outcome, units), beads(outcome, units), hanging("", &setting(outcome, units))];
    if outcome.verdict != Verdict::NotAsked && outcome.error.input_k.is_none() && !outcome.interrupted {
        lines.push(
            "Nominal only: no ranges are stated, so a weaker torch or another metal may change the answer.".to_owned(),
        );
    }
    if outcome.interrupted {
        lines.push(format!("Interrupted: only the first {} are computed and judged.", duration(outcome.ran_until_s)));
    }
    lines.join("\n")
}

pub(crate) fn beads(outcome: &Outcome, units: Units) -> String {
    match (outcome.beads_per_heat, outcome.planned_per_heat) {
        (Some(0), _) => format!("No bead fits: {}.", remedy(outcome)),
        (Some(1..), Some(1)) => "The one planned bead fits in each heat.".to_owned(),
        (Some(fit), Some(planned)) if fit >= planned => format!("All {planned} planned beads fit in each heat."),
        (Some(fit), Some(planned)) => {
            format!("{fit} of {planned} planned beads {} before the flame must return.", fits(fit))
        }
        (Some(fit), None) => {
            format!("{} before the flame must return.", beads_in_words(fit))
        }
        (None, _) if outcome.verdict == Verdict::NotAsked => first_fall(outcome, units),
        (None, Some(_)) => "No beads are counted: no interval was computed to its end.".to_owned(),
        (None, _) => "No passes are planned, so no beads are counted.".to_owned(),
    }
}

/// What makes room for a bead: less heat where the ring is too hot for the first one, more where it is too cold.
fn remedy(outcome: &Outcome) -> &'static str {
    let first = outcome.passes.iter().find(|pass| !pass.inside);
    let too_hot = match (first, outcome.window) {
        (Some(pass), Some(window)) => pass.coldest_c >= window.minimum_c,
        _ => waits_too_long(outcome),
    };
    if too_hot { "heat to less, or wait until it has cooled" } else { "flame before each, or heat wider" }
}

/// `no bead fits`, `1 bead fits`, `2 beads fit`.
fn beads_in_words(count: usize) -> String {
    match count {
        0 => "no bead fits".to_owned(),
        1 => "1 bead fits".to_owned(),
        _ => format!("{count} beads fit"),
    }
}

/// The first watched limit after a flame, which is what a plain run is most often made for.
fn first_fall(outcome: &Outcome, units: Units) -> String {
    let Some(first) = outcome.crossings.first() else {
        return "No window, so no beads are counted.".to_owned();
    };
    let (probe, limit) = (printable(&first.probe), temperature(first.limit_c, units));
    match first.after_off_s {
        None => format!("{probe} stays above {limit} after the flame goes off."),
        Some(0.0) => format!("{probe} is below {limit} as the flame goes off."),
        Some(seconds) => {
            format!("{probe} falls below {limit} {} after the flame goes off.", with_error(seconds, first.error_s))
        }
    }
}

fn fits(count: usize) -> &'static str {
    if count == 1 { "fits" } else { "fit" }
}

pub(crate) fn judged_facts(outcome: &Outcome, units: Units) -> Vec<(&'static str, String)> {
    let mut facts = vec![
        ("Hold of the ring", hold(outcome.hold_s, outcome.error.hold_s) + &worst_hold(outcome)),
        ("Hold of the centre", hold(outcome.hold_centre_s, None)),
    ];
    facts.extend(outcome.half_space.as_ref().map(|half_space| ("Hold by formula", half_space_words(half_space))));
    if let Some(margin) = outcome.margin_k {
        facts.push(("Margin", margin_words(outcome, margin, units)));
        facts.push(("  numerical error", numerical_words(outcome, units)));
        facts.push(("  stated ranges", input_words(outcome, units)));
    }
    facts.extend(outcome.swing_k.map(|swing| ("Flame's swing", swing_words(outcome, swing, units))));
    facts.extend(spread("Interval", "flame off to flame on", &intervals_s(outcome)));
    facts.extend(spread("Cycle", "interval and reheat", &cycles_s(outcome)));
    facts
}

fn swing_words(outcome: &Outcome, swing_k: f64, units: Units) -> String {
    let against = match outcome.window.map(|window| window.surface_limit_c) {
        Some(Some(_)) => "counted against the surface limit",
        _ => "no surface limit is given to hold it against",
    };
    let swing = difference(swing_k, units);
    format!("the circling spot takes the surface up to {swing} above the mean computed; {against}")
}

/// `19.9 MJ in: 94.5 % stored in the metal, 2.6 % lost to the air, ...; all of it accounted for`.
pub(crate) fn heat_words(outcome: &Outcome, units: Units) -> String {
    let heat_in = tables::heat_in_j(&outcome.ledger);
    let shown = quantity::Energy::from_si(heat_in).show(units);
    let parts: Vec<String> = tables::ledger_lines(&outcome.ledger)
        .iter()
        .filter(|line| !line.comes_in && line.energy_j != 0.0)
        .map(|line| match line.share {
            Some(share) => format!("{:.1} % {}", 100.0 * share, line.what),
            None => format!("{} {}", line.what, quantity::Energy::from_si(line.energy_j).show(units)),
        })
        .collect();
    let missing = missing(outcome.ledger.residual_j, heat_in.max(outcome.ledger.stored_j.abs()));
    if parts.is_empty() { format!("{shown} in") } else { format!("{shown} in: {}; {missing}", parts.join(", ")) }
}

fn missing(residual_j: f64, moved_j: f64) -> String {
    let percent = 100.0 * residual_j.abs() / moved_j.max(f64::MIN_POSITIVE);
    if percent < 0.05 { "all of it accounted for".to_owned() } else { format!("{percent:.1} % not accounted for") }
}

fn hold(hold_s: Option<f64>, error_s: Option<f64>) -> String {
    match hold_s {
        None => "above the minimum to the end of the run".to_owned(),
        Some(0.0) => "none: below the minimum when the flame goes off".to_owned(),
        Some(seconds) => with_error(seconds, error_s),
    }
}

fn worst_hold(outcome: &Outcome) -> String {
    match outcome.worst_end.map(|worst| worst.hold_s) {
        None => String::new(),
        Some(None) => "; with every range at its worst, above it to the end of the run".to_owned(),
        Some(Some(0.0)) => "; with every range at its worst, none".to_owned(),
        Some(Some(seconds)) => format!("; with every range at its worst, {}", duration(seconds)),
    }
}

fn half_space_words(half_space: &study::HalfSpace) -> String {
    let hold = half_space.hold_s.map_or_else(|| "the ring never reaches the minimum".to_owned(), duration);
    format!("{hold} on endless metal without losses: {}", printable(&half_space.meaning))
}

fn margin_words(outcome: &Outcome, margin_k: f64, units: Units) -> String {
    let wait = if outcome.passes.is_empty() { "the interval" } else { "the wait before the worst bead" };
    let size = difference(margin_k.abs(), units);
    let margin = if margin_k < 0.0 { format!("{size} short") } else { format!("{size} to spare") };
    match outcome.margin_s {
        Some(seconds) if seconds < 0.0 => format!("{margin}: {wait} is {} too long", duration(-seconds)),
        Some(seconds) => format!("{margin}: {wait} could be {} longer", duration(seconds)),
        None => margin,
    }
}

fn numerical_words(outcome: &Outcome, units: Units) -> String {
    let show = |kelvin| error_bar(kelvin, units);
    let (grid, time) = (outcome.error.grid_k, outcome.error.time_k);
    let wanted = outcome.wanted.map_or("", |wanted| {
        if wanted.met { ", as asked for" } else { ", more than was asked for: no finer grid is to be had" }
    });
    format!("{} either way (grid {}, time steps {}){wanted}", show(numerical_error_k(outcome)), show(grid), show(time))
}

fn input_words(outcome: &Outcome, units: Units) -> String {
    let Some(input_k) = outcome.error.input_k else {
        return if outcome.interrupted { "not computed" } else { "none stated" }.to_owned();
    };
    let less = format!("up to {} less, with every range at its worst", difference(input_k, units));
    let Some(worst) = outcome.worst_end else { return less };
    let side = if worst.margin_k < 0.0 { "short" } else { "to spare" };
    let beads = worst.beads_per_heat.map_or_else(String::new, |beads| format!(", {}", beads_in_words(beads)));
    format!("{less}: {} {side}{beads}", difference(worst.margin_k.abs(), units))
}

/// Shortest and longest where they differ.
fn spread(label: &'static str, meaning: &str, spans_s: &[f64]) -> Option<(&'static str, String)> {
    let shortest = spans_s.iter().copied().reduce(f64::min).map(duration)?;
    let longest = spans_s.iter().copied().reduce(f64::max).map(duration)?;
    let spans = if shortest == longest { longest } else { format!("{shortest} to {longest}") };
    Some((label, format!("{spans} ({meaning})")))
}

pub(crate) fn facts(facts: &[(&str, String)]) -> String {
    facts.iter().map(|(label, value)| hanging(&format!("{label:<LABEL$}"), value)).collect::<Vec<_>>().join("\n")
}

fn listed(list: &[(&str, String)]) -> Option<String> {
    (!list.is_empty()).then(|| facts(list))
}

/// What the torch used, in one line; none where what feeds it is not known.
pub fn supply_line(outcome: &Outcome, units: Units) -> Option<String> {
    supply(outcome, units).map(|(label, words)| format!("{label}: {words}"))
}

/// `Gas  2.3 kg (5.1 lb) propane over 62 min of flame, ...`, or the current of an electric heater.
pub(crate) fn supply(outcome: &Outcome, units: Units) -> Option<(&'static str, String)> {
    outcome.consumption.as_ref().map(|used| gas_or_current(used, units))
}

pub(crate) fn gas_or_current(used: &Consumption, units: Units) -> (&'static str, String) {
    if used.fuel.is_some() { ("Gas", gas_words(used, units)) } else { ("Electricity", current_words(used)) }
}

fn gas_words(used: &Consumption, units: Units) -> String {
    let volume = |m3: f64| Volume::from_si(m3).show(units);
    let fuel = printable(used.fuel.as_deref().unwrap_or_default());
    let mass = Mass::from_si(used.fuel_kg.unwrap_or(0.0)).show(units);
    let mut words = format!("{mass} {fuel} over {} of flame", duration(used.flame_s));
    words += &used.fuel_m3.map_or_else(String::new, |m3| format!(", {}", volume(m3)));
    words += &used.oxygen_m3.map_or_else(String::new, |m3| format!(", with {} oxygen", volume(m3)));
    words += &into_metal(used);
    let contents = |m3| format!("; the rate takes {} of cylinder contents", volume(m3));
    words + &used.cylinder_contents_m3.map_or_else(String::new, contents)
}

fn current_words(used: &Consumption) -> String {
    let energy = used.electricity_kwh.unwrap_or(0.0);
    format!("{energy:.2} kWh over {} switched on{}", duration(used.flame_s), into_metal(used))
}

fn into_metal(used: &Consumption) -> String {
    let share = |share: f64| format!("; {:.0} % of its heat into the metal", 100.0 * share);
    used.into_metal_share.map_or_else(String::new, share)
}

pub(crate) fn list(title: &str, entries: &[String]) -> Option<String> {
    let lines = entries.iter().map(|entry| hanging("- ", &printable(entry)));
    (!entries.is_empty()).then(|| std::iter::once(title.to_owned()).chain(lines).collect::<Vec<_>>().join("\n"))
}

/// The text after its label, later lines indented to the first.
pub(crate) fn hanging(label: &str, text: &str) -> String {
    let indent = label.chars().count();
    let letters = |text: &str| text.chars().count() as f64;
    let lines = wrap(text, f64::from(tables::WIDTH) - indent as f64, letters);
    format!("{label}{}", lines.join(&format!("\n{}", " ".repeat(indent))))
}

fn closing(outcome: &Outcome) -> String {
    let stats = &outcome.stats;
    let model = match outcome.casting.model.as_str() {
        "full" => "the whole casting".to_owned(),
        "axisymmetric" => "as a round body of equal face".to_owned(),
        part => format!("a {}, by symmetry", printable(part)),
    };
    let work = format!(
        "Solved on {} cells ({model}), {} steps, {} rejected, to {}.",
        stats.cells,
        stats.steps,
        stats.rejected,
        duration(outcome.ran_until_s)
    );
    let title = printable(&outcome.title);
    paragraphs([title, work, NOT_COMPARED.to_owned(), made_by(&outcome.version, &outcome.input_sha256)])
}

/// Each on lines of its own.
pub(crate) fn paragraphs(texts: impl IntoIterator<Item = String>) -> String {
    texts.into_iter().map(|text| hanging("", &text)).collect::<Vec<_>>().join("\n")
}

/// What an answer was made by and from.
pub(crate) fn made_by(version: &str, input_sha256: &str) -> String {
    format!("warmhold {}, scenario {}.", printable(version), short_hash(input_sha256))
}

fn short_hash(sha256: &str) -> String {
    const ENOUGH: usize = 12;
    if sha256.is_empty() { "without a file".to_owned() } else { printable(sha256).chars().take(ENOUGH).collect() }
}
