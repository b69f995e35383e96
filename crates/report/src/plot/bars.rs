//! Groups of bars with their names and numbers: levers, shares and bands.

use super::axis::ticks_with_text;
use super::frame::Look;
use super::heat_map::hatch;
use super::layout::{LINE, Sizes, heading, widest, wrapped};
use super::scene::{Anchor, Dash, Scene, Stroke};
use super::{Error, Style};

/// Share of the picture's width that names may take.
const NAMES: f64 = 0.42;

/// One bar.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bar {
    pub(super) name: String,
    /// Both ends; one is zero where the bar is a length.
    pub(super) ends: [f64; 2],
    /// The number in words.
    pub(super) text: String,
    /// A line across the bar.
    pub(super) line: Option<f64>,
    /// A ring on it.
    pub(super) ring: Option<f64>,
    /// An outline with a hatch in place of a full bar.
    pub(super) hatched: bool,
}

impl Bar {
    /// From zero to a value.
    pub(super) fn to(name: String, value: f64, text: String) -> Bar {
        Bar { name, ends: [value.min(0.0), value.max(0.0)], text, line: None, ring: None, hatched: false }
    }
}

/// Bars on one axis.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Group {
    /// What they are; more than one line where it is long.
    pub(super) heading: String,
    pub(super) bars: Vec<Bar>,
    /// Unit of the axis, and how much of it one of a bar's value is.
    pub(super) unit: (&'static str, f64),
}

/// The axis of a group on the sheet.
#[derive(Clone, Copy)]
struct Axis {
    left: f64,
    right: f64,
    low: f64,
    high: f64,
}

impl Axis {
    fn x(&self, value: f64) -> f64 {
        self.left + (self.right - self.left) * (value - self.low) / (self.high - self.low)
    }
}

/// Lays the picture out, as high as the bars need it.
pub(super) fn scene(heads: [&str; 2], groups: &[Group], style: &Style) -> Result<Scene, Error> {
    let look = Look::of(style);
    let mut scene = Scene::new(style.size(), look.palette.background);
    let sizes = look.sizes;
    let mut top = heading(&mut scene, &look.palette, sizes, heads)?;
    let all = || groups.iter().flat_map(|group| &group.bars);
    let names = widest(all().map(|bar| &bar.name), sizes.label)?.min(NAMES * scene.size.0);
    let numbers = widest(all().map(|bar| &bar.text), sizes.label)?;
    let left = sizes.pad + names + sizes.pad + numbers + sizes.pad;
    let columns = [sizes.pad + names, left - 0.5 * sizes.pad, left, scene.size.0 - 1.5 * sizes.pad];
    for group in groups {
        top = draw(&mut scene, &look, group, (top + 0.6 * sizes.pad, columns))?;
    }
    scene.size.1 = top + sizes.pad;
    Ok(scene)
}

/// Zero and all ends, with a little air.
fn axis(group: &Group, left: f64, right: f64) -> Axis {
    let values = || group.bars.iter().flat_map(|bar| bar.ends.into_iter().chain(bar.line).chain(bar.ring));
    let low = values().filter(|v| v.is_finite()).fold(0.0, f64::min);
    let high = values().filter(|v| v.is_finite()).fold(0.0, f64::max);
    let air = 0.03 * (high - low);
    let (low, high) = (if low < 0.0 { low - air } else { low }, high + air);
    if high > low { Axis { left, right, low, high } } else { Axis { left, right, low: 0.0, high: 1.0 } }
}

/// Heading, bars and axis; the height below.
fn draw(scene: &mut Scene, look: &Look, group: &Group, (top, columns): (f64, [f64; 4])) -> Result<f64, Error> {
    let Sizes { label, pad, .. } = look.sizes;
    let [names_end, numbers_end, left, right] = columns;
    let mut top = top;
    for line in wrapped(&group.heading, label, scene.size.0 - 2.0 * pad, 3)? {
        scene.text((pad, top + 0.5 * LINE * label), &line, label, Anchor::Start, look.palette.text);
        top += LINE * label;
    }
    top += 0.4 * label;
    let axis = axis(group, left, right);
    let mut rows: Vec<(&Bar, Vec<String>, f64, f64)> = Vec::new();
    let mut bottom = top;
    for bar in &group.bars {
        let lines = wrapped(&bar.name, label, names_end - pad, 2)?;
        let height = (lines.len() as f64 * 1.1 * LINE).max(1.6) * label;
        rows.push((bar, lines, bottom, height));
        bottom += height;
    }
    let below = ticked(scene, look, group, (axis, top, bottom));
    for (bar, lines, row, height) in rows {
        let middle = row + 0.5 * height;
        let first = middle - 0.5 * (lines.len() as f64 - 1.0) * LINE * label;
        for (n, line) in lines.iter().enumerate() {
            let at = (names_end, first + n as f64 * LINE * label);
            scene.text(at, line, label, Anchor::End, look.palette.text);
        }
        scene.text((numbers_end, middle), &bar.text, label, Anchor::End, look.palette.text);
        beam(scene, look, bar, (axis, middle));
    }
    let zero = axis.x(0.0);
    scene.line(vec![(zero, top), (zero, bottom)], look.thin());
    Ok(below)
}

/// Lines at round numbers, with the numbers below; the height below those.
fn ticked(scene: &mut Scene, look: &Look, group: &Group, (axis, top, bottom): (Axis, f64, f64)) -> f64 {
    let (label, (unit, factor)) = (look.sizes.label, group.unit);
    let most = ((axis.right - axis.left) / (5.0 * label)).clamp(2.0, 8.0) as usize;
    for (mark, number) in ticks_with_text(axis.low * factor, axis.high * factor, most) {
        let x = axis.x(mark / factor);
        scene.line(vec![(x, top), (x, bottom)], look.grid());
        let at = (x, bottom + 0.65 * LINE * label);
        scene.text(at, &format!("{number} {unit}"), 0.9 * label, Anchor::Middle, look.palette.faint_text);
    }
    bottom + 1.5 * LINE * label
}

fn beam(scene: &mut Scene, look: &Look, bar: &Bar, (axis, middle): (Axis, f64)) {
    let (half, colour) = (0.5 * look.sizes.label, look.palette.lines[0]);
    let [left, right] = bar.ends.map(|end| axis.x(end));
    let right = right.max(left + 1.0);
    let solid = Stroke { colour, width: look.sizes.line, dash: Dash::Solid };
    if bar.hatched {
        let (top, bottom) = (middle - half, middle + half);
        hatch(scene, (left, top), (right, bottom), Stroke { width: 0.5 * look.sizes.line, ..solid });
        scene.sides((left, top), (right, bottom), solid);
    } else {
        scene.fill((left, middle - half), (right, middle + half), colour, 1.0);
    }
    if let Some(line) = bar.line.map(|value| axis.x(value)) {
        let ends = vec![(line, middle - 1.3 * half), (line, middle + 1.3 * half)];
        scene.line(ends.clone(), Stroke { colour: look.palette.background, width: 3.0 * look.sizes.line, ..solid });
        scene.line(ends, Stroke { colour: look.palette.text, ..solid });
    }
    if let Some(ring) = bar.ring.map(|value| axis.x(value)) {
        for (radius, colour) in [(1.5 * half, look.palette.background), (1.2 * half, look.palette.text)] {
            scene.circle((ring, middle), radius, colour);
        }
    }
}
