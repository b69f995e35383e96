//! Where ticks fall.

use quantity::Axis;

/// Round numbers (1, 2 or 5 times a power of ten apart) within `low..=high`, at most `most` of them.
///
/// Empty where the range is empty or not finite.
pub(super) fn ticks(low: f64, high: f64, most: usize) -> Vec<f64> {
    if !(high - low).is_finite() || high <= low || most < 1 {
        return Vec::new();
    }
    let step = round_step((high - low) / most as f64);
    let first = (low / step).ceil() as i64;
    let last = (high / step).floor() as i64;
    (first..=last).map(|index| index as f64 * step).collect()
}

/// The least of 1, 2, 5, 10, ... times a power of ten that is not below `rough`.
fn round_step(rough: f64) -> f64 {
    let power = 10f64.powf(rough.log10().floor());
    let factor = [1.0, 2.0, 5.0].into_iter().find(|factor| factor * power >= rough * (1.0 - 1e-9));
    factor.unwrap_or(10.0) * power
}

/// The same with their texts.
pub(super) fn ticks_with_text(low: f64, high: f64, most: usize) -> Vec<(f64, String)> {
    let ticks = ticks(low, high, most);
    let spacing = ticks.get(1).map_or(1.0, |second| second - ticks[0]);
    ticks.into_iter().map(|tick| (tick, tick_text(tick, spacing))).collect()
}

/// Texts with their unit, and where they lie, in SI units as the range.
pub(super) fn ticks_with_unit(axis: &Axis, (low, high): (f64, f64), most: usize) -> Vec<(String, f64)> {
    let ticks = ticks_with_text(axis.number(low), axis.number(high), most);
    ticks.into_iter().map(|(tick, text)| (format!("{text} {}", axis.unit()), axis.to_si(tick))).collect()
}

/// A tick as text, with the decimals that its spacing needs.
pub(super) fn tick_text(tick: f64, spacing: f64) -> String {
    let decimals = (-spacing.log10().floor()).clamp(0.0, 9.0) as usize;
    let text = format!("{tick:.decimals$}");
    if tick == 0.0 { text.trim_start_matches('-').to_owned() } else { text }
}

/// The unit in which a run of this length is read: label and seconds.
pub(super) fn time_unit(span_s: f64) -> (&'static str, f64) {
    const MOST_SECONDS: f64 = 180.0;
    const MOST_MINUTES: f64 = 180.0 * 60.0;
    if span_s <= MOST_SECONDS {
        ("s", 1.0)
    } else if span_s <= MOST_MINUTES {
        ("min", 60.0)
    } else {
        ("h", 3600.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_few_and_inside() {
        assert_eq!(ticks(18.0, 312.0, 6), [50.0, 100.0, 150.0, 200.0, 250.0, 300.0]);
        assert_eq!(ticks(-0.1, 0.1, 4), [-0.1, -0.05, 0.0, 0.05, 0.1]);
        assert!(ticks(0.0, 1e-30, 8).len() <= 9);
    }

    #[test]
    fn an_empty_or_endless_range_has_no_ticks() {
        assert!(ticks(1.0, 1.0, 5).is_empty());
        assert!(ticks(0.0, f64::INFINITY, 5).is_empty());
        assert!(ticks(f64::NAN, 1.0, 5).is_empty());
    }

    #[test]
    fn ticks_show_as_many_decimals_as_their_spacing_needs() {
        assert_eq!(tick_text(0.15, 0.05), "0.15");
        assert_eq!(tick_text(-0.0, 20.0), "0");
        assert_eq!(tick_text(40.0, 20.0), "40");
    }

    #[test]
    fn a_run_is_read_in_seconds_minutes_or_hours() {
        assert_eq!(time_unit(90.0).0, "s");
        assert_eq!(time_unit(1800.0).0, "min");
        assert_eq!(time_unit(40_000.0).0, "h");
    }
}
