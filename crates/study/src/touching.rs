//! What the spot to touch reads all through the job as it is scheduled, beads and reheats included: for a card.

use heat::{Accuracy, Case, Interval, Probe, ProbeKind, Run, Schedule, What};

use crate::advice::{AdviceError, Touch, nested};
use crate::check::{for_differences, worst_case};
use crate::sweep::{self, sweep};
use crate::vary::each_end;
use crate::{Lever, Question, RingProbes, Window};

/// After a flame is lifted a contact reading takes about so long, s (`practice`).
pub const SOON_S: f64 = 5.0;
/// An interval ended by its reading, and not by the clock, where that reading is so near to its target, K.
const BY_READING_K: f64 = 1.0;

/// Lowest and highest of something.
pub type Span = [f64; 2];

/// The spot all through the job.
#[derive(Clone, Debug, PartialEq)]
pub struct Touching {
    /// Where it is.
    pub touch: Touch,
    /// The first heating.
    pub first: Heating,
    /// All reheats together; none where there is none.
    pub again: Option<Heating>,
    /// What is done in an interval, in order of time, over all intervals.
    pub steps: Vec<Step>,
    /// The reading at which the flame comes back: the highest over all intervals and ends of the stated ranges, Celsius;
    /// none where the clock decides.
    pub back_c: Option<f64>,
}

/// One heating, or several of one kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heating {
    /// How long the flame burns as stated, s.
    pub took_s: Span,
    /// The same over the stated range of the torch alone: outside it the torch is not the one computed; none where it has no
    /// range.
    pub over_torch_s: Option<Span>,
    /// The spot as the flame goes off as stated, Celsius.
    pub off_c: Span,
    /// The same over the ends of all stated ranges, each alone and all together; none where none is stated.
    pub off_over_ranges_c: Option<Span>,
    /// [`SOON_S`] later as stated, Celsius; none where something else happens before.
    pub soon_c: Option<Span>,
    /// Whether every flame reached what it was to reach, at all ends of the ranges too.
    pub reached: bool,
}

/// What is done at an instant of an interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doing {
    /// A bead starts; its number in the interval, from 1.
    Bead(usize),
    /// The flame comes back.
    Flame,
    /// The last interval is over.
    End,
}

/// The spot at such an instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// What is done.
    pub doing: Doing,
    /// After flame off, s: over all intervals.
    pub after_off_s: Span,
    /// The spot as stated, Celsius: over all intervals.
    pub spot_c: Span,
    /// The spot must read this at least, Celsius: the minimum and what the spot then has above the coldest of the ring, the
    /// most over all intervals and ends of the ranges; never less than the minimum.
    pub least_c: f64,
    /// The spot must read this at most, Celsius: the maximum less what the hottest of the ring then has above the spot, the
    /// most over all intervals and ends of the ranges; never more than the maximum.
    pub most_c: f64,
}

/// Reads the spot through the job: the case as stated on nested grids, each stated range at both ends, and all of them
/// slow and all of them quick together on one grid. `keep_going` as for [`crate::check`].
///
/// # Errors
/// [`AdviceError`].
pub fn touching(
    case: &Case,
    question: &Question,
    touch: Touch,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Touching, AdviceError> {
    let (Some(window), Some((_, probes))) = (question.window, question.ring) else {
        return Err(AdviceError::NoRing);
    };
    let eye = Eye { probes, spot: case.probes.len(), back: back(case) };
    let mut case = Case { output_s: Vec::new(), ..case.clone() };
    let at = ProbeKind::Point { at: [touch.x_m, touch.y_m, 0.0] };
    case.probes.push(Probe { name: "spot to touch".to_owned(), kind: at });
    let run = heat::solve(&case, &nested(question), &|share| keep_going(0.5 * share))?;
    let stated = eye.look(&run)?;
    let ends = ends(&case, question, &eye, &|share| keep_going(0.5 + 0.5 * share))?;
    let torch = question.ranges.iter().position(|range| range.lever == Lever::TorchStrength);
    let seen = Seen { stated: &stated, ends: &ends, torch, window };
    Ok(Touching {
        touch,
        first: seen.heating(true).ok_or(AdviceError::NoFlameOff)?,
        again: seen.heating(false),
        steps: seen.steps(),
        back_c: seen.back_c(),
    })
}

/// The reading that ends an interval.
fn back(case: &Case) -> Option<(usize, f64)> {
    match case.schedule {
        Schedule::Cycles { interval: Interval::UntilFalls { probe, temperature_c, .. }, .. } => {
            Some((probe, temperature_c))
        }
        _ => None,
    }
}

/// The case on one grid as stated, then every range at both ends, then all slow and all quick; empty without ranges.
fn ends(
    case: &Case,
    question: &Question,
    eye: &Eye,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Vec<Look>, AdviceError> {
    if question.ranges.is_empty() {
        return Ok(Vec::new());
    }
    let accuracy = for_differences(&question.accuracy);
    let mut cases = vec![case.clone()];
    cases.extend(each_end(case, &question.ranges)?);
    let mut looks = eye.looks(&cases, &accuracy, &|share| keep_going(0.8 * share))?;
    let slow: Vec<bool> = looks[1..].chunks_exact(2).map(|pair| pair[0].slowness() > pair[1].slowness()).collect();
    let quick: Vec<bool> = slow.iter().map(|low| !low).collect();
    let together = [slow, quick].into_iter().map(|low| worst_case(case, &question.ranges, &low));
    let together = together.collect::<Result<Vec<_>, _>>()?;
    looks.extend(eye.looks(&together, &accuracy, &|share| keep_going(0.8 + 0.2 * share))?);
    Ok(looks)
}

/// Which probes of the case are looked at.
struct Eye {
    probes: RingProbes,
    spot: usize,
    /// Probe and target that end an interval.
    back: Option<(usize, f64)>,
}

/// One run as the spot sees it.
#[derive(Debug)]
struct Look {
    heats: Vec<HeatSeen>,
}

/// One heat and its interval.
#[derive(Clone, Debug)]
struct HeatSeen {
    took_s: f64,
    reached: bool,
    off: Reading,
    soon_c: Option<f64>,
    steps: Vec<(Doing, f64, Reading)>,
    back_c: Option<f64>,
}

/// The spot beside the ring at one instant, Celsius.
#[derive(Clone, Copy, Debug)]
struct Reading {
    spot_c: f64,
    coldest_c: f64,
    hottest_c: f64,
}

impl Eye {
    fn looks(
        &self,
        cases: &[Case],
        accuracy: &Accuracy,
        keep_going: &(dyn Fn(f64) -> bool + Sync),
    ) -> Result<Vec<Look>, AdviceError> {
        let swept = sweep(cases, keep_going, |_, case, going| {
            let run = heat::solve(case, accuracy, &|_| going())?;
            Ok(self.look(&run))
        });
        sweep::all(swept)?.ok_or(AdviceError::Interrupted)?.into_iter().collect()
    }

    fn look(&self, run: &Run) -> Result<Look, AdviceError> {
        if run.interrupted {
            return Err(AdviceError::Interrupted);
        }
        let heats = run.heats();
        let next = |n: usize| heats.get(n + 1).map(|heat| heat[0]);
        let seen: Vec<HeatSeen> =
            heats.iter().enumerate().map(|(n, &[on_s, off_s])| self.heat(run, [on_s, off_s], next(n))).collect();
        if seen.is_empty() { Err(AdviceError::NoFlameOff) } else { Ok(Look { heats: seen }) }
    }

    fn heat(&self, run: &Run, [on_s, off_s]: [f64; 2], next_on_s: Option<f64>) -> HeatSeen {
        let within = |time_s: f64| time_s >= off_s && next_on_s.is_none_or(|next_s| time_s < next_s);
        let beads = run.passes().into_iter().map(|[start_s, _]| start_s).filter(|start_s| within(*start_s));
        let mut instants: Vec<(Doing, f64)> = beads.enumerate().map(|(n, at_s)| (Doing::Bead(n + 1), at_s)).collect();
        instants.extend(next_on_s.map(|next_s| (Doing::Flame, next_s)));
        let end = run.events.iter().find(|event| event.what == What::IntervalEnd && within(event.time_s));
        instants.extend(end.map(|event| (Doing::End, event.time_s)));
        let soon_s = off_s + SOON_S;
        let undisturbed = soon_s < run.ran_until_s && instants.first().is_none_or(|first| soon_s <= first.1);
        let missed = What::FlameOff { reached: false };
        HeatSeen {
            took_s: off_s - on_s,
            reached: !run.events.iter().any(|event| event.what == missed && event.time_s == off_s),
            off: self.reading(run, off_s),
            soon_c: undisturbed.then(|| self.reading(run, soon_s).spot_c),
            steps: instants.iter().map(|&(doing, at_s)| (doing, at_s - off_s, self.reading(run, at_s))).collect(),
            back_c: next_on_s.and_then(|next_s| self.back_c(run, next_s)),
        }
    }

    fn reading(&self, run: &Run, time_s: f64) -> Reading {
        let at = |probe: usize| run.curves[probe].at(time_s);
        let [spot_c, coldest_c, hottest_c] = [self.spot, self.probes.coldest, self.probes.hottest].map(at);
        Reading { spot_c, coldest_c, hottest_c }
    }

    /// The spot as an interval ends by its reading.
    fn back_c(&self, run: &Run, time_s: f64) -> Option<f64> {
        let (probe, target_c) = self.back?;
        let by_reading = (run.curves[probe].at(time_s) - target_c).abs() < BY_READING_K;
        by_reading.then(|| run.curves[self.spot].at(time_s))
    }
}

impl Look {
    /// What makes an end of a range slow: a longer first heating or, where the clock decides, a colder spot after it.
    fn slowness(&self) -> (f64, f64) {
        self.heats.first().map_or((0.0, 0.0), |heat| (heat.took_s, -heat.off.spot_c))
    }

    /// The first heat, or all others.
    fn kind(&self, first: bool) -> &[HeatSeen] {
        let (one, others) = self.heats.split_at(1);
        if first { one } else { others }
    }
}

/// All runs together.
struct Seen<'a> {
    stated: &'a Look,
    /// On one grid: as stated, then the ends; empty without ranges.
    ends: &'a [Look],
    /// Which range is that of the torch.
    torch: Option<usize>,
    window: Window,
}

impl Seen<'_> {
    fn looks(&self) -> impl Iterator<Item = &Look> {
        std::iter::once(self.stated).chain(self.ends)
    }

    fn heating(&self, first: bool) -> Option<Heating> {
        let stated = self.stated.kind(first);
        let span_of = |of: fn(&HeatSeen) -> f64| span(stated.iter().map(of));
        let took_s = span_of(|heat| heat.took_s)?;
        let off_c = span_of(|heat| heat.off.spot_c)?;
        Some(Heating {
            took_s,
            over_torch_s: self.torch_ends().and_then(|ends| self.moved(ends, first, (took_s, |heat| heat.took_s))),
            off_c,
            off_over_ranges_c: self.moved(self.ends, first, (off_c, |heat| heat.off.spot_c)),
            soon_c: stated.iter().map(|heat| heat.soon_c).collect::<Option<Vec<f64>>>().and_then(span),
            reached: self.looks().flat_map(|look| look.kind(first)).all(|heat| heat.reached),
        })
    }

    /// Low and high end of the torch alone.
    fn torch_ends(&self) -> Option<&[Look]> {
        let low = 1 + 2 * self.torch?;
        self.ends.get(low..low + 2)
    }

    /// What some ends make of a span, put on top of it as stated: they are on one grid, and so is what they are held against.
    fn moved(&self, ends: &[Look], first: bool, (stated, of): (Span, fn(&HeatSeen) -> f64)) -> Option<Span> {
        let middle = span(self.ends.first()?.kind(first).iter().map(of))?;
        let all = span(ends.iter().flat_map(|look| look.kind(first)).map(of))?;
        Some([stated[0] + (all[0] - middle[0]).min(0.0), stated[1] + (all[1] - middle[1]).max(0.0)])
    }

    /// In order of time: the beads by their number, then the return of the flame or the end.
    fn steps(&self) -> Vec<Step> {
        let most = self.stated.heats.iter().map(|heat| heat.steps.len()).max().unwrap_or(0);
        let beads = (1..=most).map(Doing::Bead);
        beads.chain([Doing::Flame, Doing::End]).filter_map(|doing| self.step(doing)).collect()
    }

    fn step(&self, doing: Doing) -> Option<Step> {
        let of = |look: &Look| -> Vec<(f64, Reading)> {
            let steps = look.heats.iter().flat_map(|heat| &heat.steps);
            steps.filter(|step| step.0 == doing).map(|step| (step.1, step.2)).collect()
        };
        let stated = of(self.stated);
        let anywhere: Vec<Reading> = self.looks().flat_map(of).map(|step| step.1).collect();
        let most = |gap: fn(&Reading) -> f64| anywhere.iter().map(gap).fold(0.0, f64::max);
        Some(Step {
            doing,
            after_off_s: span(stated.iter().map(|step| step.0))?,
            spot_c: span(stated.iter().map(|step| step.1.spot_c))?,
            least_c: self.window.minimum_c + most(|at| at.spot_c - at.coldest_c),
            most_c: self.window.maximum_interpass_c - most(|at| at.hottest_c - at.spot_c),
        })
    }

    fn back_c(&self) -> Option<f64> {
        span(self.looks().flat_map(|look| &look.heats).filter_map(|heat| heat.back_c)).map(|span| span[1])
    }
}

/// Lowest and highest; none of nothing.
pub(crate) fn span(values: impl IntoIterator<Item = f64>) -> Option<Span> {
    values.into_iter().fold(None, |span, value| {
        let [low, high]: Span = span.unwrap_or([value; 2]);
        Some([low.min(value), high.max(value)])
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn heat_seen(took_s: f64, off: [f64; 3], beads: &[[f64; 3]]) -> HeatSeen {
        let reading = |[spot_c, coldest_c, hottest_c]: [f64; 3]| Reading { spot_c, coldest_c, hottest_c };
        let bead = |(n, &told): (usize, &[f64; 3])| (Doing::Bead(n + 1), 20.0 * (n + 1) as f64, reading(told));
        let steps = beads.iter().enumerate().map(bead).collect();
        HeatSeen { took_s, reached: true, off: reading(off), soon_c: Some(off[0] - 10.0), steps, back_c: None }
    }

    #[test]
    fn what_the_spot_must_read_allows_for_the_coldest_and_the_hottest_at_any_end() {
        let window = Window { minimum_c: 150.0, maximum_interpass_c: 260.0, surface_limit_c: None };
        let stated = Look {
            heats: vec![heat_seen(900.0, [226.0, 216.0, 240.0], &[[197.0, 196.0, 210.0], [170.0, 172.0, 190.0]])],
        };
        let other = Look {
            heats: vec![heat_seen(700.0, [230.0, 216.0, 250.0], &[[199.0, 195.0, 221.0], [171.0, 174.0, 185.0]])],
        };
        let ends = [stated.heats[0].clone(), other.heats[0].clone()].map(|heat| Look { heats: vec![heat] });
        let steps = Seen { stated: &stated, ends: &ends, torch: None, window }.steps();
        assert_eq!((steps[0].least_c, steps[0].most_c), (154.0, 238.0));
        // Where the spot is the colder of the two, the minimum stands.
        assert_eq!((steps[1].least_c, steps[1].most_c), (150.0, 240.0));
        assert_eq!((steps[0].spot_c, steps[0].after_off_s, steps.len()), ([197.0; 2], [20.0; 2], 2));
    }

    #[test]
    fn ends_on_one_grid_move_the_span_as_stated_and_the_torch_alone_sets_the_time() {
        let look = |took_s: f64, spot_c: f64| Look { heats: vec![heat_seen(took_s, [spot_c, 216.0, 240.0], &[])] };
        let window = Window { minimum_c: 150.0, maximum_interpass_c: 260.0, surface_limit_c: None };
        // As stated on one grid, another range, the torch, all together.
        let ends = [
            look(890.0, 225.0),
            look(500.0, 229.0),
            look(1900.0, 224.0),
            look(700.0, 227.0),
            look(1100.0, 223.0),
            look(3000.0, 221.0),
        ];
        let first = Seen { stated: &look(900.0, 226.0), ends: &ends, torch: Some(1), window }.heating(true).unwrap();
        assert_eq!((first.took_s, first.over_torch_s), ([900.0; 2], Some([710.0, 1110.0])));
        assert_eq!((first.off_c, first.off_over_ranges_c), ([226.0; 2], Some([222.0, 230.0])));
        let alone = Seen { stated: &look(900.0, 226.0), ends: &[], torch: Some(0), window };
        let first = alone.heating(true).unwrap();
        assert_eq!((first.over_torch_s, first.off_over_ranges_c, alone.heating(false)), (None, None, None));
    }
}
