//! The chart of all discs in words, with the scenario as its worked example.

use quantity::{Temperature, Units};
use study::explain::{Example, Explanation};

use crate::tables::{table, temperature_number};
use crate::text::hanging;
use crate::words::{drawn_lengths, duration, length, one_system, temperature, trimmed};

pub(super) fn chart(explanation: &Explanation, units: Units) -> Option<String> {
    let chart = &explanation.chart;
    let heating: Vec<String> = chart.curves.first()?.points.iter().map(|p| format!("{}", p.heating)).collect();
    let header: Vec<&str> =
        ["share left"].into_iter().chain(heating.iter().map(String::as_str)).chain(["endless"]).collect();
    let rows = chart.curves.iter().map(|curve| {
        let name = format!("{:.0} %", 100.0 * curve.share);
        let points = curve.points.iter().map(|p| format!("{:.4}", p.hold));
        std::iter::once(name).chain(points).chain([format!("{:.4}", curve.endless)]).collect()
    });
    let title = "Chart for any metal: hold number of the middle of a heated disc, by heating number and share left";
    let table = table(title, &header, &[0], rows.collect())?;
    let reading = format!(
        "{} By the engine; at most {:.2} % off the closed form.",
        "Across, heating number = diffusivity x heating time / radius squared. Down, share left = (minimum - start) / \
         (reading - start), the reading being that of the middle as the flame goes off. Read off the hold number: hold = \
         hold number x radius squared / diffusivity. Diffusivity is conductivity / (density x specific heat): how fast \
         heat spreads in the metal.",
        100.0 * chart.off
    );
    let example = explanation.example.as_ref().map(|example| worked(example, units));
    let paragraphs = [Some(reading), example, Some(warning(explanation, units))];
    let text: Vec<String> = paragraphs.into_iter().flatten().map(|text| hanging("", &text)).collect();
    Some(format!("{table}\n{}", text.join("\n")))
}

/// The scenario's own numbers put into the formulas.
fn worked(example: &Example, units: Units) -> String {
    let unit = one_system(units);
    let lengths = drawn_lengths(unit);
    let number = |celsius: f64| temperature_number(celsius, unit);
    let (start, minimum, reading) = (number(example.start_c), number(example.minimum_c), number(example.reading_c));
    let degrees = Temperature::from_celsius(example.minimum_c).axis(unit).unit().to_owned();
    let diffusivity = three(lengths.number(lengths.number(example.diffusivity_m2_s)));
    let radius = three(lengths.number(example.radius_m));
    let mut text = format!(
        "Worked with this scenario: the middle reads {} after {} of flame. Share left = ({minimum} - {start}) / ({reading} \
         - {start}) = {:.0} % (in {degrees}). Diffusivity {diffusivity} {}2/s half way up, radius {}: heating number \
         = {diffusivity} x {:.0} / {radius}^2 = {}. There the chart gives {:.4}{}. Hold = {:.4} x {radius}^2 / \
         {diffusivity} = {}.",
        temperature(example.reading_c, unit),
        duration(example.flame_s),
        100.0 * example.share,
        lengths.unit(),
        length(example.radius_m, unit),
        example.flame_s,
        three(example.heating),
        example.hold,
        between(example.share),
        example.hold,
        duration(example.hold_s),
    );
    if let Some(engine_s) = example.engine_hold_s {
        text += &format!(
            " The run of this scenario, with its losses, edges and own way of heating, gives the middle {}.",
            duration(engine_s)
        );
    }
    text
}

/// Which rows a share lies between.
fn between(share: f64) -> String {
    let percent = 100.0 * share;
    if !(50.0..=80.0).contains(&percent) {
        return " (beyond its rows, by the closed form)".to_owned();
    }
    let low = (percent / 10.0).floor().min(7.0) * 10.0;
    format!(" (between its rows of {low:.0} and {:.0} %)", low + 10.0)
}

/// Three digits that count.
fn three(number: f64) -> String {
    let decimals = (2.0 - number.abs().max(f64::MIN_POSITIVE).log10().floor()).clamp(0.0, 6.0) as usize;
    trimmed(number, decimals)
}

/// What the chart is not for.
fn warning(explanation: &Explanation, units: Units) -> String {
    let mut text =
        "Do not judge by it: the chart is for the middle of the disc, on massive metal without losses. Beads \
                    are judged by the coldest of the ring around the groove, which lies nearer the rim"
            .to_owned();
    let middle_s = explanation.example.as_ref().and_then(|example| example.engine_hold_s);
    text += match (explanation.hold_s, middle_s) {
        (Some(ring_s), Some(middle_s)) if ring_s < 0.7 * middle_s => " and holds far less: ",
        _ => " and holds less: ",
    };
    text += &match explanation.hold_s {
        None => "here, too, it stays warm for hours.".to_owned(),
        Some(0.0) => format!("here it is never above {}.", temperature(explanation.minimum_c, units)),
        Some(seconds) => format!("here {} above {}.", duration(seconds), temperature(explanation.minimum_c, units)),
    };
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_a_formula_keep_three_digits() {
        assert_eq!([12.6489, 150.0, 0.61789, 0.021, 5.90551].map(three), ["12.6", "150", "0.618", "0.021", "5.91"]);
    }

    #[test]
    fn a_share_is_found_between_two_rows_or_beyond_them() {
        assert_eq!(between(0.63), " (between its rows of 60 and 70 %)");
        assert_eq!(between(0.80), " (between its rows of 70 and 80 %)");
        assert!(between(0.93).contains("beyond"));
    }
}
