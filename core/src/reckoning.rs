//! What every answer of the trade's arithmetic carries: the result, how it was reached, where the rule comes from, and what
//! to be careful about. And the named refusal, where there is no answer.
//!
//! ```
//! use selion_core::reckoning::{Caution, Reckoning, Source, Step};
//!
//! let answer = Reckoning::new("27.0 lb of lime".to_owned(), Source::common_practice("the rate as asked for"))
//!     .step(Step::new("Rate", "75.0 lb/1000 sq ft"))
//!     .step(Step::new("Area", "360 sq ft"))
//!     .step(Step::sum("Lime", "27.0 lb"))
//!     .rounded("To the nearest gram, halves up.")
//!     .caution(Caution::LimeDust);
//! assert!(answer.to_string().starts_with("27.0 lb of lime\n"));
//! ```

use std::fmt;

use serde::ser::SerializeStruct;
use serde::{Serialize, Serializer};

use crate::quantities::BadInput;

/// An answer with its working.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reckoning<T> {
    /// The answer itself.
    pub result: T,
    /// How it was reached, in order.
    pub steps: Vec<Step>,
    /// Where the rule comes from.
    pub source: Source,
    /// What the answer rests on: a depth, a purity, a method.
    pub basis: Vec<String>,
    /// Where something was rounded, and how.
    pub rounding: Option<String>,
    /// What to be careful about when acting on it.
    pub cautions: Vec<Caution>,
}

impl<T> Reckoning<T> {
    /// An answer by this rule; the working is added line by line.
    pub fn new(result: T, source: Source) -> Self {
        Self {
            result,
            steps: Vec::new(),
            source,
            basis: Vec::new(),
            rounding: None,
            cautions: Vec::new(),
        }
    }

    /// With one more line of working.
    #[must_use]
    pub fn step(mut self, step: Step) -> Self {
        self.steps.push(step);
        self
    }

    /// With one more thing that it rests on.
    #[must_use]
    pub fn on(mut self, basis: impl Into<String>) -> Self {
        self.basis.push(basis.into());
        self
    }

    /// With what was rounded, and how.
    #[must_use]
    pub fn rounded(mut self, how: impl Into<String>) -> Self {
        self.rounding = Some(how.into());
        self
    }

    /// With something to be careful about; the same caution is given once.
    #[must_use]
    pub fn caution(mut self, caution: Caution) -> Self {
        if !self.cautions.contains(&caution) {
            self.cautions.push(caution);
        }
        self
    }

    /// The same working for another form of the answer.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Reckoning<U> {
        Reckoning {
            result: change(self.result),
            steps: self.steps,
            source: self.source,
            basis: self.basis,
            rounding: self.rounding,
            cautions: self.cautions,
        }
    }
}

/// Answer first, then the working, the source and the cautions.
impl<T: fmt::Display> fmt::Display for Reckoning<T> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(out, "{}", self.result.to_string().trim_end())?;
        write_working(out, &self.steps)?;
        for basis in &self.basis {
            writeln!(out, "Basis: {basis}")?;
        }
        if let Some(rounding) = &self.rounding {
            writeln!(out, "Rounding: {rounding}")?;
        }
        writeln!(out, "Source: {}", self.source)?;
        for caution in &self.cautions {
            writeln!(out, "Take care: {}", caution.wording())?;
        }
        Ok(())
    }
}

/// Writes the lines of a working below each other, a rule before each sum.
pub(crate) fn write_working(out: &mut fmt::Formatter<'_>, steps: &[Step]) -> fmt::Result {
    let wide = |text: &str| text.chars().count();
    let labels = steps
        .iter()
        .map(|step| wide(&step.label))
        .max()
        .unwrap_or(0);
    let values = steps
        .iter()
        .map(|step| wide(&step.value))
        .max()
        .unwrap_or(0);
    for step in steps {
        if step.is_sum {
            writeln!(out, "  {:labels$}  {}", "", "-".repeat(values))?;
        }
        writeln!(out, "  {:labels$}  {:>values$}", step.label, step.value)?;
    }
    Ok(())
}

/// One line of working: what, and how much.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Step {
    /// What the line is about.
    pub label: String,
    /// How much, with its unit.
    pub value: String,
    /// Whether the line sums up what stands above it.
    pub is_sum: bool,
}

impl Step {
    /// A line on the way.
    pub fn new(label: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            value: value.into(),
            is_sum: false,
        }
    }

    /// The line under the rule.
    pub fn sum(label: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            value: value.into(),
            is_sum: true,
        }
    }
}

/// Where a rule comes from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Source {
    /// How far the rule can be trusted.
    pub standing: Standing,
    /// The reader's words for it: who published it and where, or what the practice is.
    pub words: String,
}

/// How far a rule can be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Printed by somebody who can be looked up.
    Published,
    /// Plain arithmetic on what was put in.
    Arithmetic,
    /// A rule of thumb of the trade, without a source.
    CommonPractice,
    /// A stated fallback; shown as a range.
    Estimate,
}

impl Source {
    /// A rule that can be looked up.
    pub fn published(words: impl Into<String>) -> Self {
        Self {
            standing: Standing::Published,
            words: words.into(),
        }
    }

    /// Plain arithmetic on what was put in.
    pub fn arithmetic(words: impl Into<String>) -> Self {
        Self {
            standing: Standing::Arithmetic,
            words: words.into(),
        }
    }

    /// A rule of thumb.
    pub fn common_practice(words: impl Into<String>) -> Self {
        Self {
            standing: Standing::CommonPractice,
            words: words.into(),
        }
    }

    /// A stated fallback.
    pub fn estimate(words: impl Into<String>) -> Self {
        Self {
            standing: Standing::Estimate,
            words: words.into(),
        }
    }
}

impl fmt::Display for Source {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.words)?;
        match self.standing {
            Standing::Published | Standing::Arithmetic => Ok(()),
            Standing::CommonPractice => out.write_str(" (common practice)"),
            Standing::Estimate => out.write_str(" (estimate)"),
        }
    }
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// A value that was put in cannot be taken.
    #[error(transparent)]
    BadInput(#[from] BadInput),
    /// Something has to be known first, such as a soil test or a product's label.
    #[error("{what} is missing: {why}.")]
    Missing {
        /// What is missing.
        what: String,
        /// What it is needed for, or how to get it.
        why: String,
    },
    /// The rule holds only within bounds, and this lies outside them.
    #[error("{field}: the rule holds for {bounds}, and {came} lies outside it.")]
    OutsideTheRule {
        /// What lies outside.
        field: String,
        /// Where the rule holds.
        bounds: String,
        /// What came.
        came: String,
    },
    /// What is wanted cannot be reached with what there is.
    #[error("{goal} cannot be met: {why}. What would help: {helps}.")]
    CannotBeMet {
        /// What is wanted.
        goal: String,
        /// What stands in the way.
        why: String,
        /// What would make it possible.
        helps: String,
    },
}

impl Refusal {
    /// A value that cannot be taken.
    pub fn bad(
        field: impl Into<String>,
        expected: impl Into<String>,
        came: impl AsRef<str>,
    ) -> Self {
        Self::BadInput(BadInput::new(field, expected, came))
    }

    /// Its name for programs.
    pub fn code(&self) -> &'static str {
        match self {
            Self::BadInput(_) => "bad_input",
            Self::Missing { .. } => "missing",
            Self::OutsideTheRule { .. } => "outside_the_rule",
            Self::CannotBeMet { .. } => "cannot_be_met",
        }
    }
}

impl Serialize for Refusal {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut out = serializer.serialize_struct("Refusal", 2)?;
        out.serialize_field("code", self.code())?;
        out.serialize_field("message", &self.to_string())?;
        out.end()
    }
}

/// What to be careful about. The wording of each stands here and nowhere else, and each ends with whose word comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Caution {
    /// Spreading ground or pelletized limestone.
    LimeDust,
    /// Spreading wood ash.
    WoodAsh,
    /// Manure that has not been composted.
    RawManure,
    /// A fence under current.
    ElectricFence,
    /// Holes and trenches.
    Digging,
    /// Heavy bags and posts.
    Lifting,
    /// Work on hot days.
    Heat,
    /// Soil that may hold lead.
    SoilLead,
    /// Food that others are to eat.
    SharedFood,
}

impl Caution {
    /// Every caution there is.
    pub const ALL: [Self; 9] = [
        Self::LimeDust,
        Self::WoodAsh,
        Self::RawManure,
        Self::ElectricFence,
        Self::Digging,
        Self::Lifting,
        Self::Heat,
        Self::SoilLead,
        Self::SharedFood,
    ];

    /// Its name for programs.
    pub fn code(self) -> &'static str {
        match self {
            Self::LimeDust => "lime_dust",
            Self::WoodAsh => "wood_ash",
            Self::RawManure => "raw_manure",
            Self::ElectricFence => "electric_fence",
            Self::Digging => "digging",
            Self::Lifting => "lifting",
            Self::Heat => "heat",
            Self::SoilLead => "soil_lead",
            Self::SharedFood => "shared_food",
        }
    }

    /// What to say to the person who is about to do it.
    pub fn wording(self) -> &'static str {
        match self {
            Self::LimeDust => {
                "Lime dust: calm day, mask and gloves, goggles if your eyes are sensitive, not on wet leaves; ground or \
                 pelletized limestone only, never quicklime. Rules where you live come first."
            }
            Self::WoodAsh => {
                "Wood ash: cold ash only, eye protection, gloves and mask, moist soil, no wind; keep it in a covered metal \
                 bin; no ash of painted or treated wood. Rules where you live come first."
            }
            Self::RawManure => {
                "Raw manure: long before harvest only (120 days where the crop touches the soil, 90 days elsewhere, is a \
                 common rule), gloves, and wash your hands. Rules where you live come first."
            }
            Self::ElectricFence => {
                "Electric fence: a listed energizer only and never the mains, one energizer a fence, warning signs at every \
                 gate, corner and path, nothing near overhead lines. Local rules and a licensed electrician come first."
            }
            Self::Digging => {
                "Digging: have buried pipes and cables marked before any hole (in the United States call 811 some days \
                 ahead), and never enter an open trench. Local rules and licensed people come first."
            }
            Self::Lifting => {
                "Lifting: two people to a bag of 40 lb (18 kg) or more from the ground, backs straight, a barrow for the way. \
                 Rules where you live, and what your doctor says, come first."
            }
            Self::Heat => {
                "Heat: start early, shade, water and rest; full sun can feel 15 °F (8 °C) hotter than the forecast; anybody \
                 confused or faint needs help at once. Local warnings and medical people come first."
            }
            Self::SoilLead => {
                "Soil lead: test before growing food; above 200 ppm use raised beds with clean soil on a barrier and ask the \
                 health department. Rules where you live come first."
            }
            Self::SharedFood => {
                "Food for others: nobody who is sick picks it, hands are washed with soap each time, boxes are clean and made \
                 for food, whatever lay near animal droppings stays behind, and it is cooled soon. Rules where you live, and \
                 those of whoever takes it, come first."
            }
        }
    }
}

impl Serialize for Caution {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut out = serializer.serialize_struct("Caution", 2)?;
        out.serialize_field("code", self.code())?;
        out.serialize_field("says", self.wording())?;
        out.end()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_answer_stands_first_and_the_working_below() {
        let answer = Reckoning::new(
            "You pay $4.31".to_owned(),
            Source::common_practice("largest remainder"),
        )
        .step(Step::new("Goods", "$3.77"))
        .step(Step::new("Delivery", "$0.54"))
        .step(Step::sum("You pay", "$4.31"))
        .on("the areas on the plan")
        .rounded("Whole cents.")
        .caution(Caution::Lifting)
        .caution(Caution::Lifting);
        let expected = "You pay $4.31\n  Goods     $3.77\n  Delivery  $0.54\n            -----\n  You pay   $4.31\n\
            Basis: the areas on the plan\nRounding: Whole cents.\nSource: largest remainder (common practice)\nTake care: Lifting";
        assert!(answer.to_string().starts_with(expected), "{answer}");
        assert_eq!(answer.cautions.len(), 1);
        let json = serde_json::to_value(&answer).unwrap();
        assert_eq!(json["steps"][2]["is_sum"], true);
        assert_eq!(json["cautions"][0]["code"], "lifting");
        assert_eq!(json["source"]["standing"], "common_practice");
    }

    #[test]
    fn every_caution_has_its_own_name_and_says_whose_word_comes_first() {
        let mut codes: Vec<&str> = Caution::ALL.iter().map(|caution| caution.code()).collect();
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), Caution::ALL.len());
        assert!(
            Caution::ALL
                .iter()
                .all(|caution| caution.wording().ends_with("come first."))
        );
    }

    #[test]
    fn a_refusal_is_one_sentence_and_a_code() {
        let refusal = Refusal::Missing {
            what: "A soil test".into(),
            why: "the lime rate rests on its pH".into(),
        };
        let json = serde_json::to_value(&refusal).unwrap();
        assert_eq!(json["code"], "missing");
        assert_eq!(
            json["message"],
            "A soil test is missing: the lime rate rests on its pH."
        );
    }
}
