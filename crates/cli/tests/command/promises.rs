//! What a line of `rules` promises, put back into `check` and `spread` as a casting of its own.

use std::sync::LazyLock;

use serde_json::Value;

use crate::shop::{Shop, code, err, json, number};

/// Blocks, and bodies of revolution; small castings that warm up over the reheats, and large ones.
static TABLE: LazyLock<Value> =
    LazyLock::new(|| table(&["0.2 t, 2.5 t", "75 mm, 200 mm", "320 mm, 430 mm", "15 min"], &[]));

fn table([masses, sections, widths, soaks]: &[&str; 4], more: &[&str]) -> Value {
    let lists = ["--masses", masses, "--sections", sections, "--widths", widths, "--soaks", soaks];
    json(&Shop::new().run(&[&["rules", "--json"], &lists[..], more].concat()))
}

/// Density of the demonstration's metal, kg/m3; [`scenario`] would give another mass with any other.
const DENSITY: f64 = 7200.0;

fn possible() -> Vec<&'static Value> {
    let rules = TABLE["rules"].as_array().unwrap();
    rules.iter().filter(|rule| rule["why_not"].is_null()).collect()
}

/// The demonstration with the casting, the torch and the schedule of a line, as `--set` takes them: heated by the reading,
/// first and again, with the torch of the line and the ten per cent either way that its bands cover.
fn scenario(rule: &Value) -> Vec<String> {
    let (section, net_power_w) = (number(&rule["section_m"]), number(&rule["net_power_w"]));
    let face = number(&rule["mass_kg"]) / (DENSITY * section);
    let rate = 2.2 * net_power_w / number(&TABLE["head"]["torch_w"]);
    let at_most = 8.0 * number(&rule["soak_s"]);
    let flame = format!("{{ until = \"ring_coldest\", reads = \"400 F\", at_most = \"{at_most} s\" }}");
    [
        format!("casting.length={} m", (1.6 * face).sqrt()),
        format!("casting.width={} m", (face / 1.6).sqrt()),
        format!("casting.depth={section} m"),
        format!("patch.disc.diameter={} m", number(&rule["width_m"])),
        format!("torch.fuel.rate={rate} kg/h"),
        "torch.fuel.share_range=[\"27 %\", \"33 %\"]".to_owned(),
        format!("schedule.cycles.heat_up={flame}"),
        format!("schedule.cycles.reheat={flame}"),
        format!("schedule.cycles.interval={} s", rule["interval_s"]),
        format!("passes.per_heat={}", rule["beads"]),
    ]
    .into_iter()
    .flat_map(|set| ["--set".to_owned(), set])
    .collect()
}

/// Asks of the scenario of a line; what the command says comes last and counts.
fn ask(command: &[&str], rule: &Value) -> Value {
    let sets = scenario(rule);
    let sets: Vec<&str> = sets.iter().map(String::as_str).collect();
    let arguments = [&command[..1], &sets, &command[1..]].concat();
    let output = Shop::new().run(&arguments);
    assert!(code(&output) != 2, "{rule}: {}", err(&output));
    json(&output)
}

/// Of every possible line: as stated inside the window by more than the numerical error at every bead of every heat, and
/// inside still at the worst end of the ranges, on the casting's own body with beads where they are laid.
#[test]
fn check_holds_with_the_interval_and_the_beads_of_every_possible_line() {
    let rules = possible();
    let bodies = |name: &str| rules.iter().filter(|rule| rule["model"] == name).count();
    assert!(rules.len() >= 5 && bodies("axisymmetric") >= 2 && rules.len() > bodies("axisymmetric"), "{}", *TABLE);
    for rule in rules {
        let outcome = ask(&["check", "--json"], rule);
        assert!((number(&outcome["casting"]["mass_kg"]) / number(&rule["mass_kg"]) - 1.0).abs() < 1e-6);
        assert_eq!(outcome["verdict"], "holds", "{rule}: {}", outcome["worst_end"]);
        assert!(number(&outcome["worst_end"]["margin_k"]) > 0.0, "{rule}");
        // Without arc heat the interval is no longer than the shortest hold, which has two per cent of its one grid.
        assert!(number(&outcome["worst_end"]["hold_s"]) >= 0.98 * number(&rule["interval_s"]), "{rule}");
        assert_eq!(outcome["beads_per_heat"], rule["beads"], "{rule}");
        let minutes = number(&outcome["heats"][0]["end_s"]) / 60.0;
        assert!((minutes - number(&rule["flame_s"]) / 60.0).abs() < 0.5, "{minutes} {rule}");
    }
}

/// Beads that the time allows and the maximum does not are taken off, and `check` agrees that they are too many; where not
/// even one stays below it, there is no rule.
#[test]
fn the_maximum_takes_beads_off_and_rules_out() {
    const MAXIMUM: [&str; 2] = ["--set", "window.maximum_interpass=460 F"];
    let table = table(&["0.2 t", "75 mm", "320 mm, 430 mm", "15 min"], &MAXIMUM);
    let (narrow, wide) = (&table["rules"][0], &table["rules"][1]);
    assert!(narrow["why_not"].as_str().unwrap().contains("above the maximum"), "{narrow}");
    assert!(wide["beads"] == 1 && wide["beads_band"][0] == 2 && number(&wide["interval_s"]) >= 120.0, "{wide}");
    let with = |beads: &str| ask(&["check", "--json", MAXIMUM[0], MAXIMUM[1], "--set", beads], wide);
    assert_eq!(with("passes.per_heat=1")["verdict"], "holds");
    let two = with("passes.per_heat=2");
    assert!(two["verdict"] != "holds" && number(&two["worst_end"]["margin_k"]) < 0.0, "{}", two["worst_end"]);
}

/// A soak of 100 s is a flame of two minutes: the torch is the one that takes two minutes, and so is all the rest.
#[test]
fn a_rule_is_that_of_its_rounded_time() {
    let table = table(&["2.5 t", "100 mm", "400 mm", "100 s, 2 min"], &[]);
    let [one, two] = [&table["rules"][0], &table["rules"][1]];
    assert!(one["flame_s"] == 120.0 && two["flame_s"] == 120.0, "{one} {two}");
    for key in ["net_power_w", "hold_s"] {
        assert!((number(&one[key]) / number(&two[key]) - 1.0).abs() < 0.02, "{key}: {one} {two}");
    }
}

/// Samples of all ranges at once are no ends: their band lies within that of the line, and its beads fit.
#[test]
fn the_spread_of_five_lines_lies_within_their_bands() {
    let rules = possible();
    assert!(rules.len() >= 5, "{}", *TABLE);
    for rule in rules.into_iter().take(5) {
        let spread = ask(&["spread", "--samples", "64", "--json"], rule);
        let (hold, bar) = (&spread["hold_s"], number(&rule["hold_error_s"]) + number(&spread["hold_error_s"]));
        let band = [0, 1].map(|end| number(&rule["hold_band_s"][end]));
        assert!((number(&hold["stated"]) - number(&rule["hold_s"])).abs() <= bar + 1.0, "{rule} {hold}");
        assert!(number(&hold["low"]) >= band[0] && number(&hold["high"]) <= band[1], "{rule} {hold}");
        assert!(number(&rule["interval_s"]) <= number(&hold["low"]), "{rule} {hold}");
        // On a block the grid of the samples is too coarse for a bead's own heat: there the count as stated is held against.
        let counted = if rule["model"] == "axisymmetric" { "low" } else { "stated" };
        assert!(number(&spread["beads"][counted]) >= number(&rule["beads"]), "{rule} {}", spread["beads"]);
    }
}

/// Twenty seconds to the first arc, twenty of each arc, sixty between.
#[test]
fn the_beads_of_every_line_are_laid_before_the_flame_is_due() {
    for rule in possible() {
        let (beads, interval_s) = (number(&rule["beads"]), number(&rule["interval_s"]));
        assert!(beads >= 1.0 && 20.0 + 20.0 * beads + 60.0 * (beads - 1.0) <= interval_s, "{rule}");
        assert!(number(&rule["hold_error_s"]) < 0.05 * number(&rule["hold_s"]), "{rule}");
    }
}
