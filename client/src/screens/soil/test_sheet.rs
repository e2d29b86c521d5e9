//! Entering a laboratory's report sheet for one or several beds.

use std::collections::BTreeSet;

use leptos::prelude::*;
use selion_core::document::ids::{BedId, SoilTestId};
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;

use crate::parts::{
    Choice, check_field, date_field, form, select_field, send_button, sheet, text_field, use_toasts,
};
use crate::piece::{Piece, derived, el, signal_of};
use crate::plain::soil_form::{self, FURTHER, SoilBox, SoilField, SoilTyped, USUAL, Wrong};
use crate::screens::form::{Wrong as WrongForm, wrong_whole};
use crate::state::use_book;

/// A field with what was typed into it.
type Typed = (SoilBox, RwSignal<String>);

/// The sheet; `bed` is ticked from the start.
pub fn test_sheet(open: RwSignal<bool>, bed: Option<BedId>) -> Piece {
    sheet(open, "Enter a soil test", move || test_form(open, bed))
}

fn test_form(open: RwSignal<bool>, bed: Option<BedId>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let beds = beds_to_tick(bed);
    let mut typed: Vec<Typed> = Vec::new();
    let day = signal_of(untrack(|| book.today.get()).to_string());
    typed.push((SoilBox::Day, day));
    let wrong = signal_of(Wrong::new());
    let usual = fields(USUAL, &mut typed, wrong);
    let further = fields(FURTHER, &mut typed, wrong);
    let whole = WrongForm::new(&[]);
    let ticks = Piece::Several(
        beds.iter()
            .map(|(_, label, ticked)| check_field(label.clone(), *ticked).into())
            .collect(),
    );
    let send = move || {
        whole.clear();
        let mut filled = SoilTyped::new();
        for (of, value) in &typed {
            filled.insert(*of, value.get_untracked());
        }
        let mut chosen = BTreeSet::new();
        for (bed, _, ticked) in &beds {
            if ticked.get_untracked() {
                chosen.insert(*bed);
            }
        }
        match soil_form::read(&filled, &chosen, untrack(|| book.units())) {
            Err(bad) => {
                wrong.set(bad);
                whole.refused("Not entered yet: see what is marked above.");
            }
            Ok(sheet) => {
                wrong.set(Wrong::new());
                let test = book.fresh(SoilTestId::fresh);
                let edit = Edit::AddSoilTest { test, sheet };
                if whole.write(book, DocumentName::Ground, edit) {
                    toasts.say("The soil test is entered.");
                    open.set(false);
                }
            }
        }
    };
    let day_wrong = derived(move || wrong.read().get(&SoilBox::Day).cloned());
    form(send)
        .child(date_field("Sampled on", day).error(day_wrong))
        .child(
            el("fieldset")
                .class("ticks")
                .child(el("legend").child("For which beds"))
                .child(ticks),
        )
        .child(usual)
        .child(
            el("details")
                .child(el("summary").child("The laboratory’s recommendation and nutrients"))
                .child(further),
        )
        .child(wrong_whole(whole))
        .child(send_button("Enter it"))
        .into()
}

/// The beds that whoever looks may enter a sheet for.
fn beds_to_tick(ticked: Option<BedId>) -> Vec<(BedId, String, RwSignal<bool>)> {
    let book = use_book();
    untrack(|| {
        let me = book.me.get();
        let garden = book.garden.read();
        let mut beds = Vec::new();
        for (bed, record) in garden.open_beds() {
            let own = me.is_some_and(|me| record.is_held_by(me));
            if book.may(Action::AddSoilTest, own) {
                let signal = signal_of(ticked == Some(bed));
                beds.push((bed, record.label.clone(), signal));
            }
        }
        beds
    })
}

fn fields(all: &'static [SoilField], typed: &mut Vec<Typed>, wrong: RwSignal<Wrong>) -> Piece {
    let mut pieces = Vec::new();
    for field in all {
        let first = field.choices.first().map_or("", |(key, _)| *key);
        let value = signal_of(first.to_owned());
        typed.push((field.of, value));
        let of = field.of;
        let error = derived(move || wrong.read().get(&of).cloned());
        let drawn = if field.choices.is_empty() {
            text_field(field.label, value)
        } else {
            let choices = field.choices.iter();
            let choices: Vec<Choice> = choices
                .map(|(key, name)| Choice::new(*key, *name))
                .collect();
            select_field(field.label, value, choices)
        };
        pieces.push(drawn.help(field.help).error(error).into());
    }
    Piece::Several(pieces)
}
