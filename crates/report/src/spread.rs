//! A spread in words.

use quantity::Units;
use study::spread::{Band, Share, Spread};

use crate::tables::table;
use crate::text::{facts, hanging, joined, list, short_hash};
use crate::words::{duration, printable, with_error};

/// The spread for a terminal.
pub fn spread(spread: &Spread, _units: Units) -> String {
    joined([
        Some(opening(spread)),
        Some(facts(&bands(spread))),
        inputs(spread),
        list("Cautions", &spread.cautions),
        Some(closing(spread)),
    ])
}

fn opening(spread: &Spread) -> String {
    let first = spread.inputs.first().map_or_else(String::new, |input| {
        format!(" {:.0} % of the variance goes with the {} alone.", 100.0 * input.of_hold, input.input)
    });
    hanging("", &format!("{}{first}", nine_of_ten(spread)))
}

/// How far the hold is spread, in one sentence.
pub(crate) fn nine_of_ten(spread: &Spread) -> String {
    format!(
        "In nine cases of ten the ring holds {} to {}; as stated {}.",
        duration(spread.hold_s.low),
        duration(spread.hold_s.high),
        duration(spread.hold_s.stated)
    )
}

fn bands(spread: &Spread) -> Vec<(&'static str, String)> {
    let times = |band: &Band, stated: String| {
        format!(
            "{} to {}, half of all below {}; as stated {stated}",
            duration(band.low),
            duration(band.high),
            duration(band.median)
        )
    };
    let mut list = vec![
        ("Hold of the ring", times(&spread.hold_s, with_error(spread.hold_s.stated, Some(spread.hold_error_s)))),
        ("Longest interval", times(&spread.interval_s, duration(spread.interval_s.stated)) + " (with beads laid)"),
    ];
    if let Some(beads) = &spread.beads {
        list.push((
            "Beads that fit",
            format!("{:.0} to {:.0}, as stated {:.0}", beads.low.floor(), beads.high.floor(), beads.stated),
        ));
    }
    if let Some(share) = spread.planned_fit {
        list.push(("All planned fit", format!("in {:.0} % of the samples", 100.0 * share)));
    }
    if spread.never_reached > 0.0 {
        list.push((
            "Flame too weak",
            format!("in {:.0} % of the samples it never brings the reading", 100.0 * spread.never_reached),
        ));
    }
    list
}

fn inputs(spread: &Spread) -> Option<String> {
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    let row = |input: &Share| {
        let range = format!("{:.2} to {:.2}", input.low, input.high);
        vec![input.input.clone(), range, percent(input.of_hold), percent(input.of_interval), printable(&input.source)]
    };
    let mut rows: Vec<Vec<String>> = spread.inputs.iter().map(row).collect();
    let together = percent(spread.together_of_hold);
    rows.push(vec!["several together".to_owned(), String::new(), together, String::new(), String::new()]);
    let header = ["input", "x nominal", "of the hold", "of the interval", "range from"];
    table("Share of the variance", &header, &[0, 4], rows)
}

fn closing(spread: &Spread) -> String {
    let lines = [
        printable(&spread.title),
        format!(
            "{} samples, seed {}, each input spread evenly over its range; one grid, moved to the nested answer as stated.",
            spread.samples, spread.seed
        ),
        "Computed, not yet compared with a measured patch.".to_owned(),
        format!("warmhold {}, scenario {}.", spread.version, short_hash(&spread.input_sha256)),
    ];
    lines.map(|line| hanging("", &line)).join("\n")
}
