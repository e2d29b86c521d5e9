//! What the person must be told about what came down.

use super::{LocalCopy, ToldRow};
use crate::document::edit::Claimable;
use crate::document::ids::{ClaimId, EditId};
use crate::document::records::{ClaimState, Place as _};
use crate::document::{Edit, Garden};
use crate::quantities::Moment;
use crate::sync::notices::{Notice, notices};
use crate::sync::vault::Keep;

impl LocalCopy {
    /// What the person must be told about the step from the picture they were last told about to the confirmed one.
    ///
    /// Not from the one just before: changes that did not lead to the expected heads have changed the confirmed picture,
    /// and the whole document that then replaces it would seem to bring nothing new.
    pub(super) fn tell(&mut self, newly_carried: &[EditId], now: Moment) -> Option<Keep> {
        let before = std::mem::replace(&mut self.told_up_to, self.confirmed.garden().clone());
        let me = self.seat.member?;
        let under_way = self.claims_under_way();
        let news: Vec<Notice> = notices(&before, &self.told_up_to, me, &under_way)
            .into_iter()
            .chain(self.lost_at_once(&before, newly_carried))
            .filter(|notice| !self.is_own_doing(notice) && !self.is_own_move(notice, newly_carried))
            .collect();
        if news.is_empty() {
            return None;
        }
        for notice in news {
            self.add_told(notice, now);
        }
        Some(self.keep_told())
    }

    /// Claims of this phone that came down together with what then became of them: the phone showed them all the while,
    /// but no confirmed picture ever had them standing.
    fn lost_at_once(&self, before: &Garden, newly_carried: &[EditId]) -> Vec<Notice> {
        let claims = newly_carried.iter().filter_map(|edit| {
            match self.outbox.get(*edit).map(|row| &row.envelope.edit) {
                Some(Edit::Claim { of, claim }) => Some((*of, *claim)),
                _ => None,
            }
        });
        let garden = self.confirmed.garden();
        claims
            .filter_map(|(of, claim)| {
                let (year, record, ended_on) = match of {
                    Claimable::Task(task) => {
                        let (year, task) = garden.task(task)?;
                        (year, task.claims.get(&claim)?, task.ended_on)
                    }
                    Claimable::Turn(turn) => {
                        let (year, turn) = garden.turn(turn)?;
                        (year, turn.claims.get(&claim)?, turn.ended_on)
                    }
                };
                // The first picture of a year is not news.
                before.seasons.get(&year)?;
                match record.state {
                    ClaimState::GivenBack => Some(Notice::TakenOff { of, claim }),
                    ClaimState::Standing | ClaimState::Done if ended_on.is_some() => {
                        Some(Notice::CalledOff { of })
                    }
                    ClaimState::Standing | ClaimState::Done => None,
                }
            })
            .collect()
    }

    /// What this phone claims and was not answered yet: the person took the day from the picture that the phone shows.
    fn claims_under_way(&self) -> Vec<Claimable> {
        let mut claims = Vec::new();
        for row in self.outbox.waiting() {
            if let Edit::Claim { of, .. } = &row.envelope.edit {
                claims.push(*of);
            }
        }
        claims
    }

    /// Whether what was moved came down together with this phone's own change of the task or the plan.
    fn is_own_move(&self, notice: &Notice, newly_carried: &[EditId]) -> bool {
        let (Notice::Moved { of, .. } | Notice::PlanMoved { of }) = notice else {
            return false;
        };
        newly_carried.iter().any(|edit| {
            match self.outbox.get(*edit).map(|row| &row.envelope.edit) {
                Some(Edit::ChangeTask { task, .. }) => Claimable::Task(*task) == *of,
                Some(
                    Edit::ChangePlanting { .. }
                    | Edit::MoveSeries { .. }
                    | Edit::MarkPlanting { .. },
                ) => true,
                _other => false,
            }
        })
    }

    /// Whether the person did it themselves, on this phone.
    fn is_own_doing(&self, notice: &Notice) -> bool {
        let mine = |wanted: &dyn Fn(&Edit) -> bool| {
            self.outbox
                .in_order()
                .iter()
                .any(|row| wanted(&row.envelope.edit))
        };
        match notice {
            Notice::TakenOff { claim: gone, .. } => mine(
                &|edit| matches!(edit, Edit::GiveBack { claim, .. } | Edit::HandOver { claim, .. } if claim == gone),
            ),
            Notice::CalledOff { of } => mine(&|edit| match (edit, of) {
                (Edit::ChangeTask { task, .. }, Claimable::Task(called_off)) => task == called_off,
                (Edit::EndTurn { turn, .. }, Claimable::Turn(called_off)) => turn == called_off,
                _other => false,
            }),
            Notice::PutDown { of } => mine(&|edit| match (edit, of) {
                (Edit::AddTurns { turns }, Claimable::Turn(put_up)) => {
                    turns.iter().any(|new| new.turn == *put_up)
                }
                (Edit::HandOver { of: handed, .. } | Edit::Claim { of: handed, .. }, of) => {
                    handed == of
                }
                _other => false,
            }),
            Notice::OrderClosed { order: closed, .. } => {
                mine(&|edit| matches!(edit, Edit::CloseOrder { order, .. } if order == closed))
            }
            // The answer to the claim tells it.
            Notice::StandsBy { of, .. } => {
                let standing = self.own_claim(*of);
                mine(&|edit| matches!(edit, Edit::Claim { claim, .. } if Some(*claim) == standing))
            }
            Notice::GotPlace { .. }
            | Notice::Moved { .. }
            | Notice::PlanMoved { .. }
            | Notice::ClaimedStay { .. }
            | Notice::RoleChanged { .. } => false,
        }
    }

    /// The person's claim that is confirmed and was not given back.
    fn own_claim(&self, of: Claimable) -> Option<ClaimId> {
        let (garden, me) = (self.confirmed.garden(), self.seat.member?);
        let found = match of {
            Claimable::Task(task) => garden.task(task)?.1.claim_of(me),
            Claimable::Turn(turn) => garden.turn(turn)?.1.claim_of(me),
        };
        found.map(|(claim, ..)| claim)
    }

    pub(super) fn add_told(&mut self, notice: Notice, now: Moment) {
        let number = self.told.iter().map(|row| row.number).max().unwrap_or(0) + 1;
        self.told.push(ToldRow {
            number,
            at: now,
            notice,
        });
    }
}
