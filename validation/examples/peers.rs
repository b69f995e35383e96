//! Error against seconds on yardstick 1, beside general-purpose libraries: table and picture of `validation/peers`.
//!
//! `bash validation/peers/run` measures the libraries and calls this with the machine and the date. It wants one
//! thread and a quiet machine.

use std::error::Error;
use std::fmt::Write;
use std::time::Instant;

use heat::{Accuracy, Grids, Model, Run, solve};
use plotters::coord::Shift;
use plotters::prelude::*;
use plotters::style::register_font;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use scenario::Scenario;
use validation::yardstick::{Observable, Row, Y1, readings};

type Failure = Box<dyn Error>;

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/peers");
const PROBES: [&str; 6] = ["r0", "r20", "r40", "r60", "d6", "d25"];
const RIM: &str = "r60";
const ERRORS_K: [f64; 5] = [0.5, 0.3, 0.2, 0.1, 0.05];
/// Best of: others may be at work on the machine.
const REPEATS: usize = 5;

/// What the engine is asked for: a name, and accuracies from coarse to fine. A run is shown among the models of the
/// body that it solved, whatever was asked for.
fn ways() -> Vec<(&'static str, Vec<Accuracy>)> {
    let usual = Accuracy::default();
    let one_grid = Accuracy { grids: Grids::MiddleOnly, ..usual };
    let finer =
        |like: Accuracy, cells: &[usize]| cells.iter().map(|&cells_across| Accuracy { cells_across, ..like }).collect();
    let block = Accuracy { model: Model::Block, ..usual };
    let block_one_grid = Accuracy { model: Model::Block, ..one_grid };
    vec![
        ("warmhold", finer(usual, &[4, 6, 8, 10, 12, 16, 20])),
        ("warmhold, in three dimensions", finer(block, &[4, 6, 8, 10, 12, 16])),
        ("warmhold, one grid", finer(block_one_grid, &[10, 12, 16, 20, 24])),
    ]
}

// ---- measuring ----------------------------------------------------------------------------------------------------

#[derive(Clone, Copy, Debug)]
struct Point {
    unknowns: usize,
    steps: usize,
    seconds: f64,
    /// Over all probes and times, and without the rim, K.
    errors: [f64; 2],
}

#[derive(Clone, Debug)]
struct Curve {
    name: String,
    version: String,
    model: String,
    ours: bool,
    points: Vec<Point>,
}

fn main() -> Result<(), Failure> {
    let machine = std::env::args().nth(1).unwrap_or_else(|| "machine and date not given".to_owned());
    let mut curves = engine()?;
    let peers_at = peers(&mut curves)?;
    let words = markdown(&machine, &peers_at, &curves)?;
    println!("{words}");
    std::fs::write(format!("{FOLDER}/peers.svg"), picture(&curves)?)?;
    put_into_readme(&words)
}

fn engine() -> Result<Vec<Curve>, Failure> {
    let (scenario, rows) = (Y1.scenario()?, Y1.rows()?);
    let mut curves = Vec::new();
    for (name, accuracies) in ways() {
        for accuracy in accuracies {
            let (model, point) = measured(&scenario, &rows, &accuracy)?;
            let id = [name, env!("CARGO_PKG_VERSION"), &model];
            curve_of(&mut curves, id, true).points.push(point);
        }
    }
    Ok(curves)
}

/// The curve of this name and model, made where there is none yet.
fn curve_of<'a>(curves: &'a mut Vec<Curve>, [name, version, model]: [&str; 3], ours: bool) -> &'a mut Curve {
    let found = curves.iter().position(|curve| curve.name == name && curve.model == model);
    let index = found.unwrap_or_else(|| {
        let [name, version, model] = [name, version, model].map(str::to_owned);
        curves.push(Curve { name, version, model, ours, points: Vec::new() });
        curves.len() - 1
    });
    &mut curves[index]
}

fn measured(scenario: &Scenario, rows: &[Row], accuracy: &Accuracy) -> Result<(String, Point), Failure> {
    let mut seconds = f64::INFINITY;
    let mut last = None;
    for _ in 0..REPEATS {
        let start = Instant::now();
        let run = solve(&scenario.case, accuracy, &|_| true)?;
        seconds = seconds.min(start.elapsed().as_secs_f64());
        last = Some(run);
    }
    let run = last.ok_or("no run")?;
    let model = if run.model == "axisymmetric" { run.model } else { "3-D" };
    let (unknowns, steps) = (run.stats.cells, run.stats.steps);
    Ok((model.to_owned(), Point { unknowns, steps, seconds, errors: errors(scenario, rows, &run) }))
}

/// Largest differences from the reference, over all probes and without the rim, K.
fn errors(scenario: &Scenario, rows: &[Row], run: &Run) -> [f64; 2] {
    let mut worst = [0.0f64; 2];
    for reading in readings(&scenario.case, &scenario.question, run) {
        let Observable::Temperature { probe, .. } = &reading.observable else { continue };
        let row = rows.iter().find(|row| row.observable == reading.observable);
        let (Some(true_c), Some(value_c)) = (row.and_then(|row| row.value), reading.value) else { continue };
        if PROBES.contains(&probe.as_str()) {
            let off = (value_c - true_c).abs();
            worst[0] = worst[0].max(off);
            worst[1] = if probe == RIM { worst[1] } else { worst[1].max(off) };
        }
    }
    worst
}

/// Adds the libraries' curves; when and where they were measured.
fn peers(curves: &mut Vec<Curve>) -> Result<String, Failure> {
    let text = std::fs::read_to_string(format!("{FOLDER}/peers.csv"))?;
    let mut lines = text.lines();
    let machine = lines.next().ok_or("peers.csv is empty")?.trim_start_matches("# ").to_owned();
    for line in lines.skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let [name, version, model, unknowns, steps, seconds, error, inside] = fields[..] else {
            return Err(format!("cannot read the line {line:?}").into());
        };
        let point = Point {
            unknowns: unknowns.parse()?,
            steps: steps.parse()?,
            seconds: seconds.parse()?,
            errors: [error.parse()?, inside.parse()?],
        };
        curve_of(curves, [name, version, model], false).points.push(point);
    }
    Ok(machine)
}

// ---- comparing ----------------------------------------------------------------------------------------------------

/// Points that no other of the curve beats in both, quick first: seconds and error.
fn front(curve: &Curve, which: usize) -> Vec<(f64, f64)> {
    let mut points: Vec<(f64, f64)> = curve.points.iter().map(|p| (p.seconds, p.errors[which])).collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut least = f64::INFINITY;
    points.retain(|&(_, error)| {
        let better = error < least;
        least = least.min(error);
        better
    });
    points
}

/// Seconds that a curve takes for an error, straight between its points on logarithmic axes; none outside them.
fn seconds_for(curve: &Curve, which: usize, error: f64) -> Option<f64> {
    let front = front(curve, which);
    let pair = front.windows(2).find(|pair| (pair[1].1..=pair[0].1).contains(&error))?;
    let share = (error / pair[0].1).ln() / (pair[1].1 / pair[0].1).ln();
    Some(pair[0].0 * (pair[1].0 / pair[0].0).powf(share))
}

fn models(curves: &[Curve]) -> Vec<&str> {
    let mut models: Vec<&str> = curves.iter().map(|curve| curve.model.as_str()).collect();
    models.sort_unstable();
    models.dedup();
    models
}

fn markdown(machine: &str, peers_at: &str, curves: &[Curve]) -> Result<String, Failure> {
    let mut text = format!("One core of: {machine}.");
    if machine != peers_at {
        write!(text, " The libraries: {peers_at}.")?;
    }
    text.push('\n');
    write!(text, "\n### As the problem is posed\n\n{}", as_posed(curves)?)?;
    for model in models(curves) {
        let of_model: Vec<&Curve> = curves.iter().filter(|curve| curve.model == model).collect();
        write!(text, "\n### {model}\n\n{}", equal_errors(&of_model)?)?;
        text.push_str("\n| what | unknowns | steps | s | error K | without the rim K |\n|---|---|---|---|---|---|\n");
        for curve in of_model {
            for p in &curve.points {
                let (name, version) = (&curve.name, &curve.version);
                let [error, inside] = p.errors;
                let (unknowns, steps, seconds) = (p.unknowns, p.steps, p.seconds);
                writeln!(
                    text,
                    "| {name} {version} | {unknowns} | {steps} | {seconds:.3} | {error:.3} | {inside:.3} |"
                )?;
            }
        }
    }
    Ok(text)
}

/// Seconds at equal errors: the quickest way of the engine, and each library, with how many times longer it takes.
/// A dash where a curve does not reach.
/// The engine chooses the body itself: its axisymmetric curve beside the quickest library in three dimensions and on the
/// body of revolution, which a user would have to think of.
fn as_posed(curves: &[Curve]) -> Result<String, Failure> {
    let quickest = |ours: bool, model: &str, which: usize, error: f64| {
        let of_model = curves.iter().filter(|curve| curve.ours == ours && curve.model == model);
        of_model.filter_map(|curve| seconds_for(curve, which, error)).min_by(f64::total_cmp)
    };
    let mut text = "| error K | probes | this engine, axisymmetric by its own choice s | quickest library, 3-D s | quickest library, axisymmetric s |\n|---|---|---|---|---|\n".to_owned();
    for (which, probes) in ["all", "without the rim"].into_iter().enumerate() {
        for error in ERRORS_K {
            let engine = quickest(true, "axisymmetric", which, error);
            let shown = engine.map_or("-".to_owned(), |seconds| format!("{seconds:.4}"));
            let [solid, round] =
                ["3-D", "axisymmetric"].map(|model| beside(quickest(false, model, which, error), engine));
            writeln!(text, "| {error} | {probes} | {shown} | {solid} | {round} |")?;
        }
    }
    Ok(text)
}

fn equal_errors(curves: &[&Curve]) -> Result<String, Failure> {
    let (ours, peers): (Vec<&Curve>, Vec<&Curve>) = curves.iter().partition(|curve| curve.ours);
    let names: Vec<&str> = peers.iter().map(|curve| curve.name.as_str()).collect();
    let mut text = format!("| error K | probes | this engine s | {} |\n", names.join(" s | ") + " s");
    text.push_str(&format!("|{}\n", "---|".repeat(3 + names.len())));
    for (which, probes) in ["all", "without the rim"].into_iter().enumerate() {
        for error in ERRORS_K {
            let engine = ours.iter().filter_map(|c| seconds_for(c, which, error)).min_by(f64::total_cmp);
            let shown = engine.map_or("-".to_owned(), |seconds| format!("{seconds:.3}"));
            write!(text, "| {error} | {probes} | {shown} |")?;
            for peer in &peers {
                write!(text, " {} |", beside(seconds_for(peer, which, error), engine))?;
            }
            text.push('\n');
        }
    }
    Ok(text)
}

fn beside(peer: Option<f64>, engine: Option<f64>) -> String {
    let Some(seconds) = peer else { return "-".to_owned() };
    let ratio = engine.map_or(String::new(), |engine| format!(" (x {:.1})", seconds / engine));
    format!("{seconds:.3}{ratio}")
}

fn put_into_readme(words: &str) -> Result<(), Failure> {
    const START: &str = "<!-- measured -->\n";
    const END: &str = "<!-- end -->";
    let path = format!("{FOLDER}/README.md");
    let text = std::fs::read_to_string(&path)?;
    let (head, rest) = text.split_once(START).ok_or("README.md has no start mark")?;
    let (_, tail) = rest.split_once(END).ok_or("README.md has no end mark")?;
    Ok(std::fs::write(path, format!("{head}{START}{words}{END}{tail}"))?)
}

// ---- picture ------------------------------------------------------------------------------------------------------

/// As in the report's pictures.
const FAMILY: &str = "DejaVu Sans, sans-serif";
static FONT: &[u8] = include_bytes!("../../crates/report/fonts/DejaVuSans.ttf");
const TEXT: RGBColor = RGBColor(0x20, 0x20, 0x20);
const FAINT: RGBColor = RGBColor(0x50, 0x50, 0x50);
const GRID: RGBColor = RGBColor(0xDD, 0xDD, 0xDD);
/// Okabe and Ito; the engine's are the blues.
const OURS: [RGBColor; 2] = [RGBColor(0x00, 0x72, 0xB2), RGBColor(0x56, 0xB4, 0xE9)];
const PEERS: [RGBColor; 4] =
    [RGBColor(0xD5, 0x5E, 0x00), RGBColor(0x00, 0x9E, 0x73), RGBColor(0xCC, 0x79, 0xA7), RGBColor(0x20, 0x20, 0x20)];
const PANEL: (u32, u32) = (620, 520);
const HEAD: u32 = 74;
const FOOT: f64 = 58.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = 150.0;
const LEAST_GAP: f64 = 17.0;
/// Mean width of a letter of a label, pixels.
const WIDE_LETTER: f64 = 7.7;

/// A panel for each model, the same errors on all.
fn picture(curves: &[Curve]) -> Result<String, Failure> {
    register_font(FAMILY, FontStyle::Normal, FONT).map_err(|_| "the font cannot be read")?;
    let models = models(curves);
    let size = (PANEL.0 * models.len() as u32, PANEL.1 + HEAD);
    let mut svg = String::new();
    {
        let area = SVGBackend::with_string(&mut svg, size).into_drawing_area();
        area.fill(&WHITE)?;
        let at_start = Pos::new(HPos::Left, VPos::Center);
        write_at(&area, "Largest error against seconds, yardstick 1, one core", (16.0, 26.0), 20.0, at_start, TEXT)?;
        let about = "Lower left is better. A ring for each run; both axes logarithmic.";
        write_at(&area, about, (16.0, 54.0), 15.0, at_start, FAINT)?;
        let (_, below) = area.split_vertically(HEAD);
        for (panel, model) in below.split_evenly((1, models.len())).iter().zip(&models) {
            let shown: Vec<&Curve> = curves.iter().filter(|curve| curve.model == *model).collect();
            draw_panel(panel, model, &shown, &Axes::around(&shown, curves))?;
        }
        area.present()?;
    }
    Ok(svg)
}

type Area<'a> = DrawingArea<SVGBackend<'a>, Shift>;

/// Where seconds and kelvin lie in a panel.
struct Axes {
    seconds: (f64, f64),
    kelvin: (f64, f64),
}

impl Axes {
    /// Seconds for some curves, kelvin for all, so that the panels compare.
    fn around(shown: &[&Curve], all: &[Curve]) -> Axes {
        let seconds = shown.iter().flat_map(|curve| curve.points.iter().map(|p| p.seconds));
        let kelvin = all.iter().flat_map(|curve| curve.points.iter().map(|p| p.errors[0]));
        Axes { seconds: round_range(seconds), kelvin: round_range(kelvin) }
    }

    fn at(&self, seconds: f64, kelvin: f64) -> (f64, f64) {
        let share = |value: f64, (low, high): (f64, f64)| (value / low).ln() / (high / low).ln();
        let (width, height) = (f64::from(PANEL.0) - LEFT - RIGHT, f64::from(PANEL.1) - FOOT - LEAST_GAP);
        (LEFT + width * share(seconds, self.seconds), LEAST_GAP + height * (1.0 - share(kelvin, self.kelvin)))
    }
}

/// From a tick to a tick.
fn round_range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = values.fold((f64::INFINITY, 0.0f64), |(low, high), v| (low.min(v), high.max(v)));
    let ticks = ticks((1e-4, 1e4), &[1.0, 2.0, 5.0]);
    let below = ticks.iter().rev().find(|&&tick| tick <= low);
    let above = ticks.iter().find(|&&tick| tick >= high);
    (below.copied().unwrap_or(low), above.copied().unwrap_or(high))
}

fn draw_panel(area: &Area, model: &str, curves: &[&Curve], axes: &Axes) -> Result<(), Failure> {
    draw_axes(area, axes, model)?;
    let (mut ours, mut peers) = (OURS.iter().cycle(), PEERS.iter().cycle());
    let mut labels = Vec::new();
    for curve in curves {
        let colour = if curve.ours { ours.next() } else { peers.next() }.copied().unwrap_or(TEXT);
        let places: Vec<(f64, f64)> = curve.points.iter().map(|p| axes.at(p.seconds, p.errors[0])).collect();
        let width = if curve.ours { 4 } else { 2 };
        let line: Vec<(i32, i32)> = places.iter().map(|&place| whole(place)).collect();
        area.draw(&PathElement::new(line.clone(), colour.stroke_width(width)))?;
        for place in line {
            area.draw(&Circle::new(place, 4, WHITE.filled()))?;
            area.draw(&Circle::new(place, 4, colour.stroke_width(2)))?;
        }
        labels.extend(places.last().map(|&end| (end, curve.name.as_str(), colour)));
    }
    draw_labels(area, labels)
}

fn draw_axes(area: &Area, axes: &Axes, model: &str) -> Result<(), Failure> {
    let (left, bottom) = axes.at(axes.seconds.0, axes.kelvin.0);
    let (right, top) = axes.at(axes.seconds.1, axes.kelvin.1);
    let thin = GRID.stroke_width(1);
    for seconds in few_ticks(axes.seconds) {
        let (x, _) = axes.at(seconds, 1.0);
        area.draw(&PathElement::new(vec![whole((x, top)), whole((x, bottom))], thin))?;
        let below = Pos::new(HPos::Center, VPos::Top);
        write_at(area, &seconds.to_string(), (x, bottom + 6.0), 15.0, below, FAINT)?;
    }
    for kelvin in few_ticks(axes.kelvin) {
        let (_, y) = axes.at(1.0, kelvin);
        area.draw(&PathElement::new(vec![whole((left, y)), whole((right, y))], thin))?;
        write_at(area, &kelvin.to_string(), (left - 8.0, y), 15.0, Pos::new(HPos::Right, VPos::Center), FAINT)?;
    }
    let middle = (0.5 * (left + right), bottom + 28.0);
    write_at(area, &format!("{model}: seconds"), middle, 15.0, Pos::new(HPos::Center, VPos::Top), TEXT)?;
    write_at(area, "error K", (left - 8.0, top - 12.0), 15.0, Pos::new(HPos::Center, VPos::Center), TEXT)
}

/// Parts of every decade that lie in a range.
fn ticks((low, high): (f64, f64), parts: &[f64]) -> Vec<f64> {
    let decades = (low.log10().floor() as i32)..=(high.log10().ceil() as i32);
    let all = decades.flat_map(|decade| parts.iter().map(move |part| tidy(part * 10f64.powi(decade))));
    all.filter(|tick| (low * 0.999..high * 1.001).contains(tick)).collect()
}

/// Decades where there are many, else 1, 2 and 5 of each.
fn few_ticks(range: (f64, f64)) -> Vec<f64> {
    let parts: &[f64] = if range.1 / range.0 > 2e3 { &[1.0] } else { &[1.0, 2.0, 5.0] };
    ticks(range, parts)
}

/// Without the last bits of a power of ten.
fn tidy(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

/// Names to the right of the last points, lower where they would touch.
fn draw_labels(area: &Area, mut labels: Vec<((f64, f64), &str, RGBColor)>) -> Result<(), Failure> {
    labels.sort_by(|a, b| a.0.1.total_cmp(&b.0.1));
    let mut taken: Vec<[f64; 3]> = Vec::new();
    for ((x, y), name, colour) in labels {
        let (left, right) = (x + 8.0, x + 12.0 + WIDE_LETTER * name.len() as f64);
        let beside = taken.iter().filter(|[from, to, _]| left < *to && *from < right);
        let height = beside.map(|[_, _, height]| height + LEAST_GAP).fold(y, f64::max);
        taken.push([left, right, height]);
        let corners = [(left, height - 8.0), (right, height + 8.0)];
        area.draw(&Rectangle::new(corners.map(whole), WHITE.mix(0.8).filled()))?;
        write_at(area, name, (x + 10.0, height), 15.0, Pos::new(HPos::Left, VPos::Center), colour)?;
    }
    Ok(())
}

fn write_at(
    area: &Area,
    text: &str,
    place: (f64, f64),
    size: f64,
    anchor: Pos,
    colour: RGBColor,
) -> Result<(), Failure> {
    let style = TextStyle::from((FAMILY, size).into_font()).pos(anchor).color(&colour);
    Ok(area.draw(&Text::new(text.to_owned(), whole(place), style))?)
}

fn whole((x, y): (f64, f64)) -> (i32, i32) {
    (x.round() as i32, y.round() as i32)
}
