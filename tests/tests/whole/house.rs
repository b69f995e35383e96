//! The rules of the house, read from the house itself.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the workspace is above this crate").to_path_buf()
}

fn output_of(program: &str, arguments: &[&str]) -> String {
    let output = Command::new(program).args(arguments).current_dir(root()).output();
    let output = output.unwrap_or_else(|error| panic!("{program} cannot be run: {error}"));
    assert!(output.status.success(), "{program} {arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("the output is text")
}

fn packages() -> Vec<Value> {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let text = output_of(&cargo, &["metadata", "--offline", "--no-deps", "--format-version", "1"]);
    let metadata: Value = serde_json::from_str(&text).expect("cargo metadata is JSON");
    metadata["packages"].as_array().expect("a list of packages").clone()
}

fn name(value: &Value) -> &str {
    value["name"].as_str().expect("a name")
}

/// For each of our packages, those of ours that it depends on when it is built; development is left out.
fn dependence() -> BTreeMap<String, BTreeSet<String>> {
    let packages = packages();
    let ours: BTreeSet<&str> = packages.iter().map(name).collect();
    let of = |package: &Value| -> BTreeSet<String> {
        let all = package["dependencies"].as_array().expect("a list of dependencies");
        let built = all.iter().filter(|d| d["kind"].as_str() != Some("dev")).map(name);
        built.filter(|n| ours.contains(n)).map(str::to_owned).collect()
    };
    packages.iter().map(|p| (name(p).to_owned(), of(p))).collect()
}

#[test]
fn crates_depend_on_each_other_in_one_direction() {
    let rule: [(&str, &[&str]); 9] = [
        ("quantity", &[]),
        ("exact", &[]),
        ("heat", &[]),
        ("surroundings", &[]),
        ("study", &["heat", "exact"]),
        ("scenario", &["quantity", "heat", "study", "surroundings"]),
        ("report", &["quantity", "study"]),
        ("warmhold", &["quantity", "exact", "heat", "study", "surroundings", "scenario", "report"]),
        ("cli", &["warmhold"]),
    ];
    let dependence = dependence();
    for (package, on) in rule {
        let on: BTreeSet<String> = on.iter().map(|&n| n.to_owned()).collect();
        assert_eq!(dependence[package], on, "{package}");
    }
    let ruled: BTreeSet<&str> = rule.iter().map(|(package, _)| *package).collect();
    let in_crates = |package: &Value| package["manifest_path"].as_str().is_some_and(|p| p.contains("/crates/"));
    for package in packages().iter().filter(|p| in_crates(p)) {
        assert!(ruled.contains(name(package)), "{} stands in no rule of dependence", name(package));
    }
}

#[test]
fn every_crate_takes_the_lints_of_the_workspace_which_forbid_unsafe() {
    let workspace = read(&root().join("Cargo.toml"));
    assert!(workspace.contains("unsafe_code = \"forbid\""));
    for package in packages() {
        let manifest = read(Path::new(package["manifest_path"].as_str().expect("a path")));
        let lints = manifest.split("[lints]").nth(1).unwrap_or_default();
        let section = lints.split("\n[").next().unwrap_or_default();
        let taken = section.lines().any(|line| line.split_whitespace().collect::<String>() == "workspace=true");
        assert!(taken || manifest.contains("lints.workspace = true"), "{} has lints of its own", name(&package));
    }
}

fn read(path: &Path) -> String {
    String::from_utf8_lossy(&std::fs::read(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))).into_owned()
}

/// Every tracked file that is still there, by its path in the project.
fn tracked() -> Vec<String> {
    let list = output_of("git", &["ls-files"]);
    let files: Vec<String> = list.lines().map(str::to_owned).filter(|f| root().join(f).is_file()).collect();
    assert!(files.len() > 50, "the project has more files than {}", files.len());
    files
}

fn sources(under: &str) -> Vec<String> {
    let files: Vec<String> = tracked().into_iter().filter(|f| f.starts_with(under) && f.ends_with(".rs")).collect();
    assert!(!files.is_empty(), "nothing under {under}");
    files
}

/// Lines of a source file that are code: comments left out.
fn code(file: &str) -> Vec<(usize, String)> {
    let text = read(&root().join(file));
    let lines = text.lines().enumerate().map(|(n, line)| (n + 1, line.trim().to_owned()));
    lines.filter(|(_, line)| !line.starts_with("//")).collect()
}

#[test]
fn no_source_file_is_longer_than_600_lines() {
    for file in sources("") {
        let lines = read(&root().join(&file)).lines().count();
        assert!(lines <= 600, "{file} has {lines} lines");
    }
}

#[test]
fn the_engine_uses_no_fused_multiply_add_which_would_differ_between_machines() {
    for file in sources("crates/heat/src") {
        assert!(!read(&root().join(&file)).contains("mul_add"), "{file}");
    }
}

#[test]
fn no_file_names_a_folder_of_the_machine_it_was_written_on() {
    // Put together here, so that this file does not contain them.
    let folders = ["work", "tmp", "root", "home"].map(|folder| format!("/{folder}/"));
    for file in tracked().into_iter().filter(|f| !f.starts_with(".ci/")) {
        let text = read(&root().join(&file));
        for folder in &folders {
            assert!(!text.contains(folder.as_str()), "{file} names {folder}");
        }
    }
}

#[test]
fn libraries_print_nothing() {
    for file in sources("crates").iter().filter(|f| !f.starts_with("crates/cli/") && f.contains("/src/")) {
        for (number, line) in code(file) {
            let prints =
                ["println!", "eprintln!", "print!(", "eprint!(", "dbg!"].iter().any(|word| line.contains(word));
            assert!(!prints, "{file}:{number}: {line}");
        }
    }
}
