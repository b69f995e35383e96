//! What stands the same on several pages.

use study::{Outcome, Verdict};

/// What the model leaves out, in a few words each.
pub(super) const LEFT_OUT: [&str; 7] = [
    "Bodies that boxes cannot describe: slopes, radii and round cores.",
    "The moving flame: the torch is its mean over the patch, or over the ring that its circles sweep.",
    "The weld pool: an arc is its net power over the bead.",
    "Hydrogen, hardness, metallurgy of the metal and of any plating; distortion.",
    "Stress, but for two figures of a hot spot in brittle iron; cracking itself.",
    "Drafts and sunshine that the scenario does not name; a blanket has no heat of its own.",
    "Whether a minimum is right: that comes from the qualified procedure, never from here.",
];

/// The verdict as a word with a sign that does not need colour, and the class of its frame.
pub(super) fn verdict_sign(outcome: &Outcome) -> (&'static str, &'static str) {
    match outcome.verdict {
        Verdict::Holds => ("\u{2713} Holds", "yes"),
        Verdict::FallsShort => ("\u{2717} Falls short", "no"),
        Verdict::TooCloseToCall if outcome.interrupted => ("? Interrupted", "open"),
        Verdict::TooCloseToCall => ("? Too close to call", "open"),
        Verdict::NotAsked => ("No verdict was asked", "open"),
    }
}

/// A place whose fall the clock of a casting tells, and below what, Celsius: the ring and the minimum, or in a plain run the
/// first watched limit.
pub(super) fn watched(outcome: &Outcome) -> Option<(&str, f64)> {
    match outcome.window {
        Some(window) => Some(("ring_coldest", window.minimum_c)),
        None => outcome.crossings.first().map(|crossing| (crossing.probe.as_str(), crossing.limit_c)),
    }
}
