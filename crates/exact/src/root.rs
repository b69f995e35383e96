//! Bracketing and bisection on curves that fall.

/// Halvings after which no bracket of doubles can shrink further in any case met here.
const MOST_HALVINGS: usize = 200;
/// Width of the bracket, relative to its upper end, at which bisection stops.
const RELATIVE_WIDTH: f64 = 1e-14;

/// The argument in `[low, high]` where a falling `curve` meets `level`.
///
/// Bisection and nothing faster: a curve costs microseconds, and bisection cannot fail.
pub(crate) fn where_falling_curve_meets(level: f64, mut low: f64, mut high: f64, curve: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..MOST_HALVINGS {
        let middle = 0.5 * (low + high);
        if curve(middle) > level {
            low = middle;
        } else {
            high = middle;
        }
        if high - low <= RELATIVE_WIDTH * high {
            break;
        }
    }
    0.5 * (low + high)
}

/// The first argument above zero where a curve that starts above `level` falls to it.
///
/// `None` if it does not start above; infinity if it never comes down. The curve may rise before
/// it falls, but crosses `level` once. `first_step` starts the search, which doubles it.
pub(crate) fn first_fall_below(level: f64, first_step: f64, curve: impl Fn(f64) -> f64) -> Option<f64> {
    let starts_above = curve(0.0) > level;
    if !starts_above {
        return None;
    }
    let (mut low, mut high) = (0.0, first_step.max(f64::MIN_POSITIVE));
    while curve(high) > level {
        (low, high) = (high, 2.0 * high);
        if !high.is_finite() {
            return Some(f64::INFINITY);
        }
    }
    Some(where_falling_curve_meets(level, low, high, curve))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_decaying_curve_is_met_where_it_should_be() {
        let time = first_fall_below(0.25, 1e-3, |t| (-t).exp()).unwrap();
        assert_relative_eq!(time, 4f64.ln(), max_relative = 1e-12);
    }

    #[test]
    fn a_curve_that_rises_first_is_followed_over_its_top() {
        let time = first_fall_below(1.0, 1e-3, |t| 2.0 + t - t * t).unwrap();
        assert_relative_eq!(time, 0.5 + 1.25f64.sqrt(), max_relative = 1e-12);
    }

    #[test]
    fn a_curve_below_or_for_ever_above_says_so() {
        assert_eq!(first_fall_below(1.0, 1.0, |_| 0.5), None);
        assert_eq!(first_fall_below(1.0, 1.0, |_| f64::NAN), None);
        assert_eq!(first_fall_below(1.0, 1.0, |_| 2.0), Some(f64::INFINITY));
    }
}
