//! `check`: does the schedule of a scenario hold on its casting?

use std::path::{Path, PathBuf};

use warmhold::report::plot::{self, Style, Theme};
use warmhold::study::Outcome;
use warmhold::{report, scenario, study};

use crate::args::{Check, Looks, MapAt, Show};
use crate::failure::Failure;
use crate::{INTERRUPTED, input, output, run};

const BUILT_IN: &str = "No scenario given: this is the built-in demonstration (`warmhold example` prints it).\n\n";

/// A picture format by its file ending.
#[derive(Clone, Copy)]
pub(super) enum Picture {
    Svg,
    Png,
}

/// Answers, and returns the exit code of the verdict.
pub(crate) fn run(check: &Check) -> Result<u8, Failure> {
    let picture = check.plot.as_deref().map(picture).transpose()?;
    let map = check.map.as_deref().map(map_format).transpose()?;
    let ledger = check.ledger.as_deref().map(self::picture).transpose()?;
    run::use_threads(check.show.threads)?;
    let scenario = input::scenario(check.file.as_deref(), &check.set)?;
    for path in check.plot.iter().chain(&check.map).chain(&check.ledger).chain(&check.csv).chain(&check.bead_csv) {
        output::must_be_free(path, check.force)?;
    }
    if let Some(folder) = &check.field {
        super::field::must_be_free(folder, check.force)?;
    }
    if check.forecast {
        output::print(&forecast(&scenario)?)?;
        return Ok(0);
    }
    let outcome = solve(&scenario, &check.show)?;
    let text = match (check.show.json, check.full) {
        (true, _) => report::json(&outcome),
        (false, true) => report::full_text(&outcome, check.show.units.into()),
        (false, false) => report::text(&outcome, check.show.units.into()),
    };
    tell_built_in(check.file.as_deref());
    // The answer first: a file that cannot be written must not take it away.
    output::print(&text)?;
    if let (Some(path), Some(picture)) = (&check.plot, picture) {
        output::write_file(path, &draw(&outcome, picture, style(&check.show, check.looks))?, check.force)?;
    }
    // A map marches once more, which is not what Ctrl-C asked for.
    if let (Some(path), Some(format), false) = (&check.map, map, run::stopped()) {
        output::write_file(path, &draw_map((&scenario, &outcome), format, check)?, check.force)?;
    }
    if let (Some(path), Some(format), false) = (&check.ledger, ledger, run::stopped()) {
        output::write_file(path, &draw_ledger((&scenario, &outcome), format, check)?, check.force)?;
    }
    if let Some(path) = &check.csv {
        output::write_file(path, report::csv(&outcome).as_bytes(), check.force)?;
    }
    if let Some(path) = &check.bead_csv {
        output::write_file(path, report::beads_csv(&outcome).as_bytes(), check.force)?;
    }
    if let (Some(folder), false) = (&check.field, run::stopped()) {
        super::field::write((&scenario, &outcome), folder, check.force)?;
    }
    Ok(exit_code(&outcome))
}

/// Says what was answered about where no scenario was given.
pub(super) fn tell_built_in(file: Option<&Path>) {
    if file.is_none() {
        output::complain(BUILT_IN);
    }
}

/// What the computation would take, in words.
fn forecast(scenario: &scenario::Scenario) -> Result<String, Failure> {
    let forecast = study::forecast(&scenario.case, &scenario.question)?;
    Ok(format!(
        "This takes about {} cells and {} steps, {} MB of memory, and {} on one core of a 2.6 GHz machine, \
         give or take a factor of two.\n",
        forecast.cells,
        forecast.steps,
        forecast.bytes.div_ceil(1 << 20),
        if forecast.seconds < 1.0 { "under a second".to_owned() } else { format!("{:.0} s", forecast.seconds) },
    ))
}

/// Computes, and says how long it took when asked.
pub(crate) fn solve(scenario: &scenario::Scenario, show: &Show) -> Result<Outcome, Failure> {
    run::timed(show, || run::check(scenario))
}

pub(super) fn exit_code(outcome: &Outcome) -> u8 {
    if outcome.interrupted { INTERRUPTED } else { outcome.verdict.exit_code() }
}

pub(super) fn picture(path: &Path) -> Result<Picture, Failure> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("svg") => Ok(Picture::Svg),
        Some("png") => Ok(Picture::Png),
        _ => Err(Failure::PictureFormat { path: path.to_owned() }),
    }
}

/// A map is drawn, or its numbers are written.
fn map_format(path: &Path) -> Result<Option<Picture>, Failure> {
    let is_table = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
    if is_table { Ok(None) } else { picture(path).map(Some) }
}

fn draw_map(
    (scenario, outcome): (&scenario::Scenario, &Outcome),
    format: Option<Picture>,
    check: &Check,
) -> Result<Vec<u8>, Failure> {
    let pictures = run::pictures(scenario, outcome)?;
    let Some(format) = format else { return Ok(report::maps_csv(&pictures).into_bytes()) };
    let chosen = if check.map_at == MapAt::FlameOff { pictures.first() } else { pictures.last() };
    let picture = chosen.ok_or(Failure::NothingToMap)?;
    let style = Style { height: 1100, ..style(&check.show, check.looks) };
    Ok(match format {
        Picture::Svg => plot::picture(picture, outcome, &style)?.into_bytes(),
        Picture::Png => plot::picture_png(picture, outcome, &style)?,
    })
}

/// Instants of the ledger; no map is shown, so its places are few.
const LEDGER: (usize, usize) = (3, 120);

/// The heat booked at many instants of one more run, on one grid.
fn draw_ledger(
    (scenario, outcome): (&scenario::Scenario, &Outcome),
    format: Picture,
    check: &Check,
) -> Result<Vec<u8>, Failure> {
    let film = run::film(scenario, outcome, LEDGER)?.ok_or(Failure::NothingToMap)?;
    let (ledgers, style) = (film.ledgers(), style(&check.show, check.looks));
    Ok(match format {
        Picture::Svg => plot::ledger_over_time(&ledgers, &outcome.title, &style)?.into_bytes(),
        Picture::Png => plot::ledger_over_time_png(&ledgers, &outcome.title, &style)?,
    })
}

/// How a picture of this answer looks.
pub(super) fn style(show: &Show, looks: Looks) -> Style {
    let theme = if looks.dark { Theme::Dark } else { Theme::Light };
    Style { units: show.units.into(), theme, ..Style::default() }
}

pub(super) fn draw(outcome: &Outcome, picture: Picture, style: Style) -> Result<Vec<u8>, Failure> {
    Ok(match picture {
        Picture::Svg => plot::cooling_curve(outcome, &style)?.into_bytes(),
        Picture::Png => plot::cooling_curve_png(outcome, &style)?,
    })
}

/// Draws any other answer into its file, where one was asked for.
pub(super) fn draw_into(
    (path, picture): (&Option<PathBuf>, Option<Picture>),
    answer: plot::Answer<'_>,
    style: Style,
    force: bool,
) -> Result<(), Failure> {
    let (Some(path), Some(picture)) = (path, picture) else { return Ok(()) };
    let bytes = match picture {
        Picture::Svg => plot::answer(answer, &style)?.into_bytes(),
        Picture::Png => plot::answer_png(answer, &style)?,
    };
    output::write_file(path, &bytes, force)
}
