//! Bodies with hollows: what is taken out of a block is gone, and nothing else changes.

use warmhold::heat::{Case, Hollows, Integrator, Method, ProbeKind, Ring, Run, Schedule, solve_by};
use whole::{apart, casting, disc, film, flux, march, nested, point, probe, readings, rectangle, still_air};

fn heated(size: [f64; 3]) -> Case {
    let middle = [0.5 * size[0], 0.5 * size[1]];
    let mut case = casting(size, 240.0);
    case.surfaces = [still_air(); 6];
    case.torches = vec![flux(disc(middle[0], middle[1], 0.05), 1.5e5)];
    case.schedule = Schedule::Spans { on: vec![[0.0, 120.0]], end_s: 240.0 };
    case.output_s = vec![60.0, 120.0, 180.0, 240.0];
    let ring = Ring { groove: rectangle(middle, [0.02, 0.005]), width: 0.03, depth: 0.006 };
    case.probes = vec![
        point([middle[0], middle[1], 0.0]),
        point([middle[0] + 0.031, middle[1] + 0.017, 0.004]),
        point([middle[0], middle[1], 0.02]),
        probe(ProbeKind::RingColdest(ring)),
    ];
    case
}

fn solved(case: &Case) -> Run {
    let method = Method { integrator: Integrator::Ros2Solved, equal_steps_s: None };
    solve_by(method, case, &nested(6, 0.1), &|_| true).expect("the case must march")
}

fn differ(a: &Run, b: &Run) -> f64 {
    [60.0, 120.0, 180.0, 240.0].map(|t| apart(&readings(a, t), &readings(b, t))).into_iter().fold(0.0, f64::max)
}

#[test]
fn a_hollow_that_takes_nothing_changes_nothing() {
    let case = heated([0.4, 0.3, 0.1]);
    let mut nothing = case.clone();
    nothing.hollows = Hollows { boxes: vec![[[-1.0, 1.4], [-1.0, 1.3], [1.0, 2.0]]], ..Hollows::default() };
    let off = differ(&solved(&case), &solved(&nothing));
    println!("{off:.2e} K");
    assert!(off < 1e-3, "{off} K");
}

#[test]
fn a_block_hollowed_to_a_plate_is_that_plate() {
    let plate = heated([0.4, 0.3, 0.03]);
    let mut hollowed = heated([0.4, 0.3, 0.12]);
    // The underside of the plate is a surface of the hollow; the sides of what is gone must not lose anything.
    hollowed.hollows = Hollows { boxes: vec![[[0.0, 0.4], [0.0, 0.3], [0.03, 0.12]]], surface: still_air() };
    let (plate, hollowed) = (march(&plate, &nested(8, 0.2)), march(&hollowed, &nested(8, 0.2)));
    let off = differ(&plate, &hollowed);
    let bars = plate.curves.iter().zip(&hollowed.curves).map(|(a, b)| a.error_at(240.0) + b.error_at(240.0));
    let allowed = bars.fold(0.02, f64::max);
    println!("{off:.4} K, bars {allowed:.4} K");
    assert!(off <= allowed, "{off} K against {allowed} K");
}

#[test]
fn boxes_that_overlap_take_their_union_once() {
    let mut one = heated([0.4, 0.3, 0.1]);
    let mut two = one.clone();
    one.hollows.boxes = vec![[[0.0, 0.1], [0.0, 0.3], [0.03, 0.1]]];
    two.hollows.boxes = vec![[[0.0, 0.1], [0.0, 0.2], [0.03, 0.1]], [[0.0, 0.1], [0.1, 0.3], [0.03, 0.1]]];
    assert!((one.mass() - two.mass()).abs() < 1e-9 * one.mass());
    assert!((one.mass() / (0.4 * 0.3 * 0.1 - 0.1 * 0.3 * 0.07) / one.material.density() - 1.0).abs() < 1e-12);
    let off = differ(&solved(&one), &solved(&two));
    println!("{off:.2e} K");
    // The second has one grid line more.
    assert!(off < 0.1, "{off} K");
}

#[test]
fn heat_is_accounted_for_round_hollows_and_nothing_leaves_the_range() {
    let mut case = heated([0.4, 0.3, 0.12]);
    case.start_c = 60.0;
    case.hollows = Hollows {
        boxes: vec![[[0.02, 0.18], [0.02, 0.28], [0.03, 0.12]], [[0.22, 0.38], [0.02, 0.28], [0.03, 0.12]]],
        surface: film(12.0),
    };
    let run = march(&case, &nested(6, 1.0));
    let ledger = run.ledger;
    let heat_in = ledger.torch_j;
    assert!(ledger.residual_j().abs() <= 1e-9 * heat_in, "{} of {heat_in} J", ledger.residual_j());
    assert!(ledger.convection_j > 0.0);
    assert!(run.span_c[0] >= 20.0 - 1e-6 && run.span_c[0] <= 60.0, "{:?}", run.span_c);
}

/// A wall on ribs, the patch over a rib or, shifted by half a pitch, over a cell.
fn ribbed(shift: f64) -> Case {
    let mut case = heated([0.6, 0.4, 0.2]);
    let cell = |low: f64| [[low + shift, low + shift + 0.08], [0.03, 0.37], [0.03, 0.2]];
    case.hollows.boxes = (0..6).map(|n| cell(0.01 + 0.1 * f64::from(n))).collect();
    case.hollows.surface = film(8.0);
    case
}

/// More metal below the patch takes more heat away.
#[test]
fn over_a_rib_a_patch_stays_colder_than_over_a_cell() {
    let [rib, cell] = [0.0, 0.05].map(|shift| march(&ribbed(shift), &nested(6, 0.5)));
    let [on_rib, on_cell] = [&rib, &cell].map(|run| run.curves[0].at(240.0));
    println!("{on_rib:.2} C over the rib, {on_cell:.2} C over the cell");
    assert!(on_cell > on_rib + 5.0 * (rib.curves[0].error_at(240.0) + cell.curves[0].error_at(240.0)));
}

/// As everywhere, a bar is to cover 95 of 100 readings; none may lie beyond twice its bar.
#[test]
fn over_rib_and_cell_a_finer_run_lies_within_the_bars() {
    let (mut covered, mut all) = (0, 0);
    for shift in [0.0, 0.05] {
        let [run, finer] = [nested(8, 0.5), nested(20, 0.1)].map(|accuracy| march(&ribbed(shift), &accuracy));
        for (curve, fine) in run.curves.iter().zip(&finer.curves) {
            for time_s in [60.0, 120.0, 180.0, 240.0] {
                let off = (curve.at(time_s) - fine.at(time_s)).abs();
                let bar = curve.error_at(time_s) + fine.error_at(time_s) + 0.002;
                println!("shift {shift}, {time_s} s: off {off:.4} K, bar {bar:.4} K");
                assert!(off <= 2.0 * bar, "shift {shift}, {time_s} s: off {off} K, bar {bar} K");
                (covered, all) = (covered + usize::from(off <= bar), all + 1);
            }
        }
    }
    assert!(covered * 100 >= all * 95, "{covered} of {all} readings are covered");
}

#[test]
fn a_torch_over_a_hollow_in_the_worked_face_is_refused() {
    let mut case = heated([0.4, 0.3, 0.1]);
    case.hollows.boxes = vec![[[0.22, 0.3], [0.1, 0.2], [0.0, 0.02]]];
    let refusal = case.check().unwrap_err().to_string();
    assert!(refusal.contains("torch reaches over the edge of a hollow"), "{refusal}");
    case.hollows.boxes = vec![[[0.3, 0.4], [0.0, 0.3], [0.0, 0.02]]];
    assert!(case.check().is_ok(), "a step beside the patch");
}

/// A slot of one element between two pieces of metal: the reading of a place above it must not reach across.
#[test]
fn a_probe_beside_a_narrow_slot_reads_its_own_side() {
    let mut case = heated([0.4, 0.3, 0.1]);
    case.probes = vec![point([0.2, 0.15, 0.0105]), point([0.2, 0.15, 0.0102])];
    case.hollows.boxes = vec![[[0.1, 0.3], [0.05, 0.25], [0.011, 0.012]]];
    let run = march(&case, &nested(6, 1.0));
    let [near, far] = [0, 1].map(|probe| run.curves[probe].at(120.0));
    assert!((near - far).abs() < 1.0 && near > 25.0 && near < run.span_c[1] + 1.0, "{near} {far}");
}

#[test]
fn a_probe_between_two_hollows_that_touch_is_refused() {
    let mut case = heated([0.4, 0.3, 0.1]);
    case.hollows.boxes = vec![[[0.1, 0.2], [0.05, 0.25], [0.02, 0.1]], [[0.2, 0.3], [0.05, 0.25], [0.02, 0.1]]];
    case.probes = vec![point([0.2, 0.15, 0.05])];
    let refusal = case.check().unwrap_err().to_string();
    assert!(refusal.contains("inside a hollow"), "{refusal}");
    case.probes = vec![point([0.1, 0.15, 0.05])];
    assert!(case.check().is_ok(), "on the wall of a hollow");
}
