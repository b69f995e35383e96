//! `compare`: do the temperatures of a log agree with a scenario?

use warmhold::report;
use warmhold::report::plot::{self, Answer, Style};
use warmhold::study::{CompareAsk, Comparison};

use super::check::{Picture, draw_into, picture, style};
use super::fit::noise;
use crate::args::Compare;
use crate::failure::Failure;
use crate::{INTERRUPTED, input, output, run};

/// Exit code of a log that does not agree.
const DISAGREES: u8 = 1;

/// Answers; the exit code says whether model and log agree.
pub(crate) fn run(compare: &Compare) -> Result<u8, Failure> {
    let format = compare.plot.as_deref().map(picture).transpose()?;
    let off = compare.residuals.as_deref().map(picture).transpose()?;
    compare.plot.iter().chain(&compare.residuals).try_for_each(|path| output::must_be_free(path, compare.force))?;
    let mut faults = Vec::new();
    let noise_k = noise(compare.noise.as_deref(), &mut faults);
    if !faults.is_empty() {
        return Err(Failure::Options { faults, hint: "" });
    }
    run::use_threads(compare.show.threads)?;
    let scenario = input::scenario(Some(&compare.file), &compare.set)?;
    let readings = input::log(&compare.log, &scenario)?;
    let start = std::time::Instant::now();
    let comparison = run::compare(&scenario, &CompareAsk { readings, noise_k })?;
    if compare.show.timings {
        output::complain(&format!("computed in {:.2} s\n", start.elapsed().as_secs_f64()));
    }
    if comparison.interrupted {
        // Readings beyond what was computed would look as if they disagreed.
        output::complain("Interrupted: there is nothing to compare with.\n");
        return Ok(INTERRUPTED);
    }
    output::print(&match compare.show.json {
        true => report::json(&comparison),
        false => report::comparison_text(&comparison, compare.show.units.into()),
    })?;
    let style = style(&compare.show, compare.looks);
    if let (Some(path), Some(format)) = (&compare.plot, format) {
        output::write_file(path, &draw(&comparison, format, style)?, compare.force)?;
    }
    draw_into((&compare.residuals, off), Answer::Residuals(&comparison), style, compare.force)?;
    Ok(if comparison.agrees { 0 } else { DISAGREES })
}

fn draw(comparison: &Comparison, format: Picture, style: Style) -> Result<Vec<u8>, Failure> {
    Ok(match format {
        Picture::Svg => plot::log(comparison, &style)?.into_bytes(),
        Picture::Png => plot::log_png(comparison, &style)?,
    })
}
