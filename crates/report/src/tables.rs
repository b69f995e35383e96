//! The tables of the text; each is empty where it has nothing to show.

use std::collections::BTreeMap;

use comfy_table::{CellAlignment, ContentArrangement, Table};
use comfy_table::{LineStyle, presets};
use quantity::{Energy, Temperature, TemperatureDifference, Units};
use study::{Crossing, InputEffect, LedgerJ, Outcome, PassStart, Series};

use crate::spans::{cycles_s, intervals_s};
use crate::words::{difference, duration, error_time, printable, temperature};

/// Columns of a terminal that a table may take.
pub(crate) const WIDTH: u16 = 100;
const PROBES_ABREAST: usize = 5;

pub(crate) fn heats(outcome: &Outcome) -> Option<String> {
    let (intervals, cycles) = (intervals_s(outcome), cycles_s(outcome));
    let cell = |spans: &[f64], index: usize| spans.get(index).copied().map_or_else(String::new, duration);
    let row = |(index, heat): (usize, &study::Heat)| {
        let minutes = format!("{:.1}", (heat.end_s - heat.start_s) / 60.0);
        let times = [duration(heat.start_s), duration(heat.end_s), minutes];
        let waits = [cell(&intervals, index), cell(&cycles, index)];
        [vec![(index + 1).to_string()], times.to_vec(), waits.to_vec()].concat()
    };
    let rows = outcome.heats.iter().enumerate().map(row).collect();
    table("Heats", &["heat", "from", "to", "minutes", "then off for", "cycle"], &[0], rows)
}

pub(crate) fn passes(outcome: &Outcome, units: Units) -> Option<String> {
    passes_table("Ring as each bead starts", &outcome.passes, units)
}

/// The passes of the first and of the last heat.
pub(crate) fn telling_passes(outcome: &Outcome, units: Units) -> Option<String> {
    let last = outcome.passes.last()?.heat;
    let told: Vec<PassStart> = outcome.passes.iter().filter(|p| p.heat == 1 || p.heat == last).copied().collect();
    passes_table("Ring as each bead starts, first and last heat", &told, units)
}

fn passes_table(title: &str, passes: &[PassStart], units: Units) -> Option<String> {
    let row = |pass: &PassStart| {
        vec![
            pass.heat.to_string(),
            pass.number.to_string(),
            duration(pass.start_s),
            temperature_number(pass.coldest_c, units),
            temperature_number(pass.hottest_c, units),
            if pass.inside { "in" } else { "OUT" }.to_owned(),
        ]
    };
    let unit = temperature_unit(units);
    let (coldest, hottest) = (format!("coldest, {unit}"), format!("hottest, {unit}"));
    let header = ["heat", "bead", "start", &coldest, &hottest, "window"];
    table(title, &header, &[0, 1], passes.iter().map(row).collect())
}

pub(crate) fn crossings(outcome: &Outcome, units: Units) -> Option<String> {
    let row = |crossing: &Crossing| {
        vec![
            printable(&crossing.probe),
            temperature(crossing.limit_c, units),
            duration(crossing.off_s),
            match crossing.after_off_s {
                None => "not reached".to_owned(),
                Some(0.0) => "already below".to_owned(),
                Some(after_s) => duration(after_s),
            },
            crossing.error_s.map_or_else(String::new, with_plus_minus),
        ]
    };
    let rows = outcome.crossings.iter().map(row).collect();
    table("Watched limits", &["probe", "below", "flame off at", "time from flame off", "error"], &[0], rows)
}

fn with_plus_minus(error_s: f64) -> String {
    let shown = error_time(error_s);
    if shown.starts_with("under") { shown } else { format!("± {shown}") }
}

pub(crate) fn inputs(outcome: &Outcome, units: Units) -> Option<String> {
    let row = |input: &InputEffect| {
        vec![
            printable(&input.input),
            format!("{:.2} to {:.2}", input.low, input.high),
            difference(input.margin_low_k, units),
            difference(input.margin_high_k, units),
            hold(input.hold_low_s),
            hold(input.hold_high_s),
            printable(&input.source),
        ]
    };
    let header = ["input", "x nominal", "margin at low", "at high", "hold at low", "at high", "range from"];
    table("What each stated range does", &header, &[0, 6], outcome.inputs.iter().map(row).collect())
}

fn hold(hold_s: Option<f64>) -> String {
    hold_s.map_or_else(|| "not reached".to_owned(), duration)
}

/// A line of the ledger with its share of the heat put in.
pub(crate) struct LedgerLine {
    pub(crate) what: &'static str,
    pub(crate) energy_j: f64,
    pub(crate) share: Option<f64>,
    pub(crate) comes_in: bool,
}

/// The lines of a ledger, in before out.
pub(crate) fn ledger_lines(ledger: &LedgerJ) -> [LedgerLine; 6] {
    let heat_in = ledger.torch_j + ledger.arc_j;
    let line = |what, energy_j: f64, comes_in| {
        let share = (heat_in > 0.0).then(|| energy_j / heat_in);
        LedgerLine { what, energy_j, share, comes_in }
    };
    [
        line("in from the torch", ledger.torch_j, true),
        line("in from the arc", ledger.arc_j, true),
        line("stored in the metal", ledger.stored_j, false),
        line("lost to the air", ledger.convection_j, false),
        line("lost by radiation", ledger.radiation_j, false),
        line("lost into the support", ledger.contact_j, false),
    ]
}

pub(crate) fn ledger(outcome: &Outcome, units: Units) -> Option<String> {
    let row = |line: LedgerLine| {
        let share = line.share.map_or_else(String::new, |share| format!("{:.1} %", 100.0 * share));
        vec![line.what.to_owned(), Energy::from_si(line.energy_j).show(units), share]
    };
    let mut rows: Vec<Vec<String>> = ledger_lines(&outcome.ledger).into_iter().map(row).collect();
    rows.push(vec![
        "not accounted for".to_owned(),
        Energy::from_si(outcome.ledger.residual_j).show(units),
        String::new(),
    ]);
    table("Where the heat went", &["heat", "energy", "share of heat in"], &[0], rows)
}

/// Probes at the requested times, a few abreast.
pub(crate) fn probes(outcome: &Outcome, units: Units) -> Option<String> {
    let series: Vec<(&String, &Series)> = outcome.probes.iter().collect();
    let tables: Vec<String> =
        series.chunks(PROBES_ABREAST).filter_map(|abreast| probes_abreast(abreast, units)).collect();
    (!tables.is_empty()).then(|| tables.join("\n\n"))
}

fn probes_abreast(probes: &[(&String, &Series)], units: Units) -> Option<String> {
    let mut rows: BTreeMap<u64, Vec<String>> = BTreeMap::new();
    for (column, (_, series)) in probes.iter().enumerate() {
        for (index, &time_s) in series.time_s.iter().enumerate() {
            let row = rows.entry(order_of(time_s)).or_insert_with(|| blank_row(time_s, probes.len()));
            row[column + 1] = probe_cell(series, index, units);
        }
    }
    let names = probes.iter().map(|(name, _)| printable(name));
    let header: Vec<String> = std::iter::once("time".to_owned()).chain(names).collect();
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let title = format!("Probes, {} ± {}", temperature_unit(units), difference_unit(units));
    table(&title, &header, &[0], rows.into_values().collect())
}

/// Sorts as the time does; times are never negative.
fn order_of(time_s: f64) -> u64 {
    time_s.max(0.0).to_bits()
}

fn blank_row(time_s: f64, probes: usize) -> Vec<String> {
    let mut row = vec![String::new(); probes + 1];
    row[0] = duration(time_s);
    row
}

fn probe_cell(series: &Series, index: usize, units: Units) -> String {
    let celsius = series.temperature_c.get(index).map_or_else(String::new, |&t| temperature_number(t, units));
    match series.error_k.get(index) {
        Some(&error_k) => format!("{celsius} ± {}", difference_number(error_k, units)),
        None => celsius,
    }
}

/// The number alone, for a column whose header names the unit.
fn temperature_number(celsius: f64, units: Units) -> String {
    let number = |units| format!("{:.0}", Temperature::from_celsius(celsius).axis(units).number(celsius));
    match units {
        Units::Both => format!("{} ({})", number(Units::Metric), number(Units::Shop)),
        one => number(one),
    }
}

fn difference_number(kelvin: f64, units: Units) -> String {
    // Upwards: an error bar that is not zero does not print as zero.
    let tenths = |units| (10.0 * TemperatureDifference::from_si(kelvin).axis(units).number(kelvin) - 1e-6).ceil();
    let number = |units| format!("{:.1}", tenths(units).max(0.0) / 10.0);
    match units {
        Units::Both => format!("{} ({})", number(Units::Metric), number(Units::Shop)),
        one => number(one),
    }
}

fn temperature_unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "C",
        Units::Shop => "F",
        Units::Both => "C (F)",
    }
}

fn difference_unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "K",
        Units::Shop => "F",
        Units::Both => "K (F)",
    }
}

/// Title, header, light rule; nothing at all where there is no row. The columns of `words` stand to the left.
pub(crate) fn table(title: &str, header: &[&str], words: &[usize], rows: Vec<Vec<String>>) -> Option<String> {
    if rows.is_empty() {
        return None;
    }
    let rule = LineStyle::none().fill('─').junction('─');
    let mut table = Table::new();
    table.load_style(presets::NOTHING.header_separator(rule));
    table.set_content_arrangement(ContentArrangement::Dynamic).set_width(WIDTH).set_header(header.to_vec());
    table.add_rows(rows);
    for (index, column) in table.column_iter_mut().enumerate() {
        let alignment = if words.contains(&index) { CellAlignment::Left } else { CellAlignment::Right };
        column.set_padding((0, 1)).set_cell_alignment(alignment);
    }
    Some(format!("{title}\n{}", table.trim_fmt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_sort_as_numbers_do() {
        assert!(order_of(9.0) < order_of(10.0) && order_of(0.0) < order_of(1e-3));
    }

    #[test]
    fn shares_are_of_the_heat_put_in_and_missing_where_nothing_came_in() {
        let mut ledger = LedgerJ {
            torch_j: 3.0,
            arc_j: 1.0,
            stored_j: 3.0,
            convection_j: 0.5,
            radiation_j: 0.5,
            contact_j: 0.0,
            residual_j: 0.0,
        };
        assert_eq!(ledger_lines(&ledger)[2].share, Some(0.75));
        (ledger.torch_j, ledger.arc_j) = (0.0, 0.0);
        assert_eq!(ledger_lines(&ledger)[2].share, None);
    }
}
