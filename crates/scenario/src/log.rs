//! Temperatures read on the real casting: one in words, or a log of them as a table.
//!
//! A log is a CSV file with the header `time,place,reading`, in any order; lines that begin with `#` are notes. A time
//! counts from the start of the run. A place is the name of a probe, or coordinates from the corner `x_min, y_min` such
//! as `x 100 mm y 50 mm` or `x 100 mm y 50 mm depth 25 mm`. A reading is a temperature, or what a crayon did: `melted 149
//! C`, `not melted 149 C` (ST4).

use heat::{Case, Hollows, ProbeKind};
use quantity::{Duration, Length, Temperature, Units};
use study::{Reading, Said, Spot};

use crate::diagnostic::quote;
use crate::words::{list, nearest, plain};

/// Most rows of a log.
const MOST_ROWS: usize = 20_000;
/// Most problems that are told.
const TOLD: usize = 20;
/// Colder and hotter than this no metal is read, Celsius.
const METAL_C: [f64; 2] = [-60.0, 1600.0];
const COLUMNS: [&str; 3] = ["time", "place", "reading"];

/// What is wrong with a log, and where.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {message}")]
pub struct LogProblem {
    /// Line of the file, from 1.
    pub line: usize,
    /// What is wrong and what to write.
    pub message: String,
}

/// Reads a log.
///
/// # Errors
/// Every problem of it with its line, up to a score of them.
pub fn log(text: &str, case: &Case) -> Result<Vec<Reading>, Vec<LogProblem>> {
    // Some programs end a line with a carriage return alone.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text).replace("\r\n", "\n").replace('\r', "\n");
    let mut columns = None;
    let (mut readings, mut problems) = (Vec::new(), Vec::new());
    // Line by line, so that each problem has its own: a reading never needs two.
    let lines = text.lines().enumerate().map(|(number, text)| (number + 1, text.trim()));
    for (line, text) in lines.filter(|(_, text)| !text.is_empty() && !text.starts_with('#')) {
        let outcome = cells(text).and_then(|cells| row(&cells, &mut columns, case, line));
        match outcome {
            Ok(reading) => readings.extend(reading),
            Err(message) => problems.push(LogProblem { line, message }),
        }
        // Without a header nothing that follows can be understood.
        if columns.is_none() || readings.len() > MOST_ROWS || problems.len() > TOLD {
            break;
        }
    }
    if problems.is_empty() && (readings.is_empty() || readings.len() > MOST_ROWS) {
        let message = match readings.len() {
            0 => format!("the log has no reading: below the header `{}` one row each", COLUMNS.join(",")),
            _ => format!("more than {MOST_ROWS} readings: leave some out, a row each ten seconds is plenty"),
        };
        problems.push(LogProblem { line: text.lines().count().max(1), message });
    }
    if problems.is_empty() { Ok(readings) } else { Err(problems) }
}

/// Reads one reading in words: `150 C at 4 min 10 s`, or with a place `150 C at 4 min 10 s at r40`. Without a place it is
/// the middle of the heated patch.
///
/// # Errors
/// What is wrong and what to write.
pub fn reading(text: &str, case: &Case) -> Result<Reading, String> {
    const FORM: &str = "write \"150 C at 4 min 10 s\", or \"150 C at 4 min 10 s at PROBE\"";
    let parts: Vec<&str> = text.splitn(3, " at ").map(str::trim).collect();
    let (shown, time, place) = match parts[..] {
        [shown, time] => (shown, time, None),
        [shown, time, place] => (shown, time, Some(place)),
        _ => return Err(format!("\"{}\" does not say when: {FORM}", quote(text))),
    };
    let Said::Reads(celsius) = said(shown)? else {
        return Err(format!("a torch is fitted to a thermometer's reading, not to a crayon: {FORM}"));
    };
    let time_s = time_of(time)?;
    if time_s <= 0.0 {
        return Err(format!("the time of a reading counts from flame on and is more than 0 s: {FORM}"));
    }
    let (place, spot) = match place {
        Some(place) => (quote(place), spot(place, case)?),
        None => middle(case).ok_or_else(|| format!("the scenario has no heated patch: say where, {FORM}"))?,
    };
    Ok(Reading { line: None, time_s, place, spot, said: Said::Reads(celsius) })
}

/// The middle of the heated patch.
fn middle(case: &Case) -> Option<(String, Spot)> {
    let known = case.probes.iter().position(|probe| probe.name == "patch_centre");
    let spot = match known {
        Some(index) => Spot::Probe(index),
        None => {
            let [x, y] = case.torches.first()?.patch.centre();
            Spot::Place(ProbeKind::Point { at: [x, y, 0.0] })
        }
    };
    Some(("the middle of the patch".to_owned(), spot))
}

/// The cells of one line.
fn cells(line: &str) -> Result<csv::StringRecord, String> {
    let mut reader = csv::ReaderBuilder::new().trim(csv::Trim::All).has_headers(false).from_reader(line.as_bytes());
    let first = reader.records().next().and_then(Result::ok);
    first.ok_or_else(|| "this is not a row of CSV text".to_owned())
}

/// One row: the header, or a reading.
fn row(
    record: &csv::StringRecord,
    columns: &mut Option<[usize; 3]>,
    case: &Case,
    line: usize,
) -> Result<Option<Reading>, String> {
    let Some([time, place, reading]) = *columns else {
        *columns = Some(header(record)?);
        return Ok(None);
    };
    if record.iter().all(str::is_empty) {
        return Ok(None);
    }
    let cell = |column: usize, name: &str| match record.get(column) {
        Some(text) if !text.is_empty() => Ok(text),
        _ => Err(format!("the {name} is missing")),
    };
    let told = |column: usize| move |error: String| error + decimal_comma(record, column);
    let time_s = time_of(cell(time, "time")?).map_err(told(time))?;
    if time_s < 0.0 {
        return Err("a time before the start of the run: count from flame on".to_owned());
    }
    let written = cell(place, "place")?;
    let spot = spot(written, case)?;
    let said = said(cell(reading, "reading")?).map_err(told(reading))?;
    Ok(Some(Reading { line: Some(line), time_s, place: quote(written), spot, said }))
}

/// What to add to a problem where a decimal comma has parted a number: `149,5 C` makes the cells `149` and `5 C`.
fn decimal_comma(record: &csv::StringRecord, column: usize) -> &'static str {
    let ends = record.get(column).is_some_and(|cell| cell.ends_with(|letter: char| letter.is_ascii_digit()));
    let goes_on = record.get(column + 1).is_some_and(|cell| cell.starts_with(|letter: char| letter.is_ascii_digit()));
    if ends && goes_on {
        "; a decimal comma parts the columns: write 149.5 C with a point, since even in quotes 149,5 C can be read two ways"
    } else {
        ""
    }
}

/// Which column holds the time, the place and the reading.
fn header(record: &csv::StringRecord) -> Result<[usize; 3], String> {
    let mut found = [0; 3];
    for (slot, name) in found.iter_mut().zip(COLUMNS) {
        let at = record.iter().position(|cell| plain(cell) == name);
        *slot = at.ok_or_else(|| {
            let whole: Vec<&str> = record.iter().collect();
            let one = whole.len() == 1;
            let hint = match whole.first().copied().unwrap_or_default() {
                cell if one && cell.contains(';') => "; columns are parted by commas, not semicolons",
                cell if one && cell.contains('\t') => "; columns are parted by commas, not tabs",
                cell if cell.parse::<Duration>().is_ok() => "; put it on a line above this reading",
                _ => "",
            };
            format!("no column `{name}` in \"{}\": the header is time,place,reading{hint}", quote(&whole.join(",")))
        })?;
    }
    Ok(found)
}

fn time_of(text: &str) -> Result<f64, String> {
    text.parse::<Duration>().map(Duration::si).map_err(|error| error.to_string())
}

fn said(text: &str) -> Result<Said, String> {
    let celsius = |text: &str| -> Result<f64, String> {
        let celsius = text.parse::<Temperature>().map(Temperature::celsius).map_err(|error| error.to_string())?;
        if (METAL_C[0]..=METAL_C[1]).contains(&celsius) {
            return Ok(celsius);
        }
        let ends = METAL_C.map(|end| Temperature::from_celsius(end).show(Units::Both));
        Err(format!("\"{}\" is no temperature of the metal: accepted from {} to {}", quote(text), ends[0], ends[1]))
    };
    let after = |words: &str| {
        let (begin, rest) = text.split_at_checked(words.len())?;
        begin.eq_ignore_ascii_case(words).then_some(rest.trim())
    };
    if let Some(rating) = after("not melted").or_else(|| after("did not melt")) {
        return celsius(rating).map(Said::NotMelted);
    }
    match after("melted") {
        Some(rating) => celsius(rating).map(Said::Melted),
        None => celsius(text).map(Said::Reads),
    }
}

/// A probe by its name, or a place by its coordinates.
fn spot(text: &str, case: &Case) -> Result<Spot, String> {
    let known = |probe: &heat::Probe| probe.name == text || plain(&probe.name) == plain(text);
    if let Some(index) = case.probes.iter().position(known) {
        return Ok(Spot::Probe(index));
    }
    if text.to_lowercase().starts_with("x ") {
        return place(text, case).map(|at| Spot::Place(ProbeKind::Point { at }));
    }
    let names: Vec<&str> = case.probes.iter().map(|probe| probe.name.as_str()).collect();
    let help = match nearest(text, &names) {
        Some(near) => format!("did you mean `{near}`?"),
        None if names.is_empty() => "write coordinates such as x 100 mm y 50 mm, or add [probes]".to_owned(),
        None => format!("known probes: {}; or coordinates such as x 100 mm y 50 mm depth 0 mm", list(&names)),
    };
    Err(format!("no probe is called \"{}\": {help}", quote(text)))
}

/// `x 100 mm y 50 mm depth 25 mm`, the depth 0 where it is left out.
fn place(text: &str, case: &Case) -> Result<[f64; 3], String> {
    const FORM: &str = "write x 100 mm y 50 mm, or x 100 mm y 50 mm depth 25 mm";
    let mut written: [Option<String>; 3] = [None, None, None];
    let mut axis = 0;
    for word in text.split_whitespace() {
        match word.to_lowercase().as_str() {
            "x" => axis = 0,
            "y" => axis = 1,
            "depth" | "z" => axis = 2,
            _ => {
                let so_far = written[axis].get_or_insert_default();
                so_far.push_str(word);
                so_far.push(' ');
            }
        }
    }
    let length = |axis: usize| match &written[axis] {
        Some(text) => text.trim().parse::<Length>().map(Length::si).map_err(|error| error.to_string()),
        None if axis == 2 => Ok(0.0),
        None => Err(format!("\"{}\" lacks x or y: {FORM}", quote(text))),
    };
    let at = [length(0)?, length(1)?, length(2)?];
    on_metal(at, case.block.size, &case.hollows)?;
    Ok(at)
}

fn on_metal(at: [f64; 3], size: [f64; 3], hollows: &Hollows) -> Result<(), String> {
    let show = |metres: f64| Length::from_si(metres).show(Units::Both);
    for (axis, name) in ["x", "y", "depth"].into_iter().enumerate() {
        if !(0.0..=size[axis]).contains(&at[axis]) {
            let (here, end) = (show(at[axis]), show(size[axis]));
            return Err(format!("{name} = {here} lies outside the casting: {name} goes from 0 to {end}"));
        }
    }
    if hollows.leave_metal(at, size) { Ok(()) } else { Err("this place lies inside a hollow of the casting".into()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn case() -> Case {
        crate::read(crate::DEMONSTRATION, "demonstration", &[]).unwrap().case
    }

    #[test]
    fn a_log_is_read_with_its_units_places_and_crayons() {
        let text = "\u{feff}# 3 May, die 4\nPlace, time ,reading\nring_coldest,4 min 10 s,150 C\n\n\
                    x 1.2 m y 30 in depth 1 in,6 min,\"melted 300 F\"\nedge_150,5 min,Not melted 300 F\n";
        let readings = log(text, &case()).unwrap();
        assert_eq!(readings.iter().map(|r| r.line).collect::<Vec<_>>(), [Some(3), Some(5), Some(6)]);
        assert_eq!((readings[0].time_s, readings[0].said), (250.0, Said::Reads(150.0)));
        let Spot::Place(ProbeKind::Point { at }) = readings[1].spot else { panic!("{:?}", readings[1]) };
        assert!((at[1] - 0.762).abs() < 1e-12 && (at[2] - 0.0254).abs() < 1e-12);
        assert!(matches!(readings[1].said, Said::Melted(c) if (c - 148.889).abs() < 1e-3));
        assert!(matches!(readings[2].said, Said::NotMelted(_)));
    }

    #[test]
    fn lines_may_end_in_any_way() {
        for end in ["\n", "\r\n", "\r"] {
            let text = ["time,place,reading", "4 min,patch_centre,150 C", "5 min,patch_centre,160 C", ""].join(end);
            let readings = log(&text, &case()).unwrap();
            assert_eq!(readings.iter().map(|r| r.line).collect::<Vec<_>>(), [Some(2), Some(3)], "{end:?}");
        }
    }

    #[test]
    fn every_problem_of_a_log_is_told_with_its_line() {
        let text = "time,place,reading\n4 min,ring_coldst,150 C\n-2 s,patch_centre,20 C\n5 min,patch_centre,150\n\
                    6 min,x 9 m y 1 m,20 C\n7 min,patch_centre\n8 min,x 100 mm,20 C\n9,patch_centre,20 C\n\
                    10 min,patch_centre,melted 9000 C\n";
        let problems = log(text, &case()).unwrap_err();
        assert_eq!(problems.iter().map(|p| p.line).collect::<Vec<_>>(), [2, 3, 4, 5, 6, 7, 8, 9]);
        let told = problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
        for words in [
            "line 2: no probe is called \"ring_coldst\": did you mean `ring_coldest`?",
            "count from flame on",
            "write \"150 C\" or \"150 F\"",
            "x = 9.00 m (29.5 ft) lies outside the casting",
            "line 6: the reading is missing",
            "lacks x or y",
            "\"9\" has no unit",
            "is no temperature of the metal",
        ] {
            assert!(told.contains(words), "{words}: {told}");
        }
    }

    #[test]
    fn a_log_without_header_or_rows_says_what_is_due() {
        let problem = |text: &str| log(text, &case()).unwrap_err()[0].to_string();
        assert!(problem("4 min,patch_centre,150 C\n").contains("the header is time,place,reading"));
        assert!(problem("time;place;reading\n").contains("commas, not semicolons"));
        assert!(problem("time\tplace\treading\n").contains("commas, not tabs"));
        assert!(problem("4 min,patch_centre,150 C\n").contains("on a line above this reading"));
        assert!(problem("time,place,reading\n").contains("has no reading"));
        assert!(problem("").contains("has no reading"));
    }

    #[test]
    fn a_decimal_comma_that_parts_a_row_is_named() {
        let problem = |row: &str| log(&format!("time,place,reading\n{row}\n"), &case()).unwrap_err()[0].to_string();
        assert!(problem("4 min,patch_centre,149,5 C").contains("decimal comma"));
        assert!(problem("4,5 min,patch_centre,149 C").contains("even in quotes"));
        assert!(!problem("4 min,patch_centre,149").contains("decimal comma"));
        assert!(problem("4 min,patch_centre,\"149,5 C\"").contains("write \"149.5 C\""));
    }

    #[test]
    fn a_reading_in_words_has_a_place_or_is_the_middle_of_the_patch() {
        let case = case();
        let one = reading("302 F at 4 min 10 s at edge_150", &case).unwrap();
        assert_eq!((one.time_s, one.said), (250.0, Said::Reads(150.0)));
        assert_eq!(one.spot, Spot::Probe(case.probes.iter().position(|p| p.name == "edge_150").unwrap()));
        let middle = reading("150 C at 250 s", &case).unwrap();
        assert_eq!(middle.spot, Spot::Probe(case.probes.iter().position(|p| p.name == "patch_centre").unwrap()));
        for (wrong, words) in [
            ("150 C", "does not say when"),
            ("150 at 4 min", "write \"150 C\" or \"150 F\""),
            ("150 C at 0 s", "more than 0 s"),
            ("melted 150 C at 4 min", "not to a crayon"),
            ("150 C at 4 min at r40", "no probe is called \"r40\""),
        ] {
            let told = reading(wrong, &case).unwrap_err();
            assert!(told.contains(words), "{wrong}: {told}");
        }
    }
}
