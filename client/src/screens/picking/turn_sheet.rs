//! One turn: who picks, who stands by; take it, give it back, hand it over, write down what was picked, call it off.

use leptos::prelude::*;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::TurnId;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;

use super::Sheets;
use crate::parts::{Act, ActKind, Acts, Sheet, use_toasts};
use crate::plain::wording::{capital, place_words};
use crate::screens::claims::ClaimDesk;
use crate::state::use_book;

/// The sheet of the turn that was chosen.
#[component]
pub fn TurnSheet(
    /// The sheets of the screen.
    sheets: Sheets,
) -> impl IntoView {
    let book = use_book();
    let title = Signal::derive(move || {
        let turn = sheets.turn.get().map(Claimable::Turn);
        turn.map(|turn| capital(&place_words(&book.garden.read(), turn, book.today.get())))
            .unwrap_or_default()
    });
    view! {
        <Sheet open=sheets.turn_up title=title>
            {move || sheets.turn.get().map(|turn| view! { <OneTurn turn=turn sheets=sheets /> })}
        </Sheet>
    }
}

#[component]
fn OneTurn(turn: TurnId, sheets: Sheets) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let record = move || {
        let garden = book.garden.read_untracked();
        garden.turn(turn).map(|(year, turn)| (year, turn.bed))
    };
    let log = move |()| {
        sheets.open_log(
            book.today.get_untracked(),
            record().map(|(_, bed)| (turn, bed)),
        );
    };
    let call_off = move |()| {
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
    view! {
        <ClaimDesk of=Claimable::Turn(turn) />
        <Acts>
            <Act
                words="Write down what was picked" on_press=log
                refused=Signal::derive(move || book.why_not(Action::LogPicking, true))
            />
            <Show when=move || book.may(Action::KeepTurns, false)>
                <Act words="Call the turn off" kind=ActKind::Grave on_press=call_off />
            </Show>
        </Acts>
    }
}
