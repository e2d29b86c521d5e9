//! The ground on the desk: everything that can be taken in hand, and what is in hand in its shape of just now.

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::ids::StructureId;
use selion_core::document::records::Structure;

use super::Desk;
use super::handles::handles;
use super::pencil;
use crate::parts::plate;
use crate::piece::{El, Memo, Piece, derived, live, memo, pieces, svg, when};
use crate::plain::draw::shape::Shape;
use crate::plain::draw::{Thing, things};
use crate::plain::drawing;
use crate::plain::fence_drawing;
use crate::plain::ground_drawing::{Room, room_in};
use crate::plain::ground_structures::drawn;
use crate::screens::ground::marks::{shade_mark, structure, structure_marks};
use crate::screens::ground::plan::fence;

pub(super) fn sheet(desk: Desk, shape: Memo<Option<Shape>>, is_drawing: Memo<bool>) -> Piece {
    let book = desk.book;
    let all = memo(move || things(&book.garden.read()));
    pieces![
        live(move || {
            let all = all.get();
            // Beds lie on structures, as on the plan of the ground, and fences above both.
            let of =
                |wanted: fn(&Thing) -> bool| all.iter().filter(move |(thing, _)| wanted(thing));
            of(|thing| matches!(thing, Thing::Structure(_)))
                .chain(of(|thing| matches!(thing, Thing::Bed(_))))
                .chain(of(|thing| matches!(thing, Thing::Fence(_))))
                .map(|(thing, label)| thing_on_sheet(desk, shape, *thing, label.clone()))
                .collect::<Piece>()
        }),
        shades(desk, shape),
        when(move || is_drawing.get(), move || pencil::on_sheet(desk)).otherwise(move || {
            live(move || {
                let picked = desk.picked.get();
                picked.map(|_| handles(desk, shape))
            })
        })
    ]
}

/// The shade of all trees, above the beds that it falls on; that of the tree in hand as it is held.
fn shades(desk: Desk, shape: Memo<Option<Shape>>) -> Piece {
    let all = memo(move || {
        let garden = desk.book.garden.read();
        let (when, picked) = (desk.hour.when(), desk.picked.get());
        let standing = garden
            .structures
            .iter()
            .filter(|(_, record)| record.ended_on.is_none());
        let shade = |(id, record): (&StructureId, &Arc<Structure>)| {
            let in_hand = picked == Some(Thing::Structure(*id));
            let held = if in_hand { shape.get() } else { None };
            let outline = held.as_ref().and_then(Shape::outline);
            drawn(&garden, record, outline.unwrap_or(&record.outline), when).shade
        };
        standing.filter_map(shade).collect::<Vec<String>>()
    });
    live(move || all.get().into_iter().map(shade_mark).collect::<Piece>())
}

fn thing_on_sheet(desk: Desk, shape: Memo<Option<Shape>>, thing: Thing, label: String) -> Piece {
    let book = desk.book;
    let shown = memo(move || {
        if desk.picked.get() == Some(thing) {
            return shape.get();
        }
        thing.shape(&book.garden.read())
    });
    let is_picked = derived(move || desk.picked.get() == Some(thing));
    let group = svg("g")
        .class("bed")
        .class_if("chosen", is_picked)
        .on("click", move || {
            // A tap of the pencil is heard by the sheet.
            if desk.pencil.read_untracked().is_none() {
                desk.pick(Some(thing));
            }
        });
    match thing {
        Thing::Bed(_) => bed(desk, group, shown, label),
        Thing::Structure(_) => a_structure(desk, group, shown, thing),
        Thing::Fence(_) => a_fence(desk, group, shown),
    }
}

fn bed(desk: Desk, group: El, shown: Memo<Option<Shape>>, label: String) -> Piece {
    let path = derived(move || shown.with(|shown| path_of(shown.as_ref())));
    let at = derived(move || {
        let place = shown.with(|shown| {
            let outline = shown.as_ref().and_then(Shape::outline);
            outline.map(|outline| drawing::place(outline.label_point()))
        });
        place.unwrap_or_default()
    });
    let room = memo(move || {
        shown.with(|shown| {
            let outline = shown.as_ref().and_then(Shape::outline);
            outline.map_or(Room::Crowded, |outline| room_in(outline, desk.scale.get()))
        })
    });
    group
        .class_if("tight", move || room.get() == Room::Tight)
        .class_if("crowded", move || room.get() == Room::Crowded)
        .child(svg("path").class("outline").attr("d", path))
        .child(live(move || plate(at.get(), label.clone())))
        .into()
}

fn a_structure(desk: Desk, group: El, shown: Memo<Option<Shape>>, thing: Thing) -> Piece {
    let book = desk.book;
    let as_drawn = memo(move || {
        let garden = book.garden.read();
        let Thing::Structure(id) = thing else {
            return None;
        };
        let record = garden.structures.get(&id)?;
        shown.with(|shown| {
            let outline = shown.as_ref()?.outline()?;
            Some(drawn(&garden, record, outline, desk.hour.when()))
        })
    });
    let path = derived(move || shown.with(|shown| path_of(shown.as_ref())));
    let marks = move || {
        let drawn = as_drawn.get()?;
        // While a hand moves it, its name is out of the way.
        Some(if desk.held.read().is_some() {
            structure_marks(drawn)
        } else {
            structure(drawn, desk.scale)
        })
    };
    group
        // Inside a structure there is nothing that could be hit otherwise.
        .child(svg("path").class("hit").attr("d", path))
        .child(live(marks))
        .into()
}

fn a_fence(desk: Desk, group: El, shown: Memo<Option<Shape>>) -> Piece {
    let way = derived(move || shown.with(|shown| path_of(shown.as_ref())));
    let marks = move || {
        shown.with(|shown| {
            let drawn = shown.as_ref().and_then(Shape::fence);
            drawn.map(|line| {
                let units = desk.book.units();
                fence(fence_drawing::drawn(&line.line, &line.gates, units))
            })
        })
    };
    group
        .child(svg("path").class("hit along").attr("d", way))
        .child(live(marks))
        .into()
}

fn path_of(shape: Option<&Shape>) -> String {
    match shape {
        Some(Shape::Closed(outline)) => drawing::outline_path(outline),
        Some(Shape::Fence(fence)) => drawing::line_path(&fence.line),
        None => String::new(),
    }
}
