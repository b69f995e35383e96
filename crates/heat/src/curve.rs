//! The temperature of one probe over time, smooth between samples, with its own error bar.

/// One accepted instant of a probe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Time from the start of the run, s.
    pub time_s: f64,
    /// Extrapolated temperature, Celsius.
    pub value_c: f64,
    /// Rate of change as the instant is reached, K/s.
    pub rate_before: f64,
    /// Rate of change as it is left; differs from `rate_before` where a flame or arc is switched.
    pub rate_after: f64,
    /// Error bar from the grids, K.
    pub grid_k: f64,
    /// Error bar from the time steps, K.
    pub time_k: f64,
    /// How far stops by temperature may have shifted the clock so far, s. What is counted from the last switch does not
    /// feel it.
    pub clock_s: f64,
}

/// A crossing of a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// When, s from the start of the run.
    pub time_s: f64,
    /// Error bar of that time, s: temperature error over slope.
    pub error_s: f64,
}

/// A probe's samples, ascending in time, joined by cubic Hermite pieces (fourth order in the step).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Curve {
    samples: Vec<Sample>,
}

/// Points looked at inside each step when a limit is searched.
const LOOKS_PER_STEP: usize = 4;

impl Curve {
    /// Adds the next sample; times ascend.
    pub fn push(&mut self, sample: Sample) {
        self.samples.push(sample);
    }

    /// All samples.
    pub fn samples(&self) -> &[Sample] {
        &self.samples
    }

    /// Last sample, to correct its `rate_after` when a switch follows.
    pub fn last_mut(&mut self) -> Option<&mut Sample> {
        self.samples.last_mut()
    }

    /// Takes the samples after a time away, when their step is taken back.
    pub(crate) fn cut_after(&mut self, time_s: f64) {
        self.samples.truncate(self.samples.partition_point(|s| s.time_s <= time_s));
    }

    /// Temperature at a time, Celsius; held flat before the first and after the last sample.
    pub fn at(&self, time_s: f64) -> f64 {
        let Some((a, b)) = self.piece(time_s) else { return self.end_value(time_s) };
        let width = b.time_s - a.time_s;
        let u = (time_s - a.time_s) / width;
        let (rise, fall) = (u * u * (3.0 - 2.0 * u), u * (1.0 - u));
        a.value_c + rise * (b.value_c - a.value_c) + width * fall * ((1.0 - u) * a.rate_after - u * b.rate_before)
    }

    /// Rate of change at a time, K/s, taken forward where it jumps.
    pub fn rate(&self, time_s: f64) -> f64 {
        let Some((a, b)) = self.piece(time_s) else { return 0.0 };
        let width = b.time_s - a.time_s;
        let u = (time_s - a.time_s) / width;
        let (from, to) = (a.rate_after, b.rate_before);
        6.0 * u * (1.0 - u) * (b.value_c - a.value_c) / width
            + from * (1.0 - u) * (1.0 - 3.0 * u)
            + to * u * (3.0 * u - 2.0)
    }

    /// Error bars at a time: from the grids and from the time steps, K; the larger of the two neighbours.
    pub fn errors_at(&self, time_s: f64) -> [f64; 2] {
        let at = self.samples.partition_point(|s| s.time_s < time_s).min(self.samples.len().saturating_sub(1));
        let Some(next) = self.samples.get(at) else { return [0.0; 2] };
        if next.time_s == time_s || at == 0 {
            return [next.grid_k, next.time_k];
        }
        let last = self.samples[at - 1];
        [next.grid_k.max(last.grid_k), next.time_k.max(last.time_k)]
    }

    /// The error bar of a reading at a time counted from the last switch, K: both bars together.
    pub fn error_from_switch(&self, time_s: f64) -> f64 {
        self.errors_at(time_s).iter().sum()
    }

    /// The error bar of the reading at a time by the clock, K: both bars together, and what stops by temperature that
    /// came early or late have shifted the clock by, times the slope.
    pub fn error_at(&self, time_s: f64) -> f64 {
        let before = self.samples.partition_point(|s| s.time_s < time_s).saturating_sub(1);
        let clock_s = self.samples.get(before).map_or(0.0, |sample| sample.clock_s);
        self.error_from_switch(time_s) + clock_s * self.rate(time_s).abs()
    }

    /// First time in `from_s..=to_s` at which the temperature is below the limit; `from_s` itself if it is so then.
    pub fn falls_below(&self, limit_c: f64, from_s: f64, to_s: f64) -> Option<Crossing> {
        self.first(from_s, to_s, |value| value < limit_c, limit_c)
    }

    /// First time in `from_s..=to_s` at which the temperature is at or above the limit.
    pub fn rises_to(&self, limit_c: f64, from_s: f64, to_s: f64) -> Option<Crossing> {
        self.first(from_s, to_s, |value| value >= limit_c, limit_c)
    }

    /// Time and temperature of the hottest instant in `from_s..=to_s`.
    pub fn hottest(&self, from_s: f64, to_s: f64) -> (f64, f64) {
        let hotter = |best: (f64, f64), t: f64| if self.at(t) > best.1 { (t, self.at(t)) } else { best };
        self.instants(from_s, to_s).into_iter().fold((from_s, self.at(from_s)), hotter)
    }

    fn first(&self, from_s: f64, to_s: f64, done: impl Fn(f64) -> bool, limit_c: f64) -> Option<Crossing> {
        let mut before = from_s;
        for instant in self.instants(from_s, to_s) {
            if done(self.at(instant)) {
                let time_s = self.bisect(before, instant, &done);
                return Some(Crossing { time_s, error_s: self.time_error(time_s, limit_c) });
            }
            before = instant;
        }
        None
    }

    /// The instant between `before` (not done) and `after` (done) at which it becomes done.
    fn bisect(&self, mut before: f64, mut after: f64, done: &impl Fn(f64) -> bool) -> f64 {
        for _ in 0..60 {
            let middle = 0.5 * (before + after);
            if done(self.at(middle)) {
                after = middle;
            } else {
                before = middle;
            }
        }
        after
    }

    /// Temperature error over slope, s. Where the curve is nearly level the time is honestly uncertain.
    fn time_error(&self, time_s: f64, limit_c: f64) -> f64 {
        let off = self.error_from_switch(time_s) + (self.at(time_s) - limit_c).abs().min(1e-9);
        off / self.rate(time_s).abs().max(1e-9)
    }

    /// Ends, samples and looks between them within `from_s..=to_s`, ascending.
    fn instants(&self, from_s: f64, to_s: f64) -> Vec<f64> {
        let mut list = vec![from_s];
        for pair in self.samples.windows(2) {
            if pair[1].time_s <= from_s || pair[0].time_s >= to_s {
                continue;
            }
            let look = |n: usize| pair[0].time_s + (pair[1].time_s - pair[0].time_s) * n as f64 / LOOKS_PER_STEP as f64;
            list.extend((1..=LOOKS_PER_STEP).map(look).filter(|t| *t > from_s && *t < to_s));
        }
        if to_s > from_s {
            list.push(to_s);
        }
        list
    }

    fn piece(&self, time_s: f64) -> Option<(Sample, Sample)> {
        let next = self.samples.partition_point(|s| s.time_s <= time_s);
        (next > 0 && next < self.samples.len()).then(|| (self.samples[next - 1], self.samples[next]))
    }

    fn end_value(&self, time_s: f64) -> f64 {
        let end = if self.samples.first().is_some_and(|s| time_s < s.time_s) {
            self.samples.first()
        } else {
            self.samples.last()
        };
        end.map_or(f64::NAN, |s| s.value_c)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decay() -> Curve {
        let mut curve = Curve::default();
        for n in 0..=20 {
            let time_s = n as f64 * 0.5;
            let value_c = 100.0 * (-0.3 * time_s).exp();
            let rate = -0.3 * value_c;
            curve.push(Sample {
                time_s,
                value_c,
                rate_before: rate,
                rate_after: rate,
                grid_k: 0.01,
                time_k: 0.002,
                clock_s: 0.0,
            });
        }
        curve
    }

    #[test]
    fn crossing_of_an_exponential_is_found_smoothly() {
        let crossing = decay().falls_below(50.0, 0.0, 10.0).unwrap();
        assert!((crossing.time_s - std::f64::consts::LN_2 / 0.3).abs() < 1e-4, "{crossing:?}");
        assert!((crossing.error_s - 0.012 / 15.0).abs() < 1e-6, "{crossing:?}");
    }

    #[test]
    fn a_limit_already_passed_is_crossed_at_once_and_one_never_passed_is_none() {
        assert_eq!(decay().falls_below(120.0, 1.0, 10.0).unwrap().time_s, 1.0);
        assert!(decay().falls_below(0.5, 0.0, 10.0).is_none());
    }

    #[test]
    fn rate_is_the_slope_of_the_curve() {
        let curve = decay();
        let slope = (curve.at(3.2501) - curve.at(3.2499)) / 2e-4;
        assert!((curve.rate(3.25) - slope).abs() < 1e-6);
    }
}
