//! The welding day on the command line.

use crate::shop::{Shop, code, err, json, out};

const FILL: &str = "passes={ per_heat = 2, first_after = \"10 s\", travel = \"2 mm/s\", pause = \"10 s\", \
    arc = { process = \"TIG\", volts = 12, amps = 80 }, \
    fill = { bead_length = \"20 mm\", bead_width = \"10 mm\", layers = 1 } }";
const TO_THE_END: &str = "schedule.cycles.reheats=until all beads are laid";

#[test]
fn a_groove_is_filled_to_the_last_bead_in_text_json_and_csv() {
    let shop = Shop::with_small();
    let check = |more: &[&str]| {
        let mut arguments = vec!["check", "small.toml", "--set", FILL, "--set", TO_THE_END];
        arguments.extend(more);
        shop.run(&arguments)
    };
    let full = check(&["--full", "--bead-csv", "beads.csv"]);
    assert!([0, 1, 3].contains(&code(&full)), "{}", err(&full));
    let text = out(&full);
    assert!(text.contains("all 4 beads in 2 heats") && text.contains("Bead by bead"), "{text}");
    assert!(text.contains("a metal of your own"), "{text}");
    let table = String::from_utf8(shop.read("beads.csv")).unwrap();
    assert_eq!(table.lines().count(), 5, "{table}");
    let day = &json(&check(&["--json"]))["welding"];
    assert_eq!((day["planned"].as_u64(), day["laid"].as_u64()), (Some(4), Some(4)));
    let bead = &day["beads"][3];
    assert_eq!(
        (bead["heat"].as_u64(), bead["number"].as_u64(), bead["flame_before"].as_bool()),
        (Some(2), Some(2), Some(false))
    );
    // 0.6 x 12 V x 80 A over 2 mm/s.
    assert!((bead["heat_input_j_per_m"].as_f64().unwrap() / 288e3 - 1.0).abs() < 1e-9, "{bead}");
    // A table that is there already stays as it is.
    let again = check(&["--bead-csv", "beads.csv"]);
    assert_eq!(code(&again), 2);
    assert!(err(&again).contains("beads.csv"), "{}", err(&again));
}
