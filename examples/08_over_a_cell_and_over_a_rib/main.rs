//! Lesson 8: what a rib below the patch takes.

use lessons::{Lesson, Result, check, fall, with_error, with_minimum};
use warmhold::report::plot::{Style, comparison};

/// Where, how hot and on what.
pub const SCENARIO: &str = include_str!("scenario.toml");
/// The line that makes the casting a ribbed one.
const RIBS: &str = "ribs = { wall = \"50 mm\", thickness = \"40 mm\", pitch = \"300 mm\" }\n";
const PROBE: &str = "80_mm_from_centre";
/// What the lesson asks for, Celsius.
const MINIMUM_C: f64 = 120.0;

fn main() -> std::process::ExitCode {
    lessons::run(lesson())
}

/// Checks the patch over a cell and over a rib, and on a plate and a block of the same metal.
///
/// # Errors
/// When a scenario cannot be read, solved or drawn.
pub fn lesson() -> Result<Lesson> {
    let solid = SCENARIO.replace(RIBS, "");
    let bodies = [
        ("block, 500 mm thick", check(&solid, &[])?),
        ("ribbed, over a rib", check(SCENARIO, &["patch.centre=[\"1.2 m\", \"0.75 m\"]"])?),
        ("ribbed, over a cell", check(SCENARIO, &[])?),
        ("plate, 50 mm thick", check(&solid, &["casting.depth=50 mm"])?),
    ];
    let mut words =
        vec![format!("15 min of the same flame; 80 mm from the centre the face is below {MINIMUM_C} C on the")];
    for (body, outcome) in &bodies {
        let peak_c = outcome.curves.get(PROBE).map_or(f64::NAN, |curve| hottest(&curve.temperature_c));
        let held = fall(outcome, PROBE, MINIMUM_C)
            .map_or_else(|_| "never above it".to_owned(), |held| format!("after {}", with_error(held)));
        words.push(format!("  {body:20} hottest {peak_c:3.0} C, {held}"));
    }
    let compared = bodies.each_ref().map(|(body, outcome)| (*body, with_minimum(outcome.clone(), MINIMUM_C)));
    let compared = compared.each_ref().map(|(body, outcome)| (*body, outcome));
    let pictures = vec![("cooling.svg", comparison(&compared, PROBE, &Style::default())?)];
    let outcomes = bodies.map(|(_, outcome)| outcome).into();
    Ok(Lesson { name: "08_over_a_cell_and_over_a_rib", words: words.join("\n"), pictures, outcomes })
}

fn hottest(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::MIN, f64::max)
}
