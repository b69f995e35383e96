//! Which temperatures are drawn as lines, and lines that can be read on any colour.

use quantity::{Temperature, Units};
use study::WindowC;

use super::scene::{Dash, Scene, Stroke};
use super::theme::{DARK, LIGHT};
use crate::words::temperature;

const MINIMUM: &str = "minimum";
const MAXIMUM: &str = "max. interpass";
/// Round temperatures of the trade, Celsius and Fahrenheit.
const ROUND_C: [f64; 4] = [150.0, 204.0, 260.0, 400.0];
const ROUND_F: [f64; 4] = [300.0, 400.0, 500.0, 750.0];
/// A round temperature nearer than this to a limit of the window, as a share of the range, is left out.
const TOO_NEAR: f64 = 0.03;

/// A temperature that is drawn as a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Isotherm {
    /// Which limit of the window it is.
    name: Option<&'static str>,
    pub(super) celsius: f64,
}

impl Isotherm {
    /// With the name of the limit.
    pub(super) fn long_text(&self, units: Units) -> String {
        let shown = temperature(self.celsius, units);
        self.name.map_or_else(|| shown.clone(), |name| format!("{name} {shown}"))
    }

    /// The temperature alone.
    pub(super) fn short_text(&self, units: Units) -> String {
        temperature(self.celsius, units)
    }

    /// Limits are heavier, and the upper one is broken, so that they can be told apart without colour.
    pub(super) fn stroke(&self, line: f64) -> Stroke {
        let dash = if self.name == Some(MAXIMUM) { Dash::LongDashed } else { Dash::Solid };
        Stroke { colour: LIGHT, width: if self.name.is_some() { 1.3 * line } else { 0.6 * line }, dash }
    }
}

/// The limits of the window and the round temperatures within a range, Celsius; limits first.
pub(super) fn isotherms(window: Option<WindowC>, (low_c, high_c): (f64, f64), units: Units) -> Vec<Isotherm> {
    let limits = window.map(|w| [(MINIMUM, w.minimum_c), (MAXIMUM, w.maximum_interpass_c)]);
    let limit = |(name, celsius)| Isotherm { name: Some(name), celsius };
    let mut all: Vec<Isotherm> = limits.into_iter().flatten().map(limit).collect();
    let fahrenheit = Temperature::from_celsius(0.0).axis(Units::Shop);
    let round_c = if units == Units::Shop { ROUND_F.map(|number| fahrenheit.to_si(number)) } else { ROUND_C };
    for celsius in round_c {
        let near = |other: &Isotherm| (other.celsius - celsius).abs() < TOO_NEAR * (high_c - low_c);
        if !all.iter().any(near) {
            all.push(Isotherm { name: None, celsius });
        }
    }
    all.retain(|isotherm| low_c < isotherm.celsius && isotherm.celsius < high_c);
    all
}

/// A line with a dark edge.
pub(super) fn halo(scene: &mut Scene, points: &[(f64, f64)], stroke: Stroke) {
    let edge = Stroke { colour: DARK, width: stroke.width + 1.4, dash: Dash::Solid };
    scene.line(points.to_vec(), edge);
    scene.line(points.to_vec(), stroke);
}

#[cfg(test)]
mod tests {
    use super::*;

    const WINDOW: WindowC = WindowC { minimum_c: 148.9, maximum_interpass_c: 260.0, surface_limit_c: None };

    #[test]
    fn limits_stand_before_the_round_temperatures_which_keep_their_distance() {
        let names = |units| -> Vec<String> {
            isotherms(Some(WINDOW), (20.0, 390.0), units).iter().map(|isotherm| isotherm.long_text(units)).collect()
        };
        assert_eq!(names(Units::Metric), ["minimum 149 C", "max. interpass 260 C", "204 C"]);
        assert_eq!(names(Units::Shop), ["minimum 300 F", "max. interpass 500 F", "400 F"]);
    }

    #[test]
    fn only_temperatures_that_are_present_are_drawn() {
        let drawn = isotherms(Some(WINDOW), (160.0, 250.0), Units::Metric);
        assert_eq!(drawn.iter().map(|isotherm| isotherm.celsius).collect::<Vec<_>>(), [204.0]);
    }
}
