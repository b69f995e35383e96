//! Puts what was measured into a page, between marks.

use std::io;

/// The page on work and precision; its picture stands beside it.
pub const WORK_PRECISION: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../docs/work-precision.md");

/// Replaces what stands between `<!-- mark -->` and `<!-- end of mark -->`.
///
/// # Errors
/// When the page cannot be read or written, or a mark is missing.
pub fn put(path: &str, mark: &str, words: &str) -> io::Result<()> {
    let text = std::fs::read_to_string(path)?;
    let (start, end) = (format!("<!-- {mark} -->\n"), format!("<!-- end of {mark} -->"));
    let missing = || io::Error::other(format!("the page has no mark for the {mark}"));
    let (head, rest) = text.split_once(&start).ok_or_else(missing)?;
    let (_, tail) = rest.split_once(&end).ok_or_else(missing)?;
    std::fs::write(path, format!("{head}{start}\n{words}\n{end}{tail}"))
}
