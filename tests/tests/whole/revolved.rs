//! The body of revolution agrees with the block it stands for, and is taken only where it may be.

use warmhold::heat::{Accuracy, Case, Flame, Interval, Model, Pass, Passes, ProbeKind, Ring, Run, Schedule, Shape};
use whole::{alone, casting, disc, film, flame, flux, march, nested, point, probe, rectangle, still_air, table_iron};

const RADIUS: f64 = 0.04;

/// A disc on a face of 0.16 m2 and a ratio of sides, its middle off that of the face by shares of the sides; heated,
/// then left as long again.
fn patched(aspect: f64, off: [f64; 2], heat_s: f64) -> Case {
    let size = [0.4 * aspect.sqrt(), 0.4 / aspect.sqrt(), 0.15];
    let [x, y] = [0, 1].map(|n| (0.5 + off[n]) * size[n]);
    let mut case = casting(size, 2.0 * heat_s);
    case.torches = vec![flux(disc(x, y, RADIUS), 1e5)];
    case.schedule = Schedule::Spans { on: vec![[0.0, heat_s]], end_s: 2.0 * heat_s };
    case.output_s = [0.2, 0.5, 1.0, 1.1, 1.4, 2.0].map(|share| share * heat_s).to_vec();
    let ring = Ring { groove: disc(x, y, 0.2 * RADIUS), width: 0.4 * RADIUS, depth: 0.006 };
    case.probes = [[0.0; 3], [0.6 * RADIUS, 0.0, 0.0], [0.0, 0.6 * RADIUS, 0.0], [0.0, 0.0, 0.02]]
        .map(|at| point([x + at[0], y + at[1], at[2]]))
        .to_vec();
    case.probes.extend([ProbeKind::RingColdest(ring), ProbeKind::RingMean(ring)].map(probe));
    case
}

/// Largest share of both bars that the runs lie apart, with what it was.
fn farthest(case: &Case, revolved: &Run, block: &Run) -> (f64, String) {
    let mut worst = (0.0, String::new());
    for &time_s in &case.output_s {
        for (probe, (r, b)) in case.probes.iter().zip(revolved.curves.iter().zip(&block.curves)) {
            let (off_k, bars_k) = ((r.at(time_s) - b.at(time_s)).abs(), [r.error_at(time_s), b.error_at(time_s)]);
            let ratio = off_k / (bars_k[0] + bars_k[1]);
            if ratio > worst.0 {
                worst = (ratio, format!("{off_k:.4} K, bars {bars_k:.4?} K at {time_s} s, {:.50}", probe.name));
            }
        }
    }
    worst
}

/// Marches both bodies; returns how far apart they are, in bars.
fn compare(what: &str, case: &Case) -> f64 {
    let [revolved, block] =
        [Model::Revolved, Model::Block].map(|model| march(case, &Accuracy { model, ..nested(6, 1.0) }));
    assert_eq!(revolved.model, "axisymmetric");
    assert_ne!(block.model, "axisymmetric");
    let (ratio, words) = farthest(case, &revolved, &block);
    println!("{what}: {ratio:.2} of both bars, {words}");
    ratio
}

#[test]
fn a_body_of_revolution_agrees_with_the_block_within_both_bars() {
    let mut worst = 0.0_f64;
    for aspect in [1.0, 1.6, 2.5] {
        for off in [[0.0, 0.0], [0.1, -0.06]] {
            for heat_s in [60.0, 900.0] {
                let what = format!("sides {aspect} to 1, off by {off:?}, {heat_s} s");
                worst = worst.max(compare(&what, &patched(aspect, off, heat_s)));
            }
        }
    }
    println!("farthest apart: {worst:.2} of both bars");
    assert!(worst <= 1.0, "{worst} of both bars");
}

#[test]
fn with_losses_tables_and_hot_gas_it_agrees_as_well() {
    let mut worst = 0.0_f64;
    for aspect in [1.0, 2.5] {
        for heat_s in [60.0, 900.0] {
            let mut case = patched(aspect, [0.05, 0.0], heat_s);
            case.material = table_iron();
            case.surfaces = [still_air(); 6];
            case.surfaces[5] = film(60.0);
            case.torches = vec![flame(case.torches[0].patch, 150.0)];
            worst = worst.max(compare(&format!("hot gas, sides {aspect} to 1, {heat_s} s"), &case));
        }
    }
    assert!(worst <= 1.0, "{worst} of both bars");
}

/// A small disc in the middle of a big block, for a minute.
fn small_on_big() -> Case {
    let mut case = patched(1.0, [0.0; 2], 60.0);
    case.block.size = [1.2, 1.2, 0.4];
    case.torches = vec![flux(disc(0.6, 0.6, RADIUS), 1e5)];
    case.probes = vec![point([0.6, 0.6, 0.0])];
    case
}

/// What body the smallest model takes, and why.
fn taken(case: &Case) -> (&'static str, String) {
    let run = march(case, &Accuracy { model: Model::Smallest, ..alone(4, 1.0) });
    (run.model, run.model_reason)
}

fn with_bead(place: Shape) -> Case {
    let list = vec![Pass { place, power: 1500.0, arc_s: 5.0, pause_s: 5.0 }];
    Case {
        passes: Some(Passes { list, first_after_s: 2.0, per_heat: 1, ..Passes::default() }),
        schedule: Schedule::Cycles {
            heat_up: Flame::For { seconds: 60.0 },
            interval: Interval::Fixed { seconds: 30.0 },
            reheat: Flame::For { seconds: 20.0 },
            reheats: 0,
            after_s: 0.0,
        },
        output_s: Vec::new(),
        ..small_on_big()
    }
}

#[test]
fn a_small_disc_on_a_big_block_is_taken_as_a_body_of_revolution() {
    for case in [small_on_big(), with_bead(disc(0.6, 0.6, 0.01))] {
        let (model, reason) = taken(&case);
        assert_eq!(model, "axisymmetric", "{reason}");
        assert!(reason.contains("round"), "{reason}");
    }
}

#[test]
fn what_is_not_round_or_not_far_from_every_edge_is_solved_as_a_block_and_says_why() {
    let patch = |patch| Case { torches: vec![flux(patch, 1e5)], ..small_on_big() };
    let mut long = patched(1.0, [0.0; 2], 900.0);
    long.block.size = [0.3, 0.3, 0.15];
    long.torches = vec![flux(disc(0.15, 0.15, RADIUS), 1e5)];
    long.probes = Vec::new();
    let cases = [
        (patch(rectangle([0.6; 2], [0.04, 0.03])), "quarter", "not one disc"),
        (with_bead(disc(0.61, 0.6, 0.01)), "half", "passes"),
        (with_bead(rectangle([0.6; 2], [0.01, 0.005])), "quarter", "passes"),
        (patch(disc(0.06, 0.6, RADIUS)), "half", "edges"),
        (long, "quarter", "edges"),
    ];
    for (case, wanted, word) in cases {
        let (model, reason) = taken(&case);
        println!("{model}: {reason}");
        assert_eq!(model, wanted, "{reason}");
        assert!(reason.contains(word), "{reason}");
    }
}
