//! One case of a topic, as a JSON object that is read field by field.
//!
//! Amounts are texts with their unit (`"12 m2"`, `"75 lb/1000 sq ft"`), bare values such as a pH may be texts or numbers.
//! Everything that cannot be read is one [`BadInput`] that names the field, with the place in a list where there is one
//! ("beds number 2, area"). Fields that a topic did not ask for are refused at the end, so that a mistyped name never
//! passes in silence.
//!
//! ```
//! use selion_core::quantities::Area;
//! use selion_core::topics::case::Case;
//!
//! let case = Case::parse(r#"{"area": "360 sq ft", "aera": "1 m2"}"#)?;
//! let area: Area = case.read("area")?;
//! assert_eq!(
//!     case.nothing_unknown().unwrap_err().to_string(),
//!     "field: expected one of area, but “aera” came."
//! );
//! # assert_eq!(area, Area::parse("360 sq ft")?);
//! # Ok::<(), selion_core::quantities::BadInput>(())
//! ```

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::ops::RangeInclusive;
use std::rc::Rc;
use std::str::FromStr;

use serde_json::{Map, Value};

use crate::quantities::{BadInput, Currency, Money, Units};

/// The longest case that is looked at, in bytes.
const LONGEST_CASE: usize = 1_000_000;
/// The most entries of one list.
const MOST_ENTRIES: usize = 2_000;

/// A JSON object, or one inside it, that is being read.
#[derive(Debug)]
pub struct Case {
    /// Where it stands: empty for the whole, "beds number 2" for one of a list.
    place: String,
    fields: Map<String, Value>,
    opened: Rc<RefCell<Vec<Opened>>>,
    /// Its entry in `opened`.
    index: usize,
}

/// What an object holds and what was asked of it.
#[derive(Debug)]
struct Opened {
    place: String,
    holds: Vec<String>,
    asked: BTreeSet<&'static str>,
}

impl Case {
    /// The case that this text is.
    pub fn parse(text: &str) -> Result<Self, BadInput> {
        let expected = "a JSON object such as {\"area\": \"12 m2\"}";
        if text.len() > LONGEST_CASE {
            let came = format!("a text of {} bytes", text.len());
            return Err(BadInput::new(
                "case",
                "at most a million bytes of JSON",
                came,
            ));
        }
        match serde_json::from_str(text) {
            Ok(Value::Object(fields)) => Ok(Self::open(
                String::new(),
                fields,
                Rc::new(RefCell::new(Vec::new())),
            )),
            Ok(other) => Err(BadInput::new("case", expected, said(&other))),
            Err(_) if text.trim().is_empty() => Err(BadInput::new("case", expected, "")),
            Err(error) => Err(BadInput::new("case", expected, error.to_string())),
        }
    }

    /// The units to answer in: the field `units`, `metric` or `us`; metric where it is left out.
    pub fn units(&self) -> Result<Units, BadInput> {
        let choices = [("metric", Units::Metric), ("us", Units::UsCustomary)];
        Ok(self.choice_if("units", &choices)?.unwrap_or_default())
    }

    /// A value that must be there, read by its own rules.
    pub fn read<T: FromStr<Err = BadInput>>(&self, field: &'static str) -> Result<T, BadInput> {
        self.read_by(field, str::parse)
    }

    /// A value that may be left out.
    pub fn read_if<T: FromStr<Err = BadInput>>(
        &self,
        field: &'static str,
    ) -> Result<Option<T>, BadInput> {
        self.read_if_by(field, str::parse)
    }

    /// A value that must be there, read by this function; what is missing is refused in the function's own words.
    pub fn read_by<T>(
        &self,
        field: &'static str,
        read: impl Fn(&str) -> Result<T, BadInput>,
    ) -> Result<T, BadInput> {
        let text = self.value_text(field, self.take(field))?;
        read(&text.unwrap_or_default()).map_err(|refused| refused.named(self.name(field)))
    }

    /// A value that may be left out, read by this function.
    pub fn read_if_by<T>(
        &self,
        field: &'static str,
        read: impl Fn(&str) -> Result<T, BadInput>,
    ) -> Result<Option<T>, BadInput> {
        self.value_text(field, self.take(field))?
            .map(|text| read(&text).map_err(|refused| refused.named(self.name(field))))
            .transpose()
    }

    /// Several values of one kind, in a list that must be there.
    pub fn read_each<T: FromStr<Err = BadInput>>(
        &self,
        field: &'static str,
    ) -> Result<Vec<T>, BadInput> {
        let entries = self.entries(field)?.unwrap_or_default();
        let each = |(index, entry): (usize, &Value)| {
            let name = format!("{} number {}", self.name(field), index + 1);
            let text = self.value_text(field, Some(entry))?.unwrap_or_default();
            text.parse::<T>().map_err(|refused| refused.named(name))
        };
        entries.iter().enumerate().map(each).collect()
    }

    /// Some words that must be there.
    pub fn words(&self, field: &'static str) -> Result<String, BadInput> {
        self.read_by(field, |text| {
            let words = text.trim();
            if words.is_empty() {
                Err(BadInput::new(field, "some words", ""))
            } else {
                Ok(words.to_owned())
            }
        })
    }

    /// Some words that may be left out.
    pub fn words_if(&self, field: &'static str) -> Result<Option<String>, BadInput> {
        self.read_if_by(field, |text| Ok(text.trim().to_owned()))
    }

    /// Some words each, in a list that must be there.
    pub fn words_each(&self, field: &'static str) -> Result<Vec<String>, BadInput> {
        let entries = self.entries(field)?.unwrap_or_default();
        let each = |(index, entry): (usize, &Value)| {
            let text = self.value_text(field, Some(entry))?.unwrap_or_default();
            let words = text.trim();
            if words.is_empty() {
                let name = format!("{} number {}", self.name(field), index + 1);
                return Err(BadInput::new(name, "some words", ""));
            }
            Ok(words.to_owned())
        };
        entries.iter().enumerate().map(each).collect()
    }

    /// A whole number within bounds that must be there.
    pub fn whole(&self, field: &'static str, bounds: RangeInclusive<i64>) -> Result<i64, BadInput> {
        self.read_by(field, |text| whole(text, &bounds))
    }

    /// A whole number within bounds that may be left out.
    pub fn whole_if(
        &self,
        field: &'static str,
        bounds: RangeInclusive<i64>,
    ) -> Result<Option<i64>, BadInput> {
        self.read_if_by(field, |text| whole(text, &bounds))
    }

    /// Whole numbers within bounds, in a list that must be there.
    pub fn whole_each(
        &self,
        field: &'static str,
        bounds: &RangeInclusive<i64>,
    ) -> Result<Vec<i64>, BadInput> {
        let entries = self.entries(field)?.unwrap_or_default();
        let each = |(index, entry): (usize, &Value)| {
            let name = format!("{} number {}", self.name(field), index + 1);
            let text = self.value_text(field, Some(entry))?.unwrap_or_default();
            whole(&text, bounds).map_err(|refused| refused.named(name))
        };
        entries.iter().enumerate().map(each).collect()
    }

    /// Yes or no that must be there.
    pub fn flag(&self, field: &'static str) -> Result<bool, BadInput> {
        self.flag_if(field)?
            .ok_or_else(|| BadInput::new(self.name(field), "true or false", ""))
    }

    /// Yes or no that may be left out.
    pub fn flag_if(&self, field: &'static str) -> Result<Option<bool>, BadInput> {
        match self.take(field) {
            None => Ok(None),
            Some(Value::Bool(flag)) => Ok(Some(*flag)),
            Some(other) => Err(BadInput::new(
                self.name(field),
                "true or false",
                said(other),
            )),
        }
    }

    /// One of several names that must be there.
    pub fn choice<T: Copy>(
        &self,
        field: &'static str,
        choices: &[(&'static str, T)],
    ) -> Result<T, BadInput> {
        self.read_by(field, |text| chosen(field, text, choices))
    }

    /// One of several names that may be left out.
    pub fn choice_if<T: Copy>(
        &self,
        field: &'static str,
        choices: &[(&'static str, T)],
    ) -> Result<Option<T>, BadInput> {
        self.read_if_by(field, |text| chosen(field, text, choices))
    }

    /// The currency of the case: the field `currency`, an ISO 4217 code.
    pub fn currency(&self) -> Result<Currency, BadInput> {
        self.read_by("currency", Currency::new)
    }

    /// An amount of money that must be there.
    pub fn money(&self, field: &'static str, currency: Currency) -> Result<Money, BadInput> {
        self.read_by(field, |text| Money::parse(text, currency))
    }

    /// An amount of money that may be left out.
    pub fn money_if(
        &self,
        field: &'static str,
        currency: Currency,
    ) -> Result<Option<Money>, BadInput> {
        self.read_if_by(field, |text| Money::parse(text, currency))
    }

    /// An object inside that must be there.
    pub fn inner(&self, field: &'static str) -> Result<Self, BadInput> {
        self.inner_if(field)?
            .ok_or_else(|| BadInput::new(self.name(field), "a JSON object", ""))
    }

    /// An object inside that may be left out.
    pub fn inner_if(&self, field: &'static str) -> Result<Option<Self>, BadInput> {
        self.take(field)
            .map(|value| self.open_inside(self.name(field), value))
            .transpose()
    }

    /// The objects of a list that must be there.
    pub fn list(&self, field: &'static str) -> Result<Vec<Self>, BadInput> {
        self.list_if(field)?
            .ok_or_else(|| BadInput::new(self.name(field), "a list of JSON objects", ""))
    }

    /// The objects of a list that may be left out.
    pub fn list_if(&self, field: &'static str) -> Result<Option<Vec<Self>>, BadInput> {
        if !self.has(field) {
            return Ok(None);
        }
        let entries = self.entries(field)?.unwrap_or_default();
        let opened = entries.iter().enumerate().map(|(index, entry)| {
            self.open_inside(format!("{} number {}", self.name(field), index + 1), entry)
        });
        opened.collect::<Result<Vec<_>, _>>().map(Some)
    }

    /// Whether the field is there; it counts as asked for.
    pub fn has(&self, field: &'static str) -> bool {
        self.take(field).is_some()
    }

    /// What the reader knows this field of this object by.
    pub fn name(&self, field: &str) -> String {
        if self.place.is_empty() {
            field.to_owned()
        } else {
            format!("{}, {field}", self.place)
        }
    }

    /// Refuses fields that nobody asked for, here and in every object inside that was opened.
    pub fn nothing_unknown(&self) -> Result<(), BadInput> {
        for opened in self.opened.borrow().iter() {
            let unknown = opened
                .holds
                .iter()
                .find(|name| !opened.asked.contains(name.as_str()));
            if let Some(name) = unknown {
                let known: Vec<&str> = opened.asked.iter().copied().collect();
                let field = if opened.place.is_empty() {
                    "field".to_owned()
                } else {
                    format!("field of {}", opened.place)
                };
                let expected = format!("one of {}", known.join(", "));
                return Err(BadInput::new(field, expected, name));
            }
        }
        Ok(())
    }

    fn open(place: String, fields: Map<String, Value>, opened: Rc<RefCell<Vec<Opened>>>) -> Self {
        let entry = Opened {
            place: place.clone(),
            holds: fields.keys().cloned().collect(),
            asked: BTreeSet::new(),
        };
        let index = {
            let mut list = opened.borrow_mut();
            list.push(entry);
            list.len() - 1
        };
        Self {
            place,
            fields,
            opened,
            index,
        }
    }

    fn open_inside(&self, place: String, value: &Value) -> Result<Self, BadInput> {
        let Value::Object(fields) = value else {
            return Err(BadInput::new(place, "a JSON object", said(value)));
        };
        Ok(Self::open(place, fields.clone(), Rc::clone(&self.opened)))
    }

    /// The value of a field, which now counts as asked for; a `null` is as good as nothing.
    fn take(&self, field: &'static str) -> Option<&Value> {
        if let Some(opened) = self.opened.borrow_mut().get_mut(self.index) {
            opened.asked.insert(field);
        }
        self.fields.get(field).filter(|value| !value.is_null())
    }

    fn entries(&self, field: &'static str) -> Result<Option<&[Value]>, BadInput> {
        let expected = format!("a list of at most {MOST_ENTRIES} entries");
        match self.take(field) {
            Some(Value::Array(entries)) if entries.len() <= MOST_ENTRIES => Ok(Some(entries)),
            Some(Value::Array(entries)) => Err(BadInput::new(
                self.name(field),
                expected,
                format!("{} entries", entries.len()),
            )),
            Some(other) => Err(BadInput::new(self.name(field), expected, said(other))),
            None => Err(BadInput::new(self.name(field), expected, "")),
        }
    }

    /// A text or number as text.
    fn value_text(
        &self,
        field: &'static str,
        value: Option<&Value>,
    ) -> Result<Option<String>, BadInput> {
        match value {
            None => Ok(None),
            Some(Value::String(text)) => Ok(Some(text.clone())),
            Some(Value::Number(number)) => Ok(Some(number.to_string())),
            Some(other) => Err(BadInput::new(
                self.name(field),
                "a text or a number",
                said(other),
            )),
        }
    }
}

fn whole(text: &str, bounds: &RangeInclusive<i64>) -> Result<i64, BadInput> {
    let refused = || {
        let expected = format!("a whole number from {} to {}", bounds.start(), bounds.end());
        BadInput::new("number", expected, text)
    };
    match text.trim().parse::<i64>() {
        Ok(number) if bounds.contains(&number) => Ok(number),
        _ => Err(refused()),
    }
}

fn chosen<T: Copy>(field: &str, text: &str, choices: &[(&'static str, T)]) -> Result<T, BadInput> {
    let name = text.trim();
    choices
        .iter()
        .find(|(choice, _)| *choice == name)
        .map(|(_, value)| *value)
        .ok_or_else(|| {
            let names: Vec<&str> = choices.iter().map(|(choice, _)| *choice).collect();
            BadInput::new(field, format!("one of {}", names.join(", ")), text)
        })
}

/// A value of the wrong kind, for the message.
fn said(value: &Value) -> String {
    match value {
        Value::Array(_) => "a list".to_owned(),
        Value::Object(_) => "an object".to_owned(),
        Value::String(text) => text.clone(),
        Value::Null | Value::Bool(_) | Value::Number(_) => value.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantities::{Area, Mass};

    fn case(text: &str) -> Case {
        Case::parse(text).unwrap()
    }

    #[test]
    fn every_refusal_names_its_field() {
        let case = case(r#"{"area": "12", "beds": [{"area": "1 m2"}, {"area": true}], "n": 7.5}"#);
        let refusals = [
            case.read::<Area>("area").unwrap_err(),
            case.read::<Mass>("bag").unwrap_err(),
            case.list("beds").unwrap()[1]
                .read::<Area>("area")
                .unwrap_err(),
            case.whole("n", 1..=9).unwrap_err(),
            case.choice("n", &[("one", 1), ("two", 2)]).unwrap_err(),
            case.inner("beds").unwrap_err(),
        ];
        let fields: Vec<&str> = refusals
            .iter()
            .map(|refused| refused.field.as_str())
            .collect();
        assert_eq!(
            fields,
            ["area", "bag", "beds number 2, area", "n", "n", "beds"]
        );
        assert!(refusals[1].to_string().ends_with("but nothing came."));
    }

    #[test]
    fn a_field_that_nobody_asked_for_is_refused_even_deep_inside() {
        let case = case(r#"{"beds": [{"label": "A1", "colour": "red"}]}"#);
        let beds = case.list("beds").unwrap();
        assert_eq!(beds[0].words("label").unwrap(), "A1");
        assert_eq!(
            case.nothing_unknown().unwrap_err().to_string(),
            "field of beds number 1: expected one of label, but “colour” came."
        );
    }

    #[test]
    fn what_is_no_object_is_no_case() {
        for text in ["", "[]", "7", "{\"a\":", "null"] {
            assert_eq!(Case::parse(text).unwrap_err().field, "case", "{text}");
        }
    }
}
