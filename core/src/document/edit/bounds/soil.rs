//! The limits of what is said about soil: report sheets, labels of lime and compost, what was spread.

use super::{Checked, LIMITS, bag_mass, count, money, no_longer, title, within};
use crate::document::records::{Amount, GardenCompost, GardenLime, Nutrient, SoilSheet};
use crate::ordered::Map;
use crate::quantities::{BadInput, Day, Percent, Ph, Rate};
use crate::soil::lime::LimeBasis;
use crate::soil::test_report::AcidityReading;

/// 10 kg a square metre: far beyond what any laboratory recommends and any barrow leaves behind.
const MOST_RATE: i64 = 10_000_000_000;
/// A metre, in micrometres.
const MOST_DEPTH: i64 = 1_000_000;

pub(super) fn sheet(sheet: &SoilSheet) -> Checked {
    let beds = sheet.beds.values().filter(|counts| **counts).count();
    if beds == 0 {
        return Err(BadInput::new("beds", "at least one bed", "none"));
    }
    count("beds", sheet.beds.len(), LIMITS.entries)?;
    no_longer("laboratory", &sheet.laboratory, LIMITS.title_chars)?;
    no_longer("extraction", &sheet.extraction, LIMITS.title_chars)?;
    no_longer("word", &sheet.word, LIMITS.word_chars)?;
    sheet.ph.map_or(Ok(()), |value| ph("pH", value))?;
    sheet
        .organic_matter
        .map_or(Ok(()), |value| percent("organic matter", value, 100))?;
    sheet
        .phosphate_needed
        .map_or(Ok(()), |value| rate("phosphate", value, 0))?;
    for (field, nutrient) in [
        ("phosphorus", sheet.phosphorus),
        ("potassium", sheet.potassium),
        ("calcium", sheet.calcium),
        ("magnesium", sheet.magnesium),
    ] {
        parts_in_a_million(field, nutrient)?;
    }
    match sheet.acidity {
        None => {}
        Some(AcidityReading::MehlichBufferNc(buffer) | AcidityReading::SikoraOregon(buffer)) => {
            ph("buffer pH", buffer)?;
        }
        Some(
            AcidityReading::MehlichAcidityNc(acidity)
            | AcidityReading::ExchangeablePennState(acidity),
        ) => within("acidity in hundredths", acidity.hundredths(), 0, 10_000)?,
    }
    let Some(recommended) = sheet.recommendation else {
        return Ok(());
    };
    rate("recommended rate", recommended.rate, 0)?;
    ph("target", recommended.target)?;
    if let LimeBasis::Effective { value, .. } = recommended.basis {
        percent("effective value", value, 250)?;
    }
    recommended.depth.map_or(Ok(()), |depth| {
        within("depth in micrometres", depth.micrometres(), 1, MOST_DEPTH)
    })
}

pub(super) fn lime(lime: &GardenLime) -> Checked {
    title("name of the lime", &lime.name)?;
    lime.cce
        .map_or(Ok(()), |value| percent("CCE", value, 250))?;
    lime.effective
        .map_or(Ok(()), |value| percent("effective value", value, 250))?;
    if lime.scheme.is_some() != lime.effective.is_some() {
        return Err(BadInput::new(
            "effective value",
            "a value together with its scheme",
            "one without the other",
        ));
    }
    lime.equals_standard_ton.map_or(Ok(()), bag_mass)?;
    lime.bag.map_or(Ok(()), bag_mass)?;
    lime.bag_price
        .map_or(Ok(()), |price| money("price of a bag", price))
}

pub(super) fn compost(compost: &GardenCompost) -> Checked {
    compost.density.map_or(Ok(()), |density| {
        within(
            "weight in grams a cubic metre",
            density.grams_per_m3(),
            1,
            4_000_000,
        )
    })?;
    compost
        .phosphate
        .map_or(Ok(()), |value| percent("phosphate", value, 100))
}

/// The names of crops; whether they are known is asked of the table of targets when the edit is judged.
pub(super) fn crops(field: &str, crops: &Map<String, bool>) -> Checked {
    count(field, crops.len(), 50)?;
    crops.keys().try_for_each(|crop| title(field, crop))
}

pub(super) fn amount(amount: Amount) -> Checked {
    match amount {
        Amount::Mass(mass) => within("weight in grams", mass.grams(), 1, 100_000_000),
        Amount::Volume(volume) => within("volume in millilitres", volume.ml(), 1, 1_000_000_000),
        Amount::Rate(value) => rate("rate", value, 1),
        Amount::Depth(depth) => within("depth in micrometres", depth.micrometres(), 1, MOST_DEPTH),
    }
}

/// What is dug in was spread on the same day or before.
pub(super) fn not_before(day: Day, dug_in_on: Option<Day>) -> Checked {
    match dug_in_on {
        Some(dug_in) if dug_in < day => Err(BadInput::new(
            "day dug in",
            format!("{day}, when it was spread, or later"),
            dug_in.to_string(),
        )),
        Some(_) | None => Ok(()),
    }
}

fn ph(field: &str, ph: Ph) -> Checked {
    if (0..=1_400).contains(&ph.hundredths()) {
        return Ok(());
    }
    Err(BadInput::new(field, "a pH from 0 to 14", ph.to_string()))
}

fn percent(field: &str, value: Percent, most: i64) -> Checked {
    if (0..=most * 100).contains(&value.hundredths()) {
        return Ok(());
    }
    Err(BadInput::new(
        field,
        format!("a percentage from 0 to {most}"),
        value.to_string(),
    ))
}

fn rate(field: &str, rate: Rate, least: i64) -> Checked {
    let field = format!("{field} in micrograms a square metre");
    within(&field, rate.micrograms_per_m2(), least, MOST_RATE)
}

fn parts_in_a_million(field: &str, nutrient: Nutrient) -> Checked {
    nutrient.amount.map_or(Ok(()), |amount| {
        let field = format!("{field} in hundredths of a ppm");
        within(&field, amount.hundredths(), 0, 100_000_000)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::ids::BedId;
    use crate::quantities::{Depth, Mass, Moment, PartsPerMillion};
    use crate::soil::liming_material::{ProductKind, Scheme};

    fn day(text: &str) -> Day {
        Day::parse(text).unwrap()
    }

    fn one_bed() -> SoilSheet {
        let bed = BedId::fresh(Moment::from_millis(1), [1; 10]);
        SoilSheet::taken(day("2026-02-14"), [bed])
    }

    #[test]
    fn a_sheet_names_its_first_field_that_cannot_be() {
        assert_eq!(sheet(&one_bed()), Ok(()));
        let no_bed = SoilSheet::taken(day("2026-02-14"), []);
        let wrong = [
            ("beds", no_bed),
            (
                "pH",
                SoilSheet {
                    ph: Some(Ph::from_hundredths(1_401)),
                    ..one_bed()
                },
            ),
            (
                "organic matter",
                SoilSheet {
                    organic_matter: Some(Percent::from_hundredths(10_001)),
                    ..one_bed()
                },
            ),
            (
                "buffer pH",
                SoilSheet {
                    acidity: Some(AcidityReading::SikoraOregon(Ph::from_hundredths(-1))),
                    ..one_bed()
                },
            ),
            (
                "potassium in hundredths of a ppm",
                SoilSheet {
                    potassium: Nutrient {
                        amount: Some(PartsPerMillion::from_hundredths(-1)),
                        level: None,
                    },
                    ..one_bed()
                },
            ),
        ];
        for (field, sheet_of) in wrong {
            assert_eq!(sheet(&sheet_of).unwrap_err().field, field);
        }
    }

    #[test]
    fn an_effective_value_stands_with_its_scheme() {
        let mut label = GardenLime {
            name: "Ground limestone".to_owned(),
            kind: ProductKind::Ground,
            cce: None,
            scheme: Some(Scheme::Enp),
            effective: Some(Percent::HUNDRED),
            equals_standard_ton: None,
            bag: None,
            bag_price: None,
        };
        assert_eq!(lime(&label), Ok(()));
        label.scheme = None;
        assert_eq!(lime(&label).unwrap_err().field, "effective value");
    }

    #[test]
    fn nothing_is_dug_in_before_it_was_spread_and_an_amount_is_some() {
        let spread = day("2026-03-02");
        assert_eq!(not_before(spread, Some(spread)), Ok(()));
        assert!(not_before(spread, Some(day("2026-03-01"))).is_err());
        assert!(amount(Amount::Mass(Mass::ZERO)).is_err());
        assert!(amount(Amount::Depth(Depth::from_micrometres(MOST_DEPTH + 1))).is_err());
    }
}
