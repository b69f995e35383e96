//! Lesson 7: a die that is warm all through holds its patch several times as long.

use lessons::{Lesson, Result, check, duration};
use warmhold::exact::{Disc, Metal};
use warmhold::report::plot::{Style, comparison};

/// Where and on what; the two starts are below.
pub const SCENARIO: &str = include_str!("scenario.toml");
/// The die before the torch is lit, Celsius, and what its face loses to air and walls while it warms up, on average,
/// W/m2: the flame brings that on top.
const STARTS: [(f64, f64); 2] = [(20.0, 2.8e3), (100.0, 3.5e3)];
/// Time of the flame, minutes.
pub const MINUTES: f64 = 20.0;

fn main() -> std::process::ExitCode {
    lessons::run(lesson())
}

/// What to change in the scenario so that the middle of the disc reads 204 C after the time of the flame.
pub fn changes(start_c: f64, face_loss: f64) -> [String; 2] {
    let iron = Metal::new(46.0, 7150.0, 510.0);
    let flux = Disc { radius: 0.150 }.flux_for_centre_rise(iron, 204.0 - start_c, 60.0 * MINUTES);
    [format!("casting.start={start_c} C"), format!("torch.flux.flux={} W/m2", flux + face_loss)]
}

/// Checks both starts and draws the middle of the patch and the coldest of the ring after flame off.
///
/// # Errors
/// When the scenario cannot be read, solved or drawn.
pub fn lesson() -> Result<Lesson> {
    let (mut outcomes, mut names, mut words) = (Vec::new(), Vec::new(), Vec::new());
    for (start_c, face_loss) in STARTS {
        let changes = changes(start_c, face_loss);
        let outcome = check(SCENARIO, &changes.each_ref().map(String::as_str))?;
        let [centre, ring] =
            [outcome.hold_centre_s, outcome.hold_s].map(|hold_s| duration(hold_s.unwrap_or(f64::INFINITY)));
        let heated_min = outcome.heats[0].end_s / 60.0;
        let name = format!("die at {start_c} C");
        words.push(format!("{name}, {heated_min:.0} min of flame: the centre holds {centre}, the ring {ring}"));
        names.push(name);
        outcomes.push(outcome);
    }
    let compared: Vec<_> = names.iter().map(String::as_str).zip(&outcomes).collect();
    let picture = |probe: &str| comparison(&compared, probe, &Style::default());
    let pictures = vec![("cooling.svg", picture("patch_centre")?), ("ring.svg", picture("ring_coldest")?)];
    Ok(Lesson { name: "07_warm_the_whole_die_first", words: words.join("\n"), pictures, outcomes })
}
