//! An explanation in words.

mod chart;

use quantity::{Energy, Mass, Power, Units};
use study::explain::{Beside, Explanation, Moment, Pull};

use crate::tables::table;
use crate::text::{hanging, joined, list, made_by, paragraphs};
use crate::words::{
    NOT_COMPARED, duration, followed_hold, length, one_system, over_the_followed, printable, temperature, with_error,
};

/// The explanation for a terminal.
pub fn explain(explanation: &Explanation, units: Units) -> String {
    joined([
        Some(opening(explanation, units)),
        budget(explanation, units),
        beside(explanation, units),
        levers(explanation, units),
        chart::chart(explanation, units),
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
    text += &too_weak(explanation);
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
    text += &best_lever(explanation, units).map_or_else(String::new, |best| format!(" {best}"));
    hanging("", &text)
}

/// Said where the stated heating is not what the schedule allows.
fn too_weak(explanation: &Explanation) -> String {
    let flame = duration(explanation.flame_s);
    match explanation.longest_flame_s {
        _ if !explanation.reached => format!(" In {flame} of flame the reading is never reached."),
        Some(longest_s) if explanation.flame_s > longest_s => {
            format!(" It takes {flame} of flame, and the schedule allows {}.", duration(longest_s))
        }
        _ => String::new(),
    }
}

/// The best lever that can be paid for, its price beside it; and what would gain more at too high a price.
fn best_lever(explanation: &Explanation, units: Units) -> Option<String> {
    let gaining = |lever: &&Pull| lever.reached && lever.gained_s > 0.0;
    let most = explanation.levers.iter().find(gaining)?;
    let longest = explanation.longest_flame_s.map(duration);
    let flame = |lever: &Pull| duration(lever.flame_s);
    let told = |lever: &Pull| format!("{}: {}", lever_words(lever, units), gained(lever));
    let Some(best) = explanation.levers.iter().find(|lever| gaining(lever) && lever.affordable) else {
        return Some(format!(
            "Every lever that lengthens the hold takes more than the {} of flame that the schedule allows; {} takes {}.",
            longest.unwrap_or_default(),
            lever_words(most, units),
            flame(most)
        ));
    };
    let mut text = match longest {
        Some(longest) => {
            format!("What lengthens the hold most within the {longest} of flame that the schedule allows: ")
        }
        None => "What lengthens the hold most: ".to_owned(),
    };
    let stated = duration(explanation.flame_s);
    text += &match flame(best) {
        same if same == stated => format!("{}, with the same {same} of flame", told(best)),
        other => format!("{}, for {other} of flame in place of {stated}", told(best)),
    };
    if best.before_j > 0.0 {
        text += &format!(", and {} of heat put into the casting before", energy(best.before_j, units));
    }
    text += ".";
    if most != best {
        text += &format!(" More, but at too high a price: {}, for {} of flame.", told(most), flame(most));
    }
    Some(text)
}

/// The lever with the temperature that it goes to.
pub(crate) fn lever_words(lever: &Pull, units: Units) -> String {
    match lever.to_c {
        Some(to_c) => format!("{}, {}", lever.what, temperature(to_c, units)),
        None => lever.what.clone(),
    }
}

/// What a lever gains, with its sign.
pub(crate) fn gained(lever: &Pull) -> String {
    match lever.hold_s {
        None => format!("over {}", duration(lever.gained_s)),
        Some(_) if lever.gained_s < 0.0 => format!("-{}", duration(-lever.gained_s)),
        Some(_) => format!("+{}", duration(lever.gained_s)),
    }
}

fn energy(joules: f64, units: Units) -> String {
    Energy::from_si(joules).show(one_system(units))
}

fn budget(explanation: &Explanation, units: Units) -> Option<String> {
    let budget = &explanation.budget;
    let unit = one_system(units);
    let power = |watts: f64| Power::from_si(watts).show(unit);
    let first_j = budget.moments.first().map_or(1.0, |m| m.heat_j);
    let row = |m: &Moment| {
        vec![
            format!("{} s", m.time_s),
            energy(m.heat_j, units),
            format!("{:.0} %", 100.0 * m.heat_j / first_j),
            power(m.sideways_w),
            power(m.down_w),
            power(m.air_w),
        ]
    };
    let title = format!(
        "Where the heat of the patch goes after flame off ({} radius, {} deep)",
        length(budget.radius_m, units),
        length(budget.depth_m, units)
    );
    let rows = budget.moments.iter().map(row).collect();
    let table = table(&title, &["after", "heat in it", "left", "sideways", "down", "to the air"], &[], rows)?;
    let like = budget.stands_for.as_ref().map_or_else(String::new, |what| format!("Read for {what}. "));
    let colder = budget.moments.iter().any(|m| m.heat_j < 0.0);
    let colder = if colder { ", below zero where the patch is colder than that." } else { "." };
    let text = format!(
        "{like}The patch is the metal under the flame, down to half its radius or through the casting. Heat in it is \
         counted above the start{colder} Sideways is into the casting around it, down is into the casting below or to what it \
         stands on. {:.1} % of the loss is not accounted for.",
        100.0 * budget.unaccounted
    );
    Some(format!("{table}\n{}", hanging("", &text)))
}

fn beside(explanation: &Explanation, units: Units) -> Option<String> {
    let unit = one_system(units);
    let row = |casting: &Beside| {
        let [along, across, down] = casting.size_m.map(|side| length(side, unit));
        vec![
            casting.what.clone(),
            format!("{along} x {across} x {down}"),
            Mass::from_si(casting.mass_kg).show(unit),
            casting.flame_s.map_or_else(|| "never read".to_owned(), duration),
            casting.hold_s.map_or_else(over_the_followed, |s| with_error(s, Some(casting.error_s))),
        ]
    };
    let rows = explanation.beside.iter().map(row).collect();
    let header = ["casting", "size", "mass", "flame", "ring holds"];
    let table = table("The same patch, torch and reading on other castings", &header, &[0, 1], rows)?;
    let missing = |casting: &Beside| {
        (!casting.without.is_empty()).then(|| format!("{}: without {}.", casting.what, casting.without.join(" and ")))
    };
    let notes: Vec<String> = explanation.beside.iter().filter_map(missing).map(|note| hanging("", &note)).collect();
    Some([vec![table], notes].concat().join("\n"))
}

fn levers(explanation: &Explanation, units: Units) -> Option<String> {
    let row = |lever: &Pull| {
        let flame = match (lever.reached, lever.affordable) {
            (false, _) => "never reads it".to_owned(),
            (true, true) => duration(lever.flame_s),
            (true, false) => format!("{}, too long", duration(lever.flame_s)),
        };
        vec![lever_words(lever, units), gained(lever), followed_hold(lever.hold_s), flame]
    };
    let stated_hold = followed_hold(explanation.hold_s);
    let stated = vec!["as stated".to_owned(), String::new(), stated_hold, duration(explanation.flame_s)];
    let rows = std::iter::once(stated).chain(explanation.levers.iter().map(row)).collect();
    let table = table("Levers, one at a time", &["lever", "gained", "ring holds", "flame"], &[0], rows)?;
    let mut text = "By quick runs on one grid, moved to the nested answer as stated; without error bar.".to_owned();
    if let Some(longest_s) = explanation.longest_flame_s {
        text += &format!(" Too long: more than the {} of flame that the schedule allows.", duration(longest_s));
    }
    if let Some(warm) = explanation.levers.iter().find(|lever| lever.before_j > 0.0) {
        let (at, heat) = (temperature(warm.to_c.unwrap_or(0.0), units), energy(warm.before_j, units));
        text += &format!(" To have the whole casting at {at} first takes {heat}.");
    }
    Some(format!("{table}\n{}", hanging("", &text)))
}

fn closing(explanation: &Explanation) -> String {
    paragraphs([
        printable(&explanation.title),
        format!("One heat, without beads. {NOT_COMPARED}"),
        made_by(&explanation.version, &explanation.input_sha256),
    ])
}
