//! Typed quantities at the border: read what people type, print what they expect.
//!
//! Inside the program every number is a plain `f64` in SI. Where a person writes or
//! reads, the number carries its quantity as a type:
//!
//! ```
//! use quantity::{Length, Temperature, Units};
//!
//! let heat_to: Temperature = "400 F".parse()?;
//! assert!((heat_to.celsius() - 204.444).abs() < 1e-3);
//! assert_eq!(heat_to.show(Units::Both), "204 C (400 F)");
//!
//! let width: Length = "5 ft 2 1/2 in".parse()?;
//! assert_eq!(width.show(Units::Metric), "1.59 m");
//!
//! let refused = "400".parse::<Temperature>().unwrap_err();
//! assert_eq!(refused.to_string(), r#""400" has no unit: write "400 C" or "400 F""#);
//! # Ok::<(), quantity::Error>(())
//! ```
//!
//! A temperature and a temperature difference are two types. Their difference and
//! sum mean something:
//!
//! ```
//! use quantity::{Temperature, TemperatureDifference};
//! let guard = TemperatureDifference::from_si(10.0);
//! let come_back = Temperature::from_celsius(149.0) + guard;
//! assert_eq!(come_back.celsius(), 159.0);
//! ```
//!
//! Two temperatures cannot be added, nor one be used for the other:
//!
//! ```compile_fail,E0308
//! use quantity::Temperature;
//! let nonsense = Temperature::from_celsius(20.0) + Temperature::from_celsius(30.0);
//! ```
//!
//! ```compile_fail,E0308
//! use quantity::{Temperature, TemperatureDifference};
//! let guard: TemperatureDifference = Temperature::from_celsius(20.0);
//! ```
//!
//! What is accepted is data: [`kinds`] lists every quantity with its units, for help
//! text and a schema. Signs and sizes are not judged here, except that no temperature
//! lies below absolute zero: whether a length may be negative is the reader's matter.

mod error;
mod number;
mod read;
mod show;
mod spelling;
mod tables;
mod types;
mod unit;

pub use error::{Error, Problem};
pub use show::{Axis, Units};
pub use tables::kinds;
pub use types::{
    Area, Conductivity, Density, Duration, Energy, FilmCoefficient, Fraction, HeatFlux, Length, Mass, MassFlow, Power,
    SpecificHeat, Speed, Temperature, TemperatureDifference, Volume, VolumeFlow, VolumeHeat,
};
pub use unit::{Kind, Unit};
