//! What a run says of two hazards, in figures: burns, and the strain of a hot spot in brittle iron.

use exact::{Metal, Pulse};
use heat::{Case, Run};

use crate::Question;
use crate::said::{self, difference, duration, stress, temperature};

/// A brief touch of bare metal burns above this, Celsius (ST16, `memory`).
const TOUCH_C: f64 = 48.0;

/// What a brittle metal can take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Brittle {
    /// Modulus of elasticity, Pa.
    pub modulus: f64,
    /// Thermal expansion, 1/K.
    pub expansion: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Tensile strength, Pa.
    pub strength: f64,
}

impl Brittle {
    /// Elastic stress of a spot warmer than the metal around it, Pa: free in a plate, and held on all sides in its plane.
    ///
    /// Equation: `E a dT / 2` and `E a dT / (1 - nu)`. Symbols: `E` modulus Pa, `a` expansion 1/K, `dT` K, `nu` Poisson's
    /// ratio. Valid while nothing yields: the truth lies between. Source: H7 (`computed`).
    pub fn stresses(&self, warmer_k: f64) -> [f64; 2] {
        let stress = self.modulus * self.expansion * warmer_k;
        [0.5 * stress, stress / (1.0 - self.poisson)]
    }
}

/// Both hazards in figures; nothing where nothing was heated.
pub fn hazards(case: &Case, question: &Question, run: &Run) -> Vec<String> {
    let heat_j = run.ledger.torch_j + run.ledger.heaters_j + run.ledger.arc_j;
    if heat_j <= 0.0 || question.cautions.is_empty() {
        return Vec::new();
    }
    let strain = question.brittle.and_then(|brittle| strain(&brittle, case, question, run));
    std::iter::once(burns(case, heat_j)).chain(strain).collect()
}

/// How far and how long metal stays too hot to touch: at most, since all heat is taken as released at once, and none lost.
fn burns(case: &Case, heat_j: f64) -> String {
    let material = &case.material;
    let metal = Metal::new(material.conductivity(TOUCH_C), material.density(), material.specific_heat(TOUCH_C));
    let rise_k = TOUCH_C - case.start_c;
    let even_k = heat_j / (case.mass() * material.specific_heat(TOUCH_C));
    let limit = temperature(TOUCH_C);
    if even_k >= rise_k {
        return format!(
            "Burns in figures: all of the casting may stay over {limit}, too hot to touch, until it has cooled as a whole (ST16)."
        );
    }
    let (reach, gone_s) = Pulse { heat: heat_j, thickness: case.thickness_under_the_patch() }.extent(metal, rise_k);
    let patch = case.all_torches().map(|torch| torch.patch.half_width()).fold(0.0, f64::max);
    format!(
        "Burns in figures: over {limit}, too hot to touch, up to {} from the middle, up to {} after (ST16).",
        said::reach(patch + reach),
        duration(gone_s)
    )
}

/// The range of elastic stress between the hottest of the patch and the casting.
fn strain(brittle: &Brittle, case: &Case, question: &Question, run: &Run) -> Option<String> {
    let (_, probes) = question.ring?;
    let peak = |[on_s, off_s]: [f64; 2]| run.curves[probes.surface].hottest(on_s, off_s).1;
    let peak_c = run.heats().into_iter().map(peak).reduce(f64::max)?;
    let even_k = run.ledger.stored_j / (case.mass() * case.material.specific_heat(case.start_c));
    let warmer_k = peak_c - case.start_c - even_k.max(0.0);
    let [free, held] = brittle.stresses(warmer_k);
    (warmer_k > 0.0).then(|| {
        format!(
            "Cracking in figures: {} over the casting is {} in a free spot, {} in one held fast; this iron breaks near {} (H7).",
            difference(warmer_k),
            stress(free),
            stress(held),
            stress(brittle.strength)
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_range_of_stress_is_that_of_h7() {
        let iron = Brittle { modulus: 115e9, expansion: 1.0e-5, poisson: 0.26, strength: 250e6 };
        let [free, held] = iron.stresses(184.0).map(|stress| stress / 1e6);
        assert!((free - 106.0).abs() < 0.5 && (held - 286.0).abs() < 0.5, "{free} {held}");
    }
}
