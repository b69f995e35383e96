//! Bodies small enough to have one temperature.

use crate::root;

/// Stefan-Boltzmann constant, W/(m² K⁴). Source: CODATA (R1, `computed`).
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;

/// A body of one temperature that loses heat through its surface.
///
/// Valid where `h V/(A k)` (Biot number: film coefficient, volume, area, conductivity) is below
/// about 0.1; a larger body is hotter inside than this says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lump {
    /// Heat capacity of the whole body, J/K: mass times specific heat. Positive.
    pub heat_capacity: f64,
    /// Surface that loses heat, m². Positive.
    pub area: f64,
}

impl Lump {
    /// Share of the temperature difference to the air left after `time`.
    ///
    /// Equation: `exp(-h A t/C)`.
    /// Symbols: `h` film coefficient W/(m² K), `A` area m², `C` heat capacity J/K, `t` time s.
    /// Valid for a small Biot number and a constant coefficient; 1 for a time of zero or less.
    /// Source: Incropera et al., Fundamentals of Heat and Mass Transfer (`memory`).
    #[must_use]
    pub fn convective_share_left(&self, film_coefficient: f64, time: f64) -> f64 {
        libm::exp(-film_coefficient * self.area * time.max(0.0) / self.heat_capacity)
    }

    /// Time to come from one temperature to another by grey radiation alone, s.
    ///
    /// Equation: `t = C/(4 ε σ A Tₛ³) [g(T/Tₛ) - g(T₀/Tₛ)]`, `g(u) = ln|(1 + u)/(1 - u)| + 2 atan u`;
    /// with surroundings at absolute zero `t = C/(3 ε σ A) (1/T³ - 1/T₀³)`.
    /// Symbols: `C` heat capacity J/K, `A` area m², `ε` emissivity, `σ` [`STEFAN_BOLTZMANN`], `T₀` start,
    /// `T` end and `Tₛ` surroundings, all in kelvin absolute.
    /// Valid for a small Biot number and large surroundings, heating or cooling. `None` where the
    /// end does not lie between start and surroundings: the body never comes there.
    /// Source: Incropera et al., Fundamentals of Heat and Mass Transfer (`memory`).
    #[must_use]
    pub fn radiative_time(&self, emissivity: f64, start_k: f64, end_k: f64, surroundings_k: f64) -> Option<f64> {
        let share_left = (end_k - surroundings_k) / (start_k - surroundings_k);
        let reached = share_left > 0.0 && share_left <= 1.0;
        if !reached {
            return None;
        }
        let radiated = emissivity * STEFAN_BOLTZMANN * self.area;
        if surroundings_k == 0.0 {
            let cubes = cube(end_k).recip() - cube(start_k).recip();
            return Some(self.heat_capacity / (3.0 * radiated) * cubes);
        }
        let scale = self.heat_capacity / (4.0 * radiated * cube(surroundings_k));
        let curve = |k: f64| approach(k / surroundings_k);
        Some(scale * (curve(end_k) - curve(start_k)))
    }

    /// Temperature after radiating for `time`, K absolute.
    ///
    /// Equation: the inverse of [`Lump::radiative_time`], by bisection.
    /// Symbols and validity: as there; the start for a time of zero or less.
    /// Source: as there.
    #[must_use]
    pub fn radiative_temperature(&self, emissivity: f64, start_k: f64, surroundings_k: f64, time: f64) -> f64 {
        if time <= 0.0 {
            return start_k;
        }
        let gap = start_k - surroundings_k;
        let time_at = |share_left: f64| {
            let end_k = surroundings_k + share_left * gap;
            self.radiative_time(emissivity, start_k, end_k, surroundings_k).unwrap_or(f64::INFINITY)
        };
        let share_left = root::where_falling_curve_meets(time, 0.0, 1.0, time_at);
        surroundings_k + share_left * gap
    }
}

fn cube(u: f64) -> f64 {
    u * u * u
}

/// `g(u) = ln|(1 + u)/(1 - u)| + 2 atan u`.
fn approach(u: f64) -> f64 {
    libm::log(((1.0 + u) / (1.0 - u)).abs()) + 2.0 * libm::atan(u)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const LUMP: Lump = Lump { heat_capacity: 5000.0, area: 0.06 };

    #[test]
    fn radiation_loses_the_stated_power() {
        // R1 (computed): 2.0164 kW/m² at 204 °C, emissivity 0.8, surroundings 20 °C.
        let later = LUMP.radiative_temperature(0.8, 477.15, 293.15, 1.0);
        let earlier = LUMP.radiative_time(0.8, 478.0, 477.15, 293.15).unwrap();
        let rate = (477.15 - later) + 0.85 / earlier;
        assert_relative_eq!(0.5 * rate * 5000.0 / 0.06, 2016.4, max_relative = 2e-3);
    }

    #[test]
    fn time_and_temperature_undo_each_other_in_both_directions() {
        for (start, surroundings) in [(900.0, 293.0), (293.0, 900.0), (900.0, 0.0)] {
            let end = LUMP.radiative_temperature(0.8, start, surroundings, 700.0);
            let time = LUMP.radiative_time(0.8, start, end, surroundings).unwrap();
            assert_relative_eq!(time, 700.0, max_relative = 1e-9);
        }
    }

    #[test]
    fn cold_surroundings_tend_to_absolute_zero() {
        let cold = LUMP.radiative_time(0.8, 900.0, 600.0, 1.0).unwrap();
        let zero = LUMP.radiative_time(0.8, 900.0, 600.0, 0.0).unwrap();
        assert_relative_eq!(cold, zero, max_relative = 1e-5);
    }

    #[test]
    fn near_the_surroundings_radiation_is_convection_with_its_own_film() {
        let film = 4.0 * 0.8 * STEFAN_BOLTZMANN * 300f64.powi(3);
        let end = LUMP.radiative_temperature(0.8, 300.01, 300.0, 1e4);
        let share = LUMP.convective_share_left(film, 1e4);
        assert_relative_eq!((end - 300.0) / 0.01, share, max_relative = 1e-3);
    }

    #[test]
    fn a_body_never_reaches_what_lies_beyond_its_surroundings() {
        assert_eq!(LUMP.radiative_time(0.8, 500.0, 290.0, 293.0), None);
        assert_eq!(LUMP.radiative_time(0.8, 500.0, 600.0, 293.0), None);
        assert_eq!(LUMP.radiative_time(0.8, 500.0, 293.0, 293.0), None);
    }
}
