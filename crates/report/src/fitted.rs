//! A fitted torch for a person at a terminal: the number first, then what its band contains and what it does to the verdict.

use quantity::{FilmCoefficient, HeatFlux, Units};
use study::{Fit, FitReading, Fitted, VerdictBand, VerdictBands};

use crate::tables;
use crate::text::{facts, joined, list, paragraphs};
use crate::words::{difference, duration, printable};

/// A residual of more than so many deviations is told.
const SURPRISING: f64 = 3.0;

/// The fit on one screen, no wider than 100 columns. It ends with a newline.
pub fn fit_text(fit: &Fit, units: Units) -> String {
    joined([
        Some(opening(fit, units)),
        Some(facts(&about(fit, units))),
        readings(fit, units),
        fit.verdict.as_ref().and_then(|verdict| verdicts(verdict, units)),
        list("Warnings", &warnings(fit, units)),
        list("Cautions", &fit.cautions),
        Some(closing(fit)),
    ])
}

/// A fitted value in its unit: `27.3 %`, `103 kW/m2`.
pub fn fitted_value(fitted: Fitted, value: f64, units: Units) -> String {
    match fitted {
        Fitted::GasShare | Fitted::PowerShare => format!("{:.1} %", 100.0 * value),
        Fitted::Flux => HeatFlux::from_si(value).show_precise(units),
        Fitted::FilmCoefficient => FilmCoefficient::from_si(value).show_precise(units),
    }
}

fn range(fit: &Fit, [low, high]: [f64; 2], units: Units) -> String {
    let show = |value| fitted_value(fit.fitted, value, units);
    format!("{} to {}", show(low), show(high))
}

/// The fitted value with its band, in one sentence.
pub(crate) fn first_sentence(fit: &Fit, units: Units) -> String {
    let value = fitted_value(fit.fitted, fit.value, units);
    let band = range(fit, fit.band, units);
    match fit.fitted {
        Fitted::GasShare => format!("{value} of the gas's heat enters the metal, 95 % band {band}."),
        Fitted::PowerShare => format!("{value} of the electric power enters the metal, 95 % band {band}."),
        Fitted::Flux => format!("The torch brings {value} into the metal, 95 % band {band}."),
        Fitted::FilmCoefficient => format!("The film coefficient of the flame is {value}, 95 % band {band}."),
    }
}

fn opening(fit: &Fit, units: Units) -> String {
    let first = first_sentence(fit, units);
    let stated = fitted_value(fit.fitted, fit.stated, units);
    let second = match (fit.stated_range, fit.narrower) {
        (Some(ends), _) if fit.outside_stated => {
            format!("That is outside of what the scenario says: {stated}, {}.", range(fit, ends, units))
        }
        (Some(ends), Some(narrower)) => format!(
            "The scenario says {stated}, {}: the band is {narrower:.1} times narrower.",
            range(fit, ends, units)
        ),
        _ => format!("The scenario says {stated}, without a range."),
    };
    paragraphs([first, second])
}

fn about(fit: &Fit, units: Units) -> Vec<(&'static str, String)> {
    let parts: Vec<String> = fit
        .parts
        .iter()
        .filter(|part| part.share >= 5e-4)
        .map(|part| format!("{} ± {:.1} %", part.source, 100.0 * part.share))
        .collect();
    let noise = difference(fit.noise_k, units);
    let flames: Vec<String> =
        fit.flames.iter().map(|heat| format!("{} to {}", duration(heat.start_s), duration(heat.end_s))).collect();
    vec![
        ("Band contains", format!("{} (of the value; they add as squares)", parts.join(", "))),
        ("Not in it", not_in_it(fit.fitted).to_owned()),
        ("Noise of a reading", format!("{noise}, one standard deviation; --noise says otherwise")),
        ("Flame on", flames.join(", ")),
        (
            "Metal and torch",
            "with metal that conducts better the same readings ask for a stronger torch, so the two errors partly cancel; \
             a check takes each at its worst all the same, which is on the safe side"
                .to_owned(),
        ),
    ]
}

/// What the band does not know of.
fn not_in_it(fitted: Fitted) -> &'static str {
    match fitted {
        Fitted::GasShare | Fitted::PowerShare => {
            "a patch, place or clock other than stated; a wrong rate is made up for as long as the same is stated"
        }
        Fitted::Flux | Fitted::FilmCoefficient => "a patch, place or clock other than stated",
    }
}

fn readings(fit: &Fit, units: Units) -> Option<String> {
    let row = |reading: &FitReading| {
        vec![
            reading.line.map_or_else(String::new, |line| line.to_string()),
            printable(&reading.place),
            duration(reading.time_s),
            tables::temperature_number(reading.measured_c, units),
            tables::temperature_number(reading.computed_c, units),
            tables::signed_number(reading.residual_k, units),
            tables::difference_number(reading.error_k, units),
        ]
    };
    let (unit, kelvin) = (tables::temperature_unit(units), tables::difference_unit(units));
    let [read, computed] = ["read", "computed"].map(|name| format!("{name}, {unit}"));
    let [off, error] = ["off", "numerical error"].map(|name| format!("{name}, {kelvin}"));
    let header = ["line", "place", "time", &read, &computed, &off, &error];
    tables::table("Readings, with the fitted torch", &header, &[1], fit.readings.iter().map(row).collect())
}

fn verdicts(verdicts: &VerdictBands, units: Units) -> Option<String> {
    let row = |name: &str, band: &VerdictBand| {
        let kelvin = |value: Option<f64>| value.map_or_else(|| "none".to_owned(), |k| difference(k, units));
        let hold = |hold_s: Option<f64>| match hold_s {
            None => "to the end".to_owned(),
            Some(0.0) => "none".to_owned(),
            Some(seconds) => duration(seconds),
        };
        vec![
            name.to_owned(),
            band.verdict.words().to_owned(),
            kelvin(band.margin_k),
            kelvin(band.input_k),
            hold(band.hold_s),
            hold(band.worst_hold_s),
        ]
    };
    let rows = vec![row("as stated", &verdicts.before), row("as fitted", &verdicts.after)];
    let header = ["torch", "verdict", "margin", "less at worst", "ring holds", "at worst"];
    tables::table("What that does to the verdict", &header, &[0, 1], rows)
}

fn warnings(fit: &Fit, units: Units) -> Vec<String> {
    let mut warnings = Vec::new();
    let is_share = matches!(fit.fitted, Fitted::GasShare | Fitted::PowerShare);
    if is_share && fit.value > 1.0 {
        warnings
            .push("No torch gives the metal more heat than it burns: rate, patch, place or clock is wrong.".to_owned());
    }
    if fit.outside_stated {
        warnings.push(
            "The readings ask for a value outside the stated range: check gas rate, patch, place and clock before you \
             believe it."
                .to_owned(),
        );
    }
    if fit.readings.len() > 1 && fit.scatter_k > fit.noise_k {
        warnings.push(format!(
            "The readings scatter by {} about the best torch, more than their noise: the band stands on the scatter.",
            difference(fit.scatter_k, units)
        ));
    }
    let loud = |reading: &&FitReading| reading.residual_k.abs() > SURPRISING * fit.noise_k.max(fit.scatter_k);
    if let Some(reading) = fit.readings.iter().filter(|_| fit.readings.len() > 1).find(loud) {
        warnings.push(format!(
            "{} at {} is {} off: was it read there and then?",
            printable(&reading.place),
            duration(reading.time_s),
            difference(reading.residual_k.abs(), units)
        ));
    }
    if fit.crayons_left_out > 0 {
        warnings.push(format!(
            "{} crayon marks were not used: they tell a side, not a temperature. `warmhold compare` holds them against \
             the model.",
            fit.crayons_left_out
        ));
    }
    if fit.thinned_out > 0 {
        warnings.push(format!(
            "{} readings close in time to others of their place were not used: they repeat the same error.",
            fit.thinned_out
        ));
    }
    warnings
}

fn closing(fit: &Fit) -> String {
    let work = format!("Found in {} runs of the engine, one of them on nested grids.", fit.runs);
    [printable(&fit.title), work].iter().filter(|line| !line.is_empty()).cloned().collect::<Vec<_>>().join("\n")
}
