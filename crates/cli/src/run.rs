//! Runs a check with progress on a terminal and a clean stop on Ctrl-C.

use std::io::IsTerminal;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, Once, PoisonError};
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use warmhold::heat::Case;
use warmhold::study::{self, Outcome, Question};

use crate::INTERRUPTED;
use crate::failure::Failure;

/// Shorter runs show no progress.
const PATIENCE: Duration = Duration::from_millis(500);
const TICKS: u64 = 1000;

static STOPPED: AtomicBool = AtomicBool::new(false);

/// The outcome of a case; what has been computed when Ctrl-C comes.
pub(crate) fn check(case: &Case, question: &Question) -> Result<Outcome, Failure> {
    listen();
    let progress = Progress::new(std::io::stderr().is_terminal());
    let outcome = study::check(case, question, &|share| {
        progress.show(share);
        !stopped()
    });
    progress.clear();
    Ok(outcome?)
}

/// Whether Ctrl-C was pressed.
pub(crate) fn stopped() -> bool {
    STOPPED.load(Ordering::Relaxed)
}

/// The first Ctrl-C ends the run and prints what there is; the second ends the program at once.
fn listen() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        // Without a handler Ctrl-C still ends the program, only less politely.
        let _ = ctrlc::set_handler(|| {
            if STOPPED.swap(true, Ordering::Relaxed) {
                std::process::exit(i32::from(INTERRUPTED));
            }
        });
    });
}

/// Starts this many threads for all that follows.
pub(crate) fn use_threads(threads: Option<usize>) -> Result<(), Failure> {
    match threads {
        Some(threads) => Ok(rayon::ThreadPoolBuilder::new().num_threads(threads).build_global()?),
        None => Ok(()),
    }
}

/// A bar that appears only when a run takes long and somebody watches.
struct Progress {
    start: Instant,
    bar: Option<Mutex<Bar>>,
}

struct Bar {
    bar: ProgressBar,
    best: f64,
}

impl Progress {
    fn new(watched: bool) -> Self {
        let bar = ProgressBar::with_draw_target(Some(TICKS), ProgressDrawTarget::hidden());
        let bar = watched.then(|| Mutex::new(Bar { bar, best: 0.0 }));
        Progress { start: Instant::now(), bar }
    }

    fn show(&self, share: f64) {
        let Some(bar) = &self.bar else { return };
        let elapsed = self.start.elapsed();
        if elapsed < PATIENCE {
            return;
        }
        let mut bar = bar.lock().unwrap_or_else(PoisonError::into_inner);
        if bar.bar.is_hidden() {
            bar.bar.set_style(style());
            bar.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        // Several marches of one case report in turn: never run backwards.
        bar.best = bar.best.max(share.clamp(0.0, 1.0));
        let remaining = remaining(elapsed.as_secs_f64(), bar.best);
        bar.bar.set_message(format!("{remaining}Ctrl-C stops"));
        bar.bar.set_position((bar.best * TICKS as f64) as u64);
    }

    fn clear(&self) {
        if let Some(bar) = &self.bar {
            bar.lock().unwrap_or_else(PoisonError::into_inner).bar.finish_and_clear();
        }
    }
}

/// Time left by the share done; nothing while that is too little to tell from.
fn remaining(elapsed_s: f64, share: f64) -> String {
    const TELLING: f64 = 0.05;
    if share < TELLING {
        return String::new();
    }
    format!("about {:.0} s left, ", elapsed_s * (1.0 - share) / share)
}

fn style() -> ProgressStyle {
    // The template is ours and valid; the plain bar stands in if a later version reads it otherwise.
    ProgressStyle::with_template("computing [{bar:40}] {percent:>3} %, {msg}")
        .unwrap_or_else(|_| ProgressStyle::default_bar())
        .progress_chars("=> ")
}

#[cfg(test)]
mod tests {
    use super::remaining;

    #[test]
    fn time_left_is_told_once_there_is_something_to_tell_from() {
        assert_eq!(remaining(1.0, 0.01), "");
        assert_eq!(remaining(3.0, 0.25), "about 9 s left, ");
    }
}
