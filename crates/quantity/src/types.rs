//! One type for each quantity.

use crate::error::Error;
use crate::read::read;
use crate::show::{Axis, Units, axis, show};
use crate::tables;
use crate::unit::Kind;
use std::ops::{Add, Sub};
use std::str::FromStr;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $table:ident, $from:ident, $value:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("The quantity of a number in ", $unit, "; not checked.")]
            #[must_use]
            pub const fn $from(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("The number in ", $unit, ".")]
            #[must_use]
            pub const fn $value(self) -> f64 {
                self.0
            }

            /// Name, example and accepted units.
            #[must_use]
            pub fn kind() -> &'static Kind {
                &tables::$table
            }

            /// The text people expect to read.
            #[must_use]
            pub fn show(self, units: Units) -> String {
                show(&tables::$table, self.0, units, 0)
            }

            /// The same with one decimal more.
            #[must_use]
            pub fn show_precise(self, units: Units) -> String {
                show(&tables::$table, self.0, units, 1)
            }

            /// One unit for an axis or column whose largest value is this one.
            #[must_use]
            pub fn axis(self, units: Units) -> Axis {
                axis(&tables::$table, self.0, units)
            }
        }

        impl FromStr for $name {
            type Err = Error;

            fn from_str(text: &str) -> Result<Self, Error> {
                read(text, &tables::$table).map(Self)
            }
        }
    };
}

quantity!(
    /// A temperature, held in degC. A kelvin reading is converted when read.
    Temperature,
    TEMPERATURE,
    from_celsius,
    celsius,
    "degC"
);
quantity!(
    /// A difference of two temperatures, K. `10 C` and `10 K` are the same, `18 F` too.
    TemperatureDifference,
    TEMPERATURE_DIFFERENCE,
    from_si,
    si,
    "K"
);
quantity!(
    /// A length or coordinate, m.
    Length,
    LENGTH,
    from_si,
    si,
    "m"
);
quantity!(
    /// An area, m2.
    Area,
    AREA,
    from_si,
    si,
    "m2"
);
quantity!(
    /// A time span, s.
    Duration,
    DURATION,
    from_si,
    si,
    "s"
);
quantity!(
    /// A mass, kg.
    Mass,
    MASS,
    from_si,
    si,
    "kg"
);
quantity!(
    /// A density, kg/m3.
    Density,
    DENSITY,
    from_si,
    si,
    "kg/m3"
);
quantity!(
    /// A speed, m/s: of air, or of travel.
    Speed,
    SPEED,
    from_si,
    si,
    "m/s"
);
quantity!(
    /// A thermal conductivity, W/mK.
    Conductivity,
    CONDUCTIVITY,
    from_si,
    si,
    "W/mK"
);
quantity!(
    /// A specific heat, J/kgK.
    SpecificHeat,
    SPECIFIC_HEAT,
    from_si,
    si,
    "J/kgK"
);
quantity!(
    /// A film coefficient or contact conductance, W/m2K.
    FilmCoefficient,
    FILM_COEFFICIENT,
    from_si,
    si,
    "W/m2K"
);
quantity!(
    /// A heat flux, W/m2.
    HeatFlux,
    HEAT_FLUX,
    from_si,
    si,
    "W/m2"
);
quantity!(
    /// A power, W.
    Power,
    POWER,
    from_si,
    si,
    "W"
);
quantity!(
    /// An energy, J. The Btu is that of the International Table.
    Energy,
    ENERGY,
    from_si,
    si,
    "J"
);
quantity!(
    /// A volume, m3: of gas, at whatever conditions the writer means.
    Volume,
    VOLUME,
    from_si,
    si,
    "m3"
);
quantity!(
    /// A volume flow, m3/s, at whatever gas conditions the writer means.
    VolumeFlow,
    VOLUME_FLOW,
    from_si,
    si,
    "m3/s"
);
quantity!(
    /// A mass flow, kg/s.
    MassFlow,
    MASS_FLOW,
    from_si,
    si,
    "kg/s"
);
quantity!(
    /// A share of a whole, dimensionless. `0.3` and `30 %` are the same.
    Fraction,
    FRACTION,
    from_si,
    si,
    "parts of one"
);
quantity!(
    /// Heat per volume, J/m3, such as the heating value of a gas.
    VolumeHeat,
    VOLUME_HEAT,
    from_si,
    si,
    "J/m3"
);

impl Temperature {
    /// The temperature in kelvin.
    #[must_use]
    pub const fn kelvin(self) -> f64 {
        self.0 + 273.15
    }
}

impl Sub for Temperature {
    type Output = TemperatureDifference;

    fn sub(self, other: Self) -> TemperatureDifference {
        TemperatureDifference(self.0 - other.0)
    }
}

impl Add<TemperatureDifference> for Temperature {
    type Output = Self;

    fn add(self, difference: TemperatureDifference) -> Self {
        Self(self.0 + difference.0)
    }
}

impl Sub<TemperatureDifference> for Temperature {
    type Output = Self;

    fn sub(self, difference: TemperatureDifference) -> Self {
        Self(self.0 - difference.0)
    }
}
