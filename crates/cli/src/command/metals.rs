//! `metals`: the list, or one metal with its values, ranges and where they come from.

use comfy_table::{CellAlignment, Table, presets as styles};
use warmhold::scenario::{Preset, presets};

use super::metals_plot;
use crate::args::Metals;
use crate::failure::Failure;
use crate::output::{self, printable, wrapped};

/// Where the list gives one value, C.
const USUAL_C: f64 = 200.0;

/// Lists, shows or draws.
pub(crate) fn run(metals: &Metals) -> Result<u8, Failure> {
    let Some(name) = &metals.name else { return output::print(&list()) };
    let preset = find(name)?;
    if let Some(path) = &metals.plot {
        if path.extension().is_none_or(|ending| !ending.eq_ignore_ascii_case("svg")) {
            return Err(Failure::PictureFormat { path: path.clone() });
        }
        output::write_file(path, metals_plot::svg(preset, metals.looks.dark).as_bytes(), metals.force)?;
    }
    output::print(&one(preset))
}

/// The metal of that name.
pub(crate) fn find(name: &str) -> Result<&'static Preset, Failure> {
    let wanted = plain(name);
    let is_it = |preset: &&Preset| plain(preset.id) == wanted || preset.names.iter().any(|name| plain(name) == wanted);
    presets().iter().find(is_it).ok_or_else(|| unknown(name))
}

fn unknown(name: &str) -> Failure {
    let wanted = plain(name);
    let names = presets().iter().flat_map(|preset| preset.names.iter());
    let nearest = names.map(|name| (strsim::damerau_levenshtein(&wanted, &plain(name)), name)).min();
    let hint = match nearest {
        // A third of the letters: beyond that the nearest of a short name is any short name.
        Some((distance, near)) if distance <= (wanted.chars().count() / 3).max(1) => {
            format!(": did you mean \"{near}\"?")
        }
        _ => String::new(),
    };
    let known = presets().iter().map(Preset::name).collect::<Vec<_>>().join(", ");
    Failure::NoSuchMetal { name: printable(name), hint, known }
}

/// Letters and digits alone: case, spaces and dashes do not matter.
fn plain(text: &str) -> String {
    text.chars().filter(|letter| letter.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

fn list() -> String {
    let mut table = table(["metal", "k W/mK", "range", "cp J/kgK", "range", "rho kg/m3", "alpha mm2/s", "k known by"]);
    for preset in presets() {
        let material = preset.material();
        table.add_row([
            preset.name().to_owned(),
            format!("{:.1}", material.conductivity(USUAL_C)),
            range(preset.conductivity_range),
            format!("{:.0}", material.specific_heat(USUAL_C)),
            preset.specific_heat_range.map_or_else(|| "unknown".to_owned(), range),
            format!("{:.0}", material.density()),
            format!("{:.1}", material.diffusivity(USUAL_C) * 1e6),
            marks(preset),
        ]);
    }
    let note = "Values at 200 C: conductivity k, specific heat cp, density rho, diffusivity alpha. The range is what a \
                verdict allows for. Half the diffusivity holds twice as long. `warmhold metals NAME` shows one in full.";
    format!("{}\n\n{}\n\n{}\n", table.trim_fmt(), wrapped(note, 0), wrapped(STATUS, 0))
}

const STATUS: &str = "How a value is known: read = seen in the named source; computed = evaluated from a stated \
                      formula; memory = named source, not opened; practice = common practice, no source.";

fn one(preset: &Preset) -> String {
    let material = preset.material();
    let mut table = table(["T C", "k W/mK", "cp J/kgK", "alpha mm2/s", "k known by"]);
    for (row, mark) in preset.table.iter().zip(&preset.conductivity_marks) {
        table.add_row([
            format!("{:.0}", row.temperature_c),
            format!("{:.1}", row.conductivity),
            format!("{:.0}", row.specific_heat),
            format!("{:.1}", material.diffusivity(row.temperature_c) * 1e6),
            mark.clone(),
        ]);
    }
    let heat_range = preset.specific_heat_range.map_or_else(|| "not known".to_owned(), range);
    let facts = [
        format!("{}, also: {}", preset.name(), preset.names[1..].join(", ")),
        format!("Density {:.0} kg/m3 ({}).", material.density(), preset.density_mark),
        format!(
            "Range of conductivity {}, of specific heat {heat_range} ({}).",
            range(preset.conductivity_range),
            preset.specific_heat_mark
        ),
        format!("Source: {}.", preset.note.trim_end_matches('.')),
    ];
    let facts: Vec<String> = facts.iter().map(|fact| wrapped(fact, 2)).collect();
    format!("{}\n\n{}\n\n{}\n", facts.join("\n"), table.trim_fmt(), wrapped(STATUS, 0))
}

fn marks(preset: &Preset) -> String {
    let mut marks = preset.conductivity_marks.clone();
    marks.sort();
    marks.dedup();
    marks.join(", ")
}

/// Factors on the nominal value as per cent off it.
fn range([low, high]: [f64; 2]) -> String {
    format!("{:+.0}/{:+.0} %", 100.0 * (low - 1.0), 100.0 * (high - 1.0))
}

/// First and last column to the left, numbers to the right.
fn table<const N: usize>(header: [&str; N]) -> Table {
    let mut table = Table::new();
    table.load_style(styles::NOTHING).set_header(header);
    for (index, column) in table.column_iter_mut().enumerate() {
        let words = index == N - 1 || (index == 0 && N > 5);
        column.set_padding((0, 2));
        column.set_cell_alignment(if words { CellAlignment::Left } else { CellAlignment::Right });
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_metal_is_found_by_any_of_its_names() {
        assert_eq!(find("Gray-Iron").unwrap().id, "grey_iron_250");
        assert!(find("grey irn").unwrap_err().to_string().contains("did you mean \"grey iron\""));
        assert!(find("").is_err());
    }

    #[test]
    fn every_metal_is_listed_and_can_be_shown() {
        let list = list();
        for preset in presets() {
            assert!(list.contains(preset.name()));
            assert!(one(preset).contains("Source: "));
        }
    }
}
