//! Reference values by refinement: spacing h, h/2, h/4, extrapolated, with the order that was observed.

use crate::yardstick::{Reading, Row};

/// Differences below this are rounding and solver tolerance, K or s: no order is read from them.
const SETTLED: f64 = 2e-4;

/// An extrapolated value with its uncertainty and observed order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Refined {
    /// Extrapolated value.
    pub value: f64,
    /// What the observed and the second order disagree by, and a tenth of the last correction.
    pub uncertainty: f64,
    /// Observed order `log2 R`, where it can be read.
    pub order: Option<f64>,
}

/// Extrapolates values on spacing h, h/2 and h/4.
///
/// Equation: `f + (f - m)/(2^p - 1)`, `p = log2 R`, `R = (m - c)/(f - m)`.
/// Symbols: `c`, `m`, `f` values on the three grids, coarse first; `p` order.
/// Valid where the differences shrink regularly: `R` is held between 2 and 8 (order 1 to 3), and the second order is
/// taken where a difference is below rounding or changes sign; the uncertainty then covers the difference.
/// Source: Richardson's extrapolation, elementary.
pub fn refined([coarse, middle, fine]: [f64; 3]) -> Refined {
    let (near, far) = (fine - middle, middle - coarse);
    let second_order = near / 3.0;
    let ratio = far / near;
    let regular = near.abs() > SETTLED && ratio > 1.0;
    let correction = if regular { near / (ratio.clamp(2.0, 8.0) - 1.0) } else { second_order };
    let doubt = if regular { (correction - second_order).abs() } else { near.abs() };
    Refined {
        value: fine + correction,
        uncertainty: doubt + 0.1 * correction.abs(),
        order: regular.then(|| ratio.log2()),
    }
}

/// Reference rows from the readings on three grids, coarse first, and on the second method if it has been run.
pub fn rows(grids: &[Vec<Reading>; 3], second: &[Reading]) -> Vec<Row> {
    let row = |n: usize| {
        let values = [0, 1, 2].map(|grid| grids[grid][n].value);
        let observable = grids[0][n].observable.clone();
        let other = second.iter().find(|reading| reading.observable == observable).and_then(|reading| reading.value);
        let found = match values {
            [Some(a), Some(b), Some(c)] => Some(refined([a, b, c])),
            _ => None,
        };
        Row {
            observable,
            value: found.map(|f| f.value),
            uncertainty: found.map_or(0.0, |f| f.uncertainty),
            order: found.and_then(|f| f.order),
            grids: values,
            second: other,
        }
    };
    (0..grids[0].len()).map(row).collect()
}

/// Readings on two grids of a second-order method, the finer one `ratio` times as fine, extrapolated.
pub fn pair(coarse: Vec<Reading>, fine: Vec<Reading>, ratio: f64) -> Vec<Reading> {
    let share = 1.0 / (ratio * ratio - 1.0);
    let one = |(coarse, fine): (Reading, Reading)| {
        let value = fine.value.zip(coarse.value).map(|(fine, coarse)| fine + share * (fine - coarse));
        Reading { value, ..fine }
    };
    coarse.into_iter().zip(fine).map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_of_second_order_give_their_limit_and_their_order() {
        let value = |h: f64| 150.0 + 3.0 * h * h;
        let found = refined([value(0.4), value(0.2), value(0.1)]);
        assert!((found.value - 150.0).abs() < 1e-10 && (found.order.unwrap() - 2.0).abs() < 1e-9);
    }

    #[test]
    fn values_that_wander_are_given_a_wide_uncertainty() {
        let found = refined([150.0, 150.3, 150.1]);
        assert!(found.order.is_none() && found.uncertainty >= 0.2);
    }
}
