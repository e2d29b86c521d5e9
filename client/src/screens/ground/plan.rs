//! The drawing of the ground and the block below it. A touch on a bed opens its sheet.

use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use leptos_router::hooks::use_navigate;
use selion_core::document::ids::BedId;

use crate::parts::{Plan, Plate, Remark, TitleBlock};
use crate::plain::fence_drawing::{self, FenceDrawing, GateDrawing};
use crate::plain::ground_drawing::{self, DrawnBed, DrawnStructure, Room};
use crate::plain::viewport::Extent;
use crate::plain::{ground_rows, scale_bar};
use crate::screens::looker::Looker;
use crate::state::use_book;

/// Shown until there is ground: ten metres square.
const BARE_GROUND: Extent = Extent {
    left: 0.0,
    top: -10_000.0,
    width: 10_000.0,
    height: 10_000.0,
};

/// The plan with its title block.
#[component]
pub fn GroundPlan(
    /// Who looks.
    looker: Looker,
) -> impl IntoView {
    let book = use_book();
    let (scale, tell_scale) = signal(1.0);
    let extent =
        Memo::new(move |_| ground_rows::extent(&book.garden.read()).unwrap_or(BARE_GROUND));
    let label = Memo::new(move |_| ground_rows::plan_words(&book.garden.read()));
    let units = Memo::new(move |_| book.units());
    let north = Signal::derive(move || {
        let degrees = book.profile().map_or(0, |profile| profile.north_degrees);
        f64::from(i32::try_from(degrees).unwrap_or(0))
    });
    let block = Signal::derive(move || {
        let mut entries = ground_rows::block(&book.garden.read(), looker.me(), book.units());
        let ratio = scale_bar::ratio(scale.get());
        entries.extend(ratio.map(|ratio| ("Scale".to_owned(), ratio)));
        entries
    });
    view! {
        <div>
            <Plan label=label extent=extent units=units north=north tell_scale=tell_scale>
                <Drawing looker=looker scale=scale />
            </Plan>
            <TitleBlock entries=block />
            <p class="key">
                <KeyMark />"common bed"
                <span class="screen-only"><KeyMark mine=true />"yours"</span>
            </p>
        </div>
    }
}

#[component]
fn Drawing(looker: Looker, scale: ReadSignal<f64>) -> impl IntoView {
    let book = use_book();
    let structures = Memo::new(move |_| ground_drawing::structures(&book.garden.read()));
    let fences = Memo::new(move |_| {
        let garden = book.garden.read();
        let units = book.units();
        ground_rows::open_fences(&garden)
            .map(|fence| fence_drawing::fence(fence, units))
            .collect::<Vec<_>>()
    });
    let beds =
        Memo::new(move |_| ground_drawing::beds(&book.garden.read(), looker.me(), book.units()));
    view! {
        {move || structures.get().into_iter().map(|drawn| structure(drawn, scale)).collect_view()}
        {move || fences.get().into_iter().map(fence).collect_view()}
        {move || beds.get().into_iter().map(|bed| view! { <OneBed bed=bed scale=scale /> }).collect_view()}
    }
}

#[component]
fn OneBed(bed: DrawnBed, scale: ReadSignal<f64>) -> impl IntoView {
    let navigate = use_navigate();
    let room = {
        let bed = bed.clone();
        Memo::new(move |_| bed.room(scale.get()))
    };
    let (tight, crowded) = (
        move || room.get() == Room::Tight,
        move || room.get() == Room::Crowded,
    );
    let DrawnBed {
        bed,
        label,
        path,
        label_at,
        mine,
        common,
        spoken,
        ..
    } = bed;
    let open = {
        let navigate = navigate.clone();
        move |_| go_to(&navigate, bed)
    };
    let by_key = move |event: KeyboardEvent| {
        if event.key() == "Enter" {
            event.prevent_default();
            go_to(&navigate, bed);
        }
    };
    view! {
        <g class="bed" class:mine=mine class:tight=tight class:crowded=crowded role="link" tabindex="0" aria-label=spoken on:click=open on:keydown=by_key>
            <path class="outline" d=path.clone() />
            {common.then(|| view! { <path class="outline" d=path fill="url(#hatch-cover)" /> })}
            <Plate at=label_at text=label />
        </g>
    }
}

fn go_to(navigate: &impl Fn(&str, leptos_router::NavigateOptions), bed: BedId) {
    navigate(
        &format!("/bed/{bed}"),
        leptos_router::NavigateOptions::default(),
    );
}

fn structure(structure: DrawnStructure, scale: ReadSignal<f64>) -> impl IntoView {
    let crowded = {
        let structure = structure.clone();
        Memo::new(move |_| structure.is_crowded(scale.get()))
    };
    let DrawnStructure {
        label,
        path,
        label_at,
        ..
    } = structure;
    view! {
        <path class="structure" d=path fill-rule="evenodd" />
        <g class:crowded=crowded><Remark at=label_at text=label /></g>
    }
}

fn fence(fence: FenceDrawing) -> impl IntoView {
    let FenceDrawing { line, posts, gates } = fence;
    let posts = posts
        .into_iter()
        .map(|(x, y)| {
            view! {
                <g transform=format!("translate({x:.0} {y:.0})")>
                    <circle class="post pinned" r="2.4" />
                </g>
            }
        })
        .collect_view();
    let gates = gates
        .into_iter()
        .map(|gate| {
            let GateDrawing {
                swing,
                words_at,
                words,
            } = gate;
            view! {
                <path class="gate" d=swing />
                <Remark at=words_at text=words />
            }
        })
        .collect_view();
    view! { <path class="fence" d=line />{posts}{gates} }
}

// A little bed for the key below the plan.
#[component]
fn KeyMark(#[prop(optional)] mine: bool) -> impl IntoView {
    let class = if mine { "key-mark mine" } else { "key-mark" };
    let hatch = (!mine).then(|| view! { <path d="M0 9L9 0M4 14L18 0M13 14L22 5" /> });
    view! {
        <svg class=class viewBox="0 0 22 14" aria-hidden="true">
            {hatch}
            <rect width="22" height="14" />
        </svg>
    }
}
