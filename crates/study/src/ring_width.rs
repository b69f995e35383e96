//! How wide the ring is, what the standards would ask for, and how wide to heat so that it gets warm at all.

use heat::{Case, Face, Ring, Run};
use serde::Serialize;

use crate::Question;
use crate::hold::{closed_form_share, slowest_metal};

/// Width of the ring on thick sections, m (ST1, `read`; the least of ST3, `read`).
const THICK_RING_M: f64 = 0.075;
/// Sections up to this are thin, m (ST1, `read`).
const THIN_SECTION_M: f64 = 0.050;
/// Widest ring of a thin section, m, and its width in thicknesses (ST1, `read`).
const THIN_RING_M: f64 = 0.050;
const THIN_RING_THICKNESSES: f64 = 4.0;
/// Widest patch that is tried, over the patch as it is.
const WIDEST: f64 = 20.0;

/// Where the width of the ring comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RingRule {
    /// Stated as a width.
    Stated,
    /// Not stated: 75 mm, as ISO 13916 has it on thick sections.
    #[default]
    Usual,
    /// ISO 13916 by the thickness of the section.
    Iso13916,
    /// As wide as the section is thick, as AWS D1.1 has it.
    Thickness,
}

impl RingRule {
    /// Width of the ring for a section of some thickness, m; none where the rule names none.
    ///
    /// Equation: ISO 13916: `min(4 t, 50 mm)` up to `t = 50 mm`, 75 mm above. Thickness: `max(t, 75 mm)`. Symbols: `t`
    /// thickness of the section. Valid for any thickness; what is agreed in the procedure goes before.
    /// Source: ST1 and ST3 (`read`).
    #[must_use]
    pub fn width(self, thickness_m: f64) -> Option<f64> {
        match self {
            RingRule::Stated => None,
            RingRule::Usual => Some(THICK_RING_M),
            RingRule::Iso13916 if thickness_m > THIN_SECTION_M => Some(THICK_RING_M),
            RingRule::Iso13916 => Some(THIN_RING_M.min(THIN_RING_THICKNESSES * thickness_m)),
            RingRule::Thickness => Some(THICK_RING_M.max(thickness_m)),
        }
    }

    /// The rule in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            RingRule::Stated => "stated",
            RingRule::Usual => "not stated: 75 mm, as ISO 13916 has it on thick sections (ST1)",
            RingRule::Iso13916 => "ISO 13916 by thickness (ST1)",
            RingRule::Thickness => "the thickness of the section, at least 75 mm, as in AWS D1.1 (ST3)",
        }
    }
}

/// The ring as judged, and what else it might be.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RingFacts {
    /// Width from the edge of the groove outwards, m.
    pub width_m: f64,
    /// Depth below the face, m.
    pub depth_m: f64,
    /// Where the width comes from, in words.
    pub rule: String,
    /// Width by ISO 13916 for the section under the patch, m (ST1).
    pub iso_13916_m: f64,
    /// Width by the thickness of the section, m (ST3).
    pub thickness_m: f64,
    /// Length and width of the smallest patch that brings the whole ring to the minimum as the first flame goes off, m,
    /// the middle as hot and the soak as long as here; null where none does or where nothing was heated.
    pub smallest_heated_m: Option<[f64; 2]>,
    /// Where that comes from.
    pub smallest_by: String,
}

/// The ring of a question; none without one.
pub fn ring_facts(case: &Case, question: &Question, run: &Run) -> Option<RingFacts> {
    let (ring, _) = question.ring?;
    let section_m = case.thickness_under_the_patch();
    let by = |rule: RingRule| rule.width(section_m).unwrap_or(ring.width);
    Some(RingFacts {
        width_m: ring.width,
        depth_m: ring.depth,
        rule: question.ring_rule.words().to_owned(),
        iso_13916_m: by(RingRule::Iso13916),
        thickness_m: by(RingRule::Thickness),
        smallest_heated_m: smallest_heated(case, question, &ring, run),
        smallest_by:
            "closed form of a half space without losses, the middle as hot and the soak as long as in the first \
                      heat"
                .to_owned(),
    })
}

/// The smallest patch of the same form around the same middle that warms the ring, by bisection: a wider patch of the
/// same middle temperature is warmer everywhere.
fn smallest_heated(case: &Case, question: &Question, ring: &Ring, run: &Run) -> Option<[f64; 2]> {
    let (window, (_, probes)) = (question.window?, question.ring?);
    let [on_s, off_s] = *run.heats().first()?;
    let peak_c = run.curves[probes.centre].at(off_s);
    let share = (window.minimum_c - case.start_c) / (peak_c - case.start_c);
    let patch = case.torches.first().filter(|torch| torch.circles.is_none() && torch.face == Face::Worked)?.patch;
    let metal = slowest_metal(case, peak_c);
    let warm = |factor: f64| closed_form_share(patch.scaled(factor), ring, metal, off_s - on_s) >= share;
    if !(share > 0.0 && share < 1.0 && warm(WIDEST)) {
        return None;
    }
    let [mut low, mut high] = [0.0, WIDEST];
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if warm(middle) { high = middle } else { low = middle }
    }
    Some(patch.scaled(high).extent().map(|[low, high]| high - low))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rings_are_as_wide_as_the_standards_have_them() {
        let widths = |thickness: f64| [RingRule::Iso13916, RingRule::Thickness].map(|r| r.width(thickness).unwrap());
        for (thickness, iso, thick) in [(0.010, 0.040, 0.075), (0.040, 0.050, 0.075), (0.050, 0.050, 0.075)] {
            assert_eq!(widths(thickness), [iso, thick], "{thickness}");
        }
        assert_eq!(widths(0.051), [0.075, 0.075]);
        assert_eq!(widths(0.600), [0.075, 0.600]);
        assert_eq!((RingRule::Usual.width(0.01), RingRule::Stated.width(0.01)), (Some(0.075), None));
    }
}
