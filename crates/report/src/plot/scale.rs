//! One scale of colours for temperatures: inferno, even to the eye, safe for the colour-blind and rising in grey.

use quantity::{Temperature, Units};

use super::Error;
use super::axis::ticks;
use super::frame::{Look, temperature_ticks};
use super::isotherm::{Isotherm, halo};
use super::layout::{LINE, spread, widest};
use super::render::text_width;
use super::scene::{Anchor, Scene};
use super::theme::Colour;
use crate::words::temperature;

/// Most bands of the scale.
const BANDS: usize = 30;

/// Round temperatures that part the range into bands.
#[derive(Clone, Debug)]
pub(super) struct Scale {
    low_c: f64,
    high_c: f64,
    /// Limits between the bands, Celsius, ascending.
    pub(super) levels: Vec<f64>,
}

/// Where the bar of the scale stands, and where its texts end.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bar {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
}

impl Scale {
    /// Over all finite values; at least a kelvin wide.
    pub(super) fn over(values: impl Iterator<Item = f64>, units: Units) -> Scale {
        let finite = values.filter(|value| value.is_finite());
        let (low, high) = finite.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), t| (low.min(t), high.max(t)));
        let (low_c, high_c) = if low > high { (0.0, 100.0) } else { (low, high.max(low + 1.0)) };
        let axis = Temperature::from_celsius(high_c).axis(units);
        let levels = ticks(axis.number(low_c), axis.number(high_c), BANDS);
        let levels = levels.into_iter().map(|tick| axis.to_si(tick)).collect();
        Scale { low_c, high_c, levels }
    }

    pub(super) fn range(&self) -> (f64, f64) {
        (self.low_c, self.high_c)
    }

    /// Colour of the band above that many levels: of the temperature in its middle.
    pub(super) fn colour(&self, band: usize) -> Colour {
        let (from, until) = self.ends(band);
        let share = (0.5 * (from + until) - self.low_c) / (self.high_c - self.low_c);
        let colour = colorous::INFERNO.eval_continuous(share.clamp(0.0, 1.0));
        (colour.r, colour.g, colour.b)
    }

    fn ends(&self, band: usize) -> (f64, f64) {
        let from = band.checked_sub(1).and_then(|below| self.levels.get(below)).copied().unwrap_or(self.low_c);
        (from, self.levels.get(band).copied().unwrap_or(self.high_c))
    }

    /// Width of the bar with its ticks at the left and the isotherms' names at the right.
    pub(super) fn width(&self, look: &Look, isotherms: &[Isotherm]) -> Result<f64, Error> {
        let sizes = look.sizes;
        let names = widest(isotherms.iter().map(|isotherm| isotherm.long_text(look.units)), sizes.label)?;
        Ok(self.tick_width(look)? + thickness(look) + leader(look) + names)
    }

    /// Room left of the bar for its ticks.
    fn tick_width(&self, look: &Look) -> Result<f64, Error> {
        let widest = text_width(&temperature(self.high_c, look.left_units()), look.sizes.label)?;
        Ok(widest + 0.7 * look.sizes.label)
    }

    /// Draws the bar.
    pub(super) fn draw(&self, scene: &mut Scene, look: &Look, bar: Bar, isotherms: &[Isotherm]) -> Result<(), Error> {
        let left = bar.left + self.tick_width(look)?;
        let sides = (left, left + thickness(look));
        let y =
            |celsius: f64| bar.bottom - (bar.bottom - bar.top) * (celsius - self.low_c) / (self.high_c - self.low_c);
        for band in 0..=self.levels.len() {
            let (from, until) = self.ends(band);
            scene.fill((sides.0, y(until)), (sides.1, y(from)), self.colour(band), 1.0);
        }
        let label = look.sizes.label;
        let most = ((bar.bottom - bar.top) / (3.0 * label)).clamp(2.0, 10.0) as usize;
        for (text, celsius) in temperature_ticks(self.range(), look.left_units(), most) {
            let at = (sides.0 - 0.5 * label, y(celsius).clamp(bar.top, bar.bottom));
            scene.line(vec![(sides.0 - 0.35 * label, at.1), (sides.0, at.1)], look.thin());
            scene.text(at, &text, label, Anchor::End, look.palette.faint_text);
        }
        name_isotherms(scene, look, sides, isotherms, &y, bar);
        Ok(())
    }
}

/// Each isotherm across the bar, and its name beside it.
fn name_isotherms(
    scene: &mut Scene,
    look: &Look,
    (left, right): (f64, f64),
    isotherms: &[Isotherm],
    y: &dyn Fn(f64) -> f64,
    bar: Bar,
) {
    let label = look.sizes.label;
    let wanted: Vec<f64> = isotherms.iter().map(|isotherm| y(isotherm.celsius)).collect();
    let heights = spread(&wanted, LINE * label, bar.top, bar.bottom);
    for ((isotherm, at), height) in isotherms.iter().zip(&wanted).zip(heights) {
        halo(scene, &[(left, *at), (right, *at)], isotherm.stroke(look.sizes.line));
        let end = right + leader(look) - 0.4 * label;
        scene.line(vec![(right, *at), (end, height)], look.thin());
        let text = isotherm.long_text(look.units);
        scene.text((right + leader(look), height), &text, label, Anchor::Start, look.palette.text);
    }
}

fn thickness(look: &Look) -> f64 {
    1.6 * look.sizes.label
}

fn leader(look: &Look) -> f64 {
    1.8 * look.sizes.label
}

#[cfg(test)]
mod tests {
    use super::*;

    fn brightness((red, green, blue): Colour) -> f64 {
        0.2126 * f64::from(red) + 0.7152 * f64::from(green) + 0.0722 * f64::from(blue)
    }

    #[test]
    fn hotter_bands_are_brighter_in_grey() {
        let scale = Scale::over([22.0, 331.0].into_iter(), Units::Metric);
        assert_eq!(scale.levels.len(), 15);
        let greys: Vec<f64> = (0..=scale.levels.len()).map(|band| brightness(scale.colour(band))).collect();
        assert!(greys.windows(2).all(|pair| pair[1] > pair[0] + 1.0), "{greys:?}");
    }

    #[test]
    fn levels_are_round_in_the_units_shown_and_inside_the_range() {
        let scale = Scale::over([22.0, 331.0, f64::NAN].into_iter(), Units::Shop);
        let fahrenheit: Vec<f64> = scale.levels.iter().map(|celsius| celsius * 1.8 + 32.0).collect();
        assert!(fahrenheit.iter().all(|level| (level / 20.0 - (level / 20.0).round()).abs() < 1e-9), "{fahrenheit:?}");
        assert!(scale.levels.iter().all(|level| (22.0..=331.0).contains(level)));
    }

    #[test]
    fn a_body_of_one_temperature_still_has_a_scale() {
        let scale = Scale::over([20.0, 20.0].into_iter(), Units::Metric);
        assert!(scale.range().1 > scale.range().0);
        assert_eq!(scale.colour(0), scale.colour(0));
    }
}
