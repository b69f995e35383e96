//! What bounds the speed: `cargo run --release -p benches --example streams`.
//!
//! The triad in every level of cache, and steps of grids of many sizes, measured in one run. Given the machine and
//! the date as an argument, the tables go into `docs/work-precision.md` as well.

use std::error::Error;
use std::fmt::Write;
use std::process::Command;

use benches::boxes::{ACROSS, Best, Body, Metal, best};
use benches::triad::{Level, Triad, levels};
use benches::{page, traffic};
use heat::Model;

/// Best of: others may be at work on the machine.
const REPEATS: usize = 20;
const LARGE_REPEATS: usize = 2;
/// From this many cells across on a march is repeated less often.
const LARGE_ACROSS: usize = 60;
/// Steps that are timed in each march.
const STEPS: usize = 8;
/// First argument of a run of this program by itself that tells the peak of its memory.
const MEMORY: &str = "--memory";

type Failure = Box<dyn Error>;

fn main() -> Result<(), Failure> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if let [flag, across] = &arguments[..]
        && flag == MEMORY
    {
        return tell_memory(across.parse()?);
    }
    let mut triads = triads();
    let bodies = bodies();
    // Before and after, for a neighbour may have come or gone.
    triads.iter_mut().zip(self::triads()).for_each(|(here, again)| here.1 = here.1.max(again.1));
    let words = triad_table(&triads)? + &steps_table(&bodies, &triads)?;
    println!("{words}");
    if let Some(machine) = arguments.first() {
        page::put(
            page::WORK_PRECISION,
            "streams",
            &format!(
                "One core of: {machine}. Best of {REPEATS} marches, of {LARGE_REPEATS} of the two largest grids.\n\n{words}"
            ),
        )?;
    }
    Ok(())
}

fn triads() -> Vec<(Level, f64)> {
    let measured = |level: Level| (level, Triad::within(&level).best_gb_per_s(REPEATS));
    levels().into_iter().map(measured).collect()
}

fn triad_table(triads: &[(Level, f64)]) -> Result<String, Failure> {
    let mut text = "| level | holds KiB | triad GB/s |\n|---|---|---|\n".to_owned();
    for (level, speed) in triads {
        let holds = if level.bytes == usize::MAX { "-".to_owned() } else { (level.bytes >> 10).to_string() };
        writeln!(text, "| {} | {holds} | {speed:.1} |", level.name)?;
    }
    Ok(text)
}

/// A body, its metal and what came out.
type Timed = (&'static str, Body, Result<Best, heat::Error>);

fn bodies() -> Vec<Timed> {
    let mut list = Vec::new();
    for metal in [Metal::Constant, Metal::Tabled] {
        list.push(("revolved", Body::revolved(metal)));
        list.extend(ACROSS.map(|across| ("quarter", Body::quarter(across, metal))));
    }
    let time = |(shape, body): (&'static str, Body)| {
        let timed = measured(&body);
        eprintln!("{shape} {body:?}: {timed:?}");
        (shape, body, timed)
    };
    list.into_iter().map(time).collect()
}

fn steps_table(bodies: &[Timed], triads: &[(Level, f64)]) -> Result<String, Failure> {
    let mut text = "\n| body | metal | cells | ns per cell and step | million updates/s | iterations per system \
        | bytes | operations | GFlop/s | GB/s | level | share of triad | peak bytes per cell |\n"
        .to_owned();
    writeln!(text, "|{}", "---|".repeat(13))?;
    let small = memory(ACROSS[0])?;
    for (shape, body, timed) in bodies {
        match timed {
            Ok(best) => {
                let alone = body.metal == Metal::Constant && body.model == Model::Block;
                let peak = if alone { per_cell(small, memory(body.cells_across)?) } else { None };
                row(&mut text, (shape, body.metal, *best), triads, peak)?;
            }
            Err(refusal) => {
                writeln!(text, "| {shape}, {} across | {} | {refusal} |", body.cells_across, body.metal.name())?;
            }
        }
    }
    Ok(text + &ratios(bodies))
}

/// What a cell costs on the largest grid over what it costs on the smallest block.
fn ratios(bodies: &[Timed]) -> String {
    let mut text = String::new();
    for metal in [Metal::Constant, Metal::Tabled] {
        let of_metal = bodies.iter().filter(|(_, body, _)| body.metal == metal && body.model == Model::Block);
        let done: Vec<&Best> = of_metal.filter_map(|(_, _, timed)| timed.as_ref().ok()).collect();
        let [few, .., many] = done[..] else { continue };
        let per_cell = |best: &Best| best.step_s / best.cells as f64;
        let bytes = |best: &Best| traffic::count(best.iterations, metal == Metal::Tabled).bytes;
        let ratio = per_cell(many) / per_cell(few);
        text.push_str(&format!(
            "\nMetal of {} properties: a cell and step at {} cells takes {ratio:.2} times that at {}; for each byte \
             counted, {:.2} times.\n",
            metal.name(),
            many.cells,
            few.cells,
            ratio * bytes(few) / bytes(many),
        ));
    }
    text
}

fn measured(body: &Body) -> Result<Best, heat::Error> {
    let small = body.model == Model::Revolved || body.cells_across < LARGE_ACROSS;
    best(body, STEPS, if small { REPEATS } else { LARGE_REPEATS })
}

fn row(
    text: &mut String,
    (shape, metal, best): (&str, Metal, Best),
    triads: &[(Level, f64)],
    peak: Option<f64>,
) -> Result<(), Failure> {
    let nanoseconds = 1e9 * best.step_s / best.cells as f64;
    let count = traffic::count(best.iterations, metal == Metal::Tabled);
    let (updates, gflops, speed) = (1e3 / nanoseconds, count.operations / nanoseconds, count.bytes / nanoseconds);
    let needs = 8 * traffic::ARRAYS * best.cells;
    let fitting = triads.iter().find(|(level, _)| needs <= level.bytes);
    let (level, triad) = fitting.ok_or("no level holds the arrays")?;
    let share = 100.0 * speed / triad;
    let peak = peak.map_or("-".to_owned(), |bytes| format!("{bytes:.0}"));
    write!(text, "| {shape} | {} | {} | {nanoseconds:.1} | {updates:.1} ", metal.name(), best.cells)?;
    write!(text, "| {:.2} | {:.0} | {:.0} ", best.iterations, count.bytes, count.operations)?;
    writeln!(text, "| {gflops:.2} | {speed:.1} | {} | {share:.0} % | {peak} |", level.name)?;
    Ok(())
}

// ---- memory -------------------------------------------------------------------------------------------------------

/// Cells, and the peak of the memory of a process that marches them, bytes.
type Peak = Option<(f64, f64)>;

fn per_cell(small: Peak, large: Peak) -> Option<f64> {
    let ((few, low), (many, high)) = (small?, large?);
    (many > few).then(|| (high - low) / (many - few))
}

/// From a run of this program by itself; nothing where the system does not tell.
fn memory(across: usize) -> Result<Peak, Failure> {
    let out = Command::new(std::env::current_exe()?).args([MEMORY, &across.to_string()]).output()?;
    let text = String::from_utf8(out.stdout)?;
    let mut numbers = text.split_whitespace().filter_map(|word| word.parse().ok());
    Ok(numbers.next().zip(numbers.next()))
}

fn tell_memory(across: usize) -> Result<(), Failure> {
    let cells = Body::quarter(across, Metal::Constant).march(0)?.cells;
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kibibytes = line.and_then(|line| line.split_whitespace().next()).and_then(|word| word.parse::<f64>().ok());
    if let Some(kibibytes) = kibibytes {
        println!("{cells} {}", kibibytes * 1024.0);
    }
    Ok(())
}
