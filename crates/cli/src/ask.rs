//! What may be typed for the questions that choose, generalise and explain.

use std::path::PathBuf;
use std::str::FromStr;

use clap::Args;
use warmhold::quantity::{self, Conductivity, Duration, Length, Mass, Temperature, TemperatureDifference};
use warmhold::scenario::Override;

use crate::args::{Looks, Show};

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

/// Longest time, s: that of a scenario.
const LONGEST_S: f64 = 30.0 * 24.0 * 3600.0;
/// Greatest length, m: that of a scenario.
const GREATEST_M: f64 = 50.0;
/// Heaviest casting, kg: far above any that is heated with a torch.
const HEAVIEST_KG: f64 = 1e6;
/// Best conductor, W/mK.
const BEST: f64 = 1000.0;

/// A value above zero and up to what is accepted.
fn within(value: f64, most: f64, how: &str) -> Result<f64, String> {
    if value > 0.0 && value <= most { Ok(value) } else { Err(how.to_owned()) }
}

/// A time above zero, s.
pub(crate) fn time(text: &str) -> Result<f64, String> {
    within(si(text, Duration::si)?, LONGEST_S, "write a time above zero, up to 30 days, such as \"2 min\"")
}

/// A mass above zero, kg.
pub(crate) fn mass(text: &str) -> Result<f64, String> {
    match si(text, Mass::si)? {
        kilograms if kilograms > 0.0 => Ok(kilograms),
        _ => Err("write a mass above zero, such as \"3 kg\"".to_owned()),
    }
}

/// A length above zero, m.
pub(crate) fn length(text: &str) -> Result<f64, String> {
    within(si(text, Length::si)?, GREATEST_M, "write a length above zero, up to 50 m, such as \"300 mm\"")
}

/// A seed of samples.
fn seed(text: &str) -> Result<u64, String> {
    text.trim().parse().map_err(|_| "write a whole number from 0 on, such as 7".to_owned())
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
    /// The first heating takes at most this long; default 4 h
    #[arg(long, value_name = "TIME", value_parser = time, help_heading = "The job")]
    pub(crate) longest_soak: Option<f64>,
    /// The whole job takes at most this long, as stated
    #[arg(long, value_name = "TIME", value_parser = time, help_heading = "The job")]
    pub(crate) longest_job: Option<f64>,
    /// The whole job burns at most so much gas, as stated, such as "3 kg"
    #[arg(long, value_name = "MASS", value_parser = mass, help_heading = "The job")]
    pub(crate) most_gas: Option<f64>,
    /// Narrowest and widest patch to look at: the diameter, or the narrower side, such as "200 mm..500 mm"
    #[arg(long, value_name = "FROM..TO", value_parser = lengths, help_heading = "The job")]
    pub(crate) widths: Option<[f64; 2]>,
    /// Keeps to the torch of the scenario: it may be turned down, not up
    #[arg(long, help_heading = "The job")]
    pub(crate) same_torch: bool,
    #[command(flatten)]
    pub(crate) show: Show,
    /// Draws the cooling curve of the proposal
    #[arg(long, group = "picture", value_name = "OUT.svg|OUT.png", help_heading = "The answer")]
    pub(crate) plot: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) looks: Looks,
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
    /// Draws the table as a heat map: intervals over masses and sections, a panel for each width and soak
    #[arg(long, group = "picture", value_name = "OUT.svg|OUT.png", help_heading = "The answer")]
    pub(crate) plot: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) looks: Looks,
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
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = seed, help_heading = "The sampling")]
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
    #[arg(long, group = "picture", value_name = "OUT.svg|OUT.png")]
    pub(crate) plot: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) looks: Looks,
    /// Replaces a file that is there already
    #[arg(long)]
    pub(crate) force: bool,
}

/// Options of `cool`.
#[derive(Args, Debug)]
pub(crate) struct Cool {
    #[command(flatten)]
    pub(crate) about: About,
    /// Thickness of the blanket to compare with: over the whole worked face, laid after the last bead or flame
    #[arg(long, value_name = "LENGTH", default_value = "25 mm", value_parser = length, help_heading = "The cool-down")]
    pub(crate) blanket: f64,
    /// Its conductivity; ceramic fibre at 200 C has about 0.05 to 0.15 W/mK (practice)
    #[arg(long, value_name = "CONDUCTIVITY", default_value = "0.1 W/mK", value_parser = conductivity, help_heading = "The cool-down")]
    pub(crate) blanket_conductivity: f64,
    /// The mean of the ring (without one, the hottest of the patch) is to fall no faster than this over any hour, such as
    /// "50 K/h"
    #[arg(long, value_name = "RATE", value_parser = rate, help_heading = "The cool-down")]
    pub(crate) limit: Option<f64>,
    /// Also tells when everything is below this, such as "60 C"; may be given several times
    #[arg(long, value_name = "TEMPERATURE", value_parser = celsius, help_heading = "The cool-down")]
    pub(crate) below: Vec<f64>,
    /// How far this reached on the worked face, in place of 150, 204, 260 and 400 C; may be given several times
    #[arg(long, value_name = "TEMPERATURE", value_parser = celsius, help_heading = "The cool-down")]
    pub(crate) contour: Vec<f64>,
    #[command(flatten)]
    pub(crate) show: Show,
    #[command(flatten)]
    pub(crate) draw: Draw,
}

fn celsius(text: &str) -> Result<f64, String> {
    si(text, Temperature::celsius)
}

fn conductivity(text: &str) -> Result<f64, String> {
    within(si(text, Conductivity::si)?, BEST, "write a conductivity above zero, up to 1000 W/mK, such as \"0.1 W/mK\"")
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
    /// Draws what each lever gains or loses, as bars
    #[arg(long, group = "picture", value_name = "OUT.svg|OUT.png", help_heading = "The answer")]
    pub(crate) levers: Option<PathBuf>,
    /// Draws the chart of all discs: hold over heating time, engine and closed form
    #[arg(long, group = "picture", value_name = "OUT.svg|OUT.png", help_heading = "The answer")]
    pub(crate) chart: Option<PathBuf>,
}

/// Several values of one quantity, SI.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct List(pub(crate) Vec<f64>);

fn list(text: &str, one: impl Fn(&str) -> Result<f64, String>) -> Result<List, String> {
    const MOST: usize = 50;
    if text.contains(';') {
        return Err("part the values by commas, such as \"A, B\", not by semicolons".to_owned());
    }
    let value = |item: &str| one(item).map_err(|error| without_commas(item, &one).unwrap_or(error));
    let values: Vec<f64> = text.split(',').map(|item| value(item.trim())).collect::<Result<_, _>>()?;
    if values.len() > MOST { Err(format!("at most {MOST} values")) } else { Ok(List(values)) }
}

/// What to type where values stand one after another: "10t 20t", or "40 mm 75 mm".
fn without_commas(item: &str, one: impl Fn(&str) -> Result<f64, String>) -> Option<String> {
    let words: Vec<&str> = item.split_whitespace().collect();
    let values = [1, 2].map(|each| words.chunks(each).map(|value| value.join(" ")).collect::<Vec<String>>());
    let values = values.into_iter().find(|values| values.len() > 1 && values.iter().all(|value| one(value).is_ok()))?;
    Some(format!("part the values by commas: write \"{}\"", values.join(", ")))
}

fn metres(text: &str) -> Result<List, String> {
    list(text, length)
}

fn seconds(text: &str) -> Result<List, String> {
    list(text, time)
}

fn masses(text: &str) -> Result<List, String> {
    list(text, |item| {
        within(si(item, Mass::si)?, HEAVIEST_KG, "write a mass above zero, up to 1000 t, such as \"5 t\"")
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
