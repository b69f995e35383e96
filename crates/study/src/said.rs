//! Quantities within the sentences of an answer: always in both systems, since such a sentence is not made again for the
//! units that are asked for.

use crate::{HOUR_S, Question, Supply};

const FOOT_M: f64 = 0.3048;
const INCH_M: f64 = 0.0254;

/// `85 C (185 F)`.
pub(crate) fn temperature(celsius: f64) -> String {
    format!("{:.0} C ({:.0} F)", whole(celsius), whole(1.8 * celsius + 32.0))
}

/// `85 K (153 F)`: a difference, never shifted by 32.
pub(crate) fn difference(kelvin: f64) -> String {
    format!("{:.0} K ({:.0} F)", whole(kelvin), whole(1.8 * kelvin))
}

/// `40 mm (1.6 in)`.
pub(crate) fn length(metres: f64) -> String {
    format!("{:.0} mm ({:.1} in)", 1e3 * metres, metres / INCH_M)
}

/// `up to 0.6 m (2 ft)`: both numbers rounded up, as an upper bound has to be.
pub(crate) fn reach(metres: f64) -> String {
    format!("{:.1} m ({:.0} ft)", (10.0 * metres - 1e-9).ceil() / 10.0, (metres / FOOT_M - 1e-9).ceil())
}

/// `106 MPa (15 ksi)`.
pub(crate) fn stress(pascal: f64) -> String {
    const KSI: f64 = 6.894_757e6;
    format!("{:.0} MPa ({:.0} ksi)", 1e-6 * pascal, pascal / KSI)
}

/// `90 s`, `4 min 10 s`, `53 min`, `1 h 20 min`.
pub(crate) fn duration(seconds: f64) -> String {
    const LONG_S: f64 = 600.0;
    let (whole_s, whole_min) = (seconds.round(), (seconds / 60.0).round());
    let both = |large: f64, one: &str, small: f64, other: &str| match small {
        0.0 => format!("{large:.0} {one}"),
        _ => format!("{large:.0} {one} {small:.0} {other}"),
    };
    if whole_s < 120.0 {
        format!("{whole_s:.0} s")
    } else if whole_s < LONG_S {
        both((whole_s / 60.0).floor(), "min", whole_s % 60.0, "s")
    } else if whole_s < HOUR_S - 30.0 {
        format!("{whole_min:.0} min")
    } else {
        both((whole_min / 60.0).floor(), "h", whole_min % 60.0, "min")
    }
}

/// What makes a flame that did not reach its target stronger.
pub(crate) fn with_more(question: &Question) -> &'static str {
    match question.supply {
        Some(Supply::Gas(_)) => "with more gas",
        Some(Supply::Electricity { .. }) => "with more power",
        None => "with a stronger torch",
    }
}

/// Rounded, and never a negative zero.
fn whole(number: f64) -> f64 {
    number.round() + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_carry_both_systems_of_units() {
        assert_eq!(temperature(85.0), "85 C (185 F)");
        assert_eq!(temperature(-0.2), "0 C (32 F)");
        assert_eq!(difference(10.0), "10 K (18 F)");
        assert_eq!(length(0.04), "40 mm (1.6 in)");
    }

    #[test]
    fn a_reach_is_rounded_up() {
        assert_eq!(reach(0.61), "0.7 m (3 ft)");
        assert_eq!(reach(0.6), "0.6 m (2 ft)");
    }

    #[test]
    fn long_times_are_minutes_and_hours() {
        let shown = [38.2, 90.0, 250.0, 3182.0, 3599.0, 4800.0].map(duration);
        assert_eq!(shown, ["38 s", "90 s", "4 min 10 s", "53 min", "1 h", "1 h 20 min"]);
    }

    #[test]
    fn electric_heat_is_made_stronger_with_power_not_gas() {
        let mut question = Question::plain();
        assert_eq!(with_more(&question), "with a stronger torch");
        question.supply = Some(Supply::Electricity { power_w: 1e3, share: 0.5 });
        assert_eq!(with_more(&question), "with more power");
    }
}
