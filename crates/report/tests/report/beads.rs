//! The welding day in text and CSV.

use report::{Units, beads_csv, full_text, text};
use study::{ArcEffect, Bead, Outcome, RingFacts, Welding};

use super::made_up;

fn bead(number: usize) -> Bead {
    let start_s = 1000.0 + 300.0 * number as f64;
    Bead {
        bead: number + 1,
        heat: number / 2 + 1,
        number: number % 2 + 1,
        flame_before: number.is_multiple_of(2),
        layer: Some(number / 4 + 1),
        again: number == 9,
        at_m: [1.215, 0.745],
        start_s,
        end_s: start_s + 15.0,
        waited_s: 0.0,
        coldest_c: Some(171.0),
        mean_c: Some(190.0),
        hottest_c: Some(220.0),
        inside: Some(number.is_multiple_of(2)),
        heat_j: 34_560.0,
        heat_input_j_per_m: Some(1.152e6),
        cooling_s: Some(9.3),
        thick_plate: Some(true),
    }
}

/// Ten beads in five heats, the last one again.
fn day() -> Outcome {
    let mut outcome = made_up::falls_short();
    outcome.welding = Some(Welding {
        beads: (0..10).map(bead).collect(),
        planned: Some(10),
        laid: 10,
        total_s: 3960.0,
        flame_s: 1800.0,
        arc_s: 150.0,
        waited_s: 0.0,
        too_hot: 0,
        arc_effect: Some(ArcEffect { beads_per_heat_with: 1, beads_per_heat_without: 1, coldest_gain_k: 0.8 }),
        cooling: "Cooling times are those of a bead on plate.".to_owned(),
        assumed: vec!["arc time 20 s (D7, `practice`)".to_owned()],
    });
    outcome.ring = Some(RingFacts {
        width_m: 0.075,
        depth_m: 0.006,
        rule: "stated".to_owned(),
        iso_13916_m: 0.075,
        thickness_m: 0.4064,
        smallest_heated_m: Some([0.22, 0.22]),
        smallest_by: "closed form".to_owned(),
    });
    outcome
}

#[test]
fn the_day_is_one_line_of_the_text_and_a_table_of_the_full_text() {
    let outcome = day();
    let (short, full) = (text(&outcome, Units::Both), full_text(&outcome, Units::Both));
    let line = "Welding day         all 10 beads, 1 of them again after grinding, in 3 heats over 1 h 6 min";
    assert!(short.contains(line) && full.contains(line), "{short}");
    assert!(short.contains("adds 0.8 K (1.4 F) to the coldest of the ring"), "{short}");
    assert!(!short.contains("Bead by bead") && full.contains("Bead by bead, ring as each starts, C (F)"), "{full}");
    let rows = full.lines().skip_while(|line| !line.starts_with("Bead by bead")).skip(3).take_while(|l| !l.is_empty());
    assert_eq!(rows.clone().count(), 10, "{full}");
    for words in ["1.15 (29)", "9.3 s", "171 (340)", "1215, 745", "OUT", "before"] {
        assert!(rows.clone().any(|row| row.contains(words)), "{words}: {full}");
    }
    assert!(rows.clone().last().is_some_and(|row| row.starts_with("10 again")), "{full}");
    for words in ["16 in", "406 mm", "220 mm", "arc time 20 s"] {
        assert!(full.contains(words), "{words}: {full}");
    }
    for units in [Units::Metric, Units::Shop, Units::Both] {
        let wide =
            full_text(&outcome, units).lines().skip(1).find(|line| line.chars().count() > 100).map(str::to_owned);
        assert_eq!(wide, None, "{units:?}");
    }
}

#[test]
fn what_the_heat_of_the_arc_does_is_said_in_each_case() {
    let said = |with: usize, planned: usize, without: usize, gain_k: f64| {
        let mut outcome = day();
        (outcome.beads_per_heat, outcome.planned_per_heat) = (Some(1), Some(planned));
        let effect = ArcEffect { beads_per_heat_with: with, beads_per_heat_without: without, coldest_gain_k: gain_k };
        outcome.welding.as_mut().unwrap().arc_effect = Some(effect);
        let text = text(&outcome, Units::Metric);
        let from = text.find("Arc heat").unwrap();
        text[from..].lines().take(2).map(str::trim).collect::<Vec<_>>().join(" ")
    };
    assert!(said(3, 4, 1, 20.0).contains("3 beads a heat in place of 1, both on one coarser grid"));
    assert!(!said(1, 4, 0, 20.0).contains("coarser grid"));
    assert!(said(2, 2, 2, 3.0).contains("2 beads a heat without it too, as planned"));
    assert!(said(1, 2, 1, 0.2).contains("not enough for one more: 1 bead a heat"));
    assert!(said(1, 2, 2, 9.0).contains("1 bead a heat, and 2 without it"));
    assert!(said(1, 2, 1, -0.3).contains("takes 0.3 K from the coldest"));
    assert!(said(1, 2, 1, 0.01).contains("hardly moves the coldest"));
}

#[test]
fn columns_with_nothing_to_say_are_left_out() {
    let mut outcome = day();
    for bead in &mut outcome.welding.as_mut().unwrap().beads {
        (bead.cooling_s, bead.heat_input_j_per_m) = (None, None);
    }
    let full = full_text(&outcome, Units::Metric);
    let header = full.lines().skip_while(|line| !line.starts_with("Bead by bead")).nth(1).unwrap();
    assert_eq!(
        header.split_whitespace().collect::<Vec<_>>().join(" "),
        "bead heat flame start x, y, mm coldest hottest window"
    );
}

#[test]
fn the_table_of_beads_has_a_row_for_each_in_si_units() {
    let table = beads_csv(&day());
    let lines: Vec<&str> = table.lines().collect();
    assert_eq!(lines.len(), 11);
    assert!(lines[0].starts_with("bead,heat,number,flame_before,layer,again,x_m,y_m,start_s"));
    assert_eq!(lines[10], "10,5,2,false,3,true,1.215,0.745,3700,3715,0,171,190,220,false,34560,1152000,9.3,true");
    assert_eq!(beads_csv(&made_up::holds()).lines().count(), 1);
}
