//! Lesson 1: what takes five minutes to bring in has left the face in seconds.

use lessons::{Lesson, Result, check, fall, with_error};
use warmhold::report::plot::{Style, cooling_curve};

/// Where, how hot and on what.
pub const SCENARIO: &str = include_str!("scenario.toml");

fn main() -> std::process::ExitCode {
    lessons::run(lesson())
}

/// Checks the scenario and says when the place 40 mm from the centre falls below two temperatures.
///
/// # Errors
/// When the scenario cannot be read, solved or drawn.
pub fn lesson() -> Result<Lesson> {
    let outcome = check(SCENARIO, &[])?;
    let [sooner, later] =
        [fall(&outcome, "40_mm_from_centre", 150.0)?, fall(&outcome, "40_mm_from_centre", 120.0)?].map(with_error);
    Ok(Lesson {
        name: "01_patch_on_a_big_die",
        words: format!(
            "After flame off the face 40 mm from the centre is below\n  150 C after {sooner}\n  120 C after {later}"
        ),
        pictures: vec![("cooling.svg", cooling_curve(&outcome, &Style::default())?)],
        outcomes: vec![outcome],
    })
}
