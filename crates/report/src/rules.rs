//! A table of rules as text, Markdown and CSV, and the lines of its journal.

use quantity::{Mass, Power, Units};
use study::rules::{Findings, Head, Rule, Table};

use crate::csv::{number, table as csv_table};
use crate::tables::table;
use crate::text::{facts, hanging, joined, list, made_by, paragraphs};
use crate::words::{NOT_COMPARED, duration, each_once, length, one_system, printable, temperature};

/// Unit after a comma; the flame goes off by the reading, and the minutes are what that takes.
const COLUMNS: [&str; 10] = [
    "mass",
    "section",
    "heated",
    "soak, min",
    "till it reads, min",
    "net, kW",
    "hold, s",
    "interval, s",
    "beads",
    "not",
];

/// The table for a terminal: what it says in words first.
pub fn rules(table: &Table, units: Units) -> String {
    let reasons = reasons(table);
    let lettered = |rule: &Rule| {
        let mut cells = row(rule, one_system(units)).to_vec();
        cells[9] = letter_of(rule, &reasons).unwrap_or_default();
        cells
    };
    let shown = table_of(table.rules.iter().map(lettered).collect());
    let legend: Vec<String> = reasons.iter().enumerate().map(|(n, why)| format!("{}: {why}", letter(n))).collect();
    joined([
        Some(words(table, units)),
        shown,
        list("Not possible", &legend),
        Some(format!("Valid for\n{}", facts(&validity(&table.head, units)))),
        list("Cautions", &table.head.cautions),
        Some(closing(&table.head)),
    ])
}

/// Every reason met, in the order of the table.
pub(crate) fn reasons(table: &Table) -> Vec<String> {
    each_once(table.rules.iter().filter_map(|rule| rule.why_not.clone()))
}

/// The letter of the reason why a rule is not possible.
pub(crate) fn letter_of(rule: &Rule, reasons: &[String]) -> Option<String> {
    let why = rule.why_not.as_ref()?;
    reasons.iter().position(|reason| reason == why).map(letter)
}

/// The letter that stands for a reason.
pub(crate) fn letter(number: usize) -> String {
    char::from_u32('a' as u32 + number as u32).map_or_else(String::new, String::from)
}

fn table_of(rows: Vec<Vec<String>>) -> Option<String> {
    let narrow = COLUMNS.map(|column| column.replace(", ", "\n"));
    table("Rules", &narrow.each_ref().map(String::as_str), &[9], rows)
}

/// The same as Markdown.
pub fn rules_markdown(table: &Table, units: Units) -> String {
    let line = |cells: &[String]| {
        format!("| {} |", cells.iter().map(|cell| cell.replace('|', "/")).collect::<Vec<_>>().join(" | "))
    };
    let header = COLUMNS.map(str::to_owned);
    let mut lines =
        vec![format!("# Rules: {}", printable(&table.head.title)), String::new(), words(table, units), String::new()];
    lines.push(line(&header));
    lines.push(line(&header.map(|_| "---".to_owned())));
    lines.extend(table.rules.iter().map(|rule| line(&row(rule, one_system(units)))));
    lines.extend([String::new(), "Valid for:".to_owned(), String::new()]);
    lines.extend(validity(&table.head, units).into_iter().map(|(label, value)| format!("- {label}: {value}")));
    lines.extend([String::new(), "Cautions:".to_owned(), String::new()]);
    lines.extend(table.head.cautions.iter().map(|caution| format!("- {}", printable(caution))));
    lines.extend([String::new(), closing(&table.head)]);
    lines.join("\n") + "\n"
}

/// The same as CSV, in SI units; an empty cell where a number could not be had.
///
/// # Panics
/// Never: rows are as long as their header and are written to memory as UTF-8.
pub fn rules_csv(table: &Table) -> String {
    let header = [
        "mass_kg",
        "section_m",
        "width_m",
        "soak_s",
        "net_power_w",
        "flame_s",
        "flame_low_s",
        "flame_high_s",
        "hold_s",
        "hold_error_s",
        "hold_low_s",
        "hold_high_s",
        "interval_s",
        "beads",
        "beads_low",
        "beads_high",
        "why_not",
    ];
    csv_table(header, table.rules.iter().map(numbers))
}

fn numbers(rule: &Rule) -> [String; 17] {
    let text = |value: Option<f64>| value.map_or_else(String::new, number);
    let count = |value: Option<usize>| value.map_or_else(String::new, |v| v.to_string());
    let end = |band: Option<[f64; 2]>, n: usize| text(band.map(|b| b[n]));
    let beads = |n: usize| count(rule.beads_band.map(|b| b[n]));
    [
        number(rule.mass_kg),
        number(rule.section_m),
        number(rule.width_m),
        number(rule.soak_s),
        text(rule.net_power_w),
        text(rule.flame_s),
        end(rule.flame_band_s, 0),
        end(rule.flame_band_s, 1),
        text(rule.hold_s),
        text(rule.hold_error_s),
        end(rule.hold_band_s, 0),
        end(rule.hold_band_s, 1),
        text(rule.interval_s),
        count(rule.beads),
        beads(0),
        beads(1),
        rule.why_not.clone().unwrap_or_default(),
    ]
}

fn row(rule: &Rule, units: Units) -> [String; 10] {
    let or_dash = |text: Option<String>| text.unwrap_or_else(|| "-".to_owned());
    let minutes = |seconds: f64| format!("{:.0}", seconds / 60.0);
    let whole = |seconds: f64| format!("{:.0}", seconds.floor());
    let band = |value: f64, [low, high]: [f64; 2], show: &dyn Fn(f64) -> String| {
        if low == high { show(value) } else { format!("{} ({}-{})", show(value), show(low), show(high)) }
    };
    let flame = rule.flame_s.zip(rule.flame_band_s).map(|(flame, ends)| band(flame, ends, &minutes));
    let hold = rule.hold_s.zip(rule.hold_band_s).map(|(hold, [low, high])| {
        let bar = rule.hold_error_s.map_or_else(String::new, |bar| format!(" ± {:.0}", bar.ceil()));
        if low == high { whole(hold) + &bar } else { format!("{}{bar} ({}-{})", whole(hold), whole(low), whole(high)) }
    });
    let beads = rule.beads.map(|n| {
        rule.beads_band.map_or_else(
            || n.to_string(),
            |[low, high]| if low == high { n.to_string() } else { format!("{n} ({low}-{high})") },
        )
    });
    [
        Mass::from_si(rule.mass_kg).show(units),
        length(rule.section_m, units),
        length(rule.width_m, units),
        minutes(rule.soak_s),
        or_dash(flame),
        or_dash(rule.net_power_w.map(|w| format!("{:.1}", w / 1e3))),
        or_dash(hold),
        or_dash(rule.interval_s.map(whole)),
        or_dash(beads),
        rule.why_not.clone().unwrap_or_default(),
    ]
}

/// How many cells are possible, what the table says of mass and section, and how a rule is read.
fn words(table: &Table, units: Units) -> String {
    [findings(table, units), by_the_reading(&table.head, units)].map(|text| hanging("", &text)).join("\n\n")
}

/// How many cells are possible, and what the table says of mass and section.
pub(crate) fn findings(table: &Table, units: Units) -> String {
    let possible = table.rules.iter().filter(|rule| rule.why_not.is_none()).count();
    let count = format!("{possible} of {} cells are possible.", table.rules.len());
    match table.findings {
        None => format!("{count} Too few masses to say where mass stops mattering."),
        Some(found) => format!("{count} {}", mass_or_section(&found, units)),
    }
}

fn by_the_reading(head: &Head, units: Units) -> String {
    format!(
        "Flame off by the reading, not by the clock: heat until {} reads {}, first and again after every interval. Turn the flame so that this takes the minutes shown at first; in brackets the least and the most over the stated ranges. ± is the numerical error.",
        place(&head.reads_at),
        temperature(head.reads_c, units)
    )
}

/// A place of the ring or the patch in words.
fn place(probe: &str) -> &str {
    match probe {
        "ring_coldest" => "the coldest of the ring",
        "ring_mean" => "the mean of the ring",
        "patch_centre" => "the middle of the patch",
        "patch_hottest" => "the hottest of the patch",
        other => other,
    }
}

fn mass_or_section(found: &Findings, units: Units) -> String {
    let (same, section) = (100.0 * found.same, found.section_factor);
    match found.mass_enough_kg {
        Some(mass_kg) => format!(
            "From {} on the mass changes no hold by more than {same:.0} %, while the section under the patch changes it up to {section:.1} times: go by the section, not by the mass (N6).",
            Mass::from_si(mass_kg).show(units)
        ),
        None if section <= 1.0 => {
            format!("Over these masses the hold still changes up to {:.1} times with the mass.", found.mass_factor)
        }
        None => format!(
            "Over these masses the hold still changes up to {:.1} times with the mass, and up to {section:.1} times with the section: both matter.",
            found.mass_factor
        ),
    }
}

fn validity(head: &Head, units: Units) -> Vec<(&'static str, String)> {
    let length = |metres: f64| length(metres, units);
    let span = |list: &[f64], show: &dyn Fn(f64) -> String| {
        let low = list.iter().copied().fold(f64::INFINITY, f64::min);
        let high = list.iter().copied().fold(0.0, f64::max);
        if low == high { show(low) } else { format!("{} to {}", show(low), show(high)) }
    };
    let window = head.window;
    let surface = window
        .surface_limit_c
        .map_or_else(String::new, |limit| format!(", surface up to {}", temperature(limit, units)));
    let mut box_of = vec![
        ("Metal", printable(&head.metal)),
        ("Casting", format!("one block, {} all through at the start", temperature(head.start_c, units))),
        ("Masses", span(&head.masses_kg, &|m| Mass::from_si(m).show(units))),
        ("Sections", span(&head.sections_m, &length)),
        ("Patch", format!("an even disc of {} in the middle of the face", span(&head.widths_m, &length))),
        (
            "Ring",
            format!(
                "{} wide, {} deep, around a groove of {} by {}",
                length(head.ring_m[0]),
                length(head.ring_m[1]),
                length(head.groove_m[0]),
                length(head.groove_m[1])
            ),
        ),
        (
            "Window",
            format!(
                "{} to {}{surface}",
                temperature(window.minimum_c, units),
                temperature(window.maximum_interpass_c, units)
            ),
        ),
        (
            "Torch",
            format!(
                "alone, a steady net power, turned until the reading takes the minutes shown; that of the scenario gives {} as stated",
                Power::from_si(head.torch_w).show(units)
            ),
        ),
        (
            "Judged",
            format!(
                "first heating and {} reheats to the same reading, at both ends of every range and all at their worst",
                head.reheats
            ),
        ),
    ];
    box_of.extend(bead_and_bands(head));
    box_of
}

/// How beads are counted and what the bands cover.
fn bead_and_bands(head: &Head) -> Vec<(&'static str, String)> {
    let mut box_of = Vec::new();
    box_of.extend(head.bead_s.map(|[first, arc, pause]| {
        (
            "Beads",
            format!(
                "first {} after flame off, arc {}, pause {}; the last arc is out within the interval, none waits for the ring to cool; their heat is in the judgement, not in the hold",
                duration(first),
                duration(arc),
                duration(pause)
            ),
        )
    }));
    let ranges: Vec<String> = head
        .ranges
        .iter()
        .map(|r| format!("{} x {:.2} to {:.2} ({})", r.input, r.low, r.high, printable(&r.source)))
        .collect();
    box_of.push(("Bands", if ranges.is_empty() { "none: no ranges are stated".to_owned() } else { ranges.join("; ") }));
    box_of
}

fn closing(head: &Head) -> String {
    paragraphs([
        printable(&head.title),
        "Interval and beads are rounded down from the worst end less the numerical error, and judged over the reheats; outside these limits the table says nothing.".to_owned(),
        NOT_COMPARED.to_owned(),
        made_by(&head.version, &head.input_sha256),
    ])
}

/// Why a journal cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum JournalError {
    /// The first line is not the head of a table.
    #[error("its first line is not the head of a table of rules")]
    NoHead,
    /// A finished line is not a rule.
    #[error("its line {line} is not a rule")]
    NotARule {
        /// Line, from 1.
        line: usize,
    },
}

/// The first line of a journal.
///
/// # Panics
/// Never: a head has string keys only.
pub fn journal_head(head: &Head) -> String {
    serde_json::to_string(head).expect("a head has string keys only") + "\n"
}

/// One further line.
///
/// # Panics
/// Never: a rule has string keys only.
pub fn journal_line(rule: &Rule) -> String {
    serde_json::to_string(rule).expect("a rule has string keys only") + "\n"
}

/// A journal as far as it is whole, and how many bytes of it are: a last line that was cut off counts for nothing.
///
/// # Errors
/// [`JournalError`] where a whole line is not what it should be.
pub fn read_journal(text: &str) -> Result<(Head, Vec<Rule>, usize), JournalError> {
    let whole = text.rfind('\n').map_or(0, |end| end + 1);
    let mut lines = text[..whole].lines();
    let head = lines.next().and_then(|line| serde_json::from_str(line).ok()).ok_or(JournalError::NoHead)?;
    let rules: Result<Vec<Rule>, JournalError> = lines
        .enumerate()
        .map(|(n, line)| serde_json::from_str(line).map_err(|_| JournalError::NotARule { line: n + 2 }))
        .collect();
    Ok((head, rules?, whole))
}
