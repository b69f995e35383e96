//! The scenario files of the project read to the numbers they say.

use heat::{Accuracy, Flame, Interval, ProbeKind, Schedule, Shape, Surface, TorchKind};
use scenario::{Override, Problems, Scenario, read};
use study::Lever;

const Y1: &str = include_str!("../../../validation/yardsticks/y1.toml");
const Y2: &str = include_str!("../../../validation/yardsticks/y2.toml");
const Y3: &str = include_str!("../../../validation/yardsticks/y3.toml");

fn good(text: &str) -> Scenario {
    let scenario = read(text, "file.toml", &[]).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(scenario.question.warnings, Vec::<String>::new());
    scenario
}

fn set(text: &str, changes: &[&str]) -> Result<Scenario, Problems> {
    let changes: Vec<Override> = changes.iter().map(|change| Override::parse(change).unwrap()).collect();
    read(text, "file.toml", &changes)
}

fn names(scenario: &Scenario) -> Vec<&str> {
    scenario.case.probes.iter().map(|probe| probe.name.as_str()).collect()
}

fn surface(film_coefficient: f64, emissivity: f64, around_c: f64) -> Surface {
    Surface {
        film_coefficient,
        film_table: None,
        emissivity,
        air_c: around_c,
        surroundings_c: around_c,
        contact_c: around_c,
        contact_conductance: 0.0,
    }
}

#[test]
fn the_first_yardstick_reads_to_its_numbers() {
    let case = good(Y1).case;
    assert_eq!(case.block.size, [1.0, 0.8, 0.4]);
    assert_eq!(case.material, heat::Material::constant(7200.0, 46.0, 500.0).unwrap());
    assert_eq!(case.start_c, 20.0);
    assert_eq!(case.surfaces[..5], [surface(8.0, 0.8, 20.0); 5]);
    assert_eq!(case.surfaces[5], Surface::ADIABATIC);
    let patch = Shape::Disc { centre: [0.5, 0.4], radius: 0.06 };
    assert_eq!(case.torches.len(), 1);
    assert_eq!((case.torches[0].patch, case.torches[0].kind), (patch, TorchKind::Flux { flux: 250e3 }));
    assert_eq!(case.schedule, Schedule::Spans { on: vec![[0.0, 300.0]], end_s: 14400.0 });
    assert_eq!(case.output_s, [60.0, 150.0, 300.0, 310.0, 330.0, 360.0, 420.0, 600.0, 1200.0, 3600.0, 14400.0]);
}

#[test]
fn the_first_yardstick_has_its_probes_and_watches() {
    let scenario = good(Y1);
    let Scenario { case, question } = &scenario;
    assert_eq!(names(&scenario), ["r0", "r20", "r40", "r60", "r80", "r120", "d6", "d25"]);
    assert_eq!(case.probes[2].kind, ProbeKind::Point { at: [0.54, 0.4, 0.0] });
    assert_eq!(case.probes[7].kind, ProbeKind::Point { at: [0.5, 0.4, 0.025] });
    assert_eq!(question.watches.iter().map(|w| (w.probe, w.limit_c)).collect::<Vec<_>>(), [(2, 150.0), (2, 120.0)]);
    assert!(question.window.is_none() && question.ring.is_none() && question.ranges.is_empty());
    assert_eq!(question.accuracy, Accuracy::default());
}

#[test]
fn the_second_yardstick_reads_to_its_numbers() {
    let scenario = good(Y2);
    let case = &scenario.case;
    assert_eq!(case.block.size, [0.6, 0.5, 0.3]);
    for t in [15.0, 20.0, 150.0, 900.0] {
        assert!((case.material.conductivity(t) - (50.0 - 0.025 * (t - 20.0))).abs() < 1e-12);
        assert!((case.material.specific_heat(t) - (480.0 + 0.45 * (t - 20.0))).abs() < 1e-11);
    }
    assert_eq!(case.material.density(), 7100.0);
    assert_eq!(case.surfaces[4], surface(10.0, 0.7, 15.0));
    assert_eq!(case.surfaces[5], Surface { contact_conductance: 150.0, ..surface(0.0, 0.0, 15.0) });
    assert_eq!(case.torches[0].patch, Shape::Rectangle { x: [0.26, 0.34], y: [0.0, 0.08] });
    assert_eq!(case.torches[0].kind, TorchKind::Flame { film_coefficient: 180.0, gas_c: 1400.0 });
    let Schedule::Spans { on, end_s } = &case.schedule else { panic!("spans") };
    let mut expected = vec![[0.0, 360.0]];
    expected.extend((0..8).map(|n| f64::from(n) * 120.0 + 450.0).map(|on| [on, on + 30.0]));
    assert_eq!((on, *end_s), (&expected, 7200.0));
    assert_eq!(names(&scenario), ["patch_mean", "patch_min", "patch_max", "d6"]);
    let mut times: Vec<f64> = expected.concat();
    times.extend([1800.0, 3600.0, 7200.0]);
    assert_eq!(case.output_s, times[1..]);
    assert_eq!(scenario.question.watches.len(), 4);
}

#[test]
fn the_third_yardstick_reads_to_its_numbers() {
    let scenario = good(Y3);
    let case = &scenario.case;
    assert_eq!(case.surfaces, [surface(10.0, 0.8, 20.0); 6]);
    assert_eq!((case.start_c, case.torches.len()), (250.0, 0));
    assert_eq!(case.schedule, Schedule::Spans { on: vec![], end_s: 43200.0 });
    assert_eq!(names(&scenario), ["centre", "face_z", "face_x", "face_y", "corner"]);
    assert_eq!(case.probes[2].kind, ProbeKind::Point { at: [0.0, 0.4, 0.2] });
    assert!(scenario.question.cautions.is_empty());
}

#[test]
fn the_demonstration_reads_with_window_ring_ranges_and_cautions() {
    let scenario = good(scenario::DEMONSTRATION);
    let Scenario { case, question } = &scenario;
    let window = question.window.unwrap();
    assert!((window.minimum_c - 148.889).abs() < 1e-3 && (window.maximum_interpass_c - 260.0).abs() < 1e-9);
    let (ring, probes) = question.ring.unwrap();
    assert_eq!((ring.width, ring.depth), (0.075, 0.006));
    assert_eq!(case.probes[probes.coldest].name, "ring_coldest");
    assert!(names(&scenario).starts_with(&["edge_150", "under_25", "ring_coldest"]));
    let Schedule::Cycles { heat_up, interval, .. } = &case.schedule else { panic!("cycles") };
    assert!(matches!(heat_up, Flame::Until { probe, .. } if *probe == probes.coldest));
    assert!(matches!(interval, Interval::Fixed { .. }));
    let passes = case.passes.as_ref().unwrap();
    assert_eq!((passes.list.len(), passes.list[0].place, passes.list[0].power), (1, ring.groove, 2300.0));
    let levers: Vec<Lever> = question.ranges.iter().map(|range| range.lever).collect();
    assert_eq!(
        levers,
        [
            Lever::Conductivity,
            Lever::SpecificHeat,
            Lever::TorchStrength,
            Lever::FilmCoefficient,
            Lever::Emissivity,
            Lever::ContactConductance
        ]
    );
    assert!(question.ranges.iter().all(|range| range.low <= 1.0 && range.high >= 1.0 && !range.source.is_empty()));
    assert!(question.cautions.len() >= 8 && question.cautions.iter().all(|line| !line.contains('\n')));
}

#[test]
fn fuel_becomes_flux_over_the_whole_patch() {
    let flux = |rate: &str| {
        let torch = format!("torch={{ fuel = {{ gas = \"propane\", rate = \"{rate}\", share = 0.3 }} }}");
        // Half of the disc lies off the casting; its flux is that of the whole disc all the same.
        let changes = [torch.as_str(), "patch.centre=[\"0 m\", \"middle\"]", "probes={}", "watch=[]"];
        let Scenario { case, question } = set(Y1, &changes).unwrap();
        let range = question.ranges.iter().find(|range| range.lever == Lever::TorchStrength).unwrap();
        assert!(
            (range.low - 0.5).abs() < 1e-12 && (range.high - 5.0 / 3.0).abs() < 1e-12 && range.source.contains("FX5")
        );
        let TorchKind::Flux { flux } = case.torches[0].kind else { panic!("flux") };
        flux
    };
    let area = std::f64::consts::PI * 0.06 * 0.06;
    assert!((flux("0.732 kg/h") / (0.3 * 46.34e6 * 0.732 / 3600.0 / area) - 1.0).abs() < 1e-12);
    assert!((flux("0.732 kg/h") / 250e3 - 1.0).abs() < 2e-3, "FX4");
    assert!((flux("0.39 m3/h") / (0.3 * 86.42e6 * 0.39 / 3600.0 / area) - 1.0).abs() < 1e-12);
}

#[test]
fn spelling_of_quantities_does_not_matter_to_the_case() {
    let metric = set(Y1, &["patch.disc={ diameter = \"203.2 mm\" }", "torch.flux.flux=0.25 MW/m2"]).unwrap();
    let shop = set(Y1, &["patch.disc={ radius = \"4 in\" }", "shop.air=68 F"]).unwrap();
    assert_eq!(metric.case, shop.case);
}

#[test]
fn the_digest_is_that_of_the_file_and_moves_with_overrides() {
    let empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
    let digest = good(Y3).question.input_sha256;
    assert!(digest.len() == 64 && digest != empty);
    assert_eq!(digest, set(Y3, &[]).unwrap().question.input_sha256);
    assert_ne!(digest, set(Y3, &["casting.start=250 C"]).unwrap().question.input_sha256);
}

#[test]
fn a_support_replaces_air_and_walls_on_its_face() {
    let case = set(Y3, &["faces.back.stands_on=steel"]).unwrap().case;
    assert_eq!(case.surfaces[5], Surface { contact_conductance: 300.0, ..surface(0.0, 0.0, 20.0) });
    assert_eq!(case.surfaces[4], surface(10.0, 0.8, 20.0));
}

#[test]
fn a_patch_over_an_edge_is_allowed_with_a_word_on_what_is_lost() {
    let scenario = set(Y1, &["patch.centre=[\"0 m\", \"middle\"]", "probes={}", "watch=[]"]).unwrap();
    assert_eq!(scenario.question.warnings.len(), 1);
    assert!(scenario.question.warnings[0].contains("50.0 % of the patch"), "{:?}", scenario.question.warnings);
}

#[test]
fn output_times_are_sorted_and_made_from_a_step() {
    let times = |change: &str| set(Y3, &[change]).unwrap().case.output_s;
    assert_eq!(times("output.times=[\"2 h\", \"1 h\", \"60 min\"]"), [3600.0, 7200.0]);
    let every = times("output={ every = \"3 h\" }");
    assert_eq!(every, [10800.0, 21600.0, 32400.0, 43200.0]);
}

#[test]
fn an_interval_by_temperature_comes_back_at_minimum_plus_guard() {
    let change = "schedule.cycles.interval={ guard = \"10 K\", at_most = \"5 min\", working_time = \"2 min\" }";
    let Scenario { case, question } = set(scenario::DEMONSTRATION, &[change]).unwrap();
    let Schedule::Cycles { interval: Interval::UntilFalls { temperature_c, at_most_s, .. }, .. } = case.schedule else {
        panic!("until it falls")
    };
    assert!((temperature_c - 158.889).abs() < 1e-3 && at_most_s == 300.0);
    assert_eq!((question.guard_k, question.working_time_s), (10.0, Some(120.0)));
}

/// Whole bays fill the casting: ribs of full thickness along the edges, half of one on each side of the lines between.
#[test]
fn ribs_leave_open_cells_under_a_wall() {
    let ribs = "casting.ribs={ wall = \"50 mm\", thickness = \"40 mm\", pitch = \"300 mm\" }";
    let case = set(Y1, &["casting.length=2.4 m", "casting.width=1.5 m", ribs]).unwrap().case;
    assert_eq!(case.hollows.boxes.len(), 8 * 5);
    let first = case.hollows.boxes[0];
    let close = |a: f64, b: f64| (a - b).abs() < 1e-12;
    assert!(first[..2].iter().all(|side| close(side[0], 0.04) && close(side[1], 0.28)), "{first:?}");
    assert!(close(first[2][0], 0.05) && close(first[2][1], 0.4));
    // The air of the shop between the ribs, and of the radiation what leaves by the openings of the cells: 0.8 behind
    // an opening a fifth of the walls is nearly black, spread over six times its area.
    let inside = case.hollows.surface;
    assert_eq!(inside.film_coefficient, 8.0);
    assert!(inside.emissivity > 0.12 && inside.emissivity < 0.18, "{}", inside.emissivity);
    let cells = (6.0 * 0.26 + 2.0 * 0.24) * (3.0 * 0.26 + 2.0 * 0.24) * 0.35;
    assert!((case.mass() / ((2.4 * 1.5 * 0.4 - cells) * 7200.0) - 1.0).abs() < 1e-12);
    assert!(close(case.thickness_under([0.15, 0.15]), 0.05) && close(case.thickness_under([0.3, 0.15]), 0.4));
}

#[test]
fn hollows_are_boxes_from_corner_to_corner() {
    let hollow = "casting.hollow=[{ from = [\"0 m\", \"0 m\", \"0.1 m\"], to = [\"0.2 m\", \"middle\", \"0.4 m\"] }]";
    let inside = "casting.inside_film_coefficient=3 W/m2K";
    let case = set(Y1, &[hollow, inside]).unwrap().case;
    assert_eq!(case.hollows.boxes, [[[0.0, 0.2], [0.0, 0.4], [0.1, 0.4]]]);
    assert_eq!(case.hollows.surface.film_coefficient, 3.0);
}

/// 25 mm of 0.1 W/mK and an outside of 8 W/m2K and 5.1 W/m2K by radiation: 1 / (0.25 + 1/13.14) (`computed`).
#[test]
fn a_blanket_leaves_a_quarter_of_the_film_and_no_radiation() {
    let blanket = "faces.x_min.blanket={ thickness = \"25 mm\", conductivity = \"0.1 W/mK\" }";
    let case = set(Y1, &[blanket]).unwrap().case;
    let covered = case.surfaces[0];
    assert!((covered.film_coefficient - 3.067).abs() < 0.005, "{}", covered.film_coefficient);
    assert_eq!(covered.emissivity, 0.0);
    assert_eq!(case.surfaces[1], surface(8.0, 0.8, 20.0));
}

/// A rib without its thickness is missing one key, and nothing else is said of it.
#[test]
fn a_missing_thickness_of_ribs_is_one_problem() {
    let problems = set(Y1, &["casting.ribs={ wall = \"50 mm\", pitch = \"300 mm\" }"]).unwrap_err();
    assert_eq!(problems.list.iter().map(|problem| problem.code).collect::<Vec<_>>(), ["E004"]);
}

#[test]
fn a_probe_inside_a_hollow_is_told_where_to_go() {
    let hollow =
        "casting.hollow=[{ from = [\"0.4 m\", \"0.3 m\", \"0.1 m\"], to = [\"0.6 m\", \"0.5 m\", \"0.2 m\"] }]";
    let probe = "probes.inside={ at = [\"0.5 m\", \"0.4 m\", \"0.15 m\"] }";
    let text = set(Y1, &[hollow, probe]).unwrap_err().to_string();
    assert!(text.contains("E020") && text.contains("inside a hollow") && text.contains("into the metal"), "{text}");
}
