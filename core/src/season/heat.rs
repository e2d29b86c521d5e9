//! Heat gathered by plants and insects: growing degree days, by a named method.
//!
//! A threshold belongs to the method that it was found with, and the methods differ on cool and on hot days, so an answer names
//! its method and its base. Above a base of 50 °F (10 °C) unless another is put in:
//!
//! - *averaged*: `max(0, (high + low) / 2 − base)`;
//! - *cut* (corn; Iowa State, Agronomy 541): high and low are first set to at least the base and at most 86 °F (30 °C), so that a
//!   day gives 0 to 36;
//! - *floored* (University of Maryland climate page): the low is set to at least the base, without an upper limit.
//!
//! ```
//! use selion_core::quantities::{Temperature, Units};
//! use selion_core::season::heat::{DayHeat, Method, gathered, usual_base};
//!
//! let days = [("90 F", "65 F"), ("72 F", "46 F"), ("63 F", "42 F")];
//! let days = days.map(|(high, low)| Ok(DayHeat { high: Temperature::parse(high)?, low: Temperature::parse(low)? }));
//! let days = days.into_iter().collect::<Result<Vec<_>, selion_core::reckoning::Refusal>>()?;
//! let answer = gathered(Method::Cut, usual_base(), &days, Units::UsCustomary)?;
//! assert_eq!(answer.result.to_string(), "43 °F days");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::known::Span;
use super::source;
use crate::quantities::exact::nearest;
use crate::quantities::{BadInput, Day, Temperature, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// The most days of one answer.
const MOST_DAYS: usize = 1_000;
/// Where the cut method stops counting: 86 °F.
const CUT_AT: Temperature = Temperature::from_millicelsius(30_000);

/// The base that nearly everything is counted from: 50 °F.
pub const fn usual_base() -> Temperature {
    Temperature::from_millicelsius(10_000)
}

/// How a day's heat is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// The average of high and low above the base.
    Averaged,
    /// High and low first set to at least the base and at most 86 °F.
    Cut,
    /// The low first set to at least the base.
    Floored,
}

impl Method {
    /// In the working.
    pub fn words(self) -> &'static str {
        match self {
            Self::Averaged => "averaged: the mean of high and low, above the base",
            Self::Cut => "cut: high and low kept between the base and 86 °F (30 °C)",
            Self::Floored => "floored: the low kept at the base or above",
        }
    }
}

/// The high and the low of a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct DayHeat {
    /// Its highest temperature.
    pub high: Temperature,
    /// Its lowest temperature.
    pub low: Temperature,
}

/// Gathered heat, in whole thousandths of a Fahrenheit degree through a day, which is what thresholds are printed in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct DegreeDays(i64);

impl DegreeDays {
    /// From whole thousandths of a °F day.
    pub const fn from_thousandths(count: i64) -> Self {
        Self(count)
    }

    /// In whole thousandths of a °F day.
    pub const fn thousandths(self) -> i64 {
        self.0
    }

    /// Reads `1000`, `24.5` or `1000 F`; degree days of a Celsius scale are written `555 C`.
    pub fn parse(text: &str) -> Result<Self, BadInput> {
        let expected = "degree days from 0 to 100000, such as 1000 or 555 C";
        let refused = || BadInput::new("degree days", expected, text);
        let bare = text.trim().trim_end_matches("days").trim();
        let celsius = bare.ends_with('C');
        let number = bare
            .trim_end_matches(['C', 'F'])
            .trim()
            .trim_end_matches('°')
            .trim();
        let (whole, behind) = number.split_once('.').unwrap_or((number, "0"));
        let digits = |part: &str, most: usize| {
            (1..=most).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit())
        };
        if !digits(whole, 6) || !digits(behind, 3) {
            return Err(refused());
        }
        let thousandths: i128 = format!("{whole}{behind:0<3}")
            .parse()
            .map_err(|_no_number| refused())?;
        let scaled = if celsius {
            nearest(thousandths * 9, 5)
        } else {
            nearest(thousandths, 1)
        };
        scaled
            .filter(|count| *count <= 100_000_000)
            .map(Self)
            .ok_or_else(refused)
    }

    /// In the degrees of the garden's scale: `43 °F days`, `23.9 °C days`.
    pub fn show(self, units: Units) -> String {
        let (top, bottom, scale) = match units {
            Units::UsCustomary => (i128::from(self.0), 100, "°F"),
            Units::Metric => (i128::from(self.0) * 5, 900, "°C"),
        };
        let tenths = nearest(top, bottom).unwrap_or(0);
        format!("{} {scale} days", tenths_shown(tenths))
    }
}

/// Heat of several days.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Heat {
    /// All of it.
    pub sum: DegreeDays,
    /// Each day's.
    pub days: Vec<DegreeDays>,
    /// How it was counted.
    pub method: Method,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for Heat {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.sum.show(self.units))
    }
}

/// The heat that these days gave.
pub fn gathered(
    method: Method,
    base: Temperature,
    days: &[DayHeat],
    units: Units,
) -> Result<Reckoning<Heat>, Refusal> {
    if days.len() > MOST_DAYS {
        return Err(Refusal::bad(
            "days",
            format!("at most {MOST_DAYS} days"),
            format!("{} days", days.len()),
        ));
    }
    if base >= CUT_AT {
        return Err(Refusal::OutsideTheRule {
            field: "base".to_owned(),
            bounds: format!("a base below {}", CUT_AT.show(units)),
            came: base.show(units),
        });
    }
    let mut heat = Heat {
        sum: DegreeDays::default(),
        days: Vec::new(),
        method,
        units,
    };
    let mut steps = Vec::new();
    for (number, day) in (1..).zip(days) {
        if day.low > day.high {
            let field = format!("days number {number}");
            let came = format!("{} and {}", day.high.show(units), day.low.show(units));
            return Err(Refusal::bad(
                field,
                "a high that is not below its low",
                came,
            ));
        }
        let each = of_day(method, base, *day);
        heat.sum = DegreeDays(heat.sum.0.saturating_add(each.0));
        heat.days.push(each);
        let label = format!(
            "Day {number}: {} / {}",
            day.high.show(units),
            day.low.show(units)
        );
        steps.push(Step::new(label, each.show(units)));
    }
    steps.push(Step::sum("Together", heat.sum.show(units)));
    let source = match method {
        Method::Averaged => Source::arithmetic("The mean of high and low, above the base."),
        Method::Cut => {
            Source::published("Iowa State University, Agronomy 541, lesson 2b: corn heat units.")
        }
        Method::Floored => {
            Source::published("University of Maryland, climate page: low floored at the base.")
        }
    };
    let mut answer = Reckoning::new(heat, source)
        .on(format!("Method {}.", method.words()))
        .on(format!("Base {}.", base.show(units)))
        .on("Compare it only with a threshold that was found with this method and base.");
    answer.steps = steps;
    Ok(answer)
}

/// The heat of one day.
fn of_day(method: Method, base: Temperature, day: DayHeat) -> DegreeDays {
    let (high, low) = match method {
        Method::Averaged => (day.high, day.low),
        Method::Cut => (day.high.clamp(base, CUT_AT), day.low.clamp(base, CUT_AT)),
        Method::Floored => (day.high.max(base), day.low.max(base)),
    };
    // A half of hundredths is whole in thousandths.
    let doubled = fahrenheit(high) + fahrenheit(low) - 2 * fahrenheit(base);
    DegreeDays(doubled.max(0) * 5)
}

/// In whole hundredths of a degree Fahrenheit: readings in tenths of either scale are kept exactly.
fn fahrenheit(degrees: Temperature) -> i64 {
    let above = nearest(i128::from(degrees.millicelsius()) * 9, 50).unwrap_or(0);
    above.saturating_add(3_200)
}

/// Something that happens when so much heat has gathered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Event {
    /// What happens.
    pub name: &'static str,
    /// The heat that it takes, in °F days above 50 °F.
    pub heat: Span<i64>,
    /// From when it is counted.
    pub counted_from: &'static str,
    /// Who found it.
    pub source: &'static str,
}

/// Events whose heat could be confirmed in print. None of them says its method; corn is counted with the cut one.
pub const EVENTS: [Event; 8] = [
    event(
        "squash vine borer moths emerge",
        (1_000, 1_000),
        "1 January",
        "SDSU",
    ),
    event(
        "squash vine borer eggs hatch",
        (245, 300),
        "when they are laid",
        "SDSU",
    ),
    event(
        "squash vine borer larvae feed",
        (660, 660),
        "when the eggs are laid",
        "SDSU",
    ),
    event(
        "squash vine borer larvae leave to pupate",
        (745, 745),
        "when the eggs are laid",
        "SDSU",
    ),
    event("field corn has six leaves", (475, 475), "planting", "UDEL"),
    event(
        "field corn has twelve leaves",
        (870, 870),
        "planting",
        "UDEL",
    ),
    event("field corn tassels", (1_135, 1_135), "planting", "UDEL"),
    event("field corn silks", (1_400, 1_400), "planting", "UDEL"),
];

const fn event(
    name: &'static str,
    (least, most): (i64, i64),
    counted_from: &'static str,
    source: &'static str,
) -> Event {
    Event {
        name,
        heat: Span { least, most },
        counted_from,
        source,
    }
}

/// In how many days an event comes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DaysUntil {
    /// Days, in tenths.
    pub tenths: Span<i64>,
    /// What comes.
    pub event: String,
}

impl fmt::Display for DaysUntil {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "In {} days: {}",
            self.tenths.show(tenths_shown),
            self.event
        )
    }
}

/// In how many days an event comes, at so much heat a day.
pub fn until(
    event: &Event,
    gathered: DegreeDays,
    per_day: DegreeDays,
    units: Units,
) -> Result<Reckoning<DaysUntil>, Refusal> {
    check_daily(per_day)?;
    let tenths = |heat: i64| {
        let missing = i128::from(heat) * 1_000 - i128::from(gathered.0);
        nearest(missing.max(0) * 10, i128::from(per_day.0)).unwrap_or(i64::MAX)
    };
    let result = DaysUntil {
        tenths: Span {
            least: tenths(event.heat.least),
            most: tenths(event.heat.most),
        },
        event: event.name.to_owned(),
    };
    let needed = event.heat.show(|heat| DegreeDays(heat * 1_000).show(units));
    let shown = result.tenths.show(tenths_shown);
    Ok(Reckoning::new(result, source::cite(event.source))
        .step(Step::new("Heat that it takes", needed))
        .step(Step::new("Gathered so far", gathered.show(units)))
        .step(Step::new("A day gives", per_day.show(units)))
        .step(Step::sum("Days", shown))
        .on(format!(
            "Counted from: {}; base 50 °F (10 °C); the source does not name its method.",
            event.counted_from
        ))
        .rounded("To the nearest tenth of a day."))
}

/// When to sow sweet corn again so that it ripens so many days after the last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct CornGap {
    /// The heat to wait for since the last sowing.
    pub heat: DegreeDays,
    /// How many days that takes now, in tenths.
    pub tenths_of_days: i64,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for CornGap {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let days = tenths_shown(self.tenths_of_days);
        write!(
            out,
            "Sow again after {}, about {days} days",
            self.heat.show(self.units)
        )
    }
}

/// The gap between sowings of sweet corn: the heat of a day at harvest by the days wanted between pickings.
pub fn corn_gap(
    at_harvest: DegreeDays,
    days_between: i64,
    now: DegreeDays,
    units: Units,
) -> Result<Reckoning<CornGap>, Refusal> {
    check_daily(at_harvest)?;
    check_daily(now)?;
    if !(1..=100).contains(&days_between) {
        return Err(Refusal::bad(
            "days between pickings",
            "from 1 to 100 days",
            days_between.to_string(),
        ));
    }
    let heat = DegreeDays(at_harvest.0 * days_between);
    let result = CornGap {
        heat,
        tenths_of_days: nearest(i128::from(heat.0) * 10, i128::from(now.0)).unwrap_or(i64::MAX),
        units,
    };
    let source = Source::published(
        "University of Connecticut IPM, Scheduling Sweet Corn Plantings [UCONN].",
    );
    Ok(Reckoning::new(result, source)
        .step(Step::new("A day at harvest gives", at_harvest.show(units)))
        .step(Step::new("Days between pickings", days_between.to_string()))
        .step(Step::sum("Wait for", heat.show(units)))
        .step(Step::new("A day now gives", now.show(units)))
        .step(Step::new(
            "That takes about",
            format!("{} days", tenths_shown(result.tenths_of_days)),
        ))
        .on("Cut method, base 50 °F (10 °C).")
        .rounded("To the nearest tenth of a day."))
}

/// On which day so much heat has gathered, counted day by day.
pub fn reached(heat: &Heat, first_day: Day, goal: DegreeDays) -> Option<Day> {
    let mut sum = 0_i64;
    let found = (0_i64..).zip(&heat.days).find(|(_, each)| {
        sum = sum.saturating_add(each.0);
        sum >= goal.0
    });
    found.map(|(index, _)| first_day.plus_days(index))
}

fn check_daily(per_day: DegreeDays) -> Result<(), BadInput> {
    if (1..=100_000).contains(&per_day.0) {
        Ok(())
    } else {
        let expected = "more than nothing and at most 100 °F days a day";
        Err(BadInput::new(
            "heat of a day",
            expected,
            per_day.show(Units::UsCustomary),
        ))
    }
}

fn tenths_shown(tenths: i64) -> String {
    match (tenths / 10, tenths % 10) {
        (whole, 0) => whole.to_string(),
        (whole, tenth) => format!("{whole}.{tenth}"),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn day(high: &str, low: &str) -> DayHeat {
        DayHeat {
            high: Temperature::parse(high).unwrap(),
            low: Temperature::parse(low).unwrap(),
        }
    }

    fn heat(method: Method, days: &[DayHeat]) -> Vec<i64> {
        let answer = gathered(method, usual_base(), days, Units::UsCustomary).unwrap();
        answer.result.days.iter().map(|each| each.0).collect()
    }

    #[test]
    fn the_methods_differ_on_cool_and_on_hot_days() {
        let days = [
            day("72 F", "46 F"),
            day("90 F", "65 F"),
            day("48 F", "30 F"),
        ];
        assert_eq!(heat(Method::Averaged, &days), [9_000, 27_500, 0]);
        assert_eq!(heat(Method::Cut, &days), [11_000, 25_500, 0]);
        assert_eq!(heat(Method::Floored, &days), [11_000, 27_500, 0]);
    }

    #[test]
    fn the_day_that_reaches_it() {
        let days = vec![day("72 F", "46 F"); 10];
        let heat = gathered(Method::Cut, usual_base(), &days, Units::Metric)
            .unwrap()
            .result;
        let first = Day::parse("2027-05-01").unwrap();
        let on = |goal: i64| reached(&heat, first, DegreeDays(goal));
        assert_eq!(on(1), Some(first));
        assert_eq!(on(33_000), Some(first.plus_days(2)));
        assert_eq!(on(110_001), None);
        assert_eq!(heat.to_string(), "61.1 °C days");
    }

    #[test]
    fn what_is_no_day_is_refused() {
        let refused = |base: &str, days: &[DayHeat]| {
            gathered(
                Method::Cut,
                Temperature::parse(base).unwrap(),
                days,
                Units::Metric,
            )
            .unwrap_err()
        };
        assert_eq!(
            refused("10 C", &[day("5 C", "6 C")]).to_string(),
            "days number 1: expected a high that is not below its low, but “5 °C and 6 °C” came."
        );
        assert_eq!(refused("30 C", &[]).code(), "outside_the_rule");
        assert_eq!(
            refused("10 C", &vec![day("9 C", "8 C"); 1_001]).code(),
            "bad_input"
        );
        let nothing = DegreeDays::default();
        assert_eq!(
            until(&EVENTS[0], nothing, nothing, Units::Metric)
                .unwrap_err()
                .code(),
            "bad_input"
        );
        assert!(corn_gap(DegreeDays(24_000), 0, DegreeDays(10_000), Units::Metric).is_err());
    }

    #[test]
    fn degree_days_are_read_in_either_scale() {
        assert_eq!(DegreeDays::parse("24.5"), Ok(DegreeDays(24_500)));
        assert_eq!(DegreeDays::parse("1000 °F days"), Ok(DegreeDays(1_000_000)));
        assert_eq!(DegreeDays::parse("500 C"), Ok(DegreeDays(900_000)));
        for text in ["", "-1", "hot", "1.2345", "9999999", "1e3"] {
            assert!(DegreeDays::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn every_event_names_a_known_source() {
        assert!(EVENTS.iter().all(|event| source::all_known(event.source)));
    }

    proptest! {
        #[test]
        fn a_day_of_the_cut_method_gives_nought_to_thirty_six(low in -400_i64..1_200, more in 0_i64..600) {
            let tenths = |count: i64| Temperature::parse(&format!("{}{}.{} F", if count < 0 { "-" } else { "" }, count.abs() / 10, count.abs() % 10)).unwrap();
            let day = DayHeat { high: tenths(low + more), low: tenths(low) };
            let heat = heat(Method::Cut, &[day])[0];
            prop_assert!((0..=36_000).contains(&heat));
            // In tenths of a degree the rule itself, exactly.
            let clamp = |count: i64| count.clamp(500, 860);
            prop_assert_eq!(heat, (clamp(low) + clamp(low + more) - 1_000) * 50);
        }
    }
}
