//! Quantities and the verdict in words, shared by the text and the pictures.

use quantity::{Axis, Duration, Length, Mass, Temperature, TemperatureDifference, Units};
use study::{Breach, FOLLOWED_S, Limit, Outcome, Verdict};

use crate::spans::intervals_s;

/// Until somebody has measured, every answer says so.
pub(crate) const NOT_COMPARED: &str = "Computed, not yet compared with a measured patch.";

/// Differences smaller than this, K, are shown with one decimal more on the temperatures beside them.
const SMALL_DIFFERENCE_K: f64 = 5.0;

/// A smaller error, in the unit shown, would print as nothing.
const LEAST_ERROR: f64 = 0.1;

pub(crate) fn temperature(celsius: f64, units: Units) -> String {
    Temperature::from_celsius(celsius).show(units)
}

/// A difference: kelvin or Fahrenheit degrees, never shifted by 32.
pub(crate) fn difference(kelvin: f64, units: Units) -> String {
    TemperatureDifference::from_si(kelvin).show(units)
}

pub(crate) fn length(metres: f64, units: Units) -> String {
    Length::from_si(metres).show(units)
}

/// Millimetres or inches whatever the size, as on a drawing: lengths beside each other never differ in their unit.
pub(crate) fn drawn_lengths(units: Units) -> Axis {
    Length::from_si(0.1).axis(units)
}

/// One system of units for a number where two would not fit.
pub(crate) fn one_system(units: Units) -> Units {
    if units == Units::Both { Units::Metric } else { units }
}

/// With a capital letter, to begin a sentence.
pub(crate) fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect()
}

pub(crate) fn duration(seconds: f64) -> String {
    Duration::from_si(seconds).show(Units::Metric)
}

/// The time that a hold was followed, where it was longer.
pub(crate) fn over_the_followed() -> String {
    format!("over {}", duration(FOLLOWED_S))
}

/// A time that was followed no longer than that.
pub(crate) fn followed(seconds: f64) -> String {
    if seconds >= FOLLOWED_S { over_the_followed() } else { duration(seconds) }
}

/// A hold, none where it was longer than it was followed.
pub(crate) fn followed_hold(hold_s: Option<f64>) -> String {
    hold_s.map_or_else(over_the_followed, duration)
}

/// Each once, in the order in which they come first.
pub(crate) fn each_once<T: PartialEq>(all: impl IntoIterator<Item = T>) -> Vec<T> {
    let mut seen = Vec::new();
    for one in all {
        if !seen.contains(&one) {
            seen.push(one);
        }
    }
    seen
}

/// `1 bead`, `3 beads`.
pub(crate) fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

/// `4 min 10 s ± 3.0 s`.
pub(crate) fn with_error(seconds: f64, error_s: Option<f64>) -> String {
    match error_s {
        Some(error_s) if error_s < LEAST_ERROR => format!("{}, error {}", duration(seconds), error_time(error_s)),
        Some(error_s) => format!("{} ± {}", duration(seconds), duration(error_s)),
        None => duration(seconds),
    }
}

/// An error bar of a temperature: never a zero that it is not.
pub(crate) fn error_bar(kelvin: f64, units: Units) -> String {
    let least_k = if units == Units::Shop { LEAST_ERROR / 1.8 } else { LEAST_ERROR };
    if kelvin < least_k { format!("under {}", difference(least_k, units)) } else { difference(kelvin, units) }
}

/// The same of a time.
pub(crate) fn error_time(seconds: f64) -> String {
    if seconds < LEAST_ERROR { format!("under {}", duration(LEAST_ERROR)) } else { duration(seconds) }
}

/// Printable text only: a title cannot move the cursor of a terminal or break an XML file.
pub(crate) fn printable(text: &str) -> String {
    let spaced: String = text.chars().map(|c| if c.is_whitespace() { ' ' } else { c }).collect();
    spaced.chars().filter(|&c| !c.is_control() && !is_invisible_mark(c)).collect()
}

/// Marks that turn the direction of writing, and the two code points that XML refuses.
fn is_invisible_mark(c: char) -> bool {
    matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}')
}

/// The verdict with its reason: one sentence.
pub(crate) fn verdict_sentence(outcome: &Outcome, units: Units) -> String {
    format!("{}.", verdict_clause(outcome, units))
}

/// The verdict with its reason, without full stop.
pub(crate) fn verdict_clause(outcome: &Outcome, units: Units) -> String {
    match outcome.verdict {
        Verdict::Holds => format!("Holds: {}", holds(outcome, units)),
        Verdict::FallsShort => format!("Falls short: {}", falls_short(outcome, units)),
        Verdict::TooCloseToCall if outcome.interrupted => format!("No verdict: {}", cut_off(outcome, units)),
        Verdict::TooCloseToCall => format!("Too close to call: {}", too_close(outcome, units)),
        Verdict::NotAsked => {
            format!("Not asked: the scenario has no window. Computed for {}", duration(outcome.ran_until_s))
        }
    }
}

fn holds(outcome: &Outcome, units: Units) -> String {
    let inside = match outcome.window {
        Some(window) => format!(
            "the ring is between {} and {} whenever a bead starts",
            temperature(window.minimum_c, units),
            temperature(window.maximum_interpass_c, units)
        ),
        None => "the ring is inside the window whenever a bead starts".to_owned(),
    };
    match outcome.margin_k {
        Some(margin) => format!("{inside}, {} to spare", difference(margin, units)),
        None => inside,
    }
}

fn falls_short(outcome: &Outcome, units: Units) -> String {
    match (&outcome.first_breach, outcome.margin_k) {
        (Some(breach), _) if breach.place.starts_with("working time") => format!(
            "the ring is down to {} before the work planned between two flames is done",
            temperature(breach.temperature_c, units)
        ),
        (Some(breach), _) => breach_clause(outcome, breach, units),
        (None, _) if outcome.beads_per_heat == Some(0) && waits_too_long(outcome) => {
            "the interval is over while the first bead still waits for the ring to cool".to_owned()
        }
        (None, _) if outcome.beads_per_heat == Some(0) => {
            "the interval is over before the first bead can start".to_owned()
        }
        (None, Some(margin)) => format!("{} outside the window", difference(margin.abs(), units)),
        (None, None) => "outside the window".to_owned(),
    }
}

/// Whether no bead was laid in some interval because the ring was too hot for it all the time.
pub(crate) fn waits_too_long(outcome: &Outcome) -> bool {
    outcome.welding.as_ref().is_some_and(|day| day.too_hot > 0)
}

fn breach_clause(outcome: &Outcome, breach: &Breach, units: Units) -> String {
    let below = breach.temperature_c < breach.limit_c;
    let size = (breach.temperature_c - breach.limit_c).abs();
    let show = |celsius: f64| {
        let temperature = Temperature::from_celsius(celsius);
        if size < SMALL_DIFFERENCE_K { temperature.show_precise(units) } else { temperature.show(units) }
    };
    format!(
        "{} is at {} {}, {} {} {} of {}",
        place(&breach.place),
        show(breach.temperature_c),
        moment(outcome, breach.time_s),
        difference(size, units),
        if below { "under" } else { "over" },
        limit_name(breach.limit),
        show(breach.limit_c)
    )
}

fn place(place: &str) -> String {
    let place = printable(place);
    match place.strip_prefix("ring") {
        Some(_) => "the ring".to_owned(),
        None => format!("the {place}"),
    }
}

/// `when bead 2 of the first heat starts`, or the time where no pass starts.
fn moment(outcome: &Outcome, time_s: f64) -> String {
    const SAME_INSTANT_S: f64 = 1e-6;
    match outcome.passes.iter().find(|pass| (pass.start_s - time_s).abs() < SAME_INSTANT_S) {
        Some(pass) => format!("when bead {} of the {} heat starts", pass.number, ordinal(pass.heat)),
        None => format!("at {}", duration(time_s)),
    }
}

fn ordinal(number: usize) -> String {
    const WORDS: [&str; 10] =
        ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"];
    match number.checked_sub(1).and_then(|index| WORDS.get(index)) {
        Some(word) => (*word).to_owned(),
        None => format!("{number}{}", ordinal_ending(number)),
    }
}

fn ordinal_ending(number: usize) -> &'static str {
    match (number % 10, number % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    }
}

fn limit_name(limit: Limit) -> &'static str {
    match limit {
        Limit::Minimum => "the minimum",
        Limit::Interpass => "the maximum interpass",
        Limit::Surface => "the surface limit",
    }
}

/// Two differences that are not the same number, in as many digits as it takes to see that.
fn told_apart(one: f64, other: f64, units: Units) -> [String; 2] {
    let short = [one, other].map(|kelvin| difference(kelvin, units));
    if short[0] != short[1] {
        return short;
    }
    [one, other].map(|kelvin| TemperatureDifference::from_si(kelvin).show_precise(units))
}

/// What can be said of a run that was stopped before anything was certain.
fn cut_off(outcome: &Outcome, units: Units) -> String {
    let after = duration(outcome.ran_until_s);
    match outcome.margin_k {
        Some(margin) => {
            let direction = if margin < 0.0 { "outside" } else { "inside" };
            format!("interrupted after {after}, up to there {} {direction} the window", difference(margin.abs(), units))
        }
        None => format!("interrupted after {after}, before there was anything to judge"),
    }
}

fn too_close(outcome: &Outcome, units: Units) -> String {
    let doubt = numerical_error_k(outcome) + outcome.error.input_k.unwrap_or(0.0).max(0.0);
    let margin = outcome.margin_k.unwrap_or(0.0);
    let direction = if margin < 0.0 { "outside" } else { "inside" };
    let [far, unsure] = told_apart(margin.abs(), doubt, units);
    format!("as stated it is {far} {direction} the window, but {unsure} in doubt")
}

/// Grid and time together, K: an outer bound, since they are added.
pub(crate) fn numerical_error_k(outcome: &Outcome) -> f64 {
    outcome.error.grid_k + outcome.error.time_k
}

/// `With 5 min between flames on a 1200 x 800 x 400 mm grey iron casting of 2750 kg.`
pub(crate) fn setting(outcome: &Outcome, units: Units) -> String {
    format!("{} on {}.", schedule(outcome), casting(outcome, units))
}

fn schedule(outcome: &Outcome) -> String {
    let intervals = intervals_s(outcome);
    let shortest = intervals.iter().copied().fold(f64::INFINITY, f64::min);
    let longest = intervals.iter().copied().fold(0.0, f64::max);
    match outcome.heats.len() {
        0 => "Without a flame".to_owned(),
        1 => "With one heat and no reheat".to_owned(),
        _ if duration(shortest) == duration(longest) => format!("With {} between flames", duration(longest)),
        _ => format!("With {} to {} between flames", duration(shortest), duration(longest)),
    }
}

/// The casting: metal, size and mass.
pub(crate) fn casting(outcome: &Outcome, units: Units) -> String {
    let facts = &outcome.casting;
    let metal = printable(&facts.metal);
    let mass = Mass::from_si(facts.mass_kg).show(units);
    let thin = facts.section_m + facts.floor_m < facts.size_m[2];
    let section = length(facts.section_m, units);
    let under = if thin { format!(", {section} thick under the patch") } else { String::new() };
    let floor = length(facts.floor_m, units);
    let floor = if facts.floor_m > 0.0 { format!(", heated on a floor {floor} below the face") } else { String::new() };
    format!("a {} {metal} casting of {mass}{floor}{under}", size(facts.size_m, units))
}

/// Length x width x depth in one unit.
pub(crate) fn size(size_m: [f64; 3], units: Units) -> String {
    match units {
        Units::Both => format!("{} ({})", size(size_m, Units::Metric), size(size_m, Units::Shop)),
        _ => {
            let axis = drawn_lengths(units);
            let decimals = usize::from(units == Units::Shop);
            let [length, width, depth] = size_m.map(|side| trimmed(axis.number(side), decimals));
            format!("{length} x {width} x {depth} {}", axis.unit())
        }
    }
}

/// Without idle zeros at its end.
pub(crate) fn trimmed(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ordinals_beyond_ten_take_the_right_ending() {
        let ordinals: Vec<String> = [1, 10, 11, 12, 13, 21, 22, 103, 111].into_iter().map(ordinal).collect();
        assert_eq!(ordinals, ["first", "tenth", "11th", "12th", "13th", "21st", "22nd", "103rd", "111th"]);
    }

    #[test]
    fn control_and_direction_marks_are_taken_out_of_titles() {
        assert_eq!(printable("die \u{1b}[2J\u{202e}A\nB\u{0}"), "die [2JA B");
    }

    #[test]
    fn a_size_is_printed_in_one_unit_without_idle_decimals() {
        assert_eq!(size([1.2, 0.8, 0.4], Units::Metric), "1200 x 800 x 400 mm");
        assert_eq!(size([1.2192, 0.8128, 0.3937], Units::Shop), "48 x 32 x 15.5 in");
    }
}
