//! Who pays whom so that nobody owes anything.

use std::fmt;

use super::all;
use crate::document::Garden;
use crate::document::records::Payer;
use crate::document::shared_out::payer_name;
use crate::quantities::{Currency, Money};
use crate::reckoning::{Reckoning, Refusal};
use crate::shares::settle::{self, SettleCase, Settlement};

/// An account by the name that people call it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Party {
    /// Whose account.
    pub payer: Payer,
    /// What it is called.
    pub name: String,
}

impl fmt::Display for Party {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.name)
    }
}

/// The payments after which every account is even, as few as can be told. What was recorded and only waits to be confirmed
/// is not asked for once more.
pub fn settle(
    garden: &Garden,
    currency: Currency,
) -> Result<Reckoning<Settlement<Party>>, Refusal> {
    let balances = all(garden).into_iter().filter_map(|(payer, balance)| {
        let owes = balance.expected();
        let name = payer_name(garden, payer);
        let is_owed = Money::from_minor(owes.minor().saturating_neg());
        (!owes.is_zero()).then_some((Party { payer, name }, is_owed))
    });
    settle::settle(&SettleCase {
        balances: balances.collect(),
        currency,
    })
}
