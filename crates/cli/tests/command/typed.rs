//! Slips of a tired hand on the command line: one clear line that says what to type instead.

use crate::shop::{SMALL, Shop, code, err, out};

/// What is typed and what standard error must say: the place, the reason, and what to type.
type Slip = (&'static [&'static str], &'static [&'static str]);

#[rustfmt::skip]
const SLIPS: &[Slip] = &[
    (&["hold", "--minimum", "300", "F"], &["F stands alone", "goes in quotes: --minimum \"300 F\""]),
    (&["hold", "300F"], &["300F belongs to no option", "--minimum \"300F\""]),
    (&["hold", "-minimum", "300 F"], &["-minimum", "two plain hyphens", "--minimum"]),
    (&["hold", "–minimum", "300 F"], &["–minimum", "two plain hyphens", "type --minimum"]),
    (&["hold", "--minimum", "“300", "F”"], &["quotes of “300", "plain \" of the keyboard"]),
    (&["check", "my", "repair.toml"], &["repair.toml stands alone", "check \"my repair.toml\""]),
    (&["check", "small.toml", "--set", "ring.width=100", "mm"], &["mm stands alone", "--set \"ring.width=100 mm\""]),
    (&["hold", "--minimum", ""], &["--minimum", "nothing stands", "\"400 F\""]),
    (&["hold", "--minimum", "300 degrees"], &["--minimum", "\"degrees\"", "C, F, K"]),
    (&["hold", "--minimum", "400-500 F"], &["--minimum", "two numbers", "\"400 F\""]),
    (&["hold", "--minimum", "300,5 F"], &["--minimum", "two ways", "\"300.5 F\""]),
    (&["hold", "--minimum", "about 300 F"], &["--minimum", "does not begin with a number", "\"400 F\""]),
    (&["hold", "--minimum", "3oo F"], &["--minimum", "\"oo F\"", "C, F, K"]),
    (&["hold", "--minimum", "300 F", "--to", "290 F"], &["--to", "stops below the minimum", "give more"]),
    (&["hold", "--minimum", "500 F", "--maximum", "300 F"], &["--maximum", "the minimum is not below it", "procedure"]),
    (&["hold", "--minimum", "300 F", "--heated", "12"], &["--heated", "no unit", "\"12 mm\" or \"12 in\""]),
    (&["hold", "--minimum", "300 F", "--heated", "5'2"], &["--heated", "no unit", "\"2 in\""]),
    (&["hold", "--minimum", "300 F", "--heated", "-12 in"], &["-12 in", "not above zero", "accepted: above 0 mm"]),
    (&["hold", "--minimum", "300 F", "--heated", "0 in"], &["0 in", "not above zero", "1 error in"]),
    (&["hold", "--minimum", "300 F", "--size", "2400x1500x600"], &["--size", "no unit", "\"2400 mm\""]),
    (&["hold", "--minimum", "300 F", "--size", "15 t"], &["--size", "3 sides are due", "2.4 m x 1.5 m x 0.6 m"]),
    (&["hold", "--minimum", "300 F", "--size", "2 m x 1 m x 3 mm"], &["depth = \"3 mm\"", "below what is accepted", "accepted: 5.0 mm"]),
    (&["hold", "--minimum", "300 F", "--groove", "60 mm x 20 mm"], &["--groove", "3 sides are due", "60 mm x 20 mm x 6 mm"]),
    (&["hold", "--minimum", "300 F", "--beads", "0"], &["--beads", "'0'", "a whole number from 1 to 100"]),
    (&["hold", "--minimum", "300 F", "--beads", "two"], &["--beads", "'two'", "a whole number from 1 to 100"]),
    (&["hold", "--minimum", "300 F", "--beads", "-1"], &["--beads", "'-1'", "a whole number from 1 to 100"]),
    (&["hold", "--minimum", "300 F", "--for", "5:00"], &["--for", "ambiguous", "5 min 0 s"]),
    (&["hold", "--minimum", "300 F", "--for", "10m"], &["--for", "is a length", "8 h 30 min"]),
    (&["hold", "--minimum", "300 F", "--for", "1000 h"], &["1000 h", "above what is accepted", "up to 720 h"]),
    (&["hold", "--minimum", "300 F", "--power", "120 A"], &["--power", "not a known unit", "kW"]),
    (&["hold", "--minimum", "300 F", "--flux", "250 kW"], &["--flux", "is a power", "kW/m2"]),
    (&["small.toml"], &["small.toml is no command", "type warmhold check small.toml"]),
    (&["check", "small.toml", "other.toml"], &["check takes one scenario", "other.toml is one more"]),
    (&["check", "small.toml", "--json", "out.json"], &["--json takes no value", "--json > out.json"]),
    (&["check", "small.toml", "--full", "yes"], &["--full takes no value", "leave yes out"]),
    (&["check", "small.toml", "--plot", "a.svg", "--dark", "yes"], &["--dark takes no value", "leave yes out"]),
    (&["spread", "--seed", "-1"], &["--seed", "a whole number from 0 on"]),
    (&["spread", "--seed", "1.5"], &["--seed", "a whole number from 0 on"]),
    (&["cool", "small.toml", "--blanket", "1e300 mm"], &["--blanket", "up to 50 m", "\"300 mm\""]),
    (&["cool", "small.toml", "--blanket-conductivity", "1e9 W/mK"], &["--blanket-conductivity", "up to 1000 W/mK"]),
    (&["plan", "small.toml", "--least-soak", "1e300 s"], &["--least-soak", "up to 30 days"]),
    (&["rules", "--masses", "1e300 t"], &["--masses", "up to 1000 t", "\"5 t\""]),
    (&["rules", "--masses", "5 t; 6 t"], &["--masses", "by commas", "not by semicolons"]),
    (&["rules", "--masses", "10t 20t"], &["--masses", "by commas: write \"10t, 20t\""]),
    (&["rules", "--sections", "40 mm 75 mm"], &["--sections", "by commas: write \"40 mm, 75 mm\""]),
    (&["rules", "--part", "5/4", "--resume-from", "rules.jsonl"], &["--part", "'5/4'", "such as 2/4"]),
    (&["fit", "small.toml", "--log", "."], &[". is a folder, and a log of readings is due"]),
    (&["report", "small.toml", "--out", "."], &["neither .html nor .htm"]),
    (&["card", "small.toml", "--out", "card.svg"], &["card.svg ends in neither .html nor .htm", "card.html"]),
    (&["check", "small.toml", "--csv", "."], &[". is a folder, and the name of a file to write is due"]),
    (&["check", "small.toml", "--units", "furlong"], &["--units", "metric, shop, both"]),
    (&["metals", "GG25"], &["\"GG25\"\nKnown", "grey iron 250"]),
];

#[test]
fn every_slip_is_answered_with_what_to_type() {
    let shop = Shop::with_small();
    for (typed, says) in SLIPS {
        let output = shop.run(typed);
        let said = err(&output);
        assert_eq!(code(&output), 2, "{typed:?}: {said}");
        assert!(out(&output).is_empty() && !said.contains("panicked"), "{typed:?}: {said}");
        for part in *says {
            assert!(said.contains(part), "{typed:?}: {part} in {said}");
        }
    }
}

#[test]
fn what_is_meant_plainly_is_taken() {
    let shop = Shop::new();
    let quick = ["hold", "--minimum", "300F", "--size", "8' x 5' x 2'", "--cells", "4", "--json"];
    let other_words: [&[&str]; 3] = [
        &["--air", "-10 C", "--heated", "12in"],
        &["--air", "14 °F", "--heated", "12\""],
        &["--air", "14 fahrenheit", "--heated", "12 inches"],
    ];
    let answers =
        other_words.map(|words| crate::shop::json(&shop.run(&[&quick[..], words].concat()))["hold_s"].clone());
    assert!(answers[0].is_number() && answers.iter().all(|answer| answer == &answers[0]), "{answers:?}");
}

#[test]
fn a_ring_as_wide_as_the_die_is_offered_the_whole_face() {
    let quick = ["hold", "--minimum", "300 F", "--size", "400 x 300 x 100 mm", "--ring", "2 m", "--cells", "4"];
    let output = Shop::new().run(&quick);
    assert_eq!(code(&output), 0, "{}", err(&output));
    assert!(out(&output).contains("--heated \"400 mm x 300 mm\""), "{}", out(&output));
}

#[test]
fn files_of_other_editors_are_read() {
    let shop = Shop::with_small();
    let plain = shop.run(&["check", "small.toml"]);
    let others = [
        ("mark.toml", format!("\u{feff}{SMALL}")),
        ("windows.toml", SMALL.replace('\n', "\r\n")),
        ("single.toml", SMALL.replace('"', "'")),
        ("wide.toml", SMALL.replace("200 mm", "200\u{a0}mm")),
    ];
    for (name, text) in others {
        shop.write(name, text);
        let output = shop.run(&["check", name]);
        assert_eq!(code(&output), code(&plain), "{name}: {}", err(&output));
        assert_eq!(out(&output).lines().next(), out(&plain).lines().next(), "{name}");
    }
}
