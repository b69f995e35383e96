//! A log beside its scenario: computed curves with what the ranges allow, and the readings on them.

use study::{ComparedReading, Comparison, PlaceCurve, SaidHow, Standing};

use super::frame::{EndLabel, Frame, Look, temperature_range};
use super::layout::{LINE, heading};
use super::lines::Curve;
use super::scene::{Dash, Scene, Stroke};
use super::theme::Colour;
use super::{Error, Style};
use crate::compared::agreement;
use crate::words::printable;

const FLAME_OPACITY: f64 = 0.18;
const ABOUT: &str = "Lines: computed; thin ones: what the stated ranges allow. Rings with bars: read; triangles: crayon \
                     melted (up) or not (down); crossed: outside all errors.";

/// Lays the picture out.
pub(super) fn scene(comparison: &Comparison, style: &Style) -> Result<Scene, Error> {
    let look = Look::of(style);
    let mut scene = Scene::new(style.size(), look.palette.background);
    let top = heading(&mut scene, &look.palette, look.sizes, [&agreement(comparison, style.units), ABOUT])?;
    let curves: Vec<Curve> = comparison.curves.iter().enumerate().map(curve).collect();
    let labels = labels(&curves, &look);
    let frame = Frame::new(&look, scene.size, top + 0.3 * LINE * look.sizes.label, &labels, ends(comparison))?;
    flames(&mut scene, &look, &frame, comparison);
    frame.time_axis(&mut scene, &look, "time from the start")?;
    frame.temperature_axes(&mut scene, &look);
    for (place, curve) in comparison.curves.iter().zip(&curves) {
        band(&mut scene, &look, &frame, (place, curve));
        let points = curve.points.iter().map(|&(time, celsius)| (frame.x(time), frame.y(celsius))).collect();
        scene.line(points, curve.stroke(&look.palette, look.sizes.line));
    }
    for reading in &comparison.readings {
        let of = curves.iter().zip(&comparison.curves).find(|(_, place)| place.place == reading.place);
        let colour = of.map_or(look.palette.text, |(curve, _)| curve.stroke(&look.palette, 1.0).colour);
        mark(&mut scene, &look, &frame, (reading, colour));
    }
    frame.label_ends(&mut scene, &look, &labels)?;
    Ok(scene)
}

fn curve((rank, place): (usize, &PlaceCurve)) -> Curve {
    let points = place.time_s.iter().copied().zip(place.computed_c.iter().copied()).collect();
    Curve { name: printable(&place.place), points, rank }
}

/// Ends of the axes: everything drawn.
fn ends(comparison: &Comparison) -> ((f64, f64), (f64, f64)) {
    let times = comparison.readings.iter().map(|reading| reading.time_s);
    let last = times.fold(0.0, f64::max);
    let drawn = comparison.curves.iter().flat_map(|place| place.low_c.iter().chain(&place.high_c));
    let bars = comparison.readings.iter().flat_map(|r| [r.measured_c - r.reading_k, r.measured_c + r.reading_k]);
    ((0.0, if last > 0.0 { last } else { 1.0 }), temperature_range(drawn.copied().chain(bars)))
}

fn labels(curves: &[Curve], look: &Look) -> Vec<EndLabel> {
    let label = |curve: &Curve| {
        let (_, celsius) = *curve.points.last()?;
        Some(EndLabel { text: curve.name.clone(), celsius, stroke: curve.stroke(&look.palette, look.sizes.line) })
    };
    curves.iter().filter_map(label).collect()
}

/// Shades with a bar at the upper edge, as in the cooling curve.
fn flames(scene: &mut Scene, look: &Look, frame: &Frame, comparison: &Comparison) {
    for heat in comparison.flames.iter().filter(|heat| heat.start_s < frame.time_s.1) {
        let (from, until) = (frame.x(heat.start_s), frame.x(heat.end_s.min(frame.time_s.1)));
        scene.fill((from, frame.top), (until, frame.bottom), look.palette.flame, FLAME_OPACITY);
        scene.fill((from, frame.top), (until, frame.top + 2.0 * look.sizes.line), look.palette.flame, 1.0);
    }
}

fn band(scene: &mut Scene, look: &Look, frame: &Frame, (place, curve): (&PlaceCurve, &Curve)) {
    let colour = curve.stroke(&look.palette, 1.0).colour;
    let stroke = Stroke { colour, width: 0.4 * look.sizes.line, dash: Dash::Solid };
    for side in [&place.low_c, &place.high_c] {
        let points = place.time_s.iter().zip(side).map(|(&time, &celsius)| (frame.x(time), frame.y(celsius)));
        scene.line(points.collect(), stroke);
    }
}

/// A ring with its bar, or a triangle on the side that a crayon speaks of.
fn mark(scene: &mut Scene, look: &Look, frame: &Frame, (reading, colour): (&ComparedReading, Colour)) {
    let (x, y) = (frame.x(reading.time_s), frame.y(reading.measured_c));
    let size = 2.6 * look.sizes.line;
    let stroke = Stroke { colour, width: 0.8 * look.sizes.line, dash: Dash::Solid };
    match reading.said {
        SaidHow::Reads => {
            let [low, high] = [-1.0, 1.0].map(|side| frame.y(reading.measured_c + side * reading.reading_k));
            scene.line(vec![(x, low), (x, high)], stroke);
            scene.circle((x, y), size, colour);
        }
        SaidHow::Melted => triangle(scene, (x, y), -1.5 * size, stroke),
        SaidHow::NotMelted => triangle(scene, (x, y), 1.5 * size, stroke),
    }
    if reading.standing == Standing::Outside {
        let arm = 2.0 * size;
        let stroke = Stroke { colour: look.palette.text, width: look.sizes.line, dash: Dash::Solid };
        scene.line(vec![(x - arm, y - arm), (x + arm, y + arm)], stroke);
        scene.line(vec![(x - arm, y + arm), (x + arm, y - arm)], stroke);
    }
}

/// Its base at the rating, its tip where the metal is said to be.
fn triangle(scene: &mut Scene, (x, y): (f64, f64), height: f64, stroke: Stroke) {
    let half = 0.6 * height.abs();
    scene.line(vec![(x - half, y), (x + half, y), (x, y + height), (x - half, y)], stroke);
}
