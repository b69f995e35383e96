//! From the options of `hold` and `start` to a draft of a scenario.

use std::str::FromStr;

use warmhold::quantity::{Duration, HeatFlux, Length, MassFlow, Power, Temperature, VolumeFlow};
use warmhold::scenario::draft::{Draft, Heated, Heating, Torch, Work};
use warmhold::scenario::usual_rate;

use crate::args::{Job, ReadAt};
use crate::command::metals;
use crate::offer::{Asked, Form, Offer};
use crate::sides;

/// What the draft is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Plan {
    /// One heat, then cool: how long does it hold?
    Hold,
    /// Heat, work and reheat in turn.
    Schedule,
}

/// A draft and what was assumed in it.
#[derive(Clone, Debug)]
pub(crate) struct Drafted {
    pub(crate) draft: Draft,
    pub(crate) offers: Vec<Offer>,
}

const fn asked(option: &'static str, keys: &'static [&'static str], why: &'static str) -> Asked {
    Asked { option, keys, why }
}

const MINIMUM: Asked = asked(
    "--minimum",
    &[],
    "no bead may start below it, and only the qualified procedure knows it; for example --minimum \"300 F\"",
);
const MAXIMUM: Asked =
    asked("--maximum", &["window.maximum_interpass"], "NOT FROM YOUR PROCEDURE; usual for plated dies (D13)");
const MAXIMUM_DUE: Asked = asked(
    "--maximum",
    &[],
    "no bead may start above it, and only the qualified procedure knows it; for example --maximum \"500 F\"",
);
const METAL: Asked = asked("--metal", &["casting.metal"], "usual for large dies (D4)");
const SIZE: Asked = asked("--size", &["casting.length", "casting.width", "casting.depth"], "a large die half (D2)");
const GROOVE: Asked = asked("--groove", &["groove.length", "groove.width", "groove.depth"], "a usual repair (D6, D13)");
const RING: Asked = asked("--ring", &["ring.width"], "as on thick sections, ISO 13916 (ST1)");
const HEATED: Asked = asked("--heated", &["patch.disc"], "half as wide again as the ring (D12)");
const HEATED_WHOLE: Asked = asked("--heated", &["patch.rectangle"], "the whole face: the ring takes all of it");
const TO: Asked = asked("--to", &["window.heat_to"], "usual for plated dies (D13)");
const READ_AT: Asked =
    asked("--read-at", &["schedule.cycles.heat_up"], "the hottest place; the ring is colder than what you read there");
const AIR: Asked = asked("--air", &["shop.air"], "a usual shop (D9)");
const BODY: Asked = asked("--body", &["casting.start"], "the whole casting as cold as the air");
const RATE: Asked =
    asked("--rate", &["torch.fuel.gas", "torch.fuel.rate"], "of propane: 120 kW/m2 net at a share of 30 % (FX5)");
const GAS: Asked = asked("--gas", &["torch.fuel.gas"], "the usual heating gas");
const FIRST: Asked = asked("--first", &["passes.first_after"], "lay the torch down, take up the holder");
const ARC: Asked = asked("--arc", &["passes.arc_time"], "a short bead (D7)");
const PAUSE: Asked = asked("--pause", &["passes.pause"], "peen, brush and look (D7)");
const POWER: Asked = asked("--power", &["passes.power"], "stick, 120 A at 24 V (AR3)");
const BEADS: Asked = asked("--beads", &["passes.per_heat"], "a usual habit (D11)");

/// Beads that `hold` counts up to.
const COUNTED: usize = 6;
/// Net flux that the offered torch brings, W/m2: within the 100 to 250 kW/m2 of N4, and slow enough to soak.
const OFFERED_FLUX: f64 = 120e3;

/// The draft that the options say.
///
/// # Errors
/// Everything that is missing or wrong, one line each.
pub(crate) fn draft(job: &Job, plan: Plan) -> Result<Drafted, Vec<String>> {
    let mut form = Form::default();
    let (minimum, maximum) = window(&mut form, job, plan);
    let metal = form.text(METAL, job.metal.as_deref(), "grey iron 250");
    form.faults.extend(metals::find(&metal).err().map(|fault| format!("--metal: {fault}")));
    let size = form.size(SIZE, job.size.as_deref(), "2.4 m x 1.5 m x 0.6 m");
    let groove = form.size(GROOVE, job.groove.as_deref(), "60 mm x 20 mm x 6 mm");
    let ring = form.quantity::<Length>(RING, job.ring.as_deref(), "75 mm");
    let heated = heated(&mut form, job, &groove, (&ring, &size));
    let heating = heating(&mut form, job, &minimum);
    let torch = torch(&mut form, job, &heated);
    let air = form.quantity::<Temperature>(AIR, job.air.as_deref(), "20 C");
    let start = form.quantity::<Temperature>(BODY, job.body.as_deref(), &air);
    let work = work(&mut form, job, plan);
    offers_fit(&mut form, &minimum);
    if !form.faults.is_empty() {
        return Err(form.faults);
    }
    let (reheats, after) = if plan == Plan::Hold { (0, "1 h") } else { (3, "10 min") };
    let draft = Draft {
        title: job.title.clone().unwrap_or_else(|| title(plan).to_owned()),
        interval: interval(&work),
        after: after.to_owned(),
        cells_across: job.cells,
        offered: form.offered_keys,
        metal,
        size,
        start,
        air,
        heated,
        groove,
        ring,
        minimum,
        maximum,
        heating,
        torch,
        work,
        reheats,
    };
    Ok(Drafted { draft, offers: form.offers })
}

fn title(plan: Plan) -> &'static str {
    if plan == Plan::Hold { "How long one heat holds" } else { "Reheat plan of a repair" }
}

fn window(form: &mut Form, job: &Job, plan: Plan) -> (String, String) {
    let minimum = form.required::<Temperature>(MINIMUM, job.minimum.as_deref());
    let said = job.maximum.as_deref();
    let maximum = match plan {
        Plan::Hold => form.quantity::<Temperature>(MAXIMUM, said, "500 F"),
        Plan::Schedule => form.required::<Temperature>(MAXIMUM_DUE, said),
    };
    if let (Some(maximum), true) = (said, not_above(said, &minimum)) {
        form.faults.push(format!(
            "--maximum: the minimum is not below it: \"{minimum}\" and \"{maximum}\"; take both from the procedure"
        ));
    }
    (minimum, maximum)
}

/// Whether a temperature that was said is no higher than the minimum; false where either cannot be read.
fn not_above(said: Option<&str>, minimum: &str) -> bool {
    let temperature = |text: &str| text.parse::<Temperature>().ok();
    said.and_then(temperature).zip(temperature(minimum)).is_some_and(|(said, minimum)| said <= minimum)
}

fn heated(form: &mut Form, job: &Job, groove: &[String; 3], (ring, size): (&str, &[String; 3])) -> Heated {
    let Some(text) = job.heated.as_deref() else {
        let half = length(&groove[0]).max(length(&groove[1])) / 2.0;
        // To the next centimetre, so that the number can be chalked on.
        let centimetres = (3.0 * (half + length(ring)) * 100.0).ceil();
        let offer = format!("{} mm", 10.0 * centimetres);
        if length(&offer) >= length(&size[0]).hypot(length(&size[1])) {
            let whole_face = [size[0].clone(), size[1].clone()];
            form.assume(HEATED_WHOLE, &whole_face.join(" x "));
            return Heated::Rectangle(whole_face);
        }
        return Heated::Disc(form.text(HEATED, None, &offer));
    };
    match sides::split::<2>(text, "300 mm x 200 mm") {
        Ok(sides) => {
            sides.iter().for_each(|side| form.check::<Length>("--heated", side));
            Heated::Rectangle(sides)
        }
        Err(_) => {
            form.check::<Length>("--heated", text);
            Heated::Disc(text.to_owned())
        }
    }
}

fn heating(form: &mut Form, job: &Job, minimum: &str) -> Heating {
    if let Some(time) = &job.for_time {
        form.check::<Duration>("--for", time);
        return Heating::For(time.clone());
    }
    let reads = form.quantity::<Temperature>(TO, job.to.as_deref(), "400 F");
    if not_above(job.to.as_deref(), minimum) {
        form.faults.push(format!("--to: heating to \"{reads}\" stops below the minimum of \"{minimum}\"; give more"));
    }
    if job.read_at.is_none() {
        form.assume(READ_AT, "centre");
    }
    let probe = if job.read_at == Some(ReadAt::Ring) { "ring_coldest" } else { "patch_centre" };
    Heating::To { reads, probe }
}

fn torch(form: &mut Form, job: &Job, heated: &Heated) -> Torch {
    if let Some(flux) = &job.flux {
        form.check::<HeatFlux>("--flux", flux);
        return Torch::Flux(flux.clone());
    }
    let Some(rate) = &job.rate else {
        let kg_per_hour = usual_rate("propane", OFFERED_FLUX * area(heated)).map_or(f64::NAN, |rate| 3600.0 * rate);
        let rate = form.text(RATE, None, &format!("{} kg/h", two_digits(kg_per_hour)));
        return Torch::Fuel { gas: "propane".to_owned(), rate };
    };
    check_rate(form, rate);
    Torch::Fuel { gas: form.text(GAS, job.gas.as_deref(), "propane"), rate: rate.clone() }
}

/// A rate may be by mass or by volume.
fn check_rate(form: &mut Form, rate: &str) {
    if rate.parse::<VolumeFlow>().is_err() {
        form.check::<MassFlow>("--rate", rate);
    }
}

fn work(form: &mut Form, job: &Job, plan: Plan) -> Work {
    let per_heat = match (job.beads, plan) {
        (Some(beads), _) => beads,
        (None, Plan::Hold) => COUNTED,
        (None, Plan::Schedule) => {
            form.assume(BEADS, "2");
            2
        }
    };
    Work {
        per_heat,
        first_after: form.quantity::<Duration>(FIRST, job.first.as_deref(), "20 s"),
        arc_time: form.quantity::<Duration>(ARC, job.arc.as_deref(), "20 s"),
        pause: form.quantity::<Duration>(PAUSE, job.pause.as_deref(), "60 s"),
        power: form.quantity::<Power>(POWER, job.power.as_deref(), "2.3 kW"),
    }
}

/// An offer that the user's own minimum rules out is no offer.
fn offers_fit(form: &mut Form, minimum: &str) {
    let Ok(least) = minimum.parse::<Temperature>() else { return };
    let too_low: Vec<String> = form
        .offers
        .iter()
        .filter(|offer| [TO.option, MAXIMUM.option].contains(&offer.option))
        .filter(|offer| offer.value.parse::<Temperature>().is_ok_and(|value| value <= least))
        .map(|offer| {
            format!(
                "{0} is missing: the usual {1} is not above your --minimum \"{minimum}\"; give {0}",
                offer.option, offer.value
            )
        })
        .collect();
    form.faults.extend(too_low);
}

/// Time for all planned beads with the pause after each, to the next ten seconds.
fn interval(work: &Work) -> String {
    let [first, arc, pause] = [&work.first_after, &work.arc_time, &work.pause].map(|text| duration(text));
    let needed = first + work.per_heat as f64 * (arc + pause);
    format!("{} s", 10.0 * (needed / 10.0).ceil())
}

/// Area of the heated patch, m2; NaN where a length was refused.
pub(crate) fn area(heated: &Heated) -> f64 {
    match heated {
        Heated::Disc(diameter) => std::f64::consts::FRAC_PI_4 * length(diameter).powi(2),
        Heated::Rectangle([along, across]) => length(along) * length(across),
    }
}

/// A length, m; NaN where it was refused.
pub(crate) fn length(text: &str) -> f64 {
    Length::from_str(text).map_or(f64::NAN, Length::si)
}

/// A time, s; NaN where it was refused.
pub(crate) fn duration(text: &str) -> f64 {
    Duration::from_str(text).map_or(f64::NAN, Duration::si)
}

/// Two significant digits, without idle zeros; 1 in place of what is no rate, where a size was refused or will be.
pub(crate) fn two_digits(number: f64) -> String {
    if !number.is_normal() {
        return "1".to_owned();
    }
    let scale = 10f64.powf(1.0 - number.abs().log10().floor());
    let rounded = (number * scale).round() / scale;
    // The shortest digits that read back to it.
    format!("{rounded}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use warmhold::heat::TorchKind;
    use warmhold::scenario;

    fn job() -> Job {
        Job { minimum: Some("300 F".into()), ..Job::default() }
    }

    fn faults(job: &Job, plan: Plan) -> String {
        draft(job, plan).unwrap_err().join("\n")
    }

    #[test]
    fn one_temperature_is_enough_for_a_hold() {
        let drafted = draft(&job(), Plan::Hold).unwrap();
        let read = scenario::read(&drafted.draft.text(), "draft", &[]).unwrap();
        assert_eq!(read.question.warnings, Vec::<String>::new());
        assert_eq!(drafted.draft.heated, Heated::Disc("320 mm".into()));
        assert_eq!(drafted.draft.interval, "500 s");
    }

    #[test]
    fn the_offered_torch_brings_the_flux_that_it_says() {
        let drafted = draft(&job(), Plan::Hold).unwrap();
        let read = scenario::read(&drafted.draft.text(), "draft", &[]).unwrap();
        let TorchKind::Flux { flux } = read.case.torches[0].kind else { panic!("a fuel is a flux") };
        assert!((flux / OFFERED_FLUX - 1.0).abs() < 0.05, "{flux}");
    }

    #[test]
    fn everything_missing_or_wrong_is_said_at_once() {
        let job = Job {
            ring: Some("75".into()),
            air: Some("20 mm".into()),
            size: Some("2 m x 1 m".into()),
            ..Job::default()
        };
        let said = faults(&job, Plan::Schedule);
        for part in ["--minimum is missing", "--maximum is missing", "75 mm", "--air", "3 sides are due"] {
            assert!(said.contains(part), "{part} in {said}");
        }
    }

    #[test]
    fn an_offer_below_the_minimum_is_not_made() {
        let job = Job { minimum: Some("600 F".into()), ..Job::default() };
        let said = faults(&job, Plan::Hold);
        assert!(said.contains("--to is missing") && said.contains("--maximum is missing"), "{said}");
    }

    #[test]
    fn every_offer_names_a_key_that_the_draft_marks() {
        let drafted = draft(&job(), Plan::Hold).unwrap();
        let text = drafted.draft.text();
        let marked = text.lines().filter(|line| line.contains("OFFERED")).count();
        assert_eq!(marked, drafted.draft.offered.len(), "{text}");
    }

    #[test]
    fn rates_are_rounded_to_two_digits() {
        assert_eq!([2.196, 0.3512, 12.4, 131.0].map(two_digits), ["2.2", "0.35", "12", "130"].map(str::to_owned));
    }
}
