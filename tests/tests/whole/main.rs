//! Whole-system tests: what must hold of every run, whatever the case. One binary, so that it links once.

mod bars;
mod beside;
mod cooldown;
mod determinism;
mod everything;
mod film;
mod hollows;
mod house;
mod ledger;
mod mended;
mod orders;
mod over_time;
mod properties;
mod revolved;
mod shop;
mod stopped;
mod sweeps;
mod symmetry;
mod thermometer;
mod verdict;
mod welding;
