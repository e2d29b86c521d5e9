//! The claims on a task or picking turn as they are listed, and what whoever looks can do.

use selion_core::document::edit::Claimable;
use selion_core::document::ids::{ClaimId, MemberId};
use selion_core::document::records::{Claim, Place, Standing};
use selion_core::document::{DocumentName, Garden};
use selion_core::quantities::{Day, Minutes};

use super::wording::{day_words, stand_by};

/// One claim as it is listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClaimLine {
    /// Which.
    pub claim: ClaimId,
    /// Whose.
    pub member: MemberId,
    /// Their name.
    pub name: String,
    /// Where it stands.
    pub standing: Standing,
    /// Where it stands, in words, with what was said about it.
    pub words: String,
}

/// Everything about the places of a task or turn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Desk {
    /// The season that it stands in.
    pub document: DocumentName,
    /// How many places there are.
    pub places: usize,
    /// How many are taken.
    pub taken: usize,
    /// The claims that were not given back, in order of arrival.
    pub claims: Vec<ClaimLine>,
    /// The minutes that one person is expected to take.
    pub expected: Minutes,
    /// Whether it was called off.
    pub is_called_off: bool,
}

impl Desk {
    /// The places of a task or turn, if it is here.
    pub fn of(garden: &Garden, of: Claimable, today: Day) -> Option<Self> {
        match of {
            Claimable::Task(task) => garden.task(task).map(|(year, task)| {
                let desk = Self::from_place(garden, year, task.as_ref(), "holds a place", today);
                Self {
                    expected: task.minutes,
                    is_called_off: task.ended_on.is_some(),
                    ..desk
                }
            }),
            Claimable::Turn(turn) => garden.turn(turn).map(|(year, turn)| Self {
                is_called_off: turn.ended_on.is_some(),
                ..Self::from_place(garden, year, turn.as_ref(), "picks", today)
            }),
        }
    }

    fn from_place(garden: &Garden, year: i16, place: &dyn Place, holds: &str, today: Day) -> Self {
        let claims = place.in_order().into_iter();
        Self {
            document: DocumentName::Season(year),
            places: place.places(),
            taken: place.taken(),
            claims: claims
                .map(|(claim, record, standing)| ClaimLine {
                    claim,
                    member: record.member,
                    name: garden.name_of(record.member).to_owned(),
                    standing,
                    words: claim_words(record, standing, holds, today),
                })
                .collect(),
            expected: Minutes::ZERO,
            is_called_off: false,
        }
    }

    /// How many places are free.
    pub fn free(&self) -> usize {
        self.places.saturating_sub(self.taken)
    }

    /// This person's claim.
    pub fn claim_of(&self, member: Option<MemberId>) -> Option<&ClaimLine> {
        self.claims
            .iter()
            .find(|claim| Some(claim.member) == member)
    }

    /// A claim by its id.
    pub fn claim(&self, claim: ClaimId) -> Option<&ClaimLine> {
        self.claims.iter().find(|line| line.claim == claim)
    }
}

fn claim_words(claim: &Claim, standing: Standing, holds: &str, today: Day) -> String {
    match standing {
        Standing::Holds => holds.to_owned(),
        Standing::StandsBy(steps) => stand_by(steps),
        Standing::Done => {
            let on = claim.done_on.map(|day| day_words(day, today));
            let minutes = claim.minutes.is_positive().then(|| claim.minutes.show());
            let done = on.map_or_else(|| "done".to_owned(), |on| format!("done {on}"));
            let word = Some(claim.word.trim().to_owned()).filter(|word| !word.is_empty());
            [Some(done), minutes, word]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(" · ")
        }
    }
}

#[cfg(test)]
mod tests {
    use selion_core::ordered::Map;

    use selion_core::document::records::Task;

    use super::*;
    use crate::plain::sample::{by, claim, day, done, hoe, member, task, with_tasks};

    #[test]
    fn claims_stand_in_order_of_arrival_with_what_was_said() {
        let finished = Claim {
            word: "two rows are left ".into(),
            ..done(by(member(2), 1), "2026-06-10", 45)
        };
        let garden = with_tasks([Task {
            claims: Map::from([(claim(1), by(member(1), 2)), (claim(2), finished)]),
            ..hoe()
        }]);
        let desk = Desk::of(&garden, Claimable::Task(task(1)), day("2026-06-11")).unwrap();
        let lines: Vec<_> = desk
            .claims
            .iter()
            .map(|line| (line.name.as_str(), line.words.as_str()))
            .collect();
        assert_eq!(
            lines,
            [
                ("Tomasz", "done yesterday · 45 min · two rows are left"),
                ("Ines", "first stand-by"),
            ]
        );
        assert_eq!(desk.free(), 0);
        assert_eq!(
            desk.claim_of(Some(member(1))).map(|line| line.claim),
            Some(claim(1))
        );
        assert!(desk.claim_of(None).is_none());
    }
}
