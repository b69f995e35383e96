//! What to type to plan with the first remedy.

use warmhold::heat::TorchKind;
use warmhold::scenario::Scenario;
use warmhold::study::Supply;
use warmhold::study::plan::{Remedy, RemedyKind};

/// What to add to the command; nothing for what cannot be typed.
pub(super) fn try_first(remedies: &[Remedy], scenario: &Scenario) -> Option<String> {
    let remedy = remedies.iter().find(|remedy| remedy.value.is_some())?;
    let typed = typed(remedy, scenario)?;
    Some(format!("To plan with the first of them, put into the command:\n  {}\n", typed.join(" ")))
}

fn typed(remedy: &Remedy, scenario: &Scenario) -> Option<Vec<String>> {
    let value = remedy.value?;
    let percent = 100.0 * value;
    Some(match remedy.lever {
        RemedyKind::Wider => vec![format!("--widths \"{0} mm..{0} mm\"", thousandths(value * 1e3))],
        RemedyKind::LongerSoak => {
            let longest_s = remedy.heat_up_band_s?[1];
            let minutes = (longest_s / 60.0).ceil();
            vec![format!("--longest-soak \"{minutes} min\""), set(&torch_times(scenario, remedy.torch?)?)]
        }
        RemedyKind::SoftFlame => {
            vec![heater(scenario, &format!("when = \"in intervals\", strength = \"{percent:.0} %\""))?]
        }
        RemedyKind::HelpersTorch => {
            vec![heater(scenario, &format!("when = \"with flame\", strength = \"{percent:.0} %\""))?]
        }
        RemedyKind::PadsOnTheBack => vec![heater(scenario, &pads(value, remedy.pads_m?, scenario))?],
        RemedyKind::WarmCasting => vec![set(&format!("casting.start={value:.0} C"))],
        RemedyKind::FasterHeating => vec![format!("--fastest-heating \"{:.0} K/min\"", (60.0 * value).ceil())],
        RemedyKind::FewerBeads => vec![format!("--beads {value:.0}")],
        RemedyKind::ShorterInterval => vec![format!("--working-time \"{value:.0} s\"")],
        // The one is typed by leaving --same-torch out, the other is work with a thermometer.
        RemedyKind::StrongerTorch | RemedyKind::KnownTorch => return None,
    })
}

fn set(change: &str) -> String {
    format!("--set '{change}'")
}

/// One heater; a scenario that has some would lose them.
fn heater(scenario: &Scenario, keys: &str) -> Option<String> {
    scenario.case.heaters.is_empty().then(|| set(&format!("heater=[{{ {keys} }}]")))
}

fn pads(flux: f64, diameter_m: f64, scenario: &Scenario) -> String {
    let [x, y] = scenario.case.torches[0].patch.centre().map(|metres| thousandths(metres * 1e3));
    format!(
        "on = \"back\", when = \"always\", flux = \"{} kW/m2\", disc = {{ diameter = \"{} mm\" }}, \
         centre = [\"{x} mm\", \"{y} mm\"]",
        thousandths(flux * 1e-3),
        thousandths(diameter_m * 1e3)
    )
}

/// The torch of the scenario, turned up or down.
fn torch_times(scenario: &Scenario, factor: f64) -> Option<String> {
    match (&scenario.question.supply, scenario.case.torches.first()?.kind) {
        (Some(Supply::Gas(gas)), _) => {
            Some(format!("torch.fuel.rate={} kg/h", thousandths(gas.mass_rate * factor * 3600.0)))
        }
        (Some(Supply::Electricity { .. }), _) => None,
        (None, TorchKind::Flux { flux }) => {
            Some(format!("torch.flux.flux={} kW/m2", thousandths(flux * factor * 1e-3)))
        }
        (None, TorchKind::Flame { film_coefficient, .. }) => {
            Some(format!("torch.flame.film_coefficient={} W/m2K", thousandths(film_coefficient * factor)))
        }
    }
}

fn thousandths(value: f64) -> f64 {
    (value * 1e3).round() / 1e3
}
