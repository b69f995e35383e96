//! Follows the schedule: flame, passes, intervals, output times.

use crate::beside::{Phase, When};
use crate::case::{Case, Flame, Interval, Schedule};
use crate::error::Error;
use crate::exchange::Active;
use crate::map::{Field, FieldReader, Map, Mapper, Window};
use crate::march::{March, Stop};
use crate::run::{Accuracy, Event, Grids, Method, Run, What};
use crate::work::CoolTo;

/// Marches a case through its schedule.
///
/// `keep_going` gets the share of the run done (0 to 1, by time) after every step; when it returns false the run ends there with [`Run::interrupted`] set.
///
/// # Errors
/// What [`Case::check`](crate::Case::check) refuses, and a state that stops being a number.
pub fn solve(case: &Case, accuracy: &Accuracy, keep_going: &(dyn Fn(f64) -> bool + Sync)) -> Result<Run, Error> {
    solve_by(Method::default(), case, accuracy, keep_going)
}

/// What to follow from the first flame-off on, beside the schedule: cooling without flame or arc until each of some
/// probes has fallen below a temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct Hold {
    /// Indices into [`Case::probes`].
    pub probes: Vec<usize>,
    /// The temperature, Celsius.
    pub below_c: f64,
    /// The longest that each is followed, s.
    pub at_most_s: f64,
}

/// [`solve`], and a second run that shares the first heating and then only cools; none when no flame goes off.
///
/// # Errors
/// As [`solve`].
pub fn solve_with_hold(
    case: &Case,
    accuracy: &Accuracy,
    hold: &Hold,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<(Run, Option<Run>), Error> {
    followed(Method::default(), case, accuracy, Some(hold), keep_going)
}

/// [`solve`] with a method of choice.
///
/// # Errors
/// As [`solve`].
pub fn solve_by(
    method: Method,
    case: &Case,
    accuracy: &Accuracy,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Run, Error> {
    followed(method, case, accuracy, None, keep_going).map(|(run, _)| run)
}

fn followed(
    method: Method,
    case: &Case,
    accuracy: &Accuracy,
    hold: Option<&Hold>,
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<(Run, Option<Run>), Error> {
    case.check()?;
    let march = March::new(case, accuracy, method)?;
    let mut driver = Driver { hold, ..Driver::new(case, march, keep_going) };
    driver.follow()?;
    let held = driver.held.take();
    Ok((driver.finish(), held))
}

/// Marches a case through the switches of another run up to its last output time, whatever its own schedule says: what
/// other inputs would have given had the flame been switched at the same times.
///
/// # Errors
/// As [`solve`].
pub fn replay(
    case: &Case,
    accuracy: &Accuracy,
    events: &[Event],
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Run, Error> {
    case.check()?;
    let march = March::new(case, accuracy, Method::default())?;
    let mut driver = Driver::new(case, march, keep_going);
    driver.replay(events)?;
    Ok(driver.finish())
}

/// Maps of a window at some instants, from one grid that follows the switches of a finished run.
///
/// The switches are taken from `events` and not found again: a flame that ends by temperature ends a little later on
/// another grid, and a map a second after the arc is not one a second before its end.
///
/// # Errors
/// As [`solve`].
pub fn maps(case: &Case, accuracy: &Accuracy, window: &Window, events: &[Event]) -> Result<Vec<Map>, Error> {
    let bare = Case { output_s: window.times_s.clone(), ..case.clone() };
    bare.check()?;
    let accuracy = Accuracy { grids: Grids::MiddleOnly, ..*accuracy };
    let march = March::new(&bare, &accuracy, Method::default())?;
    let mapper = march.mapper(window);
    let mut driver = Driver { mapper: Some(mapper), ..Driver::new(&bare, march, &|_| true) };
    driver.replay(events)?;
    Ok(driver.maps)
}

/// Temperatures of the whole body at some instants, at places along three lines (m from the casting's corner), from one
/// grid that follows the switches of a finished run as [`maps`] does.
///
/// # Errors
/// As [`solve`].
pub fn fields(
    case: &Case,
    accuracy: &Accuracy,
    (lines, times_s): (&[Vec<f64>; 3], &[f64]),
    events: &[Event],
) -> Result<Vec<Field>, Error> {
    let bare = Case { output_s: times_s.to_vec(), ..case.clone() };
    bare.check()?;
    let accuracy = Accuracy { grids: Grids::MiddleOnly, ..*accuracy };
    let march = March::new(&bare, &accuracy, Method::default())?;
    let reader = march.field_reader(lines);
    let mut driver = Driver { field_reader: Some(reader), ..Driver::new(&bare, march, &|_| true) };
    driver.replay(events)?;
    Ok(driver.fields)
}

struct Driver<'a> {
    case: &'a Case,
    march: March,
    events: Vec<Event>,
    keep_going: &'a (dyn Fn(f64) -> bool + Sync),
    longest_s: f64,
    interrupted: bool,
    /// Where in the schedule it is, and what is switched on.
    phase: Phase,
    active: Active,
    /// Passes laid so far.
    passed: usize,
    mapper: Option<Mapper>,
    maps: Vec<Map>,
    field_reader: Option<FieldReader>,
    fields: Vec<Field>,
    /// What to follow from the first flame-off on, until it has been followed.
    hold: Option<&'a Hold>,
    held: Option<Run>,
}

impl<'a> Driver<'a> {
    fn new(case: &'a Case, march: March, keep_going: &'a (dyn Fn(f64) -> bool + Sync)) -> Driver<'a> {
        let longest_s = case.schedule.longest_s();
        Driver {
            case,
            march,
            events: Vec::new(),
            keep_going,
            longest_s,
            interrupted: false,
            phase: Phase::default(),
            active: Active::default(),
            passed: 0,
            mapper: None,
            maps: Vec::new(),
            field_reader: None,
            fields: Vec::new(),
            hold: None,
            held: None,
        }
    }

    /// Follows the hold in a march of its own, the first time that a flame has gone off.
    fn follow_hold(&mut self) -> Result<(), Error> {
        let Some(hold) = self.hold.take().filter(|_| !self.interrupted) else { return Ok(()) };
        let bare = Case { output_s: Vec::new(), passes: None, ..self.case.clone() };
        let events = self.events.clone();
        // How far the run is, is told by its own schedule alone.
        let share = self.share();
        let keep_going = |_| (self.keep_going)(share);
        let (phase, active) = (self.phase, self.active);
        let mut driver = Driver { events, phase, active, ..Driver::new(&bare, self.march.clone(), &keep_going) };
        for &probe in &hold.probes {
            let until_s = driver.march.time_s + hold.at_most_s;
            driver.wait(until_s, Some(Stop { probe, temperature_c: hold.below_c, rising: false }))?;
        }
        driver.note(What::IntervalEnd);
        self.held = Some(driver.finish());
        Ok(())
    }

    fn follow(&mut self) -> Result<(), Error> {
        match &self.case.schedule {
            Schedule::Spans { on, end_s } => self.spans(on, *end_s),
            Schedule::Cycles { heat_up, interval, reheat, reheats, after_s } => {
                self.flame(heat_up)?;
                for number in 0..=*reheats {
                    let laid = self.passed;
                    self.interval(interval)?;
                    if number == *reheats || self.work_is_over(laid) {
                        break;
                    }
                    self.flame(reheat)?;
                }
                self.phase = Phase::After;
                self.note(What::IntervalEnd);
                let until_s = self.march.time_s + after_s;
                self.wait(until_s, None).map(|_| ())
            }
        }
    }

    /// The switches of another run, then on to the last instant wanted.
    fn replay(&mut self, events: &[Event]) -> Result<(), Error> {
        let end_s = self.case.output_s.last().copied().unwrap_or(0.0);
        for event in events.iter().take_while(|event| event.time_s <= end_s) {
            self.wait(event.time_s, None)?;
            let active = match event.what {
                What::FlameOn => Active { flame: true, ..Active::default() },
                What::PassStart(number) => Active { pass: Some(number), ..Active::default() },
                What::FlameOff { .. } | What::PassEnd(_) | What::Waiting | What::IntervalEnd => Active::default(),
            };
            self.switch(active, event.what);
        }
        if matches!(&self.case.schedule, Schedule::Spans { on, .. } if !on.is_empty()) {
            self.phase = Phase::After;
        }
        self.wait(end_s, None).map(|_| ())
    }

    fn spans(&mut self, on: &[[f64; 2]], end_s: f64) -> Result<(), Error> {
        for &[start_s, stop_s] in on {
            self.wait(start_s, None)?;
            self.switch(Active { flame: true, ..Active::default() }, What::FlameOn);
            self.wait(stop_s, None)?;
            self.switch(Active::default(), What::FlameOff { reached: true });
            self.follow_hold()?;
        }
        if !on.is_empty() {
            self.phase = Phase::After;
        }
        self.wait(end_s, None).map(|_| ())
    }

    fn flame(&mut self, flame: &Flame) -> Result<(), Error> {
        self.switch(Active { flame: true, ..Active::default() }, What::FlameOn);
        let start_s = self.march.time_s;
        let reached = match *flame {
            Flame::For { seconds } => {
                self.wait(start_s + seconds, None)?;
                true
            }
            Flame::Until { probe, temperature_c, at_most_s } => {
                self.wait(start_s + at_most_s, Some(Stop { probe, temperature_c, rising: true }))?
            }
        };
        self.switch(Active::default(), What::FlameOff { reached });
        self.follow_hold()
    }

    fn interval(&mut self, interval: &Interval) -> Result<(), Error> {
        let start_s = self.march.time_s;
        let (end_s, stop) = match *interval {
            Interval::Fixed { seconds } => (start_s + seconds, None),
            Interval::UntilFalls { probe, temperature_c, at_most_s } => {
                (start_s + at_most_s, Some(Stop { probe, temperature_c, rising: false }))
            }
        };
        let over = self.passes(start_s, end_s, stop)?;
        if !over {
            self.wait(end_s, stop)?;
        }
        Ok(())
    }

    /// Whether passes that are laid once are all laid, or not one fitted into an interval that began with `laid`.
    fn work_is_over(&self, laid: usize) -> bool {
        self.case.passes.as_ref().is_some_and(|p| p.once && (p.all_laid(self.passed) || self.passed == laid))
    }

    /// Lays the passes that fit; returns whether the interval is over meanwhile.
    fn passes(&mut self, start_s: f64, end_s: f64, stop: Option<Stop>) -> Result<bool, Error> {
        let Some(passes) = &self.case.passes else { return Ok(false) };
        let mut at_s = start_s + passes.first_after_s;
        for _ in 0..passes.planned(self.passed) {
            let number = self.passed % passes.list.len();
            let pass = passes.list[number];
            if at_s + pass.arc_s > end_s || self.interrupted {
                return Ok(false);
            }
            if self.wait(at_s, stop)? {
                return Ok(true);
            }
            if let Some(cool_to) = passes.cool_to {
                at_s = self.wait_until_cool(cool_to, end_s)?;
                if at_s + pass.arc_s > end_s || stop.is_some_and(|stop| self.march.met(&stop)) {
                    return Ok(at_s + pass.arc_s <= end_s);
                }
            }
            self.switch(Active { pass: Some(number), ..Active::default() }, What::PassStart(number));
            // A bead once begun is finished.
            self.wait(at_s + pass.arc_s, None)?;
            self.switch(Active::default(), What::PassEnd(number));
            self.passed += 1;
            at_s += pass.arc_s + pass.pause_s;
            if passes.all_laid(self.passed) {
                return self.wait(at_s, None).map(|_| true);
            }
            if let Some(seconds) = passes.halt_after(number) {
                // The flame does not come back while someone grinds.
                self.wait(at_s + seconds, None)?;
                return Ok(self.march.time_s >= end_s);
            }
        }
        Ok(false)
    }

    /// Waits until a probe has fallen far enough for the next pass; returns when it may start.
    fn wait_until_cool(&mut self, to: CoolTo, end_s: f64) -> Result<f64, Error> {
        let stop = Stop { probe: to.probe, temperature_c: to.temperature_c, rising: false };
        let until_s = end_s.min(self.march.time_s + to.at_most_s);
        if !self.march.met(&stop) {
            self.note(What::Waiting);
        }
        // The step that ends a wait is repeated up to its crossing, and may then read a little more than was foreseen.
        while !self.interrupted && !self.march.met(&stop) && self.march.time_s < until_s {
            self.wait(until_s, Some(stop))?;
        }
        Ok(self.march.time_s)
    }

    /// Share of the run done: by time, or where the end is that of the passes, by those.
    fn share(&self) -> f64 {
        match &self.case.passes {
            Some(passes) if passes.once => self.passed as f64 / passes.list.len() as f64,
            _ => (self.march.time_s / self.longest_s).min(1.0),
        }
    }

    /// Marches to a time or a stop, halting at every output time on the way.
    fn wait(&mut self, until_s: f64, stop: Option<Stop>) -> Result<bool, Error> {
        loop {
            if self.interrupted {
                return Ok(false);
            }
            self.take_map();
            self.take_field();
            let now_s = self.march.time_s;
            if now_s >= until_s {
                return Ok(false);
            }
            self.keep_beside();
            let halt_s = self.case.output_s.iter().copied().find(|t| *t > now_s && *t < until_s).unwrap_or(until_s);
            let halt_s = self.changes(now_s).fold(halt_s, f64::min);
            if self.march.step(halt_s, stop)? {
                return Ok(true);
            }
            self.interrupted = !(self.keep_going)(self.share());
        }
    }

    fn take_map(&mut self) {
        let Some(mapper) = &self.mapper else { return };
        let wanted = self.case.output_s.contains(&self.march.time_s);
        let taken = self.maps.last().is_some_and(|map| map.time_s == self.march.time_s);
        if wanted && !taken {
            self.maps.push(self.march.map(mapper));
        }
    }

    fn take_field(&mut self) {
        let Some(reader) = &self.field_reader else { return };
        let wanted = self.case.output_s.contains(&self.march.time_s);
        let taken = self.fields.last().is_some_and(|field| field.time_s == self.march.time_s);
        if wanted && !taken {
            self.fields.push(self.march.field(reader));
        }
    }

    fn switch(&mut self, active: Active, what: What) {
        if self.interrupted {
            return;
        }
        self.phase = self.phase.after(what);
        self.active = Active { beside: self.beside(), ..active };
        self.march.switch(self.active);
        self.note(what);
    }

    /// Times of all that is there beside the torch: heaters, then covers.
    fn whens(&self) -> impl Iterator<Item = &'a When> + use<'a> {
        let case = self.case;
        let heaters = case.heaters.iter().map(|heater| &heater.when);
        heaters.chain(case.covers.iter().map(|cover| &cover.when))
    }

    /// What is there beside the torch at present, a bit each.
    fn beside(&self) -> u32 {
        let (phase, time_s) = (self.phase, self.march.time_s);
        let bits = self.whens().enumerate().map(|(bit, when)| u32::from(when.covers(phase, time_s)) << bit);
        bits.fold(0, |all, bit| all | bit)
    }

    /// Changes by the clock that are still to come beside the torch, s.
    fn changes(&self, now_s: f64) -> impl Iterator<Item = f64> + use<'a> {
        self.whens().filter_map(move |when| when.next_change(now_s))
    }

    /// Switches what comes and goes beside the torch.
    fn keep_beside(&mut self) {
        let beside = self.beside();
        if beside != self.active.beside {
            self.active.beside = beside;
            self.march.switch(self.active);
        }
    }

    fn note(&mut self, what: What) {
        if !self.interrupted {
            self.events.push(Event { time_s: self.march.time_s, what });
        }
    }

    fn finish(self) -> Run {
        Run {
            ledger: self.march.ledger(),
            ledgers: self.march.ledgers(),
            stats: self.march.stats,
            ran_until_s: self.march.time_s,
            span_c: self.march.span_c,
            model: self.march.model(),
            model_reason: self.march.model_reason().to_owned(),
            interrupted: self.interrupted,
            events: self.events,
            curves: self.march.into_curves(),
        }
    }
}
