//! `faces.convection`: film coefficients from the air of the shop, by the way each face points.

use std::array::from_fn;

use heat::{Block, FILM_KNOTS_C, FilmTable, Shape};
use surroundings::{Facing, OutOfRange, Plate, Shop};

use crate::diagnostic::Diagnostic;
use crate::keys::FACES;
use crate::reader::Reader;

/// Where a face is this much above the air, its correlations are held to their ranges, K; below, little heat is at stake.
const JUDGED_K: f64 = 20.0;
/// Range of every correlation of natural convection, as factors (C6, `memory`).
pub(crate) const SCATTER: [f64; 2] = [0.8, 1.2];
/// Where that range comes from.
pub(crate) const SCATTER_SOURCE: &str = "scatter of the correlations (C6, `memory`)";
/// Keys that count only where some face has its film from the air.
const HELPERS: [&str; 3] = ["shop.draft", "shop.altitude", "casting.worked_face_points"];

/// The air around the casting, and its faces as plates in it.
pub(crate) struct Convection {
    shop: Shop,
    plates: [Plate; 6],
}

impl Convection {
    /// Reads the shop, and how the casting stands in it. The worked face is hot only where the torch heats it: its plate
    /// is the patch.
    pub(crate) fn read(reader: &mut Reader, block: Block, patch: Option<Shape>) -> Convection {
        need_convection(reader);
        let shop = Shop {
            air_c: reader.number("shop.air"),
            altitude_m: reader.optional("shop.altitude").unwrap_or(0.0),
            draft: reader.optional("shop.draft").unwrap_or(0.0),
        };
        let (facings, upright) = stance(reader.text("casting.worked_face_points").unwrap_or("up"));
        let mut hot = block.size;
        if let Some(patch) = patch.filter(|_| reader.has("torch")) {
            let [x, y] = patch.extent().map(|[low, high]| high - low);
            (hot[0], hot[1]) = (x, y);
        }
        let plates = from_fn(|face| {
            let size = if FACES[face] == "worked" { hot } else { block.size };
            plate(size, face / 2, facings[face], upright)
        });
        Convection { shop, plates }
    }

    /// Film coefficient over surface temperature.
    pub(crate) fn table(&self, face: usize) -> FilmTable {
        let Convection { shop, plates } = self;
        FilmTable::of(|surface_c| plates[face].film(shop, surface_c).film_coefficient)
    }

    /// Warns where a correlation of a face is used outside its range; `at` is the key that asked for it.
    pub(crate) fn warn(&self, reader: &mut Reader, face: usize, at: &str) {
        let notes: Vec<String> = self.notes(face).iter().map(OutOfRange::to_string).collect();
        if notes.is_empty() {
            return;
        }
        let message = format!("the film of the face `{}` is outside what is known: {}", FACES[face], notes.join("; "));
        let problem = Diagnostic::warning("W109", message)
            .at(reader.key_place(at), "from a correlation")
            .help("the correlation is used all the same; give film_coefficient and its range where this face matters");
        reader.report(problem);
    }

    /// Of each correlation and end, the note that is furthest outside.
    fn notes(&self, face: usize) -> Vec<OutOfRange> {
        let mut furthest: Vec<OutOfRange> = Vec::new();
        let hot = FILM_KNOTS_C.iter().filter(|&&knot| knot - self.shop.air_c >= JUDGED_K);
        for note in hot.flat_map(|&knot| self.plates[face].film(&self.shop, knot).out_of_range) {
            let same = |other: &&mut OutOfRange| (other.key, other.side) == (note.key, note.side);
            match furthest.iter_mut().find(same) {
                Some(other) if outside(other) >= outside(&note) => {}
                Some(other) => *other = note,
                None => furthest.push(note),
            }
        }
        furthest
    }
}

fn outside(note: &OutOfRange) -> f64 {
    (note.value - note.limit).abs()
}

/// Whether any face has its film from the air.
pub(crate) fn anywhere(reader: &Reader) -> bool {
    reader.has("faces.convection") || FACES.iter().any(|face| reader.has(&format!("faces.{face}.convection")))
}

/// Keys that would do nothing are refused, and so is air inside hollows that nothing is said of.
fn need_convection(reader: &mut Reader) {
    if !anywhere(reader) {
        for key in HELPERS.iter().filter(|key| reader.has("faces") && reader.has(key)).collect::<Vec<_>>() {
            reader.missing("faces.convection", &format!(", and `{key}` counts only with it"));
        }
        return;
    }
    let hollow = reader.has("casting.ribs") || reader.has("casting.hollow");
    if hollow && !reader.has("faces.film_coefficient") && !reader.has("casting.inside_film_coefficient") {
        reader.missing("casting.inside_film_coefficient", ", and `convection` says nothing of the air inside hollows");
    }
}

/// Which way the six faces point, in their fixed order, and the direction that stands upright.
fn stance(worked_face_points: &str) -> ([Facing; 6], usize) {
    use Facing::{Down, Sideways, Up};
    match worked_face_points {
        "down" => ([Sideways, Sideways, Sideways, Sideways, Down, Up], 2),
        "sideways" => ([Sideways, Sideways, Down, Up, Sideways, Sideways], 1),
        _ => ([Sideways, Sideways, Sideways, Sideways, Up, Down], 2),
    }
}

/// The plate of a face across a direction: its height where it is vertical, its area over its perimeter where it is not.
/// A disc has the area over perimeter of the square around it. Which way the draft blows is not known: it is taken along
/// the shorter side, which loses more.
fn plate(size: [f64; 3], across: usize, facing: Facing, upright: usize) -> Plate {
    let [u, v] = [[1, 2], [0, 2], [0, 1]][across].map(|direction: usize| size[direction]);
    let natural_length_m = if facing == Facing::Sideways { size[upright] } else { u * v / (2.0 * (u + v)) };
    Plate { facing, natural_length_m, draft_length_m: u.min(v) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn in_air(air_c: f64, draft: f64) -> impl Fn(Facing, f64) -> Convection {
        move |facing, length_m| {
            let plate = Plate { facing, natural_length_m: length_m, draft_length_m: 2.0 * length_m };
            Convection { shop: Shop { air_c, altitude_m: 0.0, draft }, plates: [plate; 6] }
        }
    }

    #[test]
    fn a_standing_block_has_two_horizontal_faces_and_heights_on_the_others() {
        let length = |points: &str, face: usize| {
            let (facings, upright) = stance(points);
            let plate = plate([2.0, 1.0, 0.5], face / 2, facings[face], upright);
            (plate.facing, plate.natural_length_m)
        };
        assert_eq!(length("up", 4), (Facing::Up, 1.0 / 3.0));
        assert_eq!(length("up", 5), (Facing::Down, 1.0 / 3.0));
        assert_eq!(length("down", 4), (Facing::Down, 1.0 / 3.0));
        assert_eq!(length("up", 0), (Facing::Sideways, 0.5));
        assert_eq!(length("sideways", 4), (Facing::Sideways, 1.0));
        assert_eq!(length("sideways", 0), (Facing::Sideways, 1.0));
        assert_eq!(length("sideways", 3), (Facing::Up, 0.2));
    }

    #[test]
    fn a_round_patch_has_half_its_radius() {
        let patch = Shape::Disc { centre: [0.5, 0.4], radius: 0.06 };
        let [x, y] = patch.extent().map(|[low, high]| high - low);
        let plate = plate([x, y, 0.4], 2, Facing::Up, 2);
        assert!((plate.natural_length_m - 0.03).abs() < 1e-12 && (plate.draft_length_m - 0.12).abs() < 1e-12);
    }

    #[test]
    fn tables_keep_close_to_their_correlations_where_heat_is_at_stake() {
        for (facing, length_m) in
            [(Facing::Up, 0.03), (Facing::Up, 0.2222), (Facing::Sideways, 0.4), (Facing::Down, 0.2)]
        {
            let convection = in_air(20.0, 0.0)(facing, length_m);
            let table = convection.table(0);
            for surface_c in [60.0, 80.0, 120.0, 204.0, 260.0, 330.0, 500.0] {
                let exact = convection.plates[0].film(&convection.shop, surface_c).film_coefficient;
                let off = table.at(surface_c) / exact - 1.0;
                assert!(off.abs() < 0.03, "{facing:?} {length_m} m at {surface_c} C: {off}");
            }
        }
    }

    #[test]
    fn the_engine_takes_the_table_of_any_face_in_any_air() {
        let mut case = crate::read(crate::DEMONSTRATION, "demonstration", &[]).unwrap().case;
        for air_c in [-60.0, 0.0, 20.0, 30.0, 45.0, 100.0, 1600.0] {
            for (facing, length_m) in
                [(Facing::Up, 0.01), (Facing::Up, 0.6), (Facing::Sideways, 2.0), (Facing::Down, 0.5)]
            {
                for draft in [0.0, 1.0, 20.0] {
                    let table = in_air(air_c, draft)(facing, length_m).table(0);
                    case.surfaces[0] = heat::Surface { film_table: Some(table), air_c, ..heat::Surface::ADIABATIC };
                    assert!(case.check().is_ok(), "{air_c} C, {facing:?}, {length_m} m, {draft} m/s: {table:?}");
                }
            }
        }
    }
}
