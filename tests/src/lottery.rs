//! Random cases from a seed, the same on every machine.

use warmhold::heat::{Case, Probe, ProbeKind, Ring, Schedule, Shape};

use crate::{casting, disc, film, flame, flux, iron, point, probe, rectangle, still_air, table_iron};

/// A stream of random numbers: SplitMix64, written out so that no library update changes a case.
#[derive(Clone, Debug)]
pub struct Lottery(u64);

impl Lottery {
    /// The stream of a seed.
    pub fn new(seed: u64) -> Lottery {
        Lottery(seed)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number between two ends.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Heads or tails.
    pub fn coin(&mut self) -> bool {
        self.bits() >> 63 == 1
    }

    /// A block with one heated patch, heated once and left to cool, watched under, at and beyond the patch.
    pub fn case(&mut self) -> Case {
        let radius = self.between(0.03, 0.08);
        let size = [self.between(5.0, 10.0), self.between(5.0, 10.0), self.between(1.0, 5.0)].map(|s| s * radius);
        let heat_s = self.between(60.0, 400.0);
        let mut case = casting(size, 2.0 * heat_s);
        case.start_c = self.between(10.0, 120.0);
        case.material = if self.coin() { table_iron() } else { iron() };
        case.surfaces = [if self.coin() { still_air() } else { film(self.between(0.0, 40.0)) }; 6];
        let patch = self.patch(size, radius);
        case.torches = vec![if self.coin() {
            flux(patch, self.between(5e4, 3e5))
        } else {
            flame(patch, self.between(80.0, 300.0))
        }];
        case.schedule = Schedule::Spans { on: vec![[0.0, heat_s]], end_s: 2.0 * heat_s };
        case.output_s = [0.3, 0.7, 1.0, 1.03, 1.1, 1.3, 2.0].map(|share| share * heat_s).to_vec();
        case.probes = self.probes(patch, size, radius);
        case
    }

    fn patch(&mut self, size: [f64; 3], radius: f64) -> Shape {
        let place = |at: f64, length: f64| if at < 0.4 { 0.5 * length } else { at * length };
        // Two in five are in the middle of their face, the rest somewhere on it, some over its edge.
        let middle = [place(self.between(0.0, 1.0), size[0]), place(self.between(0.0, 1.0), size[1])];
        if self.coin() {
            disc(middle[0], middle[1], radius)
        } else {
            rectangle(middle, [radius * self.between(1.0, 2.0), radius])
        }
    }

    /// Eleven probes round a patch: five points from the middle outwards and down, a ring thrice, the patch thrice.
    pub fn probes(&mut self, patch: Shape, size: [f64; 3], radius: f64) -> Vec<Probe> {
        let [x, y] = patch.centre();
        let on_casting = |at: [f64; 3]| [0, 1, 2].map(|n| at[n].clamp(0.0, size[n]));
        let groove = rectangle([x, y], [0.3 * radius, 0.1 * radius]);
        let ring = Ring { groove, width: self.between(0.2, 0.9) * radius, depth: 0.006 };
        let places = [[0.0, 0.0, 0.0], [0.5, 0.0, 0.0], [1.0, 0.0, 0.0], [1.5, 0.0, 0.0], [0.0, 0.0, 0.4]];
        let mut probes: Vec<Probe> =
            places.iter().map(|p| point(on_casting([x + p[0] * radius, y + p[1] * radius, p[2] * radius]))).collect();
        probes
            .extend([ProbeKind::RingColdest(ring), ProbeKind::RingHottest(ring), ProbeKind::RingMean(ring)].map(probe));
        probes.extend(
            [ProbeKind::PatchMean(patch), ProbeKind::PatchColdest(patch), ProbeKind::PatchHottest(patch)].map(probe),
        );
        probes
    }
}
