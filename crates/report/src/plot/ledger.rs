//! Where the heat went: one bar for each term of the ledger.

use quantity::Energy;
use study::Outcome;

use super::layout::{LINE, Sizes, heading, widest};
use super::scene::{Anchor, Dash, Scene, Stroke};
use super::{Error, Style};
use crate::tables::{LedgerLine, ledger_lines};
use crate::words::printable;

/// Lays the picture out.
pub(super) fn scene(outcome: &Outcome, style: &Style) -> Result<Scene, Error> {
    let (size, palette) = (style.size(), style.theme.palette());
    let sizes = Sizes::of(size);
    let mut scene = Scene::new(size, palette.background);
    let top = heading(&mut scene, &palette, sizes, ["Where the heat went", &printable(&outcome.title)])?;
    let lines = ledger_lines(&outcome.ledger);
    let texts: Vec<String> = lines.iter().map(|line| amount(line, style)).collect();
    let left = sizes.pad + widest(lines.iter().map(|line| line.what), sizes.label)? + sizes.pad;
    let right = size.0 - 2.0 * sizes.pad - widest(&texts, sizes.label)?;
    let row = (size.1 - sizes.pad - top) / lines.len() as f64;
    let largest = lines.iter().map(|line| line.energy_j.abs()).fold(f64::MIN_POSITIVE, f64::max);
    for (index, (line, text)) in lines.iter().zip(&texts).enumerate() {
        let y = top + (index as f64 + 0.5) * row;
        let end = left + (right - left) * line.energy_j.abs() / largest;
        let colour = if line.comes_in { palette.flame } else { palette.lines[0] };
        let half = 0.5 * (row / LINE).min(2.2 * sizes.label);
        scene.fill((left, y - half), (end.max(left + 1.0), y + half), colour, 1.0);
        scene.text((left - 0.5 * sizes.pad, y), line.what, sizes.label, Anchor::End, palette.text);
        scene.text((end + 0.5 * sizes.pad, y), text, sizes.label, Anchor::Start, palette.text);
    }
    let axis = Stroke { colour: palette.faint_text, width: 0.5 * sizes.line, dash: Dash::Solid };
    scene.line(vec![(left, top), (left, size.1 - sizes.pad)], axis);
    Ok(scene)
}

fn amount(line: &LedgerLine, style: &Style) -> String {
    let energy = Energy::from_si(line.energy_j).show(style.units);
    match line.share {
        Some(share) => format!("{energy} ({:.1} %)", 100.0 * share),
        None => energy,
    }
}
