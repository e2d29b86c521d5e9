//! The fields of a task: for a new one and for changing one.

use leptos::prelude::*;
use selion_core::document::Garden;
use selion_core::document::edit::{LIMITS, TaskField};
use selion_core::document::ids::{BedId, JobId};
use selion_core::document::records::Task;
use selion_core::quantities::{BadInput, Day, Minutes};

use crate::parts::{Choice, amount_field, date_field, note_field, select_field, text_field};
use crate::piece::{Piece, derived, el, pieces, signal_of, when};
use crate::plain::typed::with_unit;
use crate::screens::form::{Wrong, bed_choices, some_words};
use crate::state::use_book;

/// The fields by the names that core knows them by.
pub const FIELDS: &[&str] = &["title", "bed", "day", "places", "minutes", "job", "note"];

/// What has been typed. It outlives the sheet, so that a slip beside it loses nothing.
#[derive(Clone, Copy, Debug)]
pub struct TaskDraft {
    title: RwSignal<String>,
    bed: RwSignal<String>,
    day: RwSignal<String>,
    places: RwSignal<String>,
    minutes: RwSignal<String>,
    job: RwSignal<String>,
    /// A first note.
    pub note: RwSignal<String>,
}

/// What was read from the fields.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TaskRead {
    /// What is to be done.
    pub title: String,
    /// Where.
    pub bed: Option<BedId>,
    /// When.
    pub day: Option<Day>,
    /// How many people it needs.
    pub places: u32,
    /// How long one person is expected to take.
    pub minutes: Minutes,
    /// The shared job that its hours count for.
    pub job: Option<JobId>,
}

impl TaskDraft {
    /// Empty fields, for one person on any day.
    pub fn empty() -> Self {
        let [title, bed, day, places, minutes, job, note] =
            std::array::from_fn(|_| signal_of(String::new()));
        let draft = Self {
            title,
            bed,
            day,
            places,
            minutes,
            job,
            note,
        };
        draft.clear();
        draft
    }

    /// Empties the fields.
    pub fn clear(self) {
        for field in [
            self.title,
            self.bed,
            self.day,
            self.minutes,
            self.job,
            self.note,
        ] {
            field.set(String::new());
        }
        self.places.set("1".to_owned());
    }

    /// Begins on this bed.
    pub fn on_bed(self, bed: BedId) {
        self.bed.set(bed.to_string());
    }

    /// Fills the fields from a task.
    pub fn fill(self, task: &Task) {
        let text = |value: Option<String>| value.unwrap_or_default();
        self.title.set(task.title.clone());
        self.bed.set(text(task.bed.map(|bed| bed.to_string())));
        self.day.set(text(task.day.map(|day| day.to_string())));
        self.places.set(task.places.to_string());
        let minutes = task.minutes.is_positive().then(|| task.minutes.show());
        self.minutes.set(text(minutes));
        self.job.set(text(task.job.map(|job| job.to_string())));
    }

    /// Reads the fields; what cannot be read is shown beside its field.
    pub fn read(self, wrong: Wrong) -> Option<TaskRead> {
        let day = filled(self.day).map(|day| Day::parse(&day)).transpose();
        let minutes = filled(self.minutes).map(|typed| Minutes::parse(&with_unit(&typed, "min")));
        let title = wrong.take("title", some_words("title", &self.title.get_untracked()));
        let day = wrong.take("day", day);
        let places = wrong.take("places", read_places(&self.places.get_untracked()));
        let minutes = wrong.take("minutes", minutes.unwrap_or(Ok(Minutes::ZERO)));
        Some(TaskRead {
            title: title?,
            bed: self.bed.get_untracked().parse().ok(),
            day: day?,
            places: places?,
            minutes: minutes?,
            job: self.job.get_untracked().parse().ok(),
        })
    }
}

impl TaskRead {
    /// What differs from the task as it was when its fields were filled.
    pub fn changes(&self, was: &Task) -> Vec<TaskField> {
        let mut set = Vec::new();
        if self.title != was.title {
            set.push(TaskField::Title(self.title.clone()));
        }
        if self.bed != was.bed {
            set.push(TaskField::Bed(self.bed));
        }
        if self.day != was.day {
            set.push(TaskField::Day(self.day));
        }
        if self.places != was.places {
            set.push(TaskField::Places(self.places));
        }
        if self.minutes != was.minutes {
            set.push(TaskField::Minutes(self.minutes));
        }
        if self.job != was.job {
            set.push(TaskField::Job(self.job));
        }
        set
    }
}

/// The fields themselves.
pub fn task_fields(draft: TaskDraft, wrong: Wrong, with_note: bool) -> Piece {
    let book = use_book();
    let beds = derived(move || {
        std::iter::once(Choice::new("", "Whole garden"))
            .chain(bed_choices(book))
            .collect::<Vec<_>>()
    });
    let jobs = derived(move || job_choices(&book.garden.read()));
    let has_jobs = move || jobs.read().len() > 1;
    let note = with_note.then(|| {
        note_field("Note", draft.note)
            .error(wrong.at("note"))
            .help("What to bring, what to mind.")
    });
    pieces![
        text_field("What is to be done", draft.title).error(wrong.at("title")),
        el("div")
            .class("pair")
            .child(select_field("Where", draft.bed, beds).error(wrong.at("bed")))
            .child(
                date_field("Day", draft.day)
                    .error(wrong.at("day"))
                    .help("Empty for any day.")
            ),
        el("div")
            .class("pair")
            .child(amount_field("Places", draft.places, "people").error(wrong.at("places")))
            .child(
                amount_field("Time for one person", draft.minutes, "min")
                    .error(wrong.at("minutes"))
            ),
        when(has_jobs, move || select_field(
            "Counts for",
            draft.job,
            jobs
        )
        .error(wrong.at("job"))
        .help(
            "The time it takes is counted as hours for that shared job."
        )),
        note
    ]
}

fn job_choices(garden: &Garden) -> Vec<Choice> {
    let jobs = garden.seasons.values().flat_map(|season| &season.jobs);
    let open = jobs.filter(|(_, job)| job.ended_on.is_none());
    std::iter::once(Choice::new("", "No shared job"))
        .chain(open.map(|(id, job)| Choice::new(id.to_string(), job.title.clone())))
        .collect()
}

/// What stands in a field, if anything does.
fn filled(field: RwSignal<String>) -> Option<String> {
    let text = field.get_untracked();
    (!text.trim().is_empty()).then_some(text)
}

fn read_places(text: &str) -> Result<u32, BadInput> {
    let refused = || {
        let expected = format!("a number of people from 1 to {}", LIMITS.places);
        BadInput::new("places", expected, text)
    };
    text.trim().parse().map_err(|_not_a_number| refused())
}
