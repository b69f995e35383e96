//! One share of the work done, from many runs.

use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

/// Weight of the nominal run on its nested grids against one run on the middle grid alone.
const NOMINAL_WEIGHT: f64 = 11.0;

/// Collects the shares of all runs of a check.
pub struct Progress<'a> {
    shares: Mutex<Vec<f64>>,
    keep_going: &'a (dyn Fn(f64) -> bool + Sync),
    stopped: AtomicBool,
}

impl<'a> Progress<'a> {
    /// Job number of the nominal run; the ends of the ranges follow from 1.
    pub const NOMINAL: usize = 0;
    /// Job number of the run with everything at its worst: the last.
    pub const WORST: usize = usize::MAX;

    /// For the nominal run and `ends` runs on one grid.
    pub fn new(ends: usize, keep_going: &'a (dyn Fn(f64) -> bool + Sync)) -> Progress<'a> {
        Progress { shares: Mutex::new(vec![0.0; ends + 1]), keep_going, stopped: AtomicBool::new(false) }
    }

    /// Takes the share of one job and returns whether to go on.
    pub fn report(&self, job: usize, share: f64) -> bool {
        let Ok(mut shares) = self.shares.lock() else { return false };
        let last = shares.len() - 1;
        shares[job.min(last)] = share;
        let total = NOMINAL_WEIGHT + last as f64;
        let done = NOMINAL_WEIGHT * shares[0] + shares[1..].iter().sum::<f64>();
        drop(shares);
        if !(self.keep_going)((done / total).min(1.0)) {
            self.stopped.store(true, Ordering::Relaxed);
        }
        self.going()
    }

    /// Whether no one has asked to stop.
    pub fn going(&self) -> bool {
        !self.stopped.load(Ordering::Relaxed)
    }
}
