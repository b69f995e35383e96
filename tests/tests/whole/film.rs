//! Films that depend on the temperature of the surface.

use warmhold::heat::{
    Case, Error, FILM_KNOTS_C, FilmTable, Integrator, Material, Model, Run, Schedule, Surface, solve,
};
use whole::{
    alone, apart, casting, disc, film, flame, march, march_equally, nested, point, readings, still_air, table_iron,
};

/// A face with a table to air of 20 C and nothing else.
fn by_table(law: impl FnMut(f64) -> f64) -> Surface {
    Surface { film_table: Some(FilmTable::of(law)), ..Surface::ADIABATIC }
}

/// As natural convection of a face of about a metre goes: with the third root of the difference, and a draft.
fn natural(strength: f64, draft: f64) -> Surface {
    by_table(|t| (strength.powi(3) * (t - 20.0).abs() + draft.powi(3)).cbrt())
}

/// A heated and cooling block with the given faces.
fn worked_block(surfaces: [Surface; 6]) -> Case {
    let mut case = casting([0.3, 0.24, 0.1], 600.0);
    case.torches = vec![flame(disc(0.15, 0.12, 0.05), 250.0)];
    case.schedule = Schedule::Spans { on: vec![[0.0, 200.0]], end_s: 600.0 };
    case.surfaces = surfaces;
    case.probes = [[0.15, 0.12, 0.0], [0.0, 0.0, 0.0], [0.19, 0.12, 0.01], [0.3, 0.24, 0.1]].map(point).to_vec();
    case
}

fn assert_closed(run: &Run) {
    for ledger in &run.ledgers {
        let share = ledger.residual_j().abs() / ledger.scale_j();
        assert!(share <= 1e-9, "{share:e} of {ledger:?}");
    }
}

#[test]
fn a_table_of_one_value_gives_what_the_constant_gives() {
    let constants = [5.0, 60.0, 8.0, 30.0, 12.0, 3.0].map(|h| Surface { emissivity: 0.8, ..film(h) });
    // The constant beside a table counts for nothing.
    let table = |s: Surface| Surface { film_table: Some(FilmTable::of(|_| s.film_coefficient)), ..film(1e4) };
    let tables = constants.map(|s| Surface { emissivity: 0.8, ..table(s) });
    let [constant, tabled] = [constants, tables].map(|s| march_equally(&worked_block(s), 4, Integrator::Ros2, 10.0));
    for time_s in [5.0, 100.0, 200.0, 201.0, 600.0] {
        let off = apart(&readings(&constant, time_s), &readings(&tabled, time_s));
        assert!(off < 1e-9, "{time_s} s: {off:e} K");
    }
    assert!((constant.ledger.convection_j / tabled.ledger.convection_j - 1.0).abs() < 1e-10);
}

#[test]
fn only_one_face_may_have_a_table() {
    for face in 0..6 {
        let mut constants = [still_air(); 6];
        constants[face] = film(40.0);
        let mut tabled = constants;
        tabled[face] = by_table(|_| 40.0);
        let [a, b] = [constants, tabled].map(|s| march_equally(&worked_block(s), 4, Integrator::Ros2, 20.0));
        let off = apart(&readings(&a, 600.0), &readings(&b, 600.0));
        assert!(off < 1e-9, "face {face}: {off:e} K");
    }
}

#[test]
fn ledgers_close_with_tables_on_every_face_and_a_table_of_the_metal() {
    let mut case = worked_block([2.0, 1.5, 1.0, 1.8, 2.2, 0.7].map(|s| Surface { emissivity: 0.8, ..natural(s, 4.0) }));
    case.material = table_iron();
    let run = march(&case, &nested(4, 0.2));
    assert_eq!(run.ledgers.len(), 4);
    assert_closed(&run);
    assert!(run.ledger.convection_j > 0.0 && run.ledger.radiation_j > 0.0);
}

#[test]
fn a_flux_that_falls_as_the_surface_warms_marches_and_closes() {
    let mut case = worked_block([by_table(|t| if t > 300.0 { 10.0 } else { 60.0 }); 6]);
    case.start_c = 500.0;
    let run = march(&case, &nested(4, 0.2));
    assert_closed(&run);
    assert!(run.ledger.convection_j > 0.0);
}

#[test]
fn more_draft_cools_faster() {
    let coldest = |draft: f64| {
        let run = march(&worked_block([natural(1.5, draft); 6]), &alone(5, 0.2));
        readings(&run, 600.0)
    };
    let all = [0.0, 6.0, 11.0, 22.0].map(coldest);
    for pair in all.windows(2) {
        assert!(pair[0].iter().zip(&pair[1]).all(|(less, more)| more + 0.05 < *less), "{all:?}");
    }
}

/// Seconds in which a body of one temperature cools from one temperature to another, both of one straight piece of
/// its loss `(a + b T)(T - air)` W, for a heat capacity in J/K: by partial fractions.
fn time_on_a_piece(capacity: f64, [a, b]: [f64; 2], air_c: f64, [from_c, to_c]: [f64; 2]) -> f64 {
    let at_air = a + b * air_c;
    let ratio = |t: f64| (t - air_c) / (a + b * t);
    capacity / at_air * (ratio(from_c) / ratio(to_c)).ln()
}

/// The same across all pieces between a start and an end.
fn cooling_time(capacity: f64, watts_per_k: &FilmTable, air_c: f64, start_c: f64, end_c: f64) -> f64 {
    let knots = FILM_KNOTS_C.windows(2).zip(watts_per_k.coefficients.windows(2));
    let pieces = knots.filter(|(knot, _)| knot[1] > end_c && knot[0] < start_c).map(|(knot, value)| {
        let b = (value[1] - value[0]) / (knot[1] - knot[0]);
        time_on_a_piece(capacity, [value[0] - b * knot[0], b], air_c, [knot[1].min(start_c), knot[0].max(end_c)])
    });
    pieces.sum()
}

#[test]
fn a_thin_block_of_one_temperature_cools_as_the_closed_form_says() {
    let (size, start_c, air_c) = ([0.02, 0.02, 0.004], 500.0, 20.0);
    let mut case = casting(size, 1500.0);
    // A hundred times the conductivity of iron leaves the block one temperature.
    case.material = Material::constant(7200.0, 4600.0, 500.0).expect("the numbers are in range");
    case.start_c = start_c;
    case.probes = vec![point([0.0, 0.01, 0.002])];
    // Each face has a table of its own; all meet at the corners.
    let strengths = [2.0, 1.5, 1.0, 1.8, 3.0, 0.7];
    case.surfaces = strengths.map(|strength| natural(strength, 6.0));
    let areas = [size[1] * size[2], size[0] * size[2], size[0] * size[1]];
    let sum = |t: f64| (0..6).map(|face| areas[face / 2] * case.surfaces[face].film_at(t)).sum();
    let watts_per_k = FilmTable::of(sum);
    let capacity = size.iter().product::<f64>() * 7200.0 * 500.0;
    let run = march(&case, &alone(8, 1e-4));
    for end_c in [450.0, 400.0, 310.0, 200.0, 120.0, 80.0] {
        let time_s = cooling_time(capacity, &watts_per_k, air_c, start_c, end_c);
        assert!(time_s < 1500.0, "{end_c} C only after {time_s} s");
        let off = run.curves[0].at(time_s) - end_c;
        println!("{end_c} C after {time_s:.2} s: {off:+.4} K");
        assert!(off.abs() < 0.005, "{end_c} C after {time_s} s: {off} K");
    }
}

#[test]
fn mirrors_and_the_body_of_revolution_share_a_table_out_as_they_do_a_constant() {
    for model in [Model::Smallest, Model::Block] {
        let solved = |surface: Surface| {
            let mut case = worked_block([surface; 6]);
            case.block.size = [0.8, 0.8, 0.3];
            case.torches = vec![flame(disc(0.4, 0.4, 0.05), 250.0)];
            case.probes = vec![point([0.4, 0.4, 0.0]), point([0.45, 0.4, 0.0])];
            march(&case, &warmhold::heat::Accuracy { model, ..alone(5, 0.2) })
        };
        let [a, b] = [film(25.0), by_table(|_| 25.0)].map(solved);
        assert!(apart(&readings(&a, 600.0), &readings(&b, 600.0)) < 1e-6);
        assert!((a.ledger.convection_j / b.ledger.convection_j - 1.0).abs() < 1e-7);
    }
}

#[test]
fn tables_that_would_mislead_are_refused() {
    let refused = |surface: Surface| {
        let case = worked_block([surface; 6]);
        matches!(solve(&case, &alone(4, 0.5), &|_| true), Err(Error::OutOfRange { .. }))
    };
    assert!(refused(by_table(|t| t - 100.0)), "a negative coefficient");
    assert!(refused(by_table(|_| f64::NAN)), "not a number");
    assert!(!refused(natural(1.5, 2.0)));
}
