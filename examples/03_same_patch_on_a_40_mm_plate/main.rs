//! Lesson 3: a large plate is thin where it matters.

use lessons::{Lesson, Result, check, fall, with_error, with_minimum};
use warmhold::Outcome;
use warmhold::report::plot::{Style, comparison, cooling_curve};

/// Where, how hot and on what.
pub const SCENARIO: &str = include_str!("scenario.toml");
const BIG_DIE: &str = include_str!("../01_patch_on_a_big_die/scenario.toml");
const SMALL_BLOCK: &str = include_str!("../02_same_patch_on_a_small_block/scenario.toml");
const PROBE: &str = "40_mm_from_centre";
/// What the lesson asks for, Celsius.
const MINIMUM_C: f64 = 150.0;

fn main() -> std::process::ExitCode {
    lessons::run(lesson())
}

/// What to change in the scenario for another thickness; the probe on the back goes with it.
pub fn changes(thickness_mm: f64) -> [String; 2] {
    [
        format!("casting.depth={thickness_mm} mm"),
        format!("probes.back.from_patch_centre=[\"0 mm\", \"0 mm\", \"{thickness_mm} mm\"]"),
    ]
}

fn plate(thickness_mm: f64) -> Result<Outcome> {
    check(SCENARIO, &changes(thickness_mm).each_ref().map(String::as_str))
}

/// Checks the plate, thinner and thicker ones, and the bodies of lessons 1 and 2.
///
/// # Errors
/// When a scenario cannot be read, solved or drawn.
pub fn lesson() -> Result<Lesson> {
    let bodies = [
        ("small block, 10.9 kg", check(SMALL_BLOCK, &[])?),
        ("plate, 20 mm thick", plate(20.0)?),
        ("plate, 40 mm thick", check(SCENARIO, &[])?),
        ("plate, 60 mm thick", plate(60.0)?),
        ("plate, 100 mm thick", plate(100.0)?),
        ("big die, 400 mm thick", check(BIG_DIE, &[])?),
    ];
    let mut words = vec![format!("After flame off the face 40 mm from the centre is below {MINIMUM_C} C on the")];
    for (body, outcome) in &bodies {
        words.push(format!("  {body:21}  after {}", with_error(fall(outcome, PROBE, MINIMUM_C)?)));
    }
    let style = Style::default();
    let compared = [0, 2, 5].map(|n| (bodies[n].0, with_minimum(bodies[n].1.clone(), MINIMUM_C)));
    let compared = compared.each_ref().map(|(body, outcome)| (*body, outcome));
    let pictures = vec![
        ("cooling.svg", comparison(&compared, PROBE, &style)?),
        ("plate.svg", cooling_curve(&bodies[2].1, &style)?),
    ];
    let outcomes = bodies.map(|(_, outcome)| outcome).into();
    Ok(Lesson { name: "03_same_patch_on_a_40_mm_plate", words: words.join("\n"), pictures, outcomes })
}
