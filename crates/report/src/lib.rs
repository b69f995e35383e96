//! An [`Outcome`](study::Outcome) as text, JSON, CSV, SVG, PNG, HTML and VTK; one file per format.
//!
//! Nothing here computes, judges or prints: every function takes an outcome and returns a `String` or bytes. The
//! same outcome gives the same bytes.
//!
//! | format | function |
//! |---|---|
//! | text for a person | [`text()`] |
//! | the same of a fit, a comparison, advice | [`fit_text`], [`comparison_text`], [`advice_text`] |
//! | JSON, SI units | [`json()`] |
//! | CSV of what a plot shows | [`csv()`] |
//! | CSV of the maps | [`maps_csv()`] |
//! | CSV of the beads | [`beads_csv()`] |
//! | cooling curve, SVG and PNG | [`plot::cooling_curve`], [`plot::cooling_curve_png`] |
//! | where the heat went, SVG and PNG | [`plot::ledger`], [`plot::ledger_png`] |
//! | maps of face and section, SVG and PNG | [`plot::picture`], [`plot::picture_png`] |
//! | a log beside its scenario, SVG and PNG | [`plot::log`], [`plot::log_png`] |
//! | areas of heat over time, SVG | [`plot::ledger_over_time`] |
//! | report, shop card, log sheet, trainer's page, HTML | [`html`] |
//! | fields for general viewers, VTK XML | [`vtk_files`] |
//! | one probe of several outcomes, SVG and PNG | [`plot::comparison`], [`plot::comparison_png`] |

mod advised;
mod beads;
mod compared;
mod csv;
mod fitted;
pub mod html;
mod json;
pub mod plot;
mod spans;
mod tables;
mod text;
mod vtk;
mod words;
mod wrap;

pub use advised::advice_text;
pub use beads::beads_csv;
pub use compared::comparison_text;
pub use csv::{csv, maps_csv};
pub use fitted::{fit_text, fitted_value};
pub use json::json;
pub use quantity::Units;
pub use text::{full_text, supply_line, text, verdict_line};
pub use vtk::vtk_files;
