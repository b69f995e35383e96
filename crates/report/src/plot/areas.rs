//! Where the heat is over time: what has come in so far, as areas stacked on each other.

use quantity::{Energy, Units};
use study::LedgerJ;

use super::axis::ticks_with_unit;
use super::frame::{EndLabel, Frame, Look};
use super::layout::{heading, widest};
use super::scene::{Anchor, Dash, Scene, Stroke};
use super::theme::{Colour, Palette};
use super::{Error, Style};
use crate::tables::heat_in_j;
use crate::words::printable;

/// The terms in the order in which they lie on each other.
type Term = (&'static str, fn(&LedgerJ) -> f64);
const TERMS: [Term; 4] = [
    ("stored in the metal", |ledger| ledger.stored_j),
    ("lost to the air", |ledger| ledger.convection_j),
    ("lost by radiation", |ledger| ledger.radiation_j),
    ("into the support", |ledger| ledger.contact_j),
];
/// When, s, and the heat booked until then.
type Booked = (f64, LedgerJ);
/// A term smaller than this share of the largest is not named.
const NAMED: f64 = 1e-4;

/// Lays the picture out.
pub(super) fn scene(ledgers: &[Booked], title: &str, style: &Style) -> Result<Scene, Error> {
    // The axis is in one system of units: nothing stands at the right but the names.
    let look = Look::of(style);
    let look = Look { units: look.left_units(), ..look };
    let mut scene = Scene::new(style.size(), look.palette.background);
    let headline = "Where the heat is: put in so far, stored and lost";
    let about = format!("{} {}", balance(ledgers, style.units), printable(title));
    let top = heading(&mut scene, &look.palette, look.sizes, [headline, about.trim()])?;
    let stacked = stacked(ledgers);
    let range = range(ledgers, &stacked);
    let labels = labels(ledgers, &stacked, &look, range);
    let times = (0.0, ledgers.last().map_or(1.0, |last| last.0.max(1.0)));
    let mut frame = Frame::new(&look, scene.size, top, &labels, (times, range))?;
    let most = ((frame.bottom - frame.top) / (3.0 * look.sizes.label)).clamp(2.0, 8.0) as usize;
    let ticks = energy_ticks(&look, range, most);
    frame.left = 2.0 * look.sizes.pad + widest(ticks.iter().map(|tick| &tick.0), look.sizes.label)?;
    for (term, bounds) in stacked.iter().enumerate() {
        area(&mut scene, &look, &frame, (ledgers, bounds, term));
    }
    frame.time_axis(&mut scene, &look, "time")?;
    energy_axis(&mut scene, &look, &frame, &ticks);
    let points = |value: &dyn Fn(&LedgerJ) -> f64| -> Vec<(f64, f64)> {
        ledgers.iter().map(|(time, ledger)| (frame.x(*time), frame.y(value(ledger)))).collect()
    };
    scene.line(points(&heat_in_j), heat_in_stroke(&look));
    frame.label_ends(&mut scene, &look, &labels)?;
    Ok(scene)
}

/// Lower and upper bound of each term at each instant: gains pile up from zero, what was given up hangs down from it.
fn stacked(ledgers: &[Booked]) -> Vec<Vec<(f64, f64)>> {
    let mut bounds = vec![Vec::new(); TERMS.len()];
    for (_, ledger) in ledgers {
        let [mut up, mut down] = [0.0, 0.0];
        for ((_, term), bounds) in TERMS.iter().zip(&mut bounds) {
            let energy_j = term(ledger);
            let pile = if energy_j < 0.0 { &mut down } else { &mut up };
            bounds.push((*pile, *pile + energy_j));
            *pile += energy_j;
        }
    }
    bounds
}

fn range(ledgers: &[Booked], stacked: &[Vec<(f64, f64)>]) -> (f64, f64) {
    let ends = stacked.iter().flatten().flat_map(|&(from, to)| [from, to]);
    let all = ends.chain(ledgers.iter().map(|(_, ledger)| heat_in_j(ledger))).filter(|value| value.is_finite());
    let (low, high) = all.fold((0.0, 0.0), |(low, high): (f64, f64), value| (low.min(value), high.max(value)));
    if high > low { (low, high + 0.05 * (high - low)) } else { (0.0, 1.0) }
}

/// Neighbours stay apart in grey and for the colour-blind.
fn colour(palette: &Palette, term: usize) -> Colour {
    palette.areas[term.min(palette.areas.len() - 1)]
}

/// What was put in by whom, and how well the books close.
fn balance(ledgers: &[Booked], units: Units) -> String {
    let Some((_, last)) = ledgers.last() else { return String::new() };
    let heat_in = heat_in_j(last);
    let energy = |joules: f64| Energy::from_si(joules).show(units);
    let sources = [("torch", last.torch_j), ("heaters", last.heaters_j), ("arc", last.arc_j)];
    let by = sources.iter().filter(|(_, joules)| *joules != 0.0);
    let by: Vec<String> = by.map(|(name, joules)| format!("{name} {}", energy(*joules))).collect();
    let off = ledgers.iter().map(|(_, ledger)| ledger.residual_j.abs()).fold(0.0, f64::max);
    let share = if heat_in > 0.0 { 100.0 * off / heat_in } else { 0.0 };
    let off = match share {
        small if small < 0.01 => "less than 0.01 %".to_owned(),
        share => format!("{share:.2} %"),
    };
    format!("Put in by the end: {}. Not accounted for at any instant: {off} of it.", by.join(", "))
}

fn area(scene: &mut Scene, look: &Look, frame: &Frame, (ledgers, bounds, term): (&[Booked], &[(f64, f64)], usize)) {
    let place = |(time, energy): (f64, f64)| (frame.x(time), frame.y(energy));
    let upper = ledgers.iter().zip(bounds).map(|((time, _), bound)| place((*time, bound.1)));
    let lower = ledgers.iter().zip(bounds).rev().map(|((time, _), bound)| place((*time, bound.0)));
    let outline: Vec<(f64, f64)> = upper.clone().chain(lower).collect();
    if outline.len() > 2 {
        scene.area(outline, colour(&look.palette, term));
        // A line of the background between two areas: in grey they part there.
        let between = Stroke { colour: look.palette.background, width: 0.4 * look.sizes.line, dash: Dash::Solid };
        scene.line(upper.collect(), between);
    }
}

fn heat_in_stroke(look: &Look) -> Stroke {
    Stroke { colour: look.palette.text, width: look.sizes.line, dash: Dash::Dashed }
}

/// Round energies of the range with their unit, and where they lie, J.
fn energy_ticks(look: &Look, (low, high): (f64, f64), most: usize) -> Vec<(String, f64)> {
    let axis = Energy::from_si(low.abs().max(high)).axis(look.left_units());
    ticks_with_unit(&axis, (low, high), most)
}

fn energy_axis(scene: &mut Scene, look: &Look, frame: &Frame, ticks: &[(String, f64)]) {
    for (text, energy_j) in ticks {
        let y = frame.y(*energy_j);
        scene.line(vec![(frame.left, y), (frame.right, y)], look.grid());
        let at = (frame.left - 0.5 * look.sizes.pad, y);
        scene.text(at, text, look.sizes.label, Anchor::End, look.palette.faint_text);
    }
}

/// Names at the right, each at the middle of its area where the run ends.
fn labels(ledgers: &[Booked], stacked: &[Vec<(f64, f64)>], look: &Look, range: (f64, f64)) -> Vec<EndLabel> {
    let Some((_, last)) = ledgers.last() else { return Vec::new() };
    let heat_in = heat_in_j(last);
    let share = |energy_j: f64| {
        if heat_in > 0.0 { format!(" {:.1} %", 100.0 * energy_j / heat_in) } else { String::new() }
    };
    let named = |(term, bounds): (usize, &Vec<(f64, f64)>)| {
        let &(from, to) = bounds.last()?;
        let stroke = Stroke { colour: colour(&look.palette, term), width: 4.0 * look.sizes.line, dash: Dash::Solid };
        let text = format!("{}{}", TERMS[term].0, share(to - from));
        ((to - from).abs() > NAMED * (range.1 - range.0)).then_some(EndLabel {
            text,
            celsius: 0.5 * (from + to),
            stroke,
        })
    };
    let put_in = EndLabel { text: "put in".to_owned(), celsius: heat_in, stroke: heat_in_stroke(look) };
    stacked.iter().enumerate().filter_map(named).chain([put_in]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ledger(stored_j: f64) -> LedgerJ {
        LedgerJ {
            torch_j: 10.0,
            heaters_j: 0.0,
            arc_j: 1.0,
            stored_j,
            convection_j: 1.0,
            radiation_j: 2.0,
            contact_j: 0.5,
            residual_j: 0.0,
        }
    }

    #[test]
    fn gains_pile_up_and_what_the_metal_gave_up_hangs_down() {
        let bounds = stacked(&[(0.0, ledger(7.5)), (1.0, ledger(-4.0))]);
        assert_eq!(bounds[3][0], (10.5, 11.0), "the pile ends at the heat put in");
        assert_eq!((bounds[0][1], bounds[1][1], bounds[3][1]), ((0.0, -4.0), (0.0, 1.0), (3.0, 3.5)));
    }

    #[test]
    fn what_is_not_accounted_for_is_told() {
        let open = LedgerJ { residual_j: -0.22, ..ledger(7.5) };
        let told = balance(&[(0.0, open), (1.0, ledger(7.5))], Units::Metric);
        assert!(told.contains("torch 10.0 J, arc 1.00 J") && told.ends_with("2.00 % of it."), "{told}");
        assert!(balance(&[(1.0, ledger(7.5))], Units::Metric).contains("less than 0.01 %"));
    }
}
