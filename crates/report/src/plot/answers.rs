//! Pictures of the answers that choose, generalise and explain.

use quantity::Temperature;
use study::cool::{Cool, GRIND};
use study::explain::{Explanation, Pull};
use study::spread::{Band, Share, Spread};
use study::{ComparedReading, Comparison, Fit, FitReading};

use super::Style;
use super::axis::time_unit;
use super::bars::{Bar, Group};
use super::graph::{Axis, Drawn, Graph, Line};
use crate::explain::{gained, lever_words};
use crate::words::{duration, each_once, followed_hold, one_system, printable, temperature};

fn straight(title: impl Into<String>) -> Axis {
    Axis { title: title.into(), logarithmic: false }
}

fn logarithmic(title: &str) -> Axis {
    Axis { title: title.to_owned(), logarithmic: true }
}

/// Hold over heating time of any disc, engine and closed form.
pub(super) fn chart(explanation: &Explanation) -> Graph {
    let mut lines = Vec::new();
    for (colour, curve) in explanation.chart.curves.iter().enumerate() {
        let column =
            |of: fn(&study::explain::ChartPoint) -> f64| curve.points.iter().map(|p| (p.heating, of(p))).collect();
        lines.push(Line {
            bars: curve.points.iter().map(|p| p.error).collect(),
            ..Line::new(format!("{:.0} % of the rise left", 100.0 * curve.share), column(|p| p.hold), colour)
        });
        lines.push(Line::dotted("", column(|p| p.exact), colour));
    }
    Graph {
        title: "How long the middle of any heated disc holds".to_owned(),
        about: "Massive metal without losses; time x diffusivity / radius squared. Lines and rings: engine with its error bars; dotted: closed form.".to_owned(),
        x: logarithmic("heating time x diffusivity / radius squared"),
        y: logarithmic("hold x diffusivity / radius squared"),
        lines,
    }
}

/// The coldest of the ring on each casting.
pub(super) fn beside(explanation: &Explanation, style: &Style) -> Graph {
    let axis = Temperature::from_celsius(explanation.minimum_c).axis(style.units);
    let line = |(colour, casting): (usize, &study::explain::Beside)| {
        let points = casting.time_s.iter().zip(&casting.coldest_c).map(|(t, c)| (*t, axis.number(*c)));
        Line::new(casting.what.clone(), points.collect(), colour)
    };
    let mut lines: Vec<Line> = explanation.beside.iter().enumerate().map(line).collect();
    let last_s = lines.iter().filter_map(|line| line.points.last()).map(|p| p.0).fold(0.0, f64::max);
    let minimum = axis.number(explanation.minimum_c);
    lines.push(Line::dotted("minimum", vec![(0.0, minimum), (last_s, minimum)], lines.len()));
    Graph {
        title: "The same patch on other castings".to_owned(),
        about: format!("Coldest of the ring after the flame goes off. {}", printable(&explanation.title)),
        x: straight("time after flame-off, s"),
        y: straight(format!("coldest of the ring, {}", axis.unit())),
        lines,
    }
}

/// Hottest of the worked face, bare and under a blanket.
pub(super) fn cooling(cool: &Cool, style: &Style) -> Graph {
    let units = one_system(style.units);
    let axis = Temperature::from_celsius(100.0).axis(units);
    let line = |(colour, (name, way)): (usize, (&str, &study::cool::Way))| {
        let points = way.time_s.iter().zip(&way.face_c).filter(|(t, _)| **t >= 5.0);
        Line::new(name, points.map(|(t, c)| (t / 60.0, axis.number(*c))).collect(), colour)
    };
    let ways = [("bare", &cool.bare), ("blanket", &cool.blanketed)];
    let mut lines: Vec<Line> = ways.into_iter().enumerate().map(line).collect();
    let ends_min = lines.iter().flat_map(|line| &line.points).map(|point| point.0);
    let [first, last] = ends_min.fold([f64::INFINITY, 0.0_f64], |[low, high], t| [low.min(t), high.max(t)]);
    for wait in cool.bare.waits.iter().filter(|_| last > first) {
        let name = format!("{}: {}", wait.what, temperature(wait.below_c, units));
        let level = [first, last].map(|t| (t, axis.number(wait.below_c)));
        lines.push(Line::dotted(name, level.to_vec(), lines.len()));
    }
    Graph {
        title: cooling_title(cool),
        about: format!("Hottest of the heated patch. {}", printable(&cool.title)),
        x: logarithmic(&format!("time after {}, min (logarithmic)", cool.after)),
        y: straight(format!("hottest of the patch, {}", axis.unit())),
        lines,
    }
}

/// What a person at the casting asks first.
fn cooling_title(cool: &Cool) -> String {
    let bare = |what: &str| cool.bare.waits.iter().find(|wait| wait.what == what).and_then(|wait| wait.face_s);
    match (bare("touch"), bare(GRIND)) {
        (Some(touch), Some(grind)) => {
            format!("Too hot to touch for {}; grind and inspect after {}", duration(touch), duration(grind))
        }
        _ => format!("Cooling of the worked face after {}", cool.after),
    }
}

/// What each lever gains or loses.
pub(super) fn levers(explanation: &Explanation, style: &Style) -> Group {
    let bar = |lever: &Pull| {
        let name = lever_words(lever, style.units);
        Bar { hatched: !lever.reached, ..Bar::to(name, lever.gained_s, gained(lever)) }
    };
    let stated = followed_hold(explanation.hold_s);
    Group {
        heading: format!(
            "As stated the ring holds {stated}. Each lever is pulled alone; quick runs on one grid, without error bar. \
             Hatched: the flame never brings the reading."
        ),
        bars: explanation.levers.iter().map(bar).collect(),
        unit: ("s", 1.0),
    }
}

/// Where nine tenths of the samples lie, and how much of that goes with each input.
pub(super) fn spread(spread: &Spread) -> Vec<Group> {
    let band = |name: &str, band: &Band| Bar {
        name: name.to_owned(),
        ends: [band.low, band.high],
        text: format!("{} to {}", duration(band.low), duration(band.high)),
        line: Some(band.median),
        ring: Some(band.stated),
        hatched: false,
    };
    // A share near nothing may come out a little below; never as "-0 %".
    let percent = |share: f64| format!("{:.0} %", 100.0 * share.max(0.0) + 0.0);
    let share =
        |input: &Share| input.of_hold.map(|of_hold| Bar::to(input.input.clone(), of_hold.max(0.0), percent(of_hold)));
    let together =
        spread.together_of_hold.map(|share| Bar::to("several together".to_owned(), share.max(0.0), percent(share)));
    let times = [band("hold of the ring", &spread.hold_s), band("longest interval, beads laid", &spread.interval_s)];
    vec![
        Group {
            heading: format!(
                "Where {:.0} % of {} samples lie. Line: half of them lie below. Ring: as stated.",
                100.0 * spread.band,
                spread.samples
            ),
            bars: times.to_vec(),
            unit: ("s", 1.0),
        },
        Group {
            heading: "Which input spreads the hold: share of its variance that goes with each alone.".to_owned(),
            bars: spread.inputs.iter().filter_map(share).chain(together).collect(),
            unit: ("%", 100.0),
        },
    ]
}

/// Readings less what is computed, a line of marks for each place.
pub(super) fn residuals(title: &str, about: &str, readings: &[Residual]) -> Graph {
    let places = each_once(readings.iter().map(|reading| reading.place.as_str()));
    let last_s = readings.iter().map(|reading| reading.time_s).fold(1.0, f64::max);
    let (unit, seconds) = time_unit(last_s);
    let line = |(colour, place): (usize, &&str)| {
        let own = readings.iter().filter(|reading| reading.place == **place);
        let mut own: Vec<&Residual> = own.collect();
        own.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        let points = own.iter().map(|r| (r.time_s / seconds, r.kelvin)).collect();
        let bars = own.iter().map(|r| r.bar_k).collect();
        Line { bars, look: Drawn::Marks, ..Line::new(*place, points, colour) }
    };
    let zero = Line::dotted("no difference", vec![(0.0, 0.0), (1.03 * last_s / seconds, 0.0)], 1);
    Graph {
        title: title.to_owned(),
        about: about.to_owned(),
        x: straight(format!("time from the start, {unit}")),
        y: straight("reading less computed, K"),
        lines: places.iter().enumerate().map(line).chain([zero]).collect(),
    }
}

/// One reading less what is computed there.
pub(super) struct Residual {
    place: String,
    time_s: f64,
    kelvin: f64,
    bar_k: f64,
}

/// Of a log held against its scenario; crayons tell only a side.
pub(super) fn of_comparison(comparison: &Comparison) -> Vec<Residual> {
    let residual = |reading: &ComparedReading| {
        let kelvin = reading.residual_k.filter(|k| k.is_finite())?;
        let bar_k = reading.reading_k + reading.error_k;
        Some(Residual { place: printable(&reading.place), time_s: reading.time_s, kelvin, bar_k })
    };
    comparison.readings.iter().filter_map(residual).collect()
}

/// Of a fitted torch, with twice the noise and the numerical error as bar.
pub(super) fn of_fit(fit: &Fit) -> Vec<Residual> {
    let residual = |reading: &FitReading| Residual {
        place: printable(&reading.place),
        time_s: reading.time_s,
        kelvin: reading.residual_k,
        bar_k: 2.0 * fit.noise_k + reading.error_k,
    };
    fit.readings.iter().map(residual).collect()
}
