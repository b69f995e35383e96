//! An explanation in words.

use quantity::{Energy, Length, Mass, Power, Units};
use study::explain::{Beside, Explanation, Moment, Pull};

use crate::tables::table;
use crate::text::{hanging, joined, list, short_hash};
use crate::words::{duration, printable, temperature, with_error};

/// The explanation for a terminal.
pub fn explain(explanation: &Explanation, units: Units) -> String {
    joined([
        Some(opening(explanation, units)),
        budget(explanation, units),
        beside(explanation, units),
        levers(explanation),
        chart(explanation),
        list("Cautions", &explanation.cautions),
        Some(closing(explanation)),
    ])
}

fn opening(explanation: &Explanation, units: Units) -> String {
    let hold = explanation.hold_s.map_or_else(
        || "for more than four hours".to_owned(),
        |seconds| with_error(seconds, Some(explanation.hold_error_s)),
    );
    let mut text = format!("The ring holds {hold} above {}.", temperature(explanation.minimum_c, units));
    let last = explanation.budget.moments.iter().rfind(|m| m.time_s <= 30.0);
    if let Some(moment) = last {
        let gone: f64 = moment.gone_j.iter().sum();
        let share = |n: usize| 100.0 * moment.gone_j[n] / gone.max(f64::MIN_POSITIVE);
        text += &format!(
            " Of what the patch loses in the first {}, {:.0} % goes sideways into the casting, {:.0} % down, {:.0} % to the air.",
            duration(moment.time_s),
            share(0),
            share(1),
            share(2)
        );
    }
    if let Some(best) = explanation.levers.iter().find(|lever| lever.reached && lever.gained_s > 0.0) {
        text += &format!(" What lengthens the hold most: {}.", best.what);
    }
    hanging("", &text)
}

fn budget(explanation: &Explanation, units: Units) -> Option<String> {
    let budget = &explanation.budget;
    let unit = if units == Units::Shop { Units::Shop } else { Units::Metric };
    let power = |watts: f64| Power::from_si(watts).show(unit);
    let row = |m: &Moment| {
        vec![
            format!("{} s", m.time_s),
            Energy::from_si(m.heat_j).show(unit),
            power(m.sideways_w),
            power(m.down_w),
            power(m.air_w),
        ]
    };
    let title = format!(
        "The patch after flame off: {} radius, {} deep",
        Length::from_si(budget.radius_m).show(units),
        Length::from_si(budget.depth_m).show(units)
    );
    let rows = budget.moments.iter().map(row).collect();
    let table = table(&title, &["after", "heat in it", "sideways", "down", "to the air"], &[], rows)?;
    let like = budget.stands_for.as_ref().map_or_else(String::new, |what| format!("Read for {what}. "));
    Some(format!(
        "{table}\n{like}What leaves it is read off the gradients; {:.1} % of the loss is not accounted for.",
        100.0 * budget.unaccounted
    ))
}

fn beside(explanation: &Explanation, units: Units) -> Option<String> {
    let unit = if units == Units::Shop { Units::Shop } else { Units::Metric };
    let row = |casting: &Beside| {
        let [length, width, depth] = casting.size_m.map(|side| Length::from_si(side).show(unit));
        vec![
            casting.what.clone(),
            format!("{length} x {width} x {depth}"),
            Mass::from_si(casting.mass_kg).show(unit),
            casting.flame_s.map_or_else(|| "never read".to_owned(), duration),
            casting.hold_s.map_or_else(|| "over 4 h".to_owned(), |s| with_error(s, Some(casting.error_s))),
        ]
    };
    let rows = explanation.beside.iter().map(row).collect();
    table(
        "The same patch, torch and reading elsewhere",
        &["casting", "size", "mass", "flame", "ring holds"],
        &[0, 1],
        rows,
    )
}

/// What a lever gains, with its sign.
pub(crate) fn gained(lever: &Pull) -> String {
    match lever.hold_s {
        None => format!("over {}", duration(lever.gained_s)),
        Some(_) if lever.gained_s < 0.0 => format!("-{}", duration(-lever.gained_s)),
        Some(_) => format!("+{}", duration(lever.gained_s)),
    }
}

fn levers(explanation: &Explanation) -> Option<String> {
    let row = |lever: &Pull| {
        let flame = if lever.reached { duration(lever.flame_s) } else { "never reads it".to_owned() };
        vec![lever.what.clone(), gained(lever), lever.hold_s.map_or_else(|| "over 4 h".to_owned(), duration), flame]
    };
    let rows = explanation.levers.iter().map(row).collect();
    let table = table("Levers, one at a time", &["lever", "gained", "ring holds", "flame"], &[0], rows)?;
    Some(format!("{table}\nBy quick runs on one grid, without error bar."))
}

fn chart(explanation: &Explanation) -> Option<String> {
    let chart = &explanation.chart;
    let heating: Vec<String> = chart.curves.first()?.points.iter().map(|p| format!("{}", p.heating)).collect();
    let header: Vec<&str> =
        ["rise left"].into_iter().chain(heating.iter().map(String::as_str)).chain(["endless"]).collect();
    let rows = chart.curves.iter().map(|curve| {
        let name = format!("{:.0} %", 100.0 * curve.share);
        let points = curve.points.iter().map(|p| format!("{:.4}", p.hold));
        std::iter::once(name).chain(points).chain([format!("{:.4}", curve.endless)]).collect()
    });
    let title = "Middle of any disc: hold x diffusivity / radius squared, over heating time in the same measure";
    let table = table(title, &header, &[0], rows.collect())?;
    Some(format!("{table}\nBy the engine; at most {:.2} % off the closed form.", 100.0 * chart.off))
}

fn closing(explanation: &Explanation) -> String {
    let lines = [
        printable(&explanation.title),
        "One heat, without beads. Computed, not yet compared with a measured patch.".to_owned(),
        format!("warmhold {}, scenario {}.", explanation.version, short_hash(&explanation.input_sha256)),
    ];
    lines.map(|line| hanging("", &line)).join("\n")
}
