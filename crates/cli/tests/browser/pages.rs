//! What the pages do in the browser.

use std::path::PathBuf;

use assert_cmd::Command;
use serde_json::Value;
use tempfile::TempDir;
use warmhold::report::html;
use warmhold::{scenario, study};

use crate::driver::{Browser, pages_of};

/// A4 and Letter, cm.
const PAPERS: [(f64, f64); 2] = [(21.0, 29.7), (21.59, 27.94)];
const RIGHT: &str = "\u{e014}";
const HOME: &str = "\u{e011}";
const END: &str = "\u{e010}";

/// Of the black-box tests: short enough to compute in a moment.
const PLAIN: &str = include_str!("../small.toml");
const PLANTED: &str = "</title><script>document.title='planted'</script><img src=x onerror=alert(1)>";

/// The small casting with a title that tries to plant things, and a metal known to a twentieth.
fn small() -> String {
    PLAIN
        .replace("Small block", PLANTED)
        .replace("specific_heat", "conductivity_range = [\"-5 %\", \"+5 %\"]\nspecific_heat")
}

/// A folder with every page of the small casting.
struct Desk {
    folder: TempDir,
}

impl Desk {
    fn new() -> Desk {
        let desk = Desk { folder: tempfile::tempdir().unwrap() };
        std::fs::write(desk.path("small.toml"), small()).unwrap();
        std::fs::write(desk.path("hot.toml"), small().replace("180 C", "140 C")).unwrap();
        desk
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Makes a page and opens nothing.
    fn make(&self, arguments: &[&str]) {
        let mut command = Command::cargo_bin("warmhold").unwrap();
        let output = command.args(arguments).current_dir(self.folder.path()).output().unwrap();
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(matches!(output.status.code(), Some(0 | 1 | 3)), "{arguments:?}: {told}");
    }

    fn trainer(&self) -> PathBuf {
        let planted = "</script><script>document.title='planted'</script>";
        self.make(&["page", "small.toml", "hot.toml", "--name", planted, "--name", "colder start"]);
        self.path("page.html")
    }
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is not a number"))
}

/// What a canvas shows, as a text.
const SHOWN: &str = "return document.querySelector('canvas.face').toDataURL()";

#[test]
#[ignore = "needs a browser: .ci/browser"]
fn slider_and_keys_move_the_picture_and_nothing_is_logged() {
    let desk = Desk::new();
    let browser = Browser::start((1200, 1400), false);
    browser.open(&desk.trainer());
    assert_eq!(browser.run("return document.querySelectorAll('script:not([type])').length"), 1);
    assert!(!browser.run("return document.title").to_string().contains("planted<"), "a title is text");
    let begin = browser.run(SHOWN);
    browser.run("const t = document.getElementById('time'); t.value = 20; t.dispatchEvent(new Event('input'))");
    assert_ne!(browser.run(SHOWN), begin, "the slider moves the map");
    assert_eq!(browser.text("#clock"), "20 s");
    browser.run("document.activeElement.blur()");
    browser.press(HOME);
    assert_eq!(browser.text("#clock"), "0 s");
    browser.press(RIGHT);
    let stepped = browser.text("#clock");
    assert_ne!(stepped, "0 s", "an arrow steps");
    browser.press(END);
    let (last, state) = (browser.text("#clock"), browser.text("[data-die=\"1\"] .state"));
    assert!(last != stepped && state.contains("150 C (302 F)"), "{last}: {state}");
    assert!(browser.text("#said").contains("colder start"), "what is shown is said");
    assert_eq!(browser.errors(), Vec::<String>::new());
}

#[test]
#[ignore = "needs a browser: .ci/browser"]
fn play_runs_and_pause_stops_by_key_and_by_button() {
    let desk = Desk::new();
    let browser = Browser::start((1200, 1400), false);
    browser.open(&desk.trainer());
    browser.press(HOME);
    browser.press(" ");
    assert_eq!(browser.text("#play"), "Pause");
    std::thread::sleep(std::time::Duration::from_millis(700));
    browser.run("document.getElementById('play').click()");
    let (stopped, at) = (browser.text("#play"), browser.run("return Number(document.getElementById('time').value)"));
    assert!(stopped == "Play" && number(&at) > 5.0, "{stopped} at {at}");
    std::thread::sleep(std::time::Duration::from_millis(200));
    assert_eq!(browser.run("return Number(document.getElementById('time').value)"), at);
    assert_eq!(browser.errors(), Vec::<String>::new());
}

#[test]
#[ignore = "needs a browser: .ci/browser"]
fn a_click_on_a_map_gives_the_curve_of_that_place_and_arrows_move_it() {
    let desk = Desk::new();
    let browser = Browser::start((1200, 1400), false);
    browser.open(&desk.trainer());
    let click = "const c = document.querySelector('canvas.face'), b = c.getBoundingClientRect(); \
        c.dispatchEvent(new MouseEvent('click', { clientX: b.left + b.width / 2, clientY: b.top + b.height / 2 }))";
    browser.run(click);
    let place = browser.text(".picked");
    assert!(place.contains("At x 100 mm (3.9 in), y 80 mm (3.1 in)"), "{place}");
    assert_eq!(browser.run("return document.querySelectorAll('#chart path.place').length"), 1);
    browser.run("document.querySelector('canvas.face').focus()");
    browser.press(RIGHT);
    let moved = browser.text(".picked");
    assert!(moved != place && moved.contains(", y 80 mm"), "{moved}");
    assert_eq!(browser.errors(), Vec::<String>::new());
}

/// A card with so many warnings; with wide words, every other line is cut at its limit, too.
fn crowded_card(warnings: usize, wide: bool) -> String {
    let scenario = scenario::read(PLAIN, "small", &[]).unwrap();
    let (case, question) = (&scenario.case, &scenario.question);
    let mut outcome = study::check(case, question, &|_| true).unwrap();
    outcome.title = "long title of a casting ".repeat(if wide { 20 } else { 1 });
    outcome.casting.metal = "Wide Metal ".repeat(if wide { 40 } else { 1 });
    outcome.warnings = (0..warnings).map(|n| format!("{n} {}", "WIDE WORDS of a warning ".repeat(4))).collect();
    outcome.error.input_k = None;
    let ask = study::AdviceAsk { crayons_c: vec![150.0], gun: 0.95, looks: Vec::new(), lag_s: None, break_s: None };
    let advice = study::advice(case, question, &ask, &|_| true).unwrap();
    let touching = study::touching(case, question, advice.touch, &|_| true).unwrap();
    let (advice, touching) = (Some(&advice), Some(&touching));
    let mut instruction = study::instruction(case, question);
    if !wide {
        return html::card(&html::Card { outcome: &outcome, instruction: &instruction, advice, touching });
    }
    let probe = "WIDE_NAME_OF_A_PLACE_".repeat(9);
    let place = study::FlameOff::WhenReads { probe: probe.clone(), temperature_c: 204.4, at_most_s: 600.0 };
    (instruction.first, instruction.reheat) = (Some(place.clone()), Some(place));
    instruction.come_back = Some(study::ComeBack::WhenFalls { probe, temperature_c: 160.0, at_most_s: 600.0 });
    if let Some(ring) = &mut outcome.ring {
        ring.rule = "a rule of very many words ".repeat(20);
    }
    html::card(&html::Card { outcome: &outcome, instruction: &instruction, advice, touching })
}

/// Holds the open page against both papers.
fn on_one_sheet(browser: &Browser, name: &str) {
    for (width, height) in PAPERS {
        assert_eq!(pages_of(&browser.print(width, height)), 1, "{name} on {width} x {height} cm");
    }
}

#[test]
#[ignore = "needs a browser: .ci/browser"]
fn the_card_prints_on_one_sheet_of_either_size() {
    let desk = Desk::new();
    desk.make(&["card", "small.toml"]);
    desk.make(&["card", "hot.toml", "--out", "refused.html"]);
    std::fs::write(desk.path("long.html"), crowded_card(90, true)).unwrap();
    desk.make(&["card", "--out", "demonstration.html", "--set", "accuracy.cells_across=4"]);
    let browser = Browser::start((1200, 1400), false);
    for (name, heading) in [("card", "Predicted"), ("refused", "DO NOT USE AS AN INSTRUCTION"), ("long", "Predicted")] {
        browser.open(&desk.path(&format!("{name}.html")));
        assert!(browser.text(".banner").contains(heading), "{name}");
        on_one_sheet(&browser, name);
    }
    for warnings in [0, 4, 8, 10, 12, 14, 16, 20, 40] {
        std::fs::write(desk.path("crowded.html"), crowded_card(warnings, false)).unwrap();
        browser.open(&desk.path("crowded.html"));
        let (width, height) = PAPERS[1];
        assert_eq!(pages_of(&browser.print(width, height)), 1, "{warnings} warnings");
    }
    browser.open(&desk.path("demonstration.html"));
    on_one_sheet(&browser, "demonstration");
    assert_eq!(browser.errors(), Vec::<String>::new());
}

#[test]
#[ignore = "needs a browser: .ci/browser"]
fn the_log_sheet_prints_on_one_sheet_of_either_size() {
    let desk = Desk::new();
    let plan = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/05_an_interval_that_holds/scenario.toml");
    let probes = (0..60).map(|n| format!("probe_number_{n} = {{ at = [\"60 mm\", \"60 mm\", \"{n} mm\"] }}\n"));
    let many = format!("{}[probes]\n{}", small(), probes.collect::<String>());
    std::fs::write(desk.path("many.toml"), many.replace("</title>", &"long title of a casting ".repeat(20))).unwrap();
    let browser = Browser::start((1200, 1400), false);
    for (name, scenario) in [("plan", plan), ("hot", "hot.toml"), ("many", "many.toml")] {
        let file = format!("{name}.html");
        desk.make(&["sheet", scenario, "--out", &file]);
        browser.open(&desk.path(&file));
        on_one_sheet(&browser, name);
    }
}

#[test]
#[ignore = "needs a browser: .ci/browser"]
fn a_card_on_screen_stands_clear_of_the_edge_of_the_window() {
    let desk = Desk::new();
    desk.make(&["card", "small.toml"]);
    let browser = Browser::start((1200, 1400), false);
    browser.open(&desk.path("card.html"));
    let top = browser.run("return document.querySelector('h1').getBoundingClientRect().top");
    assert!(number(&top) > 20.0, "{top}");
}

#[test]
#[ignore = "needs a browser: .ci/browser"]
fn no_page_scrolls_sideways_on_a_phone_and_none_runs_what_a_title_plants() {
    let desk = Desk::new();
    for kind in ["report", "card", "sheet"] {
        desk.make(&[kind, "small.toml"]);
    }
    desk.trainer();
    let browser = Browser::start((390, 844), true);
    for kind in ["report", "card", "sheet", "page"] {
        browser.open(&desk.path(&format!("{kind}.html")));
        let widths = browser.run("return [document.scrollingElement.scrollWidth, window.innerWidth]");
        assert_eq!(number(&widths[1]), 390.0, "{kind}");
        assert!(number(&widths[0]) <= 390.0, "{kind}: {widths}");
        assert_ne!(browser.run("return document.title"), "planted", "{kind}");
        assert_eq!(browser.run("return document.querySelectorAll('img').length"), 0, "{kind}");
        assert_eq!(browser.errors(), Vec::<String>::new(), "{kind}");
    }
}

#[test]
#[ignore = "needs a browser: .ci/browser"]
fn a_report_prints_on_either_paper_and_its_pictures_can_be_searched() {
    let desk = Desk::new();
    desk.make(&["report", "small.toml"]);
    let browser = Browser::start((1200, 1400), false);
    browser.open(&desk.path("report.html"));
    for (width, height) in PAPERS {
        assert!((3..=12).contains(&pages_of(&browser.print(width, height))), "{width} x {height} cm");
    }
    let found = browser.run("return [window.find('heated patch'), window.find('stored in the metal')]");
    assert_eq!(found, serde_json::json!([true, true]));
}

#[test]
#[ignore = "needs a browser: .ci/browser"]
fn report_and_page_follow_a_dark_screen_card_and_sheet_stay_and_paper_is_white() {
    const WHITE: &str = "rgb(255, 255, 255)";
    const NEAR_BLACK: &str = "rgb(20, 23, 26)";
    let desk = Desk::new();
    for kind in ["report", "card", "sheet"] {
        desk.make(&[kind, "small.toml"]);
    }
    desk.trainer();
    let browser = Browser::start((1200, 1400), false);
    let ground = "return getComputedStyle(document.body).backgroundColor";
    let drawing = "const box = document.querySelector('figure:not(.legend) svg rect'); \
        return box ? getComputedStyle(box).fill : 'none'";
    for (kind, dark, drawn) in
        [("report", NEAR_BLACK, true), ("page", NEAR_BLACK, true), ("card", WHITE, false), ("sheet", WHITE, false)]
    {
        browser.open(&desk.path(&format!("{kind}.html")));
        for (medium, scheme, wanted) in [("screen", "light", WHITE), ("screen", "dark", dark), ("print", "dark", WHITE)]
        {
            browser.show_as(medium, scheme);
            assert_eq!(browser.run(ground), wanted, "{kind} on {medium}, {scheme}");
            if drawn {
                assert_eq!(browser.run(drawing), wanted, "picture of {kind} on {medium}, {scheme}");
            }
        }
    }
    assert_eq!(browser.errors(), Vec::<String>::new());
}
