//! A file's ground beside the garden's: what would be new, changed, as it is, or refused, before anything is written.

use selion_core::document::ids::{EditId, GardenId, MemberId};
use selion_core::document::{DocumentName, Edit, Envelope, Garden};
use selion_core::exchange::bring_in::{Becomes, Fresh, Kind, Row, beside};
use selion_core::exchange::geojson;
use selion_core::policy::judge;
use selion_core::quantities::BadInput;

use super::wording::counted;

/// A file that was looked over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Looked {
    /// What is not as it is already.
    pub rows: Vec<FileRow>,
    same: usize,
    edits: Vec<Edit>,
}

/// A row that would be written or refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileRow {
    /// What it is called.
    pub name: String,
    /// What it is, for the margin.
    pub margin: &'static str,
    /// What would become of it, in a word.
    pub word: &'static str,
    /// Why it is refused.
    pub why: Option<String>,
}

/// Looks a GeoJSON text over beside a garden.
pub fn look(
    garden: &Garden,
    me: MemberId,
    text: &str,
    fresh: &Fresh<'_>,
) -> Result<Looked, BadInput> {
    let found = geojson::read(text)?;
    let refuses = |then: &Garden, edit: &Edit| {
        let envelope = Envelope {
            version: Envelope::VERSION,
            id: EditId::fresh(fresh.now, (fresh.chance)()),
            garden: GardenId::fresh(fresh.now, (fresh.chance)()),
            document: DocumentName::Ground,
            written_at: fresh.now,
            edit: edit.clone(),
        };
        judge(then, me, &envelope)
            .err()
            .map(|refused| refused.message)
    };
    let all = beside(garden, &found, &refuses, fresh);
    let same = all
        .iter()
        .filter(|row| row.becomes == Becomes::Same)
        .count();
    let edits = all
        .iter()
        .flat_map(|row| row.edits.iter().cloned())
        .collect();
    let rows = all.into_iter().filter_map(file_row).collect();
    Ok(Looked { rows, same, edits })
}

fn file_row(row: Row) -> Option<FileRow> {
    let (word, why) = match row.becomes {
        Becomes::Same => return None,
        Becomes::New => (NEW, None),
        Becomes::Changed => (CHANGED, None),
        Becomes::Refused(why) => (REFUSED, Some(why)),
    };
    let margin = match row.kind {
        Kind::Person => "new",
        Kind::Bed => "bed",
        Kind::Structure => "site",
        Kind::Fence => "fence",
    };
    Some(FileRow {
        name: row.label,
        margin,
        word,
        why,
    })
}

const NEW: &str = "new";
const CHANGED: &str = "changed";
/// The word of a row that the garden would refuse.
pub const REFUSED: &str = "refused";

impl Looked {
    /// The edits that bring it in.
    pub fn edits(&self) -> Vec<Edit> {
        self.edits.clone()
    }

    fn count(&self, word: &str) -> usize {
        self.rows.iter().filter(|row| row.word == word).count()
    }

    /// How much of what: `3 new, 1 changed, 24 as they are, 1 refused.`
    pub fn words(&self) -> String {
        let each = [
            (self.count(NEW), NEW),
            (self.count(CHANGED), CHANGED),
            (self.same, "as they are"),
            (self.count(REFUSED), REFUSED),
        ];
        let each = each.into_iter().filter(|(count, _)| *count > 0);
        let words: Vec<String> = each
            .map(|(count, word)| format!("{count} {word}"))
            .collect();
        if words.is_empty() {
            "There is nothing in this file.".to_owned()
        } else {
            format!("{}.", words.join(", "))
        }
    }

    /// The button that writes it.
    pub fn verb(&self) -> String {
        let count = self.count(NEW) + self.count(CHANGED);
        format!("Bring in {}", counted(count, "row", "rows"))
    }

    /// What is said once it is written.
    pub fn done_words(&self) -> String {
        let count = self.count(NEW) + self.count(CHANGED);
        format!("{} brought in.", counted(count, "row", "rows"))
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;
    use std::sync::Arc;

    use selion_core::document::records::{Member, Role};
    use selion_core::exchange::bring_in::ground_of;
    use selion_core::quantities::Moment;

    use super::*;
    use crate::plain::sample::{garden, member};

    /// The sample garden, kept by Ines.
    fn kept() -> Garden {
        let mut garden = garden();
        let ines = Member {
            name: "Ines".into(),
            role: Role::Coordinator,
            ended_on: None,
        };
        garden.members.insert(member(1), Arc::new(ines));
        garden
    }

    fn looked(text: &str) -> Looked {
        let next = Cell::new(0_u8);
        let chance = || {
            next.set(next.get().wrapping_add(1));
            [next.get(); 10]
        };
        let fresh = Fresh {
            now: Moment::from_millis(9_000),
            chance: &chance,
        };
        look(&kept(), member(1), text, &fresh).unwrap()
    }

    #[test]
    fn what_went_out_comes_in_as_it_is() {
        let looked = looked(&geojson::write(&ground_of(&garden())));
        assert_eq!(looked.words(), "2 as they are.");
        assert!(looked.edits().is_empty());
    }

    #[test]
    fn new_and_changed_are_told_before_they_are_written() {
        let text = geojson::write(&ground_of(&garden()));
        let renamed = looked(&text.replace("\"A2\"", "\"A9\""));
        assert_eq!(renamed.words(), "1 new, 1 as they are.");
        let held = looked(&text.replace("Ines", "Rowan"));
        assert_eq!(held.words(), "1 new, 1 changed, 1 as they are.");
        assert_eq!(held.edits().len(), 2);
        assert_eq!(held.verb(), "Bring in 2 rows");
    }

    #[test]
    fn a_refusal_names_its_reason() {
        let text = geojson::write(&ground_of(&garden()));
        let twice = looked(&text.replace("\"C4\"", "\"A2\""));
        let refused: Vec<&FileRow> = twice
            .rows
            .iter()
            .filter(|row| row.word == REFUSED)
            .collect();
        assert_eq!(refused.len(), 2, "nobody knows which is meant: {twice:?}");
        assert!(refused[0].why.as_ref().unwrap().contains("came twice"));
        assert!(twice.edits().is_empty());
        assert!(
            look(
                &kept(),
                member(1),
                "no GeoJSON",
                &Fresh {
                    now: Moment::from_millis(1),
                    chance: &|| [0; 10]
                }
            )
            .is_err()
        );
    }
}
