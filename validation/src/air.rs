//! Air and the film coefficients it gives: crate `surroundings`.

use surroundings::air::SEA_LEVEL_PA;
use surroundings::{Air, Facing, Plate, Shop, ZERO_CELSIUS_K, forced, natural};

use crate::Error;
use crate::reference::Tolerance::{Absolute, Share};
use crate::reference::{Finding, Group, Status};

/// Properties of dry air at 101.325 kPa as an independent open library has them (A1): C, kg/m3, J/kgK, Pa s, W/mK and more.
const TABLE: &str = include_str!("../tables/air.csv");

const BY: &str = "surroundings";

/// All of them.
///
/// # Errors
/// When a line of the table of air cannot be read.
pub fn all() -> Result<Vec<Finding>, Error> {
    Ok([properties()?, still_air(), drafts(), published()].concat())
}

/// How far the cubics are from the table at most, beside what is stated of them.
fn properties() -> Result<Vec<Finding>, Error> {
    let rows = TABLE.lines().skip(1).map(row).collect::<Result<Vec<[f64; 5]>, Error>>()?;
    let air = |row: &[f64; 5]| Air::at(row[0] + ZERO_CELSIUS_K, SEA_LEVEL_PA);
    let furthest = |column: usize, of: fn(&Air) -> f64| {
        rows.iter().map(|row| 100.0 * (of(&air(row)) / row[column] - 1.0).abs()).fold(0.0, f64::max)
    };
    let stated = Group::computed("A1", "%", Absolute(0.01), BY);
    let bound = Group::computed("A1", "%", Absolute(0.1), BY);
    Ok(vec![
        stated.finding("conductivity, furthest from the table", 0.30, furthest(4, |air| air.conductivity)),
        stated.finding("viscosity, furthest from the table", 0.36, furthest(3, |air| air.viscosity)),
        stated.finding("specific heat, furthest from the table", 0.14, furthest(2, |air| air.specific_heat)),
        bound.finding("density, furthest from the table", 0.0, furthest(1, |air| air.density)),
    ])
}

fn row(line: &str) -> Result<[f64; 5], Error> {
    let bad = || Error::Table { line: line.to_owned() };
    let numbers = line.split(',').map(|cell| cell.parse().map_err(|_| bad())).collect::<Result<Vec<f64>, Error>>()?;
    numbers.get(..5).and_then(|first| first.try_into().ok()).ok_or_else(bad)
}

fn plate(facing: Facing, length_m: f64) -> Plate {
    Plate { facing, natural_length_m: length_m, draft_length_m: length_m }
}

/// C8: faces in still air of 20 C.
fn still_air() -> Vec<Finding> {
    let shop = Shop { air_c: 20.0, altitude_m: 0.0, draft: 0.0 };
    let faces = [
        ("patch of 60 mm radius, up", plate(Facing::Up, 0.03), [9.74, 10.74, 11.45, 11.97]),
        ("top of 1.0 x 0.8 m", plate(Facing::Up, 0.2222), [7.19, 8.04, 8.58, 8.93]),
        ("side 0.4 m high", plate(Facing::Sideways, 0.4), [6.08, 6.76, 7.21, 7.52]),
        ("underside of 1.0 x 0.8 m", plate(Facing::Down, 0.2222), [2.95, 3.26, 3.47, 3.63]),
    ];
    let group = Group::computed("C8", "W/m2K", Share(0.01), BY);
    let of = |(words, plate, expected): (&'static str, Plate, [f64; 4])| {
        [100.0, 150.0, 204.0, 260.0].into_iter().zip(expected).map(move |(surface_c, expected)| {
            let got = plate.film(&shop, surface_c).film_coefficient;
            group.finding(format!("{words}, {surface_c} C"), expected, got)
        })
    };
    faces.into_iter().flat_map(of).collect()
}

/// F2: a plate of 0.12 m at 200 C in air of 20 C, by the draft alone.
fn drafts() -> Vec<Finding> {
    let (plate, air) = (plate(Facing::Up, 0.12), Air::at(110.0 + ZERO_CELSIUS_K, SEA_LEVEL_PA));
    let group = Group::computed("F2", "W/m2K", Share(0.01), BY);
    let drafts = [(0.3, 6.12), (0.5, 7.9), (1.0, 11.17), (2.0, 15.79), (4.0, 22.33)];
    let of = |(speed, expected)| group.finding(format!("draft of {speed} m/s"), expected, plate.forced(&air, speed).0);
    drafts.map(of).to_vec()
}

/// Published problems, each with its own air.
fn published() -> Vec<Finding> {
    let read = |key, tolerance| Group { status: Status::Read, ..Group::computed(key, "1", tolerance, BY) };
    let film = |key, tolerance| Group::computed(key, "W/m2K", tolerance, BY);
    let screen: f64 = 9.8 * 0.0025 * 209.0 * 0.71_f64.powi(3) / (3.83e-5 * 2.64e-5);
    let oven: f64 = 32.2 / 520.0 * 40.0 * 0.5_f64.powi(3) / (1.688e-4 * 0.859 / 3600.0);
    let (grashof, prandtl) = (3.21e8, 5.54);
    let long = 30.0 * 2.0 / 1.65e-5;
    vec![
        read("P15", Share(1e-6)).finding(
            "Nu, vertical",
            147.161_852_237_706_03,
            natural::vertical(2.63e9 * 0.69, 0.69).number,
        ),
        film("P16", Share(0.005)).finding(
            "heated screen",
            7.0031,
            natural::vertical(screen, 0.69).number * 0.0338 / 0.71,
        ),
        Group::computed("P18", "Btu/h.ft2.F", Share(0.005), BY).finding(
            "top of the oven",
            0.8621,
            natural::hot_side_up(oven).number * 0.01516 / 0.5,
        ),
        film("P20", Share(0.002)).finding(
            "2 m at 30 m/s",
            65.793,
            forced::flat_plate(long, 0.705).number * 0.026 / 2.0,
        ),
        read("P21", Share(1e-6)).finding("Nu, laminar", 186.437_852_875_226_2, forced::flat_plate(1e5, 0.7).number),
        read("P22", Share(1e-6)).finding(
            "Nu, up",
            181.731_212_743_844_57,
            natural::hot_side_up(grashof * prandtl).number,
        ),
        read("P22", Share(1e-6)).finding(
            "Nu, down",
            55.445_647_993_628_29,
            natural::hot_side_down(grashof * prandtl).number,
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_check_of_air_passes() {
        let findings = all().unwrap();
        assert_eq!(findings.len(), 4 + 16 + 5 + 7);
        let failed: Vec<_> = findings.iter().filter(|finding| !finding.passes()).collect();
        assert!(failed.is_empty(), "{failed:#?}");
    }

    #[test]
    fn a_line_that_is_no_row_of_numbers_is_refused() {
        assert!(row("20,1.2,1006,a,0.0258").is_err() && row("20,1.2").is_err());
    }
}
