//! What a plan says.

use heat::{Shape, Torch, TorchKind};
use schemars::JsonSchema;
use serde::Serialize;

use super::seek::{Bounds, Candidate, Ends};
use super::trial::{Fineness, Job, RATE_SPAN_S, Setting};
use super::{Remedy, Wishes};
use crate::{Consumption, Error, HOUR_S, Outcome, Question, Supply, Verdict, WindowC};

/// A casting is warm after so long at work, s, in at most so many reheats.
const WARM_S: f64 = 3.0 * 3600.0;
const MOST_REHEATS: f64 = 40.0;

/// What a plan was made within.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Limits {
    /// The window.
    pub window: WindowC,
    /// Flame off to flame on, s.
    pub interval_s: f64,
    /// Beads between two flames; null where no passes are planned.
    pub beads: Option<usize>,
    /// Reheats of the job.
    pub reheats: usize,
    /// Narrowest and widest patch looked at, m.
    pub widths_m: [f64; 2],
    /// Weakest and strongest torch looked at, over the scenario's.
    pub torch: [f64; 2],
    /// Steepest rise allowed, K/s; null where none is stated.
    pub fastest_heating_k_s: Option<f64>,
    /// Shortest soak allowed, s; null where none is stated.
    pub least_soak_s: Option<f64>,
    /// Longest first heating looked at, s.
    pub longest_soak_s: f64,
    /// Longest whole job allowed, s; null where none is stated.
    pub longest_job_s: Option<f64>,
    /// Most gas allowed, kg; null where none is stated.
    pub most_gas_kg: Option<f64>,
}

/// How the torch of a proposal is set.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum TorchSetting {
    /// Gas burnt, kg/s.
    GasKgS(f64),
    /// Net flux into the metal, W/m2.
    FluxWM2(f64),
    /// Film coefficient of the flame, W/m2K.
    FlameWM2K(f64),
    /// Electric power over the area, W/m2.
    ElectricWM2(f64),
}

/// What to do.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Proposal {
    /// Diameter of the heated disc, or the sides of the heated rectangle, m.
    pub heated_m: Vec<f64>,
    /// How the torch is set.
    pub torch: TorchSetting,
    /// Its strength over that of the scenario.
    pub torch_over_stated: f64,
    /// Net power into the metal at the start, W.
    pub net_power_w: f64,
    /// Heat until the coldest of the ring reads this, Celsius.
    pub reads_c: f64,
    /// First heating as stated, s.
    pub heat_up_s: f64,
    /// First heating at the strong and at the weak end of the stated ranges, s.
    pub heat_up_band_s: [f64; 2],
    /// The first heating is given up after this, s.
    pub heat_up_at_most_s: f64,
    /// Flame off to flame on, s.
    pub interval_s: f64,
    /// Beads in each interval; null where no passes are planned.
    pub beads: Option<usize>,
    /// Mean reheat of the first hour, s.
    pub reheat_first_hour_s: f64,
    /// First reheat at the strong and at the weak end of the stated ranges, s.
    pub reheat_band_s: [f64; 2],
    /// Reheat once the casting is warm, s.
    pub reheat_warm_s: f64,
    /// A reheat is given up after this, s.
    pub reheat_at_most_s: f64,
    /// Reheats of the job.
    pub reheats: usize,
    /// Steepest rise of the hottest of the patch over a minute, or over the first heating where that is shorter, at the end
    /// of the stated ranges that is the worst for it, K/s.
    pub steepest_k_s: f64,
    /// The time over which it rises so, s.
    pub steepest_over_s: f64,
    /// Whole job as stated, s.
    pub total_s: f64,
    /// What the torch uses over the job; null where what feeds it is not known.
    pub consumption: Option<Consumption>,
    /// Margin as stated, K, its numerical error, and what the stated ranges may take off it.
    pub margin_k: f64,
    /// Numerical error of the margin, K.
    pub error_k: f64,
    /// What the stated ranges may take off it, K; null where none is stated.
    pub ranges_k: Option<f64>,
    /// Hold of the ring as stated and at the worst end, s; null where it stays above to the end.
    pub hold_s: [Option<f64>; 2],
}

/// One width with one flame.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Choice {
    /// Heated width (the diameter, or the narrower side), m.
    pub width_m: f64,
    /// Strength of the torch over the scenario's.
    pub torch: f64,
    /// Lowest reading that holds at both ends of the stated ranges, Celsius; null where none does.
    pub reads_c: Option<f64>,
    /// First heating as stated, s.
    pub soak_s: Option<f64>,
    /// Whole job as stated, s.
    pub total_s: Option<f64>,
}

/// A plan, or why there is none.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Plan {
    /// Name and number of this layout.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// SHA-256 of the scenario after overrides.
    pub input_sha256: String,
    /// Title of the scenario.
    pub title: String,
    /// What `check` says of the proposal: `holds`, or `too close to call` where nothing surer was found; `falls short`
    /// where nothing holds.
    pub verdict: Verdict,
    /// What to do; null where nothing holds.
    pub proposal: Option<Proposal>,
    /// What it was made within.
    pub limits: Limits,
    /// Width against soak, by quick runs without error bar.
    pub table: Vec<Choice>,
    /// Widths with a flame that were still to be checked when the checks of one plan were used up; 0 where a job is found.
    pub unchecked: usize,
    /// What would hold where nothing does, the quickest job first; where a job is found, what it would be with the torch
    /// known by a timed heat-up.
    pub remedies: Vec<Remedy>,
    /// Whether it was stopped before its end.
    pub interrupted: bool,
    /// Cautions to print.
    pub cautions: Vec<String>,
}

pub(super) fn proposal(job: &Job, ends: &Ends, candidate: &Candidate, outcome: &Outcome) -> Result<Proposal, Error> {
    let setting = candidate.setting;
    let (case, question) = job.at(&setting, job.reheats);
    let torch = case.torches[0];
    let heats: Vec<f64> = outcome.heats.iter().map(|heat| heat.end_s - heat.start_s).collect();
    let (first_hour_s, warm_s) = reheats(job, &setting)?;
    let steep = job.tried(&setting, &ends.steep, 0, Fineness::AsChecked)?;
    let worst_s = outcome.worst_end.map_or(outcome.hold_s, |worst| worst.hold_s);
    Ok(Proposal {
        heated_m: sides(torch.patch),
        torch: torch_setting(&question, torch),
        torch_over_stated: setting.strength,
        net_power_w: torch.kind.net_flux(case.start_c) * torch.patch.area(),
        reads_c: setting.target_c,
        heat_up_s: heats.first().copied().unwrap_or(0.0),
        heat_up_band_s: [candidate.strong.heat_up_s, candidate.weak.heat_up_s],
        heat_up_at_most_s: setting.heat_up_at_most_s,
        interval_s: job.interval_s,
        beads: case.passes.as_ref().map(|passes| passes.per_heat),
        reheat_first_hour_s: first_hour_s,
        reheat_band_s: [candidate.strong.reheat_s, candidate.weak.reheat_s],
        reheat_warm_s: warm_s,
        reheat_at_most_s: setting.reheat_at_most_s,
        reheats: job.reheats,
        steepest_k_s: steep.rise_k_s,
        steepest_over_s: RATE_SPAN_S.min(steep.heat_up_s),
        total_s: outcome.ran_until_s,
        consumption: outcome.consumption.clone(),
        margin_k: outcome.margin_k.unwrap_or(0.0),
        error_k: outcome.error.grid_k + outcome.error.time_k,
        ranges_k: outcome.error.input_k,
        hold_s: [outcome.hold_s, worst_s],
    })
}

/// Mean reheat of the first hour at work, and the last of a long day, s, by a quick run.
fn reheats(job: &Job, setting: &Setting) -> Result<(f64, f64), Error> {
    let one = job.tried(setting, &[], 1, Fineness::Quick)?;
    let count = (WARM_S / (job.interval_s + one.reheat_s).max(1.0)).ceil().clamp(1.0, MOST_REHEATS);
    let hour = (HOUR_S / (job.interval_s + one.reheat_s).max(1.0)).floor().clamp(1.0, count);
    let to_hour = job.tried(setting, &[], hour as usize, Fineness::Quick)?;
    let long = job.tried(setting, &[], count as usize, Fineness::Quick)?;
    Ok((0.5 * (to_hour.reheat_s + to_hour.last_reheat_s), long.last_reheat_s))
}

fn sides(patch: Shape) -> Vec<f64> {
    match patch {
        Shape::Disc { radius, .. } => vec![2.0 * radius],
        Shape::Rectangle { x, y } => vec![x[1] - x[0], y[1] - y[0]],
    }
}

fn torch_setting(question: &Question, Torch { patch, kind, .. }: Torch) -> TorchSetting {
    match (&question.supply, kind) {
        (Some(Supply::Gas(gas)), _) => TorchSetting::GasKgS(gas.mass_rate),
        (Some(Supply::Electricity { power_w, .. }), _) => TorchSetting::ElectricWM2(power_w / patch.area()),
        (_, TorchKind::Flux { flux }) => TorchSetting::FluxWM2(flux),
        (_, TorchKind::Flame { film_coefficient, .. }) => TorchSetting::FlameWM2K(film_coefficient),
    }
}

pub(super) fn limits(job: &Job, bounds: &Bounds, wishes: &Wishes) -> Limits {
    let width = 2.0 * job.case.torches[0].patch.half_width();
    let ends = |list: &[f64]| [list[0], list[list.len() - 1]];
    Limits {
        window: job.window.into(),
        interval_s: job.interval_s,
        beads: job.case.passes.as_ref().map(|passes| passes.per_heat),
        reheats: job.reheats,
        widths_m: ends(&bounds.scales).map(|scale| scale * width),
        torch: ends(&bounds.strengths),
        fastest_heating_k_s: wishes.fastest_heating_k_s,
        least_soak_s: wishes.least_soak_s,
        longest_soak_s: bounds.longest_heat_up_s,
        longest_job_s: wishes.longest_job_s,
        most_gas_kg: wishes.most_gas_kg,
    }
}

pub(super) fn choices(job: &Job, bounds: &Bounds, found: &[Option<Candidate>]) -> Vec<Choice> {
    let width = 2.0 * job.case.torches[0].patch.half_width();
    let choice = |((scale, torch), found): ((f64, f64), &Option<Candidate>)| Choice {
        width_m: scale * width,
        torch,
        reads_c: found.map(|c| c.setting.target_c),
        soak_s: found.map(|c| c.nominal.heat_up_s),
        total_s: found.map(|c| c.total_s),
    };
    bounds.pairs().into_iter().zip(found).map(choice).collect()
}
