//! `plan`: the shortest job that holds.
//!
//! Quick runs on one grid look for the heated width, the flame and the reading that take the fewest minutes and keep the
//! window at the worst ends of the stated ranges; [`check`](crate::check()) then judges the proposal, and the search is
//! repeated with a wider guard until that says `holds`. A wider patch, a longer soak and a stronger flame are never
//! traded for each other unseen: [`Plan::table`] shows all of them.

mod remedy;
mod seek;
mod trial;

use heat::{Case, Interval, Passes, Schedule, Shape, Torch, TorchKind};
use schemars::JsonSchema;
use serde::Serialize;

use crate::progress::Share;
use crate::{Consumption, Error, Lever, Outcome, Question, Supply, Verdict, WindowC, check};
pub use remedy::{Remedy, RemedyKind};
use seek::{Bounds, Candidate, Ends, LONGEST_HEAT_UP_S, candidate, ends, geometric, grid, shortest};
pub use trial::Setting;
use trial::{Fineness, Job};
pub(crate) use trial::{quick, round_beads, scaled};

/// Name and number of the layout.
const SCHEMA: &str = "warmhold plan 1";
/// Widths and strengths that are looked at first.
const FIRST: [usize; 2] = [8, 7];
/// Widest patch looked at, over the ring's outer diameter, where nothing is stated.
const WIDEST: f64 = 3.5;
/// Most heat that a preheating tip gives, W: acetylene; other gases with air; other gases with oxygen (TP2, `practice`).
const MOST_W: [f64; 3] = [84e3, 147e3, 150e3];
/// Most that ceramic pads give off over their face, W/m2 (EL1, `practice`).
const PADS_MOST: f64 = 11e4;
/// Weakest flame looked at, over the strongest or the scenario's.
const WEAKEST: f64 = 0.4;
/// Widths are multiples of this, m.
const WIDTH_STEP_M: f64 = 0.01;
/// Margin beyond all errors that a proposal keeps at first, K, and most that it keeps at last.
const SPARE_K: [f64; 2] = [0.5, 2.5];
/// Most checks of one plan.
const MOST_CHECKS: usize = 6;
/// Most checks of one width and flame.
const CHECKS_OF_ONE: usize = 4;
/// First guard where the ends are run as `check` runs them, K: what its numerical error takes, about.
const FIRST_GUARD_K: f64 = 1.5;
/// A margin known no better than this is not worth moving the reading for, K.
const UNRESOLVED_K: f64 = 4.0;
/// A casting is warm after so long at work, s, in at most so many reheats.
const WARM_S: f64 = 3.0 * 3600.0;
const MOST_REHEATS: f64 = 40.0;
/// The hour that the first reheats are counted over, s.
const HOUR_S: f64 = 3600.0;

/// What a plan has to keep to, beside the scenario.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wishes {
    /// Working time between two flames, s; else what the planned passes take.
    pub working_time_s: Option<f64>,
    /// Beads of each heat; else as planned.
    pub beads: Option<usize>,
    /// Steepest rise of the hottest of the patch over a minute, K/s.
    pub fastest_heating_k_s: Option<f64>,
    /// Shortest first heating, s.
    pub least_soak_s: Option<f64>,
    /// Narrowest and widest patch, m.
    pub widths_m: Option<[f64; 2]>,
    /// Whether the torch is not to be stronger than the scenario's.
    pub same_torch: bool,
}

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
    /// Steepest rise of the hottest of the patch over a minute, at the strong end, K/s.
    pub steepest_k_s: f64,
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
    /// What would hold where nothing does, the quickest job first; where a job is found, what it would be with the torch
    /// known by a timed heat-up.
    pub remedies: Vec<Remedy>,
    /// Whether it was stopped before its end.
    pub interrupted: bool,
    /// Cautions to print.
    pub cautions: Vec<String>,
}

/// A plan with the setting it proposes and what `check` says of it.
#[derive(Clone, Debug)]
pub struct Planned {
    /// The plan.
    pub plan: Plan,
    /// The setting; none where nothing holds.
    pub setting: Option<Setting>,
    /// The check of the proposal.
    pub outcome: Option<Outcome>,
    /// The case of the proposal and its question.
    pub proposed: Option<(Case, Question)>,
}

/// Looks for the job that takes the fewest minutes and holds.
///
/// `keep_going` is called with the share of the work done; when it returns false the search stops with
/// [`Plan::interrupted`] set.
///
/// # Errors
/// [`Error::Needs`] for a scenario without a window or a torch, or wishes that it cannot meet, and as [`check`](crate::check()).
pub fn plan(
    case: &Case,
    question: &Question,
    wishes: &Wishes,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Planned, Error> {
    let job = job(case, question, wishes)?;
    let bounds = bounds(&job, wishes)?;
    let share = Share::new(keep_going);
    let ends = worse_ends(&job, &bounds)?;
    share.stage(0.02, 0.25);
    let table = grid(&job, &bounds, &ends, SPARE_K[0], &share)?;
    let best = shortest(table.iter().flatten());
    let found = match best {
        Some(best) if !share.was_stopped() => {
            let mut pool = refined(&job, &bounds, &ends, best, &share)?;
            pool.extend(table.iter().flatten());
            Some(confirmed(&job, &bounds, &ends, pool, &share)?)
        }
        _ => None,
    };
    let remedies = match &found {
        // Where a plan is found, the one lever that is always worth a look is to know the torch.
        Some((_, outcome)) if outcome.verdict == Verdict::Holds => remedy::better_known(&job, &bounds, &share)?,
        _ if share.was_stopped() => Vec::new(),
        _ => remedy::remedies(&job, &bounds, &share)?,
    };
    let verdict = found.as_ref().map_or(Verdict::FallsShort, |(_, outcome)| outcome.verdict);
    let proposal = match &found {
        Some((candidate, outcome)) => Some(proposal(&job, &ends, candidate, outcome)?),
        None => None,
    };
    let plan = Plan {
        schema: SCHEMA.to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: question.input_sha256.clone(),
        title: question.title.clone(),
        verdict,
        proposal,
        limits: limits(&job, &bounds, wishes),
        table: choices(&job, &bounds, &table),
        remedies,
        interrupted: share.was_stopped(),
        cautions: question.cautions.clone(),
    };
    let setting = found.as_ref().map(|(candidate, _)| candidate.setting);
    let proposed = setting.map(|setting| job.at(&setting, job.reheats));
    Ok(Planned { plan, setting, outcome: found.map(|(_, outcome)| outcome), proposed })
}

/// The work that is to fit between two flames.
fn job(case: &Case, question: &Question, wishes: &Wishes) -> Result<Job, Error> {
    let needs = |what: &str| Error::Needs { what: what.to_owned() };
    let (Some(window), Some((_, probes))) = (question.window, question.ring) else {
        return Err(needs("a [window] and a [groove]: what is planned must stay inside them"));
    };
    if case.torches.len() != 1 {
        return Err(needs("one torch"));
    }
    let mut case = case.clone();
    let (scheduled_s, reheats) = match case.schedule {
        Schedule::Cycles { interval: Interval::Fixed { seconds }, reheats, .. } => (Some(seconds), reheats),
        Schedule::Cycles { reheats, .. } => (question.working_time_s, reheats),
        Schedule::Spans { .. } => (None, 0),
    };
    let Some(passes) = &mut case.passes else {
        let interval_s = wishes.working_time_s.or(scheduled_s).ok_or_else(|| {
            needs("passes, or --working-time: without either nothing says how long the work between two flames takes")
        })?;
        return Ok(Job { case, question: question.clone(), window, probes, interval_s, reheats });
    };
    let last_pause_s = passes.list.last().map_or(0.0, |pass| pass.pause_s);
    let slack_s = scheduled_s.map_or(last_pause_s, |s| (s - taken_s(passes, passes.per_heat)).max(0.0));
    let mut beads = wishes.beads.unwrap_or(passes.per_heat);
    let interval_s = match wishes.working_time_s {
        None => taken_s(passes, beads) + slack_s,
        Some(time_s) => {
            let fit = (1..=200).take_while(|&n| taken_s(passes, n) <= time_s).last();
            let fit = fit.ok_or_else(|| needs("a longer --working-time: not one bead of [passes] fits into it"))?;
            beads = wishes.beads.map_or(fit, |asked| asked.min(fit));
            time_s
        }
    };
    passes.per_heat = beads;
    Ok(Job { case, question: question.clone(), window, probes, interval_s, reheats })
}

/// From flame off to the end of the last arc of so many passes, s.
fn taken_s(passes: &Passes, beads: usize) -> f64 {
    let order = passes.list.iter().cycle().take(beads);
    order.fold([passes.first_after_s, 0.0], |[time, pause], pass| [time + pause + pass.arc_s, pass.pause_s])[0]
}

fn bounds(job: &Job, wishes: &Wishes) -> Result<Bounds, Error> {
    let patch = job.case.torches[0].patch;
    let width = 2.0 * patch.half_width();
    let ring_m = job.question.ring.map_or(width, |(ring, _)| {
        let [x, y] = ring.groove.extent();
        2.0 * (0.5 * (x[1] - x[0]).hypot(y[1] - y[0]) + ring.width)
    });
    let widest_m = width * largest_scale(&job.case, patch);
    let [low, high] = wishes.widths_m.unwrap_or([ring_m.min(widest_m), (WIDEST * ring_m).min(widest_m)]);
    if low > widest_m * (1.0 + 1e-9) {
        return Err(Error::Needs {
            what: format!("a narrower patch: {:.0} mm is the widest that lies on the casting", widest_m * 1e3),
        });
    }
    let mut widths: Vec<f64> = geometric([low, high.min(widest_m)], FIRST[0]).into_iter().map(whole_width).collect();
    widths.retain(|w| *w <= widest_m * (1.0 + 1e-9));
    if widths.is_empty() {
        widths.push(high.min(widest_m));
    }
    widths.dedup();
    let [weakest, strongest] = torch_range(job, wishes.same_torch);
    Ok(Bounds {
        scales: widths.into_iter().map(|w| w / width).collect(),
        strengths: whole_strengths(job, geometric([weakest, strongest], FIRST[1])),
        rise_k_s: wishes.fastest_heating_k_s.unwrap_or(f64::INFINITY),
        least_soak_s: wishes.least_soak_s.unwrap_or(0.0),
        longest_heat_up_s: LONGEST_HEAT_UP_S,
    })
}

/// Upwards to a width that can be read off a rule.
fn whole_width(width_m: f64) -> f64 {
    (width_m / WIDTH_STEP_M - 1e-6).ceil() * WIDTH_STEP_M
}

/// How far the patch can grow about its middle before it leaves the casting; a patch that hangs over already may grow to
/// the narrower side of the face.
fn largest_scale(case: &Case, patch: Shape) -> f64 {
    let [length, width, _] = case.block.size;
    let (extent, middle) = (patch.extent(), patch.centre());
    let half = |d: usize| 0.5 * (extent[d][1] - extent[d][0]);
    let room = |d: usize, side: f64| middle[d].min(side - middle[d]) / half(d);
    let inside = room(0, length).min(room(1, width));
    if inside >= 1.0 { inside } else { 0.5 * length.min(width) / patch.half_width() }
}

/// Weakest and strongest torch, over the scenario's.
fn torch_range(job: &Job, same_torch: bool) -> [f64; 2] {
    let most = match &job.question.supply {
        _ if same_torch => 1.0,
        Some(Supply::Gas(gas)) => {
            let most_w = match (gas.fuel.as_str(), gas.oxygen_ratio) {
                ("acetylene", _) => MOST_W[0],
                (_, None) => MOST_W[1],
                (_, Some(_)) => MOST_W[2],
            };
            (most_w / gas.power_w).max(1.0)
        }
        Some(Supply::Electricity { power_w }) => (PADS_MOST * job.case.torches[0].patch.area() / power_w).max(1.0),
        None => 1.0,
    };
    [WEAKEST.min(most), most]
}

/// The ends looked at where the ring is most likely to be judged: a middling width, flame and reading.
fn worse_ends(job: &Job, bounds: &Bounds) -> Result<Ends, Error> {
    let middle = |list: &[f64]| list[list.len() / 2];
    let window = job.window;
    let setting = Setting {
        scale: middle(&bounds.scales),
        strength: middle(&bounds.strengths),
        target_c: window.minimum_c + 0.6 * (window.maximum_interpass_c - window.minimum_c),
        heat_up_at_most_s: LONGEST_HEAT_UP_S,
        reheat_at_most_s: LONGEST_HEAT_UP_S,
    };
    ends(job, &setting)
}

/// Looks around the best, twice, each time half as far, and keeps to what can be set and read: everything that holds.
fn refined(
    job: &Job,
    bounds: &Bounds,
    ends: &Ends,
    best: Candidate,
    share: &Share<'_>,
) -> Result<Vec<Candidate>, Error> {
    let step = |list: &[f64]| if list.len() < 2 { 1.0 } else { list[1] / list[0] };
    let (mut wide, mut strong) = (step(&bounds.scales), step(&bounds.strengths));
    let mut best = best;
    let mut all = Vec::new();
    for (from, to) in [(0.25, 0.32), (0.32, 0.4)] {
        (wide, strong) = (wide.sqrt(), strong.sqrt());
        let near = |value: f64, step: f64, list: &[f64]| -> Vec<f64> {
            let within = |v: &f64| *v >= list[0] * (1.0 - 1e-9) && *v <= list[list.len() - 1] * (1.0 + 1e-9);
            let mut near: Vec<f64> = [value / step, value, value * step].into_iter().filter(within).collect();
            near.dedup();
            near
        };
        let mut scales: Vec<f64> =
            near(best.setting.scale, wide, &bounds.scales).into_iter().map(|s| rounded_scale(job, s)).collect();
        scales.dedup();
        let strengths: Vec<f64> = near(best.setting.strength, strong, &bounds.strengths)
            .into_iter()
            .map(|s| rounded_strength(job, s))
            .collect();
        share.stage(from, to);
        let around = grid(job, &Bounds { scales, strengths, ..bounds.clone() }, ends, SPARE_K[0], share)?;
        best = shortest(around.iter().flatten()).unwrap_or(best);
        all.extend(around.into_iter().flatten());
    }
    Ok(all)
}

fn rounded_scale(job: &Job, scale: f64) -> f64 {
    let width = 2.0 * job.case.torches[0].patch.half_width();
    let whole = (width * scale / WIDTH_STEP_M).round() * WIDTH_STEP_M / width;
    if whole <= largest_scale(&job.case, job.case.torches[0].patch) { whole } else { scale }
}

/// The strength nearest to one that can be set: 0.05 kg/h of gas, 1 kW/m2 of flux, 5 W/m2K of flame.
fn rounded_strength(job: &Job, strength: f64) -> f64 {
    let (value, step) = match (&job.question.supply, job.case.torches[0].kind) {
        (Some(Supply::Gas(gas)), _) => (gas.mass_rate, 0.05 / HOUR_S),
        (_, TorchKind::Flux { flux }) => (flux, 1e3),
        (_, TorchKind::Flame { film_coefficient, .. }) => (film_coefficient, 5.0),
    };
    if strength == 1.0 { 1.0 } else { ((value * strength / step).round().max(1.0)) * step / value }
}

/// Strengths that can be set, none above the strongest.
fn whole_strengths(job: &Job, mut strengths: Vec<f64>) -> Vec<f64> {
    let strongest = strengths.last().copied().unwrap_or(1.0);
    for strength in &mut strengths {
        let whole = rounded_strength(job, *strength);
        let step = rounded_strength(job, 1e-9);
        *strength = if whole > strongest * (1.0 + 1e-12) && whole > step { whole - step } else { whole };
    }
    strengths.dedup();
    strengths
}

/// Checks the shortest, then the next: each with a guard that grows or shrinks until it holds with little to spare.
fn confirmed(
    job: &Job,
    bounds: &Bounds,
    ends: &Ends,
    mut pool: Vec<Candidate>,
    share: &Share<'_>,
) -> Result<(Candidate, Outcome), Error> {
    pool.sort_by(|a, b| a.total_s.total_cmp(&b.total_s));
    let mut seen: Vec<[u64; 2]> = Vec::new();
    pool.retain(|c| {
        let place = [c.setting.scale.to_bits(), c.setting.strength.to_bits()];
        let new = !seen.contains(&place);
        seen.push(place);
        new
    });
    let mut tried = Tried::default();
    for candidate in pool {
        if tried.checks >= MOST_CHECKS || tried.kept.is_some() || share.was_stopped() {
            break;
        }
        tried.follow(job, (bounds, ends), candidate, share)?;
    }
    tried.kept.or(tried.closest).ok_or(Error::Needs { what: "a window in which some reading can be taken".to_owned() })
}

/// What the checks of a plan have found.
#[derive(Default)]
struct Tried {
    checks: usize,
    kept: Option<(Candidate, Outcome)>,
    closest: Option<(Candidate, Outcome)>,
}

impl Tried {
    /// Checks one width and flame with the reading moved until it holds with little to spare.
    fn follow(
        &mut self,
        job: &Job,
        (bounds, ends): (&Bounds, &Ends),
        first: Candidate,
        share: &Share<'_>,
    ) -> Result<(), Error> {
        let mut guard_k = FIRST_GUARD_K;
        let mut before_c = f64::NAN;
        for _ in 0..CHECKS_OF_ONE {
            let place = (first.setting.scale, first.setting.strength);
            let Some(at) = candidate(job, bounds, ends, place, (guard_k, Fineness::AsChecked))?.map(in_time) else {
                break;
            };
            if at.setting.target_c == before_c {
                break;
            }
            before_c = at.setting.target_c;
            let done = 0.4 + 0.5 * self.checks as f64 / MOST_CHECKS as f64;
            share.stage(done, done + 0.08);
            self.checks += 1;
            let (case, question) = job.at(&at.setting, job.reheats);
            let outcome = check(&case, &question, &|_| share.going())?;
            let (safe_k, unresolved) = (safe_k(&outcome), outcome.error.grid_k > UNRESOLVED_K);
            let holds = outcome.verdict == Verdict::Holds;
            if holds {
                self.kept = Some((at, outcome));
            } else if !unresolved || self.closest.is_none() {
                self.closest = Some((at, outcome));
            }
            let done = if holds { safe_k < SPARE_K[1] } else { unresolved || self.kept.is_some() };
            if done || share.was_stopped() {
                break;
            }
            guard_k += (SPARE_K[0] + 0.3) - safe_k;
        }
        Ok(())
    }
}

/// What the verdict has to stand on: margin less numerical error less what the ranges take, K.
fn safe_k(outcome: &Outcome) -> f64 {
    let error = &outcome.error;
    outcome.margin_k.unwrap_or(f64::NEG_INFINITY) - error.grid_k - error.time_k - error.input_k.unwrap_or(0.0)
}

/// Longest times for the flames, half as long again as the weak end takes.
fn in_time(mut candidate: Candidate) -> Candidate {
    let whole = |seconds: f64, step: f64| (1.5 * seconds / step).ceil().max(1.0) * step;
    candidate.setting.heat_up_at_most_s = whole(candidate.weak.heat_up_s, 300.0);
    candidate.setting.reheat_at_most_s = whole(candidate.weak.reheat_s.max(60.0), 60.0);
    candidate
}

fn proposal(job: &Job, ends: &Ends, candidate: &Candidate, outcome: &Outcome) -> Result<Proposal, Error> {
    let setting = candidate.setting;
    let (case, question) = job.at(&setting, job.reheats);
    let torch = case.torches[0];
    let heats: Vec<f64> = outcome.heats.iter().map(|heat| heat.end_s - heat.start_s).collect();
    let (first_hour_s, warm_s) = reheats(job, &setting)?;
    let strong = job.tried(&setting, &ends.strong, job.reheats.min(1), Fineness::Quick)?;
    let worst_s = outcome.worst_end.map_or(outcome.hold_s, |worst| worst.hold_s);
    Ok(Proposal {
        heated_m: sides(torch.patch),
        torch: torch_setting(&question, torch),
        torch_over_stated: setting.strength,
        net_power_w: net_flux(torch.kind, case.start_c) * torch.patch.area(),
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
        steepest_k_s: strong.rise_k_s,
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

fn torch_setting(question: &Question, Torch { patch, kind }: Torch) -> TorchSetting {
    match (&question.supply, kind) {
        (Some(Supply::Gas(gas)), _) => TorchSetting::GasKgS(gas.mass_rate),
        (Some(Supply::Electricity { power_w }), _) => TorchSetting::ElectricWM2(power_w / patch.area()),
        (_, TorchKind::Flux { flux }) => TorchSetting::FluxWM2(flux),
        (_, TorchKind::Flame { film_coefficient, .. }) => TorchSetting::FlameWM2K(film_coefficient),
    }
}

/// Net flux onto metal of a temperature, W/m2.
pub(crate) fn net_flux(kind: TorchKind, at_c: f64) -> f64 {
    match kind {
        TorchKind::Flux { flux } => flux,
        TorchKind::Flame { film_coefficient, gas_c } => film_coefficient * (gas_c - at_c),
    }
}

fn limits(job: &Job, bounds: &Bounds, wishes: &Wishes) -> Limits {
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
    }
}

fn choices(job: &Job, bounds: &Bounds, found: &[Option<Candidate>]) -> Vec<Choice> {
    let width = 2.0 * job.case.torches[0].patch.half_width();
    let pairs = bounds.scales.iter().flat_map(|&scale| bounds.strengths.iter().map(move |&torch| (scale, torch)));
    let choice = |((scale, torch), found): ((f64, f64), &Option<Candidate>)| Choice {
        width_m: scale * width,
        torch,
        reads_c: found.map(|c| c.setting.target_c),
        soak_s: found.map(|c| c.nominal.heat_up_s),
        total_s: found.map(|c| c.total_s),
    };
    pairs.zip(found).map(choice).collect()
}

/// Whether a range of the torch is stated.
fn torch_is_ranged(question: &Question) -> bool {
    question.ranges.iter().any(|range| range.lever == Lever::TorchStrength)
}
