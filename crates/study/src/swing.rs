//! How far a circling flame swings the surface about its mean.

use exact::{Circling, Metal};
use heat::{Case, TorchKind};

use crate::Question;

/// Peak of the surface under the first torch above its mean over a circle, K; none where it is not said how it circles.
///
/// A flame of hot gas is taken at what it gives to metal at the start, where it gives most. See [`exact::Circling::swing`]
/// for the form; the metal is that at the minimum of the window, or at the start without one.
pub fn swing_k(case: &Case, question: &Question) -> Option<f64> {
    let (torch, period) = (case.torches.first()?, question.circle_s?);
    let circles = torch.circles?;
    let flux = match torch.kind {
        TorchKind::Flux { flux } => flux,
        TorchKind::Flame { film_coefficient, gas_c } => film_coefficient * (gas_c - case.start_c),
    };
    let (material, at_c) = (&case.material, question.window.map_or(case.start_c, |window| window.minimum_c));
    let metal = Metal::new(material.conductivity(at_c), material.density(), material.specific_heat(at_c));
    let power = flux * torch.patch.area();
    let (path_radius, spot_radius) = (circles.path_radius, circles.spot_radius);
    Some(Circling { power, path_radius, spot_radius, period }.swing(metal))
}
