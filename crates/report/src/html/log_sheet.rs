//! The log sheet: a table to fill in by hand whose columns are those of a log.

use quantity::Units;
use study::{Advice, Instruction, Outcome};

use super::parts::{list, made_from, paper, paragraph};
use super::safe;
use super::still::when_to_touch;
use crate::advised::where_to;
use crate::words::{duration, printable};

/// Rows on the sheet, some of them begun.
const ROWS: usize = 18;
/// Places that are listed.
const PLACES: usize = 40;
/// After each flame-off, s.
const AFTER_OFF_S: [f64; 3] = [30.0, 60.0, 120.0];

/// What a log sheet is made of.
#[derive(Clone, Copy, Debug)]
pub struct LogSheet<'a> {
    /// The answer.
    pub outcome: &'a Outcome,
    /// Names of the places.
    pub instruction: &'a Instruction,
    /// Where and when to touch; none where there is no ring to touch.
    pub advice: Option<&'a Advice>,
    /// Units of the text.
    pub units: Units,
}

/// The sheet as one HTML file without scripts.
pub fn log_sheet(sheet: &LogSheet) -> String {
    let outcome = sheet.outcome;
    let blanks = ["Job", "Date", "Name", "Thermometer", "Flame on at (clock)"];
    let blanks: String = blanks.iter().map(|blank| format!("<span>{blank}</span>")).collect();
    let mut body = format!(
        "<header><p class=\"kind\">warmhold log sheet</p>\n<h1>{}</h1>\n<div class=\"blanks\">{blanks}</div></header>\n",
        safe::text(&outcome.title)
    );
    body += &paragraph(
        "Write what is read, not what is expected. The time counts from the first flame on. Note when the flame really \
         goes on and off: where those times differ from the plan, put them into the scenario before comparing.",
    );
    if let Some(advice) = sheet.advice {
        body += &list(&[where_to(advice, sheet.units), when_to_touch(advice, sheet.units)]);
    }
    body += &rows(sheet);
    body += "<section>\n<h2>How to write it</h2>\n";
    body += &list(&[
        "time: 4 min 10 s, 1 h 5 min, 250 s",
        "place: one of the names below, or x and y from the corner x_min, y_min, such as: x 120 mm y 80 mm depth 25 mm",
        "reading: 149 C or 300 F; of a crayon: melted 300 F, not melted 350 F",
    ]);
    body += &format!("<p>Names of places: {}</p>\n", places(sheet.instruction));
    body += "<p>Type it as a CSV file whose first line is <code>time,place,reading</code>, then: \
             <code>warmhold compare SCENARIO.toml LOG.csv</code></p>\n</section>\n";
    body += &format!("<footer>{}</footer>\n", paragraph(&made_from(outcome)));
    paper(&format!("Log sheet: {}", outcome.title), "log", &body)
}

fn places(instruction: &Instruction) -> String {
    let names = instruction.places.iter().take(PLACES).map(|name| format!("<code>{}</code>", safe::text(name)));
    names.collect::<Vec<_>>().join(", ")
}

/// Rows with time and place begun where the schedule knows them, and empty ones.
fn rows(sheet: &LogSheet) -> String {
    let begun = begun(sheet);
    let mut cells: Vec<[String; 3]> = begun.into_iter().take(ROWS - 4).collect();
    cells.resize(ROWS.max(cells.len() + 4), [const { String::new() }; 3]);
    let row = |[time, place, note]: &[String; 3]| {
        let [time, place, note] = [time, place, note].map(|text| safe::text(text));
        format!("<tr><td>{time}</td><td>{place}</td><td></td><td>{note}</td></tr>\n")
    };
    let rows: String = cells.iter().map(row).collect();
    format!(
        "<table class=\"rows\">\n<thead><tr><th scope=\"col\" style=\"width: 20%\">time</th><th scope=\"col\" \
         style=\"width: 34%\">place</th><th scope=\"col\" style=\"width: 20%\">reading</th><th scope=\"col\">note</th></tr>\
         </thead>\n<tbody>\n{rows}</tbody>\n</table>\n"
    )
}

/// Planned instants: each flame-off, some time after it, each bead; at the spot to touch.
fn begun(sheet: &LogSheet) -> Vec<[String; 3]> {
    let outcome = sheet.outcome;
    let spot = sheet.advice.map_or_else(
        || sheet.instruction.places.first().map(|name| printable(name)).unwrap_or_default(),
        |advice| format!("x {:.0} mm y {:.0} mm", 1e3 * advice.touch.x_m, 1e3 * advice.touch.y_m),
    );
    let mut wanted: Vec<(f64, String)> = Vec::new();
    for (number, heat) in outcome.heats.iter().enumerate() {
        let next = outcome.heats.get(number + 1).map_or(outcome.ran_until_s, |next| next.start_s);
        wanted.push((heat.end_s, format!("flame {} off, planned", number + 1)));
        let later = AFTER_OFF_S.iter().map(|after| heat.end_s + after).filter(|time| *time < next);
        wanted.extend(later.map(|time| (time, String::new())));
    }
    let bead = |pass: &study::PassStart| (pass.start_s, format!("before bead {}.{}", pass.heat, pass.number));
    wanted.extend(outcome.passes.iter().map(bead));
    wanted.sort_by(|a, b| a.0.total_cmp(&b.0));
    // One reading for what lies within the time that a reading takes.
    wanted.dedup_by(|later, earlier| {
        let same = later.0 - earlier.0 < 8.0;
        if same && !later.1.is_empty() {
            let join = if earlier.1.is_empty() { "" } else { "; " };
            earlier.1 = format!("{}{join}{}", earlier.1, later.1);
        }
        same
    });
    wanted.into_iter().map(|(time, note)| [duration(time.round()), spot.clone(), note]).collect()
}
