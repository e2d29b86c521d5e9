//! Money in the smallest unit of its currency, and currencies by their ISO 4217 code.

use serde::{Deserialize, Serialize};

use super::BadInput;
use super::measure::measure;
use crate::json::{Json, Unreadable, Value, serde_form};

measure!(
    /// An amount of money, in whole minor units of the garden's currency (cents, for most).
    ///
    /// The currency is not part of it: a garden has one, and it is handed in where an amount is read or shown.
    Money, from_minor, minor, "minor units"
);

/// The currency of a garden, as its ISO 4217 code.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency(iso_currency::Currency);

impl Currency {
    /// The currency with this three-letter code.
    ///
    /// ```
    /// use selion_core::quantities::Currency;
    ///
    /// assert_eq!(Currency::new("JPY").map(Currency::minor_digits), Ok(0));
    /// assert!(Currency::new("dollars").is_err());
    /// ```
    pub fn new(code: &str) -> Result<Self, BadInput> {
        iso_currency::Currency::from_code(code)
            .filter(|currency| !currency.is_fund() && !currency.is_special())
            .map(Self)
            .ok_or_else(|| {
                BadInput::new(
                    "currency",
                    "a three-letter ISO 4217 code such as USD or EUR",
                    code,
                )
            })
    }

    /// Its three letters.
    pub fn code(self) -> &'static str {
        self.0.code()
    }

    /// The sign that people write with an amount: `$`, `€`, `£` or `¥`; for every other currency its code, which no font lacks.
    pub fn sign(self) -> &'static str {
        let listed = self.0.symbol().symbol;
        ["$", "€", "£", "¥"]
            .into_iter()
            .find(|sign| *sign == listed)
            .unwrap_or(self.code())
    }

    /// How many digits stand behind the point: 2 for most, 0 or 3 for some.
    pub fn minor_digits(self) -> u32 {
        self.0.exponent().map_or(0, u32::from)
    }
}

impl Json for Currency {
    fn from_json(value: &Value) -> Result<Self, Unreadable> {
        Self::new(value.as_str().unwrap_or_default())
            .map_err(|error| Unreadable::because(&error.to_string()))
    }

    fn to_json(&self) -> Value {
        Value::String(self.code().to_owned())
    }
}

serde_form!(Currency);
