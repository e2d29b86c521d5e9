//! The lime that the garden buys and the compost that it has, by their labels.

use leptos::prelude::*;
use selion_core::document::edit::ProfileField;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;

use crate::parts::{
    Choice, act, acts, amount_field, form, heading, line, lines, select_field, send_button, sheet,
    text_field, use_toasts,
};
use crate::piece::{Piece, derived, pieces, signal_of};
use crate::plain::label_form::{COMPOSTS, KINDS, LabelBox, LabelTyped, SCHEMES, Wrong, lime_words};
use crate::plain::order_form::mass_unit;
use crate::screens::form::{Wrong as WrongForm, wrong_whole};
use crate::state::use_book;

/// The lines, and the sheet that changes them.
pub fn materials() -> Piece {
    let book = use_book();
    let changing = signal_of(false);
    let lime = derived(move || {
        let profile = book.profile();
        let lime = profile.as_ref().and_then(|profile| profile.lime.as_ref());
        lime_words(lime, book.units())
    });
    let compost = derived(move || {
        let typed = LabelTyped::of(&book.garden.read());
        let key = typed.at(LabelBox::Compost).to_owned();
        let found = COMPOSTS.iter().find(|(known, _)| *known == key);
        found.map_or_else(String::new, |(_, name)| (*name).to_owned())
    });
    let refused = move || book.why_not(Action::KeepGarden, false);
    pieces![
        heading("The garden’s lime and compost"),
        lines()
            .child(line(lime).bed("lime"))
            .child(line(compost).bed("heap")),
        acts().child(act("Change lime and compost", move || changing.set(true)).refused(refused)),
        sheet(changing, "Lime and compost by their labels", move || {
            label_form(changing)
        })
    ]
}

fn label_form(changing: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let stands = untrack(|| LabelTyped::of(&book.garden.read()));
    let found = signal_of(Wrong::new());
    let whole = WrongForm::new(&[]);
    let of = |which: LabelBox| signal_of(stands.at(which).to_owned());
    let all: Vec<(LabelBox, RwSignal<String>)> = LabelBox::ALL
        .into_iter()
        .map(|which| (which, of(which)))
        .collect();
    let drawn = all
        .iter()
        .map(|(which, value)| field(*which, *value, found));
    let drawn = Piece::Several(drawn.collect());
    let send = move || {
        whole.clear();
        let mut typed = LabelTyped::default();
        for (which, value) in &all {
            typed.put(*which, value.get_untracked());
        }
        let Some(currency) = untrack(|| book.currency()) else {
            return;
        };
        match typed.read(untrack(|| book.units()), currency) {
            Err(bad) => found.set(bad),
            Ok((lime, compost)) => {
                found.set(Wrong::new());
                let set = vec![ProfileField::Lime(lime), ProfileField::Compost(compost)];
                if whole.write(book, DocumentName::Ground, Edit::ChangeProfile { set }) {
                    toasts.say("Kept.");
                    changing.set(false);
                }
            }
        }
    };
    form(send)
        .child(drawn)
        .child(wrong_whole(whole))
        .child(send_button("Keep it"))
        .into()
}

fn field(which: LabelBox, value: RwSignal<String>, found: RwSignal<Wrong>) -> Piece {
    let book = use_book();
    let error = derived(move || found.read().get(&which).cloned());
    let choices = |of: &'static [(&'static str, &'static str)]| -> Vec<Choice> {
        of.iter()
            .map(|(key, name)| Choice::new(*key, *name))
            .collect()
    };
    let drawn = match which {
        LabelBox::Kind => select_field(which.label(), value, choices(KINDS)),
        LabelBox::Scheme => select_field(which.label(), value, choices(SCHEMES)),
        LabelBox::Compost => select_field(which.label(), value, choices(COMPOSTS)),
        LabelBox::Bag => {
            let unit = derived(move || mass_unit(book.units()).to_owned());
            amount_field(which.label(), value, unit)
        }
        LabelBox::Name
        | LabelBox::Cce
        | LabelBox::Effective
        | LabelBox::StandardTon
        | LabelBox::BagPrice
        | LabelBox::CompostDensity
        | LabelBox::CompostPhosphate => text_field(which.label(), value),
    };
    drawn.help(which.help()).error(error).into()
}
