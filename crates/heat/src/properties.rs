//! Fast pointwise relations of the engine: enthalpy to potential, diffusivity and temperature.

use crate::Material;

/// Coldest and hottest temperature of the tables, Celsius; beyond, the last cubic piece is followed.
const SPAN_C: [f64; 2] = [-80.0, 1700.0];
/// Pieces of the tables: with 8192 the cubic pieces are within 1e-4 K of the exact relations, worst at a
/// kink of a property table.
const PIECES: usize = 8192;

/// One metal's relations between enthalpy per volume `e` (J/m3), Kirchhoff potential `s` (W/m) and temperature.
#[derive(Clone, Debug)]
pub enum Properties {
    /// Constant properties: everything is linear.
    Constant {
        /// Diffusivity, m2/s.
        diffusivity: f64,
        /// One over volumetric heat capacity, m3K/J.
        per_capacity: f64,
    },
    /// Cubic Hermite pieces on equal steps of enthalpy.
    Tabled {
        /// Enthalpy at the first knot, J/m3.
        first: f64,
        /// One over the step, m3/J.
        per_step: f64,
        /// Potential: the cubic's coefficients of each piece, in steps from its start.
        potential: Vec<[f64; 4]>,
        /// Temperature, likewise.
        temperature: Vec<[f64; 4]>,
    },
}

impl Properties {
    /// The relations of a metal.
    pub fn of(material: &Material) -> Properties {
        if material.is_constant() {
            let diffusivity = material.diffusivity(0.0);
            let per_capacity = 1.0 / (material.density() * material.specific_heat(0.0));
            return Properties::Constant { diffusivity, per_capacity };
        }
        let [first, last] = SPAN_C.map(|t| material.enthalpy(t));
        let step = (last - first) / PIECES as f64;
        let knot = |n: usize| {
            let t = material.temperature(first + step * n as f64);
            let per_kelvin = step / (material.density() * material.specific_heat(t));
            ([material.potential(t), material.conductivity(t) * per_kelvin], [t, per_kelvin])
        };
        let (potential, temperature): (Vec<_>, Vec<_>) = (0..=PIECES).map(knot).unzip();
        let (potential, temperature) = (pieces(&potential), pieces(&temperature));
        Properties::Tabled { first, per_step: 1.0 / step, potential, temperature }
    }

    /// Whether nothing depends on temperature.
    pub fn are_constant(&self) -> bool {
        matches!(self, Properties::Constant { .. })
    }

    /// Potential (W/m) and one over the diffusivity `ds/de` (s/m2) of each enthalpy.
    pub fn potentials(&self, enthalpy: &[f64], potential: &mut [f64], per_diffusivity: &mut [f64]) {
        match self {
            Properties::Constant { diffusivity: constant, .. } => {
                for (s, e) in potential.iter_mut().zip(enthalpy) {
                    *s = constant * e;
                }
                per_diffusivity.fill(1.0 / constant);
            }
            Properties::Tabled { first, per_step, potential: pieces, .. } => {
                let step = 1.0 / per_step;
                for ((s, d), e) in potential.iter_mut().zip(per_diffusivity).zip(enthalpy) {
                    let (value, slope) = cubic(pieces, (e - first) * per_step);
                    (*s, *d) = (value, step / slope);
                }
            }
        }
    }

    /// Potential (W/m) of each enthalpy.
    pub fn potentials_alone(&self, enthalpy: &[f64], potential: &mut [f64]) {
        match self {
            Properties::Constant { diffusivity, .. } => {
                for (s, e) in potential.iter_mut().zip(enthalpy) {
                    *s = diffusivity * e;
                }
            }
            Properties::Tabled { first, per_step, potential: pieces, .. } => {
                for (s, e) in potential.iter_mut().zip(enthalpy) {
                    *s = cubic(pieces, (e - first) * per_step).0;
                }
            }
        }
    }

    /// Temperature (Celsius) and one over volumetric heat capacity `dT/de` (m3K/J) at an enthalpy.
    pub fn temperature(&self, enthalpy: f64) -> (f64, f64) {
        match self {
            Properties::Constant { per_capacity, .. } => (per_capacity * enthalpy, *per_capacity),
            Properties::Tabled { first, per_step, temperature, .. } => {
                let (value, slope) = cubic(temperature, (enthalpy - first) * per_step);
                (value, slope * per_step)
            }
        }
    }
}

/// Cubic pieces through knots, given as value and slope per step.
fn pieces(knots: &[[f64; 2]]) -> Vec<[f64; 4]> {
    let piece = |pair: &[[f64; 2]]| {
        let ([a, slope_a], [b, slope_b]) = (pair[0], pair[1]);
        let rise = b - a;
        [a, slope_a, 3.0 * rise - 2.0 * slope_a - slope_b, slope_a + slope_b - 2.0 * rise]
    };
    knots.windows(2).map(piece).collect()
}

/// Value and slope (per step) at `at` steps from the first knot.
#[inline]
fn cubic(pieces: &[[f64; 4]], at: f64) -> (f64, f64) {
    let piece = (at.max(0.0) as usize).min(pieces.len() - 1);
    let u = at - piece as f64;
    let [a, b, c, d] = pieces[piece];
    (a + u * (b + u * (c + u * d)), b + u * (2.0 * c + 3.0 * u * d))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Row;

    fn iron() -> Material {
        let row = |temperature_c, conductivity, specific_heat| Row { temperature_c, conductivity, specific_heat };
        Material::new(7200.0, vec![row(20.0, 49.0, 460.0), row(100.0, 48.5, 507.0), row(700.0, 42.5, 917.0)]).unwrap()
    }

    #[test]
    fn tables_follow_the_exact_relations() {
        let (iron, table) = (iron(), Properties::of(&iron()));
        for n in 0..300 {
            let t = -40.0 + 3.7 * n as f64;
            let e = iron.enthalpy(t);
            let (mut s, mut d) = ([0.0], [0.0]);
            table.potentials(&[e], &mut s, &mut d);
            assert!((table.temperature(e).0 - t).abs() < 1e-4, "{t} {}", table.temperature(e).0 - t);
            assert!((s[0] - iron.potential(t)).abs() < 1e-4 * 50.0, "{t} {}", s[0] - iron.potential(t));
            assert!((d[0] * iron.diffusivity(t) - 1.0).abs() < 2e-4, "{t} {} {}", d[0], iron.diffusivity(t));
        }
    }

    #[test]
    fn slope_belongs_to_the_value() {
        let table = Properties::of(&iron());
        let e = iron().enthalpy(143.0);
        let slope = (table.temperature(e + 1e3).0 - table.temperature(e - 1e3).0) / 2e3;
        assert!((table.temperature(e).1 / slope - 1.0).abs() < 1e-7);
    }
}
