//! Notes on beds and tasks.

use super::season::season;
use super::{Case, Verdict, not_there, write};
use crate::document::edit::{NoteBase, NoteOf};
use crate::document::stored::{ShelfName, Write};

pub(super) fn judge(case: &Case<'_>, of: NoteOf, text: &str, base: &NoteBase) -> Verdict {
    let (shelf, id) = match of {
        NoteOf::Bed(bed) => {
            case.check_bed(bed)?;
            (ShelfName::Beds, bed.to_string())
        }
        NoteOf::Task(task) => {
            if !season(case)?.tasks.contains_key(&task) {
                return Err(not_there("task"));
            }
            (ShelfName::Tasks, task.to_string())
        }
    };
    write(Write::Note {
        shelf,
        id,
        text: text.to_owned(),
        base: base.clone(),
    })
}
