//! Placing texts: measured, wrapped, and spread so that none covers another.

use super::Error;
use super::render::text_width;
use super::scene::{Anchor, Scene};
use super::theme::Palette;
use crate::wrap::{shorten, wrap};

/// Height of a line of text over its size.
pub(super) const LINE: f64 = 1.3;
/// Picture for which the sizes below are meant, pixels.
const USUAL: (f64, f64) = (900.0, 560.0);

/// Sizes that grow with the picture, pixels.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sizes {
    pub(super) title: f64,
    pub(super) label: f64,
    pub(super) pad: f64,
    pub(super) line: f64,
}

impl Sizes {
    pub(super) fn of((width, height): (f64, f64)) -> Self {
        let scale = (width / USUAL.0).min(height / USUAL.1);
        Self { title: 20.0 * scale, label: 15.5 * scale, pad: 16.0 * scale, line: 2.0 * scale }
    }
}

/// A text broken into lines of a width; past `most` lines the last one ends with an ellipsis.
pub(super) fn wrapped(text: &str, size: f64, width: f64, most: usize) -> Result<Vec<String>, Error> {
    text_width("", size)?;
    let measure = |text: &str| text_width(text, size).unwrap_or(0.0);
    let mut lines = wrap(text, width, measure);
    if lines.len() > most.max(1) {
        let rest = lines.split_off(most.max(1) - 1).join(" ");
        lines.push(shorten(&rest, width, measure));
    }
    Ok(lines)
}

/// Width of the widest of some texts.
pub(super) fn widest<T: AsRef<str>>(texts: impl IntoIterator<Item = T>, size: f64) -> Result<f64, Error> {
    texts.into_iter().try_fold(0.0, |widest: f64, text| Ok(widest.max(text_width(text.as_ref(), size)?)))
}

/// A text that fits the width, cut with an ellipsis where it must be.
pub(super) fn fitted(text: &str, size: f64, width: f64) -> Result<String, Error> {
    text_width("", size)?;
    Ok(shorten(text, width, |text| text_width(text, size).unwrap_or(0.0)))
}

/// Headline and, smaller, what it is about; the height below both.
pub(super) fn heading(scene: &mut Scene, palette: &Palette, sizes: Sizes, texts: [&str; 2]) -> Result<f64, Error> {
    let width = scene.size.0 - 2.0 * sizes.pad;
    let mut top = sizes.pad;
    let looks = [(sizes.title, palette.text), (sizes.label, palette.faint_text)];
    for (text, (size, colour)) in texts.into_iter().zip(looks) {
        for line in wrapped(text, size, width, 4)? {
            scene.text((sizes.pad, top + LINE * size / 2.0), &line, size, Anchor::Start, colour);
            top += LINE * size;
        }
        top += 0.2 * size;
    }
    Ok(top)
}

/// Heights nearest to the wanted ones, in their order, no two closer than `gap`, all within `low..=high`.
///
/// Where they cannot all fit, they are spread evenly.
pub(super) fn spread(wanted: &[f64], gap: f64, low: f64, high: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|&a, &b| wanted[a].total_cmp(&wanted[b]));
    let gap = gap.min((high - low) / (wanted.len().max(2) - 1) as f64);
    let mut placed = vec![0.0; wanted.len()];
    let mut least = low;
    for &index in &order {
        placed[index] = wanted[index].clamp(least, high.max(least));
        least = placed[index] + gap;
    }
    let mut greatest = high;
    for &index in order.iter().rev() {
        placed[index] = placed[index].min(greatest);
        greatest = placed[index] - gap;
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crowded_labels_are_moved_apart_and_stay_inside_and_in_order() {
        let placed = spread(&[98.0, 99.0, 10.0, 97.5], 10.0, 0.0, 100.0);
        assert_eq!(placed, [90.0, 100.0, 10.0, 80.0]);
    }

    #[test]
    fn labels_that_have_room_stay_where_they_are() {
        assert_eq!(spread(&[50.0, 20.0], 10.0, 0.0, 100.0), [50.0, 20.0]);
    }

    #[test]
    fn too_many_labels_share_the_room_evenly() {
        let placed = spread(&[5.0; 5], 10.0, 0.0, 20.0);
        assert!(placed.iter().all(|&height| (0.0..=20.0).contains(&height)), "{placed:?}");
    }
}
