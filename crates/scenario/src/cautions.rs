//! What the job can do to people and castings, one line each. The model knows heat only; codes, the qualified
//! procedure and licensed people govern.

use heat::Case;

use crate::preset::Preset;
use crate::reader::Reader;

/// Below this minimum D2 and H13 are colder than is usual for them, C: 400 F (ST12).
const TOOL_STEEL_MINIMUM_C: f64 = 400.0 / 1.8 - 32.0 / 1.8;

const PLATING: &str =
    "Chromium(VI): strip the plating from the weld zone and beyond before flame or arc; extract (H1).";
const BURNS: &str = "Burns: metal at 400 F looks cold. Mark it, keep others off, measure with an instrument (H3).";
const FIRE: &str = "Fire: hot work permit and fire watch as the site and the local fire code ask; clear or cover (H4).";
const OXY_FUEL: &str =
    "Gas: trained people only; arrestors, leak test, cylinders upright; propane sinks and gathers (H5).";
const CAVITIES: &str = "Bursting: vent closed cavities, plugged holes and gas springs; degrease oil-soaked iron (H6).";
const CRACKING: &str =
    "Cracking: uneven heat strains iron. Heat wide and slow, cool slowly; stress is not computed (H7).";
const TEMPER: &str =
    "Temper: a flame held in one place softens hardened steel; stay under its last tempering heat (H8).";
const MODEL: &str = "Guidance only. Qualified procedure, local codes, licensed practice and a reading govern (H10).";
const IRON: &str = "Iron warmed locally near 400 F relies on low restraint: the procedure must allow it (ST11).";
const FUME: &str = "Fume: nickel and manganese from iron-repair rods; extract at the source, keep to the limits (H2).";
const TOOL_STEEL: &str = "D2 and H13 are usually welded from above 400 F: check the minimum with the procedure (ST12).";

/// The cautions that a case calls for; none where there is neither flame nor arc.
pub(crate) fn cautions(case: &Case, reader: &Reader, metal: Option<&Preset>) -> Vec<String> {
    let (flame, arc) = (!case.torches.is_empty(), case.passes.is_some());
    if !flame && !arc {
        return Vec::new();
    }
    let id = metal.map_or("", |preset| preset.id);
    let is_iron = id.starts_with("grey_iron") || id.starts_with("ductile");
    let cold_tool_steel =
        matches!(id, "tool_D2" | "tool_H13") && reader.number("window.minimum") < TOOL_STEEL_MINIMUM_C;
    let chosen = [
        (true, MODEL),
        (true, PLATING),
        (arc, FUME),
        (true, BURNS),
        (true, FIRE),
        (flame, OXY_FUEL),
        (true, CAVITIES),
        (true, CRACKING),
        (true, TEMPER),
        (is_iron && (arc || reader.has("groove")), IRON),
        (cold_tool_steel, TOOL_STEEL),
    ];
    chosen.into_iter().filter(|(called_for, _)| *called_for).map(|(_, text)| text.to_owned()).collect()
}
