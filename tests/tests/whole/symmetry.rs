//! A mirrored case gives mirrored readings, and what symmetry saves changes nothing.

use warmhold::heat::{Case, Flame, Integrator, Interval, Pass, Passes, Probe, ProbeKind, Ring, Schedule, Shape};
use whole::lottery::Lottery;
use whole::{apart, casting, disc, film, flame, flux, march, march_equally, nested, point, readings, still_air};

/// The case seen in a mirror across the middle of a direction, 0 for x and 1 for y.
fn mirrored(case: &Case, direction: usize) -> Case {
    let middle = 0.5 * case.block.size[direction];
    let flip = |shape: Shape| shape.mirrored(direction, middle);
    let mut image = case.clone();
    image.surfaces.swap(2 * direction, 2 * direction + 1);
    image.torches.iter_mut().for_each(|torch| torch.patch = flip(torch.patch));
    image.passes.iter_mut().flat_map(|p| &mut p.list).for_each(|pass| pass.place = flip(pass.place));
    image.probes.iter_mut().for_each(|probe| flip_probe(probe, direction, middle));
    image
}

fn flip_probe(probe: &mut Probe, direction: usize, middle: f64) {
    let flip = |shape: &mut Shape| *shape = shape.mirrored(direction, middle);
    match &mut probe.kind {
        ProbeKind::Point { at } => at[direction] = 2.0 * middle - at[direction],
        ProbeKind::PatchMean(shape) | ProbeKind::PatchColdest(shape) | ProbeKind::PatchHottest(shape) => flip(shape),
        ProbeKind::RingColdest(Ring { groove, .. })
        | ProbeKind::RingHottest(Ring { groove, .. })
        | ProbeKind::RingMean(Ring { groove, .. }) => flip(groove),
    }
}

/// Adds a bead that lies to one side, and different losses on every face.
fn lopsided(mut case: Case) -> Case {
    for (n, surface) in case.surfaces.iter_mut().enumerate() {
        *surface = film(5.0 + 10.0 * n as f64);
    }
    let [x, y] = case.torches[0].patch.centre();
    let place = whole::rectangle([x + 0.004, y - 0.003], [0.011, 0.004]);
    let pass = Pass { place, power: 1500.0, arc_s: 10.0, pause_s: 10.0 };
    case.passes = Some(Passes { list: vec![pass], first_after_s: 5.0, per_heat: 2, ..Passes::default() });
    case.schedule = Schedule::Cycles {
        heat_up: Flame::For { seconds: 60.0 },
        interval: Interval::Fixed { seconds: 60.0 },
        reheat: Flame::For { seconds: 20.0 },
        reheats: 1,
        after_s: 0.0,
    };
    case.output_s = vec![30.0, 60.0, 65.0, 90.0, 140.0, 200.0];
    case
}

#[test]
fn a_mirrored_case_gives_mirrored_readings() {
    let mut lottery = Lottery::new(7);
    let mut worst = 0.0_f64;
    for _ in 0..8 {
        let case = lopsided(lottery.case());
        for direction in [0, 1] {
            let image = mirrored(&case, direction);
            let [run, seen] = [&case, &image].map(|c| march_equally(c, 5, Integrator::Rodas4, 5.0));
            for &time_s in &case.output_s {
                let off = apart(&readings(&run, time_s), &readings(&seen, time_s));
                worst = worst.max(off);
                assert!(off < 1e-9, "{off:e} K at {time_s} s, direction {direction}: {case:?}");
            }
        }
    }
    println!("mirror images differ by {worst:.1e} K at most");
}

/// The engine solves its systems to a hundredth of the step error it is asked for, and may stop one iteration sooner on
/// one side of the mirror.
#[test]
fn the_engines_own_steps_see_the_same_in_the_mirror_to_a_hundredth_of_the_step_error() {
    const STEP_ERROR_K: f64 = 0.2;
    let mut lottery = Lottery::new(8);
    for _ in 0..3 {
        let case = lopsided(lottery.case());
        let [run, seen] = [case.clone(), mirrored(&case, 0)].map(|c| march(&c, &nested(4, STEP_ERROR_K)));
        assert_eq!(run.stats.steps, seen.stats.steps);
        for &time_s in &case.output_s {
            let off = apart(&readings(&run, time_s), &readings(&seen, time_s));
            assert!(off < 0.01 * STEP_ERROR_K, "{off:e} K at {time_s} s: {case:?}");
        }
    }
}

/// A case with two planes of symmetry, of such proportions that the grid of the whole is that of the quarter mirrored.
fn symmetric(torch: warmhold::heat::Torch) -> Case {
    let mut case = casting([0.3, 0.3, 0.1], 120.0);
    case.surfaces = [still_air(); 6];
    case.torches = vec![torch];
    case.schedule = Schedule::Spans { on: vec![[0.0, 60.0]], end_s: 120.0 };
    case.probes = [[0.15, 0.15, 0.0], [0.19, 0.15, 0.0], [0.1, 0.13, 0.0], [0.0, 0.3, 0.1], [0.15, 0.2, 0.02]]
        .map(point)
        .to_vec();
    case
}

/// The same case with one film so little stronger that only the search for symmetry can tell.
fn broken(case: &Case, face: usize) -> Case {
    let mut case = case.clone();
    case.surfaces[face].film_coefficient *= 1.0 + 1e-12;
    case
}

#[test]
fn a_quarter_a_half_and_the_whole_agree() {
    for torch in [flux(disc(0.15, 0.15, 0.06), 2e5), flame(whole::rectangle([0.15; 2], [0.06, 0.06]), 200.0)] {
        let quarter = symmetric(torch);
        let (half, full) = (broken(&quarter, 0), broken(&broken(&quarter, 0), 2));
        let runs = [&quarter, &half, &full].map(|c| march_equally(c, 8, Integrator::Rodas4, 4.0));
        assert_eq!(runs.each_ref().map(|r| r.model), ["quarter", "half", "full"]);
        let heat = runs.each_ref().map(|r| r.ledger);
        for time_s in [20.0, 60.0, 80.0, 120.0] {
            for other in &runs[1..] {
                let off = apart(&readings(&runs[0], time_s), &readings(other, time_s));
                assert!(off < 1e-6, "{} against {}: {off:e} K at {time_s} s", runs[0].model, other.model);
            }
        }
        assert!((heat[0].torch_j / heat[2].torch_j - 1.0).abs() < 1e-9, "{heat:?}");
        assert!((heat[0].radiation_j / heat[2].radiation_j - 1.0).abs() < 1e-9, "{heat:?}");
    }
}

/// A bar is good for 95 readings of 100, here on grids of 6 cells across; more misses than that and it is no bar.
#[test]
fn where_the_grids_of_quarter_and_whole_differ_the_error_bars_cover_it() {
    let mut lottery = Lottery::new(9);
    let (mut readings, mut missed) = (0, 0);
    for _ in 0..4 {
        let mut case = lottery.case();
        let size = case.block.size;
        let middle = [0.5 * size[0], 0.5 * size[1]];
        case.torches[0].patch = disc(middle[0], middle[1], 0.2 * size[0].min(size[1]));
        let [quarter, full] = [case.clone(), broken(&broken(&case, 0), 2)].map(|c| march(&c, &nested(6, 0.2)));
        let split = case.surfaces[0].film_coefficient > 0.0;
        assert_eq!((quarter.model, full.model), ("quarter", if split { "full" } else { "quarter" }));
        for &time_s in &case.output_s {
            for (a, b) in quarter.curves.iter().zip(&full.curves) {
                let (off, bar) = ((a.at(time_s) - b.at(time_s)).abs(), a.error_at(time_s) + b.error_at(time_s));
                if off > bar {
                    println!("{off} K, bar {bar} K at {time_s} s");
                }
                readings += 1;
                missed += usize::from(off > bar);
            }
        }
    }
    println!("{missed} of {readings} missed");
    assert!(20 * missed <= readings, "{missed} of {readings}");
}
