//! What is in hand can be taken hold of: its corners, its sides, its gates and the whole of it.

use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use leptos::tachys::renderer::types::Element;
use selion_core::quantities::BadInput;

use super::Desk;
use crate::browser::grip::{Grasp, Grip};
use crate::browser::page;
use crate::parts::{ActKind, act, acts, note};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, svg, when};
use crate::plain::draw::hold::{Hold, Snap, Step, arrow};
use crate::plain::draw::shape::Shape;
use crate::plain::drawing;
use crate::plain::wording::capital;

/// More corners than this are not to be told apart by a finger: a circle is moved and typed, not dragged at its 48.
const MOST_HANDLES: usize = 24;

pub(super) fn handles(desk: Desk, shape: Memo<Option<Shape>>) -> Piece {
    // Those of the shape as it is written, so that the hand that pulls a new corner out of a side is not left with nothing.
    let counts = memo(move || {
        let count = |shape: Shape| (shape.corners().len(), shape.sides(), shape.gates().len());
        desk.stands().map(count).unwrap_or_default()
    });
    live(move || {
        let (corners, sides, gates) = counts.get();
        let (corners, sides) = if corners <= MOST_HANDLES {
            (corners, sides)
        } else {
            (0, 0)
        };
        // What lies on top is what a finger gets where they are close: corners before the whole, the whole before sides.
        let mut holds: Vec<Hold> = (0..sides).map(Hold::Side).collect();
        holds.push(Hold::Whole);
        holds.extend((0..gates).map(Hold::Gate));
        holds.extend((0..corners).map(Hold::Corner));
        let one = |hold| handle(desk, shape, hold);
        holds.into_iter().map(one).collect::<Piece>()
    })
}

/// Where a handle stands. While a new corner is pulled out of a side, all after it are counted one further.
fn place(shape: &Shape, hold: Hold, held: Option<Hold>) -> (f64, f64) {
    let pulled = match held {
        Some(Hold::Side(corner)) => Some(corner),
        Some(Hold::Whole | Hold::Corner(_) | Hold::Gate(_)) | None => None,
    };
    let counted =
        |corner: usize| corner + usize::from(pulled.is_some_and(|pulled| corner > pulled));
    let corner_at = |corner: usize| shape.corners().get(corner).copied().unwrap_or_default();
    drawing::place(match hold {
        Hold::Whole => shape.whole_at(),
        Hold::Gate(gate) => shape.gate_at(gate),
        Hold::Corner(corner) => corner_at(counted(corner)),
        Hold::Side(corner) if pulled == Some(corner) => corner_at(corner + 1),
        Hold::Side(corner) => shape.middle(counted(corner)),
    })
}

fn spoken(hold: Hold) -> String {
    match hold {
        Hold::Whole => "The whole, to be moved".to_owned(),
        Hold::Corner(corner) => format!("Corner {}", corner + 1),
        Hold::Side(corner) => format!("New corner after corner {}", corner + 1),
        Hold::Gate(gate) => format!("Gate {}, to be slid along", gate + 1),
    }
}

fn handle(desk: Desk, shape: Memo<Option<Shape>>, hold: Hold) -> Piece {
    let at = derived(move || {
        let (x, y) = shape.with(|shape| {
            let held = desk.held.get();
            let place = shape.as_ref().map(|shape| place(shape, hold, held));
            place.unwrap_or_default()
        });
        format!("translate({x:.0} {y:.0})")
    });
    let path = |d: &'static str| svg("path").attr("d", d);
    let knob = match hold {
        Hold::Whole => path(
            "M-9 0H9M0 -9V9M-9 0l4 -3M-9 0l4 3M9 0l-4 -3M9 0l-4 3M0 -9l-3 4M0 -9l3 4M0 9l-3 -4M0 9l3 -4",
        ),
        Hold::Corner(_) => path("M-7 -7H7V7H-7Z"),
        Hold::Side(_) => svg("circle").attr("r", "4"),
        Hold::Gate(_) => path("M0 -9L9 0L0 9L-9 0Z"),
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
            if let Some(Ok(shape)) = pulled_by_hand(desk, hold, desk.step(right, down)) {
                desk.held.set(Some(hold));
                desk.draft.set(Some(shape));
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

/// The shape so far, from where it is written.
fn pulled_by_hand(desk: Desk, hold: Hold, step: Step) -> Option<Result<Shape, BadInput>> {
    let from = untrack(|| desk.stands())?;
    let snap = desk.snap(desk.picked.get_untracked());
    Some(from.moved(hold, step, &snap, desk.square.get_untracked()))
}

/// The shape after a further press of an arrow, from where it is shown. Keys go by the grid's step and are drawn to nothing; a
/// gate goes forwards by right and up, back by left and down.
fn pushed_by_key(desk: Desk, hold: Hold, step: Step) -> Option<Result<Shape, BadInput>> {
    let shape = untrack(|| desk.shape())?;
    if let Hold::Gate(gate) = hold {
        let by = [step.0, step.1].into_iter().sum();
        return Some(shape.slid(gate, by));
    }
    Some(shape.moved(hold, step, &Snap::default(), desk.square.get_untracked()))
}

fn by_key(desk: Desk, hold: Hold, event: &KeyboardEvent) {
    let key = event.key();
    let step = untrack(|| arrow(&key, desk.grid(), desk.book.units()));
    let push = |step: Step| match (hold, pushed_by_key(desk, hold, step)) {
        // The new corner has a handle of its own from then on.
        (Hold::Side(_), Some(shape)) => desk.reshape(shape),
        (_, Some(Ok(shape))) => desk.draft.set(Some(shape)),
        (_, Some(Err(bad))) => desk.pen.say(capital(&bad.to_string())),
        (_, None) => {}
    };
    match (step, key.as_str()) {
        (Some(step), _) => push(step),
        (None, "Enter") if matches!(hold, Hold::Side(_)) => push(Step::default()),
        (None, "Enter") => desk.keep(),
        (None, "Escape") => desk.draft.set(None),
        (None, "Delete" | "Backspace") => {
            let Hold::Corner(corner) = hold else { return };
            if let Some(shape) = untrack(|| desk.shape()) {
                desk.reshape(shape.without_corner(corner));
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
            "Drag the cross to move it, a square to move a corner, a dot to put a corner in between, a diamond to slide a gate. \
             With the keyboard: Tab to one of them, arrows to move it, Delete to take a corner out.",
        )
        .into()
}

/// What a key can do with the draft, said while there is one.
pub(super) fn key_help(desk: Desk) -> Piece {
    when(
        move || desk.draft.read().is_some(),
        move || {
            pieces![
                note().child("Enter keeps the new place, Escape puts it back."),
                acts()
                    .child(act("Keep it", move || desk.keep()).kind(ActKind::Main))
                    .child(act("Put it back", move || desk.draft.set(None)))
            ]
        },
    )
    .into()
}
