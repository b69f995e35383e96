//! `explain-code`: more about the code of a message.

use warmhold::scenario;

use crate::failure::Failure;
use crate::output::{print, printable, wrapped};

/// Explains one code, or lists all.
pub(crate) fn run(code: Option<&str>) -> Result<u8, Failure> {
    match code {
        None => print(&all()),
        Some(code) => {
            let text = scenario::explain(code).ok_or_else(|| Failure::NoSuchCode { code: printable(code) })?;
            print(&format!("{}\n\n{}\n", code.trim().to_uppercase(), explained(text)))
        }
    }
}

fn explained(text: &str) -> String {
    // The examples are indented and hang under their first word.
    let indent = |line: &str| if line.starts_with(' ') { 9 } else { 0 };
    text.lines().map(|line| wrapped(line, indent(line))).collect::<Vec<_>>().join("\n")
}

fn all() -> String {
    let line = |code| {
        let text = scenario::explain(code).unwrap_or_default();
        let first = text.split_inclusive(". ").next().unwrap_or_default();
        wrapped(&format!("{code}  {}", first.lines().next().unwrap_or_default().trim()), 6)
    };
    let lines: Vec<String> = scenario::codes().map(line).collect();
    format!("{}\n\n`warmhold explain-code {}` says more about one.\n", lines.join("\n"), "E005")
}
