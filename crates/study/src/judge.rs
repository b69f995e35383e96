//! Holds a finished run against the window.

use heat::{Case, Curve, Face, Interval, Passes, Run, Schedule, What};

use serde::Serialize;

use crate::swing::swing_k;
use crate::welding::waited_slack_k;
use crate::{Breach, PassStart, Question, RingProbes, Window};

/// Place of an instant that judges the length of an interval, not a temperature.
pub const WORKING_TIME: &str = "working time between flames";

/// One judged instant against one limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Instant {
    /// When, s.
    pub time_s: f64,
    /// Which limit.
    pub limit: Limit,
    /// Which probe.
    pub probe: usize,
    /// Where, in words.
    pub place: &'static str,
    /// What it reads, Celsius.
    pub temperature_c: f64,
    /// The limit, Celsius.
    pub limit_c: f64,
    /// Distance to the limit, K; negative when outside.
    pub margin_k: f64,
    /// Numerical error bar of that reading, K.
    pub error_k: f64,
    /// How much longer the wait could have been, s; negative when short; none for limits that waiting does not reach.
    pub margin_s: Option<f64>,
}

/// Which limit an instant is held against; what an input does to one says nothing of the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Limit {
    /// The minimum of the ring, and the working time above it.
    Minimum,
    /// The maximum interpass temperature of the ring.
    Interpass,
    /// The surface under the flame.
    Surface,
}

/// All limits, in the order of their numbers.
pub const LIMITS: [Limit; 3] = [Limit::Minimum, Limit::Interpass, Limit::Surface];

/// A run held against its window.
#[derive(Clone, Debug, PartialEq)]
pub struct Judgement {
    /// Every judged instant in order of time.
    pub instants: Vec<Instant>,
    /// Every pass at its start.
    pub passes: Vec<PassStart>,
    /// The fewest passes inside the window from the front of any interval; none without passes.
    pub beads_per_heat: Option<usize>,
}

impl Judgement {
    /// The instant with the smallest margin.
    pub fn worst(&self) -> Option<&Instant> {
        self.instants.iter().min_by(|a, b| a.margin_k.total_cmp(&b.margin_k))
    }

    /// Smallest margin to each limit, K; infinite where it was not judged.
    pub fn margins(&self) -> [f64; 3] {
        LIMITS.map(|limit| {
            let margins = self.instants.iter().filter(|i| i.limit == limit).map(|i| i.margin_k);
            margins.fold(f64::INFINITY, f64::min)
        })
    }

    /// The instant whose margin less its own error bar is smallest: what a verdict has to stand on.
    pub fn least_sure(&self) -> Option<&Instant> {
        let sure = |i: &Instant| i.margin_k - i.error_k;
        self.instants.iter().min_by(|a, b| sure(a).total_cmp(&sure(b)))
    }

    /// Coldest of the ring as passes start, on average, Celsius; not a number without passes.
    pub fn mean_coldest_c(&self) -> f64 {
        self.passes.iter().map(|pass| pass.coldest_c).sum::<f64>() / self.passes.len() as f64
    }

    /// Whether beads are planned and in some interval not one could be laid.
    pub fn no_bead_fits(&self) -> bool {
        self.beads_per_heat == Some(0) && self.passes.iter().all(|pass| pass.inside)
    }

    /// Whether an instant is outside by more than its own error bar.
    pub fn surely_outside(&self) -> bool {
        self.instants.iter().any(|i| i.margin_k + i.error_k < 0.0)
    }

    /// The first instant outside.
    pub fn first_breach(&self) -> Option<Breach> {
        self.instants.iter().find(|i| i.margin_k < 0.0).map(|i| Breach {
            time_s: i.time_s,
            place: i.place.to_owned(),
            temperature_c: i.temperature_c,
            limit: i.limit,
            limit_c: i.limit_c,
        })
    }
}

/// Judges a run; `None` where nothing is asked.
pub fn judge(case: &Case, question: &Question, run: &Run) -> Option<Judgement> {
    let (window, (_, probes)) = (question.window?, question.ring?);
    let judge = Judge { case, question, run, window, probes };
    let mut instants = judge.flames();
    let passes = judge.passes();
    if !passes.is_empty() {
        passes.iter().for_each(|pass| instants.extend(judge.pass_start(pass)));
    } else {
        judge.intervals().iter().for_each(|&[off_s, end_s]| instants.extend(judge.interval(off_s, end_s)));
    }
    instants.extend(judge.working_time());
    instants.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    // Of work that was cut off nobody can say that too little of it fits.
    let counted = !run.interrupted || !judge.intervals().is_empty();
    let beads_per_heat = case.passes.as_ref().filter(|_| counted).map(|_| judge.beads(&passes));
    Some(Judgement { instants, passes, beads_per_heat })
}

struct Judge<'a> {
    case: &'a Case,
    question: &'a Question,
    run: &'a Run,
    window: Window,
    probes: RingProbes,
}

impl Judge<'_> {
    fn curve(&self, probe: usize) -> &Curve {
        &self.run.curves[probe]
    }

    /// Flame off to the next flame on, or to the end of the last planned interval.
    fn intervals(&self) -> Vec<[f64; 2]> {
        let mut intervals: Vec<[f64; 2]> = Vec::new();
        let mut open = None;
        for event in &self.run.events {
            match event.what {
                What::FlameOff { .. } => open = Some(event.time_s),
                What::FlameOn | What::IntervalEnd => intervals.extend(open.take().map(|off_s| [off_s, event.time_s])),
                What::PassStart(_) | What::PassEnd(_) | What::Waiting => {}
            }
        }
        // A last flame with no interval planned is judged as it goes off; an interval that was cut off is not one.
        if !self.run.interrupted {
            intervals.extend(open.map(|off_s| [off_s, off_s]));
        }
        intervals
    }

    /// Surface under each flame.
    fn flames(&self) -> Vec<Instant> {
        let Some(limit_c) = self.window.surface_limit_c else { return Vec::new() };
        // The run has the mean of a circling flame; the surface swings about it.
        let swing_k = swing_k(self.case, self.question).unwrap_or(0.0);
        let hottest = |[on_s, off_s]: [f64; 2]| {
            let (time_s, mean_c) = self.curve(self.probes.surface).hottest(on_s, off_s);
            let at = (self.probes.surface, "surface under the flame");
            self.below(time_s, mean_c + swing_k, (limit_c, Limit::Surface), at)
        };
        self.run.heats().into_iter().chain(self.heated_intervals()).map(hottest).collect()
    }

    /// From each flame-off to the first pass or the next flame, where other heat lies on the worked face meanwhile. Metal
    /// that an arc has just left is no surface under a flame.
    fn heated_intervals(&self) -> Vec<[f64; 2]> {
        if !self.case.heaters.iter().any(|heater| heater.torch.face == Face::Worked) {
            return Vec::new();
        }
        let first_pass = |off_s: f64, end_s: f64| {
            let starts = self.run.passes().into_iter().map(|[start_s, _]| start_s);
            starts.filter(|start_s| *start_s >= off_s).fold(end_s, f64::min)
        };
        self.intervals().into_iter().map(|[off_s, end_s]| [off_s, first_pass(off_s, end_s)]).collect()
    }

    /// Both limits of the window at one instant.
    fn start(&self, time_s: f64, wait_matters: bool) -> [Instant; 2] {
        let coldest = self.curve(self.probes.coldest);
        let minimum_c = self.window.minimum_c;
        let temperature_c = coldest.at(time_s);
        let cold = Instant {
            time_s,
            limit: Limit::Minimum,
            probe: self.probes.coldest,
            place: "ring, coldest",
            temperature_c,
            limit_c: minimum_c,
            margin_k: temperature_c - minimum_c,
            error_k: coldest.error_from_switch(time_s),
            margin_s: wait_matters.then(|| self.wait_margin(time_s)).flatten(),
        };
        let hottest_c = self.curve(self.probes.hottest).at(time_s);
        let maximum = (self.window.maximum_interpass_c, Limit::Interpass);
        let hot = self.below(time_s, hottest_c, maximum, (self.probes.hottest, "ring, hottest"));
        [cold, hot]
    }

    /// Without passes the whole interval is working time: the maximum counts as it opens, the minimum to its end.
    fn interval(&self, off_s: f64, end_s: f64) -> Vec<Instant> {
        let [cold_off, hot_off] = self.start(off_s, false);
        let [cold_end, _] = self.start(end_s, true);
        if end_s > off_s { vec![cold_off, hot_off, cold_end] } else { vec![cold_off, hot_off] }
    }

    fn below(
        &self,
        time_s: f64,
        temperature_c: f64,
        (limit_c, limit): (f64, Limit),
        (probe, place): (usize, &'static str),
    ) -> Instant {
        let margin_k = limit_c - temperature_c;
        let error_k = self.curve(probe).error_from_switch(time_s);
        Instant { time_s, limit, probe, place, temperature_c, limit_c, margin_k, error_k, margin_s: None }
    }

    /// How much longer the wait before an instant could have been, s.
    ///
    /// Short: since when the coldest had been below the minimum. Inside: margin over slope at that instant, which
    /// is on the short side, since the fall slows down; without arc heat that only helps.
    fn wait_margin(&self, time_s: f64) -> Option<f64> {
        let curve = self.curve(self.probes.coldest);
        let margin_k = curve.at(time_s) - self.window.minimum_c;
        if margin_k < 0.0 {
            let off_s = self.run.heats().iter().map(|heat| heat[1]).rfind(|off_s| *off_s <= time_s)?;
            return Some(curve.falls_below(self.window.minimum_c, off_s, time_s)?.time_s - time_s);
        }
        let slope = before(curve, time_s);
        (slope < 0.0).then(|| margin_k / -slope)
    }

    /// Both limits as a pass starts. A maximum that was waited for is kept by the wait, not by a margin.
    fn pass_start(&self, pass: &PassStart) -> Vec<Instant> {
        let [cold, hot] = self.start(pass.start_s, true);
        let kept = self.waited_for(pass.start_s)
            && hot.margin_k >= -waited_slack_k(self.curve(self.probes.hottest), pass.start_s);
        if kept { vec![cold] } else { vec![cold, hot] }
    }

    /// Whether a pass was waited for because the ring was too hot.
    fn waited_for(&self, start_s: f64) -> bool {
        let before =
            self.run.events.iter().take_while(|e| !(e.time_s == start_s && matches!(e.what, What::PassStart(_))));
        before.last().is_some_and(|event| event.what == What::Waiting)
    }

    fn passes(&self) -> Vec<PassStart> {
        let intervals = self.intervals();
        let mut list: Vec<PassStart> = Vec::new();
        for [start_s, end_s] in self.run.passes() {
            let heat = intervals.iter().filter(|i| i[0] <= start_s).count();
            let number = list.last().map_or(1, |last| if last.heat == heat { last.number + 1 } else { 1 });
            let coldest_c = self.curve(self.probes.coldest).at(start_s);
            let hottest = self.curve(self.probes.hottest);
            let hottest_c = hottest.at(start_s);
            let slack_k = if self.waited_for(start_s) { waited_slack_k(hottest, start_s) } else { 0.0 };
            let inside = coldest_c >= self.window.minimum_c && hottest_c <= self.window.maximum_interpass_c + slack_k;
            list.push(PassStart { heat, number, start_s, end_s, coldest_c, hottest_c, inside });
        }
        list
    }

    /// The fewest passes inside the window from the front of any interval. One that had fewer to lay, because the list
    /// ended or a void was ground out, and laid them all inside, tells nothing.
    fn beads(&self, passes: &[PassStart]) -> usize {
        let Some(work) = &self.case.passes else { return 0 };
        let inside = |heat: usize| passes.iter().filter(|p| p.heat == heat).take_while(|p| p.inside).count();
        let heats = self.heats_of_work(work, passes).into_iter().enumerate();
        let telling = heats.filter_map(|(n, [_, planned])| {
            let inside = inside(n + 1);
            (inside < planned || planned == work.per_heat).then_some(inside)
        });
        telling.min().unwrap_or_else(|| work.per_heat.min(passes.iter().take_while(|p| p.inside).count()))
    }

    /// Passes laid and passes planned in each interval.
    fn heats_of_work(&self, work: &Passes, passes: &[PassStart]) -> Vec<[usize; 2]> {
        let mut before = 0;
        let mut heat = |number: usize| {
            let (planned, laid) = (work.planned(before), passes.iter().filter(|p| p.heat == number).count());
            before += laid;
            [laid, planned]
        };
        (1..=self.intervals().len()).map(&mut heat).collect()
    }

    /// From flame off to the start of the last planned pass, s.
    fn planned_time_s(&self) -> Option<f64> {
        let passes = self.case.passes.as_ref()?;
        let before_last = passes.list.iter().cycle().take(passes.per_heat.saturating_sub(1));
        Some(passes.first_after_s + before_last.map(|p| p.arc_s + p.pause_s).sum::<f64>())
    }

    /// Intervals that end by temperature: not those that ended because the work was done or a void had to be ground out.
    fn guarded_intervals(&self) -> Vec<[f64; 2]> {
        let intervals = self.intervals();
        let Some(work) = &self.case.passes else { return intervals };
        let heats = self.heats_of_work(work, &self.passes());
        let all_laid = work.all_laid(heats.iter().map(|heat| heat[0]).sum());
        let ended_by_work = |n: usize| {
            let [laid, planned] = heats[n];
            laid == planned && (planned < work.per_heat || (all_laid && n + 1 == heats.len()))
        };
        let kept = |n: &usize| !ended_by_work(*n);
        (0..intervals.len()).filter(kept).map(|n| intervals[n]).collect()
    }

    /// Where the interval ends by temperature: whether the wanted working time fits, or else the planned passes.
    fn working_time(&self) -> Vec<Instant> {
        let Schedule::Cycles { interval: Interval::UntilFalls { .. }, .. } = self.case.schedule else {
            return Vec::new();
        };
        let Some(wanted_s) = self.question.working_time_s.or(self.planned_time_s()) else { return Vec::new() };
        let curve = self.curve(self.probes.coldest);
        let judged = |&[off_s, end_s]: &[f64; 2]| {
            let margin_s = end_s - off_s - wanted_s;
            let temperature_c = curve.at(end_s);
            // Seconds times the slope, but never colder than the casting was at the start. An interval over at once
            // has no slope of its own: it is short by the guard at least.
            let slope = if end_s > off_s { before(curve, end_s).abs() } else { 0.0 };
            let coldest_k = temperature_c - self.case.start_c.min(temperature_c);
            let short_k = (-margin_s * slope).max(self.question.guard_k).min(coldest_k).max(1.0);
            Instant {
                time_s: end_s,
                limit: Limit::Minimum,
                probe: self.probes.coldest,
                place: WORKING_TIME,
                temperature_c,
                limit_c: self.window.minimum_c + self.question.guard_k,
                margin_k: if margin_s < 0.0 { -short_k } else { margin_s * slope },
                error_k: curve.error_from_switch(end_s),
                margin_s: Some(margin_s),
            }
        };
        self.guarded_intervals().iter().map(judged).collect()
    }
}

/// Slope as an instant is reached, K/s.
fn before(curve: &Curve, time_s: f64) -> f64 {
    let at = curve.samples().iter().find(|s| s.time_s == time_s);
    at.map_or_else(|| curve.rate(time_s), |s| s.rate_before)
}
