//! Error functions, scaled and integrated so that no argument overflows.

use crate::root;

/// Two over the square root of pi.
pub const TWO_OVER_SQRT_PI: f64 = std::f64::consts::FRAC_2_SQRT_PI;

/// From here the asymptotic series of [`erfcx`] is exact to the last digit.
const ASYMPTOTIC_FROM: f64 = 20.0;

/// Error function.
///
/// `erf x = 2/√π ∫₀ˣ exp(-u²) du`, `x` without unit. All real `x`. Source: definition; `libm`.
#[must_use]
pub fn erf(x: f64) -> f64 {
    libm::erf(x)
}

/// Complementary error function.
///
/// `erfc x = 1 - erf x`, `x` without unit. All real `x`; underflows to zero above 26.6.
/// Source: definition; `libm`.
#[must_use]
pub fn erfc(x: f64) -> f64 {
    libm::erfc(x)
}

/// Scaled complementary error function.
///
/// `erfcx x = exp(x²) erfc x`, `x` without unit. Finite and accurate for every `x` above -26.6,
/// where it begins to overflow to infinity. Source: definition, with the asymptotic series
/// `1/(x√π) (1 - 1/2x² + 3/4x⁴ - …)` where the plain product would lose digits or overflow.
#[must_use]
pub fn erfcx(x: f64) -> f64 {
    if x < ASYMPTOTIC_FROM {
        return libm::exp(x * x) * erfc(x);
    }
    let half = 0.5 / (x * x);
    let odd = [13.0, 11.0, 9.0, 7.0, 5.0, 3.0, 1.0];
    let series = odd.iter().fold(1.0, |inner, factor| 1.0 - factor * half * inner);
    0.5 * TWO_OVER_SQRT_PI * series / x
}

/// First integral of the complementary error function.
///
/// `ierfc x = ∫ₓ^∞ erfc u du = exp(-x²)/√π - x erfc x`, `x` without unit. All real `x`; the
/// absolute error stays below 1e-16 for positive `x`. Source: P1.
#[must_use]
pub fn ierfc(x: f64) -> f64 {
    0.5 * TWO_OVER_SQRT_PI * libm::exp(-x * x) - x * erfc(x)
}

/// Inverse of the complementary error function on its falling half.
///
/// The `x ≥ 0` with `erfc x = y`, both without unit. `y` in (0, 1]; anything else gives NaN.
/// Source: definition, by bisection.
#[must_use]
pub fn erfc_inverse(y: f64) -> f64 {
    if y > 0.0 && y < 1.0 {
        root::where_falling_curve_meets(y, 0.0, 27.0, erfc)
    } else if y == 1.0 {
        0.0
    } else {
        f64::NAN
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn scaled_function_meets_its_series_without_a_step() {
        let below = erfcx(ASYMPTOTIC_FROM * (1.0 - 1e-15));
        assert_relative_eq!(below, erfcx(ASYMPTOTIC_FROM), max_relative = 2e-13);
    }

    #[test]
    fn scaled_function_is_the_product_and_stays_finite_where_the_product_overflows() {
        // Digits computed with 30-digit arithmetic.
        assert_relative_eq!(erfcx(0.0), 1.0);
        assert_relative_eq!(erfcx(1.0), 0.427_583_576_155_807, max_relative = 1e-14);
        assert_relative_eq!(erfcx(10.0), 0.056_140_992_743_822_59, max_relative = 1e-13);
        assert_relative_eq!(erfcx(30.0), 0.018_795_888_861_416_75, max_relative = 1e-14);
        assert_relative_eq!(erfcx(1e8), 0.5 * TWO_OVER_SQRT_PI / 1e8, max_relative = 1e-14);
    }

    #[test]
    fn integral_of_erfc_has_erfc_as_its_falling_slope() {
        for x in [-2.0, 0.0, 0.3, 1.0, 2.5] {
            let step = 1e-5;
            let slope = (ierfc(x + step) - ierfc(x - step)) / (2.0 * step);
            assert_relative_eq!(-slope, erfc(x), max_relative = 1e-6);
        }
    }

    #[test]
    fn inverse_undoes_the_complementary_error_function() {
        for x in [1e-3, 0.1, 0.5, 1.0, 3.0, 10.0] {
            assert_relative_eq!(erfc_inverse(erfc(x)), x, max_relative = 1e-12);
        }
        assert!(erfc_inverse(0.0).is_nan() && erfc_inverse(1.5).is_nan());
    }
}
