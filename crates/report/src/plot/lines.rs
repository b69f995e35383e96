//! Which curves and which crossings a cooling plot shows.

use quantity::Units;
use study::{CurvePoints, Outcome, Verdict};

use super::scene::{Dash, Stroke};
use super::theme::Palette;
use crate::words::{duration, printable, temperature};

/// More curves than this cannot be told apart.
const MOST_CURVES: usize = 12;
const RING: [(&str, &str); 3] =
    [("ring_hottest", "ring, hottest"), ("ring_mean", "ring, mean"), ("ring_coldest", "ring, coldest")];
const COLDEST: &str = "ring_coldest";

/// A curve with its name; only points that are finite.
#[derive(Clone, Debug)]
pub(super) struct Curve {
    pub(super) name: String,
    /// Time in s, temperature in Celsius.
    pub(super) points: Vec<(f64, f64)>,
    /// Which colour and dash: 0 is the most prominent.
    pub(super) rank: usize,
}

impl Curve {
    /// The next rank after the colours are used up takes the next dash, so no two curves look alike.
    pub(super) fn stroke(&self, palette: &Palette, width: f64) -> Stroke {
        const DASHES: [Dash; 4] = [Dash::Solid, Dash::Dashed, Dash::Dotted, Dash::LongDashed];
        let colours = palette.lines.len();
        let dash = DASHES[(self.rank + self.rank / colours) % DASHES.len()];
        let width = if self.rank == 0 { 1.4 * width } else { width };
        Stroke { colour: palette.lines[self.rank % colours], width, dash }
    }
}

/// The ring's coldest, mean and hottest where a window is asked for, else every probe up to a dozen.
pub(super) fn curves(outcome: &Outcome) -> Vec<Curve> {
    let ring = ring_curves(outcome);
    if outcome.verdict != Verdict::NotAsked && !ring.is_empty() {
        return ring;
    }
    let all = outcome.curves.iter().map(|(name, curve)| (printable(name), finite(curve)));
    let drawn = all.filter(|(_, points)| !points.is_empty()).take(MOST_CURVES);
    drawn.enumerate().map(|(rank, (name, points))| Curve { name, points, rank }).collect()
}

/// How many curves are left out.
pub(super) fn left_out(outcome: &Outcome, drawn: &[Curve]) -> usize {
    let asked = outcome.verdict != Verdict::NotAsked;
    if asked { 0 } else { outcome.curves.len() - drawn.len() }
}

fn ring_curves(outcome: &Outcome) -> Vec<Curve> {
    let curve = |(index, (key, name)): (usize, &(&str, &str))| {
        let points = finite(outcome.curves.get(*key)?);
        let rank = RING.len() - 1 - index;
        (!points.is_empty()).then(|| Curve { name: (*name).to_owned(), points, rank })
    };
    RING.iter().enumerate().filter_map(curve).collect()
}

/// A probe's name as it is written: `ring_coldest` is "ring, coldest".
pub(super) fn spoken(probe: &str) -> String {
    let ring = RING.iter().find(|(key, _)| *key == probe).map(|(_, name)| (*name).to_owned());
    ring.unwrap_or_else(|| printable(probe).replace('_', " "))
}

/// A probe from the first flame-off to the next flame, counted from that flame-off; empty without flame or probe.
pub(super) fn curve_after_flame(outcome: &Outcome, probe: &str) -> Vec<(f64, f64)> {
    let (Some(first), Some(curve)) = (outcome.heats.first(), outcome.curves.get(probe)) else { return Vec::new() };
    let until_s = outcome.heats.get(1).map_or(f64::INFINITY, |heat| heat.start_s);
    let points = finite(curve).into_iter().filter(|(time, _)| (first.end_s..=until_s).contains(time));
    points.map(|(time, celsius)| (time - first.end_s, celsius)).collect()
}

fn finite(curve: &CurvePoints) -> Vec<(f64, f64)> {
    let points = curve.time_s.iter().copied().zip(curve.temperature_c.iter().copied());
    points.filter(|(time, celsius)| time.is_finite() && celsius.is_finite()).collect()
}

/// A place on the plot where a limit is crossed after a flame.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fall {
    /// Name of the place; empty where it is the ring's coldest.
    place: String,
    pub(super) time_s: f64,
    pub(super) limit_c: f64,
    pub(super) after_off_s: f64,
    /// Whether the arc of beads had warmed the place, unlike in the hold of the report.
    beads_laid: bool,
}

impl Fall {
    pub(super) fn label(&self, units: Units) -> String {
        let limit = temperature(self.limit_c, units);
        let when = if self.after_off_s > 0.0 {
            let beads = if self.beads_laid { ", with beads laid" } else { "" };
            format!("below {limit} {} after flame-off{beads}", duration(self.after_off_s))
        } else {
            format!("already below {limit} at flame-off")
        };
        format!("{} {when}", self.place).trim_start().to_owned()
    }
}

/// The first fall through the minimum and the soonest after its flame, where they differ; in a plain run those of
/// the watches.
pub(super) fn falls(outcome: &Outcome, curves: &[Curve]) -> Vec<Fall> {
    let all = all_falls(outcome, curves);
    let soonest = all.iter().min_by(|a, b| a.after_off_s.total_cmp(&b.after_off_s));
    let mut shown: Vec<Fall> = all.first().into_iter().chain(soonest).cloned().collect();
    shown.dedup();
    shown
}

fn all_falls(outcome: &Outcome, curves: &[Curve]) -> Vec<Fall> {
    let watched = watched_falls(outcome);
    match (outcome.window, curves.iter().find(|curve| curve.name == RING[2].1)) {
        (Some(window), Some(coldest)) if watched.is_empty() => falls_of_curve(outcome, coldest, window.minimum_c),
        _ => watched,
    }
}

/// Those that the outcome reports with an error bar come first: tables and plot then agree to the digit.
fn watched_falls(outcome: &Outcome) -> Vec<Fall> {
    let wanted = |crossing: &&study::Crossing| match outcome.window {
        Some(window) => crossing.probe == COLDEST && (crossing.limit_c - window.minimum_c).abs() < 1e-6,
        None => outcome.curves.contains_key(&crossing.probe),
    };
    let fall = |crossing: &study::Crossing| {
        let after_off_s = crossing.after_off_s.filter(|after| after.is_finite())?;
        let place = if outcome.window.is_some() { String::new() } else { printable(&crossing.probe) };
        let (time_s, limit_c) = (crossing.off_s + after_off_s, crossing.limit_c);
        Some(Fall { place, time_s, limit_c, after_off_s, beads_laid: bead_between(outcome, crossing.off_s, time_s) })
    };
    outcome.crossings.iter().filter(wanted).filter_map(fall).collect()
}

fn falls_of_curve(outcome: &Outcome, curve: &Curve, limit_c: f64) -> Vec<Fall> {
    let ends = outcome.heats.iter().map(|heat| heat.end_s);
    let next_starts = outcome.heats.iter().skip(1).map(|heat| heat.start_s).chain([f64::INFINITY]);
    let fall = |(off_s, until_s): (f64, f64)| {
        let time_s = first_below(&curve.points, limit_c, off_s, until_s)?;
        let beads_laid = bead_between(outcome, off_s, time_s);
        Some(Fall { place: String::new(), time_s, limit_c, after_off_s: time_s - off_s, beads_laid })
    };
    ends.zip(next_starts).filter_map(fall).collect()
}

fn bead_between(outcome: &Outcome, from_s: f64, until_s: f64) -> bool {
    outcome.passes.iter().any(|pass| (from_s..until_s).contains(&pass.start_s))
}

/// When the curve is first below the limit within `from_s..=until_s`, on straight lines between points.
pub(super) fn first_below(points: &[(f64, f64)], limit_c: f64, from_s: f64, until_s: f64) -> Option<f64> {
    let below = points.iter().position(|&(time, celsius)| time >= from_s && celsius < limit_c)?;
    let (after, low) = points[below];
    let time = match below.checked_sub(1).map(|index| points[index]) {
        Some((before, high)) if high > limit_c => before + (after - before) * (high - limit_c) / (high - low),
        _ => after,
    };
    let time = time.max(from_s);
    (time <= until_s).then_some(time)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fall_is_found_between_points_and_only_before_the_next_flame() {
        let points = [(0.0, 20.0), (10.0, 200.0), (20.0, 100.0), (30.0, 90.0)];
        assert_eq!(first_below(&points, 150.0, 10.0, 40.0), Some(15.0));
        assert_eq!(first_below(&points, 150.0, 10.0, 14.0), None);
        assert_eq!(first_below(&points, 50.0, 10.0, 40.0), None);
    }

    #[test]
    fn a_curve_already_below_falls_at_flame_off() {
        assert_eq!(first_below(&[(0.0, 20.0), (10.0, 140.0), (20.0, 100.0)], 150.0, 10.0, 40.0), Some(10.0));
    }

    #[test]
    fn a_dozen_curves_all_look_different() {
        let palette = super::super::Theme::Light.palette();
        let strokes: Vec<Stroke> = (0..MOST_CURVES)
            .map(|rank| Curve { name: String::new(), points: Vec::new(), rank }.stroke(&palette, 1.0))
            .collect();
        for (index, stroke) in strokes.iter().enumerate() {
            let twin = strokes[..index].iter().find(|s| s.colour == stroke.colour && s.dash == stroke.dash);
            assert_eq!(twin, None, "curve {index}");
        }
    }
}
