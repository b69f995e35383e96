//! `[torch.fuel]` and `[torch.electric]`: what feeds the torch, and the net flux that comes of it.

use heat::{Shape, TorchKind};
use study::{ACETYLENE_HOURS, COLD_ACETYLENE_HOURS, Gas, Lever, Range, Supply};

use crate::diagnostic::Diagnostic;
use crate::measure::Measure;
use crate::preset;
use crate::range::{STATED, lever};
use crate::reader::{Reader, Typed};

/// Share of the lower heating value that enters the metal, and its ends (FX5, `practice`).
const SHARE: f64 = 0.30;
const SHARE_ENDS: [f64; 2] = [0.15, 0.50];
const SHARE_SOURCE: &str = "usual share of torch heat (FX5, `practice`)";
/// Most that ceramic pads give off over their face, W/m2 (EL1, `practice`).
const PADS_MOST: f64 = 11e4;

/// Rate of a gas that brings a net power into the metal at the usual share, kg/s; None for a gas that is not known.
pub fn usual_rate(gas: &str, net_power_w: f64) -> Option<f64> {
    preset::fuel(gas).map(|fuel| net_power_w / (SHARE * fuel.heat_per_kg))
}

/// A torch whose supply is known.
pub(crate) struct Fed {
    pub(crate) kind: TorchKind,
    pub(crate) range: Option<Range>,
    pub(crate) supply: Supply,
}

/// Net flux `share * heating value * rate / area` over the whole patch; what of the patch lies on the casting gets it.
pub(crate) fn fuel(reader: &mut Reader, patch: Option<Shape>) -> Fed {
    let share = reader.optional("torch.fuel.share").unwrap_or(SHARE);
    let gas = gas(reader);
    let flux = share * gas.power_w / patch.map_or(f64::NAN, |patch| patch.area());
    too_strong(reader, flux);
    withdrawal(reader, &gas);
    Fed { kind: TorchKind::Flux { flux }, range: share_range(reader, share), supply: Supply::Gas(gas) }
}

fn share_range(reader: &mut Reader, share: f64) -> Option<Range> {
    let path = "torch.fuel.share_range";
    if reader.has(path) {
        let ends = reader.range(path, share, "torch.fuel.share");
        return lever(Lever::TorchStrength, ends, STATED);
    }
    // A share of the user's own outside the usual ends keeps them on its own side only.
    let ends = [SHARE_ENDS[0].min(share), SHARE_ENDS[1].max(share)].map(|end| end / share);
    lever(Lever::TorchStrength, Some(ends), SHARE_SOURCE)
}

/// The gas and its rate; NaN where either was refused.
fn gas(reader: &Reader) -> Gas {
    let fuel = reader.text("torch.fuel.gas").unwrap_or_default();
    let values = preset::fuel(fuel).unwrap_or(preset::Fuel::UNKNOWN);
    let (mass_rate, power_w) = match reader.typed("torch.fuel.rate") {
        Some(Typed::Number(mass)) => (*mass, mass * values.heat_per_kg),
        Some(Typed::Volume(volume)) => (volume * values.density, volume * values.heat_per_m3),
        _ => (f64::NAN, f64::NAN),
    };
    let from_cylinders = reader.text("torch.fuel.oxidant") == Some("oxygen");
    let cold = reader.flag("torch.fuel.cylinders_cold").unwrap_or(false);
    let hours = if cold { COLD_ACETYLENE_HOURS } else { ACETYLENE_HOURS };
    Gas {
        fuel: fuel.to_owned(),
        mass_rate,
        volume_rate: mass_rate / values.density,
        power_w,
        oxygen_ratio: from_cylinders.then_some(values.oxygen_ratio),
        contents_hours: (fuel == "acetylene").then_some(hours),
    }
}

/// Dissolved acetylene comes out of its cylinder only so fast: faster, it takes the solvent along (TP3, `memory`).
fn withdrawal(reader: &mut Reader, gas: &Gas) {
    let contents = "torch.fuel.cylinder_contents";
    let Some(hours) = gas.contents_hours else { return only_acetylene(reader, &gas.fuel) };
    for other in ["torch.fuel.cylinders", "torch.fuel.cylinders_cold"] {
        if reader.has(other) && !reader.has(contents) {
            reader.missing(contents, ", which tells how much may be drawn from a cylinder");
        }
    }
    let cylinders = reader.optional("torch.fuel.cylinders").unwrap_or(1.0);
    let most = reader.number(contents) / (hours * 3600.0);
    // A hair of rounding is not a cylinder.
    let needed = (gas.volume_rate / most - 1e-9).ceil();
    if needed > cylinders {
        let show = |rate| Measure::VolumeFlow.show(rate);
        let plural = if cylinders == 1.0 { "cylinder gives" } else { "cylinders give" };
        let problem = Diagnostic::warning("W106", "acetylene is drawn faster than its cylinders give it")
            .at(reader.place("torch.fuel.rate"), show(gas.volume_rate))
            .at(reader.place(contents), format!("{cylinders} {plural} {}", show(cylinders * most)))
            .help(format!(
                "couple {needed} of these cylinders, or burn less: 1/{hours} of the contents in an hour (TP3)"
            ));
        reader.report(problem);
    }
}

/// Warns of cylinders that nothing follows from: only acetylene is dissolved and bound to the contents of its cylinder.
fn only_acetylene(reader: &mut Reader, gas: &str) {
    let keys = ["cylinders", "cylinder_contents", "cylinders_cold"].map(|name| format!("torch.fuel.{name}"));
    let said: Vec<&String> = keys.iter().filter(|key| reader.has(key)).collect();
    // A gas that is not known has been reported already.
    if said.is_empty() || gas.is_empty() {
        return;
    }
    let message = format!("nothing is computed from the cylinders of {gas}: only acetylene is bound to their contents");
    let problem = said
        .iter()
        .fold(Diagnostic::warning("W117", message), |problem, key| problem.at(reader.key_place(key), "does nothing"));
    reader.report(problem.help("leave it out; how fast a liquid gas boils off in the cold, the gas supplier knows"));
}

/// Net flux `share * power density`, all over the patch.
pub(crate) fn electric(reader: &mut Reader, patch: Option<Shape>) -> Fed {
    let path = "torch.electric.power_density";
    let power_density = reader.number(path);
    let share = reader.optional("torch.electric.share").unwrap_or(1.0);
    if power_density > PADS_MOST {
        let problem = Diagnostic::warning("W107", "more than ceramic pads give off")
            .at(reader.place(path), format!("pads give up to {}", Measure::HeatFlux.show(PADS_MOST)))
            .help("pads give 3 to 11 W/cm2 over their face, an induction coil 10 to 100 W/cm2 (EL1, practice)");
        reader.report(problem);
    }
    let ends = reader.range("torch.electric.share_range", share, "torch.electric.share");
    let face = ["length", "width"].map(|name| [0.0, reader.number(&format!("casting.{name}"))]);
    let area = patch.map_or(f64::NAN, |patch| patch.area());
    let on_casting = patch.map_or(f64::NAN, |patch| patch.overlap(face[0], face[1])) / area;
    Fed {
        kind: TorchKind::Flux { flux: share * power_density },
        range: lever(Lever::TorchStrength, ends, STATED),
        supply: Supply::Electricity { power_w: power_density * area, share: share * on_casting },
    }
}

fn too_strong(reader: &mut Reader, flux: f64) {
    const MOST: f64 = 20e6;
    if flux > MOST {
        let show = |flux| Measure::HeatFlux.show(flux);
        let message = format!("this fuel on this patch is {}, more than any torch gives", show(flux));
        let problem = Diagnostic::error("E012", message)
            .at(reader.place("torch.fuel.rate"), "rate")
            .at(reader.key_place("patch"), "patch")
            .help(format!("accepted: up to {}; lower the rate or widen the patch", show(MOST)));
        reader.report(problem);
    }
}
