//! Neighbouring cases of `hold`: what would lengthen it.

use warmhold::exact::{Disc, Metal};
use warmhold::heat::Grids;
use warmhold::scenario::draft::{Draft, Heated, Heating, LONGEST_HEATING, Torch};
use warmhold::scenario::{self, Scenario};
use warmhold::study::Outcome;

use super::hold::time;
use crate::failure::Failure;
use crate::job::{area, duration, length};
use crate::run;

/// How much wider.
const WIDER: f64 = 1.5;
/// How much longer.
const LONGER: f64 = 2.0;
/// A body that was warmed through before.
const WARM_BODY_C: f64 = 100.0;

/// One line of the comparison.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct WhatIf {
    pub(crate) what: String,
    pub(crate) ring: String,
    pub(crate) centre: String,
    pub(crate) flame: String,
}

/// The case as asked and its neighbours; each neighbour on one grid, without error bar.
pub(crate) fn ask(draft: &Draft, scenario: &Scenario, outcome: &Outcome) -> Result<Vec<WhatIf>, Failure> {
    let mut rows = vec![row("as asked".to_owned(), outcome)];
    let neighbours = [wider(draft), soaked(draft, scenario, outcome), warm(draft, scenario), read_at_ring(draft)];
    for (what, draft) in neighbours.into_iter().flatten() {
        // A neighbour that cannot be read, such as a patch wider than the casting, is left out.
        let Ok(mut neighbour) = scenario::read(&draft.text(), "neighbour", &[]) else { continue };
        neighbour.question.ranges.clear();
        neighbour.question.accuracy.grids = Grids::MiddleOnly;
        let outcome = run::check(&neighbour)?;
        if outcome.interrupted {
            break;
        }
        rows.push(row(what, &outcome));
    }
    Ok(rows)
}

/// Whether the flame burnt as long as it may, and so did not reach its target.
pub(crate) fn gave_up(burnt_s: f64) -> bool {
    burnt_s >= duration(LONGEST_HEATING) * (1.0 - 1e-9)
}

fn row(what: String, outcome: &Outcome) -> WhatIf {
    let hold = |hold_s: Option<f64>| match hold_s {
        None => "beyond the run".to_owned(),
        Some(0.0) => "not at all".to_owned(),
        Some(seconds) => time(seconds),
    };
    let burnt = outcome.heats.first().map_or(0.0, |heat| heat.end_s - heat.start_s);
    let flame = if gave_up(burnt) { format!("{}, too weak", time(burnt)) } else { time(burnt) };
    WhatIf { what, ring: hold(outcome.hold_s), centre: hold(outcome.hold_centre_s), flame }
}

fn wider(draft: &Draft) -> Option<(String, Draft)> {
    let widened = |text: &str| format!("{} mm", (length(text) * WIDER * 1e3).round());
    let heated = match &draft.heated {
        Heated::Disc(diameter) => Heated::Disc(widened(diameter)),
        Heated::Rectangle(sides) => Heated::Rectangle([widened(&sides[0]), widened(&sides[1])]),
    };
    let size = match &heated {
        Heated::Disc(diameter) => diameter.clone(),
        Heated::Rectangle(sides) => sides.join(" x "),
    };
    let torch = match &draft.torch {
        Torch::Fuel { .. } => "the same gas",
        Torch::Flux(_) => "the same flux",
    };
    Some((format!("heated {WIDER} times wider, {size}, with {torch}"), Draft { heated, ..draft.clone() }))
}

/// Twice the soak. To a temperature this needs a gentler flame: the flux that a half space needs to read the same
/// after twice the time.
fn soaked(draft: &Draft, scenario: &Scenario, outcome: &Outcome) -> Option<(String, Draft)> {
    if let Heating::For(time) = &draft.heating {
        let longer = format!("{} s", duration(time) * LONGER);
        let heating = Heating::For(longer);
        return Some((
            format!("heated {LONGER} times as long with the same flame"),
            Draft { heating, ..draft.clone() },
        ));
    }
    let heat = outcome.heats.first()?;
    let burnt = heat.end_s - heat.start_s;
    if gave_up(burnt) {
        return None;
    }
    let disc = Disc { radius: (area(&draft.heated) / std::f64::consts::PI).sqrt() };
    let material = &scenario.case.material;
    let warm = 0.5 * (scenario.case.start_c + scenario.question.window?.minimum_c);
    let metal = Metal::new(material.conductivity(warm), material.density(), material.specific_heat(warm));
    let rise = |time: f64| disc.axis_rise(metal, 1.0, 0.0, time);
    let gentler = rise(burnt) / rise(LONGER * burnt);
    let torch = turned_down(draft, gentler)?;
    let what = format!("flame turned down to {:.0} % for about twice the soak", 100.0 * gentler);
    Some((what, Draft { torch, ..draft.clone() }))
}

fn turned_down(draft: &Draft, factor: f64) -> Option<Torch> {
    match &draft.torch {
        Torch::Fuel { gas, rate } => Some(Torch::Fuel { gas: gas.clone(), rate: scaled(rate, factor)? }),
        Torch::Flux(flux) => Some(Torch::Flux(scaled(flux, factor)?)),
    }
}

/// The same text with its leading number multiplied; None where the number is not a plain one.
fn scaled(text: &str, factor: f64) -> Option<String> {
    let text = text.trim();
    let end = text.find(|letter: char| !letter.is_ascii_digit() && letter != '.').unwrap_or(text.len());
    let number: f64 = text[..end].parse().ok()?;
    let unit = text[end..].trim();
    unit.starts_with(char::is_alphabetic).then(|| format!("{} {}", enough_digits(number * factor), unit))
}

fn enough_digits(number: f64) -> String {
    // Two digits would move the flux by some per cent.
    if number >= 100.0 { format!("{number:.0}") } else { format!("{number:.3}") }
}

fn warm(draft: &Draft, scenario: &Scenario) -> Option<(String, Draft)> {
    let what = format!("whole casting at {WARM_BODY_C} C before the flame");
    let warm = Draft { start: format!("{WARM_BODY_C} C"), ..draft.clone() };
    (scenario.case.start_c < WARM_BODY_C).then_some((what, warm))
}

fn read_at_ring(draft: &Draft) -> Option<(String, Draft)> {
    match &draft.heating {
        Heating::To { reads, probe: "patch_centre" } => {
            let what = format!("heated until the coldest of the ring reads {reads}");
            let heating = Heating::To { reads: reads.clone(), probe: "ring_coldest" };
            Some((what, Draft { heating, ..draft.clone() }))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rate_is_scaled_and_keeps_its_unit() {
        assert_eq!(scaled("2.2 kg/h", 0.5).unwrap(), "1.100 kg/h");
        assert_eq!(scaled("40ft3/h", 0.5).unwrap(), "20.000 ft3/h");
        assert_eq!(scaled("1/2 kg/h", 0.5), None);
    }
}
