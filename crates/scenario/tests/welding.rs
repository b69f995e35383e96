//! `[passes]` and `[ring]` read to the numbers that they stand for.

use heat::{Halt, Pass, Passes, Schedule, Shape};
use scenario::{DEMONSTRATION, Override, Problems, Scenario, read};
use study::{RingRule, Steel};

fn set(changes: &[&str]) -> Result<Scenario, Problems> {
    let changes: Vec<Override> = changes.iter().map(|change| Override::parse(change).unwrap()).collect();
    read(DEMONSTRATION, "demonstration.toml", &changes)
}

/// The demonstration with a `[passes]` of its own and room for many of them.
fn welded(passes: &str, more: &[&str]) -> Scenario {
    let passes = format!("passes={{ per_heat = 2, first_after = \"20 s\", {passes} }}");
    let mut changes = vec![passes.as_str(), "schedule.cycles.interval=30 min"];
    changes.extend(more);
    set(&changes).unwrap_or_else(|problems| panic!("{problems}"))
}

fn passes(scenario: &Scenario) -> &Passes {
    scenario.case.passes.as_ref().unwrap()
}

const FILL: &str = "fill = { bead_length = \"30 mm\", bead_width = \"10 mm\", layers = 6 }";
const ARC: &str = "arc = { process = \"MMA\", volts = 24, amps = 120 }";

#[test]
fn an_arc_by_process_is_volts_times_amperes_times_its_efficiency() {
    let power = |arc: &str| {
        let scenario = welded(&format!("arc_time = \"20 s\", pause = \"60 s\", arc = {{ {arc} }}"), &[]);
        passes(&scenario).list[0].power
    };
    let close = |got: f64, expected: f64| assert!((got / expected - 1.0).abs() < 1e-12, "{got} {expected}");
    close(power("process = \"111\", volts = 24, amps = 120"), 2304.0);
    close(power("process = \"tig\", volts = 12, amps = 120"), 864.0);
    close(power("process = \"SAW\", volts = 30, amps = 400"), 12000.0);
    close(power("process = \"TIG\", volts = 12, amps = 120, efficiency = \"50 %\""), 720.0);
    let ranged =
        welded(&format!("arc_time = \"20 s\", pause = \"60 s\", {ARC}, power_range = [\"-20 %\", \"+20 %\"]"), &[]);
    let range = ranged.question.ranges.last().unwrap();
    assert!((range.low - 0.8).abs() < 1e-12 && range.lever == study::Lever::ArcPower);
}

#[test]
fn a_filled_groove_has_its_beads_with_the_time_of_their_travel() {
    let scenario = welded(
        &format!(
            "travel = \"2 mm/s\", pause = {{ peen = \"20 s\", brush = \"10 s\", inspect = \"15 s\" }}, {ARC}, {FILL}"
        ),
        &["schedule.cycles.reheats=until all beads are laid"],
    );
    let laid = passes(&scenario);
    assert_eq!((laid.list.len(), laid.once, laid.per_heat), (24, true, 2));
    assert!(matches!(scenario.case.schedule, Schedule::Cycles { reheats: 24, .. }));
    assert!(laid.list.iter().all(|pass| (pass.arc_s - 15.0).abs() < 1e-9 && pass.pause_s == 45.0));
    let place = |x: [f64; 2], y: [f64; 2]| Shape::Rectangle { x, y };
    assert_eq!(laid.list[0].place, place([1.17, 1.2], [0.74, 0.75]));
    assert_eq!(laid.list[1].place, place([1.2, 1.23], [0.74, 0.75]));
    assert_eq!(laid.list[2].place, place([1.17, 1.2], [0.75, 0.76]));
    let layers: Vec<_> = scenario.question.weld.beads.iter().map(|bead| bead.layer.unwrap()).collect();
    assert_eq!(layers[3..5], [1, 2]);
    assert!(scenario.question.weld.beads.iter().all(|bead| (bead.length_m.unwrap() - 0.03).abs() < 1e-12));
    assert_eq!(scenario.question.weld.steel, Steel::No("cast iron".to_owned()));
}

#[test]
fn layers_come_from_their_height_where_that_is_given() {
    let fill = "fill = { bead_length = \"30 mm\", bead_width = \"10 mm\", layer_height = \"1.6 mm\" }";
    let scenario = welded(&format!("arc_time = \"20 s\", pause = \"60 s\", {ARC}, {fill}"), &[]);
    // 6 mm of groove.
    assert_eq!(passes(&scenario).list.len(), 4 * 4);
}

#[test]
fn grinding_stops_after_its_bead_and_welds_the_last_ones_again() {
    let grind = "grind = { after_bead = 6, takes = \"4 min\", beads = 2 }";
    let scenario = welded(&format!("arc_time = \"20 s\", pause = \"60 s\", {ARC}, {FILL}, {grind}"), &[]);
    let laid = passes(&scenario);
    assert_eq!(laid.list.len(), 26);
    assert_eq!(laid.list[4..6], laid.list[6..8]);
    assert_eq!(laid.halts, [Halt { after: 5, seconds: 240.0 }]);
    let again = scenario.question.weld.beads.iter().enumerate().filter(|(_, bead)| bead.again);
    assert_eq!(again.map(|(number, _)| number).collect::<Vec<_>>(), [6, 7]);
}

#[test]
fn a_preset_gives_what_is_not_stated_and_says_so() {
    let usual = |more: &[&str]| {
        let mut changes = vec!["passes={ preset = \"plated die\" }", "schedule.cycles.interval=10 min"];
        changes.extend(more);
        set(&changes).unwrap_or_else(|problems| panic!("{problems}"))
    };
    let scenario = usual(&[]);
    let Passes { list, per_heat, .. } = passes(&scenario);
    // 60 mm of at most 50 mm beads, 20 mm of at most 10 mm, five layers.
    assert_eq!((list.len(), *per_heat), (20, 2));
    let Pass { power, arc_s, pause_s, .. } = list[0];
    assert!((power - 2304.0).abs() < 1e-9 && arc_s == 20.0 && pause_s == 60.0);
    let assumed = &scenario.question.weld.assumed;
    assert_eq!(assumed.len(), 12, "{assumed:#?}");
    let told = |words: &str| assumed.iter().filter(|line| line.contains(words)).count();
    assert_eq!(
        (told("D7, `practice`"), told("assumed"), told("layers 5 (D13, `practice`)")),
        (5, 2, 1),
        "{assumed:#?}"
    );

    let own = usual(&["passes.fill.layers=2", "passes.power=2 kW", "passes.pause.peen=30 s", "passes.travel=3 mm/s"]);
    let Pass { power, arc_s, pause_s, .. } = passes(&own).list[0];
    assert!(power == 2000.0 && (arc_s - 10.0).abs() < 1e-9 && pause_s == 70.0 && passes(&own).list.len() == 8);
    // Layers, the three of the arc, peening and the arc time are stated now.
    assert_eq!(own.question.weld.assumed.len(), 6, "{:#?}", own.question.weld.assumed);
}

#[test]
fn a_wait_for_the_maximum_reads_the_hottest_of_the_ring() {
    let wait = "arc_time = \"20 s\", pause = \"60 s\", power = \"2 kW\", wait_until_below_maximum = \"10 min\"";
    let scenario = welded(wait, &[]);
    let cool_to = passes(&scenario).cool_to.unwrap();
    assert_eq!(scenario.case.probes[cool_to.probe].name, "ring_hottest");
    assert_eq!((cool_to.temperature_c, cool_to.at_most_s), (260.0, 600.0));
}

/// The probe under 25 mm, where there is metal in a thin casting.
const SHALLOW: &str = "probes.under_25={ from_patch_centre = [\"0 mm\", \"0 mm\", \"5 mm\"] }";

#[test]
fn the_ring_follows_its_rule() {
    let ring = |changes: &[&str]| {
        let scenario = set(changes).unwrap_or_else(|problems| panic!("{problems}"));
        (scenario.question.ring.unwrap().0.width, scenario.question.ring_rule)
    };
    assert_eq!(ring(&[]), (0.075, RingRule::Stated));
    assert_eq!(ring(&["ring={ depth = \"6 mm\" }"]), (0.075, RingRule::Usual));
    assert_eq!(ring(&["ring={ rule = \"iso 13916\" }"]), (0.075, RingRule::Iso13916));
    assert_eq!(ring(&["ring={ rule = \"ISO 13916\" }", "casting.depth=11 mm", SHALLOW]), (0.044, RingRule::Iso13916));
    assert_eq!(ring(&["ring={ rule = \"thickness\" }", "casting.depth=90 mm", SHALLOW]), (0.09, RingRule::Thickness));
    // The thickness under the groove, not that of the block.
    let pocket = "casting.hollow=[{ from = [\"0 m\", \"0 m\", \"40 mm\"], to = [\"2.4 m\", \"1.4 m\", \"0.3 m\"] }]";
    let hollow = ["ring={ rule = \"ISO 13916\" }", pocket, "casting.inside_film_coefficient=5 W/m2K"];
    assert_eq!(ring(&hollow), (0.05, RingRule::Iso13916));
}

#[test]
fn cooling_times_are_for_low_alloy_steel_alone() {
    let steel = |metal: &str| set(&[&format!("casting.metal={metal}")]).unwrap().question.weld.steel;
    assert_eq!(steel("cast steel"), Steel::LowAlloy);
    assert_eq!(steel("H13"), Steel::No("tool steel".to_owned()));
    assert_eq!(steel("ductile iron ferritic"), Steel::No("cast iron".to_owned()));
}

#[test]
fn reheats_until_all_is_laid_need_beads_and_a_wait_needs_a_window() {
    let spoil = |from: &str, to: &str| DEMONSTRATION.replacen(from, to, 1);
    let cut = |text: &str, from: &str, to: &str| {
        let (head, rest) = text.split_once(from).unwrap();
        format!("{head}{to}{}", rest.split_once(to).unwrap().1)
    };
    let no_passes = cut(&spoil("reheats = 4", "reheats = \"until all beads are laid\""), "[passes]", "[probes]");
    let problems = read(&no_passes, "no_passes.toml", &[]).unwrap_err();
    assert!(problems.to_string().contains("the reheats go on until its beads are laid"), "{problems}");
    let no_window =
        cut(&spoil("per_heat = 2", "per_heat = 2\nwait_until_below_maximum = \"5 min\""), "[window]", "[torch.fuel]");
    let problems = read(&no_window, "no_window.toml", &[]).unwrap_err();
    assert!(problems.to_string().contains("beads are to wait for its maximum"), "{problems}");
}
