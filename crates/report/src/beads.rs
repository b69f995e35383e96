//! The welding day: one line, the table bead by bead, and the ring by the standards.

use quantity::Units;
use study::{ArcEffect, Bead, Outcome, Welding};

use crate::csv::{number, table as csv_table};
use crate::tables::{table, temperature_number, temperature_unit};
use crate::words::{counted, difference, duration, length, printable};

const HEADER: [&str; 19] = [
    "bead",
    "heat",
    "number",
    "flame_before",
    "layer",
    "again",
    "x_m",
    "y_m",
    "start_s",
    "end_s",
    "waited_s",
    "coldest_c",
    "mean_c",
    "hottest_c",
    "inside",
    "heat_j",
    "heat_input_j_per_m",
    "cooling_s",
    "thick_plate",
];
/// kJ/mm in J/m, and kJ/in.
const KJ_PER_MM: f64 = 1e6;
const KJ_PER_INCH: f64 = 1e3 / 0.0254;

/// Every bead of the welding day: one row each, in order of time; SI units and Celsius as in [`crate::csv()`].
///
/// # Panics
/// Never, as [`crate::csv()`].
pub fn beads_csv(outcome: &Outcome) -> String {
    let beads = outcome.welding.iter().flat_map(|day| &day.beads);
    csv_table(HEADER, beads.map(csv_row))
}

fn csv_row(bead: &Bead) -> [String; 19] {
    let maybe = |value: Option<f64>| value.map_or_else(String::new, number);
    let flag = |value: Option<bool>| value.map_or_else(String::new, |value| value.to_string());
    [
        bead.bead.to_string(),
        bead.heat.to_string(),
        bead.number.to_string(),
        bead.flame_before.to_string(),
        bead.layer.map_or_else(String::new, |layer| layer.to_string()),
        bead.again.to_string(),
        number(bead.at_m[0]),
        number(bead.at_m[1]),
        number(bead.start_s),
        number(bead.end_s),
        number(bead.waited_s),
        maybe(bead.coldest_c),
        maybe(bead.mean_c),
        maybe(bead.hottest_c),
        flag(bead.inside),
        number(bead.heat_j),
        maybe(bead.heat_input_j_per_m),
        maybe(bead.cooling_s),
        flag(bead.thick_plate),
    ]
}

/// The day in one line, and what the heat of the arc does in it.
pub(crate) fn facts(outcome: &Outcome, units: Units) -> Vec<(&'static str, String)> {
    let Some(day) = &outcome.welding else { return Vec::new() };
    let mut facts = vec![("Welding day", day_words(outcome, day))];
    facts.extend(day.arc_effect.map(|effect| ("Arc heat", arc_words(outcome, &effect, units))));
    if !day.assumed.is_empty() {
        facts.push(("Not stated", printable(&day.assumed.join("; "))));
    }
    facts
}

/// The same, and all else that is known of beads and ring.
pub(crate) fn full_facts(outcome: &Outcome, units: Units) -> Vec<(&'static str, String)> {
    let mut facts = facts(outcome, units);
    facts.extend(outcome.ring.as_ref().map(|ring| ("Ring", ring_words(ring, units))));
    facts.extend(outcome.ring.as_ref().map(|ring| ("Smallest patch", smallest_words(ring, units))));
    if let Some(day) = &outcome.welding {
        facts.push(("Cooling of beads", printable(&day.cooling)));
    }
    facts
}

fn day_words(outcome: &Outcome, day: &Welding) -> String {
    let laid = match day.planned {
        Some(1) if day.laid == 1 => "the only bead of the list".to_owned(),
        Some(planned) if planned == day.laid => format!("all {planned} beads"),
        Some(planned) => format!("{} of {}", day.laid, counted(planned, "bead")),
        None => counted(day.laid, "bead"),
    };
    let heats = counted(outcome.heats.len(), "heat");
    let waited =
        if day.waited_s > 0.0 { format!(", {} waiting to cool", duration(day.waited_s)) } else { String::new() };
    let again = match day.beads.iter().filter(|bead| bead.again).count() {
        0 => String::new(),
        count => format!(", {count} of them again after grinding,"),
    };
    let share = 100.0 * day.arc_s / day.total_s.max(f64::MIN_POSITIVE);
    format!(
        "{laid}{again} in {heats} over {}: {} of flame, {} of arc ({share:.0} % of the time){waited}",
        duration(day.total_s),
        duration(day.flame_s),
        duration(day.arc_s)
    )
}

fn arc_words(outcome: &Outcome, effect: &ArcEffect, units: Units) -> String {
    let gain_k = effect.coldest_gain_k;
    let size = difference(gain_k.abs(), units);
    let gain = if gain_k.abs() < 0.05 {
        "hardly moves the coldest of the ring as beads start".to_owned()
    } else if gain_k > 0.0 {
        format!("adds {size} to the coldest of the ring as beads start, on average")
    } else {
        format!("takes {size} from the coldest of the ring as beads start, on average: it makes the reheats shorter")
    };
    let (with, without) = (effect.beads_per_heat_with, effect.beads_per_heat_without);
    let planned = outcome.planned_per_heat.unwrap_or(usize::MAX);
    let beads = if with > without {
        format!("{} a heat in place of {without}", counted(with, "bead"))
    } else if with < without {
        format!("{} a heat, and {without} without it", counted(with, "bead"))
    } else if with >= planned {
        format!("{} a heat without it too, as planned, so it cannot make them more", counted(with, "bead"))
    } else {
        format!("not enough for one more: {} a heat with it and without", counted(with, "bead"))
    };
    let other_grid = outcome.beads_per_heat.is_some_and(|beads| beads != with);
    let grid = if other_grid { ", both on one coarser grid than the answer" } else { "" };
    format!("{gain}; {beads}{grid}")
}

pub(crate) fn ring_words(ring: &study::RingFacts, units: Units) -> String {
    let show = |metres: f64| length(metres, units);
    format!(
        "{} wide ({}), {} deep. For this section ISO 13916 has {} (ST1), the rule by thickness {} (ST3)",
        show(ring.width_m),
        printable(&ring.rule),
        show(ring.depth_m),
        show(ring.iso_13916_m),
        show(ring.thickness_m)
    )
}

fn smallest_words(ring: &study::RingFacts, units: Units) -> String {
    let show = |metres: f64| length(metres, units);
    let by = printable(&ring.smallest_by);
    match ring.smallest_heated_m {
        None => format!("none can bring the whole ring to the minimum ({by})"),
        Some([along, across]) if (along - across).abs() < 1e-9 => {
            format!("{} across brings the whole ring just to the minimum ({by})", show(along))
        }
        Some([along, across]) => {
            format!("{} by {} brings the whole ring just to the minimum ({by})", show(along), show(across))
        }
    }
}

/// The table bead by bead, without the columns that have nothing to say.
pub(crate) fn bead_by_bead(outcome: &Outcome, units: Units) -> Option<String> {
    let (header, rows, words) = bead_columns(outcome, units)?;
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let title = format!("Bead by bead, ring as each starts, {}", temperature_unit(units));
    table(&title, &header, &words, rows)
}

/// Header, rows, and which columns are words.
type Columns = (Vec<String>, Vec<Vec<String>>, Vec<usize>);

/// The same as cells.
pub(crate) fn bead_columns(outcome: &Outcome, units: Units) -> Option<Columns> {
    let day = outcome.welding.as_ref()?;
    let at = format!("x, y, {}", place_unit(units));
    let header = ["bead", "heat", "flame", "start", &at, "coldest", "hottest", "window", input_unit(units), "800-500"];
    let rows: Vec<Vec<String>> = day.beads.iter().map(|bead| row(bead, units)).collect();
    let told = |column: &usize| rows.iter().any(|row| !row[*column].is_empty());
    let columns: Vec<usize> = (0..header.len()).filter(told).collect();
    let header = columns.iter().map(|&column| header[column].to_owned()).collect();
    let words: Vec<usize> = (0..columns.len()).filter(|&n| columns[n] < 3).collect();
    let rows = rows.iter().map(|row| columns.iter().map(|&column| row[column].clone()).collect()).collect();
    Some((header, rows, words))
}

fn row(bead: &Bead, units: Units) -> Vec<String> {
    let temperature = |celsius: Option<f64>| celsius.map_or_else(String::new, |c| temperature_number(c, units));
    let inside = match bead.inside {
        None => "",
        Some(true) => "in",
        Some(false) => "OUT",
    };
    let again = if bead.again { " again" } else { "" };
    vec![
        format!("{}{again}", bead.bead),
        format!("{}.{}", bead.heat, bead.number),
        if bead.flame_before { "before" } else { "" }.to_owned(),
        duration(bead.start_s),
        place(bead.at_m, units),
        temperature(bead.coldest_c),
        temperature(bead.hottest_c),
        inside.to_owned(),
        bead.heat_input_j_per_m.map_or_else(String::new, |input| input_number(input, units)),
        bead.cooling_s.map_or_else(String::new, |seconds| format!("{seconds:.1} s")),
    ]
}

/// From the corner of the casting; in both systems of units in millimetres, for want of room.
fn place(at_m: [f64; 2], units: Units) -> String {
    let (scale, decimals) = if units == Units::Shop { (0.0254, 1) } else { (1e-3, 0) };
    let [x, y] = at_m.map(|metres| metres / scale);
    format!("{x:.decimals$}, {y:.decimals$}")
}

fn place_unit(units: Units) -> &'static str {
    if units == Units::Shop { "in" } else { "mm" }
}

fn input_number(joules_per_metre: f64, units: Units) -> String {
    let metric = format!("{:.2}", joules_per_metre / KJ_PER_MM);
    let shop = format!("{:.0}", joules_per_metre / KJ_PER_INCH);
    match units {
        Units::Metric => metric,
        Units::Shop => shop,
        Units::Both => format!("{metric} ({shop})"),
    }
}

fn input_unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "kJ/mm",
        Units::Shop => "kJ/in",
        Units::Both => "kJ/mm, in",
    }
}
