//! What a year gave, by crop, bed, person and recipient; and where the rota leaves a crop too long.
//!
//! In every total picked = kept + shared + given away + lost, since the parts are what is added.

use super::garden::Garden;
use super::ids::{BedId, MemberId, PlantingId, RecipientId};
use super::records::{Harvest, HarvestUnit};
use super::season_plan::{Books, dates};
use crate::ordered::Map;
use crate::quantities::Day;
use crate::reckoning::{Reckoning, Source, Step};
use crate::season::known::Origin;
use crate::season::source;

/// How much of something, part by part, in grams or hundredths of a count.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Parts {
    /// Kept by pickers.
    pub kept: i64,
    /// Shared among the people.
    pub shared: i64,
    /// Given away.
    pub given: i64,
    /// Lost.
    pub lost: i64,
}

impl Parts {
    /// All of it.
    pub fn picked(self) -> i64 {
        self.kept + self.shared + self.given + self.lost
    }

    fn add(&mut self, harvest: &Harvest) {
        self.kept += harvest.kept;
        self.shared += harvest.shared;
        self.given += harvest.given_away();
        self.lost += harvest.lost;
    }
}

/// A total for each of these in each unit: weights and counts are never added up.
pub type By<K> = Map<(K, HarvestUnit), Parts>;

/// What a year gave.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HarvestYear {
    /// All of it, by unit.
    pub all: Map<HarvestUnit, Parts>,
    /// By crop.
    pub crops: By<String>,
    /// By bed.
    pub beds: By<BedId>,
    /// By who picked it.
    pub members: By<MemberId>,
    /// What was given away, by who had it and what it was; nobody for those who are not on the list.
    pub recipients: Map<(Option<RecipientId>, String, HarvestUnit), i64>,
}

/// What a year gave; what was struck out does not count.
pub fn of_year(garden: &Garden, year: i16) -> HarvestYear {
    let mut totals = HarvestYear::default();
    let pickings = garden.seasons.get(&year).into_iter();
    for picking in pickings.flat_map(|season| season.pickings.values()) {
        if picking.ended_on.is_some() {
            continue;
        }
        let harvest = picking.harvest();
        let unit = harvest.unit;
        let crop = picking.crop.trim().to_lowercase();
        totals.all.entry(unit).or_default().add(&harvest);
        totals
            .crops
            .entry((crop.clone(), unit))
            .or_default()
            .add(&harvest);
        totals
            .beds
            .entry((picking.bed, unit))
            .or_default()
            .add(&harvest);
        totals
            .members
            .entry((picking.member, unit))
            .or_default()
            .add(&harvest);
        let named = harvest.given.iter().map(|(who, part)| (Some(*who), *part));
        let unnamed = (None, harvest.given_otherwise);
        for (who, part) in named.chain([unnamed]).filter(|(_, part)| *part > 0) {
            *totals
                .recipients
                .entry((who, crop.clone(), unit))
                .or_default() += part;
        }
    }
    totals
}

/// What a stretch without picking begins or ends with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Picking begins or ends, as the plan has it.
    Plan,
    /// A picking turn.
    Turn,
    /// Something was picked.
    Picked,
}

/// Days between two turns that are too many for a crop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RotaGap {
    /// Which planting.
    pub planting: PlantingId,
    /// In which bed.
    pub bed: BedId,
    /// What.
    pub crop: String,
    /// The most days from picking to picking that it allows.
    pub allows: i64,
    /// The turn or picking before, or the day on which picking begins.
    pub from: Day,
    /// Which of them.
    pub from_mark: Mark,
    /// The turn after, or the day on which picking ends.
    pub to: Day,
    /// Which of them.
    pub to_mark: Mark,
    /// The days on which turns would close it.
    pub offered: Vec<Day>,
}

impl RotaGap {
    /// How it was found: what the crop allows, and the days that lie between.
    pub fn working(&self, books: &Books) -> Reckoning<i64> {
        let every = books.crops.find(&self.crop).ok();
        let every = every.and_then(|crop| crop.pick_every.as_ref());
        let source = every.map_or_else(
            || Source::arithmetic("The plan of the garden."),
            |every| match &every.origin {
                Origin::Own => Source::arithmetic("An own value of the garden."),
                Origin::Table(keys) => source::cite(keys),
            },
        );
        let days = self.from.days_until(self.to);
        let mark = |mark: Mark, of_plan: &'static str, of_turn: &'static str| match mark {
            Mark::Plan => of_plan,
            Mark::Turn => of_turn,
            Mark::Picked => "Picked",
        };
        let mut answer = Reckoning::new(days, source);
        if let Some(every) = every {
            let label = format!("Pick {} every", self.crop);
            answer = answer.step(Step::new(label, format!("{} days", every.value)));
        }
        let before = mark(self.from_mark, "Picking begins", "Turn before");
        let after = mark(self.to_mark, "Picking ends", "Turn after");
        answer
            .step(Step::new(before, self.from.to_string()))
            .step(Step::new(after, self.to.to_string()))
            .step(Step::sum("Days between", days.to_string()))
            .on("A turn meets a crop when it comes no later than the crop allows after the one before.")
    }
}

/// Where the turns of a year leave a crop longer than its interval, among the days from one to another, both included.
pub fn rota_gaps(
    garden: &Garden,
    books: &Books,
    year: i16,
    (from, to): (Day, Day),
) -> Vec<RotaGap> {
    let Some(season) = garden.seasons.get(&year) else {
        return Vec::new();
    };
    let mut gaps = Vec::new();
    for (id, planting) in &season.plantings {
        if !planting.is_open() || planting.cover {
            continue;
        }
        let every = books
            .crop(planting)
            .ok()
            .and_then(|crop| crop.pick_every.as_ref());
        let days = dates::of(garden, books, planting).map(|answer| answer.result);
        let (Some(every), Ok(days)) = (every, days) else {
            continue;
        };
        let Some(first) = days.first_picking else {
            continue;
        };
        let (begin, end) = (first.max(from), days.last.min(to));
        let allows = every.value.most.max(1);
        let within = |day: Day| begin <= day && day <= end;
        let turns = season
            .turns
            .values()
            .filter(|turn| turn.bed == planting.bed && turn.ended_on.is_none() && within(turn.day));
        // Whoever picked without a turn has picked all the same.
        let pickings = season.pickings.values().filter(|picking| {
            let same_crop = picking.crop.trim().to_lowercase() == planting.crop.to_lowercase();
            picking.ended_on.is_none()
                && (picking.planting == Some(*id) || (picking.bed == planting.bed && same_crop))
                && within(picking.day)
        });
        let mut marks = vec![(begin, Mark::Plan)];
        marks.extend(turns.map(|turn| (turn.day, Mark::Turn)));
        marks.extend(pickings.map(|picking| (picking.day, Mark::Picked)));
        marks.push((end, Mark::Plan));
        crate::ordered::sort_by_key(&mut marks, |(day, _)| *day);
        for pair in marks.windows(2) {
            let &[(one, from_mark), (next, to_mark)] = pair else {
                continue;
            };
            if one.days_until(next) > allows {
                let steps = 1..=one.days_until(next).div_euclid(allows);
                let offered = steps.map(|step| one.plus_days(step * allows));
                gaps.push(RotaGap {
                    planting: *id,
                    bed: planting.bed,
                    crop: planting.crop.clone(),
                    allows,
                    from: one,
                    from_mark,
                    to: next,
                    to_mark,
                    offered: offered.filter(|day| *day < next).collect(),
                });
            }
        }
    }
    gaps
}
