//! The questions: does this reheat interval hold, by how much, and why.
//!
//! A [`Question`] stands beside a [`heat::Case`]; [`check`] marches the case, judges it and returns an [`Outcome`],
//! the only thing that reports, JSON and pages ever see.
//!
//! Beside it stand the questions that choose, generalise and explain, each with an answer of its own as plain data:
//! [`plan`] (the shortest job that holds), [`rules`] (the same over dies of every size), [`spread`] (what the stated ranges
//! do to the answer), [`cool`](mod@cool) (after the last bead) and [`explain`](mod@explain) (where the heat goes).

mod advice;
mod aside;
mod assemble;
mod check;
mod compare;
mod consumption;
pub mod cool;
mod estimate;
pub mod explain;
mod field;
mod film;
mod fit;
mod hazard;
mod hold;
mod instruction;
mod instrument;
mod judge;
mod outcome;
mod pause;
mod picture;
pub mod plan;
mod progress;
mod question;
mod reading;
mod request;
mod ring_width;
pub mod rules;
mod said;
pub mod spread;
mod sweep;
mod swing;
mod touching;
mod vary;
mod welding;

pub use advice::{
    Advice, AdviceAsk, AdviceError, CRAYON_K, Crayon, Gun, Lagging, Look, Moment, RELAXED_K, Touch, advice,
};
pub use aside::Aside;
pub use check::{Error, check, forecast};
pub use compare::{CompareAsk, ComparedReading, Comparison, PlaceCurve, SaidHow, Standing, compare};
pub use consumption::{ACETYLENE_HOURS, COLD_ACETYLENE_HOURS, Gas, Supply};
pub use field::{Volume, volume};
pub use film::{Film, film};
pub use fit::{
    BandPart, Fit, FitAsk, FitError, FitReading, Fitted, USUAL_NOISE_K, VerdictBand, VerdictBands, fit, with_fitted,
};
pub use hazard::Brittle;
pub use hold::FOLLOWED_S;
pub use instruction::{ComeBack, FlameOff, HeatedPatch, Instruction, MadeFor, TorchHeat, Work, instruction};
pub use instrument::{gun_shows_c, probe_shows_c};
pub use judge::Limit;
pub use outcome::{
    Breach, CastingFacts, Consumption, Crossing, CurvePoints, ErrorBars, HalfSpace, Heat, InputEffect, LedgerJ,
    Outcome, PassStart, Series, Stats, Verdict, Wanted, WindowC, WorstEnd,
};
pub use pause::Pause;
pub use picture::{Outline, Picture, pictures};
pub use question::{Lever, Question, Range, Request, RingProbes, Watch, Window, ring_probes};
pub use reading::{Reading, Said, Spot};
pub use ring_width::{RingFacts, RingRule};
pub use sweep::{Swept, sweep};
pub use touching::{Doing, Heating, SOON_S, Span, Step, Touching, touching};
pub use welding::{ArcEffect, Bead, BeadFacts, Steel, WeldFacts, Welding};

/// An hour, s.
pub(crate) const HOUR_S: f64 = 3600.0;

/// JSON schema of an answer as it is serialised, without references.
#[must_use]
pub fn schema_of<T: schemars::JsonSchema>() -> schemars::Schema {
    let settings = schemars::generate::SchemaSettings::draft2020_12().for_serialize();
    settings.with(|settings| settings.inline_subschemas = true).into_generator().into_root_schema_for::<T>()
}
