//! Picking, harvest and scouting.

use super::super::case::Case;
use super::super::{Printed, Topic, TopicError};
use super::crop;
use crate::quantities::{BadInput, Weekday};
use crate::season::picking;
use crate::season::scouting::{self, Pest};

pub(super) const TOPICS: &[Topic] = &[
    Topic {
        name: "picking-rota",
        summary: "Whether the turns of a rota pick a crop often enough.",
        example: r#"{"crop": "okra", "turns": ["Monday", "Thursday"]}"#,
        run: run_rota,
    },
    Topic {
        name: "mixed-yield",
        summary: "What a small mixed planting gives in a season, as a rough check.",
        example: r#"{"area": "80 sq ft", "units": "us"}"#,
        run: run_mixed_yield,
    },
    Topic {
        name: "donated-meals",
        summary: "Meals in a donated harvest.",
        example: r#"{"harvest": "300 lb", "units": "us"}"#,
        run: run_meals,
    },
    Topic {
        name: "scouting-interval",
        summary: "Whether beds are looked over before the eggs of a pest hatch.",
        example: r#"{"pest": "colorado_potato_beetle", "interval": 7}"#,
        run: run_interval,
    },
    Topic {
        name: "squash-bug-count",
        summary: "What a count of squash bug egg masses means.",
        example: r#"{"egg_masses": 7, "plants": 10}"#,
        run: run_squash_bug,
    },
    Topic {
        name: "potato-beetle-count",
        summary: "What a count of Colorado potato beetles on fifty stems means.",
        example: r#"{"adults": 12, "large_larvae": 80, "small_larvae": 40}"#,
        run: run_potato_beetle,
    },
];

fn run_rota(case: &Case) -> Result<Printed, TopicError> {
    let names = case.words_each("turns")?;
    let turns = names
        .iter()
        .map(|name| weekday(name))
        .collect::<Result<Vec<_>, _>>()?;
    Printed::of(&picking::rota(&crop(case)?, &turns)?)
}

fn weekday(name: &str) -> Result<Weekday, BadInput> {
    let days = [
        ("monday", Weekday::Monday),
        ("tuesday", Weekday::Tuesday),
        ("wednesday", Weekday::Wednesday),
        ("thursday", Weekday::Thursday),
        ("friday", Weekday::Friday),
        ("saturday", Weekday::Saturday),
        ("sunday", Weekday::Sunday),
    ];
    let found = days
        .iter()
        .find(|(day, _)| name.trim().eq_ignore_ascii_case(day));
    found
        .map(|(_, day)| *day)
        .ok_or_else(|| BadInput::new("turns", "days of the week such as Monday", name))
}

fn run_mixed_yield(case: &Case) -> Result<Printed, TopicError> {
    Printed::of(&picking::mixed_yield(case.read("area")?, case.units()?)?)
}

fn run_meals(case: &Case) -> Result<Printed, TopicError> {
    Printed::of(&picking::meals(case.read("harvest")?, case.units()?)?)
}

fn run_interval(case: &Case) -> Result<Printed, TopicError> {
    let pest = case.choice("pest", &Pest::ALL)?;
    Printed::of(&scouting::interval(pest, case.whole("interval", 1..=60)?)?)
}

fn run_squash_bug(case: &Case) -> Result<Printed, TopicError> {
    let masses = case.whole("egg_masses", 0..=1_000_000)?;
    Printed::of(&scouting::squash_bug(
        masses,
        case.whole("plants", 0..=1_000_000)?,
    )?)
}

fn run_potato_beetle(case: &Case) -> Result<Printed, TopicError> {
    let count = |field: &'static str| case.whole(field, 0..=1_000_000);
    let answer = scouting::potato_beetle(
        count("adults")?,
        count("large_larvae")?,
        count("small_larvae")?,
    )?;
    Printed::of(&answer)
}
