//! An [`Outcome`](study::Outcome) as text, JSON, CSV, SVG and PNG; one file per format.
//!
//! Nothing here computes, judges or prints: every function takes an outcome and returns a `String` or bytes. The
//! same outcome gives the same bytes.
//!
//! | format | function |
//! |---|---|
//! | text for a person | [`text()`] |
//! | JSON, SI units | [`json()`] |
//! | CSV of what a plot shows | [`csv()`] |
//! | CSV of the maps | [`maps_csv()`] |
//! | CSV of the beads | [`beads_csv()`] |
//! | cooling curve, SVG and PNG | [`plot::cooling_curve`], [`plot::cooling_curve_png`] |
//! | where the heat went, SVG and PNG | [`plot::ledger`], [`plot::ledger_png`] |
//! | maps of face and section, SVG and PNG | [`plot::picture`], [`plot::picture_png`] |
//! | one probe of several outcomes, SVG and PNG | [`plot::comparison`], [`plot::comparison_png`] |

mod beads;
mod csv;
mod json;
pub mod plot;
mod spans;
mod tables;
mod text;
mod words;
mod wrap;

pub use beads::beads_csv;
pub use csv::{csv, maps_csv};
pub use json::json;
pub use quantity::Units;
pub use text::{full_text, text};
