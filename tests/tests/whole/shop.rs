//! What the shop does to a casting: with everything switched on at once, and each thing alone.

use warmhold::scenario::{Override, read};
use warmhold::study::check;
use warmhold::{Outcome, Verdict};

/// A ribbed casting in moving air, a blanket on one side, oxy-fuel, beads, property tables.
const EVERYTHING: &str = include_str!("../../scenarios/everything_on.toml");

/// On coarse grids: what is asked for here holds on any.
fn outcome(changes: &[&str]) -> Outcome {
    let coarse = ["accuracy.cells_across=4", "accuracy.step_error=2 K"];
    let all = coarse.iter().chain(changes);
    let changes: Vec<Override> = all.map(|change| Override::parse(change).expect("an override")).collect();
    let scenario = read(EVERYTHING, "everything_on.toml", &changes).unwrap_or_else(|problems| panic!("{problems}"));
    check(&scenario.case, &scenario.question, &|_| true).expect("the case must march")
}

fn held_s(outcome: &Outcome) -> f64 {
    outcome.hold_s.expect("the ring falls below the minimum")
}

#[test]
fn with_everything_on_the_heat_is_accounted_for() {
    let outcome = outcome(&[]);
    let ledger = &outcome.ledger;
    assert!(ledger.residual_j.abs() <= 1e-9 * (ledger.torch_j + ledger.arc_j), "{ledger:?}");
    assert!(ledger.arc_j > 0.0 && ledger.convection_j > 0.0 && ledger.radiation_j > 0.0 && ledger.contact_j > 0.0);
    assert_ne!(outcome.verdict, Verdict::NotAsked);
    let used = outcome.consumption.as_ref().expect("a fuel burns");
    let share = used.into_metal_share.expect("a flame burns");
    assert!((share * used.heat_j / ledger.torch_j - 1.0).abs() < 1e-9, "{used:?} {ledger:?}");
}

/// None of them matters much to a hold of seconds (N4), and each moves it the way it must, by more than rounding.
#[test]
fn draft_shortens_a_hold_and_so_does_a_bare_skin_that_radiates() {
    let own = held_s(&outcome(&[]));
    let draft = held_s(&outcome(&["shop.draft=4 m/s"]));
    let bright = held_s(&outcome(&["faces.condition=bright chrome"]));
    println!("{own:.3} s; in a strong draft {draft:.3} s; bright {bright:.3} s");
    assert!(draft < own - 1e-3 && bright > own + 1e-3);
}

#[test]
fn twice_the_gas_brings_twice_the_heat() {
    let [once, twice] = ["1.5 kg/h", "3 kg/h"].map(|rate| {
        let rate = format!("torch.fuel.rate={rate}");
        outcome(&[&rate, "schedule.cycles.heat_up={ for = \"5 min\" }", "schedule.cycles.reheats=0"]).ledger.torch_j
    });
    assert!((twice / once - 2.0).abs() < 1e-9, "{once} {twice}");
}

#[test]
fn a_blanket_keeps_a_casting_warm() {
    let stored = |thickness: &str| {
        let blanket = format!("faces.x_min.blanket={{ thickness = \"{thickness}\", conductivity = \"0.1 W/mK\" }}");
        outcome(&[&blanket, "casting.start=150 C"]).ledger.stored_j
    };
    let (thin, thick) = (stored("5 mm"), stored("50 mm"));
    assert!(thick > thin + 1e3, "{thin} {thick}");
}
