//! The small form for a crop that the table does not have, or for the garden's own values of one that it has.

use leptos::prelude::*;
use selion_core::document::ids::CropId;
use selion_core::document::{DocumentName, Edit};
use selion_core::ordered::Map;

use crate::parts::{Choice, form, select_field, send_button, sheet, text_field, use_toasts};
use crate::piece::{Piece, derived, el, signal_of};
use crate::plain::plant_form::own_crop::{self, OwnField};
use crate::plain::wording::capital;
use crate::screens::form::{Wrong, wrong_whole};
use crate::state::use_book;

/// The sheet; what was typed as a crop begins it, and what is kept becomes the crop.
pub fn own_crop_sheet(open: RwSignal<bool>, cover: Signal<bool>, crop: RwSignal<String>) -> Piece {
    sheet(open, "An own crop", move || {
        own_crop_form(open, cover, crop)
    })
}

fn own_crop_form(open: RwSignal<bool>, cover: Signal<bool>, crop: RwSignal<String>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let wrong = Wrong::new(&[]);
    let is_cover = cover.get_untracked();
    let name = signal_of(crop.get_untracked().trim().to_owned());
    let before = untrack(|| own_crop::existing(&book.garden.read(), is_cover, &name.read()));
    let mut typed: Vec<(&'static str, RwSignal<String>)> = Vec::new();
    let mut drawn = Vec::new();
    let refused = signal_of(Map::<String, String>::new());
    for field in own_crop::fields(is_cover) {
        let stood = before
            .as_ref()
            .and_then(|(_, crop)| crop.values.get(field.column));
        let value = signal_of(stood.cloned().unwrap_or_default());
        typed.push((field.column, value));
        drawn.push(own_field(field, value, refused));
    }
    let named = derived(move || refused.read().get("name").cloned());
    let send = move || {
        wrong.clear();
        refused.set(Map::new());
        let name = name.get_untracked();
        let before = own_crop::existing(&book.garden.read_untracked(), is_cover, &name);
        let values = typed.iter();
        let values: Map<&'static str, String> = values
            .map(|(column, value)| (*column, value.get_untracked()))
            .collect();
        let stood = before.as_ref().map(|(_, crop)| crop);
        let units = untrack(|| book.units());
        match own_crop::read(&name, is_cover, &values, stood, units) {
            Err(bad) => refused.update(|refused| {
                refused.insert(bad.field.clone(), capital(&bad.to_string()));
            }),
            Ok(record) => {
                let id = before.map_or_else(|| book.fresh(CropId::fresh), |(id, _)| id);
                let name = record.name.clone();
                let edit = Edit::KeepCrop { crop: id, record };
                if wrong.write(book, DocumentName::Ground, edit) {
                    crop.set(name.clone());
                    toasts.say(format!(
                        "{} is kept with the garden's own crops.",
                        capital(&name)
                    ));
                    open.set(false);
                }
            }
        }
    };
    form(send)
        .child(el("p").class("help").child(
            "A name of the table stands for that crop: what is filled in here comes before the table's values. \
             What is left empty stays unknown, or the table's.",
        ))
        .child(text_field("Name", name).error(named))
        .child(Piece::Several(drawn))
        .child(wrong_whole(wrong))
        .child(send_button("Keep it"))
        .into()
}

fn own_field(
    field: &'static OwnField,
    value: RwSignal<String>,
    refused: RwSignal<Map<String, String>>,
) -> Piece {
    let error = derived(move || refused.read().get(field.column).cloned());
    let drawn = if field.choices.is_empty() {
        text_field(field.label, value)
    } else {
        let choice = |key: &&'static str| {
            let name = if key.is_empty() {
                "Not known".to_owned()
            } else {
                capital(key)
            };
            Choice::new(*key, name)
        };
        select_field(
            field.label,
            value,
            field.choices.iter().map(choice).collect::<Vec<_>>(),
        )
    };
    drawn.help(field.help).error(error).into()
}
