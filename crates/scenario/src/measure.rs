//! The quantities of the format, as a closed set over crate `quantity`.

use quantity::{
    Conductivity, Density, Duration, FilmCoefficient, Fraction, HeatFlux, Length, MassFlow, Power, SpecificHeat, Speed,
    Temperature, TemperatureDifference, Units, Volume, VolumeFlow,
};

/// What a number measures. Values are SI, temperatures Celsius.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// Metre.
    Length,
    /// Celsius.
    Temperature,
    /// Kelvin.
    TemperatureDifference,
    /// Second.
    Duration,
    /// kg/m3.
    Density,
    /// W/mK.
    Conductivity,
    /// J/kgK.
    SpecificHeat,
    /// W/m2K.
    FilmCoefficient,
    /// W/m2.
    HeatFlux,
    /// W.
    Power,
    /// kg/s.
    MassFlow,
    /// m/s.
    Speed,
    /// m3.
    Volume,
    /// m3/s.
    VolumeFlow,
    /// Parts of one.
    Fraction,
}

/// One arm for each quantity, so that a new one cannot be forgotten anywhere.
macro_rules! each {
    ($measure:expr, $name:ident => $other:expr, celsius => $celsius:expr) => {
        match $measure {
            Measure::Temperature => $celsius,
            Measure::Length => {
                type $name = Length;
                $other
            }
            Measure::TemperatureDifference => {
                type $name = TemperatureDifference;
                $other
            }
            Measure::Duration => {
                type $name = Duration;
                $other
            }
            Measure::Density => {
                type $name = Density;
                $other
            }
            Measure::Conductivity => {
                type $name = Conductivity;
                $other
            }
            Measure::SpecificHeat => {
                type $name = SpecificHeat;
                $other
            }
            Measure::FilmCoefficient => {
                type $name = FilmCoefficient;
                $other
            }
            Measure::HeatFlux => {
                type $name = HeatFlux;
                $other
            }
            Measure::Power => {
                type $name = Power;
                $other
            }
            Measure::MassFlow => {
                type $name = MassFlow;
                $other
            }
            Measure::Speed => {
                type $name = Speed;
                $other
            }
            Measure::Volume => {
                type $name = Volume;
                $other
            }
            Measure::VolumeFlow => {
                type $name = VolumeFlow;
                $other
            }
            Measure::Fraction => {
                type $name = Fraction;
                $other
            }
        }
    };
}

impl Measure {
    /// Reads a text.
    ///
    /// # Errors
    /// What is wrong with it and what to write.
    pub(crate) fn read(self, text: &str) -> Result<f64, quantity::Error> {
        each!(self, Q => text.parse::<Q>().map(Q::si), celsius => text.parse::<Temperature>().map(Temperature::celsius))
    }

    /// A value in the words people expect.
    pub(crate) fn show(self, value: f64) -> String {
        let units = Units::Both;
        each!(self, Q => Q::from_si(value).show(units), celsius => Temperature::from_celsius(value).show(units))
    }

    /// Name, example and units.
    pub(crate) fn kind(self) -> &'static quantity::Kind {
        each!(self, Q => Q::kind(), celsius => Temperature::kind())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spelling_does_not_matter_to_the_bit() {
        for (a, b) in [("8 in", "203.2 mm"), ("75 mm", "0.075 m"), ("60 mm", "6 cm"), ("1 ft", "304.8 mm")] {
            let [a, b] = [a, b].map(|text| Measure::Length.read(text).unwrap());
            assert_eq!(a.to_bits(), b.to_bits(), "{a:e} {b:e}");
        }
        let [a, b] = ["300 s", "5 min"].map(|text| Measure::Duration.read(text).unwrap());
        assert_eq!(a.to_bits(), b.to_bits());
        let [a, b] = ["250 kW/m2", "250000 W/m2"].map(|text| Measure::HeatFlux.read(text).unwrap());
        assert_eq!(a.to_bits(), b.to_bits());
        assert_eq!(Measure::Temperature.read("68 F").unwrap(), 20.0);
        assert_eq!(Measure::Fraction.read("-12 %").unwrap(), -0.12);
    }
}
