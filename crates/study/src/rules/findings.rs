//! Where mass stops mattering and section takes over, read off the table.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Head, Rule};

/// Holds that differ by less than this are the same.
const SAME: f64 = 0.05;

/// What the holds as stated say of mass and section.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Findings {
    /// From this mass on, kg, no heavier one changes a hold by more than the share below; null where even the heaviest
    /// two differ.
    pub mass_enough_kg: Option<f64>,
    /// That share.
    pub same: f64,
    /// Longest over shortest hold among masses from there on, of any section, width and soak.
    pub mass_factor: f64,
    /// Longest over shortest hold among sections at the heaviest mass, of any width and soak.
    pub section_factor: f64,
    /// Groups of cells that differ in mass alone.
    pub groups: usize,
}

/// Compares cells that differ in mass alone, and cells that differ in section alone.
#[must_use]
pub fn findings(head: &Head, rules: &[Rule]) -> Option<Findings> {
    let [masses, sections] = [head.masses_kg.len(), head.sections_m.len()];
    let rest = head.widths_m.len() * head.soaks_s.len();
    let mut order: Vec<usize> = (0..masses).collect();
    order.sort_by(|&a, &b| head.masses_kg[a].total_cmp(&head.masses_kg[b]));
    let hold = |mass: usize, section: usize, other: usize| {
        let rule = rules.get((mass * sections + section) * rest + other)?;
        rule.hold_s.filter(|hold| *hold > 0.0)
    };
    let over_mass = |from: usize| -> Vec<f64> {
        let group = |(section, other): (usize, usize)| {
            let holds: Vec<f64> = order[from..].iter().filter_map(|&mass| hold(mass, section, other)).collect();
            (holds.len() > 1).then(|| spread(&holds))
        };
        (0..sections).flat_map(|s| (0..rest).map(move |o| (s, o))).filter_map(group).collect()
    };
    let largest = |list: &[f64]| list.iter().copied().fold(1.0, f64::max);
    let groups = over_mass(0).len();
    let enough = (0..masses.saturating_sub(1)).find(|&from| {
        let spreads = over_mass(from);
        !spreads.is_empty() && largest(&spreads) <= 1.0 + SAME
    });
    let heaviest = *order.last()?;
    let over_section = (0..rest).filter_map(|other| {
        let holds: Vec<f64> = (0..sections).filter_map(|section| hold(heaviest, section, other)).collect();
        (holds.len() > 1).then(|| spread(&holds))
    });
    let section_factor = largest(&over_section.collect::<Vec<_>>());
    (groups > 0).then(|| Findings {
        mass_enough_kg: enough.map(|from| head.masses_kg[order[from]]),
        same: SAME,
        mass_factor: largest(&over_mass(enough.unwrap_or(0))),
        section_factor,
        groups,
    })
}

/// Longest over shortest.
fn spread(holds: &[f64]) -> f64 {
    let [low, high] = holds.iter().fold([f64::INFINITY, 0.0_f64], |[low, high], &v| [low.min(v), high.max(v)]);
    high / low
}
