//! How long a weld bead on low-alloy steel takes from 800 to 500 C.

/// Above this plate temperature a bead never cools to 500 C, Celsius.
const HOTTEST_PLATE_C: f64 = 500.0;
const HOT_C: f64 = 800.0;

/// How heat flows off a bead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flow {
    /// In three dimensions: the plate is thicker than its transition thickness.
    Thick,
    /// In two dimensions, along the plate.
    Thin,
}

/// A bead run on a plate of unalloyed or low-alloy steel.
///
/// Not for cast iron or tool steel: the factors below hold the properties of structural steel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weld {
    /// Net heat input `k U I / v`, J/m; 1 kJ/mm is 10^6 J/m.
    pub heat_input: f64,
    /// Temperature of the plate before the bead, Celsius.
    pub plate_c: f64,
}

impl Weld {
    /// Cooling time of this bead on a plate of some thickness in metres, s, and how its heat flows; `None` outside the
    /// range.
    ///
    /// Equation: [`Weld::thick_plate`] above the transition thickness, else [`Weld::thin_plate`]; both are equal there.
    /// Symbols: as there. Valid for a run on plate (shape factors of 1), a plate below 500 C, and a heat input and a
    /// thickness above zero. Source: ST7 (`read`).
    #[must_use]
    pub fn cooling_time(&self, thickness: f64) -> Option<(f64, Flow)> {
        let good = self.plate_c < HOTTEST_PLATE_C && self.heat_input > 0.0 && thickness > 0.0;
        let thick = thickness >= self.transition_thickness();
        let answer =
            if thick { (self.thick_plate(1.0), Flow::Thick) } else { (self.thin_plate(thickness, 1.0), Flow::Thin) };
        (good && answer.0.is_finite()).then_some(answer)
    }

    /// Cooling time from 800 to 500 C on a thick plate, s.
    ///
    /// Equation: `(6700 - 5 Tp) Q [1/(500 - Tp) - 1/(800 - Tp)] f`. Symbols: `Tp` plate temperature C, `Q` net heat input
    /// kJ/mm, `f` shape factor: run on plate 1, butt weld 0.9, fillet 0.67.
    /// Valid for unalloyed and low-alloy steel above the transition thickness and `Tp` below 500 C; meaningless above.
    /// Source: EN 1011-2, annex D (ST7, `read`; shape factors `memory`).
    #[must_use]
    pub fn thick_plate(&self, shape_factor: f64) -> f64 {
        let [cold, hot] = self.gaps();
        (6700.0 - 5.0 * self.plate_c) * self.kilojoules() * (cold.recip() - hot.recip()) * shape_factor
    }

    /// Cooling time from 800 to 500 C on a thin plate of a thickness in metres, s.
    ///
    /// Equation: `(4300 - 4.3 Tp) 10^5 Q^2/d^2 [1/(500 - Tp)^2 - 1/(800 - Tp)^2] f`. Symbols: as in
    /// [`Weld::thick_plate`], `d` thickness mm, `f` shape factor: run on plate 1, butt weld 0.9.
    /// Valid as there, below the transition thickness. Source: as [`Weld::thick_plate`].
    #[must_use]
    pub fn thin_plate(&self, thickness: f64, shape_factor: f64) -> f64 {
        let [cold, hot] = self.gaps();
        let input = self.kilojoules() / (1e3 * thickness);
        let bracket = (cold * cold).recip() - (hot * hot).recip();
        (4300.0 - 4.3 * self.plate_c) * 1e5 * input * input * bracket * shape_factor
    }

    /// Thickness at which thick and thin plate give the same, m.
    ///
    /// Equation: `d = sqrt{(4300 - 4.3 Tp)/(6700 - 5 Tp) 10^5 Q [1/(500 - Tp) + 1/(800 - Tp)]}` mm. Symbols: as in
    /// [`Weld::thick_plate`]. Valid as there. Source: as [`Weld::thick_plate`] (P26, `computed`).
    #[must_use]
    pub fn transition_thickness(&self) -> f64 {
        let [cold, hot] = self.gaps();
        let ratio = (4300.0 - 4.3 * self.plate_c) / (6700.0 - 5.0 * self.plate_c);
        1e-3 * (ratio * 1e5 * self.kilojoules() * (cold.recip() + hot.recip())).sqrt()
    }

    /// From the plate to 500 and to 800 C, K.
    fn gaps(&self) -> [f64; 2] {
        [HOTTEST_PLATE_C - self.plate_c, HOT_C - self.plate_c]
    }

    /// Heat input in kJ/mm.
    fn kilojoules(&self) -> f64 {
        1e-6 * self.heat_input
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const WELD: Weld = Weld { heat_input: 1.5e6, plate_c: 150.0 };

    #[test]
    fn thick_and_thin_meet_at_the_transition_thickness() {
        for plate_c in [-20.0, 20.0, 150.0, 300.0, 480.0] {
            let weld = Weld { plate_c, ..WELD };
            let meeting = weld.transition_thickness();
            assert_relative_eq!(weld.thin_plate(meeting, 1.0), weld.thick_plate(1.0), max_relative = 1e-12);
            assert_eq!(weld.cooling_time(1.01 * meeting).unwrap().1, Flow::Thick);
            let (thin, flow) = weld.cooling_time(0.5 * meeting).unwrap();
            assert_eq!(flow, Flow::Thin);
            assert_relative_eq!(thin, 4.0 * weld.thick_plate(1.0), max_relative = 1e-12);
        }
    }

    #[test]
    fn the_thick_plate_is_a_point_source_that_moves_fast() {
        // The factor 6700 - 5 Tp stands for 1e6/(2 pi k): a conductivity of 24 W/mK at 20 C, and of 27 at 150 C.
        let k = |plate_c: f64| 1e6 / (std::f64::consts::TAU * (6700.0 - 5.0 * plate_c));
        let metal = crate::Metal::new(k(150.0), 7850.0, 600.0);
        let arc = crate::MovingSource { power: 4500.0, speed: 3e-3 };
        let rise = |time: f64| arc.rise(metal, [-arc.speed * time, 0.0, 0.0]);
        let at = |target: f64| arc.power / arc.speed / (std::f64::consts::TAU * metal.conductivity * target);
        assert_relative_eq!(rise(at(350.0)), 350.0, max_relative = 1e-12);
        assert_relative_eq!(at(350.0) - at(650.0), WELD.thick_plate(1.0), max_relative = 1e-12);
    }

    #[test]
    fn outside_its_range_there_is_no_answer() {
        assert_eq!(Weld { plate_c: 500.0, ..WELD }.cooling_time(0.1), None);
        assert_eq!(Weld { plate_c: f64::NAN, ..WELD }.cooling_time(0.1), None);
        assert_eq!(Weld { heat_input: 0.0, ..WELD }.cooling_time(0.1), None);
        assert_eq!(WELD.cooling_time(0.0), None);
    }
}
