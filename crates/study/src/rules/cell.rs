//! One cell of the table.

use heat::{Accuracy, Block, Case, Flame, Grids, Hollows, Interval, Model, Run, Schedule, Shape, Torch, TorchKind};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Head;
use crate::hold::{hold, hold_of};
use crate::plan::round_beads;
use crate::question::ring_probes;
use crate::vary::varied;
use crate::{Lever, Question, Range, RingProbes};

/// Cells across the patch: of the nominal run on nested grids, of a block, and of a body of revolution on one grid.
const CELLS: [usize; 3] = [12, 8, 16];
/// The flame is given up after so many soaks.
const PATIENCE: f64 = 8.0;
/// Steps of the search for the flux.
const FLUX_STEPS: usize = 4;
/// Flame times are rounded to this, s.
const FLAME_STEP_S: f64 = 60.0;
/// How well a flame is set by the time that a reading takes, either way.
const SET_BY_TIME: f64 = 0.10;
/// A hold longer than this is not told apart, s.
const LONG_S: f64 = 4.0 * 3600.0;

/// One line of the table; where it is not possible, `why_not` says why and the numbers that could not be had are null.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Rule {
    /// Number of the cell.
    pub number: usize,
    /// Mass of the casting, kg.
    pub mass_kg: f64,
    /// Thickness under the patch, m.
    pub section_m: f64,
    /// Diameter of the heated disc, m.
    pub width_m: f64,
    /// First heating wanted, s.
    pub soak_s: f64,
    /// Why it is not possible; null where it is.
    pub why_not: Option<String>,
    /// Net power into the metal that makes the reading take the soak, W.
    pub net_power_w: Option<f64>,
    /// Flame time as stated, to the nearest minute, s.
    pub flame_s: Option<f64>,
    /// Shortest and longest flame time over the stated ranges, s.
    pub flame_band_s: Option<[f64; 2]>,
    /// Hold of the ring as stated, s; at most four hours are followed.
    pub hold_s: Option<f64>,
    /// Its numerical error, s.
    pub hold_error_s: Option<f64>,
    /// Shortest and longest hold over the stated ranges, s.
    pub hold_band_s: Option<[f64; 2]>,
    /// Flame off to flame on, rounded down from the shortest hold less its error, s.
    pub interval_s: Option<f64>,
    /// Beads that start within the interval; null where no passes are planned.
    pub beads: Option<usize>,
    /// Fewest and most beads over the stated ranges.
    pub beads_band: Option<[usize; 2]>,
    /// Which body was solved.
    pub model: Option<String>,
}

impl Rule {
    fn blank(number: usize, [mass_kg, section_m, width_m, soak_s]: [f64; 4]) -> Rule {
        Rule {
            number,
            mass_kg,
            section_m,
            width_m,
            soak_s,
            why_not: None,
            net_power_w: None,
            flame_s: None,
            flame_band_s: None,
            hold_s: None,
            hold_error_s: None,
            hold_band_s: None,
            interval_s: None,
            beads: None,
            beads_band: None,
            model: None,
        }
    }

    fn not(self, why: &str) -> Rule {
        Rule { why_not: Some(why.to_owned()), interval_s: None, beads: None, ..self }
    }
}

/// What one run of a cell gives.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Held {
    flame_s: f64,
    hold_s: f64,
    error_s: f64,
    /// Hottest of the ring as the first bead may start, Celsius.
    hottest_c: f64,
    /// Hottest of the patch as the flame goes off, Celsius.
    surface_c: f64,
    reached: bool,
}

/// A cell as a case.
struct Die {
    case: Case,
    question: Question,
    probes: RingProbes,
    reads: usize,
    first_after_s: f64,
}

/// Answers one cell.
///
/// # Errors
/// As [`heat::solve`].
pub fn rule(
    (case, question): (&Case, &Question),
    head: &Head,
    number: usize,
    cell: [f64; 4],
) -> Result<Rule, heat::Error> {
    let blank = Rule::blank(number, cell);
    let Some(die) = die(case, question, head, cell) else {
        return Ok(blank.not("the patch is wider than the face"));
    };
    let soak_s = cell[3];
    let (flux, model, name) = die.flux(head, soak_s)?;
    let stated = die.held(flux, &[], (Grids::Nested, model), die.until(head, soak_s))?;
    let area = die.case.torches[0].patch.area();
    let rule = Rule { net_power_w: Some(flux * area), model: Some(name), ..blank };
    let ends = die.ends(flux, model, die.until(head, soak_s))?;
    let all = || ends.iter().chain(std::iter::once(&stated));
    if !all().all(|held| held.reached) {
        return Ok(rule.not("at the weak end of the ranges the reading is never reached"));
    }
    let band =
        |of: fn(&Held) -> f64| all().map(of).fold([f64::INFINITY, 0.0_f64], |[low, high], v| [low.min(v), high.max(v)]);
    let holds = band(|held| held.hold_s);
    let shortest_s = (holds[0] - stated.error_s).max(0.0);
    let flame_s = (stated.flame_s / FLAME_STEP_S).round().max(1.0) * FLAME_STEP_S;
    let count = |hold_s: f64| head.bead_s.map(|bead| beads(bead, hold_s));
    let interval_s = whole(shortest_s);
    let rule = Rule {
        flame_s: Some(flame_s),
        flame_band_s: Some(band(|held| held.flame_s)),
        hold_s: Some(stated.hold_s),
        hold_error_s: Some(stated.error_s),
        hold_band_s: Some(holds),
        interval_s: Some(interval_s),
        beads: count(interval_s),
        beads_band: count(holds[0]).zip(count(holds[1])).map(|(low, high)| [low, high]),
        ..rule
    };
    let rounded = die.held(flux, &[], (Grids::MiddleOnly, model), Flame::For { seconds: flame_s })?;
    Ok(match limit_broken(head, &all().copied().collect::<Vec<_>>(), &rounded, interval_s) {
        Some(why) => rule.not(why),
        None => rule,
    })
}

/// The first limit that a rule would break.
fn limit_broken(head: &Head, all: &[Held], rounded: &Held, interval_s: f64) -> Option<&'static str> {
    let window = head.window;
    let too_hot = |held: &Held| held.hottest_c > window.maximum_interpass_c;
    let scorched = |held: &Held| window.surface_limit_c.is_some_and(|limit| held.surface_c > limit);
    if all.iter().any(scorched) || scorched(rounded) {
        Some("the surface gets hotter than its limit")
    } else if all.iter().any(too_hot) {
        Some("the ring is above the maximum as the first bead may start")
    } else if interval_s <= 0.0 {
        Some("at the worst end the ring is below the minimum as the flame goes off")
    } else if head.bead_s.is_some_and(|bead| interval_s < bead[0]) {
        Some("at the worst end not one bead can start")
    } else if rounded.hold_s < interval_s || too_hot(rounded) {
        Some("with the flame time rounded to a minute it leaves the window")
    } else {
        None
    }
}

/// Downwards to five seconds, from two minutes on to fifteen.
fn whole(seconds: f64) -> f64 {
    let step = if seconds < 120.0 { 5.0 } else { 15.0 };
    (seconds / step).floor() * step
}

/// Beads that start within a time.
fn beads([first_s, arc_s, pause_s]: [f64; 3], within_s: f64) -> usize {
    if within_s < first_s {
        return 0;
    }
    1 + ((within_s - first_s) / (arc_s + pause_s).max(1.0)).floor().min(999.0) as usize
}

/// The block of a cell; none where the patch does not lie on its face.
fn die(case: &Case, question: &Question, head: &Head, [mass_kg, section_m, width_m, _]: [f64; 4]) -> Option<Die> {
    let face = mass_kg / (case.material.density() * section_m);
    let [length, width, _] = case.block.size;
    let size = [(face * length / width).sqrt(), (face * width / length).sqrt(), section_m];
    if width_m > size[0].min(size[1]) {
        return None;
    }
    let (mut ring, _) = question.ring?;
    let centre = [0.5 * size[0], 0.5 * size[1]];
    ring.groove = moved(ring.groove, centre);
    ring.depth = ring.depth.min(0.5 * section_m);
    let patch = Shape::Disc { centre, radius: 0.5 * width_m };
    let first_after_s = case.passes.as_ref().map_or(0.0, |passes| passes.first_after_s);
    let mut case = Case {
        block: Block { size },
        hollows: Hollows::default(),
        torches: vec![Torch::new(patch, TorchKind::Flux { flux: 1.0 })],
        heaters: Vec::new(),
        covers: Vec::new(),
        passes: None,
        probes: Vec::new(),
        output_s: Vec::new(),
        ..case.clone()
    };
    let probes = ring_probes(&mut case, ring, patch);
    let reads = case.probes.iter().position(|probe| probe.name == head.reads_at)?;
    let question = Question { ring: Some((ring, probes)), ..question.clone() };
    Some(Die { case: round_beads(case), question, probes, reads, first_after_s })
}

fn moved(shape: Shape, to: [f64; 2]) -> Shape {
    let from = shape.centre();
    match shape {
        Shape::Disc { radius, .. } => Shape::Disc { centre: to, radius },
        Shape::Rectangle { x, y } => {
            Shape::Rectangle { x: x.map(|v| v - from[0] + to[0]), y: y.map(|v| v - from[1] + to[1]) }
        }
    }
}

impl Die {
    fn until(&self, head: &Head, soak_s: f64) -> Flame {
        Flame::Until { probe: self.reads, temperature_c: head.reads_c, at_most_s: PATIENCE * soak_s }
    }

    fn with(&self, flux: f64, schedule: Schedule) -> Case {
        let mut case = Case { schedule, ..self.case.clone() };
        case.torches[0].kind = TorchKind::Flux { flux };
        case
    }

    /// The flux that makes the reading take the soak, and the body that is right for that.
    fn flux(&self, head: &Head, soak_s: f64) -> Result<(f64, Model, String), heat::Error> {
        let material = &self.case.material;
        let warm_c = 0.5 * (self.case.start_c + head.reads_c);
        let metal =
            exact::Metal::new(material.conductivity(warm_c), material.density(), material.specific_heat(warm_c));
        let disc = exact::Disc { radius: self.case.torches[0].patch.half_width() };
        let rise_k = (head.reads_c - self.case.start_c).max(1.0);
        let mut flux = disc.flux_for_centre_rise(metal, rise_k, soak_s);
        let (mut model, mut name) = (Model::Smallest, String::new());
        for _ in 0..FLUX_STEPS {
            let case = self.with(flux, Schedule::Spans { on: vec![[0.0, soak_s]], end_s: soak_s });
            let run = heat::solve(&case, &accuracy(Grids::MiddleOnly, model), &|_| true)?;
            // What the engine takes for a body here is right for the other ends, too: they differ little.
            (model, name) = match run.model {
                "axisymmetric" => (Model::Revolved, run.model.to_owned()),
                other => (Model::Block, other.to_owned()),
            };
            let got_k = (run.curves[self.reads].at(soak_s) - self.case.start_c).max(0.1 * rise_k);
            flux *= rise_k / got_k;
            if (got_k / rise_k - 1.0).abs() < 2e-3 {
                break;
            }
        }
        Ok((flux, model, name))
    }

    /// Every range at both ends, then everything at its worst and at its best by the hold.
    fn ends(&self, flux: f64, model: Model, flame: Flame) -> Result<Vec<Held>, heat::Error> {
        let mut all = Vec::new();
        let mut worst: Vec<(Lever, f64)> = Vec::new();
        let mut best = worst.clone();
        for range in ranges(&self.question) {
            let at = |factor: f64| self.held(flux, &[(range.lever, factor)], (Grids::MiddleOnly, model), flame);
            let (low, high) = (at(range.low)?, at(range.high)?);
            let low_is_worse = low.hold_s < high.hold_s;
            worst.push((range.lever, if low_is_worse { range.low } else { range.high }));
            best.push((range.lever, if low_is_worse { range.high } else { range.low }));
            all.extend([low, high]);
        }
        if !worst.is_empty() {
            all.push(self.held(flux, &worst, (Grids::MiddleOnly, model), flame)?);
            all.push(self.held(flux, &best, (Grids::MiddleOnly, model), flame)?);
        }
        Ok(all)
    }

    /// Heats, lets it cool, and says how long the ring held.
    fn held(
        &self,
        flux: f64,
        moved: &[(Lever, f64)],
        (grids, model): (Grids, Model),
        flame: Flame,
    ) -> Result<Held, heat::Error> {
        let schedule = Schedule::Cycles {
            heat_up: flame,
            interval: Interval::Fixed { seconds: 1.0 },
            reheat: flame,
            reheats: 0,
            after_s: 0.0,
        };
        let case =
            moved.iter().try_fold(self.with(flux, schedule), |case, &(lever, factor)| varied(&case, lever, factor))?;
        let mut follow = hold_of(&case, &self.question, |probes| vec![probes.coldest]);
        follow.iter_mut().for_each(|hold| hold.at_most_s = LONG_S);
        let Some(follow) = follow else { return Err(heat::Error::NoSuchProbe { index: 0 }) };
        let (_, held) = heat::solve_with_hold(&case, &accuracy(grids, model), &follow, &|_| true)?;
        let Some(run) = held else { return Err(heat::Error::NoSuchProbe { index: 0 }) };
        Ok(self.summed_up(&run))
    }

    fn summed_up(&self, run: &Run) -> Held {
        let minimum_c = self.question.window.map_or(0.0, |window| window.minimum_c);
        let off_s = run.heats().first().map_or(0.0, |heat| heat[1]);
        let crossing = hold(run, self.probes.coldest, minimum_c);
        let bead_s = (off_s + self.first_after_s).min(run.ran_until_s);
        let missed = run.events.iter().any(|e| e.what == (heat::What::FlameOff { reached: false }));
        Held {
            flame_s: off_s,
            hold_s: crossing.map_or(LONG_S, |c| c.time_s).min(LONG_S),
            error_s: crossing.map_or(0.0, |c| c.error_s),
            hottest_c: run.curves[self.probes.hottest].at(bead_s),
            surface_c: run.curves[self.probes.surface].at(off_s),
            reached: !missed,
        }
    }
}

/// The stated ranges that matter here. That of the torch is taken no wider than a flame can be set by its time: the rule
/// says how long the reading is to take, and the flame is turned until it does.
pub fn ranges(question: &Question) -> Vec<Range> {
    let kept = question.ranges.iter().filter(|range| range.lever != Lever::ArcPower).cloned();
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

fn accuracy(grids: Grids, model: Model) -> Accuracy {
    let cells_across = match (grids, model) {
        (Grids::Nested, Model::Revolved) => CELLS[0],
        (_, Model::Block | Model::Smallest) => CELLS[1],
        _ => CELLS[2],
    };
    Accuracy { cells_across, grids, step_error_k: 3.0, model }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_rounded_down_and_beads_are_counted_by_their_starts() {
        assert_eq!([whole(4.9), whole(59.0), whole(119.9), whole(134.0)], [0.0, 55.0, 115.0, 120.0]);
        let bead = [20.0, 20.0, 60.0];
        assert_eq!([19.9, 20.0, 99.0, 100.0, 180.0].map(|s| beads(bead, s)), [0, 1, 1, 2, 3]);
    }
}
