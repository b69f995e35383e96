//! `[casting]` and `[metal]`: the block and its metal.

use heat::{Block, Material, Row};
use study::{Lever, Range};

use crate::diagnostic::{Diagnostic, quote};
use crate::preset::{self, Preset};
use crate::range::{STATED, lever};
use crate::reader::Reader;
use crate::words::{list, nearest, plain};

/// The block; NaN where a length is missing.
pub(crate) fn block(reader: &Reader) -> Block {
    Block { size: ["casting.length", "casting.width", "casting.depth"].map(|path| reader.number(path)) }
}

/// The metal with its name, preset and ranges.
pub(crate) struct Metal {
    pub(crate) name: String,
    pub(crate) preset: Option<&'static Preset>,
    /// Any metal where a problem was reported.
    pub(crate) material: Material,
    pub(crate) ranges: Vec<Range>,
}

const OWN_VALUES: [&str; 4] = ["metal.density", "metal.conductivity", "metal.specific_heat", "metal.table"];

/// Reads the metal.
pub(crate) fn metal(reader: &mut Reader) -> Metal {
    let own = OWN_VALUES.iter().find(|path| reader.has(path));
    let named = reader.has("casting.metal");
    if let (Some(own), true) = (own, named) {
        let problem = Diagnostic::error("E016", "two metals: one of the list and one of your own")
            .at(reader.key_place(own), "your own values")
            .at(reader.key_place("casting.metal"), "a metal of the list")
            .help("leave out casting.metal, or keep only ranges in [metal]");
        reader.report(problem);
    }
    match (named, own) {
        (true, _) => listed(reader),
        (false, Some(_)) => own_metal(reader),
        (false, None) => {
            reader.missing("casting.metal", ", and [metal] gives no values of its own");
            Metal { name: String::new(), preset: None, material: any(), ranges: Vec::new() }
        }
    }
}

fn listed(reader: &mut Reader) -> Metal {
    let written = reader.text("casting.metal").unwrap_or_default().to_owned();
    let found = preset::metal(&written);
    if found.is_none() && reader.text("casting.metal").is_some() {
        unknown_metal(reader, &written);
    }
    let conductivity = found.map(|preset| (preset.conductivity_range, preset.conductivity_source()));
    let specific_heat = found.and_then(|preset| Some((preset.specific_heat_range?, preset.specific_heat_source())));
    let ranges = [
        metal_range(reader, "conductivity", Lever::Conductivity, f64::NAN, conductivity),
        metal_range(reader, "specific_heat", Lever::SpecificHeat, f64::NAN, specific_heat),
    ];
    let named = reader.text("metal.name").map(str::to_owned);
    let name = named.unwrap_or_else(|| found.map_or(written, |preset| preset.name().to_owned()));
    let material = found.map_or_else(any, Preset::material);
    Metal { name, preset: found, material, ranges: ranges.into_iter().flatten().collect() }
}

/// Stands in where a problem was reported, so that the rest can be read.
fn any() -> Material {
    preset::presets()[0].material()
}

fn unknown_metal(reader: &mut Reader, written: &str) {
    let names: Vec<&str> = preset::presets().iter().flat_map(|preset| preset.names.iter().copied()).collect();
    let known: Vec<&str> = preset::presets().iter().map(Preset::name).collect();
    let near = match nearest(written, &names) {
        Some(near) if !plain(written).is_empty() => format!("did you mean \"{near}\"? "),
        _ => String::new(),
    };
    let problem = Diagnostic::error("E017", format!("no metal of the list is called \"{}\"", quote(written)))
        .at(reader.place("casting.metal"), "unknown metal")
        .help(format!("{near}Known: {}; or give density, conductivity and specific_heat in [metal]", list(&known)));
    reader.report(problem);
}

/// The user's range if there is one, else that of the list. A range in units needs a constant nominal value.
fn metal_range(
    reader: &mut Reader,
    name: &str,
    which: Lever,
    nominal: f64,
    listed: Option<([f64; 2], String)>,
) -> Option<Range> {
    let path = format!("metal.{name}_range");
    if !reader.has(&path) {
        let (ends, source) = listed?;
        return lever(which, Some(ends), &source);
    }
    let in_units =
        [0, 1].iter().any(|end| reader.optional(&format!("{path}.{end}")).is_some_and(|value| !value.is_nan()));
    if nominal.is_nan() && in_units {
        let problem = Diagnostic::error("E015", "a range in units needs one nominal value, and this metal has a table")
            .at(reader.place(&path), "range")
            .help("give the range in per cent: [\"-12 %\", \"+12 %\"]");
        reader.report(problem);
        return None;
    }
    // Per cent are factors already, whatever the nominal value.
    let nominal = if nominal.is_nan() { 1.0 } else { nominal };
    let ends = reader.range(&path, nominal, &format!("metal.{name}"));
    lever(which, ends, STATED)
}

fn own_metal(reader: &mut Reader) -> Metal {
    let material = own_material(reader).unwrap_or_else(any);
    let [conductivity, specific_heat] =
        ["metal.conductivity", "metal.specific_heat"].map(|path| reader.optional(path).unwrap_or(f64::NAN));
    let ranges = [
        metal_range(reader, "conductivity", Lever::Conductivity, conductivity, None),
        metal_range(reader, "specific_heat", Lever::SpecificHeat, specific_heat, None),
    ];
    let name = reader.text("metal.name").unwrap_or("own metal").to_owned();
    Metal { name, preset: None, material, ranges: ranges.into_iter().flatten().collect() }
}

fn own_material(reader: &mut Reader) -> Option<Material> {
    if !reader.has("metal.density") {
        reader.missing("metal.density", "");
    }
    let constants = ["metal.conductivity", "metal.specific_heat"];
    let density = reader.number("metal.density");
    if reader.has("metal.table") {
        for constant in constants {
            let both = [constant.to_owned(), "metal.table".to_owned()];
            reader.clash("E018", &both, &format!("both `{constant}` and `metal.table` are given"));
        }
        return Material::new(density, table(reader)).ok();
    }
    for constant in constants {
        if !reader.has(constant) {
            reader.missing(constant, ", and there is no metal.table");
        }
    }
    let [conductivity, specific_heat] = constants.map(|path| reader.number(path));
    Material::constant(density, conductivity, specific_heat).ok()
}

fn table(reader: &mut Reader) -> Vec<Row> {
    let length = reader.len("metal.table");
    if length == 0 && reader.typed("metal.table").is_some() {
        let problem = Diagnostic::error("E019", "the table of the metal has no rows")
            .at(reader.place("metal.table"), "empty")
            .help("add { at = \"20 C\", conductivity = \"49 W/mK\", specific_heat = \"460 J/kgK\" }");
        reader.report(problem);
    }
    let rows: Vec<Row> = (0..length).map(|number| row(reader, number)).collect();
    for number in 1..length {
        if rows[number].temperature_c <= rows[number - 1].temperature_c {
            let [before, after] = [number - 1, number].map(|number| format!("metal.table.{number}.at"));
            let problem = Diagnostic::error("E019", "the temperatures of the table do not rise from row to row")
                .at(reader.place(&after), "not above")
                .at(reader.place(&before), "the row before")
                .help("sort the rows by temperature, each temperature once");
            reader.report(problem);
        }
    }
    rows
}

fn row(reader: &Reader, number: usize) -> Row {
    let value = |name: &str| reader.number(&format!("metal.table.{number}.{name}"));
    Row { temperature_c: value("at"), conductivity: value("conductivity"), specific_heat: value("specific_heat") }
}
