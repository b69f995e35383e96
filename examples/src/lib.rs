//! What the numbered lessons share: reading and checking a scenario, and showing what came out.
//!
//! A lesson is a folder with a `scenario.toml`, a short `main.rs`, a `README.md` and the pictures that the program
//! draws. From the root of the workspace `cargo run --release --example NAME` runs it, and
//! `cargo run --release --example NAME -- examples/NAME` brings its pictures and the words on its page up to date.

mod page;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use warmhold::quantity::{Duration, Units};
use warmhold::{Outcome, Scenario, scenario, study};

/// What can go wrong in a lesson is told to a person and not acted upon.
pub type Result<T> = std::result::Result<T, Box<dyn std::error::Error>>;

/// What a lesson shows.
#[derive(Clone, Debug)]
pub struct Lesson {
    /// Its folder.
    pub name: &'static str,
    /// What matters, in a line or a few; the lesson's page quotes it.
    pub words: String,
    /// File name and SVG text of each picture.
    pub pictures: Vec<(&'static str, String)>,
    /// Every check, in the order of the lesson.
    pub outcomes: Vec<Outcome>,
}

impl Lesson {
    /// Every file that the lesson writes into a folder, with its text: the pictures and, where the folder has a page,
    /// that page with the words of today.
    ///
    /// # Errors
    /// When the page cannot be read or has no place for the words.
    pub fn files(&self, folder: &Path) -> Result<Vec<(PathBuf, String)>> {
        let mut files: Vec<_> =
            self.pictures.iter().map(|(file, picture)| (folder.join(file), picture.clone())).collect();
        let path = folder.join("README.md");
        if path.exists() {
            let page = page::with_words(&std::fs::read_to_string(&path)?, &self.words);
            let page = page.ok_or_else(|| format!("{} lacks the lines {:?}", path.display(), page::MARKERS))?;
            files.push((path, page));
        }
        Ok(files)
    }
}

/// Prints the words of a lesson and writes its files into the folder given as first argument, else under
/// `target/lessons/`; prints what is wrong instead, if anything is.
pub fn run(lesson: Result<Lesson>) -> ExitCode {
    let folder = std::env::args_os().nth(1).map(PathBuf::from);
    match lesson.and_then(|lesson| show(&lesson, folder)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}

fn show(lesson: &Lesson, folder: Option<PathBuf>) -> Result<()> {
    let folder = folder.unwrap_or_else(|| Path::new("target/lessons").join(lesson.name));
    std::fs::create_dir_all(&folder)?;
    println!("{}", lesson.words);
    for (path, text) in lesson.files(&folder)? {
        std::fs::write(&path, text)?;
        println!("written: {}", path.display());
    }
    Ok(())
}

/// Reads a scenario with some values replaced, each written as `key=value`.
///
/// # Errors
/// Every problem of the scenario at once.
pub fn read(text: &str, changes: &[&str]) -> Result<Scenario> {
    let changes = changes.iter().map(|change| scenario::Override::parse(change));
    let changes = changes.collect::<std::result::Result<Vec<_>, _>>()?;
    Ok(scenario::read(text, "scenario.toml", &changes)?)
}

/// Reads a scenario and checks it.
///
/// # Errors
/// Every problem of the scenario, or that the engine could not solve it.
pub fn check(text: &str, changes: &[&str]) -> Result<Outcome> {
    let scenario = read(text, changes)?;
    Ok(study::check(&scenario.case, &scenario.question, &|_share_done| true)?)
}

/// When a watched probe fell below a limit after the first flame: a time with its numerical error, s.
///
/// # Errors
/// When it is not watched, or stayed above the limit.
pub fn fall(outcome: &Outcome, probe: &str, limit_c: f64) -> Result<(f64, f64)> {
    const SAME_K: f64 = 1e-6;
    let wanted = |c: &&study::Crossing| c.probe == probe && (c.limit_c - limit_c).abs() < SAME_K;
    let crossing = outcome.crossings.iter().find(wanted);
    let time = crossing.and_then(|crossing| Some((crossing.after_off_s?, crossing.error_s?)));
    time.ok_or_else(|| format!("{probe} never fell below {limit_c} C").into())
}

/// The outcome with a minimum for the pictures to draw, of a scenario that only watches a limit.
pub fn with_minimum(outcome: Outcome, minimum_c: f64) -> Outcome {
    let window = study::WindowC { minimum_c, maximum_interpass_c: f64::INFINITY, surface_limit_c: None };
    Outcome { window: Some(window), ..outcome }
}

/// A duration as people read it.
pub fn duration(seconds: f64) -> String {
    Duration::from_si(seconds).show(Units::Metric)
}

/// A duration with its numerical error, which is rounded up to a tenth of a second.
pub fn with_error((seconds, error_s): (f64, f64)) -> String {
    format!("{} ± {:.1} s", duration(seconds), (10.0 * error_s).ceil() / 10.0)
}
