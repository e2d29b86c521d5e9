//! What somebody wants of an open load: asked material by material, with what it would cost, changed until it is closed.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::records::{Order, Payer};
use selion_core::policy::Action;
use selion_core::quantities::Amount;

use super::Shown;
use crate::parts::{
    ActKind, Choice, act, acts, amount_field, form, heading, note, select_field, send_button,
};
use crate::piece::{Memo, Piece, derived, each, el, memo, pieces, row, signal_of, watch, when};
use crate::plain::order_form::amount_unit;
use crate::plain::wish_rows::{self, WishRow};
use crate::plain::wording::{capital, counted, in_a_sentence};
use crate::screens::form::people_choices;
use crate::screens::pen::{Pen, use_pen};
use crate::state::{Book, use_book};

/// The question and its answer, where members are asked; for a coordinator whom it is about, and who has not answered.
pub(super) fn wishes(shown: Shown) -> Piece {
    let asks = memo(move || shown.with(Order::asks_members) == Some(true));
    when(move || asks.get(), move || asked(shown)).into()
}

fn asked(shown: Shown) -> Piece {
    let book = use_book();
    let whose = signal_of(untrack(|| {
        let me = book.me.get();
        me.map(|me| Payer::Member(me).to_string())
            .unwrap_or_default()
    }));
    let payer = memo(move || whose.get().parse::<Payer>().ok());
    let rows = memo(move || {
        let whose = payer.get()?;
        let (units, currency) = (book.units(), book.currency()?);
        shown.with(|order| wish_rows::rows(order, whose, units, currency))
    });
    let lines = move || {
        let rows = rows.read();
        let rows = rows.iter().flatten().map(|row| row.line);
        rows.collect::<Vec<_>>()
    };
    let accounts = derived(move || {
        let mut choices = people_choices(book);
        choices.push(Choice::new(
            Payer::Garden.to_string(),
            "The garden, common beds",
        ));
        choices
    });
    let one = move |line| {
        let found = memo(move || {
            let rows = rows.read();
            let rows = rows.iter().flatten();
            rows.into_iter().find(|row| row.line == line).cloned()
        });
        fields(Wish::new(shown, payer, found))
    };
    let until = move || {
        let day = shown.with(|order| order.closes_on).flatten()?;
        let day = in_a_sentence(day, book.today.get());
        Some(format!(
            "Please answer until {day}. An answer can be changed until the load is closed."
        ))
    };
    pieces![
        heading("What you want"),
        move || until().map(|words| note().child(words)),
        when(
            move || book.may(Action::AskFor, false),
            move || el("div")
                .class("form")
                .child(select_field("For whom", whose, accounts))
        ),
        each(lines, move |line| row(line, move || one(line))),
        waiting_for(shown)
    ]
}

/// The answer of one account about one material, as it stands and as it is being typed.
#[derive(Clone, Copy)]
struct Wish {
    book: Book,
    shown: Shown,
    payer: Memo<Option<Payer>>,
    found: Memo<Option<WishRow>>,
    text: RwSignal<String>,
    wrong: RwSignal<Option<String>>,
}

impl Wish {
    fn new(shown: Shown, payer: Memo<Option<Payer>>, found: Memo<Option<WishRow>>) -> Self {
        let book = use_book();
        let wish = Self {
            book,
            shown,
            payer,
            found,
            text: signal_of(String::new()),
            wrong: signal_of(None),
        };
        // The field follows the answer that stands, and whom it is about.
        watch(move || {
            let now = found.with(|row| row.as_ref().map(|row| row.text(book.units())));
            payer.read();
            wish.text.set(now.unwrap_or_default());
            wish.wrong.set(None);
        });
        wish
    }

    /// Words about the material.
    fn words(self, of: impl Fn(&WishRow) -> String + Send + Sync + 'static) -> Signal<String> {
        derived(move || {
            self.found
                .with(|row| row.as_ref().map(&of).unwrap_or_default())
        })
    }

    /// What the amount that is being typed would cost.
    fn cost(self) -> Option<String> {
        let book = self.book;
        let (text, whose) = (self.text.get(), self.payer.get()?);
        if text.trim().is_empty() {
            return None;
        }
        let garden = book.garden.read();
        self.found.with(|row| {
            let row = row.as_ref()?;
            let amount = row.read(&text, book.units()).ok()?;
            let asked = (row.line, whose);
            self.shown
                .with(|order| wish_rows::would_cost(&garden, order, asked, amount))?
        })
    }

    fn ask(self, pen: Pen, amount: Amount, said: &str) {
        let row = self.found.get_untracked();
        if let (Some(row), Some(whose)) = (row, self.payer.get_untracked()) {
            let edit = Edit::AskFor {
                order: self.shown.order,
                line: row.line,
                whose,
                amount,
            };
            pen.write(
                self.shown.document(),
                edit,
                format!("{}: {said}", row.material),
            );
        }
    }

    fn send(self, pen: Pen) {
        self.wrong.set(None);
        let Some(row) = self.found.get_untracked() else {
            return;
        };
        let units = untrack(|| self.book.units());
        match row.read(&self.text.get_untracked(), units) {
            Ok(amount) => self.ask(pen, amount, "written down."),
            Err(bad) => self.wrong.set(Some(capital(&bad.to_string()))),
        }
    }
}

// One material.
fn fields(wish: Wish) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let label = wish.words(|row| row.material.clone());
    let help = wish.words(move |row| format!("{} · {}", row.answer(book.units()), row.sold));
    let unit = wish.words(move |row| amount_unit(row.counted_in, book.units()).to_owned());
    let cost = memo(move || wish.cost());
    let said = move || {
        let line = |words| {
            el("p")
                .class("help")
                .attr("aria-live", "polite")
                .child(words)
        };
        cost.get().map(line)
    };
    let may_want_none = move || {
        let found = wish.found.read();
        found.iter().any(|row| row.asked != Some(Amount::ZERO))
    };
    let none = move || wish.ask(pen, Amount::ZERO, "none wanted, written down.");
    form(move || wish.send(pen))
        .child(
            amount_field(label, wish.text, unit)
                .help(help)
                .error(wish.wrong),
        )
        .child(said)
        .child(
            acts()
                .child(send_button("Ask for it"))
                .child(when(may_want_none, move || {
                    act("I want none", none).kind(ActKind::Bare)
                })),
        )
        .into()
}

fn waiting_for(shown: Shown) -> Piece {
    let book = use_book();
    let names = memo(move || {
        let garden = book.garden.read();
        shown
            .with(|order| wish_rows::unanswered(&garden, order))
            .unwrap_or_default()
    });
    let words = move || {
        let names = names.read();
        match names.len() {
            0 => "Everybody has answered.".to_owned(),
            many => format!(
                "No answer yet from {}: {}.",
                counted(many, "person", "people"),
                names.join(", ")
            ),
        }
    };
    when(
        move || book.may(Action::KeepOrders, false),
        move || note().child(words),
    )
    .into()
}
