//! `rules`: the same bytes whole, in parts, or stopped and started again.

use crate::schema::hold_against;
use crate::shop::{Shop, code, err, json, out};

/// Six quick cells of the demonstration's repair.
const SIX: &[&str] = &[
    "rules",
    "--masses",
    "0.3 t, 2 t",
    "--sections",
    "50 mm, 120 mm, 200 mm",
    "--widths",
    "320 mm",
    "--soaks",
    "15 min",
];

fn ask(shop: &Shop, more: &[&str]) -> std::process::Output {
    shop.run(&[SIX, more].concat())
}

#[test]
fn parts_put_together_are_the_bytes_of_the_whole() {
    let shop = Shop::new();
    let whole = ask(&shop, &["--json"]);
    assert_eq!(code(&whole), 0, "{}", err(&whole));
    for part in ["1/3", "2/3", "3/3"] {
        let file = format!("{}.jsonl", &part[..1]);
        assert_eq!(code(&ask(&shop, &["--part", part, "--resume-from", &file])), 0);
    }
    let merge = ["rules", "--json", "--markdown", "parts.md", "--merge", "3.jsonl", "1.jsonl", "2.jsonl"];
    let merged = shop.run(&merge);
    assert_eq!(merged.stdout, whole.stdout, "{}", err(&merged));
    ask(&shop, &["--markdown", "whole.md"]);
    assert_eq!(shop.read("parts.md"), shop.read("whole.md"));
    let short = shop.run(&["rules", "--merge", "1.jsonl", "2.jsonl"]);
    assert_eq!(code(&short), 2);
    assert!(err(&short).contains("cell 3 of 6 is missing"), "{}", err(&short));
}

#[test]
fn a_journal_cut_off_anywhere_goes_on_to_the_same_bytes() {
    let shop = Shop::new();
    let whole = ask(&shop, &["--json", "--resume-from", "all.jsonl"]).stdout;
    let journal = shop.read("all.jsonl");
    for share in [0.1, 0.55, 0.8, 1.0] {
        let cut = (journal.len() as f64 * share) as usize;
        shop.write("cut.jsonl", &journal[..cut]);
        let again = ask(&shop, &["--json", "--resume-from", "cut.jsonl"]);
        assert_eq!(again.stdout, whole, "{share}: {}", err(&again));
        assert_eq!(shop.read("cut.jsonl").split(|b| *b == b'\n').count(), 8, "head, six lines and the end");
    }
}

#[cfg(unix)]
#[test]
fn a_killed_run_starts_again_and_ends_with_the_same_bytes() {
    let shop = Shop::new();
    let whole = ask(&shop, &["--json"]).stdout;
    let mut child = std::process::Command::new(assert_cmd::cargo::cargo_bin("warmhold"))
        .args([SIX, &["--json", "--threads", "1", "--resume-from", "killed.jsonl"]].concat())
        .current_dir(shop.path(""))
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::null())
        .spawn()
        .unwrap();
    std::thread::sleep(std::time::Duration::from_millis(300));
    let _ = child.kill();
    child.wait().unwrap();
    assert_eq!(ask(&shop, &["--json", "--resume-from", "killed.jsonl"]).stdout, whole);
}

#[test]
fn a_journal_of_another_table_is_refused() {
    let shop = Shop::new();
    ask(&shop, &["--part", "1/6", "--resume-from", "mine.jsonl"]);
    let other = ask(&shop, &["--set", "casting.start=60 C", "--resume-from", "mine.jsonl"]);
    assert_eq!(code(&other), 2);
    assert!(err(&other).contains("another scenario") && err(&other).contains("--resume-from"), "{}", err(&other));
    shop.write("not.jsonl", "something else\n");
    assert!(err(&ask(&shop, &["--resume-from", "not.jsonl"])).contains("not the head of a table"));
    for (typed, says) in [("2", "such as 2/4"), ("3/2", "such as 2/4")] {
        assert!(err(&ask(&shop, &["--part", typed, "--resume-from", "x.jsonl"])).contains(says), "{typed}");
    }
    assert!(err(&ask(&shop, &["--set", "schedule.cycles.heat_up={ for = \"9 min\" }"])).contains("until"));
}

#[test]
fn what_a_rule_cannot_be_made_of_is_refused_with_words() {
    let shop = Shop::new();
    let narrow = shop.run(&["rules", "--widths", "10 mm"]);
    assert_eq!(code(&narrow), 2);
    assert!(err(&narrow).contains("at least 214 mm"), "{}", err(&narrow));
    let helper = "\n[[heater]]\nwhen = \"in intervals\"\nstrength = \"30 %\"\n";
    let cover = "\n[[cover]]\non = \"back\"\nfilm_coefficient = \"25 W/m2K\"\nwhen = \"always\"\n";
    for (more, says) in [(helper, "[[heater]]"), (cover, "[[cover]]")] {
        let example = out(&shop.run(&["example"]));
        shop.write("with.toml", example + more);
        let refused = shop.run(&["rules", "with.toml"]);
        assert_eq!(code(&refused), 2);
        assert!(
            err(&refused).contains("one torch with even heat") && err(&refused).contains(says),
            "{}",
            err(&refused)
        );
    }
}

#[test]
fn the_words_say_how_to_read_it_and_the_answer_keeps_to_its_schema() {
    let shop = Shop::new();
    let table = json(&ask(&shop, &["--json", "--csv", "rules.csv"]));
    hold_against(&json(&shop.run(&["schema", "rules"])), &table, "rules");
    let csv = String::from_utf8(shop.read("rules.csv")).unwrap();
    assert!(csv.starts_with("mass_kg,section_m,width_m") && csv.lines().count() == 7, "{csv}");
    let told = out(&ask(&shop, &["--units", "metric"]));
    assert!(told.contains("go by the section") || told.contains("both matter"), "{told}");
    assert!(told.contains("by the reading, not by the clock") && told.contains("till it reads"), "{told}");
    assert!(told.contains("Valid for") && told.lines().all(|line| line.chars().count() <= 100), "{told}");
    let shop_units = out(&ask(&shop, &["--units", "shop"]));
    assert!(!shop_units.contains(" kg") && !shop_units.contains(" C ") && shop_units.contains("400 F"), "{shop_units}");
}

/// A thin section soaked long: the weak end never gets there, and the line says how long that was waited for.
#[test]
fn a_reading_that_is_not_reached_says_how_long_was_waited() {
    let asked = ["rules", "--masses", "1 t", "--sections", "40 mm", "--widths", "320 mm", "--soaks", "45 min"];
    let table = json(&Shop::new().run(&[&asked[..], &["--json"]].concat()));
    let why = table["rules"][0]["why_not"].as_str().unwrap();
    assert!(why.contains("not reached within 6 h") && table["rules"][0]["interval_s"].is_null(), "{why}");
}
