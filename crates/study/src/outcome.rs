//! The answer, and everything a report may show of it. Serialised as it stands it is the JSON of the command.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Aside, Limit, RingFacts, Welding, Window};

/// The verdict in the words of every output.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub enum Verdict {
    /// Every judged instant is inside the window at the worst end of the stated ranges, numerical error included.
    #[serde(rename = "holds")]
    Holds,
    /// With the values as stated, at least one judged instant is outside by more than the numerical error.
    #[serde(rename = "falls short")]
    FallsShort,
    /// Neither is certain.
    #[serde(rename = "too close to call")]
    TooCloseToCall,
    /// The scenario has no window.
    #[serde(rename = "not asked")]
    NotAsked,
}

impl Verdict {
    /// The words.
    pub fn words(self) -> &'static str {
        match self {
            Verdict::Holds => "holds",
            Verdict::FallsShort => "falls short",
            Verdict::TooCloseToCall => "too close to call",
            Verdict::NotAsked => "not asked",
        }
    }

    /// Exit code of the command: 0 holds or not asked, 1 falls short, 3 too close to call.
    pub fn exit_code(self) -> u8 {
        match self {
            Verdict::Holds | Verdict::NotAsked => 0,
            Verdict::FallsShort => 1,
            Verdict::TooCloseToCall => 3,
        }
    }
}

/// The first judged instant outside the window.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Breach {
    /// When, s.
    pub time_s: f64,
    /// Where, in words: "ring, coldest", "ring, hottest", "surface under the flame".
    pub place: String,
    /// What it read, Celsius.
    pub temperature_c: f64,
    /// Which limit it should have kept.
    pub limit: Limit,
    /// That limit, Celsius.
    pub limit_c: f64,
}

/// One flame.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Heat {
    /// Flame on, s.
    pub start_s: f64,
    /// Flame off, s.
    pub end_s: f64,
}

/// When a watched probe fell below its limit after a flame-off; null times mean not reached.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Crossing {
    /// Name of the probe.
    pub probe: String,
    /// Limit, Celsius.
    pub limit_c: f64,
    /// The flame-off, s.
    pub off_s: f64,
    /// From flame off to the crossing, s; 0 if it was already below.
    pub after_off_s: Option<f64>,
    /// Error bar of that time, s.
    pub error_s: Option<f64>,
}

/// A probe at the requested times.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Series {
    /// Times, s.
    pub time_s: Vec<f64>,
    /// Temperatures, Celsius.
    pub temperature_c: Vec<f64>,
    /// Error bars, K.
    pub error_k: Vec<f64>,
}

/// A probe at enough times to draw it.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct CurvePoints {
    /// Times, s.
    pub time_s: Vec<f64>,
    /// Temperatures, Celsius.
    pub temperature_c: Vec<f64>,
}

/// Heat over the whole run, J, for the whole casting.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LedgerJ {
    /// Net from the torch.
    pub torch_j: f64,
    /// Net from heaters beside the torch.
    pub heaters_j: f64,
    /// Net from the arc.
    pub arc_j: f64,
    /// Stored in the metal.
    pub stored_j: f64,
    /// Lost to the air.
    pub convection_j: f64,
    /// Lost by radiation.
    pub radiation_j: f64,
    /// Lost into what the casting stands on.
    pub contact_j: f64,
    /// In, less lost, less stored.
    pub residual_j: f64,
}

impl From<&heat::Ledger> for LedgerJ {
    fn from(ledger: &heat::Ledger) -> LedgerJ {
        LedgerJ {
            torch_j: ledger.torch_j,
            heaters_j: ledger.heaters_j,
            arc_j: ledger.arc_j,
            stored_j: ledger.stored_j,
            convection_j: ledger.convection_j,
            radiation_j: ledger.radiation_j,
            contact_j: ledger.contact_j,
            residual_j: ledger.residual_j(),
        }
    }
}

/// Error bars of the margin and of the hold; without a verdict, the largest of any probe at the requested times.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ErrorBars {
    /// Margin: from the grids, K.
    pub grid_k: f64,
    /// Margin: from the time steps, K.
    pub time_k: f64,
    /// Margin: nominal less the worst end of all stated ranges, K; null where no range is stated.
    pub input_k: Option<f64>,
    /// Hold: numerical, s; null where there is no hold.
    pub hold_s: Option<f64>,
}

/// Size of the work; no wall time, so that the same input gives the same bytes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Stats {
    /// Cells of the finest grid.
    pub cells: usize,
    /// Accepted steps.
    pub steps: usize,
    /// Rejected steps.
    pub rejected: usize,
}

/// What the torch used over the whole run.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Consumption {
    /// Fuel gas; null for electric heat.
    pub fuel: Option<String>,
    /// How long the torch burnt or was switched on, s.
    pub flame_s: f64,
    /// Gas burnt, kg; with what burns the torch's gas beside it.
    pub fuel_kg: Option<f64>,
    /// Gas burnt, m3 at 15 C and 101.325 kPa.
    pub fuel_m3: Option<f64>,
    /// Oxygen from cylinders, m3 at 15 C and 101.325 kPa; null where the flame burns with air.
    pub oxygen_m3: Option<f64>,
    /// Electric current, kWh.
    pub electricity_kwh: Option<f64>,
    /// Heat released, J, by the lower heating value.
    pub heat_j: f64,
    /// Share of the torch's own heat that the casting got; null where nothing burnt.
    pub into_metal_share: Option<f64>,
    /// Contents that acetylene cylinders must have together to give this rate, m3; null for other gases.
    pub cylinder_contents_m3: Option<f64>,
}

/// The casting, for reports.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CastingFacts {
    /// Length, width and depth under the worked face, m.
    pub size_m: [f64; 3],
    /// Thickness of the metal under the middle of the patch, m: the depth, or less over a hollow.
    pub section_m: f64,
    /// Depth of the floor that the patch lies on, m: 0 on the worked face itself, more in a pocket.
    pub floor_m: f64,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Metal.
    pub metal: String,
    /// Which body was solved: "full", "half" or "quarter" by symmetry, or "axisymmetric".
    pub model: String,
    /// Why that one, in words.
    pub model_reason: String,
}

/// The window as asked.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WindowC {
    /// Celsius.
    pub minimum_c: f64,
    /// Celsius.
    pub maximum_interpass_c: f64,
    /// Celsius.
    pub surface_limit_c: Option<f64>,
}

impl From<Window> for WindowC {
    fn from(window: Window) -> WindowC {
        WindowC {
            minimum_c: window.minimum_c,
            maximum_interpass_c: window.maximum_interpass_c,
            surface_limit_c: window.surface_limit_c,
        }
    }
}

/// One pass at its start.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PassStart {
    /// Which flame went before, from 1.
    pub heat: usize,
    /// Number within that heat, from 1.
    pub number: usize,
    /// Start, s.
    pub start_s: f64,
    /// End of the arc, s.
    pub end_s: f64,
    /// Coldest of the ring at the start, Celsius.
    pub coldest_c: f64,
    /// Hottest of the ring at the start, Celsius.
    pub hottest_c: f64,
    /// Whether both are inside the window.
    pub inside: bool,
}

/// The closed-form hold of the same patch on a half space without losses, at the ring's outer radius.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HalfSpace {
    /// Hold, s; null where the ring never reaches the minimum.
    pub hold_s: Option<f64>,
    /// Whether it bounds the hold from above here.
    pub upper_limit: bool,
    /// "upper limit here" or "not a limit here because ...".
    pub meaning: String,
}

/// What one input's range does.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct InputEffect {
    /// Which input, in words.
    pub input: String,
    /// Low end over nominal.
    pub low: f64,
    /// High end over nominal.
    pub high: f64,
    /// Margin at the low end, K.
    pub margin_low_k: f64,
    /// Margin at the high end, K.
    pub margin_high_k: f64,
    /// Hold at the low end, s; null where not reached.
    pub hold_low_s: Option<f64>,
    /// Hold at the high end, s.
    pub hold_high_s: Option<f64>,
    /// Where the range comes from.
    pub source: String,
}

/// All inputs at their worst at once.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct WorstEnd {
    /// Margin, K.
    pub margin_k: f64,
    /// Hold, s; null where the minimum is not reached.
    pub hold_s: Option<f64>,
    /// Beads per heat.
    pub beads_per_heat: Option<usize>,
}

/// The accuracy that was asked for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Wanted {
    /// At the judged instants, or without a window at the output times, K.
    pub temperature_k: Option<f64>,
    /// Of the hold, s.
    pub hold_s: Option<f64>,
    /// Whether the error bars are within it.
    pub met: bool,
}

/// Everything that a report, JSON or a page may show.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Outcome {
    /// Name and number of this layout.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// SHA-256 of the scenario after overrides.
    pub input_sha256: String,
    /// Title of the scenario.
    pub title: String,
    /// The verdict.
    pub verdict: Verdict,
    /// Smallest distance to any limit at the judged instants, K; negative when short; null when not asked.
    pub margin_k: Option<f64>,
    /// How much longer the wait before the worst pass could have been, s; negative when short.
    pub margin_s: Option<f64>,
    /// How many planned passes start inside the window before the flame must return: the fewest of all heats.
    pub beads_per_heat: Option<usize>,
    /// Passes planned in each interval.
    pub planned_per_heat: Option<usize>,
    /// From the first flame off until the coldest of the ring is below the minimum, s, without arc heat; 0 if it
    /// is below when the flame goes off; null where it stays above to the end of the run or no window is given.
    pub hold_s: Option<f64>,
    /// The same for the middle of the patch.
    pub hold_centre_s: Option<f64>,
    /// First judged instant outside the window.
    pub first_breach: Option<Breach>,
    /// Every flame, the first included.
    pub heats: Vec<Heat>,
    /// Each watch after each flame-off.
    pub crossings: Vec<Crossing>,
    /// Every probe at the requested times.
    pub probes: BTreeMap<String, Series>,
    /// Heat ledger.
    pub ledger: LedgerJ,
    /// Peak of the surface under a circling flame above the mean that was computed, K; null where no circles are given.
    pub swing_k: Option<f64>,
    /// What the torch used; null where what feeds it is not known.
    pub consumption: Option<Consumption>,
    /// Error bars.
    pub error: ErrorBars,
    /// The accuracy asked for; null where none was.
    pub wanted: Option<Wanted>,
    /// Size of the work.
    pub stats: Stats,
    /// Last instant computed, s.
    pub ran_until_s: f64,
    /// Whether the run was stopped before its end.
    pub interrupted: bool,
    /// Cautions to print.
    pub cautions: Vec<String>,
    /// Warnings to print.
    pub warnings: Vec<String>,
    /// The casting.
    pub casting: CastingFacts,
    /// What works on the casting beside the torch.
    pub beside: Vec<Aside>,
    /// The window as asked.
    pub window: Option<WindowC>,
    /// Every pass at its start.
    pub passes: Vec<PassStart>,
    /// The welding day bead by bead; null without passes.
    pub welding: Option<Welding>,
    /// The ring, and what the standards would ask for; null without a window.
    pub ring: Option<RingFacts>,
    /// Closed-form comparison.
    pub half_space: Option<HalfSpace>,
    /// What each stated range does.
    pub inputs: Vec<InputEffect>,
    /// All inputs at their worst.
    pub worst_end: Option<WorstEnd>,
    /// Probes at enough times to draw them, by name.
    pub curves: BTreeMap<String, CurvePoints>,
}
