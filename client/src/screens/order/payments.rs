//! Who has paid for a closed load: a line each, never changed; a mistake is taken back by a further line.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::balance::{self, Balance, BalanceLine, EntryLine, LineFrom};
use selion_core::document::ids::{EntryId, OrderId};
use selion_core::document::records::{EntryKind, Payer};
use selion_core::policy::{Action, may_see_balance};
use selion_core::quantities::{BadInput, Currency, Day, Money};

use super::Shown;
use crate::parts::{
    ActKind, Choice, FigureRow, TagKind, act, acts, amount_field, date_field, figures, form, line,
    lines, select_field, send_button, sheet, tag, text_field, use_toasts,
};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, signal_of, watch, when};
use crate::plain::wording::{capital, day_words};
use crate::screens::form::{Wrong, wrong_whole};
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

/// Somebody paid the supplier's bill.
const LAID_OUT: &str = "laid_out";

type Accounts = Memo<Vec<AccountOfLoad>>;

/// The table of what is paid, as far as whoever looks sees it, the payments, and the form that records one.
pub fn payments(shown: Shown, looker: Looker) -> Piece {
    let book = use_book();
    let accounts: Accounts = memo(move || {
        let garden = book.garden.read();
        let me = looker.me();
        let frozen = shown.with(|order| order.frozen().cloned()).flatten();
        let mut accounts: Vec<AccountOfLoad> = frozen
            .iter()
            .flat_map(|frozen| &frozen.accounts)
            .filter(|(payer, _)| me.is_some_and(|me| may_see_balance(&garden, me, **payer)))
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
    let recording = signal_of(false);
    let refused = derived(move || book.why_not(Action::RecordPayment, true));
    pieces![
        paid_table(shown, accounts),
        entries(shown, accounts),
        acts().child(act("Record a payment", move || recording.set(true)).refused(refused)),
        record_sheet(shown, accounts, recording)
    ]
}

fn paid_table(shown: Shown, accounts: Accounts) -> Piece {
    let book = use_book();
    let money = move |amount: Money| {
        book.currency()
            .map(|currency| amount.show(currency))
            .unwrap_or_default()
    };
    let rows = derived(move || {
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
    let whole = derived(move || {
        // A sum over some of the accounts is no whole.
        let all = shown.with(|order| order.frozen().map(|frozen| frozen.accounts.len()));
        if all.flatten() != Some(accounts.read().len()) {
            return Vec::new();
        }
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
    figures("Paid so far", heads, rows).whole(whole).into()
}

fn entries(shown: Shown, accounts: Accounts) -> Piece {
    let rows = memo(move || {
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
        move |(name, mine, line): (String, bool, BalanceLine)| entry_line(shown, &name, mine, line);
    when(
        move || !rows.read().is_empty(),
        move || lines().child(move || rows.get().into_iter().map(one).collect::<Piece>()),
    )
    .into()
}

fn entry_line(shown: Shown, name: &str, mine: bool, entered: BalanceLine) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let words = entered.words();
    let LineFrom::Entry(EntryLine {
        entry,
        takes_back,
        taken_back,
        word,
        with,
        ..
    }) = entered.from
    else {
        return Piece::Nothing;
    };
    let amount = Money::from_minor(entered.adds.minor().checked_abs().unwrap_or(i64::MAX));
    let figure = move || book.currency().map(|currency| amount.show(currency));
    let small = derived(move || {
        let day = capital(&day_words(entered.day, book.today.get()));
        let word = Some(word.clone()).filter(|word| !word.is_empty());
        [Some(day), word]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" · ")
    });
    let take_back = move || {
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
    let counts = entered.counts;
    let confirm_it = move || {
        let edit = Edit::ConfirmEntry { entry };
        pen.write(shown.document(), edit, "Confirmed: it counts now.");
    };
    let may_confirm = move || {
        let to_me = book.me.get().is_some_and(|me| with == Payer::Member(me));
        !counts && !taken_back && book.may(Action::ConfirmEntry, to_me)
    };
    let confirmed = format!("Confirm: {words}, {name}");
    Piece::from(
        line(format!("{words}: {name}"))
            .bed("paid")
            .small(small)
            .mine(mine)
            .done(taken_back)
            .child(figure)
            .child(taken_back.then(|| tag("taken back", TagKind::Stop)))
            .child(when(may_confirm, move || {
                act("Confirm", confirm_it)
                    .spoken(confirmed.clone())
                    .kind(ActKind::Bare)
            }))
            .child(when(may_take_back, move || {
                act("Take back", take_back)
                    .spoken(spoken.clone())
                    .kind(ActKind::Bare)
            })),
    )
}

/// A payment as it is being typed.
#[derive(Clone, Copy)]
struct PaymentDraft {
    payer: RwSignal<String>,
    kind: RwSignal<String>,
    amount: RwSignal<String>,
    day: RwSignal<String>,
    word: RwSignal<String>,
}

impl PaymentDraft {
    fn new() -> Self {
        let [payer, kind, amount, day, word] = std::array::from_fn(|_| signal_of(String::new()));
        Self {
            payer,
            kind,
            amount,
            day,
            word,
        }
    }

    /// Begins with whoever owes something, today.
    fn begin(self, today: Day, accounts: Accounts) {
        self.kind.set("payment".to_owned());
        self.day.set(today.to_string());
        self.word.set(String::new());
        let accounts = accounts.read_untracked();
        let first = accounts
            .iter()
            .find(|account| account.balance.owed.is_positive());
        let payer = first.map(|account| account.payer.to_string());
        self.payer.set(payer.unwrap_or_default());
    }

    /// Most people pay what they owe, and whoever pays the supplier mostly pays the whole bill.
    fn offer_an_amount(self, shown: Shown, accounts: Accounts, currency: Option<Currency>) {
        let chosen = self.payer.get();
        if self.kind.get() == LAID_OUT {
            let bill = shown.with(|order| order.frozen().map(|frozen| frozen.total));
            if let Some((bill, currency)) = untrack(|| bill.flatten()).zip(currency) {
                self.amount.set(bill.show_number(currency));
            }
            return;
        }
        let accounts = accounts.read_untracked();
        let account = accounts
            .iter()
            .find(|account| account.payer.to_string() == chosen);
        let owed = account.map(|account| account.balance.owed);
        if let (Some(owed), Some(currency)) = (owed.filter(|owed| owed.is_positive()), currency) {
            self.amount.set(owed.show_number(currency));
        }
    }

    fn read(
        self,
        wrong: Wrong,
        currency: Currency,
        entry: EntryId,
        order: OrderId,
    ) -> Option<Edit> {
        let payer = self.payer.get_untracked().parse::<Payer>();
        let payer = payer.map_err(|_not_an_id| BadInput::new("account", "one of the accounts", ""));
        let payer = wrong.take("account", payer);
        let amount = Money::parse(&self.amount.get_untracked(), currency);
        let amount = wrong.take("amount", amount);
        let day = wrong.take("day", Day::parse(&self.day.get_untracked()));
        let payer = payer?;
        let what = self.kind.get_untracked();
        // What the garden pays goes to the supplier, what a member pays to the garden unless they paid the bill.
        let (other, kind) = match payer {
            Payer::Member(_) if what != LAID_OUT => (Payer::Garden, EntryKind::Payment),
            Payer::Member(_) | Payer::Garden | Payer::Supplier => {
                (Payer::Supplier, EntryKind::Outlay)
            }
        };
        let (from, to) = if what == "paid_back" {
            (other, payer)
        } else {
            (payer, other)
        };
        Some(Edit::AddEntry {
            entry,
            from,
            to,
            kind,
            amount: amount?,
            day: day?,
            order: Some(order),
            word: self.word.get_untracked().trim().to_owned(),
        })
    }
}

fn record_sheet(shown: Shown, accounts: Accounts, open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let draft = PaymentDraft::new();
    let wrong = Wrong::new(&["account", "amount", "day", "word"]);
    watch(move || {
        if open.get() {
            wrong.clear();
            draft.begin(book.today.get_untracked(), accounts);
        }
    });
    watch(move || draft.offer_an_amount(shown, accounts, untrack(|| book.currency())));
    let send = move || {
        wrong.clear();
        let Some(currency) = untrack(|| book.currency()) else {
            return;
        };
        let entry = book.fresh(EntryId::fresh);
        if let Some(edit) = draft.read(wrong, currency, entry, shown.order)
            && wrong.write(book, shown.document(), edit)
        {
            toasts.say("Written into the ledger.");
            open.set(false);
        }
    };
    let choices = derived(move || {
        let choice =
            |account: &AccountOfLoad| Choice::new(account.payer.to_string(), account.name.clone());
        let mut choices = vec![Choice::new("", "Choose")];
        choices.extend(accounts.read().iter().map(choice));
        choices
    });
    let unit = derived(move || {
        book.currency()
            .map(|currency| currency.code().to_owned())
            .unwrap_or_default()
    });
    let kinds = Signal::stored(vec![
        Choice::new("payment", "Paid"),
        Choice::new("paid_back", "Had back"),
        Choice::new(LAID_OUT, "Laid out to the supplier"),
    ]);
    sheet(open, "Record a payment", move || {
        form(send)
            .child(select_field("Whose", draft.payer, choices).error(wrong.at("account")))
            .child(select_field("What happened", draft.kind, kinds))
            .child(
                el("div")
                    .class("pair")
                    .child(amount_field("Amount", draft.amount, unit).error(wrong.at("amount")))
                    .child(date_field("Day", draft.day).error(wrong.at("day"))),
            )
            .child(
                text_field("A word about it", draft.word)
                    .error(wrong.at("word"))
                    .help("Cash, transfer, in kind."),
            )
            .child(wrong_whole(wrong))
            .child(send_button("Write it into the ledger"))
    })
}
