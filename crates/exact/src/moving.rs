//! A point source that moves over a thick plate.

use crate::metal::Metal;
use std::f64::consts::TAU;

/// A point of heat that has long been moving at a constant speed over a half-space.
///
/// An arc seen from farther off than its own width. For short beads, which never become steady, the
/// true rise is lower than the one given here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MovingSource {
    /// Net power into the metal, W.
    pub power: f64,
    /// Travel speed, m/s; zero for a source at rest.
    pub speed: f64,
}

impl MovingSource {
    /// Rise at a place that moves with the source, K.
    ///
    /// Equation: `Q/(2π k R) exp(-v (R + ξ)/2α)`, `R² = ξ² + y² + z²`.
    /// Symbols: `Q` power W, `k` conductivity W/(m K), `v` speed m/s, `α` diffusivity m²/s; place
    /// `[ξ, y, z]` in metres: ahead of the source along its travel, aside, deep.
    /// Valid for a thick plate (heat does not reach the far face), without losses or melting;
    /// infinite at the source itself.
    /// Source: Rosenthal's thick-plate solution (`memory`); its t8/5 has the form of ST7 (`read`).
    #[must_use]
    pub fn rise(&self, metal: Metal, [ahead, aside, depth]: [f64; 3]) -> f64 {
        let distance = (ahead * ahead + aside * aside + depth * depth).sqrt();
        let lag = self.speed * (distance + ahead) / (2.0 * metal.diffusivity);
        self.power / (TAU * metal.conductivity * distance) * libm::exp(-lag)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const ARC: MovingSource = MovingSource { power: 2300.0, speed: 3e-3 };

    fn iron() -> Metal {
        Metal::new(46.0, 7200.0, 500.0)
    }

    #[test]
    fn at_rest_the_rise_falls_as_one_over_distance() {
        let still = MovingSource { speed: 0.0, ..ARC };
        let rise = still.rise(iron(), [0.0, 0.03, 0.04]);
        assert_relative_eq!(rise, 2300.0 / (TAU * 46.0 * 0.05), max_relative = 1e-12);
    }

    #[test]
    fn cooling_behind_the_source_takes_the_thick_plate_time() {
        // On the track the rise is Q/(2π k v t): from 800 to 500 °C in (Q/v)/(2π k) [1/ΔT₅ - 1/ΔT₈].
        let line = ARC.power / ARC.speed / (TAU * 46.0);
        let (start, end) = (line / 600.0, line / 300.0);
        let rise_after = |time: f64| ARC.rise(iron(), [-ARC.speed * time, 0.0, 0.0]);
        assert_relative_eq!(rise_after(start), 600.0, max_relative = 1e-12);
        assert_relative_eq!(rise_after(end), 300.0, max_relative = 1e-12);
    }

    #[test]
    fn the_moving_heat_equation_holds() {
        // α ∇²T + v ∂T/∂ξ = 0 in the frame of the source.
        let (point, step) = ([-0.012, 0.006, 0.004], 2e-5);
        let shifted = |axis: usize, by: f64| {
            let mut place = point;
            place[axis] += by;
            ARC.rise(iron(), place)
        };
        let bend: f64 = (0..3).map(|axis| shifted(axis, step) - 2.0 * shifted(axis, 0.0) + shifted(axis, -step)).sum();
        let drift = (shifted(0, step) - shifted(0, -step)) / (2.0 * step);
        let diffusion = iron().diffusivity * bend / (step * step);
        assert_relative_eq!(diffusion, -ARC.speed * drift, max_relative = 1e-4);
    }
}
