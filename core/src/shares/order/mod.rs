//! A bulk order of several materials shared among those who take of it: who gets how much, and who pays what.
//!
//! Line by line, each with its own rules, all of which stand in the working too:
//!
//! 1. What everybody needs: by a rate over their beds, by what they asked for, or an even split of a whole by bed area.
//! 2. What is bought: the cheapest packs that cover the need ([`super::buying`]), or loose.
//! 3. Who gets it. What is bought above the need goes to the garden's shed or to all by what they need; what comes short
//!    is missing for everybody in proportion. Whole packs are handed out by largest remainder, the largest packs first.
//! 4. Who pays the goods: by need, by bed area, by what each takes home, or everybody the same.
//!
//! The delivery has a rule of its own. Every column adds up to the bill. Ties go to the larger, then to whoever stands
//! earlier in the order of accounts (members by their ids, the garden last), never by the order in which they came in.

mod line;
#[cfg(test)]
mod tests;
mod working;

use serde::{Deserialize, Serialize};

use super::accounts::{Account, Holding, LoadBed, holdings};
use super::apportion::apportion;
use super::buying::{HIGHEST, Offer};
use super::delivery::{self, DeliveryRule};
use crate::json::words;
use crate::quantities::{Amount, Area, CountedIn, Currency, Mass, Money, Spread, Units};
use crate::reckoning::{Reckoning, Refusal};

pub use working::{account_working, explained};

/// The most lines of one order.
pub const MOST_LINES: usize = 40;
/// The most people that share one order.
const MOST_ACCOUNTS: usize = 2_000;

/// An order to be shared.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OrderCase<B, M> {
    /// The beds that may take part.
    pub beds: Vec<LoadBed<B, M>>,
    /// What is bought.
    pub lines: Vec<LineCase<M>>,
    /// What it costs to bring it all.
    pub delivery: Money,
    /// How that is divided.
    pub delivery_rule: DeliveryRule,
    /// What the supplier wants ahead, as a part of the bill.
    pub deposit: Money,
    /// The garden's currency.
    pub currency: Currency,
    /// The garden's units, for the working.
    pub units: Units,
}

/// One material of an order.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LineCase<M> {
    /// What it is, in the garden's words: "Ground limestone".
    pub material: String,
    /// What its amounts are counted in.
    pub counted_in: CountedIn,
    /// Where the amounts come from.
    pub need: Need<M>,
    /// How each bed takes part, in the order of the beds; by the rule where the list is shorter.
    pub beds: Vec<BedPart>,
    /// Accounts that get none of it after all.
    pub none_for: Vec<Account<M>>,
    /// The sizes it can be bought in; of loose material, the price for an amount.
    pub offers: Vec<Offer>,
    /// Bought and handed out by the amount, not in packs.
    pub loose: bool,
    /// Packs are opened and everybody gets their amount, or they are handed out whole.
    pub hand_out: HandOut,
    /// Who pays for it.
    pub rule: ShareRule,
    /// Who gets what is bought above the need.
    pub left_over: LeftOver,
    /// What really came, where that is known; it takes the place of what would be bought.
    pub delivered: Option<Delivered>,
}

/// Where the amounts of a line come from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Need<M> {
    /// So much on the ground, over the summed area of the beds that take part.
    Spread(Spread),
    /// What each account asked for.
    Asked(Vec<(Account<M>, Amount)>),
    /// A whole, split evenly by bed area.
    Even(Amount),
}

/// How one bed takes part in a line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum BedPart {
    /// By the line's rate or split.
    #[default]
    ByRule,
    /// With an amount of its own, such as from its soil test.
    Own(Amount),
    /// Not at all.
    LeftOut,
}

/// How a material is handed out.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum HandOut {
    /// Packs are opened; everybody gets their amount.
    #[default]
    Loose,
    /// Packs stay closed; everybody gets whole ones.
    WholePacks,
}

words!(HandOut { "loose" => Loose, "whole_packs" => WholePacks });

/// How the price of a material is divided.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum ShareRule {
    /// By what each needs; what is left over is paid by all alike.
    #[default]
    Need,
    /// By bed area.
    Area,
    /// By what each takes home, left-overs included.
    Taken,
    /// The same for everybody who takes part.
    Equal,
}

words!(ShareRule { "need" => Need, "area" => Area, "taken" => Taken, "equal" => Equal });

/// Who gets what is bought above the need.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum LeftOver {
    /// The garden: it stays in the shed.
    #[default]
    Garden,
    /// Everybody, by what they need.
    Shared,
}

words!(LeftOver { "garden" => Garden, "shared" => Shared });

/// What came of a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Delivered {
    /// How many packs of each offer; empty for loose material.
    pub counts: Vec<i64>,
    /// The whole amount; of packs, what the counts hold.
    pub amount: Amount,
    /// What the supplier asks for it.
    pub goods: Money,
}

impl ShareRule {
    /// Every rule, the commonest first.
    pub const ALL: [Self; 4] = [Self::Need, Self::Area, Self::Taken, Self::Equal];

    /// The rule for people.
    pub fn words(self) -> &'static str {
        match self {
            Self::Need => "by what each needs",
            Self::Area => "by bed area",
            Self::Taken => "by what each takes home",
            Self::Equal => "the same for everybody who takes part",
        }
    }
}

/// An order shared out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OrderShares<B, M> {
    /// The lines, in the order of the case.
    pub lines: Vec<LineShares<B>>,
    /// What each account gets and pays: members by id, then the garden. Every column sums to the whole.
    pub accounts: Vec<AccountShare<M>>,
    /// The price of all goods.
    pub goods: Money,
    /// The price of bringing them.
    pub delivery: Money,
    /// Both together.
    pub total: Money,
    /// What is paid ahead, as a part of the whole.
    pub deposit: Money,
}

/// One line shared out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LineShares<B> {
    /// What everybody needs together.
    pub need: Amount,
    /// How many packs of each offer are bought; empty for loose material.
    pub counts: Vec<i64>,
    /// What each offer costs at that count.
    pub each: Vec<Money>,
    /// What is bought in all.
    pub bought: Amount,
    /// What is bought above the need.
    pub left_over: Amount,
    /// What it costs.
    pub goods: Money,
    /// The ground of those who take part.
    pub area: Area,
    /// What goes on each bed that takes part; empty where amounts are asked for. Sums to the need.
    pub beds: Vec<BedAmount<B>>,
}

/// What goes on one bed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BedAmount<B> {
    /// Which bed.
    pub bed: B,
    /// Its area.
    pub area: Area,
    /// What goes on it.
    pub amount: Amount,
}

/// What one account gets and pays.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AccountShare<M> {
    /// Whose.
    pub account: Account<M>,
    /// Their ground, all beds together.
    pub area: Area,
    /// Their part of each line, in the order of the lines.
    pub lines: Vec<LinePart>,
    /// Their part of the goods.
    pub goods: Money,
    /// Their part of the delivery.
    pub delivery: Money,
    /// What they pay.
    pub pays: Money,
    /// What of that is asked for ahead.
    pub deposit: Money,
}

/// One account's part of a line.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct LinePart {
    /// What they need.
    pub need: Amount,
    /// The ground that counts for it.
    pub area: Area,
    /// What they take home.
    pub amount: Amount,
    /// How many packs of each offer they take, when packs are handed out whole.
    pub packs: Vec<i64>,
    /// What they pay for it, without delivery.
    pub goods: Money,
}

impl LinePart {
    /// Whether there is nothing of this line for the account.
    pub fn is_nothing(&self) -> bool {
        self.need.is_zero() && self.amount.is_zero() && self.goods.is_zero()
    }
}

/// Shares an order out.
///
/// ```
/// use selion_core::quantities::{Amount, CountedIn, Currency, Money, Units};
/// use selion_core::shares::Account;
/// use selion_core::shares::buying::Offer;
/// use selion_core::shares::delivery::DeliveryRule;
/// use selion_core::shares::order::{HandOut, LeftOver, LineCase, Need, OrderCase, ShareRule, share};
///
/// let dollars = Currency::new("USD")?;
/// let asked = [("Ines", 3), ("Wren", 1)].map(|(who, count)| (Account::Member(who), Amount::from_count(count)));
/// let straw = LineCase {
///     material: "Straw bales".to_owned(),
///     counted_in: CountedIn::Pieces,
///     need: Need::Asked(asked.to_vec()),
///     beds: Vec::new(),
///     none_for: Vec::new(),
///     offers: vec![Offer { size: Amount::from_count(1), price: Money::parse("6.50", dollars)?, breaks: Vec::new() }],
///     loose: false,
///     hand_out: HandOut::WholePacks,
///     rule: ShareRule::Taken,
///     left_over: LeftOver::Garden,
///     delivered: None,
/// };
/// let case = OrderCase::<&str, &str> {
///     beds: Vec::new(),
///     lines: vec![straw],
///     delivery: Money::parse("5.01", dollars)?,
///     delivery_rule: DeliveryRule::Equally,
///     deposit: Money::ZERO,
///     currency: dollars,
///     units: Units::Metric,
/// };
/// let shares = share(&case)?.result;
/// let pays: Vec<String> = shares.accounts.iter().map(|share| share.pays.show(dollars)).collect();
/// assert_eq!(pays, ["$22.01", "$9.00"]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn share<B, M>(case: &OrderCase<B, M>) -> Result<Reckoning<OrderShares<B, M>>, Refusal>
where
    B: Clone + PartialEq,
    M: Clone + Ord,
{
    check(case)?;
    let ground = Ground::of(case)?;
    let mut accounts: Vec<AccountShare<M>> = ground
        .accounts
        .iter()
        .map(|(account, holding)| AccountShare {
            account: account.clone(),
            area: holding.as_ref().map_or(Area::ZERO, Holding::area),
            lines: Vec::with_capacity(case.lines.len()),
            goods: Money::ZERO,
            delivery: Money::ZERO,
            pays: Money::ZERO,
            deposit: Money::ZERO,
        })
        .collect();
    let mut lines = Vec::with_capacity(case.lines.len());
    for one in &case.lines {
        let (line, parts) = line::share(case, one, &ground)
            .map_err(|refusal| line::named(&one.material, refusal))?;
        lines.push(line);
        for (account, part) in accounts.iter_mut().zip(parts) {
            account.lines.push(part);
        }
    }
    accounts.retain(|account| !account.lines.iter().all(LinePart::is_nothing));
    if accounts.is_empty() {
        return Err(Refusal::bad(
            "amounts",
            "an amount of at least one material for somebody",
            "none",
        ));
    }
    let goods = bill(lines.iter().map(|line| line.goods))?;
    let total = bill([goods, case.delivery].into_iter())?;
    divide_fees(case, &mut accounts, total)?;
    let shares = OrderShares {
        lines,
        accounts,
        goods,
        delivery: case.delivery,
        total,
        deposit: case.deposit,
    };
    Ok(explained(case, shares))
}

/// The accounts of an order, each with its beds.
struct Ground<M> {
    /// Members by id, then the garden, which is always there.
    accounts: Vec<(Account<M>, Option<Holding<M>>)>,
}

impl<M: Clone + Ord> Ground<M> {
    fn of<B: PartialEq>(case: &OrderCase<B, M>) -> Result<Self, Refusal> {
        let mut accounts: Vec<(Account<M>, Option<Holding<M>>)> = Vec::new();
        if !case.beds.is_empty() {
            let holdings = holdings(&case.beds)?;
            accounts.extend(
                holdings
                    .into_iter()
                    .map(|one| (one.account.clone(), Some(one))),
            );
        }
        accounts.push((Account::Garden, None));
        for line in &case.lines {
            if let Need::Asked(asked) = &line.need {
                accounts.extend(asked.iter().map(|(account, _)| (account.clone(), None)));
            }
        }
        // Stable, so that of equals the one with beds, which came first, is kept.
        accounts.sort_by(|(one, _), (other, _)| one.cmp(other));
        accounts.dedup_by(|later, earlier| later.0 == earlier.0);
        if accounts.len() > MOST_ACCOUNTS {
            let came = accounts.len().to_string();
            return Err(Refusal::bad(
                "accounts",
                format!("at most {MOST_ACCOUNTS}"),
                came,
            ));
        }
        Ok(Self { accounts })
    }

    fn place(&self, account: &Account<M>) -> Option<usize> {
        self.accounts
            .binary_search_by(|(one, _)| one.cmp(account))
            .ok()
    }
}

/// The fee and what is paid ahead.
fn divide_fees<B, M>(
    case: &OrderCase<B, M>,
    accounts: &mut [AccountShare<M>],
    total: Money,
) -> Result<(), Refusal> {
    for account in accounts.iter_mut() {
        account.goods = account.lines.iter().map(|part| part.goods).sum();
    }
    if case.delivery.is_positive() {
        let by_weight = |line: &LineCase<M>| line.counted_in == CountedIn::Weight;
        if case.delivery_rule == DeliveryRule::ByWeight
            && let Some(line) = case.lines.iter().find(|line| !by_weight(line))
        {
            return Err(Refusal::bad(
                "delivery by weight",
                "lines that are all counted by weight",
                format!(
                    "{}, which is counted {}",
                    line.material,
                    line.counted_in.word()
                ),
            ));
        }
        let weight = |account: &AccountShare<M>| {
            account
                .lines
                .iter()
                .map(|part| Mass::from_grams(part.need.count()))
                .sum::<Mass>()
        };
        let ordered: Vec<(Money, Mass)> = accounts
            .iter()
            .map(|account| (account.goods, weight(account)))
            .collect();
        let parts = delivery::divide(case.delivery, case.delivery_rule, &ordered)?;
        for (account, minor) in accounts.iter_mut().zip(parts) {
            account.delivery = Money::from_minor(minor);
        }
    }
    for account in accounts.iter_mut() {
        account.pays = [account.goods, account.delivery].into_iter().sum();
    }
    if case.deposit > total {
        let came = case.deposit.show(case.currency);
        return Err(Refusal::bad("deposit", "at most the whole bill", came));
    }
    if case.deposit.is_positive() {
        let pays: Vec<i64> = accounts
            .iter()
            .map(|account| account.pays.minor())
            .collect();
        for (account, minor) in accounts
            .iter_mut()
            .zip(apportion(case.deposit.minor(), &pays)?)
        {
            account.deposit = Money::from_minor(minor);
        }
    }
    Ok(())
}

fn bill(mut parts: impl Iterator<Item = Money>) -> Result<Money, Refusal> {
    parts
        .try_fold(Money::ZERO, Money::checked_add)
        .ok_or_else(|| Refusal::bad("prices", "a bill that can be stored", "more"))
}

fn check<B, M>(case: &OrderCase<B, M>) -> Result<(), Refusal> {
    if case.lines.is_empty() || case.lines.len() > MOST_LINES {
        let came = case.lines.len().to_string();
        return Err(Refusal::bad(
            "lines",
            format!("1 to {MOST_LINES} lines"),
            came,
        ));
    }
    if let Some(line) = case
        .lines
        .iter()
        .find(|line| line.material.trim().is_empty())
    {
        let came = line.material.clone();
        return Err(Refusal::bad(
            "material",
            "a name such as Ground limestone",
            came,
        ));
    }
    for (field, price) in [("delivery", case.delivery), ("deposit", case.deposit)] {
        if !(Money::ZERO..=HIGHEST).contains(&price) {
            return Err(Refusal::bad(
                field,
                "nothing or more, and a price that somebody can pay",
                price.show(case.currency),
            ));
        }
    }
    Ok(())
}
