//! A massive body heated or cooled alike over its whole flat face: heat flows in depth only.
//!
//! In every formula `x` is the depth in metres, `t` the time in seconds, `s = √(α t)` the diffusion
//! length, `k` the conductivity in W/(m K) and `α` the diffusivity in m²/s. All hold until the far
//! face is felt, at about `0.3 L²/α` for a thickness `L` (N6).

use crate::metal::Metal;
use crate::special::{erfc, erfc_inverse, erfcx, ierfc};

/// Share of a sudden change of surface temperature that has reached a depth.
///
/// Equation: `erfc(x/2s)`. Symbols: see the module.
/// Valid for a half-space; zero for a time of zero or less.
/// Source: Holman (P7, `computed`).
#[must_use]
pub fn surface_step(metal: Metal, depth: f64, time: f64) -> f64 {
    let s = metal.diffusion_length(time);
    if s == 0.0 { 0.0 } else { erfc(0.5 * depth / s) }
}

/// Depth that a share of a sudden change of surface temperature has reached, m.
///
/// Equation: `2 s erfc⁻¹(f)`, `f` the share without unit. Other symbols: see the module.
/// Valid for a share in (0, 1]; NaN outside.
/// Source: Incropera et al. (P29, `computed`).
#[must_use]
pub fn step_depth(metal: Metal, share: f64, time: f64) -> f64 {
    2.0 * metal.diffusion_length(time) * erfc_inverse(share)
}

/// Time until a share of a sudden change of surface temperature has reached a depth, s.
///
/// Equation: `(x / (2 erfc⁻¹(f)))² / α`, `f` the share without unit. Other symbols: see the module.
/// Valid for a share in (0, 1], infinite at 1; NaN outside.
/// Source: Som (P9, `computed`).
#[must_use]
pub fn step_time(metal: Metal, share: f64, depth: f64) -> f64 {
    let s = 0.5 * depth / erfc_inverse(share);
    s * s / metal.diffusivity
}

/// Rise at a depth under a constant flux over the whole face, K.
///
/// Equation: `(2 q s/k) ierfc(x/2s)`, `q` the flux in W/m². Other symbols: see the module.
/// Valid for a half-space without losses; zero for a time of zero or less.
/// Source: Holman (P8, `computed`).
#[must_use]
pub fn surface_flux(metal: Metal, flux: f64, depth: f64, time: f64) -> f64 {
    let s = metal.diffusion_length(time);
    if s == 0.0 {
        return 0.0;
    }
    2.0 * flux * s / metal.conductivity * ierfc(0.5 * depth / s)
}

/// Rise at a depth under hot gas, as a share of gas temperature less start temperature.
///
/// Equation: `erfc η - exp(h x/k + β²) erfc(η + β)`, computed as `erfc η - exp(-η²) erfcx(η + β)`, which
/// cannot overflow; `η = x/2s`, `β = h s/k`.
/// Symbols: `h` film coefficient W/(m² K); the others see the module.
/// Valid for a half-space with a constant film coefficient; zero for a time of zero or less. Tends
/// to [`surface_step`] for a large coefficient and to [`surface_flux`] with `q = h ΔT` for short times.
/// Source: Incropera et al., Fundamentals of Heat and Mass Transfer (`memory`).
#[must_use]
pub fn surface_convection(metal: Metal, film_coefficient: f64, depth: f64, time: f64) -> f64 {
    let s = metal.diffusion_length(time);
    if s == 0.0 {
        return 0.0;
    }
    let eta = 0.5 * depth / s;
    let beta = film_coefficient * s / metal.conductivity;
    erfc(eta) - libm::exp(-eta * eta) * erfcx(eta + beta)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn iron() -> Metal {
        Metal::new(46.0, 7200.0, 500.0)
    }

    #[test]
    fn strong_convection_tends_to_a_step_and_weak_to_a_flux() {
        let strong = surface_convection(iron(), 1e12, 0.02, 60.0);
        assert_relative_eq!(strong, surface_step(iron(), 0.02, 60.0), max_relative = 1e-7);
        let weak = surface_convection(iron(), 0.01, 0.02, 60.0) / 0.01;
        let flux = surface_flux(iron(), 1.0, 0.02, 60.0);
        assert_relative_eq!(weak, flux, max_relative = 1e-4);
    }

    #[test]
    fn convection_of_a_film_that_overflows_the_plain_form_stays_a_share() {
        for film in [1.0, 1e3, 1e6, 1e9] {
            let share = surface_convection(iron(), film, 0.05, 1e5);
            assert!((0.0..=1.0).contains(&share), "{film}: {share}");
        }
    }

    #[test]
    fn convection_satisfies_its_surface_balance() {
        let (film, time, step) = (180.0, 200.0, 1e-5);
        let near = surface_convection(iron(), film, step, time);
        let surface = surface_convection(iron(), film, 0.0, time);
        let deeper = surface_convection(iron(), film, 2.0 * step, time);
        let slope = (4.0 * near - 3.0 * surface - deeper) / (2.0 * step);
        assert_relative_eq!(-46.0 * slope, film * (1.0 - surface), max_relative = 1e-5);
    }

    #[test]
    fn heat_equation_holds_in_depth_and_time() {
        let (x, t, dx, dt) = (0.015, 80.0, 1e-4, 0.05);
        let solutions: [&dyn Fn(f64, f64) -> f64; 3] =
            [&|x, t| surface_step(iron(), x, t), &|x, t| surface_flux(iron(), 1e4, x, t), &|x, t| {
                surface_convection(iron(), 180.0, x, t)
            }];
        for rise in solutions {
            let in_time = (rise(x, t + dt) - rise(x, t - dt)) / (2.0 * dt);
            let bend = (rise(x + dx, t) - 2.0 * rise(x, t) + rise(x - dx, t)) / (dx * dx);
            assert_relative_eq!(in_time, iron().diffusivity * bend, max_relative = 1e-4);
        }
    }
}
