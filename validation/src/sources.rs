//! The list of sources, and the search for keys that are cited and not listed.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Letters that begin a key; one or two digits follow, and for P4b a letter.
const PREFIXES: [&str; 22] = [
    "A", "AR", "C", "CR", "CS", "D", "DI", "E", "EL", "F", "FU", "FX", "GI", "H", "K", "N", "P", "R", "ST", "T", "TP",
    "Y",
];
/// Kinds of file in which a key can be cited.
const KINDS: [&str; 4] = ["rs", "md", "toml", "csv"];
/// Places of the project in which they are looked for.
const PLACES: [&str; 7] = ["crates", "examples", "tests", "benches", "validation", "README.md", "DEVELOPERS.md"];

/// One line of the list.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Key, or name as cited.
    pub key: String,
    /// Where it comes from.
    pub title: String,
    /// What it gives.
    pub gives: String,
    /// `read`, `computed`, `memory`, `practice`, the strongest claim first.
    pub status: String,
}

/// A key cited somewhere.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Citation {
    /// The key.
    pub key: String,
    /// File and line.
    pub place: String,
}

/// The list as text.
pub const LIST: &str = include_str!("../SOURCES.md");

/// Every source of the list, keys and names.
pub fn sources() -> Vec<Source> {
    let row = |cells: Vec<&str>| match cells[..] {
        [key, title, gives, status] => Some(Source {
            key: key.to_owned(),
            title: title.to_owned(),
            gives: gives.to_owned(),
            status: status.to_owned(),
        }),
        _ => None,
    };
    rows().filter_map(row).filter(|source| source.key != "key" && source.key != "name").collect()
}

/// Words that look like keys and are none.
pub fn lookalikes() -> BTreeSet<String> {
    rows().filter(|cells| cells.len() == 2).map(|cells| cells[0].to_owned()).collect()
}

fn rows() -> impl Iterator<Item = Vec<&'static str>> {
    let cells = |line: &'static str| line.trim_matches('|').split('|').map(str::trim).collect::<Vec<_>>();
    LIST.lines().filter(|line| line.starts_with("| ")).map(cells)
}

/// Every key cited in the project below `root`.
pub fn citations(root: &Path) -> Vec<Citation> {
    let mut found = Vec::new();
    for (file, text) in files(root) {
        for (number, line) in text.lines().enumerate() {
            let place = format!("{}:{}", file.display(), number + 1);
            found.extend(keys(line).map(|key| Citation { key: key.to_owned(), place: place.clone() }));
        }
    }
    found.sort();
    found
}

/// Places in Rust files where a `Source:` names neither a listed key nor a listed name.
pub fn unnamed_sources(root: &Path) -> Vec<String> {
    let listed: Vec<String> = sources().into_iter().map(|source| source.key).collect();
    let mut found = Vec::new();
    for (file, text) in files(root).into_iter().filter(|(file, _)| file.extension().is_some_and(|e| e == "rs")) {
        let lines: Vec<&str> = text.lines().map(str::trim).collect();
        for (number, line) in lines.iter().enumerate().filter(|(_, line)| is_source_line(line)) {
            let comment = lines[number..].iter().take_while(|line| line.len() > 3 && line.starts_with("//"));
            let words = comment.copied().collect::<Vec<_>>().join(" ");
            let words = words.split_once("Source").map_or("", |(_, rest)| rest);
            let named = keys(words).any(|key| listed.iter().any(|known| known == key))
                || listed.iter().any(|known| known.len() > 2 && words.contains(known.as_str()))
                || ["as [`", "as there", "definition", "elementary", "superposition"].iter().any(|w| words.contains(w));
            if !named {
                found.push(format!("{}:{}: {line}", file.display(), number + 1));
            }
        }
    }
    found
}

fn is_source_line(line: &str) -> bool {
    line.starts_with("//") && (line.contains("Source: ") || line.contains("Source of the transform"))
}

/// The keys in a line of text.
fn keys(line: &str) -> impl Iterator<Item = &str> {
    line.split(|c: char| !(c.is_ascii_alphanumeric() || c == '_')).filter(|word| is_key(word))
}

fn is_key(word: &str) -> bool {
    let letters = word.trim_end_matches('b').trim_end_matches(|c: char| c.is_ascii_digit());
    let digits = word.trim_end_matches('b').len() - letters.len();
    let suffix = word.len() - letters.len() - digits;
    (1..=2).contains(&digits) && suffix <= 1 && PREFIXES.contains(&letters)
}

/// Text files of the project in which keys are cited, with their text.
fn files(root: &Path) -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    PLACES.iter().for_each(|place| gather(&root.join(place), &mut found));
    let read = |path: PathBuf| {
        let text = std::fs::read_to_string(&path).ok()?;
        Some((path.strip_prefix(root).unwrap_or(&path).to_owned(), text))
    };
    found.into_iter().filter_map(read).collect()
}

fn gather(path: &Path, found: &mut Vec<PathBuf>) {
    if path.is_dir() {
        let entries = std::fs::read_dir(path).into_iter().flatten().flatten();
        return entries.for_each(|entry| gather(&entry.path(), found));
    }
    let kind = path.extension().and_then(|kind| kind.to_str()).unwrap_or_default();
    if KINDS.contains(&kind) && !path.ends_with("SOURCES.md") {
        found.push(path.to_owned());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_told_from_other_words() {
        let line = "P4b and GI5 (N2), not P3_t60, GJL-250, ROS2, E012, 1E2, H2SO4 or P123";
        assert_eq!(keys(line).collect::<Vec<_>>(), ["P4b", "GI5", "N2"]);
    }
}
