//! Measuring advice for a person at a terminal: where, when, and what each instrument then says.

use quantity::Units;
use study::{Advice, Crayon, Gun, Lagging, Moment, Pause, RELAXED_K};

use crate::tables;
use crate::text::{facts, joined, list, paragraphs};
use crate::words::{difference, duration, error_bar, length, printable, temperature, with_error};

/// The advice on one screen, no wider than 100 columns. It ends with a newline.
pub fn advice_text(advice: &Advice, units: Units) -> String {
    joined([
        Some(paragraphs([where_to(advice, units), when(advice, units)])),
        Some(facts(&lines(advice, units))),
        moments(advice, units),
        gun(advice, units),
        lagging(advice, units),
        advice.pause.as_ref().map(|pause| facts(&[("Break", pause_words(advice, pause, units))])),
        list("Warnings", &advice.warnings),
        list("Cautions", &advice.cautions),
        Some(closing(advice)),
    ])
}

fn where_to(advice: &Advice, units: Units) -> String {
    let touch = &advice.touch;
    let [x, y] = touch.from_patch_centre_m.map(|metres| signed(metres, units));
    let edge = if touch.from_groove_m <= 1e-6 {
        "on the edge of the groove".to_owned()
    } else {
        format!("{} from the edge of the groove", length(touch.from_groove_m, units))
    };
    format!(
        "Touch here: {edge}, x {x} and y {y} from the middle of the patch (x {} y {} from the corner x_min, y_min). It is the \
         coldest of the ring on the face.",
        length(touch.x_m, units),
        length(touch.y_m, units)
    )
}

fn signed(metres: f64, units: Units) -> String {
    if metres < -5e-7 { format!("-{}", length(-metres, units)) } else { format!("+{}", length(metres.abs(), units)) }
}

fn when(advice: &Advice, units: Units) -> String {
    let near = difference(RELAXED_K, units);
    let [shallow, deep] = advice.depths_m.map(|depth| length(depth, units));
    let below = format!("within {near} of the metal {shallow} to {deep} below");
    match (advice.wait_s, advice.hold_s) {
        (None, _) => format!("The surface there does not come {below} in 20 min: read it and mind the table."),
        (Some(0.0), _) => format!("Touch at once: as the flame goes off the surface there is already {below}."),
        (Some(wait), Some(hold)) if wait > hold => format!(
            "Waiting {} would bring the surface {below}, but by then the ring is below the minimum: touch at once and \
             mind what the table says of the metal below.",
            with_error(wait, advice.wait_error_s)
        ),
        (Some(wait), _) => {
            format!(
                "Touch {} after the flame goes off: only then is the surface {below}.",
                with_error(wait, advice.wait_error_s)
            )
        }
    }
}

fn lines(advice: &Advice, units: Units) -> Vec<(&'static str, String)> {
    let minimum = temperature(advice.minimum_c, units);
    let hold = match advice.hold_s {
        None => format!("above {minimum} for all of 20 min"),
        Some(0.0) => format!("below {minimum} as the flame goes off"),
        Some(seconds) => format!("above {minimum} for {}", duration(seconds)),
    };
    let mut lines = vec![("Ring", hold)];
    let wait = advice.wait_s.and_then(|wait| advice.moments.iter().find(|moment| moment.after_off_s == wait));
    lines.extend(wait.map(|moment| ("Reading means", meaning(advice, moment, units))));
    lines.extend(old_rule(advice, units).map(|words| ("Older rule", words)));
    lines.push(("Crayon must melt", low_crayon(advice, units)));
    lines.push(("Must not melt", high_crayon(advice, units)));
    lines
}

/// Where the older rule would lose the patch.
fn old_rule(advice: &Advice, units: Units) -> Option<String> {
    let hold_s = advice.hold_s.filter(|hold_s| *hold_s < advice.old_rule_s)?;
    let each = match units {
        Units::Metric => "25 mm",
        Units::Shop => "inch",
        Units::Both => "25 mm (1 in)",
    };
    Some(format!(
        "2 min for each {each} of section (ST2, from memory) would be {}: by then the ring is long below the minimum, since \
         {} after flame off",
        duration(advice.old_rule_s),
        duration(hold_s)
    ))
}

fn meaning(advice: &Advice, moment: &Moment, units: Units) -> String {
    let spot = temperature(moment.spot_c, units);
    let off = |celsius: f64| {
        let kelvin = celsius - moment.spot_c;
        let side = if kelvin < 0.0 { "less" } else { "more" };
        format!("{} {side}", difference(kelvin.abs(), units))
    };
    format!(
        "{} after flame off it reads {spot}; then the coldest of the ring has {}, and the metal {} down {} (numerical error {})",
        duration(moment.after_off_s),
        off(moment.coldest_c),
        length(advice.depths_m[1], units),
        off(moment.below_c[1]),
        error_bar(moment.error_k, units)
    )
}

fn low_crayon(advice: &Advice, units: Units) -> String {
    let Some(crayon) = advice.low_crayon else { return "none of the ratings is high enough".to_owned() };
    let next = advice.next_crayon.map_or_else(String::new, |next| {
        format!("; the next, {}, {}", temperature(next.rating_c, units), until(&next))
    });
    let more = difference(advice.spot_above_coldest_k, units);
    format!(
        "{} at this spot: a fresh mark {}{next}. The coldest of the ring is {more} below the spot. A mark proves that \
         the spot was so warm, not that it still is (ST4)",
        temperature(crayon.rating_c, units),
        until(&crayon)
    )
}

fn high_crayon(advice: &Advice, units: Units) -> String {
    let Some(crayon) = advice.high_crayon else { return "none of the ratings is low enough".to_owned() };
    format!(
        "{} at the edge of the groove, the hottest: a fresh mark {}",
        temperature(crayon.rating_c, units),
        until(&crayon)
    )
}

fn until(crayon: &Crayon) -> String {
    match crayon.melts_until_s {
        None => "melts for all of 20 min".to_owned(),
        Some(0.0) => "does not melt even as the flame goes off".to_owned(),
        Some(seconds) => format!("melts until {} after flame off", with_error(seconds, crayon.error_s)),
    }
}

fn moments(advice: &Advice, units: Units) -> Option<String> {
    let [shallow, deep] = advice.depths_m.map(|depth| format!("{} down", length(depth, units)));
    let error = format!("error, {}", tables::difference_unit(units));
    let header = ["after flame off", "spot", "coldest of ring", &shallow, &deep, &error];
    let row = |moment: &Moment| {
        vec![
            duration(moment.after_off_s),
            tables::temperature_number(moment.spot_c, units),
            tables::temperature_number(moment.coldest_c, units),
            tables::temperature_number(moment.below_c[0], units),
            tables::temperature_number(moment.below_c[1], units),
            tables::difference_number(moment.error_k, units),
        ]
    };
    let title = format!("At the spot without welding, {}", tables::temperature_unit(units));
    tables::table(&title, &header, &[], advice.moments.iter().map(row).collect())
}

fn gun(advice: &Advice, units: Units) -> Option<String> {
    let row = |gun: &Gun| {
        let [usual, low, high] = gun.shown_c.map(|celsius| temperature(celsius, units));
        vec![printable(&gun.surface), format!("{:.2}", gun.emissivity), usual, format!("{low} to {high}")]
    };
    let title = format!(
        "An infrared gun set at {:.2} shows, where the spot is at {} (total radiation of a grey surface)",
        advice.gun_set,
        temperature(advice.minimum_c, units)
    );
    let header = ["surface", "emissivity", "shows", "with its range"];
    tables::table(&title, &header, &[0], advice.gun.iter().map(row).collect())
}

fn lagging(advice: &Advice, units: Units) -> Option<String> {
    let lag = duration(advice.lag_s?);
    let row = |lagging: &Lagging| {
        vec![
            duration(lagging.after_touch_s),
            temperature(lagging.shown_c, units),
            temperature(lagging.surface_c, units),
            difference(lagging.shown_c - lagging.surface_c, units),
        ]
    };
    let header = ["after touch", "shows", "surface", "off by"];
    let title = format!("A contact probe of time constant {lag} shows");
    tables::table(&title, &header, &[], advice.lagging.iter().map(row).collect())
}

fn pause_words(advice: &Advice, pause: &Pause, units: Units) -> String {
    let minimum = temperature(advice.minimum_c, units);
    let length = duration(pause.break_s);
    let coldest = temperature(pause.coldest_c, units);
    let error = error_bar(pause.coldest_error_k, units);
    let fall = match pause.falls_s {
        None => format!(
            "A break of {length} after the first flame: the ring stays above maintenance, {minimum}, and ends at {coldest} ± {error}."
        ),
        Some(0.0) => format!(
            "A break of {length} after the first flame: the ring is below maintenance, {minimum}, from the start and ends at {coldest} ± {error}."
        ),
        Some(seconds) => format!(
            "A break of {length} after the first flame: the ring falls below maintenance, {minimum}, after {} and ends at {coldest} ± {error}.",
            with_error(seconds, pause.falls_error_s)
        ),
    };
    let kept_on = if pause.kept_on {
        " The heater of the scenario that is kept on between flames burns all through the break: someone has to watch it."
    } else {
        ""
    };
    format!(
        "{fall}{kept_on} {} No pass starts before it is read at the spot again (ST14).",
        reheat(pause, &minimum, units)
    )
}

fn reheat(pause: &Pause, minimum: &str, units: Units) -> String {
    let was = temperature(pause.was_c, units);
    let Some(seconds) = pause.to_where_it_was_s else {
        return match pause.to_minimum_s {
            None => format!("The same flame does not bring it back to {minimum}."),
            Some(seconds) => format!(
                "The same flame brings it back to {minimum} in {}, and not to the {was} it had.",
                with_error(seconds, pause.to_minimum_error_s)
            ),
        };
    };
    let back = with_error(seconds, pause.to_where_it_was_error_s);
    let hottest = temperature(pause.hottest_c, units);
    let minimum_part = match pause.to_minimum_s {
        Some(seconds) if seconds > 0.0 => {
            format!("in {} to {minimum}, and ", with_error(seconds, pause.to_minimum_error_s))
        }
        _ => String::new(),
    };
    format!(
        "The same flame brings it back {minimum_part}in {back} to the {was} it had; the hottest of the patch is then at {hottest}."
    )
}

fn closing(advice: &Advice) -> String {
    let notes = [
        printable(&advice.title),
        "Computed with every input as stated; their ranges are in `warmhold check`. Error bars are numerical."
            .to_owned(),
        "Crayon ratings in steps of 25 F and of 10 C are usual (practice); --crayons names those at hand.".to_owned(),
    ];
    paragraphs(notes.into_iter().filter(|line| !line.is_empty()))
}
