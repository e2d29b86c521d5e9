//! What the engine tells the screens.

use selion_core::document::Envelope;
use selion_core::document::ids::EditId;
use selion_core::policy::Refused;
use selion_core::quantities::Moment;

/// Whether there is a garden to show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Phase {
    /// The phone's storage is being read.
    Opening,
    /// No garden is known on this phone: join one, begin one, or sign in.
    NoGarden,
    /// A garden is open.
    Open,
    /// The phone was signed out by the service; what it holds can still be read.
    Ended(String),
}

/// A refused edit, with the reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AsideRow {
    /// Its id.
    pub edit: EditId,
    /// The edit as it was sent.
    pub envelope: Envelope,
    /// Why it was refused.
    pub refused: Refused,
    /// When the answer came.
    pub at: Moment,
}
