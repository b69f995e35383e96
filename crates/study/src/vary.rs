//! Moves one input of a case to an end of its stated range.

use heat::{Case, Surface};

use crate::{Lever, Range};

impl Lever {
    /// Name of the input in words.
    pub fn words(self) -> &'static str {
        match self {
            Lever::Conductivity => "conductivity of the metal",
            Lever::SpecificHeat => "specific heat of the metal",
            Lever::TorchStrength => "heat of the torch into the metal",
            Lever::FilmCoefficient => "film coefficients",
            Lever::Emissivity => "emissivities",
            Lever::ContactConductance => "contact under the casting",
            Lever::ArcPower => "arc power",
        }
    }

    /// The same in a word or two.
    pub fn short(self) -> &'static str {
        match self {
            Lever::Conductivity => "conductivity",
            Lever::SpecificHeat => "specific heat",
            Lever::TorchStrength => "torch",
            Lever::FilmCoefficient => "film",
            Lever::Emissivity => "emissivity",
            Lever::ContactConductance => "support",
            Lever::ArcPower => "arc",
        }
    }
}

/// The case with one input multiplied by a factor.
///
/// # Errors
/// [`heat::Error`] when the factor makes the metal's table unusable.
pub fn varied(case: &Case, lever: Lever, factor: f64) -> Result<Case, heat::Error> {
    let mut case = case.clone();
    match lever {
        Lever::Conductivity => case.material = case.material.scaled(factor, 1.0)?,
        Lever::SpecificHeat => case.material = case.material.scaled(1.0, factor)?,
        Lever::TorchStrength => {
            let shares = case.heaters.iter_mut().filter(|heater| heater.shares_supply).map(|heater| &mut heater.torch);
            case.torches.iter_mut().chain(shares).for_each(|torch| torch.kind = torch.kind.scaled(factor));
        }
        Lever::FilmCoefficient => each_surface(&mut case, |s| {
            s.film_coefficient *= factor;
            s.film_table = s.film_table.map(|table| table.scaled(factor));
        }),
        Lever::Emissivity => each_surface(&mut case, |s| s.emissivity = (s.emissivity * factor).min(1.0)),
        Lever::ContactConductance => each_surface(&mut case, |s| s.contact_conductance *= factor),
        Lever::ArcPower => case.passes.iter_mut().flat_map(|p| &mut p.list).for_each(|pass| pass.power *= factor),
    }
    Ok(case)
}

/// The case with several inputs, each multiplied by a factor of its own.
///
/// # Errors
/// As [`varied`].
pub fn all_varied(case: Case, moved: impl IntoIterator<Item = (Lever, f64)>) -> Result<Case, heat::Error> {
    moved.into_iter().try_fold(case, |case, (lever, factor)| varied(&case, lever, factor))
}

/// The case with each range alone at its low and at its high end, in their order.
///
/// # Errors
/// As [`varied`].
pub fn each_end(case: &Case, ranges: &[Range]) -> Result<Vec<Case>, heat::Error> {
    let ends = ranges.iter().flat_map(|range| [(range.lever, range.low), (range.lever, range.high)]);
    ends.map(|(lever, factor)| varied(case, lever, factor)).collect()
}

fn each_surface(case: &mut Case, change: impl Fn(&mut Surface)) {
    case.surfaces_mut().for_each(change);
}
