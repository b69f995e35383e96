//! What may be typed after `report`, `card`, `sheet` and `page`.

use std::path::PathBuf;

use clap::Args;
use warmhold::scenario::Override;

use crate::args::Show;

/// Options of `card` and `sheet`.
#[derive(Args, Debug)]
pub(crate) struct Paper {
    /// The scenario, or - for standard input; without it the built-in demonstration
    pub(crate) file: Option<PathBuf>,
    /// Puts one value in place of what the file says; may be repeated
    #[arg(long, value_name = "KEY=VALUE", value_parser = Override::parse)]
    pub(crate) set: Vec<Override>,
    /// Where to write it
    #[arg(long, value_name = "OUT.html", help_heading = "The answer")]
    pub(crate) out: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) show: Show,
    /// Replaces a file that is there already
    #[arg(long, help_heading = "The answer")]
    pub(crate) force: bool,
}

/// Options of `report`.
#[derive(Args, Debug)]
pub(crate) struct Report {
    #[command(flatten)]
    pub(crate) paper: Paper,
    /// A log of readings to hold against it, CSV with the header time,place,reading
    #[arg(long, value_name = "LOG.csv")]
    pub(crate) log: Option<PathBuf>,
}

/// Options of `page`.
#[derive(Args, Debug)]
pub(crate) struct Page {
    /// Two to four scenarios
    #[arg(required = true, value_name = "FILE")]
    pub(crate) files: Vec<PathBuf>,
    /// Short name of each, in their order; default: the names of the files
    #[arg(long, value_name = "NAME")]
    pub(crate) name: Vec<String>,
    /// Puts one value in place of what every file says; may be repeated
    #[arg(long, value_name = "KEY=VALUE", value_parser = Override::parse)]
    pub(crate) set: Vec<Override>,
    /// Where to write it
    #[arg(long, value_name = "OUT.html", default_value = "page.html", help_heading = "The answer")]
    pub(crate) out: PathBuf,
    #[command(flatten)]
    pub(crate) show: Show,
    /// Replaces a file that is there already
    #[arg(long, help_heading = "The answer")]
    pub(crate) force: bool,
}
