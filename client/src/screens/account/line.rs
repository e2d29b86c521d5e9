//! One line of a statement: how it comes about, and for an entry what can be done with it.

use leptos::prelude::*;
use selion_core::document::balance::{self, LineFrom};
use selion_core::document::ids::EntryId;
use selion_core::document::records::Payer;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;

use crate::parts::{
    ActKind, NoteKind, WorkingText, act, act_link, acts, form, note, send_button, sheet,
    text_field, use_toasts, working,
};
use crate::piece::{Piece, derived, el, live, memo, pieces, signal_of, watch, when};
use crate::plain::entry_acts::{EntryActs, entry_acts};
use crate::plain::statement::StatementLine;
use crate::screens::form::{Wrong, wrong_whole};
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The sheet of the line that is looked at; closing it puts the line away.
pub fn line_sheet(payer: Payer, looked_at: RwSignal<Option<StatementLine>>) -> Piece {
    let open = signal_of(false);
    watch(move || {
        if looked_at.read().is_some() {
            open.set(true);
        }
    });
    watch(move || {
        if !open.get() && looked_at.read_untracked().is_some() {
            looked_at.set(None);
        }
    });
    let title = derived(move || {
        looked_at
            .with(|line| line.as_ref().map(|line| line.what.clone()))
            .unwrap_or_default()
    });
    sheet(open, title, move || {
        live(move || looked_at.get().map(|line| one_line(payer, &line, open)))
    })
}

fn one_line(payer: Payer, line: &StatementLine, open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let Some(record) = line.line.clone() else {
        return Piece::Nothing;
    };
    let entry = match &record.from {
        LineFrom::Entry(entry) => Some(entry.entry),
        LineFrom::Share(_) | LineFrom::Invoice(_) | LineFrom::CarriedOver(_) => None,
    };
    let order = record.order;
    // The working follows the garden, so that a confirmation shows while the sheet is open.
    let text =
        memo(move || WorkingText::from(&balance::explain(&book.garden.read(), payer, &record)));
    pieces![
        live(move || working("How it comes about", text.get()).open(true)),
        entry.map(|entry| entry_desk(entry, open)),
        order.map(|order| acts().child(act_link(format!("/order/{order}"), "To the load")))
    ]
}

fn entry_desk(entry: EntryId, open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let found = memo(move || {
        let currency = book.currency()?;
        entry_acts(&book.garden.read(), entry, book.me.get(), currency)
    });
    let taking_back = signal_of(false);
    live(move || {
        found.get().map(|acts| {
            let document = DocumentName::Ledger(acts.year);
            pieces![
                confirming(&acts, document, open),
                take_back(&acts, document, taking_back, open)
            ]
        })
    })
}

fn confirming(found: &EntryActs, document: DocumentName, open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let pen = use_pen();
    if !found.can_be_confirmed {
        return Piece::Nothing;
    }
    let (entry, had_by) = (found.entry, found.had_by);
    let refused = derived(move || {
        let to_me = book.me.get().is_some_and(|me| had_by == Payer::Member(me));
        book.why_not(Action::ConfirmEntry, to_me)
    });
    let confirm = move || {
        if pen.write(
            document,
            Edit::ConfirmEntry { entry },
            "Confirmed: it counts now.",
        ) {
            open.set(false);
        }
    };
    match found.looks_like.clone() {
        Some(words) => pieces![
            note()
                .kind(NoteKind::Mind)
                .lead("Perhaps the same once more")
                .child(words),
            acts().child(
                act("It is a second one", confirm)
                    .kind(ActKind::Main)
                    .refused(refused)
            )
        ],
        None => acts()
            .child(
                act("Confirm it", confirm)
                    .kind(ActKind::Main)
                    .refused(refused),
            )
            .into(),
    }
}

fn take_back(
    found: &EntryActs,
    document: DocumentName,
    asked: RwSignal<bool>,
    open: RwSignal<bool>,
) -> Piece {
    let book = use_book();
    let own = found.mine_to_take_back;
    if !found.can_be_taken_back || !untrack(|| book.may(Action::ReverseEntry, own)) {
        return Piece::Nothing;
    }
    let entry = found.entry;
    let is_double = found.looks_like.is_some();
    let words = if is_double {
        "It is the same: take it back"
    } else {
        "Take it back"
    };
    when(
        move || asked.get(),
        move || take_back_form(entry, is_double, document, open),
    )
    .otherwise(move || acts().child(act(words, move || asked.set(true)).kind(ActKind::Grave)))
    .into()
}

fn take_back_form(
    entry: EntryId,
    is_double: bool,
    document: DocumentName,
    open: RwSignal<bool>,
) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let word = signal_of(if is_double {
        "Written twice".to_owned()
    } else {
        String::new()
    });
    let wrong = Wrong::new(&["word"]);
    let send = move || {
        wrong.clear();
        let edit = Edit::ReverseEntry {
            entry: book.fresh(EntryId::fresh),
            reverses: entry,
            day: book.today.get_untracked(),
            word: word.get_untracked().trim().to_owned(),
        };
        if wrong.write(book, document, edit) {
            toasts.say("Taken back by a line of its own; both stay in the ledger.");
            open.set(false);
        }
    };
    form(send)
        .child(el("p").class("help").child("A line is never changed: a further line the other way round takes it back, and both stay."))
        .child(text_field("Why", word).error(wrong.at("word")).help("Such as written twice, or wrong amount."))
        .child(wrong_whole(wrong))
        .child(send_button("Take it back"))
        .into()
}
