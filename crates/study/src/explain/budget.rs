//! Where the heat of the patch goes after flame off.
//!
//! The patch is the metal under the heated disc down to half its radius, or through the casting. Its heat is read off
//! the section under it, as of a body of revolution; what leaves it sideways, downwards and to the air is read off the
//! gradients there, so that the change of the heat is a real check of all three.

use heat::{Accuracy, Case, Grids, Map, MapWindow, Model, Run, Shape};
use schemars::JsonSchema;
use serde::Serialize;

use crate::{Error, Question};

/// Points along each side of the section; half of it over the radius.
const SECTION: (usize, f64) = (161, 1.6);
/// Depth of the patch over its radius.
const DEPTH: f64 = 0.5;
/// Cells across.
const CELLS: usize = 28;
/// Instants after flame off, s.
const AFTER_S: [f64; 17] =
    [0.5, 1.0, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 80.0, 100.0, 120.0, 150.0, 180.0];

/// One instant.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Moment {
    /// After flame off, s.
    pub time_s: f64,
    /// Heat of the patch above the start, J.
    pub heat_j: f64,
    /// Conducted sideways, W.
    pub sideways_w: f64,
    /// Conducted downwards, W.
    pub down_w: f64,
    /// To the air and the walls, W.
    pub air_w: f64,
    /// Gone since flame off, J: sideways, down, to the air.
    pub gone_j: [f64; 3],
}

/// The patch after flame off.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Budget {
    /// Radius of the patch, m; that of the disc of equal area where it is no disc.
    pub radius_m: f64,
    /// Its depth, m.
    pub depth_m: f64,
    /// Instants.
    pub moments: Vec<Moment>,
    /// What it was read for where that is not the patch as stated; null where it is.
    pub stands_for: Option<String>,
    /// Largest part of the heat lost since the first instant that the three ways do not account for.
    pub unaccounted: f64,
}

/// The budget of a run that heats once and cools.
///
/// # Errors
/// As [`heat::solve`].
pub fn budget(case: &Case, question: &Question, run: &Run) -> Result<Budget, Error> {
    let patch = case.torches[0].patch;
    let (centre, radius) = (patch.centre(), (patch.area() / std::f64::consts::PI).sqrt());
    let mut round = case.clone();
    round.torches[0].patch = Shape::Disc { centre, radius };
    if run.model != "axisymmetric" {
        // They are not round.
        round.heaters.clear();
        round.covers.clear();
    }
    let section_m = case.thickness_under_the_patch();
    if !case.hollows.boxes.is_empty() {
        // Over a hollow: a plate of the section that is there.
        round.hollows = heat::Hollows::default();
        round.block.size[2] = section_m;
    }
    let [length, width, _] = round.block.size;
    let depth = (DEPTH * radius).min(section_m);
    let off_s = run.heats().first().map_or(0.0, |heat| heat[1]);
    let reach = (SECTION.1 * radius).min(centre[0]).min(length - centre[0]);
    let window = MapWindow {
        face: [[centre[0], centre[0] + reach], [(centre[1] - 0.01).max(0.0), (centre[1] + 0.01).min(width)]],
        section_y: centre[1],
        depth: (SECTION.1 * depth).min(section_m),
        points: SECTION.0,
        times_s: AFTER_S.iter().map(|t| off_s + t).collect(),
    };
    let accuracy =
        Accuracy { cells_across: CELLS, grids: Grids::MiddleOnly, step_error_k: 0.3, model: Model::Revolved };
    let accuracy = Accuracy { cells_across: accuracy.cells_across.max(question.accuracy.cells_across), ..accuracy };
    let maps = heat::maps(&round, &accuracy, &window, &run.events)?;
    let patch = Patch { case: &round, centre_x: centre[0], radius, depth };
    let mut moments: Vec<Moment> = maps.iter().map(|map| patch.moment(map, off_s)).collect();
    for n in 1..moments.len() {
        let (before, now) = (moments[n - 1], moments[n]);
        let step = now.time_s - before.time_s;
        let mean = [before.sideways_w + now.sideways_w, before.down_w + now.down_w, before.air_w + now.air_w];
        moments[n].gone_j = [0, 1, 2].map(|way| before.gone_j[way] + 0.5 * step * mean[way]);
    }
    let unaccounted = moments.iter().map(|m| {
        let lost = moments[0].heat_j - m.heat_j;
        if m.time_s < 5.0 { 0.0 } else { (lost - m.gone_j.iter().sum::<f64>()).abs() / lost.abs().max(1.0) }
    });
    let unaccounted = unaccounted.fold(0.0, f64::max);
    Ok(Budget { radius_m: radius, depth_m: depth, stands_for: stands_for(case, run), unaccounted, moments })
}

/// The budget is that of a body of revolution.
fn stands_for(case: &Case, run: &Run) -> Option<String> {
    let disc = if !case.hollows.boxes.is_empty() {
        "a disc of its area on a plate of the section under it"
    } else if run.model != "axisymmetric" {
        "a disc of its area far from the edges"
    } else {
        return None;
    };
    let alone = case.heaters.is_empty() && case.covers.is_empty();
    let without = if alone { "" } else { ", without the heat and the covers beside the torch" };
    Some(format!("{disc}{without}"))
}

struct Patch<'a> {
    case: &'a Case,
    centre_x: f64,
    radius: f64,
    depth: f64,
}

impl Patch<'_> {
    fn moment(&self, map: &Map, off_s: f64) -> Moment {
        let radii: Vec<f64> = map.x.iter().map(|x| x - self.centre_x).collect();
        let at = |i: usize, k: usize| map.section_c[k * radii.len() + i];
        let column = |k: usize| -> Vec<f64> { (0..radii.len()).map(|i| at(i, k)).collect() };
        let material = &self.case.material;
        let start = material.enthalpy(self.case.start_c);
        let disc = |k: usize, of: &dyn Fn(f64) -> f64| -> f64 {
            let line = column(k);
            let ring = |r: f64| std::f64::consts::TAU * r * of(read(&radii, &line, r));
            integral(0.0, self.radius, &ring)
        };
        let heat_at: Vec<f64> = (0..map.z.len()).map(|k| disc(k, &|c| material.enthalpy(c) - start)).collect();
        let heat_j = integral(0.0, self.depth, &|z| read(&map.z, &heat_at, z));
        let rim: Vec<f64> = (0..map.z.len())
            .map(|k| {
                let line: Vec<f64> = column(k).iter().map(|&c| material.potential(c)).collect();
                -slope(&radii, &line, self.radius) * std::f64::consts::TAU * self.radius
            })
            .collect();
        let sideways_w = integral(0.0, self.depth, &|z| read(&map.z, &rim, z));
        Moment {
            time_s: map.time_s - off_s,
            heat_j,
            sideways_w,
            down_w: self.down(map, &radii),
            air_w: disc(0, &|c| self.leaves(c)),
            gone_j: [0.0; 3],
        }
    }

    /// Out of the bottom of the patch; where that is the back of the casting, to what it stands on.
    fn down(&self, map: &Map, radii: &[f64]) -> f64 {
        let material = &self.case.material;
        let through = self.depth >= self.case.block.size[2] * (1.0 - 1e-9);
        let at = |i: usize| -> f64 {
            let line: Vec<f64> =
                (0..map.z.len()).map(|k| material.potential(map.section_c[k * radii.len() + i])).collect();
            if through {
                let back = map.section_c[(map.z.len() - 1) * radii.len() + i];
                return exchanged(&self.case.surfaces[5], back);
            }
            -slope(&map.z, &line, self.depth)
        };
        let flux: Vec<f64> = (0..radii.len()).map(at).collect();
        integral(0.0, self.radius, &|r| std::f64::consts::TAU * r * read(radii, &flux, r))
    }

    fn leaves(&self, celsius: f64) -> f64 {
        exchanged(&self.case.surfaces[4], celsius)
    }
}

/// What a surface gives off, W/m2.
fn exchanged(surface: &heat::Surface, celsius: f64) -> f64 {
    let kelvin = |c: f64| (c + heat::ZERO_CELSIUS_K).powi(4);
    surface.film_at(celsius) * (celsius - surface.air_c)
        + surface.contact_conductance * (celsius - surface.contact_c)
        + surface.emissivity * heat::STEFAN_BOLTZMANN * (kelvin(celsius) - kelvin(surface.surroundings_c))
}

/// A line read between its points.
fn read(places: &[f64], values: &[f64], at: f64) -> f64 {
    let n = places.partition_point(|p| *p <= at).clamp(1, places.len() - 1);
    let part = ((at - places[n - 1]) / (places[n] - places[n - 1])).clamp(0.0, 1.0);
    values[n - 1] + part * (values[n] - values[n - 1])
}

/// Slope of a line at a place, over a few points either side.
fn slope(places: &[f64], values: &[f64], at: f64) -> f64 {
    let half = 3.0 * (places[1] - places[0]);
    let last = places[places.len() - 1];
    let (low, high) = ((at - half).max(places[0]), (at + half).min(last));
    (read(places, values, high) - read(places, values, low)) / (high - low)
}

/// Simpson's rule.
fn integral(from: f64, to: f64, of: &dyn Fn(f64) -> f64) -> f64 {
    const PARTS: usize = 120;
    let step = (to - from) / PARTS as f64;
    let weight = |n: usize| {
        if n == 0 || n == PARTS {
            1.0
        } else if n % 2 == 1 {
            4.0
        } else {
            2.0
        }
    };
    (0..=PARTS).map(|n| weight(n) * of(from + n as f64 * step)).sum::<f64>() * step / 3.0
}
