//! `page`: a few castings side by side, moving.

use std::path::Path;

use warmhold::report::html;
use warmhold::study::{Film, Outcome};

use super::check::solve;
use super::paper::tell;
use crate::failure::Failure;
use crate::paper_args::Page;
use crate::{input, output, run};

/// Places along each side of a map, and instants: four castings stay under five megabytes.
const MAPS: (usize, usize) = (61, 60);

/// Writes the page.
pub(crate) fn run(page: &Page) -> Result<u8, Failure> {
    if !(2..=4).contains(&page.files.len()) {
        let fault = format!("{} scenarios: a page shows two to four side by side", page.files.len());
        return Err(Failure::Options { faults: vec![fault], hint: "" });
    }
    if !page.name.is_empty() && page.name.len() != page.files.len() {
        let fault = format!("--name: {} names for {} scenarios; give one for each", page.name.len(), page.files.len());
        return Err(Failure::Options { faults: vec![fault], hint: "" });
    }
    output::must_be_a_page(&page.out)?;
    output::must_be_free(&page.out, page.force)?;
    run::use_threads(page.show.threads)?;
    // What is wrong with the last scenario is told before the first is computed.
    let scenarios = page.files.iter().map(|file| input::scenario(Some(file), &page.set));
    let scenarios = scenarios.collect::<Result<Vec<_>, Failure>>()?;
    let names = names(page)?;
    let mut answers: Vec<(Outcome, Film)> = Vec::new();
    for scenario in &scenarios {
        let outcome = solve(scenario, &page.show)?;
        if outcome.interrupted {
            return Err(Failure::Interrupted);
        }
        let film = run::film(scenario, &outcome, MAPS)?.ok_or(Failure::NothingToMap)?;
        answers.push((outcome, film));
    }
    let dies: Vec<html::Die> =
        names.iter().zip(&answers).map(|(name, (outcome, film))| html::Die { name, outcome, film }).collect();
    let text = html::page(&dies, page.show.units.into())?;
    output::write_file(&page.out, text.as_bytes(), page.force)?;
    let outcomes: Vec<(&str, &Outcome)> =
        names.iter().zip(&answers).map(|(name, (outcome, _))| (name.as_str(), outcome)).collect();
    tell(("page", &page.out, text.len()), &outcomes, &page.show)
}

/// As given, or made from the files' names; two castings of one name could not be told apart.
fn names(page: &Page) -> Result<Vec<String>, Failure> {
    if !page.name.is_empty() {
        return Ok(page.name.clone());
    }
    let alike = |names: &[String]| names.iter().enumerate().any(|(n, name)| names[..n].contains(name));
    let short: Vec<String> = page.files.iter().map(|file| short_name(file)).collect();
    if !alike(&short) {
        return Ok(short);
    }
    let long: Vec<String> =
        page.files.iter().zip(&short).map(|(file, short)| format!("{} {short}", folder(file))).collect();
    if alike(&long) {
        let fault = format!("the castings would all be called {}: give each a name, --name A --name B", short[0]);
        return Err(Failure::Options { faults: vec![fault], hint: "" });
    }
    Ok(long)
}

fn folder(file: &Path) -> String {
    file.parent().and_then(Path::file_name).map(|folder| spoken(&folder.to_string_lossy())).unwrap_or_default()
}

/// The name of the file; of a lesson, which are all called alike, that of its folder.
fn short_name(file: &Path) -> String {
    let stem = spoken(&file.file_stem().unwrap_or_default().to_string_lossy());
    if stem == "scenario" && !folder(file).is_empty() { folder(file) } else { stem }
}

/// Without the number that only sorts it.
fn spoken(name: &str) -> String {
    let spoken = name.replace(['_', '-'], " ");
    let bare = spoken.trim_start_matches(|letter: char| letter.is_ascii_digit() || letter == ' ');
    if bare.is_empty() { spoken } else { bare.to_owned() }
}
