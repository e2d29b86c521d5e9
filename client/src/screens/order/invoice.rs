//! What came of a closed load: entered by whoever has the bill, shared anew by the frozen rules, with what differs for
//! everybody before it is written.

use std::collections::BTreeSet;

use leptos::prelude::*;
use selion_core::document::ids::LineId;
use selion_core::document::records::{Number, Order, Payer};
use selion_core::document::shared_out;
use selion_core::ordered::Map;
use selion_core::policy::Action;
use selion_core::quantities::Money;

use super::Shown;
use super::preview::long_table;
use crate::parts::{
    ActKind, NoteKind, act, acts, amount_field, check_field, form, heading, note, send_button,
    text_field, use_toasts,
};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, signal_of, watch, when};
use crate::plain::invoice_form::{
    CameTyped, InvoiceBox, InvoiceTyped, Invoiced, Wrong, differences,
};
use crate::plain::order_form::amount_unit;
use crate::plain::share_rows::ShareTable;
use crate::plain::wording::in_a_sentence;
use crate::screens::form::{self, wrong_whole};
use crate::screens::looker::Looker;
use crate::state::{Book, use_book};

/// What the last invoice changed, and the form for a further one.
pub(super) fn invoice(shown: Shown, looker: Looker) -> Piece {
    let book = use_book();
    let entering = signal_of(false);
    let may = move || book.may(Action::KeepOrders, false);
    pieces![
        last_one(shown, looker),
        when(
            move || may() && !entering.get(),
            move || acts().child(act("Enter what came", move || entering.set(true)))
        ),
        when(
            move || entering.get(),
            move || entry(shown, looker, entering)
        )
    ]
}

/// A name as it stood when the order was closed.
fn name(order: &Order, book: Book, payer: Payer) -> String {
    let frozen = order.closed.as_ref();
    let kept = frozen.and_then(|closed| closed.shares.accounts.get(&payer));
    kept.map_or_else(
        || shared_out::payer_name(&book.garden.read(), payer),
        |share| share.name.clone(),
    )
}

fn last_one(shown: Shown, looker: Looker) -> Piece {
    let book = use_book();
    let table = memo(move || {
        let currency = book.currency()?;
        let me = looker.me().map(Payer::Member);
        shown.with(|order| {
            let closed = order.closed.as_ref()?;
            let (_, invoice) = order.invoices.last_key_value()?;
            let mut now = Map::new();
            for (payer, share) in &invoice.shares.accounts {
                now.insert(*payer, share.pays);
            }
            let name = |payer| name(order, book, payer);
            Some(differences(&closed.shares, &now, name, currency, me))
        })?
    });
    let words = move || {
        let word = shown.with(|order| {
            let (_, invoice) = order.invoices.last_key_value()?;
            let day = in_a_sentence(invoice.on, book.today.get());
            Some(format!(
                "{day}, by the rules of the closing. {}",
                invoice.word
            ))
        })??;
        Some(word.trim_end().to_owned())
    };
    let shown_table = memo(move || table.get().unwrap_or_default());
    when(
        move || table.read().is_some(),
        move || {
            pieces![
                move || words()
                    .map(|words| note().kind(NoteKind::Done).lead("Shared anew").child(words)),
                long_table("What the bill changed", shown_table)
            ]
        },
    )
    .into()
}

/// The form as it is being typed.
#[derive(Clone, Copy)]
struct Entry {
    book: Book,
    shown: Shown,
    typed: RwSignal<InvoiceTyped>,
    read: Memo<Option<Result<Invoiced, Wrong>>>,
    tried: RwSignal<bool>,
}

impl Entry {
    fn new(shown: Shown) -> Self {
        let book = use_book();
        let begun = untrack(|| {
            let (units, currency) = (book.units(), book.currency()?);
            shown.with(|order| InvoiceTyped::of(order, units, currency))
        });
        let typed = signal_of(begun.unwrap_or_default());
        let read = memo(move || {
            let (units, currency) = (book.units(), book.currency()?);
            shown.with(|order| typed.with(|typed| typed.read(order, units, currency)))
        });
        Self {
            book,
            shown,
            typed,
            read,
            tried: signal_of(false),
        }
    }

    fn wrong(self, of: InvoiceBox) -> Signal<Option<String>> {
        derived(move || {
            let tried = self.tried.get();
            self.read.with(|read| match read {
                Some(Err(wrong)) if tried => wrong.get(&of).cloned(),
                Some(_) | None => None,
            })
        })
    }

    fn text(
        self,
        of: impl Fn(&mut InvoiceTyped) -> Option<&mut String> + Copy + 'static,
    ) -> RwSignal<String> {
        let now = self
            .typed
            .try_update_untracked(|typed| of(typed).cloned())
            .flatten();
        let field = signal_of(now.unwrap_or_default());
        watch(move || {
            let text = field.get();
            self.typed.update(|typed| {
                if let Some(before) = of(typed) {
                    *before = text;
                }
            });
        });
        field
    }

    fn line_text(self, id: LineId, of: fn(&mut CameTyped) -> &mut String) -> RwSignal<String> {
        self.text(move |typed| typed.lines.get_mut(&id).map(of))
    }

    /// Everybody's shares by what came, or why there are none.
    fn shares(self) -> Option<Result<shared_out::Shares, String>> {
        let garden = self.book.garden.read();
        self.read.with(|read| {
            let read = read.as_ref()?.as_ref().ok()?;
            let shares = self
                .shown
                .with(|order| shared_out::invoiced(&garden, order, read.came()))?;
            Some(
                shares
                    .map(|answer| answer.result)
                    .map_err(|why| why.to_string()),
            )
        })
    }
}

fn entry(shown: Shown, looker: Looker, entering: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let entry = Entry::new(shown);
    let wrong = form::Wrong::new(&[]);
    let shares = memo(move || entry.shares());
    let send = move || {
        wrong.clear();
        entry.tried.set(true);
        let read = entry.read.get_untracked().and_then(Result::ok);
        let Some(Ok(shares)) = shares.get_untracked() else {
            return toasts.say("Not entered yet: see what is marked.");
        };
        let Some(read) = read else {
            return;
        };
        let seen = shared_out::mark_of_order(&shares);
        let edit = read.edit(shown.order, book.today.get_untracked(), seen);
        if wrong.write(book, shown.document(), edit) {
            toasts.say("The bill is entered; only what differs is charged.");
            entering.set(false);
        }
    };
    el("div")
        .class("split screen-only")
        .child(
            form(send)
                .child(heading("What came"))
                .child(fields(entry))
                .child(wrong_whole(wrong))
                .child(
                    acts()
                        .child(send_button("Enter it"))
                        .child(act("Leave it", move || entering.set(false)).kind(ActKind::Bare)),
                ),
        )
        .child(
            el("section")
                .attr("aria-label", "What it changes")
                .child(changed(entry, looker, shares)),
        )
        .into()
}

type Shared = Memo<Option<Result<shared_out::Shares, String>>>;

// What it changes for everybody, against what counts now.
fn changed(entry: Entry, looker: Looker, shares: Shared) -> Piece {
    let book = use_book();
    let table = memo(move || {
        let currency = book.currency()?;
        let me = looker.me().map(Payer::Member);
        let mut after = Map::<Payer, Money>::new();
        shares.with(|shares| {
            let shares = shares.as_ref()?.as_ref().ok()?;
            for share in &shares.accounts {
                after.insert(share.account.into(), share.pays);
            }
            Some(())
        })?;
        entry.shown.with(|order| {
            let name = |payer| name(order, book, payer);
            Some(differences(order.frozen()?, &after, name, currency, me))
        })?
    });
    let refused = move || shares.with(|shares| shares.as_ref()?.as_ref().err().cloned());
    let shown = memo(move || table.get().unwrap_or_else(ShareTable::default));
    let nothing =
        move || table.with(|table| table.as_ref().is_some_and(|table| table.rows.is_empty()));
    pieces![
        move || refused().map(|words| note()
            .kind(NoteKind::Stop)
            .lead("It cannot be shared out like this.")
            .child(words)),
        when(nothing, || note().child("Nothing differs for anybody.")),
        when(
            move || table.read().is_some() && !nothing(),
            move || long_table("What it changes", shown)
        )
    ]
}

fn fields(entry: Entry) -> Piece {
    let book = entry.book;
    let money = derived(move || {
        let currency = book.currency();
        currency
            .map(|currency| currency.code().to_owned())
            .unwrap_or_default()
    });
    let lines = untrack(|| {
        entry
            .shown
            .with(|order| order.lines.keys().copied().collect::<Vec<_>>())
    });
    let lines = lines.unwrap_or_default().into_iter();
    pieces![
        lines.map(|id| line(entry, id, money)).collect::<Piece>(),
        amount_field(
            "Delivery fee",
            entry.text(|typed| Some(&mut typed.delivery)),
            money
        )
        .error(entry.wrong(InvoiceBox::Delivery)),
        text_field("A word about it", entry.text(|typed| Some(&mut typed.word)))
            .error(entry.wrong(InvoiceBox::Word))
            .help("Such as: one bag was torn.")
    ]
}

fn line(entry: Entry, id: LineId, money: Signal<String>) -> Piece {
    let book = entry.book;
    let units = untrack(|| book.units());
    let found = untrack(|| entry.shown.with(|order| order.lines.get(&id).cloned()));
    let Some(record) = found.flatten() else {
        return Piece::Nothing;
    };
    let amounts = if record.loose {
        let unit = amount_unit(record.counted_in, units);
        amount_field(
            "Came in all",
            entry.line_text(id, |line| &mut line.amount),
            unit,
        )
        .error(entry.wrong(InvoiceBox::Amount(id)))
        .into()
    } else {
        let sizes = record
            .packs
            .iter()
            .map(|(number, pack)| (*number, record.counted_in.show(pack.size, units)));
        sizes
            .map(|(number, size)| count(entry, id, number, &size))
            .collect::<Piece>()
    };
    el("fieldset")
        .class("part")
        .child(el("legend").child(record.material.clone()))
        .child(amounts)
        .child(
            amount_field(
                "Price of the goods",
                entry.line_text(id, |line| &mut line.goods),
                money,
            )
            .error(entry.wrong(InvoiceBox::Goods(id)))
            .help("Left empty it is what this costs by the prices of the order."),
        )
        .child(none_for(entry, id))
        .into()
}

fn count(entry: Entry, id: LineId, number: Number, size: &str) -> Piece {
    let text = entry.text(move |typed| typed.lines.get_mut(&id)?.counts.get_mut(&number));
    amount_field(format!("Came of {size}"), text, "packs")
        .error(entry.wrong(InvoiceBox::Count(id, number)))
        .into()
}

// Who takes none of it after all: the others have it.
fn none_for(entry: Entry, id: LineId) -> Piece {
    let book = entry.book;
    let named = |order: &Order| {
        let closed = order.closed.as_ref();
        let line = closed.and_then(|closed| closed.shares.lines.get(&id));
        let payers = line.into_iter().flat_map(|line| line.needs.keys());
        payers
            .map(|payer| (*payer, name(order, book, *payer)))
            .collect::<Vec<_>>()
    };
    // Read once: a tick of somebody else is not to empty the form.
    let accounts = untrack(|| entry.shown.with(named));
    let chosen = move || {
        entry.typed.with(|typed| {
            typed
                .lines
                .get(&id)
                .map(|line| line.none_for.clone())
                .unwrap_or_default()
        })
    };
    let summary = move || match chosen().len() {
        0 => "Somebody takes none of it".to_owned(),
        1 => "1 account takes none of it".to_owned(),
        many => format!("{many} accounts take none of it"),
    };
    let one = move |payer: Payer, name: String| {
        let none: BTreeSet<Payer> = untrack(chosen);
        let ticked = signal_of(none.contains(&payer));
        watch(move || {
            let ticked = ticked.get();
            entry.typed.update(|typed| {
                if let Some(line) = typed.lines.get_mut(&id) {
                    if ticked {
                        line.none_for.insert(payer);
                    } else {
                        line.none_for.remove(&payer);
                    }
                }
            });
        });
        check_field(name, ticked)
    };
    let boxes = accounts.unwrap_or_default().into_iter();
    el("details")
        .class("more")
        .child(el("summary").child(summary))
        .child(
            el("p")
                .class("help")
                .child("What they leave is shared among the others by what those need."),
        )
        .child(
            boxes
                .map(|(payer, name)| one(payer, name))
                .collect::<Piece>(),
        )
        .into()
}
