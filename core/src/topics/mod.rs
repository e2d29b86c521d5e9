//! The trade's arithmetic without a screen: a topic by its name, a case as JSON in, text or JSON out.
//!
//! Each group of topics is one file with a list; [`all`] walks the lists. A topic reads its case field by field
//! ([`case::Case`]), calls one function of the arithmetic and prints the answer: what was asked for first, then the working,
//! the source and what to be careful about, as one would pin it on the shed door. In the JSON form amounts are whole base
//! units (g, mm, mm², ml, minutes, µg/m², the smallest coin, hundredths of a pH unit or of a percent).
//!
//! ```
//! use selion_core::topics;
//!
//! let printed = topics::run("apportion", r#"{"total": 4785, "weights": [100, 100, 64]}"#)?;
//! assert_eq!(printed.json["result"]["parts"][0], 1813);
//! # Ok::<(), topics::TopicError>(())
//! ```

pub mod case;
mod compost;
mod manure;
mod mulch;
mod pile;
mod season;
mod shares;
mod soil;
mod work;

use serde::Serialize;
use serde_json::Value;

use crate::quantities::BadInput;
use crate::reckoning::{Reckoning, Refusal};
use case::Case;

/// One thing that can be worked out from a case.
#[derive(Clone, Copy, Debug)]
pub struct Topic {
    /// What it is called: lower case, with hyphens.
    pub name: &'static str,
    /// What it answers, in one line.
    pub summary: &'static str,
    /// A case that runs, as JSON.
    pub example: &'static str,
    /// Works it out.
    pub run: fn(&Case) -> Result<Printed, TopicError>,
}

/// An answer in both its forms.
#[derive(Clone, Debug, PartialEq)]
pub struct Printed {
    /// For people: the answer, the working, the source, the cautions.
    pub text: String,
    /// For programs: the same with amounts in base units.
    pub json: Value,
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TopicError {
    /// There is no topic of this name.
    #[error(transparent)]
    NoSuchTopic(BadInput),
    /// The case cannot be read: one sentence that names the field.
    #[error(transparent)]
    BadInput(BadInput),
    /// The case was read, and the arithmetic gives no number for it.
    #[error(transparent)]
    Refused(Refusal),
    /// The answer cannot be put into JSON, which is a defect of the topic.
    #[error("The answer cannot be written as JSON: {0}.")]
    Unwritable(String),
}

impl From<BadInput> for TopicError {
    fn from(refused: BadInput) -> Self {
        Self::BadInput(refused)
    }
}

impl From<Refusal> for TopicError {
    fn from(refusal: Refusal) -> Self {
        match refusal {
            Refusal::BadInput(refused) => Self::BadInput(refused),
            Refusal::Missing { .. }
            | Refusal::OutsideTheRule { .. }
            | Refusal::CannotBeMet { .. } => Self::Refused(refusal),
        }
    }
}

impl TopicError {
    /// Its name for programs.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NoSuchTopic(_) => "no_such_topic",
            Self::BadInput(_) => "bad_input",
            Self::Refused(refusal) => refusal.code(),
            Self::Unwritable(_) => "unwritable",
        }
    }
}

impl Printed {
    /// An answer with its working, in both forms.
    pub fn of<T: std::fmt::Display + Serialize>(
        reckoning: &Reckoning<T>,
    ) -> Result<Self, TopicError> {
        let json = serde_json::to_value(reckoning)
            .map_err(|error| TopicError::Unwritable(error.to_string()))?;
        Ok(Self {
            text: reckoning.to_string(),
            json,
        })
    }
}

/// Every topic there is, group by group.
pub fn all() -> impl Iterator<Item = &'static Topic> {
    TOPICS.iter().copied().flatten()
}

/// The topic of this name.
pub fn find(name: &str) -> Result<&'static Topic, TopicError> {
    all().find(|topic| topic.name == name).ok_or_else(|| {
        let names: Vec<&str> = all().map(|topic| topic.name).collect();
        let expected = format!("one of {}", names.join(", "));
        TopicError::NoSuchTopic(BadInput::new("topic", expected, name))
    })
}

/// Works out a case, given as JSON, by the topic of this name.
pub fn run(name: &str, text: &str) -> Result<Printed, TopicError> {
    let topic = find(name)?;
    let case = Case::parse(text)?;
    let printed = (topic.run)(&case)?;
    case.nothing_unknown()?;
    Ok(printed)
}

/// The groups, one file each.
const TOPICS: &[&[Topic]] = &[
    soil::TOPICS,
    compost::TOPICS,
    pile::TOPICS,
    manure::TOPICS,
    mulch::TOPICS,
    season::PLANTING,
    season::DATES,
    season::COVER,
    season::CARE,
    shares::TOPICS,
    work::FENCE,
    work::WATER,
    work::SAFETY,
];

#[cfg(test)]
mod tests;
