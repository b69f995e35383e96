//! What the job can do to people and castings, one line each. The model knows heat only; codes, the qualified
//! procedure and licensed people govern.

use heat::Case;
use study::Brittle;

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
const CAVITIES: &str = "Bursting: vent closed cavities, plugged holes and gas springs before any heat (H6).";
const CLOSED: &str = "Bursting: this casting has a CLOSED CAVITY. Vent it, plugged holes and springs before heat (H6).";
const OIL: &str = "Oil: soaked iron flares. Degrease and bake it out first, as the procedure says (H6, ST11).";
const CRACKING: &str =
    "Cracking: uneven heat strains iron. Heat wide and slow, cool slowly; stress is not computed (H7).";
/// Where the strain follows in figures.
const CRACKING_IN_FIGURES: &str = "Cracking: uneven heat strains iron. Heat wide and slow, cool slowly (H7).";
const CRACKING_STEEL: &str =
    "Cracking: uneven heat strains steel. Heat wide and slow, cool slowly; stress is not computed (H7).";
const CURRENT: &str =
    "Current: a qualified person connects the heaters; earth the casting, isolate before you touch it.";
const TEMPER: &str =
    "Temper: a flame held in one place softens hardened steel; stay under its last tempering heat (H8).";
const MODEL: &str = "Guidance only. Qualified procedure, local codes, licensed practice and a reading govern (H10).";
const IRON: &str = "Iron warmed locally near 400 F relies on low restraint: the procedure must allow it (ST11).";
const FUME: &str = "Fume: nickel and manganese from iron-repair rods; extract at the source, keep to the limits (H2).";
const TOOL_STEEL: &str = "D2 and H13 are usually welded from above 400 F: check the minimum with the procedure (ST12).";

/// Grey iron of class 250: modulus and expansion as in an open material library, strength of its class (H7, `computed`).
pub(crate) const GREY_IRON_250: Brittle = Brittle { modulus: 115e9, expansion: 1.0e-5, poisson: 0.26, strength: 250e6 };

/// The cautions that a case calls for; none where there is neither flame nor arc.
pub(crate) fn cautions(case: &Case, reader: &Reader, metal: Option<&Preset>) -> Vec<String> {
    let (flame, arc) = (!case.torches.is_empty(), case.passes.is_some());
    if !flame && !arc {
        return Vec::new();
    }
    let id = metal.map_or("", |preset| preset.id);
    let is_iron = id.starts_with("grey_iron") || id.starts_with("ductile");
    let is_steel = ["tool_", "carbon_steel", "low_alloy"].iter().any(|begins| id.starts_with(begins));
    let (electric, plated) = (reader.has("torch.electric"), reader.flag("casting.plated").unwrap_or(true));
    let closed = case.hollows.cavities(case.block.size).iter().any(|cavity| cavity.opening == 0.0);
    let oily = reader.flag("casting.oil_soaked").unwrap_or(is_iron);
    // As study puts it in figures: a metal whose strength is known, and a ring that is judged.
    let in_figures = id == "grey_iron_250" && flame && reader.has("window");
    let cold_tool_steel =
        matches!(id, "tool_D2" | "tool_H13") && reader.number("window.minimum") < TOOL_STEEL_MINIMUM_C;
    let chosen = [
        (true, MODEL),
        (plated, PLATING),
        (arc, FUME),
        (true, BURNS),
        (true, FIRE),
        (flame && !electric, OXY_FUEL),
        (electric, CURRENT),
        (!closed, CAVITIES),
        (closed, CLOSED),
        (oily, OIL),
        (!is_steel && !in_figures, CRACKING),
        (!is_steel && in_figures, CRACKING_IN_FIGURES),
        (is_steel, CRACKING_STEEL),
        (true, TEMPER),
        (is_iron && (arc || reader.has("groove")), IRON),
        (cold_tool_steel, TOOL_STEEL),
    ];
    chosen.into_iter().filter(|(called_for, _)| *called_for).map(|(_, text)| text.to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{DEMONSTRATION, Override};

    /// The cautions of the demonstration after some changes.
    fn changed(changes: &[&str]) -> Vec<String> {
        let changes: Vec<Override> = changes.iter().map(|change| Override::parse(change).unwrap()).collect();
        let read = crate::read(DEMONSTRATION, "changed.toml", &changes);
        read.unwrap_or_else(|problems| panic!("{problems}")).question.cautions
    }

    fn has(cautions: &[String], caution: &str) -> bool {
        cautions.iter().any(|line| line == caution)
    }

    #[test]
    fn plating_is_warned_of_unless_there_is_none() {
        assert!(has(&changed(&[]), PLATING) && has(&changed(&["casting.plated=true"]), PLATING));
        let bare = changed(&["casting.plated=false"]);
        assert!(!has(&bare, PLATING));
        assert_eq!(bare.len() + 1, changed(&[]).len(), "nothing else changes");
    }

    #[test]
    fn a_closed_cavity_is_found_and_oil_is_ruled_out_by_the_user() {
        let hollow = |top: &str| {
            format!(
                "casting.hollow=[{{ from = [\"0.1 m\", \"0.1 m\", \"{top}\"], to = [\"0.2 m\", \"0.2 m\", \"0.3 m\"] }}]"
            )
        };
        let (closed, open) = (changed(&[&hollow("0.2 m")]), changed(&[&hollow("0 m")]));
        assert!(has(&closed, CLOSED) && !has(&closed, CAVITIES) && has(&open, CAVITIES) && !has(&open, CLOSED));
        assert!(has(&open, OIL) && !has(&changed(&["casting.oil_soaked=false"]), OIL));
        assert!(
            !has(&changed(&["casting.metal=H13"]), OIL)
                && has(&changed(&["casting.metal=H13", "casting.oil_soaked=true"]), OIL)
        );
    }

    #[test]
    fn gas_is_warned_of_where_gas_burns_and_current_where_it_flows() {
        let electric = changed(&["torch={ electric = { power_density = \"8 W/cm2\" } }"]);
        assert!(has(&electric, CURRENT) && !has(&electric, OXY_FUEL));
        assert!(has(&changed(&[]), OXY_FUEL) && !has(&changed(&[]), CURRENT));
    }

    #[test]
    fn the_metal_chooses_its_own_cautions() {
        let iron = changed(&[]);
        assert!(
            has(&iron, CRACKING_IN_FIGURES)
                && has(&iron, IRON)
                && !has(&iron, CRACKING_STEEL)
                && !has(&iron, TOOL_STEEL)
        );
        assert!(!has(&iron, CRACKING), "its strain is in figures");
        assert!(has(&changed(&["casting.metal=GJL-300"]), CRACKING));
        let cold = changed(&["casting.metal=H13"]);
        assert!(
            has(&cold, CRACKING_STEEL)
                && has(&cold, TOOL_STEEL)
                && !has(&cold, CRACKING)
                && !has(&cold, CRACKING_IN_FIGURES)
                && !has(&cold, IRON)
        );
        let warm = changed(&[
            "casting.metal=D2",
            "window.minimum=410 F",
            "window.heat_to=450 F",
            "schedule.cycles.heat_up.reads=450 F",
            "schedule.cycles.reheat.reads=450 F",
        ]);
        assert!(!has(&warm, TOOL_STEEL), "{warm:?}");
    }

    #[test]
    fn every_caution_is_a_line_that_fits_the_page() {
        // Two columns go to the dash before each.
        let electric = "torch={ electric = { power_density = \"5 W/cm2\" } }";
        for change in ["casting.metal=grey iron", "casting.metal=H13", "casting.metal=cast steel", electric] {
            for line in changed(&[change]) {
                assert!(line.chars().count() <= 98 && !line.contains('\n'), "{}: {line}", line.chars().count());
            }
        }
    }
}
