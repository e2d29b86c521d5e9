//! The real service in a process of its own on this machine, and phones that talk to it over real sockets.
//!
//! Used by the tests of the whole service and by the load program; nothing here listens anywhere but on 127.0.0.1.

mod line;
mod phone;
mod program;

pub use line::Line;
pub use phone::Phone;
pub use program::{Program, serve};

use std::error::Error;

/// What came of something that can fail in many ways, none of which a check can do anything about.
pub type Outcome<T> = Result<T, Box<dyn Error>>;
