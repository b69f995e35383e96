//! `[passes.fill]`: beads that fill the groove, layer by layer.

use heat::Shape;

use crate::diagnostic::Diagnostic;
use crate::habits::Habits;
use crate::place::FaceSize;
use crate::reader::Reader;

/// Most beads of a list.
const MOST_BEADS: usize = 500;
/// A hair of rounding is not a bead.
const HAIR: f64 = 1e-9;

/// A bead of the filling.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Filling {
    pub(crate) place: Shape,
    /// Length along which the arc travels, m.
    pub(crate) length: f64,
    /// Layer, from 1.
    pub(crate) layer: usize,
}

/// The beads in their order; none where something was refused.
pub(crate) fn fill(reader: &mut Reader, habits: &mut Habits, face: FaceSize, groove: Option<Shape>) -> Vec<Filling> {
    if !reader.has("groove") {
        reader.missing("groove", ", and the beads are to fill it");
    }
    let [length, width] =
        ["passes.fill.bead_length", "passes.fill.bead_width"].map(|path| habits.needed(reader, path, ""));
    let layers = layers(reader, habits);
    let Some(groove) = groove.filter(|_| length > 0.0 && width > 0.0 && layers >= 1.0) else { return Vec::new() };
    let beads: f64 = rows(&groove, width).iter().map(|row| count(row.length, length) as f64).sum::<f64>() * layers;
    if beads > MOST_BEADS as f64 {
        let problem = Diagnostic::error("E012", format!("{beads:.0} beads would fill the groove"))
            .at(reader.key_place("passes.fill"), "too many")
            .at(reader.key_place("groove"), "the groove")
            .help(format!("accepted: up to {MOST_BEADS}; make the beads longer or wider, or the layers fewer"));
        reader.report(problem);
        return Vec::new();
    }
    let layer = ordered(layer(&groove, length, width), reader.text("passes.fill.order").unwrap_or("in turn"));
    let on_casting = |place: &Shape| place.overlap([0.0, face[0]], [0.0, face[1]]) > 0.0;
    let bead = |number: usize| layer.iter().map(move |&(place, length)| Filling { place, length, layer: number });
    (1..=layers as usize).flat_map(bead).filter(|bead| on_casting(&bead.place)).collect()
}

fn layers(reader: &mut Reader, habits: &mut Habits) -> f64 {
    let ways = ["passes.fill.layers", "passes.fill.layer_height"].map(str::to_owned);
    if reader.clash("E018", &ways, "both a number of layers and their height are given") {
        return f64::NAN;
    }
    match reader.optional("passes.fill.layer_height") {
        Some(height) => (reader.number("groove.depth") / height - HAIR).ceil().max(1.0),
        None => habits.needed(reader, "passes.fill.layers", " and no `layer_height`"),
    }
}

/// A row of beads along the groove.
struct Row {
    /// Middle of the row on the worked face, m.
    middle: [f64; 2],
    /// Direction of the row: 0 along x, 1 along y.
    along: usize,
    length: f64,
    width: f64,
}

/// Rows along the longer side, equally wide; those of a round groove are as long as the chord in their middle.
fn rows(groove: &Shape, widest: f64) -> Vec<Row> {
    let extent = groove.extent();
    let size = extent.map(|[low, high]| high - low);
    let along = usize::from(size[1] > size[0]);
    let across = 1 - along;
    let number = count(size[across], widest);
    let width = size[across] / number as f64;
    let row = |n: usize| {
        let mut middle = groove.centre();
        middle[across] = extent[across][0] + (n as f64 + 0.5) * width;
        let off = middle[across] - groove.centre()[across];
        let length = match groove {
            Shape::Disc { radius, .. } => 2.0 * (radius * radius - off * off).sqrt(),
            Shape::Rectangle { .. } => size[along],
        };
        Row { middle, along, length, width }
    };
    (0..number).map(row).collect()
}

/// How many parts no longer than `most` make up a length.
fn count(length: f64, most: f64) -> usize {
    (length / most - HAIR).ceil().max(1.0) as usize
}

/// The beads of one layer, row by row.
fn layer(groove: &Shape, longest: f64, widest: f64) -> Vec<(Shape, f64)> {
    let beads = |row: Row| {
        let number = count(row.length, longest);
        let length = row.length / number as f64;
        (0..number).map(move |n| {
            let start = row.middle[row.along] - 0.5 * row.length + n as f64 * length;
            let mut sides = row.middle.map(|m| [m - 0.5 * row.width, m + 0.5 * row.width]);
            sides[row.along] = [start, start + length];
            let [x, y] = sides.map(|side| side.map(rounded));
            (Shape::Rectangle { x, y }, length)
        })
    };
    rows(groove, widest).into_iter().flat_map(beads).collect()
}

/// To a picometre, so that beads that touch have the same edge.
fn rounded(edge: f64) -> f64 {
    (edge * 1e12).round() / 1e12
}

fn ordered(beads: Vec<(Shape, f64)>, order: &str) -> Vec<(Shape, f64)> {
    match order {
        "staggered" => beads.iter().step_by(2).chain(beads.iter().skip(1).step_by(2)).copied().collect(),
        "farthest" => farthest(beads),
        _ => beads,
    }
}

/// Each bead as far from the one before as can be; of equals the first.
fn farthest(mut left: Vec<(Shape, f64)>) -> Vec<(Shape, f64)> {
    let mut laid: Vec<(Shape, f64)> = Vec::new();
    while !left.is_empty() {
        let from = laid.last().map(|(place, _)| place.centre());
        let distance = |place: &Shape| {
            let [x, y] = place.centre();
            from.map_or(0.0, |[fx, fy]| (x - fx).hypot(y - fy))
        };
        let most = left.iter().map(|(place, _)| distance(place)).fold(0.0, f64::max);
        let next = left.iter().position(|(place, _)| distance(place) >= most - HAIR).unwrap_or(0);
        laid.push(left.remove(next));
    }
    laid
}

#[cfg(test)]
mod tests {
    use super::*;

    const GROOVE: Shape = Shape::Rectangle { x: [1.17, 1.23], y: [0.74, 0.76] };

    fn area(beads: &[(Shape, f64)]) -> f64 {
        beads.iter().map(|(place, _)| place.area()).sum()
    }

    #[test]
    fn the_beads_of_a_layer_cover_the_groove_once() {
        let beads = layer(&GROOVE, 0.025, 0.008);
        assert_eq!(beads.len(), 9);
        assert!((area(&beads) / GROOVE.area() - 1.0).abs() < 1e-9);
        assert!(beads.iter().all(|(place, length)| {
            let [x, y] = place.extent();
            (x[1] - x[0] - length).abs() < 1e-9 && GROOVE.overlap(x, y) > place.area() * (1.0 - 1e-9)
        }));
        // 60 mm of 30 mm beads are two, whatever rounding says.
        assert_eq!(layer(&GROOVE, 0.03, 0.01).len(), 4);
    }

    #[test]
    fn rows_run_along_the_longer_side() {
        let upright = Shape::Rectangle { x: [0.74, 0.76], y: [1.17, 1.23] };
        for (place, length) in layer(&upright, 0.03, 0.01) {
            let [x, y] = place.extent();
            assert!((x[1] - x[0] - 0.01).abs() < 1e-9 && (y[1] - y[0] - length).abs() < 1e-9);
        }
    }

    #[test]
    fn a_round_groove_has_shorter_rows_at_its_sides() {
        let round = Shape::Disc { centre: [0.0, 0.0], radius: 0.03 };
        let rows = rows(&round, 0.01);
        assert_eq!(rows.len(), 6);
        assert!(rows[0].length < rows[2].length && (rows[0].length - rows[5].length).abs() < 1e-9);
        // Chords in the middle of rows: within a tenth of the disc's own area.
        assert!((area(&layer(&round, 0.02, 0.01)) / round.area() - 1.0).abs() < 0.1);
    }

    #[test]
    fn every_order_lays_every_bead_once_and_skips_as_it_says() {
        let in_turn = layer(&GROOVE, 0.02, 0.01);
        let step = |beads: &[(Shape, f64)]| {
            let pair = |pair: &[(Shape, f64)]| {
                let ([ax, ay], [bx, by]) = (pair[0].0.centre(), pair[1].0.centre());
                (ax - bx).hypot(ay - by)
            };
            beads.windows(2).map(pair).sum::<f64>()
        };
        let mut steps = Vec::new();
        for order in ["in turn", "staggered", "farthest"] {
            let beads = ordered(in_turn.clone(), order);
            assert_eq!(beads.len(), 6);
            assert!(in_turn.iter().all(|bead| beads.contains(bead)), "{order}");
            steps.push(step(&beads));
        }
        assert!(steps.windows(2).all(|pair| pair[0] < pair[1]), "{steps:?}");
    }
}
