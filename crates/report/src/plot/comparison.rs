//! Cooling curves of one probe in several outcomes, counted from the first flame-off.

use study::Outcome;

use super::frame::{EndLabel, Frame, Look, temperature_range};
use super::layout::heading;
use super::lines::{Curve, curve_after_flame, first_below, spoken};
use super::scene::{Anchor, Scene};
use super::{Error, Style};
use crate::words::{duration, printable, temperature};

/// A curve and the minimum of its window, Celsius.
struct Compared {
    curve: Curve,
    minimum_c: Option<f64>,
}

impl Compared {
    /// When it is first below its minimum, s after flame-off, and that minimum.
    fn fall(&self) -> Option<(f64, f64)> {
        let minimum_c = self.minimum_c?;
        Some((first_below(&self.curve.points, minimum_c, 0.0, f64::INFINITY)?, minimum_c))
    }

    /// Its name and how long it stays above the minimum.
    fn label(&self) -> String {
        match (self.minimum_c, self.fall()) {
            (None, _) => self.curve.name.clone(),
            (Some(_), Some((seconds, _))) => format!("{}: {}", self.curve.name, duration(seconds)),
            (Some(_), None) => format!("{}: to the end", self.curve.name),
        }
    }
}

/// Lays the picture out.
pub(super) fn scene(outcomes: &[(&str, &Outcome)], probe: &str, style: &Style) -> Result<Scene, Error> {
    let look = Look::of(style);
    let mut scene = Scene::new(style.size(), look.palette.background);
    let curve = |(rank, (name, outcome)): (usize, &(&str, &Outcome))| {
        let points = curve_after_flame(outcome, probe);
        let minimum_c = outcome.window.map(|window| window.minimum_c);
        (!points.is_empty()).then(|| Compared { curve: Curve { name: printable(name), points, rank }, minimum_c })
    };
    let curves: Vec<Compared> = outcomes.iter().enumerate().filter_map(curve).collect();
    let minima = minima(outcomes);
    let about = if minima.is_empty() {
        "No minimum is asked for."
    } else {
        "Beside each name: how long it stays above the minimum."
    };
    let headline = format!("Cooling after the first flame goes off: {}", spoken(probe));
    let top = heading(&mut scene, &look.palette, look.sizes, [&headline, about])?;
    let labels = labels(&curves, &minima, &look);
    let ends = (time_range(&curves), drawn_range(&curves, &minima));
    let frame = Frame::new(&look, scene.size, top, &labels, ends)?;
    frame.time_axis(&mut scene, &look, "time after flame-off")?;
    frame.temperature_axes(&mut scene, &look);
    draw(&mut scene, &look, &frame, &curves, &minima);
    frame.label_ends(&mut scene, &look, &labels)?;
    Ok(scene)
}

/// The minima of the windows, Celsius, each once.
fn minima(outcomes: &[(&str, &Outcome)]) -> Vec<f64> {
    let mut minima: Vec<f64> = outcomes.iter().filter_map(|(_, o)| o.window.map(|w| w.minimum_c)).collect();
    minima.sort_by(f64::total_cmp);
    minima.dedup();
    minima
}

fn time_range(curves: &[Compared]) -> (f64, f64) {
    let last = curves.iter().filter_map(|c| c.curve.points.last()).map(|point| point.0).fold(0.0, f64::max);
    (0.0, if last > 0.0 { last } else { 1.0 })
}

fn drawn_range(curves: &[Compared], minima: &[f64]) -> (f64, f64) {
    let drawn = curves.iter().flat_map(|c| c.curve.points.iter().map(|point| point.1));
    temperature_range(drawn.chain(minima.iter().copied()))
}

fn labels(curves: &[Compared], minima: &[f64], look: &Look) -> Vec<EndLabel> {
    let curve = |compared: &Compared| {
        let (_, celsius) = *compared.curve.points.last()?;
        let stroke = compared.curve.stroke(&look.palette, look.sizes.line);
        Some(EndLabel { text: compared.label(), celsius, stroke })
    };
    let minimum = |&celsius: &f64| {
        let text = format!("minimum {}", temperature(celsius, look.units));
        EndLabel { text, celsius, stroke: look.limit_stroke() }
    };
    curves.iter().filter_map(curve).chain(minima.iter().map(minimum)).collect()
}

fn draw(scene: &mut Scene, look: &Look, frame: &Frame, curves: &[Compared], minima: &[f64]) {
    for &minimum_c in minima {
        let y = frame.y(minimum_c);
        scene.line(vec![(frame.left, y), (frame.right, y)], look.limit_stroke());
    }
    if curves.is_empty() {
        let middle = (0.5 * (frame.left + frame.right), 0.5 * (frame.top + frame.bottom));
        scene.text(middle, "no curve was computed", look.sizes.label, Anchor::Middle, look.palette.text);
    }
    for compared in curves {
        let points = compared.curve.points.iter().map(|&(time, celsius)| (frame.x(time), frame.y(celsius))).collect();
        scene.line(points, compared.curve.stroke(&look.palette, look.sizes.line));
        if let Some((seconds, minimum_c)) = compared.fall() {
            scene.circle((frame.x(seconds), frame.y(minimum_c)), 2.2 * look.sizes.line, look.palette.text);
        }
    }
}
