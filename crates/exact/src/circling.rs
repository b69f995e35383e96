//! A spot of flame that circles over a thick plate: how far the surface swings about its mean.

use crate::metal::Metal;
use crate::quadrature::integrate;
use std::f64::consts::{PI, TAU};

/// Circles that are looked back on.
const CIRCLES: usize = 8;
/// Steps of a circle, of time and of angle alike.
const STEPS: usize = 128;
/// Halvings of the latest step.
const PRESENT: usize = 20;
/// Beyond so many roots of its spread nothing of a Gaussian is left.
const GONE: f64 = 5.0;

/// A torch moved in circles of constant speed, as a spot of even flux.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circling {
    /// Net power into the metal, W.
    pub power: f64,
    /// Radius of the circle that the middle of the spot goes, m.
    pub path_radius: f64,
    /// Radius of the spot, m.
    pub spot_radius: f64,
    /// Time of one circle, s.
    pub period: f64,
}

impl Circling {
    /// Peak of the surface on the path above its mean over a circle, once the torch has circled for some time, K.
    ///
    /// Equation: the rise is `∫ (P/(π r²)) / (ρ c) (π α t)^(-1/2) p(d, 4αt) dt`, where `p(d, w)` is the part within the spot
    /// of a Gaussian `exp(-x²/w)/(π w)` around a point at `d` from its middle, and `d² = 2 R² (1 - cos(φ - 2π t/T))`; less the
    /// same with `p` replaced by its mean over the circle; the largest over the angle `φ` behind the spot.
    /// Symbols: `P` power W, `r` radius of the spot m, `ρ c` heat capacity J/(m³ K), `α` diffusivity m²/s, `R` radius of the
    /// path m, `T` time of a circle s.
    /// Valid for a thick plate without losses after a few circles; in 128 steps of a circle, with the circles looked back on
    /// fading out, it is good to about a part in fifty. Not a number for a path, spot or period that is not above zero.
    /// Source: superposition of instantaneous sources on a half space (Carslaw and Jaeger, `memory`).
    #[must_use]
    pub fn swing(&self, metal: Metal) -> f64 {
        let good = [self.path_radius, self.spot_radius, self.period].iter().all(|value| *value > 0.0);
        if !good {
            return f64::NAN;
        }
        let step = self.period / STEPS as f64;
        let mut rises = [0.0; STEPS];
        for back in 0..CIRCLES * STEPS {
            let (from, to) = (back as f64 * step, (back + 1) as f64 * step);
            let mut parts = self.risen(metal, from, to);
            if back == 0 {
                // What was given just now has not spread: the present is taken in ever shorter times.
                parts = [0.0; STEPS];
                let mut to = to;
                for _ in 0..PRESENT {
                    let from = 0.5 * to;
                    parts.iter_mut().zip(self.risen(metal, from, to)).for_each(|(sum, part)| *sum += part);
                    to = from;
                }
                parts.iter_mut().zip(self.risen(metal, 0.0, to)).for_each(|(sum, part)| *sum += part);
            }
            let weight = fading((back as f64 + 0.5) / (CIRCLES * STEPS) as f64);
            let mean = parts.iter().sum::<f64>() / STEPS as f64;
            for (place, rise) in rises.iter_mut().enumerate() {
                // Where the spot was so many steps ago, as an angle from a place so many steps behind it now.
                *rise += weight * (parts[(place + CIRCLES * STEPS - back) % STEPS] - mean);
            }
        }
        rises.into_iter().fold(f64::NEG_INFINITY, f64::max)
    }

    /// Rise at every angle from heat given between two times ago, K.
    fn risen(&self, metal: Metal, from: f64, to: f64) -> [f64; STEPS] {
        let weight = self.weight(metal, from, to);
        self.parts(2.0 * metal.diffusivity * (from + to)).map(|part| weight * part)
    }

    /// Rise for a part of one, from heat given between two times ago, K.
    fn weight(&self, metal: Metal, from: f64, to: f64) -> f64 {
        let flux = self.power / (PI * self.spot_radius * self.spot_radius);
        let capacity = metal.conductivity / metal.diffusivity;
        flux / capacity * 2.0 * (libm::sqrt(to) - libm::sqrt(from)) / libm::sqrt(PI * metal.diffusivity)
    }

    /// Parts within the spot at every angle between the middle of a step and a place.
    fn parts(&self, spread: f64) -> [f64; STEPS] {
        let mut parts = [0.0; STEPS];
        for step in 0..STEPS.div_ceil(2) {
            // The middle of a step lies half an angle beside its place: places on both sides see the same.
            let angle = TAU * (step as f64 + 0.5) / STEPS as f64;
            let distance = self.path_radius * libm::sqrt(2.0 * (1.0 - libm::cos(angle)));
            let part = within(distance, self.spot_radius, spread);
            parts[step] = part;
            parts[STEPS - 1 - step] = part;
        }
        parts
    }
}

/// Part of a Gaussian `exp(-x²/w)/(π w)` that lies within a disc whose middle is at a distance.
fn within(distance: f64, radius: f64, spread: f64) -> f64 {
    let root = libm::sqrt(spread);
    // In roots of the spread.
    let (distance, radius) = (distance / root, radius / root);
    let [low, high] = [(-radius).max(distance - GONE), radius.min(distance + GONE)];
    if low >= high {
        return 0.0;
    }
    let chord = |x: f64| libm::erf(libm::sqrt((radius * radius - x * x).max(0.0)));
    let along = |x: f64| libm::exp(-(x - distance) * (x - distance)) / libm::sqrt(PI);
    integrate(low, high, |x| chord(x) * along(x))
}

/// One for the later half of what is looked back on, falling smoothly to nothing at its start: what is cut off abruptly in
/// the middle of a swing would leave half a swing behind.
fn fading(share: f64) -> f64 {
    if share < 0.5 { 1.0 } else { 0.5 + 0.5 * libm::cos(TAU * (share - 0.5)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const TORCH: Circling = Circling { power: 4000.0, path_radius: 0.06, spot_radius: 0.03, period: 1.0 };

    fn iron() -> Metal {
        Metal::new(46.0, 7200.0, 500.0)
    }

    #[test]
    fn a_spot_that_hardly_moves_swings_as_much_as_a_spot_at_rest_rises() {
        // P2: the middle of a disc at rest comes to q a / k; around the circle as a disc that has heated for long (P1).
        let slow = Circling { period: 1e6, ..TORCH };
        let flux = 4000.0 / (PI * 0.03 * 0.03);
        let aside = |n: i32| 2.0 * 0.06 * libm::sin(PI * (f64::from(n) + 0.5) / 64.0);
        let disc = |n: i32| crate::Disc { radius: 0.03 }.rise(iron(), flux, aside(n), 0.0, 1e6);
        let mean = (0..64).map(disc).sum::<f64>() / 64.0;
        assert_relative_eq!(slow.swing(iron()), flux * 0.03 / 46.0 - mean, max_relative = 0.03);
    }

    #[test]
    fn all_of_a_gaussian_lies_somewhere() {
        assert_relative_eq!(within(0.0, 0.02, 1e-5), 1.0 - libm::exp(-0.02 * 0.02 / 1e-5), max_relative = 1e-9);
        assert_relative_eq!(within(0.0, 0.02, 4e-4), 1.0 - libm::exp(-1.0), max_relative = 1e-4);
        // Summed over the plane the part is the area of the disc.
        let ring = |n: i32| {
            let radius = 0.0005 * (f64::from(n) + 0.5);
            within(radius, 0.02, 1e-4) * TAU * radius * 0.0005
        };
        assert_relative_eq!((0..160).map(ring).sum::<f64>(), PI * 4e-4, max_relative = 3e-4);
    }

    #[test]
    fn fast_circles_swing_with_the_root_of_their_time() {
        let swing = |period: f64| Circling { period, ..TORCH }.swing(iron());
        assert_relative_eq!(swing(0.1) / swing(0.4), 0.5, max_relative = 0.03);
        assert!(swing(1.0) > swing(0.5) && swing(0.5) > swing(0.25));
    }

    #[test]
    fn a_passing_spot_heats_about_as_a_flux_of_the_time_it_takes_to_pass() {
        // Fast, the depth is all that heat has time for: 2 q/k sqrt(alpha t/pi) for an even flux (P7 form), here of a spot
        // that passes in 2 r / v.
        let period = 0.5;
        let passing = 2.0 * 0.03 / (TAU * 0.06 / period);
        let flux = 4000.0 / (PI * 0.03 * 0.03);
        let even = 2.0 * flux / 46.0 * libm::sqrt(iron().diffusivity * passing / PI);
        let swing = Circling { period, ..TORCH }.swing(iron());
        assert!(swing / even > 0.6 && swing / even < 1.2, "{swing} {even}");
    }

    #[test]
    fn a_path_without_size_is_not_a_number() {
        assert!(Circling { period: 0.0, ..TORCH }.swing(iron()).is_nan());
    }
}
