//! `[faces]`: what each face exchanges with air, walls and floor.

use heat::{Block, Shape, Surface};
use study::{Lever, Range};

use crate::convection::{self, Convection};
use crate::diagnostic::Diagnostic;
use crate::keys::FACES;
use crate::preset::{self, Banded};
use crate::range::{STATED, lever};
use crate::reader::Reader;

/// The six faces and their ranges.
pub(crate) fn faces(reader: &mut Reader, block: Block, patch: Option<Shape>) -> ([Surface; 6], Vec<Range>) {
    let mut contacts: Vec<([f64; 2], String)> = Vec::new();
    check_face(reader, "faces");
    let convection = Convection::read(reader, block, patch);
    let surfaces = [0, 1, 2, 3, 4, 5].map(|face| {
        check_face(reader, &format!("faces.{}", FACES[face]));
        surface(reader, face, &convection, &mut contacts)
    });
    need_exchange(reader);
    let emissivity = emissivity_range(reader).or_else(|| own_conditions(reader));
    let mut ranges = vec![film_range(reader), emissivity, contact_range(&contacts)];
    (surfaces, ranges.drain(..).flatten().collect())
}

/// Keys of one face table that shut each other out.
pub(crate) fn check_face(reader: &mut Reader, at: &str) {
    let path = |name: &str| format!("{at}.{name}");
    let films = [path("film_coefficient"), path("convection")];
    reader.clash("E018", &films, "both a film coefficient and its convection are given");
    reader.clash("E018", &[path("emissivity"), path("condition")], "both an emissivity and a condition are given");
    reader.clash(
        "E018",
        &[path("contact_conductance"), path("stands_on")],
        "both a contact conductance and what it stands on are given",
    );
    let contact = [path("contact_conductance"), path("stands_on")];
    if reader.has(&path("contact_range")) && !contact.iter().any(|path| reader.has(path)) {
        reader.missing(&contact[0], ", which its range needs");
    }
    if reader.flag(&path("adiabatic")) == Some(true) {
        let other = EXCHANGE.iter().find(|name| reader.has(&path(name)));
        if let Some(other) = other {
            let both = [path("adiabatic"), path(other)];
            reader.clash("E018", &both, &format!("an adiabatic face exchanges nothing, and `{other}` says otherwise"));
        }
    }
}

const FILM: [&str; 2] = ["film_coefficient", "convection"];
const EXCHANGE: [&str; 6] =
    ["film_coefficient", "convection", "emissivity", "condition", "contact_conductance", "stands_on"];

/// Whether a face of its own table, or of the common one, exchanges nothing.
fn is_adiabatic(reader: &Reader, own: &str) -> bool {
    let exchanges = EXCHANGE.iter().any(|name| reader.has(&format!("{own}.{name}")));
    let common = !exchanges && reader.flag("faces.adiabatic") == Some(true);
    reader.flag(&format!("{own}.adiabatic")).unwrap_or(common)
}

/// The table that says what a face stands on, if any.
fn contact_table<'a>(reader: &Reader, own: &'a str) -> Option<&'a str> {
    let stands =
        |at: &&str| ["contact_conductance", "stands_on"].iter().any(|name| reader.has(&format!("{at}.{name}")));
    [own, "faces"].into_iter().find(stands)
}

fn surface(
    reader: &mut Reader,
    face: usize,
    convection: &Convection,
    contacts: &mut Vec<([f64; 2], String)>,
) -> Surface {
    let own = &format!("faces.{}", FACES[face]);
    if is_adiabatic(reader, own) {
        return Surface::ADIABATIC;
    }
    let air_c = reader.number("shop.air");
    let surroundings_c = reader.optional("shop.surroundings").unwrap_or(air_c);
    let mut surface = Surface { air_c, surroundings_c, contact_c: air_c, ..Surface::ADIABATIC };
    let contact = contact_table(reader, own);
    if let Some(at) = contact {
        surface.contact_conductance = conductance(reader, at, contacts);
        let temperatures = [own, at].map(|at| format!("{at}.contact_temperature"));
        surface.contact_c = temperatures.iter().find_map(|path| reader.optional(path)).unwrap_or(air_c);
    }
    // A face that stands on something sees neither air nor walls unless its own table says so.
    let common = if contact.is_some() { own } else { "faces" };
    let gives_film = |at: &&str| FILM.iter().any(|name| reader.has(&format!("{at}.{name}")));
    let film = [own.as_str(), common].into_iter().find(gives_film);
    let emissivity = [own, common].iter().find_map(|at| emissivity(reader, at));
    if let Some(at) = film {
        let [constant, natural] = FILM.map(|name| format!("{at}.{name}"));
        surface.film_coefficient = reader.optional(&constant).unwrap_or(0.0);
        if reader.has(&natural) {
            surface.film_table = Some(convection.table(face));
            convection.warn(reader, face, &natural);
        }
    }
    surface.emissivity = emissivity.map_or(0.0, |band| band.nominal);
    if reader.has(&format!("{own}.blanket")) {
        cover(reader, &format!("{own}.blanket"), &mut surface);
        if FACES[face] == "worked" && reader.has("torch") {
            let problem = Diagnostic::error("E018", "the worked face has a torch and a blanket")
                .at(reader.key_place(&format!("{own}.blanket")), "it would lie under the flame")
                .help("leave the blanket out, or put it on another face");
            reader.report(problem);
        }
    }
    surface
}

/// A face's surface after what a cover says of it.
pub(crate) fn changed(reader: &Reader, at: &str, mut surface: Surface) -> Surface {
    if let Some(film_coefficient) = reader.optional(&format!("{at}.film_coefficient")) {
        surface = Surface { film_coefficient, film_table: None, ..surface };
    }
    if let Some(band) = emissivity(reader, at) {
        surface.emissivity = band.nominal;
    }
    let blanket = format!("{at}.blanket");
    if reader.has(&blanket) {
        cover(reader, &blanket, &mut surface);
    }
    surface
}

/// Lays a blanket over a surface.
fn cover(reader: &Reader, at: &str, surface: &mut Surface) {
    let resistance = reader.number(&format!("{at}.thickness")) / reader.number(&format!("{at}.conductivity"));
    *surface = surface.under_blanket(resistance);
}

/// Emissivity of a face table, given or by condition.
pub(crate) fn emissivity(reader: &Reader, at: &str) -> Option<Banded> {
    if let Some(nominal) = reader.optional(&format!("{at}.emissivity")) {
        return Some(Banded { nominal, low: nominal, high: nominal, source: STATED.into() });
    }
    reader.text(&format!("{at}.condition")).and_then(preset::condition)
}

fn conductance(reader: &mut Reader, at: &str, contacts: &mut Vec<([f64; 2], String)>) -> f64 {
    let nominal_path = format!("{at}.contact_conductance");
    let support = reader.text(&format!("{at}.stands_on")).and_then(preset::support);
    let nominal = support.as_ref().map_or_else(|| reader.number(&nominal_path), |band| band.nominal);
    let path = format!("{at}.contact_range");
    let stated = reader.range(&path, nominal, &nominal_path).map(|ends| (ends, STATED.to_owned()));
    let listed = support.map(|band| ([band.low / band.nominal, band.high / band.nominal], band.source));
    let range = if reader.has(&path) { stated } else { listed };
    contacts.extend(range.filter(|range| !contacts.contains(range)));
    nominal
}

fn need_exchange(reader: &mut Reader) {
    if !reader.has("faces") {
        return;
    }
    let lacks = |reader: &Reader, names: &[&str]| {
        FACES.iter().any(|face| {
            let own = format!("faces.{face}");
            let given = ["faces", &own].iter().any(|at| names.iter().any(|name| reader.has(&format!("{at}.{name}"))));
            !given && !is_adiabatic(reader, &own) && contact_table(reader, &own).is_none()
        })
    };
    if lacks(reader, &FILM) {
        reader.missing("faces.film_coefficient", ", and not every face has its own");
    }
    if lacks(reader, &["emissivity", "condition"]) {
        reader.missing("faces.condition", " and no `emissivity`, and not every face has its own");
    }
}

/// The stated range; where it is not stated, that of the correlations, if any is used.
fn film_range(reader: &mut Reader) -> Option<Range> {
    let path = "faces.film_coefficient_range";
    let [constant, natural] = FILM.map(|name| format!("faces.{name}"));
    if !reader.has(path) && convection::anywhere(reader) {
        return lever(Lever::FilmCoefficient, Some(convection::SCATTER), convection::SCATTER_SOURCE);
    }
    nominal_for(reader, path, &[&constant, &natural]);
    if reader.has(&constant) || !reader.has(&natural) {
        let ends = reader.range(path, reader.number(&constant), &constant);
        return lever(Lever::FilmCoefficient, ends, STATED);
    }
    if [0, 1].iter().any(|end| reader.optional(&format!("{path}.{end}")).is_some_and(|value| !value.is_nan())) {
        let problem = Diagnostic::error("E015", "a range in units needs one nominal value, and convection has a curve")
            .at(reader.place(path), "range")
            .help("give the range in per cent: [\"-20 %\", \"+20 %\"]");
        reader.report(problem);
        return None;
    }
    // Per cent are factors already, whatever the nominal value.
    let ends = reader.range(path, 1.0, &natural);
    lever(Lever::FilmCoefficient, ends, STATED)
}

fn emissivity_range(reader: &mut Reader) -> Option<Range> {
    let path = "faces.emissivity_range";
    nominal_for(reader, path, &["faces.emissivity", "faces.condition"]);
    let band = emissivity(reader, "faces")?;
    if reader.has(path) {
        let nominal_path = if reader.has("faces.emissivity") { "faces.emissivity" } else { "faces.condition" };
        let ends = reader.range(path, band.nominal, nominal_path);
        return lever(Lever::Emissivity, ends, STATED);
    }
    lever(Lever::Emissivity, Some([band.low / band.nominal, band.high / band.nominal]), &band.source)
}

/// The widest band of the conditions that faces of their own are in: one lever moves all emissivities together.
fn own_conditions(reader: &Reader) -> Option<Range> {
    let band = |face: &str| emissivity(reader, &format!("faces.{face}")).filter(|band| band.low < band.high);
    let bands: Vec<Banded> = FACES.iter().filter_map(|face| band(face)).collect();
    let ends = bands.iter().map(|band| [band.low / band.nominal, band.high / band.nominal]);
    let widest = ends.reduce(|[low, high], [l, h]| [low.min(l), high.max(h)])?;
    lever(Lever::Emissivity, Some(widest), &bands[0].source)
}

/// A range without its nominal value is refused.
fn nominal_for(reader: &mut Reader, range: &str, nominal: &[&str]) {
    if reader.has(range) && !nominal.iter().any(|path| reader.has(path)) {
        reader.missing(nominal[0], ", which its range needs");
    }
}

/// The widest of all contacts: one lever moves them together.
fn contact_range(contacts: &[([f64; 2], String)]) -> Option<Range> {
    let (first, source) = contacts.first()?;
    let widest = contacts.iter().fold(*first, |[low, high], (ends, _)| [low.min(ends[0]), high.max(ends[1])]);
    lever(Lever::ContactConductance, Some(widest), source)
}
