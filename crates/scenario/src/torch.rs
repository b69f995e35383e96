//! `[torch]`: exactly one of flux, flame, fuel and electric.

use heat::{Shape, Torch, TorchKind};
use study::{Lever, Range, Supply};

use crate::fuel::{electric, fuel};
use crate::range::{STATED, lever};
use crate::reader::Reader;

/// The torch, its range, and what feeds it.
#[derive(Default)]
pub(crate) struct Heater {
    pub(crate) torch: Option<Torch>,
    pub(crate) range: Option<Range>,
    pub(crate) supply: Option<Supply>,
}

/// The torch; none where there is none or where it was refused.
pub(crate) fn torch(reader: &mut Reader, patch: Option<Shape>) -> Heater {
    if !reader.has("torch") {
        return Heater::default();
    }
    let variants = ["flux", "flame", "fuel", "electric"].map(|name| format!("torch.{name}"));
    if reader.clash("E022", &variants, "more than one kind of torch: each says how the same torch heats") {
        return Heater::default();
    }
    if !reader.has("patch") {
        reader.missing("patch", ", and the torch needs one to heat");
    }
    let Some(variant) = variants.iter().find(|path| reader.has(path)) else {
        reader.missing("torch.flux", ", `flame`, `fuel` or `electric`");
        return Heater::default();
    };
    let ((kind, range), supply) = match variant.as_str() {
        "torch.flux" => (flux(reader), None),
        "torch.flame" => (flame(reader), None),
        fed => {
            let fed = if fed == "torch.fuel" { fuel(reader, patch) } else { electric(reader, patch) };
            ((fed.kind, fed.range), Some(fed.supply))
        }
    };
    Heater { torch: patch.map(|patch| Torch { patch, kind }), range, supply }
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
