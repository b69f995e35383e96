//! Wrong inputs: exit code 2, the place by name, and what would be accepted; never a panic.

use crate::shop::{SMALL, Shop, code, err, out};

/// What is refused, how the small scenario is changed, and what standard error must say.
struct Wrong {
    what: &'static str,
    old: &'static str,
    new: &'static str,
    says: &'static [&'static str],
}

const fn wrong(what: &'static str, old: &'static str, new: &'static str, says: &'static [&'static str]) -> Wrong {
    Wrong { what, old, new, says }
}

#[rustfmt::skip]
const TABLE: &[Wrong] = &[
    wrong("no unit", "\"20 mm\"\n[window]", "\"20\"\n[window]", &["small.toml:", "\"20\" has no unit", "\"20 mm\" or \"20 in\""]),
    wrong("bare number", "minimum = \"150 C\"", "minimum = 150", &["150 has no unit", "\"150 C\" or \"150 F\""]),
    wrong("another quantity", "\"120 s\"", "\"75 mm\"", &["\"75 mm\" is a length"]),
    wrong("unknown unit", "\"120 s\"", "\"120 sekonds\"", &["120 sekonds"]),
    wrong("hopeless unit", "\"60 kW/m2\"", "\"60 furlongs\"", &["\"furlongs\"", "W/m2"]),
    wrong("clock", "\"120 s\"", "\"2:00\"", &["ambiguous", "2 min 0 s"]),
    wrong("thousands", "\"200 mm\"", "\"1,200 mm\"", &["two ways", "1200 mm"]),
    wrong("range for a value", "\"120 s\"", "\"120-150 s\"", &["two numbers"]),
    wrong("words for a number", "\"120 s\"", "\"a while\"", &["does not begin with a number"]),
    wrong("empty quantity", "\"120 s\"", "\"\"", &["nothing stands"]),
    wrong("unknown key", "width = \"160 mm\"", "widht = \"160 mm\"", &["widht", "did you mean `width`"]),
    wrong("unknown section", "[shop]", "[shopp]", &["shopp", "did you mean `shop`"]),
    wrong("key of nowhere", "[casting]", "[casting]\ncolour = \"grey\"", &["colour"]),
    wrong("missing length", "length = \"200 mm\"\n", "", &["casting", "length"]),
    wrong("missing minimum", "minimum = \"150 C\"\n", "", &["has no `minimum`"]),
    wrong("missing maximum", "maximum_interpass = \"300 C\"\n", "", &["has no `maximum_interpass`"]),
    wrong("missing air", "air = \"20 C\"\n", "", &["has no `air`"]),
    wrong("missing schedule", "interval = \"120 s\"\n", "", &["has no `interval`"]),
    wrong("missing groove", "[groove]\nlength = \"40 mm\"\nwidth = \"20 mm\"\ndepth = \"6 mm\"\n", "", &["groove"]),
    wrong("missing patch", "[patch]\ndisc = { diameter = \"120 mm\" }\n", "", &["patch"]),
    wrong("no metal", "[metal]\ndensity = \"7200 kg/m3\"\nconductivity = \"46 W/mK\"\nspecific_heat = \"500 J/kgK\"\n", "", &["metal"]),
    wrong("unknown metal", "start = \"180 C\"\n[metal]\ndensity = \"7200 kg/m3\"\nconductivity = \"46 W/mK\"\nspecific_heat = \"500 J/kgK\"\n", "start = \"180 C\"\nmetal = \"grey irn\"\n", &["grey irn", "did you mean \"grey iron\"", "H13"]),
    wrong("two metals", "start = \"180 C\"", "start = \"180 C\"\nmetal = \"D2\"", &["two metals"]),
    wrong("not a number", "emissivity = 0.8", "emissivity = nan", &["not a finite number"]),
    wrong("infinite", "emissivity = 0.8", "emissivity = inf", &["not a finite number"]),
    wrong("infinite text", "\"200 mm\"", "\"inf mm\"", &["inf mm"]),
    wrong("huge exponent", "\"200 mm\"", "\"1e400 mm\"", &["1e400 mm"]),
    wrong("negative length", "\"200 mm\"", "\"-200 mm\"", &["-200 mm"]),
    wrong("zero depth of casting", "\"60 mm\"", "\"0 mm\"", &["0 mm", "accepted"]),
    wrong("negative film", "\"8 W/m2K\"", "\"-8 W/m2K\"", &["negative", "accepted"]),
    wrong("absurd length", "\"200 mm\"", "\"200 km\"", &["200 km"]),
    wrong("absurdly hot", "\"180 C\"", "\"18000 C\"", &["18000 C", "accepted"]),
    wrong("below absolute zero", "\"180 C\"", "\"-300 C\"", &["absolute zero"]),
    wrong("emissivity above one", "emissivity = 0.8", "emissivity = 1.8", &["1.8", "accepted: 0 to 1"]),
    wrong("emissivity in quotes", "emissivity = 0.8", "emissivity = \"0.8\"", &["write 0.8"]),
    wrong("half a reheat", "reheats = 1", "reheats = 1.5", &["whole number"]),
    wrong("reheats without end", "reheats = 1", "reheats = 100000", &["accepted"]),
    wrong("negative reheats", "reheats = 1", "reheats = -1", &["negative", "accepted"]),
    wrong("no bead", "per_heat = 1", "per_heat = 0", &["per_heat"]),
    wrong("patch off the casting", "disc = { diameter = \"120 mm\" }", "disc = { diameter = \"120 mm\" }\ncentre = [\"2 m\", \"0.1 m\"]", &["patch"]),
    wrong("groove off the casting", "depth = \"6 mm\"", "depth = \"6 mm\"\ncentre = [\"2 m\", \"0.1 m\"]", &["groove"]),
    wrong("probe off the casting", "[accuracy]", "[probes]\nfar = { at = [\"9 m\", \"0 m\", \"0 m\"] }\n[accuracy]", &["far"]),
    wrong("minimum above maximum", "minimum = \"150 C\"", "minimum = \"350 C\"", &["minimum", "maximum_interpass"]),
    wrong("heating below the minimum", "[window]", "[window]\nheat_to = \"100 C\"", &["heating stops below the minimum"]),
    wrong("window with no torch", "[torch.flux]\nflux = \"60 kW/m2\"\n", "", &["window with no heat", "[torch.flux]"]),
    wrong("two torches", "[schedule.cycles]", "[torch.flame]\nfilm_coefficient = \"180 W/m2K\"\ngas = \"1400 C\"\n[schedule.cycles]", &["more than one kind of torch"]),
    wrong("two schedules", "[passes]", "[schedule.spans]\non = []\nend = \"1 h\"\n[passes]", &["two schedules"]),
    wrong("unknown gas", "[torch.flux]\nflux = \"60 kW/m2\"\n", "[torch.fuel]\ngas = \"propan\"\nrate = \"1 kg/h\"\n", &["propan", "propane"]),
    wrong("unknown probe", "heat_up = { for = \"60 s\" }", "heat_up = { until = \"ring_coldst\", reads = \"200 C\", at_most = \"1 h\" }", &["ring_coldst", "ring_coldest"]),
    wrong("heating without end", "heat_up = { for = \"60 s\" }", "heat_up = { until = \"ring_coldest\", reads = \"200 C\" }", &["at_most"]),
    wrong("watch on nothing", "[accuracy]", "[[watch]]\nprobe = \"nobody\"\nbelow = \"100 C\"\n[accuracy]", &["nobody"]),
    wrong("range the wrong way", "flux = \"60 kW/m2\"", "flux = \"60 kW/m2\"\nrange = [\"+30 %\", \"-30 %\"]", &["range"]),
    wrong("range beside its value", "flux = \"60 kW/m2\"", "flux = \"60 kW/m2\"\nrange = [\"70 kW/m2\", \"80 kW/m2\"]", &["range"]),
    wrong("a list for one value", "minimum = \"150 C\"", "minimum = [\"150 C\"]", &["minimum"]),
    wrong("a value for a table", "disc = { diameter = \"120 mm\" }", "disc = \"120 mm\"", &["disc"]),
    wrong("key twice", "width = \"160 mm\"", "width = \"160 mm\"\nwidth = \"160 mm\"", &["width"]),
    wrong("missing quote", "\"160 mm\"", "\"160 mm", &["small.toml:4"]),
    wrong("no quotes", "\"160 mm\"", "160 mm", &["small.toml:4"]),
    wrong("bracket left open", "[casting]", "[casting", &["small.toml:2"]),
    wrong("printed quotes", "\"160 mm\"", "“160 mm”", &["must stand in quotes"]),
    wrong("printed quotes inside", "\"160 mm\"", "\"“160 mm”\"", &["does not begin with a number", "\"8 in\""]),
    wrong("two kinds of quotes", "\"160 mm\"", "\"160 mm'", &["quotes", "close the quotes"]),
    wrong("inch sign in quotes", "\"160 mm\"", "\"6 1/2\"\"", &["small.toml:4:16", "quotes"]),
    wrong("comma decimal", "\"160 mm\"", "\"160,5 mm\"", &["two ways", "\"160.5 mm\""]),
    wrong("key with a dash", "maximum_interpass =", "maximum-interpass =", &["no key `maximum-interpass`", "did you mean `maximum_interpass`"]),
    wrong("key in capitals", "minimum = ", "Minimum = ", &["no key `Minimum`", "did you mean `minimum`"]),
    wrong("section in capitals", "[ring]", "[Ring]", &["no key `Ring`", "did you mean `ring`"]),
    wrong("section twice", "[ring]", "[ring]\nwidth = \"3 in\"\n[ring]", &["`ring` stands here a second time", "keep one"]),
    wrong("count in quotes", "per_heat = 1", "per_heat = \"1\"", &["a whole number is due", "write 1"]),
    wrong("count in words", "per_heat = 1", "per_heat = two", &["a bare word"]),
    wrong("interval without end", "\"120 s\"", "\"1e9 h\"", &["above what is accepted", "up to 720 h"]),
    wrong("interval shorter than its beads", "\"120 s\"", "\"30 s\"", &["the planned passes take", "fewer passes"]),
    wrong("no interval", "\"120 s\"", "\"0 s\"", &["not above zero", "accepted: above 0 s"]),
    wrong("bead of no time", "arc_time = \"20 s\"", "arc_time = \"0 s\"", &["not above zero", "accepted: above 0 s"]),
    wrong("bead before the flame goes off", "first_after = \"20 s\"", "first_after = \"-20 s\"", &["negative", "accepted: 0 s"]),
    wrong("minus from a book", "minimum = \"150 C\"", "minimum = \"−150 C\"", &["below what is accepted", "accepted: -60 C"]),
    wrong("minimum as high as the maximum", "minimum = \"150 C\"", "minimum = \"300 C\"", &["the minimum is not below the maximum", "qualified procedure"]),
    wrong("sheet in place of a casting", "\"60 mm\"", "\"3 mm\"", &["below what is accepted", "accepted: 5.0 mm"]),
    wrong("groove through the plate", "\"60 mm\"", "\"5 mm\"", &["the groove goes through", "make it shallower"]),
    wrong("disc beyond any casting", "\"120 mm\" }", "\"60 m\" }", &["above what is accepted", "up to 50.0 m"]),
    wrong("feet without inches", "\"200 mm\"", "\"5'2\"", &["\"2\" has no unit", "\"2 in\""]),
    wrong("a date", "\"20 mm\"\n[window]", "75-10-10\n[window]", &["date", "goes in quotes"]),
    wrong("too fine a grid", "cells_across = 4", "cells_across = 4000", &["accepted: 4 to 48"]),
];

/// Whether one of the changed lines is shown with its number.
fn in_place(said: &str, wrong: &Wrong) -> bool {
    let first = SMALL[..SMALL.find(wrong.old).unwrap()].matches('\n').count() + 1;
    let last = first + wrong.new.matches('\n').count();
    let shown = said.lines().filter_map(|line| line.split_once('|')?.0.trim().parse().ok());
    shown.into_iter().any(|line: usize| (first..=last).contains(&line))
}

/// What is not as it should be with one wrong value.
fn complaint(shop: &Shop, wrong: &Wrong) -> Option<String> {
    if !SMALL.contains(wrong.old) {
        return Some(format!("{}: the scenario has no {:?}", wrong.what, wrong.old));
    }
    shop.write("small.toml", SMALL.replacen(wrong.old, wrong.new, 1));
    let output = shop.run(&["check", "small.toml"]);
    let said = err(&output);
    let named = said.contains("small.toml:") && !said.contains("panicked") && out(&output).is_empty();
    let missed: Vec<&&str> = wrong.says.iter().filter(|says| !said.contains(**says)).collect();
    let named = named && (wrong.new.is_empty() || in_place(&said, wrong)) && said.contains("help: ");
    let good = code(&output) == 2 && named && missed.is_empty();
    (!good).then(|| format!("{}: exit {}, missed {missed:?} in\n{said}", wrong.what, code(&output)))
}

#[test]
fn every_wrong_value_is_refused_at_its_place_with_what_is_accepted() {
    let shop = Shop::new();
    let complaints: Vec<String> = TABLE.iter().filter_map(|wrong| complaint(&shop, wrong)).collect();
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
    assert!(TABLE.len() >= 80);
}

#[test]
fn all_problems_are_shown_at_once() {
    let shop = Shop::new();
    let text = SMALL
        .replace("\"200 mm\"", "200")
        .replace("emissivity = 0.8", "emissivity = nan")
        .replace("minimum = \"150 C\"", "minimum = \"950 C\"")
        .replace("per_heat", "per_heet");
    shop.write("small.toml", text);
    let said = err(&shop.run(&["check", "small.toml"]));
    for part in ["200 has no unit", "not a finite number", "maximum", "per_heet", "errors in small.toml"] {
        assert!(said.contains(part), "{part} in {said}");
    }
}

#[test]
fn files_that_are_no_scenario_are_refused_by_name() {
    let shop = Shop::with_small();
    shop.write("empty.toml", "");
    shop.write("blank.toml", " \n\n\t");
    shop.write("latin.toml", b"title = \"200 \xb0C\"\n");
    shop.write("utf16.toml", b"\xff\xfet\0i\0");
    shop.write("binary.toml", [0u8, 1, 2, 3, 255, 254, 0, 7]);
    shop.write("text.toml", "Dear welder, please heat the die.\n");
    shop.write("huge.toml", vec![b'#'; 5_000_000]);
    std::fs::create_dir(shop.path("folder.toml")).unwrap();
    let cases = [
        ("empty.toml", "is empty"),
        ("blank.toml", "is empty"),
        ("latin.toml", "not UTF-8"),
        ("utf16.toml", "UTF-16"),
        ("binary.toml", "not UTF-8"),
        ("text.toml", "text.toml:1"),
        ("huge.toml", "larger than 4 MB"),
        ("folder.toml", "is a folder"),
        ("smal.toml", "did you mean small.toml?"),
        ("no/such.toml", "there is no folder no"),
    ];
    for (file, says) in cases {
        let output = shop.run(&["check", file]);
        assert_eq!(code(&output), 2, "{file}");
        assert!(err(&output).contains(says) && err(&output).contains(file), "{file}: {}", err(&output));
    }
}

#[test]
fn nothing_on_standard_input_is_refused() {
    let output = Shop::new().command(&["check", "-"]).write_stdin("").output().unwrap();
    assert_eq!(code(&output), 2);
    assert!(err(&output).contains("standard input is empty"), "{}", err(&output));
}

#[test]
fn control_characters_never_reach_the_terminal() {
    let shop = Shop::new();
    shop.write("small.toml", SMALL.replace("Small block", "\\u001b[2J\\u202e block \\u0007"));
    let shown = out(&shop.run(&["check", "small.toml"]));
    assert!(shown.contains("block") && shown.chars().all(|c| c == '\n' || !c.is_control()), "{shown:?}");
    shop.write("small.toml", SMALL.replace("\"200 mm\"", "\"200 \\u001b[31mmm\""));
    let output = shop.run(&["check", "small.toml"]);
    assert_eq!(code(&output), 2);
    assert!(err(&output).chars().all(|c| c == '\n' || !c.is_control()), "{:?}", err(&output));
    let named = shop.run(&["check", "a\u{1b}[2J.toml"]);
    assert!(err(&named).chars().all(|c| c == '\n' || !c.is_control()), "{:?}", err(&named));
}

#[test]
fn wrong_options_are_refused_with_what_is_accepted() {
    let shop = Shop::with_small();
    let cases: [(&[&str], &[&str]); 16] = [
        (&["check", "small.toml", "--set", "ring.width"], &["ring.width=100 mm"]),
        (&["check", "small.toml", "--set", "=1"], &["empty part"]),
        (&["check", "small.toml", "--set", "ring.width=75"], &["--set", "\"75 mm\" or \"75 in\""]),
        (&["check", "small.toml", "--set", "ring.wdth=75 mm"], &["did you mean `width`"]),
        (&["check", "small.toml", "--units", "furlong"], &["metric, shop, both"]),
        (&["check", "small.toml", "--threads", "0"], &["from 1 to 256"]),
        (&["check", "small.toml", "--plot", "a.gif"], &["neither .svg nor .png"]),
        (&["chekc"], &["check"]),
        (&["hold"], &["--minimum is missing"]),
        (&["hold", "--minimum", "300"], &["\"300 C\" or \"300 F\""]),
        (&["hold", "--minimum", "300 F", "--maximum", "200 F"], &["the minimum is not below"]),
        (&["hold", "--minimum", "300 F", "--size", "2 m"], &["3 sides are due and 1 found"]),
        (&["hold", "--minimum", "300 F", "--metal", "irn"], &["--metal", "grey iron"]),
        (&["hold", "--minimum", "300 F", "--rate", "2.2"], &["--rate", "has no unit"]),
        (&["hold", "--minimum", "300 F", "--to", "400 F", "--for", "9 min"], &["--for"]),
        (&["start", "--minimum", "300 F"], &["--maximum is missing", "In a pipe nothing is asked"]),
    ];
    for (arguments, says) in cases {
        let output = shop.run(arguments);
        assert_eq!(code(&output), 2, "{arguments:?}");
        for part in says {
            assert!(err(&output).contains(part), "{arguments:?}: {part} in {}", err(&output));
        }
        assert!(out(&output).is_empty(), "{arguments:?}");
    }
}
