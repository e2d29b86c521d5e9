//! A closed load: every figure as it was frozen, nothing worked out anew.

use leptos::prelude::*;
use selion_core::document::records::Order;

use super::payments::Payments;
use super::preview::{Shared, shares_of};
use super::{PutIn, Shown};
use crate::parts::{Note, NoteKind};
use crate::plain::wording::in_a_sentence;
use crate::screens::looker::Looker;
use crate::state::use_book;

/// The closed load.
#[component]
pub fn ClosedLoad(
    /// Which load.
    shown: Shown,
    /// Who looks.
    looker: Looker,
) -> impl IntoView {
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
    let order = Signal::derive(move || shown.with(Order::clone));
    let shares = shares_of(book, order);
    let answer = Memo::new(move |_| shares.with(|shares| shares.clone()?.ok()));
    view! {
        {move || frozen().map(|words| view! { <Note kind=NoteKind::Done lead="Closed">{words}</Note> })}
        <PutIn shown=shown />
        <Shared answer=answer looker=looker>
            <Payments shown=shown looker=looker />
        </Shared>
    }
}
