//! Checks of the whole.

#[cfg(test)]
mod worked_examples;
