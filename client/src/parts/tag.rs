//! A word in a small frame, telling how a line stands.

use crate::piece::{El, Words, el};

/// What a tag tells, beside its word.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TagKind {
    /// A plain fact.
    #[default]
    Plain,
    /// Yours.
    Mine,
    /// Not settled yet.
    Wait,
    /// Needs a decision, or is forbidden.
    Stop,
    /// Done.
    Done,
}

/// A tag with its word.
#[inline(never)]
pub fn tag(word: impl Into<Words>, kind: TagKind) -> El {
    let class = match kind {
        TagKind::Plain => "tag",
        TagKind::Mine => "tag mine",
        TagKind::Wait => "tag wait",
        TagKind::Stop => "tag stop",
        TagKind::Done => "tag done",
    };
    el("span").class(class).child(word.into())
}
