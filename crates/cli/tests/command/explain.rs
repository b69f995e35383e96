//! `explain`: the heat is accounted for, and the levers are what N3, N4 and N6 say.

use serde_json::Value;

use crate::schema::hold_against;
use crate::shop::{Shop, code, err, json, out};

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value}"))
}

#[test]
fn the_patch_gives_its_heat_to_the_metal_and_all_of_it_is_accounted_for() {
    let shop = Shop::new();
    let explanation = json(&shop.run(&["explain", "--json"]));
    hold_against(&json(&shop.run(&["schema", "explain"])), &explanation, "explain");
    let budget = &explanation["budget"];
    assert!(number(&budget["unaccounted"]) < 0.03, "{}", budget["unaccounted"]);
    for moment in budget["moments"].as_array().unwrap() {
        // N4: what the air takes is small beside what the casting takes.
        let metal = number(&moment["sideways_w"]) + number(&moment["down_w"]);
        assert!(number(&moment["air_w"]) < 0.1 * metal, "{moment}");
    }
    let hold = |what: &str| {
        let castings = explanation["beside"].as_array().unwrap();
        number(&castings.iter().find(|c| c["what"].as_str().unwrap().contains(what)).unwrap()["hold_s"])
    };
    assert!(hold("plate") > 1.5 * hold("as stated"), "N6: thin walls hold longer");
    assert_eq!(hold("as stated"), number(&explanation["hold_s"]));
}

#[test]
fn wider_and_softer_gain_and_more_flame_for_less_time_loses() {
    let explanation = json(&Shop::new().run(&["explain", "--json"]));
    let levers = explanation["levers"].as_array().unwrap();
    let gained = |what: &str| {
        let lever = levers.iter().find(|l| l["what"].as_str().unwrap().contains(what));
        number(&lever.unwrap_or_else(|| panic!("{what} in {levers:?}"))["gained_s"])
    };
    assert!(gained("1.5 times as wide, with the same torch") > gained("1.25 times as wide, with the same torch"));
    assert!(gained("turned down") > 0.0 && gained("turned up") < 0.0 && gained("20 K more") > 0.0);
    assert!(gained("draft").abs() < 0.1 * number(&explanation["hold_s"]), "N4");
}

#[test]
fn pictures_and_words_are_there() {
    let shop = Shop::new();
    let output = shop.run(&["explain", "--plot", "beside.svg", "--chart", "chart.svg", "--units", "metric"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let told = out(&output);
    for part in ["51 % goes", "Levers, one at a time", "off the closed form", "a small block"] {
        assert!(told.contains(part), "{part}: {told}");
    }
    let picture = |name: &str| String::from_utf8(shop.read(name)).unwrap();
    assert!(picture("beside.svg").contains("a plate of its face") && picture("chart.svg").contains("rise left"));
    assert_eq!(code(&shop.run(&["explain", "--plot", "beside.svg"])), 2, "no file is replaced unasked");
    assert_eq!(code(&shop.run(&["explain", "--chart", "chart.pdf"])), 2);
}
