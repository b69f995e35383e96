//! The box of axes of temperature over time, and the labels at its right.

use quantity::{Temperature, Units};

use super::axis::{ticks_with_text, ticks_with_unit, time_unit};
use super::layout::{LINE, Sizes, fitted, spread, widest};
use super::render::text_width;
use super::scene::{Anchor, Dash, Scene, Stroke};
use super::theme::Palette;
use super::{Error, Style};
use crate::words::{one_system, temperature};

/// Share of the picture's width that labels at the right may take.
const MOST_RIGHT: f64 = 0.36;

/// What everything drawn has in common.
#[derive(Clone, Copy, Debug)]
pub(super) struct Look {
    pub(super) units: Units,
    pub(super) palette: Palette,
    pub(super) sizes: Sizes,
}

impl Look {
    pub(super) fn of(style: &Style) -> Look {
        Look { units: style.units, palette: style.theme.palette(), sizes: Sizes::of(style.size()) }
    }

    /// Units of the axis at the left.
    pub(super) fn left_units(&self) -> Units {
        one_system(self.units)
    }

    pub(super) fn grid(&self) -> Stroke {
        Stroke { colour: self.palette.grid, width: 0.5 * self.sizes.line, dash: Dash::Solid }
    }

    /// For ticks and leaders.
    pub(super) fn thin(&self) -> Stroke {
        Stroke { colour: self.palette.faint_text, width: 0.5 * self.sizes.line, dash: Dash::Solid }
    }

    pub(super) fn limit_stroke(&self) -> Stroke {
        Stroke { colour: self.palette.window, width: 0.8 * self.sizes.line, dash: Dash::Solid }
    }
}

/// The box of the axes and what its edges stand for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
    pub(super) time_s: (f64, f64),
    pub(super) celsius: (f64, f64),
}

/// A label at the right margin, beside the height it speaks of.
pub(super) struct EndLabel {
    pub(super) text: String,
    pub(super) celsius: f64,
    pub(super) stroke: Stroke,
}

impl Frame {
    /// As large as heading, ticks and labels leave room for.
    pub(super) fn new(
        look: &Look,
        size: (f64, f64),
        top: f64,
        labels: &[EndLabel],
        (time_s, celsius): ((f64, f64), (f64, f64)),
    ) -> Result<Frame, Error> {
        let sizes = look.sizes;
        let names = widest(labels.iter().map(|label| &label.text), sizes.label)?;
        let right_ticks = if look.units == Units::Both { tick_width(look, Units::Shop, celsius)? } else { 0.0 };
        let right = (names + sample_width(sizes) + 2.0 * sizes.pad).min(MOST_RIGHT * size.0) + right_ticks;
        Ok(Frame {
            left: tick_width(look, look.left_units(), celsius)? + sizes.pad,
            right: size.0 - right,
            top: top + 0.5 * sizes.pad,
            bottom: size.1 - sizes.pad - 2.0 * LINE * sizes.label,
            time_s,
            celsius,
        })
    }

    pub(super) fn x(&self, time_s: f64) -> f64 {
        self.left + (self.right - self.left) * (time_s - self.time_s.0) / (self.time_s.1 - self.time_s.0)
    }

    pub(super) fn y(&self, celsius: f64) -> f64 {
        self.bottom - (self.bottom - self.top) * (celsius - self.celsius.0) / (self.celsius.1 - self.celsius.0)
    }

    /// Ticks and title below, the unit after the title.
    pub(super) fn time_axis(&self, scene: &mut Scene, look: &Look, title: &str) -> Result<(), Error> {
        let (sizes, palette) = (look.sizes, &look.palette);
        let (unit, seconds) = time_unit(self.time_s.1 - self.time_s.0);
        let (low, high) = (self.time_s.0 / seconds, self.time_s.1 / seconds);
        let longest = text_width(&format!("{high:.2}"), sizes.label)?;
        let most = ((self.right - self.left) / (2.0 * longest)).clamp(2.0, 12.0) as usize;
        let y = self.bottom + LINE * sizes.label / 2.0 + 0.2 * sizes.label;
        for (tick, text) in ticks_with_text(low, high, most) {
            let x = self.x(tick * seconds);
            scene.line(vec![(x, self.top), (x, self.bottom)], look.grid());
            scene.text((x, y), &text, sizes.label, Anchor::Middle, palette.faint_text);
        }
        let middle = (self.left + self.right) / 2.0;
        let label = format!("{title}, {unit}");
        scene.text((middle, y + LINE * sizes.label), &label, sizes.label, Anchor::Middle, palette.text);
        Ok(())
    }

    /// Every tick carries its unit, so the axis needs no other title.
    pub(super) fn temperature_axes(&self, scene: &mut Scene, look: &Look) {
        let (gap, palette) = (0.5 * look.sizes.pad, &look.palette);
        for (tick, y) in self.temperature_ticks(look, look.left_units()) {
            scene.line(vec![(self.left, y), (self.right, y)], look.grid());
            scene.text((self.left - gap, y), &tick, look.sizes.label, Anchor::End, palette.faint_text);
        }
        if look.units == Units::Both {
            for (tick, y) in self.temperature_ticks(look, Units::Shop) {
                scene.line(vec![(self.right, y), (self.right + 0.6 * gap, y)], look.grid());
                scene.text((self.right + gap, y), &tick, look.sizes.label, Anchor::Start, palette.faint_text);
            }
        }
    }

    fn temperature_ticks(&self, look: &Look, units: Units) -> Vec<(String, f64)> {
        let most = ((self.bottom - self.top) / (3.0 * look.sizes.label)).clamp(2.0, 8.0) as usize;
        let marks = temperature_ticks(self.celsius, units, most);
        marks.into_iter().map(|(text, celsius)| (text, self.y(celsius))).collect()
    }

    /// Samples of the lines with their names, moved apart where they would touch.
    pub(super) fn label_ends(&self, scene: &mut Scene, look: &Look, labels: &[EndLabel]) -> Result<(), Error> {
        let sizes = look.sizes;
        let ticks = if look.units == Units::Both { tick_width(look, Units::Shop, self.celsius)? } else { 0.0 };
        let left = self.right + ticks + 0.5 * sizes.pad;
        let text_left = left + sample_width(sizes);
        let wanted: Vec<f64> = labels.iter().map(|label| self.y(label.celsius)).collect();
        let heights = spread(&wanted, LINE * sizes.label, self.top, self.bottom);
        for (label, y) in labels.iter().zip(heights) {
            scene.line(vec![(left, y), (text_left - 0.4 * sizes.label, y)], label.stroke);
            let text = fitted(&label.text, sizes.label, scene.size.0 - sizes.pad - text_left)?;
            scene.text((text_left, y), &text, sizes.label, Anchor::Start, look.palette.text);
        }
        Ok(())
    }
}

/// Round temperatures of a range with their unit, and where they lie, Celsius.
pub(super) fn temperature_ticks(celsius: (f64, f64), units: Units, most: usize) -> Vec<(String, f64)> {
    ticks_with_unit(&Temperature::from_celsius(celsius.1).axis(units), celsius, most)
}

/// All these temperatures, with a little air.
pub(super) fn temperature_range(drawn: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = drawn.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), t| (low.min(t), high.max(t)));
    if low > high {
        return (0.0, 100.0);
    }
    let air = (0.06 * (high - low)).max(1.0);
    (low - air, high + air)
}

/// Room for the tick labels of a temperature axis.
fn tick_width(look: &Look, units: Units, celsius: (f64, f64)) -> Result<f64, Error> {
    let ends = [celsius.0, celsius.1].map(|end| temperature(end, units));
    Ok(widest(ends, look.sizes.label)? + look.sizes.pad)
}

fn sample_width(sizes: Sizes) -> f64 {
    2.4 * sizes.label
}
