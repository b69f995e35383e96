//! `cool`: when it can be ground, touched and measured, and how far the heat reached.

use crate::schema::hold_against;
use crate::shop::{Shop, code, err, json, number, out};

#[test]
fn cooler_limits_come_later_the_casting_after_its_patch_and_a_blanket_makes_all_of_it_later() {
    let shop = Shop::with_small();
    let cool = json(&shop.run(&["cool", "small.toml", "--json"]));
    hold_against(&json(&shop.run(&["schema", "cool"])), &cool, "cool");
    let waits = |way: &str| cool[way]["waits"].as_array().unwrap().clone();
    let (bare, under) = (waits("bare"), waits("blanketed"));
    assert!(bare.windows(2).all(|pair| number(&pair[0]["face_s"]) < number(&pair[1]["face_s"])), "{bare:?}");
    for (bare, under) in bare.iter().zip(&under) {
        assert!(number(&bare["face_s"]) <= number(&bare["casting_s"]), "{bare}");
        assert!(number(&bare["casting_s"]) < number(&under["casting_s"]), "{bare} {under}");
    }
}

/// A block that is warm all through and loses little cools as one lump: `t = C / (h A) ln(rise / left)`.
#[test]
fn a_small_block_without_radiation_cools_as_one_lump() {
    let sets =
        ["faces.emissivity=0.0", "faces.film_coefficient=2 W/m2K", "torch.flux.flux=1 kW/m2", "passes.power=1 W"];
    let mut arguments = vec!["cool", "small.toml", "--json", "--blanket", "100 mm"];
    sets.iter().for_each(|set| arguments.extend(["--set", set]));
    let output = Shop::with_small().run(&arguments);
    let cool = json(&output);
    let at = |way: &str, n: usize| number(&cool[way]["waits"][n]["face_s"]);
    let sides = [0.2_f64, 0.16, 0.06];
    let volume = sides.iter().product::<f64>();
    let area = 2.0 * (sides[0] * sides[1] + sides[1] * sides[2] + sides[0] * sides[2]);
    // From 50 C to 43 C in a shop of 20 C; the film is so weak that the block has one temperature.
    let lump_s = |watts_per_kelvin: f64| 7200.0 * 500.0 * volume / watts_per_kelvin * (30.0_f64 / 23.0).ln();
    // A blanket of 1 m2K/W on the worked face, its outside with the film and 4 x 0.9 sigma (293.15 K)^3.
    let outside = 2.0 + 4.0 * 0.9 * 5.670_374e-8 * 293.15_f64.powi(3);
    let under = sides[0] * sides[1] * (1.0 / (1.0 + 1.0 / outside) - 2.0);
    for (way, wanted_s) in [("bare", lump_s(2.0 * area)), ("blanketed", lump_s(2.0 * area + under))] {
        let seconds = at(way, 2) - at(way, 0);
        assert!((seconds / wanted_s - 1.0).abs() < 2e-3, "{way}: {seconds} s and {wanted_s} s");
    }
}

#[test]
fn the_footprint_of_a_cooler_contour_is_larger_and_a_limit_is_judged() {
    let shop = Shop::new();
    let quick = ["--set", "accuracy.cells_across=6", "--set", "schedule.cycles.reheats=0"];
    let cool = shop.run(&[&["cool", "--json", "--limit", "50 K/h"], &quick[..]].concat());
    assert_eq!(code(&cool), 1, "a local patch falls faster: {}", err(&cool));
    let prints = json(&cool)["footprint"].as_array().unwrap().clone();
    let areas: Vec<f64> = prints.iter().map(|print| number(&print["area_m2"])).collect();
    assert!(areas.windows(2).all(|pair| pair[0] >= pair[1]) && areas[0] > 0.01, "{areas:?}");
    let reach = number(&prints[0]["reach_m"]);
    assert!((0.09..0.3).contains(&reach), "{reach}");
    assert_eq!(code(&shop.run(&[&["cool", "--limit", "5000 K/h"], &quick[..]].concat())), 0);
    let told = out(&shop.run(&[&["cool", "--units", "metric", "--plot", "cool.svg"], &quick[..]].concat()));
    for part in ["Grind and inspect", "Footprint on the worked face", "N4", "blanket"] {
        assert!(told.contains(part), "{part}: {told}");
    }
    let plot = String::from_utf8(shop.read("cool.svg")).unwrap();
    for part in ["Too hot to touch for", "touch: 43 C", "grind and inspect: 50 C"] {
        assert!(plot.contains(part), "{part}");
    }
}

#[test]
fn a_casting_that_never_gets_warm_is_refused() {
    let shop = Shop::with_small();
    let cold = crate::shop::SMALL.split("[torch.flux]").next().unwrap().replace("180 C", "20 C");
    let cold = cold.replace("[window]\nminimum = \"150 C\"\nmaximum_interpass = \"300 C\"\n", "");
    shop.write("cold.toml", cold + "[schedule.spans]\non = []\nend = \"1 h\"\n");
    let output = shop.run(&["cool", "cold.toml"]);
    assert!(code(&output) == 2 && err(&output).contains("nothing cools"), "{}", err(&output));
    let rate = shop.run(&["cool", "small.toml", "--limit", "50 K"]);
    assert!(code(&rate) == 2 && err(&rate).contains("50 K/h"), "{}", err(&rate));
}

#[test]
fn own_limits_and_contours_are_told_in_the_units_asked_for() {
    let shop = Shop::with_small();
    let asked = ["--below", "140 F", "--contour", "400 F", "--contour", "450 F", "--units", "shop"];
    let told = out(&shop.run(&[&["cool", "small.toml"], &asked[..]].concat()));
    for part in ["as asked", "140 F", "400 F", "450 F", "over the whole worked face, 7.87 in by 6.30 in"] {
        assert!(told.contains(part), "{part}: {told}");
    }
    let body = told.split("Cautions").next().unwrap();
    assert!(!body.contains(" C ") && !body.contains(" K ") && !body.contains(" mm"), "{body}");
    assert!(!body.contains("302 F") && !body.contains("752 F"), "the usual contours are gone: {body}");
    let wrong = shop.run(&["cool", "small.toml", "--below", "60"]);
    assert!(code(&wrong) == 2 && err(&wrong).contains("60 C"), "{}", err(&wrong));
}
