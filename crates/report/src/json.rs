//! The outcome as it stands, in SI units, for programs.

use study::Outcome;

/// The outcome as pretty-printed JSON that ends with a newline.
///
/// Numbers are the shortest digits that read back to the same `f64`. A number that is not finite becomes `null`.
///
/// # Panics
/// Never for an [`Outcome`]: all its maps have string keys, which is the only thing JSON could refuse.
pub fn json(outcome: &Outcome) -> String {
    let mut text = serde_json::to_string_pretty(outcome).expect("an outcome has string keys only");
    text.push('\n');
    text
}

/// Any other answer as JSON, in the same way.
///
/// # Panics
/// As [`json()`].
pub fn json_of(answer: &impl serde::Serialize) -> String {
    let mut text = serde_json::to_string_pretty(answer).expect("an answer has string keys only");
    text.push('\n');
    text
}
