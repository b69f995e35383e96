//! The command as people and programs use it.

mod answers;
mod cool;
mod explain;
mod files;
mod help;
mod plan;
mod readme;
mod rules;
mod schema;
mod shop;
mod spread;
mod typed;
mod wrong;
