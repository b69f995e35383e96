//! Files that a command would read and overwrite, or write twice: refused before anything is computed.

use std::path::{Path, PathBuf};

use crate::args::Command;
use crate::failure::Failure;
use crate::output::{folder_of, is_stream};

/// What a command reads, and what it writes.
#[derive(Debug, Default, PartialEq)]
struct Files<'a> {
    read: Vec<&'a Path>,
    written: Vec<&'a Path>,
}

/// Refuses a command that would lose a file of its own.
pub(crate) fn refuse(command: &Command) -> Result<(), Failure> {
    let Files { read, written } = files(command);
    let read: Vec<PathBuf> = read.into_iter().filter(|path| path.as_os_str() != "-").map(place).collect();
    let mut before: Vec<PathBuf> = Vec::new();
    for path in written.into_iter().filter(|path| !is_stream(path)) {
        let at = place(path);
        if read.contains(&at) {
            return Err(Failure::ReadAndWritten { path: path.to_owned() });
        }
        if before.contains(&at) {
            return Err(Failure::WrittenTwice { path: path.to_owned() });
        }
        before.push(at);
    }
    Ok(())
}

/// Where a path leads, links followed as far as they are there.
fn place(path: &Path) -> PathBuf {
    let whole = |path: &Path| path.canonicalize().ok();
    let in_folder = || Some(whole(folder_of(path))?.join(path.file_name()?));
    whole(path).or_else(in_folder).unwrap_or_else(|| path.to_owned())
}

fn files(command: &Command) -> Files<'_> {
    match command {
        Command::Check(check) => {
            let pictures = [&check.plot, &check.map, &check.csv, &check.ledger, &check.bead_csv, &check.field];
            of(&[&check.file], &pictures)
        }
        Command::Hold(hold) => of(&[], &[&hold.write]),
        Command::Start(start) => of(&[], &[&start.out]),
        Command::Plan(plan) => of(&[&plan.about.file], &[&plan.plot, &plan.write]),
        Command::Rules(rules) => {
            let own = of(&[&rules.about.file], &[&rules.resume_from, &rules.markdown, &rules.csv, &rules.plot]);
            Files { read: own.read.into_iter().chain(rules.merge.iter().map(PathBuf::as_path)).collect(), ..own }
        }
        Command::Spread(spread) => of(&[&spread.about.file], &[&spread.draw.plot]),
        Command::Cool(cool) => of(&[&cool.about.file], &[&cool.draw.plot]),
        Command::Explain(explain) => of(&[&explain.about.file], &[&explain.draw.plot, &explain.chart, &explain.levers]),
        Command::Fit(fit) => with(&fit.file, of(&[&fit.log], &[&fit.write, &fit.plot])),
        Command::Compare(compare) => {
            with(&compare.file, with(&compare.log, of(&[], &[&compare.plot, &compare.residuals])))
        }
        Command::Report(report) => of(&[&report.paper.file, &report.log], &[&report.paper.out]),
        Command::Card(paper) | Command::Sheet(paper) => of(&[&paper.file], &[&paper.out]),
        Command::Page(page) => {
            Files { read: page.files.iter().map(PathBuf::as_path).collect(), written: vec![page.out.as_path()] }
        }
        _ => Files::default(),
    }
}

fn of<'a>(read: &[&'a Option<PathBuf>], written: &[&'a Option<PathBuf>]) -> Files<'a> {
    let there = |paths: &[&'a Option<PathBuf>]| paths.iter().filter_map(|path| path.as_deref()).collect();
    Files { read: there(read), written: there(written) }
}

fn with<'a>(path: &'a Path, mut files: Files<'a>) -> Files<'a> {
    files.read.push(path);
    files
}
