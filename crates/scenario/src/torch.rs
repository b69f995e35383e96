//! `[torch]`: exactly one of flux, flame, fuel and electric.

use heat::{Circles, Face, Shape, Torch, TorchKind};
use study::{Lever, Range, Supply};

use crate::beside;
use crate::diagnostic::Diagnostic;
use crate::fuel::{electric, fuel};
use crate::place::SNAP_M;
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
    let face = beside::face(reader, "torch.on");
    if face == Face::Back && reader.has("window.surface_limit") {
        let problem = Diagnostic::error("E034", "a surface limit, and the heat comes from the back")
            .at(reader.place("window.surface_limit"), "is watched on the worked face")
            .at(reader.place("torch.on"), "heats the back")
            .help("leave the limit out, and give the heaters a thermostat: torch.electric.thermostat");
        reader.report(problem);
    }
    let circles = circles(reader, patch);
    Heater { torch: patch.map(|patch| Torch { face, circles, ..Torch::new(patch, kind) }), range, supply }
}

/// The circles that the torch is moved in; they must lie within a round patch.
fn circles(reader: &mut Reader, patch: Option<Shape>) -> Option<Circles> {
    if !reader.has("torch.circles") {
        return None;
    }
    let radius = |name: &str| 0.5 * reader.number(&format!("torch.circles.{name}"));
    let circles = Circles { path_radius: radius("diameter"), spot_radius: radius("spot") };
    let (message, help) = match patch? {
        Shape::Disc { radius, .. } if circles.reach() > radius + SNAP_M => (
            "the circles of the torch reach beyond the patch",
            format!(
                "circle and spot together are {} wide: widen the patch, or circle narrower",
                show(2.0 * circles.reach())
            ),
        ),
        Shape::Disc { .. } => return Some(circles),
        Shape::Rectangle { .. } => (
            "a torch moved in circles heats a round patch",
            "write patch.disc, or leave out torch.circles: the heat is then even over the patch".to_owned(),
        ),
    };
    let problem = Diagnostic::error("E035", message)
        .at(reader.key_place("torch.circles"), "circles")
        .at(reader.key_place("patch"), "patch")
        .help(help);
    reader.report(problem);
    None
}

fn show(length: f64) -> String {
    crate::measure::Measure::Length.show(length)
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
