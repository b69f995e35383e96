//! A cool-down in words.

use quantity::{Area, Units};
use study::cool::{Cool, Footprint, GRIND, Way};

use crate::tables::table;
use crate::text::{facts, hanging, joined, list, made_by, paragraphs};
use crate::words::{capitalised, difference, duration, error_bar, length, printable, temperature, with_error};

/// The cool-down for a terminal.
pub fn cool(cool: &Cool, units: Units) -> String {
    joined([
        Some(opening(cool, units)),
        waits(cool, units),
        Some(facts(&rates(cool, units))),
        footprint(cool, units),
        list("To know", &cool.notes),
        list("Cautions", &cool.cautions),
        Some(closing(cool)),
    ])
}

fn opening(cool: &Cool, units: Units) -> String {
    let first = cool.bare.waits.iter().find(|wait| wait.what == GRIND);
    let when = first.map_or_else(String::new, |wait| {
        let below = temperature(wait.below_c, units);
        match wait.face_s {
            Some(0.0) => format!("Grind and inspect at once: the patch is below {below}"),
            Some(seconds) => format!(
                "Grind and inspect {} after {}, when the patch is below {below}",
                with_error(seconds, wait.face_error_s),
                cool.after
            ),
            None => format!("Do not grind yet: the patch does not come below {below} within five days"),
        }
    });
    let verdict = cool.limit_k.map_or_else(String::new, |limit| {
        let shown = difference(limit, units);
        let margin = limit - cool.bare.fall_in_an_hour_k;
        let place = &cool.falls_at;
        match margin < 0.0 {
            _ if margin.abs() < cool.bare.fall_error_k => {
                format!(". Too close to call whether {place} falls faster than {shown} in an hour")
            }
            true => format!(". {} FALLS FASTER than {shown} in an hour", place.to_uppercase()),
            false => format!(". {} falls no faster than {shown} in an hour", capitalised(place)),
        }
    });
    hanging("", &format!("{when}{verdict}."))
}

fn waits(cool: &Cool, units: Units) -> Option<String> {
    let time = |seconds: Option<f64>, error_s: Option<f64>| {
        seconds.map_or_else(|| "not in five days".to_owned(), |seconds| rounded(seconds, error_s))
    };
    let rows = cool.bare.waits.iter().zip(&cool.blanketed.waits).map(|(bare, under)| {
        vec![
            bare.what.clone(),
            temperature(bare.below_c, units),
            time(bare.face_s, bare.face_error_s),
            time(bare.casting_s, bare.casting_error_s),
            time(under.face_s, None),
            time(under.casting_s, None),
        ]
    });
    let header = ["to", "below", "patch", "casting", "patch, blanket", "casting, blanket"];
    let table = table(&format!("Time from {}", end_of(cool)), &header, &[0], rows.collect())?;
    Some(format!("{table}\nUnder the blanket on one grid, without an error bar."))
}

/// A time with its error bar in whole seconds, or whole minutes above two.
fn rounded(seconds: f64, error_s: Option<f64>) -> String {
    match error_s {
        None => duration(seconds),
        Some(error_s) if error_s > 120.0 => {
            format!("{} ± {}", duration(seconds), duration((error_s / 60.0).ceil() * 60.0))
        }
        Some(error_s) => format!("{} ± {:.0} s", duration(seconds), error_s.ceil()),
    }
}

/// "the end of the last bead", or "the start".
fn end_of(cool: &Cool) -> String {
    if cool.after == "the start" { cool.after.clone() } else { format!("the end of {}", cool.after) }
}

fn rates(cool: &Cool, units: Units) -> Vec<(&'static str, String)> {
    let fall = |kelvin: f64| difference(kelvin, units);
    let with_bar = |(kelvin, error_k): (f64, f64)| {
        let bar = if error_k > 0.0 { format!(" ± {}", error_bar(error_k, units)) } else { String::new() };
        format!("{}{bar}", fall(kelvin))
    };
    let words = |way: &Way| {
        format!(
            "{} by {} at most in an hour and {} in the steepest five minutes, the casting away \
             from it by {} in an hour",
            cool.falls_at,
            with_bar((way.fall_in_an_hour_k, way.fall_error_k)),
            with_bar((way.fall_in_five_minutes_k, way.five_minutes_error_k)),
            with_bar((way.casting_in_an_hour_k, way.casting_error_k))
        )
    };
    let limit = cool.limit_k.map_or_else(
        || format!("none stated; {} to {} an hour is usual for big iron (ST15, practice)", fall(50.0), fall(100.0)),
        |limit| format!("{} in an hour", fall(limit)),
    );
    vec![
        ("Falls, bare", words(&cool.bare)),
        ("Falls, blanket", words(&cool.blanketed)),
        ("Limit", limit),
        ("Blanket", blanket(cool, units)),
    ]
}

fn blanket(cool: &Cool, units: Units) -> String {
    let length = |metres: f64| length(metres, units);
    let [along, across] = cool.blanket_over_m.map(length);
    let what = cool.blanketed.blanket.map_or_else(String::new, |blanket| {
        format!("{} of {:.2} W/mK ", length(blanket.thickness_m), blanket.conductivity_w_mk)
    });
    format!("{what}over the whole worked face, {along} by {across}, from {} on; no other face changes", end_of(cool))
}

fn footprint(cool: &Cool, units: Units) -> Option<String> {
    let face_m2 = cool.blanket_over_m[0] * cool.blanket_over_m[1];
    let row = |print: &Footprint| {
        if print.area_m2 <= 0.0 {
            return vec![temperature(print.contour_c, units), "never reached".to_owned(), String::new(), String::new()];
        }
        let all = if print.area_m2 > 0.999 * face_m2 { ", all of the face" } else { "" };
        let more = if print.beyond_the_map { "more than " } else { "" };
        vec![
            temperature(print.contour_c, units),
            format!("{more}{}", length(print.reach_m, units)),
            format!("{more}{}{all}", Area::from_si(print.area_m2).show(units)),
            duration(print.at_s),
        ]
    };
    let rows = cool.footprint.iter().map(row).collect();
    let header = ["contour", "reaches from the middle", "largest area", "after the start"];
    let table = table("Footprint on the worked face, for chrome and temper (ST17)", &header, &[0], rows)?;
    Some(format!("{table}\nRead off one grid every {}, without an error bar.", length(cool.footprint_step_m, units)))
}

fn closing(cool: &Cool) -> String {
    paragraphs([
        printable(&cool.title),
        match cool.from_s {
            0.0 => "Nothing heats: the casting cools from the start.".to_owned(),
            from_s => format!("{} ends {} after the start.", capitalised(&cool.after), duration(from_s)),
        },
        "Computed, not yet compared with a measured patch: measure before you touch (ST16).".to_owned(),
        made_by(&cool.version, &cool.input_sha256),
    ])
}
