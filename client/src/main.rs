//! Selion on a phone.
fn main() {}
