//! What crosses the surfaces: losses of the faces, torches, and arcs, each booked under its own name.

use std::collections::BTreeMap;

use crate::ZERO_CELSIUS_K;
use crate::beside::Thermostat;
use crate::case::{Case, Face, Torch, TorchKind};
use crate::ledger::Ledger;
use crate::mesh::Mesh;
use crate::properties::Properties;
use crate::shape::Shape;
use crate::skin::{Film, Heated, Loss, Skin};
use crate::symmetry::Part;

/// Temperature at which radiation is taken where only its strength matters, Celsius.
const RED_HEAT_C: f64 = 600.0;

/// Powers by name, W; losses positive outwards. Also used for energies, J.
#[derive(Clone, Copy, Debug, Default)]
pub struct Powers {
    /// Torches of the schedule, into the metal.
    pub torch: f64,
    /// Heaters beside them, into the metal.
    pub heaters: f64,
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
            heaters: self.heaters + factor * other.heaters,
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
            heaters_j: self.heaters / share,
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
    /// A bit for each heater beside the torch, then one for each cover.
    pub beside: u32,
}

impl Active {
    fn has(self, bit: usize) -> bool {
        self.beside >> bit & 1 == 1
    }
}

/// A torch or heater on the mesh.
#[derive(Clone, Debug)]
struct Source {
    kind: TorchKind,
    nodes: Vec<Heated>,
    /// Its bit, for a heater beside the torch.
    bit: Option<usize>,
    thermostat: Option<Thermostat>,
    /// Share of full strength that its thermostat allows.
    share: f64,
}

impl Source {
    fn burns(&self, active: Active) -> bool {
        self.share > 0.0 && self.bit.map_or(active.flame, |bit| active.has(bit))
    }

    fn gain(&self, area: f64, temperature_c: f64) -> f64 {
        match self.kind {
            TorchKind::Flux { flux } => self.share * flux * area,
            TorchKind::Flame { film_coefficient, gas_c } => {
                self.share * film_coefficient * area * (gas_c - temperature_c)
            }
        }
    }
}

/// What covers of one bit change: their own losses less those of what lies under them.
#[derive(Clone, Debug)]
struct Change {
    bit: usize,
    losses: Vec<Loss>,
    films: Vec<Film>,
}

/// The exchanges of one mesh.
#[derive(Clone, Debug)]
pub struct Exchange {
    losses: Vec<Loss>,
    films: Vec<Film>,
    changes: Vec<Change>,
    sources: Vec<Source>,
    /// Net power of each pass and its nodes; the areas of a pass sum to 1 over the whole casting.
    passes: Vec<(f64, Vec<Heated>)>,
}

impl Exchange {
    /// Exchanges of `case` on the mesh of a part of it.
    pub fn new(case: &Case, mesh: &Mesh, part: &Part) -> Exchange {
        let skin = Skin::new(case, mesh, part);
        let source = |torch: &Torch, bit: Option<usize>| Source {
            kind: torch.kind,
            nodes: skin.under(torch),
            bit,
            thermostat: torch.thermostat,
            share: 1.0,
        };
        let own = case.torches.iter().map(|torch| source(torch, None));
        let beside = case.heaters.iter().enumerate().map(|(bit, heater)| source(&heater.torch, Some(bit)));
        let sources = own.chain(beside).collect();
        let size = case.block.size;
        let pass = |place: &Shape, power: f64| {
            let whole = place.overlap([0.0, size[0]], [0.0, size[1]]);
            (power, skin.heated(Face::Worked, place, 1.0 / whole))
        };
        let list = case.passes.iter().flat_map(|p| &p.list);
        let passes = list.map(|p| pass(&p.place, p.power)).collect();
        let changes = case.covers.iter().enumerate().map(|(number, cover)| {
            let (losses, films) = skin.cover(cover);
            Change { bit: case.heaters.len() + number, losses, films }
        });
        let (changes, (losses, films)) = (changes.collect(), skin.losses());
        Exchange { losses, films, changes, sources, passes }
    }

    /// Turns every heater with a thermostat to what it allows at the readings of the probes; returns the largest change of
    /// a share.
    pub fn turn(&mut self, reading_c: impl Fn(usize) -> f64) -> f64 {
        let mut most = 0.0_f64;
        for source in &mut self.sources {
            let Some(thermostat) = source.thermostat else { continue };
            let share = thermostat.share(reading_c(thermostat.probe));
            most = most.max((share - source.share).abs());
            source.share = share;
        }
        most
    }

    /// The losses and films that there are at present.
    fn present(&self, active: Active) -> impl Iterator<Item = (&[Loss], &[Film])> {
        let changes = self.changes.iter().filter(move |change| active.has(change.bit));
        let changes = changes.map(|change| (&change.losses[..], &change.films[..]));
        std::iter::once((&self.losses[..], &self.films[..])).chain(changes)
    }

    /// Strongest exchange of a node that does not lie on the worked face, for its volume, W/m3K, with every cover on and
    /// every heater lit; radiation as of red heat.
    pub fn elsewhere(&self, mesh: &Mesh) -> f64 {
        let all = Active { flame: true, pass: None, beside: u32::MAX };
        let mut strengths = BTreeMap::new();
        let mut add = |node: usize, strength: f64| *strengths.entry(node).or_insert(0.0) += strength.max(0.0);
        for (losses, films) in self.present(all) {
            for loss in losses {
                add(loss.node, loss.film + loss.contact + 4.0 * loss.radiating * third(RED_HEAT_C));
            }
            for film in films {
                film.nodes.iter().for_each(|heated| add(heated.node, heated.area * film.table.strongest()));
            }
        }
        for source in &self.sources {
            let TorchKind::Flame { film_coefficient, .. } = source.kind else { continue };
            source.nodes.iter().for_each(|heated| add(heated.node, heated.area * film_coefficient));
        }
        let worked = mesh.count[0] * mesh.count[1];
        let inside = strengths.range(worked..);
        inside.map(|(&node, strength)| strength / mesh.volume(node)).fold(0.0, f64::max)
    }

    /// Adds the power into each node to `power` and returns the sums by name.
    pub fn power(&self, active: Active, properties: &Properties, enthalpy: &[f64], power: &mut [f64]) -> Powers {
        let mut sums = Powers::default();
        for (losses, films) in self.present(active) {
            for loss in losses {
                let (t, _) = properties.temperature(enthalpy[loss.node]);
                let convection = loss.film * t - loss.film_air;
                let radiation = loss.radiating * fourth(t) - loss.received;
                let contact = loss.contact * t - loss.contact_air;
                power[loss.node] -= convection + radiation + contact;
                sums.convection += convection;
                sums.radiation += radiation;
                sums.contact += contact;
            }
            for film in films {
                for Heated { node, area } in &film.nodes {
                    let (t, _) = properties.temperature(enthalpy[*node]);
                    let convection = area * film.table.flux_and_slope(t, film.air_c).0;
                    power[*node] -= convection;
                    sums.convection += convection;
                }
            }
        }
        for source in self.sources.iter().filter(|source| source.burns(active)) {
            let mut sum = 0.0;
            for heated in &source.nodes {
                let gain = source.gain(heated.area, properties.temperature(enthalpy[heated.node]).0);
                power[heated.node] += gain;
                sum += gain;
            }
            *if source.bit.is_none() { &mut sums.torch } else { &mut sums.heaters } += sum;
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
        for (losses, films) in self.present(active) {
            for loss in losses {
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
            for film in films {
                for Heated { node, area } in &film.nodes {
                    let (t, per_potential) = state.at(*node);
                    let convection = area * film.table.flux_and_slope(t, film.air_c).1 * per_potential;
                    add(*node, convection);
                    frozen.losses.push(LossSlopes { node: *node, convection, radiation: 0.0, contact: 0.0 });
                }
            }
        }
        for source in self.sources.iter().filter(|source| source.burns(active)) {
            let TorchKind::Flame { film_coefficient, .. } = source.kind else { continue };
            for heated in &source.nodes {
                let slope = source.share * film_coefficient * heated.area * state.at(heated.node).1;
                add(heated.node, slope);
                frozen.flames.push((heated.node, slope, source.bit.is_none()));
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
    /// Node, slope, and whether it is one of the schedule's own torches.
    flames: Vec<(usize, f64, bool)>,
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
        for &(node, slope, own) in &self.flames {
            *if own { &mut sums.torch } else { &mut sums.heaters } -= slope * (change[node] + shift);
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

fn third(temperature_c: f64) -> f64 {
    let kelvin = temperature_c + ZERO_CELSIUS_K;
    kelvin * kelvin * kelvin
}

pub(crate) fn fourth(temperature_c: f64) -> f64 {
    let square = (temperature_c + ZERO_CELSIUS_K) * (temperature_c + ZERO_CELSIUS_K);
    square * square
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::STEFAN_BOLTZMANN;

    #[test]
    fn grey_radiation_agrees_with_the_table_of_check_r1() {
        // R1 (`computed`, Stefan-Boltzmann): emissivity 0.8 to 20 C surroundings, kW/m2 at 149, 204, 260 C.
        for (t, expected) in [(149.0, 1.1057), (204.0, 2.0164), (260.0, 3.3302)] {
            let flux = 0.8 * STEFAN_BOLTZMANN * (fourth(t) - fourth(20.0)) / 1e3;
            assert!((flux / expected - 1.0).abs() < 0.002, "{flux}");
        }
    }
}
