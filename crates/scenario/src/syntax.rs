//! What is said of a text that is not TOML: one message for each slip, with the line to type where it can be guessed.

use toml::de::{DeTable, Error};

use crate::diagnostic::{Diagnostic, Place, quote};
use crate::slip::{self, Mend};

/// Slips that are told at once.
const TOLD: usize = 8;
/// In longer texts only the first slip is looked at, bytes.
const LONG: usize = 200_000;
/// A longer line is not repeated as a whole, letters.
const REPEATED: usize = 110;

/// The problems of a text that the parser refuses. Each line that can be put right is, so that the next slip is found
/// behind it and none is told twice.
pub(crate) fn problems(text: &str, mut errors: Vec<Error>) -> Vec<Diagnostic> {
    if errors.is_empty() {
        return Vec::new();
    }
    let mut lines: Vec<String> = text.split('\n').map(str::to_owned).collect();
    let most = if text.len() > LONG { 1 } else { TOLD };
    let (mut told, mut last) = (Vec::new(), None);
    while let Some((number, error)) = first(&lines, &errors) {
        if told.len() == most {
            told.push(more(text, number));
            break;
        }
        let (problem, mended) = one(text, &lines, (number, error));
        told.push(problem);
        if !text.contains('=') {
            // Of a file of another kind one line is enough.
            break;
        }
        if last.is_some_and(|last| number <= last) {
            break;
        }
        let Some((changed, line)) = mended else { break };
        lines[changed] = line;
        last = Some(number);
        errors = parse(&lines);
    }
    told
}

fn parse(lines: &[String]) -> Vec<Error> {
    DeTable::parse_recoverable(&lines.join("\n")).1
}

/// The first error, with the number of its line from 0.
fn first<'a>(lines: &[String], errors: &'a [Error]) -> Option<(usize, &'a Error)> {
    let start = |error: &&Error| error.span().map_or(usize::MAX, |span| span.start);
    let error = errors.iter().min_by_key(start)?;
    Some((line_of(lines, start(&error)), error))
}

fn line_of(lines: &[String], byte: usize) -> usize {
    let mut left = byte;
    for (number, line) in lines.iter().enumerate() {
        if left <= line.len() {
            return number;
        }
        left -= line.len() + 1;
    }
    lines.len() - 1
}

/// What is said of one error, and the line that is put in place of which, to look on behind it.
fn one(text: &str, lines: &[String], (number, error): (usize, &Error)) -> (Diagnostic, Option<(usize, String)>) {
    let place = place(text, lines, (number, error));
    let found = text.get(place.start..place.end).unwrap_or_default();
    let message = format!("not TOML: {}", in_plain_words(error.message()));
    if error.message().contains("duplicate key") {
        let problem = Diagnostic::error("E002", message).at(place, "the second one");
        let before =
            earlier(text, number, found).into_iter().fold(problem, |problem, at| problem.at(at, "the first one"));
        let help = format!("`{}` stands here a second time: keep one of the two", quote(found));
        return (before.help(help), Some((number, out_of_the_way(&lines[number], number))));
    }
    if let Some((changed, mend)) = put_right(lines, number) {
        let at = if changed == number { place } else { end_of_line(text, changed) };
        let problem = Diagnostic::error("E002", message).at(at, "here").help(words(&mend));
        return (problem, Some((changed, mend.line)));
    }
    let problem = Diagnostic::error("E002", message).at(place, "here").help(general(text));
    let blank = out_of_the_way(&lines[number], number);
    let helps = is_beyond(lines, (number, &blank), number);
    (problem, helps.then_some((number, blank)))
}

/// The line, or an open one above it, put right so that the parser goes beyond it.
fn put_right(lines: &[String], number: usize) -> Option<(usize, Mend)> {
    let opened = (0..number).rev().take(3).find(|&above| opens(&lines[above]));
    [Some(number), opened].into_iter().flatten().find_map(|line| {
        let mend = slip::mend(lines[line].trim_end(), &table_at(lines, line))?;
        let good = mend.line != lines[line].trim() && is_beyond(lines, (line, &mend.line), number);
        good.then_some((line, mend))
    })
}

/// Whether more is opened than closed in a line.
fn opens(line: &str) -> bool {
    let count = |signs: [char; 2]| line.matches(signs).count();
    count(['[', '{']) > count([']', '}'])
}

/// Whether with a line in place of another the first error lies beyond a line, or there is none.
fn is_beyond(lines: &[String], (changed, line): (usize, &str), number: usize) -> bool {
    let mut lines = lines.to_vec();
    line.clone_into(&mut lines[changed]);
    let errors = parse(&lines);
    first(&lines, &errors).is_none_or(|(next, _)| next > number)
}

/// What stands in place of a line that cannot be put right; a section keeps its keys from those before it.
fn out_of_the_way(line: &str, number: usize) -> String {
    if line.trim_start().starts_with('[') { format!("[slip_{number}]") } else { String::new() }
}

/// Path of the table that a line stands in; empty above the first.
fn table_at(lines: &[String], number: usize) -> String {
    let header = lines[..number].iter().rev().find(|line| line.trim_start().starts_with('['));
    let inside = header.and_then(|line| line.trim().trim_start_matches('[').split(']').next());
    inside.unwrap_or_default().trim().to_owned()
}

/// Where an error of the changed lines stands in the text.
fn place(text: &str, lines: &[String], (number, error): (usize, &Error)) -> Place {
    let before: usize = lines[..number].iter().map(|line| line.len() + 1).sum();
    let span = error.span().unwrap_or(before..before);
    let (start, length) = line_at(text, number);
    let column = |byte: usize| start + byte.saturating_sub(before).min(length);
    Place::new(0, column(span.start)..column(span.end))
}

/// First byte and length of a line of the text.
fn line_at(text: &str, number: usize) -> (usize, usize) {
    let mut start = 0;
    for (at, line) in text.split('\n').enumerate() {
        if at == number {
            return (start, line.trim_end().len());
        }
        start += line.len() + 1;
    }
    (text.len(), 0)
}

fn end_of_line(text: &str, number: usize) -> Place {
    let (start, length) = line_at(text, number);
    Place::new(0, start + length..start + length)
}

/// Where a key or section that stands a second time in a line stood before.
fn earlier(text: &str, number: usize, found: &str) -> Option<Place> {
    let lines: Vec<&str> = text.split('\n').collect();
    let second = lines.get(number)?.trim();
    let is_section = second.starts_with('[');
    let same = |line: &str| {
        let line = line.trim_start();
        let goes_on = line.strip_prefix(found).map(|rest| rest.trim_start().starts_with(['=', '.']));
        if is_section { line.trim_end() == second } else { goes_on == Some(true) }
    };
    let above = lines[..number].iter().enumerate().rev();
    let mut in_section = above.take_while(|(_, line)| is_section || !line.trim_start().starts_with('['));
    let (at, line) = in_section.find(|(_, line)| same(line))?;
    let start = line_at(text, at).0 + line.len() - line.trim_start().len();
    Some(Place::new(0, start..start + if is_section { second.len() } else { found.len() }))
}

fn words(mend: &Mend) -> String {
    let why = mend.why.join("; ");
    match (why.is_empty(), mend.line.chars().count() > REPEATED) {
        (true, true) => "put this line right".to_owned(),
        (false, true) => why,
        (true, false) => format!("type {}", mend.line.trim()),
        (false, false) => format!("{why}: type {}", mend.line.trim()),
    }
}

/// What can be said of any text that is none.
fn general(text: &str) -> &'static str {
    if text.contains('\r') && !text.contains('\n') {
        "its lines end with a carriage return alone: save the file with line ends as on Windows or Unix"
    } else if text.contains('=') {
        "each line is a [section], a key = \"value\", or a # note"
    } else {
        "this is no scenario: `warmhold example > repair.toml` writes one to start from"
    }
}

fn more(text: &str, number: usize) -> Diagnostic {
    let (start, length) = line_at(text, number);
    Diagnostic::error("E002", "not TOML: more lines from here on")
        .at(Place::new(0, start..start + length), "and further down")
        .help("mend those above first; then the rest is told")
}

fn in_plain_words(message: &str) -> String {
    match message {
        "string values must be quoted, expected literal string" => "a text must stand in quotes".into(),
        "key with no value, expected `=`" => "a key without = and a value".into(),
        "duplicate key" => "a key stands twice".into(),
        "unexpected key or value, expected newline, `#`" => "something stands behind the value".into(),
        "unexpected leading zero, expected nothing" => "a number does not begin with 0".into(),
        _ if message.starts_with("invalid boolean") => "a bare word, neither true nor false nor in quotes".into(),
        _ if message.starts_with("invalid mantissa") => "a number needs digits before and behind its point".into(),
        _ if message.starts_with("extra `=`") => "one = too many".into(),
        _ if message.starts_with("missing assignment between") => "= is missing between a key and its value".into(),
        _ if message.starts_with("invalid basic string, expected `\"`") => "quotes that are not closed".into(),
        _ => message.replace("basic string", "text in quotes").replace("literal string", "text in quotes"),
    }
}
