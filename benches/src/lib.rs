//! benches
