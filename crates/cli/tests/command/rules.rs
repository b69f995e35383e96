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
fn numbers_are_on_the_safe_side_and_the_answer_keeps_to_its_schema() {
    let shop = Shop::new();
    let table = json(&ask(&shop, &["--json", "--csv", "rules.csv"]));
    hold_against(&json(&shop.run(&["schema", "rules"])), &table, "rules");
    let number = |value: &serde_json::Value| value.as_f64().unwrap();
    let mut possible = 0;
    for rule in table["rules"].as_array().unwrap().iter().filter(|rule| rule["why_not"].is_null()) {
        let shortest = number(&rule["hold_band_s"][0]);
        assert!(number(&rule["interval_s"]) <= shortest && shortest <= number(&rule["hold_s"]), "{rule}");
        assert!(rule["beads"].as_u64() <= rule["beads_band"][0].as_u64(), "{rule}");
        possible += 1;
    }
    assert!(possible >= 3, "{table}");
    let csv = String::from_utf8(shop.read("rules.csv")).unwrap();
    assert!(csv.starts_with("mass_kg,section_m,width_m") && csv.lines().count() == 7, "{csv}");
    let told = out(&ask(&shop, &["--units", "metric"]));
    assert!(told.contains("go by the section") || told.contains("both matter"), "{told}");
    assert!(told.contains("Valid for") && told.lines().all(|line| line.chars().count() <= 120), "{told}");
}
