//! The form of the garden's frost dates and latitude.
//!
//! Dates are those of the nearest station, by the chance of a frost after them in spring and before them in fall. Three
//! chances are asked for, which is what the arithmetic needs; others that the garden has stay as they are.

use selion_core::document::edit::ProfileField;
use selion_core::document::records::{GardenFrost, Number, Profile};
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Day, Latitude};
use selion_core::season::frost::{Levels, Meaning, Season, date_at};

use super::wording::capital;

/// The chances that are asked for, in percent.
pub const CHANCES: [u32; 3] = [10, 50, 90];
/// A year with a leap day, so that every date can be read.
const ANY_YEAR: i16 = 2028;
const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// A field of the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is described where the frost dates are")]
pub enum FrostBox {
    Chance,
    Spring(u32),
    Fall(u32),
    Station,
    Latitude,
}

/// What stands in the form, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[expect(missing_docs, reason = "each is described where the frost dates are")]
pub struct FrostTyped {
    pub chance: String,
    pub spring: [String; 3],
    pub fall: [String; 3],
    pub station: String,
    pub latitude: String,
}

impl FrostTyped {
    /// The form as it stands.
    pub fn of(profile: &Profile) -> Self {
        let frost = profile.frost.clone().unwrap_or_default();
        let dates = |dates: &Map<Number, String>| {
            CHANCES.map(|chance| {
                let date = dates.get(&Number::from(chance));
                date.map(|date| shown(date)).unwrap_or_default()
            })
        };
        let chance = if frost.chance == 0 { 50 } else { frost.chance };
        Self {
            chance: chance.to_string(),
            spring: dates(&frost.spring),
            fall: dates(&frost.fall),
            station: frost.station,
            latitude: profile
                .latitude
                .map(|it| it.to_string())
                .unwrap_or_default(),
        }
    }

    /// What has to be set.
    pub fn changes(&self, before: &Profile) -> Result<Vec<ProfileField>, Map<FrostBox, String>> {
        let mut wrong = Wrong::new();
        let stood = before.frost.clone().unwrap_or_default();
        let chance = read_chance(&self.chance, &mut wrong);
        let spring = read_dates(&self.spring, &stood.spring, FrostBox::Spring, &mut wrong);
        let fall = read_dates(&self.fall, &stood.fall, FrostBox::Fall, &mut wrong);
        let latitude = read_latitude(&self.latitude, &mut wrong);
        let Some(chance) = chance.filter(|_| wrong.is_empty()) else {
            return Err(wrong);
        };
        let said = |dates: &Map<Number, String>| dates.values().any(|date| !date.is_empty());
        let some = said(&spring) || said(&fall);
        if some {
            check(Season::Spring, &spring, chance, &mut wrong);
            check(Season::Fall, &fall, chance, &mut wrong);
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        let frost = (some || before.frost.is_some()).then(|| GardenFrost {
            chance,
            spring,
            fall,
            station: self.station.trim().to_owned(),
        });
        Ok([
            (frost != before.frost).then_some(ProfileField::Frost(frost)),
            (latitude != before.latitude).then_some(ProfileField::Latitude(latitude)),
        ]
        .into_iter()
        .flatten()
        .collect())
    }
}

/// What is wrong, field by field.
type Wrong = Map<FrostBox, String>;

fn refuse(wrong: &mut Wrong, of: FrostBox, bad: &BadInput) {
    wrong.insert(of, capital(&bad.to_string()));
}

fn read_chance(typed: &str, wrong: &mut Wrong) -> Option<i64> {
    let number = typed.trim().trim_end_matches('%').trim().parse::<i64>();
    let chance = number.ok().filter(|chance| (10..=90).contains(chance));
    if chance.is_none() {
        let expected = "a chance from 10 to 90 percent";
        refuse(
            wrong,
            FrostBox::Chance,
            &BadInput::new("chance", expected, typed),
        );
    }
    chance
}

fn read_dates(
    typed: &[String; 3],
    stood: &Map<Number, String>,
    of: fn(u32) -> FrostBox,
    wrong: &mut Wrong,
) -> Map<Number, String> {
    let mut dates = stood.clone();
    for (chance, text) in CHANCES.into_iter().zip(typed) {
        match month_and_day(text) {
            Err(bad) => refuse(wrong, of(chance), &bad),
            // What was there is emptied, not left out: a field that is left out keeps its value.
            Ok(date) if date.is_empty() && !dates.contains_key(&Number::from(chance)) => {}
            Ok(date) => {
                dates.insert(Number::from(chance), date);
            }
        }
    }
    dates
}

fn read_latitude(typed: &str, wrong: &mut Wrong) -> Option<Latitude> {
    let text = typed.replace('°', "");
    if text.trim().is_empty() {
        return None;
    }
    Latitude::parse(text.trim())
        .map_err(|bad| refuse(wrong, FrostBox::Latitude, &bad))
        .ok()
}

/// Whether the dates give one at the chosen chance and one at even chances, which the plan asks for.
fn check(season: Season, dates: &Map<Number, String>, chance: i64, wrong: &mut Wrong) {
    let of = match season {
        Season::Spring => FrostBox::Spring(50),
        Season::Fall => FrostBox::Fall(50),
    };
    let said = dates.iter().filter(|(_, date)| !date.is_empty());
    let days = said.filter_map(|(chance, date)| {
        let day = Day::parse(&format!("{ANY_YEAR}-{date}")).ok()?;
        Some((i64::from(chance.get()), day))
    });
    let levels = Levels::new(season, Meaning::Exceedance, days.collect());
    let found = levels.map_err(|bad| bad.to_string()).and_then(|levels| {
        let asked = [chance, 50].map(|chance| date_at(&levels, chance).map(|_date| ()));
        let refused = asked.into_iter().find_map(Result::err);
        refused.map_or(Ok(()), |refusal| Err(refusal.to_string()))
    });
    if let Err(words) = found {
        wrong.insert(of, capital(&words));
    }
}

/// What the frost dates are, in words, for the facts of the garden.
pub fn words(profile: &Profile) -> Vec<(&'static str, String)> {
    let missing = || "Not entered yet".to_owned();
    let frost = profile.frost.as_ref();
    let dates = |of: fn(&GardenFrost) -> &Map<Number, String>, side: &str| {
        let said = frost
            .into_iter()
            .flat_map(of)
            .filter(|(_, date)| !date.is_empty());
        let all: Vec<String> = said
            .map(|(chance, date)| format!("{} with {chance} % {side}", shown(date)))
            .collect();
        if all.is_empty() {
            missing()
        } else {
            all.join(", ")
        }
    };
    vec![
        (
            "Last frost of spring",
            dates(|frost| &frost.spring, "after it"),
        ),
        (
            "First frost of fall",
            dates(|frost| &frost.fall, "before it"),
        ),
        (
            "Planned with",
            frost.map_or_else(missing, |frost| format!("a chance of {} %", frost.chance)),
        ),
        (
            "Station",
            frost
                .map(|frost| frost.station.clone())
                .filter(|station| !station.is_empty())
                .unwrap_or_else(missing),
        ),
        (
            "Latitude",
            profile
                .latitude
                .map_or_else(missing, |latitude| latitude.to_string()),
        ),
    ]
}

/// `05-21` as people write it: `21 May`.
fn shown(date: &str) -> String {
    let parts = date.split_once('-').and_then(|(month, day)| {
        let month = month.parse::<usize>().ok()?.checked_sub(1)?;
        Some((MONTHS.get(month)?, day.trim_start_matches('0')))
    });
    parts.map_or_else(|| date.to_owned(), |(month, day)| format!("{day} {month}"))
}

/// Reads `21 May`, `May 21` or `05-21`; nothing stays nothing.
fn month_and_day(text: &str) -> Result<String, BadInput> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(String::new());
    }
    let refused = || BadInput::new("date", "a month and day such as 21 May or 05-21", text);
    let words: Vec<&str> = text
        .split([' ', '-', '.'])
        .filter(|word| !word.is_empty())
        .collect();
    let &[one, other] = words.as_slice() else {
        return Err(refused());
    };
    let month_of = |word: &str| {
        let begins = |month: &str| {
            let word = word.to_lowercase();
            word.len() >= 3 && word.starts_with(&month.to_lowercase())
        };
        MONTHS
            .iter()
            .position(|month| begins(month))
            .map(|place| place + 1)
    };
    let (month, day) = match (month_of(one), month_of(other)) {
        (Some(month), None) => (month, other.parse::<u8>().ok()),
        (None, Some(month)) => (month, one.parse::<u8>().ok()),
        (None, None) if text.contains('-') => (
            one.parse().map_err(|_unread| refused())?,
            other.parse::<u8>().ok(),
        ),
        _ => return Err(refused()),
    };
    let date = format!("{month:02}-{:02}", day.ok_or_else(refused)?);
    match Day::parse(&format!("{ANY_YEAR}-{date}")) {
        Ok(_) => Ok(date),
        Err(_) => Err(refused()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::{garden, with_frost};

    fn typed() -> FrostTyped {
        FrostTyped {
            chance: "20 %".into(),
            spring: ["11 May", "Apr 27", "04-16"].map(ToOwned::to_owned),
            fall: ["3 October", "15 Oct", "1 Nov"].map(ToOwned::to_owned),
            station: "Albany".into(),
            latitude: "42.7 N".into(),
        }
    }

    #[test]
    fn dates_are_read_as_people_write_them_and_kept_as_month_and_day() {
        let profile = garden().profile.unwrap();
        let set = typed().changes(&profile).unwrap();
        let [
            ProfileField::Frost(Some(frost)),
            ProfileField::Latitude(Some(latitude)),
        ] = set.as_slice()
        else {
            panic!("{set:?}")
        };
        let spring: Vec<(u32, &str)> = frost
            .spring
            .iter()
            .map(|(chance, date)| (chance.get(), date.as_str()))
            .collect();
        assert_eq!(spring, [(10, "05-11"), (50, "04-27"), (90, "04-16")]);
        assert_eq!(
            (frost.chance, latitude.to_string()),
            (20, "42.7° N".to_owned())
        );
        let after = Profile {
            frost: Some(frost.clone()),
            latitude: Some(*latitude),
            ..profile.as_ref().clone()
        };
        assert_eq!(FrostTyped::of(&after).changes(&after), Ok(Vec::new()));
        assert_eq!(
            words(&after)[1].1,
            "3 Oct with 10 % before it, 15 Oct with 50 % before it, 1 Nov with 90 % before it"
        );
    }

    #[test]
    fn every_wrong_field_says_so() {
        let profile = garden().profile.unwrap();
        let wrong = FrostTyped {
            chance: "5".into(),
            spring: ["soon", "31 Apr", "5/16"].map(ToOwned::to_owned),
            latitude: "far north".into(),
            ..typed()
        };
        let wrong = wrong.changes(&profile).unwrap_err();
        let fields: Vec<FrostBox> = wrong.keys().copied().collect();
        let expected = [
            FrostBox::Chance,
            FrostBox::Spring(10),
            FrostBox::Spring(50),
            FrostBox::Spring(90),
            FrostBox::Latitude,
        ];
        assert_eq!(fields, expected);
        // In spring the later a date the smaller the chance of frost after it.
        let backwards = FrostTyped {
            spring: ["16 Apr", "27 Apr", "11 May"].map(ToOwned::to_owned),
            ..typed()
        };
        let wrong = backwards.changes(&profile).unwrap_err();
        assert!(wrong.contains_key(&FrostBox::Spring(50)), "{wrong:?}");
        let half = FrostTyped {
            fall: ["3 Oct", "", ""].map(ToOwned::to_owned),
            ..typed()
        };
        let wrong = half.changes(&profile).unwrap_err();
        assert!(wrong.contains_key(&FrostBox::Fall(50)), "{wrong:?}");
    }

    #[test]
    fn what_is_taken_out_is_emptied_and_further_chances_stay() {
        let garden = with_frost(garden());
        let mut profile = Profile::clone(garden.profile.as_ref().unwrap());
        let frost = profile.frost.as_mut().unwrap();
        frost.fall.insert(20.into(), "10-07".into());
        let typed = FrostTyped {
            fall: ["3 Oct", "15 Oct", ""].map(ToOwned::to_owned),
            ..FrostTyped::of(&profile)
        };
        let set = typed.changes(&profile).unwrap();
        let [ProfileField::Frost(Some(frost))] = set.as_slice() else {
            panic!("{set:?}")
        };
        let fall: Vec<(u32, &str)> = frost
            .fall
            .iter()
            .map(|(chance, date)| (chance.get(), date.as_str()))
            .collect();
        assert_eq!(
            fall,
            [(10, "10-03"), (20, "10-07"), (50, "10-15"), (90, "")]
        );
    }
}
