//! The cooling curve: temperatures over time with window, flames, beads and the falls through the minimum.

use quantity::Units;
use study::{Outcome, WindowC};

use super::frame::{EndLabel, Frame, Look};
use super::layout::{LINE, Sizes, fitted, heading, widest};
use super::lines::{Curve, Fall, curves, falls, left_out};
use super::render::text_width;
use super::scene::{Anchor, Dash, Scene, Stroke};
use super::spikes;
use super::theme::Colour;
use super::{Error, Style};
use crate::spans::{Span, flame_spans, pass_spans};
use crate::words::{duration, printable, temperature, verdict_clause};

const FLAME_OPACITY: f64 = 0.18;
const PASS_OPACITY: f64 = 0.30;
const WINDOW_OPACITY: f64 = 0.16;
const HOTTER: &str = "arc: hotter than shown";

/// What every part of the drawing needs.
struct Sheet<'a> {
    outcome: &'a Outcome,
    look: Look,
    curves: Vec<Curve>,
    /// What the plot reaches over.
    celsius: (f64, f64),
}

/// Lays the picture out.
pub(super) fn scene(outcome: &Outcome, style: &Style) -> Result<Scene, Error> {
    let look = Look::of(style);
    let curves = curves(outcome);
    let celsius = spikes::drawn_range(outcome, &curves);
    let sheet = Sheet { outcome, look, curves, celsius };
    let mut scene = Scene::new(style.size(), look.palette.background);
    let headline = headline(outcome, style.units);
    let top = heading(&mut scene, &look.palette, look.sizes, [&headline, &printable(&outcome.title)])?;
    let top = legend(&mut scene, &sheet, top)?;
    let falls = falls(outcome, &sheet.curves);
    let labels = end_labels(&sheet);
    let ends = (time_range(outcome, &sheet.curves), sheet.celsius);
    let frame = Frame::new(&look, scene.size, top + falls.len() as f64 * LINE * look.sizes.label, &labels, ends)?;
    spans(&mut scene, &sheet, &frame);
    window_band(&mut scene, &sheet, &frame);
    frame.time_axis(&mut scene, &look, "time")?;
    frame.temperature_axes(&mut scene, &look);
    limit_lines(&mut scene, &sheet, &frame);
    lines(&mut scene, &sheet, &frame);
    frame.label_ends(&mut scene, &look, &labels)?;
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

fn time_range(outcome: &Outcome, curves: &[Curve]) -> (f64, f64) {
    let times = curves.iter().flat_map(|curve| curve.points.iter().map(|point| point.0));
    let first = times.clone().fold(0.0, f64::min);
    let last = times.fold(0.0, f64::max);
    let last = if last > first { last } else { outcome.ran_until_s };
    if last > first { (first, last) } else { (first, first + 1.0) }
}

/// Boxes that say what the shades mean; the height below them.
fn legend(scene: &mut Scene, sheet: &Sheet, top: f64) -> Result<f64, Error> {
    let (sizes, palette) = (sheet.look.sizes, &sheet.look.palette);
    let entries = [
        (!sheet.outcome.heats.is_empty()).then_some(("flame on", palette.flame, FLAME_OPACITY, -1.0)),
        (!sheet.outcome.passes.is_empty()).then_some(("bead", palette.pass, PASS_OPACITY, 1.0)),
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
    let cut = sheet.curves.iter().find(|curve| spikes::is_cut(curve, sheet.celsius.1));
    if let Some(curve) = cut {
        spikes::arrow(scene, &sheet.look, (left + 0.6 * sizes.label, middle - half), curve);
        scene.text((left + 1.5 * sizes.label, middle), HOTTER, sizes.label, Anchor::Start, palette.faint_text);
        left += 2.5 * sizes.label + text_width(HOTTER, sizes.label)?;
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

/// Beads over the whole height; flames above and below the window, whose colour is then the same everywhere.
fn spans(scene: &mut Scene, sheet: &Sheet, frame: &Frame) {
    let (height, palette) = (bar_height(sheet.look.sizes), &sheet.look.palette);
    let outside = match sheet.outcome.window.map(|window| band(&window, frame)) {
        Some((top, bottom)) => vec![(frame.top, top), (bottom, frame.bottom)],
        None => vec![(frame.top, frame.bottom)],
    };
    for sides in flame_spans(sheet.outcome).iter().filter_map(|span| sides(frame, span)) {
        for &(top, bottom) in outside.iter().filter(|part| part.1 > part.0) {
            scene.fill((sides.0, top), (sides.1, bottom), palette.flame, FLAME_OPACITY);
        }
        edge_bar(scene, sides, frame.top, height, palette.flame);
    }
    for sides in pass_spans(sheet.outcome).iter().filter_map(|span| sides(frame, span)) {
        scene.fill((sides.0, frame.top), (sides.1, frame.bottom), palette.pass, PASS_OPACITY);
        edge_bar(scene, sides, frame.bottom, -height, palette.pass);
    }
}

/// Left and right of a span inside the frame, at least a pixel wide; none where it lies outside.
fn sides(frame: &Frame, span: &Span) -> Option<(f64, f64)> {
    let inside = span.from_s < frame.time_s.1 && span.until_s >= frame.time_s.0;
    let from = frame.x(span.from_s.max(frame.time_s.0));
    let until = frame.x(span.until_s.min(frame.time_s.1)).max(from + 1.0);
    inside.then_some((from, until.min(frame.right)))
}

/// Between the beads, so that no colour lies on another.
fn window_band(scene: &mut Scene, sheet: &Sheet, frame: &Frame) {
    let Some(window) = sheet.outcome.window else { return };
    let (top, bottom) = band(&window, frame);
    let mut left = frame.left;
    let beads = pass_spans(sheet.outcome);
    let beads = beads.iter().filter_map(|span| sides(frame, span)).chain([(frame.right, frame.right)]);
    for (from, until) in beads {
        if from > left {
            scene.fill((left, top), (from, bottom), sheet.look.palette.window, WINDOW_OPACITY);
        }
        left = left.max(until);
    }
}

/// Upper and lower edge of the window inside the frame.
fn band(window: &WindowC, frame: &Frame) -> (f64, f64) {
    let inside = |celsius: f64| frame.y(celsius).clamp(frame.top, frame.bottom);
    (inside(window.maximum_interpass_c), inside(window.minimum_c))
}

/// After the grid, which may have a line at the same height.
fn limit_lines(scene: &mut Scene, sheet: &Sheet, frame: &Frame) {
    let Some(window) = sheet.outcome.window else { return };
    for (_, limit_c) in limits(&window, frame.celsius) {
        let y = frame.y(limit_c);
        scene.line(vec![(frame.left, y), (frame.right, y)], sheet.look.limit_stroke());
    }
}

/// The limits that lie within the range drawn.
fn limits(window: &WindowC, celsius: (f64, f64)) -> Vec<(&'static str, f64)> {
    let surface = window.surface_limit_c.map(|limit| ("surface limit", limit));
    let all = [Some(("minimum", window.minimum_c)), Some(("max. interpass", window.maximum_interpass_c)), surface];
    all.into_iter().flatten().filter(|(_, limit)| (celsius.0..=celsius.1).contains(limit)).collect()
}

fn lines(scene: &mut Scene, sheet: &Sheet, frame: &Frame) {
    if sheet.curves.is_empty() {
        let middle = (0.5 * (frame.left + frame.right), 0.5 * (frame.top + frame.bottom));
        scene.text(middle, "no curve was computed", sheet.look.sizes.label, Anchor::Middle, sheet.look.palette.text);
    }
    for curve in &sheet.curves {
        for piece in spikes::pieces(curve, frame) {
            scene.line(piece, curve.stroke(&sheet.look.palette, sheet.look.sizes.line));
        }
        spikes::mark_cuts(scene, &sheet.look, frame, curve);
    }
}

fn end_labels(sheet: &Sheet) -> Vec<EndLabel> {
    let curve = |curve: &Curve| {
        let celsius = curve.points.last()?.1.min(sheet.celsius.1);
        let stroke = curve.stroke(&sheet.look.palette, sheet.look.sizes.line);
        Some(EndLabel { text: curve.name.clone(), celsius, stroke })
    };
    let shown = sheet.outcome.window.map_or(Vec::new(), |window| limits(&window, sheet.celsius));
    let limit = |(name, celsius): (&str, f64)| {
        let text = format!("{name} {}", temperature(celsius, sheet.look.units));
        EndLabel { text, celsius, stroke: sheet.look.limit_stroke() }
    };
    sheet.curves.iter().filter_map(curve).chain(shown.into_iter().map(limit)).collect()
}

/// Each label has a row of its own above the frame and a thin line down to its ring on the curve.
///
/// Labels stand to the right of their lines, the earliest in the upper row; or to the left, the earliest in the lower
/// row, where the last would leave the picture. Either way no line runs through a label of another.
fn label_falls(scene: &mut Scene, sheet: &Sheet, frame: &Frame, falls: &[Fall]) -> Result<(), Error> {
    let sizes = sheet.look.sizes;
    let room = widest(falls.iter().map(|fall| fall.label(sheet.look.units)), sizes.label)? + 2.0 * sizes.pad;
    let last = falls.iter().map(|fall| frame.x(fall.time_s)).fold(0.0, f64::max);
    let to_the_right = last + room < scene.size.0;
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
    let sizes = sheet.look.sizes;
    let (x, y) = (frame.x(fall.time_s), frame.y(fall.limit_c));
    let height = frame.top - 0.5 * sizes.pad - (row as f64 + 0.5) * LINE * sizes.label;
    let text = fitted(&fall.label(sheet.look.units), sizes.label, scene.size.0 - 2.0 * sizes.pad)?;
    let width = text_width(&text, sizes.label)?;
    let gap = 0.4 * sizes.label;
    let (anchor, side) =
        if to_the_right { (Anchor::Start, x + gap) } else { (Anchor::End, (x - gap).max(sizes.pad + width)) };
    let thin = Stroke { colour: sheet.look.palette.faint_text, width: 0.5 * sizes.line, dash: Dash::Dashed };
    scene.text((side, height), &text, sizes.label, anchor, sheet.look.palette.text);
    scene.line(vec![(x, height - 0.5 * sizes.label), (x, y)], thin);
    scene.circle((x, y), 2.2 * sizes.line, sheet.look.palette.text);
    Ok(())
}
