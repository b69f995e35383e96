//! What a thermometer or a crayon said on the real casting, and the case with a probe at every such place.

use heat::{Case, Probe, ProbeKind};

/// Where a reading was taken.
#[derive(Clone, Debug, PartialEq)]
pub enum Spot {
    /// At a probe of the case, by its index.
    Probe(usize),
    /// At a place of its own.
    Place(ProbeKind),
}

/// What the instrument said.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Said {
    /// A thermometer showed this, Celsius.
    Reads(f64),
    /// A fresh mark of a crayon of this rating melted, Celsius: it is at least so warm (ST4, GUIDE).
    Melted(f64),
    /// A fresh mark of a crayon of this rating did not melt, Celsius: it is colder.
    NotMelted(f64),
}

/// One reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Line of the log, from 1; none where it was not read from a log.
    pub line: Option<usize>,
    /// When, s from the start of the run.
    pub time_s: f64,
    /// Where, as written.
    pub place: String,
    /// Where.
    pub spot: Spot,
    /// What was said.
    pub said: Said,
}

impl Reading {
    /// The temperature shown; none for a crayon.
    pub fn shown_c(&self) -> Option<f64> {
        match self.said {
            Said::Reads(celsius) => Some(celsius),
            Said::Melted(_) | Said::NotMelted(_) => None,
        }
    }
}

/// The case with a probe for every place that is none of its own, and the index of each reading's probe.
pub fn with_places(case: &Case, readings: &[Reading]) -> (Case, Vec<usize>) {
    let mut case = case.clone();
    let mut index = |reading: &Reading| match &reading.spot {
        Spot::Probe(index) => *index,
        Spot::Place(kind) => {
            let known = case.probes.iter().position(|probe| probe.kind == *kind);
            known.unwrap_or_else(|| {
                let name = format!("reading {}", case.probes.len() + 1);
                case.probes.push(Probe { name, kind: *kind });
                case.probes.len() - 1
            })
        }
    };
    let indices = readings.iter().map(&mut index).collect();
    (case, indices)
}

/// The instants of readings, ascending, each once, s.
pub fn instants(readings: &[Reading]) -> Vec<f64> {
    let mut times: Vec<f64> = readings.iter().map(|reading| reading.time_s).collect();
    times.sort_by(f64::total_cmp);
    times.dedup();
    times
}
