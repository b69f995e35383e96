//! Samples of the unit cube: the sequence of Sobol', scrambled anew for each seed.
//!
//! Its first `2^m` points put one into each of `2^m` equal parts of every input, and do nearly the same for pairs of
//! inputs. Scrambling (Owen) permutes the halves, their halves and so on at random: every point is then spread evenly over
//! the cube, another seed is another draw, and the even filling stays.

/// Most inputs.
pub(super) const MOST_INPUTS: usize = PRIMITIVE.len() + 1;
/// Binary digits of a coordinate.
const DIGITS: usize = 32;
/// For each input after the first: the degree of its primitive polynomial, the inner coefficients as binary digits, and
/// the first direction numbers. Source: Joe and Kuo.
const PRIMITIVE: [(usize, u32, &[u32]); 9] = [
    (1, 0, &[1]),
    (2, 1, &[1, 3]),
    (3, 1, &[1, 3, 1]),
    (3, 2, &[1, 1, 1]),
    (4, 1, &[1, 1, 3, 3]),
    (4, 4, &[1, 3, 5, 13]),
    (5, 2, &[1, 1, 5, 5, 17]),
    (5, 4, &[1, 1, 5, 5, 5]),
    (5, 7, &[1, 1, 7, 11, 19]),
];

/// Points in as many dimensions as there are inputs, at most [`MOST_INPUTS`].
pub(super) fn points(count: usize, inputs: usize, seed: u64) -> Vec<Vec<f64>> {
    let columns: Vec<([u32; DIGITS], u64)> =
        (0..inputs).map(|input| (directions(input), mixed(mixed(seed).wrapping_add(input as u64)))).collect();
    let place = |n: usize, (directions, key): &([u32; DIGITS], u64)| {
        let plain = directions.iter().enumerate().filter(|(digit, _)| n >> digit & 1 == 1).fold(0, |x, (_, v)| x ^ v);
        (f64::from(scrambled(plain, *key)) + 0.5) / 2.0_f64.powi(DIGITS as i32)
    };
    (0..count).map(|n| columns.iter().map(|column| place(n, column)).collect()).collect()
}

/// Direction numbers of one input.
fn directions(input: usize) -> [u32; DIGITS] {
    let mut directions = [0; DIGITS];
    let Some((degree, inner, first)) = input.checked_sub(1).and_then(|n| PRIMITIVE.get(n)) else {
        return std::array::from_fn(|digit| 1 << (DIGITS - 1 - digit));
    };
    for digit in 0..DIGITS {
        directions[digit] = if digit < *degree {
            first[digit] << (DIGITS - 1 - digit)
        } else {
            let before = directions[digit - degree];
            let taken = (1..*degree).filter(|j| inner >> (degree - 1 - j) & 1 == 1);
            taken.fold(before ^ (before >> degree), |x, j| x ^ directions[digit - j])
        };
    }
    directions
}

/// Each digit is turned or not by what all digits above it say.
fn scrambled(plain: u32, key: u64) -> u32 {
    (0..DIGITS).fold(0, |out, digit| {
        let above = if digit == 0 { 0 } else { plain >> (DIGITS - digit) };
        let turn = mixed(key ^ mixed((digit as u64) << DIGITS | u64::from(above))) & 1;
        let own = plain >> (DIGITS - 1 - digit) & 1;
        out << 1 | (own ^ turn as u32)
    })
}

/// A number mixed so that its digits tell nothing of it.
fn mixed(number: u64) -> u64 {
    let mut mixed = number.wrapping_add(0x9e37_79b9_7f4a_7c15);
    mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    mixed ^ (mixed >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How many points lie in each of `parts[0] x parts[1]` equal fields of two inputs.
    fn fields(points: &[Vec<f64>], inputs: [usize; 2], parts: [usize; 2]) -> Vec<usize> {
        let mut counts = vec![0; parts[0] * parts[1]];
        for point in points {
            let [i, j] = [0, 1].map(|n| (point[inputs[n]] * parts[n] as f64) as usize);
            counts[i * parts[1] + j] += 1;
        }
        counts
    }

    #[test]
    fn every_256th_part_of_every_input_holds_one_of_256_points_for_any_seed() {
        for seed in [0, 1, 2, u64::MAX] {
            let points = points(256, MOST_INPUTS, seed);
            for input in 0..MOST_INPUTS {
                assert!(fields(&points, [input, 0], [256, 1]).iter().all(|n| *n == 1), "seed {seed}, input {input}");
            }
        }
    }

    /// The first two inputs fill every field of one 256th alike, whatever its shape.
    #[test]
    fn the_first_two_inputs_fill_every_field_of_equal_area() {
        let points = points(256, 2, 5);
        for parts in [[2, 128], [4, 64], [16, 16], [64, 4], [128, 2]] {
            assert!(fields(&points, [0, 1], parts).iter().all(|n| *n == 1), "{parts:?}");
        }
    }

    #[test]
    fn any_two_inputs_fill_a_board_of_four_by_four_evenly() {
        let points = points(1024, MOST_INPUTS, 3);
        for one in 0..MOST_INPUTS {
            for other in 0..one {
                let counts = fields(&points, [one, other], [4, 4]);
                assert!(counts.iter().all(|n| (32..=96).contains(n)), "{one} {other}: {counts:?}");
            }
        }
    }

    #[test]
    fn another_seed_is_another_draw_and_the_same_seed_the_same() {
        assert_eq!(points(16, 3, 7), points(16, 3, 7));
        assert_ne!(points(16, 3, 7), points(16, 3, 8));
    }
}
