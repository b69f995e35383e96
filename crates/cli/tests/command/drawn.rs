//! Pictures of answers: written whole with their words as text, the same bytes twice, none replaced unasked, light and dark.

use crate::shop::{Shop, code, err, out};

/// What is typed before the option, the option, and words that stand in the picture.
const PICTURES: [(&str, &str, &[&str]); 6] = [
    (
        "check small.toml",
        "--ledger",
        &["stored in the metal", "put in", "lost by radiation", "Not accounted for at any"],
    ),
    (RULES, "--plot", &["320 mm (12.6 in) across, soak 15 min", "50 mm (1.97 in)", "300 kg", "Flame off to flame on"]),
    (
        "explain",
        "--levers",
        &["heated to a higher reading, ", "a draft: three times the film", "As stated the ring holds"],
    ),
    ("spread --samples 128", "--plot", &["hold of the ring", "several together", "in nine of ten"]),
    (
        "compare repair.toml log.csv --set accuracy.cells_across=4",
        "--residuals",
        &["reading less computed, K", "patch_centre", "no difference"],
    ),
    (
        "fit repair.toml --log log.csv --set accuracy.cells_across=4",
        "--plot",
        &["reading less computed, K", "95 % band", "time from the start, min"],
    ),
];
const RULES: &str = "rules --masses 0.3t,2t --sections 50mm,200mm --widths 320mm --soaks 15min";
const NEAR_BLACK: &str = "#14171A";

fn shop() -> Shop {
    let shop = Shop::with_small();
    shop.write("repair.toml", out(&shop.run(&["example"])));
    shop.write("log.csv", out(&shop.run(&["example", "--log"])));
    shop
}

fn draw(shop: &Shop, typed: &str, more: &[&str]) -> std::process::Output {
    let words: Vec<&str> = typed.split(' ').collect();
    shop.run(&[words.as_slice(), more].concat())
}

fn text(shop: &Shop, name: &str) -> String {
    String::from_utf8(shop.read(name)).unwrap()
}

#[test]
fn each_is_written_with_its_words_light_and_dark_and_the_same_twice() {
    let shop = shop();
    for (typed, option, words) in PICTURES {
        let made = draw(&shop, typed, &[option, "one.svg", "--force"]);
        assert!([0, 1, 3].contains(&code(&made)), "{typed}: {}", err(&made));
        let light = text(&shop, "one.svg");
        // A long line is broken in two texts.
        let read: Vec<&str> = texts(&light);
        let joined = read.join(" ");
        for word in words {
            assert!(joined.contains(word), "{typed}: {word} in {joined}");
        }
        draw(&shop, typed, &[option, "two.svg", "--dark", "--force"]);
        let dark = text(&shop, "two.svg");
        assert_eq!(texts(&dark), read, "{typed}");
        assert!(dark.contains(NEAR_BLACK) && !light.contains(NEAR_BLACK), "{typed}");
        draw(&shop, typed, &[option, "two.svg", "--force"]);
        assert_eq!(text(&shop, "two.svg"), light, "{typed}: the same bytes");
    }
}

/// What stands between the tags.
fn texts(svg: &str) -> Vec<&str> {
    let parts = svg.split("<text").skip(1).filter_map(|part| part.split_once('>')?.1.split_once('<'));
    parts.map(|(text, _)| text.trim()).collect()
}

#[test]
fn none_is_replaced_unasked_nor_computed_in_vain() {
    let shop = shop();
    shop.write("mine.svg", "mine");
    for (typed, option, _) in PICTURES {
        for (file, says) in [("mine.svg", "--force"), ("no/a.svg", "there is no folder no"), ("a.pdf", "svg")] {
            let refused = draw(&shop, typed, &[option, file]);
            assert!(code(&refused) == 2 && err(&refused).contains(says), "{typed} {file}: {}", err(&refused));
            assert!(out(&refused).is_empty(), "{typed} {file}");
        }
    }
    assert_eq!(shop.read("mine.svg"), b"mine");
    let left = std::fs::read_dir(shop.path("")).unwrap().count();
    assert_eq!(left, 4, "nothing half written");
}

#[test]
fn dark_without_a_picture_is_refused() {
    let shop = shop();
    for typed in ["check small.toml", "explain", "spread", "rules", "plan repair.toml", "metals D2"] {
        let refused = draw(&shop, typed, &["--dark"]);
        assert!(code(&refused) == 2 && err(&refused).contains("--plot"), "{typed}: {}", err(&refused));
    }
}

#[test]
fn curve_map_metal_and_bitmaps_are_dark_when_asked() {
    let shop = shop();
    draw(&shop, "check small.toml", &["--plot", "a.svg", "--map", "b.svg", "--ledger", "c.PNG", "--dark"]);
    draw(&shop, "metals D2", &["--plot", "d.svg", "--dark"]);
    for name in ["a.svg", "b.svg", "d.svg"] {
        let drawn = text(&shop, name);
        assert!(drawn.contains(NEAR_BLACK) && !drawn.contains("#FFFFFF"), "{name}");
    }
    assert!(shop.read("c.PNG").starts_with(b"\x89PNG"));
}
