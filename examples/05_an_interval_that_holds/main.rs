//! Lesson 5: the same die and still two beads a heat, with a plan that holds.

use lessons::{Lesson, Result, check};
use warmhold::report::plot::{Style, cooling_curve};
use warmhold::report::{Units, text};

/// Where, how hot, on what, and the plan.
pub const SCENARIO: &str = include_str!("scenario.toml");

fn main() -> std::process::ExitCode {
    lessons::run(lesson())
}

/// Checks the plan; the first two lines of its report are the answer.
///
/// # Errors
/// When the scenario cannot be read, solved or drawn.
pub fn lesson() -> Result<Lesson> {
    let outcome = check(SCENARIO, &[])?;
    let report = text(&outcome, Units::Both);
    let style = Style { units: Units::Both, ..Style::default() };
    Ok(Lesson {
        name: "05_an_interval_that_holds",
        words: report.lines().take(2).collect::<Vec<_>>().join("\n"),
        pictures: vec![("cooling.svg", cooling_curve(&outcome, &style)?)],
        outcomes: vec![outcome],
    })
}
