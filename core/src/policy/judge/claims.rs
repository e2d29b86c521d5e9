//! Claims on tasks and picking turns: who holds a place is decided here, once, in the order of arrival.

use super::{Case, Judged, Told, Verdict, already_there, ended, not_there};
use crate::document::Edit;
use crate::document::edit::Claimable;
use crate::document::ids::{ClaimId, MemberId};
use crate::document::records::{Claim, ClaimState, Place, Standing, Task, Turn};
use crate::document::stored::Write;
use crate::ordered::Map;
use crate::policy::{RefusalCode, Refused};
use crate::quantities::Minutes;

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
pub(super) fn judge(case: &Case<'_>) -> Verdict {
    match &case.envelope.edit {
        Edit::Claim { of, claim } => add(case, &Desk::open(case, *of)?, *claim),
        Edit::GiveBack { of, claim } => {
            let mut desk = Desk::open_even_if_ended(case, *of)?;
            let given_back = desk.standing_claim(*claim)?;
            given_back.state = ClaimState::GivenBack;
            desk.follows_the_plan();
            desk.write(None)
        }
        Edit::HandOver {
            of,
            claim,
            to,
            new_claim,
        } => hand_over(case, &mut Desk::open(case, *of)?, *claim, *to, *new_claim),
        Edit::Done {
            of,
            claim,
            minutes,
            on,
            word,
        } => {
            let mut desk = Desk::open_even_if_ended(case, *of)?;
            if matches!(desk.standing_of(*claim), Some(Standing::StandsBy(_))) {
                return Err(Refused::new(
                    RefusalCode::OnStandBy,
                    "This claim is on stand-by, so it cannot be done yet; write the hours down under Shares instead.",
                ));
            }
            let done = desk.standing_claim(*claim)?;
            done.state = ClaimState::Done;
            done.minutes = *minutes;
            done.done_on = Some(*on);
            done.word.clone_from(word);
            desk.write(None)
        }
        Edit::NotDone { of, claim } => {
            let mut desk = Desk::open_even_if_ended(case, *of)?;
            let record = desk.claim(*claim)?;
            if record.state != ClaimState::Done {
                return Err(gone());
            }
            record.state = ClaimState::Standing;
            record.minutes = Minutes::ZERO;
            record.done_on = None;
            desk.write(None)
        }
        _other => Err(Refused::new(
            RefusalCode::WrongPlace,
            "This change is not about a claim.",
        )),
    }
}

/// A new claim takes a place if one is free, and stands by otherwise. Nobody who holds a place is displaced.
fn add(case: &Case<'_>, desk: &Desk, claim: ClaimId) -> Verdict {
    let mut desk = desk.clone();
    if desk.claims().contains_key(&claim) {
        return Err(already_there("claim"));
    }
    if desk.has_claim(case.author) {
        return Err(Refused::new(
            RefusalCode::AlreadyClaimed,
            format!("You already have a claim on {}.", desk.what()),
        ));
    }
    let order = desk
        .claims()
        .values()
        .map(|claim| claim.order)
        .max()
        .unwrap_or(0)
        + 1;
    desk.claims_mut().insert(
        claim,
        Claim {
            member: case.author,
            order,
            at: case.written_at(),
            state: ClaimState::Standing,
            minutes: Minutes::ZERO,
            done_on: None,
            word: String::new(),
        },
    );
    let told = match desk.standing_of(claim) {
        Some(Standing::StandsBy(steps)) => Told::StandsBy(steps),
        Some(Standing::Holds | Standing::Done) | None => Told::Holds,
    };
    desk.write(Some(told))
}

/// The new claim takes the order of the old one, so it stands exactly where the old one stood.
fn hand_over(
    case: &Case<'_>,
    desk: &mut Desk,
    claim: ClaimId,
    to: MemberId,
    new_claim: ClaimId,
) -> Verdict {
    match case.garden.members.get(&to) {
        None => return Err(not_there("person")),
        Some(record) if record.ended_on.is_some() => {
            return Err(ended(&record.name, "left the garden"));
        }
        Some(_) => {}
    }
    if desk.has_claim(to) {
        return Err(Refused::new(
            RefusalCode::AlreadyClaimed,
            format!(
                "{} already has a claim on {}.",
                case.garden.name_of(to),
                desk.what()
            ),
        ));
    }
    if desk.claims().contains_key(&new_claim) {
        return Err(already_there("claim"));
    }
    let old = desk.standing_claim(claim)?;
    old.state = ClaimState::GivenBack;
    let taken = Claim {
        member: to,
        at: case.written_at(),
        state: ClaimState::Standing,
        ..old.clone()
    };
    desk.claims_mut().insert(new_claim, taken);
    desk.write(None)
}

/// A task or turn taken from the shelf to be worked on.
#[derive(Clone)]
struct Desk {
    of: Claimable,
    record: Record,
}

#[derive(Clone)]
enum Record {
    Task(Task),
    Turn(Turn),
}

impl Desk {
    /// The task or turn of the edit's season, which must not have been called off.
    fn open(case: &Case<'_>, of: Claimable) -> Result<Self, Refused> {
        let desk = Self::open_even_if_ended(case, of)?;
        let ended_on = match &desk.record {
            Record::Task(task) => task.ended_on,
            Record::Turn(turn) => turn.ended_on,
        };
        if ended_on.is_some() {
            return Err(ended(&capital(&desk.what()), "was called off"));
        }
        let bed = match &desk.record {
            Record::Task(task) => task.bed,
            Record::Turn(turn) => Some(turn.bed),
        };
        bed.map_or(Ok(()), |bed| case.check_bed(bed))?;
        Ok(desk)
    }

    /// The same for what may still be said of something called off: that it was done, or is given back.
    fn open_even_if_ended(case: &Case<'_>, of: Claimable) -> Result<Self, Refused> {
        let season = case.garden.seasons.get(&case.year());
        let record = match of {
            Claimable::Task(task) => season
                .and_then(|season| season.tasks.get(&task))
                .map(|task| Record::Task(Task::clone(task))),
            Claimable::Turn(turn) => season
                .and_then(|season| season.turns.get(&turn))
                .map(|turn| Record::Turn(Turn::clone(turn))),
        };
        let what = match of {
            Claimable::Task(_) => "task",
            Claimable::Turn(_) => "picking turn",
        };
        Ok(Self {
            of,
            record: record.ok_or_else(|| not_there(what))?,
        })
    }

    fn what(&self) -> String {
        match &self.record {
            Record::Task(task) => format!("the task “{}”", task.title),
            Record::Turn(turn) => format!("the picking turn of {}", turn.day),
        }
    }

    fn place(&self) -> &dyn Place {
        match &self.record {
            Record::Task(task) => task,
            Record::Turn(turn) => turn,
        }
    }

    fn claims(&self) -> &Map<ClaimId, Claim> {
        self.place().claims()
    }

    fn claims_mut(&mut self) -> &mut Map<ClaimId, Claim> {
        match &mut self.record {
            Record::Task(task) => &mut task.claims,
            Record::Turn(turn) => &mut turn.claims,
        }
    }

    fn has_claim(&self, member: MemberId) -> bool {
        self.place().claim_of(member).is_some()
    }

    fn standing_of(&self, claim: ClaimId) -> Option<Standing> {
        self.place()
            .in_order()
            .into_iter()
            .find(|(id, _, _)| *id == claim)
            .map(|(_, _, standing)| standing)
    }

    fn claim(&mut self, claim: ClaimId) -> Result<&mut Claim, Refused> {
        self.claims_mut()
            .get_mut(&claim)
            .ok_or_else(|| not_there("claim"))
    }

    /// A task that nobody has claimed any more stands where the plan has it now.
    fn follows_the_plan(&mut self) {
        if let Record::Task(task) = &mut self.record
            && let Some(plan) = task.plan_now.filter(|_| !task.is_claimed())
        {
            task.follow(plan);
        }
    }

    /// A claim that was neither given back nor done.
    fn standing_claim(&mut self, claim: ClaimId) -> Result<&mut Claim, Refused> {
        let claim = self.claim(claim)?;
        if claim.state == ClaimState::Standing {
            Ok(claim)
        } else {
            Err(gone())
        }
    }

    fn write(&self, told: Option<Told>) -> Verdict {
        let write = match (&self.record, self.of) {
            (Record::Task(task), Claimable::Task(id)) => Write::Task(id, task.clone()),
            (Record::Turn(turn), Claimable::Turn(id)) => Write::Turn(id, turn.clone()),
            (Record::Task(_), Claimable::Turn(_)) | (Record::Turn(_), Claimable::Task(_)) => {
                return Err(not_there("claim"));
            }
        };
        Ok(Judged {
            writes: vec![write],
            told,
        })
    }
}

fn gone() -> Refused {
    Refused::new(
        RefusalCode::ClaimGone,
        "This claim was given back, handed over or done meanwhile.",
    )
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
