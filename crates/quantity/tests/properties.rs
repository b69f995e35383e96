//! What must hold for every number and every text.

use proptest::prelude::*;
use quantity::{
    Conductivity, Duration, Energy, FilmCoefficient, Fraction, HeatFlux, Kind, Length, Mass, Power, Speed, Temperature,
    TemperatureDifference, Units, VolumeFlow,
};

/// Half of the last printed digit, in SI: "204.4 C" is good to 0.05 K.
fn printed_precision(text: &str, kind: &Kind) -> f64 {
    let mut words = text.rsplit(' ');
    let spelling = words.next().unwrap();
    let number = words.next().unwrap();
    let (digits, exponent) = number.split_once('e').unwrap_or((number, "0"));
    let decimals = digits.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let unit = kind.units.iter().find(|unit| unit.spelling == spelling).unwrap();
    let power = exponent.parse::<i32>().unwrap() - i32::try_from(decimals).unwrap();
    0.5 * unit.factor * 10f64.powi(power)
}

macro_rules! round_trip {
    ($name:ident, $from:ident, $value:ident, $number:expr) => {
        for units in [Units::Metric, Units::Shop] {
            let text = $name::$from($number).show_precise(units);
            let back = text.parse::<$name>();
            let back = back.map_err(|error| TestCaseError::fail(format!("{text}: {error}")))?;
            let tolerance = printed_precision(&text, $name::kind()) * (1.0 + 1e-6);
            let missed = (back.$value() - $number).abs();
            prop_assert!(missed <= tolerance + 1e-12 * $number.abs(), "{text}: off by {missed}");
        }
    };
    ($name:ident, $number:expr) => {
        round_trip!($name, from_si, si, $number)
    };
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn printed_then_read_is_the_same_within_the_printed_digits(
        celsius in -273.1..2000.0f64,
        size in -8.0..8.0f64,
        negative: bool,
    ) {
        let number = 10f64.powf(size) * if negative { -1.0 } else { 1.0 };
        round_trip!(Temperature, from_celsius, celsius, celsius);
        round_trip!(TemperatureDifference, number);
        round_trip!(Length, number);
        round_trip!(Duration, number);
        round_trip!(Mass, number);
        round_trip!(Speed, number);
        round_trip!(Conductivity, number);
        round_trip!(FilmCoefficient, number);
        round_trip!(HeatFlux, number);
        round_trip!(Power, number);
        round_trip!(Energy, number);
        round_trip!(VolumeFlow, number);
        round_trip!(Fraction, number);
    }

    #[test]
    fn no_text_panics_and_every_span_cuts_cleanly(text in any::<String>()) {
        try_every_kind(&text)?;
    }

    #[test]
    fn no_nearly_right_text_panics(
        text in "[-+−–]?[0-9½.,_/eE]{0,6}[ \u{a0}]?(ft|in|'|\"|h|min|%|°|deg|F|m2|W/m|[a-zA-Zµ²./()^-]{0,3}){1,3}[ -]?[0-9½/: ]{0,4}[a-z\"°]{0,3}",
    ) {
        try_every_kind(&text)?;
    }

    #[test]
    fn no_number_panics_when_printed(number in any::<f64>()) {
        for units in [Units::Metric, Units::Shop, Units::Both] {
            prop_assert!(!Duration::from_si(number).show(units).starts_with("-0 "));
            prop_assert!(!Length::from_si(number).show_precise(units).is_empty());
            prop_assert!(Temperature::from_celsius(number).show(units).len() < 60);
            prop_assert!(!Mass::from_si(number).axis(units).unit().is_empty());
        }
    }

    #[test]
    fn temperature_arithmetic_closes(one in -200.0..1500.0f64, other in -200.0..1500.0f64) {
        let (one, other) = (Temperature::from_celsius(one), Temperature::from_celsius(other));
        let back = other + (one - other);
        prop_assert!((back.celsius() - one.celsius()).abs() < 1e-9);
        prop_assert!(((one - other).si() - (one.kelvin() - other.kelvin())).abs() < 1e-9);
    }
}

fn try_every_kind(text: &str) -> Result<(), TestCaseError> {
    try_one::<Temperature>(text)?;
    try_one::<Length>(text)?;
    try_one::<Duration>(text)?;
    try_one::<Mass>(text)?;
    try_one::<Fraction>(text)?;
    try_one::<HeatFlux>(text)
}

fn try_one<Q: std::str::FromStr<Err = quantity::Error>>(text: &str) -> Result<(), TestCaseError> {
    if let Err(error) = text.parse::<Q>() {
        prop_assert!(text.get(error.span()).is_some(), "{:?}", error.span());
        prop_assert!(!error.to_string().is_empty());
    }
    Ok(())
}
