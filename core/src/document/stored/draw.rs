//! What an edit will write, drawn on the plain picture without being written.
//!
//! A phone shows its waiting edits so. Writing them into a copy of the documents would show the same, but for that alone
//! the phone would have to load the half of Automerge that makes changes, which only the garden's service needs.

use std::sync::Arc;

use super::document::Document;
use super::picture::{ledger, season};
use super::shelf_name::ShelfName;
use super::write::Write;
use crate::document::garden::{Garden, Shelf};
use crate::document::records::{Bed, Task};

/// Draws a write on a picture as it will be read back once it stands in this document.
pub fn draw(garden: &mut Garden, document: &Document, write: Write) {
    let year = document.name().year().unwrap_or_default();
    match write {
        Write::Profile(record) => garden.profile = Some(Arc::new(record)),
        Write::Member(id, record) => put(&mut garden.members, id, record),
        Write::Bed(id, record) => {
            let note = garden.beds.get(&id).map(|bed| bed.note.clone());
            let record = Bed {
                note: note.unwrap_or(record.note),
                ..record
            };
            put(&mut garden.beds, id, record);
        }
        Write::Structure(id, record) => put(&mut garden.structures, id, record),
        Write::FenceLine(id, record) => put(&mut garden.fence_lines, id, record),
        Write::SoilTest(id, record) => put(&mut garden.soil_tests, id, record),
        Write::Crop(id, record) => put(&mut garden.crops, id, record),
        Write::Recipient(id, record) => put(&mut garden.recipients, id, record),
        Write::Task(id, record) => {
            let tasks = &mut season(garden, year).tasks;
            let note = tasks.get(&id).map(|task| task.note.clone());
            let record = Task {
                note: note.unwrap_or(record.note),
                ..record
            };
            put(tasks, id, record);
        }
        Write::Turn(id, record) => put(&mut season(garden, year).turns, id, record),
        Write::Picking(id, record) => put(&mut season(garden, year).pickings, id, record),
        Write::Job(id, record) => put(&mut season(garden, year).jobs, id, record),
        Write::Hours(id, record) => put(&mut season(garden, year).hours, id, record),
        Write::Amendment(id, record) => put(&mut season(garden, year).amendments, id, record),
        Write::BedCrops(id, record) => put(&mut season(garden, year).bed_crops, id, record),
        Write::Planting(id, record) => put(&mut season(garden, year).plantings, id, record),
        Write::Weather(id, record) => put(&mut season(garden, year).weather, id, record),
        Write::Order(id, record) => put(&mut ledger(garden, year).orders, id, record),
        Write::Entry(id, record) => put(&mut ledger(garden, year).entries, id, record),
        Write::Opening(record) => ledger(garden, year).opening = Some(Arc::new(record)),
        Write::Request(id, record) => put(&mut ledger(garden, year).requests, id, record),
        Write::Note {
            shelf,
            id,
            text,
            base,
        } => {
            let note = document.note_to_be(shelf, &id, &text, &base);
            put_note(garden, year, shelf, &id, note);
        }
    }
}

fn put<K: Ord, V>(shelf: &mut Shelf<K, V>, id: K, record: V) {
    shelf.insert(id, Arc::new(record));
}

/// Notes stand on beds and tasks only, and are changed by nothing but a write of their own.
fn put_note(garden: &mut Garden, year: i16, shelf: ShelfName, id: &str, note: String) {
    if shelf == ShelfName::Beds {
        let bed = id.parse().ok().and_then(|id| garden.beds.get_mut(&id));
        if let Some(bed) = bed {
            Arc::make_mut(bed).note = note;
        }
    } else if shelf == ShelfName::Tasks {
        let tasks = &mut season(garden, year).tasks;
        let task = id.parse().ok().and_then(|id| tasks.get_mut(&id));
        if let Some(task) = task {
            Arc::make_mut(task).note = note;
        }
    }
}
