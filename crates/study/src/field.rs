//! Temperatures of the whole casting at some instants, for viewers of fields.

use heat::{Case, Model};

use crate::film::instants;
use crate::picture::{switches, window};
use crate::{Error, Outcome, Question};

/// Places along each line within the window of the maps.
const WITHIN: usize = 33;
/// Places from its edge to that of the casting.
const BEYOND: usize = 10;
/// Instants.
const FRAMES: usize = 24;

/// Temperatures on a grid of places that covers the casting.
#[derive(Clone, Debug, PartialEq)]
pub struct Volume {
    /// Places along x, y and z, m from the casting's corner; z grows into the metal.
    pub lines: [Vec<f64>; 3],
    /// Whether there is metal at each place: x runs fastest, then y, then z.
    pub metal: Vec<bool>,
    /// When, s, and the temperature of each place, Celsius; where there is no metal it means nothing.
    pub frames: Vec<(f64, Vec<f64>)>,
}

/// The field of an outcome's run: fine under the patch, coarser towards the edges, at some two dozen instants. None where
/// nothing heats a patch.
///
/// It comes from one grid of the block itself, without error bar: good to a kelvin or so, for looking at.
///
/// # Errors
/// [`Error::Heat`] when the engine cannot solve the case.
pub fn volume(case: &Case, question: &Question, outcome: &Outcome) -> Result<Option<Volume>, Error> {
    let Some(torch) = case.torches.first().filter(|_| outcome.ran_until_s > 0.0) else { return Ok(None) };
    let window = window(case, (torch.patch, question.ring.map(|(ring, _)| ring)), WITHIN);
    let [length, width, depth] = case.block.size;
    let floor = case.floor_depth();
    let below = [floor, (floor + window.depth).min(depth)];
    let lines = [line(window.face[0], length), line(window.face[1], width), line(below, depth)];
    // The body of revolution has no corners to look into.
    let accuracy = heat::Accuracy { model: Model::Block, ..question.accuracy };
    let times = instants(outcome, FRAMES);
    let fields = heat::fields(case, &accuracy, (&lines, &times), &switches(case, outcome))?;
    let size = case.block.size;
    let [x, y, z] = &lines;
    let row = |v: f64, w: f64| x.iter().map(move |&u| case.hollows.leave_metal([u, v, w], size));
    let metal = z.iter().flat_map(|&w| y.iter().flat_map(move |&v| row(v, w))).collect();
    let frames = fields.into_iter().map(|field| (field.time_s, field.temperature_c)).collect();
    Ok(Some(Volume { lines, metal, frames }))
}

/// Even places between two ends, and growing gaps from there to both edges of the casting.
fn line([low, high]: [f64; 2], size: f64) -> Vec<f64> {
    let share = |n: usize, of: usize| n as f64 / of as f64;
    // Squares: the first gap beyond is a few times that within, the last the widest.
    let before = (1..=BEYOND).rev().map(|n| low - low * share(n, BEYOND).powi(2)).filter(|_| low > 0.0);
    let within = (0..WITHIN).map(|n| low + (high - low) * share(n, WITHIN - 1));
    let after = (1..=BEYOND).map(|n| high + (size - high) * share(n, BEYOND).powi(2)).filter(|_| high < size);
    before.chain(within).chain(after).collect()
}

#[cfg(test)]
mod tests {
    use super::line;

    #[test]
    fn a_line_runs_from_edge_to_edge_and_never_back() {
        for (ends, size) in [([0.9, 1.5], 2.4), ([0.0, 0.3], 2.4), ([0.0, 0.04], 0.04), ([2.0, 2.4], 2.4)] {
            let places = line(ends, size);
            assert!(places.windows(2).all(|pair| pair[1] > pair[0]), "{places:?}");
            assert_eq!((places[0], places[places.len() - 1]), (0.0, size));
        }
    }
}
