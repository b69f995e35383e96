//! Error against seconds on yardstick 1, beside general-purpose libraries: table and picture of `validation/peers`.
//!
//! `bash validation/peers/run` measures the libraries and calls this with the machine and the date. It wants one
//! thread and a quiet machine.

use std::error::Error;
use std::fmt::Write;
use std::time::Instant;

use benches::page;
use benches::picture::{self, Line, Panel, Style};
use heat::{Accuracy, Grids, Model, Run, solve};
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
        ("warmhold, in three dimensions", finer(block, &[4, 6, 8, 10, 12, 16, 20, 24])),
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
    std::fs::write(format!("{FOLDER}/peers.svg"), svg(&curves))?;
    Ok(page::put(&format!("{FOLDER}/README.md"), "measured", &words)?)
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

// ---- picture ------------------------------------------------------------------------------------------------------

/// Okabe and Ito; the engine's are the blues.
const OURS: [&str; 2] = ["#0072B2", "#56B4E9"];
const PEERS: [&str; 4] = ["#D55E00", "#009E73", "#CC79A7", "#202020"];

/// A panel for each model, the same errors on all.
fn svg(curves: &[Curve]) -> String {
    let all = curves.iter().flat_map(|curve| curve.points.iter().map(|point| point.errors[0]));
    let error_range = Some(picture::range(all));
    let panel = |model: &str| {
        let (mut ours, mut peers) = (OURS.iter().cycle(), PEERS.iter().cycle());
        let shown = curves.iter().filter(|curve| curve.model == model);
        let line = |curve: &Curve| {
            let colour = if curve.ours { ours.next() } else { peers.next() }.copied().unwrap_or("#202020");
            let style = Style { colour, dashes: "", width: if curve.ours { 4 } else { 2 } };
            let points = curve.points.iter().map(|point| (point.seconds, point.errors[0])).collect();
            Line { name: curve.name.clone(), style, points, marked: None }
        };
        Panel { title: model.to_owned(), errors: "error K", error_range, lines: shown.map(line).collect() }
    };
    let panels: Vec<Panel> = models(curves).into_iter().map(panel).collect();
    let about = "Lower left is better. A ring for each run; both axes logarithmic.";
    picture::svg("Largest error against seconds, yardstick 1, one core", about, &panels)
}
