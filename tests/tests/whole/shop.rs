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
    assert!(ledger.residual_j.abs() <= 1e-9 * (ledger.torch_j + ledger.heaters_j + ledger.arc_j), "{ledger:?}");
    assert!(ledger.heaters_j > 0.0 && outcome.swing_k.is_some_and(|swing| swing > 1.0), "{ledger:?}");
    assert!(ledger.arc_j > 0.0 && ledger.convection_j > 0.0 && ledger.radiation_j > 0.0 && ledger.contact_j > 0.0);
    assert_ne!(outcome.verdict, Verdict::NotAsked);
    let used = outcome.consumption.as_ref().expect("a fuel burns");
    let share = used.into_metal_share.expect("a flame burns");
    // Of the torch's own heat; the gas counted has that of the soft flame in it.
    assert!((share - 0.3).abs() < 1e-9 && share * used.heat_j > 1.01 * ledger.torch_j, "{used:?} {ledger:?}");
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

/// A soft flame kept on is the lever that lengthens a hold most, and heat from behind is one that hardly does.
#[test]
fn a_soft_flame_kept_on_lengthens_the_hold() {
    let none = held_s(&outcome(&["heater=[]"]));
    let soft = |share: &str| {
        let heater = format!("heater=[{{ when = \"in intervals\", strength = \"{share}\" }}]");
        outcome(&[&heater]).hold_s.unwrap_or(f64::INFINITY)
    };
    let (weak, strong) = (soft("5 %"), soft("15 %"));
    println!("{none:.1} s, {weak:.1} s, {strong:.1} s");
    assert!(weak > none + 1.0 && strong > weak + 1.0);
}

/// A hold that other heat keeps up for ever was followed for a day, in steps of a thermostat: it seemed to hang.
#[test]
fn a_hold_that_a_thermostat_keeps_up_ends_with_the_work() {
    let heater = "heater=[{ flux = \"60 kW/m2\", when = \"in intervals\", thermostat = { set = \"180 C\", reads = \"ring_coldest\" } }]";
    let outcome = outcome(&[heater, "cover=[]", "schedule.cycles.reheats=0"]);
    assert_eq!(outcome.hold_s, None);
    assert!(outcome.stats.steps < 3000, "{:?}", outcome.stats);
}

/// The gas of a soft flame was not counted, and the torch's range moved heat that is not the torch's.
#[test]
fn a_soft_flame_uses_gas_and_pads_do_not() {
    let used = |heater: &str| {
        let all = ["cover=[]", "schedule.cycles.reheats=0", "schedule.cycles.heat_up={ for = \"5 min\" }", heater];
        outcome(&all).consumption.expect("a fuel burns").fuel_kg.expect("gas")
    };
    let none = used("heater=[]");
    let soft = used("heater=[{ when = \"in intervals\", strength = \"50 %\" }]");
    let pads = used("heater=[{ when = \"in intervals\", flux = \"20 kW/m2\" }]");
    // Five minutes of flame, and half of it for the interval of 150 s.
    assert!((soft / none - (300.0 + 75.0) / 300.0).abs() < 1e-6, "{soft} {none}");
    assert_eq!(pads, none);
    let ends = |outcome: &Outcome| {
        let torch =
            outcome.inputs.iter().find(|input| input.input.starts_with("heat of the torch")).expect("its range");
        (torch.margin_high_k - torch.margin_low_k).abs()
    };
    let soft = outcome(&[
        "heater=[{ when = \"always\", strength = \"50 %\" }]",
        "schedule.cycles.heat_up={ for = \"5 min\" }",
    ]);
    let pads = outcome(&[
        "heater=[{ when = \"always\", flux = \"60 kW/m2\" }]",
        "schedule.cycles.heat_up={ for = \"5 min\" }",
    ]);
    assert!(ends(&soft) > 1.3 * ends(&pads), "{} {}", ends(&soft), ends(&pads));
}

/// Burns: the line in figures is an upper bound of what the engine finds when the casting is left to cool.
#[test]
fn no_metal_is_too_hot_to_touch_beyond_what_the_caution_says() {
    let plate = "casting={ length = \"1.2 m\", width = \"0.9 m\", depth = \"300 mm\", metal = \"grey iron 250\", start = \"20 C\" }";
    let probes = "probes={ a = { from_patch_centre = [\"0.15 m\", \"0 m\", \"0 m\"] }, b = { from_patch_centre = [\"0.3 m\", \"0 m\", \"0 m\"] }, \
                  c = { from_patch_centre = [\"0 m\", \"0 m\", \"0 m\"] } }";
    let changes = [
        plate,
        probes,
        "heater=[]",
        "cover=[]",
        "passes.power=1 W",
        "schedule.cycles.after=12 h",
        "output={ every = \"2 min\", until = \"12 h\" }",
    ];
    let outcome = outcome(&changes);
    let line = outcome.cautions.iter().find(|line| line.starts_with("Burns in figures")).expect("a line on burns");
    let number = |before: &str| -> f64 {
        let words: Vec<&str> = line.split_whitespace().collect();
        let at = words.iter().position(|word| *word == before).expect("its unit");
        words[at - 1].parse().expect("a number")
    };
    println!("{line}");
    let gone_s = if line.contains(" h after") { 3600.0 * number("h") } else { 60.0 * number("min") };
    let reach_m = number("m");
    let hot = |probe: &str, after_s: f64| {
        let series = &outcome.probes[probe];
        series.time_s.iter().zip(&series.temperature_c).any(|(time, t)| *time > after_s && *t > 48.0)
    };
    let off_s = outcome.heats.last().expect("a flame").end_s;
    assert!(!hot("c", off_s + gone_s), "{line}");
    // Not idle: it is hot nearby, and hot for a good part of that time.
    assert!(hot("a", 0.0) && hot("c", off_s + 0.2 * gone_s), "{line}");
    assert!(reach_m > 0.3 || !hot("b", 0.0), "{line}");
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
