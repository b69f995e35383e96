//! Error against seconds as an SVG picture: a panel for each problem, the names at the ends of the lines.

use std::fmt::Write;

/// What a curve is drawn like.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// Its colour.
    pub colour: &'static str,
    /// Dashes as SVG has them; empty for a full line.
    pub dashes: &'static str,
    /// Width of the line, pixels.
    pub width: u32,
}

/// One line of a panel.
#[derive(Clone, Debug)]
pub struct Line {
    /// Its name.
    pub name: String,
    /// Its looks.
    pub style: Style,
    /// Seconds and error.
    pub points: Vec<(f64, f64)>,
    /// The point that is filled.
    pub marked: Option<usize>,
}

/// One problem.
#[derive(Clone, Debug)]
pub struct Panel {
    /// What is above it.
    pub title: String,
    /// What the errors are, with the unit.
    pub errors: &'static str,
    /// Least and largest error of its axis, where panels are to compare; else those of its own lines.
    pub error_range: Option<(f64, f64)>,
    /// Its lines.
    pub lines: Vec<Line>,
}

const WIDTH: f64 = 600.0;
const HEIGHT: f64 = 430.0;
const HEAD: f64 = 76.0;
/// Left, right, top, bottom of a panel around its axes.
const MARGINS: [f64; 4] = [70.0, 110.0, 52.0, 52.0];
const LEAST_GAP: f64 = 17.0;
/// Mean width of a letter of a label, pixels.
const WIDE_LETTER: f64 = 8.5;
const TEXT: &str = "#202020";
const FAINT: &str = "#505050";

/// The picture, two panels in a row.
pub fn svg(title: &str, about: &str, panels: &[Panel]) -> String {
    let (width, height) = (2.0 * WIDTH, HEAD + HEIGHT * panels.len().div_ceil(2) as f64);
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" height=\"{height}\" \
         font-family=\"DejaVu Sans, sans-serif\" font-size=\"14\">\n<rect width=\"100%\" height=\"100%\" fill=\"white\"/>\n"
    );
    put(&mut text, (16.0, 32.0), "start", TEXT, &format!("<tspan font-size=\"20\">{title}</tspan>"));
    put(&mut text, (16.0, 58.0), "start", FAINT, about);
    for (n, panel) in panels.iter().enumerate() {
        let corner = (WIDTH * (n % 2) as f64, HEAD + HEIGHT * (n / 2) as f64);
        draw(&mut text, panel, &Axes::around(corner, panel));
    }
    text + "</svg>\n"
}

/// Where seconds and errors lie.
struct Axes {
    corner: (f64, f64),
    seconds: (f64, f64),
    errors: (f64, f64),
}

impl Axes {
    fn around(corner: (f64, f64), panel: &Panel) -> Axes {
        let points = || panel.lines.iter().flat_map(|line| &line.points);
        let own = || range(points().map(|p| p.1));
        let errors = rounded(panel.error_range.unwrap_or_else(own));
        Axes { corner, seconds: rounded(range(points().map(|p| p.0))), errors }
    }

    fn at(&self, (seconds, error): (f64, f64)) -> (f64, f64) {
        let share = |value: f64, (low, high): (f64, f64)| (value / low).ln() / (high / low).ln();
        let [left, right, top, bottom] = MARGINS;
        let x = self.corner.0 + left + (WIDTH - left - right) * share(seconds, self.seconds);
        let y = self.corner.1 + top + (HEIGHT - top - bottom) * (1.0 - share(error, self.errors));
        (x, y)
    }
}

/// Least and largest of positive values.
pub fn range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, 0.0f64), |(low, high), v| (low.min(v), high.max(v)))
}

/// From a tick to a tick.
fn rounded((low, high): (f64, f64)) -> (f64, f64) {
    let all = ticks((1e-9, 1e6), &[1.0, 2.0, 5.0]);
    let below = all.iter().rev().find(|&&tick| tick <= low);
    let above = all.iter().find(|&&tick| tick >= high);
    (below.copied().unwrap_or(low), above.copied().unwrap_or(high))
}

/// Parts of every decade that lie in a range.
fn ticks((low, high): (f64, f64), parts: &[f64]) -> Vec<f64> {
    let decades = (low.log10().floor() as i32)..=(high.log10().ceil() as i32);
    let all = decades.flat_map(|decade| parts.iter().map(move |part| part * 10f64.powi(decade)));
    all.filter(|tick| (low * 0.999..high * 1.001).contains(tick)).collect()
}

/// Decades where there are many, else 1, 2 and 5 of each.
fn few_ticks(range: (f64, f64)) -> Vec<f64> {
    let parts: &[f64] = if range.1 / range.0 > 2e2 { &[1.0] } else { &[1.0, 2.0, 5.0] };
    ticks(range, parts)
}

fn draw(text: &mut String, panel: &Panel, axes: &Axes) {
    draw_axes(text, panel, axes);
    let lines: Vec<(&Line, Vec<(f64, f64)>)> =
        panel.lines.iter().map(|line| (line, line.points.iter().map(|&p| axes.at(p)).collect())).collect();
    for (line, places) in &lines {
        let Style { colour, dashes, width } = line.style;
        let path: String = places.iter().map(|(x, y)| format!("{x:.1},{y:.1} ")).collect();
        push(
            text,
            &format!(
                "<polyline points=\"{path}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\" stroke-dasharray=\"{dashes}\"/>"
            ),
        );
    }
    let mut labels = Vec::new();
    for (line, places) in &lines {
        labels.extend(places.last().map(|&end| (end, line.name.as_str(), line.style.colour)));
    }
    draw_labels(text, labels);
    // Last, so that no name hides a point.
    for (line, places) in &lines {
        draw_points(text, line, places);
    }
}

fn draw_points(text: &mut String, line: &Line, places: &[(f64, f64)]) {
    let colour = line.style.colour;
    for (n, (x, y)) in places.iter().enumerate() {
        let (radius, fill) = if line.marked == Some(n) { (7, colour) } else { (4, "white") };
        push(
            text,
            &format!(
                "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{radius}\" fill=\"{fill}\" stroke=\"{colour}\" stroke-width=\"2\"/>"
            ),
        );
    }
}

/// Names to the right of the last points, lower where they would touch.
fn draw_labels(text: &mut String, mut labels: Vec<((f64, f64), &str, &str)>) {
    labels.sort_by(|a, b| a.0.1.total_cmp(&b.0.1));
    let mut taken: Vec<[f64; 3]> = Vec::new();
    for ((x, y), name, colour) in labels {
        let (left, wide) = (x + 8.0, 4.0 + WIDE_LETTER * name.len() as f64);
        let beside = taken.iter().filter(|[from, to, _]| left < *to && *from < left + wide);
        let height = beside.map(|[_, _, height]| height + LEAST_GAP).fold(y, f64::max);
        taken.push([left, left + wide, height]);
        let top = height - 8.0;
        push(
            text,
            &format!(
                "<rect x=\"{left:.1}\" y=\"{top:.1}\" width=\"{wide:.1}\" height=\"16\" fill=\"white\" opacity=\"0.8\"/>"
            ),
        );
        put(text, (x + 10.0, height + 5.0), "start", colour, name);
    }
}

fn draw_axes(text: &mut String, panel: &Panel, axes: &Axes) {
    let (left, bottom) = axes.at((axes.seconds.0, axes.errors.0));
    let (right, top) = axes.at((axes.seconds.1, axes.errors.1));
    for seconds in few_ticks(axes.seconds) {
        let (x, _) = axes.at((seconds, axes.errors.0));
        rule(text, (x, top), (x, bottom));
        put(text, (x, bottom + 20.0), "middle", FAINT, &shown(seconds));
    }
    for error in few_ticks(axes.errors) {
        let (_, y) = axes.at((axes.seconds.0, error));
        rule(text, (left, y), (right, y));
        put(text, (left - 8.0, y + 5.0), "end", FAINT, &shown(error));
    }
    put(text, (0.5 * (left + right), bottom + 42.0), "middle", TEXT, "seconds");
    put(text, (left - 50.0, top - 14.0), "start", TEXT, panel.errors);
    put(
        text,
        (left - 50.0, top - 34.0),
        "start",
        TEXT,
        &format!("<tspan font-weight=\"bold\">{}</tspan>", panel.title),
    );
}

/// Without the last bits of a power of ten.
fn shown(value: f64) -> String {
    let digits = (-value.log10().floor()).max(0.0) as usize;
    format!("{value:.digits$}")
}

fn rule(text: &mut String, (x, y): (f64, f64), (to_x, to_y): (f64, f64)) {
    push(text, &format!("<path d=\"M{x:.1} {y:.1}L{to_x:.1} {to_y:.1}\" stroke=\"#DDDDDD\"/>"));
}

fn put(text: &mut String, (x, y): (f64, f64), anchor: &str, colour: &str, words: &str) {
    push(text, &format!("<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\" fill=\"{colour}\">{words}</text>"));
}

fn push(text: &mut String, element: &str) {
    // A string takes all that is written to it.
    let _ = writeln!(text, "{element}");
}
