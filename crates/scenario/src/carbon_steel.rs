//! Carbon steel by formula rather than by table.

use heat::Row;

/// Where rows stand for the formulas: from a temperature, Celsius, upwards in steps of so many kelvins. Between rows the
/// metal is linear, which lies above a curve that is hollow upwards: the steps shrink towards the peak of specific heat at
/// 735 C, so that the enthalpy stays within 0.001 kJ/kg up to 600 C and 0.006 kJ/kg beyond.
const STEPS: [[f64; 2]; 10] = [
    [20.0, 2.0],
    [600.0, 1.0],
    [700.0, 0.5],
    [720.0, 0.25],
    [730.0, 0.0625],
    [740.0, 0.25],
    [750.0, 0.5],
    [770.0, 1.0],
    [900.0, 300.0],
    [LAST_C, 0.0],
];
/// Where the formulas end, Celsius.
const LAST_C: f64 = 1200.0;

/// Conductivity of carbon steel, W/mK.
///
/// Equation: `k = 54 - 0.0333 T` below 800 C, 27.3 from there on. Symbols: `T` Celsius. Valid from 20 to 1200 C; the
/// table made of it is held flat beyond. Source: EN 1993-1-2:2005, 3.4.1.3 (E1, `read`).
pub(crate) fn conductivity(temperature_c: f64) -> f64 {
    if temperature_c < 800.0 { 54.0 - 3.33e-2 * temperature_c } else { 27.3 }
}

/// Specific heat of carbon steel, J/kgK: it peaks at 5000 where the steel changes its structure.
///
/// Equation: `425 + 0.773 T - 1.69e-3 T2 + 2.22e-6 T3` below 600 C, `666 + 13002 / (738 - T)` below 735 C,
/// `545 + 17820 / (T - 731)` below 900 C, 650 from there on. Symbols: `T` Celsius. Valid from 20 to 1200 C; the table made
/// of it is held flat beyond. Source: EN 1993-1-2:2005, 3.4.1.2 (E2, `read`).
pub(crate) fn specific_heat(temperature_c: f64) -> f64 {
    match temperature_c {
        t if t < 600.0 => 425.0 + t * (7.73e-1 + t * (-1.69e-3 + t * 2.22e-6)),
        t if t < 735.0 => 666.0 + 13002.0 / (738.0 - t),
        t if t < 900.0 => 545.0 + 17820.0 / (t - 731.0),
        _ => 650.0,
    }
}

/// The formulas as closely spaced rows.
pub(crate) fn rows() -> Vec<Row> {
    let stretch = |pair: &[[f64; 2]]| {
        let ([from_c, step_k], [to_c, _]) = (pair[0], pair[1]);
        let count = ((to_c - from_c) / step_k).round() as usize;
        (0..count).map(move |n| row(from_c + n as f64 * step_k)).collect::<Vec<_>>()
    };
    STEPS.windows(2).flat_map(stretch).chain([row(LAST_C)]).collect()
}

fn row(temperature_c: f64) -> Row {
    Row { temperature_c, conductivity: conductivity(temperature_c), specific_heat: specific_heat(temperature_c) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use heat::Material;

    fn steel() -> Material {
        Material::new(7850.0, rows()).unwrap()
    }

    fn enthalpy(steel: &Material, t: f64) -> f64 {
        (steel.enthalpy(t) - steel.enthalpy(20.0)) / steel.density()
    }

    /// The published digits and the integral in closed form are held against these rows in `validation` (P23, E2, E5).
    #[test]
    fn the_peak_holds_the_heat_that_its_formula_says() {
        const STEP_C: f64 = 0.1;
        let steel = steel();
        let mut heat = 0.0;
        for n in 0..=11_800 {
            let t = 20.0 + STEP_C * f64::from(n);
            let off = (enthalpy(&steel, t) - heat).abs();
            assert!(off < if t <= 600.0 { 1.0 } else { 6.0 }, "{t} C: {off} J/kg");
            assert!((steel.temperature(steel.enthalpy(t)) - t).abs() < 1e-9, "{t}");
            // Simpson's rule over the formula itself.
            let [low, middle, high] = [t, t + 0.5 * STEP_C, t + STEP_C].map(specific_heat);
            heat += STEP_C / 6.0 * (low + 4.0 * middle + high);
        }
        assert!(steel.covers(1200.0) && !steel.covers(1300.0));
    }

    #[test]
    fn each_range_of_a_formula_includes_its_lower_end() {
        assert_eq!((conductivity(800.0), specific_heat(900.0)), (27.3, 650.0));
        assert!((specific_heat(600.0) - specific_heat(599.999_999) - 0.3).abs() < 0.01);
        assert!((specific_heat(735.0) - specific_heat(734.999_999)).abs() < 0.01);
    }
}
