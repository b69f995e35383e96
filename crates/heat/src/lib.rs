//! Finite-difference heat conduction in a heavy casting with a torch-heated patch.
//!
//! A [`Case`] says what is physically there: a block of metal, what hollows take out of it, what its faces lose, the torches, the schedule
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
//! # The smallest body that is right
//!
//! Where everything that heats the face is round about one middle, and the edges of the casting are too far to matter
//! (their effect is computed from closed forms before the run, see [`Model`]), the body of revolution of equal top area is
//! solved: a few hundred cells in place of tens of thousands. Otherwise a quarter or half where mirrors allow it, or the
//! whole block. [`Run::model_reason`] says which and why. A mesh is the product of three lines in either case; for a body
//! of revolution the first is radial and the second a single node.
//!
//! A casting with hollows (ribs, pockets, steps) is that block on grid lines that follow every side of every hollow; a node
//! keeps the volume and the links of the metal around it, so heat is conserved and the order is that of the block.
//!
//! # The choice of the integrator
//!
//! [`Integrator::Ros2`], two stages, second order for any Jacobian. While a step is short and the metal much the same
//! everywhere, one sweep of line solves stands for the solution of each system: its error is of the order of the scheme's
//! own and falls with it. On other steps the systems are solved: the stages nearly cancel, so the second is solved for as
//! their small sum, which is also the error estimate, and each takes two to three iterations. The copy of the middle grid
//! with halved steps solves every system; it measures the error of the steps, that of the sweeps with it, takes its
//! leading part off, and gives the rates of change (what sweeps leave of the shortest waves hardly shows in a temperature,
//! but plainly in a rate). The fourth-order scheme needs fewer steps and more than twice the work at the same error
//! down to some hundredths of a kelvin; it serves references. The table
//! and picture are in `docs/work-precision.md`, made again by `cargo run --release -p benches --example
//! work_precision`.
//!
//! Step errors are averaged over the patch's own volume, with a tenth of the largest local one as the floor: metal under
//! an arc may err by more, an error of place, not of heat, that has spread before anything near it is judged.
//!
//! Set aside: sweeps where diffusivity varies by more than a tenth or steps are long (of second order there too, but with
//! errors that the halved steps see too late), splitting with start-up steps (a first
//! step too long errs by kelvins unnoticed), stabilised explicit schemes (bound by memory speed at these step ratios),
//! eigenbases (boxes only; a product with them costs more than two sweeps), wider vector instructions chosen at run time
//! (a fifth faster on the machine measured, for a dependency and a second path).

mod axis;
mod beside;
mod case;
mod check;
mod circles;
mod curve;
mod cut;
mod drive;
mod edges;
mod error;
mod exchange;
mod film;
mod forecast;
mod hollows;
mod kernels;
mod layout;
mod ledger;
mod level;
mod line;
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
mod skin;
mod solver;
mod sweep;
mod symmetry;
mod work;

pub use beside::{Cover, Heater, MOST_BESIDE, Thermostat, When};
pub use case::{Block, Case, Face, Flame, Interval, Probe, ProbeKind, Ring, Schedule, Surface, Torch, TorchKind};
pub use circles::Circles;
pub use curve::{Crossing, Curve, Sample};
pub use drive::{Hold, fields, maps, replay, solve, solve_by, solve_with_hold};
pub use error::Error;
pub use film::{FILM_KNOTS_C, FilmTable};
pub use forecast::{Forecast, forecast};
pub use hollows::{Cavity, Hollows};
pub use ledger::Ledger;
pub use map::{Field, Map, Window as MapWindow};
pub use material::{Material, Row};
pub use run::{Accuracy, Event, Grids, Method, Model, Run, Stats, What};
pub use scheme::Integrator;
pub use shape::Shape;
pub use work::{CoolTo, Halt, Pass, Passes};

/// Stefan-Boltzmann constant, W/m2K4 (CODATA 2018, exact).
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
/// Celsius to kelvin.
pub const ZERO_CELSIUS_K: f64 = 273.15;
