//! A small casting that is quick to compute, and a folder to work in.

use std::path::PathBuf;
use std::process::Output;

use assert_cmd::Command;
use tempfile::TempDir;

/// A block of constant properties without ranges; in the window all through.
pub const SMALL: &str = include_str!("../small.toml");

/// A folder of its own for one test.
pub struct Shop {
    folder: TempDir,
}

impl Shop {
    pub fn new() -> Self {
        Shop { folder: tempfile::tempdir().unwrap() }
    }

    /// With `small.toml` in it.
    pub fn with_small() -> Self {
        let shop = Shop::new();
        shop.write("small.toml", SMALL);
        shop
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, bytes: impl AsRef<[u8]>) {
        std::fs::write(self.path(name), bytes).unwrap();
    }

    pub fn read(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.path(name)).unwrap()
    }

    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::cargo_bin("warmhold").unwrap();
        command.args(arguments).current_dir(self.folder.path()).env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE");
        command
    }

    pub fn run(&self, arguments: &[&str]) -> Output {
        self.command(arguments).output().unwrap()
    }

    /// Runs a line as it is typed, with nothing on standard input.
    pub fn shell(&self, line: &str) -> Output {
        let binary = assert_cmd::cargo::cargo_bin("warmhold");
        let path = format!("{}:{}", binary.parent().unwrap().display(), std::env::var("PATH").unwrap());
        let mut shell = std::process::Command::new("sh");
        shell.args(["-c", line]).current_dir(self.folder.path()).env("PATH", path).stdin(std::process::Stdio::null());
        shell.output().unwrap()
    }
}

/// Coarse, and one heat in place of five.
const QUICK: &str = " --set accuracy.cells_across=4 --set schedule.cycles.reheats=0";

/// One width and one soak.
const RULES: &str = " --widths \"400 mm\" --soaks \"15 min\"";

const QUICK_BY_REQUEST: &str = " --set schedule.cycles.reheats=0";

/// As published, but quick: the big castings on the coarsest grid.
pub fn quick(example: &str) -> String {
    if example.split('#').next().unwrap().trim() == "warmhold" {
        return format!("warmhold check{QUICK}");
    }
    // An error bar that is asked for chooses the grid itself.
    let coarse = if example.contains("accuracy.temperature") { QUICK_BY_REQUEST } else { QUICK };
    let on_file = ["fit", "compare", "advice", "report", "card", "sheet", "page"]
        .map(|command| format!("warmhold {command} repair.toml"));
    let example = on_file
        .iter()
        .fold(example.to_owned(), |example, begin| example.replace(begin.as_str(), &format!("{begin}{QUICK}")));
    example
        .replace(" --set accuracy.cells_across=6", QUICK)
        .replace("--cells 6", "--cells 4")
        .replace("warmhold hold", "warmhold hold --cells 4")
        .replace("warmhold check repair.toml", &format!("warmhold check repair.toml{coarse}"))
        .replace("warmhold rules repair.toml", &format!("warmhold rules repair.toml{RULES}"))
        .replace("warmhold spread repair.toml", &format!("warmhold spread repair.toml{QUICK}"))
        .replace("warmhold cool repair.toml", &format!("warmhold cool repair.toml{QUICK}"))
        .replace("warmhold plan repair.toml", &format!("warmhold plan repair.toml{QUICK}"))
}

pub fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// The text without its line breaks.
pub fn flowing(output: &Output) -> String {
    out(output).split_whitespace().collect::<Vec<_>>().join(" ")
}

pub fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

pub fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

pub fn json(output: &Output) -> serde_json::Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|error| panic!("{error}: {}", err(output)))
}

pub fn number(value: &serde_json::Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}
