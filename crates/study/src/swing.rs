//! How far a circling flame swings the surface about its mean.

use exact::{Circling, Metal};
use heat::{Case, TorchKind};

use crate::Question;
use crate::said::{difference, length};

/// No flame swings a surface by more, K: it would melt it.
const MOST_K: f64 = 1000.0;
/// No heating flame is narrower where it meets the metal, m.
const LEAST_SPOT_M: f64 = 0.010;

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

/// A circling spot that is too small to be real, in words.
pub(crate) fn too_small_a_spot(case: &Case, question: &Question) -> Option<String> {
    let spot_m = 2.0 * case.torches.first()?.circles?.spot_radius;
    let swing_k = swing_k(case, question).unwrap_or(0.0);
    let wrong = if swing_k > MOST_K {
        format!("would swing the surface by {}", difference(swing_k))
    } else if spot_m < LEAST_SPOT_M {
        "is narrower than any heating flame".to_owned()
    } else {
        return None;
    };
    Some(format!(
        "The circling spot of {} across {wrong}: too small to be real. Give torch.circles.spot as wide as the whole flame \
         where it meets the metal.",
        length(spot_m)
    ))
}
