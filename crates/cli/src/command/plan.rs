//! `plan`: the shortest job that holds.

use std::path::Path;

use warmhold::report;
use warmhold::scenario::{self, Override, Scenario};
use warmhold::study::Verdict;
use warmhold::study::plan::{Planned, Proposal, TorchSetting, Wishes};

use super::check::{draw, picture, style, tell_built_in};
use super::try_first::try_first;
use crate::ask::Plan;
use crate::failure::Failure;
use crate::{INTERRUPTED, input, output, run};

/// Exit code where nothing holds.
const NOTHING: u8 = 1;

/// Answers: 0 where a job that holds was found, 1 where nothing holds, 3 where it is too close to call.
pub(crate) fn run(plan: &Plan) -> Result<u8, Failure> {
    let format = plan.plot.as_deref().map(picture).transpose()?;
    for path in plan.plot.iter().chain(&plan.write) {
        output::must_be_free(path, plan.force)?;
    }
    run::use_threads(plan.show.threads)?;
    let (scenario, text) = input::with_text(plan.about.file.as_deref(), &plan.about.set)?;
    let planned = run::timed(&plan.show, || {
        run::watching(|keep_going| {
            warmhold::study::plan::plan(&scenario.case, &scenario.question, &wishes(plan), keep_going)
        })
    })?;
    let changes = planned.plan.proposal.as_ref().map(|p| changes(p, &scenario, (&text, plan))).unwrap_or_default();
    tell_built_in(plan.about.file.as_deref());
    let answer = if plan.show.json {
        report::json(&planned.plan)
    } else {
        let first = if changes.is_empty() { try_first(&planned.plan.remedies, &scenario) } else { None };
        report::plan(&planned.plan, plan.show.units.into()) + &first.unwrap_or_default() + &told(&changes, plan)
    };
    output::print(&answer)?;
    if let (Some(path), Some(format), Some(outcome)) = (&plan.plot, format, &planned.outcome) {
        output::write_file(path, &draw(outcome, format, style(&plan.show, plan.looks))?, plan.force)?;
    }
    if let (Some(path), Some(_)) = (&plan.write, &planned.plan.proposal) {
        write(path, &text, &changes, plan)?;
    }
    Ok(exit_code(&planned))
}

fn wishes(plan: &Plan) -> Wishes {
    Wishes {
        working_time_s: plan.working_time,
        beads: plan.beads,
        fastest_heating_k_s: plan.fastest_heating,
        least_soak_s: plan.least_soak,
        longest_soak_s: plan.longest_soak,
        longest_job_s: plan.longest_job,
        most_gas_kg: plan.most_gas,
        widths_m: plan.widths,
        same_torch: plan.same_torch,
    }
}

fn exit_code(planned: &Planned) -> u8 {
    match planned.plan.verdict {
        _ if planned.plan.interrupted => INTERRUPTED,
        Verdict::Holds => 0,
        Verdict::TooCloseToCall => Verdict::TooCloseToCall.exit_code(),
        Verdict::FallsShort | Verdict::NotAsked => NOTHING,
    }
}

/// The proposal as values to put into the scenario.
fn changes(proposal: &Proposal, scenario: &Scenario, given: (&str, &Plan)) -> Vec<Override> {
    let once = scenario.case.passes.as_ref().is_some_and(|passes| passes.once);
    let mut list = vec![schedule(proposal, once)];
    if (proposal.torch_over_stated - 1.0).abs() > 1e-12 {
        list.push(torch(proposal.torch));
    }
    if let (Some(beads), Some(passes)) = (proposal.beads, &scenario.case.passes)
        && beads != passes.per_heat
    {
        list.push(format!("passes.per_heat={beads}"));
    }
    let parsed = |list: &[String]| list.iter().filter_map(|text| Override::parse(text).ok()).collect::<Vec<_>>();
    // A rectangle may stand in the file as a strip: the spelling that can be read is the one.
    let spellings = patch(&proposal.heated_m).map(|patch| parsed(&[vec![patch], list.clone()].concat()));
    let (text, plan) = given;
    let reads = |changes: &Vec<Override>| {
        let all: Vec<Override> = plan.about.set.iter().chain(changes).cloned().collect();
        scenario::read(text, "the proposal", &all).is_ok()
    };
    let [one, other] = spellings;
    if reads(&one) { one } else { other }
}

fn patch(sides: &[f64]) -> [String; 2] {
    let millimetres = |metres: f64| format!("{} mm", ((metres * 1e6).round() / 1e3));
    match sides {
        [length, width] => ["rectangle", "strip"].map(|shape| {
            format!("patch.{shape}={{ length = \"{}\", width = \"{}\" }}", millimetres(*length), millimetres(*width))
        }),
        _ => {
            let diameter = sides.first().copied().unwrap_or(0.0);
            [(); 2].map(|()| format!("patch.disc={{ diameter = \"{}\" }}", millimetres(diameter)))
        }
    }
}

fn torch(setting: TorchSetting) -> String {
    let digits = |value: f64| (value * 1e6).round() / 1e6;
    match setting {
        TorchSetting::GasKgS(rate) => format!("torch.fuel.rate={} kg/h", digits(rate * 3600.0)),
        TorchSetting::FluxWM2(flux) => format!("torch.flux.flux={} kW/m2", digits(flux * 1e-3)),
        TorchSetting::FlameWM2K(film) => format!("torch.flame.film_coefficient={} W/m2K", digits(film)),
        TorchSetting::ElectricWM2(density) => format!("torch.electric.power_density={} W/cm2", digits(density * 1e-4)),
    }
}

fn schedule(proposal: &Proposal, once: bool) -> String {
    let flame = |at_most_s: f64| {
        format!("{{ until = \"ring_coldest\", reads = \"{} C\", at_most = \"{} s\" }}", proposal.reads_c, at_most_s)
    };
    let reheats = if once { "\"until all beads are laid\"".to_owned() } else { proposal.reheats.to_string() };
    format!(
        "schedule={{ cycles = {{ heat_up = {}, interval = \"{} s\", reheat = {}, reheats = {reheats} }} }}",
        flame(proposal.heat_up_at_most_s),
        proposal.interval_s,
        flame(proposal.reheat_at_most_s),
    )
}

/// How to check the proposal, in one line to type.
fn told(changes: &[Override], plan: &Plan) -> String {
    if changes.is_empty() {
        return String::new();
    }
    if let Some(path) = &plan.write {
        let path = output::shown(path);
        return format!("The proposal is now in {path}: warmhold check {path}\n");
    }
    let file = plan.about.file.as_deref().map_or_else(String::new, |file| format!(" {}", output::shown(file)));
    let sets = plan
        .about
        .set
        .iter()
        .chain(changes)
        .map(|change| format!(" \\\n    --set '{}'", output::printable(change.text())));
    format!("To check the proposal:\n  warmhold check{file}{}\n", sets.collect::<String>())
}

fn write(path: &Path, text: &str, changes: &[Override], plan: &Plan) -> Result<(), Failure> {
    let all: Vec<Override> = plan.about.set.iter().chain(changes).cloned().collect();
    let text = scenario::rewritten(text, &all).ok_or_else(|| Failure::Unwritable {
        origin: output::shown(path),
        reason: "the values cannot be put into this scenario; use --set as printed without --write".to_owned(),
    })?;
    output::write_file(path, text.as_bytes(), plan.force)
}
