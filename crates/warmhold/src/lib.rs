//! warmhold
