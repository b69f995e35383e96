//! Puts the outcome together.

use heat::{Case, Curve, Passes, Run, What};

use crate::aside::asides;
use crate::hazard::hazards;
use crate::hold::{half_space, hold};
use crate::judge::{Judgement, LIMITS};
use crate::outcome::{
    CastingFacts, Crossing, CurvePoints, ErrorBars, Heat, InputEffect, LedgerJ, Outcome, Series, Stats, Verdict,
    WindowC, WorstEnd,
};
use crate::request::Bars;
use crate::ring_width::ring_facts;
use crate::said::{temperature, with_more};
use crate::swing::{swing_k, too_small_a_spot};
use crate::welding::{ground_cold, welding};
use crate::{ArcEffect, Question};

/// Name and number of the outcome's layout.
const SCHEMA: &str = "warmhold outcome 1";
/// Points of a drawn curve over the whole run, about.
const DRAWN_POINTS: f64 = 500.0;

/// The runs of the case as stated.
pub struct Nominal {
    /// The scheduled run.
    pub run: Run,
    /// The hold run, where there is a window.
    pub held: Option<Run>,
    /// The judgement, where there is a window.
    pub judgement: Option<Judgement>,
}

/// The answer of one set of inputs on one grid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Answer {
    /// Smallest margin, K.
    pub margin_k: f64,
    /// Smallest margin to each limit, K.
    pub margins_k: [f64; 3],
    /// Hold of the ring, s; infinite where it stays above.
    pub hold_s: f64,
    /// Beads per heat.
    pub beads_per_heat: Option<usize>,
    /// Coldest of the ring as beads start, on average, Celsius; not a number without beads.
    pub coldest_c: f64,
}

/// The runs on one grid.
pub struct Answers {
    /// As stated.
    pub middle: Answer,
    /// Low and high end of each range.
    pub pairs: Vec<[Answer; 2]>,
    /// Everything at its worst: for the nearest limit, and for the minimum where that differs.
    pub worst: Vec<Answer>,
    /// What the heat of the arc does, where there are passes.
    pub arc_effect: Option<ArcEffect>,
}

/// The outcome of a check.
pub fn outcome(case: &Case, question: &Question, nominal: &Nominal, answers: Option<&Answers>) -> Outcome {
    let run = &nominal.run;
    let worst = nominal.judgement.as_ref().and_then(Judgement::worst);
    let margin_k = worst.map(|w| w.margin_k);
    let bars = bars(case, question, nominal);
    let held = holds(question, nominal);
    let drops_k = answers.filter(|a| !a.pairs.is_empty()).map(input_drops);
    let worst_k = nominal.judgement.as_ref().zip(drops_k).map(|(j, drops)| worst_margin(j, drops));
    let input_k = margin_k.zip(worst_k).map(|(margin_k, worst_k)| margin_k - worst_k);
    let worst_end = answers.zip(worst_k).and_then(|(a, worst_k)| worst_end(a, worst_k, held[0].map(|h| h.0)));
    Outcome {
        schema: SCHEMA.to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: question.input_sha256.clone(),
        title: question.title.clone(),
        verdict: verdict(nominal.judgement.as_ref(), drops_k.unwrap_or_default(), run.interrupted),
        margin_k,
        margin_s: worst.and_then(|w| w.margin_s),
        beads_per_heat: nominal.judgement.as_ref().and_then(|j| j.beads_per_heat),
        planned_per_heat: case.passes.as_ref().map(planned_per_heat),
        hold_s: held[0].map(|h| h.0),
        hold_centre_s: held[1].map(|h| h.0),
        first_breach: nominal.judgement.as_ref().and_then(Judgement::first_breach),
        heats: run.heats().iter().map(|&[start_s, end_s]| Heat { start_s, end_s }).collect(),
        crossings: crossings(case, question, run),
        probes: case.probes.iter().zip(&run.curves).map(|(p, c)| (p.name.clone(), series(case, run, c))).collect(),
        ledger: LedgerJ::from(&run.ledger),
        swing_k: swing_k(case, question),
        consumption: question.supply.as_ref().map(|supply| supply.consumption(case, run)),
        error: ErrorBars { grid_k: bars.grid_k, time_k: bars.time_k, input_k, hold_s: bars.hold_s },
        wanted: None,
        stats: Stats { cells: run.stats.cells, steps: run.stats.steps, rejected: run.stats.rejected },
        ran_until_s: run.ran_until_s,
        interrupted: run.interrupted,
        cautions: question.cautions.iter().cloned().chain(hazards(case, question, run)).collect(),
        warnings: warnings(case, question, run),
        casting: CastingFacts {
            size_m: case.block.size,
            section_m: case.thickness_under_the_patch(),
            floor_m: case.floor_depth(),
            mass_kg: case.mass(),
            metal: question.metal.clone(),
            model: run.model.to_owned(),
            model_reason: run.model_reason.clone(),
        },
        beside: asides(case),
        window: question.window.map(WindowC::from),
        passes: nominal.judgement.as_ref().map_or_else(Vec::new, |j| j.passes.clone()),
        welding: welding(case, question, run, answers.and_then(|a| a.arc_effect)),
        ring: ring_facts(case, question, run),
        half_space: nominal.held.as_ref().and_then(|held| half_space(case, question, held)),
        inputs: answers
            .map_or_else(Vec::new, |a| inputs(question, a, nominal.judgement.as_ref(), held[0].map(|h| h.0))),
        worst_end,
        curves: case.probes.iter().zip(&run.curves).map(|(p, c)| (p.name.clone(), drawn(run, c))).collect(),
    }
}

/// Beads planned for each interval: a list that is laid once may have fewer than an interval has room for.
fn planned_per_heat(work: &Passes) -> usize {
    if work.once { work.per_heat.min(work.list.len()) } else { work.per_heat }
}

/// The error bars of the runs of the case as stated.
pub fn bars(case: &Case, question: &Question, nominal: &Nominal) -> Bars {
    let run = &nominal.run;
    let least_sure = nominal.judgement.as_ref().and_then(Judgement::least_sure);
    let [grid_k, time_k] =
        least_sure.map_or_else(|| largest_bars(case, run), |i| run.curves[i.probe].errors_at(i.time_s));
    Bars { grid_k, time_k, hold_s: holds(question, nominal)[0].map(|h| h.1) }
}

/// Without a verdict: the largest bars of any probe at the requested times, K.
fn largest_bars(case: &Case, run: &Run) -> [f64; 2] {
    let bars = run.curves.iter().flat_map(|curve| case.output_s.iter().map(|&t| curve.errors_at(t)));
    bars.fold([0.0; 2], |[grid, time], [g, t]| [grid.max(g), time.max(t)])
}

/// The rule of the verdict: `holds` when even the worst end of the stated ranges stays inside, at every judged instant,
/// by more than that instant's numerical error; `falls short` when the values as stated are outside at one of them by
/// more than its error; else too close to call. Where a window is given but nothing could be judged, nothing is certain.
fn verdict(judgement: Option<&Judgement>, drops_k: [f64; 3], interrupted: bool) -> Verdict {
    let Some(judgement) = judgement else { return Verdict::NotAsked };
    let sure = sure_margins(judgement, drops_k).into_iter().fold(f64::INFINITY, f64::min);
    let safe_k = if judgement.instants.is_empty() { 0.0 } else { sure };
    if judgement.surely_outside() || judgement.no_bead_fits() {
        Verdict::FallsShort
    } else if safe_k > 0.0 && !interrupted {
        Verdict::Holds
    } else {
        Verdict::TooCloseToCall
    }
}

/// What a verdict stands on: for each limit the smallest margin less its own numerical error and less what the stated
/// ranges take off it, K; infinite where that limit is not judged.
pub fn sure_margins(judgement: &Judgement, drops_k: [f64; 3]) -> [f64; 3] {
    LIMITS.map(|limit| {
        let instants = judgement.instants.iter().filter(|i| i.limit == limit);
        instants.map(|i| i.margin_k - i.error_k - drops_k[limit as usize]).fold(f64::INFINITY, f64::min)
    })
}

/// Hold and its numerical error, s, of the ring and of the middle of the patch.
fn holds(question: &Question, nominal: &Nominal) -> [Option<(f64, f64)>; 2] {
    let (Some(run), Some((_, probes)), Some(window)) = (&nominal.held, question.ring, question.window) else {
        return [None; 2];
    };
    [probes.coldest, probes.centre].map(|probe| hold(run, probe, window.minimum_c).map(|c| (c.time_s, c.error_s)))
}

/// For each limit, nominal less worst end on one grid, K, never negative.
pub fn input_drops(answers: &Answers) -> [f64; 3] {
    [0, 1, 2].map(|limit| {
        let ends = answers.pairs.iter().flatten().chain(&answers.worst).map(|a| a.margins_k[limit]);
        let lowest = ends.fold(f64::INFINITY, f64::min);
        let drop = answers.middle.margins_k[limit] - lowest;
        if drop.is_finite() { drop.max(0.0) } else { 0.0 }
    })
}

/// The smallest margin once each limit has lost what the inputs take off it, K.
fn worst_margin(judgement: &Judgement, drops_k: [f64; 3]) -> f64 {
    let margins = judgement.margins();
    [0, 1, 2].map(|limit| margins[limit] - drops_k[limit]).into_iter().fold(f64::INFINITY, f64::min)
}

fn worst_end(answers: &Answers, margin_k: f64, hold_s: Option<f64>) -> Option<WorstEnd> {
    // The worst of each over all runs: effects need not add up, and one input alone may do more than all together.
    let runs = || answers.pairs.iter().flatten().chain(&answers.worst);
    let shortest_s = runs().map(|a| a.hold_s).min_by(f64::total_cmp)?;
    let fewest = runs().filter_map(|a| a.beads_per_heat).min();
    let hold_s = shifted(hold_s, answers.middle.hold_s, shortest_s);
    Some(WorstEnd { margin_k, hold_s, beads_per_heat: fewest })
}

/// A nominal hold moved by what an input does on one grid; none where that end never falls.
fn shifted(nominal_s: Option<f64>, middle_s: f64, end_s: f64) -> Option<f64> {
    if !end_s.is_finite() {
        return None;
    }
    match nominal_s {
        Some(nominal_s) if middle_s.is_finite() && end_s > 0.0 => Some((nominal_s + end_s - middle_s).max(0.0)),
        _ => Some(end_s),
    }
}

fn inputs(
    question: &Question,
    answers: &Answers,
    judgement: Option<&Judgement>,
    hold_s: Option<f64>,
) -> Vec<InputEffect> {
    let Some(margins) = judgement.filter(|j| j.worst().is_some()).map(Judgement::margins) else { return Vec::new() };
    // What an end does to each limit on one grid, put on top of the nested margin of that limit.
    let at = |end: &Answer| {
        let moved = |limit: usize| margins[limit] + end.margins_k[limit] - answers.middle.margins_k[limit];
        (0..3).map(moved).filter(|margin| !margin.is_nan()).fold(f64::INFINITY, f64::min)
    };
    let held = |end: &Answer| shifted(hold_s, answers.middle.hold_s, end.hold_s);
    let effect = |(range, [low, high]): (&crate::Range, &[Answer; 2])| InputEffect {
        input: range.lever.words().to_owned(),
        low: range.low,
        high: range.high,
        margin_low_k: at(low),
        margin_high_k: at(high),
        hold_low_s: held(low),
        hold_high_s: held(high),
        source: range.source.clone(),
    };
    question.ranges.iter().zip(&answers.pairs).map(effect).collect()
}

fn crossings(case: &Case, question: &Question, run: &Run) -> Vec<Crossing> {
    let heats = run.heats();
    let next_on = |n: usize| heats.get(n + 1).map_or(run.ran_until_s, |heat| heat[0]);
    let offs: Vec<[f64; 2]> = heats.iter().enumerate().map(|(n, heat)| [heat[1], next_on(n)]).collect();
    let crossing = |watch: &crate::Watch, [off_s, until_s]: [f64; 2]| {
        let found = run.curves[watch.probe].falls_below(watch.limit_c, off_s, until_s);
        Crossing {
            probe: case.probes[watch.probe].name.clone(),
            limit_c: watch.limit_c,
            off_s,
            after_off_s: found.map(|c| c.time_s - off_s),
            error_s: found.map(|c| if c.time_s > off_s { c.error_s } else { 0.0 }),
        }
    };
    question.watches.iter().flat_map(|watch| offs.iter().map(move |&off| crossing(watch, off))).collect()
}

/// The probe at the requested times that the run reached.
fn series(case: &Case, run: &Run, curve: &Curve) -> Series {
    let time_s: Vec<f64> = case.output_s.iter().copied().filter(|t| *t <= run.ran_until_s).collect();
    Series {
        temperature_c: time_s.iter().map(|&t| curve.at(t)).collect(),
        error_k: time_s.iter().map(|&t| curve.error_at(t)).collect(),
        time_s,
    }
}

/// The samples, with smooth points between those that lie far apart.
fn drawn(run: &Run, curve: &Curve) -> CurvePoints {
    let gap_s = run.ran_until_s / DRAWN_POINTS;
    let mut points = CurvePoints::default();
    let mut add = |time_s: f64| {
        points.time_s.push(time_s);
        points.temperature_c.push(curve.at(time_s));
    };
    for pair in curve.samples().windows(2) {
        let (from, to) = (pair[0].time_s, pair[1].time_s);
        let parts = ((to - from) / gap_s).ceil().max(1.0);
        (0..parts as usize).for_each(|n| add(from + (to - from) * n as f64 / parts));
    }
    curve.samples().last().into_iter().for_each(|last| add(last.time_s));
    points
}

fn warnings(case: &Case, question: &Question, run: &Run) -> Vec<String> {
    let mut warnings = question.warnings.clone();
    let missed = run.events.iter().filter(|e| e.what == (What::FlameOff { reached: false })).count();
    if missed > 0 {
        let flames = if missed == 1 { "One flame".to_owned() } else { format!("{missed} flames") };
        warnings.push(format!(
            "{flames} went off at the longest allowed time without reaching the target: heat longer, or {}.",
            with_more(question)
        ));
    }
    warnings.extend(beyond_table(case, question, run));
    warnings.extend(too_small_a_spot(case, question));
    warnings.extend(softened(case, question, run));
    warnings.extend(ground_cold(case, question, run));
    warnings
}

/// Metal beyond its property table, but for that under an arc: it melts there anyway, and it does not reach the ring.
fn beyond_table(case: &Case, question: &Question, run: &Run) -> Option<String> {
    let [low_c, mut high_c] = run.span_c;
    // While a flame burns no arc does: the hottest of the patch then tells what the flame alone has done.
    if case.passes.is_some() && case.heaters.is_empty() && question.ring.is_some() {
        high_c = hottest_under_flame_c(case, question, run).clamp(low_c, high_c);
    }
    let beyond = [low_c, high_c].iter().any(|&celsius| !case.material.covers(celsius));
    beyond.then(|| {
        format!(
            "The metal was between {} and {}, beyond its property table, which was held flat there: its temperatures out \
             there are rough. A [metal] section with rows that go so far mends it.",
            temperature(low_c),
            temperature(high_c)
        )
    })
}

/// Metal that the flame took beyond its last tempering heat (H8, `practice`).
fn softened(case: &Case, question: &Question, run: &Run) -> Option<String> {
    let (limit_c, hottest_c) = (question.last_temper_c?, hottest_under_flame_c(case, question, run));
    (hottest_c > limit_c).then(|| {
        format!(
            "The metal reached {}, beyond its last tempering heat of {}: it is softer there now.",
            temperature(hottest_c),
            temperature(limit_c)
        )
    })
}

/// The hottest of the patch while a flame burns; without its probe the hottest of all metal, that under an arc included.
fn hottest_under_flame_c(case: &Case, question: &Question, run: &Run) -> f64 {
    let Some((_, probes)) = question.ring else { return run.span_c[1] };
    let hottest = |[on_s, off_s]: [f64; 2]| run.curves[probes.surface].hottest(on_s, off_s).1;
    let swing_k = swing_k(case, question).unwrap_or(0.0);
    run.heats().into_iter().map(hottest).fold(f64::NEG_INFINITY, f64::max) + swing_k
}
