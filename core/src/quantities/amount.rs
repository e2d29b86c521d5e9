//! An amount of something that is bought: by weight, by volume or by the piece.

use serde::{Deserialize, Serialize};

use super::measure::measure;
use super::{Area, BadInput, Depth, Mass, Rate, Shown, Units, Volume};
use crate::json::words;

measure!(
    /// How much of a material, in whole base units of what it is counted in: grams, millilitres or pieces.
    ///
    /// What it is counted in is not part of it: every line of an order has one, and it is handed in where an amount is
    /// read or shown.
    ///
    /// ```
    /// use selion_core::quantities::{Amount, CountedIn, Units};
    ///
    /// let bag = CountedIn::Weight.parse("50 lb")?;
    /// assert_eq!(bag, Amount::from_count(22_680));
    /// assert_eq!(CountedIn::Weight.show(bag, Units::UsCustomary), "50.0 lb");
    /// assert_eq!(CountedIn::Pieces.show(CountedIn::Pieces.parse("3")?, Units::Metric), "3 pieces");
    /// # Ok::<(), selion_core::quantities::BadInput>(())
    /// ```
    Amount, from_count, count, "base units"
);

/// What an amount is counted in.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum CountedIn {
    /// Grams inside; kilograms or pounds outside.
    #[default]
    Weight,
    /// Millilitres inside; litres and cubic metres, gallons and cubic yards outside.
    Volume,
    /// Pieces: rolls, packets, days of a hired machine.
    Pieces,
}

words!(CountedIn { "weight" => Weight, "volume" => Volume, "pieces" => Pieces });

impl CountedIn {
    /// Every way, the commonest first.
    pub const ALL: [Self; 3] = [Self::Weight, Self::Volume, Self::Pieces];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Weight => "by weight",
            Self::Volume => "by volume",
            Self::Pieces => "by the piece",
        }
    }

    /// Reads an amount: with its unit, or a bare whole number of pieces.
    pub fn parse(self, text: &str) -> Result<Amount, BadInput> {
        let count = match self {
            Self::Weight => Mass::parse(text)?.grams(),
            Self::Volume => Volume::parse(text)?.ml(),
            Self::Pieces => text
                .trim()
                .trim_end_matches("pieces")
                .trim_end_matches("piece")
                .trim_end()
                .parse()
                .map_err(|_not_a_number| {
                    BadInput::new("pieces", "a whole number of pieces, such as 3", text)
                })?,
        };
        Ok(Amount::from_count(count))
    }

    /// For a sentence: `12.2 kg`, `3.1 cu yd`, `1 piece`.
    pub fn show(self, amount: Amount, units: Units) -> String {
        match self {
            Self::Weight => Mass::from_grams(amount.count()).show(units),
            Self::Volume => Volume::from_ml(amount.count()).show(units),
            Self::Pieces if amount.count() == 1 => "1 piece".to_owned(),
            Self::Pieces => format!("{} pieces", amount.count()),
        }
    }

    /// For a column, every amount in the same unit.
    pub fn show_apart(self, amount: Amount, units: Units) -> Shown {
        match self {
            Self::Weight => Mass::from_grams(amount.count()).show_apart(units),
            Self::Volume => Volume::from_ml(amount.count()).show_bulk_apart(units),
            Self::Pieces => Shown {
                number: amount.count().to_string(),
                unit: "pieces",
            },
        }
    }
}

/// How thick something is spread: a weight on an area, or a layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Spread {
    /// By weight.
    Weight(Rate),
    /// By volume.
    Layer(Depth),
}

impl Spread {
    /// What goes on an area, to the nearest base unit.
    pub fn over(self, area: Area) -> Amount {
        Amount::from_count(match self {
            Self::Weight(rate) => rate.over(area).grams(),
            Self::Layer(depth) => depth.over(area).ml(),
        })
    }

    /// What its amounts are counted in.
    pub fn counted_in(self) -> CountedIn {
        match self {
            Self::Weight(_) => CountedIn::Weight,
            Self::Layer(_) => CountedIn::Volume,
        }
    }

    /// For a sentence: `366 g/m²`, `0.25 in`.
    pub fn show(self, units: Units) -> String {
        match self {
            Self::Weight(rate) => rate.show(units),
            Self::Layer(depth) => depth.show(units),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_of_compost_is_in_the_unit_in_which_it_is_ordered() {
        let yard = CountedIn::Volume.parse("1 cu yd").unwrap();
        let shown = CountedIn::Volume.show_apart(yard, Units::UsCustomary);
        assert_eq!(shown.to_string(), "1.00 cu yd");
    }

    #[test]
    fn what_is_shown_is_read_again() {
        for (counted_in, text) in [
            (CountedIn::Weight, "12.2 kg"),
            (CountedIn::Volume, "2.5 m³"),
            (CountedIn::Pieces, "1 piece"),
            (CountedIn::Pieces, "40 pieces"),
        ] {
            let read = counted_in.parse(text).unwrap();
            assert_eq!(counted_in.show(read, Units::Metric), text);
        }
        let wrong = CountedIn::Pieces.parse("2.5").unwrap_err().to_string();
        assert!(wrong.starts_with("pieces: expected"), "{wrong}");
    }

    #[test]
    fn a_layer_and_a_rate_come_to_amounts_of_their_own_kind() {
        let area = Area::parse("10 m2").unwrap();
        let lime = Spread::Weight(Rate::parse("366 g/m2").unwrap());
        let compost = Spread::Layer(Depth::parse("20 mm").unwrap());
        assert_eq!(
            lime.counted_in().show(lime.over(area), Units::Metric),
            "3.7 kg"
        );
        assert_eq!(
            compost.counted_in().show(compost.over(area), Units::Metric),
            "200 l"
        );
    }
}
