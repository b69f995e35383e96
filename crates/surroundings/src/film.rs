//! The film coefficient of a face in a shop: natural, forced, or both.

use crate::note::{Nusselt, OutOfRange};
use crate::{Air, ZERO_CELSIUS_K, air, forced, natural};

/// Which way a face points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Facing {
    /// At the ceiling.
    Up,
    /// At a wall: the face is vertical.
    Sideways,
    /// At the floor.
    Down,
}

/// The air around a casting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shop {
    /// Air temperature, Celsius.
    pub air_c: f64,
    /// Altitude above the sea, m.
    pub altitude_m: f64,
    /// Air speed along the faces, m/s; 0 for natural convection alone.
    pub draft: f64,
}

/// A face, or the hot patch of one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plate {
    /// Which way it points.
    pub facing: Facing,
    /// Length of natural convection, m: the height of a vertical face, area over perimeter of a horizontal one. Of the
    /// hot part alone: a patch of radius a has a/2, whatever the size of the casting (C8).
    pub natural_length_m: f64,
    /// Length along the draft, m.
    pub draft_length_m: f64,
}

/// A film coefficient and how well it is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Film {
    /// Film coefficient, W/m2K.
    pub film_coefficient: f64,
    /// Every correlation that was used outside its range.
    pub out_of_range: Vec<OutOfRange>,
}

/// Natural and forced convection together.
///
/// Equation: `h^3 = h_n^3 + h_f^3`, which is `Nu^3 = Nu_n^3 + Nu_f^3` where both have the same length.
/// Symbols: `h_n` natural and `h_f` forced film coefficient, W/m2K.
/// Valid for a draft that helps the natural flow or crosses it; one against it takes less than this says, and nothing
/// here knows which. Any two values of at least 0 are accepted.
/// Source: C9 (`memory`).
pub fn mixed(natural: f64, forced: f64) -> f64 {
    (natural.powi(3) + forced.powi(3)).cbrt()
}

impl Plate {
    /// The film coefficient at a surface temperature.
    ///
    /// Equation: [`mixed`] of [`Plate::natural`] and [`Plate::forced`].
    /// Symbols: surface temperature in Celsius; result in W/m2K.
    /// Valid where the correlations are; each that is not adds a note.
    /// Source: C9 (`memory`).
    pub fn film(&self, shop: &Shop, surface_c: f64) -> Film {
        let air = air_at_film(shop, surface_c);
        let (natural, from_natural) = self.natural(&air, surface_c - shop.air_c);
        let (forced, from_forced) = self.forced(&air, shop.draft);
        let notes = [air.out_of_range(), air::altitude_out_of_range(shop.altitude_m), from_natural, from_forced];
        Film { film_coefficient: mixed(natural, forced), out_of_range: notes.into_iter().flatten().collect() }
    }

    /// Film coefficient of natural convection, W/m2K, with the note of its correlation.
    ///
    /// Equation: `h = Nu k/L`, `Nu` by the way the face points; a face colder than the air is the mirror image of a
    /// hot one that points the other way.
    /// Symbols: `Nu` Nusselt number, `k` conductivity of `air` (at the film temperature) W/mK, `L` natural length m;
    /// `difference_k` is surface less air, K.
    /// Valid as [`natural::vertical`], [`natural::hot_side_up`] and [`natural::hot_side_down`] are.
    /// Source: C1, C3, C4 (`read`).
    pub fn natural(&self, air: &Air, difference_k: f64) -> (f64, Option<OutOfRange>) {
        let rayleigh = natural::rayleigh(air, difference_k, self.natural_length_m);
        let Nusselt { number, out_of_range } = match (self.facing, difference_k < 0.0) {
            (Facing::Sideways, _) => natural::vertical(rayleigh, air.prandtl()),
            (Facing::Up, false) | (Facing::Down, true) => natural::hot_side_up(rayleigh),
            (Facing::Up, true) | (Facing::Down, false) => natural::hot_side_down(rayleigh),
        };
        (number * air.conductivity / self.natural_length_m, out_of_range)
    }

    /// Film coefficient of a draft along the face, W/m2K, with the note of its correlation.
    ///
    /// Equation: `h = Nu k/L`.
    /// Symbols: `Nu` Nusselt number, `k` conductivity of `air` (at the film temperature) W/mK, `L` length along the draft
    /// m, `draft` air speed m/s.
    /// Valid as [`forced::flat_plate`] is; 0 without a draft.
    /// Source: F1 (`read`).
    pub fn forced(&self, air: &Air, draft: f64) -> (f64, Option<OutOfRange>) {
        let reynolds = forced::reynolds(air, draft, self.draft_length_m);
        let Nusselt { number, out_of_range } = forced::flat_plate(reynolds, air.prandtl());
        (number * air.conductivity / self.draft_length_m, out_of_range)
    }
}

/// Air midway between the surface and the shop, at the pressure of the shop.
fn air_at_film(shop: &Shop, surface_c: f64) -> Air {
    Air::at(0.5 * (surface_c + shop.air_c) + ZERO_CELSIUS_K, air::pressure_at(shop.altitude_m))
}

#[cfg(test)]
mod tests {
    use super::*;

    const STILL: Shop = Shop { air_c: 20.0, altitude_m: 0.0, draft: 0.0 };

    fn plate(facing: Facing, length_m: f64) -> Plate {
        Plate { facing, natural_length_m: length_m, draft_length_m: length_m }
    }

    fn at(plate: Plate, surface_c: f64) -> f64 {
        plate.film(&STILL, surface_c).film_coefficient
    }

    #[test]
    fn hot_faces_in_still_air_give_the_table_of_c8() {
        // C8 (`computed`): W/m2K at 100, 150, 204, 260 C; 1 %.
        let table = [
            (Facing::Up, 0.03, [9.74, 10.74, 11.45, 11.97]),
            (Facing::Up, 0.2222, [7.19, 8.04, 8.58, 8.93]),
            (Facing::Sideways, 0.4, [6.08, 6.76, 7.21, 7.52]),
            (Facing::Down, 0.2222, [2.95, 3.26, 3.47, 3.63]),
        ];
        for (facing, length_m, expected) in table {
            for (surface_c, expected) in [100.0, 150.0, 204.0, 260.0].into_iter().zip(expected) {
                let film = plate(facing, length_m).film(&STILL, surface_c);
                assert!(film.out_of_range.is_empty(), "{:?}", film.out_of_range);
                assert!((film.film_coefficient / expected - 1.0).abs() < 0.01, "{facing:?} {surface_c} {film:?}");
            }
        }
    }

    #[test]
    fn drafts_give_the_table_of_f2() {
        // F2 (`computed`): plate of 0.12 m at 200 C, W/m2K; 1 %.
        let air = Air::at(110.0 + ZERO_CELSIUS_K, air::SEA_LEVEL_PA);
        for (speed, expected) in [(0.3, 6.12), (0.5, 7.9), (1.0, 11.17), (2.0, 15.79), (4.0, 22.33)] {
            let (got, note) = plate(Facing::Up, 0.12).forced(&air, speed);
            assert!((got / expected - 1.0).abs() < 0.01 && note.is_none(), "{speed} {got}");
        }
    }

    #[test]
    fn a_draft_adds_and_no_draft_leaves_natural_convection() {
        let patch = plate(Facing::Up, 0.03);
        let air = air_at_film(&STILL, 204.0);
        let (natural, _) = patch.natural(&air, 184.0);
        assert!((at(patch, 204.0) / natural - 1.0).abs() < 1e-12);
        let mut before = natural;
        for draft in [0.2, 0.5, 1.0, 4.0] {
            let both = patch.film(&Shop { draft, ..STILL }, 204.0).film_coefficient;
            let (forced, _) = patch.forced(&air, draft);
            assert!(both > before && both > forced && both < natural + forced, "{draft} {both}");
            before = both;
        }
        assert!((mixed(3.0, 4.0) - 91.0_f64.cbrt()).abs() < 1e-12);
    }

    #[test]
    fn a_cold_face_is_the_mirror_image_of_a_hot_one() {
        let warm_air = Shop { air_c: 60.0, ..STILL };
        let [up, down] = [Facing::Up, Facing::Down].map(|facing| plate(facing, 0.2).film(&warm_air, 0.0));
        let [up_hot, down_hot] =
            [Facing::Up, Facing::Down].map(|facing| plate(facing, 0.2).natural(&air_at_film(&warm_air, 0.0), 60.0).0);
        assert!((up.film_coefficient - down_hot).abs() < 1e-12 && (down.film_coefficient - up_hot).abs() < 1e-12);
        assert_ne!(up.film_coefficient, down.film_coefficient);
    }

    #[test]
    fn everything_outside_its_range_is_named() {
        let high = Shop { air_c: -40.0, altitude_m: 12_000.0, draft: 0.0 };
        let film = plate(Facing::Up, 0.005).film(&high, -30.0);
        let keys: Vec<&str> = film.out_of_range.iter().map(|note| note.key).collect();
        assert_eq!(keys, ["A1", "A2", "C3"]);
        assert!(film.film_coefficient.is_finite());
    }

    #[test]
    fn a_hot_patch_takes_more_air_per_area_than_the_whole_face() {
        assert!(at(plate(Facing::Up, 0.03), 204.0) > 1.2 * at(plate(Facing::Up, 0.2222), 204.0));
    }

    #[test]
    fn high_places_take_less() {
        // A2 (`computed`): turbulent film coefficients are 11 % less at 1500 m.
        let face = plate(Facing::Up, 0.5);
        let high = face.film(&Shop { altitude_m: 1500.0, ..STILL }, 204.0).film_coefficient;
        assert!((high / at(face, 204.0) - 0.89).abs() < 0.005, "{}", high / at(face, 204.0));
    }
}
