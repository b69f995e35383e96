//! `explain`: the heat is accounted for, and the levers are what N3, N4 and N6 say.

use serde_json::Value;

use crate::schema::hold_against;
use crate::shop::{Shop, code, err, flowing, json, number, out};

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
    assert!(gained("turned down") > 0.0 && gained("turned up") < 0.0 && gained("higher reading") > 0.0);
    assert!(gained("draft").abs() < 0.1 * number(&explanation["hold_s"]), "N4");
}

#[test]
fn pictures_and_words_are_there() {
    let shop = Shop::new();
    let output = shop.run(&["explain", "--plot", "beside.svg", "--chart", "chart.svg", "--units", "metric"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let told = flowing(&output);
    for part in ["51 % goes", "Levers, one at a time", "off the closed form", "a small block"] {
        assert!(told.contains(part), "{part}: {told}");
    }
    let picture = |name: &str| String::from_utf8(shop.read(name)).unwrap();
    assert!(picture("beside.svg").contains("a plate of its face") && picture("chart.svg").contains("rise left"));
    assert_eq!(code(&shop.run(&["explain", "--plot", "beside.svg"])), 2, "no file is replaced unasked");
    assert_eq!(code(&shop.run(&["explain", "--chart", "chart.pdf"])), 2);
}

/// The widest patch gains most, and takes hours of flame where the schedule allows 40 min.
#[test]
fn the_best_lever_that_can_be_paid_for_comes_first_and_every_price_stands_beside_it() {
    let shop = Shop::new();
    let explanation = json(&shop.run(&["explain", "--json"]));
    let longest_s = number(&explanation["longest_flame_s"]);
    assert_eq!(longest_s, 2400.0);
    let levers = explanation["levers"].as_array().unwrap();
    for lever in levers.iter().filter(|lever| lever["reached"] == true) {
        assert_eq!(lever["affordable"], number(&lever["flame_s"]) <= longest_s, "{lever}");
    }
    assert!(levers[0]["affordable"] == false && number(&levers[0]["gained_s"]) > 100.0, "{}", levers[0]);
    let warm = levers.iter().find(|l| l["what"].as_str().unwrap().contains("warm before")).unwrap();
    // 15.6 t of iron, 64.4 K warmer, at about 500 J/kgK.
    assert!((number(&warm["before_j"]) / (15_552.0 * 64.4 * 500.0) - 1.0).abs() < 0.1, "{warm}");
    let told = flowing(&shop.run(&["explain", "--units", "metric"]));
    let best = told.find("What lengthens the hold most within the 40 min of flame").unwrap();
    let more = told.find("More, but at too high a price: heated 1.5 times as wide, with the same torch").unwrap();
    let table = told.find("Levers, one at a time").unwrap();
    assert!(best < more && more < table, "{told}");
    assert!(told[best..more].contains("of flame in place of 18 min"), "{told}");
    assert!(told[more..table].contains(" h ") && told[table..].contains(", too long"), "{told}");
}

/// A casting that starts above the minimum is not cooled to lengthen its hold; a flame of fixed time costs no more.
#[test]
fn a_small_warm_casting_is_told_what_helps_it() {
    let shop = Shop::with_small();
    let told = flowing(&shop.run(&["explain", "small.toml", "--units", "metric"]));
    assert!(told.contains("with the same 60.0 s of flame") && !told.contains("warm before"), "{told}");
    assert!(!told.contains("too high a price") && !told.contains("too long"), "{told}");
    let answer = json(&shop.run(&["explain", "small.toml", "--json"]));
    let stated_s = number(&answer["hold_s"]);
    for lever in answer["levers"].as_array().unwrap() {
        let hold_s = number(&lever["hold_s"]);
        assert!((hold_s - stated_s - number(&lever["gained_s"])).abs() < 1e-6 * stated_s, "{lever}");
    }
}

#[test]
fn shop_units_are_kept_to() {
    let told = out(&Shop::new().run(&["explain", "--units", "shop"]));
    let metric = told.split_whitespace().map(|word| word.trim_matches(|c: char| "().,;:".contains(c)));
    let found: Vec<&str> = metric.filter(|word| ["C", "K", "mm", "kW", "MJ", "kg", "t"].contains(word)).collect();
    assert!(found.is_empty(), "{found:?} in {told}");
    assert!(told.contains("warm before, 184 F") && told.contains("in2/s"), "{told}");
}

/// The formulas of the text give the numbers of the text, and the middle holds longer than the ring.
#[test]
fn the_chart_is_read_with_the_numbers_of_the_scenario() {
    let shop = Shop::new();
    let explanation = json(&shop.run(&["explain", "--json"]));
    let example = &explanation["example"];
    let of = |key: &str| number(&example[key]);
    let share = (of("minimum_c") - of("start_c")) / (of("reading_c") - of("start_c"));
    let unit_s = of("radius_m") * of("radius_m") / of("diffusivity_m2_s");
    assert!((of("share") - share).abs() < 1e-12 && (of("heating") - of("flame_s") / unit_s).abs() < 1e-12);
    assert!((of("hold_s") - of("hold") * unit_s).abs() < 1e-9);
    // Between the rows and columns of its own chart.
    let curves = explanation["chart"]["curves"].as_array().unwrap();
    let shares: Vec<f64> = curves.iter().map(|curve| number(&curve["share"])).collect();
    let at = |row: usize, column: usize| number(&curves[row]["points"][column]["hold"]);
    let row = shares.iter().rposition(|row| *row >= share).unwrap();
    let heatings: Vec<f64> =
        curves[0]["points"].as_array().unwrap().iter().map(|point| number(&point["heating"])).collect();
    let column = heatings.iter().rposition(|heating| *heating <= of("heating")).unwrap();
    assert!(at(row, column) < of("hold") && of("hold") < at(row + 1, column + 1), "{example}");
    assert!(of("engine_hold_s") > 1.5 * number(&explanation["hold_s"]), "{example}");
    let told = flowing(&shop.run(&["explain", "--units", "metric"]));
    for part in ["share left = (minimum - start) / (reading - start)", "Worked with this scenario", "holds far less"] {
        assert!(told.contains(part), "{part}: {told}");
    }
}

/// A soft flame goes along with the patch; pads on the back have no place on the small block, and the text says so.
#[test]
fn heat_and_covers_beside_the_torch_go_along_or_are_left_out_by_name() {
    let shop = Shop::new();
    let soft = "heater=[{ when = \"in intervals\", strength = \"30 %\" }]";
    let output = shop.run(&["explain", "--set", soft, "--json"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let without = |explanation: &Value, n: usize| explanation["beside"][n]["without"].as_array().unwrap().len();
    let answer = json(&output);
    assert!((0..3).all(|n| without(&answer, n) == 0), "{}", answer["beside"]);
    let bare = json(&shop.run(&["explain", "--json"]));
    for n in 0..3 {
        let hold = |answer: &Value| answer["beside"][n]["hold_s"].as_f64().unwrap_or(f64::INFINITY);
        assert!(hold(&answer) > 1.2 * hold(&bare), "{n}: the soft flame is kept on");
    }
    let pads = "heater=[{ on = \"back\", rectangle = { length = \"0.6 m\", width = \"0.4 m\" }, flux = \"4 kW/m2\", \
                when = \"always\" }]";
    let output = shop.run(&["explain", "--set", pads, "--set", "accuracy.cells_across=4"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let told = flowing(&output);
    assert!(told.contains("a small block: without the heat on the back."), "{told}");
    assert!(told.contains("without the heat and the covers beside the torch"), "{told}");
}
