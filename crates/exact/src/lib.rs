//! exact
