//! The ground with what is picked in the hand: its corners, its sides and the whole of it can be taken hold of.

use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use leptos::tachys::renderer::types::Element;
use selion_core::geometry::Outline;
use selion_core::quantities::BadInput;

use super::Desk;
use crate::browser::grip::{Grasp, Grip};
use crate::browser::page;
use crate::parts::plate;
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, svg};
use crate::plain::draw::hold::{Hold, Snap, Step, arrow, middle, moved};
use crate::plain::draw::{Thing, things};
use crate::plain::drawing;
use crate::plain::fence_drawing;
use crate::plain::ground_drawing::{Room, room_in};
use crate::plain::ground_rows;
use crate::plain::wording::capital;
use crate::screens::ground::plan::fence;

/// More corners than this are not to be told apart by a finger: a circle is moved and typed, not dragged at its 48.
const MOST_HANDLES: usize = 24;

pub(super) fn drawn_ground(desk: Desk, shape: Memo<Option<Outline>>) -> Piece {
    let book = desk.book;
    let all = memo(move || things(&book.garden.read()));
    let fences = memo(move || {
        let garden = book.garden.read();
        let units = book.units();
        ground_rows::open_fences(&garden)
            .map(|line| fence_drawing::fence(line, units))
            .collect::<Vec<_>>()
    });
    pieces![
        move || fences.get().into_iter().map(fence).collect::<Piece>(),
        live(move || {
            let one = |(thing, label)| thing_on_sheet(desk, shape, thing, label);
            all.get().into_iter().map(one).collect::<Piece>()
        }),
        live(move || {
            let picked = desk.picked.get();
            picked.map(|_| handles(desk, shape))
        })
    ]
}

fn thing_on_sheet(desk: Desk, shape: Memo<Option<Outline>>, thing: Thing, label: String) -> Piece {
    let book = desk.book;
    let outline = memo(move || {
        if desk.picked.get() == Some(thing) {
            return shape.get();
        }
        thing.outline(&book.garden.read()).cloned()
    });
    let path = derived(move || outline.get().as_ref().map(drawing::outline_path));
    let at = derived(move || {
        let place = outline
            .get()
            .map(|outline| drawing::place(outline.label_point()));
        place.unwrap_or_default()
    });
    let room = memo(move || {
        outline.with(|outline| {
            let room = |outline| room_in(outline, desk.scale.get());
            outline.as_ref().map_or(Room::Crowded, room)
        })
    });
    let is_picked = derived(move || desk.picked.get() == Some(thing));
    let (class, named) = match thing {
        Thing::Bed(_) => ("outline", true),
        Thing::Structure(_) => ("structure", false),
    };
    svg("g")
        .class("bed")
        .class_if("chosen", is_picked)
        .class_if("tight", move || room.get() == Room::Tight)
        .class_if("crowded", move || room.get() == Room::Crowded)
        .on("click", move || desk.pick(Some(thing)))
        // Inside a structure there is nothing that could be hit otherwise.
        .child(svg("path").class("hit").attr("d", path))
        .child(svg("path").class(class).attr("d", path))
        .child(live(move || named.then(|| plate(at.get(), label.clone()))))
        .into()
}

fn handles(desk: Desk, shape: Memo<Option<Outline>>) -> Piece {
    // Those of the edge as it is written, so that the hand that pulls a new corner out of a side is not left with nothing.
    let count = memo(move || desk.stands().map_or(0, |outline| outline.corners().len()));
    live(move || {
        let count = count.get();
        let corners = if count <= MOST_HANDLES {
            0..count
        } else {
            0..0
        };
        // What lies on top is what a finger gets where they are close: corners before the whole, the whole before sides.
        let mut all = Vec::new();
        for corner in corners.clone() {
            all.push(handle(desk, shape, Hold::Side(corner)));
        }
        all.push(handle(desk, shape, Hold::Whole));
        for corner in corners {
            all.push(handle(desk, shape, Hold::Corner(corner)));
        }
        Piece::Several(all)
    })
}

/// Where a handle stands. While a new corner is pulled out of a side, all after it are counted one further.
fn place(outline: &Outline, hold: Hold, held: Option<Hold>) -> (f64, f64) {
    let pulled = match held {
        Some(Hold::Side(corner)) => Some(corner),
        Some(Hold::Whole | Hold::Corner(_)) | None => None,
    };
    let counted =
        |corner: usize| corner + usize::from(pulled.is_some_and(|pulled| corner > pulled));
    let corner_at = |corner: usize| outline.corners().get(corner).copied().unwrap_or_default();
    drawing::place(match hold {
        Hold::Whole => outline.label_point(),
        Hold::Corner(corner) => corner_at(counted(corner)),
        Hold::Side(corner) if pulled == Some(corner) => corner_at(corner + 1),
        Hold::Side(corner) => middle(outline, counted(corner)),
    })
}

fn spoken(hold: Hold) -> String {
    match hold {
        Hold::Whole => "The whole, to be moved".to_owned(),
        Hold::Corner(corner) => format!("Corner {}", corner + 1),
        Hold::Side(corner) => format!("New corner after corner {}", corner + 1),
    }
}

fn handle(desk: Desk, shape: Memo<Option<Outline>>, hold: Hold) -> Piece {
    let at = derived(move || {
        let (x, y) = shape.with(|shape| {
            let outline = shape.as_ref();
            let held = desk.held.get();
            outline
                .map(|outline| place(outline, hold, held))
                .unwrap_or_default()
        });
        format!("translate({x:.0} {y:.0})")
    });
    let knob = match hold {
        Hold::Whole => svg("path").attr("d", "M-9 0H9M0 -9V9M-9 0l4 -3M-9 0l4 3M9 0l-4 -3M9 0l-4 3M0 -9l-3 4M0 -9l3 4M0 9l-3 -4M0 9l3 -4"),
        Hold::Corner(_) => svg("rect").attr("x", "-7").attr("y", "-7").attr("width", "14").attr("height", "14"),
        Hold::Side(_) => svg("circle").attr("r", "4"),
    };
    let reach = if matches!(hold, Hold::Side(_)) {
        "14"
    } else {
        "22"
    };
    svg("g")
        .class("handle")
        .attr("transform", at)
        .attr("role", "button")
        .attr("tabindex", "0")
        .attr("aria-label", spoken(hold))
        .on_event("keydown", move |event: KeyboardEvent| {
            by_key(desk, hold, &event);
        })
        .once_there(move |element| hold_on(desk, hold, element))
        .child(
            svg("g")
                .class("pinned")
                .child(svg("circle").class("hit").attr("r", reach))
                .child(knob.class("knob")),
        )
        .into()
}

fn hold_on(desk: Desk, hold: Hold, element: &Element) {
    let grip = Grip::over(element, move |grasp| match grasp {
        Grasp::Held { right, down } => {
            if let Some(Ok(outline)) = pulled_by_hand(desk, hold, desk.step(right, down)) {
                desk.held.set(Some(hold));
                desk.draft.set(Some(outline));
            }
        }
        Grasp::LetGo => {
            desk.held.set(None);
            desk.keep();
        }
        Grasp::Lost => {
            desk.held.set(None);
            desk.draft.set(None);
        }
    });
    match grip {
        Ok(grip) => {
            StoredValue::new_local(grip);
        }
        Err(trouble) => page::note(&trouble.to_string()),
    }
}

/// The edge so far, from where it is written.
fn pulled_by_hand(desk: Desk, hold: Hold, step: Step) -> Option<Result<Outline, BadInput>> {
    untrack(|| {
        let from = desk.stands()?;
        let garden = desk.book.garden.read();
        let snap = Snap::beside(&garden, desk.picked.get()?, desk.grid(), desk.magnet());
        Some(moved(&from, hold, step, &snap, desk.square.get()))
    })
}

/// The edge after a further press of an arrow, from where it is shown. Keys go by the grid's step and are drawn to nothing.
fn pushed_by_key(desk: Desk, hold: Hold, step: Step) -> Option<Result<Outline, BadInput>> {
    untrack(|| {
        Some(moved(
            &desk.shape()?,
            hold,
            step,
            &Snap::default(),
            desk.square.get(),
        ))
    })
}

fn by_key(desk: Desk, hold: Hold, event: &KeyboardEvent) {
    let key = event.key();
    let step = untrack(|| arrow(&key, desk.grid(), desk.book.units()));
    let push = |step: Step| match (hold, pushed_by_key(desk, hold, step)) {
        // The new corner has a handle of its own from then on.
        (Hold::Side(_), Some(outline)) => desk.reshape(outline),
        (Hold::Whole | Hold::Corner(_), Some(Ok(outline))) => desk.draft.set(Some(outline)),
        (Hold::Whole | Hold::Corner(_), Some(Err(bad))) => desk.pen.say(capital(&bad.to_string())),
        (_, None) => {}
    };
    match (step, key.as_str()) {
        (Some(step), _) => push(step),
        (None, "Enter") if matches!(hold, Hold::Side(_)) => push(Step::default()),
        (None, "Enter") => desk.keep(),
        (None, "Escape") => desk.draft.set(None),
        (None, "Delete" | "Backspace") => {
            let Hold::Corner(corner) = hold else { return };
            if let Some(outline) = untrack(|| desk.shape()) {
                desk.reshape(outline.without_corner(corner));
            }
        }
        _ => return,
    }
    event.prevent_default();
    // The plan has arrows of its own.
    event.stop_propagation();
}

/// How handles are used, for whoever looks at them the first time.
pub(super) fn handle_help() -> Piece {
    el("p")
        .class("help")
        .child(
            "Drag the cross to move it, a square to move a corner, a dot to put a corner in between. With the keyboard: Tab to \
             one of them, arrows to move it, Delete to take a corner out.",
        )
        .into()
}
