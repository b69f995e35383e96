//! Graded grid lines along one direction.

/// A stretch that wants a spacing of its own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Feature {
    /// The stretch, m.
    pub stretch: [f64; 2],
    /// Spacing inside it, m.
    pub spacing: f64,
    /// How fast the spacing grows with the distance from it, m per m.
    pub growth: f64,
}

impl Feature {
    fn spacing_at(&self, at: f64) -> f64 {
        let distance = (self.stretch[0] - at).max(at - self.stretch[1]).max(0.0);
        self.spacing + self.growth * distance
    }
}

/// What the lines along one direction have to serve.
#[derive(Clone, Debug, PartialEq)]
pub struct Wishes {
    /// Both ends, m.
    pub ends: [f64; 2],
    /// Stretches with their spacing.
    pub features: Vec<Feature>,
    /// Places that must carry a line: edges of rectangles, where the flux jumps.
    pub lines: Vec<f64>,
    /// Places that carry a line come what may: sides of hollows.
    pub walls: Vec<f64>,
    /// Largest spacing anywhere, m.
    pub largest: f64,
}

/// Every stretch between fixed lines gets a multiple of this many cells, so that the grid nests twice.
const NESTED: usize = 4;
/// Trapezia used to integrate the wished density between two fixed lines.
const TRAPEZIA: usize = 2048;

/// Grid lines, m, ascending, both ends included.
///
/// The lines are the images of equal steps under the mapping whose density is one over the wished spacing, so
/// halving all spacings only inserts lines and the truncation error keeps a smooth expansion in the spacing:
/// what Richardson extrapolation needs.
pub fn lines(wishes: &Wishes) -> Vec<f64> {
    let stops = stops(wishes);
    let mut lines = vec![stops[0]];
    for pair in stops.windows(2) {
        fill(pair[0], pair[1], wishes, &mut lines);
    }
    lines
}

/// Every second line: the next coarser grid.
pub fn coarsened(lines: &[f64]) -> Vec<f64> {
    lines.iter().copied().step_by(2).collect()
}

/// Ends and the fixed lines between them, those that crowd together thinned out.
fn stops(wishes: &Wishes) -> Vec<f64> {
    let [low, high] = wishes.ends;
    let inside = |lines: &[f64]| -> Vec<f64> {
        let mut inside: Vec<f64> = lines.iter().copied().filter(|&x| x > low && x < high).collect();
        inside.sort_by(f64::total_cmp);
        inside
    };
    let mut stops = vec![low, high];
    for wall in inside(&wishes.walls) {
        // A nanometre decides whether two walls are one.
        if stops.iter().all(|stop| (stop - wall).abs() > 1e-9) {
            stops.push(wall);
        }
    }
    for line in inside(&wishes.lines) {
        let room = 0.5 * wished(wishes, line);
        if stops.iter().all(|stop| (stop - line).abs() > room) {
            stops.push(line);
        }
    }
    stops.sort_by(f64::total_cmp);
    stops
}

fn wished(wishes: &Wishes, at: f64) -> f64 {
    wishes.features.iter().map(|f| f.spacing_at(at)).fold(wishes.largest, f64::min)
}

fn fill(from: f64, to: f64, wishes: &Wishes, lines: &mut Vec<f64>) {
    let place = |n: usize| from + (to - from) * n as f64 / TRAPEZIA as f64;
    let half = 0.5 * (to - from) / TRAPEZIA as f64;
    let mut sums = vec![0.0; TRAPEZIA + 1];
    for n in 0..TRAPEZIA {
        sums[n + 1] = sums[n] + half * (1.0 / wished(wishes, place(n)) + 1.0 / wished(wishes, place(n + 1)));
    }
    let total = sums[TRAPEZIA];
    // A hair of tolerance, so that 12 in and 1 ft, which differ in the last bit, get the same grid.
    let cells = ((total / NESTED as f64 - 1e-9).ceil() as usize).max(1) * NESTED;
    for cell in 1..cells {
        let target = total * cell as f64 / cells as f64;
        let n = sums.partition_point(|&sum| sum < target);
        let share = (target - sums[n - 1]) / (sums[n] - sums[n - 1]);
        lines.push(place(n - 1) + share * (place(n) - place(n - 1)));
    }
    lines.push(to);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wishes(scale: f64) -> Wishes {
        Wishes {
            ends: [0.0, 0.5],
            features: vec![Feature { stretch: [0.0, 0.078], spacing: 0.005 * scale, growth: 0.18 * scale }],
            lines: vec![0.06],
            walls: Vec::new(),
            largest: 0.1 * scale,
        }
    }

    #[test]
    fn fixed_lines_and_ends_are_kept() {
        let lines = lines(&wishes(1.0));
        assert_eq!((lines[0], lines[lines.len() - 1]), (0.0, 0.5));
        assert!(lines.contains(&0.06));
        assert_eq!((lines.len() - 1) % NESTED, 0);
    }

    #[test]
    fn spacing_is_as_wished_and_changes_gently() {
        let lines = lines(&wishes(1.0));
        let gaps: Vec<f64> = lines.windows(2).map(|w| w[1] - w[0]).collect();
        assert!(gaps[0] <= 0.005 + 1e-12);
        for pair in gaps.windows(2) {
            let ratio = (pair[1] / pair[0]).max(pair[0] / pair[1]);
            assert!(ratio < 1.35, "{ratio}");
        }
    }

    #[test]
    fn lines_closer_than_half_a_cell_become_one() {
        let mut crowded = wishes(1.0);
        crowded.lines = vec![0.06, 0.061, 0.499_9];
        assert_eq!(stops(&crowded), [0.0, 0.06, 0.5]);
    }
}
