//! What is shown of a planting before it is kept, and of one that was kept: plants, seed, days, what speaks against it, and
//! of a cover crop what fits the gap, when to end it, how long to wait and the nitrogen that it leaves.

use selion_core::document::Garden;
use selion_core::document::edit::NewPlanting;
use selion_core::document::ids::{BedId, MemberId, PlantingId};
use selion_core::document::records::{Planting, PlantingState};
use selion_core::document::season_plan::dates::PlantingDates;
use selion_core::document::season_plan::fits::{self, CoverFit, CropFit, Gap};
use selion_core::document::season_plan::frost::FrostYear;
use selion_core::document::season_plan::neighbours::{Objection, objections};
use selion_core::document::season_plan::plants::{self, ToBuy};
use selion_core::document::season_plan::{Books, dates, series};
use selion_core::quantities::{Day, Moment, Rate, SmallMass, Units};
use selion_core::reckoning::{Reckoning, Refusal, Source, Step};
use selion_core::season::cover::window::{SowingWindow, window};
use selion_core::season::crops::FrostClass;
use selion_core::season::frost::{FirstSowing, first_sowing};
use selion_core::season::known::Span;
use selion_core::season::rows::PlantsInOutline;
use selion_core::season::succession::Succession;

use super::Planned;

/// Days of a week.
const WEEK: i64 = 7;

/// An answer with its working, or why there is none.
pub type Answer<T> = Result<Reckoning<T>, Refusal>;

/// What is known of one sowing.
#[derive(Clone, Debug, PartialEq)]
pub struct Facts {
    /// The planting.
    pub planting: Planting,
    /// Its days.
    pub days: Answer<PlantingDates>,
    /// Its plants, row by row; none of a cover crop, which is sown broadcast.
    pub plants: Option<Answer<PlantsInOutline>>,
    /// What to buy for it.
    pub buy: Answer<ToBuy>,
}

/// What a cover crop asks for and leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct CoverFacts {
    /// When it is sown.
    pub window: Answer<SowingWindow>,
    /// How it fits the gap, if it does.
    pub fit: Option<CoverFit>,
    /// The gap.
    pub gap: Gap,
    /// When it is to be ended at the latest, for the wait before the next crop that is planned here.
    pub end_by: Option<Day>,
    /// When it is to be ended by its growth.
    pub stop_when: Option<String>,
    /// When the bed is free again.
    pub free_from: Option<Reckoning<Span<Day>>>,
    /// Whether it fixes nitrogen, whatever is known of how much.
    pub legume: bool,
    /// The nitrogen for what comes next.
    pub nitrogen: Option<Reckoning<Span<Rate>>>,
}

/// What is shown of a form that can be kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Preview {
    /// Each sowing.
    pub sowings: Vec<Facts>,
    /// What to buy for all of them, where there are several.
    pub buy_in_all: Option<Reckoning<String>>,
    /// What speaks against them, each once.
    pub objections: Vec<Objection>,
    /// When the crop is first sown, by the frost of spring.
    pub earliest: Option<Reckoning<FirstSowing>>,
    /// How many sowings the season has room for.
    pub fitting: Option<Answer<Succession>>,
    /// Of a cover crop.
    pub cover: Option<CoverFacts>,
    /// What to mind, in sentences.
    pub minds: Vec<String>,
    /// Whether the garden's frost dates are missing, without which frost ends nothing.
    pub no_frost: bool,
}

/// What is known of a planting.
pub fn facts(garden: &Garden, books: &Books, planting: &Planting) -> Facts {
    Facts {
        days: dates::of(garden, books, planting),
        plants: (!planting.cover).then(|| plants::plants_of(garden, books, planting)),
        buy: plants::to_buy(garden, books, planting),
        planting: planting.clone(),
    }
}

/// What is shown before a form is kept.
pub fn preview(garden: &Garden, books: &Books, planned: &Planned, until: Option<Day>) -> Preview {
    let year = planned.first.start.year();
    let frost = FrostYear::of(garden, year).ok();
    let sowings: Vec<(PlantingId, Planting)> = planned
        .sowings()
        .into_iter()
        .map(|(id, new)| (id, as_planting(new)))
        .collect();
    let mut against: Vec<Objection> = Vec::new();
    for (id, planting) in &sowings {
        for objection in objections(garden, books, year, *id, planting) {
            if against.iter().all(|other| other.words != objection.words) {
                against.push(objection);
            }
        }
    }
    let known: Vec<Facts> = sowings
        .iter()
        .map(|(_, planting)| facts(garden, books, planting))
        .collect();
    let class = books.crops.find(&planned.first.crop).ok();
    let class = class.and_then(|crop| crop.frost_class.as_ref().map(|known| known.value));
    let class = class.filter(|_| !planned.first.cover);
    let earliest = frost
        .as_ref()
        .zip(class)
        .map(|(frost, class)| first_sowing(class, frost.average_last));
    let fitting = frost
        .as_ref()
        .filter(|_| !planned.first.cover)
        .map(|frost| series::fitting(books, frost, &planned.first, interval(planned)));
    let cover = known.first().filter(|facts| facts.planting.cover);
    let cover = cover.and_then(|facts| cover_facts(garden, books, frost.as_ref(), &facts.planting));
    let mut preview = Preview {
        buy_in_all: (known.len() > 1)
            .then(|| buy_in_all(garden, &known))
            .flatten(),
        sowings: known,
        objections: against,
        earliest,
        fitting,
        cover,
        minds: Vec::new(),
        no_frost: frost.is_none(),
    };
    preview.minds = minds(&preview, class, until);
    preview
}

fn interval(planned: &Planned) -> Option<i64> {
    let (first, second) = (planned.days.first()?, planned.days.get(1)?);
    Some(first.days_until(*second))
}

/// A planting that is not written down yet, as it would stand in the plan.
fn as_planting(new: NewPlanting) -> Planting {
    Planting {
        bed: new.bed,
        crop: new.crop,
        cover: new.cover,
        part: new.part,
        rows: new.rows,
        start: new.start,
        starts_as: new.starts_as,
        first_picking: new.first_picking,
        last_picking: new.last_picking,
        state: PlantingState::Planned,
        cleared_on: None,
        series: None,
        made_by: MemberId::fresh(Moment::from_millis(0), [0; 10]),
        word: new.word,
        ended_on: None,
    }
}

/// What fits into the days from one on: crops and cover crops.
pub fn fitting_into(
    garden: &Garden,
    books: &Books,
    bed: BedId,
    day: Day,
    until: Option<Day>,
) -> (Vec<CropFit>, Vec<CoverFit>) {
    let Ok(frost) = FrostYear::of(garden, day.year()) else {
        return (Vec::new(), Vec::new());
    };
    let gap = gap_from(day, until.filter(|until| *until >= day), || {
        next_sowing(garden, bed, day)
    });
    let covers = fits::covers(garden, books, &frost, bed, gap);
    (fits::crops(books, &frost, gap), covers)
}

/// When the next crop is to go into a bed after a day, as far as it is planned.
fn next_sowing(garden: &Garden, bed: BedId, day: Day) -> Option<Day> {
    let seasons = garden.seasons.values();
    let plantings = seasons.flat_map(|season| season.plantings.values());
    let next = plantings
        .filter(|it| it.bed == bed && it.ended_on.is_none() && !it.cover && it.start > day);
    next.map(|it| it.start).min()
}

/// The days from one on, until a day that is named, or the next sowing, or the end of the year: what is free beyond it is
/// open to what stands the winter.
fn gap_from(day: Day, until: Option<Day>, next: impl FnOnce() -> Option<Day>) -> Gap {
    let to = until.or_else(|| next().map(|next| next.plus_days(-1)));
    match to.filter(|to| to.year() == day.year()) {
        Some(to) => Gap {
            from: day,
            to,
            open_ended: false,
        },
        None => Gap {
            from: day,
            to: Day::new(day.year(), 12, 31).unwrap_or(day),
            open_ended: true,
        },
    }
}

/// What a cover crop asks for and leaves, seen from the frost of the fall before which it is sown.
pub fn cover_facts(
    garden: &Garden,
    books: &Books,
    frost: Option<&FrostYear>,
    planting: &Planting,
) -> Option<CoverFacts> {
    let cover = books.cover(planting).ok()?;
    let units = units_of(garden);
    let next = next_sowing(garden, planting.bed, planting.start);
    let gap = gap_from(planting.start, None, || next);
    let wait = cover.wait_weeks.as_ref();
    let wait = wait.map_or(0, |weeks| weeks.value.most.saturating_mul(WEEK));
    let window = match frost {
        Some(frost) => window(cover, frost.first_day()),
        None => Err(Refusal::Missing {
            what: "The garden's frost dates".to_owned(),
            why: "its days of sowing are counted from the first frost of fall".to_owned(),
        }),
    };
    let fit = frost.and_then(|frost| {
        let fits = fits::covers(garden, books, frost, planting.bed, gap);
        fits.into_iter().find(|fit| fit.cover == cover.name)
    });
    let ends = dates::of(garden, books, planting).ok();
    Some(CoverFacts {
        window,
        fit,
        gap,
        end_by: next.map(|next| next.plus_days(-wait)),
        stop_when: cover.stop_when.as_ref().map(|stop| stop.value.clone()),
        free_from: ends.and_then(|days| fits::free_from(cover, days.result.last)),
        legume: cover.kind.as_deref() == Some("legume"),
        nitrogen: fits::nitrogen_credit(cover, units),
    })
}

fn units_of(garden: &Garden) -> Units {
    let profile = garden.profile.as_ref();
    profile.map_or(Units::Metric, |profile| profile.units)
}

/// What to buy for every sowing together.
fn buy_in_all(garden: &Garden, known: &[Facts]) -> Option<Reckoning<String>> {
    let units = units_of(garden);
    let (mut seeds, mut plants) = (0_i64, 0_i64);
    let mut weight = Some(SmallMass::ZERO);
    let mut steps = Vec::new();
    for facts in known {
        let buy = &facts.buy.as_ref().ok()?.result;
        steps.push(Step::new(
            facts.planting.start.to_string(),
            buy_words(buy, units),
        ));
        match buy {
            ToBuy::Seed(seed) => {
                seeds = seeds.saturating_add(seed.seeds.unwrap_or(0));
                weight = weight
                    .zip(seed.weight)
                    .and_then(|(one, other)| one.checked_add(other));
            }
            ToBuy::Plants(count) => {
                plants = plants.saturating_add(*count);
                weight = None;
            }
            ToBuy::Cover(_) => return None,
        }
    }
    let words = match (plants, weight) {
        (0, Some(weight)) => format!("{seeds} seeds, {}", weight.show(units)),
        (0, None) => format!("{seeds} seeds"),
        (plants, _) => format!("{plants} plants"),
    };
    let source = Source::arithmetic("The seed or plants of every sowing together.");
    let answer = Reckoning::new(words.clone(), source);
    let answer = steps.into_iter().fold(answer, Reckoning::step);
    Some(answer.step(Step::sum("To buy", words)))
}

/// What is bought, in words.
pub fn buy_words(buy: &ToBuy, units: Units) -> String {
    match buy {
        ToBuy::Seed(seed) => seed.to_string(),
        ToBuy::Plants(1) => "1 plant".to_owned(),
        ToBuy::Plants(count) => format!("{count} plants"),
        ToBuy::Cover(seed) => format!("{} of seed", seed.show(|mass| mass.show(units))),
    }
}

fn minds(preview: &Preview, class: Option<FrostClass>, until: Option<Day>) -> Vec<String> {
    let mut minds = Vec::new();
    let starts: Vec<Day> = preview
        .sowings
        .iter()
        .map(|facts| facts.planting.start)
        .collect();
    if let (Some(earliest), Some(first)) = (&preview.earliest, starts.first())
        && *first < earliest.result.from
    {
        let from = earliest.result.from;
        minds.push(format!(
            "Sown on {first}, it is earlier than usual: from {from} on, by the frost of spring."
        ));
    }
    // What outlives light frost may be sown for the next year.
    let killed = class.is_some_and(|class| class != FrostClass::VeryHardy);
    if let (Some(Ok(fitting)), true) = (&preview.fitting, killed) {
        let fits = fitting.result.sowings.len();
        if fits < starts.len() {
            minds.push(match fits {
                0 => "It is sown too late for two weeks of picking before the first frost of fall.".to_owned(),
                1 => "Only the first sowing gives two weeks of picking before the first frost of fall.".to_owned(),
                fits => format!(
                    "Only the first {fits} sowings give two weeks of picking before the first frost of fall."
                ),
            });
        }
    }
    let last = preview.sowings.iter().filter_map(|facts| {
        let days = facts.days.as_ref().ok()?;
        Some(days.result.last)
    });
    let last = last.max();
    if let Some((until, last)) = until.zip(last)
        && last > until
    {
        minds.push(format!(
            "It stands until {last}, and the gap that it is planned into ends on {until}."
        ));
    }
    if let Some(cover) = &preview.cover
        && cover.fit.is_none()
        && !preview.no_frost
    {
        let ends = cover.gap.to;
        let gap = if cover.gap.open_ended {
            "to the end of the year".to_owned()
        } else {
            format!("to {ends}, the day before the next crop")
        };
        minds.push(format!(
            "Sown on that day it does not fit what time there is, from {} {gap}.",
            cover.gap.from
        ));
    }
    let end_by = preview.cover.as_ref().and_then(|cover| cover.end_by);
    if let Some((end_by, last)) = end_by.zip(last)
        && last > end_by
    {
        minds.push(format!(
            "Ended on {last}, it leaves too little time before the next crop that is planned here: end it by {end_by}."
        ));
    }
    minds
}
