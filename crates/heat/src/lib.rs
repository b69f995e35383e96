//! Finite-difference heat conduction in a heavy casting with a torch-heated patch.
//!
//! A [`Case`] says what is physically there: a block of metal, what its faces lose, the torches, the schedule
//! of flame and passes, and the places to watch. [`solve`] marches it on three nested grids at once and returns
//! a [`Run`]: a smooth [`Curve`] for every probe with its own error bar, the events, and the heat [`Ledger`].
//!
//! Conventions: SI `f64` inside, temperatures in Celsius where the name ends in `_c`, differences in kelvin
//! (`_k`). The worked face is `z = 0` and `z` grows into the metal. Faces are always numbered
//! `x_min x_max y_min y_max worked back`.
//!
//! # The way of a run
//!
//! [`Case`] -> symmetry -> grid lines -> mesh, exchange, properties -> levels -> march -> curves and ledger.
//! The state is enthalpy per volume; heat flows down the gradient of the Kirchhoff potential, so conduction is exactly
//! linear in the potential and all nonlinearity of the metal is pointwise (see [`Material`]). A step is a Rosenbrock
//! step with the exact Jacobian; its systems are symmetric and solved by conjugate gradients. All grids take the same
//! steps, so their readings differ by the spacing alone and are extrapolated at every instant.
//!
//! # The choice of the integrator
//!
//! Measured on one grid of 28 thousand cells (yardstick 1: linear metal, flux) and 39 thousand (yardstick 2: property
//! tables, hot-gas flame, 18 switches). "Error" is the largest difference over all probes and times from the same
//! grid marched at a thousandth of the tolerance; sweeps are preconditioned iterations of all stages. Two-core
//! virtual machine under other load: compare the seconds within a column only. Rerun: `cargo run --release --example
//! integrators`.
//!
//! | integrator | tolerance K | y1 steps | y1 sweeps | y1 error K | y1 s | y2 steps | y2 sweeps | y2 error K | y2 s |
//! |---|---|---|---|---|---|---|---|---|---|
//! | [`Integrator::Rodas4`] | 1 | 38 | 492 | 0.0141 | 0.16 | 218 | 3329 | 0.0157 | 2.3 |
//! | [`Integrator::Rodas4`] | 0.2 | 47 | 692 | 0.0044 | 0.26 | 257 | 4553 | 0.0045 | 3.5 |
//! | [`Integrator::Rodas4`] | 0.01 | 74 | 1252 | 0.0005 | 0.46 | 413 | 9315 | 0.0004 | 5.9 |
//! | [`Integrator::Rodas3`] | 1 | 38 | 387 | 0.1234 | 0.15 | 210 | 2574 | 0.0977 | 1.6 |
//! | [`Integrator::Rodas3`] | 0.2 | 55 | 605 | 0.0345 | 0.22 | 281 | 4182 | 0.0291 | 2.7 |
//! | [`Integrator::Rodas3`] | 0.01 | 124 | 1455 | 0.0020 | 0.52 | 666 | 11123 | 0.0017 | 5.4 |
//! | [`Integrator::Ros2`] | 1 | 69 | 291 | 0.0556 | 0.12 | 349 | 2064 | 0.0563 | 1.4 |
//! | [`Integrator::Ros2`] | 0.2 | 127 | 604 | 0.0154 | 0.26 | 639 | 4079 | 0.0126 | 2.5 |
//! | [`Integrator::Ros2`] | 0.01 | 482 | 2649 | 0.0011 | 1.16 | 2477 | 18738 | 0.0010 | 11.4 |
//! | [`Integrator::Ros2Split`] | 1 | 69 | 138 | 0.0551 | 0.10 | 505 | 1010 | 0.2365 | 1.2 |
//! | [`Integrator::Ros2Split`] | 0.2 | 130 | 260 | 0.0124 | 0.26 | 1387 | 2774 | 0.1808 | 2.4 |
//! | [`Integrator::Ros2Split`] | 0.01 | 531 | 1066 | 0.0007 | 0.75 | 19114 | 38322 | 0.1639 | 62.6 |
//!
//! The split scheme is cheapest on a linear metal but does not converge where diffusivity varies: its sweeps take one
//! diffusivity for the whole grid. Of the rest the fourth-order scheme reaches 0.02 K for the least work, and needs
//! least of the restarts that every switch of flame or arc costs. It is the default.
//!
//! Set aside: splitting with start-up steps (a first step too long errs by kelvins unnoticed), stabilised explicit
//! schemes (bound by memory speed at these step ratios), eigenbases (boxes only).

mod axis;
mod case;
mod check;
mod curve;
mod drive;
mod error;
mod exchange;
mod kernels;
mod layout;
mod ledger;
mod level;
mod map;
mod march;
mod material;
mod mesh;
mod properties;
mod readings;
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
pub use drive::{maps, solve, solve_by};

pub use error::Error;
pub use ledger::Ledger;
pub use map::{Map, Window as MapWindow};
pub use material::{Material, Row};
pub use run::{Accuracy, Event, Grids, Method, Run, Stats, What};
pub use scheme::Integrator;
pub use shape::Shape;

/// Stefan-Boltzmann constant, W/m2K4 (CODATA 2018, exact).
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
/// Celsius to kelvin.
pub const ZERO_CELSIUS_K: f64 = 273.15;
