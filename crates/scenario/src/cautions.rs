//! What the job can do to people and castings, one line each. The model knows heat only; codes, the qualified
//! procedure and licensed people govern.

use heat::Case;

use crate::preset::Preset;
use crate::reader::Reader;

/// Below this minimum D2 and H13 are colder than is usual for them, C: 400 F (ST12).
const TOOL_STEEL_MINIMUM_C: f64 = 400.0 / 1.8 - 32.0 / 1.8;

const PLATING: &str = "Plating near flame or arc gives off chromium(VI): strip it from the weld zone and a margin around it first, extract the fume at its source, and keep to the exposure limits in force (H1).";
const BURNS: &str = "Metal hot enough to burn looks cold: mark the hot area, keep others off it, and measure with an instrument, never by hand (H3).";
const FIRE: &str = "Flame and arc need the hot work permit and the fire watch that the local fire code and the site ask for; clear or cover what can burn (H4).";
const OXY_FUEL: &str = "Gas equipment is for trained people: flashback arrestors, leak test, cylinders upright, oil-free oxygen fittings, acetylene within its pressure and withdrawal limits; propane collects in low places (H5).";
const CAVITIES: &str = "Open, vent or empty closed cavities, plugged holes, cooling passages and gas springs before heating: they can burst. Degrease oil-soaked iron. Nobody works under a suspended load (H6).";
const CRACKING: &str = "A hot patch in a cold casting strains both and can crack them: heat wide and slowly, cool slowly. This model ranks heat, not stress; whether the casting can stand it is for the qualified procedure (H7).";
const TEMPER: &str = "A flame held in one place softens hardened steel: the last tempering temperature is the limit, and it stands in the heat treatment record, not here (H8).";
const MODEL: &str = "This is a model and guidance only. The qualified procedure, local codes and licensed practice govern, and a temperature measured on the casting decides (H10).";
const IRON: &str = "Local preheat of iron near 400 F lies between cold work with short beads and heating the whole casting, and relies on low restraint: the qualified procedure decides whether it suits this place (ST11).";
const FUME: &str = "Nickel and manganese fume comes off iron-repair rods: extract it at its source and keep to the exposure limits in force (H2).";
const TOOL_STEEL: &str =
    "D2 and H13 are usually welded from above 400 F: check the minimum against the qualified procedure (ST12).";

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
