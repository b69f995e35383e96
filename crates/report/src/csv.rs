//! What a plot shows, as one long table.

use ::csv::Writer;
use study::Outcome;

use crate::spans::{Span, flame_spans, pass_spans};

const HEADER: [&str; 4] = ["probe", "time_s", "temperature_c", "event"];

/// Every plotted number: one row per probe and instant, then one row per limit of the window and per flame or
/// pass going on or off, with the reason in the column `event`.
///
/// Seconds and Celsius, shortest digits that read back to the same `f64`; an empty cell where a column does not
/// apply or a number is not finite.
///
/// # Panics
/// Never: rows have four cells each and are written to memory as UTF-8.
pub fn csv(outcome: &Outcome) -> String {
    let mut writer = Writer::from_writer(Vec::new());
    let rows = curve_rows(outcome).chain(limit_rows(outcome)).chain(span_rows(outcome));
    for row in std::iter::once(HEADER.map(str::to_owned)).chain(rows) {
        writer.write_record(&row).expect("rows of equal length are written to memory");
    }
    let bytes = writer.into_inner().expect("memory can be flushed");
    String::from_utf8(bytes).expect("cells are UTF-8")
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

fn number(value: f64) -> String {
    if value.is_finite() { format!("{value}") } else { String::new() }
}
