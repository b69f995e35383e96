//! `[torch]`: exactly one of flux, flame and fuel.

use heat::{Shape, Torch, TorchKind};
use study::{Lever, Range};

use crate::preset;
use crate::range::{STATED, lever};
use crate::reader::{Reader, Typed};

/// Share of the lower heating value that enters the metal, and its ends (FX5, `practice`).
const SHARE: f64 = 0.30;
const SHARE_ENDS: [f64; 2] = [0.15, 0.50];
const SHARE_SOURCE: &str = "usual share of torch heat (FX5, `practice`)";

/// The torch and its range; no torch where there is none or where it was refused.
pub(crate) fn torch(reader: &mut Reader, patch: Option<Shape>) -> (Option<Torch>, Option<Range>) {
    if !reader.has("torch") {
        return (None, None);
    }
    let variants = ["flux", "flame", "fuel"].map(|name| format!("torch.{name}"));
    if reader.clash("E022", &variants, "more than one kind of torch: each says how the same torch heats") {
        return (None, None);
    }
    if !reader.has("patch") {
        reader.missing("patch", ", and the torch needs one to heat");
    }
    let Some(variant) = variants.iter().find(|path| reader.has(path)) else {
        reader.missing("torch.flux", ", `flame` or `fuel`");
        return (None, None);
    };
    let (kind, range) = match variant.as_str() {
        "torch.flux" => flux(reader),
        "torch.flame" => flame(reader),
        _ => fuel(reader, patch),
    };
    (patch.map(|patch| Torch { patch, kind }), range)
}

fn flux(reader: &mut Reader) -> (TorchKind, Option<Range>) {
    let flux = reader.number("torch.flux.flux");
    let ends = reader.range("torch.flux.range", flux, "torch.flux.flux");
    (TorchKind::Flux { flux }, lever(Lever::TorchStrength, ends, STATED))
}

fn flame(reader: &mut Reader) -> (TorchKind, Option<Range>) {
    let path = "torch.flame.film_coefficient";
    let film_coefficient = reader.number(path);
    let ends = reader.range("torch.flame.range", film_coefficient, path);
    let gas_c = reader.number("torch.flame.gas");
    (TorchKind::Flame { film_coefficient, gas_c }, lever(Lever::TorchStrength, ends, STATED))
}

/// Net flux `share * heating value * rate / area` over the whole patch; what of the patch lies on the casting gets it.
fn fuel(reader: &mut Reader, patch: Option<Shape>) -> (TorchKind, Option<Range>) {
    let share = reader.optional("torch.fuel.share").unwrap_or(SHARE);
    let values = reader.text("torch.fuel.gas").and_then(preset::heating_value).unwrap_or([f64::NAN; 2]);
    let heat = match reader.typed("torch.fuel.rate") {
        Some(Typed::Number(mass)) => mass * values[0],
        Some(Typed::Volume(volume)) => volume * values[1],
        _ => f64::NAN,
    };
    let flux = share * heat / patch.map_or(f64::NAN, |patch| patch.area());
    too_strong(reader, flux);
    let path = "torch.fuel.share_range";
    if reader.has(path) {
        let ends = reader.range(path, share, "torch.fuel.share");
        return (TorchKind::Flux { flux }, lever(Lever::TorchStrength, ends, STATED));
    }
    // A share of the user's own outside the usual ends keeps them on its own side only.
    let ends = [SHARE_ENDS[0].min(share), SHARE_ENDS[1].max(share)].map(|end| end / share);
    (TorchKind::Flux { flux }, lever(Lever::TorchStrength, Some(ends), SHARE_SOURCE))
}

fn too_strong(reader: &mut Reader, flux: f64) {
    const MOST: f64 = 20e6;
    if flux > MOST {
        let show = |flux| crate::measure::Measure::HeatFlux.show(flux);
        let message = format!("this fuel on this patch is {}, more than any torch gives", show(flux));
        let problem = crate::diagnostic::Diagnostic::error("E012", message)
            .at(reader.place("torch.fuel.rate"), "rate")
            .at(reader.key_place("patch"), "patch")
            .help(format!("accepted: up to {}; lower the rate or widen the patch", show(MOST)));
        reader.report(problem);
    }
}
