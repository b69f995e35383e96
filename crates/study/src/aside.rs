//! What works on the casting beside the torch, as plain data for reports.

use heat::{Case, Cover, Face, Heater, Torch, TorchKind, When};
use schemars::JsonSchema;
use serde::Serialize;

/// A heater or a cover, or a thermostat of the torch itself.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Aside {
    /// "torch", "heater" or "cover".
    pub what: &'static str,
    /// The face it is on, in words.
    pub face: &'static str,
    /// When it is there: "with flame", "in intervals", "after work", "always" or "at times".
    pub when: &'static str,
    /// What a heater brings at full strength, W/m2: its flux, or that of its hot gas on the metal as it starts.
    pub flux_w_per_m2: Option<f64>,
    /// Film coefficient of the face under a cover, W/m2K; that of a blanket is what its thickness lets through.
    pub film_coefficient_w_per_m2k: Option<f64>,
    /// Emissivity of the face under a cover.
    pub emissivity: Option<f64>,
    /// What a thermostat is set to, Celsius.
    pub thermostat_c: Option<f64>,
    /// Whether it is there in the hold that is told, which runs on from the first flame-off.
    pub in_hold: bool,
}

/// All that works beside the torch; its own thermostat comes first.
pub(crate) fn asides(case: &Case) -> Vec<Aside> {
    let own = case.torches.iter().filter(|torch| torch.thermostat.is_some());
    let own = own.map(|torch| heated("torch", torch, &When::WithFlame, case.start_c));
    let heater = |heater: &Heater| heated("heater", &heater.torch, &heater.when, case.start_c);
    own.chain(case.heaters.iter().map(heater)).chain(case.covers.iter().map(covered)).collect()
}

fn heated(what: &'static str, torch: &Torch, when: &When, start_c: f64) -> Aside {
    let flux = match torch.kind {
        TorchKind::Flux { flux } => flux,
        TorchKind::Flame { film_coefficient, gas_c } => film_coefficient * (gas_c - start_c),
    };
    Aside {
        what,
        face: face_words(torch.face),
        when: when_words(when),
        flux_w_per_m2: Some(flux),
        film_coefficient_w_per_m2k: None,
        emissivity: None,
        thermostat_c: torch.thermostat.map(|thermostat| thermostat.set_c),
        in_hold: in_hold(when),
    }
}

fn covered(cover: &Cover) -> Aside {
    Aside {
        what: "cover",
        face: face_words(cover.face),
        when: when_words(&cover.when),
        flux_w_per_m2: None,
        film_coefficient_w_per_m2k: Some(cover.surface.film_coefficient),
        emissivity: Some(cover.surface.emissivity),
        thermostat_c: None,
        in_hold: in_hold(&cover.when),
    }
}

/// The hold is followed through the first interval.
fn in_hold(when: &When) -> bool {
    matches!(when, When::InIntervals | When::Always)
}

fn face_words(face: Face) -> &'static str {
    match face {
        Face::XMin => "side x_min",
        Face::XMax => "side x_max",
        Face::YMin => "side y_min",
        Face::YMax => "side y_max",
        Face::Worked => "worked face",
        Face::Back => "back",
    }
}

fn when_words(when: &When) -> &'static str {
    match when {
        When::WithFlame => "with flame",
        When::InIntervals => "in intervals",
        When::AfterWork => "after work",
        When::Always => "always",
        When::Times(_) => "at times",
    }
}

/// Whether some heat is kept on between flames.
pub(crate) fn kept_on(case: &Case) -> bool {
    case.heaters.iter().any(|heater| in_hold(&heater.when))
}
