//! How long a torch-heated patch on a heavy casting stays above its minimum temperature, and whether a chosen reheat
//! interval holds.
//!
//! A first program reads a scenario, checks it and prints the verdict:
//!
//! ```
//! use warmhold::{report, scenario, study};
//!
//! fn main() -> Result<(), Box<dyn std::error::Error>> {
//!     let coarse = scenario::Override::parse("accuracy.cells_across=6")?;
//!     let scenario = scenario::read(scenario::DEMONSTRATION, "demonstration", &[coarse])?;
//!     let outcome = study::check(&scenario.case, &scenario.question, &|_share_done| true)?;
//!     println!("{}", outcome.verdict.words());
//!     print!("{}", report::text(&outcome, report::Units::Both));
//! #   assert!(outcome.margin_k.is_some());
//!     Ok(())
//! }
//! ```
//!
//! A closed form answers in microseconds. It knows no losses and no edges, which makes it a yardstick, not a verdict:
//!
//! ```
//! use warmhold::exact::{Disc, Heating, Metal};
//!
//! let iron = Metal::new(46.0, 7200.0, 500.0);
//! let torch = Heating { flux: 250e3, duration: 300.0 };
//! let start_c = 20.0;
//! let hold_s = Disc { radius: 0.060 }.hold(iron, torch, 0.040, 0.0, 150.0 - start_c).unwrap();
//! assert!((hold_s - 12.7).abs() < 0.05); // N1: seconds, not minutes
//! ```
//!
//! | module | what it is |
//! |---|---|
//! | [`scenario`] | scenario text to a case and a question, with every problem named at once |
//! | [`study`] | the questions; [`study::check`] gives an [`Outcome`] |
//! | [`report`] | an outcome as text, JSON, CSV and pictures |
//! | [`heat`] | the finite-difference engine, and what a [`Case`] is |
//! | [`surroundings`] | film coefficients of shop air on hot faces |
//! | [`exact`] | closed-form solutions |
//! | [`quantity`] | numbers with their unit, as people type and read them |
//!
//! The data go one way: text, case and question, engine, outcome, report. A model is guidance only: the qualified
//! procedure, local codes and a temperature measured on the casting decide.

pub use exact;
pub use heat;
pub use quantity;
pub use report;
pub use scenario;
pub use study;
pub use surroundings;

pub use heat::Case;
pub use scenario::Scenario;
pub use study::{Outcome, Question, Verdict, check};

#[cfg(doctest)]
#[doc = include_str!("../../../README.md")]
struct Readme;
