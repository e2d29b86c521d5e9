//! The service behind Selion.
