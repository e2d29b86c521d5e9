//! Whole numbers with their unit in the type.
