//! The README tells the truth: what it says to type is typed here.

use crate::shop::{Shop, code, err, quick};

const README: &str = include_str!("../../../../README.md");

/// The fenced blocks: what stands behind the opening fence, and the lines.
fn blocks() -> Vec<(&'static str, Vec<&'static str>)> {
    let fenced = README.split("```").skip(1).step_by(2);
    fenced.map(|block| block.split_once('\n').unwrap()).map(|(kind, body)| (kind, body.lines().collect())).collect()
}

#[test]
fn the_first_block_is_the_two_commands() {
    assert_eq!(blocks()[0], ("sh", vec!["cargo run --release", "cargo test"]));
}

#[test]
fn every_line_that_it_says_to_type_runs() {
    let shop = Shop::new();
    let blocks = blocks();
    let lines: Vec<&str> = blocks.iter().flat_map(|(_, lines)| lines).copied().collect();
    let typed: Vec<&str> = lines.into_iter().filter(|line| line.starts_with("warmhold ")).collect();
    for line in &typed {
        let output = shop.shell(&quick(line));
        // Any verdict is an answer.
        assert!([0, 1, 3].contains(&code(&output)), "{line}: {}", err(&output));
        let answered = !output.stdout.is_empty() || line.contains(" > ");
        assert!(err(&output).is_empty() && answered, "{line}: {}", err(&output));
    }
    assert!(typed.len() >= 8, "{typed:?}");
    for made in [
        "repair.toml",
        "cooling.svg",
        "cooling.csv",
        "map.svg",
        "log.csv",
        "torch.toml",
        "log.svg",
        "report.html",
        "page.html",
    ] {
        assert!(!shop.read(made).is_empty(), "{made}");
    }
}

#[test]
fn every_file_that_it_links_to_is_there() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let targets = README.split("](").skip(1).filter_map(|rest| rest.split(')').next());
    let local: Vec<&str> = targets.filter(|target| !target.contains("://")).collect();
    let missing: Vec<&&str> = local.iter().filter(|target| !root.join(target).exists()).collect();
    assert!(local.len() >= 5 && missing.is_empty(), "{missing:?} of {local:?}");
}

#[test]
#[ignore = "marches the demonstration on its own grids, some ten seconds"]
fn the_answer_that_it_shows_is_the_answer() {
    let (_, shown) = blocks().swap_remove(1);
    let answer = crate::shop::out(&Shop::new().run(&[]));
    assert_eq!(shown, answer.lines().take(shown.len()).collect::<Vec<_>>());
}
