//! Texts that must be refused, with the words that must stand in the reason.

use quantity::{
    Area, Conductivity, Duration, Energy, Error, FilmCoefficient, Fraction, HeatFlux, Length, Mass, Power, Problem,
    Speed, Temperature, TemperatureDifference, VolumeFlow,
};
use std::str::FromStr;

/// The error as one line, after checking that its span cuts the text cleanly.
fn refused<Q: FromStr<Err = Error> + std::fmt::Debug>(text: &str) -> Error {
    let error = text.parse::<Q>().expect_err(text);
    assert!(text.get(error.span()).is_some(), "{text}: {:?}", error.span());
    error
}

fn check<Q: FromStr<Err = Error> + std::fmt::Debug>(cases: &[(&str, &[&str])]) {
    for (text, words) in cases {
        let line = refused::<Q>(text).to_string();
        for word in *words {
            assert!(line.contains(word), "{text}: \"{word}\" is not in: {line}");
        }
    }
}

#[test]
fn temperatures_are_refused_with_a_reason() {
    check::<Temperature>(&[
        ("", &["nothing stands", "a temperature", "400 F"]),
        (" \t ", &["nothing stands"]),
        ("400", &["\"400\" has no unit", "\"400 C\" or \"400 F\""]),
        ("-40", &["has no unit", "\"-40 F\""]),
        ("400 X", &["\"X\"", "not a known unit", "C, F, K"]),
        ("400 degg", &["\"degg\"", "not a known unit"]),
        ("400 Celsus", &["not a known unit", "did you mean \"C\""]),
        ("400 °", &["not a known unit", "C, F, K"]),
        ("8 in", &["\"8 in\" is a length", "a temperature is due here", "400 F"]),
        ("5 ft 2 in", &["is a length", "a temperature is due here"]),
        ("8 W/m2K", &["is a film coefficient", "a temperature is due"]),
        ("hot", &["\"hot\" does not begin with a number", "400 F"]),
        ("F", &["does not begin with a number"]),
        ("about 400 F", &["does not begin with a number"]),
        (".", &["does not begin with a number"]),
        ("nan F", &["not a finite number"]),
        ("-inf C", &["not a finite number"]),
        ("∞ C", &["not a finite number"]),
        ("1e999 C", &["not a finite number"]),
        ("-500 F", &["below absolute zero", "-459.67 F"]),
        ("-1 K", &["below absolute zero"]),
        ("-273.2 C", &["below absolute zero"]),
        ("350-400 F", &["two numbers"]),
        ("350 - 400 F", &["two numbers"]),
        ("400 ± 10 F", &["two numbers"]),
        ("400 F 10", &["not a known unit"]),
        ("204 C (400 F)", &["not a known unit"]),
        ("1,000 F", &["two ways", "\"1000 F\" or \"1.000 F\""]),
    ]);
}

#[test]
fn lengths_are_refused_with_a_reason() {
    check::<Length>(&[
        ("1,5 m", &["separator", "write \"1.5 m\""]),
        ("1,500 mm", &["two ways", "\"1500 mm\" or \"1.500 mm\""]),
        ("1 500 mm", &["separator", "write \"1500 mm\""]),
        ("1_500 mm", &["write \"1500 mm\""]),
        ("1.500.000 mm", &["write \"1500000 mm\""]),
        ("5 ft 2 kg", &["mixes a length and a mass"]),
        ("5 ft 2", &["\"2\" has no unit", "\"2 in\""]),
        ("2 in 5 ft", &["larger unit to the smaller"]),
        ("5 ft 2 ft", &["larger unit to the smaller"]),
        ("5 ft 2 imch", &["\"imch\"", "did you mean \"in\""]),
        ("5 ft - 2 in", &["two numbers"]),
        ("8 imch", &["did you mean \"in\""]),
        ("8 mmm", &["did you mean \"mm\""]),
        ("8 8 in", &["two numbers"]),
        ("1/0 in", &["not a finite number"]),
        ("8 m2", &["is an area", "a length is due"]),
        ("10 s", &["is a duration", "a length is due"]),
        ("8 x 8 in", &["not a known unit"]),
    ]);
}

#[test]
fn durations_and_masses_are_refused_with_a_reason() {
    check::<Duration>(&[
        ("2:30", &["ambiguous", "\"2 min 30 s\" or \"2 h 30 min\""]),
        ("1:02:30", &["ambiguous", "8 h 30 min"]),
        ("15 m", &["is a length", "a duration is due"]),
        ("15", &["has no unit", "\"15 s\" or \"15 min\""]),
        ("4 min 10", &["\"10\" has no unit"]),
        ("1 h 30 kg", &["mixes a duration and a mass"]),
        ("5 mni", &["did you mean \"min\""]),
    ]);
    check::<Mass>(&[
        ("2 tons", &["\"tons\"", "ambiguous", "US ton"]),
        ("2 ton", &["ambiguous", "1000 kg"]),
        ("2 T", &["ambiguous"]),
        ("2,304 kg", &["\"2304 kg\" or \"2.304 kg\""]),
        ("2304", &["\"2304 kg\" or \"2304 lb\""]),
    ]);
}

#[test]
fn other_quantities_are_refused_with_a_reason() {
    check::<HeatFlux>(&[
        ("250 kW", &["is a power", "a heat flux is due"]),
        ("250", &["\"250 kW/m2\" or \"250 W/in2\""]),
        ("8 W/m2K", &["is a film coefficient"]),
        ("25 W/cm22", &["did you mean \"W/cm2\""]),
        ("25 mW/m2", &["not a known unit", "did you mean"]),
    ]);
    check::<FilmCoefficient>(&[("8 W/mK", &["is a conductivity", "a film coefficient is due"])]);
    check::<Conductivity>(&[("26 Btu/h.ft2.F", &["is a film coefficient"])]);
    check::<Power>(&[("3 kWh", &["is an energy"]), ("3 mw", &["not a known unit"])]);
    check::<Energy>(&[("3 kW", &["is a power"])]);
    check::<Speed>(&[("3 m", &["is a length"]), ("3 knots", &["m/s, mm/s"])]);
    check::<VolumeFlow>(&[("1 kg/h", &["is a mass flow"])]);
    check::<Area>(&[("2 m", &["is a length", "an area is due"])]);
    check::<TemperatureDifference>(&[("10", &["\"10 K\" or \"10 F\""])]);
    check::<Fraction>(&[
        ("30", &["more than one", "\"30 %\""]),
        ("0,3", &["write \"0.3\""]),
        ("3 K", &["is a temperature", "a fraction is due"]),
    ]);
}

#[test]
fn the_span_marks_the_wrong_bytes() {
    let marked = |text: &'static str, error: Error| text[error.span()].to_owned();
    let text = " 400 degg";
    assert_eq!(marked(text, refused::<Temperature>(text)), "degg");
    let text = "5 ft 2 kg";
    assert_eq!(marked(text, refused::<Length>(text)), "kg");
    let text = "−1,5 m";
    assert_eq!(marked(text, refused::<Length>(text)), "1,5");
    let text = "350-400 F";
    assert_eq!(marked(text, refused::<Temperature>(text)), "350-400");
}

#[test]
fn the_offered_rewrites_are_accepted() {
    for text in ["1,5 m", "1,500 mm", "-1.234,5 mm", "1 500 mm", "+1_500 mm", "1,2,3 m", ",5 m"] {
        let error = refused::<Length>(text);
        let Problem::Separator { rewrites, .. } = error.problem() else {
            panic!("{text}: {error}");
        };
        for rewrite in rewrites {
            assert!(rewrite.parse::<Length>().is_ok(), "{text}: {rewrite}");
        }
    }
}

#[test]
fn a_long_text_is_clipped_in_the_message() {
    let error = refused::<Length>(&"x".repeat(10_000));
    assert!(error.to_string().len() < 200);
}
