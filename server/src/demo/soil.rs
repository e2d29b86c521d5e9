//! The demonstration garden's soil: invented report sheets, the labels of its lime and compost, what was spread.

use selion_core::document::edit::ProfileField;
use selion_core::document::ids::{AmendmentId, BedId, SoilTestId};
use selion_core::document::records::{
    AmendmentKind, Amount, GardenCompost, GardenLime, Nutrient, SoilSheet,
};
use selion_core::document::{DocumentName, Edit, Garden};
use selion_core::ordered::Map;
use selion_core::quantities::{
    Acidity, BadInput, Currency, Day, Depth, Mass, Money, PartsPerMillion, Percent, Ph,
};
use selion_core::soil::compost::ceiling::Origin;
use selion_core::soil::liming_material::ProductKind;
use selion_core::soil::test_report::{AcidityReading, Level, Texture};

use crate::by_hand::{ByHandError, Hand};
use crate::chance;
use crate::rooms::Desk;

/// Something spread: on which bed, how many days ago, what, how much, and how many days ago it was dug in.
struct Had {
    bed: &'static str,
    days_ago: i64,
    what: AmendmentKind,
    amount: Option<Amount>,
    dug_in: Option<i64>,
    word: &'static str,
}

/// Writes the soil.
pub(super) fn make(desk: &mut Desk<'_>, hand: Hand, today: Day) -> Result<(), ByHandError> {
    let picture = desk
        .hall
        .picture(desk.store.as_read(), hand.garden)?
        .clone();
    let ground = DocumentName::Ground;
    let season = DocumentName::Season(today.year());
    let set = vec![
        ProfileField::Lime(Some(lime()?)),
        ProfileField::Compost(Some(GardenCompost {
            origin: Origin::Plants,
            density: None,
            phosphate: None,
        })),
    ];
    let mut edits = vec![(ground, Edit::ChangeProfile { set })];
    for sheet in sheets(&picture, today)? {
        let test = SoilTestId::fresh(desk.now, chance::bytes());
        edits.push((ground, Edit::AddSoilTest { test, sheet }));
    }
    for (bed, crop) in [("D2", "blueberry"), ("A2", "brassicas"), ("C4", "beans")] {
        let crops = Edit::SetBedCrops {
            bed: bed_of(&picture, bed)?,
            now: Map::from([(crop.to_owned(), true)]),
            next_year: Map::new(),
        };
        edits.push((season, crops));
    }
    for had in had()? {
        let spread = Edit::LogAmendment {
            amendment: AmendmentId::fresh(desk.now, chance::bytes()),
            bed: bed_of(&picture, had.bed)?,
            day: today.plus_days(-had.days_ago),
            what: had.what,
            amount: had.amount,
            dug_in_on: had.dug_in.map(|days_ago| today.plus_days(-days_ago)),
            word: had.word.to_owned(),
        };
        edits.push((season, spread));
    }
    hand.make(desk, edits)
}

fn lime() -> Result<GardenLime, BadInput> {
    Ok(GardenLime {
        name: "Ground limestone, hill quarry".to_owned(),
        kind: ProductKind::Ground,
        cce: Some(Percent::parse("92 %")?),
        scheme: None,
        effective: None,
        equals_standard_ton: Some(Mass::parse("1960 lb")?),
        bag: Some(Mass::parse("50 lb")?),
        bag_price: Some(Money::parse("6.99", Currency::new("USD")?)?),
    })
}

/// Three sheets: the A beds by Mehlich acidity, two B beds rich in phosphorus, and C4 and the berries by Penn State.
fn sheets(garden: &Garden, today: Day) -> Result<Vec<SoilSheet>, ByHandError> {
    let taken = |days_ago: i64, labels: &[&str]| {
        let beds = labels.iter().map(|label| bed_of(garden, label));
        let beds = beds.collect::<Result<Vec<_>, ByHandError>>()?;
        let mut sheet = SoilSheet::taken(today.plus_days(-days_ago), beds);
        sheet.laboratory = "Valley soil laboratory".into();
        Ok::<_, ByHandError>(sheet)
    };
    let mut first = taken(70, &["A1", "A2", "A3", "A4"])?;
    first.ph = Some(Ph::parse("5.4")?);
    first.acidity = Some(AcidityReading::MehlichAcidityNc(Acidity::parse("1.5")?));
    first.texture = Some(Texture::Loam);
    first.organic_matter = Some(Percent::parse("3.4 %")?);
    first.potassium = of_nutrient("110 ppm", Level::Optimum)?;
    first.magnesium = of_nutrient("42 ppm", Level::Low)?;
    let mut second = taken(70, &["B1", "B2"])?;
    second.ph = Some(Ph::parse("6.6")?);
    second.texture = Some(Texture::Loam);
    second.phosphorus = of_nutrient("62 ppm", Level::VeryHigh)?;
    second.potassium = of_nutrient("180 ppm", Level::AboveOptimum)?;
    second.word = "Ten years of compost".into();
    let mut third = taken(40, &["C4", "D2"])?;
    third.ph = Some(Ph::parse("5.1")?);
    third.acidity = Some(AcidityReading::ExchangeablePennState(Acidity::parse(
        "5.2",
    )?));
    third.texture = Some(Texture::Sand);
    Ok(vec![first, second, third])
}

fn of_nutrient(amount: &str, level: Level) -> Result<Nutrient, BadInput> {
    Ok(Nutrient {
        amount: Some(PartsPerMillion::parse(amount)?),
        level: Some(level),
    })
}

/// The manure on B5 still holds what touches the soil back when its turns come; that on C1 lies on top.
fn had() -> Result<Vec<Had>, BadInput> {
    Ok(vec![
        Had {
            bed: "A1",
            days_ago: 20,
            what: AmendmentKind::Lime,
            amount: Some(Amount::Mass(Mass::parse("9 lb")?)),
            dug_in: Some(20),
            word: "A first dose, calm and damp",
        },
        Had {
            bed: "B1",
            days_ago: 30,
            what: AmendmentKind::Compost,
            amount: Some(Amount::Depth(Depth::parse("1/4 in")?)),
            dug_in: None,
            word: "",
        },
        Had {
            bed: "B5",
            days_ago: 101,
            what: AmendmentKind::RawManure,
            amount: Some(Amount::Mass(Mass::parse("60 lb")?)),
            dug_in: Some(100),
            word: "From the stable down the lane",
        },
        Had {
            bed: "C1",
            days_ago: 4,
            what: AmendmentKind::RawManure,
            amount: None,
            dug_in: None,
            word: "Two barrows, to be dug in",
        },
    ])
}

pub(super) fn bed_of(garden: &Garden, label: &str) -> Result<BedId, ByHandError> {
    let beds = garden.open_beds();
    let mut found = beds.iter().filter(|(_, bed)| bed.label == label);
    found
        .next()
        .map(|(id, _)| *id)
        .ok_or_else(|| ByHandError::Asked(format!("there is no bed {label}")))
}

#[cfg(test)]
mod tests {
    use selion_core::document::manure_days::{of_bed, too_early};
    use selion_core::document::soil_plan::{self, Asked};
    use selion_core::soil::doses::Placement;

    use super::*;
    use crate::clock::day_in;
    use crate::demo;
    use crate::testing::Bench;

    #[test]
    fn some_beds_are_due_lime_and_the_manure_days_run() {
        let mut bench = Bench::new();
        let made = demo::make(&mut bench.desk()).unwrap();
        let today = day_in(demo::TIME_ZONE, bench.desk().now).unwrap();
        let garden = bench
            .hall
            .picture(&bench.store, made.garden)
            .unwrap()
            .clone();
        let bed = |label: &str| bed_of(&garden, label).unwrap();
        let plan = |label: &str| {
            let asked = Asked {
                bed: bed(label),
                today,
                placement: Placement::DugIn,
            };
            soil_plan::of_bed(&garden, asked)
        };
        for label in ["A1", "A2", "A3", "A4", "C4"] {
            assert!(plan(label).lime_due().unwrap().is_positive(), "{label}");
        }
        assert_eq!(plan("B1").lime_due(), Some(Mass::ZERO));
        assert_eq!(plan("D2").lime_due(), None, "berries want it sour");
        assert!(too_early(&garden, bed("B5"), today.plus_days(12)).is_some());
        assert_eq!(of_bed(&garden, bed("C1"), today).len(), 1);
    }
}
