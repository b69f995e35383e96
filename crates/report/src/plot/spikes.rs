//! Where an arc takes the ring's hottest far above everything else: how high the plot reaches, and what is cut off there.

use study::Outcome;

use super::frame::{Frame, Look, temperature_range};
use super::lines::Curve;
use super::scene::{Dash, Scene, Stroke};

/// A plot this many times as high as what lies near the window still shows it well enough to need no cut.
const WORTH_CUTTING: f64 = 1.2;
/// Cuts nearer to each other than this many line widths share one mark.
const APART: f64 = 6.0;

/// The temperatures to draw: window, flames and each bead as it starts in full; what an arc adds until the next flame
/// is off only where it does not press all that together.
pub(super) fn drawn_range(outcome: &Outcome, curves: &[Curve]) -> (f64, f64) {
    let window = outcome.window.map(|window| [window.minimum_c, window.maximum_interpass_c]);
    let near = |&&(time_s, _): &&(f64, f64)| window.is_none() || !is_under_arc(outcome, time_s);
    let points = || curves.iter().flat_map(|curve| &curve.points);
    let starts = outcome.passes.iter().map(|pass| pass.hottest_c).filter(|celsius| celsius.is_finite());
    let limits = || window.into_iter().flatten();
    let full = temperature_range(points().map(|point| point.1).chain(limits()));
    let lowest = points().map(|point| point.1).fold(f64::INFINITY, f64::min);
    let kept = points().filter(near).map(|point| point.1).chain(starts.filter(|_| window.is_some())).chain(limits());
    let cut = temperature_range(kept.chain(Some(lowest).filter(|celsius| celsius.is_finite())));
    if full.1 - full.0 > WORTH_CUTTING * (cut.1 - cut.0) { cut } else { full }
}

/// Whether an arc has been lit since a flame last went off: what it left may still glow as the next flame goes on.
fn is_under_arc(outcome: &Outcome, time_s: f64) -> bool {
    let last = |times: &mut dyn Iterator<Item = f64>| times.fold(f64::NEG_INFINITY, f64::max);
    let bead_s = last(&mut outcome.passes.iter().map(|pass| pass.start_s).filter(|&start| start < time_s));
    bead_s > last(&mut outcome.heats.iter().map(|heat| heat.end_s).filter(|&end| end <= time_s))
}

/// The pieces of a curve that lie in the frame, as points of the picture, cut at its upper edge.
pub(super) fn pieces(curve: &Curve, frame: &Frame) -> Vec<Vec<(f64, f64)>> {
    let top_c = frame.celsius.1;
    let place = |(time, celsius): (f64, f64)| (frame.x(time), frame.y(celsius));
    let mut pieces = vec![Vec::new()];
    let mut before: Option<(f64, f64)> = None;
    for &point in &curve.points {
        if let Some(last) = before.filter(|last| (last.1 > top_c) != (point.1 > top_c)) {
            let share = (top_c - last.1) / (point.1 - last.1);
            let at = place((last.0 + share * (point.0 - last.0), top_c));
            if last.1 > top_c {
                pieces.push(vec![at]);
            } else if let Some(piece) = pieces.last_mut() {
                piece.push(at);
            }
        }
        if let Some(piece) = pieces.last_mut().filter(|_| point.1 <= top_c) {
            piece.push(place(point));
        }
        before = Some(point);
    }
    pieces.retain(|piece| piece.len() > 1);
    pieces
}

/// Pixels across where each stretch that is cut off is hottest; of those too close together only the first.
fn cuts(curve: &Curve, frame: &Frame, apart: f64) -> Vec<f64> {
    let stretches = curve.points.split(|point| point.1 <= frame.celsius.1);
    let peaks = stretches.filter_map(|stretch| stretch.iter().max_by(|a, b| a.1.total_cmp(&b.1)));
    let mut marks: Vec<f64> = Vec::new();
    for x in peaks.map(|peak| frame.x(peak.0)) {
        if marks.last().is_none_or(|last| x - last >= apart) {
            marks.push(x);
        }
    }
    marks
}

/// Whether a curve is cut off at this upper edge.
pub(super) fn is_cut(curve: &Curve, top_c: f64) -> bool {
    curve.points.iter().any(|point| point.1 > top_c)
}

/// An arrow up at every cut.
pub(super) fn mark_cuts(scene: &mut Scene, look: &Look, frame: &Frame, curve: &Curve) {
    let width = look.sizes.line;
    for x in cuts(curve, frame, APART * width) {
        arrow(scene, look, (x, frame.top), curve);
    }
}

/// An arrow up whose tip is at a point, in the curve's colour.
pub(super) fn arrow(scene: &mut Scene, look: &Look, (x, tip): (f64, f64), curve: &Curve) {
    let width = look.sizes.line;
    let stroke = Stroke { dash: Dash::Solid, ..curve.stroke(&look.palette, width) };
    scene.area(
        vec![(x - 3.0 * width, tip + 5.5 * width), (x, tip), (x + 3.0 * width, tip + 5.5 * width)],
        stroke.colour,
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Frame =
        Frame { left: 0.0, right: 40.0, top: 0.0, bottom: 100.0, time_s: (0.0, 40.0), celsius: (0.0, 100.0) };

    fn curve(points: &[(f64, f64)]) -> Curve {
        Curve { name: String::new(), points: points.to_vec(), rank: 0 }
    }

    #[test]
    fn a_spike_is_cut_at_the_upper_edge_and_marked_where_it_is_hottest() {
        let spike = curve(&[(0.0, 50.0), (10.0, 50.0), (20.0, 150.0), (30.0, 50.0), (40.0, 50.0)]);
        let sides = [vec![(0.0, 50.0), (10.0, 50.0), (15.0, 0.0)], vec![(25.0, 0.0), (30.0, 50.0), (40.0, 50.0)]];
        assert_eq!(pieces(&spike, &FRAME), sides);
        assert_eq!(cuts(&spike, &FRAME, 5.0), [20.0]);
        assert!(is_cut(&spike, 100.0));
    }

    #[test]
    fn a_curve_inside_the_frame_stays_whole_and_one_above_it_is_not_drawn() {
        let whole = [(0.0, 50.0), (40.0, 100.0)];
        assert_eq!(pieces(&curve(&whole), &FRAME), [vec![(0.0, 50.0), (40.0, 0.0)]]);
        assert!(cuts(&curve(&whole), &FRAME, 5.0).is_empty());
        assert!(pieces(&curve(&[(0.0, 150.0), (40.0, 120.0)]), &FRAME).is_empty());
    }
}
