//! Gauss-Legendre integration over short panels.

/// Positive abscissae and weights of the 16-point Gauss-Legendre rule on [-1, 1].
const GAUSS: [(f64, f64); 8] = [
    (0.095_012_509_837_637_44, 0.189_450_610_455_068_5),
    (0.281_603_550_779_258_9, 0.182_603_415_044_923_58),
    (0.458_016_777_657_227_37, 0.169_156_519_395_002_54),
    (0.617_876_244_402_643_8, 0.149_595_988_816_576_74),
    (0.755_404_408_355_003, 0.124_628_971_255_533_88),
    (0.865_631_202_387_831_8, 0.095_158_511_682_492_79),
    (0.944_575_023_073_232_6, 0.062_253_523_938_647_894),
    (0.989_400_934_991_649_9, 0.027_152_459_411_754_096),
];

/// Longest panel. The integrands of this crate have their nearest singularity half a turn of a
/// right angle off the axis, so 16 points on this length are good for 12 digits.
const LONGEST_PANEL: f64 = 1.5;
/// Enough panels for a peak as narrow as a rounding error; a bound for bad input.
const MOST_PANELS: f64 = 128.0;

/// Integral of `f` from `start` to `end` over equal panels.
pub(crate) fn integrate(start: f64, end: f64, f: impl Fn(f64) -> f64) -> f64 {
    let panels = ((end - start).abs() / LONGEST_PANEL).ceil().clamp(1.0, MOST_PANELS);
    let half = 0.5 * (end - start) / panels;
    let mut sum = 0.0;
    for panel in 0..panels as usize {
        let middle = start + half * (2 * panel + 1) as f64;
        for (abscissa, weight) in GAUSS {
            let offset = half * abscissa;
            sum += weight * (f(middle - offset) + f(middle + offset));
        }
    }
    half * sum
}

/// Integral of an `f` that changes over `width` around zero and slowly elsewhere.
///
/// `x = width sinh u` spreads the peak and turns a near pole at `± i width` into one at a fixed
/// distance, so the panels converge at the same rate for every width.
pub(crate) fn integrate_peaked(width: f64, start: f64, end: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (first, last) = (libm::asinh(start / width), libm::asinh(end / width));
    integrate(first, last, |u| f(width * libm::sinh(u)) * width * libm::cosh(u))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn one_panel_integrates_a_polynomial_of_degree_31_exactly() {
        let power = integrate(0.0, 1.0, |x| x.powi(31));
        assert_relative_eq!(power, 1.0 / 32.0, max_relative = 1e-14);
    }

    #[test]
    fn a_peak_a_billionth_wide_is_integrated_like_a_broad_one() {
        for width in [1.0, 1e-3, 1e-9] {
            let area = integrate_peaked(width, -1.0, 2.0, |x| width / (x * x + width * width));
            let exact = (1.0 / width).atan() + (2.0 / width).atan();
            assert_relative_eq!(area, exact, max_relative = 1e-11);
        }
    }

    #[test]
    fn an_infinite_range_ends_instead_of_running_for_ever() {
        assert!(!integrate(0.0, f64::INFINITY, |x| x).is_finite());
    }
}
