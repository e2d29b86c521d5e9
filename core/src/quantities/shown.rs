//! Writes amounts for people, in the units of their garden and with as many digits as the trade uses.
//!
//! `show` is for sentences and picks a fitting unit (`366 g`, `12 ft 6 in`); `show_apart` is for columns of a table and keeps
//! one unit and one number of digits, so that the points stand below each other. What is shown is read back by `parse`.

use std::fmt;

use super::fraction::{Fraction, trimmed, with_marks};
use super::unit_table::{
    CENTIMETRE, CUBIC_METRE, CUBIC_YARD, FOOT, GALLON, GRAM, INCH, KILOGRAM, LITRE, METRE,
    MILLILITRE, OUNCE, POUND, QUART, SQUARE_FOOT, SQUARE_METRE, Unit,
};
use super::{Area, Currency, Length, Mass, Minutes, Money, Rate, Units, Volume};

/// An amount as number and unit, for the columns of a table: `27.0` and `lb`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown {
    /// The number, thousands marked.
    pub number: String,
    /// The unit, as it is written behind the number.
    pub unit: &'static str,
}

impl fmt::Display for Shown {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} {}", self.number, self.unit)
    }
}

/// So many base units in this unit, with so many digits behind the point.
fn apart(count: i64, unit: &Unit, digits: u32) -> Shown {
    let number = Fraction::whole(count)
        .over(unit.size())
        .unwrap_or(Fraction::NOTHING)
        .decimal(digits);
    Shown {
        number,
        unit: unit.shown_as(),
    }
}

/// The same without noughts at the end.
fn plain(count: i64, unit: &Unit, digits: u32) -> String {
    let shown = apart(count, unit, digits);
    format!("{} {}", trimmed(&shown.number), shown.unit)
}

impl Length {
    /// For a sentence: `3.5 m`, `45 cm`; `12 ft 6 in`, `6.5 in`.
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Metric if self.mm().unsigned_abs() < 1_000 => plain(self.mm(), &CENTIMETRE, 1),
            Units::Metric => plain(self.mm(), &METRE, 2),
            Units::UsCustomary => self.feet_and_inches(),
        }
    }

    /// For a column: metres or feet, two digits behind the point.
    pub fn show_apart(self, units: Units) -> Shown {
        apart(
            self.mm(),
            if units == Units::Metric {
                &METRE
            } else {
                &FOOT
            },
            2,
        )
    }

    /// To the tenth of an inch.
    fn feet_and_inches(self) -> String {
        let tenths = Fraction::whole(self.mm())
            .over(INCH.size())
            .and_then(|inches| inches.times(Fraction::whole(10))?.rounded())
            .unwrap_or(0);
        let sign = if tenths < 0 { "−" } else { "" };
        let (feet, tenths) = (tenths.unsigned_abs() / 120, tenths.unsigned_abs() % 120);
        let inches = with_marks(tenths, 1);
        match (feet, tenths) {
            (0, _) => format!("{sign}{} in", trimmed(&inches)),
            (_, 0) => format!("{sign}{} ft", with_marks(feet, 0)),
            _ => format!("{sign}{} ft {} in", with_marks(feet, 0), trimmed(&inches)),
        }
    }
}

impl Area {
    /// For a sentence: `33.4 m²`, `360 sq ft`.
    pub fn show(self, units: Units) -> String {
        self.show_apart(units).to_string()
    }

    /// For a column: square metres with one digit behind the point, or whole square feet.
    pub fn show_apart(self, units: Units) -> Shown {
        match units {
            Units::Metric => apart(self.mm2(), &SQUARE_METRE, 1),
            Units::UsCustomary => apart(self.mm2(), &SQUARE_FOOT, 0),
        }
    }
}

impl Mass {
    /// For a sentence: `366 g`, `12.2 kg`; `8.5 oz`, `27.0 lb`.
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Metric if self.grams().unsigned_abs() < 1_000 => plain(self.grams(), &GRAM, 0),
            Units::UsCustomary if self.grams().unsigned_abs() < 453 => {
                plain(self.grams(), &OUNCE, 1)
            }
            Units::Metric | Units::UsCustomary => self.show_apart(units).to_string(),
        }
    }

    /// For a column: kilograms or pounds, one digit behind the point.
    pub fn show_apart(self, units: Units) -> Shown {
        apart(
            self.grams(),
            if units == Units::Metric {
                &KILOGRAM
            } else {
                &POUND
            },
            1,
        )
    }
}

impl Volume {
    /// For a sentence: `250 ml`, `10 l`, `2.5 m³`; `3 qt`, `12.5 gal`, `3.1 cu yd`.
    pub fn show(self, units: Units) -> String {
        let size = self.ml().unsigned_abs();
        match units {
            Units::Metric if size < 1_000 => plain(self.ml(), &MILLILITRE, 0),
            Units::Metric if size < 1_000_000 => plain(self.ml(), &LITRE, 1),
            Units::Metric => plain(self.ml(), &CUBIC_METRE, 2),
            Units::UsCustomary if size < 3_785 => plain(self.ml(), &QUART, 1),
            Units::UsCustomary if size < 764_555 => plain(self.ml(), &GALLON, 1),
            Units::UsCustomary => plain(self.ml(), &CUBIC_YARD, 2),
        }
    }

    /// For heaps and loads, however small: `0.41 m³`, `0.53 cu yd`.
    pub fn show_bulk(self, units: Units) -> String {
        self.show_bulk_apart(units).to_string()
    }

    /// The same for a column: cubic metres or cubic yards, two digits behind the point.
    pub fn show_bulk_apart(self, units: Units) -> Shown {
        let unit = if units == Units::Metric {
            &CUBIC_METRE
        } else {
            &CUBIC_YARD
        };
        apart(self.ml(), unit, 2)
    }

    /// For a column: litres or gallons, one digit behind the point.
    pub fn show_apart(self, units: Units) -> Shown {
        apart(
            self.ml(),
            if units == Units::Metric {
                &LITRE
            } else {
                &GALLON
            },
            1,
        )
    }
}

impl Minutes {
    /// For a sentence, the same in both units: `45 min`, `2 h`, `1 h 30 min`.
    pub fn show(self) -> String {
        let sign = if self.get() < 0 { "−" } else { "" };
        let (hours, minutes) = (
            self.get().unsigned_abs() / 60,
            self.get().unsigned_abs() % 60,
        );
        match (hours, minutes) {
            (0, _) => format!("{sign}{minutes} min"),
            (_, 0) => format!("{sign}{} h", with_marks(hours.into(), 0)),
            _ => format!("{sign}{} h {minutes} min", with_marks(hours.into(), 0)),
        }
    }

    /// For a column: hours, two digits behind the point.
    pub fn show_apart(self) -> Shown {
        let hours = Fraction::new(self.get().into(), 60).unwrap_or(Fraction::NOTHING);
        Shown {
            number: hours.decimal(2),
            unit: "h",
        }
    }
}

impl Rate {
    /// For a sentence: `366 g/m²`, `75.0 lb/1000 sq ft`.
    pub fn show(self, units: Units) -> String {
        self.show_apart(units).to_string()
    }

    /// For a column: whole grams a square metre, or pounds per 1000 square feet with one digit behind the point.
    pub fn show_apart(self, units: Units) -> Shown {
        let micrograms = Fraction::whole(self.micrograms_per_m2());
        let in_unit = |unit: Option<Fraction>| {
            unit.and_then(|unit| micrograms.over(unit))
                .unwrap_or(Fraction::NOTHING)
        };
        match units {
            Units::Metric => Shown {
                number: in_unit(Some(Fraction::whole(1_000_000))).decimal(0),
                unit: "g/m²",
            },
            Units::UsCustomary => {
                // Micrograms a square metre in one pound per 1000 square feet: 453.59237 g on 92.90304 m².
                let pound = Fraction::new(45_359_237 * 1_000_000, 9_290_304);
                Shown {
                    number: in_unit(pound).decimal(1),
                    unit: "lb/1000 sq ft",
                }
            }
        }
    }
}

impl Money {
    /// With the sign of its currency: `$47.85`, `−€3.00`, `CHF 12.50`.
    pub fn show(self, currency: Currency) -> String {
        let minus = if self.minor() < 0 { "−" } else { "" };
        let symbol = currency.sign();
        let space = if symbol.ends_with(char::is_alphabetic) {
            " "
        } else {
            ""
        };
        format!(
            "{minus}{symbol}{space}{}",
            with_marks(self.minor().unsigned_abs().into(), currency.minor_digits())
        )
    }

    /// For other programs: a decimal number with a point and a hyphen, without marks and sign, such as `-1234.50`.
    pub fn plain(self, currency: Currency) -> String {
        let digits = usize::try_from(currency.minor_digits()).unwrap_or(0);
        let size = format!(
            "{:0>width$}",
            self.minor().unsigned_abs(),
            width = digits + 1
        );
        let (whole, part) = size.split_at(size.len() - digits);
        let sign = if self.minor() < 0 { "-" } else { "" };
        if digits == 0 {
            format!("{sign}{whole}")
        } else {
            format!("{sign}{whole}.{part}")
        }
    }

    /// The bare number, for a column under its currency: `47.85`, `−3.00`.
    pub fn show_number(self, currency: Currency) -> String {
        let minus = if self.minor() < 0 { "−" } else { "" };
        format!(
            "{minus}{}",
            with_marks(self.minor().unsigned_abs().into(), currency.minor_digits())
        )
    }
}
