//! Pictures of an outcome, as SVG text and PNG bytes.
//!
//! Each picture is first laid out as a list of marks in pixels, every text measured with the bundled font; the same
//! list is then drawn as SVG (large, scaled by its view box) or as PNG (at several times its size, then averaged).

mod answers;
mod areas;
mod axis;
mod bars;
mod comparison;
mod contour;
mod contrast;
mod curve;
mod frame;
mod graph;
mod heat_map;
mod isotherm;
mod layout;
mod ledger;
mod lines;
mod log;
mod panel;
mod picture;
mod place;
mod render;
mod scale;
mod scene;
mod spikes;
mod theme;

use quantity::Units;
use study::{Comparison, Fit, LedgerJ, Outcome, Picture};

use crate::words::printable;

pub(crate) use panel::span;
pub use theme::Theme;
pub(crate) use theme::turned_dark;

#[cfg(test)]
pub(crate) use contrast::contrast;

/// Narrowest and lowest picture on which the texts still find room, pixels.
const SMALLEST: (u32, u32) = (480, 320);
/// Widest and highest picture, pixels: a bitmap of it at three times the size still fits into memory.
const LARGEST: (u32, u32) = (4000, 4000);

/// How a picture looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// Width, pixels; 480 to 4000, the nearer end is taken outside.
    pub width: u32,
    /// Height, pixels; 320 to 4000, the nearer end is taken outside.
    pub height: u32,
    /// Light or dark.
    pub theme: Theme,
    /// Units of the axes and labels; with [`Units::Both`] the right axis is in shop units.
    pub units: Units,
}

impl Default for Style {
    fn default() -> Self {
        Self { width: 900, height: 560, theme: Theme::Light, units: Units::Metric }
    }
}

impl Style {
    fn size(&self) -> (f64, f64) {
        let width = self.width.clamp(SMALLEST.0, LARGEST.0);
        let height = self.height.clamp(SMALLEST.1, LARGEST.1);
        (f64::from(width), f64::from(height))
    }
}

/// Why a picture could not be drawn.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The bundled font could not be read.
    #[error("the bundled font could not be read")]
    Font,
    /// The drawing library refused.
    #[error("the picture could not be drawn: {reason}")]
    Draw {
        /// Its words.
        reason: String,
    },
    /// The PNG could not be written.
    #[error("the picture could not be written as PNG: {reason}")]
    Png {
        /// The words of the PNG library.
        reason: String,
    },
}

/// The temperatures over time as SVG: coldest, mean and hottest of the ring with the window, the flames and the
/// passes; in a plain run every probe.
///
/// # Errors
/// [`Error`] when the font or the drawing library fails, which no outcome causes.
pub fn cooling_curve(outcome: &Outcome, style: &Style) -> Result<String, Error> {
    render::svg(&curve::scene(outcome, style)?)
}

/// The same as PNG.
///
/// # Errors
/// [`Error`] as for [`cooling_curve`], or when the PNG cannot be encoded.
pub fn cooling_curve_png(outcome: &Outcome, style: &Style) -> Result<Vec<u8>, Error> {
    render::png(&curve::scene(outcome, style)?)
}

/// Where the heat went, as SVG: one bar for each term of the ledger.
///
/// # Errors
/// [`Error`] as for [`cooling_curve`].
pub fn ledger(outcome: &Outcome, style: &Style) -> Result<String, Error> {
    render::svg(&ledger::scene(outcome, style)?)
}

/// The same as PNG.
///
/// # Errors
/// [`Error`] as for [`cooling_curve_png`].
pub fn ledger_png(outcome: &Outcome, style: &Style) -> Result<Vec<u8>, Error> {
    render::png(&ledger::scene(outcome, style)?)
}

/// Where the heat is at each of some instants, as SVG: what has been put in so far, stored and lost, as areas stacked on
/// each other.
///
/// # Errors
/// [`Error`] as for [`cooling_curve`].
pub fn ledger_over_time(ledgers: &[(f64, LedgerJ)], title: &str, style: &Style) -> Result<String, Error> {
    render::svg(&areas::scene(ledgers, title, style)?)
}

/// The same as PNG.
///
/// # Errors
/// [`Error`] as for [`cooling_curve_png`].
pub fn ledger_over_time_png(ledgers: &[(f64, LedgerJ)], title: &str, style: &Style) -> Result<Vec<u8>, Error> {
    render::png(&areas::scene(ledgers, title, style)?)
}

/// The worked face and the section under the patch at one instant, as SVG: colours on one scale, isotherms at the
/// limits of the window and at round temperatures, the outlines of patch, ring and groove.
///
/// Both maps are drawn to one true scale, one above the other: a sheet about as high as wide shows them largest.
///
/// # Errors
/// [`Error`] as for [`cooling_curve`].
pub fn picture(picture: &Picture, outcome: &Outcome, style: &Style) -> Result<String, Error> {
    render::svg(&picture::scene(picture, outcome, None, style)?)
}

/// The same on a scale of colours from one temperature to another, Celsius, for pictures side by side.
///
/// # Errors
/// [`Error`] as for [`cooling_curve`].
pub fn picture_on(picture: &Picture, outcome: &Outcome, scale_c: [f64; 2], style: &Style) -> Result<String, Error> {
    render::svg(&picture::scene(picture, outcome, Some(scale_c), style)?)
}

/// The same as PNG.
///
/// # Errors
/// [`Error`] as for [`cooling_curve_png`].
pub fn picture_png(picture: &Picture, outcome: &Outcome, style: &Style) -> Result<Vec<u8>, Error> {
    render::png(&picture::scene(picture, outcome, None, style)?)
}

/// One probe, such as `ring_coldest`, of several outcomes with their names, as SVG: from each first flame-off to the
/// next flame, with the minimum and the time each stays above it. An outcome without flame or probe is left out.
///
/// # Errors
/// [`Error`] as for [`cooling_curve`].
pub fn comparison(outcomes: &[(&str, &Outcome)], probe: &str, style: &Style) -> Result<String, Error> {
    render::svg(&comparison::scene(outcomes, probe, style)?)
}

/// The same as PNG.
///
/// # Errors
/// [`Error`] as for [`cooling_curve_png`].
pub fn comparison_png(outcomes: &[(&str, &Outcome)], probe: &str, style: &Style) -> Result<Vec<u8>, Error> {
    render::png(&comparison::scene(outcomes, probe, style)?)
}

/// A log beside its scenario as SVG: each place as computed, what the stated ranges allow, and its readings with their
/// bars; crayon marks are triangles.
///
/// # Errors
/// [`Error`] as for [`cooling_curve`].
pub fn log(comparison: &Comparison, style: &Style) -> Result<String, Error> {
    render::svg(&log::scene(comparison, style)?)
}

/// The same as PNG.
///
/// # Errors
/// [`Error`] as for [`cooling_curve_png`].
pub fn log_png(comparison: &Comparison, style: &Style) -> Result<Vec<u8>, Error> {
    render::png(&log::scene(comparison, style)?)
}

/// Which picture of an answer.
#[derive(Clone, Copy, Debug)]
pub enum Answer<'a> {
    /// Hold over heating time of any disc, engine and closed form.
    Chart(&'a study::explain::Explanation),
    /// The same patch on other castings.
    Beside(&'a study::explain::Explanation),
    /// What each lever gains or loses, as bars.
    Levers(&'a study::explain::Explanation),
    /// Interval and beads of every cell, as a heat map; as large as its cells ask for.
    Rules(&'a study::rules::Table),
    /// Cooling of the worked face, bare and under a blanket.
    Cooling(&'a study::cool::Cool),
    /// Where most samples lie, and which input spreads the hold.
    Shares(&'a study::spread::Spread),
    /// Readings of a log less what is computed.
    Residuals(&'a Comparison),
    /// Readings of a heat-up less what the fitted torch gives.
    Fitted(&'a Fit),
}

fn answer_scene(answer: Answer<'_>, style: &Style) -> Result<scene::Scene, Error> {
    match answer {
        Answer::Chart(explanation) => graph::scene(&answers::chart(explanation), style),
        Answer::Beside(explanation) => graph::scene(&answers::beside(explanation, style), style),
        Answer::Levers(explanation) => {
            let heads = ["What lengthens the hold: gained or lost", &printable(&explanation.title)];
            bars::scene(heads, &[answers::levers(explanation, style)], style)
        }
        Answer::Rules(table) => heat_map::scene(table, style),
        Answer::Cooling(cool) => graph::scene(&answers::cooling(cool, style), style),
        Answer::Shares(spread) => {
            let (told, title) = (crate::spread::nine_of_ten(spread), printable(&spread.title));
            bars::scene([&told, &title], &answers::spread(spread), style)
        }
        Answer::Residuals(comparison) => {
            let about =
                "Bars: error of the reading (95 %) and of the computation. Crayons tell only a side and are left out.";
            let title = crate::compared::agreement(comparison, style.units);
            graph::scene(&answers::residuals(&title, about, &answers::of_comparison(comparison)), style)
        }
        Answer::Fitted(fit) => {
            let about = "Bars: twice the noise of a reading and the numerical error. With the fitted torch and everything \
                         else as stated.";
            let title = crate::fitted::first_sentence(fit, style.units);
            graph::scene(&answers::residuals(&title, about, &answers::of_fit(fit)), style)
        }
    }
}

/// A picture of an answer as SVG.
///
/// # Errors
/// [`Error`] as for [`cooling_curve`].
pub fn answer(answer: Answer<'_>, style: &Style) -> Result<String, Error> {
    render::svg(&answer_scene(answer, style)?)
}

/// The same as PNG.
///
/// # Errors
/// [`Error`] as for [`cooling_curve_png`].
pub fn answer_png(answer: Answer<'_>, style: &Style) -> Result<Vec<u8>, Error> {
    render::png(&answer_scene(answer, style)?)
}
