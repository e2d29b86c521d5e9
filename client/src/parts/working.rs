//! How a number was reached, written as on squared paper.

use selion_core::reckoning::{Reckoning, Standing, Step};

use crate::piece::{Piece, Words, el, pieces};

/// What the panel shows; made from a reckoning, whatever its result is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkingText {
    /// The lines, in order.
    pub steps: Vec<Step>,
    /// What the answer rests on.
    pub basis: Vec<String>,
    /// Where something was rounded, and how.
    pub rounding: Option<String>,
    /// Where the rule comes from.
    pub source: String,
    /// Whether it is a stated fallback, shown as a range.
    pub is_estimate: bool,
    /// What to be careful about.
    pub cautions: Vec<&'static str>,
}

impl<T> From<&Reckoning<T>> for WorkingText {
    fn from(answer: &Reckoning<T>) -> Self {
        Self {
            steps: answer.steps.clone(),
            basis: answer.basis.clone(),
            rounding: answer.rounding.clone(),
            source: answer.source.to_string(),
            is_estimate: answer.source.standing == Standing::Estimate,
            cautions: answer
                .cautions
                .iter()
                .map(|caution| caution.wording())
                .collect(),
        }
    }
}

/// The working of one number. Cautions ride with the result, so they are seen even while the panel is closed.
#[must_use = "a part is on the page only once it stands in another"]
#[derive(Debug)]
pub struct Working {
    title: Words,
    text: WorkingText,
    open: bool,
}

/// A working: whose it is, such as "Working for C4", and its text.
pub fn working(title: impl Into<Words>, text: WorkingText) -> Working {
    Working {
        title: title.into(),
        text,
        open: false,
    }
}

impl Working {
    /// Open from the start.
    #[inline(never)]
    pub fn open(self, open: bool) -> Self {
        Self { open, ..self }
    }
}

impl From<Working> for Piece {
    fn from(Working { title, text, open }: Working) -> Self {
        let paragraph = |words: String| el("p").child(words);
        let estimate = || {
            el("p")
                .class("estimate")
                .child("An estimate, not a measured figure.")
        };
        let cautions = (!text.cautions.is_empty()).then(|| {
            let caution = |words: &'static str| el("li").child(words);
            el("ul")
                .class("note wait")
                .attr("aria-label", "Be careful")
                .attr("role", "list")
                .child(text.cautions.into_iter().map(caution).collect::<Self>())
        });
        pieces![
            el("details")
                .class("working")
                .attr("open", open)
                .child(el("summary").child(title))
                .child(text.is_estimate.then(estimate))
                .child(el("dl").child(text.steps.into_iter().map(line).collect::<Self>()))
                .child(text.basis.into_iter().map(paragraph).collect::<Self>())
                .child(text.rounding.map(paragraph))
                .child(paragraph(text.source)),
            cautions,
        ]
    }
}

fn line(step: Step) -> Piece {
    pieces![
        el("dt").class_if("sum", step.is_sum).child(step.label),
        el("dd").class_if("sum", step.is_sum).child(step.value),
    ]
}
