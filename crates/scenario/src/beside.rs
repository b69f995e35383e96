//! `[[heater]]`, `[[cover]]` and thermostats: what works on the casting beside the torch.

use heat::{Case, Cover, Face, Heater, MOST_BESIDE, Shape, Thermostat, Torch, TorchKind, When};

use crate::diagnostic::Diagnostic;
use crate::faces;
use crate::keys::FACES;
use crate::place::{FaceSize, centre, disc, on_casting, rectangle};
use crate::probes;
use crate::reader::Reader;
use crate::schedule::latest_end;

/// Band of a thermostat where none is given, K.
const BAND_K: f64 = 10.0;
const ALL: [Face; 6] = [Face::XMin, Face::XMax, Face::YMin, Face::YMax, Face::Worked, Face::Back];

/// The face named at a path; the worked face where none is.
pub(crate) fn face(reader: &Reader, path: &str) -> Face {
    let named = reader.text(path).and_then(|name| FACES.iter().position(|face| *face == name));
    named.map_or(Face::Worked, |number| ALL[number])
}

/// Lengths of the two edges of a face, in their order x, y, z.
fn edges(face: Face, size: [f64; 3]) -> FaceSize {
    match face {
        Face::XMin | Face::XMax => [size[1], size[2]],
        Face::YMin | Face::YMax => [size[0], size[2]],
        Face::Worked | Face::Back => [size[0], size[1]],
    }
}

/// Puts heaters, covers and the torch's own thermostat into a case whose torch, probes and schedule are read.
pub(crate) fn beside(reader: &mut Reader, case: &mut Case) {
    let thermostat = thermostat(reader, "torch.electric.thermostat", case);
    case.torches.iter_mut().for_each(|torch| torch.thermostat = thermostat);
    for number in 0..reader.len("heater") {
        let heater = heater(reader, &format!("heater.{number}"), case);
        case.heaters.extend(heater);
    }
    for number in 0..reader.len("cover") {
        let cover = cover(reader, &format!("cover.{number}"), case);
        case.covers.extend(cover);
    }
    if let Some(number) = case.covers_clash() {
        let problem = Diagnostic::error("E036", "two covers lie on the same place at the same time")
            .at(reader.key_place(&format!("cover.{number}")), "this one and one before it");
        reader
            .report(problem.help(
                "move one of them, or give them times that do not meet; for two blankets add up their thickness",
            ));
    }
    if case.heaters.len() + case.covers.len() > MOST_BESIDE {
        let at = reader.key_place(if reader.has("cover") { "cover" } else { "heater" });
        let problem = Diagnostic::error("E012", "too many heaters and covers").at(at, "these and the others");
        reader.report(problem.help(format!("accepted: up to {MOST_BESIDE} together")));
    }
}

fn heater(reader: &mut Reader, at: &str, case: &Case) -> Option<Heater> {
    let path = |name: &str| format!("{at}.{name}");
    let face = face(reader, &path("on"));
    let own = case.torches.first();
    let like_torch = own.filter(|torch| torch.face == face).map(|torch| torch.patch);
    let patch = area(reader, at, (face, case.block.size), like_torch.ok_or(None));
    let when = when(reader, at, case);
    let kind = kind(reader, at, own.map(|torch| torch.kind));
    let thermostat = thermostat(reader, &path("thermostat"), case);
    let torch = Torch { face, thermostat, ..Torch::new(patch?, kind?) };
    Some(Heater { shares_supply: reader.has(&path("strength")), ..Heater::new(torch, when?) })
}

/// How strong a heater is: a share of the torch, or a net flux of its own.
fn kind(reader: &mut Reader, at: &str, torch: Option<TorchKind>) -> Option<TorchKind> {
    let [strength, flux] = ["strength", "flux"].map(|name| format!("{at}.{name}"));
    let both = [strength.clone(), flux.clone()];
    if reader.clash("E018", &both, "both a share of the torch and a flux of its own are given") {
        return None;
    }
    if reader.has(&flux) {
        return Some(TorchKind::Flux { flux: reader.number(&flux) });
    }
    if !reader.has(&strength) {
        reader.missing(&flux, ", and no `strength` of the torch");
        return None;
    }
    if !reader.has("torch") {
        reader.missing("torch", ", and a heater is a share of it");
    }
    let share = reader.number(&strength);
    torch.map(|kind| match kind {
        TorchKind::Flux { flux } => TorchKind::Flux { flux: share * flux },
        TorchKind::Flame { film_coefficient, gas_c } => {
            TorchKind::Flame { film_coefficient: share * film_coefficient, gas_c }
        }
    })
}

fn cover(reader: &mut Reader, at: &str, case: &Case) -> Option<Cover> {
    let path = |name: &str| format!("{at}.{name}");
    let face = face(reader, &path("on"));
    let whole = edges(face, case.block.size);
    let whole = Shape::Rectangle { x: [0.0, whole[0]], y: [0.0, whole[1]] };
    let area = area(reader, at, (face, case.block.size), Ok(whole));
    let when = when(reader, at, case);
    if ["blanket", "film_coefficient", "emissivity", "condition"].iter().all(|name| !reader.has(&path(name))) {
        reader.missing(&path("blanket"), ", and neither `film_coefficient` nor `emissivity` nor `condition`");
    }
    faces::check_face(reader, at);
    let surface = faces::changed(reader, at, case.surfaces[face as usize]);
    let cover = Cover { face, area: area?, surface, when: when? };
    under_the_flame(reader, &path("blanket"), &cover, case);
    Some(cover)
}

/// A blanket does not lie under a flame.
fn under_the_flame(reader: &mut Reader, blanket: &str, cover: &Cover, case: &Case) {
    if !reader.has(blanket) || matches!(cover.when, When::InIntervals | When::AfterWork) {
        return;
    }
    let burns = |torch: &&Torch| torch.face == cover.face;
    let [x, y] = cover.area.extent();
    // A time of day may lie between flames: only what is always there or there with the flame is sure to burn.
    let sure = matches!(cover.when, When::WithFlame | When::Always);
    if sure && case.torches.iter().filter(burns).any(|torch| torch.patch.overlap(x, y) > 0.0) {
        let problem = Diagnostic::error("E018", "a blanket lies where the torch heats")
            .at(reader.key_place(blanket), "it would lie under the flame")
            .help("write when = \"in intervals\" or \"after work\", or lay it elsewhere");
        reader.report(problem);
    }
}

/// The shape of a table with `disc` or `rectangle` and a `centre`; what it is without them, or else nothing may be missing.
fn area(
    reader: &mut Reader,
    at: &str,
    (face, size): (Face, [f64; 3]),
    default: Result<Shape, Option<Shape>>,
) -> Option<Shape> {
    let path = |name: &str| format!("{at}.{name}");
    let (edges, variants) = (edges(face, size), ["disc", "rectangle"].map(path));
    if reader.clash("E018", &variants, "it has more than one shape") {
        return None;
    }
    let middle = default.map_or_else(|_| edges.map(|length| 0.5 * length), |shape| shape.centre());
    let centre = centre(reader, &path("centre"), edges, middle);
    let shape = match variants.iter().find(|path| reader.has(path)) {
        Some(disc_path) if disc_path.ends_with("disc") => disc(reader, disc_path, centre),
        Some(sides) => rectangle(reader, sides, centre, edges),
        None if reader.has(&path("centre")) || default.is_err() => {
            reader.missing(&variants[0], " and no `rectangle`");
            return None;
        }
        None => return default.ok(),
    };
    on_casting(reader, shape, edges, "area", &[&path("centre"), &variants[0], &variants[1]])
}

/// When it is there: in words, or at times.
fn when(reader: &mut Reader, at: &str, case: &Case) -> Option<When> {
    let [words, times] = ["when", "times"].map(|name| format!("{at}.{name}"));
    let both = [words.clone(), times.clone()];
    if reader.clash("E018", &both, "both a part of the schedule and times are given") {
        return None;
    }
    if reader.has(&times) {
        return Some(When::Times(pairs(reader, &times, latest_end(&case.schedule))));
    }
    match reader.text(&words) {
        Some("with flame") => Some(When::WithFlame),
        Some("in intervals") => Some(When::InIntervals),
        Some("after work") => Some(When::AfterWork),
        Some(_) => Some(When::Always),
        None if reader.has(&words) => None,
        None => {
            reader.missing(&words, " and no `times`");
            None
        }
    }
}

fn pairs(reader: &mut Reader, path: &str, end_s: f64) -> Vec<[f64; 2]> {
    let mut pairs: Vec<[f64; 2]> = Vec::new();
    for number in 0..reader.len(path) {
        let place = |end: usize| format!("{path}.{number}.{end}");
        let [from, to] = [0, 1].map(|end| reader.number(&place(end)));
        let problem = if from >= to {
            Some(("this ends before it begins", "write from, then to: [\"0 s\", \"300 s\"]"))
        } else if pairs.last().is_some_and(|[_, before]| from < *before) {
            Some(("this begins before the one before it has ended", "put the times in order, none within another"))
        } else if from >= end_s {
            Some(("this begins after the run has ended", "begin earlier, or let the run go on: schedule.cycles.after"))
        } else {
            None
        };
        if let Some((message, help)) = problem {
            let problem = Diagnostic::error("E024", message).at(reader.place(&place(0)), "from");
            reader.report(problem.at(reader.place(&place(1)), "to").help(help));
        }
        pairs.push([from, to]);
    }
    pairs
}

fn thermostat(reader: &mut Reader, at: &str, case: &Case) -> Option<Thermostat> {
    if !reader.has(at) {
        return None;
    }
    let set_c = reader.number(&format!("{at}.set"));
    let band_k = reader.optional(&format!("{at}.band")).unwrap_or(BAND_K);
    let probe = probes::index(reader, &format!("{at}.reads"), case)?;
    Some(Thermostat { probe, set_c, band_k })
}
