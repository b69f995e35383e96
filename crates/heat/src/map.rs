//! Temperatures over the worked face and over a section, for pictures.

use ndarray::ArrayView2;

use crate::ledger::Ledger;
use crate::level::Level;
use crate::sampling::Sampler;
use crate::symmetry::Part;

/// What is to be mapped: a window of the worked face, and an upright section along x.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// Extent along x and y on the worked face, m, inside the casting; on the floor of the pocket that the work lies in.
    pub face: [[f64; 2]; 2],
    /// Place of the section along y, m.
    pub section_y: f64,
    /// Depth of the section below the floor of the work, m, inside the casting.
    pub depth: f64,
    /// Points along each side.
    pub points: usize,
    /// When, s, ascending; times that the run does not reach are left out.
    pub times_s: Vec<f64>,
}

/// The two maps of one instant; rows run along the second direction, the first direction runs fastest.
#[derive(Clone, Debug, PartialEq)]
pub struct Map {
    /// When, s.
    pub time_s: f64,
    /// Places along x, m.
    pub x: Vec<f64>,
    /// Places along y on the face, m.
    pub y: Vec<f64>,
    /// Depths of the section below the floor of the work, m.
    pub z: Vec<f64>,
    /// Temperatures on the face, Celsius: `x.len() * y.len()`.
    pub face_c: Vec<f64>,
    /// Temperatures of the section, Celsius: `x.len() * z.len()`.
    pub section_c: Vec<f64>,
    /// Heat booked until then on the grid that is mapped, for the whole casting.
    pub ledger: Ledger,
}

/// Temperatures of a body at one instant, on a grid of places of the caller's own.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// When, s.
    pub time_s: f64,
    /// Temperatures, Celsius: x runs fastest, then y, then z. Where a hollow leaves no metal they mean nothing.
    pub temperature_c: Vec<f64>,
}

impl Map {
    /// The face as a table, rows along y and columns along x, Celsius.
    pub fn face(&self) -> ArrayView2<'_, f64> {
        table(&self.face_c, self.y.len(), self.x.len())
    }

    /// The section as a table, rows along the depth and columns along x, Celsius.
    pub fn section(&self) -> ArrayView2<'_, f64> {
        table(&self.section_c, self.z.len(), self.x.len())
    }
}

/// A view of rows by columns; of what is there when the numbers do not fill it.
fn table(values: &[f64], rows: usize, columns: usize) -> ArrayView2<'_, f64> {
    let rows = rows.min(values.len() / columns.max(1));
    ArrayView2::from_shape((rows, columns), &values[..rows * columns])
        .unwrap_or_else(|_| ArrayView2::from(&[[0.0; 0]; 0]))
}

/// Reads maps from a grid.
#[derive(Clone, Debug)]
pub(crate) struct Mapper {
    window: Window,
    face: Sampler,
    section: Sampler,
}

impl Mapper {
    /// For a window on a grid that covers a part of the body; the face is the floor of the work, at a depth in m.
    pub fn new((window, floor): (&Window, f64), level: &Level, part: &Part) -> Mapper {
        let [x, y, z] = places(window);
        let grid = |rows: &[f64], place: &dyn Fn(f64, f64) -> [f64; 3]| -> Vec<[f64; 3]> {
            rows.iter().flat_map(|&v| x.iter().map(move |&u| part.fold(place(u, v)))).collect()
        };
        let face = Sampler::new(&grid(&y, &|u, v| [u, v, floor]), &level.mesh);
        let section = Sampler::new(&grid(&z, &|u, v| [u, window.section_y, v + floor]), &level.mesh);
        Mapper { window: window.clone(), face, section }
    }

    /// The maps of the present state.
    pub fn read(&self, level: &Level, (time_s, ledger): (f64, Ledger)) -> Map {
        let [x, y, z] = places(&self.window);
        let values = |sampler: &Sampler| sampler.read(level).iter().map(|reading| reading[0]).collect();
        Map { time_s, x, y, z, face_c: values(&self.face), section_c: values(&self.section), ledger }
    }
}

/// Reads fields from a grid.
#[derive(Clone, Debug)]
pub(crate) struct FieldReader {
    sampler: Sampler,
}

impl FieldReader {
    /// For places along three lines, m from the casting's corner.
    pub fn new([x, y, z]: &[Vec<f64>; 3], level: &Level, part: &Part) -> FieldReader {
        let row = |v: f64, w: f64| x.iter().map(move |&u| part.fold([u, v, w]));
        let places: Vec<[f64; 3]> = z.iter().flat_map(|&w| y.iter().flat_map(move |&v| row(v, w))).collect();
        FieldReader { sampler: Sampler::new(&places, &level.mesh) }
    }

    /// The field of the present state.
    pub fn read(&self, level: &Level, time_s: f64) -> Field {
        Field { time_s, temperature_c: self.sampler.read(level).iter().map(|reading| reading[0]).collect() }
    }
}

fn places(window: &Window) -> [Vec<f64>; 3] {
    let [x, y] = window.face;
    [x, y, [0.0, window.depth]].map(|[low, high]| {
        let last = (window.points - 1) as f64;
        (0..window.points).map(|n| low + (high - low) * n as f64 / last).collect()
    })
}
