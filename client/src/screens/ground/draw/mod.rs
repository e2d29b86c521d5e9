//! The drawing desk of the ground: beds, structures and fence lines are drawn, moved, shaped, cut and joined by finger, key or
//! typed size.
//!
//! Each step is an edit of its own, so two people may draw at once and what one does shows at the other's; each step can be
//! taken back and done again while the desk is open.

mod backdrop;
mod fence;
mod handles;
mod line_up;
mod panel;
mod pencil;
mod put_down;
mod sheet;
mod structure;

use leptos::prelude::*;
use selion_core::document::undo::inverse;
use selion_core::document::{DocumentName, Edit};
use selion_core::geometry::snap::Grid;
use selion_core::policy::Action;
use selion_core::quantities::{BadInput, Length};

use self::panel::panel;
use self::put_down::put_down;
use self::sheet::sheet;
use super::backdrop::{UnderPlan, use_under_plan};
use super::marks::{ShadeHour, shade_hour, structure_key};
use crate::parts::{
    ActKind, Filter, act, acts, confirm, empty, filters, heading, page_head, plan, title_block,
};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, signal_of, watch, when};
use crate::plain::draw::follows::follows;
use crate::plain::draw::hold::Snap;
use crate::plain::draw::pencil::Pencil;
use crate::plain::draw::shape::Shape;
use crate::plain::draw::steps::{Steps, Way};
use crate::plain::draw::{Thing, facts, hold};
use crate::plain::drawing;
use crate::plain::ground_rows;
use crate::plain::viewport::Extent;
use crate::plain::wording::capital;
use crate::screens::pen::{Pen, use_pen};
use crate::state::{Book, use_book};

/// How near, in pixels, something draws a corner to itself.
const MAGNET: f64 = 9.0;
/// The ground that is seen goes on to the next line of this grid, so that the sheet does not jump with every step.
const ROUND_TO: f64 = 10_000.0;
const NO_GRID: &str = "none";
const GRIDS: [&str; 4] = ["finest", "fine", "middle", "coarse"];

/// What lies on the desk.
#[derive(Clone, Copy)]
struct Desk {
    book: Book,
    pen: Pen,
    /// What is being drawn on.
    picked: RwSignal<Option<Thing>>,
    /// Its shape while a hand or a key moves it.
    draft: RwSignal<Option<Shape>>,
    /// What a hand holds just now.
    held: RwSignal<Option<hold::Hold>>,
    /// A new shape that others' shares follow, until somebody says yes.
    waiting: RwSignal<Option<Shape>>,
    asking: RwSignal<bool>,
    /// What is being drawn from nothing.
    pencil: RwSignal<Option<Pencil>>,
    /// What that is to be called.
    called: RwSignal<String>,
    grid: RwSignal<&'static str>,
    /// Whether rectangles stay rectangles.
    square: RwSignal<bool>,
    steps: RwSignal<Steps>,
    scale: ReadSignal<f64>,
    hour: ShadeHour,
    /// The picture under the plan.
    under: StoredValue<UnderPlan>,
}

impl Desk {
    fn under(self) -> UnderPlan {
        self.under.get_value()
    }

    fn grid(self) -> Option<Grid> {
        let chosen = self.grid.get();
        let choices = Grid::choices(self.book.units());
        GRIDS
            .iter()
            .zip(choices)
            .find(|(key, _)| **key == chosen)
            .map(|(_, grid)| grid)
    }

    /// The shape of what is picked, as it is shown now.
    fn shape(self) -> Option<Shape> {
        let draft = self.draft.get().or_else(|| self.waiting.get());
        draft.or_else(|| self.stands())
    }

    /// The shape of what is picked, as it is written.
    fn stands(self) -> Option<Shape> {
        let garden = self.book.garden.read();
        self.picked.get()?.shape(&garden)
    }

    fn pick(self, thing: Option<Thing>) {
        self.draft.set(None);
        self.picked.set(thing);
    }

    /// Writes an edit as a step that can be taken back.
    fn write(self, edit: Edit, said: impl Into<String>) -> bool {
        self.write_all(vec![edit], said)
    }

    /// Writes several edits as one step that can be taken back.
    fn write_all(self, edits: Vec<Edit>, said: impl Into<String>) -> bool {
        let today = self.book.today.get_untracked();
        let mut back = Vec::new();
        let mut refused = None;
        for edit in edits {
            let this_back = inverse(&self.book.garden.read_untracked(), &edit, today);
            if let Err(why) = self.book.write(DocumentName::Ground, edit) {
                refused = Some(why.message);
                break;
            }
            // What was done last is taken back first.
            back.splice(0..0, this_back.unwrap_or_default());
        }
        if !back.is_empty() {
            self.steps.update(|steps| steps.drawn(back));
        }
        let stands = refused.is_none();
        self.pen.say(refused.unwrap_or_else(|| said.into()));
        stands
    }

    /// What was reckoned is written, or the sentence that says why it cannot be is said.
    fn write_if(self, edit: Result<Edit, BadInput>, said: &str) -> bool {
        match edit {
            Ok(edit) => self.write(edit, said),
            Err(bad) => {
                self.pen.say(capital(&bad.to_string()));
                false
            }
        }
    }

    /// Gives what is picked a new shape: at once, or after a question where others' shares follow it.
    fn reshape(self, shape: Result<Shape, BadInput>) {
        self.draft.set(None);
        let Some(thing) = self.picked.get_untracked() else {
            return;
        };
        let shape = match shape {
            Ok(shape) => shape,
            Err(bad) => return self.pen.say(capital(&bad.to_string())),
        };
        if untrack(|| self.stands()).as_ref() == Some(&shape) {
            return;
        }
        let units = untrack(|| self.book.units());
        let reaches = follows(&self.book.garden.read_untracked(), thing, &shape, units);
        if reaches.is_some() {
            self.waiting.set(Some(shape));
            self.asking.set(true);
        } else {
            self.write_shape(thing, shape);
        }
    }

    fn write_shape(self, thing: Thing, shape: Shape) {
        let (label, edit) = {
            let garden = self.book.garden.read_untracked();
            (thing.label(&garden), thing.with_shape(&garden, shape))
        };
        if let Some(edit) = edit {
            self.write(edit, format!("{label} is drawn anew."));
        }
    }

    /// The draft that a key has moved is kept.
    fn keep(self) {
        if let Some(shape) = self.draft.get_untracked() {
            self.reshape(Ok(shape));
        }
    }

    fn go(self, way: Way) {
        self.draft.set(None);
        let mut edits = None;
        self.steps.update(|steps| edits = steps.take(way));
        let today = self.book.today.get_untracked();
        let mut other_way = Vec::new();
        for edit in edits.unwrap_or_default() {
            let back = inverse(&self.book.garden.read_untracked(), &edit, today);
            if let Err(refused) = self.book.write(DocumentName::Ground, edit) {
                self.pen.say(refused.message);
                break;
            }
            // What was done last is taken back first.
            other_way.splice(0..0, back.unwrap_or_default());
        }
        if !other_way.is_empty() {
            self.steps.update(|steps| steps.taken(way, other_way));
            self.pen.say(match way {
                Way::Back => "Taken back.",
                Way::Again => "Done again.",
            });
        }
    }

    /// A way on the screen as a step on the ground.
    fn step(self, right: f64, down: f64) -> hold::Step {
        let scale = self.scale.get_untracked();
        (
            drawing::length(right * scale),
            drawing::length(-down * scale),
        )
    }

    fn magnet(self) -> Length {
        drawing::length(MAGNET * self.scale.get_untracked())
    }

    /// What a moved corner is drawn to: everything but what is held.
    fn snap(self, held: Option<Thing>) -> Snap {
        untrack(|| {
            let garden = self.book.garden.read();
            Snap::beside(&garden, held, self.grid(), self.magnet())
        })
    }
}

/// The screen at `/ground/draw`.
pub fn draw_screen() -> Piece {
    let book = use_book();
    let may = memo(move || book.may(Action::KeepGround, false));
    pieces![
        page_head("Ground", "Draw").back("/ground", "Ground"),
        when(move || may.get(), desk).otherwise(|| empty("Drawing is the coordinators’ work")
            .child(
                el("p")
                    .child("You can look at the ground, and at every bed with what belongs to it.")
            ))
    ]
}

fn desk() -> Piece {
    let book = use_book();
    let (scale, tell_scale) = signal(1.0);
    let desk = Desk {
        book,
        pen: use_pen(),
        picked: signal_of(None),
        draft: signal_of(None),
        held: signal_of(None),
        waiting: signal_of(None),
        asking: signal_of(false),
        pencil: signal_of(None),
        called: signal_of(String::new()),
        grid: signal_of(GRIDS[1]),
        square: signal_of(true),
        steps: signal_of(Steps::default()),
        scale,
        hour: shade_hour(),
        under: StoredValue::new(use_under_plan()),
    };
    // Whoever goes away from the question keeps the bed as it was.
    watch(move || {
        if !desk.asking.get() {
            desk.waiting.set(None);
        }
    });
    let shape = memo(move || desk.shape());
    let extent = memo(move || rounded(ground_rows::extent(&book.garden.read())));
    let units = memo(move || book.units());
    let is_drawing = memo(move || desk.pencil.read().is_some());
    let label = "Plan to draw on; the fields beside it do the same";
    pieces![
        steps_and_grid(desk),
        el("div")
            .class("split drawing")
            .class_if("drawing-now", move || is_drawing.get())
            .child(
                el("div")
                    .child(
                        plan(label, extent, units)
                            .tell_scale(tell_scale)
                            .hand(move |hand| pencil::by_hand(desk, hand))
                            .child(desk.under().on_sheet())
                            .child(sheet(desk, shape, is_drawing))
                    )
                    .child(title_block(derived(move || figures(desk, shape))))
                    .child(el("p").class("key").child(structure_key()))
                    .child(desk.hour.fields())
            )
            .child(
                el("section").attr("aria-label", "What is drawn on").child(
                    when(move || is_drawing.get(), move || pencil::panel(desk))
                        .otherwise(move || panel(desk, shape))
                )
            ),
        when(
            move || !is_drawing.get(),
            move || pieces![
                put_down(desk),
                line_up::line_up(desk),
                backdrop::backdrop(desk)
            ]
        ),
        question(desk)
    ]
}

fn steps_and_grid(desk: Desk) -> Piece {
    let button = move |way: Way, words: &'static str| {
        when(
            move || desk.steps.read().has(way) && desk.pencil.read().is_none(),
            move || act(words, move || desk.go(way)).kind(ActKind::Bare),
        )
    };
    let choices = derived(move || {
        let mut choices = vec![Filter::new(NO_GRID, "No grid")];
        let units = desk.book.units();
        for (key, grid) in GRIDS.iter().zip(Grid::choices(units)) {
            choices.push(Filter::new(key, grid.step().show(units)));
        }
        choices
    });
    pieces![
        acts()
            .child(button(Way::Back, "Undo"))
            .child(button(Way::Again, "Redo")),
        heading("Drawn to a grid of"),
        filters("Grid", choices, desk.grid)
    ]
}

fn question(desk: Desk) -> Piece {
    let words = derived(move || {
        let garden = desk.book.garden.read();
        let thing = desk.picked.get()?;
        let shape = desk.waiting.get()?;
        follows(&garden, thing, &shape, desk.book.units())
    });
    let yes = move || {
        let waiting = desk.waiting.get_untracked();
        if let Some((thing, shape)) = desk.picked.get_untracked().zip(waiting) {
            desk.write_shape(thing, shape);
        }
    };
    confirm(desk.asking, "Keep the new outline?")
        .follows(words)
        .yes("Keep it", yes)
        .into()
}

/// The figures under the plan, as they follow the hand.
fn figures(desk: Desk, shape: Memo<Option<Shape>>) -> Vec<(String, String)> {
    let units = desk.book.units();
    if let Some(pencil) = &*desk.pencil.read() {
        return pencil.figures(units);
    }
    let in_hand = desk.picked.get().zip(shape.get());
    in_hand
        .map(|(thing, shape)| facts::block(&desk.book.garden.read(), thing, &shape, units))
        .unwrap_or_default()
}

fn rounded(extent: Option<Extent>) -> Extent {
    let Some(Extent {
        left,
        top,
        width,
        height,
    }) = extent
    else {
        return Extent {
            left: 0.0,
            top: -ROUND_TO,
            width: ROUND_TO,
            height: ROUND_TO,
        };
    };
    let low = |edge: f64| (edge / ROUND_TO).floor() * ROUND_TO;
    let high = |edge: f64| (edge / ROUND_TO).ceil() * ROUND_TO;
    let (left_edge, top_edge) = (low(left), low(top));
    Extent {
        left: left_edge,
        top: top_edge,
        width: high(left + width) - left_edge,
        height: high(top + height) - top_edge,
    }
}
