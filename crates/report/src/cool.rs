//! A cool-down in words.

use quantity::{Area, Length, TemperatureDifference, Units};
use study::cool::{Cool, Footprint, Way};

use crate::tables::table;
use crate::text::{facts, hanging, joined, list, short_hash};
use crate::words::{duration, printable, temperature, with_error};

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
    let first = cool.bare.waits.first();
    let when = first.map_or_else(String::new, |wait| {
        let below = temperature(wait.below_c, units);
        match wait.face_s {
            Some(seconds) => format!(
                "Grind and inspect {} after the last bead, when the patch is below {below}",
                with_error(seconds, wait.face_error_s)
            ),
            None => format!("The patch does not come below {below} within five days"),
        }
    });
    let verdict = cool.limit_k.map_or_else(String::new, |limit| {
        let shown = TemperatureDifference::from_si(limit).show(units);
        let margin = limit - cool.bare.fall_in_an_hour_k;
        match margin < 0.0 {
            _ if margin.abs() < cool.bare.fall_error_k => {
                format!("; too close to call whether the ring falls faster than {shown} in an hour")
            }
            true => format!("; THE RING FALLS FASTER than {shown} in an hour"),
            false => format!("; the ring falls no faster than {shown} in an hour"),
        }
    });
    hanging("", &format!("{when}{verdict}."))
}

fn waits(cool: &Cool, units: Units) -> Option<String> {
    let time = |seconds: Option<f64>| seconds.map_or_else(|| "not in five days".to_owned(), duration);
    let rows = cool.bare.waits.iter().zip(&cool.blanketed.waits).map(|(bare, under)| {
        vec![
            bare.what.clone(),
            temperature(bare.below_c, units),
            time(bare.face_s),
            time(bare.casting_s),
            time(under.face_s),
            time(under.casting_s),
        ]
    });
    let header = ["to", "below", "patch", "casting", "patch, blanket", "casting, blanket"];
    table("Time from the last bead", &header, &[0], rows.collect())
}

fn rates(cool: &Cool, units: Units) -> Vec<(&'static str, String)> {
    let fall = |kelvin: f64| TemperatureDifference::from_si(kelvin).show(units);
    let words = |way: &Way| {
        format!(
            "ring {} at most in an hour, the casting away from it {}",
            fall(way.fall_in_an_hour_k),
            fall(way.casting_in_an_hour_k)
        )
    };
    let limit = cool.limit_k.map_or_else(
        || "none stated; 50 to 100 K an hour is usual for big iron (ST15, practice)".to_owned(),
        |limit| format!("{} in an hour", fall(limit)),
    );
    let blanket = cool.blanketed.blanket.map_or_else(String::new, |blanket| {
        format!(" ({}, {:.2} W/mK)", Length::from_si(blanket.thickness_m).show(units), blanket.conductivity_w_mk)
    });
    vec![
        ("Cooling, bare", words(&cool.bare)),
        ("Cooling, blanket", words(&cool.blanketed) + &blanket),
        ("Limit", limit),
    ]
}

fn footprint(cool: &Cool, units: Units) -> Option<String> {
    let row = |print: &Footprint| {
        if print.area_m2 <= 0.0 {
            return vec![temperature(print.contour_c, units), "never reached".to_owned(), String::new(), String::new()];
        }
        let more = if print.beyond_the_map { "more than " } else { "" };
        vec![
            temperature(print.contour_c, units),
            format!("{more}{}", Length::from_si(print.reach_m).show(units)),
            format!("{more}{}", Area::from_si(print.area_m2).show(units)),
            duration(print.at_s),
        ]
    };
    let rows = cool.footprint.iter().map(row).collect();
    let header = ["contour", "reaches from the middle", "largest area", "at"];
    let table = table("Footprint on the worked face (chrome and temper, ST17)", &header, &[0], rows)?;
    Some(format!("{table}\nRead off one grid, to {}.", Length::from_si(cool.footprint_step_m).show(units)))
}

fn closing(cool: &Cool) -> String {
    let lines = [
        printable(&cool.title),
        format!("The last bead or flame ends {} after the start.", duration(cool.from_s)),
        "Computed, not yet compared with a measured patch: measure before you touch (ST16).".to_owned(),
        format!("warmhold {}, scenario {}.", cool.version, short_hash(&cool.input_sha256)),
    ];
    lines.map(|line| hanging("", &line)).join("\n")
}
