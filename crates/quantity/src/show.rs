//! Printing: the unit a size deserves, with the decimals it deserves.

use crate::unit::{Form, Kind, Print, System, Unit};

/// Whose units are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// C, mm, kg, kW.
    #[default]
    Metric,
    /// US customary units as used in shops: F, in, lb, Btu/h.
    Shop,
    /// Metric, then shop units in brackets.
    Both,
}

/// One unit for a whole axis or column: converts SI numbers to what is shown.
///
/// The range is any `f64`. [`Units::Both`] yields the metric unit.
#[derive(Debug, Clone, Copy)]
pub struct Axis {
    unit: &'static Unit,
}

impl Axis {
    /// The unit's label: `F`, `min`, `in`.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        self.unit.spelling
    }

    /// The number shown for an SI value (degC for a temperature).
    #[must_use]
    pub fn number(&self, si: f64) -> f64 {
        self.unit.number(si)
    }

    /// The SI value (degC for a temperature) of a shown number, for ticks.
    #[must_use]
    pub fn to_si(&self, number: f64) -> f64 {
        self.unit.to_si(number)
    }
}

/// The axis that suits values up to the size of `largest`.
pub(crate) fn axis(kind: &Kind, largest: f64, units: Units) -> Axis {
    let system = match units {
        Units::Shop => System::Shop,
        Units::Metric | Units::Both => System::Metric,
    };
    let (unit, _) = printed_unit(kind, largest, system);
    Axis { unit }
}

/// The text for an SI value, with `extra` decimals beyond the usual ones.
pub(crate) fn show(kind: &Kind, si: f64, units: Units, extra: usize) -> String {
    let metric = || in_system(kind, si, System::Metric, extra);
    let shop = || in_system(kind, si, System::Shop, extra);
    match units {
        Units::Metric => metric(),
        Units::Shop => shop(),
        Units::Both if metric() == shop() => metric(),
        Units::Both => format!("{} ({})", metric(), shop()),
    }
}

const FALLBACK: Print = Print { system: System::Common, from: 0.0, below: 0.0, significant: 3, most_decimals: 3 };

/// The unit whose range holds `si`, else the first of the system.
fn printed_unit(kind: &Kind, si: f64, system: System) -> (&'static Unit, Print) {
    let printed = |unit: &'static Unit| {
        let print = unit.print?;
        (print.system == system || print.system == System::Common).then_some((unit, print))
    };
    let size = si.abs();
    let mut choices = kind.units.iter().filter_map(printed);
    let first = choices.next().unwrap_or((&kind.units[0], FALLBACK));
    choices.find(|(_, print)| print.from <= size && size < print.below).unwrap_or(first)
}

fn in_system(kind: &Kind, si: f64, system: System, extra: usize) -> String {
    let size = si.abs();
    if kind.form == Form::Clock && size.is_finite() && size >= 120.0 {
        return clock(si, extra);
    }
    let (unit, print) = printed_unit(kind, si, system);
    let number = unit.number(si);
    let decimals = decimals(number, &print) + extra;
    format!("{} {}", digits(number, decimals), unit.spelling)
}

fn decimals(number: f64, print: &Print) -> usize {
    if number == 0.0 || !number.is_finite() {
        return 0;
    }
    let whole_digits = number.abs().log10().floor() as i32 + 1;
    let wanted = (print.significant - whole_digits).clamp(0, print.most_decimals);
    usize::try_from(wanted).unwrap_or(0)
}

/// Plain digits, never "-0"; scientific where plain digits would fill the line.
fn digits(number: f64, decimals: usize) -> String {
    const LONGEST: f64 = 1e9;
    if number.is_finite() && number.abs() >= LONGEST {
        return format!("{number:.*e}", decimals + 3);
    }
    let text = format!("{number:.decimals$}");
    match text.strip_prefix('-') {
        Some(zero) if !zero.contains(|c: char| ('1'..='9').contains(&c)) => zero.to_owned(),
        _ => text,
    }
}

/// `4 min 10 s` below an hour, `8 h 30 min` from there on.
fn clock(si: f64, extra: usize) -> String {
    let sign = if si < 0.0 { "-" } else { "" };
    let seconds = si.abs();
    if seconds.round() < 3600.0 {
        format!("{sign}{}", two_units(seconds, "min", "s", extra))
    } else {
        format!("{sign}{}", two_units(seconds / 60.0, "h", "min", extra))
    }
}

fn two_units(size: f64, larger: &str, smaller: &str, extra: usize) -> String {
    let ticks_per_unit = if extra == 0 { 1.0 } else { 10f64.powi(extra as i32) };
    let ticks = (size * ticks_per_unit).round();
    let whole = (ticks / (60.0 * ticks_per_unit)).floor();
    let rest = (ticks - whole * 60.0 * ticks_per_unit) / ticks_per_unit;
    if rest == 0.0 && extra == 0 {
        format!("{whole} {larger}")
    } else {
        format!("{whole} {larger} {rest:.extra$} {smaller}")
    }
}

#[cfg(test)]
mod tests {
    use super::Units::{Both, Metric, Shop};
    use crate::{
        Conductivity, Duration, Energy, FilmCoefficient, Fraction, HeatFlux, Length, Mass, Power, Speed, Temperature,
        TemperatureDifference, VolumeFlow,
    };

    fn temperature(text: &str) -> Temperature {
        text.parse().expect(text)
    }

    fn seconds(number: f64, extra: bool) -> String {
        let duration = Duration::from_si(number);
        match extra {
            true => duration.show_precise(Metric),
            false => duration.show(Metric),
        }
    }

    #[test]
    fn a_temperature_prints_in_both_systems() {
        let hot = temperature("400 F");
        assert_eq!(hot.show(Metric), "204 C");
        assert_eq!(hot.show(Shop), "400 F");
        assert_eq!(hot.show(Both), "204 C (400 F)");
        assert_eq!(hot.show_precise(Both), "204.4 C (400.0 F)");
    }

    #[test]
    fn zero_is_never_negative() {
        assert_eq!(Temperature::from_celsius(-0.2).show(Metric), "0 C");
        assert_eq!(Temperature::from_celsius(-0.04).show_precise(Metric), "0.0 C");
        assert_eq!(Length::from_si(-0.0).show(Both), "0 mm (0 in)");
        assert_eq!(Temperature::from_celsius(-0.6).show(Metric), "-1 C");
    }

    #[test]
    fn a_length_takes_the_unit_of_its_size() {
        let show = |metres: f64| Length::from_si(metres).show(Both);
        assert_eq!(show(25e-6), "25 um (0.001 in)");
        assert_eq!(show(0.003_175), "3.2 mm (0.125 in)");
        assert_eq!(show(0.2032), "203 mm (8.00 in)");
        assert_eq!(show(0.3175), "318 mm (12.5 in)");
        assert_eq!(show(1.2), "1.20 m (47.2 in)");
        assert_eq!(show(4.572), "4.57 m (15.0 ft)");
    }

    #[test]
    fn a_duration_reads_as_a_clock_from_two_minutes() {
        assert_eq!(seconds(12.68, false), "12.7 s");
        assert_eq!(seconds(90.0, false), "90.0 s");
        assert_eq!(seconds(250.0, false), "4 min 10 s");
        assert_eq!(seconds(240.2, false), "4 min");
        assert_eq!(seconds(250.26, true), "4 min 10.3 s");
        assert_eq!(seconds(3599.7, false), "1 h");
        assert_eq!(seconds(30_600.0, false), "8 h 30 min");
        assert_eq!(seconds(-250.0, false), "-4 min 10 s");
        assert_eq!(Duration::from_si(250.0).show(Both), "4 min 10 s");
    }

    #[test]
    fn other_quantities_take_sensible_digits() {
        assert_eq!(TemperatureDifference::from_si(10.0).show(Both), "10 K (18 F)");
        assert_eq!(Mass::from_si(2304.0).show(Both), "2304 kg (5079 lb)");
        assert_eq!(Power::from_si(2637.0).show(Both), "2.64 kW (8998 Btu/h)");
        assert_eq!(Energy::from_si(1.5e6).show(Both), "1.50 MJ (1422 Btu)");
        assert_eq!(Fraction::from_si(0.3).show(Both), "30 %");
        assert_eq!(Conductivity::from_si(30.0).show(Both), "30.0 W/mK (17.3 Btu/h.ft.F)");
        assert_eq!(FilmCoefficient::from_si(8.0).show(Metric), "8.00 W/m2K");
        assert_eq!(HeatFlux::from_si(2.5e5).show(Metric), "250 kW/m2");
        assert_eq!(Speed::from_si(0.003).show(Both), "3.00 mm/s (7.09 in/min)");
        assert_eq!(VolumeFlow::from_si(6.686e-5).show(Both), "241 L/h (8.50 ft3/h)");
    }

    #[test]
    fn sizes_beyond_reason_stay_short() {
        assert_eq!(Mass::from_si(1e300).show(Metric), "1.000e297 t");
        assert_eq!(Length::from_si(f64::NAN).show(Metric), "NaN mm");
    }

    #[test]
    fn an_axis_converts_all_its_values_with_one_unit() {
        let axis = temperature("500 F").axis(Shop);
        assert_eq!(axis.unit(), "F");
        assert!((axis.number(100.0) - 212.0).abs() < 1e-9);
        assert!((axis.to_si(212.0) - 100.0).abs() < 1e-9);
        let axis = Duration::from_si(1800.0).axis(Both);
        assert_eq!((axis.unit(), axis.number(90.0)), ("min", 1.5));
        assert_eq!(Length::from_si(0.3).axis(Both).unit(), "mm");
    }
}
