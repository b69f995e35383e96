//! The text people read.

use report::{Units, full_text, text};
use study::{Aside, Limit};

use super::made_up;

#[test]
fn each_verdict_reads_as_reviewed_in_both_systems_of_units() {
    let outcomes = [
        ("holds", made_up::holds()),
        ("falls_short", made_up::falls_short()),
        ("too_close", made_up::too_close()),
        ("not_asked", made_up::not_asked()),
    ];
    for (name, outcome) in &outcomes {
        insta::assert_snapshot!(format!("{name}_metric"), text(outcome, Units::Metric));
        insta::assert_snapshot!(format!("{name}_shop"), text(outcome, Units::Shop));
        insta::assert_snapshot!(format!("{name}_full"), full_text(outcome, Units::Metric));
    }
}

#[test]
fn only_the_first_line_is_wider_than_a_hundred_columns() {
    for (name, outcome) in made_up::all() {
        for units in [Units::Metric, Units::Shop, Units::Both] {
            let text = text(&outcome, units);
            let wide = text.lines().skip(1).find(|line| line.chars().count() > 100);
            assert_eq!(wide, None, "{name}, {units:?}");
        }
    }
}

#[test]
fn the_verdict_is_the_first_line_and_the_beads_the_second() {
    let text = text(&made_up::no_bead_fits(), Units::Shop);
    let lines: Vec<&str> = text.lines().take(4).collect();
    let verdict = "Falls short: the ring is at 262 F when bead 2 of the first heat starts, \
                   38 F under the minimum of 300 F.";
    assert_eq!(lines[0], verdict);
    assert_eq!(lines[1], "No bead fits: flame before each, or heat wider.");
    assert!(lines[2].starts_with("With 10 min between flames on a "), "{}", lines[2]);
    assert!(lines[3].starts_with("Nominal only:"), "{}", lines[3]);
}

#[test]
fn a_difference_is_never_shifted_as_a_temperature_is() {
    let text = text(&made_up::holds(), Units::Both);
    assert!(text.contains("14 K (26 F) to spare"), "{text}");
}

#[test]
fn an_error_too_small_to_print_is_not_printed_as_zero() {
    let mut outcome = made_up::holds();
    (outcome.error.grid_k, outcome.error.time_k) = (0.02, 0.0004);
    outcome.error.hold_s = Some(0.01);
    outcome.crossings.iter_mut().for_each(|crossing| crossing.error_s = Some(0.003));
    for units in [Units::Metric, Units::Shop, Units::Both] {
        let text = full_text(&outcome, units);
        assert!(text.contains("error under 0.1 s") && text.contains("time steps under 0.1 "), "{text}");
        assert!(!text.contains("± 0.0") && !text.contains("± 0 s"), "{text}");
    }
}

#[test]
fn an_interrupted_run_says_so_before_any_number_of_its_tables() {
    let text = text(&made_up::no_heats(), Units::Metric);
    assert!(text.lines().nth(3).is_some_and(|line| line.starts_with("Interrupted: only the first 55.0 s")), "{text}");
}

#[test]
fn no_control_character_of_a_title_reaches_the_terminal() {
    let text = text(&made_up::hostile(), Units::Metric);
    assert!(text.chars().all(|c| c == '\n' || !c.is_control()));
}

/// An hour and two minutes of propane and oxygen.
fn burning() -> study::Consumption {
    study::Consumption {
        fuel: Some("propane".to_owned()),
        flame_s: 3720.0,
        fuel_kg: Some(2.3),
        fuel_m3: Some(1.2333),
        oxygen_m3: None,
        electricity_kwh: None,
        heat_j: 106.6e6,
        into_metal_share: Some(0.3),
        cylinder_contents_m3: None,
    }
}

fn line_of(consumption: study::Consumption, units: Units) -> String {
    let outcome = study::Outcome { consumption: Some(consumption), ..made_up::holds() };
    let short = text(&outcome, units);
    let full = full_text(&outcome, units);
    let line = |text: &str| {
        let begins = |line: &&str| line.starts_with("Gas ") || line.starts_with("Electricity ");
        let from = text.lines().skip_while(|line| !begins(line));
        let lines: Vec<&str> = from
            .enumerate()
            .take_while(|(n, line)| *n == 0 || line.starts_with("      "))
            .map(|(_, line)| line.trim())
            .collect();
        lines.join(" ")
    };
    assert_eq!(line(&short), line(&full));
    assert!(full.lines().skip(1).all(|line| line.chars().count() <= 100));
    line(&short)
}

#[test]
fn gas_is_told_by_weight_and_volume_in_the_units_asked_for() {
    assert_eq!(
        line_of(burning(), Units::Both),
        "Gas                 2.3 kg (5.07 lb) propane over 1 h 2 min of flame, 1.23 m3 (43.6 ft3); 30 % of its heat into the metal"
    );
    let acetylene = study::Consumption {
        fuel: Some("acetylene".to_owned()),
        oxygen_m3: Some(1.3566),
        cylinder_contents_m3: Some(8.633),
        ..burning()
    };
    let shop = line_of(acetylene, Units::Shop);
    assert!(
        shop.contains("43.6 ft3, with 47.9 ft3 oxygen; 30 %") && shop.ends_with("takes 305 ft3 of cylinder contents"),
        "{shop}"
    );
}

#[test]
fn electric_heat_is_told_in_kilowatt_hours() {
    let current =
        study::Consumption { fuel: None, fuel_kg: None, fuel_m3: None, electricity_kwh: Some(12.345), ..burning() };
    assert_eq!(
        line_of(current, Units::Metric),
        "Electricity         12.35 kWh over 1 h 2 min switched on; 30 % of its heat into the metal"
    );
}

#[test]
fn without_a_known_supply_nothing_is_said_of_it() {
    for text in [text(&made_up::holds(), Units::Both), full_text(&made_up::not_asked(), Units::Both)] {
        assert!(!text.contains("\nGas") && !text.contains("\nElectricity"), "{text}");
    }
}

#[test]
fn a_surface_limit_that_equals_the_interpass_maximum_keeps_its_name() {
    let mut outcome = made_up::falls_short();
    let window = outcome.window.as_mut().unwrap();
    window.surface_limit_c = Some(window.maximum_interpass_c);
    let breach = outcome.first_breach.as_mut().unwrap();
    breach.place = "surface under the flame".to_owned();
    (breach.limit, breach.limit_c, breach.temperature_c) = (Limit::Surface, 260.0, 300.0);
    let text = text(&outcome, Units::Shop);
    assert!(text.lines().next().unwrap().ends_with("over the surface limit of 500 F."), "{text}");
}

#[test]
fn a_ring_too_hot_for_a_bead_is_not_to_be_heated_more() {
    let mut outcome = made_up::no_bead_fits();
    for pass in &mut outcome.passes {
        (pass.coldest_c, pass.hottest_c, pass.inside) = (250.0, 280.0, false);
    }
    let text = text(&outcome, Units::Shop);
    assert!(text.contains("No bead fits: heat to less, or wait until it has cooled."), "{text}");
    assert!(!text.contains("heat wider"), "{text}");
}

#[test]
fn the_swing_is_held_against_a_surface_limit_only_where_there_is_one() {
    let mut outcome = made_up::holds();
    outcome.swing_k = Some(30.0);
    let joined = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(joined(text(&outcome, Units::Metric)).contains("counted against the surface limit"));
    outcome.window.as_mut().unwrap().surface_limit_c = None;
    let without = joined(text(&outcome, Units::Metric));
    assert!(without.contains("no surface limit is given to hold it against"), "{without}");
}

#[test]
fn what_is_on_beside_the_torch_is_told_with_the_hold_that_includes_it() {
    let mut outcome = made_up::holds();
    outcome.beside = vec![
        Aside {
            what: "heater",
            face: "worked face",
            when: "in intervals",
            flux_w_per_m2: Some(9e3),
            film_coefficient_w_per_m2k: None,
            emissivity: None,
            thermostat_c: Some(150.0),
            in_hold: true,
        },
        Aside {
            what: "cover",
            face: "back",
            when: "after work",
            flux_w_per_m2: None,
            film_coefficient_w_per_m2k: Some(2.0),
            emissivity: Some(0.3),
            thermostat_c: None,
            in_hold: false,
        },
    ];
    let told = text(&outcome, Units::Metric).split_whitespace().collect::<Vec<_>>().join(" ");
    let line = "Beside the torch heater of 9.0 kW/m2 on the worked face, in intervals, turned down at 150 C; cover (film \
                2.00 W/m2K, emissivity 0.30) on the back, after work; the hold includes what is on between flames";
    assert!(told.contains(line), "{told}");
}

#[test]
fn one_bead_is_not_all_beads() {
    let mut outcome = made_up::holds();
    (outcome.beads_per_heat, outcome.planned_per_heat) = (Some(1), Some(1));
    assert!(text(&outcome, Units::Metric).contains("The one planned bead fits in each heat."));
}
