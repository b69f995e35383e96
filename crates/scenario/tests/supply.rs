//! What the torch uses: from the file to the outcome.

use heat::TorchKind;
use proptest::prelude::*;
use scenario::{Override, Scenario, read};
use study::{Consumption, Lever, Outcome, Supply};

/// A small iron block without losses, a hundred seconds of flame, solved in a moment.
const SMALL: &str = r#"
casting = { length = "200 mm", width = "200 mm", depth = "80 mm", metal = "grey iron 250", start = "20 C" }
shop = { air = "20 C" }
faces = { adiabatic = true }
patch = { disc = { radius = "60 mm" } }
torch = { fuel = { gas = "propane", rate = "0.5 kg/h", share = "30 %" } }
schedule = { spans = { on = [["0 s", "60 s"], ["80 s", "120 s"]], end = "140 s" } }
accuracy = { cells_across = 4 }
"#;

fn small(torch: &str) -> Scenario {
    let change = Override::parse(&format!("torch={torch}")).unwrap();
    read(SMALL, "small.toml", &[change]).unwrap_or_else(|problems| panic!("{problems}"))
}

fn solved(torch: &str) -> (Outcome, Consumption) {
    let Scenario { case, question } = small(torch);
    let outcome = study::check(&case, &question, &|_| true).unwrap();
    let used = outcome.consumption.clone().unwrap();
    (outcome, used)
}

fn close(got: f64, expected: f64, share: f64) {
    assert!((got / expected - 1.0).abs() < share, "{got} for {expected}");
}

#[test]
fn gas_is_counted_over_every_flame_and_its_share_is_what_the_ledger_booked() {
    let (outcome, used) = solved("{ fuel = { gas = \"propane\", rate = \"0.5 kg/h\", share = \"30 %\" } }");
    close(used.flame_s, 100.0, 1e-12);
    close(used.fuel_kg.unwrap(), 0.5 / 36.0, 1e-12);
    close(used.fuel_m3.unwrap(), 0.5 / 36.0 / 1.8649, 1e-12);
    close(used.heat_j, 46.34e6 * 0.5 / 36.0, 1e-12);
    close(used.into_metal_share.unwrap() * used.heat_j, outcome.ledger.torch_j, 1e-12);
    // The disc lies whole on the block, which gets all that the share promises.
    close(used.into_metal_share.unwrap(), 0.3, 1e-9);
    assert_eq!((used.fuel.as_deref(), used.oxygen_m3, used.electricity_kwh), (Some("propane"), None, None));
    assert_eq!(used.cylinder_contents_m3, None);
}

#[test]
fn a_patch_over_an_edge_wastes_what_misses_the_casting() {
    let changes = ["patch.centre=[\"0 m\", \"middle\"]"].map(|change| Override::parse(change).unwrap());
    let Scenario { case, question } = read(SMALL, "small.toml", &changes).unwrap();
    let used = study::check(&case, &question, &|_| true).unwrap().consumption.unwrap();
    close(used.into_metal_share.unwrap(), 0.15, 1e-9);
}

#[test]
fn oxygen_comes_from_cylinders_only_where_it_is_said() {
    for (gas, ratio) in [("acetylene", 1.1), ("propane", 4.0), ("propylene", 4.5), ("methane", 2.0)] {
        let torch = format!("{{ fuel = {{ gas = \"{gas}\", rate = \"1 m3/h\", oxidant = \"oxygen\" }} }}");
        let Some(Supply::Gas(supply)) = small(&torch).question.supply else { panic!("{gas}") };
        assert_eq!(supply.oxygen_ratio, Some(ratio), "{gas}");
        let air = torch.replace("oxygen", "air");
        let Some(Supply::Gas(supply)) = small(&air).question.supply else { panic!("{gas}") };
        assert_eq!(supply.oxygen_ratio, None, "{gas}");
    }
}

#[test]
fn acetylene_asks_for_seven_hours_of_contents_and_ten_when_cold() {
    let contents = |more: &str| {
        let torch = format!("{{ fuel = {{ gas = \"acetylene\", rate = \"1.2 m3/h\"{more} }} }}");
        solved(&torch).1.cylinder_contents_m3.unwrap()
    };
    close(contents(""), 8.4, 1e-12);
    close(contents(", cylinders = 2, cylinder_contents = \"6 m3\", cylinders_cold = true"), 12.0, 1e-12);
}

#[test]
fn cylinders_that_just_suffice_are_not_warned_of() {
    let warnings = |rate: &str, contents: &str| {
        let torch = format!(
            "{{ fuel = {{ gas = \"acetylene\", rate = \"{rate}\", cylinders = 2, cylinder_contents = \"{contents}\" }} }}"
        );
        small(&torch).question.warnings.len()
    };
    assert_eq!(warnings("2 m3/h", "7 m3"), 0);
    assert_eq!(warnings("2.001 m3/h", "7 m3"), 1);
    assert_eq!(warnings("70.63 ft3/h", "247.3 ft3"), 0);
    assert_eq!(warnings("70.63 ft3/h", "247.1 ft3"), 1);
}

#[test]
fn electric_heat_is_a_flux_of_its_power_and_counts_kilowatt_hours() {
    let torch = "{ electric = { power_density = \"5 W/cm2\", share = \"80 %\", share_range = [\"60 %\", \"90 %\"] } }";
    let Scenario { case, question } = small(torch);
    assert_eq!(case.torches[0].kind, TorchKind::Flux { flux: 40e3 });
    let range = question.ranges.iter().find(|range| range.lever == Lever::TorchStrength).unwrap();
    close(range.low, 0.75, 1e-12);
    let (_, used) = solved(torch);
    let area = std::f64::consts::PI * 0.06 * 0.06;
    close(used.electricity_kwh.unwrap(), 5e4 * area * 100.0 / 3.6e6, 1e-12);
    close(used.into_metal_share.unwrap(), 0.8, 1e-9);
    assert_eq!((used.fuel, used.fuel_kg, used.oxygen_m3), (None, None, None));
}

#[test]
fn without_a_share_all_of_the_power_goes_in() {
    let Scenario { case, question } = small("{ electric = { power_density = \"5 W/cm2\" } }");
    assert_eq!(case.torches[0].kind, TorchKind::Flux { flux: 50e3 });
    assert!(question.ranges.iter().all(|range| range.lever != Lever::TorchStrength));
}

#[test]
fn a_torch_of_known_flux_has_no_supply() {
    assert_eq!(small("{ flux = { flux = \"50 kW/m2\" } }").question.supply, None);
}

#[test]
fn metal_beyond_its_last_tempering_heat_is_named() {
    let warnings = |last_temper: &str| {
        let change = Override::parse(&format!("casting.last_temper={last_temper}")).unwrap();
        let Scenario { case, question } = read(SMALL, "small.toml", &[change]).unwrap();
        study::check(&case, &question, &|_| true).unwrap().warnings
    };
    let hot = warnings("60 C");
    assert!(hot.len() == 1 && hot[0].contains("last tempering heat of 60 C"), "{hot:?}");
    assert_eq!(warnings("600 C"), Vec::<String>::new());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, ..ProptestConfig::default() })]

    #[test]
    fn twice_the_gas_is_twice_the_joules(rate in 0.05..2.0_f64, gas in prop::sample::select(vec!["acetylene", "propane"])) {
        let at = |rate: f64| {
            solved(&format!("{{ fuel = {{ gas = \"{gas}\", rate = \"{rate} m3/h\", oxidant = \"oxygen\" }} }}"))
        };
        let ((once, one), (twice, two)) = (at(rate), at(2.0 * rate));
        let same = |once: f64, twice: f64| (twice / (2.0 * once) - 1.0).abs() < 1e-9;
        prop_assert!(same(once.ledger.torch_j, twice.ledger.torch_j) && same(once.ledger.stored_j, twice.ledger.stored_j));
        prop_assert!(same(one.heat_j, two.heat_j) && same(one.fuel_kg.unwrap(), two.fuel_kg.unwrap()));
        prop_assert!(same(one.oxygen_m3.unwrap(), two.oxygen_m3.unwrap()));
    }
}
