//! How far heat reached on the worked face.

use heat::{Accuracy, Case, Event, Grids, Map, MapWindow, Run};

use super::Footprint;
use crate::{Error, HOUR_S, Question};

/// Points along each side of a map, and half its side over that of the patch.
const MAP: (usize, f64) = (121, 2.5);
/// Instants of the footprint.
const INSTANTS: usize = 48;

/// The contours at instants of the work and of the first hour after it.
pub(super) fn footprint(
    case: &Case,
    question: &Question,
    contours_c: &[f64],
    (run, from_s): (&Run, f64),
) -> Result<(Vec<Footprint>, f64), Error> {
    let Some(torch) = case.torches.first() else { return Ok((Vec::new(), 0.0)) };
    let [length, width, depth] = case.block.size;
    let middle = torch.patch.centre();
    let extent = torch.patch.extent();
    let half = MAP.1 * 0.5 * (extent[0][1] - extent[0][0]).max(extent[1][1] - extent[1][0]);
    let clip = |at: f64, most: f64| [(at - half).max(0.0), (at + half).min(most)];
    let face = [clip(middle[0], length), clip(middle[1], width)];
    let window = MapWindow {
        face,
        section_y: middle[1].clamp(0.0, width),
        depth: (0.01_f64).min(depth),
        points: MAP.0,
        times_s: instants(run, from_s),
    };
    let until_s = window.times_s.last().copied().unwrap_or(from_s);
    let events: Vec<Event> = run.events.iter().copied().filter(|e| e.time_s <= until_s).collect();
    let accuracy = Accuracy { grids: Grids::MiddleOnly, ..question.accuracy };
    let maps = heat::maps(case, &accuracy, &window, &events)?;
    let step = (face[0][1] - face[0][0]).max(face[1][1] - face[1][0]) / (MAP.0 - 1) as f64;
    Ok((contours_c.iter().map(|&contour| contour_of(&maps, contour, middle, [length, width])).collect(), step))
}

/// Ends of flames and beads, and then ever later.
fn instants(run: &Run, from_s: f64) -> Vec<f64> {
    let mut times: Vec<f64> = run.heats().into_iter().chain(run.passes()).map(|span| span[1]).collect();
    let stride = times.len().div_ceil(INSTANTS / 2).max(1);
    times = times.into_iter().step_by(stride).collect();
    times.extend((0..INSTANTS / 2).map(|n| from_s + HOUR_S * (n as f64 / (INSTANTS / 2) as f64).powi(2)));
    times.retain(|t| *t > 0.0 && *t <= run.ran_until_s);
    times.sort_by(f64::total_cmp);
    times.dedup();
    times
}

fn contour_of(maps: &[Map], contour_c: f64, [x, y]: [f64; 2], face: [f64; 2]) -> Footprint {
    let mut out = Footprint {
        contour_c,
        reach_m: 0.0,
        area_m2: 0.0,
        at_s: 0.0,
        time_s: Vec::new(),
        radius_m: Vec::new(),
        covered_m2: Vec::new(),
        beyond_the_map: false,
    };
    for map in maps {
        let (columns, rows) = (map.x.len(), map.y.len());
        let cell = (map.x[columns - 1] - map.x[0]) * (map.y[rows - 1] - map.y[0]) / ((columns - 1) * (rows - 1)) as f64;
        let mut area = 0.0;
        for (n, _) in map.face_c.iter().enumerate().filter(|(_, celsius)| **celsius >= contour_c) {
            let (i, j) = (n % columns, n / columns);
            let edge = |k: usize, last: usize| if k == 0 || k == last { 0.5 } else { 1.0 };
            area += cell * edge(i, columns - 1) * edge(j, rows - 1);
            out.reach_m = out.reach_m.max((map.x[i] - x).hypot(map.y[j] - y));
            // At the edge of the casting the face ends, not the map.
            out.beyond_the_map |= ends_the_map(&map.x, i, face[0]) || ends_the_map(&map.y, j, face[1]);
        }
        if area > out.area_m2 {
            (out.area_m2, out.at_s) = (area, map.time_s);
        }
        out.time_s.push(map.time_s);
        out.covered_m2.push(area);
        out.radius_m.push((area / std::f64::consts::PI).sqrt());
    }
    out
}

/// Whether a line of a map is its last one although the face goes on.
fn ends_the_map(lines: &[f64], n: usize, length: f64) -> bool {
    (n == 0 && lines[0] > 0.0) || (n == lines.len() - 1 && lines[n] < length - 1e-9)
}
