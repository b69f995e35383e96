//! Small castings that the whole-system tests share; each marches in milliseconds.

use warmhold::heat::{
    Accuracy, Block, Case, Curve, Grids, Integrator, Material, Method, Model, Probe, ProbeKind, Row, Run, Schedule,
    Shape, Surface, Torch, TorchKind, solve, solve_by,
};

pub mod lottery;
pub mod varied;

/// Constant properties near those of grey iron: 7200 kg/m3, 46 W/mK, 500 J/kgK.
///
/// # Panics
/// Never: the numbers are in range.
pub fn iron() -> Material {
    Material::constant(7200.0, 46.0, 500.0).expect("the numbers are in range")
}

/// A metal whose conductivity falls and whose specific heat rises strongly with temperature.
///
/// # Panics
/// Never: the numbers are in range.
pub fn table_iron() -> Material {
    let row = |temperature_c, conductivity, specific_heat| Row { temperature_c, conductivity, specific_heat };
    let rows = vec![row(20.0, 50.0, 460.0), row(200.0, 47.0, 550.0), row(400.0, 43.0, 640.0), row(700.0, 37.0, 900.0)];
    Material::new(7200.0, rows).expect("the numbers are in range")
}

/// A face with a film to air of 20 C and nothing else.
pub fn film(film_coefficient: f64) -> Surface {
    Surface { film_coefficient, ..Surface::ADIABATIC }
}

/// A face in still shop air of 20 C: film of 8 W/m2K and emissivity 0.8.
pub fn still_air() -> Surface {
    Surface { emissivity: 0.8, ..film(8.0) }
}

/// A casting of [`iron`] at 20 C, adiabatic, with no torch and nothing to watch, for `end_s` seconds.
pub fn casting(size: [f64; 3], end_s: f64) -> Case {
    Case {
        block: Block { size },
        hollows: warmhold::heat::Hollows::default(),
        material: iron(),
        start_c: 20.0,
        surfaces: [Surface::ADIABATIC; 6],
        torches: Vec::new(),
        heaters: Vec::new(),
        covers: Vec::new(),
        schedule: Schedule::Spans { on: Vec::new(), end_s },
        passes: None,
        probes: Vec::new(),
        output_s: Vec::new(),
    }
}

/// A probe at a point; its name is the place.
pub fn point(at: [f64; 3]) -> Probe {
    probe(ProbeKind::Point { at })
}

/// A probe of any kind; its name says what it reads.
pub fn probe(kind: ProbeKind) -> Probe {
    Probe { name: format!("{kind:?}"), kind }
}

/// A torch of fixed flux, W/m2.
pub fn flux(patch: Shape, flux: f64) -> Torch {
    Torch::new(patch, TorchKind::Flux { flux })
}

/// A torch of hot gas at 1400 C.
pub fn flame(patch: Shape, film_coefficient: f64) -> Torch {
    Torch::new(patch, TorchKind::Flame { film_coefficient, gas_c: 1400.0 })
}

/// A disc.
pub fn disc(x: f64, y: f64, radius: f64) -> Shape {
    Shape::Disc { centre: [x, y], radius }
}

/// A rectangle by its middle and half sides.
pub fn rectangle(middle: [f64; 2], half: [f64; 2]) -> Shape {
    let side = |n: usize| [middle[n] - half[n], middle[n] + half[n]];
    Shape::Rectangle { x: side(0), y: side(1) }
}

/// Three nested grids.
pub fn nested(cells_across: usize, step_error_k: f64) -> Accuracy {
    Accuracy { cells_across, step_error_k, grids: Grids::Nested, model: Model::Block }
}

/// One grid alone.
pub fn alone(cells_across: usize, step_error_k: f64) -> Accuracy {
    Accuracy { cells_across, step_error_k, grids: Grids::MiddleOnly, model: Model::Block }
}

/// Marches a case that must march.
///
/// # Panics
/// Where the engine refuses the case or cannot finish it.
pub fn march(case: &Case, accuracy: &Accuracy) -> Run {
    solve(case, accuracy, &|_| true).expect("the case must march")
}

/// Marches on one grid with equal steps, every linear system solved to rounding.
///
/// # Panics
/// As [`march`].
pub fn march_equally(case: &Case, cells_across: usize, integrator: Integrator, step_s: f64) -> Run {
    let method = Method { integrator, equal_steps_s: Some(step_s) };
    solve_by(method, case, &alone(cells_across, 1e-9), &|_| true).expect("the case must march")
}

/// What every probe reads at a time, Celsius.
pub fn readings(run: &Run, time_s: f64) -> Vec<f64> {
    run.curves.iter().map(|curve: &Curve| curve.at(time_s)).collect()
}

/// Largest difference of two lists of equal length.
///
/// # Panics
/// Where they differ in length.
pub fn apart(a: &[f64], b: &[f64]) -> f64 {
    assert_eq!(a.len(), b.len());
    a.iter().zip(b).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}
