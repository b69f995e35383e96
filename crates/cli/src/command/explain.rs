//! `explain`: where the heat goes, and what lengthens the hold.

use warmhold::report;
use warmhold::report::plot::Answer;
use warmhold::study::explain::explain;

use super::check::{draw_into, picture, style, tell_built_in};
use crate::ask::Explain;
use crate::failure::Failure;
use crate::{input, output, run};

/// Answers; the exit code is 0 for any answer, since no verdict is asked.
pub(crate) fn run(asked: &Explain) -> Result<u8, Failure> {
    let files = [&asked.draw.plot, &asked.levers, &asked.chart];
    let [plot, levers, chart] = files.map(|path| path.as_deref().map(picture).transpose());
    let (plot, levers, chart) = (plot?, levers?, chart?);
    files.into_iter().flatten().try_for_each(|path| output::must_be_free(path, asked.draw.force))?;
    run::use_threads(asked.show.threads)?;
    let scenario = input::scenario(asked.about.file.as_deref(), &asked.about.set)?;
    let answer = run::timed(&asked.show, || {
        run::watching(|keep_going| explain(&scenario.case, &scenario.question, keep_going))
    })?;
    let Some(answer) = answer else { return Ok(run::nothing_to_show()) };
    tell_built_in(asked.about.file.as_deref());
    let units = asked.show.units.into();
    output::print(&if asked.show.json { report::json(&answer) } else { report::explain(&answer, units) })?;
    let pictures =
        [(Answer::Beside(&answer), plot), (Answer::Levers(&answer), levers), (Answer::Chart(&answer), chart)];
    for ((what, format), path) in pictures.into_iter().zip(files) {
        draw_into((path, format), what, style(&asked.show, asked.draw.looks), asked.draw.force)?;
    }
    Ok(0)
}
