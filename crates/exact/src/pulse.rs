//! Heat given at once at a point of the face of a plate: how far and how long it stays above a temperature.

use crate::metal::Metal;
use std::f64::consts::PI;

/// Below this `α t/L²` the far face has not been felt and the series would be long.
const SHORT: f64 = 0.05;
/// Ratio of neighbouring times at which the farthest reach is looked for.
const FINER: f64 = 1.02;

/// Heat released at a point of one face of a plate at one instant.
///
/// Of all ways to bring the same heat in, this takes a temperature farthest: whatever has been released earlier or beside
/// it, each part reaches no farther from where it was released.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pulse {
    /// Heat, J.
    pub heat: f64,
    /// Thickness of the plate, m; infinite for a half space.
    pub thickness: f64,
}

impl Pulse {
    /// Rise of the face at a distance after a time, K.
    ///
    /// Equation: `Q/(ρ c) exp(-r²/4αt)/(4 π α t) S(t)`, `S = (1 + 2 Σ exp(-n² π² α t/L²))/L`, for short times
    /// `(1 + 2 Σ exp(-n² L²/α t))/√(π α t)`.
    /// Symbols: `Q` heat J, `ρ c` heat capacity J/(m³ K), `α` diffusivity m²/s, `r` distance m, `L` thickness m, `t` time s.
    /// Valid for a plate without edges or losses; zero for a time of zero or less.
    /// Source: instantaneous point source and its images (Carslaw and Jaeger, `memory`).
    #[must_use]
    pub fn rise(&self, metal: Metal, distance: f64, time: f64) -> f64 {
        if time <= 0.0 {
            return 0.0;
        }
        let reach = metal.diffusivity * time;
        let capacity = metal.conductivity / metal.diffusivity;
        let aside = libm::exp(-distance * distance / (4.0 * reach)) / (4.0 * PI * reach);
        self.heat / capacity * aside * self.through(reach)
    }

    fn through(&self, reach: f64) -> f64 {
        let scaled = reach / (self.thickness * self.thickness);
        let sum = |term: &dyn Fn(f64) -> f64| (1..12).map(f64::from).map(term).sum::<f64>();
        if scaled > SHORT {
            (1.0 + 2.0 * sum(&|n| libm::exp(-n * n * PI * PI * scaled))) / self.thickness
        } else if scaled > 0.0 {
            (1.0 + 2.0 * sum(&|n| libm::exp(-n * n / scaled))) / libm::sqrt(PI * reach)
        } else {
            1.0 / libm::sqrt(PI * reach)
        }
    }

    /// Farthest distance that ever rises so far, m, and the time after which nothing does any more, s.
    ///
    /// Equation: the largest `r` with `rise(r, t) = rise`, `r² = 4 α t ln(rise(0, t)/rise)`; the time at which
    /// `rise(0, t) = rise`. Found on a ladder of times 2 % apart. Infinite for a rise of zero or less.
    #[must_use]
    pub fn extent(&self, metal: Metal, rise: f64) -> (f64, f64) {
        if rise.is_nan() || rise <= 0.0 {
            return (f64::INFINITY, f64::INFINITY);
        }
        // In a half space the middle is down to the rise after this; in a plate it is never earlier.
        let capacity = metal.conductivity / metal.diffusivity;
        let half_space = libm::pow(2.0 * self.heat / (capacity * rise), 2.0 / 3.0) / (4.0 * PI * metal.diffusivity);
        let (mut time, mut farthest) = (0.01 * half_space, 0.0_f64);
        loop {
            let above = self.rise(metal, 0.0, time) / rise;
            if above.is_nan() || above <= 1.0 {
                return (libm::sqrt(farthest), time);
            }
            farthest = farthest.max(4.0 * metal.diffusivity * time * libm::log(above));
            time *= FINER;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn iron() -> Metal {
        Metal::new(46.0, 7200.0, 500.0)
    }

    #[test]
    fn images_and_series_meet() {
        let plate = Pulse { heat: 1e6, thickness: 0.1 };
        let at = |scaled: f64| scaled * 0.01 / iron().diffusivity;
        let (short, long) = (plate.rise(iron(), 0.05, at(SHORT)), plate.rise(iron(), 0.05, at(SHORT * (1.0 + 1e-12))));
        assert_relative_eq!(short, long, max_relative = 1e-9);
    }

    #[test]
    fn all_heat_is_there_at_any_time() {
        // Rings of the face times the thickness, once the plate is even through.
        let plate = Pulse { heat: 1e6, thickness: 0.02 };
        let ring = |n: i32| {
            let radius = 0.005 * (f64::from(n) + 0.5);
            plate.rise(iron(), radius, 600.0) * 2.0 * PI * radius * 0.005 * 0.02 * 7200.0 * 500.0
        };
        assert_relative_eq!((0..400).map(ring).sum::<f64>(), 1e6, max_relative = 1e-4);
    }

    #[test]
    fn in_a_half_space_the_reach_is_that_of_the_formula() {
        // d/dt of 4 a t ln(C t^(-3/2)/rise) = 0 at rise(0, t)/rise = exp(3/2): r^2 = 6 a t there.
        let pulse = Pulse { heat: 2e6, thickness: f64::INFINITY };
        let (reach, gone) = pulse.extent(iron(), 30.0);
        let capacity = 7200.0 * 500.0;
        let last = libm::pow(2.0 * 2e6 / (capacity * 30.0), 2.0 / 3.0) / (4.0 * PI * iron().diffusivity);
        assert_relative_eq!(gone, last, max_relative = 0.03);
        let widest = last / libm::exp(1.0);
        assert_relative_eq!(reach, (6.0 * iron().diffusivity * widest).sqrt(), max_relative = 0.01);
    }

    #[test]
    fn a_thin_plate_is_hot_farther_and_longer() {
        let extent = |thickness: f64| Pulse { heat: 2e6, thickness }.extent(iron(), 30.0);
        let (thick, thin) = (extent(0.5), extent(0.05));
        assert!(thin.0 > thick.0 && thin.1 > thick.1, "{thin:?} {thick:?}");
    }
}
