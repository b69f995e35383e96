//! The boxes and the table of a card: how wide, until what reading, how many beads, and when the flame comes back.

use study::{ComeBack, Doing, FlameOff, HeatedPatch, Heating, Instruction, Outcome, Span, Step, Touching};

use super::card::{Card, cut};
use super::parts::paragraph;
use super::plain::{
    at_least, at_most, clock_span, degrees, degrees_span, outline, time, time_down, time_or_span, time_span, towards,
};
use super::safe;
use crate::spans::intervals_s;
use crate::words::capitalised;

/// A label, what is large, and what stands small below it.
pub(super) type Field = [String; 3];

/// Rows of beads in the table; what lies between the first and the last of more is told in one row.
const BEADS: usize = 7;

/// The boxes in their order.
pub(super) fn fields(card: &Card) -> Vec<Field> {
    let fields = [patch(card.instruction), heating(card), Some(beads(card)), Some(back(card))];
    let fields = fields.into_iter().flatten().enumerate();
    fields.map(|(n, [label, big, small])| [format!("{}. {label}", n + 1), big, small]).collect()
}

fn patch(instruction: &Instruction) -> Option<Field> {
    let (form, wide) = match instruction.patch? {
        HeatedPatch::Disc { diameter_m } => ("circle", outline(true, [diameter_m; 2])),
        HeatedPatch::Rectangle { sides_m } => ("rectangle", outline(false, sides_m)),
    };
    let groove = instruction.groove_m.map_or_else(String::new, |groove| {
        format!("Groove {}, {}.", outline(instruction.groove_round, groove), groove_place(instruction))
    });
    Some([format!("Heat this wide: a {form}"), wide, groove])
}

/// Where in the patch the groove lies, as the sketch has it.
fn groove_place(instruction: &Instruction) -> String {
    const MIDDLE_M: f64 = 1e-3;
    let [x, y] = instruction.groove_from_patch_m.unwrap_or_default();
    let sides = [(x, ["right of", "left of"]), (y, ["above", "below"])];
    let off = sides.into_iter().filter(|(metres, _)| metres.abs() > MIDDLE_M);
    let told: Vec<String> = off.map(|(metres, names)| towards(metres, names)).collect();
    match told.is_empty() {
        true => "in the middle of it".to_owned(),
        false => format!("its middle {} the middle of the heated patch, as drawn", told.join(" and ")),
    }
}

/// The reading that ends the first heating, or the time where the clock does.
fn heating(card: &Card) -> Option<Field> {
    let first = card.outcome.heats.first()?;
    let took_s = first.end_s - first.start_s;
    let [label, big, small] = match (&card.instruction.first, card.touching) {
        (Some(FlameOff::WhenReads { at_most_s, .. }), Some(touching)) => {
            let label = "Heat until the touch spot reads".to_owned();
            [label, at_least(stop_c(&touching.first)), until(&touching.first, *at_most_s)]
        }
        (Some(FlameOff::WhenReads { probe, temperature_c, .. }), None) => {
            let small = format!("Expected after about {}. Much sooner or later: stop and ask.", time(took_s));
            [format!("Heat until {} reads", place(probe)), at_least(*temperature_c), small]
        }
        (_, touching) => {
            let expected = touching.map_or_else(String::new, |touching| by_the_clock(&touching.first));
            ["Heat by the clock for".to_owned(), time(took_s), expected]
        }
    };
    Some([label, big, small])
}

/// The spot as a flame goes off by its reading: the highest of all heats and ends of ranges, since any less could leave the
/// ring colder than it was computed.
fn stop_c(heating: &Heating) -> f64 {
    heating.off_over_ranges_c.unwrap_or(heating.off_c)[1]
}

fn until(heating: &Heating, at_most_s: f64) -> String {
    let soon = heating.soon_c.map_or_else(String::new, |soon_c| {
        let fallen = (heating.off_c[1] - soon_c[1]).max(0.0);
        format!(" {} s later it shows {}.", study::SOON_S, at_least(stop_c(heating) - fallen))
    });
    let more = match at_least(heating.off_c[1]) {
        stated if stated == at_least(stop_c(heating)) => String::new(),
        stated => format!(" As stated {stated}; the rest is for the stated ranges."),
    };
    format!(
        "Lift the flame, then touch at once: a reading under the flame is wrong.{soon}{more} Expected after about {}. Much sooner \
         or later{}: stop and ask.",
        about(heating),
        if heating.reached { String::new() } else { format!(", or not within {}", time(at_most_s)) }
    )
}

fn by_the_clock(heating: &Heating) -> String {
    let reads = match heating.off_over_ranges_c {
        Some(span) => format!("{}, {} over the stated ranges", degrees(heating.off_c[1]), degrees_span(span)),
        None => degrees_span(heating.off_c),
    };
    format!(
        "Then lift the flame and touch the spot at once: it should read {reads}. Anything else: stop and ask. A reading \
         under the flame is wrong."
    )
}

/// `23 min (20 to 27 min over the stated torch)`.
fn about(heating: &Heating) -> String {
    let over = |span: Span| format!(" ({} over the stated torch)", time_span(span));
    time_or_span(heating.took_s) + &heating.over_torch_s.map_or_else(String::new, over)
}

/// A probe of the verdict in plain words; any other by its name.
fn place(probe: &str) -> String {
    match probe {
        "ring_coldest" => "the coldest of the ring".to_owned(),
        "ring_hottest" => "the hottest of the ring".to_owned(),
        "ring_mean" => "the ring on average".to_owned(),
        "patch_centre" => "the middle of the patch".to_owned(),
        "patch_hottest" => "the hottest of the patch".to_owned(),
        other => cut(other, 40),
    }
}

/// Beads of each heat: no more than fit at the worst end of all stated ranges, where there are any.
fn bead_count(outcome: &Outcome) -> Option<usize> {
    let worst = outcome.worst_end.and_then(|worst| worst.beads_per_heat);
    let fit = outcome.beads_per_heat.map(|fit| worst.map_or(fit, |worst| worst.min(fit)))?;
    Some(outcome.planned_per_heat.map_or(fit, |planned| planned.min(fit)))
}

fn beads(card: &Card) -> Field {
    let (outcome, count) = (card.outcome, bead_count(card.outcome));
    let last = count.and_then(|count| last_start_s(outcome, count));
    let last = last.map_or_else(String::new, |last_s| format!("Last bead starts at {}; ", time(last_s)));
    let warm = match (shortest_hold_s(outcome), outcome.worst_end.is_some()) {
        (None, _) => "the ring stays warm to the end of what was computed.".to_owned(),
        (Some(hold_s), true) => format!("the ring stays warm at least {}.", time_down(hold_s)),
        (Some(hold_s), false) => format!("the ring stays warm {} as stated.", time_down(hold_s)),
    };
    let big = count.map_or_else(|| "no beads are planned".to_owned(), |count| count.to_string());
    ["Beads per heat, no more".to_owned(), big, capitalised(&(last + &warm))]
}

/// After flame off, the latest of all heats.
fn last_start_s(outcome: &Outcome, count: usize) -> Option<f64> {
    let last = outcome.passes.iter().filter(|pass| pass.number == count);
    let after = |pass: &study::PassStart| Some(pass.start_s - outcome.heats.get(pass.heat.checked_sub(1)?)?.end_s);
    last.filter_map(after).max_by(f64::total_cmp)
}

/// At the worst end of the ranges, or as stated where there are none; none where it never falls.
fn shortest_hold_s(outcome: &Outcome) -> Option<f64> {
    outcome.worst_end.map_or(outcome.hold_s, |worst| worst.hold_s)
}

fn back(card: &Card) -> Field {
    if card.outcome.heats.len() < 2 {
        return only_one(card.outcome);
    }
    let expected = span_of(&intervals_s(card.outcome)).map_or_else(String::new, time_or_span);
    let by_reading = card.touching.and_then(|touching| touching.back_c);
    let again = again(card);
    match (&card.instruction.come_back, by_reading) {
        (Some(ComeBack::WhenFalls { at_most_s, .. }), Some(reads_c)) => {
            // A clock that runs longer than the ring stays warm is no way out.
            let in_time = shortest_hold_s(card.outcome).is_none_or(|hold_s| *at_most_s <= hold_s);
            let latest =
                if in_time { format!(", at the latest after {}", time_down(*at_most_s)) } else { String::new() };
            let small = format!("Expected {expected} after the flame went off{latest}.{again}");
            ["Come back with the flame".to_owned(), format!("when the spot reads {}", at_least(reads_c)), small]
        }
        (Some(ComeBack::WhenFalls { probe, temperature_c, .. }), None) if card.touching.is_none() => {
            let small = format!("Expected {expected} after the flame went off.{again}");
            [
                "Come back with the flame".to_owned(),
                format!("when {} reads {}", place(probe), at_least(*temperature_c)),
                small,
            ]
        }
        _ => ["Come back with the flame".to_owned(), format!("{expected} after it went off"), again.trim().to_owned()],
    }
}

fn only_one(outcome: &Outcome) -> Field {
    let after = match bead_count(outcome) {
        Some(count @ 1..) => format!("Stop after bead {count}"),
        _ => "Stop after this heat".to_owned(),
    };
    let words = format!("Only one heat is planned: {}. The flame does not come back.", after.replace("Stop", "stop"));
    ["Then".to_owned(), after, words]
}

/// What ends a reheat, and how many there are.
fn again(card: &Card) -> String {
    let count = card.outcome.heats.len() - 1;
    let heats = if count == 1 { "1 reheat is planned".to_owned() } else { format!("{count} reheats are planned") };
    let ends = match (&card.instruction.reheat, card.touching.and_then(|touching| touching.again.as_ref())) {
        (Some(FlameOff::WhenReads { .. }), Some(again)) => {
            format!("Reheat until the spot reads {}, about {}", at_least(stop_c(again)), about(again))
        }
        (Some(FlameOff::WhenReads { probe, temperature_c, .. }), None) => {
            format!("Reheat until {} reads {}", place(probe), at_least(*temperature_c))
        }
        (_, Some(again)) => {
            let reads = degrees_span(again.off_over_ranges_c.unwrap_or(again.off_c));
            format!("Reheat by the clock for {}; the spot should then read {reads}", time_or_span(again.took_s))
        }
        (_, None) => "Reheat by the clock".to_owned(),
    };
    format!(" {ends}. {heats}: then stop.")
}

fn span_of(values: &[f64]) -> Option<Span> {
    let low = values.iter().copied().min_by(f64::total_cmp)?;
    Some([low, values.iter().copied().fold(low, f64::max)])
}

/// One interval as a table: when, what, and what the spot must read and will.
pub(super) fn table(card: &Card) -> String {
    let Some(touching) = card.touching else { return String::new() };
    let planned = bead_count(card.outcome).unwrap_or(0);
    let kept = |step: &&Step| !matches!(step.doing, Doing::Bead(number) if number > planned);
    let steps: Vec<&Step> = touching.steps.iter().filter(kept).collect();
    let rows: String = joined(&steps).iter().map(|step| row(card, step)).collect();
    format!(
        "<h2>Touch the spot before every bead</h2>\n<table class=\"steps\">\n<thead><tr><th scope=\"col\">after flame \
         off</th><th scope=\"col\">do</th><th scope=\"col\">spot must read at least</th><th scope=\"col\">at \
         most</th><th scope=\"col\">expect there</th></tr></thead>\n<tbody>\n{rows}</tbody>\n</table>\n{}{}",
        paragraph(
            "Less: no bead, flame first. More: wait. The limits allow for metal that is colder or hotter than the spot."
        ),
        crayon(card, touching)
    )
}

/// A step, and the last of those that it stands for.
struct Row {
    step: Step,
    until: Option<usize>,
}

/// Many beads are told in few rows, each with the limits that are right for all that it stands for.
fn joined(steps: &[&Step]) -> Vec<Row> {
    let beads = steps.iter().filter(|step| matches!(step.doing, Doing::Bead(_))).count();
    let mut rows: Vec<Row> = Vec::new();
    for (n, step) in steps.iter().enumerate() {
        let between = beads > BEADS && n >= BEADS - 1 && n < beads - 1;
        match rows.last_mut().filter(|_| between && n > BEADS - 1) {
            Some(row) => row.join(step),
            None => rows.push(Row { step: **step, until: None }),
        }
    }
    rows
}

impl Row {
    fn join(&mut self, other: &Step) {
        let both = |a: Span, b: Span| [a[0].min(b[0]), a[1].max(b[1])];
        let step = &mut self.step;
        step.after_off_s = both(step.after_off_s, other.after_off_s);
        step.spot_c = both(step.spot_c, other.spot_c);
        step.least_c = step.least_c.max(other.least_c);
        step.most_c = step.most_c.min(other.most_c);
        self.until = match other.doing {
            Doing::Bead(number) => Some(number),
            Doing::Flame | Doing::End => self.until,
        };
    }
}

fn row(card: &Card, row: &Row) -> String {
    let step = &row.step;
    let arc =
        card.instruction.made_for.work.map_or_else(String::new, |work| format!(", arc {}", time_or_span(work.arc_s)));
    // Without beads all of the interval is working time.
    let bare = card.outcome.passes.is_empty();
    let (doing, limits) = match (step.doing, row.until) {
        (Doing::Bead(number), Some(last)) => (format!("beads {number} to {last}{arc}"), true),
        (Doing::Bead(number), None) => (format!("bead {number}{arc}"), true),
        (Doing::Flame, _) => ("flame on again".to_owned(), bare),
        (Doing::End, _) if card.outcome.heats.len() > 1 => {
            (format!("after heat {}: stop", card.outcome.heats.len()), bare)
        }
        (Doing::End, _) => ("stop".to_owned(), bare),
    };
    let limit = |words: String| if limits { words } else { String::new() };
    let cells = [
        clock_span(step.after_off_s),
        doing,
        limit(at_least(step.least_c)),
        limit(at_most(step.most_c)),
        degrees_span(step.spot_c),
    ];
    let cells: String = cells.iter().map(|cell| format!("<td>{}</td>", safe::text(cell))).collect();
    format!("<tr>{cells}</tr>\n")
}

/// The lowest crayon that tells of every bead.
fn crayon(card: &Card, touching: &Touching) -> String {
    let least_c = touching.steps.iter().filter(|step| matches!(step.doing, Doing::Bead(_))).map(|step| step.least_c);
    let least_c = least_c.fold(f64::NEG_INFINITY, f64::max);
    let at_hand = card.advice.into_iter().flat_map(|advice| [advice.low_crayon, advice.next_crayon]).flatten();
    let enough = at_hand.map(|crayon| crayon.rating_c).find(|rating_c| *rating_c >= least_c - study::CRAYON_K);
    enough.map_or_else(String::new, |rating_c| {
        paragraph(&format!("By crayon: a fresh mark of {} must melt there before each bead.", degrees(rating_c)))
    })
}
