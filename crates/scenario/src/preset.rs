//! Metals, surface conditions, fuels and supports that a scenario may name.

use std::sync::LazyLock;

use heat::{Material, Row};

use crate::words::plain;

/// A metal of the list.
#[derive(Clone, Debug, PartialEq)]
pub struct Preset {
    /// Identifier in the table of materials, such as `grey_iron_250`.
    pub id: &'static str,
    /// Names that people type, the usual one first; case, spaces, dashes and underscores are ignored.
    pub names: &'static [&'static str],
    /// Range of conductivity against its nominal value, as factors.
    pub conductivity_range: [f64; 2],
    /// Range of specific heat against its nominal value, as factors, where one is known.
    pub specific_heat_range: Option<[f64; 2]>,
    /// How the conductivity is known, row by row: `read`, `computed`, `memory` or `practice`.
    pub conductivity_marks: Vec<String>,
    /// How the specific heat is known.
    pub specific_heat_mark: String,
    /// How the density is known.
    pub density_mark: String,
    /// Where the values come from.
    pub note: String,
    /// The table as listed; the metal itself may be known by formula.
    pub table: Vec<Row>,
    material: Material,
}

impl Preset {
    /// The metal, for the engine.
    pub fn material(&self) -> Material {
        self.material.clone()
    }

    /// The usual name.
    pub fn name(&self) -> &'static str {
        self.names[0]
    }

    /// Source of the range of conductivity in a few words, with its marks.
    pub fn conductivity_source(&self) -> String {
        let mut marks = self.conductivity_marks.clone();
        marks.sort();
        marks.dedup();
        format!("list of metals, {} (`{}`)", self.name(), marks.join("`, `"))
    }

    /// Source of the range of specific heat in a few words, with its mark.
    pub fn specific_heat_source(&self) -> String {
        format!("list of metals, {} (`{}`)", self.name(), self.specific_heat_mark)
    }
}

/// Identifier and names of each metal of the table.
const NAMES: &[(&str, &[&str])] = &[
    (
        "grey_iron_250",
        &["grey iron 250", "grey iron", "gray iron 250", "gray iron", "GJL-250", "EN-GJL-250", "flake iron"],
    ),
    ("grey_iron_150", &["grey iron 150", "gray iron 150", "GJL-150", "EN-GJL-150"]),
    ("grey_iron_200", &["grey iron 200", "gray iron 200", "GJL-200", "EN-GJL-200"]),
    ("grey_iron_300", &["grey iron 300", "gray iron 300", "GJL-300", "EN-GJL-300"]),
    ("grey_iron_350", &["grey iron 350", "gray iron 350", "GJL-350", "EN-GJL-350"]),
    (
        "ductile_ferritic",
        &[
            "ductile iron ferritic",
            "ductile ferritic",
            "nodular iron ferritic",
            "GJS-400",
            "EN-GJS-400",
            "GJS-350",
            "GJS-450",
        ],
    ),
    (
        "ductile_pearlitic_600_700",
        &[
            "ductile iron pearlitic",
            "ductile pearlitic",
            "nodular iron pearlitic",
            "GJS-600",
            "GJS-700",
            "EN-GJS-600",
            "EN-GJS-700",
            "ductile pearlitic 600 700",
        ],
    ),
    ("carbon_steel_cast", &["cast steel", "cast carbon steel", "carbon steel", "G20Mn5", "carbon steel cast"]),
    (
        "low_alloy_cast_1Cr_half_Mo",
        &["low alloy cast steel", "1Cr-1/2Mo", "1Cr half Mo", "low alloy steel", "low alloy cast 1Cr half Mo"],
    ),
    ("tool_D2", &["D2", "tool steel D2"]),
    ("tool_A2", &["A2", "tool steel A2"]),
    ("tool_S7", &["S7", "tool steel S7"]),
    ("tool_H13", &["H13", "tool steel H13"]),
    ("tool_P20", &["P20", "tool steel P20"]),
    ("chromium_bulk", &["chromium", "bulk chromium", "chromium bulk"]),
];

/// All metals of the list.
pub fn presets() -> &'static [Preset] {
    static PRESETS: LazyLock<Vec<Preset>> = LazyLock::new(load);
    &PRESETS
}

/// The metal of that name.
pub(crate) fn metal(written: &str) -> Option<&'static Preset> {
    let written = plain(written);
    presets()
        .iter()
        .find(|preset| plain(preset.id) == written || preset.names.iter().any(|name| plain(name) == written))
}

/// One line of an embedded table, by the names of its columns.
struct Line {
    columns: csv::StringRecord,
    fields: csv::StringRecord,
}

impl Line {
    fn text(&self, column: &str) -> &str {
        let at = self.columns.iter().position(|name| name == column);
        at.and_then(|at| self.fields.get(at)).unwrap_or_default()
    }

    fn number(&self, column: &str) -> Option<f64> {
        self.text(column).parse().ok()
    }
}

fn lines(table: &str) -> Vec<Line> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let columns = reader.headers().cloned().unwrap_or_default();
    reader.records().flatten().map(|fields| Line { columns: columns.clone(), fields }).collect()
}

fn load() -> Vec<Preset> {
    let lines = lines(include_str!("../data/materials.csv"));
    let of = |id: &str| lines.iter().filter(|line| line.text("material") == id).collect::<Vec<_>>();
    NAMES.iter().filter_map(|(id, names)| preset(id, names, &of(id))).collect()
}

fn preset(id: &'static str, names: &'static [&'static str], lines: &[&Line]) -> Option<Preset> {
    let first = lines.first()?;
    let row = |line: &&Line| {
        let [temperature_c, conductivity, specific_heat] =
            ["T_C", "k_WmK", "cp_JkgK"].map(|column| line.number(column));
        Some(Row { temperature_c: temperature_c?, conductivity: conductivity?, specific_heat: specific_heat? })
    };
    let table: Vec<Row> = lines.iter().map(row).collect::<Option<_>>()?;
    // Carbon steel is known by formula; its table is for showing.
    let rows = if id == "carbon_steel_cast" { crate::carbon_steel::rows() } else { table.clone() };
    let factor = |column: &str| first.number(column).map(|per_cent| 1.0 + per_cent / 100.0);
    let off = first.number("k_unc_pct")? / 100.0;
    Some(Preset {
        id,
        names,
        conductivity_range: [1.0 - off, 1.0 + off],
        specific_heat_range: factor("cp_unc_lo_pct").zip(factor("cp_unc_hi_pct")).map(|(low, high)| [low, high]),
        conductivity_marks: lines.iter().map(|line| line.text("k_mark").to_owned()).collect(),
        specific_heat_mark: first.text("cp_mark").to_owned(),
        density_mark: first.text("rho_mark").to_owned(),
        note: first.text("note").to_owned(),
        material: Material::new(first.number("rho_kgm3")?, rows).ok()?,
        table,
    })
}

/// A nominal value with its ends and source.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Banded {
    pub(crate) nominal: f64,
    pub(crate) low: f64,
    pub(crate) high: f64,
    pub(crate) source: String,
}

/// Emissivity of a surface condition, by its word in the format.
pub(crate) fn condition(word: &str) -> Option<Banded> {
    let row = match word {
        "as cast" => "as_cast_or_oxidised",
        "rusted" => "rusted",
        "ground" => "ground_machined_or_polished_iron",
        "tinted" => "ground_tinted",
        "bright chrome" => "bright_chrome",
        "sooted" => "sooted",
        "fire design steel" => "EN1993-1-2_member",
        _ => return None,
    };
    let lines = lines(include_str!("../data/emissivity.csv"));
    let line = lines.iter().find(|line| line.text("surface") == row)?;
    Some(Banded {
        nominal: line.number("eps_default")?,
        low: line.number("eps_low")?,
        high: line.number("eps_high")?,
        source: format!("surface condition \"{word}\" (`{}`)", line.text("mark")),
    })
}

/// The surfaces of the list as an instrument meets them: name, and emissivity usual, lowest and highest.
pub fn looks() -> Vec<study::Look> {
    let look = |word: &&str| {
        let band = condition(word)?;
        Some(study::Look { name: (*word).to_owned(), emissivity: [band.nominal, band.low, band.high] })
    };
    // The value of fire design is a convention, not a surface that anyone looks at.
    crate::keys::CONDITIONS.iter().filter(|word| **word != "fire design steel").filter_map(look).collect()
}

/// A fuel gas; volumes at 15 C and 101.325 kPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Fuel {
    /// Lower heating value, J/kg.
    pub(crate) heat_per_kg: f64,
    /// Lower heating value, J/m3.
    pub(crate) heat_per_m3: f64,
    /// kg/m3.
    pub(crate) density: f64,
    /// Oxygen from the cylinder for one volume of gas in a neutral flame.
    pub(crate) oxygen_ratio: f64,
}

impl Fuel {
    /// Stands in for a gas that was refused.
    pub(crate) const UNKNOWN: Fuel =
        Fuel { heat_per_kg: f64::NAN, heat_per_m3: f64::NAN, density: f64::NAN, oxygen_ratio: f64::NAN };
}

/// A fuel gas by its name.
pub(crate) fn fuel(gas: &str) -> Option<Fuel> {
    let lines = lines(include_str!("../data/fuels.csv"));
    let line = lines.iter().find(|line| line.text("gas") == gas)?;
    // A neutral flame takes part of its oxygen from the air: less than burns the gas (FU2: acetylene 1.0 to 1.2 as
    // guidance, propane 4 from memory). For the other gases only what burns them whole is known.
    let oxygen_ratio = match gas {
        "acetylene" => 1.1,
        "propane" => 4.0,
        _ => line.number("O2_per_fuel")?,
    };
    Some(Fuel {
        heat_per_kg: line.number("LHV_MJkg")? * 1e6,
        heat_per_m3: line.number("LHV_MJm3_15C")? * 1e6,
        density: line.number("rho15_kgm3")?,
        oxygen_ratio,
    })
}

/// Contact conductance of a support, W/m2K (K1, practice); the nominal value is near the geometric mean of the ends.
pub(crate) fn support(word: &str) -> Option<Banded> {
    let [nominal, low, high] = match word {
        "steel" => [300.0, 100.0, 1000.0],
        "timber" | "floor" => [40.0, 10.0, 150.0],
        _ => return None,
    };
    Some(Banded { nominal, low, high, source: format!("stands on {word} (K1, `practice`)") })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keys::{CONDITIONS, GASES, SUPPORTS};

    #[test]
    fn every_metal_of_the_table_has_names_and_loads() {
        let mut ids: Vec<String> =
            lines(include_str!("../data/materials.csv")).iter().map(|line| line.text("material").to_owned()).collect();
        ids.dedup();
        assert_eq!(ids, presets().iter().map(|preset| preset.id).collect::<Vec<_>>());
        assert_eq!(presets().len(), 15);
        assert!(presets().iter().all(|preset| preset.material().rows().len() >= 5 && !preset.note.is_empty()));
    }

    #[test]
    fn people_find_their_metal_under_many_names() {
        for (name, id) in [
            ("GJL 250", "grey_iron_250"),
            ("Gray Iron", "grey_iron_250"),
            ("en-gjs-400", "ductile_ferritic"),
            ("Cast Steel", "carbon_steel_cast"),
            ("h13", "tool_H13"),
            ("tool_D2", "tool_D2"),
        ] {
            assert_eq!(metal(name).map(|preset| preset.id), Some(id), "{name}");
        }
        assert!(metal("unobtainium").is_none() && metal("").is_none());
    }

    #[test]
    fn no_name_means_two_metals() {
        let mut names: Vec<String> = NAMES.iter().flat_map(|(_, names)| names.iter().map(|name| plain(name))).collect();
        names.sort();
        let all = names.len();
        names.dedup();
        assert_eq!(names.len(), all);
    }

    #[test]
    fn ranges_come_from_the_table() {
        let iron = metal("grey iron 250").unwrap();
        assert_eq!(iron.conductivity_range, [0.88, 1.12]);
        assert_eq!(iron.specific_heat_range, Some([0.89, 1.04]));
        assert_eq!(iron.material().density(), 7200.0);
        assert_eq!(metal("chromium").unwrap().specific_heat_range, None);
    }

    #[test]
    fn every_word_of_the_format_has_its_values() {
        assert!(CONDITIONS.iter().all(|word| condition(word).is_some_and(|band| band.low <= band.nominal)));
        // Heat by volume is heat by mass times density, to the rounding of the table.
        let same = |fuel: Fuel| (fuel.heat_per_m3 / (fuel.heat_per_kg * fuel.density) - 1.0).abs() < 5e-4;
        assert!(GASES.iter().all(|gas| fuel(gas).is_some_and(|fuel| same(fuel) && fuel.oxygen_ratio >= 1.0)));
        assert!(SUPPORTS.iter().all(|word| support(word).is_some()));
        assert_eq!(condition("as cast").unwrap().nominal, 0.8);
    }
}
