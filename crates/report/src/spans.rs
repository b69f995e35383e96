//! When the flame and the arc were on, and how long the metal waited between flames.

use study::Outcome;

/// A stretch of time with its short name.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Span {
    pub(crate) name: String,
    pub(crate) from_s: f64,
    pub(crate) until_s: f64,
}

pub(crate) fn flame_spans(outcome: &Outcome) -> Vec<Span> {
    let span = |(index, heat): (usize, &study::Heat)| Span {
        name: (index + 1).to_string(),
        from_s: heat.start_s,
        until_s: heat.end_s,
    };
    outcome.heats.iter().enumerate().map(span).collect()
}

/// Named `heat.bead`.
pub(crate) fn pass_spans(outcome: &Outcome) -> Vec<Span> {
    let span = |pass: &study::PassStart| Span {
        name: format!("{}.{}", pass.heat, pass.number),
        from_s: pass.start_s,
        until_s: pass.end_s,
    };
    outcome.passes.iter().map(span).collect()
}

/// Flame off to the next flame on, s, one for each flame but the last.
pub(crate) fn intervals_s(outcome: &Outcome) -> Vec<f64> {
    outcome.heats.windows(2).map(|pair| pair[1].start_s - pair[0].end_s).collect()
}

/// Flame off to the next flame off, s, one for each flame but the last.
pub(crate) fn cycles_s(outcome: &Outcome) -> Vec<f64> {
    outcome.heats.windows(2).map(|pair| pair[1].end_s - pair[0].end_s).collect()
}
