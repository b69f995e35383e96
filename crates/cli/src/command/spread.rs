//! `spread`: how far the stated ranges spread the answer.

use warmhold::report;
use warmhold::report::plot::Answer;
use warmhold::study::spread::{Wishes, spread};

use super::check::{draw_into, picture, style, tell_built_in};
use crate::ask::Spread;
use crate::failure::Failure;
use crate::{INTERRUPTED, input, output, run};

/// Answers; the exit code is 0 for any answer, since no verdict is asked.
pub(crate) fn run(asked: &Spread) -> Result<u8, Failure> {
    let format = asked.draw.plot.as_deref().map(picture).transpose()?;
    asked.draw.plot.iter().try_for_each(|path| output::must_be_free(path, asked.draw.force))?;
    run::use_threads(asked.show.threads)?;
    let scenario = input::scenario(asked.about.file.as_deref(), &asked.about.set)?;
    let wishes = Wishes { samples: asked.samples, seed: asked.seed };
    let answer = run::timed(&asked.show, || {
        run::watching(|keep_going| spread(&scenario.case, &scenario.question, wishes, keep_going))
    })?;
    let Some(answer) = answer else { return Ok(run::nothing_to_show()) };
    tell_built_in(asked.about.file.as_deref());
    let units = asked.show.units.into();
    output::print(&if asked.show.json { report::json(&answer) } else { report::spread(&answer, units) })?;
    if asked.draw.plot.is_some() && answer.together_of_hold.is_none() {
        return Err(nothing_to_draw(&answer));
    }
    let style = style(&asked.show, asked.draw.looks);
    draw_into((&asked.draw.plot, format), Answer::Shares(&answer), style, asked.draw.force)?;
    Ok(if run::stopped() { INTERRUPTED } else { 0 })
}

/// Bars of no length would be read as a result.
fn nothing_to_draw(answer: &warmhold::study::spread::Spread) -> Failure {
    let few = answer.samples < answer.shares_need;
    let why = if few {
        format!("{} samples are too few to tell the shares: write --samples {}", answer.samples, answer.shares_need)
    } else {
        "the hold is the same in every sample".to_owned()
    };
    Failure::Options { faults: vec![format!("no picture was drawn: {why}")], hint: "" }
}
