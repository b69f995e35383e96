//! The `warmhold` command: reads its arguments, asks the library, prints. The only place of the project that prints.

mod args;
mod ask;
mod clash;
mod command;
mod failure;
mod input;
mod job;
mod offer;
mod output;
mod paper_args;
mod run;
mod sides;
mod typed;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::Parser;
use clap::error::ErrorKind;

use args::{Cli, Command};
use failure::Failure;

/// Exit code of "could not answer".
const NO_ANSWER: u8 = 2;
/// Exit code of a run that was interrupted.
const INTERRUPTED: u8 = 130;

fn main() -> ExitCode {
    let arguments = typed::tied(std::env::args_os());
    let cli = match Cli::try_parse_from(&arguments) {
        Ok(cli) => cli,
        Err(error) => return refuse(&error, &arguments),
    };
    match answer(cli) {
        Ok(code) => ExitCode::from(code),
        Err(failure) => {
            output::complain(&failure.render());
            ExitCode::from(if matches!(failure, Failure::Interrupted) { INTERRUPTED } else { NO_ANSWER })
        }
    }
}

/// Help and version are answers; anything else that the arguments cannot say is not.
fn refuse(error: &clap::Error, arguments: &[OsString]) -> ExitCode {
    if let Some(advice) = typed::advice(error, arguments) {
        output::complain(&Failure::Typed { advice }.render());
        return ExitCode::from(NO_ANSWER);
    }
    // Where even this cannot be printed nobody reads it.
    let _ = error.print();
    match error.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => ExitCode::SUCCESS,
        _ => ExitCode::from(NO_ANSWER),
    }
}

fn answer(cli: Cli) -> Result<u8, Failure> {
    cli.command.as_ref().map_or(Ok(()), clash::refuse)?;
    match cli.command {
        None => command::check::run(&args::Check::default()),
        Some(Command::Check(check)) => command::check::run(&check),
        Some(Command::Hold(hold)) => command::hold::run(&hold),
        Some(Command::Plan(plan)) => command::plan::run(&plan),
        Some(Command::Rules(rules)) => command::rules::run(&rules),
        Some(Command::Spread(spread)) => command::spread::run(&spread),
        Some(Command::Cool(cool)) => command::cool::run(&cool),
        Some(Command::Explain(explain)) => command::explain::run(&explain),
        Some(Command::Start(start)) => command::start::run(&start),
        Some(Command::Example { log: false }) => output::print(warmhold::scenario::DEMONSTRATION),
        Some(Command::Example { log: true }) => output::print(warmhold::scenario::EXAMPLE_LOG),
        Some(Command::Fit(fit)) => command::fit::run(&fit),
        Some(Command::Compare(compare)) => command::compare::run(&compare),
        Some(Command::Advice(advice)) => command::advice::run(&advice),
        Some(Command::Report(report)) => command::paper::report(&report),
        Some(Command::Card(paper)) => command::paper::card(&paper),
        Some(Command::Sheet(paper)) => command::paper::sheet(&paper),
        Some(Command::Page(page)) => command::page::run(&page),
        Some(Command::Metals(metals)) => command::metals::run(&metals),
        Some(Command::ExplainCode { code }) => command::codes::run(code.as_deref()),
        Some(Command::Schema { of }) => command::schema::run(of),
        Some(Command::Completions { shell }) => command::pages::completions(shell),
        Some(Command::Man { dir }) => command::pages::man(dir.as_deref()),
    }
}
