//! The sheet that puts a rectangular bed beside the others.

use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::document::{DocumentName, Edit};

use crate::parts::{
    Choice, amount_field, form, select_field, send_button, sheet, text_field, use_toasts,
};
use crate::piece::{Piece, derived, el, pieces, signal_of, watch, when};
use crate::plain::bed_form::{BedBox, BedTyped, Side, Wrong, length_unit};
use crate::screens::form::{self, bed_choices, wrong_whole};
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
            side: signal_of(Side::East.word().to_owned()),
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
pub fn add_bed_sheet(open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let draft = Draft::new();
    let wrong = signal_of(Wrong::new());
    let whole = form::Wrong::new(&[]);
    watch(move || {
        if open.get() {
            place_beside_the_last(book, draft);
        }
    });
    let send = move || {
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
            holders: selion_core::ordered::Map::default(),
        };
        if whole.write(book, DocumentName::Ground, edit) {
            toasts.say(format!("{label} is on the ground, a common bed so far."));
            draft.label.set(String::new());
            open.set(false);
        }
    };
    sheet(open, "Add a bed", move || {
        form(send)
            .child(fields(draft, wrong))
            .child(wrong_whole(whole))
            .child(send_button("Put it on the ground"))
    })
}

fn fields(draft: Draft, wrong: RwSignal<Wrong>) -> Piece {
    let book = use_book();
    let at = move |of: BedBox| derived(move || wrong.read().get(&of).cloned());
    let unit = derived(move || length_unit(book.units()).to_owned());
    let beds = derived(move || bed_choices(book));
    let sides = Side::ALL
        .map(|side| Choice::new(side.word(), format!("{} of it", side.word())))
        .to_vec();
    pieces![
        text_field("Label", draft.label)
            .error(at(BedBox::Label))
            .help("Short, as on the stake: A1, N side."),
        el("div")
            .class("pair")
            .child(
                amount_field("Length", draft.length, unit)
                    .error(at(BedBox::Length))
                    .help("South to north")
            )
            .child(
                amount_field("Width", draft.width, unit)
                    .error(at(BedBox::Width))
                    .help("West to east")
            ),
        when(
            move || !beds.read().is_empty(),
            move || pieces![
                el("div")
                    .class("pair")
                    .child(select_field("Beside bed", draft.beside, beds))
                    .child(select_field("On the side", draft.side, sides.clone())),
                amount_field("Path between", draft.path, unit).error(at(BedBox::Path))
            ]
        )
        .otherwise(|| el("p").class("help").child(
            "The first bed lies at the origin of the plan; the others are put \
             beside it."
        ))
    ]
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
