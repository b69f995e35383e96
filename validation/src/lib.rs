//! Reference cases from outside: closed forms, published problems, and the three yardsticks with their reference
//! tables; [`results`] sets what the program gives beside them.

pub mod air;
pub mod chain;
pub mod closed;
pub mod engine;
pub mod metals_and_fuels;
pub mod plain;
pub mod reference;
pub mod refine;
pub mod repair_day;
pub mod results;
pub mod sources;
pub mod welding;
pub mod yardstick;

/// What can go wrong here.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A scenario has problems.
    #[error("{text}")]
    Scenario {
        /// The problems as shown to a user.
        text: String,
    },
    /// A line of a reference table cannot be read.
    #[error("cannot read the line {line:?}")]
    Table {
        /// The line.
        line: String,
    },
    /// The engine refused a case.
    #[error(transparent)]
    Heat(#[from] heat::Error),
    /// The study refused a case.
    #[error(transparent)]
    Study(#[from] study::Error),
}
