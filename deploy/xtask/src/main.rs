//! The tasks behind `cargo xtask`.
fn main() {}
