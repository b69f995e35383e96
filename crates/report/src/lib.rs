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
//! | a plan, rules, a spread, a cool-down, an explanation as text | [`plan()`], [`rules()`], [`spread()`], [`cool()`], [`explain()`] |
//! | rules as Markdown and CSV | [`rules_markdown()`], [`rules_csv()`] |
//! | pictures of those answers, SVG and PNG | [`plot::answer`], [`plot::answer_png`] |
//! | any answer as JSON | [`json()`] |
//! | areas of heat over time, SVG | [`plot::ledger_over_time`] |
//! | report, shop card, log sheet, trainer's page, HTML | [`html`] |
//! | fields for general viewers, VTK XML | [`vtk_files`] |
//! | one probe of several outcomes, SVG and PNG | [`plot::comparison`], [`plot::comparison_png`] |

mod advised;
mod asides;
mod beads;
mod compared;
mod cool;
mod csv;
mod explain;
mod fitted;
pub mod html;
mod json;
mod plan;
pub mod plot;
mod rules;
mod spans;
mod spread;
mod tables;
mod text;
mod vtk;
mod words;
mod wrap;

pub use advised::advice_text;
pub use beads::beads_csv;
pub use compared::comparison_text;
pub use cool::cool;
pub use csv::{csv, maps_csv};
pub use explain::explain;
pub use fitted::{fit_text, fitted_value};
pub use json::json;
pub use plan::plan;
pub use quantity::Units;
pub use rules::{JournalError, journal_head, journal_line, read_journal, rules, rules_csv, rules_markdown};
pub use spread::spread;
pub use text::{full_text, supply_line, text, verdict_line};
pub use vtk::vtk_files;
