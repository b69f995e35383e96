//! `[casting.ribs]` and `[[casting.hollow]]`: what is missing of the block.

use heat::{Block, Hollows, Shape, Surface};

use crate::diagnostic::Diagnostic;
use crate::measure::Measure;
use crate::place::{SNAP_M, coordinate};
use crate::reader::Reader;

/// The hollows of the casting.
pub(crate) fn hollows(reader: &mut Reader, block: Block) -> Hollows {
    let mut boxes = Vec::new();
    if reader.has("casting.ribs") {
        boxes.extend(cells(reader, block.size));
    }
    for number in 0..reader.len("casting.hollow") {
        boxes.extend(hollow(reader, number, block.size));
    }
    if boxes.is_empty() {
        return Hollows::default();
    }
    Hollows { boxes, surface: inside(reader) }
}

/// What the surfaces of hollows exchange: a film to the air. They face each other, so what one radiates another gives
/// back: no radiation is booked.
fn inside(reader: &Reader) -> Surface {
    let own = reader.optional("casting.inside_film_coefficient");
    let film_coefficient = own.or_else(|| reader.optional("faces.film_coefficient")).unwrap_or(0.0);
    let air_c = reader.number("shop.air");
    Surface { film_coefficient, air_c, ..Surface::ADIABATIC }
}

/// The cells between the ribs, open at the back: whole bays of about the pitch, ribs of full thickness along the edges.
fn cells(reader: &mut Reader, [length, width, depth]: [f64; 3]) -> Vec<[[f64; 2]; 3]> {
    let [wall, rib, pitch] = ["wall", "thickness", "pitch"].map(|name| reader.number(&format!("casting.ribs.{name}")));
    if ![wall, rib, pitch, length, width, depth].iter().all(|length| length.is_finite()) {
        return Vec::new();
    }
    if wall >= depth {
        refuse(
            reader,
            "casting.ribs.wall",
            format!("the wall is at least as thick as the casting is deep, {}", show(depth)),
        );
        return Vec::new();
    }
    if rib >= pitch {
        refuse(
            reader,
            "casting.ribs.thickness",
            format!("the ribs are at least as thick as their pitch, {}", show(pitch)),
        );
        return Vec::new();
    }
    let bays = |whole: f64| -> Vec<[f64; 2]> {
        let count = (whole / pitch).round().max(1.0);
        let own = whole / count;
        let edge = |n: f64| if n == 0.0 || n == count { rib } else { 0.5 * rib };
        let bay = |n: f64| [n * own + edge(n), (n + 1.0) * own - edge(n + 1.0)];
        (0..count as usize).map(|n| bay(n as f64)).filter(|[low, high]| low < high).collect()
    };
    let (along, across) = (bays(length), bays(width));
    if along.is_empty() || across.is_empty() {
        refuse(reader, "casting.ribs.pitch", format!("no room is left between ribs {} thick at this pitch", show(rib)));
    }
    along.iter().flat_map(|&x| across.iter().map(move |&y| [x, y, [wall, depth]])).collect()
}

fn hollow(reader: &mut Reader, number: usize, size: [f64; 3]) -> Option<[[f64; 2]; 3]> {
    let [from, to] = ["from", "to"].map(|name| format!("casting.hollow.{number}.{name}"));
    let corner = |path: &str| [0, 1, 2].map(|axis| coordinate(reader, &format!("{path}.{axis}"), size[axis]));
    let (low, high) = (corner(&from), corner(&to));
    let hollow = [0, 1, 2].map(|axis| [low[axis], high[axis]]);
    if let Some(axis) = (0..3).find(|&axis| high[axis] <= low[axis]) {
        let name = ["x", "y", "the depth"][axis];
        refuse(reader, &format!("{to}.{axis}"), format!("along {name} the hollow ends at or before where it begins"));
        return None;
    }
    let beyond = |axis: usize| hollow[axis][0] < -SNAP_M || hollow[axis][1] > size[axis] + SNAP_M;
    if (0..3).any(beyond) {
        refuse(reader, &to, "the hollow reaches beyond the casting".to_owned());
        return None;
    }
    hollow.iter().flatten().all(|side| side.is_finite()).then_some(hollow)
}

/// Refuses a patch that reaches over a hollow in the worked face: there is no metal to heat.
pub(crate) fn keep_clear(reader: &mut Reader, hollows: &Hollows, patch: Shape) {
    if !hollows.open_under(&patch) {
        return;
    }
    let at = if reader.has("patch.centre") { "patch.centre" } else { "patch" };
    let problem = Diagnostic::error("E020", "the patch reaches over a hollow in the worked face")
        .at(reader.place(at), "the patch")
        .help("move or shrink the patch until there is metal below all of it");
    reader.report(problem);
}

fn show(length: f64) -> String {
    Measure::Length.show(length)
}

fn refuse(reader: &mut Reader, path: &str, message: String) {
    let problem = Diagnostic::error("E012", message)
        .at(reader.place(path), "here")
        .help("accepted: a wall thinner than the casting, ribs thinner than their pitch, hollows from a lower corner to a higher one");
    reader.report(problem);
}
