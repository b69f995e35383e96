//! A spread in words.

use quantity::Units;
use study::spread::{Band, Share, Spread};

use crate::tables::table;
use crate::text::{facts, hanging, joined, list, made_by, paragraphs};
use crate::words::{NOT_COMPARED, duration, followed, printable, with_error};

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
    hanging("", &nine_of_ten(spread))
}

/// How far the hold is spread and why, in one sentence.
pub(crate) fn nine_of_ten(spread: &Spread) -> String {
    let hold = &spread.hold_s;
    format!("Hold {} to {} in nine of ten; {}.", followed(hold.low), followed(hold.high), main_cause(spread))
}

/// Which input to know better; nothing where the samples do not tell it.
fn main_cause(spread: &Spread) -> String {
    /// An input below this is no main cause.
    const TELLING: f64 = 0.2;
    let told: Vec<(&Share, f64, f64)> =
        spread.inputs.iter().filter_map(|input| Some((input, input.of_hold?, input.of_hold_error?))).collect();
    match told[..] {
        [] if spread.samples < spread.shares_need => {
            format!("{} samples are too few to tell which input does it", spread.samples)
        }
        [] => "no input moves it".to_owned(),
        [(_, share, _), ..] if share < TELLING => "no input does it alone".to_owned(),
        [(first, share, error), (second, next, doubt), ..] if share - error < next + doubt => {
            format!(
                "{} of the variance goes with the {}, {} with the {}",
                percent(share, error),
                first.short,
                percent(next, doubt),
                second.short
            )
        }
        [(first, share, error), ..] => {
            format!("{} of the variance goes with the {}", percent(share, error), first.short)
        }
    }
}

fn bands(spread: &Spread) -> Vec<(&'static str, String)> {
    let times = |band: &Band, stated: String| {
        format!(
            "{} to {}, half of all below {}; as stated {stated}",
            followed(band.low),
            followed(band.high),
            followed(band.median)
        )
    };
    let stated = with_error(spread.hold_s.stated, Some(spread.hold_error_s));
    let mut list = vec![
        ("Hold of the ring", times(&spread.hold_s, stated)),
        ("Longest interval", times(&spread.interval_s, followed(spread.interval_s.stated)) + " (with beads laid)"),
    ];
    if let Some(beads) = &spread.beads {
        list.push((
            "Beads that fit",
            format!("{:.0} to {:.0}, as stated {:.0}", beads.low.floor(), beads.high.floor(), beads.stated),
        ));
    }
    let of_samples = |share: f64| format!("{:.0} % of the samples", 100.0 * share);
    if let Some(share) = spread.planned_fit {
        list.push(("All planned fit", format!("in {}", of_samples(share))));
    }
    if spread.never_reached > 0.0 {
        list.push(("Flame too weak", format!("in {} it never brings the reading", of_samples(spread.never_reached))));
    }
    if spread.never_held > 0.0 {
        let text = format!("in {} the ring is too cold as the flame goes off", of_samples(spread.never_held));
        list.push(("No hold at all", text));
    }
    let doubt = [spread.hold_s.low_doubt, spread.hold_s.high_doubt].map(duration);
    let text = format!("ends of the hold ± {} and ± {} at most (two standard deviations)", doubt[0], doubt[1]);
    list.push(("Another seed", text));
    list
}

/// `82 % ± 4 %`, upwards; where it cannot be told from nothing, what it is at most.
fn percent(share: f64, error: f64) -> String {
    if share < error {
        let most = (100.0 * (share.max(0.0) + error)).ceil();
        return format!("under {:.0} %", most.max(1.0));
    }
    format!("{:.0} % ± {:.0} %", 100.0 * share, (100.0 * error).ceil().max(1.0))
}

fn inputs(spread: &Spread) -> Option<String> {
    let told = |share: Option<f64>, error: Option<f64>| match (share, error) {
        (Some(share), Some(error)) => percent(share, error),
        _ => "not told".to_owned(),
    };
    let row = |input: &Share| {
        vec![
            input.input.clone(),
            format!("{:.2} to {:.2}", input.low, input.high),
            told(input.of_hold, input.of_hold_error),
            told(input.of_interval, input.of_interval_error),
            printable(&input.source),
        ]
    };
    let mut rows: Vec<Vec<String>> = spread.inputs.iter().map(row).collect();
    if spread.together_of_hold.is_some() || spread.together_of_interval.is_some() {
        let [hold, interval] = [spread.together_of_hold, spread.together_of_interval]
            .map(|share| share.map_or_else(|| "not told".to_owned(), |share| format!("{:.0} %", 100.0 * share)));
        rows.push(vec!["several together".to_owned(), String::new(), hold, interval, String::new()]);
    }
    let header = ["input", "x stated", "of the hold", "of the interval", "range from"];
    let table = table("What goes with each input alone: share of the variance", &header, &[0, 4], rows)?;
    Some(format!("{table}\n{}", hanging("", &meaning(spread))))
}

/// What a share says, in a sentence.
fn meaning(spread: &Spread) -> String {
    if spread.together_of_hold.is_none() && spread.samples < spread.shares_need {
        return format!(
            "{} samples do not tell the shares: with {} inputs it takes {} (`--samples {}`).",
            spread.samples,
            spread.inputs.len(),
            spread.shares_need,
            spread.shares_need
        );
    }
    let Some((first, share)) = spread.inputs.first().and_then(|input| Some((input, input.of_hold?))) else {
        return "The hold is the same in every sample.".to_owned();
    };
    format!(
        "The variance says how widely the hold spreads. Were the {} known exactly, about {:.0} % of it would be gone. \
         Several together: what no input does alone. Error bars are two standard deviations.",
        first.input,
        100.0 * share.clamp(0.0, 1.0)
    )
}

fn closing(spread: &Spread) -> String {
    paragraphs([
        printable(&spread.title),
        format!(
            "{} samples, seed {}, each input spread evenly over its range; one grid, moved to the nested answer as stated.",
            spread.samples, spread.seed
        ),
        NOT_COMPARED.to_owned(),
        made_by(&spread.version, &spread.input_sha256),
    ])
}
