//! The die of a cell as a case, and the runs that answer it.

use heat::{
    Accuracy, Block, Case, Flame, Grids, Hollows, Interval, Model, Pass, Passes, Schedule, Shape, Torch, TorchKind,
};

use super::Head;
use crate::assemble::{Answer, Answers, input_drops, sure_margins};
use crate::check::{for_differences, summed_up, worst_case, worst_choices};
use crate::hold::{self, FOLLOWED_S, Followed};
use crate::judge::{Judgement, judge};
use crate::question::ring_probes;
use crate::vary::{all_varied, each_end};
use crate::{Lever, Question, Range, RingProbes};

/// Cells across the patch of a block and of a body of revolution.
const CELLS: [usize; 2] = [10, 16];
/// The flame is given up after so many soaks.
pub const PATIENCE: f64 = 8.0;
/// Steps of the search for the flux, and how near it comes.
const FLUX_STEPS: usize = 6;
const FLUX_NEAR: f64 = 5e-4;
/// How well a flame is set by the time that a reading takes, either way.
const SET_BY_TIME: f64 = 0.10;

/// What one run of a cell gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// First heating, s.
    pub flame_s: f64,
    /// Hold of the ring, s.
    pub hold_s: f64,
    /// Its numerical error, s.
    pub error_s: f64,
    /// Whether the reading was reached.
    pub reached: bool,
}

/// A cell as a case.
pub struct Die<'a> {
    case: Case,
    question: Question,
    /// Until the reading, first and again.
    flame: Flame,
    target_c: f64,
    reheats: usize,
    flux: f64,
    model: Model,
    /// Which body is solved, in words.
    pub name: String,
    keep_going: &'a (dyn Fn(f64) -> bool + Sync),
}

impl<'a> Die<'a> {
    /// The block of a cell; none where the patch does not lie on its face.
    pub fn new(
        (case, question): (&Case, &Question),
        head: &Head,
        [mass_kg, section_m, width_m, soak_s]: [f64; 4],
        keep_going: &'a (dyn Fn(f64) -> bool + Sync),
    ) -> Option<Die<'a>> {
        let face = mass_kg / (case.material.density() * section_m);
        let [length, width, _] = case.block.size;
        let size = [(face * length / width).sqrt(), (face * width / length).sqrt(), section_m];
        if width_m > size[0].min(size[1]) {
            return None;
        }
        let (mut ring, _) = question.ring?;
        let centre = [0.5 * size[0], 0.5 * size[1]];
        let from = ring.groove.centre();
        let by = [centre[0] - from[0], centre[1] - from[1]];
        ring.groove = ring.groove.moved(by);
        ring.depth = ring.depth.min(0.5 * section_m);
        let patch = Shape::Disc { centre, radius: 0.5 * width_m };
        let mut case = Case {
            block: Block { size },
            hollows: Hollows::default(),
            torches: vec![Torch::new(patch, TorchKind::Flux { flux: 1.0 })],
            passes: case.passes.as_ref().map(|passes| laid(passes, by)),
            probes: Vec::new(),
            output_s: Vec::new(),
            ..case.clone()
        };
        let probes = ring_probes(&mut case, ring, patch);
        let probe = case.probes.iter().position(|probe| probe.name == head.reads_at)?;
        let flame = Flame::Until { probe, temperature_c: head.reads_c, at_most_s: PATIENCE * soak_s };
        let question = Question {
            ring: Some((ring, probes)),
            ranges: ranges(case.passes.is_some(), question),
            guard_k: 0.0,
            working_time_s: None,
            watches: Vec::new(),
            request: None,
            ..question.clone()
        };
        let (target_c, reheats) = (head.reads_c, head.reheats);
        let (flux, model, name) = (0.0, Model::Smallest, String::new());
        Some(Die { case, question, flame, target_c, reheats, flux, model, name, keep_going })
    }

    /// Net power into the metal as the torch is set, W.
    pub fn net_power_w(&self) -> f64 {
        self.flux * self.case.torches[0].patch.area()
    }

    /// The case with the torch as it is set.
    fn scheduled(&self, schedule: Schedule, passes: Option<Passes>) -> Case {
        let mut case = Case { schedule, passes, ..self.case.clone() };
        case.torches[0].kind = TorchKind::Flux { flux: self.flux };
        case
    }

    /// Sets the torch so that the reading takes a time on one grid, and finds the body that is right for that.
    ///
    /// # Errors
    /// As [`heat::solve`].
    pub fn set_torch(&mut self, time_s: f64) -> Result<(), heat::Error> {
        let Flame::Until { probe, .. } = self.flame else { return Ok(()) };
        let rise_k = (self.target_c - self.case.start_c).max(1.0);
        if self.flux <= 0.0 {
            self.flux = self.first_flux(rise_k, time_s);
        }
        for _ in 0..FLUX_STEPS {
            let case = self.scheduled(Schedule::Spans { on: vec![[0.0, time_s]], end_s: time_s }, None);
            let run = heat::solve(&case, &self.accuracy(Grids::MiddleOnly), self.keep_going)?;
            // What the engine takes for a body here is right for the other ends, too: they differ little.
            if self.model == Model::Smallest {
                self.model = if run.model == "axisymmetric" { Model::Revolved } else { Model::Block };
                run.model.clone_into(&mut self.name);
            }
            let got_k = (run.curves[probe].at(time_s) - self.case.start_c).max(0.1 * rise_k);
            self.flux *= rise_k / got_k;
            if (got_k / rise_k - 1.0).abs() < FLUX_NEAR {
                break;
            }
        }
        Ok(())
    }

    /// That of the middle of the disc on a half space without losses.
    fn first_flux(&self, rise_k: f64, time_s: f64) -> f64 {
        let material = &self.case.material;
        let warm_c = self.case.start_c + 0.5 * rise_k;
        let metal =
            exact::Metal::new(material.conductivity(warm_c), material.density(), material.specific_heat(warm_c));
        exact::Disc { radius: self.case.torches[0].patch.half_width() }.flux_for_centre_rise(metal, rise_k, time_s)
    }

    /// Every range at both ends, all together at their worst and at their best by the hold, and last the case as stated. What
    /// one grid is off by where all is as stated is taken off every end.
    ///
    /// # Errors
    /// As [`heat::solve`].
    pub fn ends(&self, stated: Held) -> Result<Vec<Held>, heat::Error> {
        let middle = self.held(&[], Grids::MiddleOnly)?;
        let share = |stated: f64, middle: f64| if middle > 0.0 { stated / middle } else { 1.0 };
        let (longer, holds) = (share(stated.flame_s, middle.flame_s), share(stated.hold_s, middle.hold_s));
        let at = |moved: &[(Lever, f64)]| {
            let end = self.held(moved, Grids::MiddleOnly)?;
            let hold_s = (end.hold_s * holds).min(FOLLOWED_S);
            Ok::<Held, heat::Error>(Held { flame_s: end.flame_s * longer, hold_s, ..end })
        };
        let (mut all, mut worst, mut best) = (Vec::new(), Vec::new(), Vec::new());
        // The hold is counted without arc heat.
        for range in self.question.ranges.iter().filter(|range| range.lever != Lever::ArcPower) {
            let (low, high) = (at(&[(range.lever, range.low)])?, at(&[(range.lever, range.high)])?);
            let ends = if low.hold_s < high.hold_s { [range.low, range.high] } else { [range.high, range.low] };
            worst.push((range.lever, ends));
            best.push((range.lever, [ends[1], ends[0]]));
            all.extend([low, high]);
        }
        if !worst.is_empty() {
            all.push(together(&at, &worst, |one, other| one < other)?);
            all.push(together(&at, &best, |one, other| one > other)?);
        }
        all.push(stated);
        Ok(all)
    }

    /// Heats to the reading, lets it cool, and says how long the ring held.
    ///
    /// # Errors
    /// As [`heat::solve`].
    pub fn held(&self, moved: &[(Lever, f64)], grids: Grids) -> Result<Held, heat::Error> {
        let interval = Interval::Fixed { seconds: 1.0 };
        let schedule = Schedule::Cycles { heat_up: self.flame, interval, reheat: self.flame, reheats: 0, after_s: 0.0 };
        let case = self.scheduled(schedule, None);
        let case = all_varied(case, moved.iter().copied())?;
        let coldest = |probes: &RingProbes| vec![probes.coldest];
        let Followed { held, hold, .. } =
            hold::followed(&case, &self.question, &self.accuracy(grids), coldest, self.keep_going)?;
        Ok(Held {
            flame_s: held.heats().first().map_or(0.0, |heat| heat[1]),
            hold_s: hold.map_or(FOLLOWED_S, |c| c.time_s).min(FOLLOWED_S),
            error_s: hold.map_or(0.0, |c| c.error_s),
            reached: held.every_flame_reached(),
        })
    }

    /// Smallest margin to each limit as [`check`](crate::check()) takes it, over the first heating and all reheats with so
    /// many beads in each interval and their heat: at the worst end of the stated ranges, less the numerical error, K.
    ///
    /// # Errors
    /// As [`heat::solve`].
    pub fn sure_margins(&self, interval_s: f64, beads: Option<usize>) -> Result<[f64; 3], heat::Error> {
        let schedule = Schedule::Cycles {
            heat_up: self.flame,
            interval: Interval::Fixed { seconds: interval_s },
            reheat: self.flame,
            reheats: self.reheats,
            after_s: 0.0,
        };
        let passes = self.case.passes.clone().zip(beads).map(|(passes, per_heat)| Passes { per_heat, ..passes });
        let case = self.scheduled(schedule, passes);
        let Some(stated) = self.judged(&case, &self.accuracy(Grids::Nested))? else {
            return Ok([f64::NEG_INFINITY; 3]);
        };
        let margins = sure_margins(&stated, [0.0; 3]);
        // What is outside as stated needs no worst end.
        if margins.iter().any(|margin_k| *margin_k <= 0.0) {
            return Ok(margins);
        }
        let answers = self.answers(&case)?;
        Ok(sure_margins(&stated, input_drops(&answers)))
    }

    /// Every range at both ends and all at their worst together, as the work goes on.
    fn answers(&self, case: &Case) -> Result<Answers, heat::Error> {
        let accuracy = for_differences(&self.accuracy(Grids::Nested));
        let answer = |case: &Case| -> Result<Answer, heat::Error> {
            Ok(summed_up(&self.question, self.judged(case, &accuracy)?.as_ref(), None))
        };
        let ranges = &self.question.ranges;
        let ends = each_end(case, ranges)?.iter().map(answer).collect::<Result<Vec<_>, heat::Error>>()?;
        let pairs: Vec<[Answer; 2]> = ends.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect();
        let worst = worst_choices(&pairs);
        let worst = worst.iter().map(|low| answer(&worst_case(case, ranges, low)?));
        let worst = worst.collect::<Result<Vec<_>, heat::Error>>()?;
        Ok(Answers { middle: answer(case)?, pairs, worst, arc_effect: None })
    }

    fn judged(&self, case: &Case, accuracy: &Accuracy) -> Result<Option<Judgement>, heat::Error> {
        let run = heat::solve(case, accuracy, self.keep_going)?;
        Ok(judge(case, &self.question, &run))
    }

    fn accuracy(&self, grids: Grids) -> Accuracy {
        let cells_across = CELLS[usize::from(self.model == Model::Revolved)];
        let step_error_k = if grids == Grids::Nested { 1.0 } else { 3.0 };
        Accuracy { cells_across, grids, step_error_k, model: self.model }
    }
}

/// All inputs at the end that goes further alone, then one after another turned round where that goes further still: what
/// an input does alone need not be what it does beside the others.
fn together(
    at: &impl Fn(&[(Lever, f64)]) -> Result<Held, heat::Error>,
    ends: &[(Lever, [f64; 2])],
    further: impl Fn(f64, f64) -> bool,
) -> Result<Held, heat::Error> {
    let mut moved: Vec<(Lever, f64)> = ends.iter().map(|&(lever, [end, _])| (lever, end)).collect();
    let mut farthest = at(&moved)?;
    for (number, &(lever, [end, other])) in ends.iter().enumerate() {
        moved[number] = (lever, other);
        let turned = at(&moved)?;
        if further(turned.hold_s, farthest.hold_s) {
            farthest = turned;
        } else {
            moved[number] = (lever, end);
        }
    }
    Ok(farthest)
}

/// The planned passes moved with their groove, laid one after another for ever: none waits, and no void is ground out.
fn laid(passes: &Passes, by: [f64; 2]) -> Passes {
    let list = passes.list.iter().map(|pass| Pass { place: pass.place.moved(by), ..*pass }).collect();
    Passes { list, first_after_s: passes.first_after_s, per_heat: 1, ..Passes::default() }
}

/// From flame off to the first pass, the longest arc and the longest pause, s: by these passes are counted.
pub fn longest_bead(passes: &Passes) -> [f64; 3] {
    let longest = |of: fn(&Pass) -> f64| passes.list.iter().map(of).fold(0.0, f64::max);
    [passes.first_after_s, longest(|pass| pass.arc_s), longest(|pass| pass.pause_s)]
}

/// The stated ranges that matter here. That of the torch is taken no wider than a flame can be set by its time: the rule
/// says how long the reading is to take, and the flame is turned until it does.
pub fn ranges(with_passes: bool, question: &Question) -> Vec<Range> {
    let kept = question.ranges.iter().filter(|range| with_passes || range.lever != Lever::ArcPower).cloned();
    kept.map(|range| match range.lever {
        Lever::TorchStrength => Range {
            low: range.low.max(1.0 - SET_BY_TIME),
            high: range.high.min(1.0 + SET_BY_TIME),
            source: "a flame set so that the reading takes its time".to_owned(),
            ..range
        },
        _ => range,
    })
    .collect()
}
