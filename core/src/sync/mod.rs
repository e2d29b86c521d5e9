//! Edits up, changes down: the messages, the phone's copy of a garden, and one connection as a machine.
//!
//! - [`frame`]: the messages on the wire and their limits.
//! - [`Replica`]: a garden's documents with the picture of them; [`Replica::apply`] is the one function by which an edit
//!   becomes a change, at the service; [`Replica::draw`] shows on the phone what it will have changed.
//! - [`Outbox`]: a phone's edits on their way: waiting, accepted, set aside.
//! - [`LocalCopy`]: what the phone has confirmed, and that with its waiting edits on top.
//! - [`Session`]: one connection; events in, effects out. It opens no socket and reads no clock.

pub mod frame;
mod local_copy;
mod notices;
mod outbox;
mod replica;
mod session;
pub mod vault;

pub use local_copy::{LocalCopy, Stored, Taken, ToldRow, Truth};
pub use notices::{Notice, notices};
pub use outbox::{Outbox, Row, RowState};
pub use replica::{Applied, FirstChange, GardenStart, Replica};
pub use session::{Effect, Event, Link, Session, Settings};
