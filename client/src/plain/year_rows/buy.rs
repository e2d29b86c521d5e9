//! Seed and plants to buy for what is planned and not sown yet: for one bed, for several, for all together.

use selion_core::document::Garden;
use selion_core::document::records::Planting;
use selion_core::document::season_plan::Books;
use selion_core::document::season_plan::plants::{
    BoughtOfCrop, ToBuy, shopping_for, to_buy, to_sow,
};
use selion_core::ordered::Map;
use selion_core::quantities::Units;
use selion_core::reckoning::{Reckoning, Refusal};

use super::choose::Choice;
use super::told::said;
use crate::plain::wording::{capital, counted};

/// What is bought of one crop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BuyRow {
    /// Its name, by which its working is asked for.
    pub crop: String,
    /// How much; a question mark where nothing could be worked out.
    pub figure: String,
    /// For how many sowings, and what is missing.
    pub small: String,
}

/// What is to be bought for the chosen beds and crop, crop by crop.
pub fn bought(
    garden: &Garden,
    books: &Books,
    year: i16,
    choice: &Choice,
) -> Map<String, BoughtOfCrop> {
    let chosen = chosen(garden, year, choice);
    let plantings = chosen.into_iter().map(|(_, planting)| planting);
    shopping_for(garden, books, plantings).result
}

/// What is planned and not sown yet in the chosen beds, with the bed's label.
fn chosen<'a>(garden: &'a Garden, year: i16, choice: &Choice) -> Vec<(&'a str, &'a Planting)> {
    let planned = to_sow(garden, year).into_iter();
    planned
        .filter_map(|(_, planting)| {
            let bed = garden.open_bed(planting.bed)?;
            let takes = choice.takes_bed(planting.bed, bed) && choice.takes_crop(&planting.crop);
            takes.then_some((bed.label.as_str(), planting))
        })
        .collect()
}

/// The list, crop by crop.
pub fn rows(bought: &Map<String, BoughtOfCrop>, units: Units) -> Vec<BuyRow> {
    let row = |(crop, bought): (&String, &BoughtOfCrop)| {
        let shown = bought.show(units);
        let for_what = if bought.cover.is_positive() {
            counted(
                bought.plantings,
                "sowing, at the most",
                "sowings, at the most",
            )
        } else {
            counted(bought.plantings, "planting", "plantings")
        };
        let mut small = vec![for_what];
        if !bought.missing.is_empty() {
            let left_out = counted(bought.missing.len(), "is", "are");
            small.push(format!("{left_out} not in the figure"));
        }
        BuyRow {
            crop: crop.clone(),
            figure: if shown.is_empty() {
                "?".to_owned()
            } else {
                shown
            },
            small: small.join(" · "),
        }
    };
    bought.iter().map(row).collect()
}

/// How the figure of a crop comes about, planting by planting: where and when, what for it, and the working or what is missing.
pub fn workings(
    garden: &Garden,
    books: &Books,
    year: i16,
    (choice, crop): (&Choice, &str),
) -> Vec<(String, Result<Reckoning<ToBuy>, Refusal>)> {
    let chosen = chosen(garden, year, choice).into_iter();
    chosen
        .filter(|(_, planting)| planting.crop == crop)
        .map(|(bed, planting)| {
            let title = format!("{bed}, {}", said(planting.start, year));
            (title, to_buy(garden, books, planting))
        })
        .collect()
}

/// What is bought for one planting, in words.
pub fn words(of: &ToBuy, units: Units) -> String {
    match of {
        ToBuy::Seed(seed) => seed.to_string(),
        ToBuy::Plants(count) => counted(usize::try_from(*count).unwrap_or(0), "plant", "plants"),
        ToBuy::Cover(seed) if seed.least == seed.most => seed.most.show(units),
        ToBuy::Cover(seed) => format!("{} to {}", seed.least.show(units), seed.most.show(units)),
    }
}

/// A crop's name at the head of a line.
pub fn crop_name(crop: &str) -> String {
    capital(crop)
}
