//! `--set key.path=value`: one value put in place of what the file says.

use toml::de::DeValue;

use crate::diagnostic::{Diagnostic, Place, quote};
use crate::document::{self, Node, Value};

/// Why a `--set` is not one.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum OverrideError {
    /// No `=`.
    #[error("`{text}` has no =: write it like ring.width=100 mm")]
    NoValue {
        /// What was given.
        text: String,
    },
    /// An empty key, or an empty part of one.
    #[error("`{text}` has an empty part in its key: write it like ring.width=100 mm")]
    EmptyKey {
        /// What was given.
        text: String,
    },
}

/// One value put in place of what the file says.
#[derive(Clone, Debug)]
pub struct Override {
    text: String,
    /// Parts of the key, each with its first byte.
    path: Vec<(usize, String)>,
    /// First byte of the value.
    value_start: usize,
}

impl Override {
    /// Reads `ring.width=100 mm`. The value is TOML (`20`, `true`, `["0 s", "9 s"]`, `"100 mm"`) or else the bare
    /// text (`100 mm`); an element of a list goes by its number, from 1 (`passes.beads.1.power=2 kW`).
    ///
    /// # Errors
    /// Without `=` or with an empty part in the key. What the value means is found out by [`crate::read`].
    pub fn parse(text: &str) -> Result<Override, OverrideError> {
        let (key, value) = text.split_once('=').ok_or_else(|| OverrideError::NoValue { text: quote(text) })?;
        let mut path = Vec::new();
        let mut start = 0;
        for part in key.split('.') {
            let name = part.trim();
            if name.is_empty() {
                return Err(OverrideError::EmptyKey { text: quote(text) });
            }
            path.push((start + part.len() - part.trim_start().len(), name.to_owned()));
            start += part.len() + 1;
        }
        let value_start = text.len() - value.trim_start().len();
        Ok(Override { text: text.to_owned(), path, value_start })
    }

    /// The override as it was given.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The parts of the key.
    pub(crate) fn names(&self) -> impl Iterator<Item = &str> {
        self.path.iter().map(|(_, name)| name.as_str())
    }

    /// The value as it was written.
    pub(crate) fn written(&self) -> &str {
        self.text[self.value_start..].trim_end()
    }

    /// Puts the value into the tree; `source` is its number among the sources.
    pub(crate) fn apply(&self, root: &mut Node, source: usize) -> Result<(), Diagnostic> {
        let mut at = root;
        for (start, name) in &self.path {
            let key = Place::new(source, *start..*start + name.len());
            at = step(at, name, key)?;
        }
        let key = Place::new(source, self.path[0].0..self.text[..self.value_start].trim_end_matches(['=', ' ']).len());
        *at = self.value(source, key);
        Ok(())
    }

    fn value(&self, source: usize, key: Place) -> Node {
        let written = self.written();
        let parsed =
            DeValue::parse(written).ok().filter(|value| !written.is_empty() && value.span().end == written.len());
        match parsed {
            Some(value) => Node { key, ..document::node(None, &value, source, self.value_start) },
            None => {
                let place = Place::new(source, self.value_start..self.value_start + written.len());
                Node { key, place, value: Value::Text(written.to_owned()) }
            }
        }
    }
}

/// The child of that name, made if it is not there.
fn step<'a>(node: &'a mut Node, name: &str, key: Place) -> Result<&'a mut Node, Diagnostic> {
    let found = node.value.words();
    match &mut node.value {
        Value::Table(entries) => {
            let at = entries.iter().position(|(other, _)| other == name).unwrap_or_else(|| {
                let empty = Node { key, place: key, value: Value::Table(Vec::new()) };
                entries.push((name.to_owned(), empty));
                entries.len() - 1
            });
            Ok(&mut entries[at].1)
        }
        Value::List(items) => {
            let length = items.len();
            let number = name.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
            let item = number.and_then(|number| items.get_mut(number));
            item.ok_or_else(|| no_such_element(name, length, key))
        }
        _ => Err(Diagnostic::error("E003", format!("`{}` cannot be set inside {found}", quote(name)))
            .at(key, "nothing stands below this")
            .help("set the key above it as a whole")),
    }
}

fn no_such_element(name: &str, length: usize, key: Place) -> Diagnostic {
    let help = match length {
        0 => "the list is empty: set it as a whole".to_owned(),
        1 => "there is one, number 1".to_owned(),
        _ => format!("elements count from 1 to {length}"),
    };
    Diagnostic::error("E003", format!("the list has no element `{}`", quote(name)))
        .at(key, "no such element")
        .help(help)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_without_equals_or_key_is_refused() {
        assert!(matches!(Override::parse("ring.width"), Err(OverrideError::NoValue { .. })));
        assert!(matches!(Override::parse("ring..width=1"), Err(OverrideError::EmptyKey { .. })));
        assert!(matches!(Override::parse("=1"), Err(OverrideError::EmptyKey { .. })));
    }

    fn value(text: &str) -> Value {
        Override::parse(text).unwrap().value(1, Place::new(1, 0..1)).value
    }

    #[test]
    fn what_is_not_toml_is_bare_text() {
        let cases = [("a= 100 mm ", "100 mm"), ("a=\"100 mm\"", "100 mm"), ("a=", ""), ("a.b = = x", "= x")];
        for (written, text) in cases {
            assert!(matches!(value(written), Value::Text(found) if found == text), "{written}");
        }
    }

    #[test]
    fn toml_keeps_its_kind() {
        assert!(matches!(value("a=3"), Value::Number { whole: true, .. }));
        assert!(matches!(value("a=[1, 2]"), Value::List(items) if items.len() == 2));
    }
}
