//! Shares as bars with their names.

use super::layout::{LINE, Sizes, heading};
use super::render::text_width;
use super::scene::{Anchor, Dash, Scene, Stroke};
use super::{Error, Style};

/// Lays the picture out; the longest bar is the whole width.
pub(super) fn scene(heads: [&str; 2], bars: &[(String, f64)], style: &Style) -> Result<Scene, Error> {
    let (size, palette) = (style.size(), style.theme.palette());
    let sizes = Sizes::of(size);
    let mut scene = Scene::new(size, palette.background);
    let top = heading(&mut scene, &palette, sizes, heads)?;
    let mut names: f64 = 0.0;
    for (name, _) in bars {
        names = names.max(text_width(name, sizes.label)?);
    }
    let left = sizes.pad + names + sizes.pad;
    let right = size.0 - 2.0 * sizes.pad - text_width("100 %", sizes.label)?;
    let row = (size.1 - sizes.pad - top) / bars.len().max(1) as f64;
    let largest = bars.iter().map(|bar| bar.1).fold(f64::MIN_POSITIVE, f64::max);
    for (index, (name, share)) in bars.iter().enumerate() {
        let y = top + (index as f64 + 0.5) * row;
        let end = left + (right - left) * share.max(0.0) / largest;
        let half = 0.5 * (row / LINE).min(2.2 * sizes.label);
        scene.fill((left, y - half), (end.max(left + 1.0), y + half), palette.lines[0], 1.0);
        scene.text((left - 0.5 * sizes.pad, y), name, sizes.label, Anchor::End, palette.text);
        let text = format!("{:.0} %", 100.0 * share);
        scene.text((end + 0.5 * sizes.pad, y), &text, sizes.label, Anchor::Start, palette.text);
    }
    let axis = Stroke { colour: palette.faint_text, width: 0.5 * sizes.line, dash: Dash::Solid };
    scene.line(vec![(left, top), (left, size.1 - sizes.pad)], axis);
    Ok(scene)
}
