//! Whatever comes from outside is read or refused in one sentence; nothing makes the program panic.

use std::sync::LazyLock;

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::Index;
use selion_core::document::{DocumentName, Envelope};
use selion_core::exchange::{bed_table, geojson};
use selion_core::geometry::{Line, Outline};
use selion_core::sync::frame::{ClientFrame, ServerFrame};
use selion_core::sync::{LocalCopy, Replica, Stored};
use serde_json::{Map, Value};

use crate::small_garden::{SEASON, SmallGarden, apply_as_drawn, ids, ines, wren};

/// Made once; every case works on a copy.
static GARDEN: LazyLock<Replica> = LazyLock::new(|| SmallGarden::new().replica);

const SAMPLES: &str = include_str!("../data/edits-1.jsonl");

/// One sentence: a field or thing named first, a full stop at the end, no line break, not endless.
fn assert_one_sentence(sentence: &str) {
    assert!(!sentence.contains('\n'), "{sentence:?}");
    assert!(sentence.ends_with('.'), "{sentence:?}");
    assert!(
        sentence.chars().count() < 600,
        "{} characters",
        sentence.len()
    );
}

fn samples() -> Vec<Value> {
    SAMPLES
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

/// Values that programs like to trip over.
fn odd_value() -> impl Strategy<Value = Value> {
    prop_oneof![
        Just(Value::Null),
        Just(Value::Bool(true)),
        Just(Value::from(-1)),
        Just(Value::from(i64::MIN)),
        Just(Value::from(u64::MAX)),
        Just(Value::from(1.5e300)),
        Just(Value::from("")),
        Just(Value::from("\u{0}\n\u{202e}")),
        Just(Value::from("9".repeat(400))),
        Just(Value::from("POLYGON((0 0,1 0,1 1,0 0))")),
        Just(Value::from("9999-12-31")),
        Just(Value::Array(Vec::new())),
        Just(Value::Object(Map::new())),
        ".{0,12}".prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
    ]
}

/// What is done to a value: something inside it is replaced, taken away, doubled or given another name.
#[derive(Clone, Debug)]
enum Harm {
    Replace(Value),
    Remove,
    Rename(String),
    Wrap,
}

fn harm() -> impl Strategy<Value = Harm> {
    prop_oneof![
        4 => odd_value().prop_map(Harm::Replace),
        1 => Just(Harm::Remove),
        1 => "[a-z_]{1,8}".prop_map(Harm::Rename),
        1 => Just(Harm::Wrap),
    ]
}

/// Walks down a value by chance and harms what it finds.
fn harmed(value: &mut Value, way: &[Index], harm: &Harm) {
    let Some((step, rest)) = way.split_first() else {
        match harm {
            Harm::Replace(new) => *value = new.clone(),
            Harm::Wrap => *value = Value::Array(vec![value.take()]),
            Harm::Remove | Harm::Rename(_) => {}
        }
        return;
    };
    match value {
        Value::Object(fields) if !fields.is_empty() => {
            let key = fields.keys().nth(step.index(fields.len())).unwrap().clone();
            match harm {
                Harm::Remove if rest.is_empty() => drop(fields.remove(&key)),
                Harm::Rename(name) if rest.is_empty() => {
                    let moved = fields.remove(&key).unwrap();
                    fields.insert(name.clone(), moved);
                }
                Harm::Replace(_) | Harm::Remove | Harm::Rename(_) | Harm::Wrap => {
                    harmed(fields.get_mut(&key).unwrap(), rest, harm);
                }
            }
        }
        Value::Array(items) if !items.is_empty() => {
            let place = step.index(items.len());
            harmed(&mut items[place], rest, harm);
        }
        Value::Object(_)
        | Value::Array(_)
        | Value::Null
        | Value::Bool(_)
        | Value::Number(_)
        | Value::String(_) => {
            harmed(value, &[], harm);
        }
    }
}

fn way() -> impl Strategy<Value = Vec<Index>> {
    vec(any::<Index>(), 0..5)
}

fn check_envelope(text: &str) {
    match Envelope::read(text) {
        Ok(envelope) => {
            assert_eq!(
                Envelope::read(&envelope.write()).unwrap(),
                envelope,
                "it reads back"
            );
            let mut garden = GARDEN.clone();
            let mut changed = false;
            for who in [ines(), wren()] {
                match apply_as_drawn(&mut garden, &envelope, who, ids::NOW) {
                    Ok(_stands) => changed = true,
                    Err(refused) => assert_one_sentence(&refused.message),
                }
            }
            if changed {
                let mut loaded = Replica::empty(ids::garden(1), [3; 16]);
                for name in garden.names() {
                    loaded.load(name, &garden.save(name).unwrap()).unwrap();
                }
                assert_eq!(
                    loaded.garden(),
                    garden.garden(),
                    "what was written can be read"
                );
            }
        }
        Err(error) => assert_one_sentence(&error.to_string()),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_text_as_an_envelope(text in ".{0,200}") {
        check_envelope(&text);
    }

    #[test]
    fn an_envelope_that_is_almost_right(
        sample in any::<Index>(), way in way(), first in harm(), other_way in way(), second in harm(),
    ) {
        let samples = samples();
        let mut value = samples[sample.index(samples.len())].clone();
        harmed(&mut value, &way, &first);
        check_envelope(&value.to_string());
        harmed(&mut value, &other_way, &second);
        check_envelope(&value.to_string());
    }

    #[test]
    fn an_envelope_cut_off_or_with_bytes_changed(sample in any::<Index>(), at in any::<Index>(), byte in 0_u8..128) {
        let samples: Vec<&str> = SAMPLES.lines().collect();
        let line = samples[sample.index(samples.len())];
        let mut bytes = line.as_bytes().to_vec();
        let place = at.index(bytes.len());
        check_envelope(&String::from_utf8_lossy(&bytes[..place]));
        bytes[place] = byte;
        check_envelope(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn frames_that_are_almost_right(which in 0_usize..16, way in way(), harm in harm()) {
        let frames = frames();
        let mut value: Value = serde_json::from_str(&frames[which % frames.len()]).unwrap();
        harmed(&mut value, &way, &harm);
        let text = value.to_string();
        if let Err(sentence) = ClientFrame::read(&text) {
            assert_one_sentence(&sentence);
        }
        match ServerFrame::read(&text) {
            Err(sentence) => assert_one_sentence(&sentence),
            Ok(frame) => {
                // Only the service's frames get so far, but a phone should bear any.
                let mut copy = LocalCopy::new(ids::garden(1));
                copy.take(&frame, ids::NOW);
            }
        }
    }

    #[test]
    fn any_text_as_a_frame(text in ".{0,200}") {
        for sentence in [ClientFrame::read(&text).err(), ServerFrame::read(&text).err()].into_iter().flatten() {
            assert_one_sentence(&sentence);
        }
    }

    #[test]
    fn any_text_as_a_documents_name(text in prop_oneof![".{0,20}", "(season|ledger)-.{0,8}"]) {
        match text.parse::<DocumentName>() {
            Ok(name) => prop_assert_eq!(name.to_string().parse::<DocumentName>().unwrap(), name),
            Err(bad) => assert_one_sentence(&bad.to_string()),
        }
    }

    #[test]
    fn any_text_as_an_outline_or_line(
        text in prop_oneof![
            ".{0,60}",
            "(POLYGON|LINESTRING) ?\\(\\(?(-?[0-9]{1,20}(\\.[0-9]+)? -?[0-9]{1,8},){0,9}[0-9 ]{0,9}\\)?\\)?",
        ],
    ) {
        match Outline::parse(&text) {
            Ok(outline) => prop_assert!(outline.area().mm2() > 0),
            Err(bad) => assert_one_sentence(&bad.to_string()),
        }
        if let Err(bad) = Line::parse(&text) {
            assert_one_sentence(&bad.to_string());
        }
    }

    #[test]
    fn any_file_as_a_table_of_beds(text in prop_oneof![".{0,300}", "label[,;\t]width[,;\t]depth(\n[^\n]{0,40}){0,6}"]) {
        if let Err(bad) = bed_table::read(&text) {
            assert_one_sentence(&bad.to_string());
        }
    }

    #[test]
    fn a_geojson_file_that_is_almost_right(way in vec(any::<Index>(), 0..9), harm in harm()) {
        let mut value = geojson_sample();
        harmed(&mut value, &way, &harm);
        if let Err(bad) = geojson::read(&value.to_string()) {
            assert_one_sentence(&bad.to_string());
        }
    }

    #[test]
    fn a_phones_storage_in_which_bytes_were_changed(at in any::<Index>(), byte in any::<u8>(), cut in any::<bool>()) {
        let mut garden = SmallGarden::new();
        let envelope = garden.envelope(SEASON, crate::small_garden::every_edit().remove(12).1);
        let row = format!(r#"{{"number":1,"envelope":{},"state":{{"state":"waiting"}}}}"#, envelope.write());
        let mut saved = b"3\n".to_vec();
        saved.extend(&garden.saved()[&SEASON]);
        let harmed = |mut bytes: Vec<u8>| {
            let place = at.index(bytes.len());
            bytes[place] = byte;
            if cut {
                bytes.truncate(place);
            }
            bytes
        };
        let garden_id = ids::garden(1);
        let stored = Stored {
            outbox: vec![(format!("{garden_id}/{}", envelope.id), harmed(row.into_bytes()))],
            documents: vec![(format!("{garden_id}/{SEASON}"), harmed(saved))],
            changes: vec![(format!("{garden_id}/ground/0000000000000001"), harmed(garden.changes[0].1.clone()))],
            meta: vec![(format!("{garden_id}/session"), harmed(b"{\"epoch\":null,\"member\":null}".to_vec()))],
        };
        let copy = LocalCopy::restore(garden_id, &stored);
        prop_assert!(copy.truth().waiting <= 1);
    }
}

/// A frame of every kind, the service's with a document inside.
fn frames() -> Vec<String> {
    let garden = SmallGarden::new();
    let hello =
        r#"{"frame":"hello","protocol":1,"epoch":"ab","cursors":{"ground":3,"season-2026":7}}"#;
    let welcome = format!(
        r#"{{"frame":"welcome","protocol":1,"epoch":"ab","server_time":1,"member":"{}","role":"helper","documents":{{"ground":3}}}}"#,
        wren()
    );
    let changes = serde_json::to_string(&ServerFrame::Changes {
        document: SEASON,
        first: 1,
        changes: vec![selion_core::sync::frame::Bytes(garden.changes[0].1.clone())],
        heads: garden.replica.heads(SEASON),
    });
    let snapshot = serde_json::to_string(&ServerFrame::Snapshot {
        document: SEASON,
        sequence: 9,
        bytes: selion_core::sync::frame::Bytes(garden.saved()[&SEASON].clone()),
        heads: garden.replica.heads(SEASON),
    });
    let answers = format!(
        r#"{{"frame":"answers","answers":[{{"edit":"{}","verdict":{{"verdict":"accepted","document":"ground"}}}}]}}"#,
        ids::edit(1)
    );
    vec![
        hello.to_owned(),
        r#"{"frame":"edits","edits":["{}","x"]}"#.to_owned(),
        r#"{"frame":"again","document":"ground"}"#.to_owned(),
        welcome,
        changes.unwrap(),
        snapshot.unwrap(),
        answers,
        r#"{"frame":"withdrawn","document":"ledger-2026"}"#.to_owned(),
    ]
}

fn geojson_sample() -> Value {
    serde_json::json!({
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature",
                "properties": { "label": "A1", "kind": "bed" },
                "geometry": { "type": "Polygon", "coordinates": [[[8.1, 50.2], [8.1001, 50.2], [8.1001, 50.2001], [8.1, 50.2]]] },
            },
            {
                "type": "Feature",
                "properties": { "label": "North fence", "kind": "fence_line" },
                "geometry": { "type": "LineString", "coordinates": [[8.1, 50.2], [8.1002, 50.2]] },
            },
        ],
    })
}

#[test]
fn the_samples_themselves_are_read() {
    geojson::read(&geojson_sample().to_string()).unwrap();
    for frame in frames() {
        assert!(
            ClientFrame::read(&frame).is_ok() || ServerFrame::read(&frame).is_ok(),
            "{frame}"
        );
    }
}

#[test]
fn a_note_written_against_a_time_before_the_note_was_is_taken_or_refused_but_breaks_nothing() {
    use selion_core::document::Edit;
    use selion_core::document::edit::{NoteBase, NoteOf};
    let mut garden = SmallGarden::new();
    // The heads after the very first change of the season, when there was no task and no note yet.
    let mut early = Replica::empty(ids::garden(1), [3; 16]);
    let (_, first) = garden
        .changes
        .iter()
        .find(|(name, _)| *name == SEASON)
        .unwrap();
    early.take_changes(SEASON, [first.as_slice()]).unwrap();
    let base = NoteBase {
        heads: early.heads(SEASON).0,
        after: None,
    };
    let note = Edit::WriteNote {
        of: NoteOf::Task(ids::task(1)),
        text: "From nowhere".to_owned(),
        base,
    };
    if let Err(refused) = garden.tries(wren(), SEASON, note) {
        assert_one_sentence(&refused.message);
    }
    garden.add_task(ines(), 50, "Everything goes on", 1);
    let mut loaded = Replica::empty(ids::garden(1), [3; 16]);
    loaded.load(SEASON, &garden.saved()[&SEASON]).unwrap();
    let year = crate::small_garden::YEAR;
    let (loaded, kept) = (loaded.garden(), garden.replica.garden());
    assert_eq!(loaded.seasons[&year], kept.seasons[&year]);
}
