//! What plantings propose, from sowing to clearing.

use super::{AHEAD, Effort, Kind, Proposal};
use crate::document::Garden;
use crate::document::ground_change::units_of;
use crate::document::ids::PlantingId;
use crate::document::records::{Planting, PlantingState, StartsAs};
use crate::document::season_plan::dates::PlantingDates;
use crate::document::season_plan::{Books, dates, plants};
use crate::quantities::{Day, Spacing};
use crate::reckoning::{Reckoning, Source};
use crate::season::crops::Crop;
use crate::season::scouting::{self, IntervalCheck, Pest};

/// Days from sowing until seedlings are large enough to be thinned.
const THIN_AFTER: i64 = 21;
/// Days from sowing or setting until pests are looked for.
const SCOUT_AFTER: i64 = 21;
/// What stands closer than this is sown thick and thinned: 6 in.
const THINNED_BELOW: Spacing = Spacing::from_micrometres(152_400);
/// The longest that is ever left between two looks, in days.
const SELDOM: i64 = 7;
/// No planting is looked over or picked more often.
const MOST_TIMES: i64 = 200;

/// What every planting in the plan proposes. Of what comes round again and again only the next two weeks are worked out.
pub(super) fn all(garden: &Garden, books: &Books, today: Day) -> Vec<Proposal> {
    let mut found = Vec::new();
    for (year, season) in &garden.seasons {
        for (id, planting) in &season.plantings {
            if planting.is_open() && garden.open_bed(planting.bed).is_some() {
                let mut of_planting = Vec::new();
                let asked = Asked {
                    garden,
                    books,
                    today,
                };
                of_one(asked, *id, planting, &mut of_planting);
                // A task follows its planting only within the season that the planting stands in.
                found.extend(of_planting.into_iter().map(|it| it.of_season(*year)));
            }
        }
    }
    found
}

#[derive(Clone, Copy)]
struct Asked<'a> {
    garden: &'a Garden,
    books: &'a Books,
    today: Day,
}

impl Asked<'_> {
    fn is_soon(self, day: Day) -> bool {
        (0..=AHEAD).contains(&self.today.days_until(day))
    }
}

fn of_one(asked: Asked<'_>, id: PlantingId, planting: &Planting, found: &mut Vec<Proposal>) {
    let Asked { garden, books, .. } = asked;
    let Some(ground) = plants::ground_of(garden, planting) else {
        return;
    };
    let crop = &planting.crop;
    let put = |kind: Kind, title: String, day, effort| {
        let key = format!("{}:{id}", kind.word());
        Proposal::new(key, kind, title, day, effort).at(planting.bed)
    };
    let area = |start, each| Effort::by_area(start, each, ground.area(), units_of(garden));
    if planting.state == PlantingState::Planned {
        let (kind, title) = match planting.starts_as {
            StartsAs::Sown => (Kind::Sow, format!("Sow {crop}")),
            StartsAs::Set => (Kind::SetOut, format!("Set out {crop}")),
        };
        let proposal = put(kind, title, planting.start, area(15, 3));
        found.push(proposal.because("By the plan on", planting.start.to_string()));
    }
    let days = dates::of(garden, books, planting);
    if planting.cover {
        if let Ok(days) = days {
            let proposal = put(
                Kind::EndCover,
                format!("End the {crop}"),
                days.result.last,
                area(15, 4),
            );
            let stop = books.cover(planting).ok();
            let stop = stop.and_then(|cover| cover.stop_when.as_ref());
            let words = stop.map_or("by the plan", |stop| stop.value.as_str());
            let proposal = proposal.resting_on(&days);
            found.push(proposal.because("End it", words.to_owned()));
        }
        return;
    }
    let known = books.crop(planting).ok();
    if let Some(crop) = known.filter(|crop| is_thinned(planting, crop)) {
        let day = planting.start.plus_days(THIN_AFTER);
        let proposal = put(Kind::Thin, format!("Thin {}", crop.name), day, area(10, 4));
        let practice =
            Source::common_practice("Seedlings are thinned about three weeks after sowing.");
        let after = format!("{THIN_AFTER} days");
        found.push(proposal.because("After sowing", after).by(practice));
    }
    let Ok(days) = days else { return };
    scouting(asked, (id, planting), days.result, area(10, 1), found);
    if let Some(crop) = known {
        picking(asked, (id, planting, crop), &days, area(15, 2), found);
    }
    let last = days.result.last;
    let after = last.plus_days(1);
    let proposal = put(Kind::Clear, format!("Clear {crop}"), after, area(15, 3));
    let proposal = proposal.resting_on(&days);
    found.push(proposal.because("Last picking", last.to_string()));
}

/// Small seed that stands close is sown thick; peas and beans are not.
fn is_thinned(planting: &Planting, crop: &Crop) -> bool {
    let close = crop
        .in_row
        .as_ref()
        .is_some_and(|known| known.value.most < THINNED_BELOW);
    let from_seed = crop.planted_as.as_deref() == Some("seed");
    let beans = crop.family.as_deref() == Some("Fabaceae");
    planting.starts_as == StartsAs::Sown && close && from_seed && !beans
}

fn pests_of(crop: &str) -> &'static [Pest] {
    let crop = crop.to_lowercase();
    if crop.starts_with("squash") || crop.starts_with("pumpkin") {
        &[Pest::SquashBug, Pest::SquashVineBorer]
    } else if crop == "potato" || crop == "eggplant" {
        &[Pest::ColoradoPotatoBeetle]
    } else {
        &[]
    }
}

/// Looks so close that eggs are seen before they hatch.
fn scouting(
    asked: Asked<'_>,
    (id, planting): (PlantingId, &Planting),
    days: PlantingDates,
    effort: Effort,
    found: &mut Vec<Proposal>,
) {
    let pests = pests_of(&planting.crop);
    if pests.is_empty() {
        return;
    }
    let soon_enough = |every: i64| {
        let seen = |pest: &Pest| {
            scouting::interval(*pest, every).is_ok_and(|answer| answer.result.soon_enough)
        };
        pests.iter().all(seen)
    };
    let every = (1..=SELDOM)
        .rev()
        .find(|every| soon_enough(*every))
        .unwrap_or(1);
    let words: Vec<&str> = pests.iter().map(|pest| pest.word()).collect();
    let words = words.join(", ");
    let known: Vec<(Pest, Reckoning<IntervalCheck>)> = pests
        .iter()
        .filter_map(|pest| Some((*pest, scouting::interval(*pest, every).ok()?)))
        .collect();
    for time in 1..=MOST_TIMES {
        let day = days.start.plus_days(SCOUT_AFTER + (time - 1) * every);
        if day > days.last {
            break;
        }
        if !asked.is_soon(day) {
            continue;
        }
        let (key, title) = (
            format!("{}:{id}:{time}", Kind::Scout.word()),
            format!("Look for {words} on {}", planting.crop),
        );
        let mut proposal = Proposal::new(key, Kind::Scout, title, day, effort).at(planting.bed);
        for (pest, answer) in &known {
            let label = format!("Eggs of {} hatch in", pest.word());
            let shortest = format!("{} days at the earliest", answer.result.shortest_hatch);
            proposal = proposal.because(&label, shortest).by(answer.source.clone());
            for practice in &answer.basis {
                proposal = proposal.on(practice);
            }
        }
        let first = days.start.plus_days(SCOUT_AFTER);
        let looks = format!("every {every} days from {first}");
        found.push(proposal.because("So looked over", looks));
    }
}

fn picking(
    asked: Asked<'_>,
    (id, planting, crop): (PlantingId, &Planting, &Crop),
    days: &Reckoning<PlantingDates>,
    effort: Effort,
    found: &mut Vec<Proposal>,
) {
    let Some(first) = days.result.first_picking else {
        return;
    };
    let (every, whose) = crop.pick_every.as_ref().map_or_else(
        || (SELDOM, " (common practice)".to_owned()),
        |every| (every.value.most.max(1), every.origin.mark()),
    );
    for time in 1..=MOST_TIMES {
        let day = first.plus_days((time - 1) * every);
        if day > days.result.last {
            break;
        }
        if !asked.is_soon(day) {
            continue;
        }
        let key = format!("{}:{id}:{time}", Kind::Pick.word());
        let title = format!("Pick {}", planting.crop);
        let proposal = Proposal::new(key, Kind::Pick, title, day, effort).at(planting.bed);
        let interval = format!("every {every} days from {first}");
        let label = format!("Picked{whose}");
        found.push(proposal.resting_on(days).because(&label, interval));
    }
}
