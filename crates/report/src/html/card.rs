//! The shop card: one sheet to pin up, in both systems of units.
//!
//! It instructs only where the verdict is `holds`. Otherwise it says that it is no instruction, and why, and leaves every
//! step out, so that no part of it can be followed by mistake.

use quantity::{Length, Units};
use study::{Advice, ComeBack, FlameOff, HeatedPatch, Instruction, Outcome, Verdict};

use super::parts::{list, made_from, paper, paragraph};
use super::safe;
use super::still::when_to_touch;
use crate::advised::{meaning, signed, where_to};
use crate::beads::ring_words;
use crate::spans::intervals_s;
use crate::text::beads;
use crate::words::{casting, difference, duration, temperature, verdict_sentence, with_error};

const UNITS: Units = Units::Both;
const PREDICTED: &str = "Predicted, not measured: check with a contact reading before every pass.";
/// Letters of a card that has room for its larger type.
const ROOMY: usize = 3700;
/// From so many letters on the smallest type is taken.
const FULL: usize = 4200;
/// Letters of a title that fit on two lines.
const TITLE: usize = 80;
/// Letters of small print that the sheet has room for, in the smaller of its two sizes.
const SMALL_PRINT: usize = 2700;
/// From so many letters on the smaller size is taken.
const USUAL_PRINT: usize = 1400;
/// Letters of any other line of the card, and of the words below a big number.
const LINE: usize = 300;
const BELOW: usize = 150;

/// What a card is made of.
#[derive(Clone, Copy, Debug)]
pub struct Card<'a> {
    /// The answer.
    pub outcome: &'a Outcome,
    /// What the schedule asks for.
    pub instruction: &'a Instruction,
    /// Where and when to touch; none where there is no ring to touch.
    pub advice: Option<&'a Advice>,
}

/// The card as one HTML file without scripts; it prints on one sheet, A4 or Letter.
pub fn card(card: &Card) -> String {
    let outcome = card.outcome;
    let title = cut(&outcome.title, TITLE);
    let middle = if is_instruction(outcome) { instructions(card) } else { refusal(card) };
    let blanks = ["Job", "Date", "Name", "Procedure no."].map(|blank| format!("<span>{blank}</span>")).concat();
    let body = format!(
        "<header><h1>{}</h1>\n<p>{}</p>\n<div class=\"blanks\">{blanks}</div></header>\n{middle}\
         <footer>{}. Computed, not yet compared with a measured patch. Void if the casting, torch, patch or schedule \
         differs.</footer>\n",
        safe::text(if title.trim().is_empty() { "Heating card" } else { &title }),
        safe::text(&cut(&casting_words(outcome), 150)),
        safe::text(&cut(&made_from(outcome), LINE)),
    );
    let kind = match letters(&body) {
        few if few <= ROOMY => "card",
        some if some <= FULL => "card tight",
        _ => "card tight full",
    };
    paper(&format!("Card: {title}"), kind, &body)
}

/// Letters that are seen of some markup.
fn letters(markup: &str) -> usize {
    let between = markup.split('<').map(|part| part.split_once('>').map_or(part, |(_, text)| text));
    between.map(|text| text.trim().chars().count()).sum()
}

/// Only a verdict of a finished run that holds is one.
fn is_instruction(outcome: &Outcome) -> bool {
    outcome.verdict == Verdict::Holds && !outcome.interrupted
}

fn casting_words(outcome: &Outcome) -> String {
    let words = casting(outcome, UNITS);
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect()) + "."
}

/// The first letters of a text, with a mark where it was cut.
fn cut(text: &str, most: usize) -> String {
    let printed = crate::words::printable(text);
    if printed.chars().count() <= most {
        return printed;
    }
    printed.chars().take(most - 1).chain(['\u{2026}']).collect()
}

fn refusal(card: &Card) -> String {
    let outcome = card.outcome;
    let reason = match outcome.verdict {
        Verdict::Holds => "The computation was interrupted before its end.".to_owned(),
        _ => verdict_sentence(outcome, UNITS),
    };
    let mut lines = vec!["No step of this schedule is printed here, because it does not hold for certain.".to_owned()];
    if outcome.verdict != Verdict::NotAsked {
        lines.push(beads(outcome, UNITS));
    }
    lines.extend(outcome.hold_s.map(|hold| format!("Hold of the ring: {}.", with_error(hold, outcome.error.hold_s))));
    lines.extend(worst(outcome));
    lines.push("What helps: heat wider, heat the whole casting first, fewer beads or a shorter wait.".to_owned());
    format!(
        "<div class=\"banner no\"><strong>DO NOT USE AS AN INSTRUCTION</strong>{}</div>\n{}<h2>What was computed</h2>\n{}\
         <p><strong>{PREDICTED}</strong></p>\n<h2>Ring</h2>\n{}{}",
        safe::text(&cut(&reason, LINE)),
        window(outcome),
        list(&lines),
        ring(outcome),
        small_print(outcome)
    )
}

fn worst(outcome: &Outcome) -> Option<String> {
    let worst = outcome.worst_end?;
    let side = if worst.margin_k < 0.0 { "short" } else { "to spare" };
    Some(format!("With every range at its worst: {} {side}.", difference(worst.margin_k.abs(), UNITS)))
}

fn instructions(card: &Card) -> String {
    let outcome = card.outcome;
    let nominal = match outcome.error.input_k {
        Some(_) => "",
        None => " Nominal only: no ranges are stated, so a weaker torch or another metal may change it.",
    };
    let fields = [heat_field(card.instruction), first_field(card), Some(beads_field(outcome)), Some(back_field(card))];
    let fields: String =
        fields.into_iter().flatten().map(|[label, big, small]| field(label.as_str(), &big, &small)).collect();
    format!(
        "<div class=\"banner\">{PREDICTED}{nominal}</div>\n{}<dl class=\"big\">\n{fields}</dl>\n{}{}<h2>Stop if</h2>\n{}\
         <h2>Ring</h2>\n{}{}",
        window(outcome),
        flame_time(outcome),
        touch(card.advice),
        list(&stops(card)),
        ring(outcome),
        small_print(outcome)
    )
}

fn field(label: &str, big: &str, small: &str) -> String {
    let small =
        if small.is_empty() { String::new() } else { format!("<small>{}</small>", safe::text(&cut(small, BELOW))) };
    format!("<div><dt>{label}</dt><dd>{}{small}</dd></div>\n", safe::text(&cut(big, 70)))
}

fn window(outcome: &Outcome) -> String {
    let Some(window) = outcome.window else { return String::new() };
    let show = |celsius: f64| temperature(celsius, UNITS);
    let limit = window
        .surface_limit_c
        .map_or_else(String::new, |limit| format!("Surface under the flame never above {}.", show(limit)));
    let both = format!("{} to {}", show(window.minimum_c), show(window.maximum_interpass_c));
    format!(
        "<dl class=\"big\" style=\"grid-template-columns: 1fr\">\n{}</dl>\n",
        field("Window: no bead starts outside it", &both, &limit)
    )
}

type Field = [String; 3];

fn heat_field(instruction: &Instruction) -> Option<Field> {
    let length = |metres: f64| Length::from_si(metres).show(UNITS);
    let wide = match instruction.patch? {
        HeatedPatch::Disc { diameter_m } => format!("Circle {} across", length(diameter_m)),
        HeatedPatch::Rectangle { sides_m: [x, y] } => format!("{} by {}", length(x), length(y)),
    };
    let groove = instruction.groove_m.map_or_else(String::new, |[x, y]| {
        format!("Groove {} by {}, {}.", length(x), length(y), groove_place(instruction))
    });
    Some(["Heat this wide".to_owned(), wide, groove])
}

/// Where in the patch the groove lies.
fn groove_place(instruction: &Instruction) -> String {
    const MIDDLE_M: f64 = 1e-3;
    match instruction.groove_from_patch_m {
        Some([x, y]) if x.hypot(y) > MIDDLE_M => {
            format!("its middle x {} y {} from the middle of the patch", signed(x, UNITS), signed(y, UNITS))
        }
        _ => "in the middle of it".to_owned(),
    }
}

fn first_field(card: &Card) -> Option<Field> {
    let heats = &card.outcome.heats;
    let first = heats.first()?;
    let took = duration(first.end_s - first.start_s);
    let off = |flame: &FlameOff| match flame {
        FlameOff::After { .. } => "by the clock".to_owned(),
        FlameOff::WhenReads { probe, temperature_c, .. } => {
            format!("until {} reads {}", place(probe), temperature(*temperature_c, UNITS))
        }
    };
    let first = card.instruction.first.as_ref().map_or_else(String::new, |flame| format!("First: {}.", off(flame)));
    let again = card.instruction.reheat.as_ref().map_or_else(String::new, |flame| {
        let spans: Vec<f64> = heats.iter().skip(1).map(|heat| heat.end_s - heat.start_s).collect();
        format!(" Reheat: {}, {}.", spread(&spans), off(flame))
    });
    Some(["Heat this long".to_owned(), took, first + &again])
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

fn spread(spans_s: &[f64]) -> String {
    let shortest = spans_s.iter().copied().fold(f64::INFINITY, f64::min);
    let longest = spans_s.iter().copied().fold(0.0, f64::max);
    match (duration(shortest), duration(longest)) {
        _ if spans_s.is_empty() => "none".to_owned(),
        (short, long) if short == long => long,
        (short, long) => format!("{short} to {long}"),
    }
}

fn beads_field(outcome: &Outcome) -> Field {
    // What fits at the worst end of all stated ranges, where there are any: the card must not promise more.
    let worst = outcome.worst_end.and_then(|worst| worst.beads_per_heat);
    let fit = outcome.beads_per_heat.map(|fit| worst.map_or(fit, |worst| worst.min(fit)));
    let fit = fit.map(|fit| outcome.planned_per_heat.map_or(fit, |planned| planned.min(fit)));
    let big = fit.map_or_else(|| "no beads are planned".to_owned(), |fit| fit.to_string());
    let spare =
        outcome.margin_k.map_or_else(String::new, |k| format!("{} to spare as computed.", difference(k, UNITS)));
    let worst = worst_spare(outcome).map_or_else(String::new, |words| format!(" {words}"));
    ["Beads per heat, no more".to_owned(), big, spare + &worst]
}

fn worst_spare(outcome: &Outcome) -> Option<String> {
    let worst = outcome.worst_end?;
    Some(format!("{} with every stated range at its worst.", difference(worst.margin_k, UNITS)))
}

fn back_field(card: &Card) -> Field {
    let hold = card.outcome.hold_s.map_or_else(
        || "The ring stays above the minimum to the end of the run.".to_owned(),
        |hold| format!("The ring holds {} without arc.", with_error(hold, card.outcome.error.hold_s)),
    );
    let worst = match card.outcome.worst_end.map(|worst| worst.hold_s) {
        Some(Some(hold)) => format!(" At the worst: {}.", duration(hold)),
        _ => String::new(),
    };
    let big = match &card.instruction.come_back {
        Some(ComeBack::After { seconds }) => format!("{} after flame off", duration(*seconds)),
        Some(ComeBack::WhenFalls { probe, temperature_c, at_most_s }) => format!(
            "{} is down to {}, at the latest {} after flame off",
            place(probe),
            temperature(*temperature_c, UNITS),
            duration(*at_most_s)
        ),
        None => format!("{} after flame off", spread(&intervals_s(card.outcome))),
    };
    ["Come back with the flame when".to_owned(), big, hold + &worst]
}

fn flame_time(outcome: &Outcome) -> String {
    let burnt: f64 = outcome.heats.iter().map(|heat| heat.end_s - heat.start_s).sum();
    let supply = crate::supply_line(outcome, UNITS).map_or_else(String::new, |line| format!(" {line}."));
    paragraph(&cut(&format!("Flame time over all {} heats: {}.{supply}", outcome.heats.len(), duration(burnt)), LINE))
}

fn touch(advice: Option<&Advice>) -> String {
    let Some(advice) = advice else { return String::new() };
    let wait = advice.wait_s.and_then(|wait| advice.moments.iter().find(|moment| moment.after_off_s == wait));
    let mut lines = vec![where_to(advice, UNITS), when_to_touch(advice, UNITS)];
    lines.extend(wait.map(|moment| format!("Expect: {}.", meaning(advice, moment, UNITS))));
    lines.extend(advice.low_crayon.map(|crayon| {
        format!("A {} crayon must melt there before a bead starts.", temperature(crayon.rating_c, UNITS))
    }));
    let lines: Vec<String> = lines.iter().map(|line| cut(line, LINE)).collect();
    format!("<h2>Touch here</h2>\n{}", list(&lines))
}

fn stops(card: &Card) -> Vec<String> {
    let outcome = card.outcome;
    let mut stops = Vec::new();
    if let Some(window) = outcome.window {
        let show = |celsius: f64| temperature(celsius, UNITS);
        stops.push(format!(
            "The reading before a bead is below {}: no bead; flame first. Above {}: wait.",
            show(window.minimum_c),
            show(window.maximum_interpass_c)
        ));
    }
    if let Some(first) = outcome.heats.first() {
        stops.push(format!(
            "The first heating takes clearly more or less than {}: torch or metal are not those computed.",
            duration(first.end_s - first.start_s)
        ));
    }
    stops.push(
        "Readings do not follow this card, a crack shows or sounds, or the job is not the one named above.".to_owned(),
    );
    stops
}

fn ring(outcome: &Outcome) -> String {
    let words = outcome.ring.as_ref().map_or_else(|| "No ring was judged".to_owned(), |ring| ring_words(ring, UNITS));
    paragraph(&cut(&format!("{words}."), LINE))
}

/// Warnings and cautions, as many as the sheet has room for; how many are not there is said.
fn small_print(outcome: &Outcome) -> String {
    let all: Vec<String> = outcome.warnings.iter().chain(&outcome.cautions).map(|one| cut(one, LINE)).collect();
    let (mut kept, mut letters) = (Vec::new(), 0);
    for one in &all {
        letters += one.chars().count().max(40);
        if letters > SMALL_PRINT {
            break;
        }
        kept.push(one.clone());
    }
    let missing = all.len() - kept.len();
    if missing > 0 {
        kept.push(format!("{missing} more stand in the report: read them there before work begins."));
    }
    let smaller = if letters > USUAL_PRINT { " smaller" } else { "" };
    format!("<h2>Cautions</h2>\n<div class=\"small{smaller}\">{}</div>\n", list(&kept))
}
