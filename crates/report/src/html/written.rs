//! What was written, for programs.

use serde::Serialize;
use study::{Outcome, Verdict};

/// A page and what it was made from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pages {
    /// Name and number of this layout.
    pub schema: &'static str,
    /// Version of the program.
    pub version: String,
    /// "report", "card", "sheet" or "page".
    pub kind: &'static str,
    /// The file, as it was named.
    pub file: String,
    /// Its size.
    pub bytes: usize,
    /// The scenarios in their order.
    pub scenarios: Vec<Shown>,
}

/// A scenario on a page.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Shown {
    /// Its title.
    pub title: String,
    /// SHA-256 after overrides.
    pub input_sha256: String,
    /// The verdict.
    pub verdict: Verdict,
    /// Smallest distance to any limit, K; null when not asked.
    pub margin_k: Option<f64>,
    /// From the first flame off until the coldest of the ring is below the minimum, s; null where it never is.
    pub hold_s: Option<f64>,
    /// Whether the run was stopped before its end.
    pub interrupted: bool,
}

impl Pages {
    /// One page of some outcomes.
    pub fn new(kind: &'static str, (file, bytes): (String, usize), outcomes: &[&Outcome]) -> Pages {
        let shown = |outcome: &&Outcome| Shown {
            title: outcome.title.clone(),
            input_sha256: outcome.input_sha256.clone(),
            verdict: outcome.verdict,
            margin_k: outcome.margin_k,
            hold_s: outcome.hold_s,
            interrupted: outcome.interrupted,
        };
        Pages {
            schema: "warmhold pages 1",
            version: outcomes.first().map_or_else(String::new, |outcome| outcome.version.clone()),
            kind,
            file,
            bytes,
            scenarios: outcomes.iter().map(shown).collect(),
        }
    }
}
