//! `plan`: its proposal holds, a little less does not, and where nothing holds it says what would.

use serde_json::Value;

use crate::schema::hold_against;
use crate::shop::{Shop, code, err, json, out};

/// A block of constant properties and a disc far from its edges; the torch is known to a tenth.
const BLOCK: &str = r#"title = "Block to plan for"
[casting]
length = "900 mm"
width = "800 mm"
depth = "300 mm"
start = "60 C"
[metal]
density = "7200 kg/m3"
conductivity = "46 W/mK"
specific_heat = "500 J/kgK"
conductivity_range = ["-10 %", "+10 %"]
[shop]
air = "20 C"
[faces]
film_coefficient = "8 W/m2K"
emissivity = 0.8
[patch] # what the torch heats
disc = { radius = "75 mm" }
[groove]
disc = { diameter = "30 mm" }
depth = "6 mm"
[ring]
width = "30 mm"
[window]
minimum = "150 C"
maximum_interpass = "260 C"
[torch.fuel]
gas = "propane"
rate = "1.5 kg/h"
share_range = ["27 %", "33 %"]
[schedule.cycles]
heat_up = { for = "60 s" }
interval = "80 s"
reheat = { for = "10 s" }
reheats = 1
[passes]
per_heat = 2
first_after = "15 s"
arc_time = "10 s"
pause = "20 s"
power = "900 W"
"#;

fn shop() -> Shop {
    let shop = Shop::new();
    shop.write("block.toml", BLOCK);
    shop
}

fn with_narrower_patch(shop: &Shop, file: &str) -> String {
    let text = String::from_utf8(shop.read(file)).unwrap();
    let written = text.split("diameter = \"").nth(1).unwrap().split(" mm").next().unwrap();
    format!("patch.disc={{ diameter = \"{} mm\" }}", 0.9 * written.parse::<f64>().unwrap())
}

#[test]
fn the_proposal_holds_and_a_tenth_narrower_does_not() {
    let shop = shop();
    let planned = shop.run(&["plan", "block.toml", "--write", "plan.toml", "--units", "metric"]);
    let told = out(&planned);
    assert_eq!(code(&planned), 0, "{told}{}", err(&planned));
    assert!(told.starts_with("Holds: heat a disc of ") && told.contains("Width against soak"), "{told}");
    let text = String::from_utf8(shop.read("plan.toml")).unwrap();
    assert!(text.contains("# what the torch heats"), "comments stay: {text}");
    assert_eq!(code(&shop.run(&["check", "plan.toml"])), 0, "{told}");
    let narrower = with_narrower_patch(&shop, "plan.toml");
    assert_ne!(code(&shop.run(&["check", "plan.toml", "--set", &narrower])), 0, "{told}");
}

#[test]
fn a_working_time_a_tenth_longer_does_not_hold() {
    let shop = shop();
    let text = BLOCK.split("[passes]").next().unwrap().to_owned();
    shop.write("work.toml", text);
    let planned = shop.run(&["plan", "work.toml", "--working-time", "60 s", "--write", "plan.toml"]);
    assert_eq!(code(&planned), 0, "{}{}", out(&planned), err(&planned));
    assert_eq!(code(&shop.run(&["check", "plan.toml"])), 0);
    let longer = shop.run(&["check", "plan.toml", "--set", "schedule.cycles.interval=66 s"]);
    assert_ne!(code(&longer), 0, "{}", out(&longer));
}

#[test]
fn wishes_are_kept_to() {
    let shop = shop();
    let asked = ["plan", "block.toml", "--json", "--same-torch"];
    let free = json(&shop.run(&asked));
    let kept = [&asked[..], &["--fastest-heating", "40 K/min", "--least-soak", "9 min", "--beads", "1"]].concat();
    let kept = shop.run(&kept);
    let slow = json(&kept);
    assert!(free["proposal"]["torch_over_stated"].as_f64().unwrap() <= 1.0);
    let proposal = &slow["proposal"];
    assert!(proposal["steepest_k_s"].as_f64().unwrap() <= 40.0 / 60.0, "{proposal}");
    assert!(proposal["heat_up_band_s"][0].as_f64().unwrap() >= 540.0 && proposal["beads"] == 1, "{proposal}");
    assert!(slow["limits"]["interval_s"].as_f64() < free["limits"]["interval_s"].as_f64());
}

#[test]
fn where_nothing_holds_every_lever_is_tried_and_the_code_is_1() {
    let shop = shop();
    let low = "window.maximum_interpass=180 C";
    let narrow = ["plan", "block.toml", "--same-torch", "--set", low, "--widths", "90 mm..100 mm", "--json"];
    let planned = shop.run(&narrow);
    assert_eq!(code(&planned), 1, "{}", err(&planned));
    let plan = json(&planned);
    assert_eq!((&plan["verdict"], &plan["proposal"]), (&Value::from("falls short"), &Value::Null));
    let remedies = plan["remedies"].as_array().unwrap();
    let value = |lever: &str| remedies.iter().find(|r| r["lever"] == lever).map(|r| r["value"].clone());
    assert!(value("wider").unwrap().as_f64().unwrap() > 0.1, "{remedies:?}");
    // The remedy's own number holds when it is put in.
    let widest = value("wider").unwrap().as_f64().unwrap() * 1e3;
    let wider = format!("90 mm..{widest} mm");
    assert_eq!(
        code(&shop.run(&["plan", "block.toml", "--same-torch", "--set", low, "--widths", &wider])),
        0,
        "{wider}"
    );
    let total = |remedy: &Value| remedy["total_s"].as_f64().unwrap_or(f64::INFINITY);
    assert!(remedies.windows(2).all(|pair| total(&pair[0]) <= total(&pair[1])), "{remedies:?}");
}

#[test]
fn plans_keep_to_the_schema_and_do_not_depend_on_the_threads() {
    let shop = shop();
    let schema = json(&shop.run(&["schema", "plan"]));
    let on = |threads: &str| shop.run(&["plan", "block.toml", "--json", "--threads", threads]).stdout;
    let one = on("1");
    assert_eq!(one, on("3"));
    hold_against(&schema, &serde_json::from_slice(&one).unwrap(), "plan");
}

#[test]
fn what_cannot_be_planned_is_told_with_what_to_change() {
    let shop = shop();
    let no_window = BLOCK.replace("[window]\nminimum = \"150 C\"\nmaximum_interpass = \"260 C\"\n", "");
    shop.write("plain.toml", no_window);
    for (typed, says) in [
        (vec!["plan", "plain.toml"], "[window]"),
        (vec!["plan", "block.toml", "--working-time", "5 s"], "a longer --working-time"),
        (vec!["plan", "block.toml", "--fastest-heating", "50"], "50 K/min"),
        (vec!["plan", "block.toml", "--widths", "300 mm"], "200 mm..500 mm"),
        (vec!["plan", "block.toml", "--widths", "2 m..3 m"], "800 mm is the widest"),
    ] {
        let output = shop.run(&typed);
        assert_eq!(code(&output), 2, "{typed:?}");
        assert!(err(&output).contains(says), "{typed:?}: {}", err(&output));
    }
}

/// The built-in demonstration: what it proposes passes its own check.
#[test]
fn the_demonstration_is_planned_and_a_tenth_narrower_does_not_hold() {
    let shop = Shop::new();
    let planned = shop.run(&["plan", "--write", "plan.toml"]);
    assert_eq!(code(&planned), 0, "{}{}", out(&planned), err(&planned));
    assert_eq!(code(&shop.run(&["check", "plan.toml"])), 0, "{}", out(&planned));
    let narrower = with_narrower_patch(&shop, "plan.toml");
    assert_ne!(code(&shop.run(&["check", "plan.toml", "--set", &narrower])), 0, "{}", out(&planned));
}
