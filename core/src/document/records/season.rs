//! A year's work: tasks, picking turns, what was picked, shared jobs and hours.

use super::harvest::Harvest;
use crate::document::ids::{BedId, ClaimId, FenceId, JobId, MemberId, PlantingId, TaskId, TurnId};
use crate::json::{choice, record, words};
use crate::ordered;
use crate::ordered::Map;
use crate::quantities::{Day, Mass, Minutes, Moment};

/// Something to be done, with places for people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Task {
    /// What is to be done.
    pub title: String,
    /// Where; the whole garden when there is no bed.
    pub bed: Option<BedId>,
    /// When; any day when there is none.
    pub day: Option<Day>,
    /// How many people it needs.
    pub places: u32,
    /// How long one person is expected to take.
    pub minutes: Minutes,
    /// The shared job that its hours count for.
    pub job: Option<JobId>,
    /// What people wrote about it.
    pub note: String,
    /// Who put it up.
    pub made_by: MemberId,
    /// The key of the proposal that it was made from, if it was.
    pub from: Option<String>,
    /// What the plan has for it now, where somebody had claimed it when the plan was changed, so that it stayed as it was.
    pub plan_now: Option<PlanNow>,
    /// Who said they would do it.
    pub claims: Map<ClaimId, Claim>,
    /// The day it was called off, if it was.
    pub ended_on: Option<Day>,
}

record!(Task {
    title,
    bed,
    day,
    places,
    minutes = default,
    job,
    note = default,
    made_by,
    from,
    plan_now,
    claims = default,
    ended_on,
});

/// Where the plan has a task.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PlanNow {
    /// When.
    pub day: Option<Day>,
    /// Where.
    pub bed: Option<BedId>,
    /// Since when the plan does not ask for it any more, if so.
    pub off: Option<Day>,
}

record!(PlanNow { day, bed, off });

impl Task {
    /// Where the plan has it: as it stands, unless the plan moved on while it was claimed.
    pub fn by_plan(&self) -> PlanNow {
        self.plan_now.unwrap_or(PlanNow {
            day: self.day,
            bed: self.bed,
            off: self.ended_on,
        })
    }

    /// Puts it where the plan has it.
    pub fn follow(&mut self, plan: PlanNow) {
        self.day = plan.day;
        self.bed = plan.bed;
        self.ended_on = plan.off;
        self.plan_now = None;
    }

    /// Leaves it as it is, and keeps in mind where the plan has it when that is elsewhere.
    pub fn stay(&mut self, plan: PlanNow) {
        self.plan_now = None;
        self.plan_now = Some(plan).filter(|plan| *plan != self.by_plan());
    }

    /// Whether somebody has claimed it, or did it.
    pub fn is_claimed(&self) -> bool {
        self.claims
            .values()
            .any(|claim| claim.state != ClaimState::GivenBack)
    }
}

/// A bed to be picked on a day, by one person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Turn {
    /// Which bed.
    pub bed: BedId,
    /// On which day.
    pub day: Day,
    /// Who said they would pick it; the first holds the turn, the others stand by.
    pub claims: Map<ClaimId, Claim>,
    /// The day it was called off, if it was.
    pub ended_on: Option<Day>,
}

record!(Turn { bed, day, claims = default, ended_on });

/// One person's word that they will do a task or take a turn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claim {
    /// Who gave it.
    pub member: MemberId,
    /// The order of arrival at the garden's service: 1, 2, 3 ... within the task or turn. It alone decides who holds a place.
    pub order: i64,
    /// When it was written, by the phone's clock; only shown.
    pub at: Moment,
    /// What became of it.
    pub state: ClaimState,
    /// How long it took, once done.
    pub minutes: Minutes,
    /// The day it was done.
    pub done_on: Option<Day>,
    /// A word about how it went.
    pub word: String,
}

record!(Claim { member, order, at, state, minutes = default, done_on, word = default });

/// What became of a claim.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClaimState {
    /// It stands.
    Standing,
    /// The work is done.
    Done,
    /// It was given back, or handed over.
    GivenBack,
}

words!(ClaimState { "standing" => Standing, "done" => Done, "given_back" => GivenBack });

/// Where a claim stands among the places.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It has a place.
    Holds,
    /// The places are taken; it is so many steps from one, the next in line being 1.
    StandsBy(usize),
    /// The work is done.
    Done,
}

choice!(Standing { "holds" => Holds, "stands_by" => StandsBy(it), "done" => Done });

/// What tasks and turns have in common: places, and claims on them in order of arrival.
///
/// Who holds a place is worked out, never stored: the first claims that were not given back hold, as many as there are
/// places. A later claim can so never displace an earlier one, and a place given back goes to the next in line.
pub trait Place {
    /// How many people have a place.
    fn places(&self) -> usize;

    /// Everybody's claims.
    fn claims(&self) -> &Map<ClaimId, Claim>;

    /// The claims that were not given back, in order of arrival, with where each stands.
    fn in_order(&self) -> Vec<(ClaimId, &Claim, Standing)> {
        let mut claims: Vec<_> = self
            .claims()
            .iter()
            .filter(|(_, claim)| claim.state != ClaimState::GivenBack)
            .map(|(id, claim)| (*id, claim))
            .collect();
        ordered::sort_by_key(&mut claims, |(id, claim)| (claim.order, *id));
        let places = self.places();
        claims
            .into_iter()
            .enumerate()
            .map(|(index, (id, claim))| {
                let standing = match claim.state {
                    ClaimState::Done => Standing::Done,
                    ClaimState::Standing | ClaimState::GivenBack if index < places => {
                        Standing::Holds
                    }
                    ClaimState::Standing | ClaimState::GivenBack => {
                        Standing::StandsBy(index + 1 - places)
                    }
                };
                (id, claim, standing)
            })
            .collect()
    }

    /// How many places are taken, by people who hold one or are done.
    fn taken(&self) -> usize {
        self.in_order().len().min(self.places())
    }

    /// Whether somebody is still needed.
    fn needs_people(&self) -> bool {
        self.taken() < self.places()
    }

    /// This person's claim that was not given back, and where it stands.
    fn claim_of(&self, member: MemberId) -> Option<(ClaimId, &Claim, Standing)> {
        self.in_order()
            .into_iter()
            .find(|(_, claim, _)| claim.member == member)
    }

    /// Whether every place has been done.
    fn is_done(&self) -> bool {
        let in_order = self.in_order();
        !in_order.is_empty()
            && in_order.len() >= self.places()
            && in_order
                .iter()
                .take(self.places())
                .all(|(_, claim, _)| claim.state == ClaimState::Done)
    }
}

impl Place for Task {
    fn places(&self) -> usize {
        usize::try_from(self.places).unwrap_or(usize::MAX)
    }

    fn claims(&self) -> &Map<ClaimId, Claim> {
        &self.claims
    }
}

impl Place for Turn {
    fn places(&self) -> usize {
        1
    }

    fn claims(&self) -> &Map<ClaimId, Claim> {
        &self.claims
    }
}

/// What was picked from a bed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picking {
    /// From which bed.
    pub bed: BedId,
    /// On which day.
    pub day: Day,
    /// What was picked.
    pub crop: String,
    /// How much.
    pub mass: Mass,
    /// What became of it.
    pub picked: Picked,
    /// Who picked it.
    pub member: MemberId,
    /// The turn it was picked in.
    pub turn: Option<TurnId>,
    /// A word about it.
    pub word: String,
    /// What became of it part by part, where that was written down; [`Picking::harvest`] tells it of every picking.
    pub parts: Option<Harvest>,
    /// From which planting.
    pub planting: Option<PlantingId>,
    /// The day it was struck out as a mistake, if it was.
    pub ended_on: Option<Day>,
}

record!(Picking {
    bed,
    day,
    crop,
    mass,
    picked,
    member,
    turn,
    word = default,
    parts,
    planting,
    ended_on,
});

/// What became of a picking.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Picked {
    /// Kept by the picker.
    Kept,
    /// Given away.
    GivenAway,
}

words!(Picked { "kept" => Kept, "given_away" => GivenAway });

/// Shared work whose hours are due by bed area, such as building the fence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Job {
    /// What is to be done.
    pub title: String,
    /// All the hours it is expected to take, of everybody together.
    pub total: Minutes,
    /// Beds that it does not count for.
    pub beds_left_out: Map<BedId, bool>,
    /// The fence line whose hours these are, where it began from one.
    pub fence: Option<FenceId>,
    /// The hours due, once the coordinator has closed it.
    pub closed: Option<ClosedJob>,
    /// The day it was called off, if it was.
    pub ended_on: Option<Day>,
}

record!(Job { title, total, beds_left_out = default, fence, closed, ended_on });

/// The hours due of a closed job; what the ground does afterwards changes nothing here.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClosedJob {
    /// The day it was closed.
    pub on: Day,
    /// Minutes due of each member, and of the garden under `garden`.
    pub due: Map<String, Minutes>,
}

record!(ClosedJob { on, due });

/// Hours somebody did without a task.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hours {
    /// For which job.
    pub job: JobId,
    /// Who did them.
    pub member: MemberId,
    /// On which day.
    pub day: Day,
    /// How long.
    pub minutes: Minutes,
    /// A word about it.
    pub word: String,
    /// The task they belong to, if any.
    pub task: Option<TaskId>,
    /// The day they were struck out as a mistake, if they were.
    pub ended_on: Option<Day>,
}

record!(Hours { job, member, day, minutes, word = default, task, ended_on });
