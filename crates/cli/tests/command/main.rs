//! The command as people and programs use it.

mod answers;
mod beads;
mod files;
mod help;
mod readme;
mod schema;
mod sheets;
mod shop;
mod thermometer;
mod typed;
mod wrong;
