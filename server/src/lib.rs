//! The service behind Selion: accounts, gardens, storage, the program `selion`.

pub mod accounts;
pub mod auth;
pub mod chance;
pub mod cli;
pub mod clock;
pub mod config;
pub mod error;
pub mod ids;
pub mod rooms;
pub mod routes;
pub mod secret;
pub mod service;
pub mod state;
pub mod store;

#[cfg(test)]
mod testing;

pub use config::{Config, Limits, Origin};
pub use service::{Running, StartError, start};
