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

/// `out = base + factor * volume * (sum of weights times stages)`.
pub fn combine_by_volume(
    base: &[f64],
    volume: &[f64],
    (factor, weights): (f64, &[f64]),
    stages: &[Vec<f64>],
    out: &mut [f64],
) {
    for (n, block) in out.chunks_mut(BLOCK).enumerate() {
        let from = n * BLOCK;
        let to = from + block.len();
        block.fill(0.0);
        add_stages(weights, stages, from, block);
        for ((sum, v), b) in block.iter_mut().zip(&volume[from..to]).zip(&base[from..to]) {
            *sum = b + factor * v * *sum;
        }
    }
}

fn add_stages(weights: &[f64], stages: &[Vec<f64>], from: usize, block: &mut [f64]) {
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

/// Sum of products, and the largest magnitude in the second.
pub fn dot_and_largest(a: &[f64], b: &[f64]) -> (f64, f64) {
    let (mut sums, mut most) = ([0.0; STRANDS], [0.0_f64; STRANDS]);
    let (a_blocks, b_blocks) = (a.chunks_exact(STRANDS), b.chunks_exact(STRANDS));
    let (mut rest_sum, mut rest_most) = (0.0, 0.0_f64);
    for (a, b) in a_blocks.remainder().iter().zip(b_blocks.remainder()) {
        rest_sum += a * b;
        rest_most = larger(rest_most, b.abs());
    }
    for (a, b) in a_blocks.zip(b_blocks) {
        for lane in 0..STRANDS {
            sums[lane] += a[lane] * b[lane];
            most[lane] = larger(most[lane], b[lane].abs());
        }
    }
    (sums.iter().sum::<f64>() + rest_sum, most.iter().fold(rest_most, |m, &v| larger(m, v)))
}

/// Largest magnitude; not a number if any is not.
pub fn largest(values: &[f64]) -> f64 {
    values.iter().fold(0.0_f64, |m, v| if v.abs() <= m { m } else { v.abs() })
}

/// `x += length * p` and `r -= length * q`; returns the largest `|r| * scale`.
pub fn advance(length: f64, (p, q, scale): (&[f64], &[f64], &[f64]), x: &mut [f64], r: &mut [f64]) -> f64 {
    let mut most = [0.0_f64; STRANDS];
    let whole = x.len() / STRANDS * STRANDS;
    for from in (0..whole).step_by(STRANDS) {
        let range = from..from + STRANDS;
        let (p, q, scale) = (&p[range.clone()], &q[range.clone()], &scale[range.clone()]);
        let (x, r) = (&mut x[range.clone()], &mut r[range]);
        for lane in 0..STRANDS {
            x[lane] += length * p[lane];
            r[lane] -= length * q[lane];
            most[lane] = larger(most[lane], r[lane].abs() * scale[lane]);
        }
    }
    for n in whole..x.len() {
        x[n] += length * p[n];
        r[n] -= length * q[n];
        most[0] = larger(most[0], r[n].abs() * scale[n]);
    }
    most.iter().fold(0.0, |m, &v| larger(m, v))
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
        let (sum, most) = dot_and_largest(&a, &b);
        assert!((sum - plain).abs() < 1e-10 && (dot(&a, &b) - plain).abs() < 1e-10);
        assert_eq!(most, b.iter().fold(0.0_f64, |m, v| m.max(v.abs())));
    }

    #[test]
    fn combinations_leave_nothing_out_at_block_ends() {
        let stages = [numbers(1300, 3), numbers(1300, 4), numbers(1300, 5)];
        let (base, volume, weights) = (numbers(1300, 6), numbers(1300, 7), [0.5, 0.0, -2.0]);
        let (mut plain, mut scaled) = (vec![0.0; 1300], vec![0.0; 1300]);
        combine(&base, &weights, &stages, &mut plain);
        combine_by_volume(&base, &volume, (3.0, &weights), &stages, &mut scaled);
        for n in 0..1300 {
            let sum = 0.5 * stages[0][n] - 2.0 * stages[2][n];
            assert!((plain[n] - base[n] - sum).abs() < 1e-14);
            assert!((scaled[n] - base[n] - 3.0 * volume[n] * sum).abs() < 1e-14);
        }
    }

    #[test]
    fn advance_updates_both_and_finds_the_largest() {
        let (p, q, scale) = (numbers(53, 1), numbers(53, 2), vec![2.0; 53]);
        let (mut x, mut r) = (numbers(53, 3), numbers(53, 4));
        let (x0, r0) = (x.clone(), r.clone());
        let most = advance(0.25, (&p, &q, &scale), &mut x, &mut r);
        let expected = (0..53).map(|n| 2.0 * (r0[n] - 0.25 * q[n]).abs()).fold(0.0, f64::max);
        assert_eq!(most, expected);
        assert!((0..53).all(|n| x[n] == x0[n] + 0.25 * p[n]));
    }
}
