//! The command as people and programs use it.

mod answers;
mod files;
mod help;
mod schema;
mod shop;
mod wrong;
