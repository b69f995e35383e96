//! The weld passes: where and how strong, and how many of them are planned between two flames.

use crate::Shape;

/// One weld pass: net arc power spread evenly over a shape for a time, then a pause (peen, brush, look).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pass {
    /// Where the arc works.
    pub place: Shape,
    /// Net power into the metal while the arc burns, W. All of it enters the metal, also at an edge.
    pub power: f64,
    /// Arc time, s.
    pub arc_s: f64,
    /// From the end of this arc to the next pass start, s.
    pub pause_s: f64,
}

/// A stop after a pass, to grind out a void: no arc and no flame, then the flame comes back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Halt {
    /// Index into [`Passes::list`] of the pass before it.
    pub after: usize,
    /// How long it takes after that pass's own pause, s.
    pub seconds: f64,
}

/// A pass that would start too hot waits for a probe to fall to a temperature, or for `at_most_s`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoolTo {
    /// Index into [`crate::Case::probes`].
    pub probe: usize,
    /// The temperature, Celsius.
    pub temperature_c: f64,
    /// The longest wait before one pass, s.
    pub at_most_s: f64,
}

/// The passes of the work, taken in order over all intervals, and from the front again when all are laid, unless the
/// list is laid `once`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Passes {
    /// The passes in their order; not empty.
    pub list: Vec<Pass>,
    /// From flame off to the first pass start, s.
    pub first_after_s: f64,
    /// Passes planned between two flames.
    pub per_heat: usize,
    /// Whether the list is laid once: the last interval ends with the pause of its last pass, and reheats end with it, or
    /// with the first interval in which no pass fits. The schedule's number of reheats is then the most.
    pub once: bool,
    /// Stops to grind out a void.
    pub halts: Vec<Halt>,
    /// The wait for metal that is too hot.
    pub cool_to: Option<CoolTo>,
}

impl Passes {
    /// Share of the time that the arc burns while passes follow each other.
    pub fn share_of_time(&self) -> f64 {
        let sum = |part: fn(&Pass) -> f64| self.list.iter().map(part).sum::<f64>();
        sum(|pass| pass.arc_s) / sum(|pass| pass.arc_s + pass.pause_s).max(f64::MIN_POSITIVE)
    }

    /// Passes planned in an interval that begins with some laid already: fewer than `per_heat` where the list ends or a
    /// stop cuts it short.
    pub fn planned(&self, laid: usize) -> usize {
        let left = if self.once { self.list.len().saturating_sub(laid) } else { usize::MAX };
        let most = self.per_heat.min(left);
        let halted = |n: &usize| self.halt_after((laid + n) % self.list.len().max(1)).is_some();
        (0..most).find(halted).map_or(most, |n| n + 1)
    }

    /// Passes that so many intervals lay at most.
    pub fn laid_in(&self, intervals: usize) -> usize {
        (0..intervals).fold(0, |laid, _| laid + self.planned(laid))
    }

    /// How long work stops after a pass of the list, s.
    pub fn halt_after(&self, number: usize) -> Option<f64> {
        self.halts.iter().find(|halt| halt.after == number).map(|halt| halt.seconds)
    }

    /// Whether nothing is left to lay.
    pub fn all_laid(&self, laid: usize) -> bool {
        self.once && laid >= self.list.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn passes(count: usize) -> Passes {
        let place = Shape::Rectangle { x: [0.1, 0.13], y: [0.1, 0.11] };
        let pass = Pass { place, power: 2000.0, arc_s: 20.0, pause_s: 60.0 };
        Passes { list: vec![pass; count], per_heat: 4, ..Passes::default() }
    }

    #[test]
    fn an_endless_list_fills_every_heat_and_one_that_ends_leaves_a_rest() {
        let endless = passes(3);
        assert_eq!([0, 2, 5].map(|laid| endless.planned(laid)), [4; 3]);
        let once = Passes { once: true, ..passes(6) };
        assert_eq!([0, 4, 6, 9].map(|laid| once.planned(laid)), [4, 2, 0, 0]);
        assert!(once.all_laid(6) && !once.all_laid(5) && !endless.all_laid(60));
    }

    #[test]
    fn a_stop_cuts_its_heat_short() {
        let halted = Passes { halts: vec![Halt { after: 1, seconds: 180.0 }], ..passes(6) };
        assert_eq!([0, 1, 2, 6].map(|laid| halted.planned(laid)), [2, 1, 4, 2]);
    }
}
