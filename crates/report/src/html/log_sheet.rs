//! The log sheet: a table to fill in by hand whose columns are those of a log.

use quantity::Units;
use study::{Advice, Instruction, Outcome, Verdict};

use super::card::{cut, is_instruction};
use super::parts::{list, made_from, paper, paragraph};
use super::plain::{clock_span, time, towards};
use super::safe;
use crate::words::printable;

/// Rows on the sheet, some of them begun.
const ROWS: usize = 16;
/// Rows at the end that are left empty.
const EMPTY: usize = 4;
/// Letters of a title, and of all names of places together, that one sheet has room for.
const TITLE: usize = 80;
const PLACES: usize = 420;
/// After each flame-off, s.
const AFTER_OFF_S: [f64; 3] = [30.0, 60.0, 120.0];
/// A reading takes so long, s.
const READING_S: f64 = 8.0;

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
        safe::text(&cut(&outcome.title, TITLE))
    );
    body += &banner(outcome);
    body += &paragraph(
        "Write what is read, not what is expected, each with its unit: 204 C or 400 F. Time counts from the first flame on: \
         19 min 30 s. Note when the flame really goes on and off; where that differs from the plan, put it into the \
         scenario before comparing. A reading under the flame is wrong: lift it first.",
    );
    if let Some(advice) = sheet.advice {
        body += &paragraph(&where_to(advice));
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

/// The spot, in the words of a log and as somebody finds it who has only a rule.
fn where_to(advice: &Advice) -> String {
    let touch = &advice.touch;
    let [x, y] = touch.from_patch_centre_m;
    format!(
        "Touch at x {:.0} mm y {:.0} mm from the corner x_min, y_min: from the middle of the heated patch {} and {}. It is the \
         coldest of the ring on the face; the card has a sketch.",
        1e3 * touch.x_m,
        1e3 * touch.y_m,
        towards(x, ["towards x_max", "towards x_min"]),
        towards(y, ["towards y_max", "towards y_min"])
    )
}

/// What a sheet must say where its schedule is none to weld by.
fn banner(outcome: &Outcome) -> String {
    let why = match outcome.verdict {
        _ if outcome.interrupted => "was not computed to its end",
        Verdict::Holds => return String::new(),
        Verdict::FallsShort => "falls short",
        Verdict::TooCloseToCall => "is too close to call",
        Verdict::NotAsked => "has no minimum to be held against",
    };
    format!(
        "<div class=\"verdict no\"><strong>For logging a trial only</strong>This schedule {why}: do not weld by it.</div>\n"
    )
}

/// Names of places, as many as one sheet has room for; how many are not there is said.
fn places(instruction: &Instruction) -> String {
    let mut letters = 0;
    let fits = |name: &&String| {
        letters += name.chars().count() + 2;
        letters <= PLACES
    };
    let mut names: Vec<String> =
        instruction.places.iter().take_while(fits).map(|name| format!("<code>{}</code>", safe::text(name))).collect();
    let missing = instruction.places.len() - names.len();
    if missing > 0 {
        names.push(format!("and {missing} more in the scenario"));
    }
    names.join(", ")
}

/// Rows with place and note begun where the schedule knows them, and empty ones. The time is for who reads the clock.
fn rows(sheet: &LogSheet) -> String {
    let spot = sheet.advice.map_or_else(
        || sheet.instruction.places.first().map(|name| cut(&printable(name), 40)).unwrap_or_default(),
        |advice| format!("x {:.0} mm y {:.0} mm", 1e3 * advice.touch.x_m, 1e3 * advice.touch.y_m),
    );
    let notes = if is_instruction(sheet.outcome) { planned(sheet.outcome) } else { trial() };
    let mut rows: Vec<[String; 2]> = notes.into_iter().take(ROWS - EMPTY).map(|note| [spot.clone(), note]).collect();
    rows.resize(ROWS, [const { String::new() }; 2]);
    let row = |[place, note]: &[String; 2]| {
        format!("<tr><td></td><td>{}</td><td></td><td>{}</td></tr>\n", safe::text(place), safe::text(note))
    };
    let rows: String = rows.iter().map(row).collect();
    format!(
        "<table class=\"rows\">\n<thead><tr><th scope=\"col\" style=\"width: 17%\">time</th><th scope=\"col\" \
         style=\"width: 28%\">place</th><th scope=\"col\" style=\"width: 18%\">reading</th><th scope=\"col\">note</th></tr>\
         </thead>\n<tbody>\n{rows}</tbody>\n</table>\n"
    )
}

/// Without a plan to weld by: what tells the most of a heat-up and of the fall after it.
fn trial() -> Vec<String> {
    let after = AFTER_OFF_S.iter().map(|after_s| format!("{} after flame off", time(*after_s)));
    std::iter::once("as the flame goes off".to_owned()).chain(after).collect()
}

/// Planned instants: each flame-off, some time after it, each bead.
fn planned(outcome: &Outcome) -> Vec<String> {
    let after = |off_s: f64, time_s: f64| clock_span([time_s - off_s; 2]);
    let mut wanted: Vec<(f64, String)> = Vec::new();
    for (number, heat) in outcome.heats.iter().enumerate() {
        let off_s = heat.end_s;
        let next = outcome.heats.get(number + 1).map_or(outcome.ran_until_s, |next| next.start_s);
        let about = time(off_s - heat.start_s);
        wanted.push((off_s, format!("flame {} off, planned after about {about} of flame", number + 1)));
        let later = AFTER_OFF_S.iter().map(|after_s| off_s + after_s).filter(|time_s| *time_s < next);
        wanted.extend(later.map(|time_s| (time_s, format!("{} after flame off", after(off_s, time_s)))));
        let beads = outcome.passes.iter().filter(|pass| pass.heat == number + 1);
        wanted.extend(beads.map(|pass| {
            let told =
                format!("before bead {}.{}, {} after flame off", pass.heat, pass.number, after(off_s, pass.start_s));
            (pass.start_s, told)
        }));
    }
    wanted.sort_by(|a, b| a.0.total_cmp(&b.0));
    // One reading for what lies within the time that a reading takes: the bead says more than a mere instant.
    let mut kept: Vec<(f64, String)> = Vec::new();
    for (time_s, note) in wanted {
        match kept.last_mut().filter(|last| time_s - last.0 < READING_S) {
            Some(last) if note.starts_with("before") && !last.1.starts_with("flame") => *last = (time_s, note),
            Some(last) if note.starts_with("before") => last.1 = format!("{}; {note}", last.1),
            Some(_) => {}
            None => kept.push((time_s, note)),
        }
    }
    kept.into_iter().map(|(_, note)| note).collect()
}
