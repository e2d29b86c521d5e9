//! One turn: who picks, who stands by; take it, give it back, hand it over, write down what was picked, call it off.

use leptos::prelude::*;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::TurnId;
use selion_core::document::manure_days::too_early;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;

use super::Sheets;
use crate::parts::{ActKind, NoteKind, act, acts, note, sheet, use_toasts};
use crate::piece::{Piece, derived, live, memo, pieces, when};
use crate::plain::wording::{capital, day_words, place_words};
use crate::screens::claims::claim_desk;
use crate::state::use_book;

/// The sheet of the turn that was chosen.
pub fn turn_sheet(sheets: Sheets) -> Piece {
    let book = use_book();
    let title = derived(move || {
        let turn = sheets.turn.get().map(Claimable::Turn);
        turn.map(|turn| capital(&place_words(&book.garden.read(), turn, book.today.get())))
            .unwrap_or_default()
    });
    sheet(sheets.turn_up, title, move || {
        move || sheets.turn.get().map(|turn| one_turn(turn, sheets))
    })
}

fn one_turn(turn: TurnId, sheets: Sheets) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let record = move || {
        let garden = book.garden.read_untracked();
        garden.turn(turn).map(|(year, turn)| (year, turn.bed))
    };
    let log = move || {
        sheets.open_log(record().map(|(_, bed)| (turn, bed)));
    };
    let call_off = move || {
        let Some((year, _)) = record() else { return };
        let edit = Edit::EndTurn {
            turn,
            on: book.today.get_untracked(),
        };
        match book.write(DocumentName::Season(year), edit) {
            Ok(_) => {
                sheets.turn_up.set(false);
                toasts.say("Called off; whoever had it is told.");
            }
            Err(refused) => toasts.say(refused.message),
        }
    };
    let caution = memo(move || {
        let garden = book.garden.read();
        let (_, record) = garden.turn(turn)?;
        let early = too_early(&garden, record.bed, record.day)?;
        let today = book.today.get();
        Some(early.words(record.day, |day| day_words(day, today)))
    });
    pieces![
        live(move || {
            let words = caution.get();
            words.map(|words| note().kind(NoteKind::Mind).lead("Raw manure.").child(words))
        }),
        claim_desk(Claimable::Turn(turn)),
        acts()
            .child(
                act("Write down what was picked", log)
                    .refused(move || book.why_not(Action::LogPicking, true))
            )
            .child(when(
                move || book.may(Action::KeepTurns, false),
                move || act("Call the turn off", call_off).kind(ActKind::Grave)
            ))
    ]
}
