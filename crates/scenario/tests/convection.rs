//! Films from the air of the shop: what the keys turn into.

use heat::{FILM_KNOTS_C, Surface};
use scenario::{Override, Scenario, read};
use study::Lever;
use surroundings::{Facing, Plate, Shop};

const Y1: &str = include_str!("../../../validation/yardsticks/y1.toml");

/// The first yardstick with its film from the air, and changes.
fn natural(changes: &[&str]) -> Scenario {
    let text = Y1.replace("film_coefficient = \"8 W/m2K\"", "convection = \"natural\"");
    assert_ne!(text, Y1);
    let changes: Vec<Override> = changes.iter().map(|change| Override::parse(change).unwrap()).collect();
    read(&text, "file.toml", &changes).unwrap_or_else(|problems| panic!("{problems}"))
}

fn film(surface: &Surface, surface_c: f64) -> f64 {
    assert_eq!(surface.film_coefficient, 0.0);
    surface.film_table.expect("a table").at(surface_c)
}

#[test]
fn each_face_has_the_film_of_its_own_length_and_way() {
    let case = natural(&[]).case;
    // C8 (`computed`), W/m2K at 150 C: patch of 60 mm radius facing up, side 0.4 m high.
    assert!((film(&case.surfaces[4], 150.0) / 10.74 - 1.0).abs() < 0.01);
    for side in &case.surfaces[..4] {
        assert!((film(side, 150.0) / 6.76 - 1.0).abs() < 0.01);
    }
    assert_eq!(case.surfaces[5], Surface::ADIABATIC);
    assert!(case.surfaces[..5].iter().all(|surface| surface.emissivity == 0.8));
}

#[test]
fn a_casting_on_its_worked_face_takes_less_from_it_than_one_on_its_back() {
    let film_of = |points: &str, face: usize| {
        let points = format!("casting.worked_face_points={points}");
        film(&natural(&["faces.back.adiabatic=false", &points]).case.surfaces[face], 150.0)
    };
    assert!(film_of("down", 4) < 0.7 * film_of("up", 4));
    // C8 (`computed`): top and underside of 1.0 x 0.8 m.
    assert!((film_of("down", 5) / 8.04 - 1.0).abs() < 0.01);
    assert!((film_of("up", 5) / 3.26 - 1.0).abs() < 0.01);
    let sideways = [0, 1, 2, 3, 5].map(|face| film_of("sideways", face));
    assert_eq!(sideways[0], sideways[1]);
    assert_eq!(sideways[0], sideways[4]);
    assert!(sideways[2] < sideways[0] && sideways[3] > sideways[0], "{sideways:?}");
}

#[test]
fn draft_and_altitude_reach_every_face() {
    let still = natural(&[]).case;
    let drafty = natural(&["shop.draft=1 m/s", "shop.altitude=1500 m"]).case;
    let shop = Shop { air_c: 20.0, altitude_m: 1500.0, draft: 1.0 };
    let plate = Plate { facing: Facing::Up, natural_length_m: 0.03, draft_length_m: 0.12 };
    for knot in FILM_KNOTS_C.into_iter().filter(|knot| *knot > 20.0) {
        let expected = plate.film(&shop, knot).film_coefficient;
        assert!((film(&drafty.surfaces[4], knot) / expected - 1.0).abs() < 1e-12, "{knot}");
    }
    for face in 0..5 {
        assert_ne!(drafty.surfaces[face].film_table, still.surfaces[face].film_table);
    }
    assert!(film(&drafty.surfaces[4], 204.0) > film(&still.surfaces[4], 204.0));
}

#[test]
fn one_face_may_have_a_constant_and_another_a_curve() {
    let case = natural(&["faces.worked.film_coefficient=9 W/m2K"]).case;
    assert_eq!((case.surfaces[4].film_coefficient, case.surfaces[4].film_table), (9.0, None));
    assert!(case.surfaces[0].film_table.is_some());
    let change = Override::parse("faces.worked.convection=natural").unwrap();
    let case = read(Y1, "file.toml", &[change]).unwrap_or_else(|problems| panic!("{problems}")).case;
    assert!(case.surfaces[4].film_table.is_some());
    assert_eq!((case.surfaces[0].film_coefficient, case.surfaces[0].film_table), (8.0, None));
}

#[test]
fn a_face_that_stands_on_something_sees_no_air_unless_it_says_so() {
    let stands = "faces.back={ stands_on = \"steel\" }";
    let back = natural(&[stands]).case.surfaces[5];
    assert_eq!((back.film_coefficient, back.film_table, back.contact_conductance), (0.0, None, 300.0));
    let both = natural(&["faces.back={ stands_on = \"steel\", convection = \"natural\" }"]).case.surfaces[5];
    assert!(both.film_table.is_some());
}

#[test]
fn the_scatter_of_the_correlations_is_a_range_unless_another_is_stated() {
    let range = |changes: &[&str]| {
        let ranges = natural(changes).question.ranges;
        let found = ranges.iter().find(|range| range.lever == Lever::FilmCoefficient).expect("a range");
        ([found.low, found.high], found.source.clone())
    };
    let (ends, source) = range(&[]);
    assert_eq!(ends, [0.8, 1.2]);
    assert!(source.contains("C6"));
    let ([low, high], _) = range(&["faces.film_coefficient_range=[\"-30 %\", \"+50 %\"]"]);
    assert!((low - 0.7).abs() < 1e-12 && (high - 1.5).abs() < 1e-12);
}

#[test]
fn correlations_outside_their_range_are_named_and_others_are_not() {
    assert_eq!(natural(&[]).question.warnings, Vec::<String>::new());
    // A spot of 12 mm is too small for the air to rise from it as from a plate.
    let warnings = natural(&["patch.disc={ radius = \"6 mm\" }"]).question.warnings;
    assert_eq!(warnings.len(), 1);
    assert!(warnings[0].contains("hot side up, Ra ") && warnings[0].contains("below 1.0e4 (C3)"), "{warnings:?}");
}

#[test]
fn air_inside_hollows_needs_a_word_of_its_own() {
    let text = Y1.replace("film_coefficient = \"8 W/m2K\"", "convection = \"natural\"");
    let ribs = "casting.ribs={ wall = \"50 mm\", thickness = \"40 mm\", pitch = \"300 mm\" }";
    let set = |changes: &[&str]| {
        let changes: Vec<Override> = changes.iter().map(|change| Override::parse(change).unwrap()).collect();
        read(&text, "file.toml", &changes).map_err(|problems| problems.render(false))
    };
    assert!(set(&[ribs]).unwrap_err().contains("no `inside_film_coefficient`"));
    assert!(set(&[ribs, "casting.inside_film_coefficient=5 W/m2K"]).is_ok());
}
