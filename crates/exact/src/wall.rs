//! Plane walls and bricks that cool or warm from one temperature.

use crate::half_space;
use crate::metal::Metal;
use std::f64::consts::{FRAC_PI_2, PI};

/// Below this Fourier number the two faces have not met: their half-space solutions add up with an
/// error of `erfc(7)`, 4e-23. Above it a few terms of the series do.
const FACES_MEET: f64 = 0.02;
/// Terms of the series; the last is `exp(-(20π)² · 0.02)`, below 1e-34.
const TERMS: usize = 20;

/// A wall with the same film on both faces, its middle at zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaneWall {
    /// Half the thickness, m. Positive.
    pub half_thickness: f64,
    /// The wall's metal.
    pub metal: Metal,
    /// Film coefficient of both faces, W/(m² K); infinity for faces held at the air's temperature.
    pub film_coefficient: f64,
}

impl PlaneWall {
    /// Share of the first temperature difference to the air left at a place and time.
    ///
    /// Equation: `Σ Cₙ exp(-ζₙ² F) cos(ζₙ x/L)`, `Cₙ = 4 sin ζₙ/(2ζₙ + sin 2ζₙ)`, `ζₙ tan ζₙ = h L/k`,
    /// `F = α t/L²`; for `F` below 0.02 one less the two half-space solutions of the faces.
    /// Symbols: `x` distance from the middle m, `L` half thickness m, `h` film coefficient W/(m² K), `k`
    /// conductivity W/(m K), `α` diffusivity m²/s, `t` time s.
    /// Valid for `x` within the wall and a constant film; 1 for a time of zero or less.
    /// Source: Incropera et al., Fundamentals of Heat and Mass Transfer (`memory`).
    #[must_use]
    pub fn share_left(&self, from_middle: f64, time: f64) -> f64 {
        if time <= 0.0 || self.film_coefficient == 0.0 {
            return 1.0;
        }
        let length = self.half_thickness;
        let fourier = self.metal.diffusivity * time / (length * length);
        if fourier < FACES_MEET {
            let felt = |depth: f64| self.felt_from_face(depth, time);
            return 1.0 - felt(length - from_middle) - felt(length + from_middle);
        }
        (0..TERMS).map(|term| self.series_term(term, fourier, from_middle / length)).sum()
    }

    /// Share of the difference taken by one face alone at a depth under it.
    fn felt_from_face(&self, depth: f64, time: f64) -> f64 {
        if self.film_coefficient.is_infinite() {
            return half_space::surface_step(self.metal, depth, time);
        }
        half_space::surface_convection(self.metal, self.film_coefficient, depth, time)
    }

    fn series_term(&self, term: usize, fourier: f64, place: f64) -> f64 {
        let biot = self.film_coefficient * self.half_thickness / self.metal.conductivity;
        let zeta = eigenvalue(term, biot);
        let weight = 4.0 * libm::sin(zeta) / (2.0 * zeta + libm::sin(2.0 * zeta));
        weight * libm::exp(-zeta * zeta * fourier) * libm::cos(zeta * place)
    }
}

/// The root of `ζ tan ζ = biot` between `nπ` and `(n + 1/2)π`.
///
/// Bisection on `ζ sin ζ - biot cos ζ`, which has no poles and one root there.
fn eigenvalue(n: usize, biot: f64) -> f64 {
    let low = n as f64 * PI;
    if biot.is_infinite() {
        return low + FRAC_PI_2;
    }
    // Written in the offset from nπ so that the first roots of a thin film keep their digits.
    let falling = |offset: f64| biot * libm::cos(offset) - (low + offset) * libm::sin(offset);
    low + crate::root::where_falling_curve_meets(0.0, 0.0, FRAC_PI_2, falling)
}

/// A rectangular block with the same film on all six faces, its middle at the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Brick {
    /// Half the extents along x, y and z, m. Positive.
    pub half_sizes: [f64; 3],
    /// The block's metal.
    pub metal: Metal,
    /// Film coefficient of all faces, W/(m² K); infinity for faces held at the air's temperature.
    pub film_coefficient: f64,
}

impl Brick {
    /// Share of the first temperature difference to the air left at a place and time.
    ///
    /// Equation: the product of the three walls' shares, see [`PlaneWall::share_left`].
    /// Symbols: `place` is `[x, y, z]` from the middle m, `time` s.
    /// Valid as the walls: one start temperature, one air temperature, constant film.
    /// Source: Incropera et al., Fundamentals of Heat and Mass Transfer (`memory`).
    #[must_use]
    pub fn share_left(&self, place: [f64; 3], time: f64) -> f64 {
        self.half_sizes
            .into_iter()
            .zip(place)
            .map(|(half_thickness, from_middle)| self.wall(half_thickness).share_left(from_middle, time))
            .product()
    }

    fn wall(&self, half_thickness: f64) -> PlaneWall {
        PlaneWall { half_thickness, metal: self.metal, film_coefficient: self.film_coefficient }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lumped::Lump;
    use approx::assert_relative_eq;

    fn wall(film_coefficient: f64) -> PlaneWall {
        let metal = Metal::new(46.0, 7200.0, 500.0);
        PlaneWall { half_thickness: 0.025, metal, film_coefficient }
    }

    fn time_at(fourier: f64) -> f64 {
        fourier * 0.025 * 0.025 / wall(1.0).metal.diffusivity
    }

    #[test]
    fn eigenvalues_satisfy_their_equation() {
        for biot in [1e-6, 0.1, 1.0, 30.0, 1e6] {
            for n in 0..TERMS {
                let zeta = eigenvalue(n, biot);
                let residual = zeta * zeta.sin() - biot * zeta.cos();
                assert!(residual.abs() < 1e-11 * (biot + zeta), "{biot} {n}: {residual}");
            }
        }
    }

    #[test]
    fn series_and_faces_agree_where_they_meet() {
        for film in [1.0, 300.0, 1e5, f64::INFINITY] {
            for place in [0.0, 0.01, 0.02, 0.025] {
                let before = wall(film).share_left(place, time_at(FACES_MEET * (1.0 - 1e-12)));
                let after = wall(film).share_left(place, time_at(FACES_MEET * (1.0 + 1e-12)));
                assert_relative_eq!(before, after, epsilon = 1e-10);
            }
        }
    }

    #[test]
    fn very_short_time_is_the_half_space() {
        let (film, time) = (500.0, time_at(1e-4));
        let share = wall(film).share_left(0.0245, time);
        let felt = half_space::surface_convection(wall(film).metal, film, 0.0005, time);
        assert_relative_eq!(share, 1.0 - felt, max_relative = 1e-12);
    }

    #[test]
    fn a_weak_film_cools_the_wall_as_one_lump() {
        let lump = Lump { heat_capacity: 7200.0 * 500.0 * 0.025, area: 1.0 };
        let share = wall(0.1).share_left(0.01, 2e5);
        let expected = lump.convective_share_left(0.1, 2e5);
        assert_relative_eq!(share, expected, max_relative = 1e-4);
    }

    #[test]
    fn heat_equation_and_film_balance_hold() {
        let (film, x, t, dx, dt) = (800.0, 0.015, 40.0, 1e-4, 0.01);
        let left = |x: f64, t: f64| wall(film).share_left(x, t);
        let in_time = (left(x, t + dt) - left(x, t - dt)) / (2.0 * dt);
        let bend = (left(x + dx, t) - 2.0 * left(x, t) + left(x - dx, t)) / (dx * dx);
        let alpha = wall(film).metal.diffusivity;
        assert_relative_eq!(in_time, alpha * bend, max_relative = 1e-4);
        let face = 0.025;
        let slope = (3.0 * left(face, t) - 4.0 * left(face - dx, t) + left(face - 2.0 * dx, t)) / (2.0 * dx);
        assert_relative_eq!(-46.0 * slope, film * left(face, t), max_relative = 1e-4);
    }

    #[test]
    fn a_brick_very_long_in_two_directions_is_a_wall() {
        let metal = wall(1.0).metal;
        let brick = Brick { half_sizes: [0.025, 50.0, 50.0], metal, film_coefficient: 300.0 };
        let share = brick.share_left([0.01, 0.0, 0.0], 60.0);
        assert_relative_eq!(share, wall(300.0).share_left(0.01, 60.0), max_relative = 1e-12);
    }

    #[test]
    fn without_a_film_nothing_cools() {
        assert_eq!(wall(0.0).share_left(0.0, 1e6), 1.0);
    }
}
