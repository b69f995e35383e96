//! Lesson 6: heat spent on width holds a ring longer than heat spent on time.

use lessons::{Lesson, Result, check, duration};
use warmhold::exact::{Disc, Metal};
use warmhold::report::plot::{Style, comparison};

/// Where and on what; the discs and the times are below.
pub const SCENARIO: &str = include_str!("scenario.toml");
/// Radius of each disc, mm.
pub const RADII_MM: [f64; 4] = [100.0, 125.0, 150.0, 200.0];
/// Time of the flame, minutes: once and twice.
pub const MINUTES: [f64; 2] = [15.0, 30.0];
/// What the face loses to air and walls while it warms up, on average, W/m2: the flame brings this on top.
const FACE_LOSS: f64 = 4.5e3;

fn main() -> std::process::ExitCode {
    lessons::run(lesson())
}

/// What to change in the scenario so that the middle of a disc reads 260 C after so many minutes.
pub fn changes(radius_mm: f64, minutes: f64, face_loss: f64) -> [String; 2] {
    let iron = Metal::new(46.0, 7150.0, 510.0);
    let flux = Disc { radius: 1e-3 * radius_mm }.flux_for_centre_rise(iron, 260.0 - 20.0, 60.0 * minutes);
    [format!("patch.disc.radius={radius_mm} mm"), format!("torch.flux.flux={} W/m2", flux + face_loss)]
}

/// Checks every disc at both times and draws the coldest of the ring after flame off.
///
/// # Errors
/// When the scenario cannot be read, solved or drawn.
pub fn lesson() -> Result<Lesson> {
    let (mut outcomes, mut names, mut words) = (Vec::new(), Vec::new(), Vec::new());
    for minutes in MINUTES {
        for radius_mm in RADII_MM {
            let changes = changes(radius_mm, minutes, FACE_LOSS);
            let outcome = check(SCENARIO, &changes.each_ref().map(String::as_str))?;
            let hold = duration(outcome.hold_s.unwrap_or(f64::INFINITY));
            let (megajoules, heated_min) = (outcome.ledger.torch_j / 1e6, outcome.heats[0].end_s / 60.0);
            let name = format!("{radius_mm} mm, {heated_min:.0} min");
            words.push(format!("radius {name} of flame, {megajoules:4.1} MJ: the ring holds {hold}"));
            names.push(name);
            outcomes.push(outcome);
        }
    }
    let compared: Vec<_> = names.iter().map(String::as_str).zip(&outcomes).collect();
    let pictures = vec![("cooling.svg", comparison(&compared, "ring_coldest", &Style::default())?)];
    Ok(Lesson { name: "06_wider_instead_of_longer", words: words.join("\n"), pictures, outcomes })
}
