//! One planting: its numbers first, each with its working; what speaks against it; its rows in the bed; how far it has come;
//! changing it, moving it alone or with the rest of its series, and taking it out of the plan.

pub mod change;
pub mod mark;
pub mod shift;

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::ids::{PlantingId, SeriesId};
use selion_core::document::records::Planting;
use selion_core::document::season_plan::dates::PlantingDates;
use selion_core::document::season_plan::frost::FrostYear;
use selion_core::document::season_plan::neighbours::{Objection, objections};
use selion_core::document::{DocumentName, Garden};

use self::change::change_sheet;
use self::mark::marks;
use self::shift::shift_sheet;
use crate::parts::{
    TagKind, act, acts, heading, line, lines, not_here, page_head, tag, title_block,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, signal_of, when};
use crate::plain::plant_form::preview::{CoverFacts, Facts, cover_facts, facts};
use crate::plain::plantings::drawn;
use crate::plain::plantings::rows::{Stage, brief_day, days_words, name_of};
use crate::plain::wording::capital;
use crate::screens::plant::shown::{
    against, cover_answers, figures, no_frost, without_books, workings_of,
};
use crate::screens::plant::sketch::bed_sketch;
use crate::screens::plant::{Shelf, may_not_plan, use_shelf};
use crate::state::{Book, use_book};

/// The screen at `/planting/:id`.
pub fn planting_screen(id: &str) -> Piece {
    let book = use_book();
    let id = id.parse::<PlantingId>().ok();
    let found = memo(move || id.filter(|id| book.garden.read().planting(*id).is_some()));
    live(move || match found.get() {
        Some(id) => one_planting(id),
        None => not_here("planting", ("/ground", "Ground")),
    })
}

/// A planting as its screen reads it.
#[derive(Clone, Copy, Debug)]
pub struct Shown {
    book: Book,
    id: PlantingId,
    found: Memo<Option<(i16, Arc<Planting>)>>,
    shelf: Shelf,
}

impl Shown {
    fn record(self) -> Option<Arc<Planting>> {
        self.found
            .with(|found| found.as_ref().map(|(_, record)| Arc::clone(record)))
    }

    fn record_untracked(self) -> Option<(i16, Arc<Planting>)> {
        self.found.get_untracked()
    }

    /// The year's document that it stands in.
    fn document(self) -> Option<DocumentName> {
        self.found
            .with_untracked(|found| found.as_ref().map(|(year, _)| DocumentName::Season(*year)))
    }

    fn why_not_plan(self) -> Option<String> {
        let book = self.book;
        self.record()
            .and_then(|record| may_not_plan(book, record.bed))
    }
}

/// What is worked out of it.
#[derive(Clone, PartialEq)]
struct WorkedOut {
    facts: Facts,
    objections: Vec<Objection>,
    cover: Option<CoverFacts>,
    no_frost: bool,
}

fn worked_out(garden: &Garden, shelf: Shelf, shown: Shown) -> Option<WorkedOut> {
    let books = shelf.read();
    let books = books.as_ref().as_ref().ok()?;
    let (year, record) = shown.found.get()?;
    let frost = FrostYear::of(garden, year).ok();
    Some(WorkedOut {
        facts: facts(garden, books, &record),
        objections: objections(garden, books, year, shown.id, &record),
        cover: record
            .cover
            .then(|| cover_facts(garden, books, frost.as_ref(), &record))
            .flatten(),
        no_frost: frost.is_none(),
    })
}

fn one_planting(id: PlantingId) -> Piece {
    let book = use_book();
    let shelf = use_shelf();
    let found = memo(move || {
        let garden = book.garden.read();
        garden
            .planting(id)
            .map(|(year, record)| (year, Arc::clone(record)))
    });
    let shown = Shown {
        book,
        id,
        found,
        shelf,
    };
    let known = memo(move || worked_out(&book.garden.read(), shelf, shown));
    let bed = memo(move || shown.record().map(|record| record.bed));
    let bed_label = memo(move || book.garden.read().label_of(bed.get()).to_owned());
    let title = derived(move || shown.record().map(|it| name_of(&it)).unwrap_or_default());
    let label = derived(move || format!("Planting · {}", bed_label.get()));
    let block = derived(move || {
        let units = book.units();
        known.with(|known| {
            known
                .as_ref()
                .map(|it| figures(&it.facts, units))
                .unwrap_or_default()
        })
    });
    let back = derived(move || {
        bed.get()
            .map(|bed| format!("/bed/{bed}"))
            .unwrap_or_default()
    });
    pieces![
        page_head(label, title).back(back, bed_label),
        without_books(shelf),
        stage_line(shown, known),
        title_block(block),
        el("div")
            .class("split")
            .child(
                el("div")
                    .child(days(shown, known))
                    .child(marks(shown))
                    .child(changes(shown))
            )
            .child(
                el("section")
                    .attr("aria-label", "Its rows and its working")
                    .child(rows_drawn(shown))
                    .child(answers(known))
            ),
        series(shown)
    ]
}

fn stage_of(
    shown: Shown,
    known: Option<&WorkedOut>,
) -> Option<(Stage, Arc<Planting>, Option<PlantingDates>)> {
    let record = shown.record()?;
    let days = known
        .and_then(|it| it.facts.days.as_ref().ok())
        .map(|days| days.result);
    let stage = Stage::of(&record, days, shown.book.today.get());
    Some((stage, record, days))
}

fn stage_line(shown: Shown, known: Memo<Option<WorkedOut>>) -> Piece {
    let book = use_book();
    live(move || {
        let (stage, record, _) = known.with(|known| stage_of(shown, known.as_ref()))?;
        let dropped = record.ended_on.is_some();
        let word = if dropped {
            "taken out of the plan"
        } else {
            stage.word()
        };
        Some(
            el("p")
                .child(tag(
                    word,
                    if dropped {
                        TagKind::Stop
                    } else {
                        TagKind::Plain
                    },
                ))
                .child(
                    record
                        .cover
                        .then(|| pieces![" ", tag("cover crop", TagKind::Plain)]),
                )
                .child(
                    book.waits(&shown.id)
                        .then(|| pieces![" ", tag("waiting", TagKind::Wait)]),
                ),
        )
    })
}

fn days(shown: Shown, known: Memo<Option<WorkedOut>>) -> Piece {
    let book = use_book();
    live(move || {
        let today = book.today.get();
        let (_, record, days) = known.with(|known| stage_of(shown, known.as_ref()))?;
        let estimated = days.is_some_and(|days| days.estimated);
        let small = if estimated {
            "The last day is an estimate"
        } else {
            ""
        };
        let one = |words: &str| line(capital(words));
        let words = days_words(&record, days, today);
        Some(pieces![
            heading("Days"),
            lines().child(words.split(" · ").map(one).collect::<Piece>()),
            (!small.is_empty()).then(|| el("p").class("help").child(small))
        ])
    })
}

fn changes(shown: Shown) -> Piece {
    let changing = signal_of(false);
    let moving = signal_of(false);
    let refused = derived(move || shown.why_not_plan());
    let is_open = move || shown.record().is_some_and(|it| it.is_open());
    pieces![
        when(is_open, move || acts()
            .child(act("Change it", move || changing.set(true)).refused(refused))
            .child(
                act("Move it", move || moving.set(true)).refused(refused)
            )),
        change_sheet(shown, changing),
        shift_sheet(shown, moving)
    ]
}

fn rows_drawn(shown: Shown) -> Piece {
    let book = use_book();
    let drawn = memo(move || {
        let books = shown.shelf.read();
        let Ok(books) = books.as_ref() else {
            return Vec::new();
        };
        let record = shown.record();
        let garden = book.garden.read();
        let drawn = record.and_then(|it| drawn::drawn(&garden, books, shown.id, &it));
        drawn.into_iter().collect()
    });
    let bed = memo(move || shown.record().map(|record| record.bed));
    live(move || bed.get().map(|bed| bed_sketch(bed, drawn, false)))
}

fn answers(known: Memo<Option<WorkedOut>>) -> Piece {
    let book = use_book();
    live(move || {
        let (units, today) = (book.units(), book.today.get());
        known.with(|known| {
            let known = known.as_ref()?;
            Some(pieces![
                known.no_frost.then(no_frost),
                against(&known.objections),
                workings_of(&known.facts, false),
                known
                    .cover
                    .as_ref()
                    .map(|cover| cover_answers(cover, units, today))
            ])
        })
    })
}

/// The other sowings of its series.
fn series(shown: Shown) -> Piece {
    let book = use_book();
    let others = memo(move || {
        let (year, record) = shown.found.get()?;
        let series = record.series?;
        let today = book.today.get();
        Some(of_series(
            &book.garden.read(),
            year,
            series,
            shown.id,
            today,
        ))
    });
    let one = |(id, what, days, word): (PlantingId, String, String, &'static str)| {
        line(what)
            .small(days)
            .href(format!("/planting/{id}"))
            .child(tag(word, TagKind::Plain))
    };
    live(move || {
        let others = others.get().filter(|others| !others.is_empty())?;
        Some(pieces![
            heading("The other sowings of its series"),
            lines().child(others.into_iter().map(one).collect::<Piece>())
        ])
    })
}

type OfSeries = (PlantingId, String, String, &'static str);

fn of_series(
    garden: &Garden,
    year: i16,
    series: SeriesId,
    without: PlantingId,
    today: selion_core::quantities::Day,
) -> Vec<OfSeries> {
    let plantings = garden
        .seasons
        .get(&year)
        .into_iter()
        .flat_map(|season| &season.plantings);
    let mut found: Vec<_> = plantings
        .filter(|(id, it)| **id != without && it.series == Some(series) && it.ended_on.is_none())
        .collect();
    found.sort_by_key(|(id, it)| (it.start, **id));
    found
        .into_iter()
        .map(|(id, it)| {
            let bed = garden.label_of(Some(it.bed)).to_owned();
            let what = format!("{bed}, {}", brief_day(it.start, today));
            (*id, what, name_of(it), Stage::of(it, None, today).word())
        })
        .collect()
}
