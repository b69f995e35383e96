//! The questions: does this reheat interval hold, by how much, and why.
//!
//! A [`Question`] stands beside a [`heat::Case`]; [`check`] marches the case, judges it and returns an [`Outcome`],
//! the only thing that reports, JSON and pages ever see.
//!
//! Beside it stand the questions that choose, generalise and explain, each with an answer of its own as plain data:
//! [`plan`] (the shortest job that holds), [`rules`] (the same over dies of every size), [`spread`] (what the stated ranges
//! do to the answer), [`cool`](mod@cool) (after the last bead) and [`explain`](mod@explain) (where the heat goes).

mod assemble;
mod check;
mod consumption;
pub mod cool;
pub mod explain;
mod hold;
mod judge;
mod outcome;
mod picture;
pub mod plan;
mod progress;
mod question;
mod request;
pub mod rules;
pub mod spread;
mod sweep;
mod vary;

pub use check::{Error, check, forecast};
pub use consumption::{ACETYLENE_HOURS, COLD_ACETYLENE_HOURS, Gas, Supply};
pub use outcome::{
    Breach, CastingFacts, Consumption, Crossing, CurvePoints, ErrorBars, HalfSpace, Heat, InputEffect, LedgerJ,
    Outcome, PassStart, Series, Stats, Verdict, Wanted, WindowC, WorstEnd,
};
pub use picture::{Outline, Picture, pictures};
pub use question::{Lever, Question, Range, Request, RingProbes, Watch, Window, ring_probes};
pub use sweep::{Swept, sweep};

/// JSON schema of an answer as it is serialised, without references.
#[must_use]
pub fn schema_of<T: schemars::JsonSchema>() -> schemars::Schema {
    let settings = schemars::generate::SchemaSettings::draft2020_12().for_serialize();
    settings.with(|settings| settings.inline_subschemas = true).into_generator().into_root_schema_for::<T>()
}
