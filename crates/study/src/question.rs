//! What is asked of a case.

use heat::{Accuracy, Case, Probe, ProbeKind, Ring, Shape};

use crate::{Brittle, RingRule, Supply, WeldFacts};

/// The temperatures that the procedure asks for; it has no defaults.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// No pass starts below it, Celsius.
    pub minimum_c: f64,
    /// No pass starts above it, Celsius.
    pub maximum_interpass_c: f64,
    /// The surface never gets hotter under the flame, Celsius.
    pub surface_limit_c: Option<f64>,
}

/// A limit to report on: when the probe falls below it after each flame-off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Watch {
    /// Index into [`Case::probes`].
    pub probe: usize,
    /// Limit, Celsius.
    pub limit_c: f64,
}

/// One input that is known only within a range.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lever {
    /// Conductivity of the metal.
    Conductivity,
    /// Specific heat of the metal.
    SpecificHeat,
    /// Heat that the torch brings into the metal: flux, or film coefficient of the flame.
    TorchStrength,
    /// Film coefficients of all faces.
    FilmCoefficient,
    /// Emissivities of all faces (capped at 1).
    Emissivity,
    /// Conductance into what the casting stands on.
    ContactConductance,
    /// Net arc power.
    ArcPower,
}

/// The stated range of an input, as factors on its nominal value.
#[derive(Clone, Debug, PartialEq)]
pub struct Range {
    /// Which input.
    pub lever: Lever,
    /// Low end over nominal, above 0.
    pub low: f64,
    /// High end over nominal.
    pub high: f64,
    /// Where the range comes from, in a few words.
    pub source: String,
}

/// Indices into [`Case::probes`] of the places that a verdict needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RingProbes {
    /// Coldest of the ring.
    pub coldest: usize,
    /// Mean of the ring on the worked face.
    pub mean: usize,
    /// Hottest of the ring.
    pub hottest: usize,
    /// Hottest of the heated patch (the surface under the flame).
    pub surface: usize,
    /// Middle of the heated patch, on the face.
    pub centre: usize,
}

/// What is asked of a case.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// Title of the scenario, for reports.
    pub title: String,
    /// Name of the metal, for reports.
    pub metal: String,
    /// The window; without it the run is plain and the verdict is "not asked".
    pub window: Option<Window>,
    /// The ring and its probes; present whenever a window is.
    pub ring: Option<(Ring, RingProbes)>,
    /// Kelvin above the minimum at which the welder comes back; 0 where the schedule has fixed times.
    pub guard_k: f64,
    /// Working time wanted between flames, s: judged where the interval ends by temperature.
    pub working_time_s: Option<f64>,
    /// Limits to report on.
    pub watches: Vec<Watch>,
    /// Inputs with a range.
    pub ranges: Vec<Range>,
    /// What feeds the torch, where it is known.
    pub supply: Option<Supply>,
    /// Time of one circle of the torch, s, where its swing is asked for.
    pub circle_s: Option<f64>,
    /// What is known of the passes beside their heat.
    pub weld: WeldFacts,
    /// Where the width of the ring comes from.
    pub ring_rule: RingRule,
    /// Last tempering heat of the casting, Celsius: metal that got hotter under the flame is softer than it was.
    pub last_temper_c: Option<f64>,
    /// What the metal can take where it is brittle and known: its strain is then put in figures.
    pub brittle: Option<Brittle>,
    /// Cautions that the case calls for, ready to print.
    pub cautions: Vec<String>,
    /// Warnings found while reading the scenario, ready to print.
    pub warnings: Vec<String>,
    /// How fine to compute.
    pub accuracy: Accuracy,
    /// Error bars to stay within, in place of a fineness.
    pub request: Option<Request>,
    /// SHA-256 of the scenario after overrides, lower-case hex; empty where there is none.
    pub input_sha256: String,
}

impl Question {
    /// Nothing asked: no window, no ranges, nothing known but the case itself.
    pub fn plain() -> Question {
        Question {
            title: String::new(),
            metal: String::new(),
            window: None,
            ring: None,
            guard_k: 0.0,
            working_time_s: None,
            watches: Vec::new(),
            ranges: Vec::new(),
            supply: None,
            circle_s: None,
            last_temper_c: None,
            brittle: None,
            weld: WeldFacts::default(),
            ring_rule: RingRule::default(),
            cautions: Vec::new(),
            warnings: Vec::new(),
            accuracy: Accuracy::default(),
            request: None,
            input_sha256: String::new(),
        }
    }
}

/// Error bars that the answer is to stay within; the grid and the steps are then chosen for it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Request {
    /// At the judged instants, or without a window at the output times, K.
    pub temperature_k: Option<f64>,
    /// Of the hold, s.
    pub hold_s: Option<f64>,
}

/// Adds the probes that a verdict needs, named `ring_coldest`, `ring_mean`, `ring_hottest`, `patch_hottest` and
/// `patch_centre`, to the case; a name already there is taken as it is.
pub fn ring_probes(case: &mut Case, ring: Ring, patch: Shape) -> RingProbes {
    let ([x, y], floor) = (patch.centre(), case.floor_depth());
    RingProbes {
        coldest: named(case, "ring_coldest", ProbeKind::RingColdest(ring)),
        mean: named(case, "ring_mean", ProbeKind::RingMean(ring)),
        hottest: named(case, "ring_hottest", ProbeKind::RingHottest(ring)),
        surface: named(case, "patch_hottest", ProbeKind::PatchHottest(patch)),
        centre: named(case, "patch_centre", ProbeKind::Point { at: [x, y, floor] }),
    }
}

fn named(case: &mut Case, name: &str, kind: ProbeKind) -> usize {
    if let Some(index) = case.probes.iter().position(|probe| probe.name == name) {
        return index;
    }
    case.probes.push(Probe { name: name.to_owned(), kind });
    case.probes.len() - 1
}
