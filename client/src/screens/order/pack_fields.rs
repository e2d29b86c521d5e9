//! How a material is sold: in packs of one or several sizes, or loose, each with its price and lower prices from so many on.

use leptos::prelude::*;
use selion_core::document::ids::LineId;
use selion_core::document::records::Number;

use super::draft::Draft;
use crate::parts::{ActKind, Choice, act, acts, amount_field, select_field, text_field};
use crate::piece::{Memo, Piece, derived, each, el, memo, pieces, row, signal_of, when};
use crate::plain::order_form::{LineBox, LineTyped, OrderBox};
use crate::state::use_book;

const LOOSE: &str = "loose";
const PACKS: &str = "packs";

/// The sizes of one line.
pub(super) fn pack_fields(draft: Draft, id: LineId) -> Piece {
    let line = draft.line(id);
    let sold = draft.line_choice(
        id,
        |line| if line.loose { LOOSE } else { PACKS },
        |line, key| {
            line.loose = key == LOOSE;
        },
    );
    let numbers = memo(move || {
        line.with(|line| {
            // Loose material has one price.
            let shown = if line.loose { 1 } else { line.packs.len() };
            line.packs.keys().copied().take(shown).collect::<Vec<_>>()
        })
    });
    pieces![
        select_field(
            "Sold",
            sold,
            vec![
                Choice::new(PACKS, "In packs, bags or pieces"),
                Choice::new(LOOSE, "Loose, by the amount"),
            ]
        ),
        each(
            move || numbers.get(),
            move |number| row(number, move || one(draft, id, number, line, numbers))
        )
    ]
}

fn one(
    draft: Draft,
    id: LineId,
    number: Number,
    line: Memo<LineTyped>,
    numbers: Memo<Vec<Number>>,
) -> Piece {
    let book = use_book();
    let wrong = move |of: LineBox| draft.wrong(OrderBox::Line(id, of));
    let unit = derived(move || line.with(|line| line.unit(book.units()).to_owned()));
    let money = derived(move || {
        let currency = book.currency();
        currency
            .map(|currency| currency.code().to_owned())
            .unwrap_or_default()
    });
    let label = derived(move || {
        let loose = line.with(|line| line.loose);
        if loose { "Price is for" } else { "In one" }.to_owned()
    });
    let price = derived(move || {
        let loose = line.with(|line| line.loose);
        if loose { "Price" } else { "Price of one" }.to_owned()
    });
    let breaks = draft.pack_text(id, number, |pack| &mut pack.breaks);
    let lower = signal_of(!breaks.get_untracked().is_empty());
    let several = move || numbers.read().len() > 1;
    let is_last = move || line.with(|line| !line.loose) && numbers.read().last() == Some(&number);
    let take_out = move || {
        draft.change_line(id, |line| {
            line.packs.remove(&number);
        });
    };
    pieces![
        el("div")
            .class("pair")
            .child(
                amount_field(
                    label,
                    draft.pack_text(id, number, |pack| &mut pack.size),
                    unit
                )
                .error(wrong(LineBox::Size(number)))
            )
            .child(
                amount_field(
                    price,
                    draft.pack_text(id, number, |pack| &mut pack.price),
                    money
                )
                .error(wrong(LineBox::Price(number)))
            ),
        when(
            move || lower.get(),
            move || text_field("Cheaper from", breaks)
                .error(wrong(LineBox::Breaks(number)))
                .help("The price of one from so many on, such as 10 at 6.50; 40 at 5.99.")
        ),
        acts()
            .child(when(
                move || !lower.get(),
                move || act("Cheaper from so many on", move || lower.set(true)).kind(ActKind::Bare)
            ))
            .child(when(is_last, move || {
                let add = move || draft.change_line(id, LineTyped::add_size);
                act("Add a size", add).kind(ActKind::Bare)
            }))
            .child(when(several, move || act("Leave this size out", take_out)
                .kind(ActKind::Bare)))
    ]
}
