//! How a garden stands in Automerge: the only place that names it and the keys.
//!
//! A document is a tree of maps keyed by id. [`Document`] takes [`Write`]s in and gives change bytes out, or takes the
//! service's change bytes in; [`refresh`] reads what was touched back into the plain picture. What is confirmed is always
//! shown as it was read back, so the screen cannot differ from what is stored; what a phone's waiting edits will write is
//! drawn over it by [`draw()`].
//!
//! Only changes made by the garden's service are ever fed to [`Document::take_changes`]: Automerge must not be given bytes
//! by clients (a well-formed change can panic it or swell to gigabytes).

mod both_words;
mod bridge;
mod document;
mod draw;
mod picture;
mod shelf_name;
mod write;

pub use document::{ActorBytes, Brought, Document, DocumentError, Heads, Made};
pub use draw::draw;
pub use picture::{read_whole, refresh};
pub use shelf_name::{ShelfName, Touched};
pub use write::Write;
