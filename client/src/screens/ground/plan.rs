//! The drawing of the ground and the block below it. A touch on a bed opens its sheet.

use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::ordered::Map;

use crate::address::{NavigateOptions, use_navigate};
use crate::parts::{plan, plate, remark, title_block};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, svg};
use crate::plain::fence_drawing::{self, FenceDrawing, GateDrawing};
use crate::plain::ground_drawing::{self, DrawnBed, Room};
use crate::plain::ground_structures::structures;
use crate::plain::plantings::drawn::{self, Drawn};
use crate::plain::viewport::Extent;
use crate::plain::{ground_rows, scale_bar};
use crate::screens::ground::backdrop::UnderPlan;
use crate::screens::ground::marks::{ShadeHour, shade_mark, structure, structure_key};
use crate::screens::looker::Looker;
use crate::screens::plant::sketch::planting_drawn;
use crate::screens::plant::use_shelf;
use crate::state::use_book;

/// Shown until there is ground: ten metres square.
const BARE_GROUND: Extent = Extent {
    left: 0.0,
    top: -10_000.0,
    width: 10_000.0,
    height: 10_000.0,
};

/// The plan with its title block.
pub fn ground_plan(looker: Looker, hour: ShadeHour, under: UnderPlan) -> Piece {
    let book = use_book();
    let (scale, tell_scale) = signal(1.0);
    let extent = memo(move || ground_rows::extent(&book.garden.read()).unwrap_or(BARE_GROUND));
    let label = memo(move || ground_rows::plan_words(&book.garden.read()));
    let units = memo(move || book.units());
    let north = derived(move || {
        let degrees = book.profile().map_or(0, |profile| profile.north_degrees);
        f64::from(i32::try_from(degrees).unwrap_or(0))
    });
    let block = derived(move || {
        let mut entries = ground_rows::block(&book.garden.read(), looker.me(), book.units());
        let ratio = scale_bar::ratio(scale.get());
        entries.extend(ratio.map(|ratio| ("Scale".to_owned(), ratio)));
        entries
    });
    el("div")
        .child(
            plan(label, extent, units)
                .north(north)
                .tell_scale(tell_scale)
                .child(under.on_sheet())
                .child(drawing(looker, hour, scale)),
        )
        .child(title_block(block))
        .child(
            el("p")
                .class("key")
                .child(key_mark(false))
                .child("common bed")
                .child(
                    el("span")
                        .class("screen-only")
                        .child(key_mark(true))
                        .child("yours"),
                )
                .child(rows_mark("1.5 3.5"))
                .child("sown rows")
                .child(rows_mark("6 4"))
                .child("set out")
                .child(green_mark())
                .child("cover crop")
                .child(structure_key()),
        )
        .child(hour.fields())
        .child(under.fields())
        .into()
}

fn drawing(looker: Looker, hour: ShadeHour, scale: ReadSignal<f64>) -> Piece {
    let book = use_book();
    let drawn = memo(move || structures(&book.garden.read(), hour.when()));
    let shades = memo(move || {
        let all = drawn.get().into_iter();
        all.filter_map(|drawn| drawn.shade).collect::<Vec<_>>()
    });
    let fences = memo(move || {
        let garden = book.garden.read();
        let units = book.units();
        ground_rows::open_fences(&garden)
            .map(|fence| fence_drawing::fence(fence, units))
            .collect::<Vec<_>>()
    });
    let beds = memo(move || ground_drawing::beds(&book.garden.read(), looker.me(), book.units()));
    let shelf = use_shelf();
    let standing: Standing = memo(move || {
        let books = shelf.read();
        let Ok(books) = books.as_ref() else {
            return Map::new();
        };
        let mut of_beds: Map<BedId, Vec<Drawn>> = Map::new();
        for one in drawn::standing(&book.garden.read(), books, None) {
            of_beds.entry(one.bed).or_default().push(one);
        }
        of_beds
    });
    pieces![
        move || drawn
            .get()
            .into_iter()
            .map(|drawn| structure(drawn, scale))
            .collect::<Piece>(),
        move || fences.get().into_iter().map(fence).collect::<Piece>(),
        move || beds
            .get()
            .into_iter()
            .map(|bed| one_bed(bed, scale, standing))
            .collect::<Piece>(),
        move || shades.get().into_iter().map(shade_mark).collect::<Piece>()
    ]
}

/// What stands in each bed.
type Standing = Memo<Map<BedId, Vec<Drawn>>>;

fn one_bed(bed: DrawnBed, scale: ReadSignal<f64>, standing: Standing) -> Piece {
    let navigate = use_navigate();
    let room = {
        let bed = bed.clone();
        memo(move || bed.room(scale.get()))
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
    let stands = memo(move || standing.with(|all| all.get(&bed).cloned().unwrap_or_default()));
    // While the ground is looked back at, its beds lead nowhere: their sheets are of today.
    let looks_back = use_book().looks_back;
    let open = move || {
        if !looks_back {
            go_to(navigate, bed);
        }
    };
    let by_key = move |event: KeyboardEvent| {
        if event.key() == "Enter" && !looks_back {
            event.prevent_default();
            go_to(navigate, bed);
        }
    };
    svg("g")
        .class("bed")
        .class_if("mine", mine)
        .class_if("tight", tight)
        .class_if("crowded", crowded)
        .attr("role", if looks_back { "img" } else { "link" })
        .attr("tabindex", (!looks_back).then_some("0"))
        .attr("aria-label", spoken)
        .on("click", open)
        .on_event("keydown", by_key)
        .child(svg("path").class("outline").attr("d", path.clone()))
        .child(common.then(|| {
            svg("path")
                .class("outline")
                .attr("d", path)
                .attr("fill", "url(#hatch-cover)")
        }))
        .child(move || {
            let drawn = stands.get().into_iter();
            drawn
                .map(|one| planting_drawn(one, scale))
                .collect::<Piece>()
        })
        .child(plate(label_at, label))
        .into()
}

fn go_to(navigate: impl Fn(&str, NavigateOptions), bed: BedId) {
    navigate(&format!("/bed/{bed}"), NavigateOptions::default());
}

/// A fence line with its posts and gates.
pub(super) fn fence(fence: FenceDrawing) -> Piece {
    let FenceDrawing { line, posts, gates } = fence;
    let posts = posts
        .into_iter()
        .map(|(x, y)| {
            svg("g")
                .attr("transform", format!("translate({x:.0} {y:.0})"))
                .child(svg("circle").class("post pinned").attr("r", "2.4"))
        })
        .collect::<Piece>();
    let gates = gates
        .into_iter()
        .map(|gate| {
            let GateDrawing {
                swing,
                words_at,
                words,
            } = gate;
            pieces![
                svg("path").class("gate").attr("d", swing),
                remark(words_at, words)
            ]
        })
        .collect::<Piece>();
    pieces![svg("path").class("fence").attr("d", line), posts, gates]
}

// A little bed for the key below the plan.
fn key_mark(mine: bool) -> Piece {
    let class = if mine { "key-mark mine" } else { "key-mark" };
    let hatch = (!mine).then(|| svg("path").attr("d", "M0 9L9 0M4 14L18 0M13 14L22 5"));
    svg("svg")
        .class(class)
        .attr("viewBox", "0 0 22 14")
        .attr("aria-hidden", "true")
        .child(hatch)
        .child(svg("rect").attr("width", "22").attr("height", "14"))
        .into()
}

// Two rows for the key below the plan.
fn rows_mark(dashes: &'static str) -> Piece {
    svg("svg")
        .class("key-mark rows")
        .attr("viewBox", "0 0 22 14")
        .attr("aria-hidden", "true")
        .child(
            svg("path")
                .attr("d", "M0 4H22M0 10H22")
                .attr("stroke-dasharray", dashes),
        )
        .into()
}

// The blades of a cover crop, for the key.
fn green_mark() -> Piece {
    svg("svg")
        .class("key-mark rows")
        .attr("viewBox", "0 0 22 14")
        .attr("aria-hidden", "true")
        .child(svg("path").attr("d", "M1 12L4 3L7 12M9 12L12 3L15 12M16 12L19 3L22 12"))
        .into()
}
