//! The form for a new planting: what, when and where it is typed, and beside it what that means before anything is kept.
//!
//! Another screen may begin it, through the address that [`plant_address`](crate::plain::plantings::plant_address) makes.

pub mod fields;
pub mod own;
pub mod shown;
pub mod sketch;

use leptos::prelude::*;
use selion_core::document::edit::PlantingField;
use selion_core::document::ids::{BedId, PlantingId, SeriesId};
use selion_core::document::season_plan::Books;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;
use selion_core::quantities::BadInput;

use self::fields::{Draft, plant_fields};
use self::own::own_crop_sheet;
use self::shown::{before_it_is_kept, without_books};
use self::sketch::bed_sketch;
use crate::address::{NavigateOptions, use_navigate, use_query};
use crate::parts::{form, not_here, note, page_head, send_button, use_toasts};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, signal_of, when};
use crate::plain::plant_form::read::made_up;
use crate::plain::plant_form::{Planned, PlantBox, PlantTyped, Preview, Wrong, preview, read};
use crate::plain::plantings::address::from_address;
use crate::plain::plantings::drawn::{self, Drawn};
use crate::plain::wording::{capital, counted};
use crate::screens::form::{Wrong as WrongForm, wrong_whole};
use crate::state::{Book, use_book};

/// The screen at `/bed/:id/plant`.
pub fn plant_screen(id: &str) -> Piece {
    let book = use_book();
    let id = id.parse::<BedId>().ok();
    let bed = memo(move || id.filter(|bed| book.garden.read().open_bed(*bed).is_some()));
    live(move || match bed.get() {
        Some(bed) => planting_in(bed),
        None => not_here("bed", ("/ground", "Ground")),
    })
}

/// Why whoever looks may not plan in a bed, if so.
pub fn may_not_plan(book: Book, bed: BedId) -> Option<String> {
    let me = book.me.get();
    let garden = book.garden.read();
    let bed = garden.open_bed(bed);
    let own = me.zip(bed).is_some_and(|(me, bed)| bed.is_held_by(me));
    book.why_not(Action::Plan, own)
}

/// The crops of the garden, read once for each change of the garden.
pub type Shelf = Memo<Result<Books, BadInput>>;

/// The crop tables with the garden's own.
pub fn use_shelf() -> Shelf {
    let book = use_book();
    memo(move || Books::of(&book.garden.read()))
}

fn planting_in(bed: BedId) -> Piece {
    let book = use_book();
    let label = memo(move || book.garden.read().label_of(Some(bed)).to_owned());
    let refused = memo(move || may_not_plan(book, bed));
    let head = page_head(
        derived(move || format!("Bed {}", label.get())),
        "Plan a planting",
    )
    .back(format!("/bed/{bed}"), label);
    pieces![
        head,
        when(move || refused.read().is_none(), move || plant_form(bed))
            .otherwise(move || note().child(move || refused.get()))
    ]
}

fn plant_form(bed: BedId) -> Piece {
    let book = use_book();
    let shelf = use_shelf();
    let begun = untrack(|| {
        let query = use_query();
        let begun = from_address(|name| query.get(name));
        PlantTyped::begun(&begun, book.today.get())
    });
    let draft = Draft::new(begun);
    let typed = memo(move || draft.typed());
    let found = memo(move || {
        let books = shelf.read();
        let books = books.as_ref().as_ref().ok()?;
        Some(read(
            &book.garden.read(),
            books,
            bed,
            &typed.read(),
            book.units(),
        ))
    });
    let shown = memo(move || {
        let books = shelf.read();
        let books = books.as_ref().as_ref().ok()?;
        found.with(|found| match found {
            Some(Ok(planned)) => {
                let until = typed.with(|typed| typed.until);
                Some(preview(&book.garden.read(), books, planned, until))
            }
            _ => None,
        })
    });
    let keeping_own = signal_of(false);
    pieces![
        without_books(shelf),
        el("div")
            .class("split")
            .child(el("div").child(the_form(bed, draft, found, shelf, keeping_own)))
            .child(
                el("section")
                    .attr("aria-label", "What it means")
                    .child(bed_sketch(bed, on_the_sketch(bed, shown, shelf), true))
                    .child(before_it_is_kept(found, shown))
            ),
        own_crop_sheet(keeping_own, draft.cover, draft.crop)
    ]
}

type Found = Memo<Option<Result<Planned, Wrong>>>;

fn the_form(
    bed: BedId,
    draft: Draft,
    found: Found,
    shelf: Shelf,
    keeping_own: RwSignal<bool>,
) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let navigate = use_navigate();
    let whole = WrongForm::new(&[]);
    let tried = signal_of(false);
    let send = move || {
        whole.clear();
        tried.set(true);
        let Some(Ok(planned)) = found.get_untracked() else {
            return whole.refused("Not planned yet: see what is marked above.");
        };
        let ids: Vec<PlantingId> = planned
            .days
            .iter()
            .map(|_| book.fresh(PlantingId::fresh))
            .collect();
        let edit = planned.edit(&ids, book.fresh(SeriesId::fresh));
        let document = DocumentName::Season(planned.first.start.year());
        if whole.write(book, document, edit) {
            let crop = capital(&planned.first.crop);
            let said = match ids.len() {
                1 => format!("{crop} is planned."),
                many => format!(
                    "{crop}: {} are planned.",
                    counted(many, "sowing", "sowings")
                ),
            };
            let take_out = move || {
                let today = book.today.get_untracked();
                for planting in &ids {
                    let set = vec![PlantingField::EndedOn(Some(today))];
                    let edit = Edit::ChangePlanting {
                        planting: *planting,
                        set,
                    };
                    if let Err(refused) = book.write(document, edit) {
                        toasts.say(refused.message);
                    }
                }
            };
            toasts.say_with_undo(said, take_out);
            navigate(&format!("/bed/{bed}"), NavigateOptions::default());
        }
    };
    let wrong = memo(move || {
        let tried = tried.get();
        let typed = draft.typed();
        found.with(|found| match found {
            Some(Err(wrong)) => wrong
                .iter()
                // A crop is wrong until its last letter is typed; the list below it says so.
                .filter(|(of, _)| tried || (**of != PlantBox::Crop && !typed.is_empty(**of)))
                .map(|(of, words)| (*of, words.clone()))
                .collect(),
            Some(Ok(_)) | None => Wrong::new(),
        })
    });
    form(send)
        .child(plant_fields(bed, draft, wrong, shelf, keeping_own))
        .child(wrong_whole(whole))
        .child(send_button(move || draft.send_words()))
        .into()
}

/// What stands or is planned in the bed already, and what the form would add.
fn on_the_sketch(bed: BedId, shown: Memo<Option<Preview>>, shelf: Shelf) -> Memo<Vec<Drawn>> {
    let book = use_book();
    memo(move || {
        let garden = book.garden.read();
        let books = shelf.read();
        let Ok(books) = books.as_ref() else {
            return Vec::new();
        };
        shown.with(|shown| {
            let sowings = shown.iter().flat_map(|shown| &shown.sowings);
            sowings
                .zip(0_u8..)
                .filter(|(facts, _)| facts.planting.bed == bed)
                .filter_map(|(facts, number)| {
                    let id = made_up(number);
                    drawn::drawn(&garden, books, id, &facts.planting)
                })
                .collect()
        })
    })
}
