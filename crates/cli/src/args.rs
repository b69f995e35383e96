//! What may be typed.

use std::path::PathBuf;

use clap::{ArgAction, Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
use warmhold::quantity::Units;
use warmhold::scenario::Override;

use crate::ask::{Cool, Explain, Plan, Rules, Spread};
use crate::paper_args::{Page, Paper, Report};

/// A count, with what is accepted in words.
pub(crate) fn whole<const LEAST: usize, const MOST: usize>(text: &str) -> Result<usize, String> {
    match text.trim().parse() {
        Ok(number) if (LEAST..=MOST).contains(&number) => Ok(number),
        _ => Err(format!("write a whole number from {LEAST} to {MOST}")),
    }
}

const EXIT_CODES: &str = "\
Exit codes: 0 holds, or no verdict was asked; 1 falls short; 2 could not answer; 3 too close to call; 130 interrupted.

A model is guidance. The qualified procedure, local codes and a temperature measured on the casting decide.";

const COOL_CODES: &str = "\
Exit codes: 0 answered, and not faster than --limit; 1 faster than --limit; 2 could not answer; 3 too close to call; \
130 interrupted.

A model is guidance. The qualified procedure, local codes and a temperature measured on the casting decide.";

const PLAN_CODES: &str = "\
Exit codes: 0 a job that holds was found; 1 nothing holds; 2 could not answer; 3 too close to call; 130 interrupted.

A model is guidance. The qualified procedure, local codes and a temperature measured on the casting decide.";

/// How long a torch-heated patch on a heavy casting stays above its minimum temperature, and whether a reheat interval
/// holds
#[derive(Debug, Parser)]
#[command(name = "warmhold", version, disable_help_flag = true, max_term_width = 100, after_help = EXIT_CODES, before_help = "\
Examples:
  warmhold                                   # the built-in demonstration
  warmhold hold --minimum \"300 F\"            # the quick question, without a file
  warmhold example > repair.toml             # a scenario to start from
  warmhold check repair.toml                 # does this schedule hold on this casting?")]
pub(crate) struct Cli {
    /// What to do; without it the built-in demonstration is checked
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
    /// Prints this help
    // One compact help: the long form of the library spreads the same words over four pages.
    #[arg(short, long, global = true, action = ArgAction::HelpShort)]
    help: Option<bool>,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Does the schedule of a scenario hold on its casting?
    #[command(after_help = EXIT_CODES, before_help = "\
Examples:
  warmhold check repair.toml
  warmhold check repair.toml --set \"schedule.cycles.interval=3 min\"
  warmhold check repair.toml --full
  warmhold check repair.toml --forecast --set \"accuracy.temperature=0.5 K\"
  warmhold check repair.toml --map map.svg --ledger ledger.svg --dark
  warmhold check repair.toml --field field
  warmhold check repair.toml --plot cooling.svg --csv cooling.csv --units shop
  warmhold example | warmhold check - --json --set accuracy.cells_across=6")]
    Check(Check),
    /// The quick question: how long does a heated patch hold, and how many beads fit?
    #[command(
        after_help = "\
Whatever you leave out is assumed, and the answer lists what was assumed; only --minimum has no offer.
Exit codes: 0 answered; 2 could not answer; 130 interrupted.

A model is guidance. The qualified procedure, local codes and a temperature measured on the casting decide.",
        before_help = "\
Examples:
  warmhold hold --minimum \"300 F\"
  warmhold hold --metal \"grey iron\" --size \"2.4 m x 1.5 m x 0.6 m\" --heated \"300 mm\" \\
    --ring \"75 mm\" --groove \"60 mm x 20 mm x 6 mm\" --to \"400 F\" --minimum \"300 F\" --maximum \"500 F\"
  warmhold hold --minimum \"300 F\" --heated \"12 in\" --for \"15 min\" --write patch.toml"
    )]
    Hold(Hold),
    /// The shortest job that holds: how wide, how long, how often
    #[command(after_help = PLAN_CODES, before_help = "\
Examples:
  warmhold plan repair.toml
  warmhold plan repair.toml --working-time \"2 min\" --fastest-heating \"60 K/min\"
  warmhold plan repair.toml --longest-job \"90 min\" --most-gas \"3 kg\" --longest-soak \"1 h\"
  warmhold plan repair.toml --beads 1 --widths \"300 mm..500 mm\" --write plan.toml")]
    Plan(Plan),
    /// One rule for each die: hold, beads, interval and flame time over masses, sections, widths and soaks
    #[command(before_help = "\
Examples:
  warmhold rules repair.toml --masses \"1 t, 10 t\" --sections \"50 mm, 200 mm\" --plot rules.svg
  warmhold rules repair.toml --resume-from rules.jsonl     # may be stopped and started again
  warmhold rules repair.toml --part 1/2 --resume-from one.jsonl
  warmhold rules repair.toml --part 2/2 --resume-from two.jsonl
  warmhold rules --merge one.jsonl two.jsonl --csv rules.csv --markdown rules.md")]
    Rules(Rules),
    /// How far what is known only within ranges spreads hold, interval and beads
    #[command(before_help = "\
Examples:
  warmhold spread repair.toml
  warmhold spread repair.toml --samples 512 --seed 2 --plot spread.svg")]
    Spread(Spread),
    /// From the last bead until it can be ground, inspected, touched and measured; the footprint
    #[command(after_help = COOL_CODES, before_help = "\
Examples:
  warmhold cool repair.toml
  warmhold cool repair.toml --limit \"50 K/h\" --blanket \"50 mm\" --plot cooldown.svg
  warmhold cool repair.toml --below \"60 C\" --contour \"300 C\" --contour \"500 C\"")]
    Cool(Cool),
    /// Where the heat of the patch goes, and what lengthens the hold most
    #[command(before_help = "\
Examples:
  warmhold explain repair.toml
  warmhold explain repair.toml --plot beside.svg --levers levers.svg --chart chart.svg")]
    Explain(Explain),
    /// Writes a scenario: asks on a terminal, takes options in a pipe
    #[command(before_help = "\
Examples:
  warmhold start --out die.toml --minimum \"300 F\" --maximum \"500 F\"
  warmhold start --minimum \"300 F\" --maximum \"500 F\" --cells 6 < /dev/null | warmhold check -")]
    Start(Start),
    /// Prints the built-in scenario, which shows the whole format
    #[command(before_help = "\
Examples:
  warmhold example > new.toml
  warmhold example --log > log.csv           # a log of readings, for fit and compare")]
    Example {
        /// Prints a log of readings that goes with it instead
        #[arg(long)]
        log: bool,
    },
    /// How much heat does this torch bring into this metal? From one timed heat-up
    #[command(
        after_help = "\
The flame burns from the start until the last reading, unless the scenario has spans or --flame-off says otherwise.
Exit codes: 0 answered; 2 could not answer; 130 interrupted.

A model is guidance. The qualified procedure, local codes and a temperature measured on the casting decide.",
        before_help = "\
Examples:
  warmhold fit repair.toml --reading \"150 C at 4 min 10 s\"
  warmhold fit repair.toml --reading \"300 F at 6 min at patch_centre\" \\
    --reading \"340 F at 8 min at patch_centre\" --write torch.toml
  warmhold fit repair.toml --log log.csv --noise \"3 K\" --plot fit.svg --json"
    )]
    Fit(Fit),
    /// Do the temperatures of a log agree with a scenario?
    #[command(
        after_help = "\
A log is CSV with the header time,place,reading; `warmhold example --log` prints one.
Exit codes: 0 agrees; 1 does not agree; 2 could not answer; 130 interrupted.",
        before_help = "\
Examples:
  warmhold compare repair.toml log.csv
  warmhold compare repair.toml log.csv --plot log.svg --residuals off.svg --units both"
    )]
    Compare(Compare),
    /// Where and when to measure, and what crayon, infrared gun and contact probe then show
    #[command(
        after_help = "\
Exit codes: 0 answered; 2 could not answer; 130 interrupted.

A model is guidance. The qualified procedure, local codes and a temperature measured on the casting decide.",
        before_help = "\
Examples:
  warmhold advice repair.toml
  warmhold advice repair.toml --break \"20 min\"
  warmhold advice repair.toml --gun 0.8 --lag \"3 s\" --crayons \"300 F, 350 F, 500 F\" --units shop"
    )]
    Advice(Advice),
    /// Writes the report of a scenario: one page to read and to print
    #[command(after_help = EXIT_CODES, before_help = "\
Examples:
  warmhold report repair.toml
  warmhold report repair.toml --out with-log.html --log log.csv --units metric",
        mut_arg("out", |out| out.help("Where to write it; default: report.html here")))]
    Report(Report),
    /// Writes the shop card of a scenario: one sheet to pin up, only where the schedule holds
    #[command(after_help = EXIT_CODES, before_help = "\
Examples:
  warmhold card repair.toml
  warmhold card repair.toml --out card-3-min.html --set \"schedule.cycles.interval=3 min\"",
        mut_arg("out", |out| out.help("Where to write it; default: card.html here")),
        mut_arg("units", |units| units.help("Units of the line that is printed; the card itself always has both systems")))]
    Card(Paper),
    /// Writes a sheet to log temperatures by hand, for `warmhold compare`
    #[command(before_help = "\
Examples:
  warmhold sheet repair.toml
  warmhold sheet repair.toml --out sheet-metric.html --units metric",
        mut_arg("out", |out| out.help("Where to write it; default: sheet.html here")))]
    Sheet(Paper),
    /// Writes a page that shows two to four castings side by side, moving, for training
    #[command(before_help = "\
Examples:
  warmhold page repair.toml die.toml
  warmhold page repair.toml die.toml --name planned --name other --out pair.html")]
    Page(Page),
    /// Lists the metals, or shows one with its values, ranges and where they come from
    #[command(before_help = "\
Examples:
  warmhold metals
  warmhold metals \"grey iron\"
  warmhold metals D2 --plot d2.svg")]
    Metals(Metals),
    /// Says more about the code of a message, such as E005
    #[command(before_help = "\
Examples:
  warmhold explain-code            # all codes
  warmhold explain-code E005")]
    ExplainCode {
        /// The code that stands in brackets behind `error` or `warning`
        code: Option<String>,
    },
    /// Prints a JSON schema: of the scenario for editors, of the outcome for programs
    #[command(before_help = "\
Examples:
  warmhold schema scenario > scenario.schema.json
  warmhold schema outcome > outcome.schema.json
  warmhold schema plan > plan.schema.json")]
    Schema {
        /// Which one
        of: Schema,
    },
    /// Prints what makes a shell complete the commands
    #[command(before_help = "\
Examples:
  warmhold completions bash > warmhold.bash
  warmhold completions zsh > _warmhold")]
    Completions {
        /// The shell
        shell: Shell,
    },
    /// Prints the manual page, or writes one for each command into a folder
    #[command(before_help = "\
Examples:
  warmhold man > warmhold.1
  warmhold man --dir .")]
    Man {
        /// Writes a page for each command into this folder
        #[arg(long, value_name = "FOLDER")]
        dir: Option<PathBuf>,
    },
}

/// How pictures look.
#[derive(Args, Clone, Copy, Debug, Default)]
#[command(group(clap::ArgGroup::new("picture").multiple(true)))]
pub(crate) struct Looks {
    /// Draws pictures light on dark, for screens
    #[arg(long, requires = "picture", help_heading = "The answer")]
    pub(crate) dark: bool,
}

/// Options of `check`.
#[derive(Args, Debug, Default)]
pub(crate) struct Check {
    /// The scenario, or - for standard input; without it the built-in demonstration
    pub(crate) file: Option<PathBuf>,
    /// Puts one value in place of what the file says, such as "ring.width=100 mm"; may be repeated
    #[arg(long, value_name = "KEY=VALUE", value_parser = Override::parse)]
    pub(crate) set: Vec<Override>,
    #[command(flatten)]
    pub(crate) show: Show,
    /// Prints every table: each heat, each bead, each watched limit, what each stated range does, the heat ledger
    #[arg(long, conflicts_with = "json", help_heading = "The answer")]
    pub(crate) full: bool,
    /// Says what the computation would take (cells, steps, memory, time), and computes nothing
    #[arg(long, conflicts_with_all = ["json", "full", "plot", "map", "ledger", "csv", "bead_csv", "field"], help_heading = "The answer")]
    pub(crate) forecast: bool,
    /// Draws the cooling curve
    #[arg(long, group = "picture", value_name = "OUT.svg|OUT.png", help_heading = "The answer")]
    pub(crate) plot: Option<PathBuf>,
    /// Draws the worked face and the section under the patch, or writes their numbers as a table
    #[arg(long, group = "picture", value_name = "OUT.svg|OUT.png|OUT.csv", help_heading = "The answer")]
    pub(crate) map: Option<PathBuf>,
    /// The instant of the map: the first breach (or the last bead of the first heat), or as the first flame goes off
    #[arg(long, value_enum, default_value_t, ignore_case = true, requires = "map", help_heading = "The answer")]
    pub(crate) map_at: MapAt,
    /// Draws where the heat is over time, as areas on each other: stored, lost by each path, not accounted for
    #[arg(long, group = "picture", value_name = "OUT.svg|OUT.png", help_heading = "The answer")]
    pub(crate) ledger: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) looks: Looks,
    /// Writes every number of the plot as a table
    #[arg(long, value_name = "OUT.csv", help_heading = "The answer")]
    pub(crate) csv: Option<PathBuf>,
    /// Writes the welding day bead by bead as a table
    #[arg(long, value_name = "OUT.csv", help_heading = "The answer")]
    pub(crate) bead_csv: Option<PathBuf>,
    /// Writes the temperatures of the whole casting over time into a folder, for general viewers (VTK XML)
    #[arg(long, value_name = "FOLDER", help_heading = "The answer")]
    pub(crate) field: Option<PathBuf>,
    /// Replaces files that are there already
    #[arg(long, help_heading = "The answer")]
    pub(crate) force: bool,
}

/// Options of `fit`.
#[derive(Args, Debug)]
#[command(group(clap::ArgGroup::new("measured").args(["reading", "log"]).required(true).multiple(true)))]
pub(crate) struct Fit {
    /// The scenario, or - for standard input
    pub(crate) file: PathBuf,
    /// What was read, such as "150 C at 4 min 10 s", or with the name of a probe or coordinates "... at r40"; without a
    /// place, in the middle of the patch; may be repeated
    #[arg(long, value_name = "READING", help_heading = "What was measured")]
    pub(crate) reading: Vec<String>,
    /// A log of readings, CSV with the header time,place,reading
    #[arg(long, value_name = "LOG.csv", help_heading = "What was measured")]
    pub(crate) log: Option<PathBuf>,
    /// Standard deviation of a reading; default 2 K
    #[arg(long, value_name = "KELVIN", help_heading = "What was measured")]
    pub(crate) noise: Option<String>,
    /// When the flame went off, from flame on; default: after the last reading, or as the spans of the scenario say
    #[arg(long, value_name = "TIME", help_heading = "What was measured")]
    pub(crate) flame_off: Option<String>,
    /// Puts one value in place of what the file says; may be repeated
    #[arg(long, value_name = "KEY=VALUE", value_parser = Override::parse)]
    pub(crate) set: Vec<Override>,
    #[command(flatten)]
    pub(crate) show: Show,
    /// Draws what was read less what the fitted torch gives
    #[arg(long, group = "picture", value_name = "OUT.svg|OUT.png", help_heading = "The answer")]
    pub(crate) plot: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) looks: Looks,
    /// Writes the fitted torch as lines of a scenario, too
    #[arg(long, value_name = "FILE.toml", help_heading = "The answer")]
    pub(crate) write: Option<PathBuf>,
    /// Replaces a file that is there already
    #[arg(long, help_heading = "The answer")]
    pub(crate) force: bool,
}

/// Options of `compare`.
#[derive(Args, Debug)]
pub(crate) struct Compare {
    /// The scenario, or - for standard input
    pub(crate) file: PathBuf,
    /// The log, CSV with the header time,place,reading
    pub(crate) log: PathBuf,
    /// Standard deviation of a reading; default 2 K
    #[arg(long, value_name = "KELVIN")]
    pub(crate) noise: Option<String>,
    /// Puts one value in place of what the file says; may be repeated
    #[arg(long, value_name = "KEY=VALUE", value_parser = Override::parse)]
    pub(crate) set: Vec<Override>,
    #[command(flatten)]
    pub(crate) show: Show,
    /// Draws the computed curves with the readings on them
    #[arg(long, group = "picture", value_name = "OUT.svg|OUT.png", help_heading = "The answer")]
    pub(crate) plot: Option<PathBuf>,
    /// Draws what was read less what is computed
    #[arg(long, group = "picture", value_name = "OUT.svg|OUT.png", help_heading = "The answer")]
    pub(crate) residuals: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) looks: Looks,
    /// Replaces files that are there already
    #[arg(long, help_heading = "The answer")]
    pub(crate) force: bool,
}

/// Options of `advice`.
#[derive(Args, Debug)]
pub(crate) struct Advice {
    /// The scenario, or - for standard input
    pub(crate) file: PathBuf,
    /// Puts one value in place of what the file says; may be repeated
    #[arg(long, value_name = "KEY=VALUE", value_parser = Override::parse)]
    pub(crate) set: Vec<Override>,
    /// Ratings of the crayons at hand, such as "300 F, 350 F"; default: steps of 25 F, or of 10 C with --units metric
    #[arg(long, value_name = "RATINGS", help_heading = "Instruments")]
    pub(crate) crayons: Option<String>,
    /// Emissivity at which the infrared gun is set; default 0.95, at which many are fixed (practice)
    #[arg(long, value_name = "EMISSIVITY", help_heading = "Instruments")]
    pub(crate) gun: Option<String>,
    /// Time constant of the contact probe, from its maker; without it nothing is said of a lag
    #[arg(long, value_name = "TIME", help_heading = "Instruments")]
    pub(crate) lag: Option<String>,
    /// A break after the first flame: when the ring falls below maintenance, and what reheat brings it back
    #[arg(long = "break", id = "break_time", value_name = "TIME")]
    pub(crate) break_time: Option<String>,
    #[command(flatten)]
    pub(crate) show: Show,
}

/// The instant of a map.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum MapAt {
    /// The first breach, or the start of the last bead of the first heat
    #[default]
    Worst,
    /// As the first flame goes off
    FlameOff,
}

/// How an answer is shown and computed.
#[derive(Args, Debug, Default)]
#[command(next_help_heading = "The answer")]
pub(crate) struct Show {
    /// Prints one JSON object on standard output, in SI units, and nothing else
    #[arg(long)]
    pub(crate) json: bool,
    /// Units of the text and the plot
    #[arg(long, value_enum, default_value_t, ignore_case = true)]
    pub(crate) units: UnitChoice,
    /// Prints on standard error how long the computation took
    #[arg(long)]
    pub(crate) timings: bool,
    /// Computes on this many threads; the answer is the same with any number
    #[arg(long, value_name = "N", value_parser = whole::<1, 256>)]
    pub(crate) threads: Option<usize>,
}

/// Options of `hold`.
#[derive(Args, Debug, Default)]
pub(crate) struct Hold {
    #[command(flatten)]
    pub(crate) job: Job,
    #[command(flatten)]
    pub(crate) show: Show,
    /// Writes the same case as a scenario, too
    #[arg(long, value_name = "FILE.toml", help_heading = "The answer")]
    pub(crate) write: Option<PathBuf>,
    /// Replaces a file that is there already
    #[arg(long, help_heading = "The answer")]
    pub(crate) force: bool,
}

/// Options of `start`.
#[derive(Args, Debug, Default)]
pub(crate) struct Start {
    #[command(flatten)]
    pub(crate) job: Job,
    /// Where to write the scenario; without it, standard output
    #[arg(long, value_name = "FILE.toml", help_heading = "The file")]
    pub(crate) out: Option<PathBuf>,
    /// Replaces a file that is there already
    #[arg(long, help_heading = "The file")]
    pub(crate) force: bool,
}

/// The job in a few words, as typed.
#[derive(Args, Clone, Debug, Default)]
#[command(next_help_heading = "The job (quantities with their unit, in quotes)")]
pub(crate) struct Job {
    /// No bead starts while any of the ring is below it; from the qualified procedure
    #[arg(long, value_name = "TEMPERATURE")]
    pub(crate) minimum: Option<String>,
    /// No bead starts while any of the ring is above it; from the qualified procedure
    #[arg(long, value_name = "TEMPERATURE")]
    pub(crate) maximum: Option<String>,
    /// Metal of the casting; `warmhold metals` lists them
    #[arg(long, value_name = "NAME")]
    pub(crate) metal: Option<String>,
    /// Length x width x depth of the casting, such as "2.4 m x 1.5 m x 0.6 m" or "48 x 32 x 15 in"
    #[arg(long, value_name = "L x W x D")]
    pub(crate) size: Option<String>,
    /// Diameter of the heated disc, or length x width of a heated rectangle
    #[arg(long, value_name = "SIZE")]
    pub(crate) heated: Option<String>,
    /// Length x width x depth of the groove that is welded
    #[arg(long, value_name = "L x W x D")]
    pub(crate) groove: Option<String>,
    /// Width of the ring of parent metal around the groove that must stay warm
    #[arg(long, value_name = "LENGTH")]
    pub(crate) ring: Option<String>,
    /// Heat until this is read
    #[arg(long, value_name = "TEMPERATURE", conflicts_with = "for_time")]
    pub(crate) to: Option<String>,
    /// Where it is read: in the middle of the patch, or at the coldest of the ring
    #[arg(long, value_name = "PLACE", ignore_case = true, conflicts_with = "for_time")]
    pub(crate) read_at: Option<ReadAt>,
    /// Heat for this long, in place of --to
    #[arg(long = "for", id = "for_time", value_name = "TIME")]
    pub(crate) for_time: Option<String>,
    /// Fuel gas: propane, propylene, acetylene or methane
    #[arg(long, value_name = "GAS", requires = "rate")]
    pub(crate) gas: Option<String>,
    /// Gas burnt in a time, such as "2.2 kg/h" or "40 ft3/h"
    #[arg(long, value_name = "RATE")]
    pub(crate) rate: Option<String>,
    /// Net heat flux into the metal, in place of gas and rate
    #[arg(long, value_name = "FLUX", conflicts_with_all = ["gas", "rate"])]
    pub(crate) flux: Option<String>,
    /// Air temperature
    #[arg(long, value_name = "TEMPERATURE")]
    pub(crate) air: Option<String>,
    /// Temperature of the whole casting before the flame comes on
    #[arg(long, value_name = "TEMPERATURE")]
    pub(crate) body: Option<String>,
    /// Beads planned for each heat
    #[arg(long, value_name = "N", value_parser = whole::<1, 100>)]
    pub(crate) beads: Option<usize>,
    /// From flame off to the first arc
    #[arg(long, value_name = "TIME")]
    pub(crate) first: Option<String>,
    /// Arc time of a bead
    #[arg(long, value_name = "TIME")]
    pub(crate) arc: Option<String>,
    /// From arc off to the next arc: peen, brush, look
    #[arg(long, value_name = "TIME")]
    pub(crate) pause: Option<String>,
    /// Net power of the arc: volts x amperes x 0.8 for stick, 0.6 for TIG
    #[arg(long, value_name = "POWER")]
    pub(crate) power: Option<String>,
    /// Title, for reports
    #[arg(long, value_name = "TEXT")]
    pub(crate) title: Option<String>,
    /// Cells across half of the patch: 12 is usual, 6 quick and coarse
    #[arg(long, value_name = "N", value_parser = whole::<4, 48>)]
    pub(crate) cells: Option<usize>,
}

/// Options of `metals`.
#[derive(Args, Debug)]
pub(crate) struct Metals {
    /// A metal, by any of its names
    pub(crate) name: Option<String>,
    /// Draws conductivity and specific heat over temperature
    #[arg(long, group = "picture", value_name = "OUT.svg", requires = "name")]
    pub(crate) plot: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) looks: Looks,
    /// Replaces a file that is there already
    #[arg(long)]
    pub(crate) force: bool,
}

/// Where the temperature of `--to` is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum ReadAt {
    /// The middle of the heated patch, its hottest place
    Centre,
    /// The coldest of the ring
    Ring,
}

/// A JSON schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Schema {
    /// What a scenario file may say
    Scenario,
    /// What --json of check and hold prints
    Outcome,
    /// What --json of fit prints
    Fit,
    /// What --json of compare prints
    Comparison,
    /// What --json of advice prints
    Advice,
    /// What --json of plan prints
    Plan,
    /// What --json of rules prints
    Rules,
    /// What --json of spread prints
    Spread,
    /// What --json of cool prints
    Cool,
    /// What --json of explain prints
    Explain,
    /// What --json of report, card, sheet and page prints
    Pages,
}

/// Units of the text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum UnitChoice {
    /// C, mm, kg
    #[value(alias = "si")]
    Metric,
    /// F, in, lb
    #[value(aliases = ["imperial", "us", "inch"])]
    Shop,
    /// Metric, then shop units in brackets
    #[default]
    Both,
}

impl From<UnitChoice> for Units {
    fn from(choice: UnitChoice) -> Units {
        match choice {
            UnitChoice::Metric => Units::Metric,
            UnitChoice::Shop => Units::Shop,
            UnitChoice::Both => Units::Both,
        }
    }
}
