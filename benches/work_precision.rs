//! Which integrator reaches an error in the least time: `cargo run --release -p benches --example work_precision`.
//!
//! Every integrator marches each problem on one fixed grid at several step tolerances. The error is the largest
//! difference from the same grid marched by the fourth-order integrator at a far smaller tolerance: what the steps do,
//! and nothing of what the grid does. Given the machine and the date as an argument, the tables go into
//! `docs/work-precision.md` and the picture beside it.

use std::error::Error;
use std::fmt::Write;
use std::path::Path;
use std::time::Instant;

use benches::page;
use benches::picture::{self, Line, Panel, Style};
use heat::{Accuracy, Case, Grids, Integrator, Method, Model, ProbeKind, Run, Stats, solve_by};

const INTEGRATORS: [Integrator; 4] = [Integrator::Rodas4, Integrator::Rodas3, Integrator::Ros2Solved, Integrator::Ros2];
const TOLERANCES_K: [f64; 5] = [3.0, 1.0, 0.3, 0.1, 0.03];
/// A thousandth of the usual tolerance: leaves about 1e-4 K.
const REFERENCE_K: f64 = 1e-3;
/// Best of: others may be at work on the machine.
const REPEATS: usize = 3;
/// A run that takes longer is given up and not shown.
const LONGEST_S: f64 = 10.0;

type Failure = Box<dyn Error>;

/// What is marched.
struct Problem {
    name: &'static str,
    case: Case,
    cells_across: usize,
    model: Model,
    /// Probe whose holds are compared, and the limit that it must not fall below, Celsius.
    hold: Option<(usize, f64)>,
}

fn problems() -> Vec<Problem> {
    let day = benches::yardstick(4);
    let ring = day.probes.iter().position(|probe| matches!(probe.kind, ProbeKind::RingColdest(_)));
    let hold = ring.map(|probe| (probe, HOLD_ABOVE_C));
    let plain = |name, number, cells_across| Problem {
        name,
        case: benches::yardstick(number),
        cells_across,
        model: Model::Block,
        hold: None,
    };
    vec![
        plain("Yardstick 1: linear metal, flux", 1, 15),
        plain("Yardstick 2: property tables, flame, 18 switches", 2, 13),
        Problem {
            name: "Yardstick 4: repair day, body of revolution",
            case: day.clone(),
            cells_across: 10,
            model: Model::Revolved,
            hold,
        },
        Problem {
            name: "Yardstick 4: repair day, three dimensions",
            case: day,
            cells_across: 12,
            model: Model::Block,
            hold,
        },
    ]
}

/// What the hold of a repair day is counted to, Celsius.
const HOLD_ABOVE_C: f64 = 150.0;

/// One run against the reference.
struct Row {
    integrator: Integrator,
    tolerance_k: f64,
    stats: Stats,
    error_k: f64,
    /// Largest error of a hold, s.
    hold_s: Option<f64>,
    seconds: f64,
}

fn main() -> Result<(), Failure> {
    let machine = std::env::args().nth(1);
    let (mut words, mut panels) = (String::new(), Vec::new());
    for problem in problems() {
        let (reference, _) = run(&problem, Integrator::Rodas4, REFERENCE_K, f64::INFINITY)?;
        let rows = rows(&problem, &reference)?;
        let table = table(&problem, &reference, &rows)?;
        println!("{table}");
        words.push_str(&table);
        panels.push(panel(&problem, &reference, &rows));
    }
    if let Some(machine) = machine {
        let about = "Lower left is better; both axes logarithmic. A ring for each tolerance from 3 to 0.03 K, \
            filled at the default of 1 K.";
        let svg = picture::svg("Error of the time steps against seconds, one core", about, &panels);
        std::fs::write(Path::new(page::WORK_PRECISION).with_extension("svg"), svg)?;
        page::put(
            page::WORK_PRECISION,
            "integrators",
            &format!("One core of: {machine}. Best of {REPEATS}.\n{words}"),
        )?;
    }
    Ok(())
}

fn rows(problem: &Problem, reference: &Run) -> Result<Vec<Row>, Failure> {
    let mut rows = Vec::new();
    for integrator in INTEGRATORS {
        for tolerance_k in TOLERANCES_K {
            let (run, mut seconds) = run(problem, integrator, tolerance_k, LONGEST_S)?;
            if run.interrupted {
                continue;
            }
            for _ in 1..REPEATS {
                seconds = seconds.min(self::run(problem, integrator, tolerance_k, LONGEST_S)?.1);
            }
            let hold_s = problem.hold.map(|hold| hold_error(hold, &run, reference));
            let error_k = temperature_error(problem, &run, reference);
            rows.push(Row { integrator, tolerance_k, stats: run.stats, error_k, hold_s, seconds });
        }
    }
    Ok(rows)
}

fn run(problem: &Problem, integrator: Integrator, step_error_k: f64, at_most_s: f64) -> Result<(Run, f64), Failure> {
    let accuracy =
        Accuracy { cells_across: problem.cells_across, step_error_k, grids: Grids::MiddleOnly, model: problem.model };
    let method = Method { integrator, equal_steps_s: None };
    let start = Instant::now();
    let run = solve_by(method, &problem.case, &accuracy, &|_| start.elapsed().as_secs_f64() < at_most_s)?;
    Ok((run, start.elapsed().as_secs_f64()))
}

/// Over all probes, at the output times; at every flame-off where the switches follow the metal, for there the clock
/// tells when and not how hot.
fn temperature_error(problem: &Problem, run: &Run, reference: &Run) -> f64 {
    let instants = |run: &Run| -> Vec<f64> {
        let by_clock = problem.hold.is_none();
        if by_clock { problem.case.output_s.clone() } else { run.heats().iter().map(|heat| heat[1]).collect() }
    };
    let times: Vec<(f64, f64)> = instants(run).into_iter().zip(instants(reference)).collect();
    let pairs = run.curves.iter().zip(&reference.curves);
    let differences =
        pairs.flat_map(|(a, b)| times.iter().map(move |&(ours, theirs)| (a.at(ours) - b.at(theirs)).abs()));
    differences.fold(0.0, f64::max)
}

/// From each flame-off to the fall below the limit, within the time to the next flame; nothing where it does not fall.
fn holds((probe, limit_c): (usize, f64), run: &Run) -> Vec<Option<f64>> {
    let heats = run.heats();
    let ends = heats.iter().skip(1).map(|heat| heat[0]).chain([run.ran_until_s]);
    let pairs = heats.iter().zip(ends);
    pairs.map(|(heat, end)| run.curves[probe].falls_below(limit_c, heat[1], end).map(|c| c.time_s - heat[1])).collect()
}

/// Largest difference of a hold, s; infinite where only one of the two falls.
fn hold_error(hold: (usize, f64), run: &Run, reference: &Run) -> f64 {
    let (ours, theirs) = (holds(hold, run), holds(hold, reference));
    let difference = |(a, b): (&Option<f64>, &Option<f64>)| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs(),
        (None, None) => 0.0,
        _ => f64::INFINITY,
    };
    let missing = if ours.len() == theirs.len() { 0.0 } else { f64::INFINITY };
    ours.iter().zip(&theirs).map(difference).fold(missing, f64::max)
}

// ---- showing ------------------------------------------------------------------------------------------------------

fn table(problem: &Problem, reference: &Run, rows: &[Row]) -> Result<String, Failure> {
    let mut text = format!("\n### {}, {} cells\n\n", problem.name, reference.stats.cells);
    if let Some(hold) = problem.hold {
        let found: Vec<f64> = holds(hold, reference).into_iter().flatten().collect();
        let (least, most) = found.iter().fold((f64::INFINITY, 0.0f64), |(l, m), h| (l.min(*h), m.max(*h)));
        let (all, limit) = (found.len(), hold.1);
        writeln!(text, "{all} holds above {limit} C, of {least:.1} to {most:.1} s.\n")?;
    }
    let with_holds = problem.hold.is_some();
    let (title, rule) = if with_holds { (" largest error of a hold s |", "---|") } else { ("", "") };
    writeln!(text, "| integrator | tolerance K | steps | rejected | iterations | largest error K |{title} s |")?;
    writeln!(text, "|---|---|---|---|---|---|{rule}---|")?;
    for row in rows {
        let Stats { steps, rejected, iterations, .. } = row.stats;
        let hold = row.hold_s.map_or(String::new(), |seconds| format!(" {seconds:.4} |"));
        write!(text, "| {:?} | {} | {steps} | {rejected} | {iterations} ", row.integrator, row.tolerance_k)?;
        writeln!(text, "| {:.4} |{hold} {:.3} |", row.error_k, row.seconds)?;
    }
    Ok(text)
}

fn panel(problem: &Problem, reference: &Run, rows: &[Row]) -> Panel {
    let lines = INTEGRATORS.map(|integrator| {
        let own: Vec<&Row> = rows.iter().filter(|row| row.integrator == integrator).collect();
        let points = own.iter().map(|row| (row.seconds, row.hold_s.unwrap_or(row.error_k))).collect();
        let usual = |row: &&Row| integrator == Integrator::default() && row.tolerance_k == 1.0;
        Line { name: format!("{integrator:?}"), style: style(integrator), points, marked: own.iter().position(usual) }
    });
    let errors = if problem.hold.is_some() { "error of a hold s" } else { "error K" };
    let title = format!("{}, {} cells", problem.name, reference.stats.cells);
    Panel { title, errors, error_range: None, lines: lines.into() }
}

/// Colours of Okabe and Ito; in grey the dashes tell.
fn style(integrator: Integrator) -> Style {
    match integrator {
        Integrator::Ros2 => Style { colour: "#0072B2", dashes: "", width: 4 },
        Integrator::Rodas4 => Style { colour: "#D55E00", dashes: "", width: 2 },
        Integrator::Rodas3 => Style { colour: "#009E73", dashes: "8 4", width: 2 },
        Integrator::Ros2Solved => Style { colour: "#202020", dashes: "2 4", width: 2 },
    }
}
