//! An answer as it stands, in SI units, for programs.

use serde::Serialize;

/// An outcome, or another answer of crate `study`, as pretty-printed JSON that ends with a newline.
///
/// Numbers are the shortest digits that read back to the same `f64`. A number that is not finite becomes `null`.
///
/// # Panics
/// Never for an answer of `study`: all maps have string keys, which is the only thing JSON could refuse.
pub fn json(answer: &impl Serialize) -> String {
    let mut text = serde_json::to_string_pretty(answer).expect("an answer has string keys only");
    text.push('\n');
    text
}
