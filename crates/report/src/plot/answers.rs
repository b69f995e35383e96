//! Pictures of the answers that choose, generalise and explain.

use quantity::{Length, Mass, Temperature, Units};
use study::cool::Cool;
use study::explain::Explanation;
use study::rules::Table;
use study::spread::Spread;

use super::Style;
use super::graph::{Axis, Graph, Line};
use crate::words::printable;

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
            name: format!("{:.0} % of the rise left", 100.0 * curve.share),
            points: column(|p| p.hold),
            bars: curve.points.iter().map(|p| p.error).collect(),
            colour,
            dotted: false,
        });
        lines.push(Line { name: String::new(), points: column(|p| p.exact), bars: Vec::new(), colour, dotted: true });
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
    let axis = Temperature::from_celsius(explanation.minimum_c).axis(if style.units == Units::Shop {
        Units::Shop
    } else {
        Units::Metric
    });
    let line = |(colour, casting): (usize, &study::explain::Beside)| Line {
        name: casting.what.clone(),
        points: casting.time_s.iter().zip(&casting.coldest_c).map(|(t, c)| (*t, axis.number(*c))).collect(),
        bars: Vec::new(),
        colour,
        dotted: false,
    };
    let mut lines: Vec<Line> = explanation.beside.iter().enumerate().map(line).collect();
    let last_s = lines.iter().filter_map(|line| line.points.last()).map(|p| p.0).fold(0.0, f64::max);
    let minimum = axis.number(explanation.minimum_c);
    lines.push(Line {
        name: "minimum".to_owned(),
        points: vec![(0.0, minimum), (last_s, minimum)],
        bars: Vec::new(),
        colour: lines.len(),
        dotted: true,
    });
    Graph {
        title: "The same patch on other castings".to_owned(),
        about: format!("Coldest of the ring after the flame goes off. {}", printable(&explanation.title)),
        x: straight("time after flame-off, s"),
        y: straight(format!("coldest of the ring, {}", axis.unit())),
        lines,
    }
}

/// Hold over section, a line for each mass, for the middle width and the first soak.
pub(super) fn rules(table: &Table) -> Graph {
    let head = &table.head;
    let width = head.widths_m[head.widths_m.len() / 2];
    let soak = head.soaks_s[0];
    let line = |(colour, mass): (usize, &f64)| {
        let own = table.rules.iter().filter(|r| r.mass_kg == *mass && r.width_m == width && r.soak_s == soak);
        let mut points: Vec<(f64, f64)> = own.filter_map(|r| Some((r.section_m * 1e3, r.hold_s?))).collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        Line { name: Mass::from_si(*mass).show(Units::Metric), points, bars: Vec::new(), colour, dotted: false }
    };
    Graph {
        title: "Hold over the section under the patch".to_owned(),
        about: format!(
            "Disc of {}, soak of {:.0} min, as stated; a line for each mass.",
            Length::from_si(width).show(Units::Metric),
            soak / 60.0
        ),
        x: straight("section, mm"),
        y: straight("hold of the ring, s"),
        lines: head.masses_kg.iter().enumerate().map(line).collect(),
    }
}

/// Hottest of the worked face, bare and under a blanket.
pub(super) fn cooling(cool: &Cool, style: &Style) -> Graph {
    let axis =
        Temperature::from_celsius(100.0).axis(if style.units == Units::Shop { Units::Shop } else { Units::Metric });
    let line = |(colour, (name, way)): (usize, (&str, &study::cool::Way))| {
        let points = way.time_s.iter().zip(&way.face_c).filter(|(t, _)| **t >= 5.0);
        Line {
            name: name.to_owned(),
            points: points.map(|(t, c)| (t / 60.0, axis.number(*c))).collect(),
            bars: Vec::new(),
            colour,
            dotted: false,
        }
    };
    Graph {
        title: "Cooling of the worked face after the last bead".to_owned(),
        about: format!("Hottest of the heated patch. {}", printable(&cool.title)),
        x: logarithmic("time after the last bead, min"),
        y: straight(format!("hottest of the patch, {}", axis.unit())),
        lines: [("bare", &cool.bare), ("blanket", &cool.blanketed)].into_iter().enumerate().map(line).collect(),
    }
}

/// Shares of the variance of the hold: bars with their names.
pub(super) fn shares(spread: &Spread) -> Vec<(String, f64)> {
    let mut bars: Vec<(String, f64)> =
        spread.inputs.iter().map(|i| (i.input.clone(), i.of_hold.unwrap_or(0.0))).collect();
    bars.push(("several together".to_owned(), spread.together_of_hold.unwrap_or(0.0)));
    bars
}
