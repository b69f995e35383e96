//! Closed-form solutions of heat conduction in a solid of constant properties.
//!
//! They serve three ends: quick answers (how long does the middle of a heated disc stay above a
//! temperature), starting guesses, and references that the finite-difference engine is tested
//! against. All arguments are plain `f64` in SI units. Temperatures appear as a *rise* in kelvin
//! above the uniform start, or as a fraction of a temperature difference, because every solution
//! here but radiation is linear.
//!
//! No function panics. A quantity that is not a number gives one back, a time of zero or less gives
//! the state before heating, and every other limit is stated with the function that has it.
//!
//! ```
//! use exact::{Disc, Heating, Metal};
//!
//! let iron = Metal::new(46.0, 7200.0, 500.0);
//! let disc = Disc { radius: 0.060 };
//! let torch = Heating { flux: 250e3, duration: 300.0 };
//! let start_c = 20.0;
//! let hold_s = disc.hold(iron, torch, 0.040, 0.0, 150.0 - start_c).unwrap();
//! assert!((hold_s - 12.7).abs() < 0.05);
//! ```
//!
//! Elementary functions come from `libm`, so that every platform gives the same bits.
//!
//! Nothing here loses heat from the surface, except where a film coefficient is an argument, and
//! nothing here melts, transforms or changes its conductivity with temperature. Answers guide a
//! qualified procedure and a measured temperature; they replace neither.

mod circling;
mod cooling_time;
mod disc;
pub mod half_space;
mod heating;
mod lumped;
mod metal;
mod moving;
mod pulse;
mod quadrature;
mod rectangle;
mod rim;
mod root;
pub mod soak;
pub mod special;
mod wall;

pub use circling::Circling;
pub use cooling_time::{Flow, Weld};
pub use disc::Disc;
pub use heating::Heating;
pub use lumped::{Lump, STEFAN_BOLTZMANN};
pub use metal::Metal;
pub use moving::MovingSource;
pub use pulse::Pulse;
pub use rectangle::Rectangle;
pub use wall::{Brick, PlaneWall};
