//! `ring.rule` and `ring.width`: how wide the ring is, and where that comes from.

use study::RingRule;

use crate::reader::Reader;

/// Width of the ring for a thickness of the metal under the groove, m, and its rule.
pub(crate) fn width(reader: &mut Reader, thickness: f64) -> (f64, RingRule) {
    let ways = ["ring.width", "ring.rule"].map(str::to_owned);
    reader.clash("E018", &ways, "both a width of the ring and a rule for it are given");
    let rule = match reader.text("ring.rule") {
        Some("thickness") => RingRule::Thickness,
        Some(_) => RingRule::Iso13916,
        None if reader.has("ring.width") => RingRule::Stated,
        None => RingRule::Usual,
    };
    (rule.width(thickness).unwrap_or_else(|| reader.number("ring.width")), rule)
}
