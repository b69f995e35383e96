//! Accuracy on request: refines until the error bars are what was asked for.

use heat::Accuracy;

use crate::Request;

/// Fewest and most cells across that are tried.
const CELLS: [usize; 2] = [6, 48];
/// Error bar met at the default accuracy, K: the first guess.
const USUAL_K: f64 = 0.25;
/// Share of a request that the time steps may take before they are made smaller.
const STEPS_SHARE: f64 = 0.3;
/// Refined a little more than second order asks for.
const MARGIN: f64 = 1.1;

/// The error bars of an answer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bars {
    /// Temperature: from the grids, K.
    pub grid_k: f64,
    /// Temperature: from the time steps, K.
    pub time_k: f64,
    /// Hold, s.
    pub hold_s: Option<f64>,
}

impl Request {
    /// The accuracy to begin with.
    pub(crate) fn first(&self, like: &Accuracy) -> Accuracy {
        let Some(wanted_k) = self.temperature_k else { return *like };
        let cells = like.cells_across as f64 * (USUAL_K / wanted_k).sqrt();
        Accuracy { cells_across: (cells.ceil() as usize).clamp(CELLS[0], CELLS[1]), ..*like }
    }

    /// Whether the bars are within it.
    pub(crate) fn is_met(&self, bars: &Bars) -> bool {
        self.excess(bars) <= 1.0
    }

    /// The accuracy to try after one that gave these bars; `None` when there is nothing finer to try.
    pub(crate) fn next(&self, tried: &Accuracy, bars: &Bars) -> Option<Accuracy> {
        let cells = (tried.cells_across as f64 * MARGIN * self.excess(bars).sqrt()).ceil() as usize;
        let cells_across = cells.clamp(tried.cells_across, CELLS[1]);
        let wanted_k = self.temperature_k.unwrap_or(f64::INFINITY);
        let mut step_error_k = tried.step_error_k;
        if bars.time_k > STEPS_SHARE * wanted_k || bars.time_k > bars.grid_k {
            step_error_k *= 0.25;
        }
        let next = Accuracy { cells_across, step_error_k, ..*tried };
        (next != *tried).then_some(next)
    }

    /// The larger of the bars over what was asked for.
    fn excess(&self, bars: &Bars) -> f64 {
        let temperature = self.temperature_k.map_or(0.0, |wanted| (bars.grid_k + bars.time_k) / wanted);
        let hold = self.hold_s.zip(bars.hold_s).map_or(0.0, |(wanted, bar)| bar / wanted);
        temperature.max(hold)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ASKED: Request = Request { temperature_k: Some(0.5), hold_s: Some(1.0) };

    #[test]
    fn a_wider_request_begins_coarser_and_a_narrower_one_finer() {
        let default = Accuracy::default();
        let cells =
            |wanted_k: f64| Request { temperature_k: Some(wanted_k), hold_s: None }.first(&default).cells_across;
        assert!(cells(2.0) < cells(0.25) && cells(0.25) == default.cells_across && cells(0.02) > default.cells_across);
    }

    #[test]
    fn what_is_met_is_not_refined_and_what_is_not_is() {
        let good = Bars { grid_k: 0.3, time_k: 0.1, hold_s: Some(0.9) };
        let late = Bars { hold_s: Some(4.0), ..good };
        assert!(ASKED.is_met(&good) && !ASKED.is_met(&late));
        let next = ASKED.next(&Accuracy::default(), &late).unwrap();
        assert_eq!(next.cells_across, 22);
    }

    #[test]
    fn there_is_an_end_to_refinement() {
        let finest = Accuracy { cells_across: 48, ..Accuracy::default() };
        assert_eq!(ASKED.next(&finest, &Bars { grid_k: 3.0, time_k: 0.0, hold_s: None }), None);
    }
}
