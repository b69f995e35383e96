//! `rules`: the same repair over die masses, sections, widths and soaks; resumable and in parts.

use std::fs::{File, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use warmhold::report;
use warmhold::report::plot::Answer;
use warmhold::scenario::Scenario;
use warmhold::study::rules::{self, Head, Rule, Table, Todo, Wishes};

use super::check::{Picture, draw_into, picture, style, tell_built_in};
use crate::ask::Rules;
use crate::failure::Failure;
use crate::output::{plain, shown};
use crate::{INTERRUPTED, input, output, run};

/// Answers; the exit code is 0 for a finished table or part.
pub(crate) fn run(asked: &Rules) -> Result<u8, Failure> {
    let format = asked.plot.as_deref().map(picture).transpose()?;
    for path in asked.markdown.iter().chain(&asked.csv).chain(&asked.plot) {
        output::must_be_free(path, asked.force)?;
    }
    run::use_threads(asked.show.threads)?;
    if let Some((first, others)) = asked.merge.split_first() {
        return show(&merged(first, others)?, asked, format);
    }
    let scenario = input::scenario(asked.about.file.as_deref(), &asked.about.set)?;
    let head = rules::head(&scenario.case, &scenario.question, &wishes(asked)).map_err(run::refused)?;
    let (mut journal, kept) = match &asked.resume_from {
        Some(path) => Journal::open(path, &head).map(|(journal, kept)| (Some(journal), kept))?,
        None => (None, Vec::new()),
    };
    let todo = Todo { done: kept.iter().map(|rule| rule.number).collect(), part: asked.part };
    let fresh = run::timed(&asked.show, || finish(&scenario, &head, &todo, journal.as_mut()))?;
    tell_built_in(asked.about.file.as_deref());
    let rules: Vec<Rule> = kept.into_iter().chain(fresh).collect();
    if run::stopped() {
        output::complain(&stopped_words(rules.len(), head.cells(), asked.resume_from.as_deref()));
        return Ok(INTERRUPTED);
    }
    match (asked.part, &asked.resume_from) {
        (Some([part, parts]), Some(path)) => {
            let path = shown(path);
            output::print(&format!(
                "Part {part} of {parts} is in {path}: warmhold rules --merge {path} ... makes the table of all.\n"
            ))
        }
        _ => show(&table(head, rules)?, asked, format),
    }
}

fn wishes(asked: &Rules) -> Wishes {
    let list = |list: &Option<crate::ask::List>| list.as_ref().map(|list| list.0.clone()).unwrap_or_default();
    Wishes {
        masses_kg: list(&asked.masses),
        sections_m: list(&asked.sections),
        widths_m: list(&asked.widths),
        soaks_s: list(&asked.soaks),
    }
}

fn finish(scenario: &Scenario, head: &Head, todo: &Todo, journal: Option<&mut Journal>) -> Result<Vec<Rule>, Failure> {
    let broken: Mutex<Option<Failure>> = Mutex::new(None);
    let journal = Mutex::new(journal);
    let finished = |rule: &Rule| {
        let mut journal = journal.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(Err(failure)) = journal.as_mut().map(|journal| journal.add(&report::journal_line(rule))) {
            *broken.lock().unwrap_or_else(PoisonError::into_inner) = Some(failure);
        }
    };
    let rules = run::watching(|keep_going| {
        rules::answer((&scenario.case, &scenario.question), head, todo, &finished, keep_going)
    })?;
    match broken.into_inner().unwrap_or_else(PoisonError::into_inner) {
        Some(failure) => Err(failure),
        None => Ok(rules),
    }
}

fn stopped_words(done: usize, all: usize, journal: Option<&Path>) -> String {
    match journal {
        Some(path) => format!(
            "Interrupted: {done} of {all} cells are kept in {0}; the same command goes on from there.\n",
            shown(path)
        ),
        None => format!("Interrupted after {done} of {all} cells, which are lost: --resume-from FILE keeps them.\n"),
    }
}

fn table(head: Head, rules: Vec<Rule>) -> Result<Table, Failure> {
    let cells = head.cells();
    head.table(rules).map_err(|missing| Failure::Journal {
        path: PathBuf::from("the parts together"),
        reason: format!("cell {} of {cells} is missing: give the journal of every part", missing + 1),
    })
}

/// The table of several journals of one table.
fn merged(first: &Path, others: &[PathBuf]) -> Result<Table, Failure> {
    let (head, mut all, _) = read(first)?;
    for path in others {
        let (theirs, rules, _) = read(path)?;
        if theirs != head {
            return Err(another_table(path, "--merge takes the parts of one table"));
        }
        all.extend(rules);
    }
    table(head, all)
}

fn read(path: &Path) -> Result<(Head, Vec<Rule>, usize), Failure> {
    let text = std::fs::read_to_string(path)
        .map_err(|error| Failure::Unreadable { origin: shown(path), reason: plain(&error) })?;
    report::read_journal(&text).map_err(|error| Failure::Journal { path: path.to_owned(), reason: error.to_string() })
}

fn another_table(path: &Path, hint: &str) -> Failure {
    Failure::Journal {
        path: path.to_owned(),
        reason: format!("it belongs to another table or another scenario: {hint}"),
    }
}

fn show(table: &Table, asked: &Rules, format: Option<Picture>) -> Result<u8, Failure> {
    let units = asked.show.units.into();
    let answer = if asked.show.json { report::json(table) } else { report::rules(table, units) };
    output::print(&answer)?;
    draw_into((&asked.plot, format), Answer::Rules(table), style(&asked.show, asked.looks), asked.force)?;
    if let Some(path) = &asked.markdown {
        output::write_file(path, report::rules_markdown(table, units).as_bytes(), asked.force)?;
    }
    if let Some(path) = &asked.csv {
        output::write_file(path, report::rules_csv(table).as_bytes(), asked.force)?;
    }
    Ok(0)
}

/// A file with one line for each finished cell. A line is written at once, so that a stop leaves whole lines and at most
/// one that is cut off, which is taken away when the file is opened again.
struct Journal {
    file: File,
    path: PathBuf,
}

impl Journal {
    fn open(path: &Path, head: &Head) -> Result<(Journal, Vec<Rule>), Failure> {
        let fails = |error: &std::io::Error| Failure::Unwritable { origin: shown(path), reason: plain(error) };
        let known = std::fs::metadata(path).is_ok_and(|data| data.len() > 0);
        let (kept, whole) = if known {
            match read(path) {
                Ok((theirs, rules, whole)) if theirs == *head => (rules, whole),
                Ok(_) => return Err(another_table(path, "choose another file for --resume-from, or remove this one")),
                // A head that was cut off itself is no table yet.
                Err(_) if std::fs::read(path).is_ok_and(|bytes| !bytes.contains(&b'\n')) => (Vec::new(), 0),
                Err(failure) => return Err(failure),
            }
        } else {
            (Vec::new(), 0)
        };
        let file = OpenOptions::new().create(true).append(true).open(path).map_err(|error| fails(&error))?;
        file.set_len(whole as u64).map_err(|error| fails(&error))?;
        let mut journal = Journal { file, path: path.to_owned() };
        if whole == 0 {
            journal.add(&report::journal_head(head))?;
        }
        Ok((journal, kept))
    }

    fn add(&mut self, line: &str) -> Result<(), Failure> {
        let written = self.file.write_all(line.as_bytes()).and_then(|()| self.file.flush());
        written.map_err(|error| Failure::Unwritable { origin: shown(&self.path), reason: plain(&error) })
    }
}
