//! Where probes look: fixed points in the metal, read on every grid by the same smooth interpolation.

use crate::case::{Probe, ProbeKind, Ring};
use crate::hollows::Hollows;
use crate::level::Level;
use crate::mesh::Mesh;
use crate::shape::Shape;
use crate::symmetry::Part;

/// Angles of a disc's sample points.
const ANGLES: usize = 48;
/// Radii of a disc's sample points, centre and rim included; intervals along each side of a rectangle.
const ROWS: usize = 24;
/// Depths at which a ring is looked at, face and bottom included.
const DEPTHS: usize = 3;
/// Distances from the groove at which a ring is looked at, both edges included.
const DISTANCES: usize = 7;

/// How the readings of a probe's points become one number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reduction {
    /// Weighted mean; one point alone has weight 1.
    Mean,
    /// The coldest.
    Coldest,
    /// The hottest.
    Hottest,
}

/// A point with its share in a mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Place in the body, m.
    pub at: [f64; 3],
    /// Share; the shares of a probe sum to 1.
    pub weight: f64,
}

/// The points of one probe; none when it has no part on the casting.
#[derive(Clone, Debug, PartialEq)]
pub struct Cloud {
    /// Points.
    pub points: Vec<Point>,
    /// Where each point's reading is found, once [`shared_points`] has gathered them.
    pub places: Vec<usize>,
    /// What is made of them.
    pub reduction: Reduction,
}

impl Cloud {
    /// The cloud of a probe on a block of the given size; what is meant for the worked face lies on the floor of the work.
    /// Places inside hollows are left out.
    pub fn of(probe: &Probe, size: [f64; 3], (hollows, floor): (&Hollows, f64)) -> Cloud {
        let face = [size[0], size[1]];
        let (points, reduction) = match probe.kind {
            ProbeKind::Point { at } => (vec![Point { at, weight: 1.0 }], Reduction::Mean),
            ProbeKind::PatchMean(shape) => (mean_points(shape, face), Reduction::Mean),
            ProbeKind::PatchColdest(shape) => (lattice(shape, face), Reduction::Coldest),
            ProbeKind::PatchHottest(shape) => (lattice(shape, face), Reduction::Hottest),
            ProbeKind::RingColdest(ring) => (ring_points(&ring, size), Reduction::Coldest),
            ProbeKind::RingHottest(ring) => (ring_points(&ring, size), Reduction::Hottest),
            ProbeKind::RingMean(ring) => (ring_points(&Ring { depth: 0.0, ..ring }, size), Reduction::Mean),
        };
        let down = if matches!(probe.kind, ProbeKind::Point { .. }) { 0.0 } else { floor };
        let lowered = |p: Point| Point { at: [p.at[0], p.at[1], (p.at[2] + down).min(size[2])], ..p };
        let points: Vec<Point> = points.into_iter().map(lowered).filter(|p| hollows.leave_metal(p.at, size)).collect();
        let total: f64 = points.iter().map(|p| p.weight).sum();
        let points = points.into_iter().map(|p| Point { weight: p.weight / total, ..p }).collect();
        Cloud { places: Vec::new(), points, reduction }
    }
}

/// The different places that all clouds look at, folded into the part that is solved: probes share points, and
/// symmetry makes four of one. Fills in [`Cloud::places`].
pub fn shared_points(clouds: &mut [Cloud], part: &Part) -> Vec<[f64; 3]> {
    let mut known = std::collections::HashMap::new();
    let mut places = Vec::new();
    for cloud in clouds {
        for point in &cloud.points {
            let at = part.fold(point.at);
            // A nanometre decides whether two places are one.
            let key = at.map(|v| (v * 1e9).round() as i64);
            let next = places.len();
            let place = *known.entry(key).or_insert(next);
            if place == next {
                places.push(at);
            }
            cloud.places.push(place);
        }
        if cloud.reduction != Reduction::Mean {
            // An extreme looks at each place once, however many of the cloud's points symmetry folds onto it.
            let mut seen = std::collections::HashSet::new();
            cloud.places.retain(|place| seen.insert(*place));
        }
    }
    places
}

/// Gauss-Legendre nodes and weights on 0..1, eight points.
const GAUSS: [[f64; 2]; 8] = [
    [0.019_855_071_751_231_9, 0.050_614_268_145_188_1],
    [0.101_666_761_293_186_6, 0.111_190_517_226_687_2],
    [0.237_233_795_041_835_5, 0.156_853_322_938_943_6],
    [0.408_282_678_752_175_1, 0.181_341_891_689_181],
    [0.591_717_321_247_825, 0.181_341_891_689_181],
    [0.762_766_204_958_164_5, 0.156_853_322_938_943_6],
    [0.898_333_238_706_813_4, 0.111_190_517_226_687_2],
    [0.980_144_928_248_768_1, 0.050_614_268_145_188_1],
];

/// Quadrature points of the part of a shape on the face; discs by rays from their centre.
fn mean_points(shape: Shape, face: [f64; 2]) -> Vec<Point> {
    match shape {
        Shape::Rectangle { x, y } => {
            let (x, y) = (clipped(x, face[0]), clipped(y, face[1]));
            let place = |[low, high]: [f64; 2], u: f64| low + u * (high - low);
            let pairs = GAUSS.iter().flat_map(|gx| GAUSS.iter().map(move |gy| (gx, gy)));
            pairs.map(|(gx, gy)| surface_point([place(x, gx[0]), place(y, gy[0])], gx[1] * gy[1])).collect()
        }
        Shape::Disc { centre, radius } => rays()
            .flat_map(|direction| {
                let length = reach(centre, direction, radius, face);
                GAUSS
                    .iter()
                    .map(move |[u, w]| surface_point(along(centre, direction, u * length), w * u * length * length))
            })
            .collect(),
    }
}

/// Points all over a shape, rim and corners included.
fn lattice(shape: Shape, face: [f64; 2]) -> Vec<Point> {
    match shape {
        Shape::Rectangle { x, y } => {
            let (x, y) = (clipped(x, face[0]), clipped(y, face[1]));
            let place = |[low, high]: [f64; 2], n: usize| low + (high - low) * n as f64 / ROWS as f64;
            let pairs = (0..=ROWS).flat_map(|i| (0..=ROWS).map(move |j| (i, j)));
            pairs.map(|(i, j)| surface_point([place(x, i), place(y, j)], 1.0)).collect()
        }
        Shape::Disc { centre, radius } => rays()
            .flat_map(|direction| {
                let length = reach(centre, direction, radius, face);
                (0..=ROWS).map(move |n| surface_point(along(centre, direction, length * n as f64 / ROWS as f64), 1.0))
            })
            .collect(),
    }
}

/// Points of a ring: from each point of the groove's outline straight outwards, cut off at the casting's edges.
fn ring_points(ring: &Ring, size: [f64; 3]) -> Vec<Point> {
    let face = [size[0], size[1]];
    let depth = ring.depth.min(size[2]);
    let depths = if depth > 0.0 { DEPTHS } else { 1 };
    let mut points = Vec::new();
    for (foot, direction, share, bend) in outline(&ring.groove) {
        if !(0.0..=face[0]).contains(&foot[0]) || !(0.0..=face[1]).contains(&foot[1]) {
            continue;
        }
        let width = reach(foot, direction, ring.width, face);
        for n in 0..DISTANCES {
            let distance = width * n as f64 / (DISTANCES - 1) as f64;
            // Simpson's weights.
            let end = if n == 0 || n + 1 == DISTANCES { 1.0 } else { 2.0 + 2.0 * (n % 2) as f64 };
            let [x, y] = along(foot, direction, distance);
            for d in 0..depths {
                let z = depth * d as f64 / (DEPTHS - 1) as f64;
                points.push(Point { at: [x, y, z], weight: end * width * (share + bend * distance) });
            }
        }
    }
    points
}

/// Outline of a groove: foot point, outward direction, length it stands for, and how that length grows outwards.
fn outline(groove: &Shape) -> Vec<([f64; 2], [f64; 2], f64, f64)> {
    match *groove {
        Shape::Disc { centre, radius } => {
            let bend = std::f64::consts::TAU / ANGLES as f64;
            rays().map(|d| (along(centre, d, radius), d, bend * radius, bend)).collect()
        }
        Shape::Rectangle { x, y } => {
            let sides = [
                ([x[1], y[0]], [x[1], y[1]], [1.0, 0.0]),
                ([x[1], y[1]], [x[0], y[1]], [0.0, 1.0]),
                ([x[0], y[1]], [x[0], y[0]], [-1.0, 0.0]),
                ([x[0], y[0]], [x[1], y[0]], [0.0, -1.0]),
            ];
            sides.iter().flat_map(|&(from, to, out)| side(from, to, out)).collect()
        }
    }
}

/// One side of a rectangle and the fan around its far corner.
fn side(from: [f64; 2], to: [f64; 2], out: [f64; 2]) -> Vec<([f64; 2], [f64; 2], f64, f64)> {
    const ALONG: usize = 8;
    const FAN: usize = ANGLES / 4;
    let length = (to[0] - from[0]).hypot(to[1] - from[1]);
    let place = |u: f64| [from[0] + u * (to[0] - from[0]), from[1] + u * (to[1] - from[1])];
    let mut feet: Vec<_> = (0..=ALONG)
        .map(|n| {
            let end = if n == 0 || n == ALONG { 0.5 } else { 1.0 };
            (place(n as f64 / ALONG as f64), out, end * length / ALONG as f64, 0.0)
        })
        .collect();
    let quarter = std::f64::consts::FRAC_PI_2;
    feet.extend((1..FAN).map(|n| {
        let (sin, cos) = (quarter * n as f64 / FAN as f64).sin_cos();
        (to, [out[0] * cos - out[1] * sin, out[0] * sin + out[1] * cos], 0.0, quarter / FAN as f64)
    }));
    feet
}

fn surface_point([x, y]: [f64; 2], weight: f64) -> Point {
    Point { at: [x, y, 0.0], weight }
}

fn clipped([low, high]: [f64; 2], length: f64) -> [f64; 2] {
    [low.clamp(0.0, length), high.clamp(0.0, length)]
}

fn rays() -> impl Iterator<Item = [f64; 2]> {
    (0..ANGLES).map(|n| {
        let (sin, cos) = (std::f64::consts::TAU * n as f64 / ANGLES as f64).sin_cos();
        [cos, sin]
    })
}

fn along(from: [f64; 2], direction: [f64; 2], distance: f64) -> [f64; 2] {
    [from[0] + distance * direction[0], from[1] + distance * direction[1]]
}

/// How far one can go from a point on the face before `most` or the edge of the casting.
fn reach(from: [f64; 2], direction: [f64; 2], most: f64, face: [f64; 2]) -> f64 {
    let room = |n: usize| {
        if direction[n] > 1e-12 {
            (face[n] - from[n]) / direction[n]
        } else if direction[n] < -1e-12 {
            -from[n] / direction[n]
        } else {
            f64::INFINITY
        }
    };
    most.min(room(0)).min(room(1)).max(0.0)
}

/// Readings of many points on one grid.
#[derive(Clone, Debug)]
pub struct Sampler {
    /// Nodes that any point needs.
    nodes: Vec<usize>,
    /// Per point: where its terms start; one more at the end.
    starts: Vec<usize>,
    /// Index into `nodes` and weight.
    terms: Vec<(usize, f64)>,
}

impl Sampler {
    /// A sampler for places in the part that the mesh covers.
    pub fn new(places: &[[f64; 3]], mesh: &Mesh) -> Sampler {
        let mut slots = std::collections::HashMap::new();
        let mut sampler = Sampler { nodes: Vec::new(), starts: vec![0], terms: Vec::new() };
        for at in places {
            let [x, y, z] = stencils(mesh, *at);
            for &(k, wz) in &z {
                for &(j, wy) in &y {
                    for &(i, wx) in &x {
                        let node = mesh.index(i, j, k);
                        let slot = *slots.entry(node).or_insert_with(|| {
                            sampler.nodes.push(node);
                            sampler.nodes.len() - 1
                        });
                        sampler.terms.push((slot, wx * wy * wz));
                    }
                }
            }
            sampler.starts.push(sampler.terms.len());
        }
        sampler
    }

    /// Temperature (Celsius) and rate (K/s) of every point.
    pub fn read(&self, level: &Level) -> Vec<[f64; 2]> {
        let nodes: Vec<(f64, f64)> = self.nodes.iter().map(|&n| level.reading(n)).collect();
        let point = |ends: &[usize]| {
            self.terms[ends[0]..ends[1]].iter().fold([0.0; 2], |[t, r], &(slot, w)| {
                let (temperature, rate) = nodes[slot];
                [t + w * temperature, r + w * rate]
            })
        };
        self.starts.windows(2).map(point).collect()
    }
}

/// Nodes and weights along each direction. Where they would reach into a hollow, they keep to the metal between the
/// hollows' sides.
fn stencils(mesh: &Mesh, at: [f64; 3]) -> [Vec<(usize, f64)>; 3] {
    let free = [0, 1, 2].map(|d| stencil(&mesh.lines[d].nodes, at[d]));
    let Some(cut) = &mesh.cut else { return free };
    let ends = free.each_ref().map(|terms| [terms[0].0, terms[terms.len() - 1].0]);
    if cut.is_whole(ends) {
        return free;
    }
    [0, 1, 2].map(|d| {
        let nodes = &mesh.lines[d].nodes;
        let [low, high] = cut.stretch(d, at[d]);
        let first = nodes.partition_point(|&x| x < low - 1e-12);
        let last = nodes.partition_point(|&x| x <= high + 1e-12);
        stencil(&nodes[first..last], at[d]).into_iter().map(|(n, weight)| (first + n, weight)).collect()
    })
}

/// Cubic Lagrange weights of the nodes around a place; one node alone where the place lies on it.
fn stencil(nodes: &[f64], at: f64) -> Vec<(usize, f64)> {
    if nodes.len() == 1 {
        return vec![(0, 1.0)];
    }
    let near = 1e-9 * (nodes[nodes.len() - 1] - nodes[0]);
    if let Some(n) = nodes.iter().position(|x| (x - at).abs() <= near) {
        return vec![(n, 1.0)];
    }
    let size = nodes.len().min(4);
    let above = nodes.partition_point(|&x| x < at);
    let first = above.saturating_sub(2).min(nodes.len() - size);
    let weight = |n: usize| {
        let others = (first..first + size).filter(|&m| m != n);
        others.map(|m| (at - nodes[m]) / (nodes[n] - nodes[m])).product()
    };
    (first..first + size).map(|n| (n, weight(n))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mean_weights_integrate_a_quadratic_over_the_disc() {
        let disc = Shape::Disc { centre: [0.5, 0.4], radius: 0.06 };
        let probe = Probe { name: String::new(), kind: ProbeKind::PatchMean(disc) };
        let cloud = Cloud::of(&probe, [1.0, 0.8, 0.4], (&Hollows::default(), 0.0));
        let mean: f64 =
            cloud.points.iter().map(|p| p.weight * ((p.at[0] - 0.5).powi(2) + (p.at[1] - 0.4).powi(2))).sum();
        assert!((mean - 0.5 * 0.06 * 0.06).abs() < 1e-9, "{mean}");
    }

    #[test]
    fn ring_mean_of_a_disc_groove_weighs_by_area() {
        let ring = Ring { groove: Shape::Disc { centre: [0.5, 0.4], radius: 0.025 }, width: 0.075, depth: 0.0 };
        let cloud = Cloud::of(
            &Probe { name: String::new(), kind: ProbeKind::RingMean(ring) },
            [1.0, 0.8, 0.4],
            (&Hollows::default(), 0.0),
        );
        let mean: f64 = cloud.points.iter().map(|p| p.weight * (p.at[0] - 0.5).hypot(p.at[1] - 0.4)).sum();
        let exact = 2.0 / 3.0 * (0.1_f64.powi(3) - 0.025_f64.powi(3)) / (0.1_f64.powi(2) - 0.025_f64.powi(2));
        assert!((mean / exact - 1.0).abs() < 1e-9, "{mean} {exact}");
    }

    #[test]
    fn ring_at_an_edge_stays_on_the_casting() {
        let groove = Shape::Rectangle { x: [0.4, 0.5], y: [0.0, 0.02] };
        let cloud = Cloud::of(
            &Probe { name: String::new(), kind: ProbeKind::RingColdest(Ring { groove, width: 0.075, depth: 0.006 }) },
            [1.0, 0.8, 0.4],
            (&Hollows::default(), 0.0),
        );
        assert!(!cloud.points.is_empty());
        assert!(cloud.points.iter().all(|p| p.at[1] >= 0.0 && p.at[1] <= 0.8 && p.at[2] <= 0.006 + 1e-12));
    }

    #[test]
    fn cubic_weights_reproduce_a_cubic_on_a_graded_line() {
        let nodes = [0.0, 0.1, 0.25, 0.45, 0.8, 1.3];
        for at in [0.05, 0.3, 0.7, 1.2] {
            let value: f64 = stencil(&nodes, at).iter().map(|&(n, w)| w * nodes[n].powi(3)).sum();
            assert!((value - at.powi(3)).abs() < 1e-12);
        }
    }
}
