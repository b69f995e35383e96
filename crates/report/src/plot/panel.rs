//! One map: coloured bands, isotherms, outlines and their names, with ticks along its sides.

use quantity::Units;

use super::Error;
use super::axis::ticks_with_text;
use super::contour::Field;
use super::frame::Look;
use super::isotherm::{Isotherm, halo};
use super::layout::LINE;
use super::place::{Room, around};
use super::scale::Scale;
use super::scene::{Anchor, Dash, Scene, Stroke};
use super::theme::LIGHT;
use crate::words::{drawn_lengths, temperature};

/// A line on the sheet.
type Pixels = Vec<(f64, f64)>;

/// A line over the map.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Overlay {
    /// Empty where it is not written beside the line.
    pub(super) name: &'static str,
    pub(super) points: Vec<(f64, f64)>,
    pub(super) dash: Dash,
}

/// A map in its place on the sheet.
#[derive(Debug)]
pub(super) struct Panel<'a> {
    pub(super) field: Field<'a>,
    /// Upper left corner, pixels.
    pub(super) corner: (f64, f64),
    /// Pixels per metre.
    pub(super) scale: f64,
    /// Whether the second direction is a depth, which grows downwards.
    pub(super) downwards: bool,
    pub(super) overlays: Vec<Overlay>,
    /// Where the ring is coldest in this plane, and how cold, Celsius.
    pub(super) coldest: Option<((f64, f64), f64)>,
}

impl Panel<'_> {
    pub(super) fn width(&self) -> f64 {
        self.scale * span(self.field.across)
    }

    pub(super) fn height(&self) -> f64 {
        self.scale * span(self.field.along)
    }

    fn pixel(&self, (across, along): (f64, f64)) -> (f64, f64) {
        let down = self.scale * (along - self.field.along[0]);
        let y = if self.downwards { self.corner.1 + down } else { self.corner.1 + self.height() - down };
        (self.corner.0 + self.scale * (across - self.field.across[0]), y)
    }

    fn pixels(&self, points: &[(f64, f64)]) -> Vec<(f64, f64)> {
        points.iter().map(|&point| self.pixel(point)).collect()
    }

    /// Draws the map with all that lies over it.
    pub(super) fn draw(
        &self,
        scene: &mut Scene,
        look: &Look,
        scale: &Scale,
        isotherms: &[Isotherm],
    ) -> Result<(), Error> {
        let (left, top) = self.corner;
        let (right, bottom) = (left + self.width(), top + self.height());
        scene.fill((left, top), (right, bottom), scale.colour(0), 1.0);
        for patch in self.field.patches(&scale.levels) {
            scene.area(self.pixels(&patch.outline), scale.colour(patch.band));
        }
        let lines: Vec<Vec<Pixels>> = isotherms.iter().map(|isotherm| self.isolines(isotherm)).collect();
        for (isotherm, lines) in isotherms.iter().zip(&lines) {
            lines.iter().for_each(|line| halo(scene, line, isotherm.stroke(look.sizes.line)));
        }
        scene.sides((left, top), (right, bottom), look.thin());
        let overlays: Vec<Pixels> = self.overlays.iter().map(|o| self.pixels(&o.points)).collect();
        for (overlay, points) in self.overlays.iter().zip(&overlays) {
            halo(scene, points, Stroke { colour: LIGHT, width: 0.8 * look.sizes.line, dash: overlay.dash });
        }
        self.write_names(scene, look, isotherms, (&lines, &overlays))
    }

    /// The coldest place first, then the outlines, then the isotherms, each where room is left.
    fn write_names(
        &self,
        scene: &mut Scene,
        look: &Look,
        isotherms: &[Isotherm],
        (lines, overlays): (&[Vec<Pixels>], &[Pixels]),
    ) -> Result<(), Error> {
        let (left, top) = self.corner;
        let mut room = Room::within([left, top, left + self.width(), top + self.height()]);
        self.mark_coldest(scene, look, &mut room)?;
        for (index, (overlay, points)) in self.overlays.iter().zip(overlays).enumerate() {
            let text: Vec<String> = Some(overlay.name.to_owned()).filter(|name| !name.is_empty()).into_iter().collect();
            room.write(scene, look, &text, &label_points(points, index, look))?;
        }
        for (index, (isotherm, lines)) in isotherms.iter().zip(lines).enumerate() {
            let points = lines.concat();
            let long = (!is_small(&points, look)).then(|| isotherm.long_text(look.units));
            let texts: Vec<String> = long.into_iter().chain([isotherm.short_text(look.units)]).collect();
            room.write(scene, look, &texts, &label_points(&points, index, look))?;
        }
        Ok(())
    }

    fn isolines(&self, isotherm: &Isotherm) -> Vec<Vec<(f64, f64)>> {
        self.field.lines(isotherm.celsius).iter().map(|line| self.pixels(line)).collect()
    }

    /// A cross, and its temperature above or below it.
    fn mark_coldest(&self, scene: &mut Scene, look: &Look, room: &mut Room) -> Result<(), Error> {
        let Some((place, celsius)) = self.coldest else { return Ok(()) };
        let (at, arm) = (self.pixel(place), 2.4 * look.sizes.line);
        let stroke = Stroke { colour: LIGHT, width: look.sizes.line, dash: Dash::Solid };
        halo(scene, &[(at.0 - arm, at.1 - arm), (at.0 + arm, at.1 + arm)], stroke);
        halo(scene, &[(at.0 - arm, at.1 + arm), (at.0 + arm, at.1 - arm)], stroke);
        room.keep_free(around(at, (arm, arm)));
        let shown = temperature(celsius, look.units);
        let texts = [format!("coldest {shown}"), shown];
        let away = arm + 0.6 * LINE * look.sizes.label;
        let aside = 5.0 * away;
        let beside = [(0.0, away), (0.0, -away), (-aside, 0.0), (aside, 0.0), (-aside, away), (aside, away)];
        room.write(scene, look, &texts, &beside.map(|(x, y)| (at.0 + x, at.1 + y)))
    }

    /// Ticks at the left with their numbers.
    pub(super) fn side_ticks(&self, scene: &mut Scene, look: &Look) {
        let (label, left) = (look.sizes.label, self.corner.0);
        for (text, along) in length_ticks(self.field.along, self.height() / (2.5 * label), look.units) {
            let y = self.pixel((self.field.across[0], along)).1;
            scene.line(vec![(left - 0.4 * label, y), (left, y)], look.thin());
            scene.text((left - 0.6 * label, y), &text, 0.85 * label, Anchor::End, look.palette.faint_text);
        }
    }

    /// Ticks below, with their numbers where asked.
    pub(super) fn foot_ticks(&self, scene: &mut Scene, look: &Look, numbered: bool) {
        let (label, bottom) = (look.sizes.label, self.corner.1 + self.height());
        for (text, across) in length_ticks(self.field.across, self.width() / (2.8 * label), look.units) {
            let x = self.pixel((across, self.field.along[0])).0;
            scene.line(vec![(x, bottom), (x, bottom + 0.4 * label)], look.thin());
            if numbered {
                let at = (x, bottom + label);
                scene.text(at, &text, 0.85 * label, Anchor::Middle, look.palette.faint_text);
            }
        }
    }
}

/// Round places with their numbers.
fn length_ticks(places: &[f64], most: f64, units: Units) -> Vec<(String, f64)> {
    let axis = drawn_lengths(units);
    let ends = [places[0], places[places.len() - 1]].map(|end| axis.number(end));
    let ticks = ticks_with_text(ends[0], ends[1], most.clamp(1.0, 10.0) as usize);
    ticks.into_iter().map(|(tick, text)| (text, axis.to_si(tick))).collect()
}

/// From the first to the last.
pub(crate) fn span(places: &[f64]) -> f64 {
    places.last().zip(places.first()).map_or(0.0, |(last, first)| last - first)
}

/// Left, top, right and bottom of points.
fn reach(points: &[(f64, f64)]) -> [f64; 4] {
    let outside = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
    points
        .iter()
        .fold(outside, |[left, top, right, bottom], &(x, y)| [left.min(x), top.min(y), right.max(x), bottom.max(y)])
}

/// Whether a name on the line would hide it.
fn is_small(points: &[(f64, f64)], look: &Look) -> bool {
    let [_, top, _, bottom] = reach(points);
    bottom - top < 4.0 * look.sizes.label
}

/// Where a line's name may stand: on it, or first about it where it is small.
fn label_points(points: &[(f64, f64)], index: usize, look: &Look) -> Vec<(f64, f64)> {
    if points.is_empty() || !is_small(points, look) {
        return turned(points, index);
    }
    let [left, top, right, bottom] = reach(points);
    let (middle, level, label) = (0.5 * (left + right), 0.5 * (top + bottom), look.sizes.label);
    let (above, below) = ((middle, top - 0.9 * label), (middle, bottom + 0.9 * label));
    let beside = [above, below, (right + 3.0 * label, level), (left - 3.0 * label, level)];
    beside.into_iter().chain(turned(points, index)).collect()
}

/// The points in turn, beginning at another share of the way for each line, so that names do not crowd at one side.
fn turned(points: &[(f64, f64)], index: usize) -> Vec<(f64, f64)> {
    const GOLDEN: f64 = 0.618;
    let start = (points.len() as f64 * (0.15 + GOLDEN * index as f64).fract()) as usize;
    points.iter().cycle().skip(start).take(points.len()).copied().collect()
}
