//! `[patch]`, `[groove]` and `[ring]`: where the torch heats and where the weld goes.

use heat::{Ring, Shape};

use crate::diagnostic::Diagnostic;
use crate::reader::{Reader, Typed};

/// Edges this close to an edge of the casting lie on it, m: far below any drawing, far above rounding.
pub(crate) const SNAP_M: f64 = 1e-9;

/// Length and width of the worked face, m.
pub(crate) type FaceSize = [f64; 2];

/// The heated patch, if there is a good one.
pub(crate) fn patch(reader: &mut Reader, face: FaceSize) -> Option<Shape> {
    if !reader.has("patch") {
        return None;
    }
    let variants = ["disc", "rectangle", "strip"].map(|name| format!("patch.{name}"));
    if reader.clash("E018", &variants, "the patch has more than one shape") {
        return None;
    }
    let middle = face.map(|length| 0.5 * length);
    let centre = centre(reader, "patch.centre", face, middle);
    let Some(variant) = variants.iter().find(|path| reader.has(path)) else {
        reader.missing("patch.disc", ", `rectangle` or `strip`");
        return None;
    };
    let shape = if variant.ends_with("disc") {
        disc(reader, variant, centre)
    } else {
        rectangle(reader, variant, centre, face)
    };
    on_casting(reader, shape, face, "patch", &["patch.centre", variant.as_str()])
}

/// The groove, if there is a good one.
pub(crate) fn groove(reader: &mut Reader, face: FaceSize, patch: Option<Shape>) -> Option<Shape> {
    if !reader.has("groove") {
        return None;
    }
    let middle = patch.map_or(face.map(|length| 0.5 * length), |patch| patch.centre());
    let centre = centre(reader, "groove.centre", face, middle);
    let shape = if reader.has("groove.disc") {
        for side in ["groove.length", "groove.width"] {
            let both = [side.to_owned(), "groove.disc".to_owned()];
            reader.clash("E018", &both, "the groove has more than one shape");
        }
        disc(reader, "groove.disc", centre)
    } else {
        for side in ["groove.length", "groove.width"] {
            if !reader.has(side) {
                reader.missing(side, ", and no `disc`");
            }
        }
        rectangle(reader, "groove", centre, face)
    };
    within_depth(reader, "groove.depth", "the groove goes through the casting");
    let groove = on_casting(reader, shape, face, "groove", &["groove.centre", "groove.disc", "groove.length"])?;
    beyond_patch(reader, groove, patch);
    Some(groove)
}

/// The ring around the groove; a `[ring]` without groove is refused.
pub(crate) fn ring(reader: &mut Reader, groove: Option<Shape>, width: f64) -> Option<Ring> {
    if reader.has("ring") && !reader.has("groove") {
        let problem = Diagnostic::error("E021", "a ring without a groove: the ring is the metal around the groove")
            .at(reader.key_place("ring"), "needs [groove]")
            .help("add [groove] with length = \"60 mm\", width = \"20 mm\", depth = \"6 mm\"");
        reader.report(problem);
    }
    within_depth(reader, "ring.depth", "the ring goes through the casting");
    let depth = reader.optional("ring.depth").unwrap_or_else(|| reader.number("groove.depth"));
    groove.map(|groove| Ring { groove, width, depth })
}

/// Warns of a ring that the edges of the casting cut, and says how wide it is there.
pub(crate) fn cut_ring(reader: &mut Reader, ring: Option<Ring>, face: FaceSize) {
    let Some(Ring { groove, width, .. }) = ring else { return };
    let [x, y] = groove.extent();
    let room = [("x_min", x[0]), ("x_max", face[0] - x[1]), ("y_min", y[0]), ("y_max", face[1] - y[1])];
    let cut = room.into_iter().filter(|(_, room)| *room < width - SNAP_M);
    let told: Vec<String> = cut.map(|(edge, room)| format!("{} at {edge}", show(room.max(0.0)))).collect();
    if told.is_empty() {
        return;
    }
    let message = format!("the edge of the casting cuts the ring of {}: its width is {}", show(width), told.join(", "));
    let at = ["ring.width", "ring", "groove"].into_iter().find(|path| reader.has(path)).unwrap_or("ring");
    let problem = Diagnostic::warning("W115", message)
        .at(reader.key_place(at), "the ring")
        .help("only the ring on the casting is judged; move the groove or narrow the ring if that is not meant");
    reader.report(problem);
}

/// A centre on the face from two lengths, each of which may be `middle`.
pub(crate) fn centre(reader: &Reader, path: &str, face: FaceSize, default: [f64; 2]) -> [f64; 2] {
    if !reader.has(path) {
        return default;
    }
    [0, 1].map(|axis| coordinate(reader, &format!("{path}.{axis}"), face[axis]))
}

/// One coordinate; the middle of `length` where it says so.
pub(crate) fn coordinate(reader: &Reader, path: &str, length: f64) -> f64 {
    match reader.typed(path) {
        Some(Typed::Middle) => 0.5 * length,
        _ => reader.number(path),
    }
}

pub(crate) fn disc(reader: &mut Reader, path: &str, centre: [f64; 2]) -> Shape {
    let [diameter, radius] = ["diameter", "radius"].map(|name| format!("{path}.{name}"));
    reader.clash("E018", &[diameter.clone(), radius.clone()], "both a diameter and a radius are given");
    if reader.has(path) && !reader.has(&diameter) && !reader.has(&radius) {
        reader.missing(&diameter, " and no `radius`");
    }
    let radius = reader.optional(&radius).unwrap_or_else(|| 0.5 * reader.number(&diameter));
    Shape::Disc { centre, radius }
}

/// A rectangle of the `length` and `width` below a path.
pub(crate) fn rectangle(reader: &Reader, path: &str, centre: [f64; 2], face: FaceSize) -> Shape {
    let side = |name: &str, axis: usize| {
        let half = 0.5 * reader.number(&format!("{path}.{name}"));
        [centre[axis] - half, centre[axis] + half].map(|edge| snap(edge, face[axis]))
    };
    Shape::Rectangle { x: side("length", 0), y: side("width", 1) }
}

/// Takes the rounding of `centre - half` out of an edge, so that grid lines do not run beside it.
fn snap(edge: f64, length: f64) -> f64 {
    let near = [0.0, length].into_iter().find(|end| (edge - end).abs() < SNAP_M);
    near.unwrap_or((edge * 1e12).round() / 1e12)
}

/// The shape if some of it lies on the casting; what hangs over is reported. None if any number is missing.
pub(crate) fn on_casting(
    reader: &mut Reader,
    shape: Shape,
    face: FaceSize,
    what: &str,
    places: &[&str],
) -> Option<Shape> {
    let [length, width] = face;
    let share = shape.overlap([0.0, length], [0.0, width]) / shape.area();
    if share.is_nan() {
        return None;
    }
    let at = places.iter().find(|path| reader.has(path)).copied().unwrap_or(what);
    let (at, block) = (reader.place(at), ["casting.length", "casting.width"].map(|path| reader.place(path)));
    if share < 1e-9 {
        let problem = Diagnostic::error("E020", format!("the {what} does not lie on the casting"))
            .at(at, format!("the {what}"))
            .at(block[0], "length along x")
            .at(block[1], "width along y")
            .help(format!(
                "x goes from 0 to {}, y from 0 to {}, counted from the corner x_min, y_min",
                show(length),
                show(width)
            ));
        reader.report(problem);
        return None;
    }
    if share < 1.0 - 1e-6 {
        let off = 100.0 * (1.0 - share);
        let message = format!("{off:.1} % of the {what} lies beyond the edge of the casting and is cut off");
        let problem = Diagnostic::warning("W101", message).at(at, format!("the {what}"));
        reader.report(problem.help("only the part on the casting counts; move or shrink it if that is not meant"));
    }
    Some(shape)
}

fn show(length: f64) -> String {
    crate::measure::Measure::Length.show(length)
}

fn within_depth(reader: &mut Reader, path: &str, message: &str) {
    if reader.number(path) >= reader.number("casting.depth") {
        let problem = Diagnostic::error("E020", message)
            .at(reader.place(path), "not less than")
            .at(reader.place("casting.depth"), "the depth of the casting");
        reader.report(problem.help("make it shallower than the casting"));
    }
}

/// Warns of a groove that the torch does not cover.
fn beyond_patch(reader: &mut Reader, groove: Shape, patch: Option<Shape>) {
    let Some(patch) = patch else { return };
    let [x, y] = groove.extent();
    let [middle_x, middle_y] = groove.centre();
    let outline = match groove {
        Shape::Disc { .. } => [[x[0], middle_y], [x[1], middle_y], [middle_x, y[0]], [middle_x, y[1]]],
        Shape::Rectangle { .. } => [[x[0], y[0]], [x[1], y[0]], [x[0], y[1]], [x[1], y[1]]],
    };
    if outline.iter().any(|point| patch.distance(*point) > SNAP_M) {
        let problem = Diagnostic::warning("W102", "the groove reaches beyond the heated patch")
            .at(reader.key_place("groove"), "the groove")
            .at(reader.key_place("patch"), "the patch")
            .help("heat at least the groove and its ring; half as much again as the ring's outer radius holds far longer (D12)");
        reader.report(problem);
    }
}
