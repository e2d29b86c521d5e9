//! What a person has promised, day by day, for the calendar on their phone: tasks they hold and turns they pick.
//!
//! Only what has a day stands in a calendar. A stand-by is in it too and says so; what was done or given back is not.

use super::edit::Claimable;
use super::garden::Garden;
use super::ids::{BedId, ClaimId, MemberId};
use super::records::{Place, Standing};
use crate::ordered;
use crate::quantities::{Day, Minutes, Moment};

/// One thing in a person's calendar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Promise {
    /// What it is a claim on; with the claim it stays the same for as long as the claim stands.
    pub of: Claimable,
    /// The claim.
    pub claim: ClaimId,
    /// On which day.
    pub day: Day,
    /// What is to be done.
    pub title: String,
    /// In which bed.
    pub bed: Option<BedId>,
    /// How long it is expected to take; nothing where nobody said.
    pub minutes: Minutes,
    /// How many steps from a place it stands by, if it does.
    pub stands_by: Option<usize>,
    /// What people wrote about it.
    pub note: String,
    /// When it was claimed.
    pub claimed_at: Moment,
}

/// What a person has promised in a garden, by day.
pub fn promises(garden: &Garden, member: MemberId) -> Vec<Promise> {
    let mut found = Vec::new();
    if garden.open_member(member).is_none() {
        return found;
    }
    for season in garden.seasons.values() {
        for (id, task) in &season.tasks {
            let Some((day, (claim, stands_by, claimed_at))) = task
                .day
                .filter(|_| task.ended_on.is_none())
                .zip(open_claim(task.as_ref(), member))
            else {
                continue;
            };
            found.push(Promise {
                of: Claimable::Task(*id),
                claim,
                day,
                title: task.title.clone(),
                bed: task.bed,
                minutes: task.minutes,
                stands_by,
                note: task.note.clone(),
                claimed_at,
            });
        }
        for (id, turn) in &season.turns {
            let Some((claim, stands_by, claimed_at)) =
                open_claim(turn.as_ref(), member).filter(|_| turn.ended_on.is_none())
            else {
                continue;
            };
            found.push(Promise {
                of: Claimable::Turn(*id),
                claim,
                day: turn.day,
                title: format!("Pick {}", garden.label_of(Some(turn.bed))),
                bed: Some(turn.bed),
                minutes: Minutes::ZERO,
                stands_by,
                note: String::new(),
                claimed_at,
            });
        }
    }
    ordered::sort_by_key(&mut found, |promise| (promise.day, promise.claim));
    found
}

/// A person's claim that stands, how many steps from a place, and since when.
fn open_claim(place: &impl Place, member: MemberId) -> Option<(ClaimId, Option<usize>, Moment)> {
    let (id, claim, standing) = place.claim_of(member)?;
    match standing {
        Standing::Holds => Some((id, None, claim.at)),
        Standing::StandsBy(steps) => Some((id, Some(steps), claim.at)),
        Standing::Done => None,
    }
}
