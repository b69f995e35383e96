//! `cool`: from the last bead until the casting can be ground, inspected, touched and measured.

use warmhold::report;
use warmhold::report::plot::Answer;
use warmhold::study::Verdict;
use warmhold::study::cool::{Blanket, Cool as Answered, Wishes, cool};

use super::check::{draw_into, picture, style, tell_built_in};
use crate::ask::Cool;
use crate::failure::Failure;
use crate::{input, output, run};

/// Answers: 0, or 1 where the ring cools faster than the limit, 3 where that is too close to call.
pub(crate) fn run(asked: &Cool) -> Result<u8, Failure> {
    let format = asked.draw.plot.as_deref().map(picture).transpose()?;
    asked.draw.plot.iter().try_for_each(|path| output::must_be_free(path, asked.draw.force))?;
    run::use_threads(asked.show.threads)?;
    let scenario = input::scenario(asked.about.file.as_deref(), &asked.about.set)?;
    let blanket = Blanket { thickness_m: asked.blanket, conductivity_w_mk: asked.blanket_conductivity };
    let wishes =
        Wishes { blanket, limit_k_s: asked.limit, below_c: asked.below.clone(), contours_c: asked.contour.clone() };
    let answer = run::timed(&asked.show, || {
        run::watching(|keep_going| cool(&scenario.case, &scenario.question, &wishes, keep_going))
    })?;
    let Some(answer) = answer else { return Ok(run::nothing_to_show()) };
    tell_built_in(asked.about.file.as_deref());
    let units = asked.show.units.into();
    output::print(&if asked.show.json { report::json(&answer) } else { report::cool(&answer, units) })?;
    let style = style(&asked.show, asked.draw.looks);
    draw_into((&asked.draw.plot, format), Answer::Cooling(&answer), style, asked.draw.force)?;
    Ok(verdict(&answer).exit_code())
}

fn verdict(cool: &Answered) -> Verdict {
    match cool.limit_k.map(|limit| limit - cool.bare.fall_in_an_hour_k) {
        None => Verdict::NotAsked,
        Some(margin) if margin.abs() < cool.bare.fall_error_k => Verdict::TooCloseToCall,
        Some(margin) if margin < 0.0 => Verdict::FallsShort,
        Some(_) => Verdict::Holds,
    }
}
