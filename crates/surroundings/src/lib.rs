//! What shop air takes from a hot face: air properties, natural and forced convection, and both together.
//!
//! A [`Plate`] is a face with the way it points and its lengths; [`Shop`] is the air around it. [`Plate::film`] gives the
//! [`Film`]: the film coefficient at one surface temperature, with a named [`OutOfRange`] for every correlation that was
//! used outside the range it is known for. Nothing is extrapolated silently: the value is still given, and the note says
//! by which quantity and how far it is outside.
//!
//! Correlations of this kind scatter by about 20 % (C6); film coefficients are smooth in their inputs except where
//! [`natural::hot_side_up`] and [`forced::flat_plate`] change branch.

pub mod air;
mod film;
pub mod forced;
pub mod natural;
mod note;

pub use air::Air;
pub use film::{Facing, Film, Plate, Shop, mixed};
pub use note::{Nusselt, OutOfRange, Side};

/// Acceleration of fall, m/s2. Standard value by definition.
pub const GRAVITY: f64 = 9.806_65;
/// Celsius to kelvin.
pub const ZERO_CELSIUS_K: f64 = 273.15;
