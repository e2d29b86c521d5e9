//! An order of twenty materials over five hundred members with a bed each: the largest that has to stay quick.

use selion_core::document::edit::NewOrder;
use selion_core::document::ids::{BedId, EditId, GardenId, LineId, MemberId, OrderId};
use selion_core::document::records::{AmountsFrom, Order, OrderLine, Pack, Payer, Role};
use selion_core::document::shared_out::{self, Standing};
use selion_core::document::{DocumentName, Edit, Envelope};
use selion_core::geometry::{Outline, Point};
use selion_core::ordered::Map;
use selion_core::quantities::{Amount, CountedIn, Currency, Length, Moment, Money, Rate, Units};
use selion_core::shares::order::{HandOut, ShareRule};
use selion_core::sync::{GardenStart, Replica};

use crate::chance::Chance;
use crate::loopback::Outcome;

/// How many people share it, besides the coordinator.
pub const PEOPLE: i64 = 500;
/// How many materials it has.
pub const LINES: i64 = 20;

const YEAR: i16 = 2026;
const LEDGER: DocumentName = DocumentName::Ledger(YEAR);
/// The first of March.
const NOW: Moment = Moment::from_millis(1_772_323_200_000);

/// The garden with its open order.
#[derive(Clone, Debug)]
pub struct LargeOrder {
    /// The service's copy.
    pub replica: Replica,
    /// Which order.
    pub order: OrderId,
    coordinator: MemberId,
    chance: Chance,
}

impl LargeOrder {
    /// Makes people, beds, the order, and the wishes of everybody.
    pub fn new() -> Outcome<Self> {
        let mut chance = Chance::of_seed(500);
        let coordinator = MemberId::fresh(NOW, chance.bytes());
        let start = GardenStart {
            garden: GardenId::fresh(NOW, chance.bytes()),
            name: "Long Acre".to_owned(),
            units: Units::Metric,
            currency: Currency::new("EUR")?,
            time_zone: "Europe/Lisbon".to_owned(),
            year: YEAR,
            coordinator,
            coordinator_name: "Ines".to_owned(),
            edit: EditId::fresh(NOW, chance.bytes()),
        };
        let (replica, _) = Replica::begin(start, [7; 16], NOW)?;
        let order = OrderId::fresh(NOW, chance.bytes());
        let mut large = Self {
            replica,
            order,
            coordinator,
            chance,
        };
        let people = large.people()?;
        let new = large.materials();
        let asks: Vec<LineId> = new
            .lines
            .iter()
            .filter(|(_, line)| line.amounts == AmountsFrom::Wishes)
            .map(|(id, _)| *id)
            .collect();
        large.does(LEDGER, Edit::AddOrder { order, new })?;
        for line in asks {
            for member in &people {
                let edit = Edit::AskFor {
                    order,
                    line,
                    whose: Payer::Member(*member),
                    amount: Amount::from_count(large.chance.between(0, 9)),
                };
                large.does(LEDGER, edit)?;
            }
        }
        Ok(large)
    }

    fn people(&mut self) -> Outcome<Vec<MemberId>> {
        let mut people = Vec::new();
        for number in 0..PEOPLE {
            let member = MemberId::fresh(NOW, self.chance.bytes());
            let add = Edit::AddMember {
                member,
                name: format!("Member {number}"),
                role: Role::Member,
            };
            self.does(DocumentName::Ground, add)?;
            let corner = Point::from_mm(number % 25 * 8_000, number / 25 * 3_000);
            let width = Length::from_mm(self.chance.between(4_000, 7_500));
            let bed = Edit::AddBed {
                bed: BedId::fresh(NOW, self.chance.bytes()),
                label: format!("B{number}"),
                outline: Outline::rectangle(corner, width, Length::from_mm(1_200))?,
                holders: Map::from([(member, 1)]),
            };
            self.does(DocumentName::Ground, bed)?;
            people.push(member);
        }
        Ok(people)
    }

    // Most by a rate over the beds, some as people ask, in packs of two sizes.
    fn materials(&mut self) -> NewOrder {
        let pack = |size, minor| Pack {
            size: Amount::from_count(size),
            price: Money::from_minor(minor),
            breaks: Map::new(),
        };
        let mut lines = Map::new();
        for number in 0..LINES {
            let id = LineId::fresh(
                Moment::from_millis(NOW.millis() + number),
                self.chance.bytes(),
            );
            let by_bed = OrderLine {
                material: format!("Material {number}"),
                rate: Rate::from_micrograms_per_m2(100_000_000 + 17_000_000 * number),
                packs: Map::from([(1.into(), pack(25_000, 745)), (2.into(), pack(5_000, 210))]),
                rule: if number % 2 == 0 {
                    ShareRule::Need
                } else {
                    ShareRule::Area
                },
                ..OrderLine::default()
            };
            let asked = OrderLine {
                counted_in: CountedIn::Pieces,
                amounts: AmountsFrom::Wishes,
                rate: Rate::ZERO,
                packs: Map::from([(1.into(), pack(1, 650))]),
                hand_out: HandOut::WholePacks,
                rule: ShareRule::Taken,
                ..by_bed.clone()
            };
            lines.insert(id, if number % 10 == 9 { asked } else { by_bed });
        }
        NewOrder {
            title: "Everything for the year".to_owned(),
            lines,
            delivery: Money::from_minor(18_000),
            ..NewOrder::default()
        }
    }

    fn does(&mut self, document: DocumentName, edit: Edit) -> Outcome<()> {
        let envelope = self.envelope(document, edit);
        self.replica.apply(&envelope, self.coordinator, NOW)?;
        Ok(())
    }

    fn envelope(&mut self, document: DocumentName, edit: Edit) -> Envelope {
        Envelope {
            version: Envelope::VERSION,
            id: EditId::fresh(NOW, self.chance.bytes()),
            garden: self.replica.garden_id(),
            document,
            written_at: NOW,
            edit,
        }
    }

    /// The order as it stands.
    pub fn record(&self) -> Outcome<&Order> {
        let (_, order) = self
            .replica
            .garden()
            .order(self.order)
            .ok_or("there is no order")?;
        Ok(order)
    }

    /// The shares as a screen previews them.
    pub fn preview(&self) -> Outcome<Standing> {
        shared_out::standing(self.replica.garden(), self.record()?)
            .map_err(|why| why.to_string().into())
    }

    /// The edit that closes it.
    pub fn closing(&mut self) -> Outcome<Envelope> {
        let seen = shared_out::mark_of_order(self.preview()?.shares());
        let edit = Edit::CloseOrder {
            order: self.order,
            on: NOW.day_in_utc(),
            seen,
        };
        Ok(self.envelope(LEDGER, edit))
    }

    /// Closes it; the bytes of the change that everybody is sent.
    pub fn close(&mut self, closing: &Envelope) -> Outcome<usize> {
        let applied = self.replica.apply(closing, self.coordinator, NOW)?;
        Ok(applied.change.map_or(0, |change| change.len()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_closed_by_one_small_edit_and_a_change_that_a_phone_takes_in_one_go() {
        let mut large = LargeOrder::new().unwrap();
        let before = large.preview().unwrap();
        let pays = before
            .shares()
            .accounts
            .iter()
            .map(|share| share.pays.minor());
        assert_eq!(pays.sum::<i64>(), before.shares().total.minor());
        let closing = large.closing().unwrap();
        assert!(closing.write().len() < 1_000);
        let bytes = large.close(&closing).unwrap();
        assert!(bytes < 80_000, "{bytes} bytes");
        let after = large.preview().unwrap();
        assert!(
            after.shares() == before.shares(),
            "the closed shares differ from those that were shown"
        );
    }
}
