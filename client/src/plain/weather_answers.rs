//! What follows from the weather: gathered heat, whether a bed is dry enough to work, the water account of a crop; or which
//! day is missing for it.

use selion_core::document::ids::BedId;
use selion_core::document::records::Planting;
use selion_core::document::weather_days::{self, DayWeather};
use selion_core::document::{Garden, bed_soil};
use selion_core::quantities::{BadInput, Day, Units};
use selion_core::reckoning::{Reckoning, Step};
use selion_core::season::heat::{Heat, Method, usual_base};
use selion_core::soil::test_report::Texture;
use selion_core::work::water::balance::Balance;
use selion_core::work::water::crops::{self, CROPS, WaterCrop};
use selion_core::work::water::root_zone::{Holding, RootZone, SOILS, refill};
use selion_core::work::workable::{Flag, Workable};

use super::weather_rows::last_full_day;
use super::wording::day_words;

/// An answer, or the sentence that says what is missing.
pub type Answer<T> = Result<Reckoning<T>, String>;

/// Textures to choose from.
pub fn textures() -> Vec<&'static str> {
    SOILS.iter().map(|soil| soil.name).collect()
}

/// Crops of the water table.
pub fn water_crops() -> Vec<&'static str> {
    CROPS.iter().map(|crop| crop.name).collect()
}

/// The heat since a day, as far as the temperatures go.
pub fn heat(garden: &Garden, since: Day, to: Day) -> Answer<Heat> {
    if let Some(words) = without_warmth(garden, since, to) {
        return Err(words);
    }
    weather_days::heat(garden, since, to, Method::Cut, usual_base())
        .map_err(|refusal| refusal.to_string())
}

/// Whether a bed of this texture is dry enough to work by the end of a day.
pub fn workable(garden: &Garden, texture: &str, to: Day) -> Answer<Workable> {
    weather_days::workable(garden, texture, to).map_err(|refusal| refusal.to_string())
}

/// What to do about the answer; the hand decides.
pub const fn flag_words(flag: Flag) -> &'static str {
    match flag {
        Flag::TooWet => "Probably too wet to work",
        Flag::SqueezeTest => "Squeeze a handful: it decides",
        Flag::Likely => "Likely dry enough to work",
    }
}

/// What a water account is kept of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Account<'a> {
    /// The texture of the bed's soil.
    pub texture: &'a str,
    /// A crop of the water table.
    pub crop: &'a str,
    /// When it was sown or set, where that is known: how much it drinks hangs on its age.
    pub since: Option<Day>,
    /// The day on which the ground was wet through.
    pub soaked: Day,
    /// The last day that is counted.
    pub to: Day,
}

/// The account of a root zone, with what it holds and what the crop drinks in the working before it.
pub fn account(garden: &Garden, units: Units, asked: Account<'_>) -> Answer<Balance> {
    if let Some(words) = without_warmth(garden, asked.soaked.plus_days(1), asked.to) {
        return Err(words);
    }
    let crop = crops::find(asked.crop).map_err(|bad| bad.to_string())?;
    let holding = Holding::of_texture(asked.texture).map_err(|bad| bad.to_string())?;
    let zone = RootZone {
        holding,
        roots: crop.roots.0,
        easy: crop.easy,
    };
    let held = refill(&zone, None, units).map_err(|refusal| refusal.to_string())?;
    let (percent, drinks) = drinks(crop, asked);
    let holds = (held.result.all, held.result.easily);
    let from = asked.soaked.plus_days(1);
    let mut answer = weather_days::balance(garden, holds, percent, from, asked.to)
        .map_err(|refusal| refusal.to_string())?;
    let own = std::mem::take(&mut answer.steps);
    answer.steps = held.steps.into_iter().chain(drinks).chain(own).collect();
    answer.basis.extend(held.basis);
    Ok(answer)
}

/// How much of what the air takes the crop drinks, in percent, with the working: by its age where that and its stages are
/// known, else as when it stands full.
fn drinks(crop: &WaterCrop, asked: Account<'_>) -> (i64, Vec<Step>) {
    let by_age = asked
        .since
        .filter(|since| *since <= asked.to)
        .and_then(|since| crops::on_day(crop, None, None, since.days_until(asked.to)).ok());
    let [_, full, _] = crop.kc;
    let (kc, steps) = match by_age {
        Some(answer) => (answer.result, answer.steps),
        None => (
            full,
            vec![Step::new("Kc of a full stand", full.to_string())],
        ),
    };
    ((kc.thousandths() + 5).div_euclid(10), steps)
}

/// The bed's texture by its newest soil test, where that says one.
pub fn texture_of(garden: &Garden, bed: BedId) -> Option<&'static str> {
    let (_, test) = bed_soil::newest_test(garden, bed)?;
    let name = match test.sheet.texture? {
        Texture::Sand => "sand",
        Texture::Loam => "loam",
        Texture::Clay => "clay",
    };
    SOILS
        .iter()
        .map(|soil| soil.name)
        .find(|known| *known == name)
}

/// What stands in a bed on a day, and the crop of the water table that its name begins like.
pub fn crop_of(garden: &Garden, bed: BedId, on: Day) -> Option<(&Planting, Option<&'static str>)> {
    let plantings = garden
        .seasons
        .values()
        .flat_map(|season| season.plantings.values());
    let standing = plantings.filter(|planting| {
        planting.bed == bed && planting.is_open() && !planting.cover && planting.start <= on
    });
    let newest = standing.max_by_key(|planting| planting.start)?;
    let first_word = |name: &str| {
        let word = name.split(|letter: char| !letter.is_alphabetic()).next();
        word.unwrap_or_default().to_lowercase()
    };
    let wanted = first_word(&newest.crop);
    let found = CROPS
        .iter()
        .map(|crop| crop.name)
        .find(|name| first_word(name) == wanted);
    Some((newest, found))
}

/// The wettest of the last thirty days: on it the ground was wet through, if on any.
pub fn wettest_day(garden: &Garden, today: Day) -> Option<Day> {
    let days = weather_days::days(garden);
    let lately = days.range(today.plus_days(-30)..=today);
    let rained = lately.filter_map(|(day, weather)| Some((weather.rain?, *day)));
    rained
        .filter(|(rain, _)| rain.is_positive())
        .max()
        .map(|(_, day)| day)
}

/// Which days lack a temperature, named; nothing where none does.
fn without_warmth(garden: &Garden, from: Day, to: Day) -> Option<String> {
    let days = weather_days::days(garden);
    let lacks = |day: &Day| {
        let weather: Option<&DayWeather> = days.get(day);
        weather.is_none_or(|weather| weather.coldest.is_none() || weather.warmest.is_none())
    };
    let span = from.days_until(to).clamp(-1, 400);
    let missing: Vec<Day> = (0..=span)
        .map(|step| from.plus_days(step))
        .filter(lacks)
        .collect();
    let (_, more) = missing.split_first()?;
    let named: Vec<String> = missing
        .iter()
        .take(3)
        .map(|day| day_words(*day, to.plus_days(9)))
        .collect();
    let rest = match more.len() {
        0..=2 => String::new(),
        more => format!(" and {} more", more - 2),
    };
    let verb = if more.is_empty() { "is" } else { "are" };
    Some(format!(
        "The warmest and the coldest of {}{rest} {verb} missing. Nobody wrote them down, and they are not guessed.",
        named.join(", ")
    ))
}

/// The day that the reckonings go to: the last one with temperatures.
pub fn reckoned_to(garden: &Garden, today: Day) -> Result<Day, String> {
    last_full_day(garden, today)
        .ok_or_else(|| "No day has both its coldest and its warmest written down yet.".to_owned())
}

/// A day out of a field.
pub fn day_typed(field: &str, typed: &str) -> Result<Day, String> {
    Day::parse(typed.trim()).map_err(|bad: BadInput| bad.named(field).to_string())
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::ids::PlantingId;
    use selion_core::document::records::{PlantingRows, PlantingState, StartsAs};
    use selion_core::quantities::{Latitude, Moment};

    use super::*;
    use crate::plain::sample::{bed, day, member};
    use crate::plain::weather_rows::tests::with;

    const TODAY: &str = "2026-06-11";

    /// 30 mm on 1 June, then ten dry days from 14 to 28 °C at 42.75° N.
    fn dried() -> Garden {
        let days: Vec<String> = (1..=10)
            .map(|number| format!("2026-06-{number:02}"))
            .collect();
        let readings: Vec<_> = days
            .iter()
            .enumerate()
            .map(|(step, on)| {
                let rain = if step == 0 { 30_000 } else { 0 };
                (on.as_str(), "", Some(rain), Some((14_000, 28_000)))
            })
            .collect();
        let mut garden = with(&readings);
        let mut profile = garden.profile.as_deref().unwrap().clone();
        profile.latitude = Some(Latitude::from_millidegrees(42_750));
        garden.profile = Some(Arc::new(profile));
        garden
    }

    fn asked<'a>() -> Account<'a> {
        Account {
            texture: "loam",
            crop: "tomato",
            since: None,
            soaked: day("2026-06-01"),
            to: day("2026-06-10"),
        }
    }

    #[test]
    fn heat_is_counted_and_a_missing_day_is_named() {
        let garden = dried();
        let since = day("2026-06-01");
        // 57.2 and 82.4 °F are 19.8 °F days above 50 °F, ten times.
        let answer = heat(&garden, since, day("2026-06-10")).unwrap();
        assert_eq!(answer.result.sum.show(Units::UsCustomary), "198 °F days");
        let words = heat(&garden, since, day("2026-06-11")).unwrap_err();
        assert_eq!(
            words,
            "The warmest and the coldest of Thu 11 June is missing. Nobody wrote them down, and they are not guessed."
        );
        let words = heat(&garden, day("2026-05-20"), day("2026-06-10")).unwrap_err();
        assert!(
            words.contains("Wed 20 May, Thu 21 May, Fri 22 May and 9 more are missing"),
            "{words}"
        );
        assert_eq!(reckoned_to(&garden, day(TODAY)), Ok(day("2026-06-10")));
        assert!(reckoned_to(&with(&[]), day(TODAY)).is_err());
    }

    #[test]
    fn the_account_has_what_the_soil_holds_and_the_crop_drinks_before_its_days() {
        let garden = dried();
        let answer = account(&garden, Units::Metric, asked()).unwrap();
        assert_eq!(answer.result.days.len(), 9);
        let labels: Vec<&str> = answer
            .steps
            .iter()
            .map(|step| step.label.as_str())
            .collect();
        assert_eq!(labels[0], "Held for roots");
        let kc = labels
            .iter()
            .position(|label| *label == "Kc of a full stand")
            .unwrap();
        assert!(
            labels[kc + 1..]
                .iter()
                .any(|label| label.starts_with("Day 1"))
        );
        // A young crop drinks less than a full stand [FAO-56, Table 12: 0.6 and 1.15 for tomato].
        let young = Account {
            since: Some(day("2026-06-01")),
            ..asked()
        };
        let young = account(&garden, Units::Metric, young).unwrap();
        assert!(young.result.to_fill < answer.result.to_fill);
        let unknown = Account {
            crop: "moss",
            ..asked()
        };
        assert!(
            account(&garden, Units::Metric, unknown)
                .unwrap_err()
                .starts_with("crop:")
        );
    }

    #[test]
    fn a_bed_dries_and_is_told_in_words() {
        let garden = dried();
        let answer = workable(&garden, "loam", day("2026-06-10")).unwrap();
        assert_eq!(flag_words(answer.result.flag), "Likely dry enough to work");
        let wet = workable(&garden, "loam", day("2026-06-02")).unwrap();
        assert_eq!(flag_words(wet.result.flag), "Probably too wet to work");
        assert_eq!(wettest_day(&garden, day(TODAY)), Some(day("2026-06-01")));
        let no_rain = with(&[("2026-06-10", "", Some(0), Some((14_000, 28_000)))]);
        assert!(
            workable(&no_rain, "loam", day("2026-06-10"))
                .unwrap_err()
                .contains("soaking rain")
        );
        assert_eq!(wettest_day(&no_rain, day(TODAY)), None);
    }

    #[test]
    fn what_stands_in_a_bed_is_found_in_the_water_table() {
        let mut garden = dried();
        let planting = Planting {
            bed: bed(1),
            crop: "bean, bush snap".into(),
            cover: false,
            part: None,
            rows: PlantingRows::default(),
            start: day("2026-05-20"),
            starts_as: StartsAs::Sown,
            first_picking: None,
            last_picking: None,
            state: PlantingState::Standing,
            cleared_on: None,
            series: None,
            made_by: member(1),
            word: String::new(),
            ended_on: None,
        };
        let season = garden.seasons.get_mut(&2026).unwrap();
        let id = PlantingId::fresh(Moment::from_millis(1), [1; 10]);
        season.plantings.insert(id, Arc::new(planting));
        let (found, water) = crop_of(&garden, bed(1), day(TODAY)).unwrap();
        assert_eq!(found.start, day("2026-05-20"));
        assert_eq!(water, Some("bean, green"));
        assert!(crop_of(&garden, bed(2), day(TODAY)).is_none());
        assert_eq!(texture_of(&garden, bed(1)), None);
        for name in textures() {
            assert!(Holding::of_texture(name).is_ok());
        }
        assert!(water_crops().contains(&"tomato"));
    }
}
