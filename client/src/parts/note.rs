//! Something to know, set off from the lines.

use crate::piece::{El, Piece, el};

/// How much a note weighs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum NoteKind {
    /// Good to know.
    #[default]
    Plain,
    /// To be minded: dust, raw manure, a date to keep.
    Mind,
    /// Something is refused or dangerous.
    Stop,
    /// Something went well.
    Done,
}

/// A note.
#[must_use = "a part is on the page only once it stands in another"]
#[derive(Debug)]
pub struct Note {
    kind: NoteKind,
    sentence: El,
}

/// A note; its sentence stands in it.
pub fn note() -> Note {
    Note {
        kind: NoteKind::Plain,
        sentence: el("p"),
    }
}

impl Note {
    /// Its weight.
    #[inline(never)]
    pub fn kind(self, kind: NoteKind) -> Self {
        Self { kind, ..self }
    }

    /// A few strong words before the sentence.
    #[inline(never)]
    pub fn lead(self, lead: &'static str) -> Self {
        self.child(el("span").class("lead").child(lead)).child(" ")
    }

    /// The sentence, or a part of it.
    #[inline(never)]
    pub fn child(self, child: impl Into<Piece>) -> Self {
        Self {
            sentence: self.sentence.child(child),
            ..self
        }
    }
}

impl From<Note> for Piece {
    fn from(Note { kind, sentence }: Note) -> Self {
        let class = match kind {
            NoteKind::Plain => "note",
            NoteKind::Mind => "note wait",
            NoteKind::Stop => "note stop",
            NoteKind::Done => "note done",
        };
        let role = (kind == NoteKind::Stop).then_some("alert");
        el("div")
            .class(class)
            .attr("role", role)
            .child(sentence)
            .into()
    }
}
