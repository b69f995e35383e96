//! Pages to read and to print: report, shop card, log sheet, trainer's page.
//!
//! Each is one file that needs no network. Report, card and sheet hold no script at all and forbid any; the trainer's page
//! allows one script, its own, by its digest. All text that comes from a scenario passes `safe::text` or `safe::data`.

mod card;
mod full;
mod log_sheet;
mod made_for;
mod no_card;
mod parts;
mod plain;
mod safe;
mod sketch;
mod steps;
mod still;
mod trainer;
mod written;

pub(crate) use safe::base64;

pub use card::{Card, card};
pub use full::{Report, report};
pub use log_sheet::{LogSheet, log_sheet};
pub use trainer::{Die, page};
pub use written::{Pages, Shown};
