//! A year's work: tasks, picking turns, what was picked, shared jobs and hours.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::document::ids::{BedId, ClaimId, JobId, MemberId, TaskId, TurnId};
use crate::quantities::{Day, Mass, Minutes, Moment};

/// Something to be done, with places for people.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Task {
    /// What is to be done.
    pub title: String,
    /// Where; the whole garden when there is no bed.
    #[serde(default)]
    pub bed: Option<BedId>,
    /// When; any day when there is none.
    #[serde(default)]
    pub day: Option<Day>,
    /// How many people it needs.
    pub places: u32,
    /// How long one person is expected to take.
    #[serde(default)]
    pub minutes: Minutes,
    /// The shared job that its hours count for.
    #[serde(default)]
    pub job: Option<JobId>,
    /// What people wrote about it.
    #[serde(default)]
    pub note: String,
    /// Who put it up.
    pub made_by: MemberId,
    /// Who said they would do it.
    #[serde(default)]
    pub claims: BTreeMap<ClaimId, Claim>,
    /// The day it was called off, if it was.
    #[serde(default)]
    pub ended_on: Option<Day>,
}

/// A bed to be picked on a day, by one person.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Turn {
    /// Which bed.
    pub bed: BedId,
    /// On which day.
    pub day: Day,
    /// Who said they would pick it; the first holds the turn, the others stand by.
    #[serde(default)]
    pub claims: BTreeMap<ClaimId, Claim>,
    /// The day it was called off, if it was.
    #[serde(default)]
    pub ended_on: Option<Day>,
}

/// One person's word that they will do a task or take a turn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
    #[serde(default)]
    pub minutes: Minutes,
    /// The day it was done.
    #[serde(default)]
    pub done_on: Option<Day>,
    /// A word about how it went.
    #[serde(default)]
    pub word: String,
}

/// What became of a claim.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ClaimState {
    /// It stands.
    Standing,
    /// The work is done.
    Done,
    /// It was given back, or handed over.
    GivenBack,
}

/// Where a claim stands among the places.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// It has a place.
    Holds,
    /// The places are taken; it is so many steps from one, the next in line being 1.
    StandsBy(usize),
    /// The work is done.
    Done,
}

/// What tasks and turns have in common: places, and claims on them in order of arrival.
///
/// Who holds a place is worked out, never stored: the first claims that were not given back hold, as many as there are
/// places. A later claim can so never displace an earlier one, and a place given back goes to the next in line.
pub trait Place {
    /// How many people have a place.
    fn places(&self) -> usize;

    /// Everybody's claims.
    fn claims(&self) -> &BTreeMap<ClaimId, Claim>;

    /// The claims that were not given back, in order of arrival, with where each stands.
    fn in_order(&self) -> Vec<(ClaimId, &Claim, Standing)> {
        let mut claims: Vec<_> = self
            .claims()
            .iter()
            .filter(|(_, claim)| claim.state != ClaimState::GivenBack)
            .map(|(id, claim)| (*id, claim))
            .collect();
        claims.sort_by_key(|(id, claim)| (claim.order, *id));
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

    fn claims(&self) -> &BTreeMap<ClaimId, Claim> {
        &self.claims
    }
}

impl Place for Turn {
    fn places(&self) -> usize {
        1
    }

    fn claims(&self) -> &BTreeMap<ClaimId, Claim> {
        &self.claims
    }
}

/// What was picked from a bed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
    #[serde(default)]
    pub turn: Option<TurnId>,
    /// A word about it.
    #[serde(default)]
    pub word: String,
    /// The day it was struck out as a mistake, if it was.
    #[serde(default)]
    pub ended_on: Option<Day>,
}

/// What became of a picking.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Picked {
    /// Kept by the picker.
    Kept,
    /// Given away.
    GivenAway,
}

/// Shared work whose hours are due by bed area, such as building the fence.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Job {
    /// What is to be done.
    pub title: String,
    /// All the hours it is expected to take, of everybody together.
    pub total: Minutes,
    /// Beds that it does not count for.
    #[serde(default)]
    pub beds_left_out: BTreeMap<BedId, bool>,
    /// The hours due, once the coordinator has closed it.
    #[serde(default)]
    pub closed: Option<ClosedJob>,
    /// The day it was called off, if it was.
    #[serde(default)]
    pub ended_on: Option<Day>,
}

/// The hours due of a closed job; what the ground does afterwards changes nothing here.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClosedJob {
    /// The day it was closed.
    pub on: Day,
    /// Minutes due of each member, and of the garden under `garden`.
    pub due: BTreeMap<String, Minutes>,
}

/// Hours somebody did without a task.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
    #[serde(default)]
    pub word: String,
    /// The task they belong to, if any.
    #[serde(default)]
    pub task: Option<TaskId>,
    /// The day they were struck out as a mistake, if they were.
    #[serde(default)]
    pub ended_on: Option<Day>,
}
