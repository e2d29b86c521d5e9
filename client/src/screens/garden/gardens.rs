//! The person's gardens, and going over to another.

use leptos::prelude::*;
use selion_core::document::ids::GardenId;

use crate::parts::{TagKind, heading, line, lines, tag};
use crate::piece::{Piece, memo, pieces, when};
use crate::plain::people_rows::initials;
use crate::state::{GardenEntry, use_book};

/// The list; where there is but one garden it is not shown.
pub fn my_gardens() -> Piece {
    let book = use_book();
    let gardens = memo(move || book.account.with(|account| account.gardens.clone()));
    let line = move |garden: GardenEntry| {
        let is_open = book.current.get() == Some(garden.id);
        garden_line(garden, is_open)
    };
    when(
        move || gardens.read().len() > 1,
        move || {
            pieces![
                heading("My gardens"),
                lines().child(move || gardens.get().into_iter().map(line).collect::<Piece>())
            ]
        },
    )
    .into()
}

fn garden_line(garden: GardenEntry, is_open: bool) -> Piece {
    let book = use_book();
    let id: GardenId = garden.id;
    let margin = initials(&garden.name);
    let role = garden.role.word();
    if is_open {
        Piece::from(
            line(garden.name)
                .bed(margin)
                .small(role)
                .mine(true)
                .child(tag("open", TagKind::Mine)),
        )
    } else {
        let press = move || book.switch_to(id);
        Piece::from(
            line(garden.name)
                .bed(margin)
                .small(role)
                .on_press(press)
                .child("go there"),
        )
    }
}
