//! Who has paid for a closed load: a line each, never changed; a mistake is taken back by a further line.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::balance::{self, Balance, BalanceLine, EntryLine, LineFrom};
use selion_core::document::ids::EntryId;
use selion_core::document::records::{EntryKind, Payer};
use selion_core::policy::Action;
use selion_core::quantities::{Day, Money};

use super::Shown;
use crate::parts::{
    Act, ActKind, Acts, AmountField, Choice, DateField, FigureRow, Figures, Form, Line, Lines,
    SelectField, SendButton, Sheet, Tag, TagKind, TextField, use_toasts,
};
use crate::plain::wording::{capital, day_words};
use crate::screens::form::{Wrong, WrongWhole};
use crate::screens::looker::Looker;
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// An account of this load.
#[derive(Clone, Debug, PartialEq, Eq)]
struct AccountOfLoad {
    payer: Payer,
    name: String,
    mine: bool,
    balance: Balance,
}

type Accounts = Memo<Vec<AccountOfLoad>>;

/// The table of what is paid, the payments, and for a coordinator the form that records one.
#[component]
pub fn Payments(
    /// Which load.
    shown: Shown,
    /// Who looks.
    looker: Looker,
) -> impl IntoView {
    let book = use_book();
    let accounts: Accounts = Memo::new(move |_| {
        let garden = book.garden.read();
        let me = looker.me();
        let frozen = shown.with(|order| order.frozen().cloned()).flatten();
        let mut accounts: Vec<AccountOfLoad> = frozen
            .iter()
            .flat_map(|frozen| &frozen.accounts)
            .map(|(payer, share)| AccountOfLoad {
                payer: *payer,
                name: share.name.clone(),
                mine: me.is_some_and(|me| *payer == Payer::Member(me)),
                balance: balance::of_order(&garden, *payer, shown.order),
            })
            .collect();
        accounts.sort_by_cached_key(|account| {
            (account.payer == Payer::Garden, account.name.to_lowercase())
        });
        accounts
    });
    let recording = RwSignal::new(false);
    let refused = Signal::derive(move || book.why_not(Action::KeepLedger, false));
    view! {
        <PaidTable accounts=accounts />
        <Entries shown=shown accounts=accounts />
        <Acts>
            <Act words="Record a payment" on_press=move |()| recording.set(true) refused=refused />
        </Acts>
        <RecordSheet shown=shown accounts=accounts open=recording />
    }
}

#[component]
fn PaidTable(accounts: Accounts) -> impl IntoView {
    let book = use_book();
    let money = move |amount: Money| {
        book.currency()
            .map(|currency| amount.show(currency))
            .unwrap_or_default()
    };
    let rows = Signal::derive(move || {
        let row = |account: &AccountOfLoad| FigureRow {
            cells: vec![
                if account.mine { "You" } else { &account.name }.to_owned(),
                money(account.balance.shares),
                money(account.balance.paid),
                money(account.balance.owed),
            ],
            mine: account.mine,
        };
        accounts.read().iter().map(row).collect::<Vec<_>>()
    });
    let whole = Signal::derive(move || {
        let sum = |of: fn(&Balance) -> Money| {
            let accounts = accounts.read();
            money(accounts.iter().map(|account| of(&account.balance)).sum())
        };
        let cells = vec![
            "Whole".to_owned(),
            sum(|balance| balance.shares),
            sum(|balance| balance.paid),
            sum(|balance| balance.owed),
        ];
        vec![FigureRow { cells, mine: false }]
    });
    let heads = ["Member", "share", "paid", "to pay"]
        .map(ToOwned::to_owned)
        .to_vec();
    view! { <Figures caption="Paid so far" heads=heads rows=rows whole=whole /> }
}

#[component]
fn Entries(shown: Shown, accounts: Accounts) -> impl IntoView {
    let lines = Memo::new(move |_| {
        let mut lines: Vec<(String, bool, BalanceLine)> = accounts
            .read()
            .iter()
            .flat_map(|account| {
                let entries = account
                    .balance
                    .lines
                    .iter()
                    .filter(|line| matches!(line.from, LineFrom::Entry(_)));
                entries.map(|line| (account.name.clone(), account.mine, line.clone()))
            })
            .collect();
        lines.sort_by_key(|(_, _, line)| line.day);
        lines
    });
    let one =
        move |(name, mine, line)| view! { <EntryLine shown=shown name=name mine=mine line=line /> };
    view! {
        <Show when=move || !lines.read().is_empty()>
            <Lines>{move || lines.get().into_iter().map(one).collect_view()}</Lines>
        </Show>
    }
}

#[component]
fn EntryLine(shown: Shown, name: String, mine: bool, line: BalanceLine) -> impl IntoView {
    let book = use_book();
    let pen = use_pen();
    let words = line.words();
    let LineFrom::Entry(EntryLine {
        entry,
        takes_back,
        taken_back,
        word,
        ..
    }) = line.from
    else {
        return ().into_any();
    };
    let amount = Money::from_minor(line.adds.minor().checked_abs().unwrap_or(i64::MAX));
    let figure = move || book.currency().map(|currency| amount.show(currency));
    let small = Signal::derive(move || {
        let day = capital(&day_words(line.day, book.today.get()));
        let word = Some(word.clone()).filter(|word| !word.is_empty());
        [Some(day), word]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" · ")
    });
    let take_back = move |()| {
        let edit = Edit::ReverseEntry {
            entry: book.fresh(EntryId::fresh),
            reverses: entry,
            day: book.today.get_untracked(),
            word: String::new(),
        };
        pen.write(
            shown.document(),
            edit,
            "Taken back by a line of its own; both stay in the ledger.",
        );
    };
    let may_take_back = move || !takes_back && !taken_back && book.may(Action::KeepLedger, false);
    let spoken = format!("Take back: {words}, {name}");
    view! {
        <Line bed="paid" what=format!("{words}: {name}") small=small mine=mine done=taken_back>
            {figure}
            {taken_back.then(|| view! { <Tag word="taken back" kind=TagKind::Stop /> })}
            <Show when=may_take_back>
                <Act words="Take back" spoken=spoken.clone() kind=ActKind::Bare on_press=take_back />
            </Show>
        </Line>
    }
    .into_any()
}

#[component]
fn RecordSheet(shown: Shown, accounts: Accounts, open: RwSignal<bool>) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let [payer, kind, amount, day, word] = std::array::from_fn(|_| RwSignal::new(String::new()));
    let wrong = Wrong::new(&["account", "amount", "day", "word"]);
    Effect::new(move |_| {
        if open.get() {
            wrong.clear();
            kind.set("payment".to_owned());
            day.set(book.today.get_untracked().to_string());
            word.set(String::new());
            let first = accounts
                .get_untracked()
                .into_iter()
                .find(|account| account.balance.owed.is_positive());
            payer.set(
                first
                    .map(|account| account.payer.to_string())
                    .unwrap_or_default(),
            );
        }
    });
    // Most people pay what they owe.
    Effect::new(move |_| {
        let chosen = payer.get();
        let accounts = accounts.get_untracked();
        let account = accounts
            .iter()
            .find(|account| account.payer.to_string() == chosen);
        let owed = account.map(|account| account.balance.owed);
        if let (Some(owed), Some(currency)) = (
            owed.filter(|owed| owed.is_positive()),
            untrack(|| book.currency()),
        ) {
            amount.set(owed.show_number(currency));
        }
    });
    let send = move |()| {
        wrong.clear();
        let Some(currency) = untrack(|| book.currency()) else {
            return;
        };
        let payer = payer
            .get_untracked()
            .parse::<Payer>()
            .map_err(|_not_an_id| {
                selion_core::quantities::BadInput::new("account", "one of the accounts", "")
            });
        let payer = wrong.take("account", payer);
        let amount = wrong.take("amount", Money::parse(&amount.get_untracked(), currency));
        let day = wrong.take("day", Day::parse(&day.get_untracked()));
        let (Some(payer), Some(amount), Some(day)) = (payer, amount, day) else {
            return;
        };
        // What the garden pays goes to the supplier, what a member pays to the garden.
        let (other, entry_kind) = match payer {
            Payer::Member(_) => (Payer::Garden, EntryKind::Payment),
            Payer::Garden | Payer::Supplier => (Payer::Supplier, EntryKind::Outlay),
        };
        let (from, to) = if kind.get_untracked() == "paid_back" {
            (other, payer)
        } else {
            (payer, other)
        };
        let edit = Edit::AddEntry {
            entry: book.fresh(EntryId::fresh),
            from,
            to,
            kind: entry_kind,
            amount,
            day,
            order: Some(shown.order),
            word: word.get_untracked().trim().to_owned(),
        };
        if wrong.write(book, shown.document(), edit) {
            toasts.say("Written into the ledger.");
            open.set(false);
        }
    };
    let choices = Signal::derive(move || {
        let choice =
            |account: &AccountOfLoad| Choice::new(account.payer.to_string(), account.name.clone());
        let mut choices = vec![Choice::new("", "Choose")];
        choices.extend(accounts.read().iter().map(choice));
        choices
    });
    let unit = Signal::derive(move || {
        book.currency()
            .map(|currency| currency.code().to_owned())
            .unwrap_or_default()
    });
    let kinds = Signal::stored(vec![
        Choice::new("payment", "Paid"),
        Choice::new("paid_back", "Had back"),
    ]);
    view! {
        <Sheet open=open title="Record a payment">
            <Form on_send=send>
                <SelectField label="Whose" value=payer choices=choices error=wrong.at("account") />
                <SelectField label="What happened" value=kind choices=kinds />
                <div class="pair">
                    <AmountField label="Amount" value=amount unit=unit error=wrong.at("amount") />
                    <DateField label="Day" value=day error=wrong.at("day") />
                </div>
                <TextField label="A word about it" value=word error=wrong.at("word") help="Cash, transfer, in kind." />
                <WrongWhole wrong=wrong />
                <SendButton words="Write it into the ledger" />
            </Form>
        </Sheet>
    }
}
