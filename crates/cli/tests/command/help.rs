//! Help leads with examples, and every example runs.

use crate::shop::{Shop, code, err, out, quick};

/// In this order an example finds the files that those before it made.
const COMMANDS: [&str; 22] = [
    "",
    "check",
    "hold",
    "plan",
    "rules",
    "spread",
    "cool",
    "explain",
    "start",
    "example",
    "fit",
    "compare",
    "advice",
    "report",
    "card",
    "sheet",
    "page",
    "metals",
    "explain-code",
    "schema",
    "completions",
    "man",
];

fn help(command: &str) -> String {
    let arguments: Vec<&str> = command.split_whitespace().chain(["--help"]).collect();
    let output = Shop::new().run(&arguments);
    assert_eq!(code(&output), 0, "{}", err(&output));
    out(&output)
}

/// Lines that start with the command, continued lines joined.
fn examples(help: &str) -> Vec<String> {
    let joined = help.replace("\\\n", " ");
    joined.lines().filter(|line| line.starts_with("  warmhold")).map(|line| line.trim().to_owned()).collect()
}

#[test]
fn help_leads_with_examples_and_fits_100_columns() {
    for command in COMMANDS {
        let help = help(command);
        assert!(help.starts_with("Examples:\n  warmhold"), "{command}: {help}");
        assert!(help.lines().all(|line| line.chars().count() <= 100), "{command}: {help}");
    }
}

#[test]
fn every_example_of_every_help_runs() {
    let shop = Shop::new();
    let mut ran = 0;
    for example in COMMANDS.iter().flat_map(|command| examples(&help(command))) {
        let output = shop.shell(&quick(&example));
        // Any verdict is an answer.
        assert!([0, 1, 3].contains(&code(&output)), "{example}: {}", err(&output));
        let told = err(&output);
        assert!(told.is_empty() || told.starts_with("No scenario given"), "{example}: {told}");
        ran += 1;
    }
    assert!(ran >= 20, "{ran}");
    for made in [
        "repair.toml",
        "cooling.svg",
        "cooling.csv",
        "patch.toml",
        "die.toml",
        "d2.svg",
        "warmhold.1",
        "torch.toml",
        "log.svg",
        "report.html",
        "card.html",
        "sheet.html",
        "page.html",
        "field/field.pvd",
    ] {
        assert!(!shop.read(made).is_empty(), "{made}");
    }
}

#[test]
fn version_names_the_command() {
    assert_eq!(out(&Shop::new().run(&["--version"])), format!("warmhold {}\n", env!("CARGO_PKG_VERSION")));
}

#[test]
fn every_code_is_explained_and_an_unknown_one_is_refused() {
    let shop = Shop::new();
    let list = out(&shop.run(&["explain-code"]));
    let codes: Vec<&str> = list.lines().filter_map(|line| line.split_once("  ").map(|(code, _)| code)).collect();
    assert!(codes.iter().filter(|code| code.len() == 4).count() > 20, "{list}");
    assert!(out(&shop.run(&["explain-code", "e005"])).contains("wrong: minimum = 300"));
    let unknown = shop.run(&["explain-code", "E999"]);
    assert_eq!(code(&unknown), 2);
    assert!(err(&unknown).contains("`warmhold explain-code` lists"));
}

#[test]
fn metals_are_listed_and_one_is_shown_with_its_source() {
    let shop = Shop::new();
    let list = out(&shop.run(&["metals"]));
    assert!(list.contains("grey iron 250") && list.contains("H13") && list.contains("practice"), "{list}");
    let one = out(&shop.run(&["metals", "Gray-Iron"]));
    assert!(one.contains("Source: ") && one.contains("EN 1561"), "{one}");
    let unknown = shop.run(&["metals", "grey irn"]);
    assert_eq!(code(&unknown), 2);
    assert!(err(&unknown).contains("did you mean \"grey iron\"?"), "{}", err(&unknown));
}
