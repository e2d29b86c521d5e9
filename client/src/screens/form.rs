//! What is wrong with the fields of a form, each beside its field; and the choices that several forms offer.

use leptos::prelude::*;
use selion_core::document::{DocumentName, Edit};
use selion_core::ordered::Map;
use selion_core::policy::Refused;
use selion_core::quantities::BadInput;

use crate::parts::{Choice, NoteKind, note};
use crate::piece::{Piece, derived, live};
use crate::state::Book;

/// Where a sentence stands that belongs to no field.
const ELSEWHERE: &str = "";

/// The errors of one form. What was typed stays in the fields.
#[derive(Clone, Copy, Debug)]
pub struct Wrong {
    sentences: RwSignal<Map<String, String>>,
    fields: &'static [&'static str],
}

impl Wrong {
    /// The errors of a form with these fields, by the names that core knows them by.
    pub fn new(fields: &'static [&'static str]) -> Self {
        Self {
            sentences: RwSignal::default(),
            fields,
        }
    }

    /// Forgets what was wrong, before the form is read again.
    pub fn clear(self) {
        self.sentences.update(Map::clear);
    }

    /// What is wrong with a field.
    pub fn at(self, field: &'static str) -> Signal<Option<String>> {
        derived(move || self.sentences.read().get(field).cloned())
    }

    /// What was read of a field; a refusal is kept to be shown beside it.
    pub fn take<T>(self, field: &'static str, read: Result<T, BadInput>) -> Option<T> {
        read.map_err(|bad| self.bad(&bad.named(field))).ok()
    }

    /// Shows a refusal beside its field, or above the button when it belongs to none.
    pub fn bad(self, bad: &BadInput) {
        let field = if self.fields.contains(&bad.field.as_str()) {
            bad.field.as_str()
        } else {
            ELSEWHERE
        };
        self.say(field, bad.to_string());
    }

    /// Shows a refusal beside a field that core knows by another name.
    pub fn beside(self, field: &'static str, bad: &BadInput) {
        self.say(field, bad.to_string());
    }

    /// Shows a sentence that belongs to no field.
    pub fn refused(self, sentence: impl Into<String>) {
        self.say(ELSEWHERE, sentence.into());
    }

    /// Writes the edit; says whether it stands, and shows what is wrong if it does not.
    pub fn write(self, book: Book, document: DocumentName, edit: Edit) -> bool {
        if let Err(bad) = edit.check_bounds() {
            self.bad(&bad);
            return false;
        }
        book.write(document, edit)
            .map_err(|Refused { message, .. }| self.refused(message))
            .is_ok()
    }

    fn say(self, field: &str, sentence: String) {
        self.sentences.update(|sentences| {
            sentences.insert(field.to_owned(), sentence);
        });
    }
}

/// What is wrong with the form as a whole; stands above its button.
pub fn wrong_whole(wrong: Wrong) -> Piece {
    let sentence = wrong.at(ELSEWHERE);
    live(move || {
        sentence
            .get()
            .map(|sentence| note().kind(NoteKind::Stop).child(sentence))
    })
}

/// What was typed into a field that must not stay empty, without the space around it.
pub fn some_words(field: &str, typed: &str) -> Result<String, BadInput> {
    let words = typed.trim();
    if words.is_empty() {
        Err(BadInput::new(field, "some words", ""))
    } else {
        Ok(words.to_owned())
    }
}

/// The beds to choose from, by label.
pub fn bed_choices(book: Book) -> Vec<Choice> {
    let garden = book.garden.read();
    garden
        .open_beds()
        .into_iter()
        .map(|(bed, record)| Choice::new(bed.to_string(), record.label.clone()))
        .collect()
}

/// The people to choose from, by name.
pub fn people_choices(book: Book) -> Vec<Choice> {
    let garden = book.garden.read();
    let people = garden
        .members
        .iter()
        .filter(|(_, member)| member.ended_on.is_none());
    let mut choices: Vec<Choice> = people
        .map(|(id, member)| Choice::new(id.to_string(), member.name.clone()))
        .collect();
    choices.sort_by_key(|choice| choice.name.to_lowercase());
    choices
}
