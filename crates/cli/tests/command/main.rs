//! The command as people and programs use it.

mod answers;
mod beads;
mod cool;
mod drawn;
mod explain;
mod files;
mod help;
mod plan;
mod promises;
mod readme;
mod rules;
mod schema;
mod sheets;
mod shop;
mod spread;
mod thermometer;
mod typed;
mod wrong;
