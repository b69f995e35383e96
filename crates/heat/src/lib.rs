//! Finite-difference heat conduction in a heavy casting with a torch-heated patch.
//!
//! A [`Case`] says what is physically there: a block of metal, what its faces lose, the torches, the schedule
//! of flame and passes, and the places to watch. [`solve`] marches it on three nested grids at once and returns
//! a [`Run`]: a smooth [`Curve`] for every probe with its own error bar, the events, and the heat [`Ledger`].
//!
//! Conventions: SI `f64` inside, temperatures in Celsius where the name ends in `_c`, differences in kelvin
//! (`_k`). The worked face is `z = 0` and `z` grows into the metal. Faces are always numbered
//! `x_min x_max y_min y_max worked back`.

mod axis;
mod case;
mod check;
mod curve;
mod drive;
mod error;
mod exchange;
mod layout;
mod ledger;
mod level;
mod march;
mod material;
mod mesh;
mod properties;
mod run;
mod sampling;
mod scheme;
mod shape;
mod solver;
mod symmetry;

pub use case::{
    Block, Case, Face, Flame, Interval, Pass, Passes, Probe, ProbeKind, Ring, Schedule, Surface, Torch, TorchKind,
};
pub use curve::{Crossing, Curve, Sample};
pub use drive::{solve, solve_by};
pub use error::Error;
pub use ledger::Ledger;
pub use material::{Material, Row};
pub use run::{Accuracy, Event, Grids, Method, Run, Stats, What};
pub use scheme::Integrator;
pub use shape::Shape;

/// Stefan-Boltzmann constant, W/m2K4 (CODATA 2018, exact).
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
/// Celsius to kelvin.
pub const ZERO_CELSIUS_K: f64 = 273.15;
