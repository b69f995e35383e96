//! `fit`: a torch made yours in one heat-up.

use std::fmt::Write;

use warmhold::heat::Case;
use warmhold::quantity::{Duration, Temperature, TemperatureDifference, Units};
use warmhold::scenario::{self, Scenario};
use warmhold::study::{self, FitAsk, Fitted, Reading, Said, USUAL_NOISE_K, VerdictBand, VerdictBands};
use warmhold::{report, report::plot, study::Fit as Answer};

use super::check::{draw_into, picture, style};
use crate::args::Fit;
use crate::failure::Failure;
use crate::{input, output, run};

/// Answers; the exit code is 0 for any answer.
pub(crate) fn run(fit: &Fit) -> Result<u8, Failure> {
    let format = fit.plot.as_deref().map(picture).transpose()?;
    fit.write.iter().chain(&fit.plot).try_for_each(|path| output::must_be_free(path, fit.force))?;
    run::use_threads(fit.show.threads)?;
    let scenario = input::scenario(Some(&fit.file), &fit.set)?;
    let ask = ask(fit, &scenario)?;
    let start = std::time::Instant::now();
    let mut answer = run::fit(&scenario, &ask)?;
    answer.verdict = verdicts(&scenario, &answer)?;
    if fit.show.timings {
        output::complain(&format!("computed in {:.2} s\n", start.elapsed().as_secs_f64()));
    }
    let text = match fit.show.json {
        true => report::json(&answer),
        false => report::fit_text(&answer, fit.show.units.into()) + "\n" + &how_to_use(fit, &answer),
    };
    output::print(&text)?;
    let style = style(&fit.show, fit.looks);
    draw_into((&fit.plot, format), plot::Answer::Fitted(&answer), style, fit.force)?;
    if let Some(path) = &fit.write {
        output::write_file(path, fragment(&answer).as_bytes(), fit.force)?;
    }
    Ok(if run::stopped() { crate::INTERRUPTED } else { 0 })
}

fn ask(fit: &Fit, scenario: &Scenario) -> Result<FitAsk, Failure> {
    let mut faults = Vec::new();
    let mut readings: Vec<Reading> = Vec::new();
    for text in &fit.reading {
        match scenario::reading(text, &scenario.case) {
            Ok(reading) => readings.push(reading),
            Err(fault) => faults.push(format!("--reading: {fault}")),
        }
    }
    let noise_k = noise(fit.noise.as_deref(), &mut faults);
    let flame_off_s = fit.flame_off.as_deref().and_then(|text| seconds("--flame-off", text, &mut faults));
    if !faults.is_empty() {
        return Err(Failure::Options { faults, hint: "" });
    }
    if let Some(path) = &fit.log {
        readings.extend(input::log(path, scenario)?);
    }
    let faults = colder_than_the_start(&readings, &scenario.case, noise_k);
    if !faults.is_empty() {
        return Err(Failure::Options { faults, hint: "" });
    }
    Ok(FitAsk { readings, noise_k, flame_off_s })
}

/// Readings colder than the casting can have been: below its start and below all air around it.
fn colder_than_the_start(readings: &[Reading], case: &Case, noise_k: f64) -> Vec<String> {
    const DEVIATIONS: f64 = 5.0;
    let coldest_c = case.surfaces.iter().map(|surface| surface.air_c).fold(case.start_c, f64::min);
    let told = |reading: &Reading| {
        let Said::Reads(celsius) = reading.said else { return None };
        let show = |celsius| Temperature::from_celsius(celsius).show(Units::Both);
        let whose = reading.line.map_or_else(|| "--reading".to_owned(), |line| format!("--log, line {line}"));
        (celsius < coldest_c - DEVIATIONS * noise_k).then(|| {
            format!(
                "{whose}: {} is below casting.start, {}: a flame does not cool. Check its unit, or mend casting.start",
                show(celsius),
                show(case.start_c)
            )
        })
    };
    readings.iter().filter_map(told).collect()
}

/// Standard deviation of a reading, K.
pub(super) fn noise(text: Option<&str>, faults: &mut Vec<String>) -> f64 {
    let Some(text) = text else { return USUAL_NOISE_K };
    match text.parse::<TemperatureDifference>() {
        Ok(noise) if (0.01..=100.0).contains(&noise.si()) => noise.si(),
        Ok(_) => {
            faults.push(format!("--noise \"{}\": accepted from 0.01 K to 100 K", output::printable(text)));
            USUAL_NOISE_K
        }
        Err(error) => {
            faults.push(format!("--noise: {error}"));
            USUAL_NOISE_K
        }
    }
}

/// A time above zero, s.
pub(super) fn seconds(option: &str, text: &str, faults: &mut Vec<String>) -> Option<f64> {
    match text.parse::<Duration>() {
        Ok(time) if time.si() > 0.0 && time.si() <= 30.0 * 24.0 * 3600.0 => Some(time.si()),
        Ok(_) => {
            faults.push(format!("{option} \"{}\": accepted above 0 s, up to 30 days", output::printable(text)));
            None
        }
        Err(error) => {
            faults.push(format!("{option}: {error}"));
            None
        }
    }
}

/// The verdict as stated and as fitted; none without a window, or when stopped.
fn verdicts(scenario: &Scenario, fit: &Answer) -> Result<Option<VerdictBands>, Failure> {
    if scenario.question.window.is_none() || run::stopped() {
        return Ok(None);
    }
    let before = run::check(scenario)?;
    let (case, question) = study::with_fitted(&scenario.case, &scenario.question, fit).map_err(study::Error::from)?;
    let after = run::check(&Scenario { case, question })?;
    let bands = VerdictBands { before: VerdictBand::of(&before), after: VerdictBand::of(&after) };
    Ok((!before.interrupted && !after.interrupted).then_some(bands))
}

/// The section, the two keys and their values, as a scenario writes them.
fn keys(fit: &Answer) -> (&'static str, [(&'static str, String); 2]) {
    let share = |value: f64| format!("\"{:.2} %\"", 100.0 * value.min(1.0));
    let flux = |value: f64| format!("\"{:.3} kW/m2\"", 1e-3 * value);
    let film = |value: f64| format!("\"{value:.3} W/m2K\"");
    let both = |show: &dyn Fn(f64) -> String| {
        let [low, high] = fit.band.map(show);
        (show(fit.value), format!("[{low}, {high}]"))
    };
    let (section, names, (value, range)) = match fit.fitted {
        Fitted::GasShare => ("torch.fuel", ["share", "share_range"], both(&share)),
        Fitted::PowerShare => ("torch.electric", ["share", "share_range"], both(&share)),
        Fitted::Flux => ("torch.flux", ["flux", "range"], both(&flux)),
        Fitted::FilmCoefficient => ("torch.flame", ["film_coefficient", "range"], both(&film)),
    };
    (section, [(names[0], value), (names[1], range)])
}

/// The fitted torch as lines of a scenario.
fn fragment(fit: &Answer) -> String {
    let (section, keys) = keys(fit);
    let mut text =
        String::from("# Written by `warmhold fit`: put these lines in place of the same keys of the scenario.\n");
    for reading in &fit.readings {
        let time = Duration::from_si(reading.time_s).show(Units::Metric);
        // Writing into a text cannot fail.
        let _ = writeln!(text, "# read {:.1} C at {time}, {}", reading.measured_c, output::printable(&reading.place));
    }
    let _ = writeln!(text, "# noise of a reading {:.2} K; the range is a 95 % band\n[{section}]", fit.noise_k);
    for (name, value) in keys {
        let _ = writeln!(text, "{name} = {value}");
    }
    text
}

fn how_to_use(fit: &Fit, answer: &Answer) -> String {
    let (section, keys) = keys(answer);
    let file = output::shown(&fit.file);
    let sets: Vec<String> = keys.iter().map(|(name, value)| format!("--set '{section}.{name}={value}'")).collect();
    format!("To use it:\n  warmhold check {file} \\\n    {}\n", sets.join(" \\\n    "))
}
