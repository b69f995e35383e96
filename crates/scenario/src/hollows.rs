//! `[casting.ribs]` and `[[casting.hollow]]`: what is missing of the block.

use heat::{Block, Case, Cavity, Hollows, Shape, Surface};

use crate::diagnostic::Diagnostic;
use crate::faces;
use crate::measure::Measure;
use crate::place::{SNAP_M, coordinate};
use crate::reader::Reader;

/// Most hollows, cells between ribs among them: so many still march in minutes, and finding what each grid cell lies in
/// grows with their square.
const MOST: f64 = 4000.0;
/// Most hollows pointed at by one message.
const SHOWN: usize = 6;

/// The hollows of the casting.
pub(crate) fn hollows(reader: &mut Reader, block: Block) -> Hollows {
    let mut boxes = Vec::new();
    if reader.has("casting.ribs") {
        boxes.extend(cells(reader, block.size));
    }
    if boxes.len() + reader.len("casting.hollow") > MOST as usize {
        too_many(reader, "casting.hollow", &format!("write fewer: up to {MOST:.0} with the cells between ribs"));
        return Hollows::default();
    }
    for number in 0..reader.len("casting.hollow") {
        boxes.extend(hollow(reader, number, block.size));
    }
    if boxes.is_empty() {
        nothing_inside(reader);
        return Hollows::default();
    }
    let hollows = Hollows { boxes, ..Hollows::default() };
    in_one_piece(reader, &hollows, block.size);
    Hollows { surface: inside(reader, &hollows.cavities(block.size)), ..hollows }
}

/// Warns of a film coefficient for hollows that are not there.
fn nothing_inside(reader: &mut Reader) {
    let key = "casting.inside_film_coefficient";
    if reader.has(key) && !reader.has("casting.ribs") && !reader.has("casting.hollow") {
        let problem = Diagnostic::warning("W116", "a film coefficient inside hollows, and the casting has none")
            .at(reader.key_place(key), "does nothing");
        reader.report(problem.help("add [casting.ribs] or [[casting.hollow]], or leave it out"));
    }
}

/// Refuses hollows that leave more than one piece of metal, or none. Each hollow is good by itself: all are shown.
fn in_one_piece(reader: &mut Reader, hollows: &Hollows, size: [f64; 3]) {
    if size.iter().any(|side| side.is_nan()) {
        return;
    }
    let message = match hollows.parts(size) {
        1 => return,
        0 => "the hollows leave nothing of the casting".to_owned(),
        parts => format!("the hollows cut the casting into {parts} parts, and no heat crosses from one to another"),
    };
    let count = reader.len("casting.hollow");
    let each = (0..count).map(|number| format!("casting.hollow.{number}"));
    let paths: Vec<String> = if count > 0 { each.collect() } else { vec!["casting.ribs".to_owned()] };
    let problem = paths.iter().take(SHOWN).fold(Diagnostic::error("E037", message), |problem, path| {
        problem.at(reader.key_place(path), if count == 1 { "cuts it through" } else { "" })
    });
    reader.report(problem.help("leave metal between them, or give only the part that is welded as the casting"));
}

fn too_many(reader: &mut Reader, path: &str, help: &str) {
    let problem = Diagnostic::error("E012", "more hollows than can be computed").at(reader.place(path), "too many");
    reader.report(problem.help(help));
}

/// What the surfaces of hollows exchange: a film to the air, and what of their radiation leaves by the openings.
fn inside(reader: &Reader, cavities: &[Cavity]) -> Surface {
    let own = reader.optional("casting.inside_film_coefficient");
    let film_coefficient = own.or_else(|| reader.optional("faces.film_coefficient")).unwrap_or(0.0);
    let air_c = reader.number("shop.air");
    let surroundings_c = reader.optional("shop.surroundings").unwrap_or(air_c);
    let emissivity = faces::emissivity(reader, "faces").map_or(0.0, |band| seen_from_outside(band.nominal, cavities));
    Surface { film_coefficient, air_c, surroundings_c, emissivity, ..Surface::ADIABATIC }
}

/// Emissivity by which the walls of cavities lose to the surroundings what leaves through the openings; what walls send
/// each other stays.
///
/// Equation: an opening `A_o` in front of grey diffuse walls `A_w` of one temperature radiates as a surface of emissivity
/// `e_o = 1 / (1 + (1/e - 1) A_o / A_w)`; spread over all walls `e_inside = sum(e_o A_o) / sum(A_w)`. Symbols: `e` emissivity
/// of the walls, areas in m2. A closed cavity radiates nothing. Walls that differ in temperature are taken each at its
/// own: near a hot floor more leaves than this says, from cold corners less. Source: exchange in an enclosure of two
/// surfaces (Incropera et al., `memory`).
fn seen_from_outside(emissivity: f64, cavities: &[Cavity]) -> f64 {
    let opening = |cavity: &Cavity| match cavity.opening {
        0.0 => 0.0,
        opening => opening / (1.0 + (1.0 / emissivity - 1.0) * opening / cavity.walls),
    };
    let walls: f64 = cavities.iter().map(|cavity| cavity.walls).sum();
    if emissivity > 0.0 && walls > 0.0 { cavities.iter().map(opening).sum::<f64>() / walls } else { 0.0 }
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
    let count = |whole: f64| (whole / pitch).round().max(1.0);
    let cells = count(length) * count(width);
    if cells > MOST {
        // To the next millimetre above, so that the one that is offered is taken.
        let least_mm = (1e3 * (length * width / MOST).sqrt()).ceil() + 1.0;
        let offered = format!("pitch = \"{least_mm} mm\" or more makes up to {MOST:.0}, which still can be computed");
        let message = format!("ribs at this pitch make {cells:.0} cells");
        let problem = Diagnostic::error("E012", message).at(reader.place("casting.ribs.pitch"), "too fine");
        reader.report(problem.help(format!("{offered}; or give the wall alone, without [casting.ribs]")));
        return Vec::new();
    }
    let bays = |whole: f64| -> Vec<[f64; 2]> {
        let count = count(whole);
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

/// Refuses a patch that reaches over the edge of a hollow: not all of it lies on one floor, or there is none.
pub(crate) fn keep_clear(reader: &mut Reader, hollows: &Hollows, (patch, size): (Shape, [f64; 3])) {
    let floor = hollows.floor_under(patch.centre());
    let on_back = reader.text("torch.on") == Some("back");
    let open_behind = |hollow: &[[f64; 2]; 3]| hollow[2][1] >= size[2] && patch.overlap(hollow[0], hollow[1]) > 0.0;
    // A casting without a good size has been reported already.
    if size.iter().any(|side| side.is_nan()) {
        return;
    }
    let clear = if on_back {
        !hollows.boxes.iter().any(open_behind)
    } else {
        floor < size[2] && hollows.floor_is_level(&patch, size, floor)
    };
    if clear {
        return;
    }
    let at = if reader.has("patch.centre") { "patch.centre" } else { "patch" };
    let problem = Diagnostic::error("E020", "the patch reaches over the edge of a hollow")
        .at(reader.place(at), "the patch")
        .help(
            "move or shrink the patch until all of it lies on metal at one depth: the face, or the floor of one pocket",
        );
    reader.report(problem);
}

/// Refuses beads that do not lie on the floor of the work.
pub(crate) fn level_beads(reader: &mut Reader, case: &Case) {
    let (size, floor) = (case.block.size, case.floor_depth());
    if case.torches.iter().any(|torch| !case.hollows.floor_is_level(&torch.patch, size, floor)) {
        // Which floor is meant is not known, and that has been reported.
        return;
    }
    let places = case.passes.iter().flat_map(|passes| &passes.list).map(|pass| pass.place);
    let uneven: Vec<usize> = places
        .enumerate()
        .filter(|(_, place)| !case.hollows.floor_is_level(place, size, floor))
        .map(|(number, _)| number)
        .collect();
    let Some(number) = uneven.first() else { return };
    let bead = format!("passes.beads.{number}.centre");
    let at = if reader.has(&bead) { bead } else { "passes".to_owned() };
    let problem = Diagnostic::error("E020", "a bead does not lie on the metal that the patch lies on")
        .at(reader.place(&at), "the bead")
        .help("move or shrink the beads until all lie on the face, or on the floor of the pocket that is heated");
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_deep_hole_looks_black_and_a_closed_one_does_not_shine() {
        let hole = |opening, walls| seen_from_outside(0.5, &[Cavity { opening, walls }]) * walls;
        // A wall of its own opening is a flat surface; a hundred times as much wall is nearly black (two surfaces).
        assert!((hole(1.0, 1.0) - 0.5).abs() < 1e-12 && (hole(1.0, 100.0) - 1.0 / 1.01).abs() < 1e-12);
        assert_eq!(hole(0.0, 6.0), 0.0);
        assert_eq!(seen_from_outside(0.0, &[Cavity { opening: 1.0, walls: 5.0 }]), 0.0);
    }
}
