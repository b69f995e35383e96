//! Drawing a scene with plotters, on SVG or on a bitmap.

use std::sync::OnceLock;

use plotters::coord::Shift;
use plotters::element::DashedPathElement;
use plotters::prelude::*;
use plotters::style::register_font;
use plotters::style::text_anchor::{HPos, Pos, VPos};

use super::Error;
use super::scene::{Anchor, Mark, Scene, Stroke};
use super::theme::Colour;

/// The family named in an SVG; the bundled font is registered under the whole list.
const FAMILY: &str = "DejaVu Sans, sans-serif";
static FONT: &[u8] = include_bytes!("../../fonts/DejaVuSans.ttf");

/// Backends take whole pixels: an SVG is drawn this many times larger and scaled back by its view box.
const SVG_SCALE: u32 = 10;
/// A bitmap is drawn this many times larger and averaged, because thick lines are drawn without smoothing.
const PNG_SCALE: u32 = 3;

/// The library writes a font-size of its size over this.
const SIZE_PER_EM: f64 = 1.24;
/// Mean width of a letter over the font-size in a wide sans-serif.
const WIDE_LETTER: f64 = 0.6;

/// A bitmap's text must come down by this share of its size to stand about its point as an SVG's does.
const BITMAP_DROP: f64 = 0.138;

/// How a backend takes the scene.
#[derive(Clone, Copy)]
struct Target {
    scale: f64,
    text_drop: f64,
}

fn font_is_ready() -> Result<(), Error> {
    static READY: OnceLock<bool> = OnceLock::new();
    let ready = *READY.get_or_init(|| register_font(FAMILY, FontStyle::Normal, FONT).is_ok());
    if ready { Ok(()) } else { Err(Error::Font) }
}

/// Width to keep free for a text at a size, pixels.
///
/// An SVG may be shown in another font: no less than a wide font's mean letter is allowed for.
pub(super) fn text_width(text: &str, size: f64) -> Result<f64, Error> {
    font_is_ready()?;
    // Measured large, because the library answers in whole pixels.
    let font = FontDesc::new(FontFamily::Name(FAMILY), size * f64::from(SVG_SCALE), FontStyle::Normal);
    let (width, _) = font.box_size(text).map_err(|_| Error::Font)?;
    let wide_font = text.chars().count() as f64 * WIDE_LETTER * size / SIZE_PER_EM;
    Ok((f64::from(width) / f64::from(SVG_SCALE)).max(wide_font))
}

pub(super) fn svg(scene: &Scene) -> Result<String, Error> {
    font_is_ready()?;
    let (width, height) = whole(scene.size);
    let large = (width * SVG_SCALE, height * SVG_SCALE);
    let mut svg = String::new();
    {
        let area = SVGBackend::with_string(&mut svg, large).into_drawing_area();
        draw(scene, &area, Target { scale: f64::from(SVG_SCALE), text_drop: 0.0 })?;
    }
    let drawn = format!("<svg width=\"{}\" height=\"{}\"", large.0, large.1);
    let shown = format!("<svg width=\"{width}\" height=\"{height}\"");
    Ok(svg.replacen(&drawn, &shown, 1))
}

pub(super) fn png(scene: &Scene) -> Result<Vec<u8>, Error> {
    font_is_ready()?;
    let (width, height) = whole(scene.size);
    let large = (width * PNG_SCALE, height * PNG_SCALE);
    let mut pixels = vec![0; large.0 as usize * large.1 as usize * 3];
    {
        let area = BitMapBackend::with_buffer(&mut pixels, large).into_drawing_area();
        draw(scene, &area, Target { scale: f64::from(PNG_SCALE), text_drop: BITMAP_DROP })?;
    }
    encode(&averaged(&pixels, width as usize), width, height).map_err(|error| Error::Png { reason: error.to_string() })
}

fn whole((width, height): (f64, f64)) -> (u32, u32) {
    (width.round() as u32, height.round() as u32)
}

fn encode(pixels: &[u8], width: u32, height: u32) -> Result<Vec<u8>, png::EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(pixels)?;
    writer.finish()?;
    Ok(bytes)
}

/// Each pixel the mean of a square of the large bitmap.
fn averaged(large: &[u8], width: usize) -> Vec<u8> {
    let scale = PNG_SCALE as usize;
    let large_row = width * scale * 3;
    let mut pixels = Vec::with_capacity(large.len() / (scale * scale));
    for rows in large.chunks_exact(large_row * scale) {
        for channel in 0..width * 3 {
            let first = channel / 3 * scale * 3 + channel % 3;
            let sum: usize = (0..scale * scale)
                .map(|index| usize::from(rows[first + index / scale * large_row + index % scale * 3]))
                .sum();
            pixels.push((sum / (scale * scale)) as u8);
        }
    }
    pixels
}

fn draw<B: DrawingBackend>(scene: &Scene, area: &DrawingArea<B, Shift>, target: Target) -> Result<(), Error> {
    area.fill(&colour(scene.background)).map_err(refused)?;
    for mark in &scene.marks {
        draw_mark(mark, area, target)?;
    }
    area.present().map_err(refused)
}

fn draw_mark<B: DrawingBackend>(mark: &Mark, area: &DrawingArea<B, Shift>, target: Target) -> Result<(), Error> {
    let scale = target.scale;
    let pixel = |(x, y): (f64, f64)| ((x * scale).round() as i32, (y * scale).round() as i32);
    match mark {
        Mark::Box { from, to, colour: fill, opacity } => {
            let style = colour(*fill).mix(*opacity).filled();
            area.draw(&Rectangle::new([pixel(*from), pixel(*to)], style)).map_err(refused)
        }
        Mark::Line { points, stroke } => {
            let points: Vec<(i32, i32)> = points.iter().copied().map(pixel).collect();
            draw_line(&points, stroke, area, scale)
        }
        Mark::Area { outline, colour: fill } => {
            let outline: Vec<(i32, i32)> = outline.iter().copied().map(pixel).collect();
            area.draw(&Polygon::new(outline, colour(*fill).filled())).map_err(refused)
        }
        Mark::Circle { at, radius, colour: ring } => {
            let style = colour(*ring).stroke_width(whole_size(0.2 * radius.max(5.0), scale));
            area.draw(&Circle::new(pixel(*at), whole_size(*radius, scale), style)).map_err(refused)
        }
        Mark::Text { at, text, size, anchor, colour: ink } => {
            let horizontal = match anchor {
                Anchor::Start => HPos::Left,
                Anchor::Middle => HPos::Center,
                Anchor::End => HPos::Right,
            };
            let font = FontDesc::new(FontFamily::Name(FAMILY), size * scale, FontStyle::Normal);
            let ink = colour(*ink);
            let style = TextStyle::from(font).color(&ink).pos(Pos::new(horizontal, VPos::Center));
            let at = (at.0, at.1 + target.text_drop * size);
            area.draw_text(text, &style, pixel(at)).map_err(refused)
        }
    }
}

fn draw_line<B: DrawingBackend>(
    points: &[(i32, i32)],
    stroke: &Stroke,
    area: &DrawingArea<B, Shift>,
    scale: f64,
) -> Result<(), Error> {
    let style = colour(stroke.colour).stroke_width(whole_size(stroke.width, scale));
    match stroke.dash.lengths() {
        None => area.draw(&PathElement::new(points.to_vec(), style)).map_err(refused),
        Some((drawn, skipped)) => {
            let length = |widths: f64| whole_size(widths * stroke.width, scale);
            let path = DashedPathElement::new(points.iter().copied(), length(drawn), length(skipped), style);
            area.draw(&path).map_err(refused)
        }
    }
}

fn whole_size(size: f64, scale: f64) -> u32 {
    (size * scale).round().max(1.0) as u32
}

fn colour((red, green, blue): Colour) -> RGBColor {
    RGBColor(red, green, blue)
}

/// By value, as `map_err` hands it over.
#[expect(clippy::needless_pass_by_value)]
fn refused<E: std::error::Error + Send + Sync>(error: DrawingAreaErrorKind<E>) -> Error {
    Error::Draw { reason: error.to_string() }
}
