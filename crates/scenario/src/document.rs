//! The scenario text and its overrides as one tree, every node with its place.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::diagnostic::{Diagnostic, Place};
use crate::overrides::Override;
use crate::syntax;

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
    problems.extend(syntax::problems(text, errors));
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
