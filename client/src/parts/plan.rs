//! The plan: ground drawn to scale, to be moved and looked at closely by finger, wheel, button and key.

use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use leptos::svg::Svg;
use selion_core::quantities::Units;

use super::plan_marks::{Hatches, NorthMark, ScaleBarMark};
use crate::browser::pointer::{Gesture, Hands};
use crate::browser::{SizeWatch, page};
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

/// A plan. Its children are SVG, drawn in millimetres as [`crate::plain::drawing`] lays them out: x to the east, y down
/// to the south. Shapes take their look from the classes `bed`, `outline`, `row-line`, `fence`, `post` and `structure`;
/// what stands in a bed is shown with `fill` set to one of the hatches. Inside a group of class `pinned` one unit is one
/// pixel, however closely the plan is looked at.
///
/// While all of the ground is seen, one finger scrolls the page as everywhere; looked at more closely, it moves the plan.
/// A list beside the plan must say the same, since a drawing cannot be read out.
#[component]
pub fn Plan(
    /// What is drawn, in a sentence, such as "Plan of the ground: 14 beds, fence on four sides, gate south".
    #[prop(into)]
    label: Signal<String>,
    /// The ground to show.
    #[prop(into)]
    extent: Signal<Extent>,
    /// What the garden measures in.
    #[prop(into)]
    units: Signal<Units>,
    /// How far north is turned from up, with the clock, in degrees.
    #[prop(into, optional)]
    north: Signal<f64>,
    /// Told what a pixel shows, in millimetres, whenever that changes.
    #[prop(optional)]
    tell_scale: Option<WriteSignal<f64>>,
    /// The drawing.
    children: Children,
) -> impl IntoView {
    let viewport = RwSignal::new(Viewport::fit(extent.get_untracked(), FIRST_SCREEN));
    Effect::new(move |_| {
        let ground = extent.get();
        viewport.update(|view| *view = view.over(ground));
    });
    let scale = Memo::new(move |_| viewport.read().mm_per_pixel());
    if let Some(tell_scale) = tell_scale {
        Effect::new(move |_| tell_scale.set(scale.get()));
    }
    let svg = NodeRef::<Svg>::new();
    follow_hands_and_size(svg, viewport);
    let is_near = Memo::new(move |_| viewport.read().is_near());
    view! {
        <div class="plan" class:near=is_near>
            <svg
                class="ground"
                node_ref=svg
                viewBox=move || viewport.read().view_box()
                role="group"
                aria-label=move || label.get()
                aria-roledescription="plan"
                style:--mm-per-pixel=move || format!("{:.3}", scale.get())
                tabindex="0"
                on:keydown=move |event| turn_key(&event, viewport)
            >
                <Hatches scale=scale />
                <path class="grid" d=move || grid(viewport.get(), units.get()) />
                {children()}
            </svg>
            <NorthMark turned=north />
            <div class="legend">
                <ScaleBarMark scale=scale units=units />
                <Zooms viewport=viewport />
            </div>
        </div>
    }
}

#[component]
fn Zooms(viewport: RwSignal<Viewport>) -> impl IntoView {
    let zoom = move |factor| viewport.update(|view| *view = view.zoomed_in_place(factor));
    view! {
        <Show when=move || viewport.read().is_near()>
            <button
                type="button"
                class="act fit"
                aria-label="Show all of the ground"
                on:click=move |_| viewport.update(|view| *view = view.fitted())
            >
                "All"
            </button>
        </Show>
        <button
            type="button"
            class="act"
            aria-label="Farther"
            on:click=move |_| zoom(1.0 / STEP)
        >
            "−"
        </button>
        <button type="button" class="act" aria-label="Closer" on:click=move |_| zoom(STEP)>
            "+"
        </button>
    }
}

// Both watch the element from when it is on the page until the plan goes.
fn follow_hands_and_size(svg: NodeRef<Svg>, viewport: RwSignal<Viewport>) {
    let watching = StoredValue::new_local(None::<(Hands, SizeWatch)>);
    Effect::new(move |_| {
        let Some(element) = svg.get() else { return };
        let hands = Hands::over(&element, move |gesture| {
            viewport.update(|view| {
                *view = match gesture {
                    Gesture::Move { right, down } => view.panned(right, down),
                    Gesture::Magnify { factor, at } => view.zoomed(factor, at),
                };
            });
        });
        let size = SizeWatch::over(&element, move |width, height| {
            // An element that is not shown has no size; the plan then keeps the one it had.
            if width > 0.0 && height > 0.0 {
                viewport.update(|view| *view = view.resized((width, height)));
            }
        });
        match hands.and_then(|hands| Ok((hands, size?))) {
            Ok(both) => watching.set_value(Some(both)),
            Err(trouble) => page::note(&trouble.to_string()),
        }
    });
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
