//! The three yardstick problems: their scenario files, their observables and their reference tables.

use std::fmt::Write;

use heat::{Accuracy, Case, Run, solve};
use scenario::Scenario;
use study::Question;

use crate::Error;

/// One of the three.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Yardstick {
    /// Short name: `Y1`, `Y2` or `Y3`.
    pub name: &'static str,
    /// Its scenario.
    pub text: &'static str,
    /// Its table of reference values.
    pub table: &'static str,
}

/// Disc of constant flux in the middle of a big face, radiation, constant properties.
pub const Y1: Yardstick = Yardstick {
    name: "Y1",
    text: include_str!("../yardsticks/y1.toml"),
    table: include_str!("../yardsticks/y1.reference.csv"),
};
/// Square patch at an edge, hot gas, properties over temperature, eight reheats.
pub const Y2: Yardstick = Yardstick {
    name: "Y2",
    text: include_str!("../yardsticks/y2.toml"),
    table: include_str!("../yardsticks/y2.reference.csv"),
};
/// A whole hot block cools.
pub const Y3: Yardstick = Yardstick {
    name: "Y3",
    text: include_str!("../yardsticks/y3.toml"),
    table: include_str!("../yardsticks/y3.reference.csv"),
};

/// Something that a yardstick asks for.
#[derive(Clone, Debug, PartialEq)]
pub enum Observable {
    /// Temperature of a probe at a time, Celsius.
    Temperature {
        /// Name of the probe.
        probe: String,
        /// Time from the start, s.
        at_s: f64,
    },
    /// Seconds from a flame-off until a probe is below a limit, before the next flame.
    Hold {
        /// Name of the probe.
        probe: String,
        /// The flame-off, s.
        off_s: f64,
        /// The limit, Celsius.
        below_c: f64,
    },
}

impl Observable {
    /// Name of the probe.
    pub fn probe(&self) -> &str {
        match self {
            Observable::Temperature { probe, .. } | Observable::Hold { probe, .. } => probe,
        }
    }

    /// Unit of its value.
    pub fn unit(&self) -> &'static str {
        match self {
            Observable::Temperature { .. } => "C",
            Observable::Hold { .. } => "s",
        }
    }

    /// In words, for tables.
    pub fn words(&self) -> String {
        match self {
            Observable::Temperature { probe, at_s } => format!("{probe} at {at_s} s"),
            Observable::Hold { probe, off_s, below_c } => format!("{probe} below {below_c} C after {off_s} s"),
        }
    }
}

/// A value with its error bar; `None` is "never reached".
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What was asked.
    pub observable: Observable,
    /// Celsius, or seconds.
    pub value: Option<f64>,
    /// Error bar, K or s.
    pub bar: f64,
}

/// One line of a reference table.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What was asked.
    pub observable: Observable,
    /// The reference value; `None` is "never reached".
    pub value: Option<f64>,
    /// Its estimated uncertainty, K or s.
    pub uncertainty: f64,
    /// Observed order of the refinement, where the differences are above rounding.
    pub order: Option<f64>,
    /// The values on spacing h, h/2 and h/4.
    pub grids: [Option<f64>; 3],
    /// The value of the second method.
    pub second: Option<f64>,
}

impl Yardstick {
    /// All three.
    pub const ALL: [Yardstick; 3] = [Y1, Y2, Y3];

    /// Its case and question.
    ///
    /// # Errors
    /// [`Error::Scenario`] when the file has problems.
    pub fn scenario(&self) -> Result<Scenario, Error> {
        scenario::read(self.text, self.name, &[]).map_err(|p| Error::Scenario { text: p.render(false) })
    }

    /// Runs it.
    ///
    /// # Errors
    /// As [`Yardstick::scenario`], and when the engine refuses the case.
    pub fn solve(&self, accuracy: &Accuracy) -> Result<(Scenario, Run), Error> {
        let scenario = self.scenario()?;
        let run = solve(&scenario.case, accuracy, &|_| true)?;
        Ok((scenario, run))
    }

    /// Its reference table.
    ///
    /// # Errors
    /// [`Error::Table`] for a line that cannot be read.
    pub fn rows(&self) -> Result<Vec<Row>, Error> {
        let lines = self.table.lines().filter(|line| !line.starts_with('#'));
        lines.skip(1).map(|line| row(line).ok_or_else(|| Error::Table { line: line.to_owned() })).collect()
    }
}

/// Every observable of a yardstick, read from a run.
pub fn readings(case: &Case, question: &Question, run: &Run) -> Vec<Reading> {
    let mut readings = Vec::new();
    for (probe, curve) in case.probes.iter().zip(&run.curves) {
        for &at_s in &case.output_s {
            let observable = Observable::Temperature { probe: probe.name.clone(), at_s };
            readings.push(Reading { observable, value: Some(curve.at(at_s)), bar: curve.error_at(at_s) });
        }
    }
    let heats = run.heats();
    for watch in &question.watches {
        for (n, &[_, off_s]) in heats.iter().enumerate() {
            let until_s = heats.get(n + 1).map_or(run.ran_until_s, |next| next[0]);
            let found = run.curves[watch.probe].falls_below(watch.limit_c, off_s, until_s);
            let probe = case.probes[watch.probe].name.clone();
            readings.push(Reading {
                observable: Observable::Hold { probe, off_s, below_c: watch.limit_c },
                value: found.map(|crossing| crossing.time_s - off_s),
                bar: found.map_or(0.0, |c| if c.time_s > off_s { c.error_s } else { 0.0 }),
            });
        }
    }
    readings
}

/// First line of a reference table after its head.
const COLUMNS: &str = "probe,at_s,below_c,value,unit,uncertainty,order,h,h_half,h_quarter,second";

/// A reference table as text; `head` says how it was made.
pub fn table(head: &str, rows: &[Row]) -> String {
    let mut text: String = head.lines().map(|line| format!("# {line}\n")).collect();
    text.push_str(COLUMNS);
    text.push('\n');
    for row in rows {
        let (at_s, below) = match &row.observable {
            Observable::Temperature { at_s, .. } => (at_s, String::new()),
            Observable::Hold { off_s, below_c, .. } => (off_s, below_c.to_string()),
        };
        let [h, half, quarter] = row.grids.map(number);
        let value = row.value.map_or("never".to_owned(), |v| format!("{v:.4}"));
        let order = row.order.map_or(String::new(), |v| format!("{v:.2}"));
        let (probe, unit) = (row.observable.probe(), row.observable.unit());
        let (uncertainty, second) = (row.uncertainty, number(row.second));
        let _ = writeln!(
            text,
            "{probe},{at_s},{below},{value},{unit},{uncertainty:.4},{order},{h},{half},{quarter},{second}"
        );
    }
    text
}

fn number(value: Option<f64>) -> String {
    value.map_or(String::new(), |v| format!("{v:.4}"))
}

fn row(line: &str) -> Option<Row> {
    let fields: Vec<&str> = line.split(',').collect();
    let [probe, at, below, value, _, uncertainty, order, h, half, quarter, second] = fields[..] else { return None };
    let probe = probe.to_owned();
    let at_s = at.parse().ok()?;
    let observable = if below.is_empty() {
        Observable::Temperature { probe, at_s }
    } else {
        Observable::Hold { probe, off_s: at_s, below_c: below.parse().ok()? }
    };
    let value = if value == "never" { None } else { Some(value.parse().ok()?) };
    Some(Row {
        observable,
        value,
        uncertainty: uncertainty.parse().ok()?,
        order: order.parse().ok(),
        grids: [h, half, quarter].map(|v| v.parse().ok()),
        second: second.parse().ok(),
    })
}
