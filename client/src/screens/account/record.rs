//! Writing money down: a payment, something laid out, hours that stand for money, a charge.

use leptos::prelude::*;
use selion_core::document::balance;
use selion_core::document::ids::{EntryId, MemberId, OrderId};
use selion_core::document::records::{Payer, Role};
use selion_core::document::shared_out::payer_name;
use selion_core::ordered::Map;
use selion_core::policy::Action;

use crate::parts::{
    ActKind, Choice, NoteKind, act, amount_field, date_field, form, note, select_field,
    send_button, sheet, text_field, use_toasts,
};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, signal_of, watch, when};
use crate::plain::entry_form::{EntryBox, EntryTyped, Happened};
use crate::plain::settle_rows::pays_words;
use crate::screens::form::{Wrong, people_choices, wrong_whole};
use crate::state::{Book, use_book};

/// The button and its sheet, beginning with this account.
pub fn record_money(payer: Payer) -> Piece {
    let book = use_book();
    let open = signal_of(false);
    let refused = derived(move || book.why_not(Action::RecordPayment, true));
    pieces![
        act("Write money down", move || open.set(true))
            .kind(ActKind::Main)
            .wide()
            .refused(refused),
        sheet(open, "Write money down", move || record_form(payer, open))
    ]
}

#[derive(Clone, Copy)]
struct Draft {
    happened: RwSignal<String>,
    who: RwSignal<String>,
    whom: RwSignal<String>,
    amount: RwSignal<String>,
    day: RwSignal<String>,
    order: RwSignal<String>,
    word: RwSignal<String>,
    wrong: RwSignal<Map<EntryBox, String>>,
}

impl Draft {
    /// A payment of what the account still owes, today; where it owes nothing, one that it had.
    fn begin(book: Book, payer: Payer) -> Self {
        let (garden, me) = (book.garden.read(), book.me.get());
        let own = me.map_or(Payer::Garden, Payer::Member);
        let is_member = |payer: Payer| matches!(payer, Payer::Member(_));
        let who = if is_member(payer) { payer } else { own };
        let expected = balance::of(&garden, who).expected();
        let amount = book.currency().filter(|_| expected.is_positive());
        let amount = amount.map(|currency| expected.show_number(currency));
        let text = |text: String| signal_of(text);
        Self {
            happened: text(Happened::Paid.key().to_owned()),
            who: text(who.to_string()),
            whom: text(Payer::Garden.to_string()),
            amount: text(amount.unwrap_or_default()),
            day: text(book.today.get().to_string()),
            order: text(String::new()),
            word: text(String::new()),
            wrong: RwSignal::default(),
        }
    }

    fn typed(self) -> EntryTyped {
        EntryTyped {
            happened: self.happened.get(),
            who: self.who.get(),
            whom: self.whom.get(),
            amount: self.amount.get(),
            day: self.day.get(),
            order: self.order.get(),
            word: self.word.get(),
        }
    }

    fn at(self, of: EntryBox) -> Signal<Option<String>> {
        derived(move || self.wrong.read().get(&of).cloned())
    }

    fn chosen(self) -> Happened {
        self.typed().chosen().unwrap_or(Happened::Paid)
    }
}

fn record_form(payer: Payer, open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let draft = untrack(|| Draft::begin(book, payer));
    let wrong = Wrong::new(&[]);
    let foretold = foretold(book, draft);
    let send = move || {
        wrong.clear();
        let Some(currency) = untrack(|| book.currency()) else {
            return;
        };
        let garden = book.garden.get_untracked();
        let read = untrack(|| draft.typed()).read(&garden, currency);
        let entry = match read {
            Ok(entry) => entry,
            Err(found) => return draft.wrong.set(found),
        };
        draft.wrong.set(Map::new());
        let told = foretold.get_untracked();
        let document = entry.document(&garden);
        if wrong.write(book, document, entry.edit(book.fresh(EntryId::fresh))) {
            toasts.say(told.map_or_else(
                || "Written into the ledger.".to_owned(),
                |told| format!("Written into the ledger. {told}"),
            ));
            open.set(false);
        }
    };
    form(send)
        .child(
            select_field("What happened", draft.happened, kinds(book))
                .error(draft.at(EntryBox::Happened)),
        )
        .child(accounts(book, draft))
        .child(amount_and_day(book, draft))
        .child(orders(book, draft))
        .child(
            text_field("A word about it", draft.word)
                .error(draft.at(EntryBox::Word))
                .help("Cash, transfer, in kind; what a charge is for."),
        )
        .child(move || {
            foretold
                .get()
                .map(|words| note().kind(NoteKind::Mind).child(words))
        })
        .child(wrong_whole(wrong))
        .child(send_button("Write it into the ledger"))
        .into()
}

/// What the writer is told before writing: it waits, or looks like one that is there.
fn foretold(book: Book, draft: Draft) -> Memo<Option<String>> {
    memo(move || {
        let (garden, me) = (book.garden.read(), book.me.get()?);
        let (role, currency) = (book.role()?, book.currency()?);
        let entry = draft.typed().read(&garden, currency).ok()?;
        entry.foretold(&garden, me, role, currency)
    })
}

fn kinds(book: Book) -> Signal<Vec<Choice>> {
    derived(move || {
        let all = book.role() == Some(Role::Coordinator);
        let in_lieu = book
            .profile()
            .is_some_and(|profile| profile.rules.hour_in_lieu.is_positive());
        let offered = move |happened: &Happened| {
            (all || !happened.is_for_coordinators()) && (in_lieu || !happened.is_hours())
        };
        let choice = |happened: Happened| Choice::new(happened.key(), happened.words());
        Happened::ALL
            .into_iter()
            .filter(offered)
            .map(choice)
            .collect::<Vec<_>>()
    })
}

fn account_choices(book: Book) -> Vec<Choice> {
    let me = book.me.get();
    let role_of = |key: &str| {
        let garden = book.garden.read();
        let member = key.parse::<MemberId>().ok()?;
        garden.open_member(member).map(|member| member.role)
    };
    let mut choices: Vec<Choice> = people_choices(book)
        .into_iter()
        .filter(|choice| role_of(&choice.key) != Some(Role::Helper))
        .map(|choice| {
            let mine = me.is_some_and(|me| choice.key == me.to_string());
            if mine {
                Choice::new(choice.key, format!("{} (you)", choice.name))
            } else {
                choice
            }
        })
        .collect();
    choices.push(Choice::new(
        Payer::Garden.to_string(),
        payer_name(&book.garden.read(), Payer::Garden),
    ));
    choices
}

fn accounts(book: Book, draft: Draft) -> Piece {
    let choices = derived(move || account_choices(book));
    let says = derived(move || {
        let (garden, me) = (book.garden.read(), book.me.get());
        let (from, to) = (draft.who.get().parse().ok(), draft.whom.get().parse().ok());
        let (Some(from), Some(to), Some(me)) = (from, to, me) else {
            return String::new();
        };
        if from == to {
            String::new()
        } else {
            format!("{}.", pays_words(&garden, from, to, me))
        }
    });
    pieces![
        select_field(move || draft.chosen().who(), draft.who, choices)
            .error(draft.at(EntryBox::Who)),
        when(
            move || draft.chosen() == Happened::Paid,
            move || select_field("To whom", draft.whom, choices)
                .error(draft.at(EntryBox::Whom))
                .help(says)
        )
    ]
}

fn amount_and_day(book: Book, draft: Draft) -> Piece {
    let unit = derived(move || {
        book.currency()
            .map(|currency| currency.code().to_owned())
            .unwrap_or_default()
    });
    let rate = derived(move || {
        let is_hours = draft.chosen().is_hours();
        let profile = book.profile().filter(|_| is_hours)?;
        let hour = profile.rules.hour_in_lieu.show(profile.currency);
        Some(format!("An hour stands for {hour}; 2 h is fine too."))
    });
    el("div")
        .class("pair")
        .child(
            amount_field("Amount", draft.amount, unit)
                .error(draft.at(EntryBox::Amount))
                .help(move || rate.get()),
        )
        .child(date_field("Day", draft.day).error(draft.at(EntryBox::Day)))
        .into()
}

/// Loads of the year of the day, which the entry may be about.
fn orders(book: Book, draft: Draft) -> Piece {
    let choices = memo(move || {
        let garden = book.garden.read();
        let typed = draft.typed();
        let currency = book.currency();
        let entry = currency.and_then(|currency| typed.read(&garden, currency).ok());
        let year = entry.and_then(|entry| entry.document(&garden).year());
        let year = year.unwrap_or_else(|| book.today.get().year());
        let ledger = garden.ledgers.get(&year);
        let orders = ledger.into_iter().flat_map(|ledger| &ledger.orders);
        let open = orders.filter(|(_, order)| order.ended_on.is_none());
        open.map(|(id, order)| (*id, order.title.clone()))
            .collect::<Vec<(OrderId, String)>>()
    });
    watch(move || {
        // A load of another year cannot be meant any more.
        let chosen = draft.order.get();
        if !chosen.is_empty()
            && !choices
                .read()
                .iter()
                .any(|(id, _)| id.to_string() == chosen)
        {
            draft.order.set(String::new());
        }
    });
    let list = derived(move || {
        let mut list = vec![Choice::new("", "None in particular")];
        list.extend(
            choices
                .read()
                .iter()
                .map(|(id, title)| Choice::new(id.to_string(), title.clone())),
        );
        list
    });
    when(
        move || !choices.read().is_empty(),
        move || select_field("For which load", draft.order, list),
    )
    .into()
}
