//! validation
