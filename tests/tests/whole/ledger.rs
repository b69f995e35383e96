//! No joule is lost: the ledger closes on every grid, and its terms are what the surfaces really passed.

use warmhold::heat::{
    Case, Curve, Flame, Interval, Ledger, Material, Pass, Passes, ProbeKind, Run, STEFAN_BOLTZMANN, Schedule, Shape,
    Surface, TorchKind, ZERO_CELSIUS_K,
};
use whole::{alone, casting, disc, film, flame, flux, march, nested, point, probe, rectangle, still_air, table_iron};

fn assert_closed(what: &str, run: &Run) {
    assert_eq!(run.ledgers.len(), 4, "three grids and the one with halved steps");
    assert_eq!(run.ledgers[0], run.ledger);
    for ledger in &run.ledgers {
        let share = ledger.residual_j().abs() / ledger.scale_j();
        assert!(share <= 1e-9, "{what}: {share:e} of {ledger:?}");
    }
}

/// One flame of 100 s, then 100 s of cooling.
fn heated(torch: warmhold::heat::Torch) -> Case {
    let mut case = casting([0.3, 0.24, 0.1], 200.0);
    case.torches = vec![torch];
    case.schedule = Schedule::Spans { on: vec![[0.0, 100.0]], end_s: 200.0 };
    case
}

fn standing_on_steel() -> Surface {
    Surface { contact_conductance: 150.0, contact_c: 35.0, ..Surface::ADIABATIC }
}

fn middle() -> Shape {
    disc(0.15, 0.12, 0.05)
}

#[test]
fn a_flux_closes() {
    assert_closed("flux", &march(&heated(flux(middle(), 2e5)), &nested(4, 0.2)));
}

#[test]
fn a_flame_with_all_losses_and_a_table_closes() {
    let mut case = heated(flame(middle(), 200.0));
    case.material = table_iron();
    case.surfaces = [still_air(); 6];
    case.surfaces[5] = standing_on_steel();
    let run = march(&case, &nested(4, 0.2));
    assert_closed("flame, losses, table", &run);
    let Ledger { torch_j, convection_j, radiation_j, contact_j, .. } = run.ledger;
    assert!([torch_j, convection_j, radiation_j].iter().all(|&term| term > 0.0));
    assert!(contact_j != 0.0);
}

#[test]
fn patches_over_edges_and_corners_close() {
    for patch in [disc(0.0, 0.12, 0.05), disc(0.3, 0.24, 0.05), rectangle([0.01, 0.23], [0.06, 0.04])] {
        for torch in [flux(patch, 2e5), flame(patch, 200.0)] {
            let mut case = heated(torch);
            case.surfaces = [still_air(); 6];
            assert_closed(&format!("{torch:?}"), &march(&case, &nested(4, 0.2)));
        }
    }
}

fn welded(material: Material) -> Case {
    let mut case = heated(flame(middle(), 250.0));
    case.material = material;
    case.surfaces = [still_air(); 6];
    case.surfaces[5] = standing_on_steel();
    let pass = |x: f64| Pass { place: rectangle([x, 0.12], [0.02, 0.006]), power: 2300.0, arc_s: 15.0, pause_s: 20.0 };
    case.passes =
        Some(Passes { list: vec![pass(0.13), pass(0.17)], first_after_s: 10.0, per_heat: 3, ..Passes::default() });
    case.schedule = Schedule::Cycles {
        heat_up: Flame::For { seconds: 120.0 },
        interval: Interval::Fixed { seconds: 130.0 },
        reheat: Flame::For { seconds: 40.0 },
        reheats: 1,
        after_s: 50.0,
    };
    case
}

#[test]
fn arc_passes_close_and_bring_exactly_their_power_times_time() {
    for material in [whole::iron(), table_iron()] {
        let run = march(&welded(material), &nested(4, 0.2));
        assert_closed("passes", &run);
        assert_eq!(run.passes().len(), 6);
        for ledger in &run.ledgers {
            assert!((ledger.arc_j / (6.0 * 2300.0 * 15.0) - 1.0).abs() < 1e-12, "{}", ledger.arc_j);
        }
    }
}

#[test]
fn a_target_that_ends_the_flame_and_one_that_ends_the_interval_leave_the_ledger_closed() {
    let mut case = welded(table_iron());
    case.probes = vec![point([0.15, 0.12, 0.0])];
    let reads = |temperature_c, at_most_s| Flame::Until { probe: 0, temperature_c, at_most_s };
    case.schedule = Schedule::Cycles {
        heat_up: reads(220.0, 900.0),
        interval: Interval::UntilFalls { probe: 0, temperature_c: 170.0, at_most_s: 300.0 },
        reheat: reads(220.0, 300.0),
        reheats: 2,
        after_s: 20.0,
    };
    let run = march(&case, &nested(4, 0.2));
    assert_closed("targets", &run);
    assert_eq!(run.heats().len(), 3);
}

#[test]
fn an_arc_partly_over_the_edge_brings_all_its_power() {
    let mut case = welded(whole::iron());
    let passes = case.passes.as_mut().expect("it is a welded case");
    passes.list = vec![Pass { place: rectangle([0.15, 0.0], [0.02, 0.006]), power: 2000.0, arc_s: 10.0, pause_s: 5.0 }];
    let run = march(&case, &nested(4, 0.2));
    assert_closed("arc over the edge", &run);
    assert!((run.ledger.arc_j / (6.0 * 2000.0 * 10.0) - 1.0).abs() < 1e-12);
}

#[test]
fn a_flux_brings_exactly_flux_times_area_times_time_also_cut_by_an_edge_or_a_corner() {
    let full = std::f64::consts::PI * 0.05 * 0.05;
    let shapes = [
        (disc(0.15, 0.12, 0.05), full),
        (disc(0.16, 0.11, 0.05), full),
        (disc(0.0, 0.12, 0.05), 0.5 * full),
        (disc(0.3, 0.24, 0.05), 0.25 * full),
        (rectangle([0.15, 0.12], [0.05, 0.03]), 0.1 * 0.06),
        (rectangle([0.0, 0.24], [0.05, 0.03]), 0.05 * 0.03),
    ];
    for (patch, area) in shapes {
        for ledger in march(&heated(flux(patch, 2e5)), &nested(4, 0.2)).ledgers {
            let share = ledger.torch_j / (2e5 * area * 100.0);
            assert!((share - 1.0).abs() < 1e-12, "{patch:?}: {share}");
        }
    }
}

/// Gauss-Legendre nodes on -1..1 and weights, four points.
const GAUSS: [[f64; 2]; 4] = [
    [-0.861_136_311_594_052_6, 0.347_854_845_137_453_85],
    [-0.339_981_043_584_856_26, 0.652_145_154_862_546_1],
    [0.339_981_043_584_856_26, 0.652_145_154_862_546_1],
    [0.861_136_311_594_052_6, 0.347_854_845_137_453_85],
];

/// Integral over time of what a curve makes of a temperature: Simpson's rule on each half of each step.
fn over_time(curve: &Curve, of: impl Fn(f64) -> f64) -> f64 {
    let pieces = curve.samples().windows(2).map(|pair| {
        let (from, width) = (pair[0].time_s, pair[1].time_s - pair[0].time_s);
        let at = |share: f64| of(curve.at(from + share * width));
        width / 12.0 * (at(0.0) + 4.0 * at(0.25) + 2.0 * at(0.5) + 4.0 * at(0.75) + at(1.0))
    });
    pieces.sum()
}

fn radiated(temperature_c: f64) -> f64 {
    let fourth = |c: f64| (c + ZERO_CELSIUS_K).powi(4);
    STEFAN_BOLTZMANN * (fourth(temperature_c) - fourth(20.0))
}

/// Points of all six faces and the area that each stands for.
fn surface_points(size: [f64; 3]) -> Vec<([f64; 3], f64, bool)> {
    let mut points = Vec::new();
    for across in 0..3 {
        let [u, v] = [[1, 2], [0, 2], [0, 1]][across];
        for side in [0.0, size[across]] {
            for [a, wa] in GAUSS {
                for [b, wb] in GAUSS {
                    let mut at = [side; 3];
                    (at[u], at[v]) = (0.5 * (1.0 + a) * size[u], 0.5 * (1.0 + b) * size[v]);
                    let back = across == 2 && side > 0.0;
                    points.push((at, 0.25 * wa * wb * size[u] * size[v], back));
                }
            }
        }
    }
    points
}

#[test]
fn losses_of_a_cooling_block_follow_from_its_surface_temperatures() {
    let size = [0.2, 0.16, 0.1];
    let mut case = casting(size, 900.0);
    case.start_c = 400.0;
    case.material = table_iron();
    case.surfaces = [Surface { film_coefficient: 30.0, ..still_air() }; 6];
    case.surfaces[5] = standing_on_steel();
    let points = surface_points(size);
    case.probes = points.iter().map(|(at, ..)| point(*at)).collect();
    let run = march(&case, &alone(16, 0.01));
    let (mut convection_j, mut radiation_j, mut contact_j) = (0.0, 0.0, 0.0);
    for ((_, area, back), curve) in points.iter().zip(&run.curves) {
        if *back {
            contact_j += area * 150.0 * over_time(curve, |t| t - 35.0);
        } else {
            convection_j += area * 30.0 * over_time(curve, |t| t - 20.0);
            radiation_j += area * 0.8 * over_time(curve, radiated);
        }
    }
    let Ledger { convection_j: air, radiation_j: walls, contact_j: steel, .. } = run.ledger;
    for (what, recomputed, booked) in
        [("air", convection_j, air), ("walls", radiation_j, walls), ("steel", contact_j, steel)]
    {
        println!("{what}: booked {booked:.1} J, recomputed over booked less 1 {:.1e}", recomputed / booked - 1.0);
        assert!((recomputed / booked - 1.0).abs() < 1e-3, "{what}: {recomputed} {booked}");
    }
}

#[test]
fn what_a_flame_gives_and_a_film_takes_follow_from_the_means_of_the_face() {
    let (patch, size) = (rectangle([0.1, 0.08], [0.04, 0.03]), [0.2, 0.16, 0.08]);
    let mut case = heated(flame(patch, 200.0));
    case.block.size = size;
    case.surfaces[4] = film(60.0);
    // The face in nine pieces, the patch in the middle, so that no piece has a kink inside.
    let (columns, rows) = ([0.0, 0.06, 0.14, 0.2], [0.0, 0.05, 0.11, 0.16]);
    let pieces: Vec<Shape> = (0..9)
        .map(|n| Shape::Rectangle { x: [columns[n % 3], columns[n % 3 + 1]], y: [rows[n / 3], rows[n / 3 + 1]] })
        .collect();
    case.probes = pieces.iter().map(|piece| probe(ProbeKind::PatchMean(*piece))).collect();
    let run = march(&case, &alone(24, 0.01));
    let lost_j: f64 = pieces.iter().zip(&run.curves).map(|(p, c)| p.area() * 60.0 * over_time(c, |t| t - 20.0)).sum();
    assert!((lost_j / run.ledger.convection_j - 1.0).abs() < 1e-3, "{lost_j} {}", run.ledger.convection_j);

    let TorchKind::Flame { film_coefficient, gas_c } = case.torches[0].kind else { unreachable!("a flame was lit") };
    case.schedule = Schedule::Spans { on: vec![[0.0, 100.0]], end_s: 100.0 };
    let burning = march(&case, &alone(24, 0.01));
    let burning_j = patch.area() * film_coefficient * over_time(&burning.curves[4], |t| gas_c - t);
    assert!((burning_j / run.ledger.torch_j - 1.0).abs() < 1e-3, "{burning_j} {}", run.ledger.torch_j);
}
