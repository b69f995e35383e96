//! `check --field`: a folder of files for general viewers.

use std::path::Path;

use warmhold::report;
use warmhold::scenario::Scenario;
use warmhold::study::Outcome;

use crate::failure::Failure;
use crate::output::{folder_of, plain, shown};
use crate::{output, run};

/// Refuses a folder that is there already, before any work is done for it.
pub(super) fn must_be_free(folder: &Path, force: bool) -> Result<(), Failure> {
    match folder.try_exists() {
        Ok(true) if !force || !folder.is_dir() => Err(Failure::FolderThere { path: folder.to_owned() }),
        Ok(_) if folder_of(folder).is_dir() => Ok(()),
        Ok(_) => {
            let reason = format!("there is no folder {}", shown(folder_of(folder)));
            Err(Failure::Unwritable { origin: shown(folder), reason })
        }
        Err(error) => Err(unwritable(folder, &error)),
    }
}

/// Writes the field of an outcome: a new folder appears whole; in one that is there each file is replaced whole, the
/// collection last.
pub(super) fn write((scenario, outcome): (&Scenario, &Outcome), folder: &Path, force: bool) -> Result<(), Failure> {
    let volume = run::volume(scenario, outcome)?.ok_or(Failure::NothingToMap)?;
    let files = report::vtk_files(&volume);
    must_be_free(folder, force)?;
    if folder.is_dir() {
        return files.iter().try_for_each(|(name, bytes)| output::write_file(&folder.join(name), bytes, true));
    }
    let beside = output::folder_beside(folder).map_err(|error| unwritable(folder, &error))?;
    for (name, bytes) in &files {
        output::write_file(&beside.path().join(name), bytes, false)?;
    }
    std::fs::rename(beside.keep(), folder).map_err(|error| unwritable(folder, &error))
}

fn unwritable(folder: &Path, error: &std::io::Error) -> Failure {
    Failure::Unwritable { origin: shown(folder), reason: plain(error) }
}
