//! `rules`: the same repair over die masses, section thicknesses, heated widths and soaks.
//!
//! Each cell is a block of a mass and a section with the face of the scenario's proportions, the patch in its middle.
//!
//! A rule says: turn the flame so that the stated place reads the stated temperature after so many minutes, take it away
//! by that reading, not by the clock, come back after the interval, and heat to the same reading again. Those minutes are
//! the soak rounded to the nearest, and the torch is set so that the reading takes just that. With this torch the
//! shortest hold over the stated ranges, less its numerical error, is rounded down to the interval. Interval and beads are
//! then judged as [`check`](crate::check()) judges a schedule: against both limits of the window and that of the surface,
//! at both ends of every range and with all at their worst together, over the first heating and the reheats, with the heat
//! of the beads. What does not keep inside is tried with fewer beads (without beads: with a shorter interval), and what
//! then fails is printed as not possible, with the reason.

mod cell;
mod die;
mod findings;

use std::collections::BTreeSet;

use heat::{Case, Face, Flame, Schedule};
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Error, Question, Range, WindowC};
pub use cell::Rule;
pub use findings::{Findings, findings};

/// Name and number of the layout.
const SCHEMA: &str = "warmhold rules 1";
/// Middles of the classes small half, medium, large panel half and full draw die, kg (D1, D2, `practice`).
const MASSES_KG: [f64; 6] = [200.0, 600.0, 2500.0, 10_000.0, 20_000.0, 50_000.0];
/// Ribs, faces, thin and thick solid inserts, m (D3, `practice`).
const SECTIONS_M: [f64; 4] = [0.04, 0.075, 0.1, 0.2];
/// Heated widths over the ring's outer diameter (D12, `computed`).
const WIDTHS: [f64; 3] = [1.5, 2.0, 2.5];
/// Soaks, s: within what N3 looks at.
const SOAKS_S: [f64; 2] = [900.0, 2700.0];
/// Fewest and most reheats that a rule is judged over.
const REHEATS: [usize; 2] = [2, 12];
/// Widths are rounded up to this, m.
const WIDTH_STEP_M: f64 = 0.01;

/// What the table is made over; empty lists take the usual values.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wishes {
    /// Masses, kg.
    pub masses_kg: Vec<f64>,
    /// Section thicknesses, m.
    pub sections_m: Vec<f64>,
    /// Diameters of the heated disc, m.
    pub widths_m: Vec<f64>,
    /// Soaks, s.
    pub soaks_s: Vec<f64>,
}

/// One range that the band covers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RangeOf {
    /// Which input.
    pub input: String,
    /// Low end over nominal.
    pub low: f64,
    /// High end over nominal.
    pub high: f64,
    /// Where it comes from.
    pub source: String,
}

/// Everything about a table but its rows; two parts with the same head belong together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Head {
    /// Name and number of this layout.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// SHA-256 of the scenario after overrides.
    pub input_sha256: String,
    /// Title of the scenario.
    pub title: String,
    /// Metal.
    pub metal: String,
    /// Temperature of the whole casting at the start, Celsius.
    pub start_c: f64,
    /// The window.
    pub window: WindowC,
    /// The flame goes off when this place reads the temperature below.
    pub reads_at: String,
    /// That temperature, Celsius.
    pub reads_c: f64,
    /// Width and depth of the ring, m.
    pub ring_m: [f64; 2],
    /// Sides of the groove, m.
    pub groove_m: [f64; 2],
    /// Net power of the scenario's torch as stated, W.
    pub torch_w: f64,
    /// Reheats to the same reading that every rule is judged over.
    pub reheats: usize,
    /// From flame off to the first bead, longest arc and longest pause, s; null where no passes are planned.
    pub bead_s: Option<[f64; 3]>,
    /// Masses, kg.
    pub masses_kg: Vec<f64>,
    /// Sections, m.
    pub sections_m: Vec<f64>,
    /// Heated widths, m.
    pub widths_m: Vec<f64>,
    /// Soaks, s.
    pub soaks_s: Vec<f64>,
    /// What the bands cover.
    pub ranges: Vec<RangeOf>,
    /// Cautions to print.
    pub cautions: Vec<String>,
}

/// A table of rules.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Table {
    /// What it is about.
    pub head: Head,
    /// Where mass stops mattering and section takes over; null where too few cells are possible to tell.
    pub findings: Option<Findings>,
    /// One for each cell, in the order of masses, sections, widths and soaks.
    pub rules: Vec<Rule>,
}

impl Head {
    /// Number of cells.
    #[must_use]
    pub fn cells(&self) -> usize {
        self.masses_kg.len() * self.sections_m.len() * self.widths_m.len() * self.soaks_s.len()
    }

    /// Mass, section, width and soak of a cell.
    fn at(&self, number: usize) -> [f64; 4] {
        let (rest, soak) = (number / self.soaks_s.len(), number % self.soaks_s.len());
        let (rest, width) = (rest / self.widths_m.len(), rest % self.widths_m.len());
        let (mass, section) = (rest / self.sections_m.len(), rest % self.sections_m.len());
        [self.masses_kg[mass], self.sections_m[section], self.widths_m[width], self.soaks_s[soak]]
    }

    /// The table of finished rules, or the first number that is missing.
    ///
    /// # Errors
    /// The number of the first cell without a rule.
    pub fn table(self, rules: Vec<Rule>) -> Result<Table, usize> {
        let mut rules = rules;
        rules.sort_by_key(|rule| rule.number);
        rules.dedup_by_key(|rule| rule.number);
        if let Some(missing) = (0..self.cells()).find(|&n| rules.get(n).is_none_or(|rule| rule.number != n)) {
            return Err(missing);
        }
        Ok(Table { findings: findings(&self, &rules), head: self, rules })
    }
}

/// What the table is about.
///
/// # Errors
/// [`Error::Needs`] for a scenario without a window, a reading that ends the heating, or one even torch that is all the
/// heat there is, and for a width within the ring.
pub fn head(case: &Case, question: &Question, wishes: &Wishes) -> Result<Head, Error> {
    let needs = |what: &str| Error::Needs { what: what.to_owned() };
    let (Some(window), Some((ring, _))) = (question.window, question.ring) else {
        return Err(needs("a [window] and a [groove]: a rule says how long the ring stays inside the window"));
    };
    let torch = lone_torch(case)?;
    let (reads_at, reads_c, reheats) = reading(case)?;
    let [x, y] = ring.groove.extent();
    let groove_m = [x[1] - x[0], y[1] - y[0]];
    let outer_m = ring.across();
    if wishes.widths_m.iter().any(|width| *width < outer_m) {
        let least = crate::said::length((outer_m * 1e3).ceil() * 1e-3);
        return Err(needs(&format!(
            "heated widths of at least {least}: the ring is so wide across, and a disc within it never warms its rim"
        )));
    }
    let or = |stated: &Vec<f64>, usual: &[f64]| if stated.is_empty() { usual.to_vec() } else { stated.clone() };
    let widths: Vec<f64> = WIDTHS.iter().map(|w| (outer_m * w / WIDTH_STEP_M).ceil() * WIDTH_STEP_M).collect();
    let bead = case.passes.as_ref().filter(|passes| !passes.list.is_empty()).map(die::longest_bead);
    let range =
        |r: &Range| RangeOf { input: r.lever.words().to_owned(), low: r.low, high: r.high, source: r.source.clone() };
    Ok(Head {
        schema: SCHEMA.to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: question.input_sha256.clone(),
        title: question.title.clone(),
        metal: question.metal.clone(),
        start_c: case.start_c,
        window: window.into(),
        reads_at,
        reads_c,
        ring_m: [ring.width, ring.depth],
        groove_m,
        torch_w: torch.kind.net_flux(case.start_c) * torch.patch.area(),
        reheats,
        bead_s: bead,
        masses_kg: or(&wishes.masses_kg, &MASSES_KG),
        sections_m: or(&wishes.sections_m, &SECTIONS_M),
        widths_m: or(&wishes.widths_m, &widths),
        soaks_s: or(&wishes.soaks_s, &SOAKS_S),
        ranges: die::ranges(case.passes.is_some(), question).iter().map(range).collect(),
        cautions: question.cautions.clone(),
    })
}

/// The torch, where it is all the heat there is and can be turned into an even disc of any width.
fn lone_torch(case: &Case) -> Result<heat::Torch, Error> {
    let beside = [
        (case.torches.len() != 1, "more or fewer torches than one"),
        (!case.heaters.is_empty(), "heat beside it ([[heater]])"),
        (!case.covers.is_empty(), "covers ([[cover]])"),
        (case.torches.iter().any(|torch| torch.face != Face::Worked), "a torch on another face"),
        (case.torches.iter().any(|torch| torch.circles.is_some()), "circles of a given size (torch.circles)"),
        (case.torches.iter().any(|torch| torch.thermostat.is_some()), "a thermostat"),
    ];
    let found: Vec<&str> = beside.iter().filter(|(is, _)| *is).map(|(_, what)| *what).collect();
    match case.torches.first() {
        Some(torch) if found.is_empty() => Ok(*torch),
        _ => Err(Error::Needs {
            what: format!(
                "one torch with even heat and nothing beside it, since where the rest lies on dies of other sizes is not \
                 known; here is {}: take it out, or ask `check` about this casting",
                found.join(" and ")
            ),
        }),
    }
}

/// Where and what the scenario reads when its first flame goes off, and how often a rule is heated again.
fn reading(case: &Case) -> Result<(String, f64, usize), Error> {
    match case.schedule {
        Schedule::Cycles { heat_up: Flame::Until { probe, temperature_c, .. }, reheats, .. } => {
            let name = case.probes.get(probe).map_or("", |probe| probe.name.as_str());
            let known = ["ring_coldest", "ring_mean", "patch_centre", "patch_hottest"];
            let Some(name) = known.into_iter().find(|k| *k == name) else {
                let what = format!("a reading at a place that every die has ({}), not at a probe of this one", known.join(", "));
                return Err(Error::Needs { what });
            };
            Ok((name.to_owned(), temperature_c, reheats.clamp(REHEATS[0], REHEATS[1])))
        }
        _ => Err(Error::Needs {
            what: "a reading that ends the first heating, such as heat_up = { until = \"ring_coldest\", reads = \"400 F\", \
                   at_most = \"1 h\" }: a time alone means nothing over dies of every size"
                .to_owned(),
        }),
    }
}

/// Which cells are to be answered.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Todo {
    /// Those that have an answer already.
    pub done: BTreeSet<usize>,
    /// This part of so many, from 1; none for all.
    pub part: Option<[usize; 2]>,
}

/// Answers the cells that are to be done, one to a core; `finished` is told each as soon as it is there, in any order.
///
/// # Errors
/// As [`heat::solve`]; what has been finished by then has been told.
pub fn answer(
    (case, question): (&Case, &Question),
    head: &Head,
    todo: &Todo,
    finished: &(dyn Fn(&Rule) + Sync),
    keep_going: &(dyn Fn(f64) -> bool + Sync),
) -> Result<Vec<Rule>, Error> {
    let mine = |n: &usize| todo.part.is_none_or(|[part, parts]| n % parts == part - 1) && !todo.done.contains(n);
    let cells: Vec<usize> = (0..head.cells()).filter(mine).collect();
    let share = crate::progress::Share::new(keep_going);
    let rules = cells.par_iter().with_max_len(1).map(|&number| {
        if !share.going() {
            return Ok(None);
        }
        let rule = cell::rule((case, question), head, (number, head.at(number)), &|_| share.going())?;
        if !share.going() {
            return Ok(None);
        }
        finished(&rule);
        share.add(1.0 / cells.len() as f64);
        Ok(Some(rule))
    });
    let rules: Vec<Option<Rule>> = rules.collect::<Result<_, heat::Error>>()?;
    Ok(rules.into_iter().flatten().collect())
}
