//! Frost dates, first and last sowing, succession, heat.

use super::super::case::Case;
use super::super::{Printed, Topic, TopicError};
use super::{crop, crop_if};
use crate::quantities::{BadInput, Day};
use crate::reckoning::Refusal;
use crate::season::crops::FrostClass;
use crate::season::frost::{self, Levels, Meaning, Season};
use crate::season::heat::{self, DayHeat, DegreeDays, EVENTS, Method, usual_base};
use crate::season::sowing::{self, LastSowingCase, SHORT_DAYS};
use crate::season::succession::{self, SuccessionCase};

pub(super) const TOPICS: &[Topic] = &[
    Topic {
        name: "frost-date",
        summary: "The date of the last or first frost at any chance, from published levels.",
        example: r#"{"season": "spring", "meaning": "exceedance", "chance": 20,
            "levels": [{"chance": 10, "day": "2027-06-05"}, {"chance": 50, "day": "2027-05-21"}]}"#,
        run: run_frost_date,
    },
    Topic {
        name: "frost-free",
        summary: "The days between the last frost of spring and the first of fall.",
        example: r#"{"last_frost": "2027-05-21", "first_frost": "2027-09-29"}"#,
        run: run_frost_free,
    },
    Topic {
        name: "first-sowing",
        summary: "When a crop is first sown or set, by its frost class.",
        example: r#"{"crop": "tomato", "average_last_frost": "2027-05-15"}"#,
        run: run_first_sowing,
    },
    Topic {
        name: "last-sowing",
        summary: "The last day to sow for a harvest before frost.",
        example: r#"{"crop": "bean, bush snap", "frost": "2027-10-15", "own": {"days": "55"}, "picking": 14}"#,
        run: run_last_sowing,
    },
    Topic {
        name: "successions",
        summary: "How many sowings fit into a season, and when each is sown and picked.",
        example: r#"{"crop": "bean, bush snap", "first": "2027-04-27", "last": "2027-07-24", "picking": 14}"#,
        run: run_successions,
    },
    Topic {
        name: "degree-days",
        summary: "Growing degree days by a named method.",
        example: r#"{"method": "cut", "days": [{"high": "90 F", "low": "65 F"}, {"high": "72 F", "low": "46 F"},
            {"high": "63 F", "low": "42 F"}], "units": "us"}"#,
        run: run_degree_days,
    },
    Topic {
        name: "heat-until",
        summary: "In how many days a pest or a stage of corn comes, by gathered heat.",
        example: r#"{"event": "squash vine borer eggs hatch", "gathered": "0", "per_day": "20", "units": "us"}"#,
        run: run_heat_until,
    },
    Topic {
        name: "corn-gap",
        summary: "When to sow sweet corn again, by heat, so that it ripens so many days after the last.",
        example: r#"{"at_harvest": "24", "days_between": 4, "now": "10", "units": "us"}"#,
        run: run_corn_gap,
    },
];

fn run_frost_date(case: &Case) -> Result<Printed, TopicError> {
    let season = case.choice(
        "season",
        &[("spring", Season::Spring), ("fall", Season::Fall)],
    )?;
    let meanings = [
        ("exceedance", Meaning::Exceedance),
        ("percentile", Meaning::Percentile),
    ];
    let meaning = case.choice("meaning", &meanings)?;
    let mut dates = Vec::new();
    for level in case.list("levels")? {
        dates.push((level.whole("chance", 1..=99)?, level.read::<Day>("day")?));
    }
    let levels = Levels::new(season, meaning, dates)?;
    Printed::of(&frost::date_at(&levels, case.whole("chance", 1..=99)?)?)
}

fn run_frost_free(case: &Case) -> Result<Printed, TopicError> {
    Printed::of(&frost::between(
        case.read("last_frost")?,
        case.read("first_frost")?,
    )?)
}

fn run_first_sowing(case: &Case) -> Result<Printed, TopicError> {
    let named = case.read_if_by("frost_class", FrostClass::parse)?;
    let class = match (named, crop_if(case)?) {
        (Some(class), _) => class,
        (None, Some(crop)) => match &crop.frost_class {
            Some(class) => class.value,
            None => {
                return Err(Refusal::Missing {
                    what: format!("The frost class of {}", crop.name),
                    why: "the table has no confirmed one, so put in frost_class".to_owned(),
                }
                .into());
            }
        },
        (None, None) => {
            return Err(BadInput::new("frost_class", "a frost class, or a crop", "").into());
        }
    };
    Printed::of(&frost::first_sowing(
        class,
        case.read("average_last_frost")?,
    ))
}

fn run_last_sowing(case: &Case) -> Result<Printed, TopicError> {
    let span = |field: &'static str| case.whole_if(field, 0..=400);
    let crop = crop_if(case)?;
    let tender = crop.as_ref().map_or(0, sowing::tender_of);
    let mut bases = Vec::new();
    bases.extend(crop.as_ref().and_then(sowing::remark_of).map(str::to_owned));
    let to_harvest = match (span("to_harvest")?, &crop) {
        (Some(days), _) => {
            bases.push("Days to harvest as put in.".to_owned());
            days
        }
        (None, Some(crop)) => {
            let known = sowing::days_of(crop)?;
            let whose = known.origin.words();
            bases.push(format!("Days to harvest of {}: {whose}.", crop.name));
            known.value
        }
        (None, None) => {
            return Err(BadInput::new("to_harvest", "a number of days, or a crop", "").into());
        }
    };
    let mut answer = sowing::last(&LastSowingCase {
        frost: case.read("frost")?,
        to_harvest,
        raising: span("raising")?.unwrap_or(0),
        picking: span("picking")?.unwrap_or(0),
        short_days: span("short_days")?.unwrap_or(SHORT_DAYS),
        tender: span("tender")?.unwrap_or(tender),
    })?;
    for basis in bases {
        answer = answer.on(basis);
    }
    Printed::of(&answer)
}

fn run_successions(case: &Case) -> Result<Printed, TopicError> {
    let crop = crop(case)?;
    let span = |field: &'static str| case.whole_if(field, 0..=400);
    let every = succession::interval_of(&crop);
    let (interval, whose) = match case.whole_if("interval", 1..=400)? {
        Some(interval) => (interval, "as put in".to_owned()),
        None => (every.value, every.origin.words()),
    };
    let to_harvest = match span("to_harvest")? {
        Some(days) => days,
        None => sowing::days_of(&crop)?.value,
    };
    let answer = succession::fit(&SuccessionCase {
        first: case.read("first")?,
        last: case.read("last")?,
        interval,
        to_harvest,
        short_days: span("short_days")?.unwrap_or(SHORT_DAYS),
        picking: case.whole("picking", 1..=400)?,
    })?;
    Printed::of(&answer.on(format!("Sowing interval of {}: {whose}.", crop.name)))
}

fn run_degree_days(case: &Case) -> Result<Printed, TopicError> {
    let methods = [
        ("averaged", Method::Averaged),
        ("cut", Method::Cut),
        ("floored", Method::Floored),
    ];
    let method = case.choice("method", &methods)?;
    let base = case.read_if("base")?.unwrap_or(usual_base());
    let mut days = Vec::new();
    for day in case.list("days")? {
        days.push(DayHeat {
            high: day.read("high")?,
            low: day.read("low")?,
        });
    }
    Printed::of(&heat::gathered(method, base, &days, case.units()?)?)
}

fn run_heat_until(case: &Case) -> Result<Printed, TopicError> {
    let events = EVENTS.each_ref().map(|event| (event.name, event));
    let event = case.choice("event", &events)?;
    let gathered = case
        .read_if_by("gathered", DegreeDays::parse)?
        .unwrap_or_default();
    let per_day = case.read_by("per_day", DegreeDays::parse)?;
    Printed::of(&heat::until(event, gathered, per_day, case.units()?)?)
}

fn run_corn_gap(case: &Case) -> Result<Printed, TopicError> {
    let at_harvest = case.read_by("at_harvest", DegreeDays::parse)?;
    let now = case.read_by("now", DegreeDays::parse)?;
    let days = case.whole("days_between", 1..=100)?;
    Printed::of(&heat::corn_gap(at_harvest, days, now, case.units()?)?)
}
