//! The rule of the verdict, on cases built for it.

use warmhold::heat::{Accuracy, Case, Flame, Interval, Pass, Passes, Ring, Schedule};
use warmhold::study::{Lever, Outcome, Question, Range, RingProbes, Verdict, Window, check, ring_probes};
use whole::{casting, disc, flame, flux, nested, rectangle, still_air};

/// A case and what is asked of it.
#[derive(Clone)]
struct Job {
    case: Case,
    question: Question,
}

const MINIMUM_C: f64 = 150.0;
const MIDDLE: [f64; 2] = [0.25, 0.2];

impl Job {
    /// A small block, heated by a flux until the ring reads 190 C, twice, and left for an interval each time.
    fn new(interval_s: f64) -> Job {
        Job::with_ring(interval_s, 0.03)
    }

    fn with_ring(interval_s: f64, width: f64) -> Job {
        let mut case = casting([0.5, 0.4, 0.15], 1.0);
        case.surfaces = [still_air(); 6];
        let patch = disc(MIDDLE[0], MIDDLE[1], 0.08);
        case.torches = vec![flux(patch, 1.5e5)];
        let ring = Ring { groove: rectangle(MIDDLE, [0.015, 0.005]), width, depth: 0.006 };
        let probes = ring_probes(&mut case, ring, patch);
        let until = |at_most_s| Flame::Until { probe: probes.coldest, temperature_c: 190.0, at_most_s };
        case.schedule = Schedule::Cycles {
            heat_up: until(1800.0),
            interval: Interval::Fixed { seconds: interval_s },
            reheat: until(900.0),
            reheats: 1,
            after_s: 0.0,
        };
        Job { question: question((ring, probes)), case }
    }

    fn interval(mut self, new: Interval) -> Job {
        if let Schedule::Cycles { interval, .. } = &mut self.case.schedule {
            *interval = new;
        }
        self
    }

    /// Flames of fixed times, the first one and each reheat.
    fn heated_for(mut self, first_s: f64, again_s: f64) -> Job {
        if let Schedule::Cycles { heat_up, reheat, .. } = &mut self.case.schedule {
            (*heat_up, *reheat) = (Flame::For { seconds: first_s }, Flame::For { seconds: again_s });
        }
        self
    }

    fn reheats(mut self, new: usize) -> Job {
        if let Schedule::Cycles { reheats, .. } = &mut self.case.schedule {
            *reheats = new;
        }
        self
    }

    fn window(mut self, change: impl Fn(&mut Window)) -> Job {
        self.question.window.iter_mut().for_each(change);
        self
    }

    fn beads(mut self, first_after_s: f64, per_heat: usize) -> Job {
        let pass = Pass { place: rectangle(MIDDLE, [0.015, 0.005]), power: 1500.0, arc_s: 5.0, pause_s: 15.0 };
        self.case.passes = Some(Passes { list: vec![pass], first_after_s, per_heat, ..Passes::default() });
        self
    }

    fn ranges(mut self, ends: &[(Lever, f64, f64)]) -> Job {
        let range = |&(lever, low, high): &(Lever, f64, f64)| Range { lever, low, high, source: "a guess".to_owned() };
        self.question.ranges = ends.iter().map(range).collect();
        self
    }

    fn accuracy(mut self, accuracy: Accuracy) -> Job {
        self.question.accuracy = accuracy;
        self
    }

    fn check(&self) -> Outcome {
        check(&self.case, &self.question, &|_| true).expect("the case must march")
    }
}

fn question(ring: (Ring, RingProbes)) -> Question {
    Question {
        title: "constructed".to_owned(),
        metal: "iron".to_owned(),
        window: Some(Window { minimum_c: MINIMUM_C, maximum_interpass_c: 400.0, surface_limit_c: None }),
        ring: Some(ring),
        guard_k: 0.0,
        working_time_s: None,
        watches: Vec::new(),
        ranges: Vec::new(),
        supply: None,
        circle_s: None,
        brittle: None,
        weld: Default::default(),
        ring_rule: Default::default(),
        last_temper_c: None,
        cautions: Vec::new(),
        warnings: Vec::new(),
        accuracy: nested(5, 0.2),
        request: None,
        input_sha256: String::new(),
    }
}

fn margin(outcome: &Outcome) -> f64 {
    outcome.margin_k.expect("a window was given")
}

fn bar(outcome: &Outcome) -> f64 {
    outcome.error.grid_k + outcome.error.time_k
}

/// The interval at which the margin vanishes, s, by bisection on single-cycle runs.
fn critical_interval() -> f64 {
    let (mut inside, mut outside) = (1.0, 120.0);
    for _ in 0..14 {
        let middle = 0.5 * (inside + outside);
        if margin(&Job::new(middle).check()) > 0.0 { inside = middle } else { outside = middle }
    }
    0.5 * (inside + outside)
}

#[test]
fn verdicts_pass_from_holds_through_too_close_to_falls_short_as_the_interval_grows() {
    let critical_s = critical_interval();
    let outcome = Job::new(critical_s).check();
    assert!(margin(&outcome).abs() < 0.05, "{}", margin(&outcome));
    assert_eq!(outcome.verdict, Verdict::TooCloseToCall, "bar {}", bar(&outcome));

    let shares = [0.5, 0.8, 0.9, 0.95, 0.98, 0.99, 1.0, 1.01, 1.02, 1.05, 1.1, 1.2, 1.5];
    let rank = |v: Verdict| [Verdict::Holds, Verdict::TooCloseToCall, Verdict::FallsShort].iter().position(|&w| w == v);
    let mut before = Some(0);
    for share in shares {
        let outcome = Job::new(share * critical_s).check();
        println!(
            "{share} of {critical_s:.2} s: {:.2} K +- {:.2}, {:?}",
            margin(&outcome),
            bar(&outcome),
            outcome.verdict
        );
        let (margin_k, bar_k) = (margin(&outcome), bar(&outcome));
        let due = match margin_k {
            _ if margin_k > bar_k => Verdict::Holds,
            _ if margin_k < -bar_k => Verdict::FallsShort,
            _ => Verdict::TooCloseToCall,
        };
        assert_eq!(outcome.verdict, due, "{margin_k} +- {bar_k}");
        assert!(rank(outcome.verdict) >= before, "the verdict went back at {share}");
        assert_eq!(outcome.first_breach.is_some(), margin_k < 0.0);
        before = rank(outcome.verdict);
    }
    assert_eq!(before, Some(2));
}

#[test]
fn without_a_window_nothing_is_asked() {
    let mut job = Job::new(20.0);
    job.question.window = None;
    let outcome = job.check();
    assert_eq!((outcome.verdict, outcome.margin_k, outcome.hold_s), (Verdict::NotAsked, None, None));
}

#[test]
fn a_ring_hotter_than_the_maximum_interpass_is_a_breach() {
    let cool = Job::new(5.0).check();
    assert_eq!(cool.verdict, Verdict::Holds);
    let outcome = Job::new(5.0).window(|w| w.maximum_interpass_c = 195.0).check();
    assert_eq!(outcome.verdict, Verdict::FallsShort);
    let breach = outcome.first_breach.clone().expect("the ring is too hot");
    assert_eq!((breach.place.as_str(), breach.limit_c), ("ring, hottest", 195.0));
    assert!(breach.temperature_c > 195.0 && breach.time_s == outcome.heats[0].end_s, "{breach:?}");
    assert!((margin(&outcome) - (195.0 - breach.temperature_c)).abs() < 10.0);
}

#[test]
fn a_surface_hotter_than_its_limit_under_the_flame_is_a_breach() {
    let hottest_c = 205.0;
    let outcome = Job::new(5.0).window(|w| w.surface_limit_c = Some(hottest_c)).check();
    let breach = outcome.first_breach.clone().expect("the surface gets hotter than the ring by far");
    assert_eq!((outcome.verdict, breach.place.as_str()), (Verdict::FallsShort, "surface under the flame"));
    let [start_s, end_s] = [outcome.heats[0].start_s, outcome.heats[0].end_s];
    assert!(breach.temperature_c > hottest_c && (start_s..=end_s).contains(&breach.time_s), "{breach:?}");
    let allowed = Job::new(5.0).window(|w| w.surface_limit_c = Some(breach.temperature_c + 50.0)).check();
    assert_eq!(allowed.verdict, Verdict::Holds);
}

#[test]
fn a_flame_that_never_reaches_its_target_warns() {
    let mut job = Job::new(5.0).reheats(0);
    assert!(job.check().warnings.is_empty());
    if let Schedule::Cycles { heat_up: Flame::Until { at_most_s, .. }, .. } = &mut job.case.schedule {
        *at_most_s = 30.0;
    }
    let outcome = job.check();
    assert_eq!(outcome.verdict, Verdict::FallsShort);
    assert!(outcome.warnings.iter().any(|w| w.contains("without reaching the target")), "{:?}", outcome.warnings);
    assert_eq!(outcome.heats[0].end_s, 30.0);
}

#[test]
fn an_interval_that_ends_by_temperature_is_judged_by_the_working_time() {
    let guarded = |working_time_s: f64| {
        let (_, probes) = Job::new(1.0).question.ring.expect("there is a ring");
        let temperature_c = MINIMUM_C + 10.0;
        let falls = Interval::UntilFalls { probe: probes.coldest, temperature_c, at_most_s: 300.0 };
        let mut job = Job::new(1.0).interval(falls);
        job.question.guard_k = 10.0;
        job.question.working_time_s = Some(working_time_s);
        job.check()
    };
    let short = guarded(1.0);
    let fits_s = short.heats[1].start_s - short.heats[0].end_s;
    assert_eq!(short.verdict, Verdict::Holds);
    // The second interval is a little longer than the first, so the first is the worst.
    let long = guarded(1.5 * fits_s);
    assert_eq!(long.verdict, Verdict::FallsShort);
    assert!((long.margin_s.expect("a time is judged") + 0.5 * fits_s).abs() < 0.05 * fits_s, "{:?}", long.margin_s);
    let close = guarded(fits_s);
    assert!(close.margin_s.expect("a time is judged").abs() < 1e-6 * fits_s, "{:?}", close.margin_s);
    assert_eq!(close.verdict, Verdict::TooCloseToCall);
}

#[test]
fn zero_one_or_two_beads_fit_as_the_minimum_comes_down() {
    let job = Job::new(60.0).beads(5.0, 2);
    let seen = job.check();
    let cold: Vec<[f64; 2]> = (1..=2)
        .map(|heat| {
            [1, 2].map(|number| {
                let found = seen.passes.iter().find(|p| p.heat == heat && p.number == number);
                found.expect("two passes a heat were laid").coldest_c
            })
        })
        .collect();
    let lowest = |number: usize| cold[0][number].min(cold[1][number]);
    assert!(lowest(1) + 4.0 < lowest(0), "{cold:?}");
    for (minimum_c, beads) in
        [(lowest(0) + 2.0, 0), (0.5 * (lowest(0) + cold[0][1].max(cold[1][1])), 1), (lowest(1) - 2.0, 2)]
    {
        let outcome = job.clone().window(|w| w.minimum_c = minimum_c).check();
        assert_eq!(outcome.beads_per_heat, Some(beads), "minimum {minimum_c}, {cold:?}");
        assert_eq!(outcome.planned_per_heat, Some(2));
        assert_eq!(outcome.verdict == Verdict::FallsShort, beads < 2, "{:?} {beads}", outcome.verdict);
    }
}

#[test]
fn a_wait_shortened_by_the_negative_margin_starts_the_bead_at_the_limit() {
    for (wait_s, reheats) in [(30.0, 0), (45.0, 0), (60.0, 1)] {
        let late = Job::new(90.0).reheats(reheats).beads(wait_s, 1).check();
        let margin_s = late.margin_s.expect("a wait is judged");
        assert!(margin_s < 0.0 && late.verdict == Verdict::FallsShort, "{wait_s}: {margin_s}");
        let sooner = Job::new(90.0).reheats(reheats).beads(wait_s + margin_s, 1).check();
        println!("{wait_s} s: {margin_s:.2} s, then {:.3} K", margin(&sooner));
        assert!(margin(&sooner).abs() < 1.0, "{wait_s} s, {reheats}: {margin_s} s, then {} K", margin(&sooner));
    }
}

#[test]
fn a_positive_margin_of_the_wait_is_on_the_safe_side() {
    for wait_s in [3.0, 8.0] {
        let early = Job::new(90.0).reheats(0).beads(wait_s, 1).check();
        let margin_s = early.margin_s.expect("a wait is judged");
        assert!(margin_s > 0.0);
        let later = Job::new(90.0).reheats(0).beads(wait_s + margin_s, 1).check();
        assert!(margin(&later) > -bar(&later), "{wait_s} s: {margin_s} s, then {} K", margin(&later));
    }
}

#[test]
fn a_wider_ring_never_holds_longer() {
    let mut before_s = f64::INFINITY;
    for width in [0.01, 0.02, 0.03, 0.04, 0.05, 0.06] {
        // Heated for a fixed time, so that only the ring differs.
        let job = Job::with_ring(20.0, width).heated_for(1200.0, 60.0).reheats(0);
        let hold_s = job.check().hold_s.expect("it falls in the end");
        println!("ring {width} m: {hold_s:.2} s");
        assert!(hold_s < before_s, "{width} m: {hold_s} s after {before_s} s");
        before_s = hold_s;
    }
}

#[test]
fn a_warmer_body_holds_longer() {
    let hold = |start_c: f64| {
        let mut job = Job::new(20.0).reheats(0);
        job.case.start_c = start_c;
        job.check().hold_s.expect("it falls in the end")
    };
    let holds = [20.0, 60.0, 100.0, 130.0].map(hold);
    println!("hold from 20, 60, 100 and 130 C: {holds:.2?} s");
    assert!(holds.windows(2).all(|pair| pair[1] > pair[0]), "{holds:?}");
}

/// Asserts that the margin of a run twice as fine lies within both bars.
fn assert_covered(what: &str, job: &Job) {
    let (coarse, fine) = (job.check(), job.clone().accuracy(nested(10, 0.025)).check());
    let off = (margin(&coarse) - margin(&fine)).abs();
    println!("{what}: off {off:.3} K, bars {:.3} and {:.3} K", bar(&coarse), bar(&fine));
    assert!(off <= bar(&coarse) + bar(&fine), "{what}: {off} K, {} and {} K", bar(&coarse), bar(&fine));
}

fn flaming(mut job: Job) -> Job {
    job.case.torches = vec![flame(disc(MIDDLE[0], MIDDLE[1], 0.08), 150.0)];
    job.case.material = whole::table_iron();
    job
}

#[test]
fn the_error_bar_of_the_margin_covers_a_finer_run() {
    for interval_s in [5.0, 15.0, 30.0, 60.0] {
        assert_covered(&format!("{interval_s} s"), &Job::new(interval_s).heated_for(1000.0, 100.0));
    }
    for wait_s in [10.0, 25.0] {
        assert_covered(&format!("bead at {wait_s} s"), &Job::new(60.0).heated_for(1000.0, 100.0).beads(wait_s, 1));
    }
    assert_covered("wide ring", &Job::with_ring(20.0, 0.05).heated_for(1000.0, 100.0));
    assert_covered("flame", &flaming(Job::new(20.0)).heated_for(450.0, 100.0));
}

/// The flame goes off when a probe reads its target; that reading is off by its own error, so that the flame is too
/// long or too short, and everything after it is too hot or too cold by about as much.
#[test]
fn the_error_bar_of_the_margin_covers_a_finer_run_where_the_flame_ends_by_temperature() {
    for interval_s in [5.0, 15.0, 30.0, 60.0] {
        assert_covered(&format!("{interval_s} s"), &Job::new(interval_s));
    }
    assert_covered("bead", &Job::new(60.0).beads(10.0, 1));
    assert_covered("flame", &flaming(Job::new(20.0)));
}

#[test]
fn the_worst_end_is_never_better_than_the_nominal() {
    let ranges = [
        (Lever::Conductivity, 0.88, 1.12),
        (Lever::SpecificHeat, 0.89, 1.04),
        (Lever::TorchStrength, 0.5, 1.5),
        (Lever::Emissivity, 0.8, 1.2),
        (Lever::FilmCoefficient, 0.6, 1.5),
        (Lever::ArcPower, 0.8, 1.2),
    ];
    for job in [Job::new(10.0), Job::new(40.0), Job::new(60.0).beads(15.0, 2)] {
        let plain = job.check();
        assert_eq!((plain.error.input_k, plain.worst_end, plain.inputs.len()), (None, None, 0));
        for ranges in [&ranges[..1], &ranges[2..3], &ranges[..]] {
            let outcome = job.clone().ranges(ranges).check();
            let worst = outcome.worst_end.expect("ranges were stated");
            assert_eq!(outcome.margin_k, plain.margin_k, "ranges do not move the nominal answer");
            assert!(worst.margin_k <= margin(&outcome) && outcome.error.input_k >= Some(0.0));
            assert!(outcome.inputs.iter().all(|i| worst.margin_k <= i.margin_low_k.min(i.margin_high_k) + 1e-9));
            assert!((margin(&outcome) - worst.margin_k - outcome.error.input_k.unwrap_or(f64::NAN)).abs() < 1e-9);
        }
    }
}

#[test]
fn a_range_turns_holds_into_too_close_but_never_into_falls_short() {
    let job = Job::new(10.0);
    assert_eq!(job.check().verdict, Verdict::Holds);
    let outcome = job.ranges(&[(Lever::TorchStrength, 0.05, 1.0)]).check();
    assert_eq!(outcome.verdict, Verdict::TooCloseToCall, "a torch of a twentieth cannot reach the target");
    assert!(outcome.worst_end.is_some_and(|w| w.margin_k < 0.0));
}

/// The worst margin with a maximum can only be smaller than without: another limit close by must not hide what the ranges
/// do to the minimum. Here the stated values are nearest to the maximum, and the strong torch leaves the minimum nearest.
#[test]
fn a_maximum_close_by_does_not_hide_the_worst_end_of_the_minimum() {
    let range = |lever, low, high| Range { lever, low, high, source: String::new() };
    let worst_k = |maximum_interpass_c: f64| {
        let mut job = Job::new(6.0);
        job.question.ranges = vec![
            range(Lever::TorchStrength, 0.7, 1.6),
            range(Lever::Conductivity, 0.88, 1.12),
            range(Lever::SpecificHeat, 0.89, 1.04),
        ];
        job.question.window = Some(Window { minimum_c: MINIMUM_C, maximum_interpass_c, surface_limit_c: None });
        let outcome = check(&job.case, &job.question, &|_| true).unwrap();
        (outcome.worst_end.unwrap().margin_k, outcome.margin_k.unwrap())
    };
    let (alone_k, wide_k) = worst_k(900.0);
    for above_k in [0.0, 3.0, 6.0, 12.0, 24.0] {
        // The hottest of the ring as the flame goes off stands some way above the coldest.
        let (worst_k, stated_k) = worst_k(230.0 + above_k);
        assert!(worst_k <= alone_k + 1e-9 && stated_k <= wide_k, "{above_k}: {worst_k} {alone_k} {stated_k} {wide_k}");
    }
}
