//! The sheet that puts a rectangular bed beside the others.

use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::document::{DocumentName, Edit};

use crate::parts::{
    AmountField, Choice, Form, SelectField, SendButton, Sheet, TextField, use_toasts,
};
use crate::plain::bed_form::{BedBox, BedTyped, Side, Wrong, length_unit};
use crate::screens::form::{self, WrongWhole, bed_choices};
use crate::state::{Book, use_book};

/// The form as it is being typed.
#[derive(Clone, Copy)]
struct Draft {
    label: RwSignal<String>,
    length: RwSignal<String>,
    width: RwSignal<String>,
    beside: RwSignal<String>,
    side: RwSignal<String>,
    path: RwSignal<String>,
}

impl Draft {
    fn new() -> Self {
        Self {
            label: RwSignal::default(),
            length: RwSignal::default(),
            width: RwSignal::default(),
            beside: RwSignal::default(),
            side: RwSignal::new(Side::East.word().to_owned()),
            path: RwSignal::default(),
        }
    }

    fn typed(self) -> BedTyped {
        BedTyped {
            label: self.label.get_untracked(),
            length: self.length.get_untracked(),
            width: self.width.get_untracked(),
            beside: self.beside.get_untracked().parse().ok(),
            side: Side::of(&self.side.get_untracked()).unwrap_or_default(),
            path: self.path.get_untracked(),
        }
    }
}

/// The sheet.
#[component]
pub fn AddBedSheet(
    /// Whether it is open.
    open: RwSignal<bool>,
) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let draft = Draft::new();
    let wrong = RwSignal::new(Wrong::new());
    let whole = form::Wrong::new(&[]);
    Effect::new(move |_| {
        if open.get() {
            place_beside_the_last(book, draft);
        }
    });
    let send = move |()| {
        whole.clear();
        let read = draft
            .typed()
            .read(&book.garden.read_untracked(), untrack(|| book.units()));
        let (label, outline) = match read {
            Ok(read) => {
                wrong.set(Wrong::new());
                read
            }
            Err(found) => return wrong.set(found),
        };
        let edit = Edit::AddBed {
            bed: book.fresh(BedId::fresh),
            label: label.clone(),
            outline,
            holders: std::collections::BTreeMap::default(),
        };
        if whole.write(book, DocumentName::Ground, edit) {
            toasts.say(format!("{label} is on the ground, a common bed so far."));
            draft.label.set(String::new());
            open.set(false);
        }
    };
    view! {
        <Sheet open=open title="Add a bed">
            <Form on_send=send>
                <Fields draft=draft wrong=wrong />
                <WrongWhole wrong=whole />
                <SendButton words="Put it on the ground" />
            </Form>
        </Sheet>
    }
}

#[component]
fn Fields(draft: Draft, wrong: RwSignal<Wrong>) -> impl IntoView {
    let book = use_book();
    let at = move |of: BedBox| Signal::derive(move || wrong.read().get(&of).cloned());
    let unit = Signal::derive(move || length_unit(book.units()).to_owned());
    let beds = Signal::derive(move || bed_choices(book));
    let sides = Side::ALL
        .map(|side| Choice::new(side.word(), format!("{} of it", side.word())))
        .to_vec();
    view! {
        <TextField label="Label" value=draft.label error=at(BedBox::Label) help="Short, as on the stake: A1, N side." />
        <div class="pair">
            <AmountField label="Length" value=draft.length unit=unit error=at(BedBox::Length) help="South to north" />
            <AmountField label="Width" value=draft.width unit=unit error=at(BedBox::Width) help="West to east" />
        </div>
        <Show
            when=move || !beds.read().is_empty()
            fallback=|| view! { <p class="help">"The first bed lies at the origin of the plan; the others are put beside it."</p> }
        >
            <div class="pair">
                <SelectField label="Beside bed" value=draft.beside choices=beds />
                <SelectField label="On the side" value=draft.side choices=sides.clone() />
            </div>
            <AmountField label="Path between" value=draft.path unit=unit error=at(BedBox::Path) />
        </Show>
    }
}

// The bed that was drawn last is the likely neighbour.
fn place_beside_the_last(book: Book, draft: Draft) {
    let chosen = draft.beside.get_untracked().parse::<BedId>().ok();
    let garden = book.garden.read_untracked();
    if chosen.is_some_and(|bed| garden.open_bed(bed).is_some()) {
        return;
    }
    let last = garden.open_beds().into_iter().map(|(bed, _)| bed).max();
    draft
        .beside
        .set(last.map(|bed| bed.to_string()).unwrap_or_default());
}
