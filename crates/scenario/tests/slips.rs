//! Slips of writing: each is told once, at its line, with the line to type, and that line is taken.

use scenario::{Problems, Scenario, read};

const BASE: &str = r#"title = "Slips"
[casting]
length = "2.4 m"
width = "1.5 m"
depth = "0.6 m"
metal = "grey iron 250"
start = "20 C"
[shop]
air = "20 C"
[faces]
film_coefficient = "8 W/m2K"
emissivity = 0.8
[patch]
disc = { diameter = "300 mm" }
centre = ["1.2 m", "0.75 m"]
[torch.flux]
flux = "120 kW/m2"
[schedule.spans]
on = [["0 s", "300 s"]]
end = "1 h"
[probes]
middle = { at = ["1.2 m", "0.75 m", "0 m"] }
"#;

fn refused(text: &str) -> Problems {
    read(text, "slips.toml", &[]).err().unwrap_or_else(|| panic!("taken:\n{text}"))
}

fn taken(text: &str) -> Scenario {
    read(text, "slips.toml", &[]).unwrap_or_else(|problems| panic!("{problems}\n{text}"))
}

/// What stands in the base, what is typed in its place, and what the help says to type.
type Slip = (&'static str, &'static str, &'static str);

#[rustfmt::skip]
const SLIPS: &[Slip] = &[
    ("width = \"1.5 m\"", "width: \"1.5 m\"", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width \"1.5 m\"", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width := \"1.5 m\"", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width == \"1.5 m\"", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "\"width = \"1.5 m\"", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width = 1.5 m", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width = \"1.5 m", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width = 1.5 m\"", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width = \"1.5\" m", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width = “1.5 m”", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width = \"1.5 m'", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width = 1,5 m", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width = \"1.5 m\",", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width = \"1.5 m\";", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width =", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width", "width = \"1.5 m\""),
    ("width = \"1.5 m\"", "width = \"1.5 m\" // across", "width = \"1.5 m\" # across"),
    ("width = \"1.5 m\"", "width = 60\"", "width = \"60 in\""),
    ("emissivity = 0.8", "emissivity = 0,8", "emissivity = 0.8"),
    ("emissivity = 0.8", "emissivity = .8", "emissivity = 0.8"),
    ("emissivity = 0.8", "emissivity : 0.8", "emissivity = 0.8"),
    ("[casting]", "[casting", "[casting]"),
    ("[casting]", "casting]", "[casting]"),
    ("[casting]", "casting:", "[casting]"),
    ("[casting]", "[casting]]", "[casting]"),
    ("[faces]", "(faces)", "[faces]"),
    ("disc = { diameter = \"300 mm\" }", "disc = { diameter: \"300 mm\" }", "disc = { diameter = \"300 mm\" }"),
    ("disc = { diameter = \"300 mm\" }", "disc = { diameter = 300 mm }", "disc = { diameter = \"300 mm\" }"),
    ("disc = { diameter = \"300 mm\" }", "disc = { diameter = \"300 mm\"", "disc = { diameter = \"300 mm\" }"),
    ("disc = { diameter = \"300 mm\" }", "disc = ( diameter = \"300 mm\" )", "disc = { diameter = \"300 mm\" }"),
    ("centre = [\"1.2 m\", \"0.75 m\"]", "centre = [\"1.2 m\" \"0.75 m\"]", "centre = [\"1.2 m\", \"0.75 m\"]"),
    ("centre = [\"1.2 m\", \"0.75 m\"]", "centre = [\"1.2 m\"; \"0.75 m\"]", "centre = [\"1.2 m\", \"0.75 m\"]"),
    ("centre = [\"1.2 m\", \"0.75 m\"]", "centre = [\"1.2 m, \"0.75 m\"]", "centre = [\"1.2 m\", \"0.75 m\"]"),
    ("centre = [\"1.2 m\", \"0.75 m\"]", "centre = [1.2 m, 0.75 m]", "centre = [\"1.2 m\", \"0.75 m\"]"),
    ("centre = [\"1.2 m\", \"0.75 m\"]", "centre = \"1.2 m\", \"0.75 m\"", "centre = [\"1.2 m\", \"0.75 m\"]"),
    ("centre = [\"1.2 m\", \"0.75 m\"]", "centre = [\"1.2 m\", \"0.75 m\"", "centre = [\"1.2 m\", \"0.75 m\"]"),
    ("on = [[\"0 s\", \"300 s\"]]", "on = [[\"0 s\", \"300 s\"]", "on = [[\"0 s\", \"300 s\"]]"),
    ("[patch]", "// what is heated\n[patch]", "# what is heated"),
];

#[test]
fn each_slip_is_told_once_at_its_line_and_the_line_to_type_is_taken() {
    for (from, to, typed) in SLIPS {
        let problems = refused(&BASE.replacen(from, to, 1));
        let shown = problems.render(false);
        assert_eq!(problems.list.len(), 1, "{to}:\n{shown}");
        let problem = &problems.list[0];
        let line = BASE[..BASE.find(from).unwrap()].matches('\n').count() + 1;
        assert_eq!(
            (problem.code, problems.line_and_column(problem.spans[0].place).0),
            ("E002", line),
            "{to}:\n{shown}"
        );
        let help = problem.help.as_deref().unwrap_or_default();
        assert!(
            help.contains(&format!(": type {typed}")) || help.ends_with(&format!("for example: type {typed}")),
            "{to}:\n{shown}"
        );
        let end = if to.ends_with("[patch]") { "\n[patch]" } else { "" };
        taken(&BASE.replacen(from, &format!("{typed}{end}"), 1));
    }
}

#[test]
fn a_slip_inside_a_list_over_several_lines_is_told_at_its_own_line() {
    let list = |second: &str| {
        let lines = format!(
            "hollow = [\n  {{ from = [\"0 m\", \"0 m\", \"0.1 m\"], to = [\"0.1 m\", \"0.1 m\", \"0.2 m\"] }},\n  {second}\n]"
        );
        BASE.replace("[shop]", &format!("{lines}\n[shop]"))
    };
    let right = "{ from = [\"1 m\", \"0 m\", \"0.1 m\"], to = [\"1.1 m\", \"0.1 m\", \"0.2 m\"] },";
    taken(&list(right));
    for wrong in
        [right.replace("from =", "from:"), right.replace("\"1 m\",", "\"1 m\""), right.replace("\"0 m\"", "0 m")]
    {
        let problems = refused(&list(&wrong));
        let shown = problems.render(false);
        assert_eq!(problems.list.len(), 1, "{shown}");
        assert_eq!(problems.line_and_column(problems.list[0].spans[0].place).0, 10, "{shown}");
        assert!(shown.contains(&format!("type {right}")), "{shown}");
    }
}

#[test]
fn several_slips_are_told_together_and_none_twice() {
    let text = BASE
        .replace("width = ", "width: ")
        .replace("disc = { diameter = \"300 mm\" }", "disc = { diameter = \"300 mm\"")
        .replace("end = \"1 h\"", "end = 1 h");
    let problems = refused(&text);
    let lines: Vec<usize> = problems.list.iter().map(|p| problems.line_and_column(p.spans[0].place).0).collect();
    assert_eq!(lines, [4, 14, 20], "{problems}");
}

#[test]
fn what_stands_twice_is_shown_at_both_places() {
    for (from, to, lines) in [
        ("start = \"20 C\"", "start = \"20 C\"\nwidth = \"1.5 m\"", [8, 4]),
        ("[probes]", "[shop]\nair = \"20 C\"\n[probes]", [21, 8]),
    ] {
        let problems = refused(&BASE.replacen(from, to, 1));
        assert_eq!(problems.list.len(), 1, "{problems}");
        let found: Vec<usize> =
            problems.list[0].spans.iter().map(|span| problems.line_and_column(span.place).0).collect();
        assert_eq!(found, lines, "{problems}");
        assert!(problems.render(false).contains("a second time: keep one of the two"), "{problems}");
    }
}

#[test]
fn a_file_of_another_kind_is_not_told_line_by_line() {
    let table = "probe,time_s,temperature_c\n".to_owned() + &"patch_centre,1.5,20.3\n".repeat(3000);
    let problems = refused(&table);
    let shown = problems.render(false);
    assert!(problems.list.len() == 1 && shown.contains("this is no scenario"), "{shown}");
    let slips = BASE.to_owned() + &"patch_centre,1.5,20.3\n".repeat(3000);
    let shown = refused(&slips).render(false);
    assert!(shown.contains("9 errors in") && shown.contains("mend those above first"), "{shown}");
}

#[test]
fn brackets_of_one_section_and_of_a_list_of_them_are_told_apart() {
    let one = refused(&BASE.replace("[casting]", "[[casting]]")).render(false);
    assert!(one.contains("`casting` is a section") && one.contains("help: write [casting]"), "{one}");
    let heater = "[heater]\nflux = \"20 kW/m2\"\nwhen = \"always\"\n[probes]";
    let many = refused(&BASE.replace("[probes]", heater)).render(false);
    assert!(many.contains("`heater` is a list of sections") && many.contains("help: write [[heater]]"), "{many}");
}

#[test]
fn elements_of_lists_are_counted_from_one_with_their_lines() {
    let heater = "[[heater]]\nflux = \"20 kW/m2\"\nwhen = \"always\"\n";
    let lists = [
        (format!("{heater}[[heater]]\nflux = \"20 kW/m2\"\n[probes]"), "the 2nd [[heater]] has no `when`", 24),
        (format!("{heater}watts = 3\n[probes]"), "the 1st [[heater]] has no key `watts`", 24),
        ("[[cover]]\nwhen = \"always\"\n[probes]".to_owned(), "the 1st [[cover]] has no `blanket`", 21),
        (
            "[[casting.hollow]]\nfrom = [\"0 m\", \"0 m\", \"0.1 m\"]\n[probes]".to_owned(),
            "the 1st [[casting.hollow]] has no `to`",
            21,
        ),
        ("[[watch]]\nbelow = \"150 C\"\n[probes]".to_owned(), "the 1st [[watch]] has no `probe`", 21),
    ];
    for (section, says, line) in lists {
        let problems = refused(&BASE.replace("[probes]", &section));
        let shown = problems.render(false);
        assert!(shown.contains(says) && !shown.contains(".0"), "{says}:\n{shown}");
        let problem = problems.list.iter().find(|problem| problem.message.contains(says)).unwrap();
        assert_eq!(problems.line_and_column(problem.spans[0].place).0, line, "{shown}");
    }
}

#[test]
fn ribs_of_a_millimetre_are_refused_at_once_and_the_pitch_to_type_is_taken() {
    let ribbed = |thickness: &str, pitch: &str| {
        let ribs = format!("ribs = {{ wall = \"50 mm\", thickness = \"{thickness}\", pitch = \"{pitch}\" }}\n[shop]");
        BASE.replace("[shop]", &ribs)
    };
    let start = std::time::Instant::now();
    let shown = refused(&ribbed("0.4 mm", "1 mm")).render(false);
    assert!(start.elapsed().as_secs() < 5, "{:?}", start.elapsed());
    assert!(shown.contains("make 3600000 cells") && shown.contains("too fine"), "{shown}");
    let pitch = shown.split("pitch = \"").nth(2).and_then(|rest| rest.split('"').next()).unwrap().to_owned();
    let scenario = taken(&ribbed("0.4 mm", &pitch));
    assert!(scenario.case.hollows.boxes.len() > 3000, "{pitch}: {}", scenario.case.hollows.boxes.len());
}

#[test]
fn hollows_may_reach_into_each_other_but_not_cut_the_casting() {
    let with = |hollows: &str| BASE.replace("[shop]", &format!("hollow = [{hollows}]\n[shop]"));
    let hollow = |from: &str, to: &str| format!("{{ from = [{from}], to = [{to}] }}");
    let upper = hollow("\"0.2 m\", \"0 m\", \"0 m\"", "\"0.3 m\", \"1.5 m\", \"0.4 m\"");
    let lower = hollow("\"0.2 m\", \"0 m\", \"0.4 m\"", "\"0.3 m\", \"1.5 m\", \"0.6 m\"");
    taken(&with(&upper));
    taken(&with(&lower));
    let problems = refused(&with(&format!("{upper},\n {lower}")));
    let shown = problems.render(false);
    assert!(shown.contains("E037") && shown.contains("into 2 parts"), "{shown}");
    let lines: Vec<usize> = problems.list[0].spans.iter().map(|span| problems.line_and_column(span.place).0).collect();
    assert_eq!(lines, [8, 9], "{shown}");
}

#[test]
fn cylinders_are_only_asked_for_where_acetylene_is_drawn_from_them() {
    let with = |fuel: &str| {
        BASE.replace("[torch.flux]\nflux = \"120 kW/m2\"", &format!("[torch.fuel]\nrate = \"1 kg/h\"\n{fuel}"))
    };
    assert!(refused(&with("gas = \"acetylene\"\ncylinders = 2")).render(false).contains("has no `cylinder_contents`"));
    let warnings = |fuel: &str| taken(&with(fuel)).question.warnings;
    assert_eq!(warnings("gas = \"propane\""), Vec::<String>::new());
    for said in ["cylinders = 2", "cylinder_contents = \"6 m3\"", "cylinders_cold = true"] {
        let told = warnings(&format!("gas = \"propane\"\n{said}"));
        assert!(told.len() == 1 && told[0].contains("line 19") && told[0].contains("cylinders of propane"), "{told:?}");
    }
}

#[test]
fn a_ring_that_the_edge_cuts_is_told_with_the_width_that_is_left() {
    let window = "[window]\nminimum = \"150 C\"\nmaximum_interpass = \"260 C\"\n";
    let cycles = "[schedule.cycles]\nheat_up = { for = \"5 min\" }\ninterval = \"2 min\"\nreheat = { for = \"1 min\" }\nreheats = 1\n";
    let with = |centre: &str| {
        let weld = format!(
            "[groove]\nlength = \"60 mm\"\nwidth = \"20 mm\"\ndepth = \"6 mm\"\n[ring]\nwidth = \"75 mm\"\n{window}"
        );
        BASE.replace("[torch.flux]", &format!("{weld}[torch.flux]"))
            .replace("[schedule.spans]\non = [[\"0 s\", \"300 s\"]]\nend = \"1 h\"\n", cycles)
            .replace("centre = [\"1.2 m\", \"0.75 m\"]", centre)
    };
    let of_the_ring = |text: &str| -> Vec<String> {
        taken(text).question.warnings.into_iter().filter(|told| told.contains("the ring")).collect()
    };
    assert_eq!(of_the_ring(&with("centre = [\"1.2 m\", \"0.75 m\"]")), Vec::<String>::new());
    let told = of_the_ring(&with("centre = [\"1.2 m\", \"0.06 m\"]"));
    assert!(told.len() == 1 && told[0].contains("line 21") && told[0].contains("50 mm (1.97 in) at y_min"), "{told:?}");
    assert!(!told[0].contains("y_max") && !told[0].contains("x_m"), "{told:?}");
}
