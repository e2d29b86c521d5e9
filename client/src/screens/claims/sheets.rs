//! The sheets over the places of a task or turn: done, hand over, and somebody else's claim.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::{ClaimId, MemberId};
use selion_core::document::records::Standing;
use selion_core::quantities::{BadInput, Day, Minutes};

use super::{Claims, Sheets, use_claims};
use crate::parts::{
    ActKind, Choice, act, acts, amount_field, date_field, form, note_field, select_field,
    send_button, sheet, use_toasts,
};
use crate::piece::{Memo, Piece, derived, el, pieces, signal_of, watch, when};
use crate::plain::claims::Desk;
use crate::plain::typed::with_unit;
use crate::screens::form::{Wrong, people_choices, wrong_whole};
use crate::state::use_book;

/// What a coordinator can do with somebody else's claim.
pub fn others_sheet(of: Claimable, desk: Memo<Option<Desk>>, sheets: Sheets) -> Piece {
    let claims = use_claims();
    let line = move || desk.get()?.claim(sheets.claim.get()?).cloned();
    let title = derived(move || {
        line().map_or_else(String::new, |line| format!("{}: {}", line.name, line.words))
    });
    let is_done = move || line().is_some_and(|line| line.standing == Standing::Done);
    let holds = move || line().is_some_and(|line| line.standing == Standing::Holds);
    let close = move |then: fn(Claims, Sheets, Claimable, ClaimId)| {
        sheets.others.set(false);
        if let Some(claim) = sheets.claim.get_untracked() {
            then(claims, sheets, of, claim);
        }
    };
    let give_back = move || close(|claims, _, of, claim| claims.give_back(of, claim));
    let hand_over = move || close(|_, sheets, _, _| sheets.hand_over.set(true));
    let say_done = move || close(|_, sheets, _, _| sheets.done.set(true));
    let not_done = move || close(|claims, _, of, claim| claims.not_done(of, claim));
    sheet(sheets.others, title, move || {
        pieces![
            el("p").child("They are told when their claim is given back or handed over."),
            when(
                move || !is_done(),
                move || acts()
                    .child(when(holds, move || act("Done", say_done)))
                    .child(act("Hand over", hand_over))
                    .child(act("Give back", give_back).kind(ActKind::Grave))
            )
            .otherwise(move || acts().child(act("Not done after all", not_done)))
        ]
    })
}

/// Says that a claim is done: how long it took, when, and a word about it.
pub fn done_sheet(of: Claimable, desk: Memo<Option<Desk>>, sheets: Sheets) -> Piece {
    let book = use_book();
    let claims = use_claims();
    let [minutes, on, word] = std::array::from_fn(|_| signal_of(String::new()));
    let wrong = Wrong::new(&["minutes", "day", "word"]);
    // Each time the sheet comes up for another claim it begins with what is likely; what was typed stays otherwise.
    let begun = StoredValue::new(None);
    watch(move || {
        let claim = sheets.claim.get();
        if sheets.done.get() && begun.get_value() != claim {
            begun.set_value(claim);
            let expected = desk.get_untracked().map(|desk| desk.expected);
            let likely = expected.filter(|expected| expected.is_positive());
            minutes.set(likely.map(Minutes::show).unwrap_or_default());
            on.set(book.today.get_untracked().to_string());
            word.set(String::new());
            wrong.clear();
        }
    });
    let send = move || {
        wrong.clear();
        let typed = minutes.get_untracked();
        let read = if typed.trim().is_empty() {
            Ok(Minutes::ZERO)
        } else {
            Minutes::parse(&with_unit(&typed, "min"))
        };
        let (Some(minutes), Some(on)) = (
            wrong.take("minutes", read),
            wrong.take("day", Day::parse(&on.get_untracked())),
        ) else {
            return;
        };
        let (Some(claim), Some(desk)) = (sheets.claim.get_untracked(), desk.get_untracked()) else {
            return;
        };
        let word = word.get_untracked().trim().to_owned();
        let edit = Edit::Done {
            of,
            claim,
            minutes,
            on,
            word,
        };
        if wrong.write(book, desk.document, edit) {
            sheets.done.set(false);
            begun.set_value(None);
            claims.said_done(of, claim);
        }
    };
    sheet(sheets.done, "Done", move || {
        form(send)
            .child(
                el("div")
                    .class("pair")
                    .child(
                        amount_field("How long it took", minutes, "min")
                            .error(wrong.at("minutes"))
                            .help("1 h 30 min is fine too; leave it empty if it does not matter."),
                    )
                    .child(date_field("On", on).error(wrong.at("day"))),
            )
            .child(
                note_field("A word about it", word)
                    .error(wrong.at("word"))
                    .help("Everybody in the garden can read it."),
            )
            .child(wrong_whole(wrong))
            .child(send_button("It is done"))
    })
}

/// Hands a claim over to somebody.
pub fn hand_over_sheet(of: Claimable, desk: Memo<Option<Desk>>, sheets: Sheets) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let to = signal_of(String::new());
    let wrong = Wrong::new(&["person"]);
    // Whoever has a claim already cannot take another.
    let choices = derived(move || {
        let has_claim = |choice: &Choice| {
            let claims = desk.get().map(|desk| desk.claims).unwrap_or_default();
            claims
                .iter()
                .any(|line| line.member.to_string() == choice.key)
        };
        let people = people_choices(book);
        let nobody = Choice::new("", "Choose a person");
        std::iter::once(nobody)
            .chain(people.into_iter().filter(|choice| !has_claim(choice)))
            .collect::<Vec<_>>()
    });
    let send = move || {
        wrong.clear();
        let Ok(to_member) = to.get_untracked().parse::<MemberId>() else {
            wrong.bad(&BadInput::new("person", "somebody from the list", ""));
            return;
        };
        let (Some(claim), Some(desk)) = (sheets.claim.get_untracked(), desk.get_untracked()) else {
            return;
        };
        let new_claim = book.fresh(ClaimId::fresh);
        let edit = Edit::HandOver {
            of,
            claim,
            to: to_member,
            new_claim,
        };
        if wrong.write(book, desk.document, edit) {
            sheets.hand_over.set(false);
            to.set(String::new());
            let name = book.garden.read_untracked().name_of(to_member).to_owned();
            toasts.say(format!("Handed over to {name}, who is told."));
        }
    };
    sheet(sheets.hand_over, "Hand over", move || {
        form(send)
            .child(
                select_field("To whom", to, choices)
                    .error(wrong.at("person"))
                    .help("They take the place exactly where it stands, and are told."),
            )
            .child(wrong_whole(wrong))
            .child(send_button("Hand it over"))
    })
}
