//! Shares of a variance that go with one input alone, with error bars.
//!
//! The share of an input is that of Sobol': the part of the variance that would be gone, on the average, if this input
//! alone were known. It is the variance of the mean answer over this input, which is written as a sum of Legendre
//! polynomials on the range; all inputs are fitted at once by least squares. Whatever the samples' scatter adds to the
//! square of each coefficient is taken off again.

/// Highest order of the polynomials of one input.
const HIGHEST: usize = 8;
/// Lowest order that tells an input which first helps and then hurts.
const LOWEST: usize = 5;
/// Samples for each coefficient.
const SAMPLES_EACH: usize = 4;
/// A variance below this share of the square of the mean is rounding.
const ROUNDING: f64 = 1e-18;

/// The variance of an answer, taken apart.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Parts {
    /// Share and its error bar (two standard deviations) of each input alone; a share near 0 may come out a little below.
    pub alone: Vec<[f64; 2]>,
    /// What is left: several inputs together, and what no polynomial of the order follows. With all of `alone` it is 1.
    pub together: f64,
}

/// Samples from which shares can be told.
pub(super) fn least_samples(inputs: usize) -> usize {
    SAMPLES_EACH * (1 + LOWEST * inputs)
}

/// Takes the variance of `values` at `points` of the unit cube apart; `None` where there are too few samples or no
/// variance.
pub(super) fn parts(points: &[Vec<f64>], values: &[f64]) -> Option<Parts> {
    let inputs = points.first()?.len();
    if points.len() < least_samples(inputs) {
        return None;
    }
    let order = HIGHEST.min((points.len() / SAMPLES_EACH - 1) / inputs);
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let whole: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
    if whole <= ROUNDING * mean * mean * values.len() as f64 || whole <= f64::MIN_POSITIVE {
        return None;
    }
    let fit = Fit::of(points, values, order)?;
    let input = |n: usize| {
        let own = 1 + n * order..1 + (n + 1) * order;
        own.fold([0.0; 2], |[share, doubt], k| {
            let (square, noise) = (fit.coefficients[k] * fit.coefficients[k], fit.scatter * fit.spread[k]);
            [share + square - noise, doubt + 4.0 * square * noise + 2.0 * noise * noise]
        })
    };
    let alone: Vec<[f64; 2]> = (0..inputs).map(input).collect();
    let whole = alone.iter().map(|part| part[0]).sum::<f64>() + fit.scatter;
    let shares = alone.iter().map(|[part, doubt]| [part / whole, 2.0 * doubt.sqrt() / whole]).collect();
    Some(Parts { alone: shares, together: fit.scatter / whole })
}

/// Least squares on the constant and the polynomials of all inputs.
struct Fit {
    coefficients: Vec<f64>,
    /// Variance of each coefficient over the scatter.
    spread: Vec<f64>,
    /// Variance of what is left.
    scatter: f64,
}

impl Fit {
    fn of(points: &[Vec<f64>], values: &[f64], order: usize) -> Option<Fit> {
        let row = |point: &Vec<f64>| -> Vec<f64> {
            std::iter::once(1.0).chain(point.iter().flat_map(|&u| legendre(u, order))).collect()
        };
        let rows: Vec<Vec<f64>> = points.iter().map(row).collect();
        let size = rows.first()?.len();
        let (mut matrix, mut right) = (vec![vec![0.0; size]; size], vec![0.0; size]);
        for (row, value) in rows.iter().zip(values) {
            for i in 0..size {
                right[i] += row[i] * value;
                (0..=i).for_each(|j| matrix[i][j] += row[i] * row[j]);
            }
        }
        let lower = factored(matrix)?;
        let coefficients = solved(&lower, &right);
        let unit = |k: usize| -> Vec<f64> { (0..size).map(|i| if i == k { 1.0 } else { 0.0 }).collect() };
        let spread = (0..size).map(|k| solved(&lower, &unit(k))[k]).collect();
        let left = rows.iter().zip(values).map(|(row, value)| {
            let fitted: f64 = row.iter().zip(&coefficients).map(|(a, b)| a * b).sum();
            (value - fitted) * (value - fitted)
        });
        let scatter = left.sum::<f64>() / (rows.len() - size) as f64;
        Some(Fit { coefficients, spread, scatter })
    }
}

/// The lower factor of a symmetric matrix that is given by its lower half (Cholesky).
fn factored(mut matrix: Vec<Vec<f64>>) -> Option<Vec<Vec<f64>>> {
    for i in 0..matrix.len() {
        for j in 0..=i {
            let sum = matrix[i][j] - (0..j).map(|k| matrix[i][k] * matrix[j][k]).sum::<f64>();
            if i == j && sum <= 0.0 {
                return None;
            }
            matrix[i][j] = if i == j { sum.sqrt() } else { sum / matrix[j][j] };
        }
    }
    Some(matrix)
}

fn solved(lower: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
    let size = lower.len();
    let mut x = right.to_vec();
    for i in 0..size {
        x[i] = (x[i] - (0..i).map(|k| lower[i][k] * x[k]).sum::<f64>()) / lower[i][i];
    }
    for i in (0..size).rev() {
        x[i] = (x[i] - (i + 1..size).map(|k| lower[k][i] * x[k]).sum::<f64>()) / lower[i][i];
    }
    x
}

/// Legendre polynomials of first to highest order on 0 to 1, each of variance 1.
fn legendre(u: f64, order: usize) -> impl Iterator<Item = f64> {
    let x = 2.0 * u - 1.0;
    let (mut before, mut now) = (1.0, x);
    (1..=order).map(move |n| {
        let value = (2.0 * n as f64 + 1.0).sqrt() * now;
        let next = ((2 * n + 1) as f64 * x * now - n as f64 * before) / (n + 1) as f64;
        (before, now) = (now, next);
        value
    })
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::super::sobol::points;
    use super::*;

    /// Every share lies within its error bar of the exact one in all but a few of many draws, and on the average hits it.
    fn hits(of: fn(&[f64]) -> f64, exact: &[f64], samples: usize) {
        const DRAWS: u64 = 20;
        let (mut outside, mut means) = (0, vec![0.0; exact.len()]);
        for seed in 0..DRAWS {
            let points = points(samples, exact.len(), seed);
            let values: Vec<f64> = points.iter().map(|point| of(point)).collect();
            let parts = parts(&points, &values).unwrap();
            let sum = parts.alone.iter().map(|part| part[0]).sum::<f64>() + parts.together;
            assert!((sum - 1.0).abs() < 1e-9 && parts.together >= 0.0, "{parts:?}");
            for ((mean, [share, bar]), exact) in means.iter_mut().zip(&parts.alone).zip(exact) {
                assert!(*bar < 0.16, "{parts:?}");
                *mean += share / DRAWS as f64;
                outside += usize::from((share - exact).abs() > *bar + 1e-9);
            }
        }
        assert!(outside <= exact.len(), "{outside} of {} outside their bars", DRAWS as usize * exact.len());
        for (mean, exact) in means.iter().zip(exact) {
            assert!((mean - exact).abs() < 0.02, "{means:?} for {exact}");
        }
    }

    /// Function of Ishigami and Homma, `sin x1 + 7 sin2 x2 + 0.1 x3^4 sin x1` over -pi to pi, with its variances in
    /// closed form. Source: Ishigami and Homma (`memory`).
    #[test]
    fn shares_of_the_function_of_ishigami_and_homma_are_found() {
        const A: f64 = 7.0;
        const B: f64 = 0.1;
        let of = |u: &[f64]| {
            let [x, y, z] = [0, 1, 2].map(|n| PI * (2.0 * u[n] - 1.0));
            x.sin() + A * y.sin() * y.sin() + B * z.powi(4) * x.sin()
        };
        let first = 0.5 * (1.0 + B * PI.powi(4) / 5.0).powi(2);
        let second = A * A / 8.0;
        let together = B * B * PI.powi(8) * (1.0 / 18.0 - 1.0 / 50.0);
        let whole = first + second + together;
        hits(of, &[first / whole, second / whole, 0.0], 256);
    }

    const G: [f64; 6] = [0.0, 1.0, 4.5, 9.0, 99.0, 99.0];

    /// The g-function of Sobol', the product of `(|4 u - 2| + a) / (1 + a)`: variances `1 / 3 (1 + a)^2` alone. Source:
    /// Sobol' (`memory`).
    #[test]
    fn shares_of_the_g_function_are_found_at_256_samples_and_with_the_fewest() {
        let of = |u: &[f64]| G.iter().zip(u).map(|(a, u)| ((4.0 * u - 2.0).abs() + a) / (1.0 + a)).product();
        let alone = G.map(|a| 1.0 / (3.0 * (1.0 + a) * (1.0 + a)));
        let whole = alone.iter().map(|v| 1.0 + v).product::<f64>() - 1.0;
        hits(of, &alone.map(|v| v / whole), 256);
        hits(of, &alone.map(|v| v / whole), least_samples(G.len()));
    }

    #[test]
    fn an_input_that_does_nothing_gets_nothing_but_its_bar() {
        hits(|u| 3.0 * u[0] + u[1] * u[1], &[0.75 / (0.75 + 4.0 / 45.0), 4.0 / 45.0 / (0.75 + 4.0 / 45.0), 0.0], 128);
    }

    #[test]
    fn nothing_is_told_from_too_few_samples_or_of_an_answer_that_does_not_vary() {
        let few = points(least_samples(6) - 1, 6, 1);
        assert_eq!(parts(&few, &few.iter().map(|p| p[0]).collect::<Vec<_>>()), None);
        assert_eq!(parts(&few[..16], &few[..16].iter().map(|p| p[0]).collect::<Vec<_>>()), None);
        let enough = points(256, 6, 1);
        assert_eq!(parts(&enough, &[57.3; 256]), None);
        assert_eq!(parts(&enough, &[0.0; 256]), None);
    }
}
