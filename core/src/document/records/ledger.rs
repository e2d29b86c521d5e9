//! A year's money: bulk orders and what each member owes or paid.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};

use crate::document::ids::{BedId, EntryId, MemberId, OrderId};
use crate::quantities::{Area, Day, Mass, Money, Rate};
use crate::shares::Account;

/// A bulk load bought together and shared by bed area.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Order {
    /// What the load is, such as ground limestone.
    pub material: String,
    /// How much goes on how much ground.
    pub rate: Rate,
    /// The rate as it was typed, so that the working can repeat it.
    pub rate_as_typed: String,
    /// Where the rate comes from: a soil test, a handbook.
    #[serde(default)]
    pub rate_source: String,
    /// How much is in one bag.
    pub bag: Mass,
    /// What one bag costs.
    pub bag_price: Money,
    /// What bringing it costs.
    #[serde(default)]
    pub delivery: Money,
    /// Beds that get nothing of it.
    #[serde(default)]
    pub beds_left_out: BTreeMap<BedId, bool>,
    /// When and where it comes, in words.
    #[serde(default)]
    pub arrives: String,
    /// The shares, once the coordinator has closed it.
    #[serde(default)]
    pub closed: Option<ClosedOrder>,
    /// The day it was called off, if it was.
    #[serde(default)]
    pub ended_on: Option<Day>,
}

impl Order {
    /// Whether it can still be changed.
    pub fn is_open(&self) -> bool {
        self.closed.is_none() && self.ended_on.is_none()
    }
}

/// The frozen shares of a closed order, with the areas they came from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClosedOrder {
    /// The day it was closed.
    pub on: Day,
    /// How much all beds need.
    pub need: Mass,
    /// How many bags were bought.
    pub bags: i64,
    /// What the whole costs, delivery included.
    pub total: Money,
    /// What each bed gets.
    pub beds: BTreeMap<BedId, ClosedBed>,
    /// What each member, and the garden, gets and pays.
    pub shares: BTreeMap<Payer, ClosedShare>,
}

/// One bed's part of a closed order.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClosedBed {
    /// Its label on that day.
    pub label: String,
    /// Its area on that day.
    pub area: Area,
    /// What it gets.
    pub mass: Mass,
    /// Who held it on that day, with their parts.
    #[serde(default)]
    pub holders: BTreeMap<MemberId, u32>,
}

/// One account's part of a closed order.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClosedShare {
    /// The name on that day.
    pub name: String,
    /// The area it came from.
    pub area: Area,
    /// What it gets by weight.
    pub mass: Mass,
    /// What it gets in whole bags, when bags are not opened.
    pub bags: i64,
    /// Its part of the goods.
    pub goods: Money,
    /// Its part of the delivery.
    pub delivery: Money,
    /// What it pays.
    pub pays: Money,
}

/// Whose account an amount is on: a member's, or the garden's own, written `garden`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Payer {
    /// The garden's own account, which carries the common beds.
    Garden,
    /// A member.
    Member(MemberId),
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
            Self::Garden => f.write_str("garden"),
            Self::Member(member) => member.fmt(f),
        }
    }
}

impl FromStr for Payer {
    type Err = uuid::Error;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        if text == "garden" {
            Ok(Self::Garden)
        } else {
            text.parse().map(Self::Member)
        }
    }
}

impl Serialize for Payer {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Payer {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?
            .parse()
            .map_err(D::Error::custom)
    }
}

/// A line of the ledger. It is never changed; a mistake is put right by an entry that reverses it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// On whose account.
    pub payer: Payer,
    /// What happened.
    pub kind: EntryKind,
    /// How much; always more than nothing.
    pub amount: Money,
    /// On which day.
    pub day: Day,
    /// For which order, if for one.
    #[serde(default)]
    pub order: Option<OrderId>,
    /// The entry that this one takes back.
    #[serde(default)]
    pub reverses: Option<EntryId>,
    /// Who wrote it.
    pub written_by: MemberId,
    /// A word about it.
    #[serde(default)]
    pub word: String,
}

/// What an entry records.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EntryKind {
    /// The member paid the garden.
    Payment,
    /// The garden paid the member back.
    PaidBack,
}
