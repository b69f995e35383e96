//! Maps, heat and fields over time, for pages and viewers: on the casting that has everything, which is ribbed.

use warmhold::scenario::{Override, Scenario, read};
use warmhold::study::{Film, check, film, volume};
use warmhold::{Outcome, report};

const EVERYTHING: &str = include_str!("../../scenarios/everything_on.toml");
const POINTS: usize = 21;
const FRAMES: usize = 30;

fn answered() -> (Scenario, Outcome) {
    let coarse = ["accuracy.cells_across=4", "accuracy.step_error=2 K"];
    let coarse: Vec<Override> = coarse.iter().map(|change| Override::parse(change).expect("an override")).collect();
    let scenario = read(EVERYTHING, "everything_on.toml", &coarse).unwrap_or_else(|problems| panic!("{problems}"));
    let outcome = check(&scenario.case, &scenario.question, &|_| true).expect("the case must march");
    (scenario, outcome)
}

fn filmed(scenario: &Scenario, outcome: &Outcome) -> Film {
    let film = film(&scenario.case, &scenario.question, outcome, (POINTS, FRAMES)).expect("the case must march");
    film.expect("a torch heats it")
}

#[test]
fn a_film_has_every_switch_and_runs_from_the_start_to_the_end() {
    let (scenario, outcome) = answered();
    let times: Vec<f64> = filmed(&scenario, &outcome).maps.iter().map(|map| map.time_s).collect();
    assert!(times.windows(2).all(|pair| pair[1] > pair[0]), "{times:?}");
    assert_eq!((times[0], times[times.len() - 1]), (0.0, outcome.ran_until_s));
    let first = outcome.heats.first().expect("a flame");
    let due = [first.end_s].into_iter().chain(outcome.first_breach.iter().map(|breach| breach.time_s));
    for due in due.chain(outcome.passes.iter().filter(|pass| pass.heat == 1).map(|pass| pass.start_s)) {
        assert!(times.contains(&due), "{due} s is missing in {times:?}");
    }
}

#[test]
fn the_heat_of_a_film_is_accounted_for_at_every_instant_and_ends_as_that_of_the_answer() {
    let (scenario, outcome) = answered();
    let ledgers = filmed(&scenario, &outcome).ledgers();
    for (time_s, ledger) in &ledgers {
        let put_in = ledger.torch_j + ledger.heaters_j + ledger.arc_j;
        assert!(ledger.residual_j.abs() <= 1e-9 * put_in, "{time_s} s: {ledger:?}");
    }
    assert!(ledgers.windows(2).all(|pair| pair[1].1.torch_j >= pair[0].1.torch_j));
    let (_, last) = ledgers[ledgers.len() - 1];
    // Another grid and other steps: a film is for looking at.
    for (name, film, answer) in [
        ("torch", last.torch_j, outcome.ledger.torch_j),
        ("arc", last.arc_j, outcome.ledger.arc_j),
        ("stored", last.stored_j, outcome.ledger.stored_j),
    ] {
        assert!((film / answer - 1.0).abs() < 0.02, "{name}: {film} J and {answer} J");
    }
}

#[test]
fn a_field_agrees_with_the_maps_on_the_face_and_marks_what_is_hollow() {
    let (scenario, outcome) = answered();
    let volume = volume(&scenario.case, &scenario.question, &outcome).expect("the case must march").expect("a torch");
    let [x, y, z] = &volume.lines;
    let places = x.len() * y.len() * z.len();
    assert!(volume.metal.len() == places && volume.frames.iter().all(|frame| frame.1.len() == places));
    assert!(volume.metal.contains(&false) && volume.metal.iter().filter(|metal| **metal).count() > places / 4);
    let off_s = outcome.heats[0].end_s;
    let (_, field) = volume.frames.iter().find(|frame| frame.0 == off_s).expect("the first flame-off");
    let film = filmed(&scenario, &outcome);
    let map = &film.maps.iter().find(|map| map.time_s == off_s).expect("the first flame-off");
    let mut compared = 0;
    for (j, map_y) in map.y.iter().enumerate() {
        for (i, map_x) in map.x.iter().enumerate() {
            let at = |line: &[f64], place: f64| line.iter().position(|v| (v - place).abs() < 1e-9);
            let (Some(u), Some(v)) = (at(x, *map_x), at(y, *map_y)) else { continue };
            let (of_map, of_field) = (map.face_c[j * POINTS + i], field[v * x.len() + u]);
            assert!((of_map - of_field).abs() < 1.5, "{map_x} {map_y}: {of_map} and {of_field} C");
            compared += 1;
        }
    }
    assert!(compared >= 9, "{compared}");
    assert_eq!(report::vtk_files(&volume).len(), volume.frames.len() + 1);
}
