//! The blanket that a cool-down is compared with: over the whole worked face, from the end of the last bead or flame on.

use heat::{Case, Cover, Face, Run, Shape, Surface, When};

use super::Blanket;

/// Its film is taken for an outside so much warmer than the air, K.
const OUTSIDE_K: f64 = 50.0;

/// The case with the blanket on from a time to the end. What the scenario lays on the worked face comes off for it: two
/// covers never lie on one place.
pub(super) fn laid(case: &Case, blanket: Blanket, bare: &Run, from_s: f64) -> Case {
    let mut case = case.clone();
    let [length, width, _] = case.block.size;
    case.covers = case.covers.into_iter().filter_map(|cover| off_by(cover, bare, from_s)).collect();
    case.covers.push(Cover {
        face: Face::Worked,
        area: Shape::Rectangle { x: [0.0, length], y: [0.0, width] },
        surface: under(blanket, case.surfaces[Face::Worked as usize]),
        when: When::Times(vec![[from_s, bare.ran_until_s]]),
    });
    case
}

/// Whether the blanket takes the place of something that the scenario lays on the worked face.
pub(super) fn takes_the_place(case: &Case) -> bool {
    case.covers.iter().any(|cover| cover.face == Face::Worked && !matches!(cover.when, When::WithFlame))
}

/// A cover of the worked face by the clock, until then; none where nothing is left of it. Others stay as they are.
fn off_by(cover: Cover, bare: &Run, from_s: f64) -> Option<Cover> {
    if cover.face != Face::Worked {
        return Some(cover);
    }
    let flames = bare.heats();
    let times = match &cover.when {
        When::AfterWork => Vec::new(),
        When::Always => vec![[0.0, from_s]],
        When::WithFlame => flames,
        When::InIntervals => {
            let next = flames.iter().skip(1).map(|flame| flame[0]).chain([from_s]);
            flames.iter().map(|flame| flame[1]).zip(next).map(|(off_s, on_s)| [off_s, on_s]).collect()
        }
        When::Times(times) => times.clone(),
    };
    let times = times.into_iter().map(|[on_s, off_s]| [on_s, off_s.min(from_s)]);
    let times: Vec<[f64; 2]> = times.filter(|[on_s, off_s]| on_s < off_s).collect();
    (!times.is_empty()).then_some(Cover { when: When::Times(times), ..cover })
}

/// A face under it, its film that of an outside some way above the air. A face that loses nothing goes on losing nothing.
fn under(blanket: Blanket, bare: Surface) -> Surface {
    if bare.exchanges_nothing() {
        return bare;
    }
    let film_coefficient = bare.film_at(bare.air_c + OUTSIDE_K);
    let resistance = blanket.thickness_m / blanket.conductivity_w_mk;
    Surface { film_coefficient, film_table: None, ..bare }.under_blanket(resistance)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bare(heats: &[[f64; 2]]) -> Run {
        use heat::{Event, What};
        let event = |time_s, what| Event { time_s, what };
        let events = heats
            .iter()
            .flat_map(|[on, off]| [event(*on, What::FlameOn), event(*off, What::FlameOff { reached: true })])
            .collect();
        Run {
            curves: Vec::new(),
            events,
            ledger: heat::Ledger::default(),
            ledgers: Vec::new(),
            stats: heat::Stats::default(),
            ran_until_s: 1000.0,
            interrupted: false,
            span_c: [20.0; 2],
            model: "full",
            model_reason: String::new(),
        }
    }

    #[test]
    fn what_lies_on_the_worked_face_comes_off_when_the_blanket_comes_on() {
        let cover = |face, when| Cover {
            face,
            area: Shape::Rectangle { x: [0.0, 1.0], y: [0.0, 1.0] },
            surface: Surface::ADIABATIC,
            when,
        };
        let run = bare(&[[0.0, 100.0], [200.0, 220.0]]);
        let left = |when| off_by(cover(Face::Worked, when), &run, 300.0).map(|cover| cover.when);
        assert_eq!(left(When::Always), Some(When::Times(vec![[0.0, 300.0]])));
        assert_eq!(left(When::AfterWork), None);
        assert_eq!(left(When::WithFlame), Some(When::Times(vec![[0.0, 100.0], [200.0, 220.0]])));
        assert_eq!(left(When::InIntervals), Some(When::Times(vec![[100.0, 200.0], [220.0, 300.0]])));
        assert_eq!(left(When::Times(vec![[250.0, 900.0], [950.0, 990.0]])), Some(When::Times(vec![[250.0, 300.0]])));
        let back = cover(Face::Back, When::AfterWork);
        assert_eq!(off_by(back.clone(), &run, 300.0), Some(back));
    }

    #[test]
    fn a_blanket_resists_in_series_with_its_outside_and_a_face_that_loses_nothing_stays_so() {
        let blanket = Blanket { thickness_m: 0.025, conductivity_w_mk: 0.1 };
        let face = Surface { film_coefficient: 8.0, emissivity: 0.8, ..Surface::ADIABATIC };
        // Outside at 20 C: 4 x 0.9 x 5.67e-8 x 293.15^3 = 5.14 W/m2K beside the film; 0.25 m2K/W of blanket.
        let wanted = 1.0 / (0.25 + 1.0 / 13.14);
        assert!((under(blanket, face).film_coefficient / wanted - 1.0).abs() < 1e-3);
        assert_eq!(under(blanket, Surface::ADIABATIC), Surface::ADIABATIC);
    }
}
