//! The units of each quantity: one table each.
//!
//! Inch, foot, pound, mile and the International Table Btu are exact by definition;
//! every other factor is built from them.

use crate::unit::Form::{Clock, Compound};
use crate::unit::System::{Common, Metric, Shop};
use crate::unit::{Kind, Unit};

const INCH_M: f64 = 0.0254;
const FOOT_M: f64 = 0.3048;
const MILE_M: f64 = 1609.344;
const POUND_KG: f64 = 0.453_592_37;
const BTU_J: f64 = 1_055.055_852_62;
const FAHRENHEIT_K: f64 = 5.0 / 9.0;
const MINUTE_S: f64 = 60.0;
const HOUR_S: f64 = 3600.0;
const INCH2_M2: f64 = INCH_M * INCH_M;
const FOOT2_M2: f64 = FOOT_M * FOOT_M;
const INCH3_M3: f64 = INCH2_M2 * INCH_M;
const FOOT3_M3: f64 = FOOT2_M2 * FOOT_M;
const FOREVER: f64 = f64::INFINITY;

const fn unit(spelling: &'static str, factor: f64) -> Unit {
    Unit::new(spelling, factor)
}

pub(crate) static TEMPERATURE: Kind = Kind {
    lowest: -273.15,
    ..Kind::new(
        "temperature",
        "400 F",
        ["C", "F"],
        &[
            unit("C", 1.0).print(Metric, 1, 0),
            unit("F", FAHRENHEIT_K).zero_at(32.0).print(Shop, 1, 0),
            unit("K", 1.0).zero_at(273.15),
        ],
    )
};

pub(crate) static TEMPERATURE_DIFFERENCE: Kind = Kind::new(
    "temperature difference",
    "18 F",
    ["K", "F"],
    &[unit("K", 1.0).also(&["C"]).print(Metric, 2, 1), unit("F", FAHRENHEIT_K).print(Shop, 2, 1)],
);

pub(crate) static LENGTH: Kind = Kind::new(
    "length",
    "8 in",
    ["mm", "in"],
    &[
        unit("mm", 1e-3).print(Metric, 2, 1),
        unit("in", INCH_M).print(Shop, 3, 3),
        unit("um", 1e-6).print_between(Metric, 1e-9, 1e-3, 2, 1),
        unit("cm", 1e-2),
        unit("m", 1.0).print_between(Metric, 1.0, FOREVER, 3, 2),
        unit("ft", FOOT_M).print_between(Shop, 120.0 * INCH_M, FOREVER, 3, 1),
        unit("mil", 1e-3 * INCH_M).also(&["thou"]),
    ],
)
.form(Compound);

pub(crate) static AREA: Kind = Kind::new(
    "area",
    "2 ft2",
    ["m2", "ft2"],
    &[
        unit("m2", 1.0).print(Metric, 3, 2),
        unit("cm2", 1e-4).print_between(Metric, 1e-9, 0.1, 3, 2),
        unit("mm2", 1e-6),
        unit("ft2", FOOT2_M2).print(Shop, 3, 2),
        unit("in2", INCH2_M2).print_between(Shop, 1e-9, 2.0 * FOOT2_M2, 3, 2),
    ],
);

pub(crate) static DURATION: Kind = Kind::new(
    "duration",
    "8 h 30 min",
    ["s", "min"],
    &[
        unit("s", 1.0).print(Common, 3, 1),
        unit("min", MINUTE_S).print_between(Common, 120.0, 2.0 * HOUR_S, 3, 1),
        unit("h", HOUR_S).print_between(Common, 2.0 * HOUR_S, FOREVER, 3, 1),
        unit("d", 24.0 * HOUR_S).also(&["day", "days"]),
        unit("ms", 1e-3),
    ],
)
.form(Clock);

const WHICH_TON: &str = "t for 1000 kg or US ton for 2000 lb";

pub(crate) static MASS: Kind = Kind {
    ambiguous: &[("ton", WHICH_TON), ("Ton", WHICH_TON), ("TON", WHICH_TON), ("tons", WHICH_TON), ("T", WHICH_TON)],
    ..Kind::new(
        "mass",
        "5000 lb",
        ["kg", "lb"],
        &[
            unit("kg", 1.0).print(Metric, 3, 1),
            unit("g", 1e-3).print_between(Metric, 1e-6, 1.0, 3, 1),
            unit("t", 1000.0)
                .also(&["tonne", "tonnes", "metric ton", "metric tons"])
                .print_between(Metric, 10_000.0, FOREVER, 3, 1),
            unit("lb", POUND_KG).print(Shop, 3, 2),
            unit("oz", POUND_KG / 16.0),
            unit("US ton", 2000.0 * POUND_KG).also(&["US tons", "short ton", "short tons", "ton US"]),
        ],
    )
    .form(Compound)
};

pub(crate) static DENSITY: Kind = Kind::new(
    "density",
    "7850 kg/m3",
    ["kg/m3", "lb/ft3"],
    &[
        unit("kg/m3", 1.0).print(Metric, 3, 2),
        unit("g/cm3", 1000.0).also(&["g/cc", "kg/L", "t/m3"]),
        unit("lb/ft3", POUND_KG / FOOT3_M3).print(Shop, 3, 3),
        unit("lb/in3", POUND_KG / INCH3_M3),
    ],
);

pub(crate) static SPEED: Kind = Kind::new(
    "speed",
    "200 ft/min",
    ["m/s", "ft/min"],
    &[
        unit("m/s", 1.0).print(Metric, 3, 2),
        unit("mm/s", 1e-3).print_between(Metric, 1e-9, 0.1, 3, 2),
        unit("cm/min", 0.01 / MINUTE_S),
        unit("mm/min", 1e-3 / MINUTE_S),
        unit("m/min", 1.0 / MINUTE_S),
        unit("km/h", 1000.0 / HOUR_S).also(&["kph", "kmh"]),
        unit("ft/min", FOOT_M / MINUTE_S).also(&["fpm"]).print(Shop, 3, 1),
        unit("ft/s", FOOT_M),
        unit("in/min", INCH_M / MINUTE_S).also(&["ipm"]).print_between(Shop, 1e-9, 0.1, 3, 2),
        unit("mph", MILE_M / HOUR_S).also(&["mi/h"]),
    ],
);

pub(crate) static CONDUCTIVITY: Kind = Kind::new(
    "conductivity",
    "46 W/mK",
    ["W/mK", "Btu/h.ft.F"],
    &[
        unit("W/mK", 1.0).also(&["W/m.K", "W/mC"]).print(Metric, 3, 4),
        unit("W/cm.K", 100.0).also(&["W/cmK", "W/cmC"]),
        unit("Btu/h.ft.F", BTU_J / (HOUR_S * FOOT_M * FAHRENHEIT_K)).print(Shop, 3, 4),
        unit("Btu.in/h.ft2.F", BTU_J * INCH_M / (HOUR_S * FOOT2_M2 * FAHRENHEIT_K)),
    ],
);

pub(crate) static SPECIFIC_HEAT: Kind = Kind::new(
    "specific heat",
    "500 J/kgK",
    ["J/kgK", "Btu/lb.F"],
    &[
        unit("J/kgK", 1.0).also(&["J/kg.K", "J/kgC"]).print(Metric, 3, 1),
        unit("kJ/kgK", 1000.0).also(&["kJ/kg.K", "J/gK", "J/g.K", "kJ/kgC"]),
        unit("Btu/lb.F", BTU_J / (POUND_KG * FAHRENHEIT_K)).also(&["Btu/lbF"]).print(Shop, 3, 4),
    ],
);

pub(crate) static FILM_COEFFICIENT: Kind = Kind::new(
    "film coefficient",
    "8 W/m2K",
    ["W/m2K", "Btu/h.ft2.F"],
    &[
        unit("W/m2K", 1.0).also(&["W/m2.K", "W/m2C"]).print(Metric, 3, 2),
        unit("kW/m2K", 1000.0).also(&["kW/m2.K", "kW/m2C"]),
        unit("W/cm2.K", 1e4).also(&["W/cm2K"]),
        unit("Btu/h.ft2.F", BTU_J / (HOUR_S * FOOT2_M2 * FAHRENHEIT_K)).print(Shop, 3, 3),
    ],
);

pub(crate) static HEAT_FLUX: Kind = Kind::new(
    "heat flux",
    "250 kW/m2",
    ["kW/m2", "W/in2"],
    &[
        unit("kW/m2", 1000.0).print(Metric, 3, 1),
        unit("W/m2", 1.0).print_between(Metric, 1e-6, 1000.0, 3, 2),
        unit("MW/m2", 1e6),
        unit("W/cm2", 1e4),
        unit("W/mm2", 1e6),
        unit("W/in2", 1.0 / INCH2_M2),
        unit("Btu/h.ft2", BTU_J / (HOUR_S * FOOT2_M2)).print(Shop, 3, 2),
        unit("Btu/s.ft2", BTU_J / FOOT2_M2),
        unit("Btu/s.in2", BTU_J / INCH2_M2),
    ],
);

pub(crate) static POWER: Kind = Kind::new(
    "power",
    "9000 Btu/h",
    ["kW", "Btu/h"],
    &[
        unit("kW", 1000.0).print(Metric, 3, 2),
        unit("W", 1.0).print_between(Metric, 1e-6, 1000.0, 3, 2),
        unit("MW", 1e6).print_between(Metric, 1e6, FOREVER, 3, 2),
        unit("Btu/h", BTU_J / HOUR_S).also(&["Btuh"]).print(Shop, 3, 1),
        unit("kBtu/h", 1000.0 * BTU_J / HOUR_S),
    ],
);

pub(crate) static ENERGY: Kind = Kind::new(
    "energy",
    "1.5 MJ",
    ["kJ", "Btu"],
    &[
        unit("kJ", 1e3).print(Metric, 3, 2),
        unit("J", 1.0).print_between(Metric, 1e-6, 1e3, 3, 2),
        unit("MJ", 1e6).print_between(Metric, 1e6, FOREVER, 3, 2),
        unit("GJ", 1e9),
        unit("Wh", HOUR_S),
        unit("kWh", 1e3 * HOUR_S),
        unit("Btu", BTU_J).print(Shop, 3, 2),
        unit("kBtu", 1e3 * BTU_J),
    ],
);

pub(crate) static VOLUME: Kind = Kind::new(
    "volume",
    "8 m3",
    ["m3", "ft3"],
    &[
        unit("m3", 1.0).print(Metric, 3, 3),
        unit("L", 1e-3).also(&["litre", "liter"]),
        unit("ft3", FOOT3_M3).print(Shop, 3, 2),
    ],
);

pub(crate) static VOLUME_FLOW: Kind = Kind::new(
    "volume flow",
    "8.5 ft3/h",
    ["m3/h", "ft3/h"],
    &[
        unit("m3/h", 1.0 / HOUR_S).print(Metric, 3, 2),
        unit("L/h", 1e-3 / HOUR_S).print_between(Metric, 1e-12, 1.0 / HOUR_S, 3, 1),
        unit("L/min", 1e-3 / MINUTE_S).also(&["lpm"]),
        unit("L/s", 1e-3),
        unit("m3/s", 1.0),
        unit("m3/min", 1.0 / MINUTE_S),
        unit("ft3/h", FOOT3_M3 / HOUR_S).also(&["cfh"]).print(Shop, 3, 2),
        unit("ft3/min", FOOT3_M3 / MINUTE_S).also(&["cfm"]),
    ],
);

pub(crate) static MASS_FLOW: Kind = Kind::new(
    "mass flow",
    "1 lb/h",
    ["kg/h", "lb/h"],
    &[
        unit("kg/h", 1.0 / HOUR_S).print(Metric, 3, 3),
        unit("kg/s", 1.0),
        unit("kg/min", 1.0 / MINUTE_S),
        unit("g/s", 1e-3),
        unit("g/min", 1e-3 / MINUTE_S),
        unit("g/h", 1e-3 / HOUR_S),
        unit("lb/h", POUND_KG / HOUR_S).print(Shop, 3, 3),
        unit("lb/min", POUND_KG / MINUTE_S),
    ],
);

pub(crate) static FRACTION: Kind = Kind {
    bare: true,
    ..Kind::new("fraction", "30 %", ["%", "percent"], &[unit("%", 0.01).also(&["percent"]).print(Common, 2, 1)])
};

pub(crate) static VOLUME_HEAT: Kind = Kind::new(
    "heat per volume",
    "93 MJ/m3",
    ["MJ/m3", "Btu/ft3"],
    &[
        unit("MJ/m3", 1e6).print(Metric, 3, 2),
        unit("kJ/m3", 1e3),
        unit("J/m3", 1.0),
        unit("kWh/m3", 1e3 * HOUR_S),
        unit("Btu/ft3", BTU_J / FOOT3_M3).print(Shop, 3, 1),
    ],
);

static KINDS: [&Kind; 19] = [
    &TEMPERATURE,
    &TEMPERATURE_DIFFERENCE,
    &LENGTH,
    &AREA,
    &DURATION,
    &MASS,
    &DENSITY,
    &SPEED,
    &CONDUCTIVITY,
    &SPECIFIC_HEAT,
    &FILM_COEFFICIENT,
    &HEAT_FLUX,
    &POWER,
    &ENERGY,
    &VOLUME,
    &VOLUME_FLOW,
    &MASS_FLOW,
    &FRACTION,
    &VOLUME_HEAT,
];

/// Every quantity with its name, an example and its units, for help text and a schema.
///
/// ```
/// let length = quantity::kinds().iter().find(|kind| kind.name == "length").unwrap();
/// assert!(length.spellings().any(|spelling| spelling == "mm"));
/// ```
#[must_use]
pub fn kinds() -> &'static [&'static Kind] {
    &KINDS
}
