//! The sheet: worked face above, section under the patch below, one scale of colours for both.

use study::{Outcome, Outline, Picture};

use super::contour::{Field, is_inside};
use super::frame::Look;
use super::isotherm::{Isotherm, isotherms};
use super::layout::{LINE, fitted, heading, wrapped};
use super::panel::{Overlay, Panel, span};
use super::render::text_width;
use super::scale::{Bar, Scale};
use super::scene::{Anchor, Dash, Scene};
use super::{Error, Style};
use crate::words::{capitalised, drawn_lengths, duration, length, printable, verdict_sentence};

/// Notes are written beside the maps where there are so many letters' room.
const NOTES: f64 = 18.0;

/// How the ring is drawn.
const RING: Dash = Dash::Dotted;
const CROSS: &str = "Dashed: heated patch. Dotted: ring, down to its depth. Cross: coldest of the ring in each plane.";
const GOODNESS: &str = "Maps from one grid, without error bar: good to a kelvin or so, for looking at.";
/// Least width kept for the caption of a map, in letters' heights.
const CAPTION: f64 = 15.0;

/// The corners that the layout is made of, pixels.
struct Layout {
    left: f64,
    face_top: f64,
    section_top: f64,
    scale: f64,
}

/// Lays the picture out.
pub(super) fn scene(
    picture: &Picture,
    outcome: &Outcome,
    scale_c: Option<[f64; 2]>,
    style: &Style,
) -> Result<Scene, Error> {
    let look = Look::of(style);
    let mut scene = Scene::new(style.size(), look.palette.background);
    let top = heading(&mut scene, &look.palette, look.sizes, [&headline(picture), &printable(&outcome.title)])?;
    let (face, section) = fields(picture);
    if !face.is_drawable() || !section.is_drawable() {
        let middle = (0.5 * scene.size.0, 0.5 * (top + scene.size.1));
        scene.text(middle, "no map was computed", look.sizes.label, Anchor::Middle, look.palette.text);
        return Ok(scene);
    }
    let scale = match scale_c {
        Some(ends) => Scale::over(ends.into_iter(), look.left_units()),
        None => Scale::over(face.values.iter().chain(section.values).copied(), look.left_units()),
    };
    let isotherms = isotherms(outcome.window, scale.range(), style.units);
    let bar = scale.width(&look, &isotherms)?;
    let layout = layout(&look, scene.size, top, bar, (face, section))?;
    let panels = panels(picture, (face, section), &layout);
    for panel in &panels {
        panel.draw(&mut scene, &look, &scale, &isotherms)?;
        panel.side_ticks(&mut scene, &look);
        panel.foot_ticks(&mut scene, &look, panel.downwards);
    }
    captions(&mut scene, &look, &panels, middle(face.along))?;
    key(&mut scene, &look, &panels, &scale, &isotherms)?;
    let taken = panels[0].corner.0 + block_width(&panels[0], &look) + bar;
    notes(&mut scene, &look, &panels, taken, &verdict_sentence(outcome, style.units))?;
    Ok(scene)
}

/// `As the first flame goes off: 18 min 20 s after the start`.
fn headline(picture: &Picture) -> String {
    let begun = capitalised(&printable(&picture.moment));
    let time = format!("{} after the start", duration(picture.map.time_s));
    if begun.is_empty() { time } else { format!("{begun}: {time}") }
}

fn fields(picture: &Picture) -> (Field<'_>, Field<'_>) {
    let map = &picture.map;
    let face = Field { across: &map.x, along: &map.y, values: &map.face_c };
    (face, Field { across: &map.x, along: &map.z, values: &map.section_c })
}

/// Both maps on one scale, as large as the sheet lets them be.
fn layout(
    look: &Look,
    (width, height): (f64, f64),
    top: f64,
    bar: f64,
    (face, section): (Field, Field),
) -> Result<Layout, Error> {
    let (pad, label) = (look.sizes.pad, look.sizes.label);
    let caption = LINE * label;
    let left = pad + text_width("00000", 0.85 * label)? + 0.6 * label;
    let foot = 1.7 * label + LINE * label + 0.5 * pad;
    let across = (width - left - bar - 2.5 * pad) / span(face.across);
    let down = (height - top - 2.0 * caption - pad - foot) / (span(face.along) + span(section.along));
    let scale = across.min(down).max(1.0);
    let face_top = top + caption;
    Ok(Layout { left, face_top, section_top: face_top + scale * span(face.along) + caption + pad, scale })
}

fn panels<'a>(picture: &Picture, (face, section): (Field<'a>, Field<'a>), layout: &Layout) -> [Panel<'a>; 2] {
    let middle = middle(face.along);
    let overlays: Vec<Overlay> = picture.outlines.iter().map(closed).collect();
    let cuts: Vec<Overlay> =
        picture.outlines.iter().filter_map(|outline| cut(outline, middle, picture.ring_depth)).collect();
    let (ring, cut_ring) = (ring_points(&overlays), ring_points(&cuts));
    let on_face = Panel {
        field: face,
        corner: (layout.left, layout.face_top),
        scale: layout.scale,
        downwards: false,
        overlays,
        coldest: coldest(face, &ring, |at| is_in_ring(picture, at)),
    };
    let in_section = Panel {
        field: section,
        corner: (layout.left, layout.section_top),
        scale: layout.scale,
        downwards: true,
        overlays: cuts,
        coldest: coldest(section, &cut_ring, |at| is_in_ring(picture, (at.0, middle)) && at.1 <= picture.ring_depth),
    };
    [on_face, in_section]
}

fn middle(places: &[f64]) -> f64 {
    0.5 * (places[0] + places[places.len() - 1])
}

fn points(outline: &Outline) -> Vec<(f64, f64)> {
    outline.points.iter().map(|&[x, y]| (x, y)).collect()
}

fn dash(name: &str) -> Dash {
    match name {
        "heated patch" => Dash::Dashed,
        "ring" => RING,
        _ => Dash::Solid,
    }
}

fn closed(outline: &Outline) -> Overlay {
    let mut points = points(outline);
    points.extend(points.first().copied());
    Overlay { name: outline.name, points, dash: dash(outline.name) }
}

/// What an outline is in the section, right below its name on the face: the patch a line on the surface, ring and
/// groove down to the ring's depth.
fn cut(outline: &Outline, middle: f64, ring_depth: f64) -> Option<Overlay> {
    let points = points(outline);
    let next = points.iter().cycle().skip(1);
    let crossing = |(a, b): (&(f64, f64), &(f64, f64))| {
        ((a.1 > middle) != (b.1 > middle)).then(|| a.0 + (middle - a.1) / (b.1 - a.1) * (b.0 - a.0))
    };
    let crossings: Vec<f64> = points.iter().zip(next).filter_map(crossing).collect();
    let left = crossings.iter().copied().reduce(f64::min)?;
    let right = crossings.iter().copied().reduce(f64::max)?;
    let depth = if outline.name == "heated patch" { 0.0 } else { ring_depth };
    let points = vec![(left, 0.0), (left, depth), (right, depth), (right, 0.0)];
    Some(Overlay { name: "", points, dash: dash(outline.name) })
}

fn is_in_ring(picture: &Picture, at: (f64, f64)) -> bool {
    let within = |name: &str| picture.outlines.iter().any(|o| o.name == name && is_inside(at, &points(o)));
    within("ring") && !within("groove")
}

fn ring_points(overlays: &[Overlay]) -> Vec<(f64, f64)> {
    overlays.iter().filter(|o| o.dash == RING).flat_map(|o| o.points.iter().copied()).collect()
}

/// The coldest of those places of a field that are asked for and of the points on the ring's outline, which lies
/// between the places of the field.
fn coldest(field: Field, outline: &[(f64, f64)], asked: impl Fn((f64, f64)) -> bool) -> Option<((f64, f64), f64)> {
    let places = field.along.iter().flat_map(|&along| field.across.iter().map(move |&across| (across, along)));
    let inside = places.zip(field.values.iter().copied()).filter(|(at, _)| asked(*at));
    let around = outline.iter().filter_map(|&at| Some((at, field.at(at)?)));
    inside.chain(around).min_by(|a, b| a.1.total_cmp(&b.1))
}

fn captions(scene: &mut Scene, look: &Look, panels: &[Panel; 2], section_y: f64) -> Result<(), Error> {
    let label = look.sizes.label;
    let unit = drawn_lengths(look.units).unit();
    let place = length(section_y, look.left_units());
    let texts = [format!("Worked face (y, {unit})"), format!("Section at y = {place} (depth, {unit})")];
    for (panel, text) in panels.iter().zip(texts) {
        let at = (panel.corner.0, panel.corner.1 - 0.6 * LINE * label);
        let text = fitted(&text, 0.85 * label, block_width(panel, look))?;
        scene.text(at, &text, 0.85 * label, Anchor::Start, look.palette.text);
    }
    let section = &panels[1];
    let foot = (section.corner.0 + 0.5 * section.width(), section.corner.1 + section.height() + 2.3 * label);
    scene.text(foot, &format!("x, {unit}"), 0.85 * label, Anchor::Middle, look.palette.text);
    Ok(())
}

/// Width of the maps with their captions.
fn block_width(panel: &Panel, look: &Look) -> f64 {
    panel.width().max(CAPTION * look.sizes.label)
}

/// The scale beside both maps.
fn key(
    scene: &mut Scene,
    look: &Look,
    [face, section]: &[Panel; 2],
    scale: &Scale,
    isotherms: &[Isotherm],
) -> Result<(), Error> {
    let left = face.corner.0 + block_width(face, look) + look.sizes.pad;
    let bar = Bar { left, top: face.corner.1, bottom: section.corner.1 + section.height() };
    scale.draw(scene, look, bar, isotherms)
}

/// The verdict and how good the maps are: beside the scale where there is room, or else below if there is any.
fn notes(scene: &mut Scene, look: &Look, [face, section]: &[Panel; 2], taken: f64, verdict: &str) -> Result<(), Error> {
    let (pad, size) = (look.sizes.pad, 0.85 * look.sizes.label);
    let aside = (taken + 3.0 * pad, face.corner.1);
    let below = (face.corner.0, section.corner.1 + section.height() + 4.0 * look.sizes.label);
    let is_wide = scene.size.0 - pad - aside.0 > NOTES * 0.6 * size;
    let (left, mut top) = if is_wide { aside } else { below };
    let width = scene.size.0 - pad - left;
    for text in [verdict, CROSS, GOODNESS] {
        let lines = wrapped(text, size, width, 8)?;
        if top + lines.len() as f64 * LINE * size > scene.size.1 - pad {
            return Ok(());
        }
        for line in lines {
            scene.text((left, top + 0.5 * LINE * size), &line, size, Anchor::Start, look.palette.faint_text);
            top += LINE * size;
        }
        top += 0.6 * LINE * size;
    }
    Ok(())
}
