//! Lesson 7: a die that is warm all through holds its patch several times as long.

use lessons::{Comparison, Lesson, Line, Result, check, duration};
use warmhold::exact::{Disc, Metal};

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

/// Checks both starts and draws the middle of the patch after flame off.
///
/// # Errors
/// When the scenario cannot be read or solved.
pub fn lesson() -> Result<Lesson> {
    let (mut outcomes, mut lines, mut words) = (Vec::new(), Vec::new(), Vec::new());
    for (colour, (start_c, face_loss)) in STARTS.into_iter().enumerate() {
        let changes = changes(start_c, face_loss);
        let outcome = check(SCENARIO, &changes.each_ref().map(String::as_str))?;
        let [centre, ring] =
            [outcome.hold_centre_s, outcome.hold_s].map(|hold_s| duration(hold_s.unwrap_or(f64::INFINITY)));
        let heated_min = outcome.heats[0].end_s / 60.0;
        words
            .push(format!("die at {start_c} C, flame {heated_min:.1} min: the centre holds {centre}, the ring {ring}"));
        let name = |place: &str, hold: &str| format!("{start_c} C, {place}: {hold}");
        lines.push(Line::after_flame(&outcome, "patch_centre", name("centre", &centre), (colour, false)));
        lines.push(Line::after_flame(&outcome, "ring_coldest", name("ring", &ring), (colour, true)));
        outcomes.push(outcome);
    }
    let picture = Comparison {
        title: "A die that is warm all through holds the patch longer, and its ring longer still".to_owned(),
        subtitle: "start of the die, place, and hold above 149 C; the middle of the disc is brought to 204 C in 20 min"
            .to_owned(),
        lines,
        minimum_c: 149.0,
        until_s: 480.0,
        celsius: [60.0, 210.0],
    };
    let pictures = vec![("cooling.svg", picture.svg())];
    Ok(Lesson { name: "07_warm_the_whole_die_first", words: words.join("\n"), pictures, outcomes })
}
