//! How often a crop must be picked, whether a rota meets it, and what a harvest comes to.
//!
//! A rota meets a crop when no two turns in a row lie further apart than the crop allows: Monday and Thursday leave four days,
//! too long for squash, okra and cucumber.
//!
//! ```
//! use selion_core::quantities::Weekday;
//! use selion_core::season::crops::CropBook;
//! use selion_core::season::picking::{Verdict, rota};
//!
//! let book = CropBook::with(&[])?;
//! let answer = rota(book.find("okra")?, &[Weekday::Monday, Weekday::Thursday])?;
//! assert_eq!(answer.result.verdict, Verdict::TooSlow);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::crops::Crop;
use super::known::{Origin, Span};
use super::source;
use crate::quantities::exact::nearest;
use crate::quantities::{Area, Mass, Rate, RateUnit, Units, Weekday};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// Days of a week.
const WEEK: i64 = 7;

/// Whether a rota meets a crop.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// As often as the crop likes best.
    Meets,
    /// Within what it allows.
    JustMeets,
    /// Too far apart.
    TooSlow,
}

/// A crop and its rota.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RotaCheck {
    /// The crop.
    pub crop: String,
    /// Days from picking to picking that it allows.
    pub allows: Span<i64>,
    /// The longest that the rota leaves it.
    pub longest: i64,
    /// Whether it is met.
    pub verdict: Verdict,
}

impl fmt::Display for RotaCheck {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self.verdict {
            Verdict::Meets => "The rota meets",
            Verdict::JustMeets => "The rota just meets",
            Verdict::TooSlow => "The rota is too slow for",
        };
        write!(
            out,
            "{word} {}: {} at most between turns",
            self.crop,
            days(self.longest)
        )
    }
}

/// Whether turns on these days of every week meet a crop.
pub fn rota(crop: &Crop, turns: &[Weekday]) -> Result<Reckoning<RotaCheck>, Refusal> {
    let Some(every) = &crop.pick_every else {
        return Err(Refusal::Missing {
            what: format!("How often {} is picked", crop.name),
            why: "the table has no figure; put in pick_every as an own value".to_owned(),
        });
    };
    let longest = longest_gap(turns).ok_or_else(|| Refusal::Missing {
        what: "A day of the rota".to_owned(),
        why: "without a turn nothing is picked".to_owned(),
    })?;
    let allows = every.value;
    let verdict = match longest {
        longest if longest <= allows.least => Verdict::Meets,
        longest if longest <= allows.most => Verdict::JustMeets,
        _ => Verdict::TooSlow,
    };
    let result = RotaCheck {
        crop: crop.name.clone(),
        allows,
        longest,
        verdict,
    };
    let source = match &every.origin {
        Origin::Own => Source::arithmetic("An own value of the garden."),
        Origin::Table(keys) => source::cite(keys),
    };
    let mut answer = Reckoning::new(result, source)
        .step(Step::new("Pick every", format!("{allows} days")))
        .step(Step::new("Turns in a week", turns.len().to_string()))
        .step(Step::sum("Longest between two turns", days(longest)));
    if verdict == Verdict::TooSlow {
        let needed = (WEEK + allows.most.max(1) - 1) / allows.most.max(1);
        answer = answer.on(format!("Met by {needed} turns a week, spread evenly."));
    }
    Ok(answer)
}

/// The longest span between two turns, round the week.
fn longest_gap(turns: &[Weekday]) -> Option<i64> {
    let mut days: Vec<i64> = turns
        .iter()
        .map(|day| i64::from(day.to_monday_zero_offset()))
        .collect();
    days.sort_unstable();
    days.dedup();
    let (first, last) = (*days.first()?, *days.last()?);
    let between = days.windows(2).map(|pair| match pair {
        [one, next] => next - one,
        _ => 0,
    });
    between.chain([first + WEEK - last]).max()
}

/// What a mixed garden gives in a season: half a pound on a square foot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct MixedYield {
    /// How much.
    pub harvest: Mass,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for MixedYield {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "About {} in a season", self.harvest.show(self.units))
    }
}

/// What a mixed planting of this area gives in a season, as a rough check.
pub fn mixed_yield(area: Area, units: Units) -> Result<Reckoning<MixedYield>, Refusal> {
    if !area.is_positive() {
        return Err(Refusal::bad("area", "more than nothing", area.show(units)));
    }
    let rate = Rate::of(500_000, RateUnit::PoundsPer1000SqFt);
    let harvest = rate.over(area);
    let source = Source::estimate(
        "Rabin, Zinati, Nitzsche, Rutgers NJAES briefing, September 2012: 0.5 lb on a square foot.",
    );
    Ok(Reckoning::new(MixedYield { harvest, units }, source)
        .step(Step::new("Area", area.show(units)))
        .step(Step::new("Rate", rate.show(units)))
        .step(Step::sum("Harvest", harvest.show(units)))
        .on("Small mixed plantings; single crops differ by ten times."))
}

/// Meals in a donated harvest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Meals {
    /// How many.
    pub meals: i64,
}

impl fmt::Display for Meals {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} meals", self.meals)
    }
}

/// Meals in a donated harvest: 1.2 lb make one.
pub fn meals(harvest: Mass, units: Units) -> Result<Reckoning<Meals>, Refusal> {
    // 1.2 lb are 544.310844 g.
    let meals = nearest(i128::from(harvest.grams()) * 1_000_000, 544_310_844);
    let refused = || Refusal::bad("harvest", "nothing or more", harvest.show(units));
    let meals = meals
        .filter(|_| harvest >= Mass::ZERO)
        .ok_or_else(refused)?;
    let source =
        Source::published("USDA-derived: 1.2 lb of food make a meal, as US food banks reckon.");
    Ok(Reckoning::new(Meals { meals }, source)
        .step(Step::new("Donated", harvest.show(units)))
        .step(Step::new("A meal", Mass::from_grams(544).show(units)))
        .step(Step::sum("Meals", meals.to_string()))
        .rounded("To the nearest meal."))
}

fn days(count: i64) -> String {
    if count == 1 {
        "1 day".to_owned()
    } else {
        format!("{count} days")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::season::crops::{CropBook, OwnCrop};

    fn verdict(crop: &str, turns: &[Weekday]) -> (i64, Verdict) {
        let book = CropBook::with(&[]).unwrap();
        let check = rota(book.find(crop).unwrap(), turns).unwrap().result;
        (check.longest, check.verdict)
    }

    #[test]
    fn two_turns_a_week_are_too_slow_for_squash_okra_and_cucumber() {
        use Weekday::{Friday, Monday, Thursday, Wednesday};
        for crop in ["squash, summer", "okra", "cucumber"] {
            assert_eq!(
                verdict(crop, &[Monday, Thursday]),
                (4, Verdict::TooSlow),
                "{crop}"
            );
        }
        assert_eq!(
            verdict("tomato", &[Thursday, Monday]),
            (4, Verdict::JustMeets)
        );
        assert_eq!(
            verdict("cucumber", &[Monday, Wednesday, Friday]),
            (3, Verdict::JustMeets)
        );
        assert_eq!(
            verdict("pepper", &[Monday, Monday, Thursday]),
            (4, Verdict::Meets)
        );
        assert_eq!(verdict("pepper", &[Friday]), (7, Verdict::JustMeets));
    }

    #[test]
    fn no_turn_and_no_figure_are_missing_until_the_garden_has_one() {
        let own = OwnCrop::new("leek", &[("pick_every", "14")]);
        let book = CropBook::with(&[own]).unwrap();
        assert_eq!(
            rota(book.find("tomato").unwrap(), &[]).unwrap_err().code(),
            "missing"
        );
        assert_eq!(
            rota(book.find("garlic").unwrap(), &[Weekday::Monday])
                .unwrap_err()
                .code(),
            "missing"
        );
        let leek = rota(book.find("leek").unwrap(), &[Weekday::Monday]).unwrap();
        assert_eq!(leek.result.verdict, Verdict::Meets);
        assert!(leek.to_string().contains("own value"), "{leek}");
    }

    #[test]
    fn nothing_grows_on_nothing() {
        assert_eq!(
            mixed_yield(Area::ZERO, Units::Metric).unwrap_err().code(),
            "bad_input"
        );
        assert_eq!(
            meals(Mass::from_grams(-1), Units::Metric)
                .unwrap_err()
                .code(),
            "bad_input"
        );
    }
}
