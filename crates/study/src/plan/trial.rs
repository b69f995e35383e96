//! One proposal tried on a quick grid.

use heat::{
    Accuracy, Case, Face, Flame, Grids, Heater, Interval, Model, Probe, ProbeKind, Schedule, Shape, Torch, When,
};

use crate::check::for_differences;
use crate::judge::judge;
use crate::vary::all_varied;
use crate::{Lever, Question, RingProbes, Supply, Window};

/// Cells across half of the patch on nested round grids.
const NESTED_CELLS: usize = 12;
/// Cells across the patch of a quick run; one grid of half as many is marched.
const QUICK_CELLS: usize = 20;
/// The same of a block.
const BLOCK_CELLS: usize = 7;
/// The edges of the casting are far enough for a quick body of revolution from this many patch radii on.
const FAR_RADII: f64 = 1.6;
/// Span over which a heating rate is taken, s.
pub const RATE_SPAN_S: f64 = 60.0;

/// What a plan may choose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// Width of the patch over the scenario's.
    pub scale: f64,
    /// Strength of the torch over the scenario's.
    pub strength: f64,
    /// What the coldest of the ring reads when the flame goes off, Celsius.
    pub target_c: f64,
    /// The first heating ends after this long at the latest, s.
    pub heat_up_at_most_s: f64,
    /// Each reheat ends after this long at the latest, s.
    pub reheat_at_most_s: f64,
}

/// A scenario with the work that is to fit between two flames.
#[derive(Clone, Debug)]
pub struct Job {
    /// The case as stated, its planned passes being those that are to fit.
    pub case: Case,
    /// The question.
    pub question: Question,
    /// The window of the question.
    pub window: Window,
    /// The probes of the question.
    pub probes: RingProbes,
    /// Flame off to flame on, s.
    pub interval_s: f64,
    /// Reheats of the whole job.
    pub reheats: usize,
}

/// How finely a setting is tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fineness {
    /// A body of revolution where it can be one, beads as discs: milliseconds.
    Quick,
    /// As `check` runs the ends of the ranges.
    AsChecked,
}

/// What a run says of a setting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Whether every flame reached its target.
    pub reached: bool,
    /// First heating, s.
    pub heat_up_s: f64,
    /// First reheat, s.
    pub reheat_s: f64,
    /// Last reheat, s.
    pub last_reheat_s: f64,
    /// Smallest distance of the coldest of the ring to the minimum, K.
    pub cold_k: f64,
    /// Smallest distance to any other limit, K.
    pub hot_k: f64,
    /// Steepest rise of the hottest of the patch over a minute of the first heating, K/s.
    pub rise_k_s: f64,
}

impl Job {
    /// The case and the question with a setting put in.
    pub fn at(&self, setting: &Setting, reheats: usize) -> (Case, Question) {
        let (mut case, mut question) = (self.case.clone(), self.question.clone());
        let Some(torch) = case.torches.first_mut() else { return (case, question) };
        let (old, new) = (torch.patch, torch.patch.scaled(setting.scale));
        torch.patch = new;
        let (face, area) = (torch.face, old.area() / new.area());
        let spread = if matches!(question.supply, Some(Supply::Gas(_))) { area } else { 1.0 };
        torch.kind = torch.kind.scaled(setting.strength * spread);
        // What is said of a heater as a share of the torch stays that share.
        for heater in &mut case.heaters {
            if heater.shares_supply {
                heater.torch.kind = heater.torch.kind.scaled(setting.strength * spread);
            }
            if heater.torch.face == face && heater.torch.patch == old {
                heater.torch.patch = new;
            }
        }
        follow_the_patch(&mut case.probes, old, new);
        question.supply = question.supply.as_ref().map(|supply| supply.turned(setting.strength, 1.0 / area));
        let flame =
            |at_most_s: f64| Flame::Until { probe: self.probes.coldest, temperature_c: setting.target_c, at_most_s };
        case.schedule = Schedule::Cycles {
            heat_up: flame(setting.heat_up_at_most_s),
            interval: Interval::Fixed { seconds: self.interval_s },
            reheat: flame(setting.reheat_at_most_s),
            reheats,
            after_s: 0.0,
        };
        case.output_s.clear();
        question.guard_k = 0.0;
        question.working_time_s = None;
        (case, question)
    }

    /// Tries a setting with some inputs moved off their nominal values.
    ///
    /// # Errors
    /// As [`heat::solve`].
    pub fn tried(
        &self,
        setting: &Setting,
        moved: &[(Lever, f64)],
        reheats: usize,
        fineness: Fineness,
    ) -> Result<Reading, heat::Error> {
        let (case, question) = self.at(setting, reheats);
        let (case, accuracy) = match fineness {
            Fineness::Quick => {
                let case = round_beads(case);
                let accuracy = quick(&case, &question.accuracy);
                (case, accuracy)
            }
            Fineness::AsChecked => (case, for_differences(&question.accuracy)),
        };
        let case = all_varied(case, moved.iter().copied())?;
        let run = heat::solve(&case, &accuracy, &|_| true)?;
        let judgement = judge(&case, &question, &run);
        let margin = |cold: bool| {
            let instants =
                judgement.iter().flat_map(|j| &j.instants).filter(|i| (i.probe == self.probes.coldest) == cold);
            instants.map(|i| i.margin_k).fold(f64::INFINITY, f64::min)
        };
        let heats = run.heats();
        let flame_s = |heat: Option<&[f64; 2]>| heat.map_or(0.0, |[on_s, off_s]| off_s - on_s);
        let no_bead = judgement.as_ref().is_some_and(|j| j.beads_per_heat == Some(0) && j.no_bead_fits());
        Ok(Reading {
            reached: run.every_flame_reached() && !run.interrupted && !no_bead,
            heat_up_s: flame_s(heats.first()),
            reheat_s: flame_s(heats.get(1)),
            last_reheat_s: if heats.len() > 1 { flame_s(heats.last()) } else { 0.0 },
            cold_k: margin(true),
            hot_k: margin(false),
            rise_k_s: steepest(&run, self.probes.surface),
        })
    }

    /// Gas of the whole job by a reading of it, kg; none is burnt where the torch has no gas.
    pub fn gas_kg(&self, setting: &Setting, reading: &Reading) -> f64 {
        let Some(Supply::Gas(gas)) = &self.question.supply else { return 0.0 };
        let flames_s = reading.heat_up_s + self.reheats as f64 * reading.reheat_s;
        let power = |torch: &Torch| torch.kind.net_flux(self.case.start_c) * torch.patch.area();
        let beside_s = |heater: &Heater| {
            let lasts_s = match &heater.when {
                When::WithFlame => flames_s,
                When::InIntervals => self.total_s(reading) - flames_s,
                When::Always => self.total_s(reading),
                When::AfterWork => 0.0,
                When::Times(times) => times.iter().map(|[from, to]| to - from).sum(),
            };
            lasts_s * power(&heater.torch) / power(&self.case.torches[0])
        };
        let beside = self.case.heaters.iter().filter(|heater| heater.shares_supply).map(beside_s).sum::<f64>();
        gas.mass_rate * setting.strength * (flames_s + beside)
    }

    /// The whole job in seconds, by a reading of it.
    pub fn total_s(&self, reading: &Reading) -> f64 {
        let reheats = self.reheats as f64;
        reading.heat_up_s + reheats * (self.interval_s + reading.reheat_s) + self.interval_s
    }
}

/// What is read over the patch is read over it where it is now.
pub fn follow_the_patch(probes: &mut [Probe], old: Shape, new: Shape) {
    for probe in probes {
        match &mut probe.kind {
            ProbeKind::PatchMean(shape) | ProbeKind::PatchColdest(shape) | ProbeKind::PatchHottest(shape)
                if *shape == old =>
            {
                *shape = new;
            }
            _ => {}
        }
    }
}

/// Beads as discs of their area in the middle of the patch: what is judged lies around them, a minute later.
pub fn round_beads(mut case: Case) -> Case {
    let Some(Shape::Disc { centre, .. }) = case.torches.first().map(|torch| torch.patch) else { return case };
    for pass in case.passes.iter_mut().flat_map(|passes| &mut passes.list) {
        pass.place = Shape::Disc { centre, radius: (pass.place.area() / std::f64::consts::PI).sqrt() };
    }
    case
}

/// One coarse grid; a body of revolution where the patch is a disc well inside one block.
pub fn quick(case: &Case, like: &Accuracy) -> Accuracy {
    // What lies beside the torch, or is missing of the block, need not be round.
    let is_bare = case.hollows.boxes.is_empty() && case.covers.is_empty();
    let model = match case.torches.first().map(|torch| torch.patch) {
        Some(Shape::Disc { centre, .. }) if is_bare && like.model != Model::Block => {
            let [length, width, _] = case.block.size;
            let [x, y] = centre;
            let edge = x.min(length - x).min(y).min(width - y);
            match round_about(case, centre) {
                Some(radius) if edge > FAR_RADII * radius => Model::Revolved,
                _ => Model::Smallest,
            }
        }
        _ => like.model,
    };
    let cells_across = if model == Model::Revolved { QUICK_CELLS } else { BLOCK_CELLS };
    Accuracy { cells_across, grids: Grids::MiddleOnly, step_error_k: 3.0, model }
}

/// Radius of the largest heated disc, m, where all heat lies in discs around one place of the worked face or the back.
fn round_about(case: &Case, place: [f64; 2]) -> Option<f64> {
    let radius = |torch: &Torch| match torch.patch {
        Shape::Disc { centre, radius } if centre == place && torch.face as usize >= Face::Worked as usize => {
            Some(radius)
        }
        _ => None,
    };
    case.all_torches().try_fold(0.0_f64, |largest, torch| radius(torch).map(|own| largest.max(own)))
}

/// The same, or nested grids for a value with its bar.
pub fn quick_or_nested(case: &Case, like: &Accuracy, grids: Grids) -> Accuracy {
    let quick = quick(case, like);
    if grids == Grids::MiddleOnly {
        return quick;
    }
    let cells_across = if quick.model == Model::Revolved { NESTED_CELLS } else { like.cells_across };
    Accuracy { grids, cells_across, ..quick }
}

/// Steepest rise of a probe over a minute of the first heating (or all of it where it is shorter), K/s.
fn steepest(run: &heat::Run, probe: usize) -> f64 {
    const LOOKS: usize = 200;
    let Some(&[on_s, off_s]) = run.heats().first() else { return 0.0 };
    let span = RATE_SPAN_S.min(off_s - on_s);
    if span <= 0.0 {
        return 0.0;
    }
    let curve = &run.curves[probe];
    let start = |n: usize| on_s + (off_s - span - on_s) * n as f64 / LOOKS as f64;
    let rates = (0..=LOOKS).map(start).map(|from_s| (curve.at(from_s + span) - curve.at(from_s)) / span);
    rates.fold(0.0, f64::max)
}
