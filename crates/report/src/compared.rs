//! A log beside its scenario, for a person at a terminal: whether they agree, then every reading.

use quantity::Units;
use study::{ComparedReading, Comparison, SaidHow, Standing};

use crate::tables;
use crate::text::{facts, hanging, joined, list};
use crate::words::{difference, duration, one_system, printable};

/// Most readings that are listed; the farthest of a longer log.
const LISTED: usize = 40;

/// The comparison on one screen, no wider than 100 columns. It ends with a newline.
pub fn comparison_text(comparison: &Comparison, units: Units) -> String {
    joined([
        Some(hanging("", &agreement(comparison, units))),
        Some(facts(&about(comparison, units))),
        readings(comparison, units),
        list("Warnings", &comparison.warnings),
        list("Cautions", &comparison.cautions),
        Some(printable(&comparison.title)).filter(|title| !title.is_empty()),
    ])
}

/// Whether model and log agree, in plain words.
pub(crate) fn agreement(comparison: &Comparison, units: Units) -> String {
    let all = comparison.readings.len();
    let inside = format!("{} of {all}", comparison.within_error);
    if comparison.outside > 0 {
        let farthest = farthest(comparison).map_or_else(String::new, |reading| far_words(reading, units));
        return format!(
            "Model and log do not agree: {} of {all} readings lie outside all errors.{farthest}",
            comparison.outside
        );
    }
    match comparison.within_ranges {
        0 => format!("Model and log agree: all {all} within the error of reading and computation."),
        needed => format!(
            "Model and log agree, but only within the stated ranges: {inside} without them, {needed} need them."
        ),
    }
}

fn farthest(comparison: &Comparison) -> Option<&ComparedReading> {
    comparison.readings.iter().max_by(|a, b| a.beyond_k.total_cmp(&b.beyond_k))
}

fn far_words(reading: &ComparedReading, units: Units) -> String {
    let line = reading.line.map_or_else(String::new, |line| format!(", line {line}"));
    format!(
        " The farthest, {} at {}{line}, is {} beyond them.",
        printable(&reading.place),
        duration(reading.time_s),
        difference(reading.beyond_k, units)
    )
}

fn about(comparison: &Comparison, units: Units) -> Vec<(&'static str, String)> {
    let mut about = Vec::new();
    if let (Some(mean), Some(rms)) = (comparison.mean_residual_k, comparison.rms_residual_k) {
        let side = if mean < 0.0 { "colder" } else { "warmer" };
        let size = difference(mean.abs(), units);
        let mut words =
            format!("on average the log is {size} {side} than computed; root mean square {}", difference(rms, units));
        if mean.abs() > 0.7 * rms && mean.abs() > 2.0 * comparison.noise_k {
            words += "; all to one side: fit the torch to it with `warmhold fit`";
        }
        about.push(("Differences", words));
    }
    about.push((
        "Error of a reading",
        format!("{}, one standard deviation; --noise says otherwise", difference(comparison.noise_k, units)),
    ));
    let ranges = match comparison.inputs.len() {
        0 => "none stated".to_owned(),
        _ => format!("{} (what each does alone, added up)", comparison.inputs.join(", ")),
    };
    about.push(("Ranges of", ranges));
    about
}

fn readings(comparison: &Comparison, units: Units) -> Option<String> {
    let mut told: Vec<&ComparedReading> = comparison.readings.iter().collect();
    let all = told.len();
    if all > LISTED {
        let off = |reading: &ComparedReading| reading.beyond_k + 1e-3 * reading.residual_k.map_or(0.0, f64::abs);
        told.sort_by(|a, b| off(b).total_cmp(&off(a)));
        told.truncate(LISTED);
        told.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    }
    let title = if all > LISTED { format!("The {LISTED} farthest of {all} readings") } else { "Readings".to_owned() };
    // Differences in both systems would take more columns than a terminal has.
    let (unit, kelvin) = (tables::temperature_unit(units), tables::difference_unit(one_system(units)));
    let [read, computed] = ["read", "computed"].map(|name| format!("{name}, {unit}"));
    let [off, errors, ranges] = ["off", "errors", "ranges"].map(|name| format!("{name}, {kelvin}"));
    let header = ["line", "time", "place", &read, &computed, &off, &errors, &ranges, "stands"];
    tables::table(&title, &header, &[2, 8], told.into_iter().map(|reading| row(reading, units)).collect())
}

fn row(reading: &ComparedReading, units: Units) -> Vec<String> {
    let measured = tables::temperature_number(reading.measured_c, units);
    let [down, up] = reading.inputs_k;
    vec![
        reading.line.map_or_else(String::new, |line| line.to_string()),
        duration(reading.time_s),
        printable(&reading.place),
        match reading.said {
            SaidHow::Reads => measured,
            SaidHow::Melted => format!("melted {measured}"),
            SaidHow::NotMelted => format!("not melted {measured}"),
        },
        tables::temperature_number(reading.computed_c, units),
        reading.residual_k.map_or_else(String::new, |kelvin| tables::signed_number(kelvin, one_system(units))),
        tables::difference_number(reading.reading_k + reading.error_k, one_system(units)),
        [-down, up].map(|kelvin| tables::signed_number(kelvin, one_system(units))).join(" to "),
        match reading.standing {
            Standing::WithinError => "agrees".to_owned(),
            Standing::WithinRanges => "in ranges".to_owned(),
            Standing::Outside => "OUTSIDE".to_owned(),
        },
    ]
}
