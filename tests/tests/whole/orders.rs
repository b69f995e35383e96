//! The order of accuracy that is observed is the one that the scheme claims, in space and in time.

use warmhold::exact;
use warmhold::heat::{Case, Integrator, Material, ProbeKind, Row, Schedule};
use whole::{alone, casting, disc, film, flame, flux, march, march_equally, point, readings, rectangle, still_air};

/// How far an observed order may lie from the formal one.
const SLACK: f64 = 0.15;

/// Observed orders: base-2 logarithms of the ratios of successive errors.
fn observed(errors: &[f64]) -> Vec<f64> {
    errors.windows(2).map(|pair| (pair[0] / pair[1]).abs().log2()).collect()
}

/// Errors of every probe against what is wanted, one list for each probe; `runs` are refinements by two.
fn errors(runs: &[Vec<f64>], wanted: &[f64]) -> Vec<Vec<f64>> {
    (0..wanted.len()).map(|probe| runs.iter().map(|run| run[probe] - wanted[probe]).collect()).collect()
}

/// Asserts that every probe converges at `order` from each refinement to the next.
fn assert_order(what: &str, order: f64, slack: f64, errors: &[Vec<f64>]) {
    for (probe, errors) in errors.iter().enumerate() {
        let seen = observed(errors);
        println!("{what}, probe {probe}: orders {seen:.3?}, errors {errors:?} K");
        assert!(seen.iter().all(|o| (o - order).abs() <= slack), "{what}, probe {probe}: {seen:?} from {errors:?}");
    }
}

fn metal() -> exact::Metal {
    exact::Metal::new(46.0, 7200.0, 500.0)
}

fn places(case: &Case) -> Vec<[f64; 3]> {
    case.probes.iter().filter_map(|p| if let ProbeKind::Point { at } = p.kind { Some(at) } else { None }).collect()
}

#[test]
fn a_brick_cooling_in_air_converges_at_second_order_in_space() {
    const END_S: f64 = 60.0;
    let film_coefficient = 800.0;
    let mut case = casting([0.1; 3], END_S);
    case.start_c = 220.0;
    case.surfaces = [film(film_coefficient); 6];
    // Middle, two faces, an edge and a corner.
    case.probes =
        [[0.05, 0.05, 0.05], [0.1, 0.05, 0.05], [0.05, 0.05, 0.0], [0.1, 0.1, 0.05], [0.1; 3]].map(point).to_vec();
    let brick = exact::Brick { half_sizes: [0.05; 3], metal: metal(), film_coefficient };
    let share_left = |at: &[f64; 3]| brick.share_left(at.map(|v| v - 0.05), END_S);
    let wanted: Vec<f64> = places(&case).iter().map(|at| 20.0 + 200.0 * share_left(at)).collect();
    // From 13 the grid lines nest, save for a few of depth.
    let runs = [13, 26, 52].map(|cells| readings(&march_equally(&case, cells, Integrator::Rodas4, 4.0), END_S));
    assert_order("brick in air", 2.0, SLACK, &errors(&runs, &wanted));
}

/// A flux on a patch of a casting so large that nothing comes back from its ends within a minute.
fn heated(patch: warmhold::heat::Shape, places: &[[f64; 3]]) -> Case {
    let mut case = casting([0.6, 0.6, 0.22], 60.0);
    case.torches = vec![flux(patch, 2e5)];
    case.schedule = Schedule::Spans { on: vec![[0.0, 60.0]], end_s: 60.0 };
    case.probes = places.iter().map(|p| point([0.3 + p[0], 0.3 + p[1], p[2]])).collect();
    case
}

fn refined(case: &Case) -> [Vec<f64>; 3] {
    [8, 16, 32].map(|cells| readings(&march(case, &alone(cells, 1e-3)), 60.0))
}

#[test]
fn inside_a_rectangular_patch_the_engine_converges_at_second_order_in_space() {
    let places = [[0.0; 3], [0.015, 0.0, 0.0], [0.015, 0.015, 0.0], [0.0, 0.0, 0.01], [0.045, 0.0, 0.0]];
    let case = heated(rectangle([0.3; 2], [0.03; 2]), &places);
    let form = exact::Rectangle { half_x: 0.03, half_y: 0.03 };
    let wanted = places.map(|at| 20.0 + form.rise(metal(), 2e5, at, 60.0));
    assert_order("rectangle", 2.0, 2.0 * SLACK, &errors(&refined(&case), &wanted)[4..]);
    assert_order("rectangle", 2.0, SLACK, &errors(&refined(&case), &wanted)[..4]);
}

/// Round the rim the grid lines cross it at every angle, so the error has no clean order: it may even pass through
/// zero on the way. It must still fall at least as fast as the spacing.
#[test]
fn under_the_rim_of_a_disc_the_error_falls_at_least_with_the_spacing() {
    const AT_EIGHT_CELLS_K: f64 = 1.5;
    let diagonal = 0.03 * std::f64::consts::FRAC_1_SQRT_2;
    let places = [[0.0; 3], [0.03, 0.0, 0.0], [diagonal, diagonal, 0.0], [0.6 * 0.03, 0.8 * 0.03, 0.0]];
    let case = heated(disc(0.3, 0.3, 0.03), &places);
    let form = exact::Disc { radius: 0.03 };
    let wanted = [0.0, 0.03, 0.03, 0.03].map(|r| 20.0 + form.rise(metal(), 2e5, r, 0.0, 60.0));
    let errors = errors(&refined(&case), &wanted);
    assert_order("disc, middle", 2.0, SLACK, &errors[..1]);
    for errors in &errors[1..] {
        println!("rim: errors {errors:?} K");
        let allowed = [1.0, 0.5, 0.25].map(|share| share * AT_EIGHT_CELLS_K);
        assert!(errors.iter().zip(allowed).all(|(e, allowed)| e.abs() <= allowed), "{errors:?}");
    }
}

/// Errors of a run with equal steps, halved three times, against a much finer step on the same grid.
fn step_errors(case: &Case, cells: usize, integrator: Integrator, step_s: f64) -> Vec<Vec<f64>> {
    let end_s = case.schedule.longest_s();
    let at = |integrator, step_s| readings(&march_equally(case, cells, integrator, step_s), end_s);
    let wanted = at(Integrator::Rodas4, step_s / 20.0);
    errors(&[1.0, 2.0, 4.0].map(|parts| at(integrator, step_s / parts)), &wanted)
}

const INTEGRATORS: [(Integrator, f64); 4] =
    [(Integrator::Rodas4, 4.0), (Integrator::Rodas3, 3.0), (Integrator::Ros2Solved, 2.0), (Integrator::Ros2, 2.0)];

/// Those that solve every system. The engine's own scheme changes from sweeps to solutions as steps grow; on equal steps
/// across that change an order means nothing.
const SOLVED: [(Integrator, f64); 3] = [INTEGRATORS[0], INTEGRATORS[1], INTEGRATORS[2]];

fn cube(side: f64, end_s: f64) -> Case {
    let mut case = casting([side; 3], end_s);
    let half = 0.5 * side;
    case.probes = [[half; 3], [half, half, 0.0], [side; 3]].map(point).to_vec();
    case
}

#[test]
fn steps_converge_at_their_order_while_a_cube_cools_in_air() {
    for (integrator, order) in SOLVED {
        let mut case = cube(0.1, 600.0);
        case.start_c = 500.0;
        case.surfaces = [film(200.0); 6];
        assert_order(&format!("{integrator:?} in air"), order, SLACK, &step_errors(&case, 8, integrator, 40.0));
    }
}

#[test]
fn a_constant_flux_switched_on_at_the_start_does_not_lower_the_order_of_the_linear_problem() {
    for (integrator, order) in SOLVED {
        let mut case = cube(0.1, 300.0);
        case.surfaces = [film(50.0); 6];
        case.torches = vec![flux(rectangle([0.05; 2], [0.025; 2]), 2e5)];
        case.schedule = Schedule::Spans { on: vec![[0.0, 300.0]], end_s: 300.0 };
        let all = step_errors(&case, 8, integrator, 20.0);
        // The middle converges beyond what rounding lets one see.
        assert_order(&format!("{integrator:?} under flux"), order, SLACK, &all[1..]);
    }
}

/// A flame over the whole face of a cube with radiation and property tables: everything that is not linear.
fn nonlinear(side: f64, end_s: f64) -> Case {
    let mut case = cube(side, end_s);
    // Two rows far apart: the properties bend at a row, and a bend in the way would cost order of its own.
    let row = |temperature_c, conductivity, specific_heat| Row { temperature_c, conductivity, specific_heat };
    case.material = Material::new(7200.0, vec![row(0.0, 50.0, 450.0), row(1000.0, 30.0, 900.0)]).expect("two rows");
    case.surfaces = [still_air(); 6];
    case.torches = vec![flame(rectangle([0.5 * side; 2], [0.5 * side; 2]), 150.0)];
    case.schedule = Schedule::Spans { on: vec![[0.0, end_s]], end_s };
    case
}

#[test]
fn steps_shorter_than_a_cell_needs_converge_at_their_order_with_radiation() {
    for (integrator, order) in INTEGRATORS {
        let mut case = cube(0.8, 2400.0);
        case.start_c = 900.0;
        case.surfaces = [still_air(); 6];
        // The corner is left out: there the error of one scheme happens to pass through zero.
        let step_s = if order == 2.0 { 30.0 } else { 60.0 };
        let errors = step_errors(&case, 4, integrator, step_s);
        assert_order(&format!("{integrator:?} radiating"), order, SLACK, &errors[..2]);
    }
}

/// Tables are followed by thousands of cubic pieces, whose joints leave some 1e-9 K: the steps must stay so long that
/// they show above it, and are then still on their way down to the formal order.
#[test]
fn steps_shorter_than_a_cell_needs_converge_at_least_at_their_order_with_tables_too() {
    for (integrator, order) in INTEGRATORS {
        let step_s = if order == 2.0 { 30.0 } else { 120.0 };
        for errors in step_errors(&nonlinear(0.8, 2400.0), 4, integrator, step_s) {
            let seen = observed(&errors);
            println!("{integrator:?} with tables: orders {seen:.3?}, errors {errors:?} K");
            assert!(seen.iter().all(|o| (order - SLACK..order + 0.5).contains(o)), "{integrator:?}: {seen:?}");
        }
    }
}

/// With radiation or tables a switch excites waves that are much faster than the step; the nonlinear terms then see
/// stage values of low order, and every scheme of this family falls back towards second order until the steps
/// resolve the fastest wave. It is a property of the schemes, not a fault: the engine's own steps start small after
/// every switch, and the halved-step copy measures what is left.
#[test]
fn steps_longer_than_a_cell_needs_fall_back_to_second_order_with_tables_radiation_and_flame() {
    let case = nonlinear(0.1, 600.0);
    let [fourth, third, second] = SOLVED.map(|(integrator, _)| step_errors(&case, 8, integrator, 40.0));
    assert_order("Rodas4, reduced", 2.3, 0.45, &fourth);
    assert_order("Rodas3, reduced", 2.1, 0.4, &third);
    assert_order("Ros2, as ever", 2.0, SLACK, &second);
    // Even so the higher order is the better buy at every step.
    let smaller = fourth.iter().flatten().zip(second.iter().flatten()).all(|(four, two)| four.abs() < 0.3 * two.abs());
    assert!(smaller, "{fourth:?} {second:?}");
}
