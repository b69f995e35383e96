//! Exit codes, JSON, and the same answer to the same question.

use serde_json::Value;

use crate::shop::{SMALL, Shop, code, err, json, out};

#[test]
fn a_schedule_that_holds_is_zero() {
    let output = Shop::with_small().run(&["check", "small.toml", "--units", "metric"]);
    assert_eq!(code(&output), 0, "{}{}", out(&output), err(&output));
    assert!(out(&output).starts_with("Holds: "), "{}", out(&output));
}

#[test]
fn a_schedule_that_falls_short_is_one() {
    let output = Shop::with_small().run(&["check", "small.toml", "--set", "casting.start=20 C"]);
    assert_eq!(code(&output), 1);
    assert!(out(&output).starts_with("Falls short: "), "{}", out(&output));
}

#[test]
fn a_margin_within_the_error_is_three() {
    let shop = Shop::with_small();
    let passes = json(&shop.run(&["check", "small.toml", "--json"]))["passes"].clone();
    let coldest = passes.as_array().unwrap().iter().map(|pass| pass["coldest_c"].as_f64().unwrap());
    let minimum = format!("window.minimum={} C", coldest.fold(f64::INFINITY, f64::min));
    let output = shop.run(&["check", "small.toml", "--set", &minimum]);
    assert_eq!(code(&output), 3, "{}", out(&output));
    assert!(out(&output).starts_with("Too close to call: "));
}

#[test]
fn a_scenario_without_a_window_is_zero() {
    let shop = Shop::new();
    let plain = SMALL.replace("[window]\nminimum = \"150 C\"\nmaximum_interpass = \"300 C\"\n", "");
    shop.write("plain.toml", plain);
    let output = shop.run(&["check", "plain.toml"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    assert!(out(&output).starts_with("Not asked: "));
}

#[test]
fn json_is_one_object_and_nothing_else() {
    let output = Shop::with_small().run(&["check", "small.toml", "--json"]);
    assert_eq!(json(&output)["verdict"], "holds");
    assert!(err(&output).is_empty());
    assert!(output.stdout.starts_with(b"{") && output.stdout.ends_with(b"}\n"));
}

#[test]
fn standard_input_gives_the_same_answer_as_the_file() {
    let shop = Shop::with_small();
    let piped = shop.command(&["check", "-", "--json"]).write_stdin(SMALL).output().unwrap();
    assert_eq!(piped.stdout, shop.run(&["check", "small.toml", "--json"]).stdout);
}

#[test]
fn thread_counts_change_no_byte() {
    let shop = Shop::with_small();
    let on = |threads: &str| shop.run(&["check", "small.toml", "--json", "--threads", threads]).stdout;
    let one = on("1");
    assert!(!one.is_empty());
    assert_eq!(one, on("2"));
    assert_eq!(one, on("5"));
}

#[test]
fn spellings_of_units_change_nothing_but_the_digest() {
    let shop = Shop::with_small();
    let respelled = [
        ("\"200 mm\"", "\"0.2 m\""),
        ("\"160 mm\"", "\"16 cm\""),
        ("\"180 C\"", "\"356 F\""),
        ("\"150 C\"", "\"302 °F\""),
        ("\"60 s\"", "\"1 min\""),
        ("\"120 s\"", "\"2 min\""),
        ("\"60 kW/m2\"", "\"60000 W/m2\""),
        ("\"500 W\"", "\"0.5 kW\""),
    ];
    let other = respelled.iter().fold(SMALL.to_owned(), |text, (one, other)| text.replace(one, other));
    shop.write("other.toml", other);
    let outcome = |file: &str| json(&shop.run(&["check", file, "--json"]));
    let (mut one, mut other) = (outcome("small.toml"), outcome("other.toml"));
    assert_ne!(one["input_sha256"], other["input_sha256"]);
    one["input_sha256"] = Value::Null;
    other["input_sha256"] = Value::Null;
    assert_eq!(one, other);
}

#[test]
fn timings_go_to_standard_error_only() {
    let shop = Shop::with_small();
    let timed = shop.run(&["check", "small.toml", "--json", "--timings"]);
    assert_eq!(timed.stdout, shop.run(&["check", "small.toml", "--json"]).stdout);
    assert!(err(&timed).starts_with("computed in "), "{}", err(&timed));
}

const JOB: &[&str] = &[
    "hold",
    "--minimum",
    "300 F",
    "--maximum",
    "500 F",
    "--size",
    "400 x 300 x 100 mm",
    "--flux",
    "150 kW/m2",
    "--heated",
    "240 mm",
    "--ring",
    "30 mm",
    "--cells",
    "4",
];

#[test]
fn the_one_line_and_its_file_are_the_same_case_to_the_byte() {
    let shop = Shop::new();
    let job = |more: &[&str]| shop.run(&[JOB, more].concat());
    let one_line = job(&["--json", "--write", "repair.toml"]);
    assert_eq!(code(&one_line), 0, "{}", err(&one_line));
    assert_eq!(one_line.stdout, shop.run(&["check", "repair.toml", "--json"]).stdout);
    assert_eq!(code(&job(&["--write", "repair.toml"])), 2, "no file is replaced unasked");
}

#[test]
fn the_quick_answer_names_hold_beads_remedies_and_assumptions() {
    let output = Shop::new().run(JOB);
    let text = out(&output);
    assert_eq!(code(&output), 0, "{}", err(&output));
    for part in
        ["The ring holds", "The middle of the patch", "20 s arc, 60 s pause", "heated 1.5 times wider", "--ring"]
    {
        assert!(text.contains(part), "{part} in {text}");
    }
    assert!(text.contains("whole casting at 100 C") && text.contains("Cautions"), "{text}");
    assert!(text.contains("--write repair.toml"), "{text}");
    let assumed = text.split("Assumed").nth(1).unwrap().split("Cautions").next().unwrap();
    assert!(!assumed.contains("--size") && !assumed.contains("--maximum"), "what was said is no assumption: {assumed}");
}

#[test]
fn a_remedy_holds_longer_than_the_case_as_asked() {
    let hold = |more: &[&str]| json(&Shop::new().run(&[JOB, &["--json"], more].concat()))["hold_s"].as_f64().unwrap();
    let as_asked = hold(&[]);
    assert!(hold(&["--body", "100 C"]) > 1.5 * as_asked, "{as_asked}");
}

#[test]
fn start_in_a_pipe_writes_a_scenario_that_can_be_checked() {
    let shop = Shop::new();
    let options = ["start", "--minimum", "300 F", "--maximum", "500 F", "--out", "die.toml", "--cells", "4"];
    let output = shop.run(&options);
    assert_eq!(code(&output), 0, "{}", err(&output));
    assert!(out(&output).contains("warmhold check die.toml"));
    assert!([0, 1, 3].contains(&code(&shop.run(&["check", "die.toml"]))));
    assert_eq!(code(&shop.run(&options)), 2, "no file is replaced unasked");
}

#[test]
fn a_reader_that_goes_away_changes_no_exit_code() {
    let shop = Shop::with_small();
    let mut child = std::process::Command::new(assert_cmd::cargo::cargo_bin("warmhold"))
        .args(["check", "small.toml", "--set", "casting.start=20 C"])
        .current_dir(shop.path(""))
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(code(&output), 1);
    assert!(err(&output).is_empty(), "{}", err(&output));
}

/// Runs a command that takes long, and presses Ctrl-C: it must be over at once.
#[cfg(unix)]
fn interrupted(arguments: &[&str]) -> std::process::Output {
    interrupted_in(arguments).0
}

/// The same, and the folder that it worked in.
#[cfg(unix)]
fn interrupted_in(arguments: &[&str]) -> (std::process::Output, Shop) {
    // A second, and room for a busy machine.
    const AT_ONCE: std::time::Duration = std::time::Duration::from_millis(2000);
    let shop = Shop::with_small();
    let child = std::process::Command::new(assert_cmd::cargo::cargo_bin("warmhold"))
        .args(arguments)
        .current_dir(shop.path(""))
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    std::thread::sleep(std::time::Duration::from_millis(700));
    let id = child.id().to_string();
    assert!(std::process::Command::new("kill").args(["-INT", &id]).status().unwrap().success());
    let pressed = std::time::Instant::now();
    let output = child.wait_with_output().unwrap();
    assert!(pressed.elapsed() < AT_ONCE, "{:?}", pressed.elapsed());
    (output, shop)
}

#[cfg(unix)]
#[test]
fn a_run_inside_a_long_step_leaves_at_once_and_says_so() {
    let fine = ["casting.length=2 m", "casting.width=2 m", "casting.depth=1 m", "accuracy.cells_across=30"];
    let mut arguments = vec!["check", "small.toml", "--map", "map.svg"];
    fine.iter().for_each(|set| arguments.extend(["--set", set]));
    let output = interrupted(&arguments);
    assert_eq!(code(&output), 130, "{}", err(&output));
    let told = out(&output) + &err(&output);
    assert!(told.contains("Interrupted"), "{told}");
}

#[cfg(unix)]
#[test]
fn an_interrupted_run_prints_what_it_has_and_is_130() {
    let long = ["accuracy.cells_across=24", "accuracy.step_error=0.001 K", "schedule.cycles.reheats=200"];
    let mut arguments = vec!["check", "small.toml"];
    long.iter().for_each(|set| arguments.extend(["--set", set]));
    let output = interrupted(&arguments);
    assert_eq!(code(&output), 130, "{}", err(&output));
    assert!(out(&output).contains("Interrupted: only the first"), "{}", out(&output));
}

#[test]
fn without_a_command_the_demonstration_is_checked_and_says_so() {
    let output = Shop::new().run(&[]);
    assert_eq!(code(&output), 1, "{}", err(&output));
    assert!(err(&output).starts_with("No scenario given: this is the built-in demonstration"), "{}", err(&output));
}

#[test]
fn a_forecast_says_what_it_takes_and_computes_nothing() {
    let output = Shop::with_small().run(&["check", "small.toml", "--forecast"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let told = out(&output);
    for word in ["cells", "steps", "MB of memory", "on one core"] {
        assert!(told.contains(word), "{told}");
    }
    let huge = [
        "check",
        "small.toml",
        "--forecast",
        "--set",
        "accuracy.cells_across=48",
        "--set",
        "patch.disc.diameter=41 mm",
    ];
    let output = Shop::with_small().run(&huge);
    assert!(code(&output) == 0 || err(&output).contains("fewer cells across"), "{}{}", out(&output), err(&output));
}

/// The bars that are asked for are met, with a finer grid for a narrower one, and the answer says so.
#[test]
fn an_error_bar_that_is_asked_for_is_met() {
    let shop = Shop::new();
    shop.write("asked.toml", crate::shop::SMALL.replace("cells_across = 4\nstep_error = \"0.5 K\"", ""));
    let mut cells = Vec::new();
    for (temperature_k, hold_s) in [(2.0, 20.0), (0.3, 2.0)] {
        let sets = [format!("accuracy.temperature={temperature_k} K"), format!("accuracy.hold={hold_s} s")];
        let output = shop.run(&["check", "asked.toml", "--json", "--set", &sets[0], "--set", &sets[1]]);
        let outcome = json(&output);
        let error = |key: &str| outcome["error"][key].as_f64().unwrap_or(0.0);
        assert_eq!(outcome["wanted"]["met"], true, "{}", outcome["error"]);
        assert!(
            error("grid_k") + error("time_k") <= temperature_k && error("hold_s") <= hold_s,
            "{}",
            outcome["error"]
        );
        cells.push(outcome["stats"]["cells"].as_u64().unwrap());
    }
    assert!(cells[0] < cells[1], "{cells:?}");
}

/// More than any grid gives is not met, and both the text and the JSON say so.
#[test]
fn an_error_bar_that_cannot_be_met_is_told() {
    let shop = Shop::new();
    let asked = crate::shop::SMALL.replace("cells_across = 4\nstep_error = \"0.5 K\"", "temperature = \"0.001 K\"");
    let asked = asked.replace("depth = \"60 mm\"", "depth = \"20 mm\"").replace("reheats = 1", "reheats = 0");
    shop.write("asked.toml", asked);
    let output = shop.run(&["check", "asked.toml", "--set", "accuracy.model=axisymmetric"]);
    assert!(out(&output).contains("more than was asked for"), "{}{}", out(&output), err(&output));
}

#[test]
fn the_body_solved_is_named_with_its_reason() {
    let shop = Shop::with_small();
    for (model, expected) in [("smallest", "quarter"), ("block", "quarter"), ("axisymmetric", "axisymmetric")] {
        let set = format!("accuracy.model={model}");
        let outcome = json(&shop.run(&["check", "small.toml", "--json", "--set", &set]));
        assert_eq!(outcome["casting"]["model"], expected);
        assert!(outcome["casting"]["model_reason"].as_str().unwrap().len() > 5);
    }
}

/// On a wall nobody sees that half of the run is missing.
#[cfg(unix)]
#[test]
fn of_an_interrupted_run_no_page_is_written() {
    let long = ["accuracy.cells_across=24", "accuracy.step_error=0.001 K", "schedule.cycles.reheats=200"];
    for page in ["card", "sheet", "report"] {
        let mut arguments = vec![page, "small.toml", "--out", "page.html"];
        long.iter().for_each(|set| arguments.extend(["--set", set]));
        let (output, shop) = interrupted_in(&arguments);
        assert_eq!(code(&output), 130, "{page}: {}", err(&output));
        assert!(err(&output).contains("Interrupted"), "{page}: {}", err(&output));
        assert!(!shop.path("page.html").exists(), "{page}");
    }
}
