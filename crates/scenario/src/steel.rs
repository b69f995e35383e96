//! Which metals of the list the formula of the cooling time holds for.

use study::Steel;

use crate::preset::Preset;

/// Low-alloy steel, or what it is in words (ST7: cast iron and tool steel are outside).
pub(crate) fn steel(metal: Option<&Preset>) -> Steel {
    let Some(preset) = metal else { return Steel::No("a metal of your own".to_owned()) };
    let is = |begins: &str| preset.id.starts_with(begins);
    if is("carbon_steel") || is("low_alloy") {
        Steel::LowAlloy
    } else if is("tool_") {
        Steel::No("tool steel".to_owned())
    } else if is("grey_iron") || is("ductile") {
        Steel::No("cast iron".to_owned())
    } else {
        Steel::No(preset.name().to_owned())
    }
}
