//! `plan`: the shortest job that holds.
//!
//! Quick runs on one grid look for the heated width, the flame and the reading that take the fewest minutes and keep the
//! window at the worst ends of the stated ranges; [`check`](crate::check()) then judges the proposal, and the search is
//! repeated with a wider guard until that says `holds`. A wider patch, a longer soak and a stronger flame are never
//! traded for each other unseen: [`Plan::table`] shows all of them.

mod answer;
mod confirm;
mod help;
mod remedy;
mod seek;
mod trial;

use heat::{Case, Interval, Passes, Schedule, Shape, TorchKind};

use crate::progress::Share;
use crate::{Error, HOUR_S, Lever, Outcome, Question, Supply, Verdict};
pub use answer::{Choice, Limits, Plan, Proposal, TorchSetting};
use answer::{choices, limits, proposal};
use confirm::{Confirmed, confirmed};
pub use remedy::{Remedy, RemedyKind};
use seek::{Bounds, Candidate, Ends, LONGEST_HEAT_UP_S, ends, geometric, grid, grid_at_its_ends, shortest};
use trial::Job;
pub use trial::Setting;
pub(crate) use trial::{follow_the_patch, quick_or_nested, round_beads};

/// Name and number of the layout.
const SCHEMA: &str = "warmhold plan 1";
/// Widths and strengths that are looked at first.
const FIRST: [usize; 2] = [8, 7];
/// The same over hollows.
const FIRST_OVER_HOLLOWS: [usize; 2] = [4, 4];
/// Times that it is looked around the best, half as far each time.
const ROUNDS: usize = 2;
/// The same over hollows.
const ROUNDS_OVER_HOLLOWS: usize = 1;
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
/// The interval lasts at least this much longer than the planned passes, s.
const LEAST_SLACK_S: f64 = 1.0;

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
    /// Longest first heating, s.
    pub longest_soak_s: Option<f64>,
    /// Longest whole job as stated, s.
    pub longest_job_s: Option<f64>,
    /// Most gas of the whole job as stated, kg.
    pub most_gas_kg: Option<f64>,
    /// Narrowest and widest patch, m.
    pub widths_m: Option<[f64; 2]>,
    /// Whether the torch is not to be stronger than the scenario's.
    pub same_torch: bool,
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
    let guess = worse_ends(&job, &bounds)?;
    share.stage(0.02, 0.25);
    let (table, ends) = grid_at_its_ends(&job, &bounds, &guess, SPARE_K[0], &share)?;
    let best = shortest(table.iter().flatten());
    let Confirmed { found, unchecked } = match best {
        Some(best) if !share.was_stopped() => {
            let mut pool = refined(&job, &bounds, &ends, best, &share)?;
            pool.extend(table.iter().flatten());
            confirmed(&job, &bounds, &ends, pool, &share)?
        }
        _ => Confirmed { found: None, unchecked: 0 },
    };
    let remedies = match &found {
        // Where a plan is found, the one lever that is always worth a look is to know the torch.
        Some((_, outcome)) if outcome.verdict == Verdict::Holds => remedy::better_known(&job, &bounds, &ends, &share)?,
        _ if share.was_stopped() => Vec::new(),
        _ => remedy::remedies(&job, &bounds, &ends, &share)?,
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
        unchecked,
        remedies,
        interrupted: share.was_stopped(),
        cautions: cautions(question, wishes),
    };
    let setting = found.as_ref().map(|(candidate, _)| candidate.setting);
    let proposed = setting.map(|setting| job.at(&setting, job.reheats));
    Ok(Planned { plan, setting, outcome: found.map(|(_, outcome)| outcome), proposed })
}

/// Those of the scenario, and one where nothing limits the rise of the surface: a flame always rises faster than practice
/// heats big castings of iron.
fn cautions(question: &Question, wishes: &Wishes) -> Vec<String> {
    const STEEP: &str = "Cracking: no heating rate is stated, and a fast flame heats unevenly, which can crack brittle iron. \
                         Practice heats big iron castings at 50 to 100 C/h, 90 to 180 F/h (ST15); see --fastest-heating.";
    let steep = wishes.fastest_heating_k_s.is_none().then(|| STEEP.to_owned());
    steep.into_iter().chain(question.cautions.iter().cloned()).collect()
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
    // Some slack at least: a last bead that just fits may by rounding not fit.
    let slack_s = scheduled_s.map_or(last_pause_s, |s| s - taken_s(passes, passes.per_heat)).max(LEAST_SLACK_S);
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
    let beads_of_all = passes.laid_in(reheats + 1);
    passes.per_heat = beads;
    let reheats = if reheats > 0 { heats_for(passes, beads_of_all).saturating_sub(1) } else { 0 };
    Ok(Job { case, question: question.clone(), window, probes, interval_s, reheats })
}

/// Heats that so many beads take: jobs with more or fewer beads for each heat are compared at the same work.
fn heats_for(passes: &Passes, beads: usize) -> usize {
    let (mut heats, mut before) = (0, 0);
    while before < beads && passes.planned(before) > 0 {
        before += passes.planned(before);
        heats += 1;
    }
    heats
}

/// From flame off to the end of the last arc of so many passes, s.
fn taken_s(passes: &Passes, beads: usize) -> f64 {
    let order = passes.list.iter().cycle().take(beads);
    order.fold([passes.first_after_s, 0.0], |[time, pause], pass| [time + pause + pass.arc_s, pass.pause_s])[0]
}

fn bounds(job: &Job, wishes: &Wishes) -> Result<Bounds, Error> {
    if wishes.most_gas_kg.is_some() && !matches!(job.question.supply, Some(Supply::Gas(_))) {
        return Err(Error::Needs {
            what: "a torch with [torch.fuel]: nothing else says how much gas it burns".to_owned(),
        });
    }
    let longest_s = wishes.longest_soak_s.unwrap_or(LONGEST_HEAT_UP_S);
    if let Some(least_s) = wishes.least_soak_s.filter(|least_s| *least_s > longest_s) {
        let minutes = |seconds: f64| (seconds / 60.0).ceil();
        return Err(Error::Needs {
            what: format!(
                "a longer --longest-soak: a least soak of {} min is beyond the {} min that are looked at",
                minutes(least_s),
                minutes(longest_s)
            ),
        });
    }
    let patch = job.case.torches[0].patch;
    let width = 2.0 * patch.half_width();
    let ring_m = ring_width(job).unwrap_or(width);
    let widest_m = width * largest_scale(&job.case, patch);
    let [low, high] = wishes.widths_m.unwrap_or([ring_m.min(widest_m), (WIDEST * ring_m).min(widest_m)]);
    if low > widest_m * (1.0 + 1e-9) {
        return Err(Error::Needs {
            what: format!("a narrower patch: {:.0} mm is the widest that lies on the casting", widest_m * 1e3),
        });
    }
    // A grid that follows every hollow takes its time.
    let [many, flames] = if job.case.hollows.boxes.is_empty() { FIRST } else { FIRST_OVER_HOLLOWS };
    let mut widths: Vec<f64> = geometric([low, high.min(widest_m)], many).into_iter().map(whole_width).collect();
    widths.retain(|w| *w <= widest_m * (1.0 + 1e-9));
    if widths.is_empty() {
        widths.push(high.min(widest_m));
    }
    widths.dedup();
    let [weakest, strongest] = torch_range(job, wishes.same_torch);
    Ok(Bounds {
        scales: widths.into_iter().map(|w| w / width).collect(),
        strengths: whole_strengths(job, geometric([weakest, strongest], flames)),
        rise_k_s: wishes.fastest_heating_k_s.unwrap_or(f64::INFINITY),
        least_soak_s: wishes.least_soak_s.unwrap_or(0.0),
        longest_heat_up_s: longest_s,
        longest_job_s: wishes.longest_job_s.unwrap_or(f64::INFINITY),
        most_gas_kg: wishes.most_gas_kg.unwrap_or(f64::INFINITY),
    })
}

/// Diameter of a disc around the groove that takes in the ring, m.
fn ring_width(job: &Job) -> Option<f64> {
    job.question.ring.map(|(ring, _)| ring.across())
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
        Some(Supply::Electricity { power_w, .. }) => (PADS_MOST * job.case.torches[0].patch.area() / power_w).max(1.0),
        None => 1.0,
    };
    [WEAKEST.min(most), most]
}

/// The ends looked at where the ring is most likely to be judged: a middling width and reading, and a flame that gets there.
fn worse_ends(job: &Job, bounds: &Bounds) -> Result<Ends, Error> {
    let middle = |list: &[f64]| list[list.len() / 2];
    let window = job.window;
    let setting = Setting {
        scale: middle(&bounds.scales),
        strength: bounds.strengths[bounds.strengths.len() - 1],
        target_c: window.minimum_c + 0.6 * (window.maximum_interpass_c - window.minimum_c),
        heat_up_at_most_s: LONGEST_HEAT_UP_S,
        reheat_at_most_s: LONGEST_HEAT_UP_S,
    };
    ends(job, &setting)
}

/// Looks around the best, each time half as far, and keeps to what can be set and read: everything that holds.
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
    let mut all = vec![best];
    let mut seen = bounds.pairs();
    let rounds = if job.case.hollows.boxes.is_empty() { ROUNDS } else { ROUNDS_OVER_HOLLOWS };
    for round in 0..rounds {
        (wide, strong) = (wide.sqrt(), strong.sqrt());
        let scales = near(best.setting.scale, wide, &bounds.scales).map(|s| rounded_scale(job, s));
        let strengths = near(best.setting.strength, strong, &bounds.strengths).map(|s| rounded_strength(job, s));
        let around = Bounds { scales: scales.collect(), strengths: strengths.collect(), ..bounds.clone() };
        let mut pairs = around.pairs();
        pairs.retain(|pair| !seen.contains(pair));
        seen.extend(&pairs);
        let part = |n: usize| 0.25 + 0.15 * n as f64 / rounds as f64;
        share.stage(part(round), part(round + 1));
        all.extend(grid(job, bounds, &pairs, ends, SPARE_K[0], share)?.into_iter().flatten());
        best = shortest(&all).unwrap_or(best);
    }
    Ok(all)
}

/// A value, one step below it and one above, within a list.
fn near(value: f64, step: f64, list: &[f64]) -> impl Iterator<Item = f64> {
    let [low, high] = [list[0] * (1.0 - 1e-9), list[list.len() - 1] * (1.0 + 1e-9)];
    let mut near: Vec<f64> =
        [value / step, value, value * step].into_iter().filter(|v| (low..=high).contains(v)).collect();
    near.dedup();
    near.into_iter()
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

/// Whether a range of the torch is stated.
fn torch_is_ranged(question: &Question) -> bool {
    question.ranges.iter().any(|range| range.lever == Lever::TorchStrength)
}
