//! Many cases at once, on all cores.

use std::sync::atomic::{AtomicBool, Ordering};

use heat::Case;
use rayon::prelude::*;

/// What became of one case of a sweep.
#[derive(Clone, Debug, PartialEq)]
pub enum Swept<A> {
    /// Its answer.
    Answer(A),
    /// Why it has none; the others are not held up.
    Failed(heat::Error),
    /// The sweep was stopped before it.
    NotRun,
}

impl<A> Swept<A> {
    /// The answer, if there is one.
    pub fn answer(self) -> Option<A> {
        match self {
            Swept::Answer(answer) => Some(answer),
            Swept::Failed(_) | Swept::NotRun => None,
        }
    }
}

/// Every answer; none where the sweep was stopped before its end.
///
/// # Errors
/// That of the first case that failed.
pub(crate) fn all<A>(swept: Vec<Swept<A>>) -> Result<Option<Vec<A>>, heat::Error> {
    let one = |swept| match swept {
        Swept::Answer(answer) => Ok(Some(answer)),
        Swept::Failed(error) => Err(error),
        Swept::NotRun => Ok(None),
    };
    swept.into_iter().map(one).collect::<Result<Option<Vec<A>>, _>>()
}

/// Answers many cases, one to a core, in the order of the cases.
///
/// Each case is marched on one core from start to end, so the answers are the same bits for any number of cores. Memory
/// is what one case takes (at most 1 GiB, see [`heat::forecast`]) times the cores. `keep_going` is asked with the
/// share of the cases done before each case, and `answer` gets a flag to look at meanwhile: once it is false, cases
/// that have not begun are left out, and `answer` should give what it has or an error.
pub fn sweep<A: Send>(
    cases: &[Case],
    keep_going: &(dyn Fn(f64) -> bool + Sync),
    answer: impl Fn(usize, &Case, &(dyn Fn() -> bool + Sync)) -> Result<A, heat::Error> + Sync,
) -> Vec<Swept<A>> {
    let stopped = AtomicBool::new(false);
    let done = std::sync::atomic::AtomicUsize::new(0);
    let going = || {
        if !keep_going(done.load(Ordering::Relaxed) as f64 / cases.len().max(1) as f64) {
            stopped.store(true, Ordering::Relaxed);
        }
        !stopped.load(Ordering::Relaxed)
    };
    let one = |(number, case): (usize, &Case)| {
        if !going() {
            return Swept::NotRun;
        }
        let swept = match answer(number, case, &going) {
            Ok(answer) => Swept::Answer(answer),
            Err(error) => Swept::Failed(error),
        };
        done.fetch_add(1, Ordering::Relaxed);
        swept
    };
    cases.par_iter().enumerate().with_max_len(1).map(one).collect()
}

#[cfg(test)]
mod tests {
    use heat::{Accuracy, Block, Grids, Material, Model, Probe, ProbeKind, Schedule, Shape, Surface, Torch, TorchKind};

    use super::*;

    fn case(flux: f64) -> Case {
        Case {
            block: Block { size: [0.5, 0.4, 0.2] },
            hollows: heat::Hollows::default(),
            material: Material::constant(7200.0, 46.0, 500.0).unwrap(),
            start_c: 20.0,
            surfaces: [Surface::ADIABATIC; 6],
            torches: vec![Torch::new(Shape::Disc { centre: [0.25, 0.2], radius: 0.06 }, TorchKind::Flux { flux })],
            heaters: Vec::new(),
            covers: Vec::new(),
            schedule: Schedule::Spans { on: vec![[0.0, 60.0]], end_s: 90.0 },
            passes: None,
            probes: vec![Probe { name: "middle".to_owned(), kind: ProbeKind::Point { at: [0.25, 0.2, 0.0] } }],
            output_s: vec![],
        }
    }

    fn peak(case: &Case) -> Result<f64, heat::Error> {
        let accuracy =
            Accuracy { cells_across: 6, grids: Grids::MiddleOnly, model: Model::Block, ..Accuracy::default() };
        heat::solve(case, &accuracy, &|_| true).map(|run| run.curves[0].at(60.0))
    }

    fn cases() -> Vec<Case> {
        (1..=12).map(|n| case(2e4 * f64::from(n))).collect()
    }

    #[test]
    fn answers_come_in_the_order_of_the_cases_and_do_not_depend_on_the_cores() {
        let on = |threads: usize| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            pool.install(|| sweep(&cases(), &|_| true, |_, case, _| peak(case)))
        };
        let one = on(1);
        assert_eq!(one, on(2));
        assert_eq!(one, on(5));
        let peaks: Vec<f64> = one.into_iter().filter_map(Swept::answer).collect();
        assert!(peaks.len() == 12 && peaks.windows(2).all(|pair| pair[0] < pair[1]), "{peaks:?}");
    }

    #[test]
    fn a_case_that_fails_is_told_and_the_others_are_answered() {
        let mut cases = cases();
        cases[3].start_c = f64::NAN;
        let swept = sweep(&cases, &|_| true, |_, case, _| peak(case));
        assert!(matches!(swept[3], Swept::Failed(heat::Error::OutOfRange { .. })));
        assert_eq!(swept.into_iter().filter_map(Swept::answer).count(), 11);
    }

    #[test]
    fn a_sweep_that_is_stopped_returns_what_is_done() {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
        let swept = pool.install(|| sweep(&cases(), &|share| share < 0.4, |_, case, _| peak(case)));
        let answered = swept.iter().take_while(|one| matches!(one, Swept::Answer(_))).count();
        assert!((3..=6).contains(&answered), "{answered}");
        assert!(swept[answered..].iter().all(|one| *one == Swept::NotRun));
    }
}
