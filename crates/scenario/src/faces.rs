//! `[faces]`: what each face exchanges with air, walls and floor.

use heat::Surface;
use study::{Lever, Range};

use crate::keys::FACES;
use crate::preset::{self, Banded};
use crate::range::{STATED, lever};
use crate::reader::Reader;

/// The six faces and their ranges.
pub(crate) fn faces(reader: &mut Reader) -> ([Surface; 6], Vec<Range>) {
    let mut contacts: Vec<([f64; 2], String)> = Vec::new();
    check_face(reader, "faces");
    let surfaces = FACES.map(|name| {
        let own = format!("faces.{name}");
        check_face(reader, &own);
        surface(reader, &own, &mut contacts)
    });
    need_exchange(reader);
    let emissivity = emissivity_range(reader).or_else(|| own_conditions(reader));
    let mut ranges = vec![film_range(reader), emissivity, contact_range(&contacts)];
    (surfaces, ranges.drain(..).flatten().collect())
}

/// Keys of one face table that shut each other out.
fn check_face(reader: &mut Reader, at: &str) {
    let path = |name: &str| format!("{at}.{name}");
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

const EXCHANGE: [&str; 5] = ["film_coefficient", "emissivity", "condition", "contact_conductance", "stands_on"];

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

fn surface(reader: &mut Reader, own: &str, contacts: &mut Vec<([f64; 2], String)>) -> Surface {
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
    let film = [own, common].iter().find_map(|at| reader.optional(&format!("{at}.film_coefficient")));
    let emissivity = [own, common].iter().find_map(|at| emissivity(reader, at));
    surface.film_coefficient = film.unwrap_or(0.0);
    surface.emissivity = emissivity.map_or(0.0, |band| band.nominal);
    surface
}

/// Emissivity of a face table, given or by condition.
fn emissivity(reader: &Reader, at: &str) -> Option<Banded> {
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
    if lacks(reader, &["film_coefficient"]) {
        reader.missing("faces.film_coefficient", ", and not every face has its own");
    }
    if lacks(reader, &["emissivity", "condition"]) {
        reader.missing("faces.condition", " and no `emissivity`, and not every face has its own");
    }
}

fn film_range(reader: &mut Reader) -> Option<Range> {
    let nominal = reader.number("faces.film_coefficient");
    nominal_for(reader, "faces.film_coefficient_range", &["faces.film_coefficient"]);
    let ends = reader.range("faces.film_coefficient_range", nominal, "faces.film_coefficient");
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
