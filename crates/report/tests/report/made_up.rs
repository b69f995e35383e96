//! Outcomes for the layout of reports only. THE NUMBERS ARE MADE UP: no model produced them, nothing may be learnt
//! from them about castings, and no other test may use them.

use std::collections::BTreeMap;

use study::{
    Breach, CastingFacts, Crossing, CurvePoints, ErrorBars, HalfSpace, Heat, InputEffect, LedgerJ, Limit, Outcome,
    PassStart, Series, Stats, Verdict, WindowC, WorstEnd,
};

/// 300, 500 and 1000 F.
const WINDOW: WindowC = WindowC { minimum_c: 148.889, maximum_interpass_c: 260.0, surface_limit_c: Some(537.778) };
const RUN_S: f64 = 3600.0;
const FLAMES_S: [(f64, f64); 3] = [(0.0, 900.0), (1500.0, 1800.0), (2400.0, 2700.0)];

/// An interval that holds with room to spare.
pub fn holds() -> Outcome {
    let mut outcome = falls_short();
    outcome.verdict = Verdict::Holds;
    outcome.first_breach = None;
    (outcome.margin_k, outcome.margin_s) = (Some(14.2), Some(212.0));
    outcome.beads_per_heat = Some(3);
    (outcome.hold_s, outcome.hold_centre_s) = (Some(612.0), Some(1430.0));
    outcome.error = ErrorBars { grid_k: 0.8, time_k: 0.3, input_k: Some(9.6), hold_s: Some(11.0) };
    outcome.worst_end = Some(WorstEnd { margin_k: 4.6, hold_s: Some(433.0), beads_per_heat: Some(3) });
    for pass in &mut outcome.passes {
        (pass.coldest_c, pass.hottest_c, pass.inside) = (171.0, 214.0, true);
    }
    outcome.curves = ring_curves(40.0);
    for crossing in &mut outcome.crossings {
        crossing.after_off_s = crossing.after_off_s.map(|after| 4.0 * after);
    }
    outcome
}

const LEDGER: LedgerJ = LedgerJ {
    torch_j: 61.4e6,
    heaters_j: 0.0,
    arc_j: 3.2e6,
    stored_j: 58.1e6,
    convection_j: 2.9e6,
    radiation_j: 3.3e6,
    contact_j: 0.3e6,
    residual_j: 4.1e-3,
};

/// An interval that is too long for the second bead.
pub fn falls_short() -> Outcome {
    Outcome {
        schema: "warmhold outcome 1".to_owned(),
        version: "0.1.0".to_owned(),
        input_sha256: "0123456789abcdef".repeat(4),
        title: "Lower die, north corner, rebuild of the flash land".to_owned(),
        verdict: Verdict::FallsShort,
        margin_k: Some(-21.1),
        margin_s: Some(-141.0),
        beads_per_heat: Some(1),
        planned_per_heat: Some(3),
        hold_s: Some(41.3),
        hold_centre_s: Some(188.0),
        first_breach: Some(Breach {
            time_s: 1100.0,
            place: "ring, coldest".to_owned(),
            temperature_c: 127.8,
            limit: Limit::Minimum,
            limit_c: WINDOW.minimum_c,
        }),
        heats: FLAMES_S.map(|(start_s, end_s)| Heat { start_s, end_s }).to_vec(),
        crossings: crossings(),
        probes: BTreeMap::new(),
        ledger: LEDGER,
        swing_k: None,
        consumption: None,
        error: ErrorBars { grid_k: 1.2, time_k: 0.4, input_k: Some(8.2), hold_s: Some(2.1) },
        wanted: None,
        stats: Stats { cells: 41_472, steps: 1893, rejected: 27 },
        ran_until_s: RUN_S,
        interrupted: false,
        cautions: vec![
            "Preheat, interpass and hold times of the qualified procedure and of the local code come before this computation; check them with a contact thermometer at the ring before every pass.".to_owned(),
            "The thickness-based width of the ring asks for more than 75 mm here.".to_owned(),
        ],
        warnings: vec!["The patch reaches the edge of the casting: its hold is shorter than inside.".to_owned()],
        casting: CastingFacts {
            size_m: [1.2192, 0.8128, 0.4064],
            section_m: 0.4064,
            floor_m: 0.0,
            mass_kg: 2875.0,
            metal: "grey iron 250".to_owned(),
            model: "half".to_owned(),
            model_reason: "the patch lies in a corner".to_owned(),
        },
        beside: Vec::new(),
        window: Some(WINDOW),
        passes: passes(),
        welding: None,
        ring: None,
        half_space: Some(HalfSpace {
            hold_s: Some(58.0),
            upper_limit: true,
            meaning: "upper limit here".to_owned(),
        }),
        inputs: inputs(),
        worst_end: Some(WorstEnd { margin_k: -29.3, hold_s: Some(24.0), beads_per_heat: Some(0) }),
        curves: ring_curves(0.0),
    }
}

/// Already too cold when the flame goes off.
pub fn no_bead_fits() -> Outcome {
    let mut outcome = falls_short();
    outcome.beads_per_heat = Some(0);
    outcome.hold_s = Some(0.0);
    outcome.error.input_k = None;
    (outcome.worst_end, outcome.inputs) = (None, Vec::new());
    outcome.curves = ring_curves(-45.0);
    outcome.crossings.iter_mut().for_each(|crossing| crossing.after_off_s = Some(0.0));
    outcome
}

/// A margin smaller than its errors.
pub fn too_close() -> Outcome {
    let mut outcome = holds();
    outcome.verdict = Verdict::TooCloseToCall;
    (outcome.margin_k, outcome.margin_s) = (Some(2.3), Some(31.0));
    outcome.worst_end = Some(WorstEnd { margin_k: -7.3, hold_s: Some(310.0), beads_per_heat: Some(2) });
    outcome.curves = ring_curves(20.0);
    outcome.crossings.clear();
    outcome
}

/// Falls through the minimum at the very end of the run, where a label has no room to the right.
pub fn late_falls() -> Outcome {
    let mut outcome = holds();
    let minimum = WINDOW.minimum_c;
    outcome.crossings = vec![
        crossing("ring_coldest", minimum, 1800.0, Some(1650.0)),
        crossing("ring_coldest", minimum, 2700.0, Some(880.0)),
    ];
    outcome
}

/// A plain run with probes and watches and no window.
pub fn not_asked() -> Outcome {
    let mut outcome = falls_short();
    outcome.verdict = Verdict::NotAsked;
    outcome.window = None;
    (outcome.margin_k, outcome.margin_s, outcome.first_breach) = (None, None, None);
    (outcome.beads_per_heat, outcome.planned_per_heat) = (None, None);
    (outcome.hold_s, outcome.hold_centre_s, outcome.half_space) = (None, None, None);
    (outcome.worst_end, outcome.inputs, outcome.passes) = (None, Vec::new(), Vec::new());
    outcome.error = ErrorBars { grid_k: 1.2, time_k: 0.4, input_k: None, hold_s: None };
    outcome.curves.clear();
    for (index, name) in ["centre", "edge_40_mm", "rim", "back_face", "far_corner", "depth_20_mm"].iter().enumerate() {
        outcome.curves.insert((*name).to_owned(), curve(1.0 - 0.17 * index as f64, 0.0));
        outcome.probes.insert((*name).to_owned(), series(index));
    }
    outcome.crossings = vec![
        crossing("centre", 200.0, 900.0, Some(76.0)),
        crossing("centre", 200.0, 1800.0, Some(58.0)),
        crossing("rim", 100.0, 2700.0, None),
    ];
    outcome
}

/// A plain run that was stopped before the flame came on.
pub fn no_heats() -> Outcome {
    let mut outcome = not_asked();
    outcome.heats.clear();
    outcome.crossings.clear();
    outcome.curves.clear();
    outcome.probes.clear();
    outcome.interrupted = true;
    outcome.ran_until_s = 55.0;
    outcome
}

/// A title and names that try to plant markup, a terminal escape and a long word.
pub fn hostile() -> Outcome {
    let mut outcome = not_asked();
    let word = "unbreakable".repeat(20);
    outcome.title = format!("</text><script>alert('&')</script> \u{1b}[31m\u{202e}\"{word}\" {}", "and on ".repeat(60));
    let curve = curve(0.9, 0.0);
    outcome.curves.insert(format!("<b>&\"' {word}"), curve);
    outcome
}

/// Every kind with its name.
pub fn all() -> Vec<(&'static str, Outcome)> {
    let mut interrupted = falls_short();
    interrupted.interrupted = true;
    interrupted.ran_until_s = 1130.0;
    vec![
        ("holds", holds()),
        ("falls_short", falls_short()),
        ("no_bead_fits", no_bead_fits()),
        ("too_close", too_close()),
        ("late_falls", late_falls()),
        ("not_asked", not_asked()),
        ("interrupted", interrupted),
        ("no_heats", no_heats()),
        ("hostile", hostile()),
    ]
}

fn passes() -> Vec<PassStart> {
    let flame = |(heat, (_, off)): (usize, (f64, f64))| {
        (0..3).map(move |bead| {
            let start_s = off + 20.0 + 180.0 * f64::from(bead);
            let coldest_c = 151.0 - 11.6 * f64::from(bead);
            PassStart {
                heat: heat + 1,
                number: bead as usize + 1,
                start_s,
                end_s: start_s + 60.0,
                coldest_c,
                hottest_c: coldest_c + 62.0,
                inside: coldest_c >= WINDOW.minimum_c,
            }
        })
    };
    FLAMES_S.into_iter().enumerate().flat_map(flame).collect()
}

fn crossings() -> Vec<Crossing> {
    let minimum = WINDOW.minimum_c;
    vec![
        crossing("ring_coldest", minimum, 900.0, Some(41.3)),
        crossing("ring_coldest", minimum, 1800.0, Some(36.8)),
        crossing("ring_coldest", minimum, 2700.0, Some(44.0)),
        crossing("patch_centre", minimum, 2700.0, None),
    ]
}

fn crossing(probe: &str, limit_c: f64, off_s: f64, after_off_s: Option<f64>) -> Crossing {
    Crossing { probe: probe.to_owned(), limit_c, off_s, after_off_s, error_s: after_off_s.map(|_| 2.1) }
}

fn inputs() -> Vec<InputEffect> {
    let input = |input: &str, low, high, margins: [f64; 2], source: &str| InputEffect {
        input: input.to_owned(),
        low,
        high,
        margin_low_k: margins[0],
        margin_high_k: margins[1],
        hold_low_s: Some(36.0),
        hold_high_s: None,
        source: source.to_owned(),
    };
    vec![
        input("conductivity of the metal", 0.88, 1.12, [-15.6, -27.9], "grade not known, section measured"),
        input("heat from the torch", 0.7, 1.3, [-29.0, -9.4], "share of the flame that enters the metal"),
    ]
}

/// A sawtooth of the flames, scaled by the share of the heat that a place gets.
fn curve(share: f64, lift_k: f64) -> CurvePoints {
    let time_s: Vec<f64> = (0..=360).map(|index| 10.0 * f64::from(index)).collect();
    let mut temperature = 20.0;
    let mut temperature_c = Vec::new();
    for &time in &time_s {
        let heated = FLAMES_S.iter().any(|&(on, off)| on < time && time <= off);
        let target = if heated { 20.0 + share * 330.0 + lift_k } else { 20.0 + 0.3 * share * 330.0 };
        temperature += (target - temperature) * if heated { 0.022 } else { 0.02 };
        temperature_c.push(temperature);
    }
    CurvePoints { time_s, temperature_c }
}

fn ring_curves(lift_k: f64) -> BTreeMap<String, CurvePoints> {
    let shares = [("ring_coldest", 0.52), ("ring_mean", 0.62), ("ring_hottest", 0.78), ("patch_centre", 1.0)];
    shares.into_iter().map(|(name, share)| (name.to_owned(), curve(share, lift_k))).collect()
}

fn series(index: usize) -> Series {
    let time_s = vec![0.0, 900.0, 960.0, 1500.0, 3600.0];
    let scale = 1.0 - 0.15 * index as f64;
    let temperature_c = [20.0, 298.4, 241.7, 168.2, 121.9].map(|celsius| 20.0 + (celsius - 20.0) * scale).to_vec();
    Series { time_s, temperature_c, error_k: vec![0.0, 1.4, 1.1, 0.7, 0.4] }
}
