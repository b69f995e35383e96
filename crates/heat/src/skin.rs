//! The surface of a mesh: what each of its nodes holds of every face, hollow, cover and heated patch.

use std::collections::BTreeMap;

use crate::STEFAN_BOLTZMANN;
use crate::beside::Cover;
use crate::case::{Case, Face, Surface, Torch};
use crate::cut::{ACROSS, Exposed};
use crate::exchange::fourth;
use crate::film::FilmTable;
use crate::mesh::Mesh;
use crate::shape::Shape;
use crate::symmetry::Part;

/// Number of the hollows' surface, after the six faces.
const HOLLOWS: usize = 6;
/// Two places this far apart are one, m.
const ONE_PLACE_M: f64 = 1e-9;

/// One surface node: sums of area times coefficient over the faces that meet there.
#[derive(Clone, Copy, Debug, Default)]
pub struct Loss {
    /// Node.
    pub node: usize,
    /// Film coefficient times area, W/K.
    pub film: f64,
    /// The same times the air's temperature, W.
    pub film_air: f64,
    /// Emissivity times area times the Stefan-Boltzmann constant, W for each kelvin to the fourth.
    pub radiating: f64,
    /// What the surroundings send, W.
    pub received: f64,
    /// Contact conductance times area, W/K.
    pub contact: f64,
    /// The same times the temperature of what lies there, W.
    pub contact_air: f64,
}

/// A node under a source, with the area it shares with it, m2.
#[derive(Clone, Copy, Debug)]
pub struct Heated {
    /// Node.
    pub node: usize,
    /// Area, m2.
    pub area: f64,
}

/// A surface whose film depends on its temperature: the table, the air, and the nodes with their areas.
#[derive(Clone, Debug)]
pub struct Film {
    /// Film coefficients.
    pub table: FilmTable,
    /// Air temperature, Celsius.
    pub air_c: f64,
    /// Nodes.
    pub nodes: Vec<Heated>,
}

/// The surface of a case's body on a mesh.
pub struct Skin<'a> {
    case: &'a Case,
    mesh: &'a Mesh,
    part: &'a Part,
    floor: f64,
    /// All pieces of the surface of a body with hollows; a block's are walked face by face.
    exposed: Vec<Exposed>,
    /// Those of them that are seen from above the worked face.
    from_above: Vec<Exposed>,
}

impl<'a> Skin<'a> {
    /// The surface of the part of a case that a mesh covers.
    pub fn new(case: &'a Case, mesh: &'a Mesh, part: &'a Part) -> Skin<'a> {
        let exposed = mesh.cut.as_ref().map_or_else(Vec::new, |cut| cut.exposed(&mesh.lines));
        let seen = |facet: &&Exposed| {
            let floor = || case.hollows.floor_under(facet.extent.map(|[low, high]| 0.5 * (low + high)));
            facet.side == Face::Worked as usize && (facet.is_outside || (facet.at - floor()).abs() < ONE_PLACE_M)
        };
        let from_above = exposed.iter().filter(seen).copied().collect();
        Skin { case, mesh, part, floor: case.floor_depth(), exposed, from_above }
    }

    /// Nodes under a torch, with the area that even heat would have to cover to give them what they get.
    pub fn under(&self, torch: &Torch) -> Vec<Heated> {
        let Some(circles) = torch.circles else { return self.heated(torch.face, &torch.patch, 1.0) };
        let centre = torch.patch.centre();
        let mut areas = BTreeMap::new();
        for (radius, strength) in circles.discs(torch.patch.half_width()) {
            for heated in self.heated(torch.face, &Shape::Disc { centre, radius }, 1.0) {
                *areas.entry(heated.node).or_insert(0.0) += strength * heated.area;
            }
        }
        let nodes = areas.into_iter().map(|(node, area)| Heated { node, area });
        nodes.filter(|heated| heated.area > 0.0).collect()
    }

    /// Nodes of a face under a shape, their shared area times `factor`. The worked face is the floor of the work.
    pub fn heated(&self, face: Face, shape: &Shape, factor: f64) -> Vec<Heated> {
        let mut areas = BTreeMap::new();
        let mut add = |node: usize, area: f64| *areas.entry(node).or_insert(0.0) += factor * area;
        self.each_facet(face, |facet| {
            if face != Face::Worked || (facet.at - self.floor).abs() < ONE_PLACE_M {
                add(facet.node, self.shared(shape, &facet));
            }
        });
        let heated = areas.into_iter().map(|(node, area)| Heated { node, area });
        heated.filter(|heated| heated.area > 0.0).collect()
    }

    /// Area that a shape shares with a piece of the surface, m2.
    fn shared(&self, shape: &Shape, facet: &Exposed) -> f64 {
        let [u, v] = facet.extent;
        if facet.side < 4 { shape.overlap(u, v) } else { self.part.overlap(shape, u, v) }
    }

    /// Calls `take` with each piece of a face; of the worked one with all that is seen from above, floors of pockets too.
    fn each_facet(&self, face: Face, mut take: impl FnMut(Exposed)) {
        let (side, mesh) = (face as usize, self.mesh);
        if side < 4 && !self.part.open(side / 2)[side % 2] {
            return;
        }
        if mesh.cut.is_some() {
            if face == Face::Worked {
                return self.from_above.iter().copied().for_each(take);
            }
            let own = self.exposed.iter().filter(|facet| facet.side == side && facet.is_outside);
            return own.copied().for_each(take);
        }
        let [u, v] = ACROSS[side / 2];
        let fixed = if side.is_multiple_of(2) { 0 } else { mesh.count[side / 2] - 1 };
        let at = mesh.lines[side / 2].nodes[fixed];
        for b in 0..mesh.count[v] {
            for a in 0..mesh.count[u] {
                let mut place = [fixed; 3];
                (place[u], place[v]) = (a, b);
                let extent = [mesh.lines[u].cell(a), mesh.lines[v].cell(b)];
                let area = mesh.lines[u].weights[a] * mesh.lines[v].weights[b];
                let node = mesh.index(place[0], place[1], place[2]);
                take(Exposed { node, area, side, at, extent, is_outside: true });
            }
        }
    }

    /// What a cover changes: its own losses and films, less those of the face, or of the pocket's floor, under it.
    pub fn cover(&self, cover: &Cover) -> (Vec<Loss>, Vec<Film>) {
        let mut covered = [Vec::new(), Vec::new()];
        self.each_facet(cover.face, |facet| {
            let area = self.shared(&cover.area, &facet);
            if area > 0.0 {
                covered[usize::from(!facet.is_outside)].push(Heated { node: facet.node, area });
            }
        });
        let mut by_node = BTreeMap::new();
        let mut films = Vec::new();
        let bare = [self.case.surfaces[cover.face as usize], self.case.hollows.surface];
        for (nodes, bare) in covered.iter().zip(bare) {
            for (surface, sign) in [(&cover.surface, 1.0), (&bare, -1.0)] {
                nodes.iter().for_each(|heated| add_loss(surface, heated.node, sign * heated.area, &mut by_node));
                let nodes = nodes.iter().map(|heated| Heated { area: sign * heated.area, ..*heated }).collect();
                films.extend(surface.film_table.map(|table| Film { table, air_c: surface.air_c, nodes }));
            }
        }
        (by_node.into_values().collect(), films)
    }

    /// The losses of all faces and hollows, one entry for each surface node, and the surfaces with a table.
    pub fn losses(&self) -> (Vec<Loss>, Vec<Film>) {
        let surfaces = self.surfaces();
        (self.losses_of(&surfaces), self.films(&surfaces))
    }

    /// The six faces in their order, then the hollows'.
    fn surfaces(&self) -> Vec<Surface> {
        self.case.surfaces.iter().chain([&self.case.hollows.surface]).copied().collect()
    }

    /// The surfaces with a table. The areas of one are what it loses to air at a film coefficient of 1 when all others
    /// exchange nothing, so that nodes where faces meet, mirrors and hollows are shared out in one place only.
    fn films(&self, surfaces: &[Surface]) -> Vec<Film> {
        let film = |(number, surface): (usize, &Surface)| {
            let table = surface.film_table?;
            let mut alone = vec![Surface::ADIABATIC; surfaces.len()];
            alone[number].film_coefficient = 1.0;
            let area = |loss: &Loss| Heated { node: loss.node, area: loss.film };
            Some(Film { table, air_c: surface.air_c, nodes: self.losses_of(&alone).iter().map(area).collect() })
        };
        surfaces.iter().enumerate().filter_map(film).collect()
    }

    /// One entry for each surface node, faces that meet there added up.
    fn losses_of(&self, surfaces: &[Surface]) -> Vec<Loss> {
        let (mesh, part) = (self.mesh, self.part);
        let mut by_node = BTreeMap::new();
        for facet in &self.exposed {
            let side = facet.side;
            // A side of a mirror is no surface; every other end is the face of its number.
            if !facet.is_outside || part.open(side / 2)[side % 2] {
                let number = if facet.is_outside { side } else { HOLLOWS };
                add_loss(&surfaces[number], facet.node, facet.area, &mut by_node);
            }
        }
        let faces = [Face::XMin, Face::XMax, Face::YMin, Face::YMax, Face::Worked, Face::Back];
        for face in faces.into_iter().filter(|_| mesh.cut.is_none()) {
            if let Some((end, share)) = part.end_of(face) {
                face_losses(&surfaces[face as usize], (mesh, end), share, &mut by_node);
            }
        }
        by_node.into_values().collect()
    }
}

/// Adds what a surface loses over one end of the mesh (numbered as the faces are); cell areas are taken times `share`.
fn face_losses(surface: &Surface, (mesh, end): (&Mesh, usize), share: f64, by_node: &mut BTreeMap<usize, Loss>) {
    if surface.exchanges_nothing() {
        return;
    }
    let across = end / 2;
    let [u, v] = ACROSS[across];
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
