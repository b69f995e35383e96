//! Files are written whole or not at all, and none is replaced unasked.

use crate::shop::{Shop, code, err, out};

#[test]
fn plots_and_tables_are_written() {
    let shop = Shop::with_small();
    let output = shop.run(&["check", "small.toml", "--plot", "a.svg", "--csv", "a.csv"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    assert!(String::from_utf8(shop.read("a.svg")).unwrap().contains("<svg"));
    assert!(String::from_utf8(shop.read("a.csv")).unwrap().starts_with("probe,time_s"));
    assert_eq!(code(&shop.run(&["check", "small.toml", "--plot", "a.PNG"])), 0);
    assert!(shop.read("a.PNG").starts_with(b"\x89PNG"));
}

#[test]
fn a_file_that_is_there_stays_unless_forced() {
    let shop = Shop::with_small();
    shop.write("a.svg", "mine");
    let output = shop.run(&["check", "small.toml", "--plot", "a.svg"]);
    assert_eq!(code(&output), 2);
    assert!(err(&output).contains("a.svg is there already") && err(&output).contains("--force"), "{}", err(&output));
    assert_eq!(shop.read("a.svg"), b"mine");
    assert!(out(&output).is_empty(), "nothing is computed in vain");
    assert_eq!(code(&shop.run(&["check", "small.toml", "--plot", "a.svg", "--force"])), 0);
    assert_ne!(shop.read("a.svg"), b"mine");
}

#[test]
fn a_folder_that_is_not_there_is_named_and_nothing_is_left_behind() {
    let shop = Shop::with_small();
    let output = shop.run(&["check", "small.toml", "--plot", "no/a.svg"]);
    assert_eq!(code(&output), 2);
    assert!(err(&output).contains("there is no folder no"), "{}", err(&output));
    assert!(out(&output).is_empty(), "nothing is computed in vain");
    let left = std::fs::read_dir(shop.path("")).unwrap().count();
    assert_eq!(left, 1, "only the scenario");
}

#[test]
fn what_a_command_reads_is_never_overwritten() {
    let shop = Shop::with_small();
    shop.write("log.csv", "time,place,reading\n1 min,patch_centre,200 C\n");
    let mine = shop.read("small.toml");
    let own: [&[&str]; 8] = [
        &["check", "small.toml", "--csv", "small.toml"],
        &["check", "./small.toml", "--bead-csv", "small.toml"],
        &["check", "small.toml", "--field", "small.toml"],
        &["plan", "small.toml", "--write", "small.toml"],
        &["rules", "small.toml", "--csv", "./small.toml"],
        &["fit", "small.toml", "--log", "log.csv", "--write", "log.csv"],
        &["compare", "small.toml", "log.csv", "--plot", "log.csv"],
        &["page", "small.toml", "small.toml", "--out", "small.toml"],
    ];
    for arguments in own {
        let output = shop.run(&[arguments, &["--force"]].concat());
        let said = err(&output);
        assert!(
            code(&output) == 2 && said.contains("would be overwritten: write into another file"),
            "{arguments:?}: {said}"
        );
        assert!(out(&output).is_empty(), "nothing is computed in vain");
        assert_eq!(shop.read("small.toml"), mine, "{arguments:?}");
    }
    let journal = shop.run(&["rules", "small.toml", "--resume-from", "small.toml"]);
    assert!(code(&journal) == 2 && err(&journal).contains("would be overwritten"), "{}", err(&journal));
}

#[test]
fn two_answers_never_share_a_file() {
    let shop = Shop::with_small();
    for pair in [["--csv", "--bead-csv"], ["--plot", "--map"]] {
        let name = if pair[0] == "--csv" { "a.csv" } else { "a.svg" };
        let output = shop.run(&["check", "small.toml", pair[0], name, pair[1], &format!("./{name}"), "--force"]);
        let said = err(&output);
        assert!(code(&output) == 2 && said.contains("named for two files") && out(&output).is_empty(), "{said}");
        assert!(!shop.path(name).exists());
    }
}

#[cfg(unix)]
#[test]
fn a_stream_is_written_to_and_never_replaced() {
    let shop = Shop::with_small();
    let output = shop.run(&["check", "small.toml", "--csv", "/dev/stdout"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    assert!(out(&output).contains("probe,time_s,temperature_c"), "{}", out(&output));
}

#[cfg(unix)]
#[test]
fn a_full_disc_is_said_and_is_no_answer() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full");
    // Only some systems have it.
    let Ok(full) = full else { return };
    let status = std::process::Command::new(assert_cmd::cargo::cargo_bin("warmhold"))
        .arg("example")
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(code(&status), 2);
    assert!(err(&status).contains("standard output cannot be written"), "{}", err(&status));
}

#[test]
fn nothing_is_coloured_outside_a_terminal() {
    let shop = Shop::with_small();
    for arguments in [vec!["check", "small.toml", "--set", "ring.width=75"], vec!["check", "none.toml"], vec!["hold"]] {
        let output = shop.run(&arguments);
        assert!(!err(&output).contains('\u{1b}') && code(&output) == 2, "{}", err(&output));
    }
}

#[test]
fn the_built_in_scenario_is_the_one_of_the_library() {
    assert_eq!(out(&Shop::new().run(&["example"])), warmhold::scenario::DEMONSTRATION);
}

/// What no answer may take the place of, however it is asked.
#[cfg(unix)]
#[test]
fn a_protected_file_and_the_scenario_itself_are_not_replaced_even_when_forced() {
    use std::os::unix::fs::PermissionsExt;
    let shop = Shop::with_small();
    shop.write("kept.html", "kept");
    std::fs::set_permissions(shop.path("kept.html"), std::fs::Permissions::from_mode(0o444)).unwrap();
    for (file, words) in [
        ("kept.html", "protected against writing: choose another name"),
        ("small.toml", "would be overwritten: write into another file"),
        ("-", "neither .html nor .htm"),
    ] {
        let before = std::fs::read(shop.path(file)).ok();
        let output = shop.run(&["card", "small.toml", "--out", file, "--force"]);
        assert_eq!(code(&output), 2, "{file}");
        assert!(err(&output).contains(words), "{}", err(&output));
        assert_eq!(std::fs::read(shop.path(file)).ok(), before, "{file}");
    }
}

#[cfg(unix)]
#[test]
fn what_a_link_points_to_is_written_and_the_link_stays() {
    let shop = Shop::with_small();
    shop.write("real.html", "old");
    std::os::unix::fs::symlink("real.html", shop.path("link.html")).unwrap();
    assert_eq!(code(&shop.run(&["sheet", "small.toml", "--out", "link.html", "--force"])), 0);
    assert!(shop.path("link.html").is_symlink());
    assert!(String::from_utf8(shop.read("real.html")).unwrap().contains("<html"));
}
