//! A heated patch of any outline on a half-space, as an integral along its rim.
//!
//! A steady point source of power `Q` on the surface raises a point at distance `R` by
//! `Q / (2π k R) · erfc(R / 2s)` after a time `t`, with `s = √(α t)`. Spread over a patch of uniform
//! flux `q`, and written in polar coordinates `(ρ, φ)` around the foot of the point on the surface,
//! the integral over `ρ` is elementary, because `ρ dρ = R dR`:
//!
//! `rise = q/(2π k) ∮ G dφ`, `G = ∫ erfc(R/2s) dR` from `R = z` to `R = √(z² + ρ²)` on the rim,
//! so `G = 2s [ierfc(z/2s) - ierfc(√(z² + ρ²)/2s)]`, and `√(z² + ρ²) - z` in the steady state.
//!
//! Angle `dφ` is that under which the foot sees a piece of the rim: a full turn in all from inside,
//! nothing from outside. On the axis of a disc the rim is at one distance and the closed form of
//! Carslaw and Jaeger (P1) is left. The plain double integral over radius and wave number needs
//! hundreds of times the work, and converges badly at the surface.

use crate::special::ierfc;
use std::f64::consts::TAU;

/// How far the heat of a patch has come.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Spread {
    /// Heated for a time with this diffusion length `s`, m.
    Length(f64),
    /// Heated for ever.
    Steady,
}

impl Spread {
    /// `G / 2π`, in metres: what a ray of the patch adds to the rise, per radian and per `q/k`.
    ///
    /// `depth` is `z` and `rim_distance` is `ρ`, both in metres.
    pub(crate) fn ray(self, depth: f64, rim_distance: f64) -> f64 {
        let far = (depth * depth + rim_distance * rim_distance).sqrt();
        let reach = match self {
            Self::Steady => far - depth,
            Self::Length(s) if s <= 0.0 => 0.0,
            Self::Length(s) => 2.0 * s * (ierfc(0.5 * depth / s) - ierfc(0.5 * far / s)),
        };
        reach / TAU
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ray_grows_to_its_steady_length() {
        let steady = Spread::Steady.ray(0.01, 0.05);
        let late = Spread::Length(1e4).ray(0.01, 0.05);
        approx::assert_relative_eq!(late, steady, max_relative = 1e-5);
        assert!(Spread::Length(0.02).ray(0.01, 0.05) < late);
    }

    #[test]
    fn a_ray_is_empty_before_the_start() {
        assert_eq!(Spread::Length(0.0).ray(0.0, 0.05), 0.0);
    }
}
