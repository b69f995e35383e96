//! One file for each command.

pub(crate) mod advice;
pub(crate) mod check;
pub(crate) mod codes;
pub(crate) mod compare;
pub(crate) mod cool;
pub(crate) mod explain;
mod field;
pub(crate) mod fit;
pub(crate) mod hold;
pub(crate) mod metals;
mod metals_plot;
pub(crate) mod page;
pub(crate) mod pages;
pub(crate) mod paper;
pub(crate) mod plan;
pub(crate) mod rules;
pub(crate) mod schema;
pub(crate) mod spread;
pub(crate) mod start;
mod try_first;
mod what_if;
