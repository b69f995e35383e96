//! Single values: what a key accepts, and what is said when it does not.

use crate::diagnostic::{Diagnostic, Place, quote};
use crate::document::{Node, Value};
use crate::keys::{Key, Kind, Limits, leaf};
use crate::measure::Measure;
use crate::reader::{Reader, Typed};
use crate::words::plain;

impl Reader {
    /// The checked value of a key that takes one value; None where a problem was reported.
    pub(crate) fn value(&mut self, key: &'static Key, node: &Node) -> Option<Typed> {
        match (key.kind, &node.value) {
            (Kind::Quantity(measure, limits), _) => self.quantity(measure, limits, node).map(Typed::Number),
            (Kind::TimeOrTable(limits), _) => self.quantity(Measure::Duration, limits, node).map(Typed::Number),
            (Kind::GasRate, _) => self.gas_rate(node),
            (Kind::Number(limits), _) => self.plain_number(key, limits, node).map(Typed::Number),
            (Kind::Count(limits), _) => self.whole_number(key, limits, node).map(Typed::Number),
            (Kind::CountOrWords(_, words), Value::Text(text)) if plain(text) == plain(words) => {
                Some(Typed::Text(words.to_owned()))
            }
            (Kind::CountOrWords(_, words), Value::Text(text)) if text.trim().parse::<f64>().is_err() => {
                let problem =
                    Diagnostic::error("E006", format!("\"{}\" is neither a number nor known words", quote(text)));
                let help = format!("write a whole number such as {}, or \"{words}\"", key.example);
                self.report(problem.at(node.place, "").help(help));
                None
            }
            (Kind::CountOrWords(limits, _), _) => self.whole_number(key, limits, node).map(Typed::Number),
            (Kind::Flag, Value::Flag(flag)) => Some(Typed::Flag(*flag)),
            (Kind::Text | Kind::Probe, Value::Text(text)) => Some(Typed::Text(text.clone())),
            (Kind::Choice(words), Value::Text(text)) => self.choice(words, text, node.place),
            _ => {
                self.wrong_kind(node, due(key.kind), key.example);
                None
            }
        }
    }

    /// The checked value of one item of a list.
    pub(crate) fn item(&mut self, number: usize, key: &'static Key, node: &Node) -> Option<Typed> {
        match (key.kind, &node.value) {
            (Kind::Coordinates(_, true), Value::Text(text)) if number < 2 && text.trim() == "middle" => {
                Some(Typed::Middle)
            }
            (Kind::Coordinates(..), _) => self.quantity(Measure::Length, COORDINATE, node).map(Typed::Number),
            (Kind::Quantities(measure, limits), _) => self.quantity(measure, limits, node).map(Typed::Number),
            (Kind::Spans, _) => self.quantity(Measure::Duration, INSTANT, node).map(Typed::Number),
            (Kind::ShareRange, Value::Number { value, .. }) => {
                self.within(*value, SHARE, node.place, &|value| value.to_string()).map(Typed::Number)
            }
            (Kind::ShareRange, Value::Text(_)) => self.per_cent(node),
            (Kind::Range(measure, _), Value::Text(text))
                if measure != Measure::Fraction && text.trim().ends_with('%') =>
            {
                self.per_cent(node)
            }
            (Kind::Range(measure, limits), _) => self.quantity(measure, limits, node).map(Typed::Number),
            _ => {
                self.wrong_kind(node, "a number", key.example);
                None
            }
        }
    }

    /// Per cent off a nominal value, as a factor on it.
    fn per_cent(&mut self, node: &Node) -> Option<Typed> {
        let off = self.quantity(Measure::Fraction, OFF_NOMINAL, node)?;
        Some(Typed::Factor(1.0 + off))
    }

    fn quantity(&mut self, measure: Measure, limits: Limits, node: &Node) -> Option<f64> {
        let value = match &node.value {
            Value::Text(text) => match measure.read(text) {
                Ok(value) => value,
                Err(error) => {
                    self.report(refused(&error, node.place));
                    return None;
                }
            },
            Value::Number { value, .. } if measure == Measure::Fraction => *value,
            Value::Number { written, value, .. } => {
                self.report(bare_number(measure, written, *value, node.place));
                return None;
            }
            _ => {
                let kind = measure.kind();
                self.wrong_kind(node, &kind.with_article(), &format!("\"{}\"", kind.example));
                return None;
            }
        };
        self.within(value, limits, node.place, &|value| measure.show(value))
    }

    fn gas_rate(&mut self, node: &Node) -> Option<Typed> {
        const MASS: Limits = Limits { low: 0.0, high: 0.2, open: true };
        const VOLUME: Limits = Limits { low: 0.0, high: 0.2, open: true };
        match &node.value {
            Value::Text(text) if Measure::VolumeFlow.read(text).is_ok() => {
                self.quantity(Measure::VolumeFlow, VOLUME, node).map(Typed::Volume)
            }
            _ => self.quantity(Measure::MassFlow, MASS, node).map(Typed::Number),
        }
    }

    fn plain_number(&mut self, key: &Key, limits: Limits, node: &Node) -> Option<f64> {
        match &node.value {
            Value::Number { value, .. } => self.within(*value, limits, node.place, &|value| value.to_string()),
            Value::Text(text) => {
                self.report(quoted_number(text, "a plain number", key.example, node.place));
                None
            }
            _ => {
                self.wrong_kind(node, "a plain number", key.example);
                None
            }
        }
    }

    fn whole_number(&mut self, key: &Key, limits: Limits, node: &Node) -> Option<f64> {
        match &node.value {
            Value::Number { value, written, .. } if value.is_finite() && value.fract() != 0.0 => {
                let message = format!("`{}` counts something: {} is not a whole number", leaf(key), quote(written));
                let whole = value.round();
                self.report(Diagnostic::error("E006", message).at(node.place, "").help(format!("write {whole}")));
                None
            }
            Value::Number { value, .. } => self.within(*value, limits, node.place, &|value| value.to_string()),
            Value::Text(text) => {
                self.report(quoted_number(text, "a whole number", key.example, node.place));
                None
            }
            _ => {
                self.wrong_kind(node, "a whole number", key.example);
                None
            }
        }
    }

    /// The value if it lies within its limits.
    fn within(&mut self, value: f64, limits: Limits, place: Place, show: &dyn Fn(f64) -> String) -> Option<f64> {
        let Limits { low, high, open } = limits;
        if value.is_finite() && value <= high && (value > low || (value == low && !open)) {
            return Some(value);
        }
        let accepted = match open {
            true => format!("accepted: above {}, up to {}", show(low), show(high)),
            false => format!("accepted: {} to {}", show(low), show(high)),
        };
        // A share above one and up to a hundred is a percentage without its sign.
        let percent = (limits.high == SHARE.high && value > 1.0 && value <= 100.0 && open)
            .then(|| format!("{accepted}; for a percentage write \"{value} %\""));
        let accepted = percent.unwrap_or(accepted);
        let (code, message, label) = if !value.is_finite() {
            ("E010", "not a finite number".to_owned(), "must be finite")
        } else if low == 0.0 && value <= 0.0 && open {
            ("E011", format!("{} is not above zero", show(value)), "must be above zero")
        } else if low == 0.0 && value < 0.0 {
            ("E011", format!("{} is negative", show(value)), "must not be negative")
        } else if value < low {
            ("E012", format!("{} is below what is accepted here", show(value)), "too low")
        } else {
            ("E012", format!("{} is above what is accepted here", show(value)), "too high")
        };
        self.report(Diagnostic::error(code, message).at(place, label).help(accepted));
        None
    }
}

const COORDINATE: Limits = Limits { low: -50.0, high: 50.0, open: false };
const INSTANT: Limits = Limits { low: 0.0, high: 30.0 * 24.0 * 3600.0, open: false };
const SHARE: Limits = Limits { low: 0.0, high: 1.0, open: true };
const OFF_NOMINAL: Limits = Limits { low: -1.0, high: 9.0, open: true };

fn due(kind: Kind) -> &'static str {
    match kind {
        Kind::Table => "a table",
        Kind::Tables => "a list of tables",
        Kind::Flag => "true or false, without quotes,",
        Kind::Probe => "the name of a probe",
        _ => "a text in quotes",
    }
}

fn refused(error: &quantity::Error, place: Place) -> Diagnostic {
    use quantity::Problem;
    let code = match error.problem() {
        Problem::NoUnit { .. } => "E005",
        Problem::OtherQuantity { .. } | Problem::MixedCompound { .. } => "E009",
        Problem::NotFinite { .. } => "E010",
        Problem::BelowAbsoluteZero { .. } => "E012",
        _ => "E008",
    };
    Diagnostic::error(code, error.message()).at(place, "").help(error.help())
}

fn bare_number(measure: Measure, written: &str, value: f64, place: Place) -> Diagnostic {
    let kind = measure.kind();
    if !value.is_finite() {
        let help = format!("write it like \"{}\"", kind.example);
        return Diagnostic::error("E010", "not a finite number").at(place, "must be finite").help(help);
    }
    let [one, other] = kind.common;
    Diagnostic::error("E005", format!("{} has no unit; {} is due here", quote(written), kind.with_article()))
        .at(place, "which unit?")
        .help(format!("write \"{written} {one}\" or \"{written} {other}\""))
}

fn quoted_number(text: &str, due: &str, example: &str, place: Place) -> Diagnostic {
    let meant =
        Measure::Fraction.read(text).ok().or_else(|| text.trim().parse().ok()).filter(|value| value.is_finite());
    let help = meant.map_or(format!("write it like {example}"), |value: f64| format!("write {value}"));
    Diagnostic::error("E006", format!("{due} is due here; the text \"{}\" found", quote(text)))
        .at(place, format!("{due}, without quotes"))
        .help(help)
}
