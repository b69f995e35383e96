//! Decay of the middle of a disc after an endless soak.

use crate::root;
use crate::special::ierfc;

/// Share of the peak rise left in the middle of a disc at a Fourier number after switch-off.
///
/// Equation: `θ = 1 - 2√F [1/√π - ierfc(1/(2√F))]`.
/// Symbols: `θ` rise over the rise at switch-off, without unit; `F = α t/a²`, with `α` diffusivity m²/s,
/// `t` time after switch-off s, `a` radius of the disc m.
/// Valid for a massive body heated at constant flux until steady, without losses; 1 for `F` of
/// zero or less.
/// Source: P5 (`computed`).
#[must_use]
pub fn fraction_left(fourier: f64) -> f64 {
    if fourier <= 0.0 {
        return 1.0;
    }
    let root = fourier.sqrt();
    1.0 - 2.0 * root * (ierfc(0.0) - ierfc(0.5 / root))
}

/// Fourier number after switch-off at which a share of the peak rise is left.
///
/// Equation: the inverse of [`fraction_left`]. The short form `(π/4) (1 - θ)²` is low by 4 % at 0.62
/// and 19 % at 0.47, so it is not used.
/// Symbols: as in [`fraction_left`].
/// Valid for a share in (0, 1]; NaN outside. Below about 1e-6 the digits of `θ` run out.
/// Source: P5 (`computed`).
#[must_use]
pub fn fourier_number(fraction_left: f64) -> f64 {
    if fraction_left == 1.0 {
        return 0.0;
    }
    if !(fraction_left > 0.0 && fraction_left < 1.0) {
        return f64::NAN;
    }
    let start = 0.01;
    root::first_fall_below(fraction_left, start, self::fraction_left).unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_two_directions_undo_each_other() {
        for fraction in [0.999, 0.9, 0.7, 0.3, 0.01] {
            let fourier = fourier_number(fraction);
            assert_relative_eq!(fraction_left(fourier), fraction, max_relative = 1e-10);
        }
    }

    #[test]
    fn shares_that_cannot_be_are_not_a_number() {
        assert_eq!(fourier_number(1.0), 0.0);
        for impossible in [0.0, -0.1, 1.1, f64::NAN] {
            assert!(fourier_number(impossible).is_nan());
        }
    }

    #[test]
    fn the_short_form_is_low_by_the_stated_share() {
        // N2 (computed): percent by which (π/4)(1 - θ)² falls short.
        for (fraction, percent) in [(0.70, 0.6), (0.62, 3.6), (0.54, 10.0), (0.47, 19.0)] {
            let gap: f64 = 1.0 - fraction;
            let short = std::f64::consts::FRAC_PI_4 * gap * gap;
            let low_by = 100.0 * (1.0 - short / fourier_number(fraction));
            assert!((low_by - percent).abs() < 0.6, "{fraction}: {low_by} %");
        }
    }
}
