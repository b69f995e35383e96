//! `[probes]` and `[[watch]]`: named places, and limits to report on.

use heat::{Case, Hollows, Probe, ProbeKind, Ring, Shape};
use study::Watch;

use crate::diagnostic::{Diagnostic, Place, quote};
use crate::keys::RESERVED;
use crate::place::{SNAP_M, coordinate};
use crate::reader::Reader;
use crate::words::{list, nearest};

const LONGEST_NAME: usize = 40;

/// What probes refer to.
pub(crate) struct Ground<'a> {
    pub(crate) size: [f64; 3],
    pub(crate) hollows: &'a Hollows,
    pub(crate) patch: Option<Shape>,
    pub(crate) ring: Option<Ring>,
}

/// The probes of the file, in its order.
pub(crate) fn probes(reader: &mut Reader, ground: &Ground<'_>) -> Vec<Probe> {
    let names = reader.tables_below("probes");
    let mut probes = Vec::new();
    for name in names {
        check_name(reader, &name);
        if let Some(kind) = kind(reader, &name, ground) {
            probes.push(Probe { name, kind });
        }
    }
    probes
}

fn check_name(reader: &mut Reader, name: &str) {
    let place = reader.key_place(&format!("probes.{name}"));
    if RESERVED.contains(&name) {
        let problem = Diagnostic::error("E028", format!("the probe name `{name}` is taken"))
            .at(place, "exists by itself whenever there is a [window]")
            .help("leave this line out, or choose another name");
        reader.report(problem);
    } else if name.is_empty()
        || name.len() > LONGEST_NAME
        || !name.bytes().all(|letter| letter.is_ascii_alphanumeric() || letter == b'_')
    {
        let problem = bad_name(name, place);
        reader.report(problem);
    }
}

pub(crate) fn bad_name(name: &str, place: Place) -> Diagnostic {
    Diagnostic::error("E028", format!("`{}` cannot be the name of a probe", quote(name)))
        .at(place, "letters, digits and _ only")
        .help(format!("write a name of at most {LONGEST_NAME} letters, digits and _, such as edge_40"))
}

const FORMS: [&str; 5] = ["at", "from_patch_centre", "mean", "coldest", "hottest"];

fn kind(reader: &mut Reader, name: &str, ground: &Ground<'_>) -> Option<ProbeKind> {
    let paths = FORMS.map(|form| format!("probes.{name}.{form}"));
    if reader.clash("E018", &paths, &format!("the probe `{name}` is in more than one place")) {
        return None;
    }
    let Some(number) = paths.iter().position(|path| reader.has(path)) else {
        reader.missing(&paths[0], ", `from_patch_centre`, `mean`, `coldest` or `hottest`");
        return None;
    };
    match FORMS[number] {
        "at" | "from_patch_centre" => point(reader, &paths[number], FORMS[number] == "at", ground),
        form => area(reader, form, &paths[number], ground),
    }
}

fn point(reader: &mut Reader, path: &str, absolute: bool, ground: &Ground<'_>) -> Option<ProbeKind> {
    if !absolute && !reader.has("patch") {
        reader.missing("patch", ", and a probe counts from its centre");
        return None;
    }
    let value = |axis: usize| coordinate(reader, &format!("{path}.{axis}"), ground.size[axis]);
    let mut at = [value(0), value(1), value(2)];
    if !absolute {
        let [x, y] = ground.patch?.centre();
        at = [at[0] + x, at[1] + y, at[2] + ground.hollows.floor_under([x, y])];
    }
    let outside = |axis: &usize| at[*axis] < -SNAP_M || at[*axis] > ground.size[*axis] + SNAP_M;
    if let Some(axis) = (0..3).find(outside) {
        off_casting(reader, path, axis, at[axis]);
        return None;
    }
    let on = |axis: usize| at[axis].max(0.0).min(ground.size[axis]);
    let at = [on(0), on(1), on(2)];
    if !at.iter().all(|value| value.is_finite()) {
        return None;
    }
    // A casting without a good size has been reported already.
    if ground.size.iter().all(|side| side.is_finite()) && !ground.hollows.leave_metal(at, ground.size) {
        in_hollow(reader, path);
        return None;
    }
    Some(ProbeKind::Point { at })
}

fn in_hollow(reader: &mut Reader, path: &str) {
    let problem = Diagnostic::error("E020", "the probe lies inside a hollow of the casting")
        .at(reader.place(path), "no metal here")
        .help("move it into the metal, or onto the wall of the hollow");
    reader.report(problem);
}

fn off_casting(reader: &mut Reader, path: &str, axis: usize, value: f64) {
    let (along, length) = [("x", "casting.length"), ("y", "casting.width"), ("depth", "casting.depth")][axis];
    let show = |value: f64| crate::measure::Measure::Length.show(value);
    let problem = Diagnostic::error("E020", format!("the probe lies outside the casting: {along} = {}", show(value)))
        .at(reader.place(&format!("{path}.{axis}")), format!("{along} is outside"))
        .at(reader.place(length), "the casting")
        .help(format!("{along} goes from 0 to {}", show(reader.number(length))));
    reader.report(problem);
}

fn area(reader: &mut Reader, form: &str, path: &str, ground: &Ground<'_>) -> Option<ProbeKind> {
    let area = reader.text(path)?.to_owned();
    let needed = if area == "ring" { "groove" } else { "patch" };
    if !reader.has(needed) {
        reader.missing(needed, &format!(", and a probe reads the {area}"));
        return None;
    }
    match (form, area.as_str()) {
        ("mean", "patch") => ground.patch.map(ProbeKind::PatchMean),
        ("coldest", "patch") => ground.patch.map(ProbeKind::PatchColdest),
        ("hottest", "patch") => ground.patch.map(ProbeKind::PatchHottest),
        ("mean", _) => ground.ring.map(ProbeKind::RingMean),
        ("coldest", _) => ground.ring.map(ProbeKind::RingColdest),
        _ => ground.ring.map(ProbeKind::RingHottest),
    }
}

/// Index of the probe named at a path; an unknown one is reported.
pub(crate) fn index(reader: &mut Reader, path: &str, case: &Case) -> Option<usize> {
    let name = reader.text(path)?.to_owned();
    let found = case.probes.iter().position(|probe| probe.name == name);
    // A probe whose own table is wrong, or that a wrong patch or groove took along, has been reported.
    let reported = reader.has(&format!("probes.{name}")) || (RESERVED.contains(&name.as_str()) && reader.has("window"));
    if found.is_none() && !reported {
        unknown(reader, path, &name, case);
    }
    found
}

fn unknown(reader: &mut Reader, path: &str, name: &str, case: &Case) {
    let known: Vec<&str> = case.probes.iter().map(|probe| probe.name.as_str()).collect();
    let help = match nearest(name, &known) {
        _ if RESERVED.contains(&name) => {
            "this probe exists only with a [window]; add one, or name a probe of [probes]".into()
        }
        Some(near) => format!("did you mean `{near}`?"),
        None if known.is_empty() => "there are no probes: add [probes]".to_owned(),
        None => format!("known probes: {}", list(&known)),
    };
    let problem = Diagnostic::error("E027", format!("no probe is called `{}`", quote(name)))
        .at(reader.place(path), "unknown probe")
        .help(help);
    reader.report(problem);
}

/// The limits to report on.
pub(crate) fn watches(reader: &mut Reader, case: &Case) -> Vec<Watch> {
    let mut watches = Vec::new();
    for number in 0..reader.len("watch") {
        let limit_c = reader.number(&format!("watch.{number}.below"));
        if let Some(probe) = index(reader, &format!("watch.{number}.probe"), case) {
            watches.push(Watch { probe, limit_c });
        }
    }
    watches
}
