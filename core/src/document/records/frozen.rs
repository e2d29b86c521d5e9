//! Shares as they were frozen, and how they are kept in few and short texts.
//!
//! An order of twenty lines over five hundred members has ten thousand needs, amounts and prices. As entries of maps they
//! took seconds to write and tens of kilobytes to send, so they stand as texts: the accounts once, the beds once, and for
//! each line the figures in the order of those. What is usual is left away: an amount like the need, the account's own
//! area. Shares that were kept as maps are still read.

use super::{Number, Payer};
use crate::document::ids::{BedId, LineId};
use crate::json::{self, Fields, Json, Object, Record, Unreadable, Value, one_object, put};
use crate::ordered;
use crate::ordered::Map;
use crate::quantities::{Amount, Area, Money};

/// Shares as they were frozen: at the closing, or with an invoice.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FrozenShares {
    /// What the whole costs, delivery included.
    pub total: Money,
    /// What bringing it costs.
    pub delivery: Money,
    /// The lines.
    pub lines: Map<LineId, FrozenLine>,
    /// What each account pays.
    pub accounts: Map<Payer, FrozenShare>,
}

/// One line as it was frozen. Maps by account leave out those with nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FrozenLine {
    /// What everybody needed together.
    pub need: Amount,
    /// What was bought.
    pub bought: Amount,
    /// What it costs.
    pub goods: Money,
    /// The ground that took part.
    pub area: Area,
    /// How many packs of each size.
    pub counts: Map<Number, i64>,
    /// What a pack of each size cost.
    pub each: Map<Number, Money>,
    /// What goes on each bed.
    pub beds: Map<BedId, Amount>,
    /// What each account needs.
    pub needs: Map<Payer, Amount>,
    /// The ground of each account that counts for it.
    pub areas: Map<Payer, Area>,
    /// What each account takes home.
    pub amounts: Map<Payer, Amount>,
    /// How many packs of each size each account takes, when they are handed out whole.
    pub packs: Map<Number, Map<Payer, i64>>,
    /// What each account pays for it.
    pub pays: Map<Payer, Money>,
}

/// One account's part of a whole order as it was frozen.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FrozenShare {
    /// The name on that day.
    pub name: String,
    /// All its ground.
    pub area: Area,
    /// Its part of the goods.
    pub goods: Money,
    /// Its part of the delivery.
    pub delivery: Money,
    /// What it pays.
    pub pays: Money,
    /// What of that is asked for ahead.
    pub deposit: Money,
}

/// An account as it stands in the text: whose, the name, area, goods, delivery, pays, deposit.
fn account_text(payer: Payer, share: &FrozenShare) -> Value {
    Value::Array(vec![
        payer.to_json(),
        share.name.to_json(),
        share.area.to_json(),
        share.goods.to_json(),
        share.delivery.to_json(),
        share.pays.to_json(),
        share.deposit.to_json(),
    ])
}

fn read_account(value: &Value) -> Result<(Payer, FrozenShare), Unreadable> {
    let Some([payer, name, area, goods, delivery, pays, deposit]) =
        value.as_array().map(Vec::as_slice)
    else {
        return Err(Unreadable::expected("an account of seven parts", value));
    };
    let share = FrozenShare {
        name: String::from_json(name)?,
        area: Area::from_json(area)?,
        goods: Money::from_json(goods)?,
        delivery: Money::from_json(delivery)?,
        pays: Money::from_json(pays)?,
        deposit: Money::from_json(deposit)?,
    };
    Ok((Payer::from_json(payer)?, share))
}

/// An account as shares kept in maps have it.
fn read_account_of_a_map(fields: Fields<'_>) -> Result<FrozenShare, Unreadable> {
    Ok(FrozenShare {
        name: fields.read("name")?,
        area: fields.read("area")?,
        goods: fields.read("goods")?,
        delivery: fields.read("delivery")?,
        pays: fields.read("pays")?,
        deposit: fields.read_or_default("deposit")?,
    })
}

impl Record for FrozenShares {
    fn from_fields(fields: Fields<'_>) -> Result<Self, Unreadable> {
        let mut accounts = Map::new();
        match fields.read_or_default::<Value>("accounts")? {
            Value::String(text) => {
                for account in &json::read::<Vec<Value>>(&text)? {
                    let (payer, share) = read_account(account)?;
                    accounts.insert(payer, share);
                }
            }
            Value::Object(maps) => {
                for (key, share) in &maps {
                    let payer = Payer::from_json(&Value::String(key.clone()))?;
                    accounts.insert(payer, read_account_of_a_map(Fields::of(share)?)?);
                }
            }
            Value::Null | Value::Bool(_) | Value::Number(_) | Value::Array(_) => {}
        }
        let beds = fields.read_or_default::<String>("beds")?;
        let mut beds = each_of::<BedId>(&beds)?
            .into_iter()
            .map(|bed| (bed, None))
            .collect::<Vec<_>>();
        let like = fields.read_or_default::<String>("beds_like")?;
        for ((_, like), place) in beds.iter_mut().zip(like.split(' ')) {
            *like = number(place)?;
        }
        let payers: Vec<(Payer, Area)> = accounts
            .iter()
            .map(|(payer, share)| (*payer, share.area))
            .collect();
        let mut lines = Map::new();
        for (id, line) in fields.read_or_default::<Map<LineId, Value>>("lines")? {
            lines.insert(id, FrozenLine::read(Fields::of(&line)?, &payers, &beds)?);
        }
        Ok(Self {
            total: fields.read("total")?,
            delivery: fields.read_or_default("delivery")?,
            lines,
            accounts,
        })
    }

    fn put_fields(&self, object: &mut Object) {
        put(object, "total", &self.total);
        put(object, "delivery", &self.delivery);
        let accounts = self.accounts.iter();
        let accounts = accounts
            .map(|(payer, share)| account_text(*payer, share))
            .collect();
        put(object, "accounts", &json::write(&Value::Array(accounts)));
        let beds = self.beds();
        put(
            object,
            "beds",
            &joined(beds.iter().map(|(bed, _)| bed.to_string())),
        );
        let like = |(_, like): &BedLike| like.map(|place| place.to_string()).unwrap_or_default();
        put(object, "beds_like", &joined(beds.iter().map(like)));
        let payers: Vec<(Payer, Area)> = self
            .accounts
            .iter()
            .map(|(payer, share)| (*payer, share.area))
            .collect();
        let mut lines = Object::new();
        for (id, line) in &self.lines {
            lines.insert(id.to_string(), line.to_value(&payers, &beds));
        }
        put(object, "lines", &Value::Object(lines));
    }
}

one_object!(FrozenShares);

/// A bed with the place of the account whose need is mostly what goes on it: whoever holds it alone.
type BedLike = (BedId, Option<i64>);

impl FrozenShares {
    fn beds(&self) -> Vec<BedLike> {
        let mut beds: Map<BedId, Option<i64>> = Map::new();
        let places: Map<Payer, i64> = ordered::map(self.accounts.keys().copied().zip(0..));
        for line in self.lines.values() {
            let mut whose: Map<Amount, Option<Payer>> = Map::new();
            for (payer, need) in &line.needs {
                // An amount that several need says nothing about whose bed it is.
                whose
                    .entry(*need)
                    .and_modify(|payer| *payer = None)
                    .or_insert(Some(*payer));
            }
            for (bed, amount) in &line.beds {
                let like = beds.entry(*bed).or_default();
                if like.is_none() {
                    let payer = whose.get(amount).copied().flatten();
                    *like = payer.and_then(|payer| places.get(&payer).copied());
                }
            }
        }
        beds.into_iter().collect()
    }
}

impl FrozenLine {
    fn read(
        fields: Fields<'_>,
        payers: &[(Payer, Area)],
        beds: &[BedLike],
    ) -> Result<Self, Unreadable> {
        let mut line = Self {
            need: fields.read("need")?,
            bought: fields.read("bought")?,
            goods: fields.read("goods")?,
            area: fields.read_or_default("area")?,
            counts: fields.read_or_default("counts")?,
            each: fields.read_or_default("each")?,
            ..Self::default()
        };
        let Some(parts) = fields.read::<Option<String>>("parts")? else {
            line.needs = fields.read_or_default("needs")?;
            line.areas = fields.read_or_default("areas")?;
            line.amounts = fields.read_or_default("amounts")?;
            line.packs = fields.read_or_default("packs")?;
            line.pays = fields.read_or_default("pays")?;
            line.beds = fields.read_or_default("beds")?;
            return Ok(line);
        };
        let sizes: Vec<Number> = line.counts.keys().copied().collect();
        for ((payer, area), part) in payers.iter().zip(parts.split(';')) {
            line.take_part((*payer, *area), &sizes, part)?;
        }
        let on_beds = fields.read_or_default::<String>("on_beds")?;
        for ((bed, like), amount) in beds.iter().zip(on_beds.split(' ')) {
            let amount = match amount {
                NOT_ON_IT => None,
                "" => line.need_at(payers, *like),
                amount => number(amount)?.map(Amount::from_count),
            };
            if let Some(amount) = amount {
                line.beds.insert(*bed, amount);
            }
        }
        Ok(line)
    }

    fn to_value(&self, payers: &[(Payer, Area)], beds: &[BedLike]) -> Value {
        let mut object = Object::new();
        put(&mut object, "need", &self.need);
        put(&mut object, "bought", &self.bought);
        put(&mut object, "goods", &self.goods);
        put(&mut object, "area", &self.area);
        put(&mut object, "counts", &self.counts);
        put(&mut object, "each", &self.each);
        let parts: Vec<String> = payers
            .iter()
            .map(|(payer, area)| self.part(*payer, *area))
            .collect();
        put(&mut object, "parts", &parts.join(";"));
        let on_bed = |(bed, like): &BedLike| match self.beds.get(bed) {
            None => NOT_ON_IT.to_owned(),
            Some(amount) if self.need_at(payers, *like) == Some(*amount) => String::new(),
            Some(amount) => amount.count().to_string(),
        };
        let on_beds: Vec<String> = beds.iter().map(on_bed).collect();
        put(&mut object, "on_beds", &on_beds.join(" "));
        Value::Object(object)
    }

    /// The need of the account at a place.
    fn need_at(&self, payers: &[(Payer, Area)], place: Option<i64>) -> Option<Amount> {
        let (payer, _) = payers.get(usize::try_from(place?).ok()?)?;
        self.needs.get(payer).copied()
    }

    /// An account's part: need, goods, amount where it is not the need, area where it is not all of the account's, packs.
    fn part(&self, payer: Payer, whole: Area) -> String {
        let need = self.needs.get(&payer).map_or(0, |need| need.count());
        let goods = self.pays.get(&payer).map_or(0, |goods| goods.minor());
        let amount = self.amounts.get(&payer).map_or(0, |amount| amount.count());
        let area = self.areas.get(&payer).map(|area| area.mm2());
        let expected = (need != 0).then_some(whole.mm2());
        let mut figures = vec![shown(need), shown(goods)];
        figures.push(if amount == need {
            String::new()
        } else {
            amount.to_string()
        });
        figures.push(if area == expected {
            String::new()
        } else {
            area.unwrap_or(0).to_string()
        });
        for size in self.counts.keys() {
            let packs = self.packs.get(size).and_then(|packs| packs.get(&payer));
            figures.push(shown(packs.copied().unwrap_or(0)));
        }
        figures.join(",").trim_end_matches(',').to_owned()
    }

    fn take_part(
        &mut self,
        (payer, whole): (Payer, Area),
        sizes: &[Number],
        part: &str,
    ) -> Result<(), Unreadable> {
        let mut figures = part.split(',');
        let mut next = || figures.next().map_or(Ok(None), number);
        let need = next()?.unwrap_or(0);
        let goods = next()?.unwrap_or(0);
        let amount = next()?.unwrap_or(need);
        let area = next()?;
        if need != 0 {
            self.needs.insert(payer, Amount::from_count(need));
            self.areas.insert(payer, area.map_or(whole, Area::from_mm2));
        }
        if amount != 0 {
            self.amounts.insert(payer, Amount::from_count(amount));
        }
        if goods != 0 {
            self.pays.insert(payer, Money::from_minor(goods));
        }
        for size in sizes {
            if let Some(count) = next()?.filter(|count| *count != 0) {
                self.packs.entry(*size).or_default().insert(payer, count);
            }
        }
        Ok(())
    }
}

/// Stands for a bed that takes no part in a line.
const NOT_ON_IT: &str = "-";

/// A figure of a text; nothing is not written.
fn shown(figure: i64) -> String {
    if figure == 0 {
        String::new()
    } else {
        figure.to_string()
    }
}

/// A figure of a text, nothing where none was written.
fn number(text: &str) -> Result<Option<i64>, Unreadable> {
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().map(Some).map_err(|_not_a_number| {
        Unreadable::because(&format!("“{text}” is no figure of frozen shares"))
    })
}

fn joined(texts: impl Iterator<Item = String>) -> String {
    texts.collect::<Vec<_>>().join(" ")
}

fn each_of<T: std::str::FromStr>(text: &str) -> Result<Vec<T>, Unreadable> {
    let mut found = Vec::new();
    for id in text.split_whitespace() {
        found.push(
            id.parse()
                .map_err(|_not_an_id| Unreadable::because(&format!("“{id}” is no id")))?,
        );
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::ids::MemberId;
    use crate::quantities::Moment;

    fn payer(number: u8) -> Payer {
        Payer::Member(MemberId::fresh(Moment::from_millis(1), [number; 10]))
    }

    fn bed(number: u8) -> BedId {
        BedId::fresh(Moment::from_millis(1), [number; 10])
    }

    fn shares() -> FrozenShares {
        let share = |name: &str, pays| FrozenShare {
            name: name.to_owned(),
            area: Area::from_mm2(12_000_000),
            goods: Money::from_minor(pays),
            pays: Money::from_minor(pays),
            ..FrozenShare::default()
        };
        let amount = Amount::from_count;
        let line = FrozenLine {
            need: amount(14_000),
            bought: amount(15_000),
            goods: Money::from_minor(2_235),
            counts: ordered::map([(1.into(), 2), (2.into(), 2)]),
            beds: ordered::map([(bed(1), amount(9_000)), (bed(3), amount(0))]),
            needs: ordered::map([(payer(1), amount(9_000)), (payer(2), amount(5_000))]),
            areas: ordered::map([
                (payer(1), Area::from_mm2(12_000_000)),
                (payer(2), Area::from_mm2(7_000_000)),
            ]),
            amounts: ordered::map([
                (payer(1), amount(9_000)),
                (payer(2), amount(5_001)),
                (Payer::Garden, amount(999)),
            ]),
            packs: ordered::map([(2.into(), ordered::map([(payer(2), 2)]))]),
            pays: ordered::map([(payer(1), Money::from_minor(1_437))]),
            ..FrozenLine::default()
        };
        let id = |number| LineId::fresh(Moment::from_millis(number), [0; 10]);
        FrozenShares {
            total: Money::from_minor(2_235),
            delivery: Money::ZERO,
            lines: ordered::map([(id(1), line), (id(2), FrozenLine::default())]),
            accounts: ordered::map([
                (payer(1), share("Ines, of the \"far\" bed; A1", 1_437)),
                (payer(2), share("Tomasz\tK.", 798)),
                (Payer::Garden, share("Garden, common beds", 0)),
            ]),
        }
    }

    #[test]
    fn what_is_kept_is_read_again() {
        let shares = shares();
        assert_eq!(
            json::read::<FrozenShares>(&json::write(&shares)),
            Ok(shares)
        );
        let none = FrozenShares::default();
        assert_eq!(json::read::<FrozenShares>(&json::write(&none)), Ok(none));
    }

    #[test]
    fn only_what_is_not_usual_takes_room() {
        let text = json::write(&shares());
        assert!(
            text.contains(r#""parts":"9000,1437;5000,,5001,7000000,,2;,,999""#),
            "{text}"
        );
    }

    #[test]
    fn shares_kept_as_maps_are_still_read() {
        let one = payer(1);
        let text = format!(
            r#"{{"total": 500, "accounts": {{"{one}": {{"name": "Ines", "area": 3, "goods": 500, "delivery": 0, "pays": 500}}}},
                "lines": {{"{}": {{"need": 7, "bought": 7, "goods": 500, "needs": {{"{one}": 7}}, "amounts": {{"{one}": 7}},
                "pays": {{"{one}": 500}}, "beds": {{"{}": 7}}, "packs": {{"1": {{"{one}": 1}}}}}}}}}}"#,
            LineId::fresh(Moment::from_millis(1), [0; 10]),
            bed(1),
        );
        let read = json::read::<FrozenShares>(&text).unwrap();
        let line = read.lines.values().next().unwrap();
        assert_eq!(read.accounts[&one].pays, Money::from_minor(500));
        assert_eq!(line.needs[&one], Amount::from_count(7));
        assert_eq!(line.packs[&1.into()][&one], 1);
        assert_eq!(line.beds[&bed(1)], Amount::from_count(7));
    }

    #[test]
    fn a_text_that_is_broken_is_refused_and_never_panics() {
        for broken in ["9000,x", "1,2,3,4,5,6,7,nine", ";;;;;;;;x"] {
            let text = json::write(&shares()).replace("9000,1437", broken);
            let _refused_or_read = json::read::<FrozenShares>(&text);
        }
        let text = json::write(&shares()).replace("9000,1437", "9000,x");
        let refused = json::read::<FrozenShares>(&text).unwrap_err().to_string();
        assert!(refused.contains("“x” is no figure"), "{refused}");
    }
}
