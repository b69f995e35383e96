//! What a card was computed for: each item with a box to tick before work begins.

use quantity::Units;
use study::{Gas, Instruction, Outcome, Span, Supply, TorchHeat, Work};

use super::plain::{degrees, flux, length, mass_two, outline, time_or_span, two_figures};
use super::safe;
use crate::asides;
use crate::words::printable;

const HOUR_S: f64 = 3600.0;

/// The items as a list of boxes.
pub(super) fn made_for(outcome: &Outcome, instruction: &Instruction) -> String {
    let made = &instruction.made_for;
    let mut items = Vec::new();
    if !made.torches.is_empty() {
        items.push(torch(instruction));
    }
    items.push(format!("casting at {} all through, shop air {}", degrees(made.start_c), degrees(made.air_c)));
    items.extend(groove(instruction));
    items.extend(made.work.as_ref().map_or_else(|| vec!["no heat of welding counted".to_owned()], welding));
    items.extend(outcome.beside.iter().map(|aside| asides::words(aside, Units::Both)));
    let items: String = items.iter().map(|item| format!("<li>{}</li>\n", safe::text(item))).collect();
    format!("<h2>Made for: tick each; where one differs, this card is void</h2>\n<ul class=\"ticks\">\n{items}</ul>\n")
}

fn torch(instruction: &Instruction) -> String {
    let made = &instruction.made_for;
    let burns = match (&made.supply, made.torches.first()) {
        (Some(Supply::Gas(gas)), _) => gas_words(gas),
        (Some(Supply::Electricity { power_w, .. }), _) => {
            format!("electric heat of {} kW", two_figures(1e-3 * power_w))
        }
        (None, Some(TorchHeat::Flux { flux_w_per_m2 })) => {
            format!("torch that brings {} into the metal", flux(*flux_w_per_m2))
        }
        (None, Some(TorchHeat::Gas { gas_c })) => format!("flame of {}", degrees(*gas_c)),
        (None, None) => "no torch".to_owned(),
    };
    let count =
        if made.torches.len() > 1 { format!("{} torches together: ", made.torches.len()) } else { String::new() };
    let circles = if made.circles { ", moved in circles" } else { "" };
    let face = if made.other_face { ", on another face than the worked one" } else { "" };
    format!("{count}{burns}{circles}{face}")
}

fn gas_words(gas: &Gas) -> String {
    let per_hour = gas.mass_rate * HOUR_S;
    let with = if gas.oxygen_ratio.is_some() { " with oxygen" } else { " with air" };
    let rate = mass_two(per_hour).replace("kg", "kg/h").replace("lb", "lb/h");
    format!("{}{with}, {rate}", printable(&gas.fuel))
}

fn groove(instruction: &Instruction) -> Option<String> {
    let (groove, depth) = (instruction.groove_m?, instruction.made_for.depth_m?);
    Some(format!("groove {}, {} deep", outline(instruction.groove_round, groove), length(depth)))
}

fn welding(work: &Work) -> Vec<String> {
    let kilowatts = |span: Span| {
        let [low, high] = span.map(|watts| two_figures(1e-3 * watts));
        if low == high { high } else { format!("{low} to {high}") }
    };
    vec![
        format!("arc {} kW into the metal", kilowatts(work.power_w)),
        format!("first bead {} after flame off", time_or_span([work.first_after_s; 2])),
        format!("arc {}, pause {}", time_or_span(work.arc_s), time_or_span(work.pause_s)),
    ]
}
