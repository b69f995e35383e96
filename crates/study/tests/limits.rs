//! Where a closed form holds, the answers that generalise agree with it.

use exact::{Disc, Heating, Lump, Metal};
use heat::{
    Block, Case, Flame, Hollows, Interval, Material, ProbeKind, Ring, Schedule, Shape, Surface, Torch, TorchKind,
};
use study::rules::{Rule, Todo, Wishes, answer, head};
use study::{Question, Window, ring_probes};

const DENSITY: f64 = 7200.0;
const CONDUCTIVITY: f64 = 46.0;
const SPECIFIC_HEAT: f64 = 500.0;

/// A block of iron of constant properties whose faces exchange `surface`, a small round groove in the middle, and a ring
/// read on the face.
fn scenario(scale: f64, surface: Surface) -> (Case, Question) {
    let size = [2.0, 2.0, 1.0];
    let centre = [1.0, 1.0];
    let patch = Shape::Disc { centre, radius: 0.1 * scale };
    let ring = Ring { groove: Shape::Disc { centre, radius: 0.01 * scale }, width: 0.05 * scale, depth: 0.0 };
    let mut case = Case {
        block: Block { size },
        hollows: Hollows::default(),
        material: Material::constant(DENSITY, CONDUCTIVITY, SPECIFIC_HEAT).unwrap(),
        start_c: 20.0,
        surfaces: [surface; 6],
        torches: vec![Torch::new(patch, TorchKind::Flux { flux: 100e3 })],
        heaters: Vec::new(),
        covers: Vec::new(),
        schedule: Schedule::Spans { on: vec![], end_s: 1.0 },
        passes: None,
        probes: vec![],
        output_s: vec![],
    };
    let probes = ring_probes(&mut case, ring, patch);
    let flame = Flame::Until { probe: probes.coldest, temperature_c: 200.0, at_most_s: 3600.0 };
    case.schedule = Schedule::Cycles {
        heat_up: flame,
        interval: Interval::Fixed { seconds: 60.0 },
        reheat: flame,
        reheats: 0,
        after_s: 0.0,
    };
    let question = Question {
        metal: "iron".to_owned(),
        window: Some(Window { minimum_c: 150.0, maximum_interpass_c: 500.0, surface_limit_c: None }),
        ring: Some((ring, probes)),
        ..Question::plain()
    };
    (case, question)
}

fn rule(scenario: &(Case, Question), mass_kg: f64, section_m: f64, width_m: f64, soak_s: f64) -> Rule {
    let wishes = Wishes {
        masses_kg: vec![mass_kg],
        sections_m: vec![section_m],
        widths_m: vec![width_m],
        soaks_s: vec![soak_s],
    };
    let (case, question) = scenario;
    let head = head(case, question, &wishes).unwrap();
    let rules = answer((case, question), &head, &Todo::default(), &|_| (), &|_| true).unwrap();
    rules.into_iter().next().unwrap()
}

fn metal() -> Metal {
    Metal::new(CONDUCTIVITY, DENSITY, SPECIFIC_HEAT)
}

/// A very large die without losses is the half space of the closed form: same flux, same soak, same hold of the ring.
#[test]
fn a_rule_for_a_very_large_die_is_the_closed_form() {
    let scenario = scenario(1.0, Surface::ADIABATIC);
    for (width_m, soak_s) in [(0.2, 300.0), (0.3, 900.0), (0.3, 2700.0)] {
        let rule = rule(&scenario, 60_000.0, 1.5, width_m, soak_s);
        let disc = Disc { radius: 0.5 * width_m };
        let outer_m = 0.06;
        let flux = 180.0 / disc.rise(metal(), 1.0, outer_m, 0.0, soak_s);
        let hold = disc.hold(metal(), Heating { flux, duration: soak_s }, outer_m, 0.0, 130.0).unwrap();
        let bar = rule.hold_error_s.unwrap() + 0.004 * hold;
        assert!((rule.hold_s.unwrap() - hold).abs() < bar, "{width_m} {soak_s}: {hold} {rule:?}");
        let power = flux * disc.area();
        assert!((rule.net_power_w.unwrap() / power - 1.0).abs() < 0.01, "{power} {rule:?}");
    }
}

/// Twice the radius with four times the soak, ring and all: four times the hold.
#[test]
fn hold_grows_with_the_square_of_the_radius_at_the_same_scaled_soak() {
    let one = rule(&scenario(1.0, Surface::ADIABATIC), 60_000.0, 1.5, 0.2, 300.0);
    let two = rule(&scenario(2.0, Surface::ADIABATIC), 8.0 * 60_000.0, 3.0, 0.4, 1200.0);
    let (short, long) = (one.hold_s.unwrap(), two.hold_s.unwrap());
    let bar = 4.0 * one.hold_error_s.unwrap() + two.hold_error_s.unwrap();
    assert!((long - 4.0 * short).abs() <= bar && bar < 0.05 * long, "{short} {long} {bar}");
}

/// In the middle of a wide patch on a thin plate the heat leaves by the two faces alone: the plate there cools as a lump,
/// from the mean that stands `q L / 3k` below the heated face as the flame goes off.
#[test]
fn a_thin_plate_heated_wide_cools_as_a_lump() {
    let surface = Surface { film_coefficient: 20.0, ..Surface::ADIABATIC };
    let section_m = 0.006;
    let rule = rule(&scenario(1.0, surface), 2.5 * 2.5 * section_m * DENSITY, section_m, 1.2, 60.0);
    let lump = Lump { heat_capacity: DENSITY * SPECIFIC_HEAT * section_m, area: 2.0 };
    let flux = rule.net_power_w.unwrap() / (std::f64::consts::PI * 0.6 * 0.6);
    let left = (150.0 - 20.0) / (200.0 - 20.0 - flux * section_m / (3.0 * CONDUCTIVITY));
    let hold = rule.hold_s.unwrap();
    let share = lump.convective_share_left(20.0, hold);
    assert!((share / left - 1.0).abs() < 2e-3, "{share} {left} {rule:?}");
}

/// The longer the soak, the nearer to the endless one, and never beyond it (N2).
#[test]
fn a_very_long_soak_comes_near_to_the_endless_one_from_below() {
    let mut scenario = scenario(0.2, Surface::ADIABATIC);
    // The ring as small as the middle: the closed form of the endless soak is that of the middle.
    let (ring, probes) = scenario.1.ring.as_mut().unwrap();
    ring.width = 0.001;
    let small = *ring;
    let coldest = probes.coldest;
    scenario.0.probes[coldest].kind = ProbeKind::RingColdest(small);
    let width_m = 0.1;
    let disc = Disc { radius: 0.5 * width_m };
    let endless = disc.longest_centre_hold(metal(), 130.0 / 180.0);
    let holds =
        [600.0, 3600.0, 4.0 * 3600.0].map(|soak_s| rule(&scenario, 400_000.0, 3.0, width_m, soak_s).hold_s.unwrap());
    assert!(holds[0] < holds[1] && holds[1] < holds[2] && holds[2] < endless, "{holds:?} {endless}");
    assert!(holds[2] > 0.85 * endless, "{holds:?} {endless}");
}
