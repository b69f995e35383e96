//! Any lines over any axis, straight or logarithmic, each named at its end.

use super::axis::{tick_text, ticks_with_text};
use super::frame::Look;
use super::layout::{LINE, fitted, heading, spread, widest};
use super::render::text_width;
use super::scene::{Anchor, Dash, Scene, Stroke};
use super::{Error, Style};

/// Share of the picture's width that names at the right may take.
const NAMES: f64 = 0.3;

/// An axis.
#[derive(Clone, Debug)]
pub(super) struct Axis {
    /// What it is, with its unit.
    pub(super) title: String,
    /// Whether equal factors are equally far apart.
    pub(super) logarithmic: bool,
}

/// A line with its name.
#[derive(Clone, Debug)]
pub(super) struct Line {
    pub(super) name: String,
    pub(super) points: Vec<(f64, f64)>,
    /// Error bar of each point; empty where there is none.
    pub(super) bars: Vec<f64>,
    /// Which colour.
    pub(super) colour: usize,
    pub(super) look: Drawn,
}

impl Line {
    /// Whole, without error bars.
    pub(super) fn new(name: impl Into<String>, points: Vec<(f64, f64)>, colour: usize) -> Line {
        Line { name: name.into(), points, bars: Vec::new(), colour, look: Drawn::Whole }
    }

    /// Dotted, without error bars.
    pub(super) fn dotted(name: impl Into<String>, points: Vec<(f64, f64)>, colour: usize) -> Line {
        Line { look: Drawn::Dotted, ..Line::new(name, points, colour) }
    }
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Drawn {
    /// Whole, or broken where others of the same kind are to be told from it in grey.
    Whole,
    /// Dotted, where another line of its colour is whole.
    Dotted,
    /// Not at all: a mark of its own shape at each point.
    Marks,
}

/// Everything drawn.
#[derive(Clone, Debug)]
pub(super) struct Graph {
    pub(super) title: String,
    pub(super) about: String,
    pub(super) x: Axis,
    pub(super) y: Axis,
    pub(super) lines: Vec<Line>,
}

/// Where an axis lies on the picture.
#[derive(Clone, Copy)]
struct Scale {
    from: f64,
    to: f64,
    low: f64,
    high: f64,
    logarithmic: bool,
}

impl Scale {
    fn place(&self, value: f64) -> f64 {
        let part = if self.logarithmic {
            (value.max(self.low) / self.low).ln() / (self.high / self.low).ln()
        } else {
            (value - self.low) / (self.high - self.low)
        };
        self.from + (self.to - self.from) * part
    }

    fn ticks(&self, most: usize) -> Vec<(f64, String)> {
        if self.logarithmic {
            let steps = [1.0, 2.0, 5.0];
            let decades = (self.low.log10().floor() as i32)..=(self.high.log10().ceil() as i32);
            let all = decades.flat_map(|d| steps.map(|step| step * 10f64.powi(d)));
            let inside = all.filter(|t| *t >= self.low * 0.999 && *t <= self.high * 1.001);
            return inside.map(|t| (t, tick_text(t, t))).collect();
        }
        ticks_with_text(self.low, self.high, most)
    }
}

/// Lays the picture out.
pub(super) fn scene(graph: &Graph, style: &Style) -> Result<Scene, Error> {
    let look = Look::of(style);
    let mut scene = Scene::new(style.size(), look.palette.background);
    let top = heading(&mut scene, &look.palette, look.sizes, [&graph.title, &graph.about])?;
    let sizes = look.sizes;
    let all = || graph.lines.iter().flat_map(|line| line.points.iter().copied());
    let heights = all().map(|p| p.1).chain(graph.lines.iter().flat_map(bar_ends));
    let (x_ends, y_ends) = (ends(all().map(|p| p.0), &graph.x), ends(heights, &graph.y));
    let names = widest(graph.lines.iter().map(|line| &line.name), sizes.label)?;
    let right = scene.size.0 - (names + 3.4 * sizes.label + sizes.pad).min(NAMES * scene.size.0);
    let left = sizes.pad + text_width("00000", sizes.label)?;
    let (top, bottom) = (top + 1.6 * LINE * sizes.label, scene.size.1 - sizes.pad - 2.0 * LINE * sizes.label);
    let x = Scale { from: left, to: right, low: x_ends.0, high: x_ends.1, logarithmic: graph.x.logarithmic };
    let y = Scale { from: bottom, to: top, low: y_ends.0, high: y_ends.1, logarithmic: graph.y.logarithmic };
    axes(&mut scene, &look, graph, (x, y));
    for line in &graph.lines {
        draw(&mut scene, &look, line, (x, y));
    }
    label_ends(&mut scene, &look, &graph.lines, (x, y))?;
    Ok(scene)
}

/// Ends of the bars of marks; those of lines may leave the picture.
fn bar_ends(line: &Line) -> Vec<f64> {
    let bars = line.points.iter().zip(&line.bars).filter(|_| line.look == Drawn::Marks);
    bars.flat_map(|(point, bar)| [point.1 - bar, point.1 + bar]).collect()
}

fn ends(values: impl Iterator<Item = f64>, axis: &Axis) -> (f64, f64) {
    let usable = values.filter(|v| v.is_finite() && (!axis.logarithmic || *v > 0.0));
    let (low, high) = usable.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    if low > high {
        return (1.0, 10.0);
    }
    if axis.logarithmic {
        return (low / 1.1, high * 1.1);
    }
    // Values that all lie far from zero are not shown against it.
    let base = match low {
        _ if low > 0.4 * high => low - 0.1 * (high - low),
        below if below < 0.0 => below - 0.04 * (high - below),
        _ => 0.0,
    };
    (base, if high > base { high + 0.04 * (high - base) } else { base + 1.0 })
}

fn axes(scene: &mut Scene, look: &Look, graph: &Graph, (x, y): (Scale, Scale)) {
    let (sizes, palette) = (look.sizes, &look.palette);
    let below = y.from + 0.8 * LINE * sizes.label;
    for (tick, text) in x.ticks(10) {
        let at = x.place(tick);
        scene.line(vec![(at, y.from), (at, y.to)], look.grid());
        scene.text((at, below), &text, sizes.label, Anchor::Middle, palette.faint_text);
    }
    for (tick, text) in y.ticks(8) {
        let at = y.place(tick);
        scene.line(vec![(x.from, at), (x.to, at)], look.grid());
        scene.text((x.from - 0.4 * sizes.pad, at), &text, sizes.label, Anchor::End, palette.faint_text);
    }
    let middle = 0.5 * (x.from + x.to);
    scene.text((middle, below + LINE * sizes.label), &graph.x.title, sizes.label, Anchor::Middle, palette.text);
    scene.text((sizes.pad, y.to - LINE * sizes.label), &graph.y.title, sizes.label, Anchor::Start, palette.text);
}

/// The first four differ in their dash or, the last, in its width and brightness.
fn stroke(look: &Look, line: &Line) -> Stroke {
    const DASHES: [Dash; 3] = [Dash::Solid, Dash::Dashed, Dash::LongDashed];
    let colours = look.palette.lines.len();
    let (rank, round) = (line.colour % colours, line.colour / colours);
    let dash = match line.look {
        Drawn::Whole => DASHES[(rank + round) % DASHES.len()],
        Drawn::Dotted => Dash::Dotted,
        Drawn::Marks => Dash::Solid,
    };
    let width = if rank == 0 && line.look == Drawn::Whole { 1.4 } else { 1.0 };
    Stroke { colour: look.palette.lines[rank], width: width * look.sizes.line, dash }
}

fn draw(scene: &mut Scene, look: &Look, line: &Line, (x, y): (Scale, Scale)) {
    let usable = |p: &&(f64, f64)| p.0.is_finite() && p.1.is_finite() && (!y.logarithmic || p.1 > 0.0);
    let points: Vec<(f64, f64)> = line.points.iter().filter(usable).map(|p| (x.place(p.0), y.place(p.1))).collect();
    let stroke = stroke(look, line);
    if line.look != Drawn::Marks && points.len() > 1 {
        scene.line(points, stroke);
    }
    for (point, bar) in line.points.iter().zip(&line.bars).filter(|(p, bar)| usable(p) && bar.is_finite()) {
        let at = x.place(point.0);
        let (low, high) = (y.place((point.1 - bar).max(y.low)), y.place(point.1 + bar));
        let thin = if line.look == Drawn::Marks { 0.6 } else { 1.0 };
        scene.line(vec![(at, low), (at, high)], Stroke { dash: Dash::Solid, width: thin * stroke.width, ..stroke });
        match line.look {
            Drawn::Marks => mark(scene, look, (at, y.place(point.1)), (line.colour, stroke)),
            _ => scene.circle((at, y.place(point.1)), 1.8 * look.sizes.line, stroke.colour),
        }
    }
}

/// A ring, square, triangle or diamond: places are told apart without colour.
fn mark(scene: &mut Scene, look: &Look, (x, y): (f64, f64), (rank, stroke): (usize, Stroke)) {
    let r = 2.8 * look.sizes.line;
    let shape: &[(f64, f64)] = match rank % 4 {
        0 => return scene.circle((x, y), r, stroke.colour),
        1 => &[(-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9), (-0.9, -0.9)],
        2 => &[(-1.0, 0.8), (1.0, 0.8), (0.0, -1.1), (-1.0, 0.8)],
        _ => &[(-1.2, 0.0), (0.0, -1.2), (1.2, 0.0), (0.0, 1.2), (-1.2, 0.0)],
    };
    scene.line(shape.iter().map(|(a, b)| (x + a * r, y + b * r)).collect(), stroke);
}

fn label_ends(scene: &mut Scene, look: &Look, lines: &[Line], (x, y): (Scale, Scale)) -> Result<(), Error> {
    let sizes = look.sizes;
    let named: Vec<&Line> = lines.iter().filter(|line| !line.name.is_empty() && !line.points.is_empty()).collect();
    let wanted: Vec<f64> = named.iter().map(|line| y.place(line.points.last().map_or(0.0, |p| p.1))).collect();
    let heights = spread(&wanted, LINE * sizes.label, y.to, y.from);
    let left = x.to + 0.4 * sizes.pad;
    for (line, at) in named.iter().zip(heights) {
        match line.look {
            Drawn::Marks => mark(scene, look, (left + sizes.label, at), (line.colour, stroke(look, line))),
            _ => scene.line(vec![(left, at), (left + 2.0 * sizes.label, at)], stroke(look, line)),
        }
        let text_left = left + 2.4 * sizes.label;
        let text = fitted(&line.name, sizes.label, scene.size.0 - sizes.pad - text_left)?;
        scene.text((text_left, at), &text, sizes.label, Anchor::Start, look.palette.text);
    }
    Ok(())
}
