//! Forced convection: a draft along a flat plate.

use crate::Air;
use crate::note::{Known, Nusselt};

const PLATE: Known = Known { correlation: "draft along a plate", quantity: "Re", low: 0.0, high: 1e8, key: "F1" };
/// Reynolds number at which the flow along a plate turns turbulent.
const TURBULENT: f64 = 5e5;

/// Reynolds number of a draft along a plate.
///
/// Equation: `Re = V L/nu`.
/// Symbols: `V` air speed m/s, `L` length along the draft m, `nu` kinematic viscosity m2/s at the film temperature.
/// Valid wherever the air properties are.
/// Source: definition.
pub fn reynolds(air: &Air, speed: f64, length_m: f64) -> f64 {
    speed * length_m / air.kinematic_viscosity()
}

/// Mean Nusselt number of a flat plate along the draft.
///
/// Equation: `Nu = 0.664 Re^(1/2) Pr^(1/3)` up to `Re = 5e5`, `Nu = (0.037 Re^0.8 - 871) Pr^(1/3)` above.
/// Symbols: `Re` Reynolds number over the length along the draft, `Pr` Prandtl number.
/// Valid for `Re` up to 1e8; above, the formula goes on with a note.
/// Source: F1 (`read`).
pub fn flat_plate(reynolds: f64, prandtl: f64) -> Nusselt {
    let flow = if reynolds <= TURBULENT { 0.664 * reynolds.sqrt() } else { 0.037 * reynolds.powf(0.8) - 871.0 };
    Nusselt { number: flow * prandtl.cbrt(), out_of_range: PLATE.note(reynolds) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: f64, expected: f64, share: f64) {
        assert!((got / expected - 1.0).abs() < share, "{got} {expected}");
    }

    #[test]
    fn laminar_plate_gives_check_p21() {
        // P21 (`read`): Re 1e5, Pr 0.7.
        close(flat_plate(1e5, 0.7).number, 186.437_852_875_226_2, 1e-12);
    }

    #[test]
    fn long_plate_in_a_wind_gives_check_p20() {
        // P20 (`computed` from a problem that was `read`): 30 m/s over 2 m, its own properties.
        let (reynolds, to_turbulent_m) = (30.0 * 2.0 / 1.65e-5, 5e5 * 1.65e-5 / 30.0);
        close(to_turbulent_m, 0.275, 1e-9);
        close(flat_plate(5e5, 0.705).number * 0.026 / to_turbulent_m, 39.508, 2e-3);
        close(flat_plate(reynolds, 0.705).number * 0.026 / 2.0, 65.793, 2e-3);
    }

    #[test]
    fn the_branches_meet_within_two_per_cent_and_the_end_is_named() {
        let [below, above] = [4.999_999e5, 5.000_001e5].map(|reynolds| flat_plate(reynolds, 0.7).number);
        close(above, below, 0.02);
        let name = flat_plate(2e8, 0.7).out_of_range.unwrap().to_string();
        assert_eq!(name, "draft along a plate, Re 2.0e8 above 1.0e8 (F1)");
    }
}
