//! Everything that leaves the program: text on the two streams, and files.

use std::io::{ErrorKind, Write};
use std::path::Path;

use tempfile::NamedTempFile;

use crate::failure::Failure;

/// Prints on standard output, colours only where a terminal shows them. A reader that has gone away is no failure:
/// the answer stands.
pub(crate) fn print(text: &str) -> Result<u8, Failure> {
    let mut out = anstream::stdout().lock();
    let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    match written {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(unwritable("standard output", &error)),
        _ => Ok(0),
    }
}

/// Prints on standard error; where that is closed nobody can be told.
pub(crate) fn complain(text: &str) {
    let _ = anstream::stderr().lock().write_all(text.as_bytes());
}

/// Whether something is neither a file nor a folder: a device or a pipe, which is written to and never replaced.
pub(crate) fn is_stream(path: &Path) -> bool {
    std::fs::metadata(path).is_ok_and(|it| !it.is_file() && !it.is_dir())
}

/// Refuses a page whose name says that it is something else.
pub(crate) fn must_be_a_page(path: &Path) -> Result<(), Failure> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    let good = is_stream(path) || matches!(ending.as_deref(), Some("html" | "htm"));
    if good { Ok(()) } else { Err(Failure::PageFormat { path: path.to_owned() }) }
}

/// Refuses a file that is there already and a folder that is not, before any work is done for it.
pub(crate) fn must_be_free(path: &Path, force: bool) -> Result<(), Failure> {
    if path.as_os_str() == "-" {
        return Err(Failure::NotReplaced { path: path.to_owned(), what: "no file name" });
    }
    if path.is_dir() {
        return Err(Failure::Folder { path: path.to_owned(), due: "the name of a file to write", hint: String::new() });
    }
    if force && path.metadata().is_ok_and(|there| there.is_file() && there.permissions().readonly()) {
        return Err(Failure::NotReplaced { path: path.to_owned(), what: "protected against writing" });
    }
    match path.exists() && !force && !is_stream(path) {
        true => Err(Failure::AlreadyThere { path: path.to_owned() }),
        false if folder_of(path).is_dir() => Ok(()),
        false => {
            let reason = format!("there is no folder {}", shown(folder_of(path)));
            Err(Failure::Unwritable { origin: shown(path), reason })
        }
    }
}

/// The folder that a file lies in.
pub(crate) fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Writes a file whole or not at all: first beside its place, then moved onto it. Devices and pipes are written to as they
/// are.
pub(crate) fn write_file(path: &Path, bytes: &[u8], force: bool) -> Result<(), Failure> {
    must_be_free(path, force)?;
    let origin = shown(path);
    if is_stream(path) {
        let stream = std::fs::OpenOptions::new().write(true).open(path);
        let written = stream.and_then(|mut stream| stream.write_all(bytes).and_then(|()| stream.flush()));
        return written.map_err(|error| unwritable(&origin, &error));
    }
    // What a link points to is written, and the link stays.
    let path = &path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let mut file = beside(folder_of(path)).map_err(|error| unwritable(&origin, &error))?;
    file.write_all(bytes).and_then(|()| file.flush()).map_err(|error| unwritable(&origin, &error))?;
    let moved = if force { file.persist(path) } else { file.persist_noclobber(path) };
    match moved {
        Ok(_) => Ok(()),
        Err(error) if error.error.kind() == ErrorKind::AlreadyExists => {
            Err(Failure::AlreadyThere { path: path.to_owned() })
        }
        Err(error) => Err(unwritable(&origin, &error.error)),
    }
}

fn beside(folder: &Path) -> std::io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    // What a file made by any other program would have; the mask of the user applies.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    builder.tempfile_in(folder)
}

/// A folder of its own beside the place of another, gone again unless it is kept.
pub(crate) fn folder_beside(folder: &Path) -> std::io::Result<tempfile::TempDir> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o777));
    builder.tempdir_in(folder_of(folder))
}

fn unwritable(origin: &str, error: &std::io::Error) -> Failure {
    Failure::Unwritable { origin: origin.to_owned(), reason: plain(error) }
}

/// The system's words without its number.
pub(crate) fn plain(error: &std::io::Error) -> String {
    let text = error.to_string();
    let end = text.find(" (os error").unwrap_or(text.len());
    text[..end].to_lowercase()
}

/// A path fit for a message.
pub(crate) fn shown(path: &Path) -> String {
    printable(&path.to_string_lossy())
}

/// A text that cannot move the cursor.
pub(crate) fn printable(text: &str) -> String {
    text.chars().map(|letter| if letter.is_control() { '?' } else { letter }).collect()
}

/// Text broken at 100 columns, later lines indented.
pub(crate) fn wrapped(text: &str, indent: usize) -> String {
    let blank = " ".repeat(indent);
    textwrap::fill(text, textwrap::Options::new(100).subsequent_indent(&blank).break_words(false))
}
