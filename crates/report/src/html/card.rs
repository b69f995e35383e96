//! The shop card: one sheet to pin up, in both systems of units.
//!
//! It instructs only where the verdict is `holds`. Otherwise it says that it is no instruction, and why, and leaves every
//! step out, so that no part of it can be followed by mistake.

use quantity::Units;
use study::{Advice, Consumption, FlameOff, Instruction, Outcome, Touching, Verdict};

use super::made_for::made_for;
use super::parts::{list, made_from, paper, paragraph};
use super::plain::{at_least, at_most, inches, length, mass, mass_two, time, time_span, two_figures, volume};
use super::sketch::sketch;
use super::steps::{fields, table};
use super::{no_card, safe};
use crate::beads::ring_words;
use crate::words::{NOT_COMPARED, capitalised, printable};

pub(super) const UNITS: Units = Units::Both;
const PREDICTED: &str = "Predicted, not measured: check with a contact reading before every pass.";
/// Letters of a card that has room for its larger type, and those from which on the smallest is taken: of a card that has
/// its boxes, sketch and table, and of one that has not.
const STEPS: [usize; 2] = [2300, 3550];
const NO_STEPS: [usize; 2] = [3700, 4200];
/// Letters of a title that fit on two lines.
const TITLE: usize = 80;
/// Letters of small print that the sheet has room for, in the smaller of its two sizes.
const SMALL_PRINT: usize = 1900;
/// From so many letters on the smaller size is taken.
const USUAL_PRINT: usize = 1200;
/// Letters of any other line of the card that a scenario can fill.
const LINE: usize = 300;

/// What a card is made of.
#[derive(Clone, Copy, Debug)]
pub struct Card<'a> {
    /// The answer.
    pub outcome: &'a Outcome,
    /// What the schedule asks for.
    pub instruction: &'a Instruction,
    /// Which crayon tells of the ring; none where there is no ring to touch.
    pub advice: Option<&'a Advice>,
    /// What the spot to touch reads all through the job; none where there is no ring to touch.
    pub touching: Option<&'a Touching>,
}

/// The card as one HTML file without scripts; it prints on one sheet, A4 or Letter.
pub fn card(card: &Card) -> String {
    let outcome = card.outcome;
    let title = cut(&outcome.title, TITLE);
    let untitled = title.trim().is_empty();
    let middle = if is_instruction(outcome) { instructions(card) } else { refusal(outcome) };
    let blanks = ["Job", "Date", "Name", "Procedure no."].map(|blank| format!("<span>{blank}</span>")).concat();
    let body = format!(
        "<header><h1>{}</h1>\n<p>{}</p>\n<div class=\"blanks\">{blanks}</div></header>\n{middle}\
         <footer>{}. {NOT_COMPARED} Void if the casting, torch, patch or schedule \
         differs.</footer>\n",
        safe::text(if untitled { "Heating card" } else { &title }),
        safe::text(&casting_words(outcome)),
        safe::text(&cut(&made_from(outcome), LINE)),
    );
    let [roomy, full] = if is_instruction(outcome) { STEPS } else { NO_STEPS };
    let kind = match letters(&body) {
        few if few <= roomy => "card",
        some if some <= full => "card tight",
        _ => "card tight full",
    };
    paper(&if untitled { "Heating card".to_owned() } else { format!("Card: {title}") }, kind, &body)
}

/// Letters that are seen of some markup.
fn letters(markup: &str) -> usize {
    let between = markup.split('<').map(|part| part.split_once('>').map_or(part, |(_, text)| text));
    between.map(|text| text.trim().chars().count()).sum()
}

/// Only a verdict of a finished run that holds is one.
pub(super) fn is_instruction(outcome: &Outcome) -> bool {
    outcome.verdict == Verdict::Holds && !outcome.interrupted
}

/// `Grey iron 250, 2400 by 1500 by 600 mm (94 1/2 by 59 by 23 5/8 in), 15600 kg (34300 lb).`
fn casting_words(outcome: &Outcome) -> String {
    let facts = &outcome.casting;
    let [x, y, z] = facts.size_m.map(|side| format!("{:.0}", 1e3 * side));
    let [x_in, y_in, z_in] = facts.size_m.map(inches);
    let floor = match facts.floor_m > 0.0 {
        true => format!(", heated on a floor {} below the face", length(facts.floor_m)),
        false => String::new(),
    };
    let thin = facts.section_m + facts.floor_m < facts.size_m[2];
    let thin = if thin { format!(", {} thick under the patch", length(facts.section_m)) } else { String::new() };
    format!(
        "{}, {x} by {y} by {z} mm ({x_in} by {y_in} by {z_in} in), {}{floor}{thin}.",
        capitalised(&cut(&facts.metal, 60)),
        mass(facts.mass_kg)
    )
}

/// The first letters of a text, with a mark where it was cut. Never for a value.
pub(super) fn cut(text: &str, most: usize) -> String {
    let printed = printable(text);
    if printed.chars().count() <= most {
        return printed;
    }
    printed.chars().take(most - 1).chain(['\u{2026}']).collect()
}

fn refusal(outcome: &Outcome) -> String {
    format!(
        "<div class=\"banner no\"><strong>DO NOT USE AS AN INSTRUCTION</strong>{}</div>\n{}{}\
         <p><strong>{PREDICTED}</strong></p>\n{}{}",
        safe::text(&cut(&no_card::reason(outcome), LINE)),
        window(outcome),
        no_card::computed(outcome),
        ring(outcome),
        small_print(outcome)
    )
}

fn instructions(card: &Card) -> String {
    let outcome = card.outcome;
    let nominal = match outcome.error.input_k {
        Some(_) => "",
        None => " Nominal only: no ranges are stated, so a weaker torch or another metal may change it.",
    };
    let fields: String = fields(card).iter().map(|[label, big, small]| field(label, big, small)).collect();
    let sketch = sketch(outcome, card.instruction, card.touching);
    let class = if sketch.is_some() { "pair" } else { "alone" };
    format!(
        "<div class=\"banner\">{PREDICTED}{nominal}</div>\n{}<div class=\"{class}\"><dl class=\"big\">\n{fields}</dl>\n\
         {}</div>\n{}{}<h2>Stop if</h2>\n{}{}{}{}",
        window(outcome),
        sketch.unwrap_or_default(),
        table(card),
        made_for(outcome, card.instruction),
        list(&stops(card)),
        ring(outcome),
        flame_time(outcome),
        small_print(outcome)
    )
}

fn field(label: &str, big: &str, small: &str) -> String {
    let small = if small.is_empty() { String::new() } else { format!("<small>{}</small>", safe::text(small)) };
    format!("<div><dt>{}</dt><dd>{}{small}</dd></div>\n", safe::text(label), safe::text(big))
}

fn window(outcome: &Outcome) -> String {
    let Some(window) = outcome.window else { return String::new() };
    let limit = window
        .surface_limit_c
        .map_or_else(String::new, |limit| format!("Surface under the flame never above {}.", at_most(limit)));
    let both = format!("{} to {}", at_least(window.minimum_c), at_most(window.maximum_interpass_c));
    format!(
        "<dl class=\"big one\">\n{}</dl>\n",
        field("Window: no bead starts outside it, anywhere in the ring", &both, &limit)
    )
}

fn flame_time(outcome: &Outcome) -> String {
    let burnt: f64 = outcome.heats.iter().map(|heat| heat.end_s - heat.start_s).sum();
    let heats = if outcome.heats.len() == 1 { String::new() } else { format!(" over {} heats", outcome.heats.len()) };
    let used = outcome.consumption.as_ref().map_or_else(String::new, used);
    paragraph(&format!("Flame time{heats}: about {}.{used}", time(burnt)))
}

fn used(used: &Consumption) -> String {
    let mut words = String::new();
    if let (Some(fuel), Some(kilograms)) = (&used.fuel, used.fuel_kg) {
        words += &format!(" Gas: {} {}.", mass_two(kilograms), cut(fuel, 40));
    }
    words += &used.oxygen_m3.map_or_else(String::new, |m3| format!(" Oxygen: {}.", volume(m3)));
    let contents = |m3| format!(" The rate takes cylinders of {} together.", volume(m3));
    words += &used.cylinder_contents_m3.map_or_else(String::new, contents);
    words + &used.electricity_kwh.map_or_else(String::new, |kwh| format!(" Electricity: {} kWh.", two_figures(kwh)))
}

fn stops(card: &Card) -> Vec<String> {
    let mut stops = vec!["The spot reads less or more than the table allows: no bead.".to_owned()];
    if let Some(first) = card.outcome.heats.first() {
        let over = card.touching.and_then(|touching| touching.first.over_torch_s);
        let by_reading = matches!(card.instruction.first, Some(FlameOff::WhenReads { .. }));
        let clearly = match over.filter(|_| by_reading) {
            Some(span) => format!("takes a time outside {}", time_span(span)),
            None if by_reading => format!("takes clearly more or less than {}", time(first.end_s - first.start_s)),
            None => "does not bring the spot to the reading above".to_owned(),
        };
        stops.push(format!("The first heating {clearly}: torch or metal are not those computed."));
    }
    stops.push(
        "Readings do not follow this card, a crack shows or sounds, or the job is not the one named above.".to_owned(),
    );
    stops
}

/// What the ring is, for somebody who never heard of it; none where none was judged.
fn ring(outcome: &Outcome) -> String {
    let Some(ring) = &outcome.ring else { return paragraph("No ring was judged.") };
    format!(
        "<p><b>Ring</b> = the {} of metal around the groove, down to {} below the face.</p>\n",
        safe::text(&length(ring.width_m)),
        safe::text(&length(ring.depth_m))
    )
}

/// The rule of the ring, warnings and cautions, as many as the sheet has room for; how many are not there is said.
fn small_print(outcome: &Outcome) -> String {
    let rule = outcome.ring.as_ref().map(|ring| cut(&format!("Ring {}.", ring_words(ring, UNITS)), LINE));
    let all: Vec<String> = outcome.warnings.iter().chain(&outcome.cautions).map(|one| cut(one, LINE)).collect();
    let (mut kept, mut letters) = (Vec::new(), rule.as_ref().map_or(0, |rule| rule.chars().count()));
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
    kept.extend(rule);
    let smaller = if letters > USUAL_PRINT { " smaller" } else { "" };
    format!("<h2>Cautions</h2>\n<div class=\"small{smaller}\">{}</div>\n", list(&kept))
}
