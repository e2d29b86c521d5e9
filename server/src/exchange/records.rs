//! A whole garden as one JSON file, and such a file as a garden again.
//!
//! The file holds two things: `records`, the picture of the garden for people and other programs, and `edits`, every
//! accepted edit in order of arrival. Bringing it in begins the garden as it was begun and makes the same edits again, by
//! the same rules; the outcome must equal `records`, or nothing is brought in.

use std::collections::BTreeSet;

use selion_core::document::edit::{NoteBase, NoteOf};
use selion_core::document::ids::{EditId, GardenId, MemberId};
use selion_core::document::{DocumentName, Edit, Envelope, Garden};
use selion_core::quantities::{BadInput, Moment};
use selion_core::sync::GardenStart;
use selion_core::sync::frame::Verdict;
use serde::{Deserialize, Serialize};

use super::keeper_of_ground;
use crate::by_hand::{ByHandError, Hand};
use crate::chance;
use crate::error::AppError;
use crate::rooms::{Author, Desk, Room};
use crate::store::rows::{self, Write};

/// The newest shape of the file that is written here.
const VERSION: u16 = 1;

/// Edits read from the store at a time.
const EDITS_AT_ONCE: usize = 1_000;

/// The file.
#[derive(Serialize, Deserialize)]
struct File {
    /// Says what the file is, and in which shape.
    selion_garden: u16,
    garden: GardenId,
    made_at: Moment,
    records: Garden,
    edits: Vec<Made>,
}

/// An accepted edit.
#[derive(Serialize, Deserialize)]
struct Made {
    member: MemberId,
    received_at: Moment,
    edit: Envelope,
}

/// A garden that was brought in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BroughtIn {
    /// The garden.
    pub garden: GardenId,
    /// Its name.
    pub name: String,
    /// A coordinator, who needs a link to come in.
    pub coordinator: MemberId,
}

/// A garden as text.
pub fn export_records(desk: &mut Desk<'_>, garden: GardenId) -> Result<String, ByHandError> {
    let row = stored(desk.store.gardens())?
        .into_iter()
        .find(|row| row.id == garden);
    let row = row.ok_or_else(|| ByHandError::Asked("there is no such garden".to_owned()))?;
    let mut edits = Vec::new();
    let mut after = None;
    loop {
        let some = stored(desk.store.edits(garden, after, EDITS_AT_ONCE))?;
        let Some(last) = some.last() else { break };
        after = Some(last.id);
        for edit in some {
            edits.extend(accepted(&edit)?);
        }
    }
    let records = desk.hall.picture(desk.store.as_read(), garden)?.clone();
    let file = File {
        selion_garden: VERSION,
        garden,
        made_at: row.made_at,
        records,
        edits,
    };
    serde_json::to_string_pretty(&file).map_err(|error| ByHandError::Asked(error.to_string()))
}

/// Whether a text says that it is a garden as [`export_records`] writes it.
pub fn is_records(text: &str) -> bool {
    #[derive(Deserialize)]
    struct Mark {
        #[serde(rename = "selion_garden")]
        _version: u16,
    }
    serde_json::from_str::<Mark>(text).is_ok()
}

/// Makes the garden that a text holds. It must not be here yet.
pub fn import_records(desk: &mut Desk<'_>, text: &str) -> Result<BroughtIn, ByHandError> {
    let file: File = serde_json::from_str(text)
        .map_err(|error| BadInput::new("file", "an exported garden", error.to_string()))?;
    if file.selion_garden > VERSION {
        let came = file.selion_garden.to_string();
        return Err(
            BadInput::new("selion_garden", format!("version {VERSION} or older"), came).into(),
        );
    }
    if stored(desk.store.gardens())?
        .iter()
        .any(|row| row.id == file.garden)
    {
        return Err(ByHandError::Asked("this garden is here already".to_owned()));
    }
    let (mut room, mut writes) = Room::begin(start_of(&file)?, desk.hall.actor(), file.made_at)?;
    writes.insert(
        0,
        Write::AddGarden(rows::Garden {
            id: file.garden,
            made_at: file.made_at,
        }),
    );
    let count = file.edits.len();
    for (place, made) in file.edits.iter().enumerate() {
        let about = format!("change {} of {count}", place + 1);
        make_again(
            &mut room,
            &mut writes,
            made.member,
            made.received_at,
            &made.edit,
            about,
        )?;
    }
    let coordinator = keeper_of_ground(&file.records)
        .ok_or_else(|| BadInput::new("records", "at least one coordinator", "none"))?;
    let hand = Hand {
        garden: file.garden,
        member: coordinator,
    };
    for (document, edit) in notes_to_set_right(&room, &file.records) {
        let envelope = hand.envelope(desk.now, document, edit);
        make_again(
            &mut room,
            &mut writes,
            coordinator,
            desk.now,
            &envelope,
            "a merged note".to_owned(),
        )?;
    }
    if room.picture() != &file.records {
        return Err(ByHandError::Asked(
            "the edits in the file do not lead to its records; nothing was brought in".to_owned(),
        ));
    }
    stored(desk.store.commit(&writes))?;
    let name = file
        .records
        .profile
        .as_ref()
        .map(|profile| profile.name.clone())
        .unwrap_or_default();
    Ok(BroughtIn {
        garden: file.garden,
        name,
        coordinator,
    })
}

fn make_again(
    room: &mut Room,
    writes: &mut Vec<Write>,
    member: MemberId,
    at: Moment,
    envelope: &Envelope,
    about: String,
) -> Result<(), ByHandError> {
    let decision = room.decide(
        envelope,
        Author {
            member,
            device: None,
        },
        at,
    )?;
    match decision.verdict {
        Verdict::Accepted { .. } => {
            writes.extend(decision.writes);
            Ok(())
        }
        Verdict::Refused(refused) => Err(ByHandError::Refused {
            about,
            sentence: refused.message,
        }),
    }
}

/// An edit that stands, as the file holds it.
fn accepted(row: &rows::Edit) -> Result<Option<Made>, ByHandError> {
    let unreadable =
        |what: String| ByHandError::Asked(format!("the edit {} cannot be read: {what}", row.id));
    let verdict: Verdict =
        serde_json::from_str(&row.verdict).map_err(|error| unreadable(error.to_string()))?;
    if matches!(verdict, Verdict::Refused(_)) {
        return Ok(None);
    }
    let edit = Envelope::read(&row.body).map_err(|error| unreadable(error.to_string()))?;
    Ok(Some(Made {
        member: row.member,
        received_at: row.received_at,
        edit,
    }))
}

/// What the garden began with: what no edit brought.
fn start_of(file: &File) -> Result<GardenStart, BadInput> {
    let missing = |what: &str| BadInput::new("records", what, "none");
    let profile = file
        .records
        .profile
        .as_ref()
        .ok_or_else(|| missing("the garden's profile"))?;
    let (mut people, mut years) = (BTreeSet::new(), BTreeSet::new());
    for made in &file.edits {
        if let Edit::AddMember { member, .. } = &made.edit.edit {
            people.insert(*member);
        } else if let Edit::OpenYear { year } = &made.edit.edit {
            years.insert(*year);
        }
    }
    let first = file
        .records
        .members
        .iter()
        .find(|(member, _)| !people.contains(member));
    let (coordinator, record) = first.ok_or_else(|| missing("the person who made the garden"))?;
    let year = profile
        .open_years()
        .into_iter()
        .find(|year| !years.contains(year));
    Ok(GardenStart {
        garden: file.garden,
        name: profile.name.clone(),
        units: profile.units,
        currency: profile.currency,
        time_zone: profile.time_zone.clone(),
        year: year.ok_or_else(|| missing("the first open year"))?,
        coordinator: *coordinator,
        coordinator_name: record.name.clone(),
        edit: EditId::fresh(file.made_at, chance::bytes()),
    })
}

/// Notes that several people wrote at once were merged by where each stood in the history. The new history is another,
/// so where the outcome differs, the note is written once more as it was.
fn notes_to_set_right(room: &Room, records: &Garden) -> Vec<(DocumentName, Edit)> {
    let picture = room.picture();
    let base = |document| NoteBase {
        heads: room.heads(document).0,
        after: None,
    };
    let mut edits = Vec::new();
    for (id, bed) in &records.beds {
        if picture
            .beds
            .get(id)
            .is_some_and(|ours| ours.note != bed.note)
        {
            let base = base(DocumentName::Ground);
            edits.push((
                DocumentName::Ground,
                Edit::WriteNote {
                    of: NoteOf::Bed(*id),
                    text: bed.note.clone(),
                    base,
                },
            ));
        }
    }
    for (year, season) in &records.seasons {
        let document = DocumentName::Season(*year);
        let ours = |id| {
            picture
                .seasons
                .get(year)
                .and_then(|season| season.tasks.get(id))
        };
        for (id, task) in &season.tasks {
            if ours(id).is_some_and(|ours| ours.note != task.note) {
                let (of, base) = (NoteOf::Task(*id), base(document));
                edits.push((
                    document,
                    Edit::WriteNote {
                        of,
                        text: task.note.clone(),
                        base,
                    },
                ));
            }
        }
    }
    edits
}

fn stored<T>(answer: Result<T, crate::store::StoreError>) -> Result<T, ByHandError> {
    answer.map_err(|error| AppError::from(error).into())
}

#[cfg(test)]
mod tests {
    use selion_core::document::Role;
    use selion_core::document::edit::TaskField;

    use super::*;
    use crate::demo;
    use crate::testing::{Bench, Somebody, YEAR};

    #[test]
    fn what_was_exported_comes_in_as_the_same_garden() {
        let mut bench = Bench::new();
        let made = demo::make(&mut bench.desk()).unwrap();
        let text = export_records(&mut bench.desk(), made.garden).unwrap();
        let records = bench
            .hall
            .picture(&bench.store, made.garden)
            .unwrap()
            .clone();

        let mut elsewhere = Bench::new();
        let brought = import_records(&mut elsewhere.desk(), &text).unwrap();
        assert_eq!(
            (brought.garden, brought.name.as_str()),
            (made.garden, demo::NAME)
        );
        elsewhere.restart();
        assert_eq!(
            elsewhere
                .hall
                .picture(&elsewhere.store, made.garden)
                .unwrap(),
            &records
        );
        assert_eq!(
            export_records(&mut elsewhere.desk(), made.garden).unwrap(),
            text,
            "and out again the same"
        );
        let twice = import_records(&mut elsewhere.desk(), &text).unwrap_err();
        assert_eq!(twice.to_string(), "this garden is here already");
    }

    #[test]
    fn notes_that_two_people_wrote_at_once_come_in_as_they_were_merged() {
        let mut bench = Bench::new();
        let rowan = bench.garden("Upper Meadow");
        let linnet = bench.member(rowan, "Linnet", Role::Member);
        let envelope = bench.task(rowan.garden, "water the beans");
        let Edit::AddTask { task, .. } = envelope.edit else {
            panic!("a task")
        };
        let season = DocumentName::Season(YEAR);
        bench.edit(rowan, season, envelope.edit.clone());
        let note = |text: &str, heads: &[String]| Edit::WriteNote {
            of: NoteOf::Task(task),
            text: text.to_owned(),
            base: NoteBase {
                heads: heads.to_vec(),
                after: None,
            },
        };
        let heads = |bench: &mut Bench| {
            let room = Room::load(&bench.store, rowan.garden, [7; 16]).unwrap();
            room.heads(season).0
        };
        let before = heads(&mut bench);
        bench.edit(rowan, season, note("the can leaks", &before));
        let seen = heads(&mut bench);
        let write =
            |bench: &mut Bench, by: Somebody, text: &str| bench.edit(by, season, note(text, &seen));
        write(&mut bench, rowan, "the red can leaks");
        write(&mut bench, linnet, "the can leaks a little");
        bench.edit(
            rowan,
            season,
            Edit::ChangeTask {
                task,
                set: vec![TaskField::Places(2)],
            },
        );
        let records = bench
            .hall
            .picture(&bench.store, rowan.garden)
            .unwrap()
            .clone();
        assert_eq!(
            records.seasons[&YEAR].tasks[&task].note,
            "the red can leaks a little"
        );

        let text = export_records(&mut bench.desk(), rowan.garden).unwrap();
        let mut elsewhere = Bench::new();
        elsewhere.hall = crate::rooms::Hall::new([9; 16], elsewhere.limits.clone());
        import_records(&mut elsewhere.desk(), &text).unwrap();
        assert_eq!(
            elsewhere
                .hall
                .picture(&elsewhere.store, rowan.garden)
                .unwrap(),
            &records
        );
    }

    #[test]
    fn a_file_whose_edits_do_not_lead_to_its_records_stays_out() {
        let mut bench = Bench::new();
        let made = demo::make(&mut bench.desk()).unwrap();
        let text = export_records(&mut bench.desk(), made.garden).unwrap();
        let mut elsewhere = Bench::new();
        for (from, to) in [
            ("\"label\": \"A1\"", "\"label\": \"A2\""),
            ("\"places\": 4", "\"places\": 5"),
        ] {
            let changed = text.replacen(from, to, 1);
            assert_ne!(changed, text);
            let error = import_records(&mut elsewhere.desk(), &changed)
                .unwrap_err()
                .to_string();
            assert!(!error.is_empty() && !error.contains('\n'), "{error}");
            assert_eq!(elsewhere.desk().store.gardens().unwrap(), []);
        }
    }
}
