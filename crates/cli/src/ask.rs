//! What may be typed for the questions that choose, generalise and explain.

use std::path::PathBuf;
use std::str::FromStr;

use clap::Args;
use warmhold::quantity::{self, Conductivity, Duration, Length, Mass, TemperatureDifference};
use warmhold::scenario::Override;

use crate::args::Show;

/// The scenario asked about.
#[derive(Args, Debug, Default)]
pub(crate) struct About {
    /// The scenario, or - for standard input; without it the built-in demonstration
    pub(crate) file: Option<PathBuf>,
    /// Puts one value in place of what the file says, such as "ring.width=100 mm"; may be repeated
    #[arg(long, value_name = "KEY=VALUE", value_parser = Override::parse)]
    pub(crate) set: Vec<Override>,
}

/// A quantity in SI, with what is accepted in words.
fn si<Q>(text: &str, si: impl Fn(Q) -> f64) -> Result<f64, String>
where
    Q: FromStr<Err = quantity::Error>,
{
    text.parse::<Q>().map(si).map_err(|error| format!("{}; {}", error.message(), error.help()))
}

/// A time above zero, s.
pub(crate) fn time(text: &str) -> Result<f64, String> {
    match si(text, Duration::si)? {
        seconds if seconds > 0.0 => Ok(seconds),
        _ => Err("write a time above zero, such as \"2 min\"".to_owned()),
    }
}

/// A length above zero, m.
pub(crate) fn length(text: &str) -> Result<f64, String> {
    match si(text, Length::si)? {
        metres if metres > 0.0 => Ok(metres),
        _ => Err("write a length above zero, such as \"300 mm\"".to_owned()),
    }
}

/// A change of temperature in a time, K/s.
pub(crate) fn rate(text: &str) -> Result<f64, String> {
    const HOW: &str = "write a rate such as \"50 K/min\", \"90 F/min\" or \"50 K/h\"";
    let (difference, per) = text.split_once('/').ok_or(HOW)?;
    let kelvin = si(difference.trim(), TemperatureDifference::si)?;
    let seconds = match per.trim() {
        "s" => 1.0,
        "min" => 60.0,
        "h" => 3600.0,
        _ => return Err(HOW.to_owned()),
    };
    if kelvin > 0.0 { Ok(kelvin / seconds) } else { Err(HOW.to_owned()) }
}

/// Low and high length, m.
pub(crate) fn lengths(text: &str) -> Result<[f64; 2], String> {
    const HOW: &str = "write both ends, such as \"200 mm..500 mm\"";
    let (low, high) = text.split_once("..").ok_or(HOW)?;
    let [low, high] = [length(low.trim())?, length(high.trim())?];
    if low <= high { Ok([low, high]) } else { Err(format!("the first is above the second: {HOW}")) }
}

/// Options of `plan`.
#[derive(Args, Debug, Default)]
pub(crate) struct Plan {
    #[command(flatten)]
    pub(crate) about: About,
    /// Working time wanted between two flames, in place of what the planned passes take
    #[arg(long, value_name = "TIME", value_parser = time, help_heading = "The job")]
    pub(crate) working_time: Option<f64>,
    /// Beads for each heat, in place of passes.per_heat
    #[arg(long, value_name = "N", value_parser = crate::args::whole::<1, 100>, help_heading = "The job")]
    pub(crate) beads: Option<usize>,
    /// The surface under the flame rises no faster than this over any minute, such as "50 K/min"
    #[arg(long, value_name = "RATE", value_parser = rate, help_heading = "The job")]
    pub(crate) fastest_heating: Option<f64>,
    /// The first heating takes at least this long
    #[arg(long, value_name = "TIME", value_parser = time, help_heading = "The job")]
    pub(crate) least_soak: Option<f64>,
    /// Narrowest and widest patch to look at: the diameter, or the narrower side, such as "200 mm..500 mm"
    #[arg(long, value_name = "FROM..TO", value_parser = lengths, help_heading = "The job")]
    pub(crate) widths: Option<[f64; 2]>,
    /// Keeps to the torch of the scenario: it may be turned down, not up
    #[arg(long, help_heading = "The job")]
    pub(crate) same_torch: bool,
    #[command(flatten)]
    pub(crate) show: Show,
    /// Draws the cooling curve of the proposal
    #[arg(long, value_name = "OUT.svg|OUT.png", help_heading = "The answer")]
    pub(crate) plot: Option<PathBuf>,
    /// Writes the proposal as a scenario: the file with the changed values put in
    #[arg(long, value_name = "OUT.toml", help_heading = "The answer")]
    pub(crate) write: Option<PathBuf>,
    /// Replaces files that are there already
    #[arg(long, help_heading = "The answer")]
    pub(crate) force: bool,
}

/// Options of `rules`.
#[derive(Args, Debug, Default)]
pub(crate) struct Rules {
    #[command(flatten)]
    pub(crate) about: About,
    /// Masses of the casting, such as "0.5 t, 5 t, 20 t"
    #[arg(long, value_name = "LIST", value_parser = masses, help_heading = "The table")]
    pub(crate) masses: Option<List>,
    /// Thicknesses under the patch, such as "40 mm, 75 mm, 200 mm"
    #[arg(long, value_name = "LIST", value_parser = metres, help_heading = "The table")]
    pub(crate) sections: Option<List>,
    /// Diameters of the heated disc, such as "300 mm, 400 mm"
    #[arg(long, value_name = "LIST", value_parser = metres, help_heading = "The table")]
    pub(crate) widths: Option<List>,
    /// First heatings, such as "15 min, 45 min"
    #[arg(long, value_name = "LIST", value_parser = seconds, help_heading = "The table")]
    pub(crate) soaks: Option<List>,
    /// Keeps a line for each finished cell in this file, and goes on from the lines that are there
    #[arg(long, value_name = "FILE", help_heading = "Long tables")]
    pub(crate) resume_from: Option<PathBuf>,
    /// Computes only this part of the cells, such as 2/4, into the file of --resume-from
    #[arg(long, value_name = "N/OF", value_parser = part, requires = "resume_from", help_heading = "Long tables")]
    pub(crate) part: Option<[usize; 2]>,
    /// Makes the table of the files of all parts, and computes nothing
    #[arg(long, value_name = "FILE", num_args = 1.., conflicts_with_all = ["file", "set", "resume_from", "part"], help_heading = "Long tables")]
    pub(crate) merge: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) show: Show,
    /// Writes the table as Markdown, too
    #[arg(long, value_name = "OUT.md", help_heading = "The answer")]
    pub(crate) markdown: Option<PathBuf>,
    /// Writes the table as CSV, too
    #[arg(long, value_name = "OUT.csv", help_heading = "The answer")]
    pub(crate) csv: Option<PathBuf>,
    /// Draws the hold over the section, a line for each mass
    #[arg(long, value_name = "OUT.svg|OUT.png", help_heading = "The answer")]
    pub(crate) plot: Option<PathBuf>,
    /// Replaces files that are there already
    #[arg(long, help_heading = "The answer")]
    pub(crate) force: bool,
}

/// Options of `spread`.
#[derive(Args, Debug)]
pub(crate) struct Spread {
    #[command(flatten)]
    pub(crate) about: About,
    /// Samples of the stated ranges; shares of the variance take 24 with one input, 124 with six
    #[arg(long, value_name = "N", default_value_t = 256, value_parser = crate::args::whole::<16, 100_000>, help_heading = "The sampling")]
    pub(crate) samples: usize,
    /// Another seed takes other samples; the bands hardly move
    #[arg(long, value_name = "N", default_value_t = 1, help_heading = "The sampling")]
    pub(crate) seed: u64,
    #[command(flatten)]
    pub(crate) show: Show,
    #[command(flatten)]
    pub(crate) draw: Draw,
}

/// A picture of an answer.
#[derive(Args, Debug, Default)]
#[command(next_help_heading = "The answer")]
pub(crate) struct Draw {
    /// Draws the answer
    #[arg(long, value_name = "OUT.svg|OUT.png")]
    pub(crate) plot: Option<PathBuf>,
    /// Replaces a file that is there already
    #[arg(long)]
    pub(crate) force: bool,
}

/// Options of `cool`.
#[derive(Args, Debug)]
pub(crate) struct Cool {
    #[command(flatten)]
    pub(crate) about: About,
    /// Thickness of the blanket to compare with
    #[arg(long, value_name = "LENGTH", default_value = "25 mm", value_parser = length, help_heading = "The cool-down")]
    pub(crate) blanket: f64,
    /// Its conductivity; ceramic fibre at 200 C has about 0.05 to 0.15 W/mK (practice)
    #[arg(long, value_name = "CONDUCTIVITY", default_value = "0.1 W/mK", value_parser = conductivity, help_heading = "The cool-down")]
    pub(crate) blanket_conductivity: f64,
    /// The ring is to cool no faster than this over any hour, such as "50 K/h"
    #[arg(long, value_name = "RATE", value_parser = rate, help_heading = "The cool-down")]
    pub(crate) limit: Option<f64>,
    #[command(flatten)]
    pub(crate) show: Show,
    #[command(flatten)]
    pub(crate) draw: Draw,
}

fn conductivity(text: &str) -> Result<f64, String> {
    match si(text, Conductivity::si)? {
        value if value > 0.0 => Ok(value),
        _ => Err("write a conductivity above zero, such as \"0.1 W/mK\"".to_owned()),
    }
}

/// Options of `explain`.
#[derive(Args, Debug, Default)]
pub(crate) struct Explain {
    #[command(flatten)]
    pub(crate) about: About,
    #[command(flatten)]
    pub(crate) show: Show,
    #[command(flatten)]
    pub(crate) draw: Draw,
    /// Draws the chart of all discs: hold over heating time, engine and closed form
    #[arg(long, value_name = "OUT.svg|OUT.png", help_heading = "The answer")]
    pub(crate) chart: Option<PathBuf>,
}

/// Several values of one quantity, SI.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct List(pub(crate) Vec<f64>);

fn list(text: &str, one: impl Fn(&str) -> Result<f64, String>) -> Result<List, String> {
    const MOST: usize = 50;
    let values: Vec<f64> = text.split(',').map(|item| one(item.trim())).collect::<Result<_, _>>()?;
    if values.len() > MOST { Err(format!("at most {MOST} values")) } else { Ok(List(values)) }
}

fn metres(text: &str) -> Result<List, String> {
    list(text, length)
}

fn seconds(text: &str) -> Result<List, String> {
    list(text, time)
}

fn masses(text: &str) -> Result<List, String> {
    list(text, |item| match si(item, Mass::si)? {
        kg if kg > 0.0 => Ok(kg),
        _ => Err("write a mass above zero, such as \"5 t\"".to_owned()),
    })
}

fn part(text: &str) -> Result<[usize; 2], String> {
    let numbers = text.split_once('/').and_then(|(n, of)| Some([n.trim().parse().ok()?, of.trim().parse().ok()?]));
    match numbers {
        Some([n, of]) if (1..=of).contains(&n) && of <= 10_000 => Ok([n, of]),
        _ => Err("write which part of how many, such as 2/4".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rates_and_spans_are_read_with_their_units_and_slips_say_what_to_type() {
        assert!((rate("50 K/min").unwrap() - 50.0 / 60.0).abs() < 1e-12);
        assert!((rate("90 F/min").unwrap() - 50.0 / 60.0).abs() < 1e-12);
        assert!((rate("50 K/h").unwrap() - 50.0 / 3600.0).abs() < 1e-12);
        for wrong in ["50", "50 K", "0 K/min", "50 K/week"] {
            assert!(rate(wrong).unwrap_err().contains("50 K/min"), "{wrong}");
        }
        assert_eq!(lengths("200 mm..0.5 m").unwrap(), [0.2, 0.5]);
        assert!(lengths("500 mm..200 mm").unwrap_err().contains("200 mm..500 mm"));
    }
}
