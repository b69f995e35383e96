//! A plan in words: what to do first, then within what, then width against soak, then what would hold.

use quantity::{FilmCoefficient, HeatFlux, Mass, MassFlow, Power, Units};
use study::Verdict;
use study::plan::{Choice, Limits, Plan, Proposal, Remedy, RemedyKind, TorchSetting};

use crate::tables::table;
use crate::text::{facts, gas_or_current, hanging, joined, list, made_by, paragraphs};
use crate::words::{
    NOT_COMPARED, counted, difference, duration, error_bar, length, one_system, printable, temperature,
};

/// What stands under a table of quick runs.
const QUICK: &str = "By quick runs at the worst ends, without error bar: put the number in and run plan again.";

/// The plan on one screen or two.
pub fn plan(plan: &Plan, units: Units) -> String {
    let mut sections = vec![Some(opening(plan, units))];
    if let Some(proposal) = &plan.proposal {
        sections.push(Some(facts(&proposal_facts(proposal, plan, units))));
    }
    sections.push(Some(format!("Made within\n{}", facts(&limit_facts(&plan.limits, units)))));
    sections.push(choices(plan, units));
    sections.push(remedies(&plan.remedies, plan.verdict == Verdict::Holds, units));
    sections.push(list("Cautions", &plan.cautions));
    sections.push(Some(closing(plan)));
    joined(sections)
}

fn opening(plan: &Plan, units: Units) -> String {
    let (Some(proposal), verdict) = (&plan.proposal, plan.verdict) else {
        return nothing(plan, units);
    };
    let over = proposal.torch_over_stated;
    let stronger = if over > 1.005 {
        format!(" with a torch {over:.1} times the one of the scenario (--same-torch keeps to that one)")
    } else {
        String::new()
    };
    let lead = match verdict {
        Verdict::Holds => "Holds",
        Verdict::TooCloseToCall if plan.unchecked > 0 => "Too close to call so far",
        Verdict::TooCloseToCall => "Too close to call, and nothing surer was found",
        _ => "Falls short",
    };
    let beads = proposal.beads.map_or_else(|| "work".to_owned(), |n| counted(n, "bead"));
    let first = format!(
        "{lead}{stronger}: heat {} until the coldest of the ring reads {}, then {beads} in {}, then reheat to the same reading.",
        heated(proposal, units),
        temperature(proposal.reads_c, units),
        duration(proposal.interval_s),
    );
    hanging("", &(first + &unchecked(plan.unchecked)))
}

/// What stands where the checks of one plan ended first.
fn unchecked(count: usize) -> String {
    if count == 0 {
        return String::new();
    }
    format!(
        " The checks of one plan were used up first: {count} more widths and flames are unchecked. Look among them with --widths, such as --widths \"400 mm..500 mm\"."
    )
}

fn nothing(plan: &Plan, units: Units) -> String {
    let widths = plan.limits.widths_m.map(|width| length(width, units));
    let text = if plan.interrupted {
        "Interrupted before anything was found.".to_owned()
    } else {
        format!(
            "Nothing holds: no width from {} to {} with any flame that this torch gives keeps the ring inside the window for {} at the worst end of the stated ranges.",
            widths[0],
            widths[1],
            duration(plan.limits.interval_s)
        )
    };
    let too_slow = plan.remedies.iter().any(|r| r.lever == RemedyKind::FasterHeating && r.value.is_some());
    let limit = if too_slow {
        " The limit of the heating rate rules it out: without it there is a job that holds."
    } else {
        ""
    };
    hanging("", &[&text, limit, &unchecked(plan.unchecked)].concat())
}

fn heated(proposal: &Proposal, units: Units) -> String {
    match proposal.heated_m[..] {
        [diameter] => format!("a disc of {}", length(diameter, units)),
        ref sides => sides.iter().map(|side| length(*side, units)).collect::<Vec<_>>().join(" by "),
    }
}

fn band([low, high]: [f64; 2]) -> String {
    let (low, high) = (low.min(high), low.max(high));
    format!("{} to {} over the stated ranges", duration(low), duration(high))
}

fn proposal_facts(proposal: &Proposal, plan: &Plan, units: Units) -> Vec<(&'static str, String)> {
    let ranged = proposal.heat_up_band_s[0] != proposal.heat_up_band_s[1];
    let with_band = |nominal_s: f64, ends: [f64; 2]| {
        if ranged { format!("{} as stated, {}", duration(nominal_s), band(ends)) } else { duration(nominal_s) }
    };
    let mut list = vec![
        ("Heated width", heated(proposal, units)),
        ("Torch", torch(proposal, units)),
        ("First heating", with_band(proposal.heat_up_s, proposal.heat_up_band_s)),
        ("  given up after", duration(proposal.heat_up_at_most_s)),
        ("Interval", format!("{} (flame off to flame on)", duration(proposal.interval_s))),
    ];
    if proposal.reheats > 0 {
        let warm = format!(
            "{} in the first hour, {} once the casting is warm; {}",
            duration(proposal.reheat_first_hour_s),
            duration(proposal.reheat_warm_s),
            band(proposal.reheat_band_s)
        );
        list.push(("Reheat", warm));
        list.push(("  given up after", duration(proposal.reheat_at_most_s)));
    }
    let heats = counted(proposal.reheats + 1, "heat");
    list.push(("Whole job", format!("{} for {heats}", duration(proposal.total_s))));
    list.extend(proposal.consumption.as_ref().map(|used| gas_or_current(used, units)));
    list.push(("Hold of the ring", hold(proposal)));
    list.push(("Margin", margin(proposal, units)));
    list.push(("Surface rises", rises(proposal, units)));
    let all = if plan.verdict == Verdict::Holds { ", worst ends and numerical error included" } else { "" };
    list.push(("Confirmed by", format!("check: {}{all}", plan.verdict.words())));
    list
}

/// The true rise in the true time.
fn rises(proposal: &Proposal, units: Units) -> String {
    let over_s = proposal.steepest_over_s;
    let rise = difference(over_s * proposal.steepest_k_s, units);
    let span = if over_s < 60.0 {
        format!("{rise} in the {} of the first heating", duration(over_s))
    } else {
        format!("at most {rise} in any minute")
    };
    format!("{span}, with the strongest flame on the metal that heats fastest within the stated ranges")
}

fn hold(proposal: &Proposal) -> String {
    let words = |hold_s: Option<f64>| hold_s.map_or_else(|| "to the end of the run".to_owned(), duration);
    match proposal.ranges_k {
        None => words(proposal.hold_s[0]),
        Some(_) => {
            format!("{}; at the worst end of the ranges {}", words(proposal.hold_s[0]), words(proposal.hold_s[1]))
        }
    }
}

fn margin(proposal: &Proposal, units: Units) -> String {
    let ranges = proposal.ranges_k.map_or_else(
        || ", nominal only: no ranges are stated".to_owned(),
        |kelvin| format!(", up to {} less at the worst end of the ranges", difference(kelvin, units)),
    );
    let numerical = error_bar(proposal.error_k, units);
    format!("{} to spare as stated ± {numerical}{ranges}", difference(proposal.margin_k, units))
}

fn torch(proposal: &Proposal, units: Units) -> String {
    let set = match proposal.torch {
        TorchSetting::GasKgS(rate) => MassFlow::from_si(rate).show(units),
        TorchSetting::FluxWM2(flux) => format!("{} net", HeatFlux::from_si(flux).show(units)),
        TorchSetting::FlameWM2K(film) => FilmCoefficient::from_si(film).show(units),
        TorchSetting::ElectricWM2(density) => format!("{} net", HeatFlux::from_si(density).show(units)),
    };
    let over = proposal.torch_over_stated;
    let against = if (over - 1.0).abs() < 1e-9 {
        "as in the scenario".to_owned()
    } else if over > 1.0 {
        format!(
            "CHANGED: {over:.2} times the torch of the scenario, which would take longer, or at the low end of its range never get this wide hot"
        )
    } else {
        format!("turned down to {over:.2} of the scenario")
    };
    format!("{set}, {} into the metal as stated; {against}", Power::from_si(proposal.net_power_w).show(units))
}

fn limit_facts(limits: &Limits, units: Units) -> Vec<(&'static str, String)> {
    let at_most =
        |limit: Option<String>| limit.map_or_else(|| "no limit stated".to_owned(), |l| format!("at most {l}"));
    let surface = at_most(limits.window.surface_limit_c.map(|limit| temperature(limit, units)));
    let rate = limits.fastest_heating_k_s.map_or_else(
        || "no limit stated; thick and brittle castings want one (ST15)".to_owned(),
        |rate| format!("at most {} in a minute", difference(60.0 * rate, units)),
    );
    let widths = limits.widths_m.map(|width| length(width, units));
    let longest = duration(limits.longest_soak_s);
    let soak = limits.least_soak_s.map_or_else(
        || format!("no least soak stated; at most {longest} looked at"),
        |least_s| format!("at least {}; at most {longest} looked at", duration(least_s)),
    );
    let gas = limits.most_gas_kg.map(|kg| Mass::from_si(kg).show(units));
    vec![
        (
            "Window",
            format!(
                "{} to {}",
                temperature(limits.window.minimum_c, units),
                temperature(limits.window.maximum_interpass_c, units)
            ),
        ),
        ("Surface", surface),
        ("Heating rate", rate),
        ("First heating", soak),
        ("Whole job", at_most(limits.longest_job_s.map(duration))),
        ("Gas", at_most(gas)),
        ("Widths", format!("{} to {}", widths[0], widths[1])),
        (
            "Torch",
            format!("{:.2} to {:.2} times that of the scenario (TP2, EL1, practice)", limits.torch[0], limits.torch[1]),
        ),
    ]
}

/// Width against soak: a row for each width, a column for each flame.
fn choices(plan: &Plan, units: Units) -> Option<String> {
    let mut torches: Vec<f64> = plan.table.iter().map(|choice| choice.torch).collect();
    torches.sort_by(f64::total_cmp);
    torches.dedup();
    let abreast = torches.len().max(1);
    // A flame with which nothing holds takes no column.
    let told: Vec<bool> =
        torches.iter().map(|t| plan.table.iter().any(|c| c.torch == *t && c.reads_c.is_some())).collect();
    let shown = torches.iter().zip(&told).filter(|(_, told)| **told);
    let header: Vec<String> =
        std::iter::once("width".to_owned()).chain(shown.map(|(t, _)| format!("torch x {t:.2}"))).collect();
    if header.len() == 1 {
        return None;
    }
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let rows = plan.table.chunks(abreast).map(|row| {
        let width = row.first().map_or(0.0, |choice| choice.width_m);
        let unit = one_system(units);
        std::iter::once(length(width, unit))
            .chain(row.iter().zip(&told).filter(|(_, told)| **told).map(|(choice, _)| cell(choice, unit)))
            .collect()
    });
    let table = table(
        "Width against soak: first heating to the lowest reading that holds at both ends; - where none does",
        &header,
        &[0],
        rows.collect(),
    )?;
    Some(format!("{table}\nBy quick runs without error bar; the proposal above is checked."))
}

fn cell(choice: &Choice, units: Units) -> String {
    let (Some(reads_c), Some(soak_s)) = (choice.reads_c, choice.soak_s) else { return "-".to_owned() };
    let minutes = (soak_s / 60.0).round().max(1.0);
    format!("{minutes} min, {}", temperature(reads_c, units))
}

fn remedies(remedies: &[Remedy], found: bool, units: Units) -> Option<String> {
    let row = |remedy: &Remedy| {
        let value = remedy.value?;
        let heated = remedy.width_m.map_or_else(String::new, |width| length(width, units));
        let reads = remedy.reads_c.map_or_else(String::new, |reads| temperature(reads, units));
        let total = remedy.total_s.map_or_else(String::new, duration);
        Some(vec![what(remedy.lever).to_owned(), number(remedy, value, units), format!("{heated} to {reads}"), total])
    };
    let title = if found {
        "With the torch known"
    } else {
        "What would hold, one thing changed at a time, the quickest job first"
    };
    let header = ["change", "to", "heated", "whole job"];
    let table = table(title, &header, &[0, 1, 2], remedies.iter().filter_map(row).collect());
    let uncounted = if found { "" } else { " The time that it takes to warm the whole casting is not counted." };
    let table = table.map(|table| format!("{table}\n{}", hanging("", &[QUICK, uncounted].concat())));
    let idle: Vec<&str> = remedies.iter().filter(|r| r.value.is_none()).map(|r| what(r.lever)).collect();
    let idle = (!idle.is_empty()).then(|| hanging("", &format!("Does not help alone: {}.", idle.join("; "))));
    let none = (table.is_none() && idle.is_some()).then(|| {
        hanging("", "Nothing helps alone. Two of them together may; or the whole casting goes into an oven (N8).")
    });
    let has_pads = remedies.iter().any(|r| r.lever == RemedyKind::PadsOnTheBack && r.value.is_some());
    let pads = has_pads.then(|| {
        hanging(
            "",
            "Pads: the back is held against no limit here. Put them on a thermostat that reads the metal under them.",
        )
    });
    let parts: Vec<String> = [table, pads, idle, none].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join("\n"))
}

fn what(lever: RemedyKind) -> &'static str {
    match lever {
        RemedyKind::Wider => "heat wider",
        RemedyKind::LongerSoak => "soak longer with a softer flame",
        RemedyKind::StrongerTorch => "a stronger torch",
        RemedyKind::SoftFlame => "keep a soft flame on between flames",
        RemedyKind::HelpersTorch => "a helper's torch while the flame burns",
        RemedyKind::PadsOnTheBack => "electric pads on the back from the start",
        RemedyKind::WarmCasting => "warm the whole casting first",
        RemedyKind::FasterHeating => "a faster rise of the surface than was asked for",
        RemedyKind::FewerBeads => "fewer beads for each heat",
        RemedyKind::ShorterInterval => "a shorter time between flames",
        RemedyKind::KnownTorch => "time one heat-up, so that the torch is known",
    }
}

fn number(remedy: &Remedy, value: f64, units: Units) -> String {
    let torch = remedy.torch.unwrap_or(1.0);
    match remedy.lever {
        RemedyKind::Wider => length(value, units),
        RemedyKind::LongerSoak => format!("{}, torch x {torch:.2}", duration(value)),
        RemedyKind::ShorterInterval => duration(value),
        RemedyKind::StrongerTorch => format!("{value:.2} times the scenario's"),
        RemedyKind::SoftFlame => format!("{:.0} % of the torch, same patch", 100.0 * value),
        RemedyKind::HelpersTorch => format!("{:.0} % of the first, same patch", 100.0 * value),
        RemedyKind::PadsOnTheBack => {
            let over = remedy.pads_m.map_or_else(String::new, |pads| format!(" over {}", length(pads, units)));
            format!("{} net{over} (EL1)", HeatFlux::from_si(value).show(units))
        }
        RemedyKind::WarmCasting => temperature(value, units),
        RemedyKind::FasterHeating => {
            format!("{} in a minute", difference(60.0 * value, units))
        }
        RemedyKind::FewerBeads => format!("{value:.0}"),
        RemedyKind::KnownTorch => format!("± {:.0} %", 100.0 * value),
    }
}

fn closing(plan: &Plan) -> String {
    paragraphs([
        printable(&plan.title),
        format!("{NOT_COMPARED} The welder still reads the ring before every bead (ST14)."),
        made_by(&plan.version, &plan.input_sha256),
    ])
}
