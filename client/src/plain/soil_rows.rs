//! The soil of all beds in lines, and what one bed is due in words.

use selion_core::document::ids::{BedId, MemberId};
use selion_core::document::soil_plan::{Asked, BedPlan, lime_order, of_bed};
use selion_core::document::{Garden, bed_soil};
use selion_core::ordered;
use selion_core::ordered::Map;
use selion_core::quantities::{Amount, CountedIn, Currency, Day, Units};
use selion_core::soil::doses::Placement;

use super::order_form::{Kind, LineTyped, Origin, PackTyped, own_shown};
use super::wording::{counted, day_words};

/// A bed in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SoilRow {
    /// Which.
    pub bed: BedId,
    /// Its label.
    pub label: String,
    /// Its pH and when it was taken.
    pub what: String,
    /// What comes next, or what is missing.
    pub small: String,
    /// The lime that is due.
    pub figure: String,
    /// What the figure is of.
    pub of: &'static str,
    /// Whether whoever looks holds a part of it.
    pub mine: bool,
}

/// Every open bed, by label.
pub fn rows(
    garden: &Garden,
    me: Option<MemberId>,
    today: Day,
    placement: Placement,
    units: Units,
) -> Vec<SoilRow> {
    let mut rows = Vec::new();
    for (bed, record) in garden.open_beds() {
        let plan = of_bed(
            garden,
            Asked {
                bed,
                today,
                placement,
            },
        );
        let what = match (plan.test, plan.ph) {
            (Some((_, day)), Some(ph)) => format!("pH {ph}, {}", day_words(day, today)),
            (Some((_, day)), None) => format!("Tested without a pH, {}", day_words(day, today)),
            (None, _) => "No soil test yet".to_owned(),
        };
        let (figure, of) = figure(&plan, units);
        rows.push(SoilRow {
            bed,
            label: record.label.clone(),
            what,
            small: next(&plan, today),
            figure,
            of,
            mine: me.is_some_and(|me| record.is_held_by(me)),
        });
    }
    rows
}

fn figure(plan: &BedPlan, units: Units) -> (String, &'static str) {
    match plan.lime_due() {
        Some(due) if due.is_positive() => (due.show(units), "of lime"),
        Some(_) => ("none".to_owned(), "of lime"),
        None if plan.test.is_none() => (String::new(), ""),
        None if keeps_lime_off(plan) => ("none".to_owned(), "kept off"),
        None => ("?".to_owned(), "cannot say"),
    }
}

/// The next thing to do, or why there is none.
fn next(plan: &BedPlan, today: Day) -> String {
    if plan.test.is_none() {
        return "Send a sample before anything is spread".to_owned();
    }
    if keeps_lime_off(plan) {
        return "Potatoes or blueberries: no lime, no ash".to_owned();
    }
    let lime = match &plan.lime {
        Ok(lime) => lime,
        Err(refusal) => return refusal.to_string(),
    };
    let due = match &lime.due {
        Ok(due) => due,
        Err(refusal) => return refusal.to_string(),
    };
    let doses = match &due.doses {
        Ok(doses) => &doses.result.doses,
        Err(refusal) => return refusal.to_string(),
    };
    match (doses.first(), doses.len()) {
        (None, _) => "Nothing is due".to_owned(),
        (Some(dose), 1) => format!("One dose, from {}", day_words(dose.on, today)),
        (Some(dose), count) => {
            format!(
                "{count} doses, the first from {}",
                day_words(dose.on, today)
            )
        }
    }
}

fn keeps_lime_off(plan: &BedPlan) -> bool {
    plan.target
        .as_ref()
        .is_ok_and(|target| !target.result.takes_lime)
}

/// A line of an order with the lime of all beds in it, bed by bed: the one place where soil hands over to orders.
pub fn lime_begun(
    garden: &Garden,
    today: Day,
    placement: Placement,
    (units, currency): (Units, Currency),
) -> Option<LineTyped> {
    let mut plans = Vec::new();
    for (bed, _) in garden.open_beds() {
        plans.push(of_bed(
            garden,
            Asked {
                bed,
                today,
                placement,
            },
        ));
    }
    let order = lime_order(garden, &plans)?;
    let exact: Map<BedId, Amount> = ordered::map(
        order
            .beds
            .iter()
            .map(|(bed, mass)| (*bed, Amount::from_count(mass.grams()))),
    );
    let pack = PackTyped {
        size: order.bag.map(|bag| bag.show(units)).unwrap_or_default(),
        price: order
            .bag_price
            .map(|price| price.show_number(currency))
            .unwrap_or_default(),
        breaks: String::new(),
    };
    Some(LineTyped {
        material: order.material,
        from: Origin::ByBed,
        source: format!(
            "Soil tests of {}, {} in all, {}",
            counted(order.beds.len(), "bed", "beds"),
            order.need.show(units),
            match placement {
                Placement::DugIn => "dug in",
                Placement::OnTheSurface => "left on the surface",
            }
        ),
        packs: ordered::map([(1.into(), pack)]),
        left_out: ordered::set(order.left_out.into_keys()),
        own: own_shown(CountedIn::Weight, &exact, units),
        exact,
        ..Kind::Lime.line(units)
    })
}

/// The tests that count for a bed, in a line: when, where, and what was found.
pub fn test_words(garden: &Garden, bed: BedId, today: Day) -> Option<String> {
    let (_, test) = bed_soil::newest_test(garden, bed)?;
    let sheet = &test.sheet;
    let mut words = format!("Taken {}", day_words(sheet.sampled_on, today));
    for more in [sheet.laboratory.trim(), sheet.word.trim()] {
        if !more.is_empty() {
            words.push_str(" · ");
            words.push_str(more);
        }
    }
    Some(words)
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::ids::SoilTestId;
    use selion_core::document::records::{SoilSheet, SoilTest};
    use selion_core::document::shared_out;
    use selion_core::quantities::{Moment, Ph};
    use selion_core::soil::test_report::Texture;

    use super::*;
    use crate::plain::order_form::OrderTyped;
    use crate::plain::sample::{bed, day, garden, line_id, member};

    /// Bed 1 at pH 5.5 on loam, its kind of ground the only thing known about its need.
    fn tested(ph: i64) -> Garden {
        let mut garden = garden();
        let mut sheet = SoilSheet::taken(day("2026-02-14"), [bed(1)]);
        sheet.ph = Some(Ph::from_hundredths(ph));
        sheet.texture = Some(Texture::Loam);
        let test = SoilTest {
            sheet,
            member: member(1),
            ended_on: None,
        };
        let id = SoilTestId::fresh(Moment::from_millis(1), [0; 10]);
        garden.soil_tests.insert(id, Arc::new(test));
        garden
    }

    fn row_of(garden: &Garden, number: u8) -> SoilRow {
        let rows = rows(
            garden,
            None,
            day("2026-03-20"),
            Placement::DugIn,
            Units::UsCustomary,
        );
        rows.into_iter().find(|row| row.bed == bed(number)).unwrap()
    }

    #[test]
    fn a_bed_says_its_ph_what_is_due_and_when() {
        let row = row_of(&tested(550), 1);
        assert_eq!(row.what, "pH 5.5, Sat 14 February");
        assert_eq!(row.small, "One dose, from today");
        assert!(row.figure.ends_with(" lb"), "{}", row.figure);
        assert_eq!(row.of, "of lime");
        let enough = row_of(&tested(660), 1);
        assert_eq!(
            (enough.figure.as_str(), enough.small.as_str()),
            ("none", "Nothing is due")
        );
    }

    #[test]
    fn a_bed_without_a_test_says_so_and_shows_no_figure() {
        let row = row_of(&tested(550), 2);
        assert_eq!(row.what, "No soil test yet");
        assert_eq!(row.figure, "");
    }

    #[test]
    fn outside_the_table_the_line_says_why_instead_of_a_number() {
        let row = row_of(&tested(390), 1);
        assert_eq!(row.figure, "?");
        assert!(row.small.contains("a pH from 4.0 to 6.5"), "{}", row.small);
    }

    #[test]
    fn an_order_begins_with_what_each_bed_is_due_and_gives_it_exactly_that() {
        let dollars = Currency::new("USD").unwrap();
        let units = Units::UsCustomary;
        let today = day("2026-03-20");
        // Bed 2 is more acid than bed 1, so one rate would be wrong for both.
        let mut garden = tested(550);
        let mut sheet = SoilSheet::taken(day("2026-02-14"), [bed(2)]);
        sheet.ph = Some(Ph::from_hundredths(520));
        sheet.texture = Some(Texture::Loam);
        let test = SoilTest {
            sheet,
            member: member(1),
            ended_on: None,
        };
        let id = SoilTestId::fresh(Moment::from_millis(2), [0; 10]);
        garden.soil_tests.insert(id, Arc::new(test));
        for placement in [Placement::DugIn, Placement::OnTheSurface] {
            let mut line = lime_begun(&garden, today, placement, (units, dollars)).unwrap();
            assert_eq!(line.material, "Ground limestone");
            assert!(
                line.source.starts_with("Soil tests of 2 beds, "),
                "{}",
                line.source
            );
            let bag = line.packs.get_mut(&1.into()).unwrap();
            (bag.size, bag.price) = ("50 lb".to_owned(), "6.99".to_owned());
            let typed = OrderTyped {
                lines: Map::from([(line_id(1), line.clone())]),
                ..OrderTyped::default()
            };
            let order = typed.read(units, dollars, None).unwrap();
            let shares = shared_out::order(&garden, &order).unwrap().result;
            let beds = &shares.lines.first().unwrap().beds;
            assert_eq!(beds.len(), 2);
            for part in beds {
                let plan = of_bed(
                    &garden,
                    Asked {
                        bed: part.bed,
                        today,
                        placement,
                    },
                );
                assert_eq!(plan.lime_due().unwrap().grams(), part.amount.count());
                let shown = CountedIn::Weight.show(part.amount, units);
                assert_eq!(line.own.get(&part.bed), Some(&shown));
            }
            let amounts: Vec<i64> = beds.iter().map(|part| part.amount.count()).collect();
            assert!(amounts.first() < amounts.last(), "{amounts:?}");
        }
        let begun = |garden: &Garden| lime_begun(garden, today, Placement::DugIn, (units, dollars));
        let one = begun(&tested(550)).unwrap();
        assert!(!one.left_out.contains(&bed(1)) && one.left_out.contains(&bed(2)));
        assert_eq!(begun(&tested(660)), None);
    }
}
