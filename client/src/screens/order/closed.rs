//! A closed load: every figure as it was frozen, nothing worked out anew.

use leptos::prelude::*;
use selion_core::document::records::Order;

use super::hand_out::hand_out;
use super::payments::payments;
use super::preview::{shared, shares_of};
use super::{Shown, put_in};
use crate::parts::{NoteKind, note};
use crate::piece::{Piece, derived, memo, pieces};
use crate::plain::wording::in_a_sentence;
use crate::screens::looker::Looker;
use crate::state::use_book;

/// The closed load.
pub fn closed_load(shown: Shown, looker: Looker) -> Piece {
    let book = use_book();
    let frozen = move || {
        let on = shown
            .with(|order| order.closed.as_ref().map(|closed| closed.on))
            .flatten()?;
        let day = in_a_sentence(on, book.today.get());
        Some(format!(
            "{day}, with the areas, holders and prices of that day. Nothing below changes any more."
        ))
    };
    let order = derived(move || shown.with(Order::clone));
    let shares = shares_of(book, order);
    let answer = memo(move || shares.with(|shares| shares.clone()?.ok()));
    pieces![
        move || frozen().map(|words| note().kind(NoteKind::Done).lead("Closed").child(words)),
        put_in(shown),
        shared(
            answer,
            looker,
            pieces![hand_out(shown, answer, looker), payments(shown, looker)]
        )
    ]
}
