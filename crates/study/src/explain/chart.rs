//! The chart of all discs: hold of the middle over heating time, both as Fourier numbers of the radius.
//!
//! On massive metal of constant properties without losses the hold of the middle of a disc heated at constant flux
//! depends on two numbers alone, `F = alpha t / a2` of the heating and the share `theta` of the rise that is to be left.
//! The engine's values carry its own bars; beside them stands the closed form.

use exact::{Disc, Heating, Metal};
use heat::{
    Accuracy, Block, Case, Grids, Hollows, Material, Model, Probe, ProbeKind, Run, Schedule, Shape, Surface, Torch,
    TorchKind,
};
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

use crate::Question;

/// Heating times, as Fourier numbers.
const HEATING: [f64; 8] = [0.03, 0.06, 0.12, 0.25, 0.5, 1.0, 2.0, 4.0];
/// Shares of the rise that are to be left: (minimum - start) / (reading - start).
const SHARES: [f64; 4] = [0.8, 0.7, 0.6, 0.5];
/// Radius of the disc, m, and the sides of its block over it.
const RADIUS_M: f64 = 0.1;
const BLOCK: [f64; 3] = [28.0, 28.0, 14.0];
/// Cooling followed, as a Fourier number.
const COOLED: f64 = 0.7;
const CELLS: usize = 20;
/// The metal of the chart; any other gives the same numbers.
const METAL: (f64, f64, f64) = (46.0, 7200.0, 500.0);

/// One heating time.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ChartPoint {
    /// Heating time times diffusivity over radius squared.
    pub heating: f64,
    /// Hold in the same measure, by the engine.
    pub hold: f64,
    /// Its numerical error.
    pub error: f64,
    /// Hold by the closed form.
    pub exact: f64,
}

/// One share of the rise.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ChartCurve {
    /// Share of the rise that is left at the end of the hold.
    pub share: f64,
    /// Points, the shortest heating first.
    pub points: Vec<ChartPoint>,
    /// Hold after an endless soak, by the closed form.
    pub endless: f64,
}

/// The chart.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Chart {
    /// One curve for each share.
    pub curves: Vec<ChartCurve>,
    /// Largest distance of the engine from the closed form, over the closed form.
    pub off: f64,
}

/// A scenario read off the chart.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Example {
    /// Start, Celsius.
    pub start_c: f64,
    /// Middle of the patch as the flame goes off, Celsius.
    pub reading_c: f64,
    /// Minimum, Celsius.
    pub minimum_c: f64,
    /// Share of the rise that is left at the minimum: (minimum - start) / (reading - start).
    pub share: f64,
    /// Diffusivity of the metal half way between start and reading, m2/s.
    pub diffusivity_m2_s: f64,
    /// Radius of the patch, m; that of the disc of equal area where it is no disc.
    pub radius_m: f64,
    /// Flame time, s.
    pub flame_s: f64,
    /// The same as on the chart: flame time times diffusivity over radius squared.
    pub heating: f64,
    /// What the chart gives there, by the closed form.
    pub hold: f64,
    /// Hold of the middle by the chart, s: `hold` times radius squared over diffusivity.
    pub hold_s: f64,
    /// The same by the run of the scenario; null where it was not followed that long.
    pub engine_hold_s: Option<f64>,
}

/// Reads a run that heats once and cools off the chart.
pub(super) fn example(case: &Case, question: &Question, run: &Run) -> Option<Example> {
    let (window, (_, probes)) = (question.window?, question.ring?);
    let [on_s, off_s] = *run.heats().first()?;
    let (start_c, minimum_c) = (case.start_c, window.minimum_c);
    let reading_c = run.curves[probes.centre].at(off_s);
    let share = (minimum_c - start_c) / (reading_c - start_c);
    if !(minimum_c > start_c && reading_c > minimum_c) {
        return None;
    }
    let diffusivity_m2_s = case.material.diffusivity(0.5 * (start_c + reading_c));
    let radius_m = (case.torches[0].patch.area() / std::f64::consts::PI).sqrt();
    let unit_s = radius_m * radius_m / diffusivity_m2_s;
    let heating = (off_s - on_s) / unit_s;
    let hold = closed_form(heating, share)?;
    let engine_hold_s = crate::hold::hold(run, probes.centre, minimum_c).map(|crossing| crossing.time_s);
    Some(Example {
        start_c,
        reading_c,
        minimum_c,
        share,
        diffusivity_m2_s,
        radius_m,
        flame_s: off_s - on_s,
        heating,
        hold,
        hold_s: hold * unit_s,
        engine_hold_s,
    })
}

/// The chart by the closed form.
fn closed_form(heating: f64, share: f64) -> Option<f64> {
    let metal = Metal::new(METAL.0, METAL.1, METAL.2);
    let unit_s = RADIUS_M * RADIUS_M / metal.diffusivity;
    let disc = Disc { radius: RADIUS_M };
    let heating = Heating { flux: disc.flux_for_centre_rise(metal, 1.0, heating * unit_s), duration: heating * unit_s };
    disc.hold(metal, heating, 0.0, 0.0, share).map(|hold_s| hold_s / unit_s)
}

/// Runs the chart.
///
/// # Errors
/// As [`heat::solve`].
pub fn chart() -> Result<Chart, heat::Error> {
    let columns: Vec<Vec<ChartPoint>> = HEATING.par_iter().map(|&heating| column(heating)).collect::<Result<_, _>>()?;
    let curve = |(n, &share): (usize, &f64)| ChartCurve {
        share,
        points: columns.iter().map(|column| column[n]).collect(),
        endless: exact::soak::fourier_number(share),
    };
    let curves: Vec<ChartCurve> = SHARES.iter().enumerate().map(curve).collect();
    let off = curves.iter().flat_map(|c| &c.points).map(|p| (p.hold / p.exact - 1.0).abs()).fold(0.0, f64::max);
    Ok(Chart { curves, off })
}

/// All shares after one heating.
fn column(heating: f64) -> Result<Vec<ChartPoint>, heat::Error> {
    let metal = Metal::new(METAL.0, METAL.1, METAL.2);
    let unit_s = RADIUS_M * RADIUS_M / metal.diffusivity;
    let (on_s, end_s) = (heating * unit_s, (heating + COOLED) * unit_s);
    let disc = Disc { radius: RADIUS_M };
    let flux = disc.flux_for_centre_rise(metal, 100.0, on_s);
    let case = massive(flux, on_s, end_s)?;
    let accuracy = Accuracy { cells_across: CELLS, grids: Grids::Nested, step_error_k: 0.3, model: Model::Revolved };
    let run = heat::solve(&case, &accuracy, &|_| true)?;
    let curve = &run.curves[0];
    let rise = curve.at(on_s);
    let point = |&share: &f64| {
        let crossing = curve.falls_below(share * rise, on_s, end_s);
        // The reading at flame off is off by its own bar, too.
        let own_s = crossing.map_or(0.0, |c| share * curve.error_at(on_s) / curve.rate(c.time_s).abs().max(1e-9));
        ChartPoint {
            heating,
            hold: crossing.map_or(f64::NAN, |c| (c.time_s - on_s) / unit_s),
            error: crossing.map_or(f64::NAN, |c| (c.error_s + own_s) / unit_s),
            exact: closed_form(heating, share).unwrap_or(f64::NAN),
        }
    };
    Ok(SHARES.iter().map(point).collect())
}

/// A disc in the middle of a block so large that nothing of it is felt.
fn massive(flux: f64, on_s: f64, end_s: f64) -> Result<Case, heat::Error> {
    let size = BLOCK.map(|side| side * RADIUS_M);
    let centre = [0.5 * size[0], 0.5 * size[1]];
    let patch = Shape::Disc { centre, radius: RADIUS_M };
    Ok(Case {
        block: Block { size },
        hollows: Hollows::default(),
        material: Material::constant(METAL.1, METAL.0, METAL.2)?,
        start_c: 0.0,
        surfaces: [Surface::ADIABATIC; 6],
        torches: vec![Torch::new(patch, TorchKind::Flux { flux })],
        heaters: Vec::new(),
        covers: Vec::new(),
        schedule: Schedule::Spans { on: vec![[0.0, on_s]], end_s },
        passes: None,
        probes: vec![Probe { name: "middle".to_owned(), kind: ProbeKind::Point { at: [centre[0], centre[1], 0.0] } }],
        output_s: Vec::new(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_engine_and_the_closed_form_draw_the_same_chart() {
        let chart = chart().unwrap();
        for curve in &chart.curves {
            for point in &curve.points {
                let apart = (point.hold - point.exact).abs();
                assert!(apart <= point.error + 1e-4, "{} of {}: {point:?}", curve.share, chart.off);
                assert!(point.exact < curve.endless, "{point:?} {}", curve.endless);
            }
            // A longer soak holds longer, and the endless one longest (N2, N3).
            assert!(curve.points.windows(2).all(|pair| pair[0].hold < pair[1].hold), "{curve:?}");
        }
        assert!(chart.off < 0.01, "{}", chart.off);
    }
}
