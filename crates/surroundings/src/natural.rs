//! Natural convection from plates: Nusselt numbers over the Rayleigh number.

use crate::note::{Known, Nusselt};
use crate::{Air, GRAVITY};

const VERTICAL: Known = Known { correlation: "vertical", quantity: "Ra", low: 0.0, high: 1e12, key: "C1" };
const UP: Known = Known { correlation: "hot side up", quantity: "Ra", low: 1e4, high: 1e11, key: "C3" };
const DOWN: Known = Known { correlation: "hot side down", quantity: "Ra", low: 1e5, high: 1e10, key: "C4" };
/// Rayleigh number at which the flow over a hot side that points up turns turbulent.
const UP_TURBULENT: f64 = 1e7;

/// Rayleigh number: what drives the flow against what slows it.
///
/// Equation: `Ra = g beta dT L^3/(nu alpha)`.
/// Symbols: `g` [`GRAVITY`] m/s2, `beta` expansion 1/K, `dT` surface less air, either sign, K, `L` length m,
/// `nu` kinematic viscosity and `alpha` diffusivity m2/s, both at the film temperature.
/// Valid wherever the air properties are.
/// Source: definition.
pub fn rayleigh(air: &Air, difference_k: f64, length_m: f64) -> f64 {
    let cube = length_m * length_m * length_m;
    GRAVITY * air.expansion() * difference_k.abs() * cube / (air.kinematic_viscosity() * air.diffusivity())
}

/// Nusselt number of a vertical plate.
///
/// Equation: `Nu = {0.825 + 0.387 Ra^(1/6)/[1 + (0.492/Pr)^(9/16)]^(8/27)}^2`.
/// Symbols: `Ra` Rayleigh number over the height, `Pr` Prandtl number.
/// Valid for every `Ra` up to 1e12; above, the formula goes on with a note.
/// Source: C1 (`read`; the upper end `memory`).
pub fn vertical(rayleigh: f64, prandtl: f64) -> Nusselt {
    let slowed = (1.0 + (0.492 / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
    let root = 0.825 + 0.387 * rayleigh.powf(1.0 / 6.0) / slowed;
    Nusselt { number: root * root, out_of_range: VERTICAL.note(rayleigh) }
}

/// Nusselt number of a horizontal plate with its hot side up, or its cold side down.
///
/// Equation: `Nu = 0.54 Ra^(1/4)` up to `Ra = 1e7`, `Nu = 0.15 Ra^(1/3)` above.
/// Symbols: `Ra` Rayleigh number over area/perimeter.
/// Valid for `Ra` from 1e4 to 1e11; outside, the nearer branch goes on with a note.
/// Where the branches meet the value jumps up by 6 %, which is inside their scatter (C6).
/// Source: C3 (`read`).
pub fn hot_side_up(rayleigh: f64) -> Nusselt {
    let number = if rayleigh <= UP_TURBULENT { laminar_up(rayleigh) } else { 0.15 * rayleigh.cbrt() };
    Nusselt { number, out_of_range: UP.note(rayleigh) }
}

fn laminar_up(rayleigh: f64) -> f64 {
    0.54 * rayleigh.powf(0.25)
}

/// Nusselt number of a horizontal plate with its hot side down, or its cold side up.
///
/// Equation: `Nu = 0.27 Ra^(1/4)`.
/// Symbols: `Ra` Rayleigh number over area/perimeter.
/// Valid for `Ra` from 1e5 to 1e10; outside, the formula goes on with a note. A newer form gives about 21 % less (C4).
/// Source: C4 (`read`).
pub fn hot_side_down(rayleigh: f64) -> Nusselt {
    Nusselt { number: 0.27 * rayleigh.powf(0.25), out_of_range: DOWN.note(rayleigh) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: f64, expected: f64, share: f64) {
        assert!((got / expected - 1.0).abs() < share, "{got} {expected}");
    }

    #[test]
    fn vertical_plate_gives_check_p15() {
        // P15 (`read`): Gr 2.63e9, Pr 0.69.
        close(vertical(2.63e9 * 0.69, 0.69).number, 147.161_852_237_706_03, 1e-12);
    }

    #[test]
    fn fire_screen_gives_check_p16() {
        // P16 (`computed`): 0.71 m high, 209 K above the air, its own properties and g.
        let rayleigh: f64 = 9.8 * 0.0025 * 209.0 * 0.71_f64.powi(3) / (3.83e-5 * 2.64e-5);
        close(rayleigh, 1.81253e9, 1e-4);
        let film_coefficient = vertical(rayleigh, 0.69).number * 0.0338 / 0.71;
        close(film_coefficient, 7.0031, 1e-4);
        close(film_coefficient * 0.71 * 1.02 * 209.0, 1060.0, 0.005);
    }

    #[test]
    fn laminar_branch_of_a_plate_facing_up_gives_check_p17() {
        // P17 (`computed`): 0.6 x 0.6 m at 90 C in air of 30 C. It keeps to the laminar branch, though Ra is 1.2e7; by C3
        // the turbulent one is due there, and takes 8 % more.
        let rayleigh = 9.81 / 333.0 * 60.0 * 0.15_f64.powi(3) / 1.896e-5_f64.powi(2) * 0.7202;
        let heat = |number: f64| number * 0.02808 / 0.15 * 0.36 * 60.0;
        close(heat(laminar_up(rayleigh)), 128.384, 1e-3);
        close(heat(hot_side_up(rayleigh).number), 1.08 * 128.384, 1e-3);
    }

    #[test]
    fn oven_top_gives_check_p18() {
        // P18 (`computed` from a problem that was `read`): lengths in ft, heat in Btu/h.
        let rayleigh: f64 = 32.2 / 520.0 * 40.0 * 0.5_f64.powi(3) / (1.688e-4 * 0.859 / 3600.0);
        close(rayleigh, 7_687_000.0, 1e-3);
        close(hot_side_up(rayleigh).number * 0.01516 / 0.5, 0.8621, 1e-3);
    }

    #[test]
    fn horizontal_plates_give_check_p22() {
        // P22 (`read`): Gr 3.21e8, Pr 5.54.
        close(hot_side_up(3.21e8 * 5.54).number, 181.731_212_743_844_57, 1e-12);
        close(hot_side_down(3.21e8 * 5.54).number, 55.445_647_993_628_29, 1e-12);
    }

    #[test]
    fn a_rayleigh_number_outside_is_named_and_one_inside_is_not() {
        let name = |nusselt: Nusselt| nusselt.out_of_range.map(|note| note.to_string()).unwrap_or_default();
        assert_eq!(name(hot_side_up(3e3)), "hot side up, Ra 3.0e3 below 1.0e4 (C3)");
        assert_eq!(name(hot_side_up(2e11)), "hot side up, Ra 2.0e11 above 1.0e11 (C3)");
        assert_eq!(name(hot_side_down(9e4)), "hot side down, Ra 9.0e4 below 1.0e5 (C4)");
        assert_eq!(name(vertical(2e12, 0.7)), "vertical, Ra 2.0e12 above 1.0e12 (C1)");
        assert_eq!(name(hot_side_up(1e7)) + &name(hot_side_down(1e6)) + &name(vertical(0.0, 0.7)), "");
    }

    #[test]
    fn both_branches_of_a_hot_side_up_are_taken_at_their_ends() {
        close(hot_side_up(1e7).number, 0.54 * 1e7_f64.powf(0.25), 1e-12);
        close(hot_side_up(1.000_001e7).number, 0.15 * 1e7_f64.cbrt(), 1e-6);
    }
}
