//! A garden's frost dates in a year, at the chance that it plans with.

use crate::document::Garden;
use crate::document::records::Number;
use crate::ordered::Map;
use crate::quantities::{BadInput, Day};
use crate::reckoning::{Reckoning, Refusal};
use crate::season::frost::{FrostDate, Levels, Meaning, Season, date_at};

/// The frost dates of a year.
#[derive(Clone, Debug, PartialEq)]
pub struct FrostYear {
    /// The last of spring, at the chosen chance.
    pub last: Reckoning<FrostDate>,
    /// The average last of spring, by which classes of crops are sown.
    pub average_last: Day,
    /// The first of fall, at the chosen chance.
    pub first: Reckoning<FrostDate>,
}

impl FrostYear {
    /// Of this year, by the garden's station.
    pub fn of(garden: &Garden, year: i16) -> Result<Self, Refusal> {
        let frost = garden
            .profile
            .as_ref()
            .and_then(|profile| profile.frost.as_ref())
            .ok_or_else(|| Refusal::Missing {
                what: "The garden's frost dates".to_owned(),
                why: "a coordinator enters them from the nearest station under Garden".to_owned(),
            })?;
        let spring = levels(Season::Spring, &frost.spring, year)?;
        let fall = levels(Season::Fall, &frost.fall, year)?;
        Ok(Self {
            last: date_at(&spring, frost.chance)?,
            average_last: date_at(&spring, 50)?.result.day,
            first: date_at(&fall, frost.chance)?,
        })
    }

    /// The last frost of spring.
    pub fn last_day(&self) -> Day {
        self.last.result.day
    }

    /// The first frost of fall.
    pub fn first_day(&self) -> Day {
        self.first.result.day
    }
}

fn levels(season: Season, dates: &Map<Number, String>, year: i16) -> Result<Levels, BadInput> {
    let said = dates.iter().filter(|(_, date)| !date.is_empty());
    let days = said
        .map(|(chance, date)| {
            let day = Day::parse(&format!("{year:04}-{date}"))?;
            Ok((i64::from(chance.get()), day))
        })
        .collect::<Result<Vec<(i64, Day)>, BadInput>>()?;
    Levels::new(season, Meaning::Exceedance, days)
}
