//! Runs a computation with progress on a terminal and a clean stop on Ctrl-C.

use std::io::IsTerminal;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Condvar, Mutex, MutexGuard, Once, PoisonError};
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use warmhold::scenario::Scenario;
use warmhold::study::{
    self, Advice, AdviceAsk, CompareAsk, Comparison, Film, Fit, FitAsk, Outcome, Picture, Touch, Touching, Volume,
};

use crate::args::Show;
use crate::failure::Failure;
use crate::{INTERRUPTED, output};

/// Shorter runs show no progress.
const PATIENCE: Duration = Duration::from_millis(500);
/// How often progress is drawn and Ctrl-C is looked at.
const BEAT: Duration = Duration::from_millis(100);
/// How long a run may take to stop by itself after Ctrl-C. One long step may take longer than anybody waits.
const GRACE: Duration = Duration::from_millis(700);
const TICKS: u64 = 1000;

static STOPPED: AtomicBool = AtomicBool::new(false);

/// The outcome of a case; what has been computed when Ctrl-C comes.
pub(crate) fn check(scenario: &Scenario) -> Result<Outcome, Failure> {
    watched(|watch| {
        let keep_going = |share: f64| {
            watch.lock().share(share);
            !stopped()
        };
        Ok(study::check(&scenario.case, &scenario.question, &keep_going)?)
    })
}

/// The fitted torch of a scenario.
pub(crate) fn fit(scenario: &Scenario, ask: &FitAsk) -> Result<Fit, Failure> {
    told(|keep_going| study::fit(&scenario.case, &scenario.question, ask, keep_going))
}

/// A log beside its scenario.
pub(crate) fn compare(scenario: &Scenario, ask: &CompareAsk) -> Result<Comparison, Failure> {
    told(|keep_going| study::compare(&scenario.case, &scenario.question, ask, keep_going))
}

/// Measuring advice for a scenario.
pub(crate) fn advice(scenario: &Scenario, ask: &AdviceAsk) -> Result<Advice, Failure> {
    told(|keep_going| study::advice(&scenario.case, &scenario.question, ask, keep_going))
}

/// What the spot to touch reads all through the job.
pub(crate) fn touching(scenario: &Scenario, touch: Touch) -> Result<Touching, Failure> {
    told(|keep_going| study::touching(&scenario.case, &scenario.question, touch, keep_going))
}

/// Any other question, with its progress.
pub(crate) fn watching<T>(
    ask: impl FnOnce(&(dyn Fn(f64) -> bool + Sync)) -> Result<T, study::Error>,
) -> Result<T, Failure> {
    told(|keep_going| ask(keep_going).map_err(refused))
}

/// Work that tells how far it is and stops when asked.
fn told<T, E: Into<Failure>>(work: impl FnOnce(&(dyn Fn(f64) -> bool + Sync)) -> Result<T, E>) -> Result<T, Failure> {
    watched(|watch| {
        let keep_going = |share: f64| {
            watch.lock().share(share);
            !stopped()
        };
        work(&keep_going).map_err(Into::into)
    })
}

/// Says that an answer was stopped before there was anything of it; the exit code.
pub(crate) fn nothing_to_show() -> u8 {
    output::complain("Interrupted: there is nothing to show yet.\n");
    INTERRUPTED
}

/// What a study says it needs is no fault of the computation.
pub(crate) fn refused(error: study::Error) -> Failure {
    match error {
        study::Error::Needs { what } => Failure::Needs { what },
        other => Failure::Study(other),
    }
}

/// Works, and says how long it took when asked.
pub(crate) fn timed<T>(show: &Show, work: impl FnOnce() -> Result<T, Failure>) -> Result<T, Failure> {
    let start = Instant::now();
    let answer = work()?;
    if show.timings {
        let threads = rayon::current_num_threads();
        output::complain(&format!("computed in {:.2} s on {threads} threads\n", start.elapsed().as_secs_f64()));
    }
    Ok(answer)
}

/// The maps of an outcome.
pub(crate) fn pictures(scenario: &Scenario, outcome: &Outcome) -> Result<Vec<Picture>, Failure> {
    watched(|_| Ok(study::pictures(&scenario.case, &scenario.question, outcome)?))
}

/// Maps of an outcome over time.
pub(crate) fn film(scenario: &Scenario, outcome: &Outcome, size: (usize, usize)) -> Result<Option<Film>, Failure> {
    watched(|_| Ok(study::film(&scenario.case, &scenario.question, outcome, size)?))
}

/// The field of an outcome over time.
pub(crate) fn volume(scenario: &Scenario, outcome: &Outcome) -> Result<Option<Volume>, Failure> {
    watched(|_| Ok(study::volume(&scenario.case, &scenario.question, outcome)?))
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

/// Works while a thread beside it draws the progress and waits for Ctrl-C.
fn watched<T>(work: impl FnOnce(&Watch) -> T) -> T {
    listen();
    let watch = Watch::new();
    std::thread::scope(|scope| {
        scope.spawn(|| watch.until_done());
        let result = work(&watch);
        watch.finish();
        result
    })
}

/// What the working threads tell the watching one.
struct Watch {
    state: Mutex<State>,
    changed: Condvar,
    start: Instant,
}

#[derive(Default)]
struct State {
    share: f64,
    done: bool,
}

impl State {
    /// Several marches of one case report in turn: never run backwards. Ones that stop early are not done.
    fn share(&mut self, share: f64) {
        if !stopped() {
            self.share = self.share.max(share.clamp(0.0, 1.0));
        }
    }
}

impl Watch {
    fn new() -> Self {
        Watch { state: Mutex::default(), changed: Condvar::new(), start: Instant::now() }
    }

    fn lock(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn finish(&self) {
        self.lock().done = true;
        self.changed.notify_all();
    }

    /// Holds the lock except while it waits, so that no answer can begin to be printed while it leaves.
    fn until_done(&self) {
        let seen = std::io::stderr().is_terminal();
        let bar = ProgressBar::with_draw_target(Some(TICKS), ProgressDrawTarget::hidden()).with_style(style());
        let mut asked: Option<Instant> = None;
        let mut state = self.lock();
        while !state.done {
            if seen && self.start.elapsed() >= PATIENCE {
                self.draw(&bar, state.share);
            }
            if stopped() && asked.get_or_insert_with(Instant::now).elapsed() >= GRACE {
                bar.finish_and_clear();
                leave();
            }
            let waited = self.changed.wait_timeout(state, BEAT);
            state = waited.unwrap_or_else(PoisonError::into_inner).0;
        }
        bar.finish_and_clear();
    }

    fn draw(&self, bar: &ProgressBar, share: f64) {
        if bar.is_hidden() {
            bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        let stops = if stopped() { "stopping" } else { "Ctrl-C stops" };
        bar.set_message(format!("{}, {stops}", times(self.start.elapsed().as_secs_f64(), share)));
        bar.set_position((share * TICKS as f64) as u64);
    }
}

/// Ends the program inside a step.
fn leave() -> ! {
    output::complain("Interrupted inside a long step: there is nothing more to show.\n");
    std::process::exit(i32::from(INTERRUPTED))
}

/// Time left by the share done; time gone while that share is too little to tell from.
fn times(elapsed_s: f64, share: f64) -> String {
    const TELLING: f64 = 0.05;
    if share < TELLING {
        return format!("{elapsed_s:.0} s so far");
    }
    format!("about {:.0} s left", elapsed_s * (1.0 - share) / share)
}

fn style() -> ProgressStyle {
    // The template is ours and valid; the plain bar stands in if a later version reads it otherwise.
    ProgressStyle::with_template("computing [{bar:40}] {percent:>3} %, {msg}")
        .unwrap_or_else(|_| ProgressStyle::default_bar())
        .progress_chars("=> ")
}

#[cfg(test)]
mod tests {
    use super::times;

    #[test]
    fn time_left_is_told_once_there_is_something_to_tell_from() {
        assert_eq!(times(7.2, 0.01), "7 s so far");
        assert_eq!(times(3.0, 0.25), "about 9 s left");
    }
}
