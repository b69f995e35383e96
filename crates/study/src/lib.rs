//! The questions: does this reheat interval hold, by how much, and why.
//!
//! A [`Question`] stands beside a [`heat::Case`]; [`check`] marches the case, judges it and returns an [`Outcome`],
//! the only thing that reports, JSON and pages ever see.

mod assemble;
mod check;
mod consumption;
mod estimate;
mod fit;
mod hold;
mod judge;
mod outcome;
mod picture;
mod progress;
mod question;
mod reading;
mod request;
mod sweep;
mod vary;

pub use check::{Error, check, forecast};
pub use consumption::{ACETYLENE_HOURS, COLD_ACETYLENE_HOURS, Gas, Supply};
pub use fit::{
    BandPart, Fit, FitAsk, FitError, FitReading, Fitted, USUAL_NOISE_K, VerdictBand, VerdictBands, fit, with_fitted,
};
pub use outcome::{
    Breach, CastingFacts, Consumption, Crossing, CurvePoints, ErrorBars, HalfSpace, Heat, InputEffect, LedgerJ,
    Outcome, PassStart, Series, Stats, Verdict, Wanted, WindowC, WorstEnd,
};
pub use picture::{Outline, Picture, pictures};
pub use question::{Lever, Question, Range, Request, RingProbes, Watch, Window, ring_probes};
pub use reading::{Reading, Said, Spot};
pub use sweep::{Swept, sweep};
