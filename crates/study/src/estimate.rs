//! Least squares with prior ranges: the algebra of a fit, on the answers of a few engine runs.
//!
//! What it is: the share `s` of the torch (as a factor on its stated value) and the inputs `m` that are known only within
//! a range, from readings `y`.
//!
//! Equation: minimise `sum ((y - T(ln s, ln m, e)) / noise)^2 + sum ((ln m - middle) / spread)^2 + (e / 0.5)^2`, by Gauss
//! and Newton. `T` is the quadratic through the runs at three shares, plus what each input does at its ends, which
//! grows with the share, plus `e` times the numerical error bar.
//!
//! Symbols: `noise` standard deviation of a reading, K; `middle`, `spread` of a flat distribution over the stated range:
//! its mean, and its width over the root of twelve; `e` the numerical error over its bar, taken as two deviations.
//!
//! Valid while the answer is nearly straight in the logarithms, as conduction is; the share itself is flat between the
//! ends of its stated range, and the band is cut there, unless the readings say that it lies outside.
//!
//! Source: elementary (linear Gaussian inference, Gauss-Newton).

use exact::special::erfc;

use crate::Lever;

/// Two-sided 95 % of a normal distribution, in standard deviations.
pub(crate) const NORMAL_95: f64 = 1.959_964;
/// Standard deviations in a numerical error bar.
const DEVIATIONS_IN_A_BAR: f64 = 2.0;
const STEPS: usize = 12;

/// What an input does to the readings at the ends of its range.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Sway {
    /// Which input.
    pub lever: Lever,
    /// Factors at its ends.
    pub ends: [f64; 2],
    /// What each end changes at each reading, K.
    pub change_k: [Vec<f64>; 2],
}

/// What the engine answers at the readings, for the algebra.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Response {
    /// Shares tried, as factors on the stated one, and what each reading then is, Celsius; one to three, all different.
    pub shares: Vec<(f64, Vec<f64>)>,
    /// The share at which inputs were swayed and the finer grids ran.
    pub at: f64,
    /// Finer grids less this one, K.
    pub finer_k: Vec<f64>,
    /// Numerical error bars, K.
    pub bar_k: Vec<f64>,
    /// The inputs.
    pub sways: Vec<Sway>,
}

/// The share with its doubt, as logarithms of factors.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Estimate {
    /// With every other input as stated.
    pub as_stated: f64,
    /// With every other input within its range.
    pub mean: f64,
    /// Standard deviation of that.
    pub deviation: f64,
    /// The deviation that would be left if one thing were known exactly: the readings, each input, the numerics.
    pub without: Vec<f64>,
    /// What the model then reads, Celsius, the inputs at their best values.
    pub best_c: Vec<f64>,
}

impl Response {
    /// What the readings are at a share, with the inputs and the numerical error moved, Celsius.
    fn temperatures(&self, ln_share: f64, moved: &[f64]) -> Vec<f64> {
        let share = ln_share.exp();
        let grown = share / self.at;
        let numerical = moved.last().copied().unwrap_or(0.0);
        let one = |n: usize| {
            let swayed: f64 = self.sways.iter().zip(moved).map(|(sway, ln)| sway.at(n, *ln)).sum();
            self.base(n, share) + grown * (self.finer_k[n] + swayed) + numerical * self.bar_k[n]
        };
        (0..self.bar_k.len()).map(one).collect()
    }

    /// The polynomial through the shares tried.
    fn base(&self, reading: usize, share: f64) -> f64 {
        let weight = |(n, (at, _)): (usize, &(f64, Vec<f64>))| {
            let others = self.shares.iter().enumerate().filter(|(m, _)| *m != n);
            others.map(|(_, (other, _))| (share - other) / (at - other)).product::<f64>()
        };
        self.shares.iter().enumerate().map(|one| weight(one) * one.1.1[reading]).sum()
    }

    /// What the readings are with every input as stated.
    pub fn as_stated(&self, ln_share: f64) -> Vec<f64> {
        self.temperatures(ln_share, &vec![0.0; self.sways.len() + 1])
    }

    /// Finds the share from the readings, Celsius, with their noise, K.
    pub fn estimate(&self, readings: &[f64], noise_k: f64) -> Estimate {
        let unknowns = self.sways.len() + 2;
        let priors = self.priors();
        let all = vec![true; unknowns];
        let mut alone = vec![false; unknowns];
        alone[0] = true;
        let fitted = self.search(readings, noise_k, &priors, &all);
        let as_stated = self.search(readings, noise_k, &priors, &alone).0[0];
        let deviation_of = |free: &[bool], noise_k: f64| {
            let (slopes, _) = self.slopes(&fitted.0);
            inverse(&normal(&slopes, noise_k, &priors, free))[0][0].max(0.0).sqrt()
        };
        // A reading without noise at all would leave nothing to invert.
        let mut without = vec![deviation_of(&all, 1e-3 * noise_k)];
        for known in 1..unknowns {
            let mut free = all.clone();
            free[known] = false;
            without.push(deviation_of(&free, noise_k));
        }
        let best_c = self.temperatures(fitted.0[0], &fitted.0[1..]);
        Estimate { as_stated, mean: fitted.0[0], deviation: fitted.1, without, best_c }
    }

    /// Mean and standard deviation of each unknown but the share, before any reading.
    fn priors(&self) -> Vec<(f64, f64)> {
        let of = |sway: &Sway| {
            let [low, high] = sway.ends.map(f64::ln);
            (0.5 * (low + high), (high - low) / 12.0_f64.sqrt())
        };
        let numerical = (0.0, 1.0 / DEVIATIONS_IN_A_BAR);
        self.sways.iter().map(of).chain([numerical]).collect()
    }

    /// Gauss and Newton over the free unknowns; the others stay as stated. Returns them and the share's deviation.
    fn search(&self, readings: &[f64], noise_k: f64, priors: &[(f64, f64)], free: &[bool]) -> (Vec<f64>, f64) {
        let mut at = vec![0.0; free.len()];
        at[0] = self.at.ln();
        let mut deviation = 0.0;
        for _ in 0..STEPS {
            let (slopes, now_c) = self.slopes(&at);
            let inverse = inverse(&normal(&slopes, noise_k, priors, free));
            let pull = |u: usize| {
                let read: f64 = (0..readings.len()).map(|n| slopes[u][n] * (readings[n] - now_c[n])).sum();
                let prior = if u == 0 { 0.0 } else { (priors[u - 1].0 - at[u]) / priors[u - 1].1.powi(2) };
                if free[u] { read / noise_k.powi(2) + prior } else { 0.0 }
            };
            let pulls: Vec<f64> = (0..free.len()).map(pull).collect();
            let step = |u: usize| -> f64 { (0..free.len()).map(|v| inverse[u][v] * pulls[v]).sum() };
            // A share moves by less than a factor of e at once: beyond the runs the polynomial is only a guess.
            let steps: Vec<f64> = (0..free.len()).map(|u| step(u).clamp(-1.0, 1.0)).collect();
            at.iter_mut().zip(steps).for_each(|(at, step)| *at += step);
            deviation = inverse[0][0].max(0.0).sqrt();
        }
        (at, deviation)
    }

    /// How the readings change with each unknown, and what they are.
    fn slopes(&self, at: &[f64]) -> (Vec<Vec<f64>>, Vec<f64>) {
        const SMALL: f64 = 1e-4;
        let read = |at: &[f64]| self.temperatures(at[0], &at[1..]);
        let slope = |unknown: usize| {
            let moved = |by: f64| {
                let mut at = at.to_vec();
                at[unknown] += by;
                read(&at)
            };
            moved(SMALL).iter().zip(moved(-SMALL)).map(|(up, down)| (up - down) / (2.0 * SMALL)).collect()
        };
        ((0..at.len()).map(slope).collect(), read(at))
    }
}

impl Sway {
    /// The change at a reading where the logarithm of the factor is `ln`: the parabola through both ends and zero, or the
    /// straight line where one end is the stated value itself.
    fn at(&self, reading: usize, ln: f64) -> f64 {
        let [low, high] = self.ends.map(f64::ln);
        let [at_low, at_high] = [self.change_k[0][reading], self.change_k[1][reading]];
        if low == 0.0 {
            return at_high * ln / high;
        }
        if high == 0.0 {
            return at_low * ln / low;
        }
        at_low * ln * (ln - high) / (low * (low - high)) + at_high * ln * (ln - low) / (high * (high - low))
    }
}

/// Mean, or 2.5 % and 97.5 % points, of a normal distribution cut off at two ends.
pub(crate) fn cut_band(mean: f64, deviation: f64, ends: Option<[f64; 2]>) -> [f64; 2] {
    let Some([low, high]) = ends else { return [-1.0, 1.0].map(|side| mean + side * NORMAL_95 * deviation) };
    let below = |x: f64| 0.5 * erfc(-(x - mean) / (deviation * std::f64::consts::SQRT_2));
    let (from, to) = (below(low), below(high));
    let point = |share: f64| {
        let wanted = from + share * (to - from);
        let (mut a, mut b) = (low, high);
        for _ in 0..80 {
            let middle = 0.5 * (a + b);
            if below(middle) < wanted { a = middle } else { b = middle }
        }
        0.5 * (a + b)
    };
    [point(0.025), point(0.975)]
}

/// The normal matrix: what readings and prior ranges say together; unknowns that are not free are held.
fn normal(slopes: &[Vec<f64>], noise_k: f64, priors: &[(f64, f64)], free: &[bool]) -> Vec<Vec<f64>> {
    let entry = |u: usize, v: usize| {
        if !(free[u] && free[v]) {
            return if u == v { 1.0 } else { 0.0 };
        }
        let read: f64 = slopes[u].iter().zip(&slopes[v]).map(|(a, b)| a * b).sum();
        let prior = if u == v && u > 0 { priors[u - 1].1.powi(-2) } else { 0.0 };
        read / noise_k.powi(2) + prior
    };
    (0..free.len()).map(|u| (0..free.len()).map(|v| entry(u, v)).collect()).collect()
}

/// The inverse of a symmetric positive matrix, by elimination with the largest pivot.
fn inverse(matrix: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let size = matrix.len();
    let unit = |row: usize| (0..size).map(move |column| if row == column { 1.0 } else { 0.0 });
    let mut rows: Vec<Vec<f64>> = (0..size).map(|row| matrix[row].iter().copied().chain(unit(row)).collect()).collect();
    for column in 0..size {
        let pivot = (column..size).max_by(|&a, &b| rows[a][column].abs().total_cmp(&rows[b][column].abs()));
        rows.swap(column, pivot.unwrap_or(column));
        let scale = rows[column][column];
        rows[column].iter_mut().for_each(|entry| *entry /= scale);
        let pivot_row = rows[column].clone();
        for (_, row) in rows.iter_mut().enumerate().filter(|(number, _)| *number != column) {
            let factor = row[column];
            row.iter_mut().zip(&pivot_row).for_each(|(entry, pivot)| *entry -= factor * pivot);
        }
    }
    rows.into_iter().map(|row| row[size..].to_vec()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A straight model: `T = 20 + 130 s - 8 ln(m) / ln(1.1) + e`.
    fn straight() -> Response {
        let at = |share: f64| (share, vec![20.0 + 130.0 * share]);
        Response {
            shares: vec![at(0.5), at(1.0), at(1.6)],
            at: 1.0,
            finer_k: vec![0.0],
            bar_k: vec![1.0],
            sways: vec![Sway { lever: Lever::Conductivity, ends: [1.0 / 1.1, 1.1], change_k: [vec![8.0], vec![-8.0]] }],
        }
    }

    #[test]
    fn a_straight_model_is_solved_in_closed_form() {
        let estimate = straight().estimate(&[163.0], 2.0);
        assert!((estimate.as_stated - 1.1_f64.ln()).abs() < 1e-9, "{estimate:?}");
        // Deviations in K at the reading: noise 2, metal 8 / sqrt(3) times the share, numerics a half.
        let metal = 1.1 * 8.0 / 3.0_f64.sqrt();
        let all = (2.0_f64.powi(2) + metal.powi(2) + 0.25).sqrt() / 143.0;
        assert!((estimate.deviation / all - 1.0).abs() < 1e-6, "{} {all}", estimate.deviation);
        let without_metal = (4.25_f64).sqrt() / 143.0;
        assert!((estimate.without[1] / without_metal - 1.0).abs() < 1e-6);
    }

    #[test]
    fn a_band_is_cut_at_the_ends_and_only_there() {
        let wide = cut_band(0.0, 1.0, Some([-50.0, 50.0]));
        assert!((wide[0] + NORMAL_95).abs() < 1e-5 && (wide[1] - NORMAL_95).abs() < 1e-5, "{wide:?}");
        let half = cut_band(0.0, 1.0, Some([0.0, 50.0]));
        assert!(half[0] > 0.03 && half[0] < 0.032 && (half[1] - 2.241).abs() < 1e-3, "{half:?}");
    }

    #[test]
    fn an_inverse_undoes_its_matrix() {
        let matrix = vec![vec![4.0, 1.0, 0.5], vec![1.0, 3.0, 0.2], vec![0.5, 0.2, 2.0]];
        let inverse = inverse(&matrix);
        let product = |row: usize, column: usize| (0..3).map(|n| matrix[row][n] * inverse[n][column]).sum::<f64>();
        for (row, column) in (0..9).map(|n| (n / 3, n % 3)) {
            let unit = if row == column { 1.0 } else { 0.0 };
            assert!((product(row, column) - unit).abs() < 1e-12, "{row} {column}");
        }
    }
}
