//! A year's money beside its orders: payments and other entries, and what was carried over from the year before.

use std::fmt;
use std::str::FromStr;

use crate::document::ids::{EntryId, MemberId, OrderId};
use crate::json::{form, record, words};
use crate::ordered::Map;
use crate::quantities::{Day, Money};
use crate::shares::Account;

/// Whose account an amount is on: a member's, the garden's own, written `garden`, or that of all suppliers together,
/// written `supplier`. What one account owes more, another owes less, so all together are always nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Payer {
    /// A member.
    Member(MemberId),
    /// The garden's own account, which carries the common beds and holds the money box.
    #[default]
    Garden,
    /// Everybody outside that something was bought from.
    Supplier,
}

impl From<Account<MemberId>> for Payer {
    fn from(account: Account<MemberId>) -> Self {
        match account {
            Account::Garden => Self::Garden,
            Account::Member(member) => Self::Member(member),
        }
    }
}

impl fmt::Display for Payer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Member(member) => member.fmt(f),
            Self::Garden => f.write_str("garden"),
            Self::Supplier => f.write_str("supplier"),
        }
    }
}

impl FromStr for Payer {
    type Err = uuid::Error;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text {
            "garden" => Ok(Self::Garden),
            "supplier" => Ok(Self::Supplier),
            member => member.parse().map(Self::Member),
        }
    }
}

form!(Payer: text);

/// A line of the ledger: something worth so much went from one account to another. It is never changed; a mistake is put
/// right by an entry that reverses it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Who gave it, and owes so much less.
    pub from: Payer,
    /// Who had it, and owes so much more.
    pub to: Payer,
    /// What happened.
    pub kind: EntryKind,
    /// How much; always more than nothing.
    pub amount: Money,
    /// On which day.
    pub day: Day,
    /// For which order, if for one.
    pub order: Option<OrderId>,
    /// The entry that this one takes back.
    pub reverses: Option<EntryId>,
    /// Who wrote it.
    pub written_by: MemberId,
    /// Who says that it is so: whoever was paid, or a coordinator. Until then it does not count.
    pub confirmed_by: Option<MemberId>,
    /// An earlier entry between the same two of the same day and amount: perhaps the same payment once more.
    pub looks_like: Option<EntryId>,
    /// A word about it.
    pub word: String,
}

record!(Entry {
    from,
    to,
    kind,
    amount,
    day,
    order,
    reverses,
    written_by,
    confirmed_by,
    looks_like,
    word = default,
});

/// What an entry records.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EntryKind {
    /// Money changed hands between members and the garden.
    Payment,
    /// Somebody laid money out to the supplier, or had some back.
    Outlay,
    /// Work stands for money.
    HoursInLieu,
    /// Something else was put right, as the word says.
    Adjustment,
}

words!(EntryKind {
    "payment" => Payment,
    "outlay" => Outlay,
    "hours_in_lieu" => HoursInLieu,
    "adjustment" => Adjustment,
});

impl EntryKind {
    /// Every kind.
    pub const ALL: [Self; 4] = [
        Self::Payment,
        Self::Outlay,
        Self::HoursInLieu,
        Self::Adjustment,
    ];
}

/// Something that the coordinators are asked about money or a load, such as a wish that came after an order was closed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Request {
    /// About which order, if about one.
    pub about: Option<OrderId>,
    /// Who asks.
    pub asked_by: MemberId,
    /// On which day.
    pub day: Day,
    /// What is asked.
    pub text: String,
    /// How it was settled; nothing while it waits.
    pub answer: Option<Answer>,
}

record!(Request {
    about,
    asked_by,
    day,
    text,
    answer
});

/// How a request was settled: by a coordinator, or by whoever asked and needs no answer any more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Who settled it.
    pub by: MemberId,
    /// On which day.
    pub on: Day,
    /// What they said.
    pub word: String,
}

record!(Answer { by, on, word = default });

/// What every account owed when a year was carried over; it stands in the ledger of the year after.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opening {
    /// The year before.
    pub from: i16,
    /// The day it was carried over.
    pub on: Day,
    /// What each account owed, below nothing for what it was owed; they sum to nothing.
    pub balances: Map<Payer, Money>,
    /// Who carried it over.
    pub written_by: MemberId,
}

record!(Opening {
    from,
    on,
    balances,
    written_by
});
