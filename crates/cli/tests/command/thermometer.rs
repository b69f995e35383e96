//! `fit`, `compare` and `advice` as people use them.

use crate::shop::{Shop, code, err, flowing, json, out};

/// The small block with a torch range, and cold enough to be heated.
const WARMED: [&str; 4] = ["--set", "casting.start=20 C", "--set", "torch.flux.range=[\"-40 %\", \"+60 %\"]"];

fn run(shop: &Shop, arguments: &[&str]) -> std::process::Output {
    shop.run(&[arguments, &WARMED].concat())
}

#[test]
fn a_fit_leads_with_the_number_and_its_lines_change_the_next_check() {
    let shop = Shop::with_small();
    let output =
        run(&shop, &["fit", "small.toml", "--reading", "60 C at 1 min", "--write", "torch.toml", "--units", "metric"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let text = out(&output);
    assert!(text.starts_with("The torch brings ") && text.contains("95 % band"), "{text}");
    assert!(text.contains("What that does to the verdict") && text.contains("as fitted"), "{text}");
    let fragment = String::from_utf8(shop.read("torch.toml")).unwrap();
    assert!(fragment.contains("[torch.flux]\nflux = \"") && fragment.contains("# read 60.0 C at 60.0 s"), "{fragment}");
    // Put in place of the section, the lines are a scenario again.
    let small = String::from_utf8(shop.read("small.toml")).unwrap();
    shop.write("fitted.toml", small.replace("[torch.flux]\nflux = \"60 kW/m2\"\n", &fragment));
    let fitted = json(&shop.run(&["check", "fitted.toml", "--json", "--set", "casting.start=20 C"]));
    let answer = json(&run(&shop, &["fit", "small.toml", "--reading", "60 C at 1 min", "--json"]));
    let after = answer["verdict"]["after"]["margin_k"].as_f64().unwrap();
    assert!((fitted["margin_k"].as_f64().unwrap() - after).abs() < 0.1, "{after}");
    assert!(answer["narrower"].as_f64().unwrap() > 2.0);
}

#[test]
fn a_fit_gives_back_the_reading() {
    let shop = Shop::with_small();
    let answer = json(&run(&shop, &["fit", "small.toml", "--reading", "140 F at 60 s", "--json"]));
    let reading = &answer["readings"][0];
    assert!((reading["computed_c"].as_f64().unwrap() - 60.0).abs() < 0.05, "{reading}");
    // A torch of constant flux on constant metal: the check with it reads the same.
    let flux = format!("torch.flux.flux={} kW/m2", answer["value"].as_f64().unwrap() / 1e3);
    let outcome =
        json(&run(&shop, &["check", "small.toml", "--json", "--set", &flux, "--set", "output.times=[\"60 s\"]"]));
    let read = outcome["probes"]["patch_centre"]["temperature_c"][0].as_f64().unwrap();
    assert!((read - 60.0).abs() < 0.2, "{read}");
}

#[test]
fn what_is_wrong_with_a_reading_or_log_is_told_with_its_place() {
    let shop = Shop::with_small();
    shop.write("bad.csv", "time,place,reading\n40 s,patch_center,150 C\n2 min,patch_centre,150\n");
    shop.write("semicolons.csv", "time;place;reading\n");
    let cases: [(&[&str], &str); 13] = [
        (&["fit", "small.toml", "--reading", "150 C"], "--reading: \"150 C\" does not say when"),
        (&["fit", "small.toml", "--reading", "150 C at 40 s at nowhere"], "no probe is called \"nowhere\""),
        (&["fit", "small.toml", "--reading", "60 C at 40 s", "--noise", "2"], "--noise: \"2\" has no unit"),
        (&["fit", "small.toml"], "--reading"),
        (&["fit", "small.toml"], "--log <LOG.csv>"),
        (&["fit", "small.toml", "--reading", "-20 C at 40 s"], "is below casting.start"),
        (&["fit", "small.toml", "--log", "none.csv"], "there is no file none.csv; `warmhold example --log > log.csv`"),
        (&["fit", "small.toml", "--log", "bad.csv"], "line 3: \"150\" has no unit"),
        (
            &["compare", "small.toml", "bad.csv"],
            "line 2: no probe is called \"patch_center\": did you mean `patch_centre`?",
        ),
        (&["compare", "small.toml", "semicolons.csv"], "columns are parted by commas, not semicolons"),
        (&["compare", "small.toml", "bad.csv", "--plot", "log.pdf"], "give the picture a name such as cooling.svg"),
        (&["advice", "small.toml", "--gun", "2"], "--gun"),
        (&["advice", "small.toml", "--crayons", "300 F, 350"], "--crayons: \"350\" has no unit"),
    ];
    for (arguments, words) in cases {
        let output = shop.run(arguments);
        assert_eq!(code(&output), 2, "{arguments:?}: {}", out(&output));
        assert!(err(&output).contains(words), "{arguments:?}: {}", err(&output));
        assert!(out(&output).is_empty());
    }
}

#[test]
fn a_log_that_agrees_is_zero_and_one_that_does_not_is_one() {
    let shop = Shop::with_small();
    let outcome = json(&run(&shop, &["check", "small.toml", "--json", "--set", "output.times=[\"50 s\", \"90 s\"]"]));
    let at = |n: usize| outcome["probes"]["patch_centre"]["temperature_c"][n].as_f64().unwrap();
    let log = |off: f64| {
        let rows = [(50, at(0) + off), (90, at(1) + off)]
            .map(|(time, celsius)| format!("{time} s,patch_centre,{celsius:.1} C\n"));
        format!("time,place,reading\n{}", rows.concat())
    };
    shop.write("good.csv", log(0.0));
    shop.write("off.csv", log(90.0));
    let good = run(&shop, &["compare", "small.toml", "good.csv", "--plot", "log.svg"]);
    assert_eq!(code(&good), 0, "{}", err(&good));
    assert!(out(&good).starts_with("Model and log agree: all 2 within the error of reading"), "{}", out(&good));
    let off = run(&shop, &["compare", "small.toml", "off.csv", "--plot", "log.png"]);
    assert_eq!(code(&off), 1);
    assert!(out(&off).starts_with("Model and log do not agree: 2 of 2 readings lie outside"), "{}", out(&off));
    assert!(shop.read("log.svg").starts_with(b"<svg") && shop.read("log.png").starts_with(b"\x89PNG"));
}

#[test]
fn advice_names_the_crayons_at_hand_in_the_units_asked_for() {
    let shop = Shop::with_small();
    let advice = |more: &[&str]| out(&shop.run(&[&["advice", "small.toml"], more].concat()));
    let own = advice(&["--crayons", "310 F, 500 F", "--units", "shop"]);
    assert!(own.contains("310 F at this spot") && own.contains("500 F at the edge of the groove"), "{own}");
    assert!(advice(&["--units", "metric"]).contains("150 C at this spot"));
    assert!(!advice(&[]).contains("contact probe") && advice(&["--lag", "2 s"]).contains("contact probe"));
    assert!(advice(&["--break", "10 min"]).contains("A break of 10 min after the first flame"));
    let kept_on = "heater=[{ when = \"in intervals\", strength = \"20 %\" }]";
    let pause = flowing(&shop.run(&["advice", "small.toml", "--break", "10 min", "--set", kept_on]));
    assert!(pause.contains("kept on between flames burns all through the break"), "{pause}");
}
