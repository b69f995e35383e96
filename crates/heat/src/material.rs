//! One metal: density, and conductivity and specific heat over temperature.

use crate::Error;

/// One row of a property table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Temperature, Celsius.
    pub temperature_c: f64,
    /// Conductivity, W/mK.
    pub conductivity: f64,
    /// Specific heat, J/kgK.
    pub specific_heat: f64,
}

/// A metal.
///
/// Conductivity `k(T)` and specific heat `c(T)` are linear between the rows and flat beyond the first and last
/// row; [`Material::covers`] says whether a temperature lies inside. Density is constant: thermal expansion of
/// iron changes it by under 2 % up to 500 C, inside every stated range of `c`.
///
/// Two integrals carry the engine. Enthalpy per volume `e(T) = rho * integral of c dT` (J/m3, from 0 C) is what is
/// conserved; the Kirchhoff potential `s(T) = integral of k dT` (W/m, from 0 C) is what flows: heat flux is
/// exactly `-grad s`, so all the nonlinearity of conduction sits in the pointwise relation `s(e)`.
/// Source of the transform: Carslaw and Jaeger, Conduction of Heat in Solids, section 1.6 (`memory`).
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    density: f64,
    rows: Vec<Row>,
    /// Enthalpy and potential at each row.
    knots: Vec<[f64; 2]>,
}

impl Material {
    /// A metal from its density (kg/m3) and table, rows ascending in temperature.
    ///
    /// # Errors
    /// [`Error::Material`] for an empty or unordered table, [`Error::OutOfRange`] for a number that is not
    /// finite and positive.
    pub fn new(density: f64, rows: Vec<Row>) -> Result<Material, Error> {
        positive("density", density)?;
        if rows.is_empty() {
            return Err(Error::Material { reason: "it has no rows" });
        }
        for row in &rows {
            positive("conductivity", row.conductivity)?;
            positive("specific heat", row.specific_heat)?;
            if !row.temperature_c.is_finite() {
                return Err(Error::Material { reason: "a temperature is not a number" });
            }
        }
        if rows.windows(2).any(|pair| pair[1].temperature_c <= pair[0].temperature_c) {
            return Err(Error::Material { reason: "temperatures must rise from row to row" });
        }
        let mut material = Material { density, rows, knots: Vec::new() };
        material.knots = material.integrate();
        Ok(material)
    }

    /// A metal with constant properties: density kg/m3, conductivity W/mK, specific heat J/kgK.
    ///
    /// # Errors
    /// As [`Material::new`].
    pub fn constant(density: f64, conductivity: f64, specific_heat: f64) -> Result<Material, Error> {
        Material::new(density, vec![Row { temperature_c: 20.0, conductivity, specific_heat }])
    }

    /// The same metal with conductivity and specific heat multiplied by a factor each.
    ///
    /// # Errors
    /// As [`Material::new`].
    pub fn scaled(&self, conductivity: f64, specific_heat: f64) -> Result<Material, Error> {
        let scale = |row: &Row| Row {
            temperature_c: row.temperature_c,
            conductivity: row.conductivity * conductivity,
            specific_heat: row.specific_heat * specific_heat,
        };
        Material::new(self.density, self.rows.iter().map(scale).collect())
    }

    /// Density, kg/m3.
    pub fn density(&self) -> f64 {
        self.density
    }

    /// The table.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// Whether both properties are constant.
    pub fn is_constant(&self) -> bool {
        let first = self.rows[0];
        self.rows.iter().all(|r| r.conductivity == first.conductivity && r.specific_heat == first.specific_heat)
    }

    /// Whether the table covers a temperature (Celsius) to a kelvin; a table of one row covers all.
    pub fn covers(&self, temperature_c: f64) -> bool {
        let (first, last) = (self.rows[0].temperature_c, self.rows[self.rows.len() - 1].temperature_c);
        self.rows.len() == 1 || (first - 1.0..=last + 1.0).contains(&temperature_c)
    }

    /// Conductivity at a temperature (Celsius), W/mK.
    pub fn conductivity(&self, temperature_c: f64) -> f64 {
        self.property(temperature_c, |row| row.conductivity)
    }

    /// Specific heat at a temperature (Celsius), J/kgK.
    pub fn specific_heat(&self, temperature_c: f64) -> f64 {
        self.property(temperature_c, |row| row.specific_heat)
    }

    /// Diffusivity `k / (rho c)` at a temperature (Celsius), m2/s.
    pub fn diffusivity(&self, temperature_c: f64) -> f64 {
        self.conductivity(temperature_c) / (self.density * self.specific_heat(temperature_c))
    }

    /// Enthalpy per volume above 0 C at a temperature (Celsius), J/m3.
    pub fn enthalpy(&self, temperature_c: f64) -> f64 {
        self.integrals(temperature_c)[0]
    }

    /// Kirchhoff potential above 0 C at a temperature (Celsius), W/m.
    pub fn potential(&self, temperature_c: f64) -> f64 {
        self.integrals(temperature_c)[1]
    }

    /// Temperature (Celsius) at an enthalpy per volume, J/m3: the inverse of [`Material::enthalpy`].
    pub fn temperature(&self, enthalpy: f64) -> f64 {
        let piece = self.knots.partition_point(|knot| knot[0] <= enthalpy);
        let at = piece.saturating_sub(1);
        let row = self.rows[at];
        let heat = enthalpy - self.knots[at][0];
        let slope = if piece == 0 { 0.0 } else { self.slope(at, |r| r.specific_heat) };
        let capacity = self.density * row.specific_heat;
        // Root of rho (c d + slope d2 / 2) = heat in the form that does not cancel.
        let root = (capacity * capacity + 2.0 * self.density * slope * heat).max(0.0).sqrt();
        row.temperature_c + 2.0 * heat / (capacity + root)
    }

    fn property(&self, temperature_c: f64, of: impl Fn(&Row) -> f64 + Copy) -> f64 {
        let piece = self.rows.partition_point(|row| row.temperature_c <= temperature_c);
        if piece == 0 {
            return of(&self.rows[0]);
        }
        let row = self.rows[piece - 1];
        of(&row) + self.slope(piece - 1, of) * (temperature_c - row.temperature_c)
    }

    /// Slope of a property between row `at` and the next, 0 beyond the last.
    fn slope(&self, at: usize, of: impl Fn(&Row) -> f64) -> f64 {
        match self.rows.get(at + 1) {
            Some(next) => (of(next) - of(&self.rows[at])) / (next.temperature_c - self.rows[at].temperature_c),
            None => 0.0,
        }
    }

    fn integrals(&self, temperature_c: f64) -> [f64; 2] {
        let piece = self.rows.partition_point(|row| row.temperature_c <= temperature_c);
        let at = piece.saturating_sub(1);
        let row = self.rows[at];
        let difference = temperature_c - row.temperature_c;
        let gain = |of: fn(&Row) -> f64| {
            let slope = if piece == 0 { 0.0 } else { self.slope(at, of) };
            difference * (of(&row) + 0.5 * slope * difference)
        };
        let knot = self.knots[at];
        [knot[0] + self.density * gain(|r| r.specific_heat), knot[1] + gain(|r| r.conductivity)]
    }

    /// Both integrals at each row, shifted so that they vanish at 0 C.
    fn integrate(&self) -> Vec<[f64; 2]> {
        let mut sum = [0.0; 2];
        let mut knots = vec![sum];
        for pair in self.rows.windows(2) {
            let width = pair[1].temperature_c - pair[0].temperature_c;
            sum[0] += 0.5 * width * self.density * (pair[0].specific_heat + pair[1].specific_heat);
            sum[1] += 0.5 * width * (pair[0].conductivity + pair[1].conductivity);
            knots.push(sum);
        }
        let unshifted = Material { knots: knots.clone(), ..self.clone() };
        let zero = unshifted.integrals(0.0);
        knots.iter().map(|knot| [knot[0] - zero[0], knot[1] - zero[1]]).collect()
    }
}

fn positive(what: &str, value: f64) -> Result<(), Error> {
    if value.is_finite() && value > 0.0 {
        return Ok(());
    }
    Err(Error::OutOfRange { what: what.to_owned(), value, must_be: "positive" })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn iron() -> Material {
        let row = |temperature_c, conductivity, specific_heat| Row { temperature_c, conductivity, specific_heat };
        Material::new(7200.0, vec![row(20.0, 49.0, 460.0), row(100.0, 48.5, 507.0), row(200.0, 47.5, 556.0)]).unwrap()
    }

    #[test]
    fn temperature_inverts_enthalpy_inside_and_beyond_the_table() {
        let iron = iron();
        for t in [-40.0, 0.0, 20.0, 63.0, 100.0, 150.0, 200.0, 400.0] {
            assert!((iron.temperature(iron.enthalpy(t)) - t).abs() < 1e-10, "{t}");
        }
        assert!(iron.enthalpy(0.0).abs() < 1e-9 && iron.potential(0.0).abs() < 1e-12);
    }

    #[test]
    fn integrals_have_the_properties_as_their_slopes() {
        let iron = iron();
        for t in [-10.0, 55.0, 130.0, 260.0] {
            let step = 1e-3;
            let capacity = (iron.enthalpy(t + step) - iron.enthalpy(t - step)) / (2.0 * step);
            let conductivity = (iron.potential(t + step) - iron.potential(t - step)) / (2.0 * step);
            assert!((capacity / (7200.0 * iron.specific_heat(t)) - 1.0).abs() < 1e-7);
            assert!((conductivity / iron.conductivity(t) - 1.0).abs() < 1e-7);
        }
    }

    #[test]
    fn a_table_that_goes_back_is_refused() {
        let row = |temperature_c| Row { temperature_c, conductivity: 40.0, specific_heat: 500.0 };
        assert!(Material::new(7200.0, vec![row(100.0), row(20.0)]).is_err());
        assert!(Material::constant(7200.0, f64::NAN, 500.0).is_err());
    }
}
