//! Dry air as an ideal gas at the pressure of the shop.

use crate::note::{Known, OutOfRange};

/// Pressure at sea level, Pa. Standard atmosphere, by definition.
pub const SEA_LEVEL_PA: f64 = 101_325.0;

const TEMPERATURE: Known =
    Known { correlation: "air properties", quantity: "film temperature (K)", low: 273.0, high: 1073.0, key: "A1" };
const ALTITUDE: Known =
    Known { correlation: "standard atmosphere", quantity: "altitude (m)", low: -500.0, high: 11_000.0, key: "A2" };

/// Properties of dry air at one temperature and pressure.
///
/// Equation: cubics in `T` for conductivity, viscosity and specific heat; `rho = 353.05/T p/101325`, `beta = 1/T`.
/// Symbols: `T` film temperature K, `p` pressure Pa, `rho` density kg/m3, `beta` expansion 1/K.
/// Valid from 273 to 1073 K, there within 0.30 % (conductivity), 0.36 % (viscosity) and 0.14 % (specific heat);
/// outside, the cubics go on and [`Air::out_of_range`] says so.
/// Source: A1 (`computed`).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Temperature at which the properties are taken, K.
    pub temperature_k: f64,
    /// Density, kg/m3.
    pub density: f64,
    /// Specific heat, J/kgK.
    pub specific_heat: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity: f64,
    /// Conductivity, W/mK.
    pub conductivity: f64,
}

impl Air {
    /// Air at a temperature in kelvin and a pressure in Pa; formulas and range as for [`Air`].
    pub fn at(temperature_k: f64, pressure_pa: f64) -> Air {
        let t = temperature_k;
        Air {
            temperature_k,
            density: 353.05 / t * pressure_pa / SEA_LEVEL_PA,
            specific_heat: cubic([1041.132, -3.123_280e-1, 7.502_955e-4, -3.377_444e-7], t),
            viscosity: cubic([2.043_345e-6, 6.404_558e-8, -3.303_890e-11, 1.022_301e-14], t),
            conductivity: cubic([1.655_995e-3, 9.330_525e-5, -3.967_681e-8, 1.238_446e-11], t),
        }
    }

    /// The note for a temperature outside the range of the cubics.
    pub fn out_of_range(&self) -> Option<OutOfRange> {
        TEMPERATURE.note(self.temperature_k)
    }

    /// Kinematic viscosity, m2/s: `mu/rho`, viscosity over density.
    /// Range as for [`Air`]. Source: definition.
    pub fn kinematic_viscosity(&self) -> f64 {
        self.viscosity / self.density
    }

    /// Thermal diffusivity, m2/s: `k/(rho c)`, conductivity over density and specific heat.
    /// Range as for [`Air`]. Source: definition.
    pub fn diffusivity(&self) -> f64 {
        self.conductivity / (self.density * self.specific_heat)
    }

    /// Prandtl number: `mu c/k`, viscosity times specific heat over conductivity; no unit.
    /// Range as for [`Air`]. Source: definition.
    pub fn prandtl(&self) -> f64 {
        self.viscosity * self.specific_heat / self.conductivity
    }

    /// Expansion of an ideal gas, 1/K: `1/T`, T in kelvin. Range as for [`Air`]. Source: A1 (`computed`).
    pub fn expansion(&self) -> f64 {
        1.0 / self.temperature_k
    }
}

/// Pressure of the standard atmosphere, Pa.
///
/// Equation: `p = 101325 (1 - 2.25577e-5 z)^5.25588`.
/// Symbols: `p` pressure Pa, `z` altitude m.
/// Valid from -500 to 11 000 m; outside, the formula goes on and [`altitude_out_of_range`] says so.
/// Source: A2 (`memory` for the atmosphere).
pub fn pressure_at(altitude_m: f64) -> f64 {
    SEA_LEVEL_PA * (1.0 - 2.255_77e-5 * altitude_m).clamp(0.0, f64::INFINITY).powf(5.255_88)
}

/// The note for an altitude that [`pressure_at`] is not known for.
pub fn altitude_out_of_range(altitude_m: f64) -> Option<OutOfRange> {
    ALTITUDE.note(altitude_m)
}

fn cubic([a, b, c, d]: [f64; 4], t: f64) -> f64 {
    a + t * (b + t * (c + t * d))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ZERO_CELSIUS_K;

    /// A1 (`computed`, CoolProp 8.0.0): C, kg/m3, J/kgK, Pa s, W/mK, at 101.325 kPa.
    const TABLE: [[f64; 5]; 6] = [
        [0.0, 1.29307, 1005.68, 1.721841e-5, 2.436048e-2],
        [20.0, 1.20458, 1006.14, 1.820568e-5, 2.587383e-2],
        [110.0, 0.92115, 1012.25, 2.233233e-5, 3.230773e-2],
        [250.0, 0.67450, 1034.43, 2.796979e-5, 4.138247e-2],
        [500.0, 0.45639, 1092.43, 3.653054e-5, 5.579527e-2],
        [800.0, 0.32883, 1154.25, 4.531739e-5, 7.134836e-2],
    ];

    #[test]
    fn the_cubics_keep_to_the_table_within_their_stated_errors() {
        for [celsius, density, specific_heat, viscosity, conductivity] in TABLE {
            let air = Air::at(celsius + ZERO_CELSIUS_K, SEA_LEVEL_PA);
            let off = |got: f64, expected: f64| (got / expected - 1.0).abs();
            assert!(off(air.conductivity, conductivity) < 0.0031, "{celsius} {}", air.conductivity);
            assert!(off(air.viscosity, viscosity) < 0.0037, "{celsius} {}", air.viscosity);
            assert!(off(air.specific_heat, specific_heat) < 0.0015, "{celsius} {}", air.specific_heat);
            assert!(off(air.density, density) < 0.0010, "{celsius} {}", air.density);
        }
    }

    #[test]
    fn altitude_thins_the_air_and_not_its_conductivity() {
        let [low, high] = [0.0, 1500.0].map(|altitude_m| Air::at(400.0, pressure_at(altitude_m)));
        assert_eq!(low.conductivity, high.conductivity);
        assert_eq!(low.prandtl(), high.prandtl());
        // A2 (`computed`): turbulent film coefficients go as p^(2/3), 11 % less at 1500 m.
        let turbulent = (high.density / low.density).powf(2.0 / 3.0);
        assert!((turbulent - 0.89).abs() < 0.005, "{turbulent}");
    }

    #[test]
    fn cold_air_hot_air_and_high_places_are_named() {
        assert_eq!(
            Air::at(260.0, SEA_LEVEL_PA).out_of_range().unwrap().to_string(),
            "air properties, film temperature (K) 2.6e2 below 2.7e2 (A1)"
        );
        assert!(Air::at(1100.0, SEA_LEVEL_PA).out_of_range().is_some());
        assert!(Air::at(273.15, SEA_LEVEL_PA).out_of_range().is_none());
        assert!(altitude_out_of_range(12_000.0).is_some() && altitude_out_of_range(2000.0).is_none());
    }
}
