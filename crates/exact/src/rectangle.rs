//! A rectangle of uniform flux on a half-space.

use crate::heating::Heating;
use crate::metal::Metal;
use crate::quadrature::integrate_peaked;
use crate::rim::Spread;

/// An edge this close to the point, relative to the rectangle, is taken to pass through it.
const FINEST: f64 = 1e-12;

/// A heated rectangle on the flat face of a massive body, its middle at the origin.
///
/// Limits as for [`crate::Disc`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rectangle {
    /// Half the extent along x, m. Positive.
    pub half_x: f64,
    /// Half the extent along y, m. Positive.
    pub half_y: f64,
}

impl Rectangle {
    /// Heated area, m².
    #[must_use]
    pub fn area(&self) -> f64 {
        4.0 * self.half_x * self.half_y
    }

    /// Rise at the point `[x, y, depth]` while the rectangle is heated, K.
    ///
    /// Equation: `q/(2π k) ∮ G dφ`, `G = 2s [ierfc(z/2s) - ierfc(√(z² + ρ²)/2s)]`, along the four edges
    /// with `dφ = d/(d² + u²) du`, `ρ² = d² + u²`. It equals the time integral
    /// `2q/(√π k) ∫₀ˢ exp(-z²/4v²) X(v) Y(v) dv`, `X = [erf((b + x)/2v) + erf((b - x)/2v)]/2`.
    /// Symbols: `q` flux W/m², `k` conductivity W/(m K), `s` = `√(α t)` m, `α` diffusivity m²/s, `t`
    /// time since the start s, `z` depth m, `d` distance from the point to the line of the edge m,
    /// `u` place along that line m, `b` half extent m.
    /// Valid for a half-space without losses; zero for a time of zero or less.
    /// Source: Carslaw and Jaeger's point source integrated over the rectangle (P1, `computed`).
    #[must_use]
    pub fn rise(&self, metal: Metal, flux: f64, point: [f64; 3], time: f64) -> f64 {
        let spread = Spread::Length(metal.diffusion_length(time));
        flux / metal.conductivity * self.rim_integral(spread, point)
    }

    /// Rise at the point `[x, y, depth]` after endless heating, K.
    ///
    /// Equation: as [`Rectangle::rise`] with `G = √(z² + ρ²) - z`.
    /// Symbols: as in [`Rectangle::rise`].
    /// Valid as [`crate::Disc::steady_rise`].
    /// Source: as [`Rectangle::rise`].
    #[must_use]
    pub fn steady_rise(&self, metal: Metal, flux: f64, point: [f64; 3]) -> f64 {
        flux / metal.conductivity * self.rim_integral(Spread::Steady, point)
    }

    /// Rise at `[x, y, depth]` and `time` since the torch came on, heated or switched off, K.
    ///
    /// Equation: `rise(t) - rise(t - t_on)`, see [`Rectangle::rise`].
    /// Symbols: `t` time since the start s, `t_on` duration of heating s.
    /// Valid as [`Rectangle::rise`].
    /// Source: superposition (P3, `computed`).
    #[must_use]
    pub fn rise_after(&self, metal: Metal, heating: Heating, point: [f64; 3], time: f64) -> f64 {
        heating.superpose(time, |t| self.rise(metal, 1.0, point, t))
    }

    /// Hold: seconds from switch-off until the point's rise falls below `limit` kelvin.
    ///
    /// Equation, symbols, validity and the meaning of `None`: as in [`crate::Disc::hold`].
    /// Source: as [`crate::Disc::hold`].
    #[must_use]
    pub fn hold(&self, metal: Metal, heating: Heating, point: [f64; 3], limit: f64) -> Option<f64> {
        heating.hold(limit, |t| self.rise(metal, 1.0, point, t))
    }

    /// `∮ G dφ / 2π` in metres, edge by edge.
    fn rim_integral(&self, spread: Spread, [x, y, depth]: [f64; 3]) -> f64 {
        let (b, c) = (self.half_x, self.half_y);
        let least = FINEST * b.max(c);
        [(b - x, -c - y, c - y), (b + x, -c - y, c - y), (c - y, -b - x, b - x), (c + y, -b - x, b - x)]
            .into_iter()
            .filter(|(distance, ..)| distance.abs() > least || distance.is_nan())
            .map(|(distance, start, end)| edge_integral(spread, depth, distance, start, end))
            .sum()
    }
}

/// `∫ G dφ / 2π` in metres along an edge from `start` to `end` on a line at a signed `distance`
/// from the point, positive if the point is on the heated side.
fn edge_integral(spread: Spread, depth: f64, distance: f64, start: f64, end: f64) -> f64 {
    integrate_peaked(distance.abs(), start, end, |along| {
        let squared = distance * distance + along * along;
        distance / squared * spread.ray(depth, squared.sqrt())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quadrature::integrate;
    use crate::special::{TWO_OVER_SQRT_PI, erf};
    use approx::assert_relative_eq;

    const PATCH: Rectangle = Rectangle { half_x: 0.05, half_y: 0.02 };
    const FLUX: f64 = 250e3;

    fn iron() -> Metal {
        Metal::new(46.0, 7200.0, 500.0)
    }

    /// The product of error functions, integrated over the diffusion length on panels that halve
    /// towards zero.
    fn rise_by_time_integral([x, y, z]: [f64; 3], time: f64) -> f64 {
        let side = |b: f64, x: f64, v: f64| 0.5 * (erf((b + x) / v) + erf((b - x) / v));
        let source = |v: f64| {
            let fade = (-z * z / (4.0 * v * v)).exp();
            fade * side(PATCH.half_x, x, 2.0 * v) * side(PATCH.half_y, y, 2.0 * v)
        };
        let mut end = iron().diffusion_length(time);
        let mut sum = 0.0;
        for _ in 0..60 {
            let middle = 0.75 * end;
            sum += integrate(0.5 * end, middle, source) + integrate(middle, end, source);
            end *= 0.5;
        }
        TWO_OVER_SQRT_PI * FLUX / iron().conductivity * sum
    }

    #[test]
    fn rim_form_and_time_integral_agree_inside_at_and_outside_the_edges() {
        for place in [[0.0, 0.0], [0.03, 0.01], [0.05, 0.0], [0.05, 0.02], [0.0501, 0.0199]] {
            for depth in [0.0, 1e-3, 0.025] {
                for time in [0.1, 30.0, 3600.0] {
                    let point = [place[0], place[1], depth];
                    let rim = PATCH.rise(iron(), FLUX, point, time);
                    assert_relative_eq!(rim, rise_by_time_integral(point, time), epsilon = 1e-7);
                }
            }
        }
        let outside = [-0.08, 0.03, 0.0];
        let rim = PATCH.rise(iron(), FLUX, outside, 300.0);
        assert_relative_eq!(rim, rise_by_time_integral(outside, 300.0), epsilon = 1e-7);
    }

    #[test]
    fn very_short_time_is_the_half_space_with_halves_and_quarters() {
        let whole = crate::half_space::surface_flux(iron(), FLUX, 0.0, 1e-3);
        let share = |x: f64, y: f64| PATCH.rise(iron(), FLUX, [x, y, 0.0], 1e-3) / whole;
        assert_relative_eq!(share(0.0, 0.0), 1.0, max_relative = 1e-12);
        assert_relative_eq!(share(0.05, 0.0), 0.5, max_relative = 1e-9);
        assert_relative_eq!(share(0.05, 0.02), 0.25, max_relative = 1e-9);
        assert!(share(0.06, 0.0).abs() < 1e-12);
    }

    #[test]
    fn steady_centre_of_a_square_has_its_closed_form() {
        // Point source over a square of half side b: 4 q b ln(1 + √2)/(π k).
        let square = Rectangle { half_x: 0.05, half_y: 0.05 };
        let steady = square.steady_rise(iron(), FLUX, [0.0, 0.0, 0.0]);
        let closed = 4.0 * FLUX * 0.05 * (1.0 + 2f64.sqrt()).ln() / (std::f64::consts::PI * 46.0);
        assert_relative_eq!(steady, closed, max_relative = 1e-11);
        let late = square.rise(iron(), FLUX, [0.0, 0.0, 0.0], 1e12);
        assert_relative_eq!(late, closed, max_relative = 1e-4);
    }

    #[test]
    fn four_quarters_make_the_rectangle() {
        let quarter = Rectangle { half_x: 0.025, half_y: 0.01 };
        let (x, y, z, t) = (0.013, 0.017, 0.004, 90.0);
        let sum: f64 = [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)]
            .into_iter()
            .map(|(i, j)| quarter.rise(iron(), FLUX, [x - 0.025 * i, y - 0.01 * j, z], t))
            .sum();
        let whole = PATCH.rise(iron(), FLUX, [x, y, z], t);
        assert_relative_eq!(sum, whole, max_relative = 1e-11);
    }

    #[test]
    fn far_off_a_rectangle_and_a_disc_of_equal_area_look_alike() {
        let disc = crate::Disc { radius: (PATCH.area() / std::f64::consts::PI).sqrt() };
        let rectangle = PATCH.rise(iron(), FLUX, [0.0, 0.0, 0.5], 36e3);
        let round = disc.rise(iron(), FLUX, 0.0, 0.5, 36e3);
        assert_relative_eq!(rectangle, round, max_relative = 2e-3);
    }

    #[test]
    fn the_corner_holds_less_than_the_middle() {
        let torch = Heating { flux: FLUX, duration: 300.0 };
        let middle = PATCH.hold(iron(), torch, [0.0; 3], 60.0).unwrap();
        let corner = PATCH.hold(iron(), torch, [0.05, 0.02, 0.0], 60.0).unwrap_or(0.0);
        assert!(middle > corner, "{middle} {corner}");
        let rise = PATCH.rise_after(iron(), torch, [0.0; 3], 300.0 + middle);
        assert_relative_eq!(rise, 60.0, max_relative = 1e-9);
    }
}
