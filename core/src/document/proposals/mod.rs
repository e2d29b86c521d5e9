//! Tasks that the plan and the ground propose: what is to be sown, thinned, looked over, picked, cleared, limed, walked.
//!
//! A proposal is worked out when somebody looks, and becomes a task only when a coordinator accepts it, one by one or by the
//! kinds that the garden has agreed on. Its key stays the same however often the plan is moved, so it is accepted once.
//!
//! A proposal's task has an id that follows from the key, so that two coordinators who accept it without a signal make the
//! same task, and who claims it on either phone holds it. By rule nobody has to look: the phone of whoever may accept writes
//! [`to_accept`] whenever the proposals are worked out on it.
//!
//! Minutes are a garden's rule of thumb and are marked as an estimate; they are there to be corrected.

mod of_ground;
mod of_plantings;

use super::edit::{AcceptedTask, Edit};
use super::ids::{BedId, PlantingId, TaskId};
use super::season_plan::Books;
use super::{DocumentName, Garden};
use crate::ordered;
use crate::quantities::{Area, Day, Minutes, Units};
use crate::reckoning::{Caution, Reckoning, Source, Step};

/// How many days ahead is looked.
pub const AHEAD: i64 = 14;
/// What should have been done longer ago than this is proposed no more, in days.
const OVERDUE: i64 = 21;
/// Nobody is asked to work longer than this at one task: with more to do, there are more places.
const LONGEST: i64 = 120;
/// The most that is accepted by rule in one go, so that the first look after a rule was made does not flood the list.
const MOST_BY_RULE: usize = 40;

/// What a proposal is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Sow in place.
    Sow,
    /// Set out plants.
    SetOut,
    /// Thin what came up.
    Thin,
    /// Look for pests before their eggs hatch.
    Scout,
    /// Pick.
    Pick,
    /// Mow or turn in a cover crop.
    EndCover,
    /// Clear what is over.
    Clear,
    /// Turn the compost.
    TurnPile,
    /// Spread lime.
    Lime,
    /// Walk along the fence.
    WalkFence,
    /// Hoe what came up after rain.
    Hoe,
}

impl Kind {
    /// Every kind, with its word in keys and in the garden's rule of acceptance.
    pub const ALL: [(&'static str, Self); 11] = [
        ("sow", Self::Sow),
        ("set_out", Self::SetOut),
        ("thin", Self::Thin),
        ("scout", Self::Scout),
        ("pick", Self::Pick),
        ("end_cover", Self::EndCover),
        ("clear", Self::Clear),
        ("turn_pile", Self::TurnPile),
        ("lime", Self::Lime),
        ("walk_fence", Self::WalkFence),
        ("hoe", Self::Hoe),
    ];

    /// Its word.
    pub fn word(self) -> &'static str {
        let found = Self::ALL.into_iter().find(|(_, kind)| *kind == self);
        found.map_or("", |(word, _)| word)
    }

    /// Whether it comes round by itself soon, so that what was missed is not made up for. A fence that is walked once a month
    /// is still walked some days late.
    fn comes_round(self) -> bool {
        matches!(self, Self::Scout | Self::Pick | Self::TurnPile)
    }
}

/// A task that could be put up.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// What stays the same of it.
    pub key: String,
    /// What it is about.
    pub kind: Kind,
    /// What is to be done.
    pub title: String,
    /// Where; on the whole ground when there is no bed.
    pub bed: Option<BedId>,
    /// When.
    pub day: Day,
    /// The season that it belongs to: that of its planting.
    pub year: i16,
    /// How many people it needs.
    pub places: u32,
    /// How long one of them is expected to take.
    pub minutes: Reckoning<Minutes>,
    /// Why on that day, and what to be careful about.
    pub why: Reckoning<Day>,
}

impl Proposal {
    fn new(key: String, kind: Kind, title: String, day: Day, effort: Effort) -> Self {
        let (places, minutes) = effort.shared();
        let by_the_plan = Source::arithmetic("The days of the plan, as they stand.");
        Self {
            key,
            kind,
            title,
            bed: None,
            day,
            year: day.year(),
            places,
            minutes,
            why: Reckoning::new(day, by_the_plan),
        }
    }

    fn of_season(mut self, year: i16) -> Self {
        self.year = year;
        self
    }

    fn by(mut self, source: Source) -> Self {
        self.why.source = source;
        self
    }

    fn on(mut self, basis: &str) -> Self {
        if !self.why.basis.iter().any(|known| known == basis) {
            self.why = self.why.on(basis);
        }
        self
    }

    /// With the working of the planting's days before its own.
    fn resting_on<T>(mut self, days: &Reckoning<T>) -> Self {
        self.why.steps.extend(days.steps.iter().cloned());
        self.why.basis.extend(days.basis.iter().cloned());
        self.why.source = days.source.clone();
        self
    }

    fn careful(mut self, caution: Caution) -> Self {
        self.why = self.why.caution(caution);
        self
    }

    fn at(mut self, bed: BedId) -> Self {
        self.bed = Some(bed);
        self
    }

    fn because(mut self, label: &str, value: String) -> Self {
        self.why = self.why.step(Step::new(label, value));
        self
    }

    /// The id of its task, on whichever phone it becomes one.
    pub fn task(&self) -> TaskId {
        TaskId::of_key(&self.key)
    }

    /// What its task is, unless somebody corrects it.
    pub fn as_task(&self) -> AcceptedTask {
        AcceptedTask {
            key: self.key.clone(),
            title: self.title.clone(),
            bed: self.bed,
            day: self.day,
            places: self.places,
            minutes: self.minutes.result,
        }
    }

    /// The edit that makes a task of it.
    pub fn accepted(&self) -> Edit {
        Edit::AcceptProposal {
            task: self.task(),
            accepted: self.as_task(),
        }
    }
}

/// So many minutes to begin with, and so many for each square metre.
#[derive(Clone, Copy)]
struct Effort {
    start: i64,
    each: i64,
    area: Area,
    units: Units,
}

impl Effort {
    const fn plain(minutes: i64) -> Self {
        Self {
            start: minutes,
            each: 0,
            area: Area::ZERO,
            units: Units::Metric,
        }
    }

    fn by_area(start: i64, each: i64, area: Area, units: Units) -> Self {
        Self {
            start,
            each,
            area,
            units,
        }
    }

    fn shared(self) -> (u32, Reckoning<Minutes>) {
        let for_area = self.each.saturating_mul(self.area.mm2() / 1_000_000);
        let all = self.start + for_area;
        let places = all
            .saturating_add(LONGEST - 1)
            .div_euclid(LONGEST)
            .clamp(1, 12);
        let each = all.div_euclid(places).clamp(5, LONGEST);
        let source = Source::estimate("A garden's rule of thumb; put in what it really takes.");
        let mut answer = Reckoning::new(Minutes::new(each), source)
            .step(Step::new("To begin with", format!("{} min", self.start)));
        if self.each > 0 {
            let pace = match self.units {
                Units::Metric => format!("{} min a m²", self.each),
                // 100 sq ft are 9.29 m².
                Units::UsCustomary => format!("{} min for 100 sq ft", (self.each * 929 + 50) / 100),
            };
            let label = format!("{} at {pace}", self.area.show(self.units));
            answer = answer.step(Step::new(label, format!("{for_area} min")));
        }
        if places > 1 {
            answer = answer.step(Step::new("Shared among", format!("{places} people")));
        }
        let answer = answer.step(Step::sum("For each", format!("{each} min")));
        (u32::try_from(places).unwrap_or(1), answer)
    }
}

/// What is proposed on a day for the next two weeks, by day. What is a task already is left out, whatever became of the task.
pub fn all(garden: &Garden, books: &Books, today: Day) -> Vec<Proposal> {
    let mut found = of_plantings::all(garden, books, today);
    found.extend(of_ground::all(garden, today));
    let taken = |key: &str| {
        let tasks = garden
            .seasons
            .values()
            .flat_map(|season| season.tasks.values());
        tasks
            .into_iter()
            .any(|task| task.from.as_deref() == Some(key))
    };
    found.retain(|proposal| {
        let ahead = today.days_until(proposal.day);
        let longest_ago = if proposal.kind.comes_round() {
            0
        } else {
            OVERDUE
        };
        (-longest_ago..=AHEAD).contains(&ahead) && !taken(&proposal.key)
    });
    ordered::sort_by_key(&mut found, |proposal| (proposal.day, proposal.key.clone()));
    found
}

/// Whether a proposal's key, such as `thin:PLANTING` or `scout:PLANTING:3`, is of this planting.
pub fn comes_from(key: &str, planting: PlantingId) -> bool {
    let of = key.split(':').nth(1).and_then(|id| id.parse().ok());
    of == Some(planting)
}

/// Those of them that the garden has agreed to accept without asking for one by one.
pub fn by_rule<'a>(garden: &Garden, proposals: &'a [Proposal]) -> Vec<&'a Proposal> {
    let Some(profile) = &garden.profile else {
        return Vec::new();
    };
    let agreed = |kind: Kind| profile.accept.get(kind.word()).copied().unwrap_or(false);
    proposals.iter().filter(|it| agreed(it.kind)).collect()
}

/// What is written where proposals were worked out on the phone of somebody who may accept: those that the garden accepts by
/// rule, each for its season. On another phone at the same time it writes the same; the garden makes one task of them.
pub fn to_accept(garden: &Garden, proposals: &[Proposal]) -> Vec<(DocumentName, Edit)> {
    let open = garden
        .profile
        .as_ref()
        .map(|profile| profile.open_years())
        .unwrap_or_default();
    by_rule(garden, proposals)
        .into_iter()
        .filter(|proposal| open.contains(&proposal.year))
        .take(MOST_BY_RULE)
        .map(|proposal| (DocumentName::Season(proposal.year), proposal.accepted()))
        .collect()
}
