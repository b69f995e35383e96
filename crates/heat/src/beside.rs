//! What works on the casting beside the schedule's own torch: other heaters, and covers that come and go.

use crate::case::{Face, Surface, Torch};
use crate::run::{Event, Run, What};
use crate::shape::Shape;

/// When something beside the torch is there.
#[derive(Clone, Debug, PartialEq)]
pub enum When {
    /// While the flame of the schedule burns.
    WithFlame,
    /// Between flames, the last interval included: a soft flame kept on while beads are laid.
    InIntervals,
    /// From the end of the last interval on; with fixed times, from the last flame-off on.
    AfterWork,
    /// From start to end.
    Always,
    /// `[from, to]` pairs in order, s.
    Times(Vec<[f64; 2]>),
}

/// The part of a schedule that a march is in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Phase {
    /// Before the first flame.
    #[default]
    Before,
    /// The flame burns.
    Flame,
    /// Between flames.
    Interval,
    /// The work is over.
    After,
}

impl Phase {
    /// The phase after an event.
    pub(crate) fn after(self, what: What) -> Phase {
        match what {
            What::FlameOn => Phase::Flame,
            What::FlameOff { .. } => Phase::Interval,
            What::IntervalEnd => Phase::After,
            What::PassStart(_) | What::PassEnd(_) | What::Waiting => self,
        }
    }
}

impl When {
    /// Whether it is there in a phase, at a time and until the next change.
    pub(crate) fn covers(&self, phase: Phase, time_s: f64) -> bool {
        match self {
            When::WithFlame => phase == Phase::Flame,
            When::InIntervals => phase == Phase::Interval,
            When::AfterWork => phase == Phase::After,
            When::Always => true,
            When::Times(times) => times.iter().any(|[from, to]| *from <= time_s && time_s < *to),
        }
    }

    /// The first change by the clock after a time, s.
    pub(crate) fn next_change(&self, time_s: f64) -> Option<f64> {
        let When::Times(times) = self else { return None };
        times.iter().flatten().copied().find(|change| *change > time_s)
    }

    /// How long it was there in a finished run, s.
    pub fn lasted_s(&self, run: &Run) -> f64 {
        let (mut phase, mut from_s, mut lasted_s) = (Phase::Before, 0.0, 0.0);
        let end = Event { time_s: run.ran_until_s, what: What::IntervalEnd };
        for event in run.events.iter().chain([&end]) {
            lasted_s += self.within(phase, [from_s, event.time_s]);
            phase = phase.after(event.what);
            from_s = event.time_s;
        }
        lasted_s
    }

    /// How long it is there within one phase, s.
    fn within(&self, phase: Phase, [from_s, to_s]: [f64; 2]) -> f64 {
        match self {
            When::Times(times) => times.iter().map(|[from, to]| (to.min(to_s) - from.max(from_s)).max(0.0)).sum(),
            _ if self.covers(phase, from_s) => to_s - from_s,
            _ => 0.0,
        }
    }

    /// Whether two can be there at the same time.
    pub fn meets(&self, other: &When) -> bool {
        match (self, other) {
            (When::Times(own), When::Times(others)) => {
                own.iter().any(|[from, to]| others.iter().any(|[start, end]| from < end && start < to))
            }
            (When::Times(_) | When::Always, _) | (_, When::Times(_) | When::Always) => true,
            _ => self == other,
        }
    }

    /// The longest that it can be there in a run of a length of which flames burn a part, s.
    pub(crate) fn longest_s(&self, run_s: f64, flames_s: f64) -> f64 {
        match self {
            When::WithFlame => flames_s,
            When::InIntervals | When::AfterWork | When::Always => run_s,
            When::Times(times) => times.iter().map(|[from, to]| to.min(run_s) - from.min(run_s)).sum(),
        }
    }
}

/// A thermostat: the heater's power falls in a straight line from full at `set - band` to none at `set`.
///
/// It reads one probe, as one thermocouple does: elsewhere under the heater the metal may be colder. The reading is
/// taken at the start of each step, and within the band steps are kept so short that it changes by a quarter of the
/// step error at most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thermostat {
    /// Index into [`Case::probes`](crate::Case::probes).
    pub probe: usize,
    /// Set temperature, Celsius.
    pub set_c: f64,
    /// Band below it, K, above 0.
    pub band_k: f64,
}

impl Thermostat {
    /// Share of full power at a reading in Celsius, 0 to 1.
    pub fn share(&self, reading_c: f64) -> f64 {
        ((self.set_c - reading_c) / self.band_k).clamp(0.0, 1.0)
    }
}

/// Heat beside the schedule's torch: a helper's torch, a soft flame kept on, pads on the back.
#[derive(Clone, Debug, PartialEq)]
pub struct Heater {
    /// Where and how it heats.
    pub torch: Torch,
    /// When.
    pub when: When,
    /// Whether it burns the torch's own gas, turned down or up: it is then as uncertain as the torch, and uses gas.
    pub shares_supply: bool,
}

impl Heater {
    /// Heat of its own.
    pub fn new(torch: Torch, when: When) -> Heater {
        Heater { torch, when, shares_supply: false }
    }
}

/// Another surface in place of a face's own over an area of it, for a time: a blanket laid on, a door that opens.
#[derive(Clone, Debug, PartialEq)]
pub struct Cover {
    /// Which face.
    pub face: Face,
    /// Where on it: in x and y on the worked face and the back, along the two edges in their order x, y, z on a side.
    /// No two lie on the same place at the same time.
    pub area: Shape,
    /// What that area exchanges meanwhile.
    pub surface: Surface,
    /// When.
    pub when: When,
}

impl Cover {
    /// Whether both lie on one place at one time.
    pub fn lies_on(&self, other: &Cover) -> bool {
        let shared = match other.area {
            Shape::Disc { centre, radius } => self.area.overlap_with_disc(centre, radius),
            Shape::Rectangle { x, y } => self.area.overlap(x, y),
        };
        // A hair of rounding between areas that touch is no overlap.
        self.face == other.face && self.when.meets(&other.when) && shared > 1e-9 * self.area.area()
    }
}

/// Most heaters and covers of a case together: each has a bit of its own in what is switched on.
pub const MOST_BESIDE: usize = 32;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thermostat_gives_all_below_its_band_and_nothing_above_its_set_point() {
        let thermostat = Thermostat { probe: 0, set_c: 200.0, band_k: 10.0 };
        assert_eq!([20.0, 190.0, 195.0, 200.0, 260.0].map(|t| thermostat.share(t)), [1.0, 1.0, 0.5, 0.0, 0.0]);
    }

    #[test]
    fn times_hold_from_their_start_up_to_their_end() {
        let when = When::Times(vec![[10.0, 20.0], [30.0, 40.0]]);
        let there = |t| when.covers(Phase::Flame, t);
        assert!(!there(9.9) && there(10.0) && there(19.9) && !there(20.0) && there(35.0) && !there(40.0));
        assert_eq!([0.0, 10.0, 25.0, 40.0].map(|t| when.next_change(t)), [Some(10.0), Some(20.0), Some(30.0), None]);
        assert_eq!(when.longest_s(35.0, 0.0), 15.0);
    }
}
