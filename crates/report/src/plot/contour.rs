//! Lines of equal temperature and the areas between them, by marching squares.

use std::collections::{BTreeMap, BTreeSet};

/// Values on a rectangular grid of places; `across` runs fastest.
#[derive(Clone, Copy, Debug)]
pub(super) struct Field<'a> {
    /// Places across, ascending, m.
    pub(super) across: &'a [f64],
    /// Places down the other direction, ascending, m.
    pub(super) along: &'a [f64],
    /// `across.len() * along.len()` values.
    pub(super) values: &'a [f64],
}

/// An area to be painted over those before it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Patch {
    /// Corners; the last joins the first.
    pub(super) outline: Vec<(f64, f64)>,
    /// How many of the levels lie at or below the values just inside.
    pub(super) band: usize,
}

/// A side of a cell: its lower corner, and whether it runs across or along.
type Side = (usize, usize, bool);

impl Field<'_> {
    /// Whether there is something to draw: two places each way and a finite value everywhere.
    pub(super) fn is_drawable(&self) -> bool {
        let complete = self.values.len() == self.across.len() * self.along.len();
        self.across.len() > 1 && self.along.len() > 1 && complete && self.values.iter().all(|v| v.is_finite())
    }

    fn value(&self, column: usize, row: usize) -> f64 {
        self.values[row * self.across.len() + column]
    }

    /// The value at a place, straight between the grid's; none outside it.
    pub(super) fn at(&self, (across, along): (f64, f64)) -> Option<f64> {
        let (column, right) = between(self.across, across)?;
        let (row, up) = between(self.along, along)?;
        let side = |row| (1.0 - right) * self.value(column, row) + right * self.value(column + 1, row);
        Some((1.0 - up) * side(row) + up * side(row + 1))
    }

    /// The lines on which the values equal the level; a closed line ends where it begins.
    pub(super) fn lines(&self, level: f64) -> Vec<Vec<(f64, f64)>> {
        let node = |column: usize, row: usize| Node {
            at: (self.across[column], self.along[row]),
            excess: self.value(column, row) - level,
        };
        trace(self.across.len(), self.along.len(), &node)
    }

    /// Areas whose painting one after the other, larger before smaller, colours each band between the levels.
    ///
    /// What no area covers lies below the first level.
    pub(super) fn patches(&self, levels: &[f64]) -> Vec<Patch> {
        let patches = |(index, level): (usize, &f64)| {
            self.loops(*level).into_iter().map(move |outline| {
                let band = if area(&outline) > 0.0 { index + 1 } else { index };
                Patch { outline, band }
            })
        };
        let mut all: Vec<Patch> = levels.iter().enumerate().flat_map(patches).collect();
        all.sort_by(|a, b| area(&b.outline).abs().total_cmp(&area(&a.outline).abs()));
        all
    }

    /// As `lines`, but all closed: around the grid stands a frame of no width below the level.
    fn loops(&self, level: f64) -> Vec<Vec<(f64, f64)>> {
        let (columns, rows) = (self.across.len(), self.along.len());
        let node = |column: usize, row: usize| {
            let (inner_column, inner_row) = (column.clamp(1, columns) - 1, row.clamp(1, rows) - 1);
            let framed = column != inner_column + 1 || row != inner_row + 1;
            let excess = if framed { -1.0 } else { self.value(inner_column, inner_row) - level };
            Node { at: (self.across[inner_column], self.along[inner_row]), excess }
        };
        trace(columns + 2, rows + 2, &node)
    }
}

/// The interval of ascending places that a place lies in, and how far along it.
fn between(places: &[f64], place: f64) -> Option<(usize, f64)> {
    let upper = places.iter().position(|&p| p >= place).filter(|&upper| upper > 0 || places[0] == place)?.max(1);
    let (low, high) = (places[upper - 1], *places.get(upper)?);
    Some((upper - 1, (place - low) / (high - low)))
}

/// A corner of a cell: where, and its value less the level.
#[derive(Clone, Copy, Debug)]
struct Node {
    at: (f64, f64),
    excess: f64,
}

/// Strings the crossings of all cells together; higher values are to the left of the way.
fn trace(columns: usize, rows: usize, node: &dyn Fn(usize, usize) -> Node) -> Vec<Vec<(f64, f64)>> {
    let mut next: BTreeMap<Side, Side> = BTreeMap::new();
    for row in 1..rows {
        for column in 1..columns {
            next.extend(cell_steps(column - 1, row - 1, node));
        }
    }
    let entered: BTreeSet<Side> = next.values().copied().collect();
    let starts: Vec<Side> = next.keys().filter(|side| !entered.contains(side)).copied().collect();
    let mut lines: Vec<Vec<Side>> = starts.into_iter().map(|start| follow(start, &mut next)).collect();
    while let Some(start) = next.keys().next().copied() {
        lines.push(follow(start, &mut next));
    }
    lines.into_iter().map(|line| line.into_iter().map(|side| crossing(side, node)).collect()).collect()
}

/// The way through one cell, from each side where the values fall below the level, counter-clockwise, to its partner.
///
/// Where two diagonal corners lie above and two below, the mean of the four decides which pair is joined.
fn cell_steps(column: usize, row: usize, node: &dyn Fn(usize, usize) -> Node) -> Vec<(Side, Side)> {
    let corners = [(column, row), (column + 1, row), (column + 1, row + 1), (column, row + 1)];
    let sides = [(column, row, true), (column + 1, row, false), (column, row + 1, true), (column, row, false)];
    let excess = corners.map(|(column, row)| node(column, row).excess);
    let above = |corner: usize| excess[corner % 4] >= 0.0;
    let rises = |side: usize| !above(side) && above(side + 1);
    let turn = if excess.iter().sum::<f64>() >= 0.0 { 1 } else { 3 };
    let partner = |side: usize| (1..4).map(|steps| (side + steps * turn) % 4).find(|&side| rises(side));
    let falling = (0..4).filter(|&side| above(side) && !above(side + 1));
    falling.filter_map(|side| Some((sides[side], sides[partner(side)?]))).collect()
}

/// Takes a line out of the steps.
fn follow(start: Side, next: &mut BTreeMap<Side, Side>) -> Vec<Side> {
    let mut line = vec![start];
    let mut side = start;
    while let Some(following) = next.remove(&side) {
        line.push(following);
        side = following;
    }
    line
}

/// Where the level lies on a side, values taken as straight between its ends.
fn crossing((column, row, across): Side, node: &dyn Fn(usize, usize) -> Node) -> (f64, f64) {
    let from = node(column, row);
    let to = if across { node(column + 1, row) } else { node(column, row + 1) };
    let share = from.excess / (from.excess - to.excess);
    (from.at.0 + share * (to.at.0 - from.at.0), from.at.1 + share * (to.at.1 - from.at.1))
}

/// Positive where the outline runs counter-clockwise, that is, around higher values.
fn area(outline: &[(f64, f64)]) -> f64 {
    let next = outline.iter().cycle().skip(1);
    outline.iter().zip(next).map(|(a, b)| 0.5 * (a.0 * b.1 - b.0 * a.1)).sum()
}

/// Whether a point lies inside a closed outline.
pub(super) fn is_inside(at: (f64, f64), outline: &[(f64, f64)]) -> bool {
    let next = outline.iter().cycle().skip(1);
    let crosses = |(a, b): &(&(f64, f64), &(f64, f64))| {
        (a.1 > at.1) != (b.1 > at.1) && at.0 < a.0 + (at.1 - a.1) / (b.1 - a.1) * (b.0 - a.0)
    };
    outline.iter().zip(next).filter(crosses).count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLACES: [f64; 41] = {
        let mut places = [0.0; 41];
        let mut index = 0;
        while index < 41 {
            places[index] = index as f64 * 0.1 - 2.0;
            index += 1;
        }
        places
    };

    fn values(of: impl Fn(f64, f64) -> f64) -> Vec<f64> {
        PLACES.iter().flat_map(|&y| PLACES.iter().map(move |&x| (x, y))).map(|(x, y)| of(x, y)).collect()
    }

    fn field(values: &[f64]) -> Field<'_> {
        Field { across: &PLACES, along: &PLACES, values }
    }

    #[test]
    fn the_level_of_a_cone_is_one_circle_of_its_radius() {
        let cone = values(f64::hypot);
        let lines = field(&cone).lines(1.5);
        assert_eq!(lines.len(), 1);
        assert_eq!(lines[0].first(), lines[0].last());
        let off = lines[0].iter().map(|(x, y)| (x.hypot(*y) - 1.5).abs()).fold(0.0, f64::max);
        assert!(off < 2e-3, "{off}");
        // Higher values lie outside, so the way is clockwise.
        assert!((area(&lines[0]) + std::f64::consts::PI * 2.25).abs() < 0.01);
    }

    #[test]
    fn a_value_between_places_is_straight_and_none_lies_outside() {
        let plane = values(|x, y| 2.0 * x - y);
        for at in [(0.123, -1.77), (-2.0, -2.0), (1.95, 0.0)] {
            let off = field(&plane).at(at).unwrap() - (2.0 * at.0 - at.1);
            assert!(off.abs() < 1e-12, "{at:?} {off}");
        }
        assert_eq!(field(&plane).at((2.5, 0.0)), None);
        assert_eq!(field(&plane).at((0.0, -2.1)), None);
    }

    #[test]
    fn a_line_that_leaves_the_grid_has_two_ends_on_its_border() {
        let slope = values(|x, _| x);
        let lines = field(&slope).lines(0.25);
        assert_eq!(lines.len(), 1);
        assert_eq!(lines[0].len(), PLACES.len());
        assert!(lines[0].iter().all(|(x, _)| (x - 0.25).abs() < 1e-12));
    }

    #[test]
    fn patches_painted_in_turn_give_every_point_its_band() {
        let hills = values(|x, y| (3.0 * x).sin() * (2.0 * y).cos() + 0.3 * x);
        let levels = [-0.8, -0.4, 0.0, 0.4, 0.8];
        let patches = field(&hills).patches(&levels);
        for (index, value) in hills.iter().enumerate() {
            let at = (PLACES[index % PLACES.len()] + 1e-9, PLACES[index / PLACES.len()] + 1e-9);
            let near_a_level = levels.iter().any(|level| (level - value).abs() < 1e-6);
            let on_the_border = at.0 > 1.99 || at.1 > 1.99;
            if near_a_level || on_the_border {
                continue;
            }
            let painted = patches.iter().rfind(|patch| is_inside(at, &patch.outline)).map_or(0, |patch| patch.band);
            assert_eq!(painted, levels.iter().filter(|level| *level <= value).count(), "{at:?} {value}");
        }
    }

    #[test]
    fn a_field_above_all_levels_is_covered_by_the_highest_band() {
        let patches = field(&values(|_, _| 5.0)).patches(&[1.0, 2.0]).into_iter().map(|patch| patch.band);
        assert_eq!(patches.collect::<Vec<_>>(), [1, 2]);
    }

    #[test]
    fn a_saddle_is_joined_through_its_higher_middle() {
        let saddle = [1.0, -0.5, -0.5, 1.0];
        let field = Field { across: &[0.0, 1.0], along: &[0.0, 1.0], values: &saddle };
        assert_eq!(field.lines(0.0).len(), 2);
        assert_eq!(field.patches(&[0.0]).len(), 1);
        assert_eq!(Field { values: &[0.5, -1.0, -1.0, 0.5], ..field }.patches(&[0.0]).len(), 2);
    }

    #[test]
    fn an_empty_or_broken_field_is_not_drawn() {
        let broken = values(|x, _| if x > 1.0 { f64::NAN } else { x });
        assert!(!field(&broken).is_drawable());
        assert!(!Field { across: &[], along: &[], values: &[] }.is_drawable());
    }
}
