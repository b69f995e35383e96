//! The report: everything about one scenario on one page that prints well.

use quantity::{Energy, Units};
use study::{Comparison, Film, InputEffect, Outcome, Verdict};

use super::parts::{facts, figure, list, made_from, paper, paragraph, section, table};
use super::safe;
use super::still::{LEFT_OUT, verdict_sign};
use crate::beads::{bead_columns, full_facts};
use crate::compared::agreement;
use crate::plot::{self, Error, Style};
use crate::tables::{ledger_lines, temperature_number, temperature_unit};
use crate::text::{beads, heat_words, judged_facts, supply};
use crate::words::{NOT_COMPARED, capitalised, difference, duration, setting, verdict_sentence};

/// What a report is made of.
#[derive(Clone, Copy, Debug)]
pub struct Report<'a> {
    /// The answer.
    pub outcome: &'a Outcome,
    /// Its maps over time; none where nothing heats a patch.
    pub film: Option<&'a Film>,
    /// What was measured, where it was.
    pub comparison: Option<&'a Comparison>,
    /// The scenario as it was read, with any values put in its place below.
    pub scenario: &'a str,
    /// Units of text and pictures.
    pub units: Units,
}

/// The report as one HTML file without scripts.
///
/// # Errors
/// [`Error`] when a picture cannot be drawn, which no outcome causes.
pub fn report(report: &Report) -> Result<String, Error> {
    let Report { outcome, units, .. } = *report;
    let mut body = head(outcome, units);
    body += &cooling(outcome, units)?;
    body += &told(outcome, units);
    body += &section("Warnings", &list(&outcome.warnings));
    body += &section("Measured", &measured(report)?);
    body += &section("Cautions", &list(&outcome.cautions));
    body += &section("Pictures", &pictures(report)?);
    body += &section("Beads", &beads_table(outcome, units));
    body += &section("Inputs", &inputs(report));
    body += &section("Where the heat went", &ledger(outcome, units));
    body += &section("What the model leaves out", &list(&LEFT_OUT));
    body += &section("The scenario as it was read", &scenario(report.scenario));
    let solved = format!(
        "Solved on {} cells, {} steps, {} of them repeated, to {}. Body solved: {} ({}).",
        outcome.stats.cells,
        outcome.stats.steps + outcome.stats.rejected,
        outcome.stats.rejected,
        duration(outcome.ran_until_s),
        outcome.casting.model,
        outcome.casting.model_reason
    );
    body += &format!("<footer>\n{}{}</footer>\n", paragraph(&solved), paragraph(&made_from(outcome)));
    Ok(paper(&format!("Report: {}", outcome.title), "report", &body))
}

fn head(outcome: &Outcome, units: Units) -> String {
    let (sign, class) = verdict_sign(outcome);
    let mut notes = vec![beads(outcome, units), setting(outcome, units)];
    if outcome.verdict != Verdict::NotAsked && outcome.error.input_k.is_none() && !outcome.interrupted {
        notes.push(
            "Nominal only: no ranges are stated, so a weaker torch or another metal may change the answer.".into(),
        );
    }
    if outcome.interrupted {
        notes.push(format!("Interrupted: only the first {} are computed and judged.", duration(outcome.ran_until_s)));
    }
    // The sign already says what most sentences begin with.
    let sentence = verdict_sentence(outcome, units);
    let reason = sentence.split_once(": ").filter(|(verdict, _)| sign.ends_with(verdict));
    let reason = reason.map_or_else(|| sentence.clone(), |(_, reason)| capitalised(reason));
    format!(
        "<header>\n<p class=\"kind\">warmhold report</p>\n<h1>{}</h1>\n\
         <div class=\"verdict {class}\"><strong>{sign}</strong>{}</div>\n{}</header>\n",
        safe::text(&outcome.title),
        safe::text(&reason),
        notes.iter().map(|note| paragraph(note)).collect::<String>(),
    )
}

/// The curve right below the verdict, which it shows.
fn cooling(outcome: &Outcome, units: Units) -> Result<String, Error> {
    let curve = plot::cooling_curve(outcome, &style(units, 560))?;
    Ok(figure(&curve, "Temperatures over time, with flames, beads and the window"))
}

fn told(outcome: &Outcome, units: Units) -> String {
    let mut told = if outcome.verdict == Verdict::NotAsked { Vec::new() } else { judged_facts(outcome, units) };
    told.extend(full_facts(outcome, units));
    told.push(("Heat", heat_words(outcome, units)));
    told.extend(supply(outcome, units));
    facts(&told)
}

fn measured(report: &Report) -> Result<String, Error> {
    let Some(comparison) = report.comparison else { return Ok(paragraph(NOT_COMPARED)) };
    let agreed = agreement(comparison, report.units);
    let drawing = plot::log(comparison, &style(report.units, 560))?;
    let on_curves = figure(&drawing, "What was read on the casting, on the computed curves");
    let told = comparison.readings.iter().any(|reading| reading.residual_k.is_some());
    if !told {
        return Ok(paragraph(&agreed) + &on_curves);
    }
    let less = plot::answer(plot::Answer::Residuals(comparison), &style(report.units, 520))?;
    Ok(paragraph(&agreed) + &on_curves + &figure(&less, "What was read less what is computed"))
}

fn style(units: Units, height: u32) -> Style {
    Style { units, height, ..Style::default() }
}

fn pictures(report: &Report) -> Result<String, Error> {
    let Report { outcome, units, .. } = *report;
    let mut figures = String::new();
    if let Some(film) = report.film {
        for (time_s, moment) in moments(outcome) {
            let Some(picture) = film.picture(time_s, &moment) else { continue };
            let map = plot::picture(&picture, outcome, &style(units, 1100))?;
            figures += &figure(&map, &format!("Worked face and section {moment}"));
        }
        let areas = plot::ledger_over_time(&film.ledgers(), &outcome.title, &style(units, 480))?;
        figures += &figure(&areas, "Where the heat is at each instant, stacked, on the grid of the maps");
    }
    let bars = plot::ledger(outcome, &Style { width: 640, ..style(units, 400) })?;
    Ok(figures + &figure(&bars, "The heat ledger over the whole run"))
}

/// The first flame-off, and the worst instant after it.
fn moments(outcome: &Outcome) -> Vec<(f64, String)> {
    let off = outcome.heats.first().map(|heat| (heat.end_s, "as the first flame goes off".to_owned()));
    let breach = outcome.first_breach.as_ref().map(|breach| (breach.time_s, "at the first breach".to_owned()));
    let last = outcome.passes.iter().rfind(|pass| pass.heat == 1);
    let worst = breach.or(last.map(|pass| (pass.start_s, format!("as bead {} starts", pass.number))));
    off.into_iter().chain(worst).collect()
}

fn beads_table(outcome: &Outcome, units: Units) -> String {
    let unit = temperature_unit(units);
    if let Some((header, rows, words)) = bead_columns(outcome, units) {
        return table(&format!("Ring as each bead starts, {unit}"), &header, &words, &rows);
    }
    let row = |pass: &study::PassStart| {
        vec![
            format!("{}.{}", pass.heat, pass.number),
            duration(pass.start_s),
            temperature_number(pass.coldest_c, units),
            temperature_number(pass.hottest_c, units),
            if pass.inside { "in" } else { "OUT" }.to_owned(),
        ]
    };
    let rows: Vec<Vec<String>> = outcome.passes.iter().map(row).collect();
    let header = ["bead", "start", "coldest", "hottest", "window"];
    table(&format!("Ring as each bead starts, {unit}"), &header, &[0], &rows)
}

fn inputs(report: &Report) -> String {
    let Report { outcome, units, .. } = *report;
    let row = |input: &InputEffect| {
        let hold = |hold_s: Option<f64>| hold_s.map_or_else(|| "not reached".to_owned(), duration);
        vec![
            input.input.clone(),
            format!("{:.2} to {:.2}", input.low, input.high),
            difference(input.margin_low_k, units),
            difference(input.margin_high_k, units),
            hold(input.hold_low_s),
            hold(input.hold_high_s),
            input.source.clone(),
        ]
    };
    let rows: Vec<Vec<String>> = outcome.inputs.iter().map(row).collect();
    let header = ["input", "range, x nominal", "margin at low", "at high", "hold at low", "at high", "range from"];
    let ranges = match rows.is_empty() {
        true => paragraph("No ranges are stated."),
        false => table("What each stated range does", &header, &[0, 6], &rows),
    };
    let assumed = outcome.welding.as_ref().map_or(&[][..], |day| &day.assumed);
    let assumed = match assumed {
        [] => String::new(),
        some => paragraph("Not stated, and taken from:") + &list(some),
    };
    ranges + &assumed
}

fn scenario(text: &str) -> String {
    if text.is_empty() { String::new() } else { format!("<pre>{}</pre>\n", safe::lines(text)) }
}

fn ledger(outcome: &Outcome, units: Units) -> String {
    let energy = |joules: f64| Energy::from_si(joules).show(units);
    let mut rows: Vec<Vec<String>> = ledger_lines(&outcome.ledger)
        .into_iter()
        .map(|line| {
            let share = line.share.map_or_else(String::new, |share| format!("{:.1} %", 100.0 * share));
            vec![line.what.to_owned(), energy(line.energy_j), share]
        })
        .collect();
    rows.push(vec!["not accounted for".to_owned(), energy(outcome.ledger.residual_j), String::new()]);
    table("Heat ledger of the whole run", &["heat", "energy", "share of heat in"], &[0], &rows)
}
