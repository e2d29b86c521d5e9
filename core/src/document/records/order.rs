//! A bulk order: what is bought, who asked for how much, and the shares once it is closed.

use super::{FrozenShares, Number, Payer};
use crate::document::ids::{BedId, FenceId, LineId, MemberId};
use crate::json::{record, words};
use crate::ordered::Map;
use crate::quantities::{Amount, Area, CountedIn, Day, Depth, Money, Rate};
use crate::shares::delivery::DeliveryRule;
use crate::shares::order::{HandOut, LeftOver, ShareRule};

/// Materials bought together and shared among those who take of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// What people call it.
    pub title: String,
    /// Who sells it.
    pub supplier: String,
    /// What is bought, in the order in which the lines were added.
    pub lines: Map<LineId, OrderLine>,
    /// What was asked for; an answer of nothing is an answer too.
    pub wishes: Map<LineId, Map<Payer, Amount>>,
    /// What bringing it costs.
    pub delivery: Money,
    /// How that is divided.
    pub delivery_rule: DeliveryRule,
    /// What the supplier wants ahead, as a part of the bill.
    pub deposit: Money,
    /// Who buys it and lays the money out.
    pub buyer: Payer,
    /// Until when wishes are hoped for. The coordinator's closing decides, not the day.
    pub closes_on: Option<Day>,
    /// When and where it comes, in words.
    pub arrives: String,
    /// The shares, once the coordinator has closed it.
    pub closed: Option<ClosedOrder>,
    /// What really came and was asked for it, in order of arrival; the last one counts.
    pub invoices: Map<Number, Invoice>,
    /// Who took what home, ticked off on the day.
    pub handed: Map<LineId, Map<Payer, Handed>>,
    /// The fence line that the material is for, where it began from one.
    pub fence: Option<FenceId>,
    /// The day it was called off, if it was.
    pub ended_on: Option<Day>,
}

record!(Order {
    title,
    supplier = default,
    lines = default,
    wishes = default,
    delivery = default,
    delivery_rule = default,
    deposit = default,
    buyer = default,
    closes_on,
    arrives = default,
    closed,
    invoices = default,
    handed = default,
    fence,
    ended_on,
});

/// One material of an order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OrderLine {
    /// What it is, such as ground limestone.
    pub material: String,
    /// What its amounts are counted in.
    pub counted_in: CountedIn,
    /// Where the amounts come from.
    pub amounts: AmountsFrom,
    /// How much goes on how much ground, of what is counted by weight.
    pub rate: Rate,
    /// How thick it lies, of what is counted by volume.
    pub layer: Depth,
    /// The rate or layer as it was typed, so that the working can repeat it.
    pub rate_as_typed: String,
    /// Where it comes from: a soil test, a handbook.
    pub rate_source: String,
    /// Beds with an amount of their own, such as from their soil test.
    pub own: Map<BedId, Amount>,
    /// Beds that get nothing of it.
    pub beds_left_out: Map<BedId, bool>,
    /// The whole that is split evenly by bed area, where it is.
    pub whole: Amount,
    /// The sizes that it is sold in, keyed `1`, `2`, ...; of loose material one, the amount that the price is for.
    pub packs: Map<Number, Pack>,
    /// Bought and handed out by the amount, not in packs.
    pub loose: bool,
    /// Packs are opened, or handed out whole.
    pub hand_out: HandOut,
    /// How its price is divided.
    pub rule: ShareRule,
    /// Who gets what is bought above the need.
    pub left_over: LeftOver,
}

record!(OrderLine {
    material,
    counted_in = default,
    amounts = default,
    rate = default,
    layer = default,
    rate_as_typed = default,
    rate_source = default,
    own = default,
    beds_left_out = default,
    whole = default,
    packs = default,
    loose = default,
    hand_out = default,
    rule = default,
    left_over = default,
});

/// Where the amounts of a line come from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum AmountsFrom {
    /// A rate over the beds.
    #[default]
    Beds,
    /// What members ask for.
    Wishes,
    /// A whole, split evenly by bed area.
    Even,
}

words!(AmountsFrom { "beds" => Beds, "wishes" => Wishes, "even" => Even });

/// A size that something is sold in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pack {
    /// What is in one.
    pub size: Amount,
    /// What one costs.
    pub price: Money,
    /// From so many on each of them costs this much.
    pub breaks: Map<Number, Money>,
}

record!(Pack { size, price, breaks = default });

/// The frozen shares of a closed order, with the areas and holders they came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClosedOrder {
    /// The day it was closed.
    pub on: Day,
    /// The beds that took part, as they were.
    pub beds: Map<BedId, ClosedBed>,
    /// What everybody gets and pays.
    pub shares: FrozenShares,
}

record!(ClosedOrder { on, beds, shares });

/// One bed as it was when an order was closed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClosedBed {
    /// Its label on that day.
    pub label: String,
    /// Its area on that day.
    pub area: Area,
    /// Who held it on that day, with their parts.
    pub holders: Map<MemberId, u32>,
}

record!(ClosedBed { label, area, holders = default });

/// What really came and what is asked for it, shared anew by the frozen rules.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Invoice {
    /// On which day.
    pub on: Day,
    /// What came of each line; a line that is not named came as it was ordered.
    pub delivered: Map<LineId, CameOf>,
    /// Who takes none of a line after all, so that the others have it.
    pub none_for: Map<LineId, Map<Payer, bool>>,
    /// The shares by it.
    pub shares: FrozenShares,
    /// Who wrote it.
    pub written_by: MemberId,
    /// A word about it.
    pub word: String,
}

record!(Invoice { on, delivered = default, none_for = default, shares, written_by, word = default });

/// What came of one line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CameOf {
    /// How many packs of each size.
    pub counts: Map<Number, i64>,
    /// The amount of loose material.
    pub amount: Amount,
    /// What is asked for it, without delivery.
    pub goods: Money,
}

record!(CameOf { counts = default, amount = default, goods });

/// A tick on the list for the day: somebody took their part home.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Handed {
    /// Who ticked it off.
    pub by: MemberId,
    /// On which day.
    pub on: Day,
    /// Ticked by mistake and taken back.
    pub taken_back: bool,
}

record!(Handed { by, on, taken_back = default });

impl Order {
    /// Whether it can still be changed.
    pub fn is_open(&self) -> bool {
        self.closed.is_none() && self.ended_on.is_none()
    }

    /// The shares that count: those of the last invoice, or as it was closed.
    pub fn frozen(&self) -> Option<&FrozenShares> {
        let closed = self.closed.as_ref()?;
        let last = self.invoices.last_key_value();
        Some(last.map_or(&closed.shares, |(_, invoice)| &invoice.shares))
    }

    /// What an account asked for of a line; nothing when it did not answer.
    pub fn wish(&self, line: LineId, payer: Payer) -> Option<Amount> {
        self.wishes.get(&line)?.get(&payer).copied()
    }

    /// Whether an account's part of a line was ticked off.
    pub fn is_handed(&self, line: LineId, payer: Payer) -> bool {
        let tick = self.handed.get(&line).and_then(|ticks| ticks.get(&payer));
        tick.is_some_and(|tick| !tick.taken_back)
    }

    /// Whether members are asked how much they want of something.
    pub fn asks_members(&self) -> bool {
        self.lines
            .values()
            .any(|line| line.amounts == AmountsFrom::Wishes)
    }
}

impl OrderLine {
    /// Whether a bed takes no part.
    pub fn leaves_out(&self, bed: BedId) -> bool {
        self.beds_left_out.get(&bed).copied().unwrap_or(false)
    }
}
