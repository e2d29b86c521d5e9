//! From the stored document to the plain picture.

use std::str::FromStr;
use std::sync::Arc;

use super::document::Document;
use super::shelf_name::{ShelfName, Touched};
use crate::document::garden::{Garden, Ledger, Season, Shelf};
use crate::document::name::DocumentName;
use crate::json::{Json, Value};

/// Reads a whole document into the picture, in place of what the picture had of it.
pub fn read_whole(garden: &mut Garden, document: &Document) {
    let name = document.name();
    match name {
        DocumentName::Ground => {
            garden.profile = None;
            garden.members.clear();
            garden.beds.clear();
            garden.structures.clear();
            garden.fence_lines.clear();
            garden.soil_tests.clear();
            garden.crops.clear();
            garden.recipients.clear();
        }
        DocumentName::Season(year) => {
            garden.seasons.insert(year, Season::default());
        }
        DocumentName::Ledger(year) => {
            garden.ledgers.insert(year, Ledger::default());
        }
    }
    let all = ShelfName::ALL
        .iter()
        .filter(|shelf| shelf.is_in(name))
        .flat_map(|shelf| {
            document
                .record_ids(*shelf)
                .into_iter()
                .map(|id| (*shelf, id))
        })
        .collect();
    refresh(garden, document, &all);
}

/// Reads what was touched into the picture again.
pub fn refresh(garden: &mut Garden, document: &Document, touched: &Touched) {
    let name = document.name();
    let mut read_all = true;
    for (shelf, id) in touched {
        let Some(fields) = document.read_record(*shelf, id) else {
            continue;
        };
        read_all &= put(garden, name, *shelf, id, &fields);
    }
    // What this program cannot read, a newer one wrote: show the rest and write nothing.
    if document.is_newer_than_us() || !read_all {
        garden.read_only.insert(name);
    }
}

#[expect(clippy::too_many_lines, reason = "one arm a shelf")]
fn put(
    garden: &mut Garden,
    name: DocumentName,
    shelf: ShelfName,
    id: &str,
    fields: &Value,
) -> bool {
    match (shelf, name) {
        (ShelfName::Profile, _) => match Json::from_json(fields) {
            Ok(profile) => {
                garden.profile = Some(Arc::new(profile));
                true
            }
            Err(_unreadable) => false,
        },
        (ShelfName::Members, _) => shelve(&mut garden.members, id, fields),
        (ShelfName::Beds, _) => shelve(&mut garden.beds, id, fields),
        (ShelfName::Structures, _) => shelve(&mut garden.structures, id, fields),
        (ShelfName::FenceLines, _) => shelve(&mut garden.fence_lines, id, fields),
        (ShelfName::SoilTests, _) => shelve(&mut garden.soil_tests, id, fields),
        (ShelfName::Crops, _) => shelve(&mut garden.crops, id, fields),
        (ShelfName::Recipients, _) => shelve(&mut garden.recipients, id, fields),
        (ShelfName::Tasks, DocumentName::Season(year)) => {
            shelve(&mut season(garden, year).tasks, id, fields)
        }
        (ShelfName::Turns, DocumentName::Season(year)) => {
            shelve(&mut season(garden, year).turns, id, fields)
        }
        (ShelfName::Pickings, DocumentName::Season(year)) => {
            shelve(&mut season(garden, year).pickings, id, fields)
        }
        (ShelfName::Jobs, DocumentName::Season(year)) => {
            shelve(&mut season(garden, year).jobs, id, fields)
        }
        (ShelfName::Hours, DocumentName::Season(year)) => {
            shelve(&mut season(garden, year).hours, id, fields)
        }
        (ShelfName::Amendments, DocumentName::Season(year)) => {
            shelve(&mut season(garden, year).amendments, id, fields)
        }
        (ShelfName::BedCrops, DocumentName::Season(year)) => {
            shelve(&mut season(garden, year).bed_crops, id, fields)
        }
        (ShelfName::Plantings, DocumentName::Season(year)) => {
            shelve(&mut season(garden, year).plantings, id, fields)
        }
        (ShelfName::Weather, DocumentName::Season(year)) => {
            shelve(&mut season(garden, year).weather, id, fields)
        }
        (ShelfName::Orders, DocumentName::Ledger(year)) => {
            shelve(&mut ledger(garden, year).orders, id, fields)
        }
        (ShelfName::Entries, DocumentName::Ledger(year)) => {
            shelve(&mut ledger(garden, year).entries, id, fields)
        }
        (ShelfName::Requests, DocumentName::Ledger(year)) => {
            shelve(&mut ledger(garden, year).requests, id, fields)
        }
        (ShelfName::Opening, DocumentName::Ledger(year)) => match Json::from_json(fields) {
            Ok(opening) => {
                ledger(garden, year).opening = Some(Arc::new(opening));
                true
            }
            Err(_unreadable) => false,
        },
        (
            ShelfName::Tasks
            | ShelfName::Turns
            | ShelfName::Pickings
            | ShelfName::Jobs
            | ShelfName::Hours
            | ShelfName::Amendments
            | ShelfName::BedCrops
            | ShelfName::Plantings
            | ShelfName::Weather
            | ShelfName::Orders
            | ShelfName::Entries
            | ShelfName::Opening
            | ShelfName::Requests,
            _,
        ) => false,
    }
}

pub(super) fn season(garden: &mut Garden, year: i16) -> &mut Season {
    garden.seasons.entry(year).or_default()
}

pub(super) fn ledger(garden: &mut Garden, year: i16) -> &mut Ledger {
    garden.ledgers.entry(year).or_default()
}

fn shelve<K: FromStr + Ord, V: Json>(shelf: &mut Shelf<K, V>, id: &str, fields: &Value) -> bool {
    match (id.parse(), Json::from_json(fields)) {
        (Ok(id), Ok(record)) => {
            shelf.insert(id, Arc::new(record));
            true
        }
        _ => false,
    }
}
