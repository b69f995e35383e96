//! Lesson 5: the same die and still two beads a heat, with a plan that holds.

use lessons::{Lesson, Result, check};
use warmhold::Outcome;
use warmhold::report::plot::{Style, cooling_curve};
use warmhold::report::{Units, text};

/// Where, how hot, on what, and the plan.
pub const SCENARIO: &str = include_str!("scenario.toml");

/// Each takes back one of the five changes and keeps the others.
const VARIANTS: [(&str, &[&str]); 5] = [
    ("300 mm disc, 2.2 kg/h", &["patch.disc.diameter=300 mm", "torch.fuel.rate=2.2 kg/h"]),
    (
        "heated to 400 F",
        &["window.heat_to=400 F", "schedule.cycles.heat_up.reads=400 F", "schedule.cycles.reheat.reads=400 F"],
    ),
    ("4.0 kg/h", &["torch.fuel.rate=4.0 kg/h"]),
    ("share guessed, 15 to 50 %", &["torch.fuel.share_range=[\"15 %\", \"50 %\"]"]),
    ("gaps as in lesson 4, 150 s", &["passes.first_after=20 s", "passes.pause=60 s", "schedule.cycles.interval=150 s"]),
];

fn main() -> std::process::ExitCode {
    lessons::run(lesson())
}

/// Checks the plan and its variants; the first two lines of the plan's report are the answer.
///
/// # Errors
/// When the scenario cannot be read, solved or drawn.
pub fn lesson() -> Result<Lesson> {
    let outcome = check(SCENARIO, &[])?;
    let report = text(&outcome, Units::Both);
    let mut words: Vec<String> = report.lines().take(2).map(str::to_owned).collect();
    words.extend([String::new(), format!("{:26}  as stated  worst end  verdict", "K to spare")]);
    words.push(row("all five changes", &outcome));
    let style = Style { units: Units::Both, ..Style::default() };
    let pictures = vec![("cooling.svg", cooling_curve(&outcome, &style)?)];
    let mut outcomes = vec![outcome];
    for (variant, changes) in VARIANTS {
        let outcome = check(SCENARIO, changes)?;
        words.push(row(variant, &outcome));
        outcomes.push(outcome);
    }
    Ok(Lesson { name: "05_an_interval_that_holds", words: words.join("\n"), pictures, outcomes })
}

/// Margins as stated and at the worst end, K, and the verdict.
fn row(plan: &str, outcome: &Outcome) -> String {
    let stated_k = outcome.margin_k.unwrap_or(f64::NAN);
    let worst_k = outcome.worst_end.map_or(f64::NAN, |worst| worst.margin_k);
    format!("{plan:26}  {stated_k:>9.1}  {worst_k:>9.1}  {}", outcome.verdict.words())
}
