//! Reading a scenario file or standard input.

use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};

use warmhold::scenario::{self, Override, Scenario};
use warmhold::study::Reading;

use crate::failure::Failure;
use crate::output::{folder_of, plain, shown};

/// Largest scenario, MB; the largest sensible one has some thousand lines.
const LIMIT_MB: u64 = 4;
/// Most files named in a hint.
const NAMED: usize = 5;

/// The scenario of a file, of standard input (`-`), or the built-in one.
pub(crate) fn scenario(file: Option<&Path>, overrides: &[Override]) -> Result<Scenario, Failure> {
    with_text(file, overrides).map(|(scenario, _)| scenario)
}

/// The same, with its text as it was read.
pub(crate) fn with_text(file: Option<&Path>, overrides: &[Override]) -> Result<(Scenario, String), Failure> {
    let Some(path) = file else {
        let text = scenario::DEMONSTRATION;
        let read = scenario::read(text, "the built-in demonstration", overrides).map_err(Failure::Scenario)?;
        return Ok((read, text.to_owned()));
    };
    let (bytes, origin) = match path.as_os_str() == "-" {
        true => (bytes(std::io::stdin().lock(), "standard input")?, "standard input".to_owned()),
        false => (bytes(open(path)?, &shown(path))?, shown(path)),
    };
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(Failure::Empty { origin });
    }
    let scenario = scenario::read_bytes(&bytes, &origin, overrides).map_err(Failure::Scenario)?;
    Ok((scenario, String::from_utf8_lossy(&bytes).into_owned()))
}

/// The readings of a log.
pub(crate) fn log(path: &Path, scenario: &Scenario) -> Result<Vec<Reading>, Failure> {
    if path.is_dir() {
        return Err(Failure::Folder { path: path.to_owned(), due: "a log of readings", hint: String::new() });
    }
    let origin = shown(path);
    let file = File::open(path).map_err(|error| match error.kind() {
        ErrorKind::NotFound => {
            let hint = "; `warmhold example --log > log.csv` writes one to start from".to_owned();
            Failure::NoSuchFile { path: path.to_owned(), hint }
        }
        _ => Failure::Unreadable { origin: origin.clone(), reason: plain(&error) },
    })?;
    let bytes = bytes(file, &origin)?;
    let text = String::from_utf8(bytes).map_err(|_| Failure::Unreadable {
        origin: origin.clone(),
        reason: "it is not UTF-8 text; save it as CSV in UTF-8".to_owned(),
    })?;
    scenario::log(&text, &scenario.case).map_err(|problems| Failure::Log { origin, problems })
}

fn open(path: &Path) -> Result<File, Failure> {
    if path.is_dir() {
        return Err(Failure::Folder { path: path.to_owned(), due: "a scenario file", hint: inside(path) });
    }
    File::open(path).map_err(|error| match error.kind() {
        ErrorKind::NotFound => Failure::NoSuchFile { path: path.to_owned(), hint: nearby(path) },
        _ => Failure::Unreadable { origin: shown(path), reason: plain(&error) },
    })
}

fn bytes(source: impl Read, origin: &str) -> Result<Vec<u8>, Failure> {
    let limit = LIMIT_MB * 1_000_000;
    let mut bytes = Vec::new();
    // One byte more than the limit shows that there is more, without reading all of it.
    source
        .take(limit + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| Failure::Unreadable { origin: origin.to_owned(), reason: plain(&error) })?;
    if bytes.len() as u64 > limit {
        return Err(Failure::TooLarge { origin: origin.to_owned(), limit_mb: LIMIT_MB });
    }
    Ok(bytes)
}

/// What may have been meant by a file that is not there.
fn nearby(path: &Path) -> String {
    let folder = folder_of(path);
    if !folder.is_dir() {
        return format!(": there is no folder {}", shown(folder));
    }
    let wanted = path.file_name().unwrap_or_default().to_string_lossy().to_lowercase();
    let scenarios = scenarios(folder);
    let distance = |name: &PathBuf| strsim::damerau_levenshtein(&wanted, &name.to_string_lossy().to_lowercase());
    match scenarios.iter().min_by_key(|name| distance(name)) {
        None => "; `warmhold example > repair.toml` writes one to start from".to_owned(),
        Some(name) if distance(name) <= wanted.chars().count() / 2 => format!(": did you mean {}?", shown(name)),
        Some(_) => format!("; here are {}", listed(&scenarios)),
    }
}

fn inside(folder: &Path) -> String {
    match scenarios(folder) {
        found if found.is_empty() => String::new(),
        found => format!("; it holds {}", listed(&found)),
    }
}

/// Names of the scenario files of a folder, sorted.
fn scenarios(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let is_scenario = |path: &PathBuf| path.extension().is_some_and(|ending| ending == "toml");
    let mut found: Vec<PathBuf> = entries.map(|entry| PathBuf::from(entry.file_name())).filter(is_scenario).collect();
    found.sort();
    found
}

fn listed(names: &[PathBuf]) -> String {
    let mut shown: Vec<String> = names.iter().take(NAMED).map(|name| shown(name)).collect();
    if names.len() > NAMED {
        shown.push("...".to_owned());
    }
    shown.join(", ")
}
