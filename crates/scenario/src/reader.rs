//! Walks the tree once against the table of keys, and keeps every good value under its path.
//!
//! A value that is missing or wrong reads as NaN afterwards: its problem has been reported, and every later
//! comparison with it is false, so that nothing is reported twice.

use std::collections::BTreeMap;

use crate::diagnostic::{Diagnostic, Place, Severity, quote};
use crate::document::{Node, Value};
use crate::keys::{self, Key, Kind, leaf};
use crate::words::{canonical, list, nearest};

/// A checked value.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Typed {
    /// SI, Celsius.
    Number(f64),
    /// One plus the per cent off a nominal value.
    Factor(f64),
    /// A gas rate by volume, m3/s.
    Volume(f64),
    Text(String),
    Flag(bool),
    /// The middle of the face.
    Middle,
    Table,
    List(usize),
}

#[derive(Debug)]
struct Entry {
    key: Place,
    place: Place,
    /// None where a problem has been reported.
    value: Option<Typed>,
}

/// The values of a scenario by path, and the problems found so far.
#[derive(Debug, Default)]
pub(crate) struct Reader {
    entries: BTreeMap<String, Entry>,
    problems: Vec<Diagnostic>,
    /// Paths reported as missing, or that an unknown key probably meant: not reported again.
    settled: Vec<String>,
    end: usize,
}

impl Reader {
    /// Checks the whole tree of a text of `end` bytes.
    pub(crate) fn new(root: &Node, end: usize, problems: Vec<Diagnostic>) -> Self {
        let mut reader = Reader { problems, end, ..Reader::default() };
        reader.walk("", root);
        reader
    }

    pub(crate) fn report(&mut self, problem: Diagnostic) {
        self.problems.push(problem);
    }

    pub(crate) fn has_errors(&self) -> bool {
        self.problems.iter().any(|problem| problem.severity == Severity::Error)
    }

    pub(crate) fn into_problems(self) -> Vec<Diagnostic> {
        self.problems
    }

    /// Whether something stands at the path, right or wrong.
    pub(crate) fn has(&self, path: &str) -> bool {
        self.entries.contains_key(path)
    }

    pub(crate) fn typed(&self, path: &str) -> Option<&Typed> {
        self.entries.get(path)?.value.as_ref()
    }

    /// A number; NaN where it is missing or wrong.
    pub(crate) fn number(&self, path: &str) -> f64 {
        match self.typed(path) {
            Some(Typed::Number(value)) => *value,
            _ => f64::NAN,
        }
    }

    /// A number that need not be there; NaN where it is wrong.
    pub(crate) fn optional(&self, path: &str) -> Option<f64> {
        self.has(path).then(|| self.number(path))
    }

    /// A whole number; 0 where it is missing or wrong.
    pub(crate) fn count(&self, path: &str) -> usize {
        self.number(path) as usize
    }

    pub(crate) fn text(&self, path: &str) -> Option<&str> {
        match self.typed(path) {
            Some(Typed::Text(text)) => Some(text),
            _ => None,
        }
    }

    pub(crate) fn flag(&self, path: &str) -> Option<bool> {
        match self.typed(path) {
            Some(Typed::Flag(flag)) => Some(*flag),
            _ => None,
        }
    }

    /// Number of elements of a list; 0 where it is missing or wrong.
    pub(crate) fn len(&self, path: &str) -> usize {
        match self.typed(path) {
            Some(Typed::List(length)) => *length,
            _ => 0,
        }
    }

    /// Names of the good tables right below a path, in the order of the file.
    pub(crate) fn tables_below(&self, path: &str) -> Vec<String> {
        let prefix = format!("{path}.");
        let below = self.entries.range(prefix.clone()..).take_while(|(key, _)| key.starts_with(&prefix));
        let direct =
            below.filter(|(key, entry)| !key[prefix.len()..].contains('.') && entry.value == Some(Typed::Table));
        let mut found: Vec<(Place, String)> =
            direct.map(|(key, entry)| (entry.key, key[prefix.len()..].to_owned())).collect();
        found.sort();
        found.into_iter().map(|(_, name)| name).collect()
    }

    /// Where the value at a path stands; the end of the file if there is none.
    pub(crate) fn place(&self, path: &str) -> Place {
        self.entries.get(path).map_or(Place::new(0, self.end..self.end), |entry| entry.place)
    }

    /// Where the key of a path stands, or of the nearest table above that is there.
    pub(crate) fn key_place(&self, path: &str) -> Place {
        match (self.entries.get(path), path.rsplit_once('.')) {
            (Some(entry), _) => entry.key,
            (None, Some((parent, _))) => self.key_place(parent),
            (None, None) => Place::new(0, self.end..self.end),
        }
    }

    /// Reports that a key is missing; `why` says when it is needed.
    pub(crate) fn missing(&mut self, path: &str, why: &str) {
        if self.settled.iter().any(|settled| settled == path) {
            return;
        }
        self.settled.push(path.to_owned());
        let (parent, name) = path.rsplit_once('.').unwrap_or(("", path));
        let (example, doc) = keys::key(path).map_or(("...", ""), |key| (key.example, key.doc));
        let message = match parent {
            "" => format!("the scenario has no [{name}]{why}"),
            _ => format!("{} has no `{name}`{why}", keys::in_words(parent, ['`', '`'])),
        };
        let add = match (parent, keys::key(path).map(|key| key.kind)) {
            ("", Some(Kind::Table)) => table_lines(name, example),
            _ => format!("{name} = {example}"),
        };
        let problem = Diagnostic::error("E004", message)
            .at(self.key_place(path), if parent.is_empty() { "add it" } else { "add it here" })
            .help(format!("for example {add}  ({})", doc.trim_end_matches('.')));
        self.report(problem);
    }

    /// Reports that at most one of some keys may stand; true if so.
    pub(crate) fn clash(&mut self, code: &'static str, paths: &[String], message: &str) -> bool {
        let present = paths.iter().filter(|path| self.has(path));
        let mut places: Vec<Place> = present.map(|path| self.key_place(path)).collect();
        places.sort();
        let Some((last, before)) = places.split_last().filter(|(_, before)| !before.is_empty()) else { return false };
        let problem = Diagnostic::error(code, message).at(*last, "this one, and").help("keep one of them");
        let problem = before.iter().fold(problem, |problem, place| problem.at(*place, "this one"));
        self.report(problem);
        true
    }

    fn walk(&mut self, path: &str, node: &Node) {
        let Value::Table(entries) = &node.value else { return };
        for (name, child) in entries {
            let full = if path.is_empty() { name.clone() } else { format!("{path}.{name}") };
            match keys::key(&full) {
                Some(key) if !name.contains('.') => self.take(&full, key, child),
                _ => self.unknown(path, name, child),
            }
        }
        for key in keys::children(path).filter(|key| key.required) {
            let full = if path.is_empty() { leaf(key).to_owned() } else { format!("{path}.{}", leaf(key)) };
            if !self.has(&full) {
                self.missing(&full, "");
            }
        }
    }

    fn take(&mut self, path: &str, key: &'static Key, node: &Node) {
        match (key.kind, &node.value) {
            (Kind::Table | Kind::TimeOrTable(_), Value::Table(_)) => {
                self.keep(path, node, Some(Typed::Table));
                self.walk(path, node);
            }
            (Kind::Tables, Value::List(items)) => {
                self.keep(path, node, Some(Typed::List(items.len())));
                items
                    .iter()
                    .enumerate()
                    .for_each(|(number, item)| self.take_element(&format!("{path}.{number}"), item));
            }
            (Kind::Quantities(..) | Kind::Coordinates(..) | Kind::Spans | Kind::Range(..) | Kind::ShareRange, _) => {
                self.take_list(path, key, node);
            }
            (Kind::Table, Value::List(items)) if items.iter().all(|item| matches!(item.value, Value::Table(_))) => {
                self.wrong_brackets(path, node, ["a section", "a list of them", "[", "]"]);
            }
            (Kind::Tables, Value::Table(_)) => {
                self.wrong_brackets(path, node, ["a list of sections", "one section", "[[", "]]"]);
            }
            _ => {
                let value = self.value(key, node);
                self.keep(path, node, value);
            }
        }
    }

    /// One pair of brackets where two are due, or the other way round.
    fn wrong_brackets(&mut self, path: &str, node: &Node, [due, found, open, close]: [&str; 4]) {
        // What is put in place of a value has no brackets of its own.
        let help = match (node.key.source, keys::key(path)) {
            (1.., Some(key)) => format!("no element of it is in the file: set it as a whole, {path}={}", key.example),
            _ => format!("write {open}{path}{close}"),
        };
        let problem = Diagnostic::error("E007", format!("`{path}` is {due}, and {found} stands here"))
            .at(node.key, "brackets")
            .help(help);
        self.report(problem);
        self.keep(path, node, None);
    }

    fn take_element(&mut self, path: &str, item: &Node) {
        if matches!(item.value, Value::Table(_)) {
            self.keep(path, item, Some(Typed::Table));
            self.walk(path, item);
        } else {
            self.wrong_kind(item, "a table in braces", "{ probe = \"r40\", below = \"150 C\" }");
            self.keep(path, item, None);
        }
    }

    fn take_list(&mut self, path: &str, key: &'static Key, node: &Node) {
        let Value::List(items) = &node.value else {
            self.wrong_kind(node, "a list", key.example);
            return self.keep(path, node, None);
        };
        let due = match key.kind {
            Kind::Coordinates(due, _) => due,
            Kind::Range(..) | Kind::ShareRange => 2,
            _ => items.len(),
        };
        if items.len() != due {
            self.wrong_length(key, node, due, items.len());
            return self.keep(path, node, None);
        }
        self.keep(path, node, Some(Typed::List(items.len())));
        for (number, item) in items.iter().enumerate() {
            self.take_item(&format!("{path}.{number}"), number, key, item);
        }
    }

    fn take_item(&mut self, path: &str, number: usize, key: &'static Key, item: &Node) {
        if key.kind != Kind::Spans {
            let value = self.item(number, key, item);
            return self.keep(path, item, value);
        }
        let Value::List(pair) = &item.value else {
            self.wrong_kind(item, "a pair of times", "[\"0 s\", \"300 s\"]");
            return self.keep(path, item, None);
        };
        if pair.len() != 2 {
            self.wrong_length(key, item, 2, pair.len());
            return self.keep(path, item, None);
        }
        self.keep(path, item, Some(Typed::List(2)));
        for (end, time) in pair.iter().enumerate() {
            let value = self.item(end, key, time);
            self.keep(&format!("{path}.{end}"), time, value);
        }
    }

    fn wrong_length(&mut self, key: &Key, node: &Node, due: usize, found: usize) {
        let problem = Diagnostic::error("E007", format!("`{}` takes {due} values; {found} found", leaf(key)))
            .at(node.place, format!("{due} values are due"))
            .help(format!("write it like {}", key.example));
        self.report(problem);
    }

    pub(crate) fn wrong_kind(&mut self, node: &Node, due: &str, example: &str) {
        let problem = Diagnostic::error("E007", format!("{due} is due here; {} found", node.value.words()))
            .at(node.place, format!("{due} is due"))
            .help(format!("write it like {example}"));
        self.report(problem);
    }

    fn keep(&mut self, path: &str, node: &Node, value: Option<Typed>) {
        self.entries.insert(path.to_owned(), Entry { key: node.key, place: node.place, value });
    }

    fn unknown(&mut self, path: &str, name: &str, node: &Node) {
        if path == "probes" {
            return self.report(crate::probes::bad_name(name, node.key));
        }
        let here: Vec<&str> = keys::children(path).map(leaf).filter(|name| *name != "*").collect();
        let known: Vec<&str> = here.iter().chain(keys::names_at(path)).copied().collect();
        let place = if path.is_empty() { "a scenario".to_owned() } else { keys::in_words(path, ['[', ']']) };
        let near = nearest(name, &known);
        self.settled.extend(near.map(|near| if path.is_empty() { near.to_owned() } else { format!("{path}.{near}") }));
        let help = match (near, elsewhere(name)) {
            (Some(near), _) => format!("did you mean `{near}`?"),
            (None, Some(parent)) => format!("`{name}` belongs in [{parent}]"),
            (None, None) if is_path(name) => format!("write it like {}", parts(name).join(".")),
            (None, None) => format!("known here: {}", list(&known)),
        };
        let problem = Diagnostic::error("E003", format!("{place} has no key `{}`", quote(name)))
            .at(node.key, "unknown key")
            .help(help);
        self.report(problem);
    }

    /// One of a fixed set of words, in its proper spelling.
    pub(crate) fn choice(&mut self, words: &[&'static str], written: &str, place: Place) -> Option<Typed> {
        if let Some(word) = canonical(written, words) {
            return Some(Typed::Text(word.to_owned()));
        }
        let help = match nearest(written, words) {
            Some(near) => format!("did you mean \"{near}\"? Known: {}", list(words)),
            None => format!("known: {}", list(words)),
        };
        self.report(
            Diagnostic::error("E013", format!("\"{}\" is not known here", quote(written))).at(place, "").help(help),
        );
        None
    }
}

/// The parts of a key that was parted by blanks or brackets: `[window] minimum`.
fn parts(name: &str) -> Vec<&str> {
    name.split(['[', ']', ' ', '/', '>']).filter(|part| !part.is_empty()).collect()
}

fn is_path(name: &str) -> bool {
    parts(name).len() > 1 && keys::key(&parts(name).join(".")).is_some()
}

/// A table of the format that has a key of that name, if only one does.
fn elsewhere(name: &str) -> Option<&'static str> {
    let mut parents = keys::keys().iter().filter(|key| leaf(key) == name).filter_map(|key| key.path.rsplit_once('.'));
    let (parent, _) = parents.next()?;
    (!parent.contains(['*', '#'])).then_some(parent)
}

/// An inline table as the lines of a table of its own.
fn table_lines(name: &str, example: &str) -> String {
    match name {
        "patch" | "torch" | "schedule" | "output" | "probes" => format!("{name} = {example}"),
        _ => format!("[{name}] with {}", example.trim_matches(['{', '}', ' '])),
    }
}
