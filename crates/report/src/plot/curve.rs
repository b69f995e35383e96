//! The cooling curve: temperatures over time with window, flames, passes and the falls through the minimum.

use quantity::{Temperature, Units};
use study::{Outcome, WindowC};

use super::axis::{tick_text, ticks, time_unit};
use super::layout::{LINE, Sizes, fitted, heading, spread};
use super::lines::{Curve, Fall, curves, falls, left_out};
use super::render::text_width;
use super::scene::{Anchor, Dash, Scene, Stroke};
use super::theme::{Colour, Palette};
use super::{Error, Style};
use crate::spans::{Span, flame_spans, pass_spans};
use crate::words::{duration, printable, temperature, verdict_clause};

const FLAME_OPACITY: f64 = 0.18;
const PASS_OPACITY: f64 = 0.30;
const WINDOW_OPACITY: f64 = 0.16;
/// Share of the picture's width that labels at the right may take.
const MOST_RIGHT: f64 = 0.36;

/// What every part of the drawing needs.
struct Sheet<'a> {
    outcome: &'a Outcome,
    units: Units,
    palette: Palette,
    sizes: Sizes,
    curves: Vec<Curve>,
}

/// The box of the axes and what its edges stand for.
#[derive(Clone, Copy, Debug)]
struct Frame {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    time_s: (f64, f64),
    celsius: (f64, f64),
}

impl Frame {
    fn x(&self, time_s: f64) -> f64 {
        self.left + (self.right - self.left) * (time_s - self.time_s.0) / (self.time_s.1 - self.time_s.0)
    }

    fn y(&self, celsius: f64) -> f64 {
        self.bottom - (self.bottom - self.top) * (celsius - self.celsius.0) / (self.celsius.1 - self.celsius.0)
    }
}

/// Lays the picture out.
pub(super) fn scene(outcome: &Outcome, style: &Style) -> Result<Scene, Error> {
    let (size, palette) = (style.size(), style.theme.palette());
    let sheet = Sheet { outcome, units: style.units, palette, sizes: Sizes::of(size), curves: curves(outcome) };
    let mut scene = Scene::new(size, palette.background);
    let headline = headline(outcome, style.units);
    let top = heading(&mut scene, &palette, sheet.sizes, [&headline, &printable(&outcome.title)])?;
    let top = legend(&mut scene, &sheet, top)?;
    let falls = falls(outcome, &sheet.curves);
    let labels = end_labels(&sheet);
    let frame = frame(&sheet, size, top + falls.len() as f64 * LINE * sheet.sizes.label, &labels)?;
    spans(&mut scene, &sheet, &frame);
    window_band(&mut scene, &sheet, &frame);
    time_axis(&mut scene, &sheet, &frame)?;
    temperature_axes(&mut scene, &sheet, &frame);
    limit_lines(&mut scene, &sheet, &frame);
    lines(&mut scene, &sheet, &frame);
    label_ends(&mut scene, &sheet, &frame, &labels)?;
    label_falls(&mut scene, &sheet, &frame, &falls)?;
    Ok(scene)
}

fn headline(outcome: &Outcome, units: Units) -> String {
    let verdict = format!("{}.", verdict_clause(outcome, units));
    if outcome.interrupted {
        format!("{verdict} Interrupted: only the first {} are computed.", duration(outcome.ran_until_s))
    } else {
        verdict
    }
}

/// Room for the tick labels of a temperature axis.
fn tick_width(sheet: &Sheet, units: Units, celsius: (f64, f64)) -> Result<f64, Error> {
    let mut widest: f64 = 0.0;
    for end in [celsius.0, celsius.1] {
        widest = widest.max(text_width(&temperature(end, units), sheet.sizes.label)?);
    }
    Ok(widest + sheet.sizes.pad)
}

fn left_units(units: Units) -> Units {
    if units == Units::Shop { Units::Shop } else { Units::Metric }
}

fn frame(sheet: &Sheet, size: (f64, f64), top: f64, labels: &[EndLabel]) -> Result<Frame, Error> {
    let sizes = sheet.sizes;
    let celsius = temperature_range(sheet.outcome, &sheet.curves);
    let mut widest: f64 = 0.0;
    for label in labels {
        widest = widest.max(text_width(&label.text, sizes.label)?);
    }
    let right_ticks = if sheet.units == Units::Both { tick_width(sheet, Units::Shop, celsius)? } else { 0.0 };
    let right = (widest + sample_width(sizes) + 2.0 * sizes.pad).min(MOST_RIGHT * size.0) + right_ticks;
    Ok(Frame {
        left: tick_width(sheet, left_units(sheet.units), celsius)? + sizes.pad,
        right: size.0 - right,
        top: top + 0.5 * sizes.pad,
        bottom: size.1 - sizes.pad - 2.0 * LINE * sizes.label,
        time_s: time_range(sheet.outcome, &sheet.curves),
        celsius,
    })
}

fn time_range(outcome: &Outcome, curves: &[Curve]) -> (f64, f64) {
    let times = curves.iter().flat_map(|curve| curve.points.iter().map(|point| point.0));
    let first = times.clone().fold(0.0, f64::min);
    let last = times.fold(0.0, f64::max);
    let last = if last > first { last } else { outcome.ran_until_s };
    if last > first { (first, last) } else { (first, first + 1.0) }
}

/// All that is drawn, with a little air; the surface limit does not stretch it.
fn temperature_range(outcome: &Outcome, curves: &[Curve]) -> (f64, f64) {
    let limits = outcome.window.map_or(Vec::new(), |window| vec![window.minimum_c, window.maximum_interpass_c]);
    let drawn = curves.iter().flat_map(|curve| curve.points.iter().map(|point| point.1));
    let all: Vec<f64> = drawn.chain(limits).collect();
    let low = all.iter().copied().fold(f64::INFINITY, f64::min);
    let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if low > high {
        return (0.0, 100.0);
    }
    let air = (0.06 * (high - low)).max(1.0);
    (low - air, high + air)
}

/// Boxes that say what the shades mean; the height below them.
fn legend(scene: &mut Scene, sheet: &Sheet, top: f64) -> Result<f64, Error> {
    let (sizes, palette) = (sheet.sizes, &sheet.palette);
    let entries = [
        (!sheet.outcome.heats.is_empty()).then_some(("flame on", palette.flame, FLAME_OPACITY, -1.0)),
        (!sheet.outcome.passes.is_empty()).then_some(("pass", palette.pass, PASS_OPACITY, 1.0)),
        sheet.outcome.window.map(|_| ("window", palette.window, WINDOW_OPACITY, 0.0)),
    ];
    let (mut left, middle) = (sizes.pad, top + LINE * sizes.label / 2.0);
    let half = 0.45 * sizes.label;
    for (text, colour, opacity, bar) in entries.into_iter().flatten() {
        let right = left + 1.8 * sizes.label;
        scene.fill((left, middle - half), (right, middle + half), colour, opacity);
        edge_bar(scene, (left, right), middle + bar * half, -bar * bar_height(sizes), colour);
        scene.text((right + 0.4 * sizes.label, middle), text, sizes.label, Anchor::Start, palette.faint_text);
        left = right + 1.4 * sizes.label + text_width(text, sizes.label)?;
    }
    let left_out = left_out(sheet.outcome, &sheet.curves);
    if left_out > 0 {
        let text = format!("{left_out} more probes are not drawn");
        scene.text((left, middle), &text, sizes.label, Anchor::Start, palette.faint_text);
    }
    Ok(top + LINE * sizes.label)
}

fn bar_height(sizes: Sizes) -> f64 {
    2.0 * sizes.line
}

/// Flames have a bar at the upper edge and passes one at the lower: in grey the shades alone would look the same.
fn edge_bar(scene: &mut Scene, (left, right): (f64, f64), edge: f64, height: f64, colour: Colour) {
    if height != 0.0 {
        scene.fill((left, edge.min(edge + height)), (right, edge.max(edge + height)), colour, 1.0);
    }
}

fn spans(scene: &mut Scene, sheet: &Sheet, frame: &Frame) {
    let height = bar_height(sheet.sizes);
    for span in flame_spans(sheet.outcome) {
        if let Some(sides) = sides(frame, &span) {
            scene.fill((sides.0, frame.top), (sides.1, frame.bottom), sheet.palette.flame, FLAME_OPACITY);
            edge_bar(scene, sides, frame.top, height, sheet.palette.flame);
        }
    }
    for span in pass_spans(sheet.outcome) {
        if let Some(sides) = sides(frame, &span) {
            scene.fill((sides.0, frame.top), (sides.1, frame.bottom), sheet.palette.pass, PASS_OPACITY);
            edge_bar(scene, sides, frame.bottom, -height, sheet.palette.pass);
        }
    }
}

/// Left and right of a span inside the frame, at least a pixel wide; none where it lies outside.
fn sides(frame: &Frame, span: &Span) -> Option<(f64, f64)> {
    let inside = span.from_s < frame.time_s.1 && span.until_s >= frame.time_s.0;
    let from = frame.x(span.from_s.max(frame.time_s.0));
    let until = frame.x(span.until_s.min(frame.time_s.1)).max(from + 1.0);
    inside.then_some((from, until.min(frame.right)))
}

fn window_band(scene: &mut Scene, sheet: &Sheet, frame: &Frame) {
    let Some(window) = sheet.outcome.window else { return };
    let (top, bottom) = (frame.y(window.maximum_interpass_c), frame.y(window.minimum_c));
    scene.fill((frame.left, top), (frame.right, bottom), sheet.palette.window, WINDOW_OPACITY);
}

/// After the grid, which may have a line at the same height.
fn limit_lines(scene: &mut Scene, sheet: &Sheet, frame: &Frame) {
    let Some(window) = sheet.outcome.window else { return };
    for (_, limit_c) in limits(&window, frame.celsius) {
        let y = frame.y(limit_c);
        scene.line(vec![(frame.left, y), (frame.right, y)], limit_stroke(sheet));
    }
}

fn limit_stroke(sheet: &Sheet) -> Stroke {
    Stroke { colour: sheet.palette.window, width: 0.8 * sheet.sizes.line, dash: Dash::Solid }
}

/// The limits that lie within the range drawn.
fn limits(window: &WindowC, celsius: (f64, f64)) -> Vec<(&'static str, f64)> {
    let surface = window.surface_limit_c.map(|limit| ("surface limit", limit));
    let all = [Some(("minimum", window.minimum_c)), Some(("max. interpass", window.maximum_interpass_c)), surface];
    all.into_iter().flatten().filter(|(_, limit)| (celsius.0..=celsius.1).contains(limit)).collect()
}

fn time_axis(scene: &mut Scene, sheet: &Sheet, frame: &Frame) -> Result<(), Error> {
    let (sizes, palette) = (sheet.sizes, &sheet.palette);
    let (unit, seconds) = time_unit(frame.time_s.1 - frame.time_s.0);
    let (low, high) = (frame.time_s.0 / seconds, frame.time_s.1 / seconds);
    let widest = text_width(&format!("{high:.2}"), sizes.label)?;
    let most = ((frame.right - frame.left) / (2.0 * widest)).clamp(2.0, 12.0) as usize;
    let marks = ticks(low, high, most);
    let spacing = marks.get(1).map_or(1.0, |second| second - marks[0]);
    let y = frame.bottom + LINE * sizes.label / 2.0 + 0.2 * sizes.label;
    for tick in marks {
        let x = frame.x(tick * seconds);
        scene.line(vec![(x, frame.top), (x, frame.bottom)], grid(sheet));
        scene.text((x, y), &tick_text(tick, spacing), sizes.label, Anchor::Middle, palette.faint_text);
    }
    let middle = (frame.left + frame.right) / 2.0;
    let label = format!("time, {unit}");
    scene.text((middle, y + LINE * sizes.label), &label, sizes.label, Anchor::Middle, palette.text);
    Ok(())
}

fn grid(sheet: &Sheet) -> Stroke {
    Stroke { colour: sheet.palette.grid, width: 0.5 * sheet.sizes.line, dash: Dash::Solid }
}

/// Every tick carries its unit, so the axis needs no other title.
fn temperature_axes(scene: &mut Scene, sheet: &Sheet, frame: &Frame) {
    let gap = 0.5 * sheet.sizes.pad;
    let left = left_units(sheet.units);
    for (tick, y) in temperature_ticks(sheet, frame, left) {
        scene.line(vec![(frame.left, y), (frame.right, y)], grid(sheet));
        scene.text((frame.left - gap, y), &tick, sheet.sizes.label, Anchor::End, sheet.palette.faint_text);
    }
    if sheet.units == Units::Both {
        for (tick, y) in temperature_ticks(sheet, frame, Units::Shop) {
            scene.line(vec![(frame.right, y), (frame.right + 0.6 * gap, y)], grid(sheet));
            scene.text((frame.right + gap, y), &tick, sheet.sizes.label, Anchor::Start, sheet.palette.faint_text);
        }
    }
}

fn temperature_ticks(sheet: &Sheet, frame: &Frame, units: Units) -> Vec<(String, f64)> {
    let axis = Temperature::from_celsius(frame.celsius.1).axis(units);
    let most = ((frame.bottom - frame.top) / (3.0 * sheet.sizes.label)).clamp(2.0, 8.0) as usize;
    let marks = ticks(axis.number(frame.celsius.0), axis.number(frame.celsius.1), most);
    let spacing = marks.get(1).map_or(1.0, |second| second - marks[0]);
    let label = |tick: &f64| format!("{} {}", tick_text(*tick, spacing), axis.unit());
    marks.iter().map(|tick| (label(tick), frame.y(axis.to_si(*tick)))).collect()
}

fn lines(scene: &mut Scene, sheet: &Sheet, frame: &Frame) {
    if sheet.curves.is_empty() {
        let middle = (0.5 * (frame.left + frame.right), 0.5 * (frame.top + frame.bottom));
        scene.text(middle, "no curve was computed", sheet.sizes.label, Anchor::Middle, sheet.palette.text);
    }
    for curve in &sheet.curves {
        let points = curve.points.iter().map(|&(time, celsius)| (frame.x(time), frame.y(celsius))).collect();
        scene.line(points, curve.stroke(&sheet.palette, sheet.sizes.line));
    }
}

/// A label at the right margin, beside the height it speaks of.
struct EndLabel {
    text: String,
    celsius: f64,
    stroke: Stroke,
}

fn end_labels(sheet: &Sheet) -> Vec<EndLabel> {
    let curve = |curve: &Curve| {
        let (_, celsius) = *curve.points.last()?;
        let stroke = curve.stroke(&sheet.palette, sheet.sizes.line);
        Some(EndLabel { text: curve.name.clone(), celsius, stroke })
    };
    let range = temperature_range(sheet.outcome, &sheet.curves);
    let shown = sheet.outcome.window.map_or(Vec::new(), |window| limits(&window, range));
    let limit = |(name, celsius): (&str, f64)| {
        let text = format!("{name} {}", temperature(celsius, sheet.units));
        EndLabel { text, celsius, stroke: limit_stroke(sheet) }
    };
    sheet.curves.iter().filter_map(curve).chain(shown.into_iter().map(limit)).collect()
}

fn sample_width(sizes: Sizes) -> f64 {
    2.4 * sizes.label
}

fn label_ends(scene: &mut Scene, sheet: &Sheet, frame: &Frame, labels: &[EndLabel]) -> Result<(), Error> {
    let sizes = sheet.sizes;
    let ticks = if sheet.units == Units::Both { tick_width(sheet, Units::Shop, frame.celsius)? } else { 0.0 };
    let left = frame.right + ticks + 0.5 * sizes.pad;
    let text_left = left + sample_width(sizes);
    let wanted: Vec<f64> = labels.iter().map(|label| frame.y(label.celsius)).collect();
    let heights = spread(&wanted, LINE * sizes.label, frame.top, frame.bottom);
    for (label, y) in labels.iter().zip(heights) {
        scene.line(vec![(left, y), (text_left - 0.4 * sizes.label, y)], label.stroke);
        let text = fitted(&label.text, sizes.label, scene.size.0 - sizes.pad - text_left)?;
        scene.text((text_left, y), &text, sizes.label, Anchor::Start, sheet.palette.text);
    }
    Ok(())
}

/// Each label has a row of its own above the frame and a thin line down to its ring on the curve.
///
/// Labels stand to the right of their lines, the earliest in the upper row; or to the left, the earliest in the lower
/// row, where the last would leave the picture. Either way no line runs through a label of another.
fn label_falls(scene: &mut Scene, sheet: &Sheet, frame: &Frame, falls: &[Fall]) -> Result<(), Error> {
    let mut widest: f64 = 0.0;
    for fall in falls {
        widest = widest.max(text_width(&fall.label(sheet.units), sheet.sizes.label)? + 2.0 * sheet.sizes.pad);
    }
    let last = falls.iter().map(|fall| frame.x(fall.time_s)).fold(0.0, f64::max);
    let to_the_right = last + widest < scene.size.0;
    for (index, fall) in falls.iter().enumerate() {
        let row = if to_the_right { falls.len() - 1 - index } else { index };
        label_fall(scene, sheet, frame, fall, (row, to_the_right))?;
    }
    Ok(())
}

fn label_fall(
    scene: &mut Scene,
    sheet: &Sheet,
    frame: &Frame,
    fall: &Fall,
    (row, to_the_right): (usize, bool),
) -> Result<(), Error> {
    let sizes = sheet.sizes;
    let (x, y) = (frame.x(fall.time_s), frame.y(fall.limit_c));
    let height = frame.top - 0.5 * sizes.pad - (row as f64 + 0.5) * LINE * sizes.label;
    let text = fitted(&fall.label(sheet.units), sizes.label, scene.size.0 - 2.0 * sizes.pad)?;
    let width = text_width(&text, sizes.label)?;
    let gap = 0.4 * sizes.label;
    let (anchor, side) =
        if to_the_right { (Anchor::Start, x + gap) } else { (Anchor::End, (x - gap).max(sizes.pad + width)) };
    let thin = Stroke { colour: sheet.palette.faint_text, width: 0.5 * sizes.line, dash: Dash::Dashed };
    scene.text((side, height), &text, sizes.label, anchor, sheet.palette.text);
    scene.line(vec![(x, height - 0.5 * sizes.label), (x, y)], thin);
    scene.circle((x, y), 2.2 * sizes.line, sheet.palette.text);
    Ok(())
}
