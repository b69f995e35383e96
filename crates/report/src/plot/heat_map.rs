//! A table of rules as a heat map: a panel for each heated width and soak, masses across, sections down, in each cell the
//! interval and the beads that fit. A cell that is not possible is hatched and lettered, its reason written below.

use quantity::{Mass, Units};
use study::rules::{Rule, Table};

use super::contrast::ink_on;
use super::frame::Look;
use super::layout::{LINE, Sizes, heading, widest, wrapped};
use super::scene::{Anchor, Dash, Scene, Stroke};
use super::theme::Colour;
use super::{Error, LARGEST, Style};
use crate::rules::{findings, letter, letter_of, reasons};
use crate::words::{counted, length, printable};

const HEADLINE: &str = "Flame off to flame on: the longest interval that holds, s; below it the beads that fit";
/// Narrowest sheet on which the words above and below are still easy to read, pixels.
const NARROWEST: f64 = 720.0;
/// Beyond this factor between the longest and the shortest interval equal factors are equally far apart in colour.
const WIDE: f64 = 8.0;
/// Marks of the scale.
const MARKS: usize = 5;

/// Sizes of one sheet, pixels.
struct Sheet<'a> {
    table: &'a Table,
    look: Look,
    reasons: Vec<String>,
    /// None where no cell has an interval.
    scale: Option<Scale>,
    sections: Vec<String>,
    /// One line of each, or one for each system of units.
    masses: Vec<Vec<String>>,
    /// Room for the sections' names at the left.
    left: f64,
    cell: (f64, f64),
}

/// Intervals as colours.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Scale {
    low_s: f64,
    high_s: f64,
}

impl Scale {
    fn over(table: &Table) -> Option<Scale> {
        let intervals = table.rules.iter().filter_map(|rule| rule.interval_s).filter(|s| s.is_finite());
        intervals.fold(None, |scale, s| {
            let Scale { low_s, high_s } = scale.unwrap_or(Scale { low_s: s, high_s: s });
            Some(Scale { low_s: low_s.min(s), high_s: high_s.max(s) })
        })
    }

    fn by_factors(self) -> bool {
        self.low_s > 0.0 && self.high_s > WIDE * self.low_s
    }

    /// An interval at a share of the way from the shortest to the longest, s.
    fn at(self, share: f64) -> f64 {
        if self.by_factors() {
            self.low_s * (self.high_s / self.low_s).powf(share)
        } else {
            self.low_s + share * (self.high_s - self.low_s)
        }
    }

    fn share(self, interval_s: f64) -> f64 {
        if self.high_s <= self.low_s {
            return 0.5;
        }
        if self.by_factors() {
            (interval_s / self.low_s).ln() / (self.high_s / self.low_s).ln()
        } else {
            (interval_s - self.low_s) / (self.high_s - self.low_s)
        }
    }
}

/// Made for the colour-blind, and rising in grey.
fn colour(share: f64) -> Colour {
    let colour = colorous::CIVIDIS.eval_continuous(share.clamp(0.0, 1.0));
    (colour.r, colour.g, colour.b)
}

/// Lays the picture out, as large as its cells ask for; a table too large for a sheet is drawn smaller as a whole.
pub(super) fn scene(table: &Table, style: &Style) -> Result<Scene, Error> {
    let scene = laid_out(table, style, 1.0)?;
    let most = (f64::from(LARGEST.0) / scene.size.0).min(f64::from(LARGEST.1) / scene.size.1);
    if most >= 1.0 { Ok(scene) } else { laid_out(table, style, 0.98 * most) }
}

fn laid_out(table: &Table, style: &Style, scale: f64) -> Result<Scene, Error> {
    let sizes = Sizes { title: 20.0, label: 15.0, pad: 16.0, line: 2.0 };
    let [title, label, pad, line] = [sizes.title, sizes.label, sizes.pad, sizes.line].map(|size| scale * size);
    let look = Look { units: style.units, palette: style.theme.palette(), sizes: Sizes { title, label, pad, line } };
    let (sections, masses) = (section_names(table, style.units), mass_names(table, style.units));
    let sheet = Sheet {
        reasons: reasons(table),
        scale: Scale::over(table),
        left: pad + widest(&sections, label)? + 0.6 * label,
        cell: (widest(masses.iter().flatten(), label)?.max(4.0 * label) + label, 3.0 * label),
        sections,
        masses,
        table,
        look,
    };
    // A panel of few cells is narrower than its title.
    let widths = 0..table.head.widths_m.len();
    let titles = widths.clone().flat_map(|width| (0..table.head.soaks_s.len()).map(move |soak| (width, soak)));
    let step = widest(titles.map(|of| sheet.title(of)), label)?.max(sheet.panel_width()) + pad;
    let mut scene = Scene::new(
        ((sheet.left + widths.len() as f64 * step).max(scale * NARROWEST), 0.0),
        sheet.look.palette.background,
    );
    let about = format!("{} {}", findings(table, style.units), printable(&table.head.title));
    let mut top = heading(&mut scene, &sheet.look.palette, sheet.look.sizes, [HEADLINE, &about])?;
    top = sheet.colours(&mut scene, top);
    for soak in 0..table.head.soaks_s.len() {
        for width in widths.clone() {
            sheet.panel(&mut scene, (sheet.left + width as f64 * step, top), (width, soak));
        }
        top += sheet.panel_height() + pad;
    }
    scene.size.1 = sheet.legend(&mut scene, top)? + pad;
    Ok(scene)
}

fn section_names(table: &Table, units: Units) -> Vec<String> {
    table.head.sections_m.iter().map(|section| length(*section, units)).collect()
}

/// One line, or one for each system of units.
fn mass_names(table: &Table, units: Units) -> Vec<Vec<String>> {
    let systems = if units == Units::Both { vec![Units::Metric, Units::Shop] } else { vec![units] };
    let names = |mass: &f64| systems.iter().map(|&one| Mass::from_si(*mass).show(one)).collect();
    table.head.masses_kg.iter().map(names).collect()
}

impl Sheet<'_> {
    fn panel_width(&self) -> f64 {
        self.cell.0 * self.table.head.masses_kg.len() as f64
    }

    /// With the title above the cells and the masses below.
    fn panel_height(&self) -> f64 {
        let lines = if self.look.units == Units::Both { 2.0 } else { 1.0 };
        let cells = self.cell.1 * self.table.head.sections_m.len() as f64;
        cells + (1.5 + lines) * LINE * self.look.sizes.label
    }

    fn rule(&self, [mass, section, width, soak]: [usize; 4]) -> Option<&Rule> {
        let head = &self.table.head;
        let of = [head.sections_m.len(), head.widths_m.len(), head.soaks_s.len()];
        self.table.rules.get(((mass * of[0] + section) * of[1] + width) * of[2] + soak)
    }

    fn title(&self, (width, soak): (usize, usize)) -> String {
        let head = &self.table.head;
        let across = length(head.widths_m[width], self.look.units);
        format!("disc {across} across, soak {:.0} min", head.soaks_s[soak] / 60.0)
    }

    /// Title, cells, and what the rows and columns are.
    fn panel(&self, scene: &mut Scene, (left, top): (f64, f64), (width, soak): (usize, usize)) {
        let (head, label, palette) = (&self.table.head, self.look.sizes.label, &self.look.palette);
        scene.text((left, top + 0.6 * LINE * label), &self.title((width, soak)), label, Anchor::Start, palette.text);
        let cells_top = top + 1.3 * LINE * label;
        for (section, name) in self.sections.iter().enumerate() {
            let row = cells_top + section as f64 * self.cell.1;
            if width == 0 {
                let at = (left - 0.4 * label, row + 0.5 * self.cell.1);
                scene.text(at, name, label, Anchor::End, palette.text);
            }
            for mass in 0..head.masses_kg.len() {
                let rule = self.rule([mass, section, width, soak]);
                self.cell(scene, (left + mass as f64 * self.cell.0, row), rule);
            }
        }
        let below = cells_top + self.cell.1 * head.sections_m.len() as f64;
        for (mass, names) in self.masses.iter().enumerate() {
            let middle = left + (mass as f64 + 0.5) * self.cell.0;
            for (line, name) in names.iter().enumerate() {
                let at = (middle, below + (line as f64 + 0.6) * LINE * label);
                scene.text(at, name, label, Anchor::Middle, palette.text);
            }
        }
    }

    fn cell(&self, scene: &mut Scene, (left, top): (f64, f64), rule: Option<&Rule>) {
        let (right, bottom) = (left + self.cell.0, top + self.cell.1);
        let (label, palette) = (self.look.sizes.label, &self.look.palette);
        let middle = (0.5 * (left + right), 0.5 * (top + bottom));
        match rule.and_then(|rule| Some((rule, rule.interval_s?))) {
            Some((rule, interval_s)) => {
                let fill = colour(self.scale.map_or(0.5, |scale| scale.share(interval_s)));
                scene.fill((left, top), (right, bottom), fill, 1.0);
                let number = format!("{:.0}", interval_s.floor());
                let beads = rule.beads.map(|n| counted(n, "bead"));
                let up = if beads.is_some() { 0.55 * label } else { 0.0 };
                scene.text((middle.0, middle.1 - up), &number, 1.1 * label, Anchor::Middle, ink_on(fill));
                if let Some(beads) = beads {
                    let at = (middle.0, middle.1 + 0.75 * label);
                    scene.text(at, &beads, 0.85 * label, Anchor::Middle, ink_on(fill));
                }
            }
            None => {
                hatch(scene, (left, top), (right, bottom), self.look.thin());
                let half = (0.8 * label, 0.65 * label);
                let plate = ((middle.0 - half.0, middle.1 - half.1), (middle.0 + half.0, middle.1 + half.1));
                scene.fill(plate.0, plate.1, palette.background, 1.0);
                let text = rule.and_then(|rule| letter_of(rule, &self.reasons)).unwrap_or_else(|| "-".to_owned());
                scene.text(middle, &text, 1.1 * label, Anchor::Middle, palette.text);
            }
        }
        let between = Stroke { colour: palette.background, width: self.look.sizes.line, dash: Dash::Solid };
        scene.sides((left, top), (right, bottom), between);
    }

    /// What the axes are, and the scale of colours with its numbers; the height below.
    fn colours(&self, scene: &mut Scene, top: f64) -> f64 {
        let Sizes { label, pad, .. } = self.look.sizes;
        let palette = &self.look.palette;
        let axes = "Across: mass of the casting. Down: section under the patch.";
        scene.text((pad, top + 0.5 * LINE * label), axes, label, Anchor::Start, palette.text);
        let (top, right) = (top + 1.3 * LINE * label, (30.0 * label).min(scene.size.0 - 5.0 * pad));
        let Some(scale) = self.scale else { return top };
        const BANDS: usize = 40;
        let bottom = top + 1.1 * label;
        let x = |share: f64| pad + (right - pad) * share;
        for band in 0..BANDS {
            let [from, until] = [band, band + 1].map(|n| n as f64 / BANDS as f64);
            // A little wider than its place, so that no seam shows.
            let end = (x(until) + 0.05 * label).min(right);
            scene.fill((x(from), top), (end, bottom), colour(0.5 * (from + until)), 1.0);
        }
        let marks = if scale.high_s > scale.low_s { MARKS } else { 1 };
        for mark in 0..marks {
            let share = if marks == 1 { 0.5 } else { mark as f64 / (MARKS - 1) as f64 };
            let text = format!("{:.0} s", scale.at(share));
            let anchor = if mark == 0 && marks > 1 { Anchor::Start } else { Anchor::Middle };
            scene.text((x(share), bottom + 0.65 * LINE * label), &text, label, anchor, palette.faint_text);
        }
        bottom + 1.8 * LINE * label
    }

    /// What the hatched cells' letters say; the height below.
    fn legend(&self, scene: &mut Scene, top: f64) -> Result<f64, Error> {
        let Sizes { label, pad, .. } = self.look.sizes;
        let mut texts: Vec<String> = vec!["On the safe side of all stated ranges, by the model.".to_owned()];
        if !self.reasons.is_empty() {
            texts.push("Hatched: not possible.".to_owned());
        }
        texts.extend(self.reasons.iter().enumerate().map(|(n, why)| format!("{}: {}", letter(n), printable(why))));
        let mut top = top;
        for text in texts {
            for line in wrapped(&text, label, scene.size.0 - 2.0 * pad, 3)? {
                scene.text((pad, top + 0.5 * LINE * label), &line, label, Anchor::Start, self.look.palette.text);
                top += LINE * label;
            }
        }
        Ok(top)
    }
}

/// Lines from the upper right to the lower left, cut at the sides of a box.
pub(super) fn hatch(scene: &mut Scene, (left, top): (f64, f64), (right, bottom): (f64, f64), stroke: Stroke) {
    let step = 5.0 * stroke.width.max(0.5) + 4.0;
    let first = ((left + top) / step).ceil() as i64;
    let last = ((right + bottom) / step).floor() as i64;
    for index in first..=last {
        // On the line x + y = sum.
        let sum = index as f64 * step;
        let (from, until) = (left.max(sum - bottom), right.min(sum - top));
        if until > from {
            scene.line(vec![(from, sum - from), (until, sum - until)], stroke);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::scene::Mark;
    use super::super::theme::DARK;
    use super::*;

    #[test]
    fn a_hatch_stays_inside_its_box() {
        let mut scene = Scene::new((100.0, 100.0), DARK);
        hatch(&mut scene, (10.0, 20.0), (60.0, 45.0), Stroke { colour: DARK, width: 1.0, dash: Dash::Solid });
        assert!(scene.marks.len() > 4);
        for mark in &scene.marks {
            let Mark::Line { points, .. } = mark else { panic!("a line") };
            assert!(points.iter().all(|(x, y)| (10.0..=60.0).contains(x) && (20.0..=45.0).contains(y)), "{points:?}");
        }
    }

    #[test]
    fn colours_go_by_factors_over_a_wide_range_and_by_differences_over_a_narrow_one() {
        let wide = Scale { low_s: 10.0, high_s: 1000.0 };
        assert!((wide.share(100.0) - 0.5).abs() < 1e-12 && (wide.at(0.5) - 100.0).abs() < 1e-9);
        let narrow = Scale { low_s: 100.0, high_s: 200.0 };
        assert!((narrow.share(150.0) - 0.5).abs() < 1e-12 && (narrow.at(0.25) - 125.0).abs() < 1e-9);
        assert_eq!(Scale { low_s: 60.0, high_s: 60.0 }.share(60.0), 0.5);
    }

    #[test]
    fn longer_intervals_are_brighter_in_grey() {
        let greys: Vec<f64> =
            (0..=20).map(|n| super::super::contrast::luminance(colour(f64::from(n) / 20.0))).collect();
        assert!(greys.windows(2).all(|pair| pair[1] > pair[0]), "{greys:?}");
    }
}
