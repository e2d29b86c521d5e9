//! A closed load: every figure as it was frozen, what came, and who takes it home.

use leptos::prelude::*;
use selion_core::document::records::Order;

use super::hand_out::hand_out;
use super::invoice::invoice;
use super::payments::payments;
use super::preview::{shared, shares_of};
use super::{Shown, put_in};
use crate::parts::{NoteKind, note};
use crate::piece::{Piece, derived, el, memo, pieces, signal_of, watch};
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
            "{day}, with the areas, holders and prices of that day. Whatever becomes of beds and people changes nothing below."
        ))
    };
    let order = derived(move || shown.with(Order::clone));
    let shares = shares_of(book, order);
    let answer = memo(move || shares.with(|shares| shares.clone()?.ok()));
    // Two papers come of this screen: the summary for the shed door, and the list for the tailgate.
    let only_list = signal_of(false);
    watch(move || {
        if !looker.is_on_paper() && only_list.get_untracked() {
            only_list.set(false);
        }
    });
    el("div")
        .class("load")
        .class_if("only-list", only_list)
        .child(move || {
            frozen().map(|words| note().kind(NoteKind::Done).lead("Closed").child(words))
        })
        .child(put_in(shown))
        .child(shared(
            answer,
            looker,
            pieces![
                invoice(shown, looker),
                hand_out(shown, answer, looker, only_list),
                payments(shown, looker)
            ],
        ))
        .into()
}
