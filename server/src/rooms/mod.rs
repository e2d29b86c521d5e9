//! Gardens at work: who has which one open, the single writer, who is told of a change.
//!
//! - [`Room`]: one garden in memory; decides about edits.
//! - [`Hall`]: all rooms and the sessions in them, without threads or sockets: arrivals in, effects out, over any
//!   [`Store`](crate::store::Store). Simulations drive it directly.
//! - [`Keeper`]: the one thread that owns the store and the hall, and its queue.
//! - [`Outgoing`]: what waits for one slow or fast connection.

mod catch_up;
mod hall;
mod keeper;
mod outgoing;
mod room;
mod snapshots;

pub use hall::{
    Arrival, Attendee, CLOSE_REVOKED, CLOSE_TRY_LATER, CLOSE_WRONG, Effect, Hall, SessionId,
};
pub use keeper::{Desk, Keeper};
pub use outgoing::{Outgoing, ToSend};
pub use room::{Author, Decision, NewChange, Room, RoomError};
