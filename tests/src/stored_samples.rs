//! What earlier versions stored and sent can be read for ever: every kind of edit, every kind of document.
//!
//! The files in `data/` are never written anew. A new kind of edit gets a line of its own in a file of its version; a new
//! kind of document, or a new shape of one, gets a new file.

use automerge::transaction::Transactable;
use automerge::{Automerge, ObjId, ObjType, ROOT, ReadDoc, ScalarValue};
use selion_core::document::edit::EnvelopeError;
use selion_core::document::{DocumentName, Envelope, Garden};
use selion_core::policy::RefusalCode;
use selion_core::sync::Replica;

use crate::small_garden::{
    GROUND, KINDS, LEDGER, SEASON, SmallGarden, every_edit, ids, ines, kind,
};

/// One envelope a line, as version 1 sent them.
const EDITS_1: &str = include_str!("../data/edits-1.jsonl");
/// The documents of the small garden, as version 1 saved them.
const DOCUMENTS_1: [(DocumentName, &[u8]); 3] = [
    (GROUND, include_bytes!("../data/ground-1.automerge")),
    (SEASON, include_bytes!("../data/season-1.automerge")),
    (LEDGER, include_bytes!("../data/ledger-1.automerge")),
];
/// The picture of them, as version 1 kept it for the first paint.
const PICTURE_1: &str = include_str!("../data/picture-1.json");
/// The same with a soil test and an amendment, which came later within version 1.
const DOCUMENTS_1_SOIL: [(DocumentName, &[u8]); 3] = [
    (GROUND, include_bytes!("../data/ground-1-soil.automerge")),
    (SEASON, include_bytes!("../data/season-1-soil.automerge")),
    (LEDGER, include_bytes!("../data/ledger-1.automerge")),
];
/// The picture of those.
const PICTURE_1_SOIL: &str = include_str!("../data/picture-1-soil.json");

/// The same with plantings, recipients and weather, which came later still.
const DOCUMENTS_1_PLAN: [(DocumentName, &[u8]); 3] = [
    (GROUND, include_bytes!("../data/ground-1-plan.automerge")),
    (SEASON, include_bytes!("../data/season-1-plan.automerge")),
    (LEDGER, include_bytes!("../data/ledger-1.automerge")),
];
/// The picture of those.
const PICTURE_1_PLAN: &str = include_str!("../data/picture-1-plan.json");
/// The same with a proposal set aside, and a claimed task around which the plan moved.
const DOCUMENTS_1_PROPOSALS: [(DocumentName, &[u8]); 3] = [
    (GROUND, include_bytes!("../data/ground-1-plan.automerge")),
    (
        SEASON,
        include_bytes!("../data/season-1-proposals.automerge"),
    ),
    (LEDGER, include_bytes!("../data/ledger-1.automerge")),
];
/// The picture of those.
const PICTURE_1_PROPOSALS: &str = include_str!("../data/picture-1-proposals.json");

#[test]
fn every_edit_of_version_1_reads_as_what_its_author_meant() {
    let expected = every_edit();
    let lines: Vec<&str> = EDITS_1.lines().collect();
    assert_eq!(lines.len(), expected.len(), "a line for each edit");
    for ((line, (document, edit)), number) in lines.iter().zip(expected).zip(1..) {
        let meant = Envelope {
            version: 1,
            id: ids::edit(number),
            garden: ids::garden(1),
            document,
            written_at: ids::NOW,
            edit,
        };
        assert_eq!(Envelope::read(line).unwrap(), meant);
        assert_eq!(meant.write(), **line, "and is still written like that");
    }
}

#[test]
fn every_kind_of_edit_has_a_sample() {
    let samples: Vec<Envelope> = EDITS_1
        .lines()
        .map(|line| Envelope::read(line).unwrap())
        .collect();
    for name in KINDS {
        let sampled = samples.iter().any(|sample| kind(&sample.edit) == *name);
        assert!(sampled, "data/ holds no sample of {name}");
    }
}

#[test]
fn an_edit_of_a_newer_version_is_told_apart_from_a_broken_one() {
    let line = EDITS_1.lines().next().unwrap();
    let newer = line.replace(r#""version":1,"#, r#""version":2,"something_new":[1],"#);
    let error = Envelope::read(&newer).unwrap_err();
    assert!(matches!(error, EnvelopeError::Newer { known: 1, came: 2 }));
    assert_eq!(
        error.to_string(),
        "edit: expected version 1 or older, but version 2 came; this program must be brought up to date first."
    );
    let never = line.replace(r#""version":1,"#, r#""version":0,"#);
    assert!(matches!(
        Envelope::read(&never),
        Err(EnvelopeError::Shape { .. })
    ));
}

#[test]
fn documents_saved_by_version_1_show_the_same_garden() {
    for (documents, picture) in [
        (&DOCUMENTS_1, PICTURE_1),
        (&DOCUMENTS_1_SOIL, PICTURE_1_SOIL),
        (&DOCUMENTS_1_PLAN, PICTURE_1_PLAN),
        (&DOCUMENTS_1_PROPOSALS, PICTURE_1_PROPOSALS),
    ] {
        let opened = opened(documents);
        let picture: Garden = serde_json::from_str(picture).unwrap();
        assert_eq!(*opened.garden(), picture);
        assert!(picture.read_only.is_empty());
    }
}

#[test]
fn documents_saved_by_version_1_can_be_written_on() {
    for (document, edit) in every_edit() {
        // These were made before the documents were saved, so they do not stand a second time.
        if [
            "CloseJob",
            "CloseOrder",
            "ChangeOrder",
            "AddFenceLine",
            "CarryOver",
            "AnswerRequest",
        ]
        .contains(&kind(&edit))
        {
            continue;
        }
        let about_soil = ["StrikeSoilTest", "DigIn", "StrikeAmendment"].contains(&kind(&edit));
        let about_the_plan = [
            "CloseYear",
            "ChangePlanting",
            "MoveSeries",
            "MarkPlanting",
            "LogHarvest",
            "StrikeWeather",
        ]
        .contains(&kind(&edit));
        let mut opened = opened(if kind(&edit) == "ProposeAgain" {
            &DOCUMENTS_1_PROPOSALS
        } else if about_the_plan {
            &DOCUMENTS_1_PLAN
        } else if about_soil {
            &DOCUMENTS_1_SOIL
        } else {
            &DOCUMENTS_1
        });
        let mut paper = SmallGarden::new();
        let envelope = paper.envelope(document, edit);
        let applied = opened.apply(&envelope, ines(), ids::NOW);
        assert!(applied.is_ok(), "{:?}: {applied:?}", envelope.edit);
    }
}

#[test]
fn what_a_newer_program_added_survives_an_edit_by_this_one() {
    let season = forged(SEASON, |tx| {
        let task = record(tx, "tasks", &ids::task(1).to_string());
        tx.put(&task, "weather", "dry").unwrap();
        let claims = inner(tx, &task, "claims");
        let claim = inner(tx, &claims, &ids::claim(1).to_string());
        tx.put(&claim, "gloves", true).unwrap();
        let swarms = tx.put_object(ROOT, "swarms", ObjType::Map).unwrap();
        tx.put(&swarms, "first", 3).unwrap();
    });
    let mut garden = SmallGarden::new();
    garden.replica.load(SEASON, &season).unwrap();
    assert!(garden.replica.garden().read_only.is_empty());
    for (document, edit) in every_edit() {
        if document == SEASON && ["ChangeTask", "Done"].contains(&kind(&edit)) {
            garden.does(ines(), document, edit);
        }
    }
    let saved = Automerge::load(&garden.replica.save(SEASON).unwrap()).unwrap();
    let tasks = saved.get(ROOT, "tasks").unwrap().unwrap().1;
    let task = saved
        .get(&tasks, ids::task(1).to_string())
        .unwrap()
        .unwrap()
        .1;
    let claims = saved.get(&task, "claims").unwrap().unwrap().1;
    let claim = saved
        .get(&claims, ids::claim(1).to_string())
        .unwrap()
        .unwrap()
        .1;
    let swarms = saved.get(ROOT, "swarms").unwrap().unwrap().1;
    let scalar = |object: &ObjId, key: &str| {
        saved
            .get(object, key)
            .unwrap()
            .unwrap()
            .0
            .as_scalar()
            .cloned()
    };
    assert_eq!(
        scalar(&task, "title"),
        Some("Hoe between the rows".into()),
        "the edit was made"
    );
    assert_eq!(
        scalar(&claim, "state"),
        Some("done".into()),
        "and the other"
    );
    assert_eq!(scalar(&task, "weather"), Some("dry".into()));
    assert_eq!(scalar(&claim, "gloves"), Some(ScalarValue::Boolean(true)));
    assert_eq!(scalar(&swarms, "first"), Some(ScalarValue::Int(3)));
}

#[test]
fn a_document_of_version_99_is_shown_and_not_written() {
    for (name, _) in DOCUMENTS_1 {
        let newer = forged(name, |tx| tx.put(ROOT, "version", 99).unwrap());
        let mut garden = SmallGarden::new();
        let shown = garden.replica.garden().clone();
        garden.replica.load(name, &newer).unwrap();
        assert_eq!(
            garden.replica.garden().read_only.iter().collect::<Vec<_>>(),
            [&name]
        );
        assert_eq!(garden.replica.garden().beds, shown.beds, "it is shown");
        assert_eq!(garden.replica.garden().seasons, shown.seasons);
        for (document, edit) in every_edit() {
            let mut garden = SmallGarden::new();
            garden.replica.load(name, &newer).unwrap();
            let before = garden.saved();
            match garden.tries(ines(), document, edit) {
                Ok(_stands) => assert_ne!(document, name),
                Err(refused) => {
                    assert_eq!((document, refused.code), (name, RefusalCode::ReadOnly));
                    assert!(
                        refused.message.contains("newer version"),
                        "{}",
                        refused.message
                    );
                    assert_eq!(garden.saved(), before);
                }
            }
        }
    }
}

#[test]
fn a_document_with_a_record_that_cannot_be_read_is_shown_without_it_and_not_written() {
    let season = forged(SEASON, |tx| {
        let task = record(tx, "tasks", &ids::task(2).to_string());
        tx.put(&task, "places", "as many as come").unwrap();
    });
    let mut opened = Replica::empty(ids::garden(1), [9; 16]);
    for (name, bytes) in SmallGarden::new().saved() {
        let bytes = if name == SEASON { &season } else { &bytes };
        opened.load(name, bytes).unwrap();
    }
    assert!(opened.garden().read_only.contains(&SEASON));
    assert!(opened.garden().task(ids::task(1)).is_some());
    assert!(opened.garden().task(ids::task(2)).is_none());
}

#[test]
fn a_document_that_came_back_readable_can_be_written_again() {
    let newer = forged(SEASON, |tx| tx.put(ROOT, "version", 99).unwrap());
    let mut garden = SmallGarden::new();
    let readable = garden.saved().remove(&SEASON).unwrap();
    garden.replica.load(SEASON, &newer).unwrap();
    // Withdrawn and sent anew, as when a member becomes a helper and a member again.
    garden.replica.forget(SEASON);
    assert!(garden.replica.garden().read_only.is_empty());
    garden.replica.load(SEASON, &newer).unwrap();
    garden.replica.forget(GROUND);
    assert!(
        garden.replica.garden().read_only.contains(&SEASON),
        "another document's going changes nothing"
    );
    garden.replica.load(SEASON, &readable).unwrap();
    assert!(garden.replica.garden().read_only.is_empty());
}

fn opened(documents: &[(DocumentName, &[u8])]) -> Replica {
    let mut replica = Replica::empty(ids::garden(1), [9; 16]);
    for (name, bytes) in documents {
        replica.load(*name, bytes).unwrap();
    }
    replica
}

/// A document of the small garden, changed in a way that this program never would.
fn forged(
    name: DocumentName,
    change: impl FnOnce(&mut automerge::transaction::Transaction<'_>),
) -> Vec<u8> {
    let saved = SmallGarden::new().saved().remove(&name).unwrap();
    let mut document = Automerge::load(&saved).unwrap();
    let mut tx = document.transaction();
    change(&mut tx);
    tx.commit();
    document.save()
}

fn record(tx: &impl ReadDoc, shelf: &str, id: &str) -> ObjId {
    let shelf = inner(tx, &ROOT, shelf);
    inner(tx, &shelf, id)
}

fn inner(tx: &impl ReadDoc, object: &ObjId, key: &str) -> ObjId {
    tx.get(object, key).unwrap().unwrap().1
}
