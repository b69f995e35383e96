//! What a plot shows, as one long table.

use ::csv::Writer;
use study::{Outcome, Picture};

use crate::spans::{Span, flame_spans, pass_spans};

const HEADER: [&str; 4] = ["probe", "time_s", "temperature_c", "event"];
const MAPS_HEADER: [&str; 7] = ["moment", "time_s", "plane", "x_m", "y_m", "depth_m", "temperature_c"];

/// Every plotted number: one row per probe and instant, then one row per limit of the window and per flame or
/// pass going on or off, with the reason in the column `event`.
///
/// Seconds and Celsius, shortest digits that read back to the same `f64`; an empty cell where a column does not
/// apply or a number is not finite.
///
/// # Panics
/// Never: rows are as long as their header and are written to memory as UTF-8.
pub fn csv(outcome: &Outcome) -> String {
    table(HEADER, curve_rows(outcome).chain(limit_rows(outcome)).chain(span_rows(outcome)))
}

/// Every number of the maps: one row per place and instant, in the column `plane` the worked face or the section
/// under the patch.
///
/// Metres from the casting's corner and Celsius, digits as in [`csv()`].
///
/// # Panics
/// Never, as [`csv()`].
pub fn maps_csv(pictures: &[Picture]) -> String {
    table(MAPS_HEADER, pictures.iter().flat_map(|picture| face_rows(picture).chain(section_rows(picture))))
}

pub(crate) fn table<const COLUMNS: usize>(
    header: [&str; COLUMNS],
    rows: impl Iterator<Item = [String; COLUMNS]>,
) -> String {
    let mut writer = Writer::from_writer(Vec::new());
    for row in std::iter::once(header.map(str::to_owned)).chain(rows) {
        writer.write_record(&row).expect("rows of equal length are written to memory");
    }
    let bytes = writer.into_inner().expect("memory can be flushed");
    String::from_utf8(bytes).expect("cells are UTF-8")
}

fn face_rows(picture: &Picture) -> impl Iterator<Item = [String; 7]> {
    let map = &picture.map;
    let places = map.y.iter().flat_map(|&y| map.x.iter().map(move |&x| [x, y, 0.0]));
    places.zip(&map.face_c).map(|(place, &celsius)| map_row(picture, "worked face", place, celsius))
}

/// The section stands in the middle of the mapped window.
fn section_rows(picture: &Picture) -> impl Iterator<Item = [String; 7]> {
    let map = &picture.map;
    let ends = map.y.first().zip(map.y.last());
    let y = ends.map_or(f64::NAN, |(first, last)| 0.5 * (first + last));
    let places = map.z.iter().flat_map(move |&depth| map.x.iter().map(move |&x| [x, y, depth]));
    places.zip(&map.section_c).map(|(place, &celsius)| map_row(picture, "section", place, celsius))
}

fn map_row(picture: &Picture, plane: &str, [x, y, depth]: [f64; 3], celsius: f64) -> [String; 7] {
    let (moment, plane) = (picture.moment.clone(), plane.to_owned());
    [moment, number(picture.map.time_s), plane, number(x), number(y), number(depth), number(celsius)]
}

fn curve_rows(outcome: &Outcome) -> impl Iterator<Item = [String; 4]> {
    outcome.curves.iter().flat_map(|(name, curve)| {
        let points = curve.time_s.iter().zip(&curve.temperature_c);
        points.map(move |(&time, &temperature)| [name.clone(), number(time), number(temperature), String::new()])
    })
}

fn limit_rows(outcome: &Outcome) -> impl Iterator<Item = [String; 4]> {
    let limits = outcome.window.map_or([None; 3], |window| {
        [
            Some(("minimum", window.minimum_c)),
            Some(("maximum interpass", window.maximum_interpass_c)),
            window.surface_limit_c.map(|limit| ("surface limit", limit)),
        ]
    });
    let row = |(name, limit): (&str, f64)| [String::new(), String::new(), number(limit), name.to_owned()];
    limits.into_iter().flatten().map(row)
}

fn span_rows(outcome: &Outcome) -> impl Iterator<Item = [String; 4]> {
    let flames = flame_spans(outcome).into_iter().map(|span| ("flame", span));
    let passes = pass_spans(outcome).into_iter().map(|span| ("pass", span));
    flames.chain(passes).flat_map(|(kind, span)| on_and_off(kind, &span))
}

fn on_and_off(kind: &str, span: &Span) -> [[String; 4]; 2] {
    let row =
        |time: f64, what: &str| [String::new(), number(time), String::new(), format!("{kind} {} {what}", span.name)];
    [row(span.from_s, "on"), row(span.until_s, "off")]
}

pub(crate) fn number(value: f64) -> String {
    if value.is_finite() { format!("{value}") } else { String::new() }
}
