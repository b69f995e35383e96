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

/// Adds up the shares of many small runs, stage by stage.
pub struct Share<'a> {
    done: Mutex<f64>,
    keep_going: &'a (dyn Fn(f64) -> bool + Sync),
    stopped: AtomicBool,
    /// Where the present stage begins and how much of the whole it is.
    stage: Mutex<[f64; 2]>,
}

impl<'a> Share<'a> {
    /// Nothing done yet.
    pub fn new(keep_going: &'a (dyn Fn(f64) -> bool + Sync)) -> Share<'a> {
        Share { done: Mutex::new(0.0), keep_going, stopped: AtomicBool::new(false), stage: Mutex::new([0.0, 1.0]) }
    }

    /// Begins a stage that is this part of the whole.
    pub fn stage(&self, from: f64, to: f64) {
        let (Ok(mut stage), Ok(mut done)) = (self.stage.lock(), self.done.lock()) else { return };
        *stage = [from, to - from];
        *done = 0.0;
    }

    /// Adds a share of the present stage.
    pub fn add(&self, share: f64) {
        if let Ok(mut done) = self.done.lock() {
            *done += share;
        }
    }

    /// Tells how far the work is and returns whether to go on.
    pub fn going(&self) -> bool {
        let (Ok(done), Ok(stage)) = (self.done.lock().map(|d| *d), self.stage.lock().map(|s| *s)) else { return false };
        if !(self.keep_going)((stage[0] + stage[1] * done.min(1.0)).clamp(0.0, 1.0)) {
            self.stopped.store(true, Ordering::Relaxed);
        }
        !self.stopped.load(Ordering::Relaxed)
    }

    /// Whether someone has asked to stop.
    pub fn was_stopped(&self) -> bool {
        self.stopped.load(Ordering::Relaxed)
    }
}
