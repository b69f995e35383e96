//! Scenario text to [`heat::Case`] and [`study::Question`], or every problem of it at once.
//!
//! A scenario is TOML; every quantity is a text with its unit. [`read`] walks it once against one table of keys
//! ([`keys`]), collects every problem with its place, and only then gives up. [`Problems::render`] shows them under
//! the lines they stand in, [`explain`] says more about each code, and [`schema`] gives editors the format.
//!
//! ```
//! let scenario = scenario::read(scenario::DEMONSTRATION, "demonstration.toml", &[])?;
//! assert_eq!(scenario.case.block.size, [2.4, 1.5, 0.6]);
//!
//! let wrong = scenario::Override::parse("ring.width=100").unwrap();
//! let problems = scenario::read(scenario::DEMONSTRATION, "demonstration.toml", &[wrong]).unwrap_err();
//! assert_eq!(problems.list[0].code, "E005");
//! assert!(problems.render(false).contains("write \"100 mm\" or \"100 in\""));
//! # Ok::<(), scenario::Problems>(())
//! ```

mod arc;
mod assemble;
mod beside;
mod carbon_steel;
mod casting;
mod cautions;
mod codes;
mod convection;
mod diagnostic;
mod document;
pub mod draft;
mod faces;
mod fill;
mod fuel;
mod habits;
mod hollows;
mod keys;
mod log;
mod measure;
mod oddities;
mod overrides;
mod passes;
mod place;
mod preset;
mod probes;
mod range;
mod reader;
mod rewrite;
mod ring_rule;
mod schedule;
mod schema;
mod slip;
mod steel;
mod syntax;
mod torch;
mod value;
mod window;
mod words;

pub use codes::{codes, explain};
pub use diagnostic::{Diagnostic, Place, Problems, Severity, Source, Span};
pub use fuel::usual_rate;
pub use keys::{Key, Kind, Limits, keys};
pub use log::{LogProblem, log, reading};
pub use measure::Measure;
pub use overrides::{Override, OverrideError};
pub use preset::{Preset, looks, presets};
pub use rewrite::rewritten;
pub use schema::schema;

/// A scenario of our own that shows the whole format, section by section.
pub const DEMONSTRATION: &str = include_str!("demonstration.toml");

/// A log of readings of our own that shows the format; it goes with [`DEMONSTRATION`]. Nobody measured it.
pub const EXAMPLE_LOG: &str = include_str!("example_log.csv");

/// A case and what is asked of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Scenario {
    /// What is physically there.
    pub case: heat::Case,
    /// What is asked.
    pub question: study::Question,
}

/// Reads a scenario; `origin` is the name shown with its problems, such as the file's.
///
/// Overrides are laid over the text in their order. [`study::Question::input_sha256`] is the SHA-256 of the bytes
/// of the text followed, for each override, by a line feed, `--set `, and the override as it was given: without
/// overrides it is the digest of the file.
///
/// # Errors
/// Every problem of the scenario, warnings among them. A scenario with warnings only is read, and they stand in
/// [`study::Question::warnings`].
pub fn read(text: &str, origin: &str, overrides: &[Override]) -> Result<Scenario, Problems> {
    assemble::read(text, origin, overrides)
}

/// Reads a scenario from bytes; says where they stop being UTF-8.
///
/// # Errors
/// As [`read`].
pub fn read_bytes(bytes: &[u8], origin: &str, overrides: &[Override]) -> Result<Scenario, Problems> {
    match std::str::from_utf8(bytes) {
        Ok(text) => read(text, origin, overrides),
        Err(error) => Err(not_text(bytes, origin, error)),
    }
}

fn not_text(bytes: &[u8], origin: &str, error: std::str::Utf8Error) -> Problems {
    let at = error.valid_up_to();
    let text = String::from_utf8_lossy(bytes).into_owned();
    let help = match bytes {
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => "this looks like UTF-16: save the file as UTF-8",
        _ => "save the file as UTF-8; signs such as a degree sign often come from another encoding",
    };
    let message = format!("the file is not UTF-8 text: byte {:#04x} at position {at}", bytes.get(at).unwrap_or(&0));
    // The replacement character that now stands for the bad byte has three bytes.
    let place = Place::new(0, at..at + 3);
    let problem = Diagnostic::error("E001", message).at(place, "not UTF-8").help(help);
    Problems::new(vec![problem], vec![Source { name: origin.to_owned(), text }])
}
