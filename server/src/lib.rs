//! The service behind Selion: accounts, gardens, storage, the program `selion`.

pub mod accounts;
pub mod auth;
pub mod by_hand;
pub mod calendar;
pub mod chance;
pub mod cli;
pub mod clock;
pub mod config;
pub mod demo;
pub mod error;
pub mod exchange;
pub mod ids;
pub mod rooms;
pub mod routes;
pub mod secret;
pub mod service;
pub mod state;
pub mod store;

#[cfg(test)]
mod live_tests;
#[cfg(test)]
mod testing;

pub use config::{Config, Limits, Origin};
pub use service::{Running, StartError, start};
