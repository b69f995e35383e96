//! A film coefficient that depends on the temperature of the surface.

/// Surface temperatures at which a [`FilmTable`] is known, Celsius; closest together where natural convection changes
/// most.
pub const FILM_KNOTS_C: [f64; 8] = [0.0, 30.0, 60.0, 100.0, 150.0, 250.0, 400.0, 600.0];

/// Film coefficient over surface temperature.
///
/// Equation: straight lines between the knots; the convective flux is `q = h(T) (T - T_air)`.
/// Symbols: `h` film coefficient W/m2K, `T` surface temperature and `T_air` air temperature, Celsius, `q` W/m2.
/// Valid at every temperature: below the first and above the last knot the coefficient stays what it is there. A
/// flux that falls as the surface warms is allowed: a draft turns from turbulent to laminar as its air warms.
/// Source: definition.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FilmTable {
    /// Film coefficients at [`FILM_KNOTS_C`], W/m2K, at least 0.
    pub coefficients: [f64; FILM_KNOTS_C.len()],
}

impl FilmTable {
    /// The table of a law: film coefficient (W/m2K) over surface temperature (Celsius), asked at every knot.
    pub fn of(law: impl FnMut(f64) -> f64) -> FilmTable {
        FilmTable { coefficients: FILM_KNOTS_C.map(law) }
    }

    /// The table with every coefficient multiplied by a factor.
    pub fn scaled(self, factor: f64) -> FilmTable {
        FilmTable { coefficients: self.coefficients.map(|coefficient| factor * coefficient) }
    }

    /// Film coefficient at a surface temperature in Celsius, W/m2K.
    pub fn at(&self, surface_c: f64) -> f64 {
        self.value_and_slope(surface_c).0
    }

    /// The largest coefficient, W/m2K.
    pub fn strongest(&self) -> f64 {
        self.coefficients.into_iter().fold(0.0, f64::max)
    }

    /// Convective flux leaving the metal, W/m2, and its slope over the surface temperature, W/m2K.
    pub(crate) fn flux_and_slope(&self, surface_c: f64, air_c: f64) -> (f64, f64) {
        let (coefficient, slope) = self.value_and_slope(surface_c);
        (coefficient * (surface_c - air_c), coefficient + slope * (surface_c - air_c))
    }

    /// Film coefficient, W/m2K, and its slope over the surface temperature, W/m2K2.
    fn value_and_slope(&self, surface_c: f64) -> (f64, f64) {
        let last = FILM_KNOTS_C.len() - 1;
        let above = FILM_KNOTS_C.iter().filter(|&&knot| knot <= surface_c).count();
        if above == 0 || above > last {
            return (self.coefficients[above.min(last)], 0.0);
        }
        let [from_c, to_c] = [FILM_KNOTS_C[above - 1], FILM_KNOTS_C[above]];
        let [from, to] = [self.coefficients[above - 1], self.coefficients[above]];
        let slope = (to - from) / (to_c - from_c);
        (from + slope * (surface_c - from_c), slope)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rising() -> FilmTable {
        FilmTable::of(|t| 2.0 + 0.01 * t)
    }

    #[test]
    fn a_straight_law_is_met_between_the_knots_and_held_beyond_them() {
        for t in [0.0, 12.0, 30.0, 77.0, 149.9, 300.0, 599.0, 600.0] {
            assert!((rising().at(t) - (2.0 + 0.01 * t)).abs() < 1e-12, "{t}");
        }
        assert_eq!([rising().at(-50.0), rising().at(900.0)], [2.0, 8.0]);
        assert_eq!(rising().scaled(2.0).at(900.0), 16.0);
    }

    #[test]
    fn the_slope_belongs_to_the_flux() {
        for t in [-10.0, 15.0, 45.0, 80.0, 500.0, 700.0] {
            let flux = |t: f64| rising().flux_and_slope(t, 20.0).0;
            let slope = (flux(t + 1e-4) - flux(t - 1e-4)) / 2e-4;
            assert!((rising().flux_and_slope(t, 20.0).1 / slope - 1.0).abs() < 1e-7, "{t}");
        }
    }
}
