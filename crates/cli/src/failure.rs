//! Why the command could not answer, in words for the person who typed it.

use std::path::PathBuf;

use warmhold::{report, scenario, study};

use crate::output::shown;

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub(crate) enum Failure {
    /// The scenario has problems; they are shown with their lines.
    #[error("{0}")]
    Scenario(scenario::Problems),
    /// The options have problems, one line each.
    #[error("{}{hint}", faults.join("\nerror: "))]
    Options {
        /// What is missing or wrong.
        faults: Vec<String>,
        /// What else may help.
        hint: &'static str,
    },
    /// Words that no option takes.
    #[error("{advice}")]
    Typed {
        /// What is wrong with them and what to type.
        advice: String,
    },
    /// No such file.
    #[error("there is no file {}{hint}", shown(.path))]
    NoSuchFile {
        /// As typed.
        path: PathBuf,
        /// What may have been meant.
        hint: String,
    },
    /// A folder where a file is due.
    #[error("{} is a folder, and {due} is due{hint}", shown(.path))]
    Folder {
        /// As typed.
        path: PathBuf,
        /// What should stand there.
        due: &'static str,
        /// Scenarios in that folder.
        hint: String,
    },
    /// Nothing in the file.
    #[error("{origin} is empty: `warmhold example > repair.toml` writes a scenario to start from")]
    Empty {
        /// File name, or standard input.
        origin: String,
    },
    /// Larger than any scenario.
    #[error("{origin} is larger than {limit_mb} MB: this is no scenario")]
    TooLarge {
        /// File name, or standard input.
        origin: String,
        /// Largest size accepted, MB.
        limit_mb: u64,
    },
    /// The system refused to read.
    #[error("{origin} cannot be read: {reason}")]
    Unreadable {
        /// File name, or standard input.
        origin: String,
        /// The system's words.
        reason: String,
    },
    /// A file of that name is there already.
    #[error("{} is there already: choose another name, or add --force to replace it", shown(.path))]
    AlreadyThere {
        /// As typed.
        path: PathBuf,
    },
    /// What is read would be replaced by what is written.
    #[error("{} is read by this command and would be overwritten: write into another file", shown(.path))]
    ReadAndWritten {
        /// As typed.
        path: PathBuf,
    },
    /// Two answers in one file: the second would replace the first.
    #[error("{} is named for two files to write: give each a name of its own", shown(.path))]
    WrittenTwice {
        /// As typed.
        path: PathBuf,
    },
    /// A page under the name of something else.
    #[error("{} ends in neither .html nor .htm, and a page is written: give it a name such as card.html", shown(.path))]
    PageFormat {
        /// As typed.
        path: PathBuf,
    },
    /// The system refused to write.
    #[error("{origin} cannot be written: {reason}")]
    Unwritable {
        /// File name, or standard output.
        origin: String,
        /// The system's words.
        reason: String,
    },
    /// Neither a flame nor a reached instant.
    #[error("there is nothing to map: a map needs a torch, and a flame that the run reaches")]
    NothingToMap,
    /// A folder that is there already.
    #[error(
        "{} is there already: choose another folder, or add --force to replace the files of a field in it", shown(.path)
    )]
    FolderThere {
        /// As typed.
        path: PathBuf,
    },
    /// Ctrl-C before there was a page to write.
    #[error("Interrupted: nothing was written.")]
    Interrupted,
    /// Something that is no ordinary file.
    #[error("{} is {what}: choose another name", shown(.path))]
    NotReplaced {
        /// As typed.
        path: PathBuf,
        /// Why it stays.
        what: &'static str,
    },
    /// A picture in a format that is not made here.
    #[error("{} ends in neither .svg nor .png: give the picture a name such as cooling.svg", shown(.path))]
    PictureFormat {
        /// As typed.
        path: PathBuf,
    },
    /// The study could not solve the case.
    #[error(
        "this case could not be solved: {0}\nCheck the sizes and times of the scenario, or report the file that does this"
    )]
    Study(#[from] study::Error),
    /// The log has problems, each with its line.
    #[error("{origin} cannot be used as a log of readings\n{}", problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Log {
        /// File name, or standard input.
        origin: String,
        /// The problems.
        problems: Vec<scenario::LogProblem>,
    },
    /// The torch could not be fitted.
    #[error(transparent)]
    Fit(#[from] study::FitError),
    /// No advice could be given.
    #[error(transparent)]
    Advice(#[from] study::AdviceError),
    /// The question needs what the scenario does not have.
    #[error("this question needs {what}")]
    Needs {
        /// What.
        what: String,
    },
    /// A journal of rules cannot be used.
    #[error("{} cannot be used: {reason}", shown(.path))]
    Journal {
        /// As typed.
        path: PathBuf,
        /// Why.
        reason: String,
    },
    /// A picture could not be drawn.
    #[error("{0}")]
    Picture(#[from] report::plot::Error),
    /// The threads could not be started.
    #[error("the threads could not be started: {0}")]
    Threads(#[from] rayon::ThreadPoolBuildError),
    /// No metal of that name.
    #[error("no metal of the list is called \"{name}\"{hint}\nKnown: {known}")]
    NoSuchMetal {
        /// As typed.
        name: String,
        /// What may have been meant.
        hint: String,
        /// All names.
        known: String,
    },
    /// No message code of that name.
    #[error("no message has the code \"{code}\": `warmhold explain-code` lists all of them")]
    NoSuchCode {
        /// As typed.
        code: String,
    },
    /// Questions and answers ended early.
    #[error("the answers ended before all questions were asked: nothing was written")]
    AnswersEnded,
}

impl Failure {
    /// What is printed, with colours for a terminal that shows them.
    pub(crate) fn render(&self) -> String {
        match self {
            Failure::Scenario(problems) => problems.render(true),
            Failure::Interrupted => format!("{self}\n"),
            other => format!("\u{1b}[1;31merror\u{1b}[0m: {}\n", other.to_string().trim_end()),
        }
    }
}
