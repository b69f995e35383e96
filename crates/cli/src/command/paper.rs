//! `report`, `card` and `sheet`: pages of one scenario.

use std::path::{Path, PathBuf};

use warmhold::report;
use warmhold::report::html;
use warmhold::scenario::Scenario;
use warmhold::study::{self, Advice, CompareAsk, Comparison, Outcome, USUAL_NOISE_K, Verdict};

use super::check::{exit_code, solve};
use crate::args::Show;
use crate::failure::Failure;
use crate::paper_args::{Paper, Report};
use crate::{input, output, run};

/// Places along each side of the maps of a report, and instants.
const MAPS: (usize, usize) = (101, 40);

/// Writes the report; the exit code is that of the verdict.
pub(crate) fn report(report: &Report) -> Result<u8, Failure> {
    let paper = &report.paper;
    let job = Job::new(paper, "report.html")?;
    // A log that cannot be read is told before anything is computed.
    let readings = report.log.as_deref().map(|log| input::log(log, &job.scenario)).transpose()?;
    let outcome = job.outcome()?;
    let film = run::film(&job.scenario, &outcome, MAPS)?;
    let ask = readings.map(|readings| CompareAsk { readings, noise_k: USUAL_NOISE_K });
    let comparison: Option<Comparison> = ask.map(|ask| run::compare(&job.scenario, &ask)).transpose()?;
    let page = html::report(&html::Report {
        outcome: &outcome,
        film: film.as_ref(),
        comparison: comparison.as_ref(),
        scenario: &job.text,
        units: paper.show.units.into(),
    })?;
    job.finish("report", &page, &outcome)
}

/// Writes the shop card; the exit code is that of the verdict.
pub(crate) fn card(paper: &Paper) -> Result<u8, Failure> {
    let job = Job::new(paper, "card.html")?;
    let (outcome, advice) = job.answers()?;
    let instruction = study::instruction(&job.scenario.case, &job.scenario.question);
    // Only an instruction says what the spot reads.
    let told = advice.as_ref().filter(|_| outcome.verdict == Verdict::Holds);
    let touching = told.map(|advice| run::touching(&job.scenario, advice.touch)).transpose()?;
    let (advice, touching) = (advice.as_ref(), touching.as_ref());
    let page = html::card(&html::Card { outcome: &outcome, instruction: &instruction, advice, touching });
    job.finish("card", &page, &outcome)
}

/// Writes the log sheet; it is an answer whatever the verdict.
pub(crate) fn sheet(paper: &Paper) -> Result<u8, Failure> {
    let job = Job::new(paper, "sheet.html")?;
    let (outcome, advice) = job.answers()?;
    let page = html::log_sheet(&html::LogSheet {
        outcome: &outcome,
        instruction: &study::instruction(&job.scenario.case, &job.scenario.question),
        advice: advice.as_ref(),
        units: paper.show.units.into(),
    });
    job.finish("sheet", &page, &outcome).map(|_| 0)
}

/// One page of one scenario on its way.
struct Job<'a> {
    paper: &'a Paper,
    out: PathBuf,
    scenario: Scenario,
    text: String,
}

impl<'a> Job<'a> {
    fn new(paper: &'a Paper, usual: &str) -> Result<Job<'a>, Failure> {
        let out = paper.out.clone().unwrap_or_else(|| PathBuf::from(usual));
        output::must_be_a_page(&out)?;
        output::must_be_free(&out, paper.force)?;
        run::use_threads(paper.show.threads)?;
        let (scenario, mut text) = input::with_text(paper.file.as_deref(), &paper.set)?;
        for set in &paper.set {
            text.push_str(&format!("\n# --set {}", set.text()));
        }
        Ok(Job { paper, out, scenario, text })
    }

    /// The outcome. Of half a run no page is made: on a wall nobody sees what is missing.
    fn outcome(&self) -> Result<Outcome, Failure> {
        let outcome = solve(&self.scenario, &self.paper.show)?;
        if outcome.interrupted { Err(Failure::Interrupted) } else { Ok(outcome) }
    }

    /// The outcome, and where to touch where there is a ring and a flame that went off.
    fn answers(&self) -> Result<(Outcome, Option<Advice>), Failure> {
        let outcome = self.outcome()?;
        let touched = outcome.window.is_some() && !outcome.heats.is_empty();
        let ask = super::advice::usual(self.paper.show.units);
        let advice = touched.then(|| run::advice(&self.scenario, &ask)).transpose()?;
        Ok((outcome, advice))
    }

    fn finish(&self, kind: &'static str, page: &str, outcome: &Outcome) -> Result<u8, Failure> {
        if run::stopped() {
            return Err(Failure::Interrupted);
        }
        output::write_file(&self.out, page.as_bytes(), self.paper.force)?;
        tell((kind, &self.out, page.len()), &[("", outcome)], &self.paper.show)?;
        Ok(exit_code(outcome))
    }
}

/// Says what was written.
pub(super) fn tell(
    (kind, out, bytes): (&'static str, &Path, usize),
    outcomes: &[(&str, &Outcome)],
    show: &Show,
) -> Result<u8, Failure> {
    let file = output::shown(out);
    if show.json {
        let outcomes: Vec<&Outcome> = outcomes.iter().map(|(_, outcome)| *outcome).collect();
        return output::print(&report::json(&html::Pages::new(kind, (file, bytes), &outcomes)));
    }
    // A page of one scenario needs no name before its verdict.
    let before = |name: &str| if name.is_empty() { String::new() } else { format!("{}: ", output::printable(name)) };
    let line = |&(name, outcome): &(&str, &Outcome)| before(name) + &report::verdict_line(outcome, show.units.into());
    let verdicts: Vec<String> = outcomes.iter().map(line).collect();
    output::print(&format!("Wrote {file}.\n{}\n", verdicts.join("\n")))
}
