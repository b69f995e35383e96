//! What the edges of a block change at a patch when the block is taken as a body of revolution of equal top area.
//!
//! Heat released at a point of the face spreads in the plane and into the depth independently. Block and body of
//! revolution share the depth, and differ in the plane by `G_block - G_disc`, both the temperature at the source itself
//! of one unit of heat released at time 0 (1/m2):
//! `G_block` is the product over x and y of `(1 + 2 sum exp(-(n pi)^2 alpha t / L^2) cos^2(n pi x / L)) / L`,
//! `G_disc = (1 + sum exp(-j_n^2 alpha t / R^2) / J0(j_n)^2) / (pi R^2)` with `j_n` the zeros of `J1`. Losses are left out,
//! so the effect is overrated, and the patch is taken as a point, which edges far away do not tell from a disc.
//! Source: Carslaw and Jaeger, chapter 14, insulated boundaries (`memory`); compared with the engine in a test.

use crate::beside::Heater;
use crate::case::{Case, Torch};

/// First zeros of `J1` and the values of `J0` there (Abramowitz and Stegun, table 9.5, `memory`).
const BESSEL: [[f64; 2]; 10] = [
    [3.831_706, 0.402_760],
    [7.015_587, 0.300_116],
    [10.173_468, 0.249_705],
    [13.323_692, 0.218_359],
    [16.470_630, 0.196_465],
    [19.615_859, 0.180_063],
    [22.760_084, 0.167_185],
    [25.903_672, 0.156_725],
    [29.046_829, 0.148_011],
    [32.189_680, 0.140_606],
];
/// Below this `alpha t / L2` a boundary has not been felt: the images take over from the series.
const SHORT: f64 = 0.05;
/// Factor on the effect: neither all heat at the start nor heat spread evenly is what happens (met: up to 1.4).
const OVERRATED: f64 = 1.5;
/// Times at which the effect is tabulated.
const TIMES: usize = 60;

/// The effect of the edges over time for a unit of heat and for a steady watt.
#[derive(Clone, Debug)]
pub struct Edges {
    times_s: Vec<f64>,
    /// K per J released at time 0.
    pulse: Vec<f64>,
    /// K per W released since time 0.
    steady: Vec<f64>,
}

impl Edges {
    /// For a patch around a centre, up to a time.
    pub fn new(case: &Case, centre: [f64; 2], end_s: f64) -> Edges {
        let material = &case.material;
        let diffusivity = material.diffusivity(case.start_c);
        let capacity = material.density() * material.specific_heat(case.start_c);
        let [length, width, depth] = case.block.size;
        let area = length * width;
        let pulse = |time_s: f64| {
            let reach = diffusivity * time_s;
            let block = along(length, centre[0], reach) * along(width, centre[1], reach);
            (block - disc(area, reach)).abs() * along(depth, 0.0, reach) / capacity
        };
        let end_s = end_s.max(1.0);
        let times_s: Vec<f64> = (0..=TIMES).map(|n| end_s * 1e4_f64.powf(n as f64 / TIMES as f64 - 1.0)).collect();
        let pulse: Vec<f64> = times_s.iter().map(|&t| pulse(t)).collect();
        let mut steady = vec![pulse[0] * times_s[0]];
        for n in 1..times_s.len() {
            let more = 0.5 * (pulse[n] + pulse[n - 1]) * (times_s[n] - times_s[n - 1]);
            steady.push(steady[n - 1] + more);
        }
        Edges { times_s, pulse, steady }
    }

    /// What the edges may change by a time at which so much heat has gone in, K: the larger of all heat at the start
    /// and heat spread evenly over the time.
    pub fn effect(&self, time_s: f64, heat_j: f64) -> f64 {
        if time_s <= self.times_s[0] {
            return 0.0;
        }
        let n = self.times_s.partition_point(|&t| t < time_s).min(self.times_s.len() - 1);
        let pulse = self.pulse[n].max(self.pulse[n - 1]);
        OVERRATED * (heat_j * pulse).max(heat_j / time_s * self.steady[n])
    }
}

/// Largest effect over the longest that the case can run, with every flame burning as long as it may, K.
pub fn largest_effect(case: &Case, centre: [f64; 2]) -> f64 {
    let end_s = case.schedule.longest_s();
    let edges = Edges::new(case, centre, end_s);
    let power = |torch: &Torch| torch.patch.area() * torch.kind.net_flux(case.start_c);
    let flames_s = case.schedule.longest_flame_s();
    let beside_j = |heater: &Heater| power(&heater.torch) * heater.when.longest_s(end_s, flames_s);
    let torches: f64 = case.all_torches().map(power).sum();
    let flames_j =
        case.torches.iter().map(power).sum::<f64>() * flames_s + case.heaters.iter().map(beside_j).sum::<f64>();
    let arc = case.passes.iter().flat_map(|p| &p.list).map(|p| p.power).fold(0.0, f64::max);
    let effects = edges.times_s.iter().map(|&t| {
        let heat_j = flames_j.min(torches * t) + arc * t * case.passes.as_ref().map_or(0.0, |p| p.share_of_time());
        edges.effect(t, heat_j)
    });
    effects.fold(0.0, f64::max)
}

/// Temperature at the source itself of a unit of heat on a line of a length with insulated ends, 1/m; `reach` is
/// diffusivity times time.
fn along(length: f64, at: f64, reach: f64) -> f64 {
    let scaled = reach / (length * length);
    if scaled > SHORT {
        let term = |n: f64| {
            let wave = n * std::f64::consts::PI;
            (-wave * wave * scaled).exp() * (wave * at / length).cos().powi(2)
        };
        return (1.0 + 2.0 * (1..12).map(f64::from).map(term).sum::<f64>()) / length;
    }
    let image = |distance: f64| (-distance * distance / (4.0 * reach)).exp();
    let pair = |n: i32| {
        let shift = 2.0 * f64::from(n) * length;
        image(shift) + image(shift + 2.0 * at)
    };
    (-3..=3).map(pair).sum::<f64>() / (4.0 * std::f64::consts::PI * reach).sqrt()
}

/// Temperature at the middle, where a unit of heat was released, of a disc of an area with an insulated rim, 1/m2.
fn disc(area: f64, reach: f64) -> f64 {
    let square = area / std::f64::consts::PI;
    let scaled = reach / square;
    if scaled <= SHORT {
        return 1.0 / (4.0 * std::f64::consts::PI * reach);
    }
    let term = |[zero, value]: &[f64; 2]| (-zero * zero * scaled).exp() / (value * value);
    (1.0 + BESSEL.iter().map(term).sum::<f64>()) / area
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn series_and_images_meet() {
        for at in [0.0, 0.3, 0.5] {
            let (short, long) = (along(1.0, at, SHORT), along(1.0, at, SHORT * (1.0 + 1e-12)));
            assert!((short / long - 1.0).abs() < 1e-9, "{short} {long}");
        }
        let (short, long) =
            (disc(1.0, SHORT / std::f64::consts::PI), disc(1.0, SHORT * 1.000_001 / std::f64::consts::PI));
        assert!((short / long - 1.0).abs() < 1e-4, "{short} {long}");
    }

    #[test]
    fn heat_is_even_in_the_end() {
        assert!((along(2.0, 0.7, 40.0) - 0.5).abs() < 1e-12);
        assert!((disc(3.0, 40.0) - 1.0 / 3.0).abs() < 1e-12);
    }
}
