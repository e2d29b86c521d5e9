//! Amounts bed by bed, such as from each bed's soil test.

use leptos::prelude::*;
use selion_core::document::ids::{BedId, LineId};

use super::draft::Draft;
use crate::parts::{NoteKind, amount_field, note};
use crate::piece::{Memo, Piece, derived, each, el, memo, row};
use crate::plain::ground_rows;
use crate::plain::order_form::{LineBox, LineTyped, OrderBox};
use crate::state::use_book;

/// A field for each bed that takes part, with its amount.
pub(super) fn own_amounts(draft: Draft, id: LineId, line: Memo<LineTyped>) -> Piece {
    let book = use_book();
    let left_out = memo(move || line.with(|line| line.left_out.clone()));
    let beds = memo(move || {
        let garden = book.garden.read();
        let left_out = left_out.read();
        let mut beds = Vec::new();
        for (id, bed) in garden.open_beds() {
            if !left_out.contains(&id) {
                let holders = ground_rows::holders(&garden, bed, book.me.get());
                beds.push((id, format!("{} · {holders}", bed.label)));
            }
        }
        beds
    });
    let unit = derived(move || line.with(|line| line.unit(book.units()).to_owned()));
    let none = draft.wrong(OrderBox::Line(id, LineBox::Rate));
    let one = move |bed: BedId, label: String| {
        let text = draft.text(move |typed| {
            let line = typed.lines.get_mut(&id)?;
            Some(line.own.entry(bed).or_default())
        });
        let wrong = draft.wrong(OrderBox::Line(id, LineBox::Own(bed)));
        amount_field(label, text, unit).error(wrong)
    };
    el("fieldset")
        .class("field by-bed")
        .child(el("legend").child("Amount for each bed"))
        .child(
            el("p")
                .class("help")
                .child("Change what should be otherwise; an empty field is nothing."),
        )
        .child(move || {
            none.get()
                .map(|words| note().kind(NoteKind::Stop).child(words))
        })
        .child(each(
            move || beds.get(),
            move |(bed, label)| row(bed, move || one(bed, label)),
        ))
        .into()
}
