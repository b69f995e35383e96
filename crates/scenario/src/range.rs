//! Stated ranges as factors on their nominal value.

use crate::diagnostic::Diagnostic;
use crate::reader::{Reader, Typed};
use study::{Lever, Range};

/// Where a range stated by the user comes from.
pub(crate) const STATED: &str = "stated in the scenario";

impl Reader {
    /// The range at `path` as factors on the nominal value at `nominal_path`; None where there is none or where
    /// it was refused.
    pub(crate) fn range(&mut self, path: &str, nominal: f64, nominal_path: &str) -> Option<[f64; 2]> {
        if self.len(path) != 2 || nominal.is_nan() {
            return None;
        }
        let ends = [0, 1].map(|end| format!("{path}.{end}"));
        let [low, high] = [0, 1].map(|end| match self.typed(&ends[end]) {
            Some(Typed::Factor(factor)) => *factor,
            Some(Typed::Number(value)) => value / nominal,
            _ => f64::NAN,
        });
        if low > high {
            let problem = Diagnostic::error("E014", "the low end of this range is above its high end")
                .at(self.place(&ends[0]), "low end")
                .at(self.place(&ends[1]), "high end")
                .help("swap the two");
            self.report(problem);
        } else if low > 1.0 + 1e-9 || high < 1.0 - 1e-9 || (nominal == 0.0 && !low.is_nan()) {
            let problem = Diagnostic::error("E015", "the nominal value lies outside its own range")
                .at(self.place(path), "range")
                .at(self.key_place(nominal_path), "nominal value")
                .help("widen the range until it contains the value, or change the value; a value of 0 takes no range");
            self.report(problem);
        }
        (low <= high && low > 0.0).then_some([low, high])
    }
}

/// A range, unless it is a single value.
pub(crate) fn lever(lever: Lever, ends: Option<[f64; 2]>, source: &str) -> Option<Range> {
    let [low, high] = ends?;
    (low < high).then(|| Range { lever, low, high, source: source.to_owned() })
}
