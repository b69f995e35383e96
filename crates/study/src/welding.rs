//! The welding day, bead by bead.

use exact::{Flow, Weld};
use heat::{Case, Curve, Event, Run, What};
use serde::Serialize;

use crate::Question;
use crate::said::{length, temperature};

/// What is known of the weld passes beside the heat they bring.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WeldFacts {
    /// One for each pass of the case's list; missing ones are taken as unknown.
    pub beads: Vec<BeadFacts>,
    /// Whether the formula of the cooling time holds for the metal.
    pub steel: Steel,
    /// Values that were not stated, each with its source, ready to print.
    pub assumed: Vec<String>,
}

/// What is known of one pass.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BeadFacts {
    /// Length along which the arc travels, m.
    pub length_m: Option<f64>,
    /// Layer of the groove, from 1.
    pub layer: Option<usize>,
    /// Whether it is welded again after a void was ground out.
    pub again: bool,
}

/// Whether the formula of the cooling time holds for a metal.
#[derive(Clone, Debug, PartialEq)]
pub enum Steel {
    /// Unalloyed or low-alloy steel.
    LowAlloy,
    /// Not such a steel; what it is, in words.
    No(String),
}

impl Default for Steel {
    fn default() -> Steel {
        Steel::No("a metal that is not known to be such a steel".to_owned())
    }
}

/// One bead as it was laid.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Bead {
    /// Number over the whole work, from 1.
    pub bead: usize,
    /// Which flame went before, from 1.
    pub heat: usize,
    /// Number within that heat, from 1.
    pub number: usize,
    /// Whether the flame burnt right before it, with no bead between.
    pub flame_before: bool,
    /// Layer of the groove, from 1; null where beads are not laid in layers.
    pub layer: Option<usize>,
    /// Whether it is welded again after a void was ground out.
    pub again: bool,
    /// Middle of the bead, x and y from the casting's corner, m.
    pub at_m: [f64; 2],
    /// Arc on, s from the start of the run.
    pub start_s: f64,
    /// Arc off, s.
    pub end_s: f64,
    /// Waited before it because the ring was too hot, s.
    pub waited_s: f64,
    /// Coldest of the ring at its start, Celsius; null without a window.
    pub coldest_c: Option<f64>,
    /// Mean of the ring on the face at its start, Celsius.
    pub mean_c: Option<f64>,
    /// Hottest of the ring at its start, Celsius.
    pub hottest_c: Option<f64>,
    /// Whether the ring is inside the window at its start.
    pub inside: Option<bool>,
    /// Net heat of the arc into the metal, J.
    pub heat_j: f64,
    /// Net heat input over its length, J/m (10^6 J/m is 1 kJ/mm); null where the length is not known.
    pub heat_input_j_per_m: Option<f64>,
    /// Cooling time of the bead from 800 to 500 C, s; null where the formula does not hold.
    pub cooling_s: Option<f64>,
    /// Whether the metal counts as a thick plate for it.
    pub thick_plate: Option<bool>,
}

/// What the heat of the arc does: the run as stated less one with a cold arc, both on one grid.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ArcEffect {
    /// Fewest beads of a heat inside the window on that grid; it need not be the number of the answer itself.
    pub beads_per_heat_with: usize,
    /// The same without the heat of the arc.
    pub beads_per_heat_without: usize,
    /// What the heat of the arc adds to the coldest of the ring as beads start, on average over all beads, K.
    pub coldest_gain_k: f64,
}

/// The welding day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Welding {
    /// Every bead in order of time.
    pub beads: Vec<Bead>,
    /// Beads of a list that is laid once; null for a list that begins again.
    pub planned: Option<usize>,
    /// Beads laid.
    pub laid: usize,
    /// From the first flame on to the end of the last bead with its pause, s.
    pub total_s: f64,
    /// Flame on, s.
    pub flame_s: f64,
    /// Arc on, s.
    pub arc_s: f64,
    /// Waited because the ring was too hot, s.
    pub waited_s: f64,
    /// Intervals that were over while a bead still waited for the ring to cool.
    pub too_hot: usize,
    /// What the heat of the arc does; null without a window.
    pub arc_effect: Option<ArcEffect>,
    /// What the cooling times are, or why there are none: one sentence.
    pub cooling: String,
    /// Values that were not stated, each with its source.
    pub assumed: Vec<String>,
}

/// The welding day of a run; none without passes.
pub fn welding(case: &Case, question: &Question, run: &Run, arc_effect: Option<ArcEffect>) -> Option<Welding> {
    let passes = case.passes.as_ref()?;
    let beads = Laid { case, question, run }.beads();
    // The sum of nothing is a negative zero, and would be shown.
    let sum = |part: fn(&Bead) -> f64| beads.iter().map(part).fold(0.0, |sum, part| sum + part);
    let total_s = run.events.iter().rfind(|e| e.what == What::IntervalEnd).map_or(run.ran_until_s, |e| e.time_s);
    Some(Welding {
        planned: passes.once.then_some(passes.list.len()),
        laid: beads.len(),
        total_s,
        flame_s: run.heats().iter().map(|[on_s, off_s]| off_s - on_s).sum(),
        arc_s: sum(|b| b.end_s - b.start_s),
        waited_s: sum(|b| b.waited_s),
        too_hot: waited_in_vain(run),
        arc_effect,
        cooling: cooling_words(case, question, &beads),
        assumed: question.weld.assumed.clone(),
        beads,
    })
}

/// Waits for a ring that was too hot after which no bead came.
fn waited_in_vain(run: &Run) -> usize {
    let after = |n: usize| run.events[n + 1..].iter().find(|event| event.what != What::Waiting);
    let waits = (0..run.events.len()).filter(|&n| run.events[n].what == What::Waiting);
    waits.filter(|&n| after(n).is_none_or(|event| !matches!(event.what, What::PassStart(_)))).count()
}

struct Laid<'a> {
    case: &'a Case,
    question: &'a Question,
    run: &'a Run,
}

/// A pass as it was counted.
struct Count {
    index: usize,
    heat: usize,
    number: usize,
    waited_s: f64,
}

impl Laid<'_> {
    fn beads(&self) -> Vec<Bead> {
        let counts = self.counts().into_iter().zip(self.run.passes()).enumerate();
        counts.map(|(before, (count, times_s))| self.bead(before + 1, &count, times_s)).collect()
    }

    fn counts(&self) -> Vec<Count> {
        let mut list = Vec::new();
        let (mut heat, mut number, mut waiting_s) = (0, 0, None);
        for event in &self.run.events {
            match event.what {
                What::FlameOn => (heat, number) = (heat + 1, 0),
                What::Waiting => waiting_s = Some(event.time_s),
                What::PassStart(index) => {
                    number += 1;
                    let waited_s = waiting_s.take().map_or(0.0, |since_s: f64| event.time_s - since_s);
                    list.push(Count { index, heat, number, waited_s });
                }
                What::FlameOff { .. } | What::PassEnd(_) | What::IntervalEnd => waiting_s = None,
            }
        }
        list
    }

    fn bead(&self, bead: usize, count: &Count, [start_s, end_s]: [f64; 2]) -> Bead {
        let facts = self.facts(count.index);
        let ring = self.ring_at(start_s);
        let (middle, power) = self.place_and_power(count.index);
        let heat_j = power * (end_s - start_s);
        let heat_input = facts.length_m.map(|length| heat_j / length);
        let cooling = heat_input.zip(ring).and_then(|(input, ring)| self.cooling(input, ring[1]));
        Bead {
            bead,
            heat: count.heat,
            number: count.number,
            flame_before: count.number == 1,
            layer: facts.layer,
            again: facts.again,
            at_m: middle,
            start_s,
            end_s,
            waited_s: count.waited_s,
            coldest_c: ring.map(|r| r[0]),
            mean_c: ring.map(|r| r[1]),
            hottest_c: ring.map(|r| r[2]),
            inside: ring.and_then(|ring| self.inside(ring, start_s, count.waited_s)),
            heat_j,
            heat_input_j_per_m: heat_input,
            cooling_s: cooling.map(|(seconds, _)| seconds),
            thick_plate: cooling.map(|(_, flow)| flow == Flow::Thick),
        }
    }

    /// Coldest, mean and hottest of the ring, Celsius.
    fn ring_at(&self, time_s: f64) -> Option<[f64; 3]> {
        let (_, probes) = self.question.ring?;
        Some([probes.coldest, probes.mean, probes.hottest].map(|probe| self.run.curves[probe].at(time_s)))
    }

    fn inside(&self, [coldest_c, _, hottest_c]: [f64; 3], start_s: f64, waited_s: f64) -> Option<bool> {
        let (window, (_, probes)) = (self.question.window?, self.question.ring?);
        let slack_k = if waited_s > 0.0 { waited_slack_k(&self.run.curves[probes.hottest], start_s) } else { 0.0 };
        Some(coldest_c >= window.minimum_c && hottest_c <= window.maximum_interpass_c + slack_k)
    }

    fn cooling(&self, heat_input: f64, plate_c: f64) -> Option<(f64, Flow)> {
        let weld = Weld { heat_input, plate_c };
        let known = self.question.weld.steel == Steel::LowAlloy;
        known.then(|| weld.cooling_time(self.case.thickness_under_the_patch())).flatten()
    }

    fn facts(&self, index: usize) -> BeadFacts {
        self.question.weld.beads.get(index).copied().unwrap_or_default()
    }

    /// Middle of a pass on the casting, m, and its net power, W.
    fn place_and_power(&self, index: usize) -> ([f64; 2], f64) {
        let pass = self.case.passes.as_ref().and_then(|passes| passes.list.get(index));
        pass.map_or(([f64::NAN; 2], 0.0), |pass| (pass.place.centre(), pass.power))
    }
}

/// How much above the maximum a ring may read that was waited for, K: half a kelvin and its own error bar, since the
/// reading that ended the wait had one too.
pub(crate) fn waited_slack_k(hottest: &Curve, time_s: f64) -> f64 {
    const LEAST_K: f64 = 0.5;
    LEAST_K + hottest.error_from_switch(time_s)
}

/// A ring that fell below the minimum while a void was ground out (ST15, `practice`).
pub(crate) fn ground_cold(case: &Case, question: &Question, run: &Run) -> Option<String> {
    let (work, window, (_, probes)) = (case.passes.as_ref()?, question.window?, question.ring?);
    // It falls all the time without flame and arc: it is coldest as the grinding ends.
    let ground_until_s = |event: &Event| match event.what {
        What::PassEnd(number) => Some(event.time_s + work.list[number].pause_s + work.halt_after(number)?),
        _ => None,
    };
    let until_s = run.events.iter().filter_map(ground_until_s).filter(|time_s| *time_s <= run.ran_until_s);
    let ends = until_s.map(|time_s| run.curves[probes.coldest].at(time_s));
    let coldest_c = ends.reduce(f64::min).filter(|coldest_c| *coldest_c < window.minimum_c)?;
    Some(format!(
        "While a void was ground out the ring fell to {}, under the minimum: keep it warm meanwhile, or cool slowly and \
         qualify again; no bead before it is back (ST14, ST15).",
        temperature(coldest_c)
    ))
}

/// One sentence on the cooling times.
fn cooling_words(case: &Case, question: &Question, beads: &[Bead]) -> String {
    let none = |why: &str| format!("No cooling times from 800 to 500 C (1472 to 932 F): {why}.");
    if let Steel::No(what) = &question.weld.steel {
        return none(&format!("the formula is for unalloyed and low-alloy steel (ST7), and this is {what}"));
    }
    if beads.iter().all(|bead| bead.heat_input_j_per_m.is_none()) {
        return none("the length of the beads is not known; give [passes.fill], beads or a travel speed");
    }
    if question.ring.is_none() {
        return none("without [window] and ring the temperature of the plate is not known");
    }
    let missing = beads.iter().filter(|bead| bead.cooling_s.is_none()).count();
    let some = if missing > 0 {
        format!(" {missing} of the beads start on metal of 500 C (932 F) or more, where the formula ends.")
    } else {
        String::new()
    };
    let section = length(case.thickness_under_the_patch());
    format!(
        "Cooling times are those of a bead on plate by EN 1011-2 annex D (ST7) from the mean of the ring and \
         {section} of metal.{some}"
    )
}
