//! A disc of uniform flux on a half-space.

use crate::heating::Heating;
use crate::metal::Metal;
use crate::quadrature::{integrate, integrate_peaked};
use crate::rim::Spread;
use crate::soak;
use crate::special::{erfc, ierfc};
use std::f64::consts::{FRAC_PI_2, PI};

/// Rim and axis are resolved to this part of the radius.
const FINEST: f64 = 1e-9;

/// A heated disc on the flat face of a massive body.
///
/// The body is a half-space: the solution holds until the heat has felt a far face or an edge, at
/// about `0.3 L²/α` for a section of thickness `L` (N6); after that the real body is hotter. The
/// surface loses no heat, which matters little to a local hold (N4) and much to a slow cool-down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Disc {
    /// Radius, m. Positive.
    pub radius: f64,
}

impl Disc {
    /// Heated area, m².
    #[must_use]
    pub fn area(&self) -> f64 {
        PI * self.radius * self.radius
    }

    /// Rise on the axis while the disc is heated, K.
    ///
    /// Equation: `(2 q s/k) [ierfc(z/2s) - ierfc(√(z² + a²)/2s)]`, `s = √(α t)`.
    /// Symbols: `q` flux W/m², `k` conductivity W/(m K), `α` diffusivity m²/s, `a` radius m, `z`
    /// depth m, `t` time since the start s.
    /// Valid for a half-space without losses; zero for a time of zero or less.
    /// Source: Carslaw and Jaeger form (P1, `computed`).
    #[must_use]
    pub fn axis_rise(&self, metal: Metal, flux: f64, depth: f64, time: f64) -> f64 {
        let s = metal.diffusion_length(time);
        if s == 0.0 {
            return 0.0;
        }
        let far = libm::hypot(depth, self.radius);
        let bracket = ierfc(0.5 * depth / s) - ierfc(0.5 * far / s);
        2.0 * flux * s / metal.conductivity * bracket
    }

    /// Rise at any point while the disc is heated, K.
    ///
    /// Equation: `q/(2π k) ∮ G dφ`, `G = 2s [ierfc(z/2s) - ierfc(√(z² + ρ²)/2s)]`, along the rim with
    /// `dφ = a (a - r cos θ)/ρ² dθ`, `ρ² = a² + r² - 2 a r cos θ`.
    /// Symbols: as in [`Disc::axis_rise`], with `r` distance from the axis m, `θ` angle around the
    /// disc, `ρ` distance along the surface from the point to the rim m.
    /// Valid for a half-space without losses, inside, outside and at the rim; good for ten digits
    /// of the centre's rise. Zero for a time of zero or less.
    /// Source: Carslaw and Jaeger's point source integrated over the disc (P3, `computed`).
    #[must_use]
    pub fn rise(&self, metal: Metal, flux: f64, radius: f64, depth: f64, time: f64) -> f64 {
        let spread = Spread::Length(metal.diffusion_length(time));
        flux / metal.conductivity * self.rim_integral(spread, radius, depth)
    }

    /// Rise at any point after endless heating, K.
    ///
    /// Equation: as [`Disc::rise`] with `G = √(z² + ρ²) - z`; on the surface `q a/k` in the centre and
    /// `2 q a/(π k)` at the rim.
    /// Symbols: as in [`Disc::rise`].
    /// Valid for a half-space without losses, which no real body is for so long: an upper bound for
    /// a massive one.
    /// Source: Carslaw and Jaeger form (P2, `computed`).
    #[must_use]
    pub fn steady_rise(&self, metal: Metal, flux: f64, radius: f64, depth: f64) -> f64 {
        flux / metal.conductivity * self.rim_integral(Spread::Steady, radius, depth)
    }

    /// Mean rise over the heated disc while it is heated, K.
    ///
    /// Equation: `q/(π a² k) ∫₀^{2a} A(ρ) erfc(ρ/2s) dρ`, with `A(ρ)` the overlap of two discs whose
    /// centres lie `ρ` apart: `A = a² (π - 2χ - sin 2χ)`, `ρ = 2a sin χ`.
    /// Symbols: as in [`Disc::rise`].
    /// Valid for a half-space without losses; zero for a time of zero or less.
    /// Source: the same point source, averaged; its steady limit is P2 (`computed`).
    #[must_use]
    pub fn mean_rise(&self, metal: Metal, flux: f64, time: f64) -> f64 {
        let s = metal.diffusion_length(time);
        if s == 0.0 {
            return 0.0;
        }
        let reach = self.radius / s;
        let overlap = |angle: f64| PI - 2.0 * angle - libm::sin(2.0 * angle);
        let integral = integrate_peaked(reach.recip().min(1.0), 0.0, FRAC_PI_2, |angle| {
            overlap(angle) * erfc(reach * libm::sin(angle)) * libm::cos(angle)
        });
        2.0 * flux * self.radius / (PI * metal.conductivity) * integral
    }

    /// Mean rise over the heated disc after endless heating, K.
    ///
    /// Equation: `8 q a/(3π k)`. Symbols: `q` flux W/m², `a` radius m, `k` conductivity W/(m K).
    /// Valid as [`Disc::steady_rise`]. Source: Carslaw and Jaeger form (P2, `computed`).
    #[must_use]
    pub fn steady_mean_rise(&self, metal: Metal, flux: f64) -> f64 {
        8.0 * flux * self.radius / (3.0 * PI * metal.conductivity)
    }

    /// Rise at any point and `time` since the torch came on, heated or switched off, K.
    ///
    /// Equation: `rise(t) - rise(t - t_on)`, see [`Disc::rise`].
    /// Symbols: `t` time since the start s, `t_on` duration of heating s.
    /// Valid as [`Disc::rise`]. Long after switch-off the difference keeps about twelve digits of
    /// the peak, not of itself.
    /// Source: superposition (P3, `computed`).
    #[must_use]
    pub fn rise_after(&self, metal: Metal, heating: Heating, radius: f64, depth: f64, time: f64) -> f64 {
        heating.superpose(time, |t| self.rise(metal, 1.0, radius, depth, t))
    }

    /// Hold: seconds from switch-off until the point's rise falls below `limit` kelvin.
    ///
    /// Equation: the root `t` of `rise_after(t_on + t) = limit`, by doubling and bisection.
    /// Symbols: as in [`Disc::rise_after`].
    /// Valid as [`Disc::rise`]. `None` if the point is not above the limit at switch-off (a deep
    /// point may still warm past it later: it was not ready to weld when the flame left). Infinity
    /// for a limit of zero or less, which is never reached.
    /// Source: P4 and P4b (`computed`).
    #[must_use]
    pub fn hold(&self, metal: Metal, heating: Heating, radius: f64, depth: f64, limit: f64) -> Option<f64> {
        heating.hold(limit, |t| self.rise(metal, 1.0, radius, depth, t))
    }

    /// Flux that brings the middle of the disc to `rise` kelvin in `duration` seconds, W/m².
    ///
    /// Equation: `rise / axis_rise(q = 1, z = 0, t_on)`.
    /// Symbols: as in [`Disc::axis_rise`].
    /// Valid as [`Disc::axis_rise`]; infinite for a duration of zero or less.
    /// Source: N3 (`computed`).
    #[must_use]
    pub fn flux_for_centre_rise(&self, metal: Metal, rise: f64, duration: f64) -> f64 {
        rise / self.axis_rise(metal, 1.0, 0.0, duration)
    }

    /// Longest hold of the middle of the disc, after an endless soak, s.
    ///
    /// Equation: `F a²/α`, with `F` from [`soak::fourier_number`].
    /// Symbols: `fraction_left` the limit's rise over the peak's, without unit; `a` radius m; `α`
    /// diffusivity m²/s.
    /// Valid for a massive body without losses; a thin section can hold longer (N6), and the ring
    /// around the middle holds far less. NaN unless `fraction_left` is in (0, 1].
    /// Source: P5 and N2 (`computed`).
    #[must_use]
    pub fn longest_centre_hold(&self, metal: Metal, fraction_left: f64) -> f64 {
        soak::fourier_number(fraction_left) * self.radius * self.radius / metal.diffusivity
    }

    /// Steady power that holds the disc at one temperature, W.
    ///
    /// Equation: `4 k a ΔT`. Symbols: `k` conductivity W/(m K), `a` radius m, `ΔT` rise K.
    /// Valid for a massive body without losses, after a long time; more power is needed before.
    /// Source: N5 (`computed`).
    #[must_use]
    pub fn isothermal_power(&self, metal: Metal, rise: f64) -> f64 {
        4.0 * metal.conductivity * self.radius * rise
    }

    /// Steady power of uniform flux that holds the mean of the disc at `rise`, W.
    ///
    /// Equation: `(3π²/8) k a ΔT`. Symbols and validity: as in [`Disc::isothermal_power`].
    /// Source: N5 (`computed`).
    #[must_use]
    pub fn uniform_flux_power(&self, metal: Metal, rise: f64) -> f64 {
        3.0 * PI * PI / 8.0 * metal.conductivity * self.radius * rise
    }

    /// `∮ G dφ / 2π` in metres, over both halves of the rim.
    fn rim_integral(&self, spread: Spread, radius: f64, depth: f64) -> f64 {
        let (a, r) = (self.radius, radius.abs());
        if r < FINEST * a {
            return 2.0 * PI * spread.ray(depth, a);
        }
        // The poles of dφ/dθ lie at ± i ln(a/r), so the logarithm is the width of the peak.
        let width = libm::log(a / r).abs().max(FINEST);
        let seen = |angle: f64| {
            let chord = libm::sin(0.5 * angle);
            let squared = (a - r) * (a - r) + 4.0 * a * r * chord * chord;
            let turn = a * (a - r + 2.0 * r * chord * chord) / squared;
            turn * spread.ray(depth, squared.sqrt())
        };
        if width > 1.0 {
            // Far from the rim the integrand is smooth around the whole circle.
            return 2.0 * integrate(0.0, PI, seen);
        }
        2.0 * integrate_peaked(width, 0.0, PI, seen)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const DISC: Disc = Disc { radius: 0.06 };
    const FLUX: f64 = 250e3;

    fn iron() -> Metal {
        Metal::new(46.0, 7200.0, 500.0)
    }

    /// Carslaw and Jaeger's form over wave numbers, good below the surface only:
    /// `q a/2k ∫ J₀(λr) J₁(λa) [exp(-λz) erfc(z/2s - λs) - exp(λz) erfc(z/2s + λs)] dλ/λ`.
    fn rise_by_wave_numbers(radius: f64, depth: f64, time: f64) -> f64 {
        let s = iron().diffusion_length(time);
        let eta = 0.5 * depth / s;
        let mode = |scaled: f64| {
            let wave = scaled / DISC.radius;
            let waves = libm::j0(wave * radius) * libm::j1(scaled) / scaled;
            let early = (-wave * depth).exp() * erfc(eta - wave * s);
            let late = (-eta * eta - wave * wave * s * s).exp();
            waves * (early - late * crate::special::erfcx(eta + wave * s))
        };
        let last = 35.0 * DISC.radius / depth;
        let panels = last.ceil() as usize;
        let step = last / panels as f64;
        let sum: f64 = (0..panels).map(|panel| integrate(panel as f64 * step, (panel + 1) as f64 * step, mode)).sum();
        0.5 * FLUX * DISC.radius / iron().conductivity * sum
    }

    #[test]
    fn rim_form_and_wave_number_form_agree_inside_at_and_outside_the_rim() {
        for radius in [0.0, 0.01, 0.04, 0.059, 0.06, 0.0601, 0.08, 0.12] {
            for (depth, time) in [(0.006, 300.0), (0.006, 3.0), (0.025, 60.0), (0.025, 3600.0)] {
                let rim = DISC.rise(iron(), FLUX, radius, depth, time);
                let waves = rise_by_wave_numbers(radius, depth, time);
                assert_relative_eq!(rim, waves, epsilon = 1e-7);
            }
        }
    }

    #[test]
    fn rim_form_keeps_ten_digits_beside_the_rim() {
        // The polar form around the point itself, in 25-digit arithmetic.
        let cases = [
            (0.02, 0.0, 300.0, 231.688_078_701_650_4),
            (0.0599, 0.0, 1.0, 11.638_105_605_767_2),
            (0.0599, 0.006, 2e4, 182.070_506_948_993_4),
            (0.0601, 0.0, 1.0, 9.915_190_842_124_33),
            (0.0601, 0.0, 2e4, 195.401_836_584_364_6),
            (0.09, 0.006, 300.0, 41.767_729_346_353_58),
        ];
        for (radius, depth, time, expected) in cases {
            let rise = DISC.rise(iron(), FLUX, radius, depth, time);
            assert_relative_eq!(rise, expected, epsilon = 1e-8, max_relative = 0.0);
        }
    }

    #[test]
    fn rim_form_meets_the_closed_form_on_the_axis() {
        for time in [0.01, 1.0, 300.0, 1e6] {
            for depth in [0.0, 0.006, 0.1] {
                let near = DISC.rise(iron(), FLUX, 1e-6 * DISC.radius, depth, time);
                let axis = DISC.axis_rise(iron(), FLUX, depth, time);
                assert_relative_eq!(near, axis, epsilon = 1e-6);
            }
        }
    }

    #[test]
    fn rise_is_smooth_through_the_rim() {
        for time in [0.1, 10.0, 300.0] {
            let rise = |r: f64| DISC.rise(iron(), FLUX, r, 0.0, time);
            let rim = rise(0.06);
            for gap in [1e-6, 1e-9, 1e-12] {
                let middle = 0.5 * (rise(0.06 - gap) + rise(0.06 + gap));
                assert_relative_eq!(middle, rim, epsilon = 1e-3);
            }
        }
    }

    #[test]
    fn rise_at_the_rim_is_half_the_half_space_at_very_short_time() {
        let s = crate::half_space::surface_flux(iron(), FLUX, 0.0, 1e-4);
        let rim = DISC.rise(iron(), FLUX, 0.06, 0.0, 1e-4);
        assert_relative_eq!(rim, 0.5 * s, max_relative = 1e-3);
        let inside = DISC.rise(iron(), FLUX, 0.05, 0.0, 1e-4);
        assert_relative_eq!(inside, s, max_relative = 1e-12);
        assert!(DISC.rise(iron(), FLUX, 0.07, 0.0, 1e-4).abs() < 1e-12);
    }

    #[test]
    fn heat_equation_holds_off_the_axis() {
        let (r, z, t) = (0.052, 0.008, 120.0);
        let (dx, dt) = (5e-5, 0.05);
        let rise = |r: f64, z: f64, t: f64| DISC.rise(iron(), FLUX, r, z, t);
        let here = rise(r, z, t);
        let in_time = (rise(r, z, t + dt) - rise(r, z, t - dt)) / (2.0 * dt);
        let (out, inward) = (rise(r + dx, z, t), rise(r - dx, z, t));
        let radial = (out - 2.0 * here + inward) / (dx * dx) + (out - inward) / (2.0 * dx * r);
        let deep = (rise(r, z + dx, t) - 2.0 * here + rise(r, z - dx, t)) / (dx * dx);
        assert_relative_eq!(in_time, iron().diffusivity * (radial + deep), max_relative = 1e-4);
    }

    #[test]
    fn surface_slope_is_the_flux_inside_and_nothing_outside() {
        let slope = |r: f64| {
            let rise = |z: f64| DISC.rise(iron(), FLUX, r, z, 60.0);
            let step = 1e-5;
            (4.0 * rise(step) - 3.0 * rise(0.0) - rise(2.0 * step)) / (2.0 * step)
        };
        assert_relative_eq!(-46.0 * slope(0.04), FLUX, max_relative = 1e-5);
        assert!((46.0 * slope(0.08)).abs() < 1e-5 * FLUX);
    }

    #[test]
    fn mean_is_the_average_of_the_surface() {
        for time in [0.5, 60.0, 3600.0] {
            // r = a sin p spreads the steep slope at the rim.
            let ring = |p: f64| {
                let (r, weight) = (DISC.radius * p.sin(), 2.0 * p.sin() * p.cos());
                weight * DISC.rise(iron(), FLUX, r, 0.0, time)
            };
            let panels = 40;
            let step = FRAC_PI_2 / f64::from(panels);
            let average: f64 = (0..panels).map(|n| integrate(f64::from(n) * step, f64::from(n + 1) * step, ring)).sum();
            let mean = DISC.mean_rise(iron(), FLUX, time);
            assert_relative_eq!(mean, average, max_relative = 1e-6);
        }
    }

    #[test]
    fn everything_tends_to_the_steady_state() {
        let late = 1e12;
        for radius in [0.0, 0.03, 0.06, 0.1] {
            let rise = DISC.rise(iron(), FLUX, radius, 0.01, late);
            let steady = DISC.steady_rise(iron(), FLUX, radius, 0.01);
            assert_relative_eq!(rise, steady, max_relative = 1e-4);
        }
        let mean = DISC.mean_rise(iron(), FLUX, late);
        assert_relative_eq!(mean, DISC.steady_mean_rise(iron(), FLUX), max_relative = 1e-4);
    }

    #[test]
    fn long_after_switch_off_only_the_energy_counts() {
        let torch = Heating { flux: FLUX, duration: 300.0 };
        let time: f64 = 3e6;
        let rise = DISC.rise_after(iron(), torch, 0.04, 0.0, time);
        let energy = FLUX * 300.0 * DISC.area();
        let spread = 4.0 * PI * iron().diffusivity * time;
        let point = 2.0 * energy / (7200.0 * 500.0) / spread.powf(1.5);
        assert_relative_eq!(rise, point, max_relative = 1e-3);
    }

    #[test]
    fn a_longer_soak_tends_to_the_longest_hold() {
        let rise = DISC.axis_rise(iron(), FLUX, 0.0, 1e9);
        let torch = Heating { flux: FLUX, duration: 1e9 };
        let hold = DISC.hold(iron(), torch, 0.0, 0.0, 0.6 * rise).unwrap();
        let longest = DISC.longest_centre_hold(iron(), 0.6);
        assert_relative_eq!(hold, longest, max_relative = 1e-3);
    }

    #[test]
    fn a_point_below_the_limit_at_switch_off_has_no_hold() {
        let torch = Heating { flux: FLUX, duration: 300.0 };
        assert_eq!(DISC.hold(iron(), torch, 0.08, 0.0, 130.0), None);
        assert_eq!(DISC.hold(iron(), torch, 0.0, 0.0, f64::NAN), None);
        assert_eq!(DISC.hold(iron(), torch, 0.0, 0.0, 0.0), Some(f64::INFINITY));
    }

    #[test]
    fn powers_are_those_of_their_rises() {
        let flux = DISC.uniform_flux_power(iron(), 184.0) / DISC.area();
        assert_relative_eq!(DISC.steady_mean_rise(iron(), flux), 184.0, max_relative = 1e-12);
        assert!(DISC.isothermal_power(iron(), 184.0) > DISC.uniform_flux_power(iron(), 184.0));
    }
}
