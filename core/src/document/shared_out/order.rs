//! An order of the records as a case for the arithmetic, and its shares as they stand.

use super::mark::Mark;
use super::{beds, frozen, payer_name};
use crate::document::Garden;
use crate::document::ids::{BedId, MemberId};
use crate::document::records::{AmountsFrom, CameOf, Order, OrderLine, Pack, Payer};
use crate::ordered::Map;
use crate::quantities::{Amount, CountedIn, Day, Money, Spread};
use crate::reckoning::{Reckoning, Refusal};
use crate::shares::buying::{self, Offer};
use crate::shares::order::{
    self as shares, AccountShare, BedPart, LineCase, Need, OrderCase, OrderShares, ShareRule,
};
use crate::shares::{Account, LoadBed};

/// An order of a garden, ready to be shared.
pub type Case = OrderCase<BedId, MemberId>;
/// An order of a garden, shared out.
pub type Shares = OrderShares<BedId, MemberId>;

/// An order as it stands: as it would be shared now while it is open, as it was frozen once it is closed.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// What was shared.
    pub case: Case,
    /// The shares with the working of the whole.
    pub answer: Reckoning<Shares>,
    /// The day it was closed, if it was.
    pub closed_on: Option<Day>,
    /// What every account is called; as it was called when the order was closed.
    pub names: Map<Payer, String>,
}

impl Standing {
    /// The shares.
    pub fn shares(&self) -> &Shares {
        &self.answer.result
    }

    /// One account's part.
    pub fn part(&self, payer: Payer) -> Option<&AccountShare<MemberId>> {
        let accounts = &self.answer.result.accounts;
        accounts
            .iter()
            .find(|share| Payer::from(share.account) == payer)
    }

    /// The working of one account.
    pub fn working(&self, payer: Payer) -> Option<Reckoning<Money>> {
        let share = self.part(payer)?;
        let working = shares::account_working(&self.case, self.shares(), share);
        Some(match self.closed_on {
            None => working,
            Some(on) => working.on(frozen_words(on)),
        })
    }

    /// What an account is called.
    pub fn name(&self, payer: Payer) -> &str {
        self.names
            .get(&payer)
            .map_or("somebody unknown", String::as_str)
    }
}

pub(super) fn frozen_words(on: Day) -> String {
    format!("Frozen on {on}, with the areas, holders and rules of that day.")
}

/// The shares of an order: over the garden as it is now, or as they were frozen.
pub fn standing(garden: &Garden, order: &Order) -> Result<Standing, Refusal> {
    if let Some(closed) = &order.closed {
        return frozen::standing(garden, order, closed);
    }
    let case = order_case(garden, order)?;
    let answer = shares::share(&case)?;
    let accounts = answer.result.accounts.iter();
    let names = accounts.map(|share| {
        let payer = Payer::from(share.account);
        (payer, payer_name(garden, payer))
    });
    Ok(Standing {
        names: names.collect(),
        case,
        answer,
        closed_on: None,
    })
}

/// The shares of an order over the garden as it is now.
pub fn order(garden: &Garden, order: &Order) -> Result<Reckoning<Shares>, Refusal> {
    shares::share(&order_case(garden, order)?)
}

/// An order over the garden as it is now, as a case for the arithmetic.
pub fn order_case(garden: &Garden, order: &Order) -> Result<Case, Refusal> {
    case_over(garden, order, beds(garden))
}

pub(super) fn case_over(
    garden: &Garden,
    order: &Order,
    beds: Vec<LoadBed<BedId, MemberId>>,
) -> Result<Case, Refusal> {
    let profile = garden
        .profile
        .as_ref()
        .ok_or_else(|| Refusal::bad("garden", "a garden with its profile", ""))?;
    let wishes = |id| order.wishes.get(id);
    let lines = order
        .lines
        .iter()
        .map(|(id, line)| line_case(line, &beds, wishes(id)))
        .collect();
    Ok(OrderCase {
        beds,
        lines,
        delivery: order.delivery,
        delivery_rule: order.delivery_rule,
        deposit: order.deposit,
        currency: profile.currency,
        units: profile.units,
    })
}

fn line_case(
    line: &OrderLine,
    beds: &[LoadBed<BedId, MemberId>],
    wishes: Option<&Map<Payer, Amount>>,
) -> LineCase<MemberId> {
    let need = match line.amounts {
        AmountsFrom::Beds if line.counted_in == CountedIn::Volume => {
            Need::Spread(Spread::Layer(line.layer))
        }
        AmountsFrom::Beds => Need::Spread(Spread::Weight(line.rate)),
        AmountsFrom::Even => Need::Even(line.whole),
        AmountsFrom::Wishes => {
            let asked = wishes.into_iter().flatten();
            Need::Asked(
                asked
                    .filter_map(|(payer, amount)| Some((account(*payer)?, *amount)))
                    .collect(),
            )
        }
    };
    let bed_part = |bed: &LoadBed<BedId, MemberId>| match line.own.get(&bed.bed) {
        _ if line.leaves_out(bed.bed) => BedPart::LeftOut,
        Some(own) => BedPart::Own(*own),
        None => BedPart::ByRule,
    };
    LineCase {
        material: line.material.clone(),
        counted_in: line.counted_in,
        need,
        beds: beds.iter().map(bed_part).collect(),
        none_for: Vec::new(),
        offers: line.packs.values().map(offer).collect(),
        loose: line.loose,
        hand_out: line.hand_out,
        rule: line.rule,
        left_over: line.left_over,
        delivered: None,
    }
}

fn offer(pack: &Pack) -> Offer {
    let breaks = pack.breaks.iter();
    Offer {
        size: pack.size,
        price: pack.price,
        breaks: breaks
            .map(|(from, price)| (i64::from(from.get()), *price))
            .collect(),
    }
}

/// What so much of a line costs by the prices of the order: packs by their counts, loose material by its amount.
pub fn price_of(line: &OrderLine, came: &CameOf) -> Result<Money, Refusal> {
    let offers: Vec<Offer> = line.packs.values().map(offer).collect();
    if line.loose {
        return buying::billed_loose(&offers, came.amount);
    }
    let count = |key| came.counts.get(key).copied().unwrap_or(0);
    let counts = line.packs.keys().map(count).collect();
    Ok(buying::billed(&offers, counts)?.goods)
}

/// The account in the arithmetic of shares; suppliers have no share.
pub(super) fn account(payer: Payer) -> Option<Account<MemberId>> {
    match payer {
        Payer::Member(member) => Some(Account::Member(member)),
        Payer::Garden => Some(Account::Garden),
        Payer::Supplier => None,
    }
}

/// What one account pays by two rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Compared {
    /// Whose.
    pub payer: Payer,
    /// What it pays by the first rule.
    pub one: Money,
    /// What it pays by the other.
    pub other: Money,
}

impl Compared {
    /// How much more the other rule asks; below nothing for less.
    pub fn difference(&self) -> Money {
        self.other.checked_sub(self.one).unwrap_or(Money::ZERO)
    }
}

/// What everybody pays if every line is shared by the one rule or by the other.
pub fn compare(
    garden: &Garden,
    order: &Order,
    (one, other): (ShareRule, ShareRule),
) -> Result<Vec<Compared>, Refusal> {
    let by = |rule: ShareRule| {
        let mut case = order_case(garden, order)?;
        for line in &mut case.lines {
            line.rule = rule;
        }
        shares::share(&case)
    };
    let (one, other) = (by(one)?.result, by(other)?.result);
    let pays = |shares: &Shares, payer: Payer| {
        let mut accounts = shares.accounts.iter();
        let found = accounts.find(|share| Payer::from(share.account) == payer);
        found.map_or(Money::ZERO, |share| share.pays)
    };
    // Everybody takes part by either rule; only what they pay differs.
    let accounts = one.accounts.iter().map(|share| Payer::from(share.account));
    Ok(accounts
        .map(|payer| Compared {
            payer,
            one: pays(&one, payer),
            other: pays(&other, payer),
        })
        .collect())
}

/// A mark of the shares of an order: it differs when anything that an account gets or pays differs.
pub fn mark_of_order(shares: &Shares) -> String {
    let mut mark = Mark::new();
    mark.number(shares.total.minor());
    mark.number(shares.delivery.minor());
    mark.number(shares.deposit.minor());
    for line in &shares.lines {
        mark.number(line.need.count());
        mark.number(line.bought.count());
        mark.number(line.goods.minor());
        for count in &line.counts {
            mark.number(*count);
        }
        for part in &line.beds {
            mark.bytes(part.bed.as_bytes());
            mark.number(part.area.mm2());
            mark.number(part.amount.count());
        }
    }
    for share in &shares.accounts {
        mark.payer(Payer::from(share.account));
        mark.number(share.area.mm2());
        mark.number(share.pays.minor());
        mark.number(share.deposit.minor());
        for part in &share.lines {
            mark.number(part.need.count());
            mark.number(part.amount.count());
            mark.number(part.goods.minor());
            for count in &part.packs {
                mark.number(*count);
            }
        }
    }
    mark.text()
}
