//! The triad `a = b + s c`: how fast each level of cache, and the memory, moves numbers.

use std::hint::black_box;
use std::time::Instant;

/// A level of the memory.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// Its name.
    pub name: &'static str,
    /// What fits into it, bytes.
    pub bytes: usize,
}

/// The levels of this machine as the system tells them, smallest first; of a common machine where it does not.
pub fn levels() -> [Level; 4] {
    let size = |index: usize, common: usize| {
        let path = format!("/sys/devices/system/cpu/cpu0/cache/index{index}/size");
        let text = std::fs::read_to_string(path).unwrap_or_default();
        text.trim().strip_suffix('K').and_then(|k| k.parse::<usize>().ok()).map_or(common, |k| k << 10)
    };
    [
        Level { name: "L1", bytes: size(0, 32 << 10) },
        Level { name: "L2", bytes: size(2, 1 << 20) },
        Level { name: "L3", bytes: size(3, 32 << 20) },
        Level { name: "memory", bytes: usize::MAX },
    ]
}

/// Three arrays.
#[derive(Clone, Debug)]
pub struct Triad {
    a: Vec<f64>,
    b: Vec<f64>,
    c: Vec<f64>,
}

impl Triad {
    /// Arrays that fill half of a level, or a quarter of a gigabyte of memory.
    pub fn within(level: &Level) -> Triad {
        let count = (level.bytes / 2).min(256 << 20) / 24;
        Triad { a: vec![0.0; count], b: vec![1.0; count], c: vec![2.0; count] }
    }

    /// Bytes that one pass reads and writes.
    pub fn bytes(&self) -> usize {
        24 * self.a.len()
    }

    /// One pass.
    pub fn pass(&mut self, factor: f64) {
        for ((a, b), c) in self.a.iter_mut().zip(&self.b).zip(&self.c) {
            *a = b + factor * c;
        }
        black_box(&mut self.a);
    }

    /// The best of several measurements, GB/s.
    pub fn best_gb_per_s(&mut self, repeats: usize) -> f64 {
        let passes = ((256 << 20) / self.bytes()).max(1);
        let bytes = (self.bytes() * passes) as f64;
        let seconds = (0..repeats).map(|_| {
            let start = Instant::now();
            (0..passes).for_each(|_| self.pass(black_box(3.0)));
            start.elapsed().as_secs_f64()
        });
        bytes / seconds.fold(f64::INFINITY, f64::min) / 1e9
    }
}
