//! Finding room for texts on a map.

use super::Error;
use super::frame::Look;
use super::layout::LINE;
use super::render::text_width;
use super::scene::{Anchor, Scene};

/// How strongly the plate behind a text covers the map.
const PLATE_OPACITY: f64 = 0.82;

/// A box: left, top, right, bottom.
pub(super) type Bounds = [f64; 4];

/// Texts and marks already on a map, kept apart from each other.
#[derive(Debug)]
pub(super) struct Room {
    bounds: Bounds,
    taken: Vec<Bounds>,
}

impl Room {
    pub(super) fn within(bounds: Bounds) -> Room {
        Room { bounds, taken: Vec::new() }
    }

    /// Keeps texts away from a box.
    pub(super) fn keep_free(&mut self, taken: Bounds) {
        self.taken.push(taken);
    }

    /// Writes the first of the texts that finds room about one of the points, on a plate; nothing where none does.
    ///
    /// A text is moved by no more than half its height to stay within the map.
    pub(super) fn write(
        &mut self,
        scene: &mut Scene,
        look: &Look,
        texts: &[String],
        points: &[(f64, f64)],
    ) -> Result<(), Error> {
        let size = 0.85 * look.sizes.label;
        for text in texts {
            let half = (0.5 * text_width(text, size)? + 0.2 * size, 0.5 * LINE * size);
            if let Some(at) = points.iter().find_map(|&point| self.free(point, half)) {
                let plate = around(at, half);
                scene.fill((plate[0], plate[1]), (plate[2], plate[3]), look.palette.background, PLATE_OPACITY);
                scene.text(at, text, size, Anchor::Middle, look.palette.text);
                self.taken.push(plate);
                return Ok(());
            }
        }
        Ok(())
    }

    /// The middle of a free box of that size near the point.
    fn free(&self, point: (f64, f64), half: (f64, f64)) -> Option<(f64, f64)> {
        let [left, top, right, bottom] = self.bounds;
        if right - left < 2.0 * half.0 || bottom - top < 2.0 * half.1 {
            return None;
        }
        let at = (point.0.clamp(left + half.0, right - half.0), point.1.clamp(top + half.1, bottom - half.1));
        let moved = (at.0 - point.0).abs().max((at.1 - point.1).abs());
        let plate = around(at, half);
        (moved <= 1.01 * half.1 && !self.taken.iter().any(|taken| overlap(taken, &plate))).then_some(at)
    }
}

pub(super) fn around(at: (f64, f64), half: (f64, f64)) -> Bounds {
    [at.0 - half.0, at.1 - half.1, at.0 + half.0, at.1 + half.1]
}

fn overlap(a: &Bounds, b: &Bounds) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_takes_the_first_point_that_is_free_and_inside() {
        let mut room = Room::within([0.0, 0.0, 100.0, 100.0]);
        room.keep_free([40.0, 40.0, 60.0, 60.0]);
        let half = (10.0, 5.0);
        assert_eq!(room.free((50.0, 50.0), half), None);
        assert_eq!(room.free((50.0, 2.0), half), Some((50.0, 5.0)));
        assert_eq!(room.free((50.0, -3.0), half), None);
        assert_eq!(room.free((20.0, 50.0), (60.0, 5.0)), None);
    }
}
