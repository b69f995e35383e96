//! A second, independent discretisation for cross-checks: plain explicit steps on cell-centred boxes.
//!
//! Everything differs from the engine on purpose: unknowns sit in cell middles and not on grid lines, the temperature
//! itself is marched and not the enthalpy, each surface has its own temperature from the balance over half a cell,
//! and a step is one forward Euler step at the stability limit. It is slow and serves nothing but comparison.

use heat::{Case, ProbeKind, STEFAN_BOLTZMANN, Schedule, Shape, Surface, TorchKind, ZERO_CELSIUS_K};
use study::Question;

use crate::yardstick::{Observable, Reading};

/// Share of the stability limit that a step takes.
const SAFETY: f64 = 0.8;
/// Points along each side of a patch at which its coldest and hottest are looked for, less one.
const LATTICE: usize = 20;
/// Seconds between two looks at the probes, about.
const LOOK_S: f64 = 0.25;

/// Cell edges of one direction from `start`: `fine` equal cells over `width`, then `growing` cells that widen smoothly
/// to `end`. Twice the cells split every cell in two, along the same smooth mapping. `start` may lie above `end`.
pub fn edges(start: f64, width: f64, end: f64, [fine, growing]: [usize; 2]) -> Vec<f64> {
    let way = (end - start).signum();
    let cell = width / fine as f64;
    let left = (end - start).abs() - width;
    let reach = |growth: f64| cell * ((growth * growing as f64).exp() - 1.0) / growth;
    let (mut low, mut high) = (1e-9, 2.0);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if reach(middle) < left { low = middle } else { high = middle }
    }
    let inner = (0..=fine).map(|n| cell * n as f64);
    let outer = (1..=growing).map(|n| width + cell * ((low * n as f64).exp() - 1.0) / low);
    let mut edges: Vec<f64> = inner.chain(outer).map(|distance| start + way * distance).collect();
    let last = edges.len() - 1;
    edges[last] = end;
    edges.sort_by(f64::total_cmp);
    edges
}

/// Edges of the half of Y2 beyond its plane of symmetry; `n` times as fine as 10 mm on the patch and 5 mm under it.
pub fn half_of_y2(n: usize) -> [Vec<f64>; 3] {
    [
        edges(0.3, 0.04, 0.6, [4 * n, 8 * n]),
        edges(0.0, 0.08, 0.5, [8 * n, 9 * n]),
        edges(0.0, 0.01, 0.3, [2 * n, 12 * n]),
    ]
}

/// Edges of an eighth of Y3, finest at its faces; `n` times as fine as 20 mm there.
pub fn eighth_of_y3(n: usize) -> [Vec<f64>; 3] {
    [
        edges(1.0, 0.04, 0.5, [2 * n, 6 * n]),
        edges(0.8, 0.04, 0.4, [2 * n, 6 * n]),
        edges(0.0, 0.04, 0.2, [2 * n, 4 * n]),
    ]
}

/// A cell at an end of a direction, with its own part of the face.
struct Face {
    cell: usize,
    area: f64,
    half_width: f64,
    surface: Surface,
    torches: Vec<TorchKind>,
    /// Column of the worked face that it belongs to.
    worked: Option<usize>,
}

/// A march of the part of a case that the edges span; an end of the edges that is no face of the block is a plane of
/// symmetry.
pub struct Plain<'a> {
    case: &'a Case,
    metal: Line,
    edges: [Vec<f64>; 3],
    centres: [Vec<f64>; 3],
    count: [usize; 3],
    volume: Vec<f64>,
    /// Area over distance to the next cell along x, y, z, m; 0 at the last.
    links: [Vec<f64>; 3],
    faces: Vec<Face>,
    /// Celsius; x runs fastest.
    temperature: Vec<f64>,
    /// Temperature of the worked face above each column of cells, Celsius.
    worked: Vec<f64>,
    flow: Vec<f64>,
    time_s: f64,
}

impl<'a> Plain<'a> {
    /// At the start of a case.
    pub fn new(case: &'a Case, edges: [Vec<f64>; 3]) -> Plain<'a> {
        let centres = [0, 1, 2].map(|d| edges[d].windows(2).map(|w| 0.5 * (w[0] + w[1])).collect::<Vec<f64>>());
        let count = [centres[0].len(), centres[1].len(), centres[2].len()];
        let cells: usize = count.iter().product();
        let mut plain = Plain {
            case,
            metal: Line::of(case),
            edges,
            centres,
            count,
            volume: Vec::new(),
            links: [vec![0.0; cells], vec![0.0; cells], vec![0.0; cells]],
            faces: Vec::new(),
            temperature: vec![case.start_c; cells],
            worked: vec![case.start_c; count[0] * count[1]],
            flow: vec![0.0; cells],
            time_s: 0.0,
        };
        plain.volume = (0..cells).map(|n| (0..3).map(|d| plain.width(d, plain.place(n)[d])).product()).collect();
        (0..cells).for_each(|n| plain.link(n));
        (0..6).for_each(|face| plain.add_face(face));
        plain
    }

    fn place(&self, n: usize) -> [usize; 3] {
        [n % self.count[0], n / self.count[0] % self.count[1], n / (self.count[0] * self.count[1])]
    }

    fn width(&self, direction: usize, n: usize) -> f64 {
        self.edges[direction][n + 1] - self.edges[direction][n]
    }

    fn link(&mut self, n: usize) {
        for (d, at) in self.place(n).into_iter().enumerate() {
            if at + 1 < self.count[d] {
                let gap = self.centres[d][at + 1] - self.centres[d][at];
                self.links[d][n] = self.volume[n] / self.width(d, at) / gap;
            }
        }
    }

    /// The cells at one end of a direction, numbered as the faces of the block; none at a plane of symmetry.
    fn add_face(&mut self, number: usize) {
        let (d, end) = (number / 2, number % 2);
        let at = if end == 0 { 0 } else { self.count[d] - 1 };
        let face_m = if end == 0 { 0.0 } else { self.case.block.size[d] };
        if self.edges[d][at + end] != face_m {
            return;
        }
        let half_width = 0.5 * self.width(d, at);
        let cells: Vec<usize> = (0..self.volume.len()).filter(|&n| self.place(n)[d] == at).collect();
        for cell in cells {
            let worked = (number == 4).then_some(cell);
            let under = self.case.torches.iter().filter(|t| worked.is_some() && self.under(&t.patch, cell));
            let torches = under.map(|t| t.kind).collect();
            let area = 0.5 * self.volume[cell] / half_width;
            self.faces.push(Face { cell, area, half_width, surface: self.case.surfaces[number], torches, worked });
        }
    }

    fn under(&self, patch: &Shape, cell: usize) -> bool {
        let [i, j, _] = self.place(cell);
        patch.distance([self.centres[0][i], self.centres[1][j]]) < 0.0
    }

    /// Marches through the schedule and reads every observable.
    pub fn run(&mut self, question: &Question) -> Vec<Reading> {
        let Schedule::Spans { on, end_s } = &self.case.schedule else { return Vec::new() };
        let mut halts: Vec<f64> = on.iter().flatten().chain(&self.case.output_s).copied().chain([*end_s]).collect();
        halts.sort_by(f64::total_cmp);
        halts.dedup();
        let mut log = vec![(0.0, self.probes())];
        for halt_s in halts {
            let flame = on.iter().any(|span| span[0] <= self.time_s && halt_s <= span[1]);
            self.march(flame, halt_s, &mut log);
        }
        readings(self.case, question, (on, *end_s), &log)
    }

    /// Steps to a time, logging all probes there and every quarter of a second on the way.
    fn march(&mut self, flame: bool, until_s: f64, log: &mut Vec<(f64, Vec<f64>)>) {
        let span = until_s - self.time_s;
        let steps = (span / self.longest_step()).ceil().max(1.0);
        for n in 0..steps as usize {
            self.step(flame, span / steps);
            self.time_s = if n + 1 == steps as usize { until_s } else { self.time_s + span / steps };
            if self.time_s == until_s || log.last().is_none_or(|(last_s, _)| self.time_s - last_s >= LOOK_S) {
                log.push((self.time_s, self.probes()));
            }
        }
    }

    fn longest_step(&self) -> f64 {
        let rates = self.edges.iter().map(|line| {
            let narrowest = line.windows(2).map(|w| w[1] - w[0]).fold(f64::MAX, f64::min);
            2.0 / (narrowest * narrowest)
        });
        let fastest = self.case.material.rows().iter().map(|row| self.case.material.diffusivity(row.temperature_c));
        SAFETY / (rates.sum::<f64>() * fastest.fold(0.0, f64::max))
    }

    fn step(&mut self, flame: bool, step_s: f64) {
        self.flow.fill(0.0);
        for (direction, stride) in [1, self.count[0], self.worked.len()].into_iter().enumerate() {
            self.conduct(direction, stride);
        }
        self.exchange(flame);
        for ((t, flow), volume) in self.temperature.iter_mut().zip(&self.flow).zip(&self.volume) {
            *t += step_s * flow / (self.metal.capacity(*t) * volume);
        }
    }

    /// Flows between neighbours, with the conductivity at the mean of their temperatures.
    fn conduct(&mut self, direction: usize, stride: usize) {
        for n in 0..self.temperature.len() - stride {
            let (a, b) = (self.temperature[n], self.temperature[n + stride]);
            let flow = self.links[direction][n] * self.metal.conductivity(0.5 * (a + b)) * (a - b);
            self.flow[n] -= flow;
            self.flow[n + stride] += flow;
        }
    }

    fn exchange(&mut self, flame: bool) {
        for face in &self.faces {
            let inside = self.temperature[face.cell];
            let link = self.metal.conductivity(inside) / face.half_width;
            let torches: &[TorchKind] = if flame { &face.torches } else { &[] };
            let surface_c = balance(&face.surface, torches, link, inside);
            self.flow[face.cell] -= link * (inside - surface_c) * face.area;
            if let Some(column) = face.worked {
                self.worked[column] = surface_c;
            }
        }
    }

    fn probes(&self) -> Vec<f64> {
        self.case.probes.iter().map(|probe| self.probe(&probe.kind)).collect()
    }

    fn probe(&self, kind: &ProbeKind) -> f64 {
        match kind {
            ProbeKind::Point { at } => self.at(*at),
            ProbeKind::PatchMean(shape) => self.mean(shape),
            ProbeKind::PatchColdest(shape) => self.lattice(shape).fold(f64::MAX, f64::min),
            ProbeKind::PatchHottest(shape) => self.lattice(shape).fold(f64::MIN, f64::max),
            _ => f64::NAN,
        }
    }

    fn mean(&self, shape: &Shape) -> f64 {
        let columns = (0..self.worked.len()).filter(|&n| self.under(shape, n));
        let area = |n: usize| self.volume[n] / self.width(2, 0);
        let [heat, total] =
            columns.fold([0.0; 2], |[heat, total], n| [heat + area(n) * self.worked[n], total + area(n)]);
        heat / total
    }

    /// Temperatures all over the part of a rectangle that is marched, its rim included.
    fn lattice(&self, shape: &Shape) -> impl Iterator<Item = f64> + '_ {
        let [x, y] = shape.extent();
        let ends = |d: usize, s: [f64; 2]| [s[0].max(self.edges[d][0]), s[1].min(self.edges[d][self.count[d]])];
        let (x, y) = (ends(0, x), ends(1, y));
        let place = |[low, high]: [f64; 2], n: usize| low + (high - low) * n as f64 / LATTICE as f64;
        let pairs = (0..=LATTICE).flat_map(|i| (0..=LATTICE).map(move |j| (i, j)));
        pairs.map(move |(i, j)| self.at([place(x, i), place(y, j), 0.0]))
    }

    /// Temperature at a place, folded into the marched part, by cubic interpolation.
    fn at(&self, mut at: [f64; 3]) -> f64 {
        for (d, value) in at.iter_mut().enumerate() {
            let (low, high) = (self.edges[d][0], self.edges[d][self.count[d]]);
            if *value < low {
                *value = 2.0 * low - *value;
            } else if *value > high {
                *value = 2.0 * high - *value;
            }
        }
        let mut depths = vec![0.0];
        depths.extend(&self.centres[2]);
        let (x, y, z) = (stencil(&self.centres[0], at[0]), stencil(&self.centres[1], at[1]), stencil(&depths, at[2]));
        let column = |i: usize, j: usize| {
            let foot = i + self.count[0] * j;
            let value = |k: usize| match k {
                0 => self.worked[foot],
                _ => self.temperature[foot + self.worked.len() * (k - 1)],
            };
            z.iter().map(|&(k, w)| w * value(k)).sum::<f64>()
        };
        x.iter()
            .flat_map(|&(i, wx)| y.iter().map(move |&(j, wy)| (i, j, wx * wy)))
            .map(|(i, j, w)| w * column(i, j))
            .sum()
    }
}

/// Properties as straight lines between the first and last row of a table.
#[derive(Clone, Copy)]
struct Line {
    at_c: f64,
    conductivity: [f64; 2],
    capacity: [f64; 2],
}

impl Line {
    fn of(case: &Case) -> Line {
        let rows = case.material.rows();
        let (a, b) = (rows[0], rows[rows.len() - 1]);
        let density = case.material.density();
        let slope =
            |from: f64, to: f64| if rows.len() == 1 { 0.0 } else { (to - from) / (b.temperature_c - a.temperature_c) };
        Line {
            at_c: a.temperature_c,
            conductivity: [a.conductivity, slope(a.conductivity, b.conductivity)],
            capacity: [density * a.specific_heat, density * slope(a.specific_heat, b.specific_heat)],
        }
    }

    fn conductivity(&self, t: f64) -> f64 {
        self.conductivity[0] + self.conductivity[1] * (t - self.at_c)
    }

    fn capacity(&self, t: f64) -> f64 {
        self.capacity[0] + self.capacity[1] * (t - self.at_c)
    }
}

/// Surface temperature at which what the half cell brings (`link`, W/m2K, from `inside`) is what the face gives away.
fn balance(surface: &Surface, torches: &[TorchKind], link: f64, inside: f64) -> f64 {
    let far = (surface.surroundings_c + ZERO_CELSIUS_K).powi(4);
    let mut t = inside;
    // Newton's method; only radiation and a film by table are curved, weak against the half cell: three turns settle it.
    for _ in 0..3 {
        let kelvin = t + ZERO_CELSIUS_K;
        let radiating = surface.emissivity * STEFAN_BOLTZMANN;
        let film = surface.film_at(t);
        let mut lost = film * (t - surface.air_c)
            + surface.contact_conductance * (t - surface.contact_c)
            + radiating * (kelvin.powi(4) - far);
        let mut slope = link + film + surface.contact_conductance + 4.0 * radiating * kelvin.powi(3);
        for torch in torches {
            match *torch {
                TorchKind::Flux { flux } => lost -= flux,
                TorchKind::Flame { film_coefficient, gas_c } => {
                    lost -= film_coefficient * (gas_c - t);
                    slope += film_coefficient;
                }
            }
        }
        t -= (lost - link * (inside - t)) / slope;
    }
    t
}

/// Cubic Lagrange weights of the four nodes around a place; beyond the ends the nearest four.
fn stencil(nodes: &[f64], at: f64) -> Vec<(usize, f64)> {
    let size = nodes.len().min(4);
    let first = nodes.partition_point(|&x| x < at).saturating_sub(2).min(nodes.len() - size);
    let weight = |n: usize| {
        let others = (first..first + size).filter(|&m| m != n);
        others.map(|m| (at - nodes[m]) / (nodes[n] - nodes[m])).product()
    };
    (first..first + size).map(|n| (n, weight(n))).collect()
}

/// Observables from a log of all probes.
fn readings(
    case: &Case,
    question: &Question,
    (on, end_s): (&[[f64; 2]], f64),
    log: &[(f64, Vec<f64>)],
) -> Vec<Reading> {
    let mut readings = Vec::new();
    let mut add = |observable, value| readings.push(Reading { observable, value, bar: 0.0 });
    for (n, probe) in case.probes.iter().enumerate() {
        for &at_s in &case.output_s {
            let value = log.iter().find(|(t, _)| *t == at_s).map(|(_, values)| values[n]);
            add(Observable::Temperature { probe: probe.name.clone(), at_s }, value);
        }
    }
    for watch in &question.watches {
        for (n, &[_, off_s]) in on.iter().enumerate() {
            let until_s = on.get(n + 1).map_or(end_s, |next| next[0]);
            let pieces = log.windows(2).filter(|w| w[0].0 >= off_s && w[1].0 <= until_s);
            let pairs = pieces.map(|w| [(w[0].0, w[0].1[watch.probe]), (w[1].0, w[1].1[watch.probe])]);
            let probe = case.probes[watch.probe].name.clone();
            let value = first_below(pairs, watch.limit_c).map(|time_s| time_s - off_s);
            add(Observable::Hold { probe, off_s, below_c: watch.limit_c }, value);
        }
    }
    readings
}

fn first_below(mut pairs: impl Iterator<Item = [(f64, f64); 2]>, limit_c: f64) -> Option<f64> {
    pairs.find(|[_, (_, after)]| *after < limit_c).map(|[(start_s, before), (end_s, after)]| {
        if before < limit_c { start_s } else { start_s + (end_s - start_s) * (before - limit_c) / (before - after) }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twice_the_cells_split_every_cell() {
        let (coarse, fine) = (edges(0.3, 0.04, 0.6, [4, 8]), edges(0.3, 0.04, 0.6, [8, 16]));
        for (n, edge) in coarse.iter().enumerate() {
            assert!((edge - fine[2 * n]).abs() < 1e-12, "{edge} {}", fine[2 * n]);
        }
        assert_eq!((coarse[0], coarse[12]), (0.3, 0.6));
    }
}
