//! What must hold of random cases with everything on, at the engine's own steps, and what the bars say of their
//! readings.

use warmhold::heat::{Accuracy, Case, Run, Schedule, TorchKind};
use whole::lottery::Lottery;
use whole::varied::varied;
use whole::{march, nested};

const CASES: usize = 12;
/// In its first second heat goes no deeper than a fraction of these cells; a reading extrapolated from grids that have
/// not felt it may then swing by more than its bar.
const FELT_S: f64 = 1.0;

/// Grids so coarse that a case takes a twentieth of a second; the steps are those of the default.
fn quick() -> Accuracy {
    Accuracy { cells_across: 5, ..Accuracy::default() }
}

/// Coldest or hottest of the start and of all that the casting can exchange with.
fn neighbours(case: &Case, choose: fn(f64, f64) -> f64) -> f64 {
    let seen = case.surfaces.iter().flat_map(|s| {
        let pairs =
            [(s.film_coefficient, s.air_c), (s.emissivity, s.surroundings_c), (s.contact_conductance, s.contact_c)];
        pairs.into_iter().filter(|(strength, _)| *strength > 0.0).map(|(_, t)| t)
    });
    seen.fold(case.start_c, choose)
}

/// How far the readings lie beyond a floor and a roof, less their own bars, and the metal itself, K.
fn beyond(run: &Run, floor: f64, roof: f64) -> [f64; 2] {
    let out = |value: f64| (floor - value).max(value - roof);
    let samples = run.curves.iter().flat_map(|curve| curve.samples()).filter(|s| s.time_s >= FELT_S);
    let readings = samples.map(|s| out(s.value_c) - s.grid_k - s.time_k).fold(f64::MIN, f64::max);
    [readings, run.span_c.into_iter().map(out).fold(f64::MIN, f64::max)]
}

/// Asserts that readings stay within their bars of floor and roof, and the metal itself to a hundredth of a step error.
fn assert_within(run: &Run, floor: f64, roof: f64, words: &str) {
    let [readings, metal] = beyond(run, floor, roof);
    assert!(readings <= 1e-6, "{readings} K beyond its bar: {words}");
    assert!(metal <= 0.01 * quick().step_error_k, "{metal} K: {words}");
}

#[test]
fn the_ledger_closes_on_every_grid_and_nothing_is_colder_than_all_around_it() {
    let mut lottery = Lottery::new(31);
    let mut open = 0.0_f64;
    for number in 0..CASES {
        let drawn = varied(&mut lottery, number);
        let run = march(&drawn.case, &quick());
        for ledger in &run.ledgers {
            let share = ledger.residual_j().abs() / ledger.scale_j();
            open = open.max(share);
            assert!(share <= 1e-9, "{share:e} of {ledger:?}: {}", drawn.words);
        }
        assert_within(&run, neighbours(&drawn.case, f64::min), f64::INFINITY, &drawn.words);
    }
    println!("ledgers open by {open:.1e} at most");
}

#[test]
fn without_flame_and_arc_nothing_is_hotter_than_its_start_and_all_around_it() {
    let mut lottery = Lottery::new(32);
    for number in 0..CASES {
        let drawn = varied(&mut lottery, number);
        let end_s = lottery.between(100.0, 1000.0);
        let case = Case {
            torches: Vec::new(),
            passes: None,
            schedule: Schedule::Spans { on: Vec::new(), end_s },
            output_s: Vec::new(),
            start_c: lottery.between(40.0, 500.0),
            ..drawn.case
        };
        let roof = neighbours(&case, f64::max);
        assert_within(&march(&case, &quick()), neighbours(&case, f64::min), roof, &drawn.words);
    }
}

/// The bars are good for 95 of 100 readings, and these are two runs' together.
fn within_both_bars(readings: &[(f64, f64)]) -> f64 {
    let within = readings.iter().filter(|(off, bars)| off <= bars).count();
    let worst = readings.iter().map(|(off, bars)| off - bars).fold(f64::MIN, f64::max);
    println!("{within} of {} within both bars, the worst {worst:.4} K beyond", readings.len());
    within as f64 / readings.len() as f64
}

/// Differences of two runs and their bars together, K, with the sign of the second less the first.
fn apart(case: &Case, first: &Run, second: &Run) -> Vec<(f64, f64)> {
    let pairs = || first.curves.iter().zip(&second.curves);
    let at = |t: f64| pairs().map(move |(a, b)| (b.at(t) - a.at(t), a.error_at(t) + b.error_at(t)));
    case.output_s.iter().flat_map(|&t| at(t)).collect()
}

/// A case whose switches do not wait for a temperature.
fn timed(lottery: &mut Lottery, number: usize) -> Case {
    varied(lottery, number + number / 3).case
}

#[test]
fn more_flux_leaves_no_reading_colder_beyond_the_bars() {
    let mut lottery = Lottery::new(33);
    for number in 0..CASES {
        let case = timed(&mut lottery, number);
        let mut stronger = case.clone();
        match &mut stronger.torches[0].kind {
            TorchKind::Flux { flux } => *flux *= 1.05,
            TorchKind::Flame { film_coefficient, .. } => *film_coefficient *= 1.05,
        }
        let [weak, strong] = [&case, &stronger].map(|c| march(c, &quick()));
        for (more_k, bars_k) in apart(&case, &weak, &strong) {
            assert!(more_k >= -bars_k - 1e-9, "{more_k} K, bars {bars_k} K: {case:?}");
        }
    }
}

#[test]
fn one_cell_more_across_changes_readings_within_both_bars() {
    let mut lottery = Lottery::new(34);
    let mut readings = Vec::new();
    for number in 0..CASES {
        let case = timed(&mut lottery, number);
        let [five, six] = [5, 6].map(|cells_across| march(&case, &Accuracy { cells_across, ..quick() }));
        readings.extend(apart(&case, &five, &six).into_iter().map(|(off, bars)| (off.abs(), bars)));
    }
    let share = within_both_bars(&readings);
    assert!(share >= 0.95, "{share}");
}

#[test]
fn a_patch_moved_by_a_share_of_a_cell_on_a_big_block_reads_the_same_within_both_bars() {
    let mut lottery = Lottery::new(35);
    let mut readings = Vec::new();
    for form in 0..2 {
        let at = |[x, y]: [f64; 2]| {
            let mut case = whole::casting([0.8, 0.8, 0.25], 120.0);
            let patch = [whole::disc(x, y, 0.04), whole::rectangle([x, y], [0.05, 0.03])][form];
            case.torches = vec![whole::flux(patch, 1.5e5)];
            case.schedule = Schedule::Spans { on: vec![[0.0, 60.0]], end_s: 120.0 };
            case.output_s = vec![10.0, 30.0, 60.0, 65.0, 90.0, 120.0];
            let places = [[0.0; 3], [0.02, 0.0, 0.0], [0.0, 0.03, 0.0], [0.04, 0.0, 0.0], [0.0, 0.0, 0.01]];
            case.probes = places.map(|p| whole::point([x + p[0], y + p[1], p[2]])).to_vec();
            let run = march(&case, &nested(6, 1.0));
            (case, run)
        };
        let (case, still) = at([0.39, 0.41]);
        for _ in 0..4 {
            let cell = 0.03 / 6.0;
            let moved = [0.39 + lottery.between(0.1, 0.9) * cell, 0.41 + lottery.between(0.1, 0.9) * cell];
            readings.extend(apart(&case, &still, &at(moved).1).into_iter().map(|(off, bars)| (off.abs(), bars)));
        }
    }
    let share = within_both_bars(&readings);
    assert!(share >= 0.95, "{share}");
}
