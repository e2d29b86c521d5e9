//! The drawing desk of the ground: beds and structures moved, shaped, cut and joined by finger, key or typed size.
//!
//! Each step is an edit of its own, so two people may draw at once and what one does shows at the other's; each step can be
//! taken back and done again while the desk is open.

mod handles;
mod panel;

use leptos::prelude::*;
use selion_core::document::undo::inverse;
use selion_core::document::{DocumentName, Edit};
use selion_core::geometry::Outline;
use selion_core::geometry::snap::Grid;
use selion_core::policy::Action;
use selion_core::quantities::{BadInput, Length};

use self::handles::drawn_ground;
use self::panel::{beside, panel};
use crate::parts::{
    ActKind, Filter, act, acts, confirm, empty, filters, heading, note, page_head, plan,
    title_block,
};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, signal_of, watch, when};
use crate::plain::draw::change::follows;
use crate::plain::draw::steps::{Steps, Way};
use crate::plain::draw::{Thing, hold};
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
    /// Its edge while a hand or a key moves it.
    draft: RwSignal<Option<Outline>>,
    /// What a hand holds just now.
    held: RwSignal<Option<hold::Hold>>,
    /// A new edge that others' shares follow, until somebody says yes.
    waiting: RwSignal<Option<Outline>>,
    asking: RwSignal<bool>,
    grid: RwSignal<&'static str>,
    /// Whether rectangles stay rectangles.
    square: RwSignal<bool>,
    steps: RwSignal<Steps>,
    scale: ReadSignal<f64>,
}

impl Desk {
    fn grid(self) -> Option<Grid> {
        let chosen = self.grid.get();
        let choices = Grid::choices(self.book.units());
        GRIDS
            .iter()
            .zip(choices)
            .find(|(key, _)| **key == chosen)
            .map(|(_, grid)| grid)
    }

    /// The edge of what is picked, as it is shown now.
    fn shape(self) -> Option<Outline> {
        let draft = self.draft.get().or_else(|| self.waiting.get());
        draft.or_else(|| self.stands())
    }

    /// The edge of what is picked, as it is written.
    fn stands(self) -> Option<Outline> {
        let garden = self.book.garden.read();
        self.picked.get()?.outline(&garden).cloned()
    }

    fn pick(self, thing: Option<Thing>) {
        self.draft.set(None);
        self.picked.set(thing);
    }

    /// Writes an edit as a step that can be taken back.
    fn write(self, edit: Edit, said: impl Into<String>) -> bool {
        let today = self.book.today.get_untracked();
        let back = inverse(&self.book.garden.read_untracked(), &edit, today);
        let written = self.pen.write(DocumentName::Ground, edit, said);
        if let Some(back) = back.filter(|_| written) {
            self.steps.update(|steps| steps.drawn(back));
        }
        written
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

    /// Gives what is picked a new edge: at once, or after a question where others' shares follow it.
    fn reshape(self, outline: Result<Outline, BadInput>) {
        self.draft.set(None);
        let Some(thing) = self.picked.get_untracked() else {
            return;
        };
        let outline = match outline {
            Ok(outline) => outline,
            Err(bad) => return self.pen.say(capital(&bad.to_string())),
        };
        if untrack(|| self.stands()).as_ref() == Some(&outline) {
            return;
        }
        let units = untrack(|| self.book.units());
        let reaches = follows(&self.book.garden.read_untracked(), thing, &outline, units);
        if reaches.is_some() {
            self.waiting.set(Some(outline));
            self.asking.set(true);
        } else {
            self.write_outline(thing, outline);
        }
    }

    fn write_outline(self, thing: Thing, outline: Outline) {
        let label = thing.label(&self.book.garden.read_untracked());
        self.write(
            thing.with_outline(outline),
            format!("{label} is drawn anew."),
        );
    }

    /// The draft that a key has moved is kept.
    fn keep(self) {
        if let Some(outline) = self.draft.get_untracked() {
            self.reshape(Ok(outline));
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
        grid: signal_of(GRIDS[1]),
        square: signal_of(true),
        steps: signal_of(Steps::default()),
        scale,
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
    let label = "Plan to draw on; the fields beside it do the same";
    pieces![
        steps_and_grid(desk),
        el("div")
            .class("split drawing")
            .child(
                el("div")
                    .child(
                        plan(label, extent, units)
                            .tell_scale(tell_scale)
                            .child(drawn_ground(desk, shape))
                    )
                    .child(title_block(derived(move || facts(desk, shape))))
            )
            .child(
                el("section")
                    .attr("aria-label", "What is drawn on")
                    .child(panel(desk, shape))
            ),
        beside(desk),
        question(desk)
    ]
}

fn steps_and_grid(desk: Desk) -> Piece {
    let button = move |way: Way, words: &'static str| {
        when(
            move || desk.steps.read().has(way),
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
        filters("Grid", choices.get_untracked(), desk.grid)
    ]
}

fn question(desk: Desk) -> Piece {
    let words = derived(move || {
        let garden = desk.book.garden.read();
        let thing = desk.picked.get()?;
        let outline = desk.waiting.get()?;
        follows(&garden, thing, &outline, desk.book.units())
    });
    let yes = move || {
        let waiting = desk.waiting.get_untracked();
        if let Some((thing, outline)) = desk.picked.get_untracked().zip(waiting) {
            desk.write_outline(thing, outline);
        }
    };
    confirm(desk.asking, "Keep the new outline?")
        .follows(words)
        .yes("Keep it", yes)
        .into()
}

/// Area and sides of what is picked, as they follow the hand.
fn facts(desk: Desk, shape: Memo<Option<Outline>>) -> Vec<(String, String)> {
    let units = desk.book.units();
    let Some((thing, outline)) = desk.picked.get().zip(shape.get()) else {
        return Vec::new();
    };
    let mut facts = vec![
        ("Bed".to_owned(), thing.label(&desk.book.garden.read())),
        ("Area".to_owned(), outline.area().show(units)),
    ];
    if matches!(thing, Thing::Structure(_)) {
        facts.remove(0);
        facts.insert(
            0,
            ("What".to_owned(), thing.label(&desk.book.garden.read())),
        );
    }
    match outline.sides() {
        Some((first, second)) => facts.push((
            "Sides".to_owned(),
            format!("{} × {}", first.show(units), second.show(units)),
        )),
        None => facts.push(("Around".to_owned(), outline.perimeter().show(units))),
    }
    facts
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

/// What a key can do with the draft, said while there is one.
fn key_help(desk: Desk) -> Piece {
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
