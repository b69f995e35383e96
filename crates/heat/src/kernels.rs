//! Loops over whole grids, written so that every array is passed over once.
//!
//! The engine is bound by memory traffic: what several sums need is read together, in blocks that stay in the first
//! level of cache. Sums run in fixed strands, so the bits do not depend on machine or thread count.

/// Values of a block that is worked on while it lies in the first level of cache.
const BLOCK: usize = 512;
/// Strands of a sum: independent chains of additions.
const STRANDS: usize = 8;

/// `out = base + sum of weights times stages`; weights of 0 are skipped.
pub fn combine(base: &[f64], weights: &[f64], stages: &[Vec<f64>], out: &mut [f64]) {
    for (n, block) in out.chunks_mut(BLOCK).enumerate() {
        let from = n * BLOCK;
        let to = from + block.len();
        block.copy_from_slice(&base[from..to]);
        add_stages(weights, stages, from, block);
    }
}

/// Adds the sum of weights times stages, each read from `from` on, to a block.
pub fn add_stages(weights: &[f64], stages: &[Vec<f64>], from: usize, block: &mut [f64]) {
    for (weight, stage) in weights.iter().zip(stages).filter(|(weight, _)| **weight != 0.0) {
        for (sum, k) in block.iter_mut().zip(&stage[from..]) {
            *sum += weight * k;
        }
    }
}

/// Sum of products.
pub fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut strands = [0.0; STRANDS];
    let (a_blocks, b_blocks) = (a.chunks_exact(STRANDS), b.chunks_exact(STRANDS));
    let rest: f64 = a_blocks.remainder().iter().zip(b_blocks.remainder()).map(|(a, b)| a * b).sum();
    for (a, b) in a_blocks.zip(b_blocks) {
        for lane in 0..STRANDS {
            strands[lane] += a[lane] * b[lane];
        }
    }
    strands.iter().sum::<f64>() + rest
}

/// `here += link * above`, which may be empty; returns the sum of `right * here`.
pub fn add_and_weigh(link: f64, above: &[f64], right: &[f64], here: &mut [f64]) -> f64 {
    for (h, a) in here.iter_mut().zip(above) {
        *h += link * a;
    }
    dot(right, here)
}

/// `x *= factor / divisor`; returns the sum of `weight * x`.
pub fn scale_and_weigh(factor: f64, divisor: &[f64], weight: &[f64], x: &mut [f64]) -> f64 {
    let mut sum = 0.0;
    let blocks = x.chunks_mut(BLOCK).zip(divisor.chunks(BLOCK)).zip(weight.chunks(BLOCK));
    for ((x, divisor), weight) in blocks {
        for (x, divisor) in x.iter_mut().zip(divisor) {
            *x *= factor / divisor;
        }
        sum += dot(weight, x);
    }
    sum
}

/// Sum in fixed strands.
pub fn sum(values: &[f64]) -> f64 {
    let mut strands = [0.0; STRANDS];
    let blocks = values.chunks_exact(STRANDS);
    let rest: f64 = blocks.remainder().iter().sum();
    for block in blocks {
        for (strand, v) in strands.iter_mut().zip(block) {
            *strand += v;
        }
    }
    strands.iter().sum::<f64>() + rest
}

/// `p = z + factor * p`.
pub fn turn(factor: f64, z: &[f64], p: &mut [f64]) {
    if factor == 0.0 {
        return p.copy_from_slice(z);
    }
    for (p, z) in p.iter_mut().zip(z) {
        *p = z + factor * *p;
    }
}

/// Sum of weights times squares, not a number if a value is not; and the largest magnitude.
pub fn square_and_largest(weights: &[f64], values: &[f64]) -> (f64, f64) {
    let (mut sums, mut most) = ([0.0; STRANDS], [0.0_f64; STRANDS]);
    let mut take = |lane: usize, w: f64, v: f64| {
        sums[lane] += w * v * v;
        most[lane] = larger(most[lane], v.abs());
    };
    let (blocks, rests) = (weights.chunks_exact(STRANDS), values.chunks_exact(STRANDS));
    blocks.remainder().iter().zip(rests.remainder()).for_each(|(&w, &v)| take(0, w, v));
    for (weights, values) in blocks.zip(rests) {
        for lane in 0..STRANDS {
            take(lane, weights[lane], values[lane]);
        }
    }
    (sums.iter().sum(), most.iter().fold(0.0, |m, &v| larger(m, v)))
}

/// Smallest and largest; an end is not finite if any value is not.
pub fn span(values: &[f64]) -> [f64; 2] {
    let (mut low, mut high) = ([f64::MAX; STRANDS], [f64::MIN; STRANDS]);
    let mut doubt = [0.0; STRANDS];
    let mut look = |lane: usize, v: f64| {
        low[lane] = if v < low[lane] { v } else { low[lane] };
        high[lane] = if v > high[lane] { v } else { high[lane] };
        // Stays 0 for numbers and is not a number after the first that is not one.
        doubt[lane] += 0.0 * v;
    };
    let blocks = values.chunks_exact(STRANDS);
    blocks.remainder().iter().for_each(|&v| look(0, v));
    for block in blocks {
        for (lane, &v) in block.iter().enumerate() {
            look(lane, v);
        }
    }
    let doubt: f64 = doubt.iter().sum();
    let low = low.iter().fold(f64::MAX, |m, &v| m.min(v));
    let high = high.iter().fold(f64::MIN, |m, &v| m.max(v));
    [low + doubt, high + doubt]
}

/// `x += length * p` and `r -= length * q`; returns the largest `|r| - tolerance * scale`.
pub fn advance(
    length: f64,
    (p, q, scale): (&[f64], &[f64], &[f64]),
    tolerance: f64,
    x: &mut [f64],
    r: &mut [f64],
) -> f64 {
    let mut most = [f64::MIN; STRANDS];
    let whole = x.len() / STRANDS * STRANDS;
    for from in (0..whole).step_by(STRANDS) {
        let range = from..from + STRANDS;
        let (p, q, scale) = (&p[range.clone()], &q[range.clone()], &scale[range.clone()]);
        let (x, r) = (&mut x[range.clone()], &mut r[range]);
        for lane in 0..STRANDS {
            x[lane] += length * p[lane];
            r[lane] -= length * q[lane];
            most[lane] = larger(most[lane], r[lane].abs() - tolerance * scale[lane]);
        }
    }
    for n in whole..x.len() {
        x[n] += length * p[n];
        r[n] -= length * q[n];
        most[0] = larger(most[0], r[n].abs() - tolerance * scale[n]);
    }
    most.iter().fold(f64::MIN, |m, &v| larger(m, v))
}

/// The larger of two numbers as one instruction; the first unless the second is truly larger.
#[inline]
fn larger(a: f64, b: f64) -> f64 {
    if b > a { b } else { a }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(count: usize, seed: usize) -> Vec<f64> {
        (0..count).map(|n| ((n * 7919 + seed * 104_729) % 1009) as f64 / 504.0 - 1.0).collect()
    }

    #[test]
    fn fused_sums_agree_with_plain_ones() {
        let (a, b) = (numbers(1037, 1), numbers(1037, 2));
        let plain: f64 = a.iter().zip(&b).map(|(a, b)| a * b).sum();
        let mut here = b.clone();
        let weighed = add_and_weigh(0.5, &a, &a, &mut here);
        let squares: f64 = a.iter().map(|a| a * a).sum();
        assert!((weighed - plain - 0.5 * squares).abs() < 1e-10 && (dot(&a, &b) - plain).abs() < 1e-10);
        assert!((sum(&a) - a.iter().sum::<f64>()).abs() < 1e-10);
    }

    #[test]
    fn combinations_leave_nothing_out_at_block_ends() {
        let stages = [numbers(1300, 3), numbers(1300, 4), numbers(1300, 5)];
        let (base, weights) = (numbers(1300, 6), [0.5, 0.0, -2.0]);
        let mut plain = vec![0.0; 1300];
        combine(&base, &weights, &stages, &mut plain);
        for n in 0..1300 {
            let sum = 0.5 * stages[0][n] - 2.0 * stages[2][n];
            assert!((plain[n] - base[n] - sum).abs() < 1e-14);
        }
    }

    #[test]
    fn span_finds_both_ends_and_whatever_is_no_number() {
        let mut values = numbers(1037, 8);
        let ends = values.iter().fold([f64::MAX, f64::MIN], |[l, h], &v| [l.min(v), h.max(v)]);
        assert_eq!(span(&values), ends);
        for bad in [f64::NAN, f64::INFINITY] {
            values[517] = bad;
            assert!(!span(&values)[0].is_finite() && !span(&values)[1].is_finite());
        }
    }

    #[test]
    fn squares_are_weighted_and_no_number_stays_none() {
        assert_eq!(square_and_largest(&[1.0, 2.0], &[-3.0, 2.0]), (17.0, 3.0));
        let (sum, most) = square_and_largest(&[1.0, 2.0], &[f64::NAN, 2.0]);
        assert!(sum.is_nan() && most == 2.0);
    }

    #[test]
    fn advance_updates_both_and_finds_the_largest() {
        let (p, q, scale) = (numbers(53, 1), numbers(53, 2), vec![2.0; 53]);
        let (mut x, mut r) = (numbers(53, 3), numbers(53, 4));
        let (x0, r0) = (x.clone(), r.clone());
        let most = advance(0.25, (&p, &q, &scale), 0.1, &mut x, &mut r);
        let expected = (0..53).map(|n| (r0[n] - 0.25 * q[n]).abs() - 0.2).fold(f64::MIN, f64::max);
        assert_eq!(most, expected);
        assert!((0..53).all(|n| x[n] == x0[n] + 0.25 * p[n]));
    }
}
