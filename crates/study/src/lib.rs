//! The questions: does this reheat interval hold, by how much, and why.
//!
//! A [`Question`] stands beside a [`heat::Case`]; [`check`] marches the case, judges it and returns an [`Outcome`],
//! the only thing that reports, JSON and pages ever see.

mod assemble;
mod check;
mod consumption;
mod hold;
mod judge;
mod outcome;
mod picture;
mod progress;
mod question;
mod request;
mod ring_width;
mod sweep;
mod vary;
mod welding;

pub use check::{Error, check, forecast};
pub use consumption::{ACETYLENE_HOURS, COLD_ACETYLENE_HOURS, Gas, Supply};
pub use outcome::{
    Breach, CastingFacts, Consumption, Crossing, CurvePoints, ErrorBars, HalfSpace, Heat, InputEffect, LedgerJ,
    Outcome, PassStart, Series, Stats, Verdict, Wanted, WindowC, WorstEnd,
};
pub use picture::{Outline, Picture, pictures};
pub use question::{Lever, Question, Range, Request, RingProbes, Watch, Window, ring_probes};
pub use ring_width::{RingFacts, RingRule};
pub use sweep::{Swept, sweep};
pub use welding::{ArcEffect, Bead, BeadFacts, Steel, WeldFacts, Welding};
