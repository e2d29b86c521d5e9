//! What the ground proposes by itself: the compost, lime in its season, the fence, and the hoe after rain.

use super::{AHEAD, Effort, Kind, OVERDUE, Proposal};
use crate::document::Garden;
use crate::document::ground_change::units_of;
use crate::document::records::{PlantingState, StructureKind};
use crate::document::soil_plan::{self, Asked};
use crate::document::weather_days;
use crate::quantities::{Day, Depth};
use crate::reckoning::{Caution, Source};
use crate::soil::doses::Placement;

/// Common practice: a pile that is worked is turned every two weeks while it is warm.
const TURN_EVERY: i64 = 14;
/// The months in which a pile works.
const WARM: std::ops::RangeInclusive<i8> = 3..=10;
/// Lime goes on in fall, so that it has the winter to work.
const LIME_ON: (i8, i8) = (10, 15);
/// Rain that makes weeds come up: 5 mm.
const WEEDS_AFTER: Depth = Depth::from_micrometres(5_000);
/// Days after it until they are small and the surface is dry.
const HOE_AFTER: i64 = 3;
/// A fence is walked once a month, at 40 m a minute.
const FENCE_PACE: i64 = 40_000;

/// What the ground proposes around a day.
pub(super) fn all(garden: &Garden, today: Day) -> Vec<Proposal> {
    let mut found = Vec::new();
    piles(garden, today, &mut found);
    fences(garden, today, &mut found);
    lime(garden, today, &mut found);
    hoeing(garden, today, &mut found);
    found
}

fn piles(garden: &Garden, today: Day, found: &mut Vec<Proposal>) {
    // Counted from the beginning of the year, so that the key stays the same from whichever day one looks.
    let ahead = today.plus_days(AHEAD);
    let turn = i64::from(ahead.day_of_year() - 1).div_euclid(TURN_EVERY);
    let Some(new_year) = Day::new(ahead.year(), 1, 1) else {
        return;
    };
    let day = weather_days::saturday_after(new_year.plus_days(turn * TURN_EVERY));
    if !WARM.contains(&day.month()) {
        return;
    }
    for (id, structure) in &garden.structures {
        if structure.ended_on.is_some() || structure.what.kind != StructureKind::Compost {
            continue;
        }
        let key = format!("{}:{id}:{}-{turn}", Kind::TurnPile.word(), day.year());
        let title = format!("Turn the pile in {}", structure.label);
        let proposal = Proposal::new(key, Kind::TurnPile, title, day, Effort::plain(45));
        let every = format!("every {TURN_EVERY} days");
        let practice = Source::common_practice("A pile that works is turned every two weeks.");
        let proposal = proposal.because("While it works", every).by(practice);
        found.push(proposal.careful(Caution::Lifting));
    }
}

fn fences(garden: &Garden, today: Day, found: &mut Vec<Proposal>) {
    let ahead = today.plus_days(AHEAD);
    let Some(first) = Day::new(ahead.year(), ahead.month(), 1) else {
        return;
    };
    let day = weather_days::saturday_after(first);
    for (id, fence) in &garden.fence_lines {
        if fence.ended_on.is_some() {
            continue;
        }
        let month = format!("{:04}-{:02}", day.year(), day.month());
        let key = format!("{}:{id}:{month}", Kind::WalkFence.word());
        let length = fence.line.length();
        let effort = Effort::plain(10 + length.mm() / FENCE_PACE);
        let title = format!("Walk the fence: {}", fence.label);
        let proposal = Proposal::new(key, Kind::WalkFence, title, day, effort);
        let shown = format!("{}, once a month", length.show(units_of(garden)));
        let practice = Source::common_practice("A fence is walked once a month.");
        found.push(
            proposal
                .because("Length", shown)
                .by(practice)
                .careful(Caution::ElectricFence),
        );
    }
}

fn lime(garden: &Garden, today: Day, found: &mut Vec<Proposal>) {
    let Some(day) = Day::new(today.year(), LIME_ON.0, LIME_ON.1) else {
        return;
    };
    // The soil plan of every bed is a large reckoning, so it is made in its season only.
    if !(-OVERDUE..=AHEAD).contains(&today.days_until(day)) {
        return;
    }
    for (id, bed) in garden.open_beds() {
        let plan = soil_plan::of_bed(
            garden,
            Asked {
                bed: id,
                today,
                placement: Placement::DugIn,
            },
        );
        let Some(due) = plan.lime_due().filter(|mass| mass.is_positive()) else {
            continue;
        };
        let key = format!("{}:{id}:{}", Kind::Lime.word(), day.year());
        let effort = Effort::by_area(15, 2, bed.outline.area(), units_of(garden));
        let title = "Spread lime".to_owned();
        let proposal = Proposal::new(key, Kind::Lime, title, day, effort).at(id);
        let practice = Source::common_practice(
            "Lime goes on in fall, and has the winter to work; the bed's soil plan has the rate.",
        );
        let proposal = proposal
            .because("Due by its soil test", due.show(units_of(garden)))
            .by(practice);
        found.push(
            proposal
                .careful(Caution::LimeDust)
                .careful(Caution::Lifting),
        );
    }
}

/// After rain, on beds where something stands.
fn hoeing(garden: &Garden, today: Day, found: &mut Vec<Proposal>) {
    let from = today.plus_days(-OVERDUE);
    let days = weather_days::days(garden);
    let rained = days
        .range(from..=today)
        .rev()
        .find_map(|(day, weather)| Some((*day, weather.rain.filter(|rain| *rain >= WEEDS_AFTER)?)));
    let Some((rain_day, rain)) = rained else {
        return;
    };
    for (id, bed) in garden.open_beds() {
        let stands = garden.seasons.values().any(|season| {
            season.plantings.values().any(|planting| {
                planting.bed == id
                    && !planting.cover
                    && planting.ended_on.is_none()
                    && planting.state == PlantingState::Standing
            })
        });
        if !stands {
            continue;
        }
        let key = format!("{}:{id}:{rain_day}", Kind::Hoe.word());
        let effort = Effort::by_area(10, 2, bed.outline.area(), units_of(garden));
        let day = rain_day.plus_days(HOE_AFTER);
        let title = "Hoe after the rain".to_owned();
        let proposal = Proposal::new(key, Kind::Hoe, title, day, effort).at(id);
        let shown = format!("{} on {rain_day}", rain.show_water(units_of(garden)));
        let practice = Source::common_practice(
            "Weeds are hoed while they are small, once the surface is dry.",
        );
        let proposal = proposal.because("Rain", shown).because(
            "Until the surface is dry",
            format!("{HOE_AFTER} days, unless it rains again"),
        );
        found.push(proposal.by(practice));
    }
}
