//! Between a record's fields as JSON values and the maps of Automerge.
//!
//! Writing compares with what stands and puts only what differs: a put equal to the current value would be noise in a
//! history that is never trimmed. A field called `note` is a text that merges letter by letter.

use automerge::transaction::Transactable;
use automerge::{AutomergeError, ObjId, ObjType, ReadDoc, ScalarValue, Value as Stored};
use serde_json::{Map, Number, Value};

/// The one field name that stands for a mergeable text.
pub(super) const NOTE: &str = "note";

/// The map or text at a key, if one is there.
pub(super) fn object_at(
    doc: &impl ReadDoc,
    parent: &ObjId,
    key: &str,
) -> Result<Option<ObjId>, AutomergeError> {
    Ok(match doc.get(parent, key)? {
        Some((Stored::Object(_), id)) => Some(id),
        Some((Stored::Scalar(_), _)) | None => None,
    })
}

/// Reads a map as JSON.
pub(super) fn read_map(doc: &impl ReadDoc, map: &ObjId) -> Result<Value, AutomergeError> {
    let mut fields = Map::new();
    let keys: Vec<String> = doc.keys(map).collect();
    for key in keys {
        let value = match doc.get(map, key.as_str())? {
            Some((Stored::Object(ObjType::Map | ObjType::Table), id)) => read_map(doc, &id)?,
            Some((Stored::Object(ObjType::Text), id)) => Value::String(doc.text(&id)?),
            // There are no lists in our documents; one from a newer program is left alone.
            Some((Stored::Object(ObjType::List), _)) | None => continue,
            Some((Stored::Scalar(scalar), _)) => match to_json(scalar.as_ref()) {
                Some(value) => value,
                None => continue,
            },
        };
        fields.insert(key, value);
    }
    Ok(Value::Object(fields))
}

/// Puts the fields that differ from what stands in the map.
pub(super) fn write_map(
    tx: &mut impl Transactable,
    map: &ObjId,
    fields: &Map<String, Value>,
) -> Result<(), AutomergeError> {
    for (key, value) in fields {
        match value {
            Value::String(text) if key == NOTE => {
                if object_at(tx, map, key)?.is_none() {
                    let note = tx.put_object(map, key.as_str(), ObjType::Text)?;
                    if !text.is_empty() {
                        tx.splice_text(&note, 0, 0, text)?;
                    }
                }
            }
            Value::Object(inner) => {
                let child = match object_at(tx, map, key)? {
                    Some(child) => child,
                    None => tx.put_object(map, key.as_str(), ObjType::Map)?,
                };
                drop_missing(tx, &child, inner)?;
                write_map(tx, &child, inner)?;
            }
            Value::Null => {
                let stands = tx.get(map, key.as_str())?;
                if stands.is_some_and(|(value, _)| !value.is_null()) {
                    tx.put(map, key.as_str(), ScalarValue::Null)?;
                }
            }
            Value::String(_) | Value::Number(_) | Value::Bool(_) | Value::Array(_) => {
                if let Some(scalar) = to_scalar(value) {
                    let same = matches!(tx.get(map, key.as_str())?, Some((Stored::Scalar(stands), _)) if *stands == scalar);
                    if !same {
                        tx.put(map, key.as_str(), scalar)?;
                    }
                }
            }
        }
    }
    Ok(())
}

/// Takes away what is no longer in an inner map (a holder, a bed left out): those are values of the record, not records.
fn drop_missing(
    tx: &mut impl Transactable,
    map: &ObjId,
    keep: &Map<String, Value>,
) -> Result<(), AutomergeError> {
    let gone: Vec<String> = tx
        .keys(map)
        .filter(|key| !keep.contains_key(key) && looks_like_an_entry(key))
        .collect();
    for key in gone {
        tx.delete(map, key.as_str())?;
    }
    Ok(())
}

/// Entries of inner maps are keyed by ids or numbers; other keys are fields, perhaps of a newer program, and are kept.
fn looks_like_an_entry(key: &str) -> bool {
    key.bytes().all(|byte| byte.is_ascii_digit()) || uuid::Uuid::parse_str(key).is_ok()
}

fn to_json(scalar: &ScalarValue) -> Option<Value> {
    Some(match scalar {
        ScalarValue::Str(text) => Value::String(text.to_string()),
        ScalarValue::Int(number) | ScalarValue::Timestamp(number) => {
            Value::Number(Number::from(*number))
        }
        ScalarValue::Uint(number) => Value::Number(Number::from(*number)),
        ScalarValue::Boolean(truth) => Value::Bool(*truth),
        ScalarValue::Null => Value::Null,
        // Never written by us.
        ScalarValue::Bytes(_)
        | ScalarValue::F64(_)
        | ScalarValue::Counter(_)
        | ScalarValue::Unknown { .. } => return None,
    })
}

fn to_scalar(value: &Value) -> Option<ScalarValue> {
    match value {
        Value::String(text) => Some(ScalarValue::Str(text.as_str().into())),
        Value::Bool(truth) => Some(ScalarValue::Boolean(*truth)),
        Value::Number(number) => number.as_i64().map(ScalarValue::Int),
        Value::Null | Value::Array(_) | Value::Object(_) => None,
    }
}
