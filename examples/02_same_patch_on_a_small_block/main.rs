//! Lesson 2: the heat of lesson 1 on a small block has nowhere to go.

use lessons::{Lesson, Result, check, fall, with_error};
use warmhold::report::plot::{Style, cooling_curve};

/// Where, how hot and on what.
pub const SCENARIO: &str = include_str!("scenario.toml");

fn main() -> std::process::ExitCode {
    lessons::run(lesson())
}

/// Checks the scenario and says when the place 40 mm from the centre is no longer warm.
///
/// # Errors
/// When the scenario cannot be read, solved or drawn.
pub fn lesson() -> Result<Lesson> {
    let outcome = check(SCENARIO, &[])?;
    let hold = with_error(fall(&outcome, "40_mm_from_centre", 150.0)?);
    Ok(Lesson {
        name: "02_same_patch_on_a_small_block",
        words: format!("After flame off the face 40 mm from the centre is below\n  150 C after {hold}"),
        pictures: vec![("cooling.svg", cooling_curve(&outcome, &Style::default())?)],
        outcomes: vec![outcome],
    })
}
