//! What crosses the surfaces: losses of the faces, torches, and arcs, each booked under its own name.

use std::collections::BTreeMap;

use crate::case::{Case, Face, Surface, TorchKind};
use crate::film::FilmTable;
use crate::ledger::Ledger;
use crate::mesh::Mesh;
use crate::properties::Properties;
use crate::shape::Shape;
use crate::symmetry::Part;
use crate::{STEFAN_BOLTZMANN, ZERO_CELSIUS_K};

/// Temperature at which radiation is taken where only its strength matters, Celsius.
const RED_HEAT_C: f64 = 600.0;

/// Powers by name, W; losses positive outwards. Also used for energies, J.
#[derive(Clone, Copy, Debug, Default)]
pub struct Powers {
    /// Torches, into the metal.
    pub torch: f64,
    /// Arc, into the metal.
    pub arc: f64,
    /// To the air.
    pub convection: f64,
    /// By radiation.
    pub radiation: f64,
    /// Into what the casting stands on.
    pub contact: f64,
}

impl Powers {
    /// `self + factor * other`, term by term.
    pub fn plus(self, factor: f64, other: Powers) -> Powers {
        Powers {
            torch: self.torch + factor * other.torch,
            arc: self.arc + factor * other.arc,
            convection: self.convection + factor * other.convection,
            radiation: self.radiation + factor * other.radiation,
            contact: self.contact + factor * other.contact,
        }
    }

    /// As a ledger of energies, for a body of which `share` was solved.
    pub fn ledger(self, stored_j: f64, share: f64) -> Ledger {
        Ledger {
            torch_j: self.torch / share,
            arc_j: self.arc / share,
            stored_j: stored_j / share,
            convection_j: self.convection / share,
            radiation_j: self.radiation / share,
            contact_j: self.contact / share,
        }
    }
}

/// What is switched on.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Active {
    /// The torches burn.
    pub flame: bool,
    /// The arc of this pass burns.
    pub pass: Option<usize>,
}

/// One surface node: sums of area times coefficient over the faces that meet there.
#[derive(Clone, Copy, Debug, Default)]
struct Loss {
    node: usize,
    film: f64,
    film_air: f64,
    radiating: f64,
    received: f64,
    contact: f64,
    contact_air: f64,
}

/// A node under a source, with the area it shares with it, m2.
#[derive(Clone, Copy, Debug)]
struct Heated {
    node: usize,
    area: f64,
}

/// A surface whose film depends on its temperature: the table, the air, and the nodes with their areas.
#[derive(Clone, Debug)]
struct Film {
    table: FilmTable,
    air_c: f64,
    nodes: Vec<Heated>,
}

/// The exchanges of one mesh.
#[derive(Clone, Debug)]
pub struct Exchange {
    losses: Vec<Loss>,
    films: Vec<Film>,
    torches: Vec<(TorchKind, Vec<Heated>)>,
    /// Net power of each pass and its nodes; the areas of a pass sum to 1 over the whole casting.
    passes: Vec<(f64, Vec<Heated>)>,
}

impl Exchange {
    /// Exchanges of `case` on the mesh of a part of it.
    pub fn new(case: &Case, mesh: &Mesh, part: &Part) -> Exchange {
        let torches = case.torches.iter().map(|t| (t.kind, heated(mesh, part, &t.patch, 1.0))).collect();
        let size = case.block.size;
        let pass = |place: &Shape, power: f64| {
            let whole = place.overlap([0.0, size[0]], [0.0, size[1]]);
            (power, heated(mesh, part, place, 1.0 / whole))
        };
        let list = case.passes.iter().flat_map(|p| &p.list);
        let passes = list.map(|p| pass(&p.place, p.power)).collect();
        let (losses, films) = (losses(case, mesh, part), films(case, mesh, part));
        Exchange { losses, films, torches, passes }
    }

    /// Strongest loss of a node that does not lie on the worked face, for its volume, W/m3K; radiation as of red heat.
    pub fn elsewhere(&self, mesh: &Mesh) -> f64 {
        let worked = mesh.count[0] * mesh.count[1];
        let inside = self.losses.iter().filter(|loss| loss.node >= worked);
        let mut films = BTreeMap::new();
        for film in &self.films {
            for Heated { node, area } in &film.nodes {
                *films.entry(*node).or_insert(0.0) += area * film.table.strongest();
            }
        }
        // Every node of a table has a loss, if only one of zeros.
        let film = |loss: &Loss| loss.film + films.get(&loss.node).copied().unwrap_or(0.0);
        let strength = |loss: &Loss| film(loss) + loss.contact + 4.0 * loss.radiating * third(RED_HEAT_C);
        inside.map(|loss| strength(loss) / mesh.volume(loss.node)).fold(0.0, f64::max)
    }

    /// Adds the power into each node to `power` and returns the sums by name.
    pub fn power(&self, active: Active, properties: &Properties, enthalpy: &[f64], power: &mut [f64]) -> Powers {
        let mut sums = Powers::default();
        for loss in &self.losses {
            let (t, _) = properties.temperature(enthalpy[loss.node]);
            let convection = loss.film * t - loss.film_air;
            let radiation = loss.radiating * fourth(t) - loss.received;
            let contact = loss.contact * t - loss.contact_air;
            power[loss.node] -= convection + radiation + contact;
            sums.convection += convection;
            sums.radiation += radiation;
            sums.contact += contact;
        }
        for film in &self.films {
            for Heated { node, area } in &film.nodes {
                let (t, _) = properties.temperature(enthalpy[*node]);
                let convection = area * film.table.flux_and_slope(t, film.air_c).0;
                power[*node] -= convection;
                sums.convection += convection;
            }
        }
        for (kind, nodes) in self.torches.iter().filter(|_| active.flame) {
            for heated in nodes {
                let gain = torch_gain(*kind, heated.area, properties.temperature(enthalpy[heated.node]).0);
                power[heated.node] += gain;
                sums.torch += gain;
            }
        }
        if let Some(pass) = active.pass {
            let (net, nodes) = &self.passes[pass];
            for heated in nodes {
                power[heated.node] += net * heated.area;
                sums.arc += net * heated.area;
            }
        }
        sums
    }

    /// Slopes of the exchanges over potential (W per W/m) at a state, into `frozen`; their sum is added to the
    /// diagonal, and for the worked face's own nodes, the first ones, put into `worked` as well.
    pub fn freeze(
        &self,
        active: Active,
        state: &SurfaceState<'_>,
        frozen: &mut Frozen,
        [diagonal, worked]: [&mut [f64]; 2],
    ) {
        worked.fill(0.0);
        let mut add = |node: usize, slope: f64| {
            if let Some(worked) = worked.get_mut(node) {
                *worked += slope;
            }
            diagonal[node] += slope;
        };
        frozen.losses.clear();
        frozen.flames.clear();
        for loss in &self.losses {
            let (t, per_potential) = state.at(loss.node);
            let slopes = LossSlopes {
                node: loss.node,
                convection: loss.film * per_potential,
                radiation: 4.0 * loss.radiating * third(t) * per_potential,
                contact: loss.contact * per_potential,
            };
            add(loss.node, slopes.convection + slopes.radiation + slopes.contact);
            frozen.losses.push(slopes);
        }
        for film in &self.films {
            for Heated { node, area } in &film.nodes {
                let (t, per_potential) = state.at(*node);
                let convection = area * film.table.flux_and_slope(t, film.air_c).1 * per_potential;
                add(*node, convection);
                frozen.losses.push(LossSlopes { node: *node, convection, radiation: 0.0, contact: 0.0 });
            }
        }
        for (kind, nodes) in self.torches.iter().filter(|_| active.flame) {
            let TorchKind::Flame { film_coefficient, .. } = kind else { continue };
            for heated in nodes {
                let slope = film_coefficient * heated.area * state.at(heated.node).1;
                add(heated.node, slope);
                frozen.flames.push((heated.node, slope));
            }
        }
    }
}

/// Slopes of the losses of one surface node over its potential, W per W/m.
#[derive(Clone, Copy, Debug)]
struct LossSlopes {
    node: usize,
    convection: f64,
    radiation: f64,
    contact: f64,
}

/// The exchanges linearised at the start of a step.
#[derive(Clone, Debug, Default)]
pub struct Frozen {
    losses: Vec<LossSlopes>,
    flames: Vec<(usize, f64)>,
}

impl Frozen {
    /// Sums by name of the change of the exchanges, W, for a change of potential and a shift of it everywhere.
    pub fn change(&self, change: &[f64], shift: f64) -> Powers {
        let mut sums = Powers::default();
        for slopes in &self.losses {
            let change = change[slopes.node] + shift;
            sums.convection += slopes.convection * change;
            sums.radiation += slopes.radiation * change;
            sums.contact += slopes.contact * change;
        }
        for &(node, slope) in &self.flames {
            sums.torch -= slope * (change[node] + shift);
        }
        sums
    }
}

/// Temperature and its slope over potential at surface nodes.
pub struct SurfaceState<'a> {
    /// The metal.
    pub properties: &'a Properties,
    /// Enthalpy, J/m3.
    pub enthalpy: &'a [f64],
    /// One over diffusivity, s/m2.
    pub per_diffusivity: &'a [f64],
}

impl SurfaceState<'_> {
    /// Temperature (Celsius) and one over conductivity (mK/W) at a node.
    fn at(&self, node: usize) -> (f64, f64) {
        let (t, per_capacity) = self.properties.temperature(self.enthalpy[node]);
        (t, per_capacity * self.per_diffusivity[node])
    }
}

fn torch_gain(kind: TorchKind, area: f64, temperature_c: f64) -> f64 {
    match kind {
        TorchKind::Flux { flux } => flux * area,
        TorchKind::Flame { film_coefficient, gas_c } => film_coefficient * area * (gas_c - temperature_c),
    }
}

fn third(temperature_c: f64) -> f64 {
    let kelvin = temperature_c + ZERO_CELSIUS_K;
    kelvin * kelvin * kelvin
}

fn fourth(temperature_c: f64) -> f64 {
    let square = (temperature_c + ZERO_CELSIUS_K) * (temperature_c + ZERO_CELSIUS_K);
    square * square
}

/// Nodes of the worked face under a shape, their shared area times `factor`.
fn heated(mesh: &Mesh, part: &Part, shape: &Shape, factor: f64) -> Vec<Heated> {
    let [x, y, _] = &mesh.lines;
    let places = (0..y.len()).flat_map(|j| (0..x.len()).map(move |i| (i, j)));
    let area = |i: usize, j: usize| factor * part.overlap(shape, x.cell(i), y.cell(j));
    let nodes = places.map(|(i, j)| Heated { node: mesh.index(i, j, 0), area: area(i, j) });
    nodes.filter(|heated| heated.area > 0.0).collect()
}

/// The surfaces with a table. The areas of one are what it loses to air at a film coefficient of 1 when all others
/// exchange nothing, so that nodes where faces meet, mirrors and hollows are shared out in one place only.
fn films(case: &Case, mesh: &Mesh, part: &Part) -> Vec<Film> {
    let surfaces: Vec<Surface> = case.clone().surfaces_mut().map(|surface| *surface).collect();
    let film = |(number, surface): (usize, &Surface)| {
        let table = surface.film_table?;
        let mut alone = case.clone();
        for (other, surface) in alone.surfaces_mut().enumerate() {
            let film_coefficient = if other == number { 1.0 } else { 0.0 };
            *surface = Surface { film_coefficient, ..Surface::ADIABATIC };
        }
        let nodes = losses(&alone, mesh, part).iter().map(|loss| Heated { node: loss.node, area: loss.film }).collect();
        Some(Film { table, air_c: surface.air_c, nodes })
    };
    surfaces.iter().enumerate().filter_map(film).collect()
}

/// One entry for each surface node, faces that meet there added up.
fn losses(case: &Case, mesh: &Mesh, part: &Part) -> Vec<Loss> {
    let mut by_node = std::collections::BTreeMap::new();
    if let Some(cut) = &mesh.cut {
        for exposed in cut.exposed(&mesh.lines) {
            // A side of a mirror is no surface; every other end is the face of its number.
            let surface = match exposed.end {
                None => Some(&case.hollows.surface),
                Some(end) => part.open(end / 2)[end % 2].then(|| &case.surfaces[end]),
            };
            if let Some(surface) = surface {
                add_loss(surface, exposed.node, exposed.area, &mut by_node);
            }
        }
        return by_node.into_values().collect();
    }
    for face in [Face::XMin, Face::XMax, Face::YMin, Face::YMax, Face::Worked, Face::Back] {
        if let Some((end, share)) = part.end_of(face) {
            face_losses(&case.surfaces[face as usize], (mesh, end), share, &mut by_node);
        }
    }
    by_node.into_values().collect()
}

/// Adds what a surface loses over one end of the mesh (numbered as the faces are); cell areas are taken times `share`.
fn face_losses(surface: &Surface, (mesh, end): (&Mesh, usize), share: f64, by_node: &mut BTreeMap<usize, Loss>) {
    if surface.exchanges_nothing() {
        return;
    }
    let across = end / 2;
    let [u, v] = [[1, 2], [0, 2], [0, 1]][across];
    let fixed = if end.is_multiple_of(2) { 0 } else { mesh.count[across] - 1 };
    for b in 0..mesh.count[v] {
        for a in 0..mesh.count[u] {
            let mut place = [fixed; 3];
            (place[u], place[v]) = (a, b);
            let area = share * mesh.lines[u].weights[a] * mesh.lines[v].weights[b];
            let node = mesh.index(place[0], place[1], place[2]);
            add_loss(surface, node, area, by_node);
        }
    }
}

/// Adds what a surface loses over an area at a node; what goes by a film table is booked apart.
fn add_loss(surface: &Surface, node: usize, area: f64, by_node: &mut BTreeMap<usize, Loss>) {
    if surface.exchanges_nothing() {
        return;
    }
    let loss = by_node.entry(node).or_insert(Loss { node, ..Loss::default() });
    let radiating = area * surface.emissivity * STEFAN_BOLTZMANN;
    let film_coefficient = if surface.film_table.is_some() { 0.0 } else { surface.film_coefficient };
    loss.film += area * film_coefficient;
    loss.film_air += area * film_coefficient * surface.air_c;
    loss.radiating += radiating;
    loss.received += radiating * fourth(surface.surroundings_c);
    loss.contact += area * surface.contact_conductance;
    loss.contact_air += area * surface.contact_conductance * surface.contact_c;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grey_radiation_agrees_with_the_table_of_check_r1() {
        // R1 (`computed`, Stefan-Boltzmann): emissivity 0.8 to 20 C surroundings, kW/m2 at 149, 204, 260 C.
        for (t, expected) in [(149.0, 1.1057), (204.0, 2.0164), (260.0, 3.3302)] {
            let flux = 0.8 * STEFAN_BOLTZMANN * (fourth(t) - fourth(20.0)) / 1e3;
            assert!((flux / expected - 1.0).abs() < 0.002, "{flux}");
        }
    }
}
