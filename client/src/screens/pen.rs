//! Writes an edit and says what came of it.

use selion_core::document::{DocumentName, Edit};

use crate::parts::{Toasts, use_toasts};
use crate::piece::{Piece, el};
use crate::state::{Book, use_book};

/// Writes edits that have no form: each is done at once, and what came of it is said.
#[derive(Clone, Copy, Debug)]
pub struct Pen {
    book: Book,
    toasts: Toasts,
}

/// The pen of this page.
pub fn use_pen() -> Pen {
    Pen {
        book: use_book(),
        toasts: use_toasts(),
    }
}

impl Pen {
    /// Writes it; says so, or says why not.
    pub fn write(self, document: DocumentName, edit: Edit, said: impl Into<String>) -> bool {
        let written = self.try_write(document, edit);
        if written {
            self.toasts.say(said);
        }
        written
    }

    /// Writes it and offers to undo it by another edit.
    pub fn write_with_undo(
        self,
        document: DocumentName,
        edit: Edit,
        said: impl Into<String>,
        undo: Edit,
    ) -> bool {
        let written = self.try_write(document, edit);
        if written {
            self.toasts.say_with_undo(said, move || {
                self.try_write(document, undo.clone());
            });
        }
        written
    }

    /// Says something without writing.
    pub fn say(self, words: impl Into<String>) {
        self.toasts.say(words);
    }

    fn try_write(self, document: DocumentName, edit: Edit) -> bool {
        self.book
            .write(document, edit)
            .map_err(|refused| self.toasts.say(refused.message))
            .is_ok()
    }
}

/// A text as paragraphs.
pub fn paragraphs(text: &str) -> Piece {
    text.lines()
        .filter(|line| !line.trim().is_empty())
        .map(|line| el("p").child(line.to_owned()))
        .collect::<Piece>()
}
