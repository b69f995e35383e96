//! Carbon steel by formula rather than by table.

use heat::Row;

/// Spacing of the rows that stand for the formulas, K: linear between them, enthalpy is off by under 0.001 kJ/kg.
const STEP_C: i32 = 2;
/// Last row, Celsius: the metal's table ends there too, before the peak of specific heat at 735 C.
const LAST_C: i32 = 700;

/// Conductivity of carbon steel, W/mK: `k = 54 - 0.0333 T`, T in Celsius, 20 to 800.
///
/// Source: EN 1993-1-2:2005, 3.4.1.3 (E1, `read`).
pub(crate) fn conductivity(temperature_c: f64) -> f64 {
    54.0 - 3.33e-2 * temperature_c
}

/// Specific heat of carbon steel, J/kgK, T in Celsius: `425 + 0.773 T - 1.69e-3 T2 + 2.22e-6 T3` from 20 to 600,
/// `666 + 13002 / (738 - T)` from 600 to 735.
///
/// Source: EN 1993-1-2:2005, 3.4.1.2 (E2, `read`).
pub(crate) fn specific_heat(temperature_c: f64) -> f64 {
    let t = temperature_c;
    if t < 600.0 { 425.0 + t * (7.73e-1 + t * (-1.69e-3 + t * 2.22e-6)) } else { 666.0 + 13002.0 / (738.0 - t) }
}

/// The formulas as closely spaced rows.
pub(crate) fn rows() -> Vec<Row> {
    let row = |t: i32| {
        let temperature_c = f64::from(t);
        Row { temperature_c, conductivity: conductivity(temperature_c), specific_heat: specific_heat(temperature_c) }
    };
    (20..=LAST_C).step_by(STEP_C as usize).map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_agree_with_the_table_of_check_p23() {
        // P23 (`read`, EN 1993-1-2:2005 3.4.1): conductivity and specific heat to 1e-3.
        let table = [
            (20.0, 53.334, 439.8018),
            (150.0, 49.005, 510.4175),
            (250.0, 45.675, 547.3125),
            (400.0, 40.68, 605.88),
            (600.0, 34.02, 760.2174),
            (650.0, 32.355, 813.75),
            (700.0, 30.69, 1008.1579),
        ];
        for (t, k, c) in table {
            assert!((conductivity(t) - k).abs() < 1e-3 && (specific_heat(t) - c).abs() < 1e-3, "{t}");
        }
    }
}
