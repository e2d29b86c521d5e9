//! What waits for somebody about money: an order that asks, something to pay, an entry to confirm, a request and its answer.

use leptos::prelude::*;
use selion_core::document::{Edit, Role};

use crate::parts::{
    ActKind, act, acts, form, heading, line, lines, note, send_button, sheet, text_field,
    use_toasts,
};
use crate::piece::{Piece, derived, el, memo, pieces, signal_of, watch, when};
use crate::plain::requests::{RequestRow, answered, open_requests};
use crate::plain::waits::{Asks, asks, to_confirm, to_pay};
use crate::screens::account::settle::wait_line;
use crate::screens::form::{Wrong, wrong_whole};
use crate::screens::proposals::accept_by_rule;
use crate::state::use_book;

/// The lines, and nothing at all when nothing waits.
pub fn what_waits() -> Piece {
    let book = use_book();
    accept_by_rule(book);
    let asked = memo(move || {
        let me = book.me.get();
        me.map(|me| asks(&book.garden.read(), me, book.today.get()))
            .unwrap_or_default()
    });
    let owed = memo(move || to_pay(&book.garden.read(), book.me.get()?, book.currency()?));
    let confirm = memo(move || {
        let (me, currency) = (book.me.get()?, book.currency()?);
        Some(to_confirm(
            &book.garden.read(),
            me,
            book.today.get(),
            currency,
        ))
    });
    let confirm = memo(move || confirm.get().unwrap_or_default());
    let requests = memo(move || {
        let is_coordinator = book.role() == Some(Role::Coordinator);
        let mut rows = open_requests(&book.garden.read(), book.me.get(), book.today.get());
        rows.retain(|row| row.mine || is_coordinator);
        rows
    });
    let answers = memo(move || {
        let me = book.me.get();
        me.map(|me| answered(&book.garden.read(), me, book.today.get()))
            .unwrap_or_default()
    });
    let answering = signal_of(None::<RequestRow>);
    let something = memo(move || {
        !asked.read().is_empty()
            || owed.read().is_some()
            || !confirm.read().is_empty()
            || !requests.read().is_empty()
            || !answers.read().is_empty()
    });
    when(
        move || something.get(),
        move || {
            pieces![
                heading("What waits for you"),
                lines()
                    .child(move || asked.get().into_iter().map(ask_line).collect::<Piece>())
                    .child(move || owed.get().map(pay_line))
                    .child(move || confirm.get().into_iter().map(wait_line).collect::<Piece>())
                    .child(move || requests
                        .get()
                        .into_iter()
                        .map(|row| request_line(&row, answering))
                        .collect::<Piece>()),
                move || answers
                    .get()
                    .into_iter()
                    .map(answer_note)
                    .collect::<Piece>(),
                answer_sheet(answering)
            ]
        },
    )
    .into()
}

fn ask_line(asks: Asks) -> Piece {
    line(asks.words)
        .bed("ask")
        .small(asks.small)
        .href(format!("/order/{}", asks.order))
        .into()
}

fn pay_line(owed: String) -> Piece {
    line("Your account is open")
        .bed("pay")
        .small("Pay it, or settle up with the others")
        .href("/account")
        .child(owed)
        .child(el("small").child("you owe"))
        .into()
}

fn request_line(row: &RequestRow, answering: RwSignal<Option<RequestRow>>) -> Piece {
    let (words, verb) = if row.mine {
        (format!("You asked: “{}”", row.text), "Settled")
    } else {
        (format!("{} asks: “{}”", row.who, row.text), "Answer")
    };
    let spoken = format!("{verb}: {words}");
    let pressed = row.clone();
    let answer = move || answering.set(Some(pressed.clone()));
    let shown = line(words).bed("asks").small(row.small.clone());
    let shown = match row.order {
        Some(order) => shown.href(format!("/order/{order}")),
        None => shown,
    };
    shown
        .child(act(verb, answer).spoken(spoken).kind(ActKind::Bare))
        .into()
}

fn answer_note(row: RequestRow) -> Piece {
    note()
        .lead("Your question was answered")
        .child(format!("“{}” {}", row.text, row.answer.unwrap_or_default()))
        .into()
}

fn answer_sheet(answering: RwSignal<Option<RequestRow>>) -> Piece {
    let open = signal_of(false);
    watch(move || {
        if answering.read().is_some() {
            open.set(true);
        }
    });
    watch(move || {
        if !open.get() && answering.read_untracked().is_some() {
            answering.set(None);
        }
    });
    let title = derived(move || {
        let mine = answering.with(|row| row.as_ref().is_some_and(|row| row.mine));
        if mine {
            "Settle what you asked"
        } else {
            "Answer"
        }
        .to_owned()
    });
    sheet(open, title, move || {
        answering.get().map(|row| answer_form(&row, open))
    })
}

fn answer_form(row: &RequestRow, open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let word = signal_of(String::new());
    let wrong = Wrong::new(&["word"]);
    let (request, document) = (row.request, row.document);
    let send = move || {
        wrong.clear();
        let edit = Edit::AnswerRequest {
            request,
            on: book.today.get_untracked(),
            word: word.get_untracked().trim().to_owned(),
        };
        if wrong.write(book, document, edit) {
            toasts.say("Settled: it waits no longer.");
            open.set(false);
        }
    };
    form(send)
        .child(el("p").child(format!("{}: “{}”", row.who, row.text)))
        .child(
            text_field("A word", word)
                .error(wrong.at("word"))
                .help("What is done about it. Whoever asked reads it."),
        )
        .child(wrong_whole(wrong))
        .child(
            acts()
                .child(send_button("Settle it"))
                .child(act("Leave it", move || open.set(false))),
        )
        .into()
}
