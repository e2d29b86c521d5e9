//! Saying how far a planting has come, dropping it, and taking either back.
//!
//! A mark may call tasks off that came from the planting; what takes it back puts those up again, as they were, where whoever
//! does it may change them.

use selion_core::document::edit::{Edit, PlantingField, TaskField};
use selion_core::document::ids::{PlantingId, TaskId};
use selion_core::document::proposals::comes_from;
use selion_core::document::records::{Claim, ClaimState, Planting, PlantingState, StartsAs, Task};
use selion_core::document::{Garden, Season};
use selion_core::quantities::{BadInput, Day};

/// What is said of a planting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// It was sown or set out.
    Begun,
    /// It was picked for the first time.
    FirstPicked,
    /// It was cleared, or a cover crop ended.
    Cleared,
    /// It is taken out of the plan.
    Dropped,
}

impl Mark {
    /// What can be said of a planting as it stands.
    pub fn open(planting: &Planting) -> Vec<Self> {
        match planting.state {
            PlantingState::Planned => vec![Self::Begun, Self::Dropped],
            PlantingState::Standing if planting.cover => vec![Self::Cleared, Self::Dropped],
            PlantingState::Standing => vec![Self::FirstPicked, Self::Cleared, Self::Dropped],
            PlantingState::Cleared => Vec::new(),
        }
    }

    /// What the button says.
    pub fn words(self, planting: &Planting) -> &'static str {
        match (self, planting.starts_as) {
            (Self::Begun, StartsAs::Sown) => "It is sown",
            (Self::Begun, StartsAs::Set) => "It is set out",
            (Self::FirstPicked, _) => "First picked",
            (Self::Cleared, _) if planting.cover => "It is ended",
            (Self::Cleared, _) => "It is cleared",
            (Self::Dropped, _) => "Take it out of the plan",
        }
    }

    /// The edit that says it.
    pub fn edit(self, planting: PlantingId, record: &Planting, on: Day) -> Result<Edit, BadInput> {
        let early = on < record.start && matches!(self, Self::FirstPicked | Self::Cleared);
        if early {
            let expected = format!("{}, when it was begun, or later", record.start);
            return Err(BadInput::new("day", expected, on.to_string()));
        }
        let state = |state| Edit::MarkPlanting {
            planting,
            state,
            on,
        };
        Ok(match self {
            Self::Begun => state(PlantingState::Standing),
            Self::Cleared => state(PlantingState::Cleared),
            Self::FirstPicked => {
                let mut set = vec![PlantingField::FirstPicking(Some(on))];
                // Picked later than anybody thought, it goes on at least until that day.
                if record.last_picking.is_some_and(|last| last < on) {
                    set.push(PlantingField::LastPicking(Some(on)));
                }
                Edit::ChangePlanting { planting, set }
            }
            Self::Dropped => Edit::ChangePlanting {
                planting,
                set: vec![PlantingField::EndedOn(Some(on))],
            },
        })
    }

    /// The edits that take it back, seen from the garden before it. `may` tells which tasks can be put up again.
    pub fn undo(
        self,
        season: &Season,
        planting: PlantingId,
        record: &Planting,
        may: impl Fn(&Task) -> bool,
    ) -> Vec<Edit> {
        let state = |state, on| Edit::MarkPlanting {
            planting,
            state,
            on,
        };
        let start = record.start;
        let mut edits = match self {
            // Sown on the day that was planned, then not at all: so what was moved with it comes back too.
            Self::Begun => vec![
                state(PlantingState::Standing, start),
                state(PlantingState::Planned, start),
            ],
            Self::Cleared => vec![state(PlantingState::Standing, start)],
            Self::FirstPicked => vec![Edit::ChangePlanting {
                planting,
                set: vec![
                    PlantingField::FirstPicking(record.first_picking),
                    PlantingField::LastPicking(record.last_picking),
                ],
            }],
            Self::Dropped => vec![Edit::ChangePlanting {
                planting,
                set: vec![PlantingField::EndedOn(None)],
            }],
        };
        for (task, record) in &season.tasks {
            if self.calls_off(planting, record) && is_free(record) && may(record) {
                edits.push(put_up_again(*task, record));
            }
        }
        edits
    }

    fn calls_off(self, planting: PlantingId, task: &Task) -> bool {
        let Some(from) = task.from.as_deref() else {
            return false;
        };
        let kind = from.split(':').next().unwrap_or_default();
        comes_from(from, planting)
            && match self {
                Self::Begun => matches!(kind, "sow" | "set_out"),
                Self::Cleared | Self::Dropped => true,
                Self::FirstPicked => false,
            }
    }
}

/// A cleared planting that stands after all, or a standing one that is only planned.
pub fn step_back(planting: PlantingId, record: &Planting) -> Option<Edit> {
    let state = match record.state {
        PlantingState::Planned => return None,
        PlantingState::Standing => PlantingState::Planned,
        PlantingState::Cleared => PlantingState::Standing,
    };
    Some(Edit::MarkPlanting {
        planting,
        state,
        on: record.start,
    })
}

/// Whether a task is open and nobody has claimed it, so that it follows its planting.
pub fn is_free(task: &Task) -> bool {
    let holds = |claim: &Claim| matches!(claim.state, ClaimState::Standing | ClaimState::Done);
    task.ended_on.is_none() && !task.claims.values().any(holds)
}

fn put_up_again(task: TaskId, record: &Task) -> Edit {
    Edit::ChangeTask {
        task,
        set: vec![TaskField::EndedOn(None), TaskField::Day(record.day)],
    }
}

/// The season that a planting is of, and the planting.
pub fn found(garden: &Garden, planting: PlantingId) -> Option<(i16, &Season, &Planting)> {
    let (year, record) = garden.planting(planting)?;
    Some((year, garden.seasons.get(&year)?, record))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::ids::{EditId, GardenId};
    use selion_core::document::records::Role;
    use selion_core::document::{DocumentName, Envelope};
    use selion_core::policy::judge;
    use selion_core::quantities::Moment;

    use super::*;
    use crate::plain::sample::{by, day, hoe, member, planting, planting_id, task, with_plantings};

    /// A garden with carrots that have three tasks: to sow them, to thin them, and a claimed one.
    fn carrots() -> Garden {
        let mut garden = with_plantings([planting("carrot", "2026-05-10")]);
        let of = planting_id(1);
        let season = garden.seasons.get_mut(&2026).unwrap();
        for (number, kind) in [(1, "sow"), (2, "thin"), (3, "scout")] {
            let mut record = Task {
                from: Some(format!("{kind}:{of}")),
                day: Some(day("2026-05-10")),
                ..hoe()
            };
            if kind == "scout" {
                record
                    .claims
                    .insert(crate::plain::sample::claim(1), by(member(2), 1));
            }
            season.tasks.insert(task(number), Arc::new(record));
        }
        garden
    }

    /// Whether the service would take it from the member who holds the bed.
    fn stands(garden: &Garden, edit: Edit) -> bool {
        let envelope = Envelope {
            version: Envelope::VERSION,
            id: EditId::fresh(Moment::from_millis(1), [1; 10]),
            garden: GardenId::fresh(Moment::from_millis(1), [1; 10]),
            document: DocumentName::Season(2026),
            written_at: Moment::from_millis(1),
            edit,
        };
        let mut garden = garden.clone();
        for record in garden.members.values_mut() {
            Arc::make_mut(record).role = Role::Coordinator;
        }
        judge(&garden, member(1), &envelope).is_ok()
    }

    #[test]
    fn what_a_mark_called_off_is_put_up_again_by_its_undo() {
        let garden = carrots();
        let (_, season, record) = found(&garden, planting_id(1)).unwrap();
        let tasks = |mark: Mark| -> Vec<TaskId> {
            let edits = mark.undo(season, planting_id(1), record, |_| true);
            let put_up = |edit: &Edit| {
                if let Edit::ChangeTask { task, .. } = edit {
                    return Some(*task);
                }
                None
            };
            edits.iter().filter_map(put_up).collect()
        };
        assert_eq!(tasks(Mark::Begun), [task(1)]);
        assert_eq!(tasks(Mark::Dropped), [task(1), task(2)]);
        assert!(tasks(Mark::FirstPicked).is_empty());
        let none = Mark::Dropped.undo(season, planting_id(1), record, |_| false);
        assert_eq!(none.len(), 1);
    }

    #[test]
    fn marks_that_can_be_said_stand_and_early_ones_are_refused_in_words() {
        let garden = carrots();
        let (_, _, record) = found(&garden, planting_id(1)).unwrap();
        for mark in Mark::open(record) {
            let edit = mark
                .edit(planting_id(1), record, day("2026-05-12"))
                .unwrap();
            assert!(stands(&garden, edit), "{mark:?}");
        }
        let early = Mark::Cleared.edit(planting_id(1), record, day("2026-05-09"));
        assert_eq!(early.unwrap_err().field, "day");
        let standing = Planting {
            state: PlantingState::Standing,
            ..record.clone()
        };
        let words: Vec<&str> = Mark::open(&standing)
            .into_iter()
            .map(|mark| mark.words(&standing))
            .collect();
        assert_eq!(
            words,
            ["First picked", "It is cleared", "Take it out of the plan"]
        );
    }
}
