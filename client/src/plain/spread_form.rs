//! What was spread on a bed: the form, and the lines of its history.

use selion_core::document::Garden;
use selion_core::document::bed_soil::{Spread, history};
use selion_core::document::ids::{BedId, MemberId};
use selion_core::document::records::{AmendmentKind, Amount};
use selion_core::quantities::{BadInput, Day, Depth, Mass, Rate, Units, Volume};

use super::order_form::mass_unit;
use super::typed::with_unit;
use super::wording::{capital, day_words};

/// An amount as somebody types it: a weight, a volume, a weight on an area or a layer. Nothing for an empty field.
pub fn amount(text: &str, units: Units) -> Result<Option<Amount>, BadInput> {
    let text = with_unit(text, mass_unit(units));
    if text.is_empty() {
        return Ok(None);
    }
    let found = Mass::parse(&text)
        .map(Amount::Mass)
        .or_else(|_| Volume::parse(&text).map(Amount::Volume))
        .or_else(|_| Rate::parse(&text).map(Amount::Rate))
        .or_else(|_| Depth::parse(&text).map(Amount::Depth));
    found.map(Some).map_err(|_not_one_of_these| {
        BadInput::new(
            "amount",
            "a weight, a volume, a rate or a layer, such as 12 kg, 2 cu yd, 50 lb/1000 sq ft or 1/2 in",
            text,
        )
    })
}

/// An amount in the garden's units.
pub fn amount_words(amount: Amount, units: Units) -> String {
    match amount {
        Amount::Mass(mass) => mass.show(units),
        Amount::Volume(volume) => volume.show_bulk(units),
        Amount::Rate(rate) => rate.show(units),
        Amount::Depth(depth) => format!("{} deep", depth.show(units)),
    }
}

/// The kind with this key.
pub fn kind(key: &str) -> Option<AmendmentKind> {
    AmendmentKind::ALL
        .into_iter()
        .find(|kind| kind.key() == key)
}

/// A line of the history of a bed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SpreadRow {
    /// The record.
    pub spread: Spread,
    /// What.
    pub what: String,
    /// When, by whom, how it lies, what was said.
    pub small: String,
    /// How much.
    pub amount: String,
    /// Whether it was struck out.
    pub struck: bool,
    /// Whether it may still be dug in: it lies on the surface.
    pub lies_on_top: bool,
    /// Whether whoever looks wrote it.
    pub mine: bool,
}

/// What was spread on a bed, newest first.
pub fn rows(
    garden: &Garden,
    bed: BedId,
    me: Option<MemberId>,
    today: Day,
    units: Units,
) -> Vec<SpreadRow> {
    let mut rows = Vec::new();
    for spread in history(garden, bed) {
        let record = &spread.record;
        let mine = me == Some(record.member);
        let who = if mine {
            "you"
        } else {
            garden.name_of(record.member)
        };
        let lies = match record.dug_in_on {
            Some(day) if day == record.day => "dug in".to_owned(),
            Some(day) => format!("dug in {}", day_words(day, today)),
            None => "on the surface".to_owned(),
        };
        let struck = record.ended_on.is_some();
        let mut small = format!("{} · {who}", capital(&day_words(record.day, today)));
        let state = if struck { "struck out" } else { lies.as_str() };
        for more in [state, record.word.trim()] {
            if !more.is_empty() {
                small.push_str(" · ");
                small.push_str(more);
            }
        }
        rows.push(SpreadRow {
            what: capital(record.what.words()),
            small,
            amount: record
                .amount
                .map(|amount| amount_words(amount, units))
                .unwrap_or_default(),
            struck,
            lies_on_top: record.dug_in_on.is_none() && !struck,
            mine,
            spread,
        });
    }
    rows
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::ids::AmendmentId;
    use selion_core::document::records::Amendment;
    use selion_core::quantities::Moment;

    use super::*;
    use crate::plain::sample::{bed, day, garden, member};

    #[test]
    fn an_amount_may_be_a_weight_a_volume_a_rate_or_a_layer() {
        let read = |text: &str| amount(text, Units::UsCustomary).unwrap();
        assert_eq!(read(" "), None);
        assert_eq!(
            read("12"),
            Some(Amount::Mass(Mass::parse("12 lb").unwrap()))
        );
        assert_eq!(read("2 kg"), Some(Amount::Mass(Mass::from_grams(2_000))));
        let yards = Volume::parse("2 cu yd").unwrap();
        assert_eq!(read("2 cu yd"), Some(Amount::Volume(yards)));
        let rate = Rate::parse("50 lb/1000 sq ft").unwrap();
        assert_eq!(read("50 lb/1000 sq ft"), Some(Amount::Rate(rate)));
        assert_eq!(
            read("1/2 in"),
            Some(Amount::Depth(Depth::parse("1/2 in").unwrap()))
        );
        let refused = amount("some barrows", Units::Metric).unwrap_err();
        assert!(
            refused.to_string().contains("“some barrows” came"),
            "{refused}"
        );
    }

    #[test]
    fn the_newest_stands_first_and_what_was_struck_stays_in_sight() {
        let mut garden = garden();
        let season = garden.seasons.get_mut(&2026).unwrap();
        let lines = [
            ("2026-03-02", Some("2026-03-02"), None),
            ("2026-03-14", None, Some("2026-03-15")),
        ];
        for (number, (on, dug_in, struck)) in (1..).zip(lines) {
            let record = Amendment {
                bed: bed(1),
                day: day(on),
                what: AmendmentKind::RawManure,
                amount: Some(Amount::Mass(Mass::from_grams(9_072))),
                dug_in_on: dug_in.map(day),
                member: member(1),
                word: "From the stable".to_owned(),
                ended_on: struck.map(day),
            };
            let id = AmendmentId::fresh(Moment::from_millis(number), [0; 10]);
            season.amendments.insert(id, Arc::new(record));
        }
        let rows = rows(
            &garden,
            bed(1),
            Some(member(1)),
            day("2026-03-20"),
            Units::UsCustomary,
        );
        let told: Vec<_> = rows.iter().map(|row| row.small.as_str()).collect();
        let expected = [
            "Sat 14 March · you · struck out · From the stable",
            "Mon 2 March · you · dug in · From the stable",
        ];
        assert_eq!(told, expected);
        assert_eq!(rows[1].amount, "20.0 lb");
        assert!(!rows[0].lies_on_top, "what was struck cannot be dug in");
    }

    #[test]
    fn every_kind_is_found_by_its_key() {
        for known in AmendmentKind::ALL {
            assert_eq!(kind(known.key()), Some(known));
        }
        assert_eq!(kind(""), None);
    }
}
