//! Hall.
