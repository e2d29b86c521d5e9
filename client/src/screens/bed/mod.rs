//! A bed's sheet: its area and how that was reached, who holds it, what is on, its part of each load, its note.

pub mod change;
pub mod note;
pub mod on_it;

use std::sync::Arc;

use leptos::prelude::*;
use leptos_router::hooks::use_params_map;
use selion_core::document::ids::BedId;
use selion_core::document::records::Bed;
use selion_core::document::workings;

use self::change::Changes;
use self::note::BedNote;
use self::on_it::{LoadsOfBed, Pickings, ThisWeek};
use crate::parts::{
    ActLink, Empty, Heading, Line, Lines, Note, NoteKind, PageHead, Tag, TagKind, TitleBlock,
    Working, WorkingText,
};
use crate::plain::ground_rows;
use crate::plain::wording::{counted, in_a_sentence};
use crate::state::use_book;

/// The screen at `/bed/:id`.
#[component]
pub fn BedScreen() -> impl IntoView {
    let book = use_book();
    let params = use_params_map();
    let bed = Memo::new(move |_| {
        let bed = params.read().get("id")?.parse::<BedId>().ok()?;
        book.garden.read().beds.contains_key(&bed).then_some(bed)
    });
    move || match bed.get() {
        Some(bed) => view! { <OneBed bed=bed /> }.into_any(),
        None => view! { <NotHere /> }.into_any(),
    }
}

#[component]
fn NotHere() -> impl IntoView {
    view! {
        <PageHead label="Ground" title="No such bed" back=("/ground", "Ground") />
        <Empty lead="This bed is not on this phone">
            <p>"It may have been drawn elsewhere and not have come yet, or the link is old."</p>
            <ActLink href="/ground" words="To the ground" />
        </Empty>
    }
}

/// A bed as its screen reads it.
#[derive(Clone, Copy, Debug)]
pub struct Shown {
    bed: BedId,
    record: Memo<Option<Arc<Bed>>>,
}

impl Shown {
    fn with<T>(self, read: impl FnOnce(&Bed) -> T) -> Option<T> {
        self.record.with(|bed| bed.as_deref().map(read))
    }

    fn label(self) -> String {
        self.with(|bed| bed.label.clone()).unwrap_or_default()
    }

    /// Whether whoever looks holds a part of it.
    fn is_mine(self) -> bool {
        let me = use_book().me.get();
        me.is_some_and(|me| self.with(|bed| bed.is_held_by(me)).unwrap_or(false))
    }
}

#[component]
fn OneBed(bed: BedId) -> impl IntoView {
    let book = use_book();
    let record = Memo::new(move |_| book.garden.read().beds.get(&bed).cloned());
    let shown = Shown { bed, record };
    let mine = Memo::new(move |_| {
        let me = book.me.get();
        me.is_some_and(|me| shown.with(|bed| bed.is_held_by(me)).unwrap_or(false))
    });
    let label = Signal::derive(move || {
        let kind = if mine.get() { "Yours" } else { "Bed" };
        format!("{kind} · {}", book.garden_name())
    });
    let title = Signal::derive(move || shown.label());
    view! {
        <PageHead label=label title=title back=("/ground", "Ground") />
        <Show when=move || book.waits(&bed)>
            <p><Tag word="waiting" kind=TagKind::Wait />" Something about this bed is saved on this phone and not sent yet."</p>
        </Show>
        <GivenUp shown=shown />
        <Facts shown=shown />
        <Holders shown=shown />
        <ThisWeek bed=bed />
        <LoadsOfBed bed=bed />
        <Pickings bed=bed />
        <BedNote bed=bed />
        <Changes shown=shown />
    }
}

#[component]
fn GivenUp(shown: Shown) -> impl IntoView {
    let book = use_book();
    let words = move || {
        let day = shown.with(|bed| bed.ended_on).flatten()?;
        Some(format!("{}.", in_a_sentence(day, book.today.get())))
    };
    move || words().map(|words| view! { <Note kind=NoteKind::Mind lead="Given up">{words}</Note> })
}

#[component]
fn Facts(shown: Shown) -> impl IntoView {
    let book = use_book();
    let entries = Signal::derive(move || {
        let units = book.units();
        shown
            .with(|bed| {
                let shape = match bed.outline.sides() {
                    Some((one, other)) => (
                        "Sides",
                        format!(
                            "{} × {}",
                            one.min(other).show(units),
                            one.max(other).show(units)
                        ),
                    ),
                    None => (
                        "Shape",
                        counted(bed.outline.corners().len(), "corner", "corners"),
                    ),
                };
                let area = ("Area", bed.outline.area().show(units));
                [area, shape]
                    .map(|(name, figure)| (name.to_owned(), figure))
                    .to_vec()
            })
            .unwrap_or_default()
    });
    let working = Memo::new(move |_| {
        shown.with(|bed| WorkingText::from(&workings::bed_area(bed, book.units())))
    });
    let title = Signal::derive(move || format!("Working for the area of {}", shown.label()));
    view! {
        <TitleBlock entries=entries />
        {move || working.get().map(|text| view! { <Working title=title of=text /> })}
    }
}

#[component]
fn Holders(shown: Shown) -> impl IntoView {
    let book = use_book();
    let words = Signal::derive(move || {
        let garden = book.garden.read();
        shown
            .with(|bed| ground_rows::holders(&garden, bed, book.me.get()))
            .unwrap_or_default()
    });
    let small = Signal::derive(move || {
        let common = shown.with(Bed::is_common).unwrap_or(false);
        if common {
            "Its shares are on the garden's account".to_owned()
        } else {
            String::new()
        }
    });
    let mine = Signal::derive(move || shown.is_mine());
    view! {
        <Heading text="Held by" />
        <Lines><Line bed=Signal::derive(move || shown.label()) what=words small=small mine=mine /></Lines>
    }
}
