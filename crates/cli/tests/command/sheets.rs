//! Report, card, log sheet, page and field files, from outside.

use crate::shop::{Shop, code, err, flowing, json, out};

fn text(shop: &Shop, name: &str) -> String {
    String::from_utf8(shop.read(name)).unwrap()
}

#[test]
fn pages_are_written_and_the_exit_code_is_that_of_the_verdict() {
    let shop = Shop::with_small();
    for (command, cold) in [("report", 1), ("card", 1), ("sheet", 0)] {
        let output = shop.run(&[command, "small.toml"]);
        assert_eq!(code(&output), 0, "{command}: {}", err(&output));
        let file = format!("{command}.html");
        assert!(out(&output).starts_with(&format!("Wrote {file}.\nHolds: ")), "{}", out(&output));
        assert!(text(&shop, &file).starts_with("<!DOCTYPE html>"), "{command}");
        let colder = [command, "small.toml", "--out", "cold.html", "--force", "--set", "casting.start=20 C"];
        assert_eq!(code(&shop.run(&colder)), cold, "{command}");
    }
    assert_eq!(code(&shop.run(&["page", "small.toml", "small.toml", "--name", "a", "--name", "b"])), 0);
}

#[test]
fn a_card_instructs_where_the_schedule_holds_and_refuses_where_it_does_not() {
    let shop = Shop::with_small();
    shop.run(&["card", "small.toml"]);
    let card = text(&shop, "card.html");
    for part in [
        "Heat this wide: a circle</dt><dd>120 mm (4 3/4 in) across",
        "150 C (302 F) to 300 C (572 F)",
        "Heat by the clock for</dt><dd>60 s",
        "<dd>2 min after it went off",
        "<td>0:20</td><td>bead 1, arc 20 s</td>",
        "Cross: touch here",
        "torch that brings 60",
    ] {
        assert!(card.contains(part), "{part}: {card}");
    }
    shop.run(&["card", "small.toml", "--out", "no.html", "--set", "casting.start=20 C"]);
    let refused = text(&shop, "no.html");
    assert!(refused.contains("DO NOT USE AS AN INSTRUCTION") && !refused.contains("Come back"), "{refused}");
}

/// A card that holds, made of the small casting with another line or two.
fn card_of(shop: &Shop, sets: &[&str]) -> String {
    let mut arguments = vec!["card", "small.toml", "--force"];
    sets.iter().for_each(|set| arguments.extend(["--set", set]));
    let output = shop.run(&arguments);
    assert_eq!(code(&output), 0, "{}{}", out(&output), err(&output));
    text(shop, "card.html")
}

/// The Celsius number before ` C` that follows some words.
fn celsius_after(card: &str, words: &str) -> f64 {
    let rest = card.split(words).nth(1).unwrap_or_else(|| panic!("{words}: {card}"));
    rest.split(" C").next().unwrap().rsplit(['>', ' ']).next().unwrap().parse().unwrap()
}

#[test]
fn a_flame_that_goes_off_by_the_ring_is_told_by_what_the_spot_then_reads() {
    let shop = Shop::with_small();
    let until = ["schedule.cycles.heat_up={ until = \"ring_coldest\", reads = \"230 C\", at_most = \"20 min\" }"];
    let card = card_of(&shop, &until);
    // Under a flux of 60 kW/m2 the face is warmer than the metal 6 mm below, by 8 K in iron of 46 W/mK.
    let spot_c = celsius_after(&card, "Heat until the touch spot reads");
    assert!((231.0..245.0).contains(&spot_c), "{spot_c}");
    let later_c = celsius_after(&card, "s later it shows ");
    assert!(later_c < spot_c && later_c > 200.0, "{later_c}");
    let narrow = [until[0], "torch.flux.range=[\"-20 %\", \"+20 %\"]"];
    let wider = card_of(&shop, &narrow);
    assert!(wider.contains("over the stated torch") && !card.contains("over the stated torch"), "{wider}");
    assert!(celsius_after(&wider, "Heat until the touch spot reads") > spot_c, "a stronger torch leaves a wider gap");
}

#[test]
fn an_interval_that_ends_by_the_ring_is_told_by_the_spot_and_one_heat_by_its_last_bead() {
    let shop = Shop::with_small();
    let guard = card_of(&shop, &["schedule.cycles.interval={ guard = \"25 K\", at_most = \"2 h\" }"]);
    let back_c = celsius_after(&guard, "when the spot reads ");
    assert!((175.0..180.0).contains(&back_c), "{back_c}");
    assert!(!guard.contains("at the latest"), "{guard}");
    let one = card_of(&shop, &["schedule.cycles.reheats=0"]);
    assert!(one.contains("Only one heat is planned: stop after bead 1."), "{one}");
}

#[test]
fn help_tells_each_page_its_own_file_and_what_units_are_for() {
    let shop = Shop::new();
    for command in ["report", "card", "sheet"] {
        let help = flowing(&shop.run(&[command, "--help"]));
        for other in ["report", "card", "sheet"] {
            assert_eq!(help.contains(&format!("default: {other}.html here")), other == command, "{command}: {help}");
        }
        assert_eq!(help.contains("the card itself always has both systems"), command == "card", "{help}");
    }
}

#[test]
fn a_report_with_a_log_says_whether_they_agree() {
    let shop = Shop::with_small();
    shop.write("log.csv", "time,place,reading\n30 s,patch_centre,900 C\n");
    let output = shop.run(&["report", "small.toml", "--log", "log.csv"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let report = text(&shop, "report.html");
    assert!(
        report.contains("Model and log do not agree") && !report.contains("not yet compared with a measured patch")
    );
    let missing = shop.run(&["report", "small.toml", "--log", "none.csv", "--out", "other.html"]);
    assert_eq!(code(&missing), 2);
    assert!(err(&missing).contains("there is no file none.csv") && !shop.path("other.html").exists());
}

#[test]
fn a_report_shows_the_scenario_with_what_was_put_in_its_place() {
    let shop = Shop::with_small();
    shop.run(&["report", "small.toml", "--set", "shop.air=5 C"]);
    assert!(text(&shop, "report.html").contains("# --set shop.air=5 C</pre>"));
}

#[test]
fn no_page_replaces_a_file_unasked_and_nothing_is_computed_in_vain() {
    let shop = Shop::with_small();
    for command in ["report", "card", "sheet"] {
        let file = format!("{command}.html");
        shop.write(&file, "mine");
        let output = shop.run(&[command, "small.toml"]);
        assert_eq!(code(&output), 2, "{command}");
        assert!(err(&output).contains("is there already") && out(&output).is_empty(), "{}", err(&output));
        assert_eq!(shop.read(&file), b"mine");
        assert_eq!(code(&shop.run(&[command, "small.toml", "--force"])), 0);
        assert_ne!(shop.read(&file), b"mine");
    }
}

#[test]
fn what_was_written_is_told_as_json_that_keeps_to_its_schema() {
    let shop = Shop::with_small();
    let schema = json(&shop.run(&["schema", "pages"]));
    for arguments in
        [["report", "small.toml", "--json"], ["card", "small.toml", "--json"], ["sheet", "small.toml", "--json"]]
    {
        let told = json(&shop.run(&arguments));
        crate::schema::hold_against(&schema, &told, arguments[0]);
        assert_eq!(told["kind"], arguments[0]);
        let file = told["file"].as_str().unwrap();
        assert_eq!(told["bytes"].as_u64().unwrap() as usize, shop.read(file).len());
    }
    let page = json(&shop.run(&["page", "small.toml", "small.toml", "--name", "a", "--name", "b", "--json"]));
    crate::schema::hold_against(&schema, &page, "page");
    assert_eq!(page["scenarios"].as_array().unwrap().len(), 2);
}

#[test]
fn a_page_takes_two_to_four_scenarios_and_a_name_for_each() {
    let shop = Shop::with_small();
    let one = shop.run(&["page", "small.toml"]);
    assert!(code(&one) == 2 && err(&one).contains("1 scenarios: a page shows two to four"), "{}", err(&one));
    assert_eq!(code(&shop.run(&["page"].iter().chain(&["small.toml"; 5]).copied().collect::<Vec<_>>())), 2);
    let one_name = shop.run(&["page", "small.toml", "small.toml", "--name", "left"]);
    assert_eq!(code(&one_name), 2);
    assert!(err(&one_name).contains("1 names for 2 scenarios") && !shop.path("page.html").exists());
    let two = shop.run(&["page", "small.toml", "small.toml", "--name", "left", "--name", "right"]);
    assert_eq!(code(&two), 0, "{}", err(&two));
    assert!(text(&shop, "page.html").contains("<h2>right</h2>"));
    let told: Vec<String> = out(&two).lines().skip(1).map(str::to_owned).collect();
    assert!(told[0].starts_with("left: Holds: ") && told[1].starts_with("right: Holds: "), "{told:?}");
}

#[test]
fn castings_of_one_file_name_are_told_apart_by_their_folders_and_else_refused() {
    let shop = Shop::with_small();
    for folder in ["big", "small"] {
        std::fs::create_dir(shop.path(folder)).unwrap();
        shop.write(&format!("{folder}/s.toml"), crate::shop::SMALL);
    }
    let apart = shop.run(&["page", "big/s.toml", "small/s.toml"]);
    assert_eq!(code(&apart), 0, "{}", err(&apart));
    let page = text(&shop, "page.html");
    assert!(page.contains("<h2>big s</h2>") && page.contains("<h2>small s</h2>"));
    let alike = shop.run(&["page", "big/s.toml", "big/s.toml", "--out", "b.html"]);
    assert!(code(&alike) == 2 && err(&alike).contains("--name A --name B"), "{}", err(&alike));
}

#[test]
fn the_same_scenario_gives_the_same_page_on_any_number_of_threads() {
    let shop = Shop::with_small();
    let named = ["page", "small.toml", "small.toml", "--name", "a", "--name", "b"];
    shop.run(&[&named[..], &["--threads", "1"]].concat());
    shop.run(&[&named[..], &["--threads", "3", "--out", "again.html"]].concat());
    assert_eq!(shop.read("page.html"), shop.read("again.html"));
}

#[test]
fn a_field_is_a_new_folder_whole_or_not_at_all() {
    let shop = Shop::with_small();
    let output = shop.run(&["check", "small.toml", "--field", "field"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let names = |folder: &str| -> Vec<String> {
        let entries = std::fs::read_dir(shop.path(folder)).unwrap();
        let mut names: Vec<String> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    };
    let written = names("field");
    assert!(written.len() > 20 && written[0] == "field.pvd" && written[1] == "field_0000.vtr", "{written:?}");
    assert_eq!(names("").len(), 2, "nothing is left beside it: {:?}", names(""));
    shop.write("field/field_0000.vtr", "mine");
    shop.write("field/notes.txt", "mine");
    let again = shop.run(&["check", "small.toml", "--field", "field"]);
    assert_eq!(code(&again), 2);
    assert!(err(&again).contains("field is there already") && out(&again).is_empty(), "{}", err(&again));
    assert_eq!(shop.read("field/field_0000.vtr"), b"mine");
    assert_eq!(code(&shop.run(&["check", "small.toml", "--field", "field", "--force"])), 0);
    assert_ne!(shop.read("field/field_0000.vtr"), b"mine");
    assert_eq!(shop.read("field/notes.txt"), b"mine", "what is not ours stays");
    assert_eq!(code(&shop.run(&["check", "small.toml", "--field", "no/field"])), 2);
}

#[cfg(unix)]
#[test]
fn a_folder_that_cannot_be_written_leaves_nothing() {
    let shop = Shop::with_small();
    shop.write("taken", "a file");
    let output = shop.run(&["check", "small.toml", "--field", "taken", "--force"]);
    assert_eq!(code(&output), 2);
    assert_eq!(shop.read("taken"), b"a file");
}
