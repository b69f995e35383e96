//! Checks that the engine answers: crate `heat`.

use exact::{Brick, Metal};
use heat::{
    Accuracy, Block, Case, Material, Probe, ProbeKind, Run, STEFAN_BOLTZMANN, Schedule, Shape, Surface, Torch,
    TorchKind, ZERO_CELSIUS_K, solve,
};

use crate::Error;
use crate::closed::{P3, P3_PLACES, P4};
use crate::reference::Tolerance::{Absolute, Share};
use crate::reference::{Finding, Group, Reference, Status};
use crate::yardstick::{Y1, Y3};

/// Conductance that holds a face at a temperature, W/m2K: stands for 5 micrometres of metal.
const HELD: f64 = 1e7;
/// Width of a body that matters in one or two directions only, m.
const THIN: f64 = 0.02;

/// All of them.
///
/// # Errors
/// When the engine refuses a case.
pub fn all() -> Result<Vec<Finding>, Error> {
    let cases = [stepped_face(), heated_face(), chilled_slab(), plate(), radiating_bar()];
    let mut found = lossless_disc()?;
    for case in cases {
        found.extend(case?.answer()?);
    }
    found.extend(radiating_faces()?);
    found.extend(brick()?);
    Ok(found)
}

/// A case with one number known from elsewhere.
pub struct EngineCase {
    /// The case.
    pub case: Case,
    /// How fine.
    pub accuracy: Accuracy,
    /// The number.
    pub reference: Reference,
    /// How it is read.
    pub reading: EngineReading,
}

/// What of the first probe is compared.
#[derive(Clone, Copy, Debug)]
pub enum EngineReading {
    /// Its temperature at the end, Celsius plus the number given.
    AtEnd(f64),
    /// When it falls below a temperature, s.
    FallsBelow(f64),
}

impl EngineCase {
    fn answer(self) -> Result<Option<Finding>, Error> {
        let run = solve(&self.case, &self.accuracy, &|_| true)?;
        let (curve, end_s) = (&run.curves[0], run.ran_until_s);
        let read = match self.reading {
            EngineReading::AtEnd(offset) => Some((curve.at(end_s) + offset, curve.error_at(end_s))),
            EngineReading::FallsBelow(limit) => curve.falls_below(limit, 0.0, end_s).map(|c| (c.time_s, c.error_s)),
        };
        let finding = |(got, bar)| Finding { reference: self.reference, got, bar: Some(bar), by: "heat" };
        Ok(read.map(finding))
    }
}

/// Y1 without losses: P3, P4, P4b and P30. Its block is a half space until about 1200 s.
///
/// # Errors
/// When the engine refuses the case.
pub fn lossless_disc() -> Result<Vec<Finding>, Error> {
    let mut case = Y1.scenario()?.case;
    case.surfaces = [Surface::ADIABATIC; 6];
    case.schedule = Schedule::Spans { on: vec![[0.0, 300.0]], end_s: 1200.0 };
    case.output_s = P3.iter().map(|row| row.0).collect();
    let run = solve(&case, &Accuracy::default(), &|_| true)?;
    let curve = |name: &str| case.probes.iter().position(|p| p.name == name).map(|n| &run.curves[n]);
    let mut found = Vec::new();
    for (at_s, expected) in P3 {
        for ((name, _, _), expected) in P3_PLACES.into_iter().zip(expected) {
            let Some(curve) = curve(name) else { continue };
            let group = Group::computed("P3", "C", Absolute(rim_tolerance(name)), "heat");
            let finding = group.finding(format!("{name} at {at_s} s"), expected, curve.at(at_s));
            found.push(Finding { bar: Some(curve.error_at(at_s)), ..finding });
        }
    }
    for (key, probe, limit_c, expected, allowed) in P4 {
        let crossing = curve(probe).and_then(|c| c.falls_below(limit_c, 300.0, 1200.0));
        let Some(crossing) = crossing else { continue };
        let group = Group::computed(key, "s", Absolute(allowed), "heat");
        let finding =
            group.finding(format!("{probe} below {limit_c} C after torch-off"), expected, crossing.time_s - 300.0);
        found.push(Finding { bar: Some(crossing.error_s), ..finding });
    }
    found.extend(energy(&case, &run));
    Ok(found)
}

/// Kelvin allowed at default accuracy: less inside the disc and under it than at its rim and beyond.
pub fn rim_tolerance(probe: &str) -> f64 {
    if matches!(probe, "r60" | "r80" | "r120") { 0.25 } else { 0.05 }
}

/// P30.
fn energy(case: &Case, run: &Run) -> Vec<Finding> {
    let group = |unit| Group::computed("P30", unit, Share(1e-6), "heat");
    let per_kelvin = case.mass() * case.material.specific_heat(20.0);
    vec![
        group("J").finding("heat of the torch", 848_230.02, run.ledger.torch_j),
        group("kg").finding("mass of the block", 2304.0, case.mass()),
        group("K").finding("mean rise of the block", 0.736_311, run.ledger.stored_j / per_kelvin),
    ]
}

/// A body of one metal that exchanges nothing, to be changed where it does.
fn body(
    size: [f64; 3],
    [density, conductivity, specific_heat]: [f64; 3],
    start_c: f64,
    end_s: f64,
) -> Result<Case, Error> {
    Ok(Case {
        block: Block { size },
        hollows: heat::Hollows::default(),
        material: Material::constant(density, conductivity, specific_heat)?,
        start_c,
        surfaces: [Surface::ADIABATIC; 6],
        torches: Vec::new(),
        heaters: Vec::new(),
        covers: Vec::new(),
        schedule: Schedule::Spans { on: Vec::new(), end_s },
        passes: None,
        probes: Vec::new(),
        output_s: vec![end_s],
    })
}

fn held_at(temperature_c: f64) -> Surface {
    Surface { contact_conductance: HELD, contact_c: temperature_c, ..Surface::ADIABATIC }
}

fn probe(at: [f64; 3]) -> Vec<Probe> {
    vec![Probe { name: "point".to_owned(), kind: ProbeKind::Point { at } }]
}

/// So fine, with steps below the default tolerance: a step in temperature at a face is hard on the first of them.
fn fine(cells_across: usize) -> Accuracy {
    Accuracy { cells_across, step_error_k: 0.05, ..Accuracy::default() }
}

fn computed(
    key: &'static str,
    quantity: &str,
    unit: &'static str,
    expected: f64,
    tolerance: crate::reference::Tolerance,
) -> Reference {
    Reference { key, quantity: quantity.to_owned(), unit, expected, tolerance, status: Status::Computed }
}

/// P7: a face stepped from 35 to 250 C, 25 mm under it after 30 s. Density times specific heat is `k/alpha`.
fn stepped_face() -> Result<EngineCase, Error> {
    let mut case = body([THIN, THIN, 0.15], [7000.0, 45.0, 45.0 / 1.4e-5 / 7000.0], 35.0, 30.0)?;
    case.surfaces[4] = held_at(250.0);
    case.probes = probe([0.5 * THIN, 0.5 * THIN, 0.025]);
    let reference = computed("P7", "25 mm after 30 s, face stepped to 250 C", "C", 118.499, Absolute(0.1));
    Ok(EngineCase { case, accuracy: fine(16), reference, reading: EngineReading::AtEnd(0.0) })
}

/// P8: the same under 320 kW/m2.
fn heated_face() -> Result<EngineCase, Error> {
    let mut case = body([THIN, THIN, 0.15], [7000.0, 45.0, 45.0 / 1.4e-5 / 7000.0], 35.0, 30.0)?;
    let patch = Shape::Rectangle { x: [0.0, THIN], y: [0.0, THIN] };
    case.torches = vec![Torch::new(patch, TorchKind::Flux { flux: 3.2e5 })];
    case.schedule = Schedule::Spans { on: vec![[0.0, 30.0]], end_s: 30.0 };
    case.probes = probe([0.5 * THIN, 0.5 * THIN, 0.025]);
    let reference = computed("P8", "25 mm after 30 s of 320 kW/m2", "C", 79.3142, Absolute(0.1));
    Ok(EngineCase { case, accuracy: fine(8), reference, reading: EngineReading::AtEnd(0.0) })
}

/// P9: when a thick slab chilled on its face has 255 C at 80 mm. Its back, 0.6 m away, is not felt.
fn chilled_slab() -> Result<EngineCase, Error> {
    let mut case = body([THIN, THIN, 0.6], [7000.0, 45.0, 45.0 / 1.6e-5 / 7000.0], 550.0, 900.0)?;
    case.surfaces[4] = held_at(50.0);
    case.probes = probe([0.5 * THIN, 0.5 * THIN, 0.08]);
    let reference = computed("P9", "255 C at 80 mm, face stepped 550 to 50 C", "s", 688.837, Share(5e-3));
    Ok(EngineCase { case, accuracy: fine(12), reference, reading: EngineReading::FallsBelow(255.0) })
}

/// P13, NAFEMS T4: 0.6 x 1.0 m, one edge at 100 C, two that lose, one insulated. Depth stands for the height, from the
/// losing top down to the hot edge; marched until steady.
fn plate() -> Result<EngineCase, Error> {
    let mut case = body([0.6, 0.1, 1.0], [7850.0, 52.0, 460.0], 0.0, 7e4)?;
    let losing = Surface { film_coefficient: 750.0, air_c: 0.0, ..Surface::ADIABATIC };
    case.surfaces[1] = losing;
    case.surfaces[4] = losing;
    case.surfaces[5] = held_at(100.0);
    case.probes = probe([0.6, 0.05, 0.8]);
    let reference = computed("P13", "NAFEMS T4: (0.6, 0.2) m, steady", "C", 18.254, Absolute(0.02));
    Ok(EngineCase { case, accuracy: fine(16), reference, reading: EngineReading::AtEnd(0.0) })
}

/// P14, NAFEMS T2: a bar, 1000 K at one end, radiating to 300 K at the other; marched until steady. The target was
/// made with sigma 5.67e-8 W/m2K4; ours is CODATA's, which moves it by 0.004 K.
fn radiating_bar() -> Result<EngineCase, Error> {
    let hot_c = 1000.0 - ZERO_CELSIUS_K;
    let mut case = body([THIN, THIN, 0.1], [7850.0, 55.563, 460.0], hot_c, 1e5)?;
    case.surfaces[4] = Surface { emissivity: 0.98, surroundings_c: 300.0 - ZERO_CELSIUS_K, ..Surface::ADIABATIC };
    // What the steady flux takes over the contact is added, so that the metal itself is held at 1000 K.
    case.surfaces[5] = held_at(hot_c + 55.563 * (1000.0 - 926.9707) / 0.1 / HELD);
    case.probes = probe([0.5 * THIN, 0.5 * THIN, 0.0]);
    let reference = computed("P14", "NAFEMS T2: radiating end, steady", "K", 926.9707, Absolute(0.1));
    Ok(EngineCase { case, accuracy: fine(6), reference, reading: EngineReading::AtEnd(ZERO_CELSIUS_K) })
}

/// R1: radiation booked over a hundredth of a second, in which the face keeps its temperature.
fn radiating_faces() -> Result<Vec<Finding>, Error> {
    let group = Group::computed("R1", "kW/m2", Share(2e-3), "heat");
    let rows = [(149.0, [1.1057, 0.1382]), (204.0, [2.0164, 0.252]), (260.0, [3.3302, 0.4163])];
    let mut found = Vec::new();
    for (start_c, expected) in rows {
        for (emissivity, expected) in [0.8, 0.1].into_iter().zip(expected) {
            let mut case = body([0.2; 3], [7200.0, 46.0, 500.0], start_c, 0.01)?;
            case.surfaces[4] = Surface { emissivity, ..Surface::ADIABATIC };
            let run = solve(&case, &fine(6), &|_| true)?;
            let got = run.ledger.radiation_j / (0.2 * 0.2 * 0.01) / 1e3;
            found.push(group.finding(format!("emissivity {emissivity} at {start_c} C, to 20 C"), expected, got));
        }
    }
    Ok(found)
}

/// Y3 without radiation, which has a closed form: the product of three walls.
///
/// # Errors
/// When the engine refuses the case.
pub fn brick() -> Result<Vec<Finding>, Error> {
    let mut case = Y3.scenario()?.case;
    case.surfaces.iter_mut().for_each(|surface| surface.emissivity = 0.0);
    let run = solve(&case, &Accuracy::default(), &|_| true)?;
    let halves = case.block.size.map(|length| 0.5 * length);
    let metal = Metal::new(46.0, 7200.0, 500.0);
    let brick = Brick { half_sizes: halves, metal, film_coefficient: case.surfaces[0].film_coefficient };
    let group = Group::computed("Brick", "C", Absolute(0.1), "heat");
    let mut found = Vec::new();
    for (probe, curve) in case.probes.iter().zip(&run.curves) {
        let ProbeKind::Point { at } = probe.kind else { continue };
        let place = [0, 1, 2].map(|d| at[d] - halves[d]);
        for &at_s in &case.output_s {
            let expected = 20.0 + 230.0 * brick.share_left(place, at_s);
            let words = format!("Y3 without radiation, {} at {at_s} s", probe.name);
            let finding = group.finding(words, expected, curve.at(at_s));
            found.push(Finding { bar: Some(curve.error_at(at_s)), ..finding });
        }
    }
    Ok(found)
}

/// Heat lost from a face at one temperature, W/m2, by the law alone: for tests that count losses again.
pub fn loss(surface: &Surface, temperature_c: f64) -> [f64; 3] {
    let fourth = |t: f64| (t + ZERO_CELSIUS_K).powi(4);
    [
        surface.film_coefficient * (temperature_c - surface.air_c),
        surface.emissivity * STEFAN_BOLTZMANN * (fourth(temperature_c) - fourth(surface.surroundings_c)),
        surface.contact_conductance * (temperature_c - surface.contact_c),
    ]
}
