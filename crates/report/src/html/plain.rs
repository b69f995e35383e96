//! Quantities as a shop reads them, always in both systems of units: whole degrees and seconds, inches to a sixteenth.

use quantity::{HeatFlux, Mass, Units, Volume};
use study::Span;

use crate::words::drawn_lengths;

/// A limit that was given in one unit is whole there: so near to a whole number it is not rounded on.
const WHOLE: f64 = 0.05;
/// So near to a whole inch it is that inch.
const NEAR_INCH: f64 = 0.05;
/// From here on minutes are enough, s.
const MINUTES_S: f64 = 600.0;

/// `75 mm (3 in)`, `400 mm (15 3/4 in)`.
pub(super) fn length(metres: f64) -> String {
    format!("{} mm ({} in)", whole(1e3 * metres), inches(metres))
}

/// Inches to the nearest sixteenth; near a whole inch that inch: 75 mm are 3 in to everybody.
pub(super) fn inches(metres: f64) -> String {
    let number = drawn_lengths(Units::Shop).number(metres);
    let near = (number - number.round()).abs() < NEAR_INCH;
    let sixteenths = if near { 16.0 * number.round() } else { (16.0 * number).round() } as i64;
    let (number, mut part, mut of) = (sixteenths / 16, sixteenths % 16, 16);
    while part != 0 && part % 2 == 0 {
        (part, of) = (part / 2, of / 2);
    }
    match (number, part) {
        (number, 0) => number.to_string(),
        (0, part) => format!("{part}/{of}"),
        (number, part) => format!("{number} {part}/{of}"),
    }
}

/// `60 by 20 mm (2 3/8 by 13/16 in)`.
pub(super) fn sides([x, y]: [f64; 2]) -> String {
    format!("{} by {} mm ({} by {} in)", whole(1e3 * x), whole(1e3 * y), inches(x), inches(y))
}

/// What is so long and so wide: the sides, or the diameter of what is round.
pub(super) fn outline(round: bool, sides_m: [f64; 2]) -> String {
    if round { format!("{} across", length(sides_m[0])) } else { sides(sides_m) }
}

/// How far to the one side or to the other: `20 mm (13/16 in) left of`.
pub(super) fn towards(metres: f64, [more, less]: [&str; 2]) -> String {
    format!("{} {}", length(metres.abs()), if metres < 0.0 { less } else { more })
}

/// `15600 kg (34300 lb)`.
pub(super) fn mass(kilograms: f64) -> String {
    format!("{} kg ({} lb)", three_figures(kilograms), three_figures(pounds(kilograms)))
}

/// `1.4 kg (3.1 lb)`.
pub(super) fn mass_two(kilograms: f64) -> String {
    format!("{} kg ({} lb)", two_figures(kilograms), two_figures(pounds(kilograms)))
}

fn pounds(kilograms: f64) -> f64 {
    Mass::from_si(1.0).axis(Units::Shop).number(kilograms)
}

/// `1.2 m3 (42 ft3)`.
pub(super) fn volume(m3: f64) -> String {
    format!("{} m3 ({} ft3)", two_figures(m3), two_figures(Volume::from_si(1.0).axis(Units::Shop).number(m3)))
}

/// `91 kW/m2 (28800 Btu/h.ft2)`.
pub(super) fn flux(watts_m2: f64) -> String {
    let shop = HeatFlux::from_si(watts_m2).axis(Units::Shop).number(watts_m2);
    format!("{} kW/m2 ({} Btu/h.ft2)", two_figures(1e-3 * watts_m2), three_figures(shop))
}

/// Plain digits, three of them told.
pub(super) fn three_figures(number: f64) -> String {
    if number <= 0.0 || !number.is_finite() {
        return "0".to_owned();
    }
    let digits = number.log10().floor() as i32 + 1;
    let step = 10f64.powi(digits - 3);
    let decimals = usize::try_from(3 - digits).unwrap_or(0);
    format!("{:.decimals$}", (number / step).round() * step)
}

/// Two figures, and no idle zeros before the point: `3.0`, `12`, `0.45`.
pub(super) fn two_figures(number: f64) -> String {
    let decimals = if number >= 10.0 {
        0
    } else if number >= 1.0 {
        1
    } else {
        2
    };
    format!("{number:.decimals$}")
}

/// `149 C (300 F)`, each to the nearest.
pub(super) fn degrees(celsius: f64) -> String {
    both(celsius, f64::round)
}

/// The same, each rounded up.
pub(super) fn at_least(celsius: f64) -> String {
    both(celsius, |number| (number - WHOLE).ceil())
}

/// The same, each rounded down.
pub(super) fn at_most(celsius: f64) -> String {
    both(celsius, |number| (number + WHOLE).floor())
}

fn both(celsius: f64, rounded: fn(f64) -> f64) -> String {
    format!("{} C ({} F)", whole(rounded(celsius)), whole(rounded(1.8 * celsius + 32.0)))
}

/// `197 C (387 F)`, or `196 to 198 C (385 to 388 F)`.
pub(super) fn degrees_span([low, high]: Span) -> String {
    let ends = |number: fn(f64) -> f64| (whole(number(low)), whole(number(high)));
    let one = |(low, high): (String, String)| if low == high { low } else { format!("{low} to {high}") };
    format!("{} C ({} F)", one(ends(|c| c)), one(ends(|c| 1.8 * c + 32.0)))
}

/// `86 s`, `4 min 10 s`, `23 min`.
pub(super) fn time(seconds: f64) -> String {
    let whole_s = seconds.round();
    if whole_s < 120.0 {
        format!("{whole_s:.0} s")
    } else if whole_s < MINUTES_S && whole_s % 60.0 != 0.0 {
        format!("{:.0} min {:.0} s", (whole_s / 60.0).floor(), whole_s % 60.0)
    } else if whole_s < 2.0 * 3600.0 {
        format!("{:.0} min", whole_s / 60.0)
    } else {
        let minutes = (whole_s / 60.0).round();
        format!("{:.0} h {:.0} min", (minutes / 60.0).floor(), minutes % 60.0)
    }
}

/// A time that is not to be overestimated: rounded down.
pub(super) fn time_down(seconds: f64) -> String {
    time((seconds + WHOLE).floor())
}

/// `20 to 27 min`: rounded outwards.
pub(super) fn time_span([low, high]: Span) -> String {
    if high >= MINUTES_S {
        return format!("{:.0} to {:.0} min", (low / 60.0).floor(), (high / 60.0).ceil());
    }
    format!("{} to {}", time(low.floor()), time(high.ceil()))
}

/// `90 s`, or `80 to 95 s` where they differ.
pub(super) fn time_or_span([low, high]: Span) -> String {
    if time(low) == time(high) { time(high) } else { time_span([low, high]) }
}

/// `1:05`, or `1:05 to 1:12`.
pub(super) fn clock_span([low, high]: Span) -> String {
    let (low, high) = (clock(low), clock(high));
    if low == high { low } else { format!("{low} to {high}") }
}

fn clock(seconds: f64) -> String {
    let whole_s = seconds.round().max(0.0);
    format!("{:.0}:{:02.0}", (whole_s / 60.0).floor(), whole_s % 60.0)
}

/// To the nearest, and never a negative zero.
fn whole(number: f64) -> String {
    format!("{:.0}", number.round() + 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inches_are_fractions_that_a_rule_has() {
        let shown = [0.075, 0.4, 0.1, 0.02, 0.006, 0.1016, 0.0004, 2.4].map(inches);
        assert_eq!(shown, ["3", "15 3/4", "3 15/16", "13/16", "1/4", "4", "0", "94 1/2"]);
        assert_eq!(sides([0.06, 0.02]), "60 by 20 mm (2 3/8 by 13/16 in)");
    }

    #[test]
    fn limits_are_rounded_to_the_safe_side_in_each_unit_and_whole_ones_stay() {
        assert_eq!(at_least(148.889), "149 C (300 F)");
        assert_eq!(at_least(149.2), "150 C (301 F)");
        assert_eq!(at_most(260.0), "260 C (500 F)");
        assert_eq!(at_most(259.4), "259 C (498 F)");
        assert_eq!(degrees_span([196.6, 198.4]), "197 to 198 C (386 to 389 F)");
    }

    #[test]
    fn times_are_whole_and_spans_are_rounded_outwards() {
        assert_eq!(
            [86.1, 90.0, 250.4, 1396.0, 7260.0].map(time),
            ["86 s", "90 s", "4 min 10 s", "23 min", "2 h 1 min"]
        );
        assert_eq!((time_down(86.9), time_span([1210.0, 1590.0])), ("86 s".to_owned(), "20 to 27 min".to_owned()));
        assert_eq!(
            (clock_span([65.0, 65.2]), clock_span([65.0, 72.0])),
            ("1:05".to_owned(), "1:05 to 1:12".to_owned())
        );
    }

    #[test]
    fn masses_have_three_figures_in_either_unit() {
        assert_eq!(mass(15552.0), "15600 kg (34300 lb)");
        assert_eq!(mass(13.824), "13.8 kg (30.5 lb)");
    }
}
