//! `passes.preset`: usual practice for what is not stated.

use crate::keys::{self, Kind, leaf};
use crate::reader::Reader;

/// Names of the sets, in the order of the columns below.
pub(crate) const PRESETS: &[&str] = &["plated die", "plated die, short beads", "plated die, long beads"];

/// Path, value in each set, and where it comes from.
type Habit = (&'static str, [f64; 3], &'static str);

/// D7 gives ranges: middle, low and high end.
const HABITS: &[Habit] = &[
    ("passes.per_heat", [2.0; 3], "D11, `practice`"),
    ("passes.first_after", [20.0; 3], "assumed"),
    ("passes.arc_time", [20.0, 10.0, 30.0], "D7, `practice`"),
    ("passes.pause.peen", [20.0, 10.0, 30.0], "D7, `practice`"),
    ("passes.pause.brush", [20.0, 10.0, 30.0], "D7, `practice`"),
    ("passes.pause.inspect", [20.0, 10.0, 30.0], "D7, `practice`"),
    ("passes.arc.volts", [24.0; 3], "N5, `computed` example"),
    ("passes.arc.amps", [120.0; 3], "N5, within D8, `practice`"),
    ("passes.fill.bead_length", [0.050, 0.025, 0.075], "D7, `practice`"),
    ("passes.fill.bead_width", [0.010; 3], "assumed"),
    ("passes.fill.layers", [5.0; 3], "D13, `practice`"),
];

/// The set that was chosen, and what has been taken from it.
#[derive(Debug, Default)]
pub(crate) struct Habits {
    column: Option<usize>,
    /// Each value taken, with its source, ready to print.
    pub(crate) taken: Vec<String>,
}

impl Habits {
    pub(crate) fn chosen(reader: &Reader) -> Habits {
        let name = reader.text("passes.preset");
        let column = name.and_then(|name| PRESETS.iter().position(|known| *known == name));
        // A name that was refused stands for some set: nothing else is then said to be missing.
        let column = column.or_else(|| reader.has("passes.preset").then_some(0));
        Habits { column, taken: Vec::new() }
    }

    pub(crate) fn are_chosen(&self) -> bool {
        self.column.is_some()
    }

    /// A value as stated, or else as usual; `None` where it is neither.
    pub(crate) fn value(&mut self, reader: &Reader, path: &str) -> Option<f64> {
        if reader.has(path) {
            return Some(reader.number(path));
        }
        let column = self.column?;
        let (_, values, source) = HABITS.iter().find(|(known, ..)| *known == path)?;
        self.take(path, values[column], source);
        Some(values[column])
    }

    /// The same; reported as missing, and NaN, where it is neither.
    pub(crate) fn needed(&mut self, reader: &mut Reader, path: &str, why: &str) -> f64 {
        self.value(reader, path).unwrap_or_else(|| {
            reader.missing(path, why);
            f64::NAN
        })
    }

    /// Takes the usual process, if a set is chosen.
    pub(crate) fn process(&mut self) -> bool {
        if self.are_chosen() {
            self.taken.push("process MMA (N5, `computed` example)".to_owned());
        }
        self.are_chosen()
    }

    fn take(&mut self, path: &str, value: f64, source: &str) {
        let Some(key) = keys::key(path) else { return };
        let shown = match key.kind {
            Kind::Quantity(measure, _) => measure.show(value),
            _ => value.to_string(),
        };
        self.taken.push(format!("{} {shown} ({source})", leaf(key).replace('_', " ")));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_habit_is_a_key_of_the_format_within_its_limits() {
        for (path, values, source) in HABITS {
            let key = keys::key(path).unwrap();
            let (Kind::Quantity(_, limits) | Kind::Number(limits) | Kind::Count(limits)) = key.kind else {
                panic!("{path}")
            };
            assert!(values.iter().all(|v| *v > limits.low && *v <= limits.high), "{path}");
            assert!(!source.is_empty());
        }
    }
}
