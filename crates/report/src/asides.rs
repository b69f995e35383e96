//! What works on the casting beside the torch, in one line.

use quantity::{FilmCoefficient, HeatFlux, Units};
use study::{Aside, Outcome};

use crate::words::temperature;

/// The line with its label; none where there is nothing.
pub(crate) fn fact(outcome: &Outcome, units: Units) -> Option<(&'static str, String)> {
    let told: Vec<String> = outcome.beside.iter().map(|aside| words(aside, units)).collect();
    let held = outcome.beside.iter().any(|aside| aside.in_hold) && outcome.window.is_some();
    let hold = if held { "; the hold includes what is on between flames" } else { "" };
    (!told.is_empty()).then(|| ("Beside the torch", told.join("; ") + hold))
}

/// `heater of 9.00 kW/m2 on the worked face, in intervals, held at 150 C`.
pub(crate) fn words(aside: &Aside, units: Units) -> String {
    let thermostat = match aside.thermostat_c {
        Some(set_c) => format!(", turned down at {}", temperature(set_c, units)),
        None => String::new(),
    };
    let strength = match (aside.flux_w_per_m2, aside.film_coefficient_w_per_m2k, aside.emissivity) {
        _ if aside.what == "torch" => return format!("the torch itself has a thermostat{thermostat}"),
        (Some(flux), ..) => format!(" of {}", HeatFlux::from_si(flux).show(units)),
        // A blanket: what radiates from its outside is in the film.
        (_, Some(film), Some(0.0)) => format!(" that lets through {}", FilmCoefficient::from_si(film).show(units)),
        (_, Some(film), Some(emissivity)) => {
            format!(" (film {}, emissivity {emissivity:.2})", FilmCoefficient::from_si(film).show(units))
        }
        _ => String::new(),
    };
    format!("{}{strength} on the {}, {}{thermostat}", aside.what, aside.face, aside.when)
}
