//! `spread`: the same seed gives the same bytes, another seed nearly the same bands.

use serde_json::Value;

use crate::schema::hold_against;
use crate::shop::{Shop, code, err, json, out};

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value}"))
}

/// A demonstration whose torch always brings the reading, so that both ends of a band are above zero.
const SURE: &str = "torch.fuel.share_range=[\"27 %\", \"40 %\"]";

fn spread(seed: &str, more: &[&str]) -> Value {
    json(&Shop::new().run(&[&["spread", "--json", "--set", SURE, "--seed", seed], more].concat()))
}

#[test]
fn a_seed_gives_the_same_bytes_on_any_number_of_threads() {
    let on = |threads: &str| Shop::new().run(&["spread", "--json", "--samples", "64", "--threads", threads]).stdout;
    let one = on("1");
    assert!(!one.is_empty());
    assert_eq!(one, on("4"));
}

#[test]
fn bands_of_256_samples_stay_within_a_twentieth_from_seed_to_seed() {
    let spreads: Vec<Value> = ["1", "2", "3", "4"].iter().map(|seed| spread(seed, &[])).collect();
    for (what, end) in [("hold_s", "low"), ("hold_s", "median"), ("hold_s", "high"), ("interval_s", "high")] {
        let ends: Vec<f64> = spreads.iter().map(|s| number(&s[what][end])).collect();
        let mean = ends.iter().sum::<f64>() / ends.len() as f64;
        assert!(mean > 1.0 && ends.iter().all(|e| (e / mean - 1.0).abs() < 0.05), "{what} {end}: {ends:?}");
    }
}

#[test]
fn shares_add_up_and_a_wider_range_of_the_torch_takes_more_of_them() {
    let share = |spread: &Value| {
        let inputs = spread["inputs"].as_array().unwrap().clone();
        let torch = inputs.iter().find(|i| i["input"].as_str().unwrap().contains("torch")).unwrap().clone();
        let sum: f64 = inputs.iter().map(|i| number(&i["of_hold"])).sum();
        assert!(sum < 1.15 && number(&spread["together_of_hold"]) >= 0.0, "{inputs:?}");
        number(&torch["of_hold"])
    };
    let narrow = share(&spread("1", &["--samples", "128", "--set", "torch.fuel.share_range=[\"29 %\", \"31 %\"]"]));
    let wide = share(&spread("1", &["--samples", "128"]));
    assert!(wide > narrow + 0.1, "{wide} {narrow}");
}

#[test]
fn the_stated_hold_is_that_of_check_and_the_answer_keeps_to_its_schema() {
    let shop = Shop::new();
    let answer = json(&shop.run(&["spread", "--json", "--samples", "32", "--plot", "spread.svg"]));
    hold_against(&json(&shop.run(&["schema", "spread"])), &answer, "spread");
    let checked = json(&shop.run(&["check", "--json"]));
    let apart = number(&answer["hold_s"]["stated"]) - number(&checked["hold_s"]);
    let bars = number(&answer["hold_error_s"]) + number(&checked["error"]["hold_s"]);
    assert!(apart.abs() <= bars, "{apart} {bars}");
    assert!(String::from_utf8(shop.read("spread.svg")).unwrap().contains("Which input spreads the hold"));
    let told = out(&shop.run(&["spread", "--samples", "32"]));
    assert!(
        told.starts_with("In nine cases of ten the ring holds") && told.contains("Share of the variance"),
        "{told}"
    );
}

#[test]
fn what_cannot_be_spread_is_told_with_what_to_write() {
    let shop = Shop::with_small();
    let none = shop.run(&["spread", "small.toml"]);
    assert_eq!(code(&none), 2);
    assert!(err(&none).contains("conductivity_range"), "{}", err(&none));
    let few = shop.run(&["spread", "small.toml", "--samples", "3"]);
    assert!(code(&few) == 2 && err(&few).contains("from 16 to"), "{}", err(&few));
}
