//! The scenario text and its overrides as one tree, every node with its place.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::diagnostic::{Diagnostic, Place, quote};
use crate::overrides::Override;

/// A value and where it stands.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    /// The key, or the value itself where it has none.
    pub(crate) key: Place,
    /// The value.
    pub(crate) place: Place,
    pub(crate) value: Value,
}

#[derive(Clone, Debug)]
pub(crate) enum Value {
    Text(String),
    /// A bare number, as written and as read.
    Number {
        written: String,
        value: f64,
        whole: bool,
    },
    Flag(bool),
    Date,
    List(Vec<Node>),
    /// In the order of the file.
    Table(Vec<(String, Node)>),
}

impl Value {
    /// What it is, in words.
    pub(crate) fn words(&self) -> &'static str {
        match self {
            Value::Text(_) => "a text",
            Value::Number { whole: true, .. } => "a whole number",
            Value::Number { .. } => "a number",
            Value::Flag(_) => "true or false",
            Value::Date => "a date",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
        }
    }
}

/// Reads the text and lays the overrides over it; problems of either are added to the list.
pub(crate) fn parse(text: &str, overrides: &[Override], problems: &mut Vec<Diagnostic>) -> Node {
    let (table, errors) = DeTable::parse_recoverable(text);
    problems.extend(errors.iter().map(|error| syntax(text, error)));
    // One slip makes the parser stumble more than once on its line.
    problems.dedup_by_key(|problem| line_start(text, problem.spans[0].place.start));
    let place = Place::new(0, 0..0);
    let mut root = Node { key: place, place, value: table_of(table.get_ref(), 0, 0) };
    for (number, change) in overrides.iter().enumerate() {
        if let Err(problem) = change.apply(&mut root, number + 1) {
            problems.push(problem);
        }
    }
    root
}

/// A value of the parser, in the source numbered `source`, shifted by `shift` bytes.
pub(crate) fn node(
    key: Option<std::ops::Range<usize>>,
    value: &Spanned<DeValue<'_>>,
    source: usize,
    shift: usize,
) -> Node {
    let place = |range: std::ops::Range<usize>| Place::new(source, range.start + shift..range.end + shift);
    let own = place(value.span());
    let value = match value.get_ref() {
        DeValue::String(text) => Value::Text(text.to_string()),
        DeValue::Integer(number) => Value::Number {
            written: number.to_string(),
            value: whole_number(number.as_str(), number.radix()),
            whole: true,
        },
        DeValue::Float(number) => Value::Number {
            written: number.to_string(),
            value: number.as_str().parse().unwrap_or(f64::NAN),
            whole: false,
        },
        DeValue::Boolean(flag) => Value::Flag(*flag),
        DeValue::Datetime(_) => Value::Date,
        DeValue::Array(list) => Value::List(list.iter().map(|item| node(None, item, source, shift)).collect()),
        DeValue::Table(table) => table_of(table, source, shift),
    };
    Node { key: key.map_or(own, place), place: own, value }
}

fn whole_number(digits: &str, radix: u32) -> f64 {
    match radix {
        10 => digits.parse().unwrap_or(f64::NAN),
        _ => i64::from_str_radix(digits, radix).map_or(f64::NAN, |number| number as f64),
    }
}

fn table_of(table: &DeTable<'_>, source: usize, shift: usize) -> Value {
    let entry = |(key, value): (&Spanned<_>, &Spanned<DeValue<'_>>)| {
        let name: &std::borrow::Cow<'_, str> = key.get_ref();
        (name.to_string(), node(Some(key.span()), value, source, shift))
    };
    let mut entries: Vec<(String, Node)> = table.iter().map(entry).collect();
    entries.sort_by_key(|(_, node)| node.key);
    Value::Table(entries)
}

/// A syntax error in plain words.
fn syntax(text: &str, error: &toml::de::Error) -> Diagnostic {
    let range = error.span().unwrap_or(text.len()..text.len());
    let line = line_around(text, range.start);
    let found = text.get(range.clone()).unwrap_or_default();
    let place = Place::new(0, range);
    let problem = Diagnostic::error("E002", format!("not TOML: {}", in_plain_words(error.message()))).at(place, "here");
    match syntax_help(error.message(), line, found) {
        Some(help) => problem.help(help),
        None => problem,
    }
}

fn in_plain_words(message: &str) -> String {
    match message {
        "string values must be quoted, expected literal string" => "a text must stand in quotes".into(),
        "key with no value, expected `=`" => "a key without = and a value".into(),
        _ if message.starts_with("invalid boolean") => "a bare word, neither true nor false nor in quotes".into(),
        _ => message.replace("basic string", "text in quotes").replace("literal string", "text in quotes"),
    }
}

/// First byte of the line that holds a byte.
fn line_start(text: &str, at: usize) -> usize {
    let before = text.as_bytes().iter().take(at).rposition(|byte| *byte == b'\n');
    before.map_or(0, |at| at + 1)
}

/// The line that holds a byte.
fn line_around(text: &str, at: usize) -> &str {
    text[line_start(text, at)..].lines().next().unwrap_or_default().trim_end()
}

fn syntax_help(message: &str, line: &str, found: &str) -> Option<String> {
    if message.contains("duplicate key") {
        return Some(format!("`{}` stands here a second time: keep one of the two", quote(found)));
    }
    if message.contains("unclosed") {
        return Some("close what was opened: every [ needs its ], every { its }".into());
    }
    let value = line.split_once('=').map(|(_, value)| value.split('#').next().unwrap_or(value).trim())?;
    if value.is_empty() {
        return Some("a value is missing after the =".into());
    }
    match value.chars().next()? {
        '"' | '\'' => Some("close the quotes on the same line".into()),
        '[' | '{' => Some("every text in it goes in quotes: [\"60 s\", \"150 s\"]".into()),
        _ => Some(format!("a text or a number with its unit goes in quotes: \"{}\"", quote(value))),
    }
}
