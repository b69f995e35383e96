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
    let hold = fall(&outcome, "r40", 150.0).ok_or("the patch never fell below 150 C")?;
    Ok(Lesson {
        name: "02_same_patch_on_a_small_block",
        words: format!("40 mm from the centre the face is below 150 C {} after flame off.", with_error(hold)),
        pictures: vec![("cooling.svg", cooling_curve(&outcome, &Style::default())?)],
        outcomes: vec![outcome],
    })
}
