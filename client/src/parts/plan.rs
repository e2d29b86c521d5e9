//! The plan: ground drawn to scale, to be moved and looked at closely by finger, wheel, button and key.

use std::rc::Rc;

use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use leptos::tachys::renderer::types::Element;
use selion_core::quantities::Units;

use super::plan_marks::{hatches, north_mark, scale_bar_mark};
use crate::browser::pointer::{Gesture, Hands, hovering};
use crate::browser::{SizeWatch, page};
use crate::piece::{Given, Piece, Words, el, memo, pieces, signal_of, svg, watch, when};
use crate::plain::viewport::{Extent, Viewport};
use crate::plain::{drawing, scale_bar};

/// What one step of a button or key magnifies by.
const STEP: f64 = 1.5;
/// What one press of an arrow key moves by, in pixels.
const NUDGE: f64 = 60.0;
/// The least width of a grid square, in pixels.
const LEAST_SQUARE: f64 = 22.0;
/// A screen to begin with, until the real one has been measured.
const FIRST_SCREEN: (f64, f64) = (390.0, 468.0);

/// A plan. What stands in it is SVG, drawn in millimetres as [`crate::plain::drawing`] lays them out: x to the east, y down
/// to the south. Shapes take their look from the classes `bed`, `outline`, `row-line`, `fence`, `post` and `structure`;
/// what stands in a bed is shown with `fill` set to one of the hatches. Inside a group of class `pinned` one unit is one
/// pixel, however closely the plan is looked at.
///
/// While all of the ground is seen, one finger scrolls the page as everywhere; looked at more closely, it moves the plan.
/// A list beside the plan must say the same, since a drawing cannot be read out.
#[must_use = "a part is on the page only once it stands in another"]
#[derive(Debug)]
pub struct Plan {
    label: Words,
    extent: Given<Extent>,
    units: Given<Units>,
    north: Given<f64>,
    tell_scale: Option<WriteSignal<f64>>,
    hand: Option<OnSheet>,
    drawing: Vec<Piece>,
}

/// What a hand does on the sheet itself, beside moving it. Places are in millimetres on the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hand {
    /// It touches it and leaves again.
    Tap((f64, f64)),
    /// A mouse is over it.
    Over((f64, f64)),
}

/// What hears of it.
#[derive(Clone)]
struct OnSheet(Rc<dyn Fn(Hand)>);

impl std::fmt::Debug for OnSheet {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("OnSheet")
    }
}

/// A plan: what is drawn, in a sentence, such as "Plan of the ground: 14 beds, fence on four sides, gate south"; the
/// ground to show; what the garden measures in.
pub fn plan(
    label: impl Into<Words>,
    extent: impl Into<Given<Extent>>,
    units: impl Into<Given<Units>>,
) -> Plan {
    Plan {
        label: label.into(),
        extent: extent.into(),
        units: units.into(),
        north: Given::Fixed(0.0),
        tell_scale: None,
        hand: None,
        drawing: Vec::new(),
    }
}

impl Plan {
    /// How far north is turned from up, with the clock, in degrees.
    #[inline(never)]
    pub fn north(self, degrees: impl Into<Given<f64>>) -> Self {
        Self {
            north: degrees.into(),
            ..self
        }
    }

    /// Told what a pixel shows, in millimetres, whenever that changes.
    #[inline(never)]
    pub fn tell_scale(self, tell: WriteSignal<f64>) -> Self {
        Self {
            tell_scale: Some(tell),
            ..self
        }
    }

    /// Told what a hand does on the sheet itself.
    #[inline(never)]
    pub fn hand(self, tell: impl Fn(Hand) + 'static) -> Self {
        Self {
            hand: Some(OnSheet(Rc::new(tell))),
            ..self
        }
    }

    /// The drawing.
    #[inline(never)]
    pub fn child(mut self, drawing: impl Into<Piece>) -> Self {
        self.drawing.push(drawing.into());
        self
    }
}

impl From<Plan> for Piece {
    fn from(plan: Plan) -> Self {
        let Plan {
            label,
            extent,
            units,
            north,
            tell_scale,
            hand,
            drawing,
        } = plan;
        let first = untrack(|| extent.get());
        let viewport = signal_of(Viewport::fit(first, FIRST_SCREEN));
        watch(move || {
            let ground = extent.get();
            viewport.update(|view| *view = view.over(ground));
        });
        let scale = memo(move || viewport.read().mm_per_pixel());
        if let Some(tell_scale) = tell_scale {
            watch(move || tell_scale.set(scale.get()));
        }
        let grid_units = units.clone();
        let ground = svg("svg")
            .class("ground")
            .once_there(move |element| follow_hands_and_size(element, viewport, hand))
            .attr("viewBox", move || viewport.read().view_box())
            .attr("role", "group")
            .attr("aria-label", label)
            .attr("aria-roledescription", "plan")
            .style("--mm-per-pixel", move || format!("{:.3}", scale.get()))
            .attr("tabindex", "0")
            .on_event("keydown", move |event: KeyboardEvent| {
                turn_key(&event, viewport);
            })
            .child(hatches(scale))
            .child(
                svg("path")
                    .class("grid")
                    .attr("d", move || grid(viewport.get(), grid_units.get())),
            )
            .child(drawing);
        let legend = el("div")
            .class("legend")
            .child(scale_bar_mark(scale, units))
            .child(zooms(viewport));
        el("div")
            .class("plan")
            .class_if("near", move || viewport.read().is_near())
            .child(ground)
            .child(north_mark(north))
            .child(legend)
            .into()
    }
}

fn zooms(viewport: RwSignal<Viewport>) -> Piece {
    let zoom = move |factor| move || viewport.update(|view| *view = view.zoomed_in_place(factor));
    let button = |words: &'static str, spoken: &'static str| {
        el("button")
            .attr("type", "button")
            .attr("aria-label", spoken)
            .child(words)
    };
    pieces![
        when(
            move || viewport.read().is_near(),
            move || {
                button("All", "Show all of the ground")
                    .class("act fit")
                    .on("click", move || {
                        viewport.update(|view| *view = view.fitted());
                    })
            },
        ),
        button("−", "Farther")
            .class("act")
            .on("click", zoom(1.0 / STEP)),
        button("+", "Closer").class("act").on("click", zoom(STEP)),
    ]
}

// Both watch the element from when it is made until the plan goes.
fn follow_hands_and_size(element: &Element, viewport: RwSignal<Viewport>, hand: Option<OnSheet>) {
    if let Some(OnSheet(hand)) = hand.clone() {
        let over = hovering(element, move |at| {
            hand(Hand::Over(viewport.read_untracked().ground_at(at)));
        });
        match over {
            Ok(over) => {
                StoredValue::new_local(over);
            }
            Err(trouble) => page::note(&trouble.to_string()),
        }
    }
    let hands = Hands::over(element, move |gesture| match gesture {
        Gesture::Move { right, down } => {
            viewport.update(|view| *view = view.panned(right, down));
        }
        Gesture::Magnify { factor, at } => {
            viewport.update(|view| *view = view.zoomed(factor, at));
        }
        Gesture::Tap { at } => {
            if let Some(OnSheet(hand)) = &hand {
                hand(Hand::Tap(viewport.read_untracked().ground_at(at)));
            }
        }
    });
    let size = SizeWatch::over(element, move |width, height| {
        // An element that is not shown has no size; the plan then keeps the one it had.
        if width > 0.0 && height > 0.0 {
            viewport.update(|view| *view = view.resized((width, height)));
        }
    });
    match hands.and_then(|hands| Ok((hands, size?))) {
        Ok(both) => {
            StoredValue::new_local(both);
        }
        Err(trouble) => page::note(&trouble.to_string()),
    }
}

fn turn_key(event: &KeyboardEvent, viewport: RwSignal<Viewport>) {
    let view = viewport.get_untracked();
    let turned = match event.key().as_str() {
        "ArrowLeft" => view.panned(NUDGE, 0.0),
        "ArrowRight" => view.panned(-NUDGE, 0.0),
        "ArrowUp" => view.panned(0.0, NUDGE),
        "ArrowDown" => view.panned(0.0, -NUDGE),
        "+" | "=" => view.zoomed_in_place(STEP),
        "-" => view.zoomed_in_place(1.0 / STEP),
        "0" | "Home" => view.fitted(),
        _ => return,
    };
    // A key that changes nothing is left to the page, so that the arrows still scroll it.
    if turned != view {
        event.prevent_default();
        viewport.set(turned);
    }
}

fn grid(view: Viewport, units: Units) -> String {
    let step = scale_bar::grid_step(view.mm_per_pixel(), LEAST_SQUARE, units);
    drawing::grid_path(view.seen(), step)
}
