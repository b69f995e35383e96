//! The command as people and programs use it.

mod answers;
mod files;
mod help;
mod plan;
mod readme;
mod schema;
mod shop;
mod typed;
mod wrong;
