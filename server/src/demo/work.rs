//! The demonstration garden's year: tasks, picking turns, a load of lime, the fencing job.

use selion_core::document::edit::{Claimable, NewTurn};
use selion_core::document::ids::{BedId, ClaimId, HoursId, JobId, MemberId, TaskId, TurnId};
use selion_core::document::{DocumentName, Edit, Garden};
use selion_core::ordered::Map;
use selion_core::quantities::{Day, Minutes};

use super::named;
use crate::by_hand::{ByHandError, Hand};
use crate::chance;
use crate::rooms::Desk;

/// A task: days are counted from today; done ones say who took how many minutes.
struct Planned {
    title: &'static str,
    bed: Option<&'static str>,
    day: Option<i64>,
    places: u32,
    minutes: i64,
    for_the_fence: bool,
    note: &'static str,
    claimed_by: &'static [&'static str],
    done_by: &'static [(&'static str, i64)],
}

const PLAIN: Planned = Planned {
    title: "",
    bed: None,
    day: None,
    places: 1,
    minutes: 30,
    for_the_fence: false,
    note: "",
    claimed_by: &[],
    done_by: &[],
};

const TASKS: [Planned; 13] = [
    Planned {
        title: "Water the herbs",
        bed: Some("D5"),
        day: Some(0),
        minutes: 15,
        claimed_by: &["Wren"],
        ..PLAIN
    },
    Planned {
        title: "Hoe between the bean rows",
        bed: Some("C4"),
        day: Some(1),
        claimed_by: &["Farid"],
        ..PLAIN
    },
    Planned {
        title: "Look under squash leaves for egg clusters",
        bed: Some("D3"),
        day: Some(2),
        minutes: 20,
        note: "Ten plants. Rub them off with a wet thumb.",
        ..PLAIN
    },
    Planned {
        title: "Turn the compost",
        day: Some(3),
        places: 2,
        minutes: 45,
        note: "Forks are in the shed, behind the door.",
        claimed_by: &["Adaeze"],
        ..PLAIN
    },
    Planned {
        title: "Fetch straw bales",
        day: Some(4),
        minutes: 60,
        claimed_by: &["Piet", "Marisol"],
        ..PLAIN
    },
    Planned {
        title: "Set corner posts, north side",
        day: Some(5),
        places: 6,
        minutes: 180,
        for_the_fence: true,
        note: "Bring gloves. The auger is lent until Sunday.",
        claimed_by: &["Ines", "Bram", "Solvej"],
        ..PLAIN
    },
    Planned {
        title: "Spread compost, six barrows",
        bed: Some("B1"),
        day: Some(5),
        places: 4,
        minutes: 60,
        claimed_by: &["Tomasz", "Yuki"],
        ..PLAIN
    },
    Planned {
        title: "Thin the carrots",
        bed: Some("A3"),
        day: Some(6),
        places: 2,
        ..PLAIN
    },
    Planned {
        title: "Mow the paths",
        day: Some(8),
        places: 2,
        minutes: 60,
        claimed_by: &["Noor"],
        ..PLAIN
    },
    Planned {
        title: "Stretch the wire, east side",
        day: Some(9),
        places: 6,
        minutes: 180,
        for_the_fence: true,
        claimed_by: &["Tomasz"],
        ..PLAIN
    },
    Planned {
        title: "Net the berry hedge",
        bed: Some("D2"),
        day: Some(10),
        places: 2,
        minutes: 40,
        ..PLAIN
    },
    Planned {
        title: "Mend the hose at the tank",
        minutes: 45,
        note: "Any day. The clamps are in the tin.",
        ..PLAIN
    },
    Planned {
        title: "Dig the holes for the corner posts",
        day: Some(-2),
        places: 3,
        minutes: 150,
        for_the_fence: true,
        done_by: &[("Bram", 150), ("Ines", 120), ("Wren", 90)],
        ..PLAIN
    },
];

/// Picking turns: bed, day, who is down for it.
const TURNS: [(&str, i64, Option<&str>); 12] = [
    ("D3", 0, Some("Farid")),
    ("D3", 2, Some("Noor")),
    ("D3", 4, None),
    ("D3", 7, Some("Yuki")),
    ("D3", 9, Some("Farid")),
    ("D3", 11, None),
    ("C4", 1, Some("Farid")),
    ("C4", 8, Some("Marisol")),
    ("D2", 3, Some("Wren")),
    ("D2", 10, None),
    ("B5", 5, Some("Adaeze")),
    ("B5", 12, None),
];

/// Hours for the fence without a task: who, minutes, on which day, a word.
const HOURS: [(&str, i64, i64, &str); 2] = [
    ("Solvej", 90, -3, "Fetched the posts from the sawmill."),
    ("Tomasz", 195, -1, "Cleared the line."),
];

/// What the year is written with.
struct Year<'p> {
    garden: &'p Garden,
    today: Day,
}

/// An edit and who makes it.
type Deed = (MemberId, DocumentName, Edit);

/// Writes the year.
pub(super) fn make(desk: &mut Desk<'_>, hand: Hand, today: Day) -> Result<(), ByHandError> {
    let picture = desk
        .hall
        .picture(desk.store.as_read(), hand.garden)?
        .clone();
    let year = Year {
        garden: &picture,
        today,
    };
    let fresh = Fresh(desk.now);
    let job = fresh.job();
    let season = DocumentName::Season(today.year());
    let by = hand.member;
    let mut deeds: Vec<Deed> = vec![(by, season, fence_job(job))];
    for planned in &TASKS {
        deeds.extend(
            year.task(planned, by, job, &fresh)?
                .into_iter()
                .map(|(by, edit)| (by, season, edit)),
        );
    }
    deeds.push((by, season, year.turns(&fresh)?));
    for deed in year.hours(job, &fresh)? {
        deeds.push((deed.0, season, deed.1));
    }
    // In the order they are listed, a person's deeds in a row together.
    for run in deeds.chunk_by(|one, next| one.0 == next.0) {
        let Some((member, ..)) = run.first() else {
            continue;
        };
        let hand = Hand {
            member: *member,
            ..hand
        };
        hand.make(
            desk,
            run.iter()
                .map(|(_, document, edit)| (*document, edit.clone()))
                .collect(),
        )?;
    }
    Ok(())
}

fn fence_job(job: JobId) -> Edit {
    let total = Minutes::new(60 * 60);
    Edit::AddJob {
        job,
        title: "Fence around the former meadow".to_owned(),
        total,
        beds_left_out: Map::new(),
    }
}

impl Year<'_> {
    fn day(&self, from_today: i64) -> Day {
        self.today.plus_days(from_today)
    }

    fn person(&self, name: &str) -> Result<MemberId, ByHandError> {
        named(self.garden, name)
    }

    fn bed(&self, label: &str) -> Result<BedId, ByHandError> {
        let found = self
            .garden
            .open_beds()
            .into_iter()
            .find(|(_, bed)| bed.label == label);
        found
            .map(|(id, _)| id)
            .ok_or_else(|| ByHandError::Asked(format!("there is no bed {label}")))
    }

    /// A task with its claims, each by whoever made it.
    fn task(
        &self,
        planned: &Planned,
        by: MemberId,
        job: JobId,
        fresh: &Fresh,
    ) -> Result<Vec<(MemberId, Edit)>, ByHandError> {
        let task = fresh.task();
        let of = Claimable::Task(task);
        let add = Edit::AddTask {
            task,
            title: planned.title.to_owned(),
            bed: planned.bed.map(|label| self.bed(label)).transpose()?,
            day: planned.day.map(|day| self.day(day)),
            places: planned.places,
            minutes: Minutes::new(planned.minutes),
            job: planned.for_the_fence.then_some(job),
            note: planned.note.to_owned(),
        };
        let mut deeds = vec![(by, add)];
        for name in planned.claimed_by {
            deeds.push((
                self.person(name)?,
                Edit::Claim {
                    of,
                    claim: fresh.claim(),
                },
            ));
        }
        for (name, minutes) in planned.done_by {
            let (who, claim) = (self.person(name)?, fresh.claim());
            let on = self.day(planned.day.unwrap_or(0));
            let minutes = Minutes::new(*minutes);
            deeds.push((who, Edit::Claim { of, claim }));
            deeds.push((
                who,
                Edit::Done {
                    of,
                    claim,
                    minutes,
                    on,
                    word: String::new(),
                },
            ));
        }
        Ok(deeds)
    }

    fn turns(&self, fresh: &Fresh) -> Result<Edit, ByHandError> {
        let turns = TURNS.iter().map(|(bed, day, who)| {
            let holder = who
                .map(|name| Ok::<_, ByHandError>((self.person(name)?, fresh.claim())))
                .transpose()?;
            Ok(NewTurn {
                turn: fresh.turn(),
                bed: self.bed(bed)?,
                day: self.day(*day),
                holder,
            })
        });
        Ok(Edit::AddTurns {
            turns: turns.collect::<Result<_, ByHandError>>()?,
        })
    }

    fn hours(&self, job: JobId, fresh: &Fresh) -> Result<Vec<(MemberId, Edit)>, ByHandError> {
        let hours = HOURS.iter().map(|(who, minutes, day, word)| {
            let edit = Edit::LogHours {
                hours: fresh.hours(),
                job,
                minutes: Minutes::new(*minutes),
                day: self.day(*day),
                word: (*word).to_owned(),
            };
            Ok((self.person(who)?, edit))
        });
        hours.collect()
    }
}

/// Fresh ids of this moment.
struct Fresh(selion_core::quantities::Moment);

macro_rules! fresh {
    ($($name:ident: $id:ident)*) => {
        impl Fresh {
            $(fn $name(&self) -> $id {
                $id::fresh(self.0, chance::bytes())
            })*
        }
    };
}

fresh! { task: TaskId claim: ClaimId turn: TurnId job: JobId hours: HoursId }

#[cfg(test)]
mod tests {
    use selion_core::document::records::{ClaimState, Place as _};
    use selion_core::quantities::Units;

    use crate::demo;
    use crate::testing::Bench;

    #[test]
    fn the_garden_is_made_by_import_and_ordinary_edits() {
        let mut bench = Bench::new();
        let made = demo::make(&mut bench.desk()).unwrap();
        bench.restart();
        let garden = bench
            .hall
            .picture(&bench.store, made.garden)
            .unwrap()
            .clone();
        assert_eq!((garden.members.len(), garden.open_beds().len()), (12, 28));
        assert_eq!((garden.structures.len(), garden.fence_lines.len()), (7, 1));
        let season = garden.seasons.values().next().unwrap();
        assert_eq!(
            (
                season.tasks.len(),
                season.turns.len(),
                season.pickings.len()
            ),
            (13, 12, 14)
        );
        let dug = season.tasks.values().find(|task| task.is_done()).unwrap();
        assert!(
            dug.claims
                .values()
                .all(|claim| claim.state == ClaimState::Done)
        );
        assert!(
            garden
                .open_beds()
                .iter()
                .all(|(_, bed)| bed.outline.area().show(Units::UsCustomary) != "0 sq ft")
        );

        let again = demo::find_or_make(&mut bench.desk()).unwrap();
        assert_eq!(again.garden, made.garden);
    }
}
