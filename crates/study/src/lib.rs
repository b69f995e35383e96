//! The questions: does this reheat interval hold, by how much, and why.
//!
//! A [`Question`] stands beside a [`heat::Case`]; [`check`] marches the case, judges it and returns an [`Outcome`],
//! the only thing that reports, JSON and pages ever see.

mod advice;
mod assemble;
mod check;
mod compare;
mod consumption;
mod estimate;
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
mod progress;
mod question;
mod reading;
mod request;
mod ring_width;
mod sweep;
mod swing;
mod vary;
mod welding;

pub use advice::{
    Advice, AdviceAsk, AdviceError, CRAYON_K, Crayon, Gun, Lagging, Look, Moment, RELAXED_K, Touch, advice,
};
pub use check::{Error, check, forecast};
pub use compare::{CompareAsk, ComparedReading, Comparison, PlaceCurve, SaidHow, Standing, compare};
pub use consumption::{ACETYLENE_HOURS, COLD_ACETYLENE_HOURS, Gas, Supply};
pub use field::{Volume, volume};
pub use film::{Film, film};
pub use fit::{
    BandPart, Fit, FitAsk, FitError, FitReading, Fitted, USUAL_NOISE_K, VerdictBand, VerdictBands, fit, with_fitted,
};
pub use hazard::Brittle;
pub use instruction::{ComeBack, FlameOff, HeatedPatch, Instruction, instruction};
pub use instrument::{gun_shows_c, probe_shows_c};
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
pub use welding::{ArcEffect, Bead, BeadFacts, Steel, WeldFacts, Welding};
