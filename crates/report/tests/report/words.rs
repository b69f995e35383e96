//! The text people read.

use report::{Units, full_text, text};

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
