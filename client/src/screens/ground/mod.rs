//! The ground: its beds true to scale, and the list that says the same.

pub mod add_bed;
pub mod backdrop;
pub mod draw;
pub mod files;
pub mod marks;
pub mod plan;

use leptos::prelude::*;
use selion_core::exchange::svg;
use selion_core::policy::Action;

use self::add_bed::add_bed_sheet;
use self::backdrop::use_under_plan;
use self::files::ground_files;
use self::marks::{ShadeHour, shade_hour, structure_list};
use self::plan::ground_plan;
use crate::browser::page;
use crate::parts::{
    ActKind, act, act_link, acts, empty, heading, line, lines, page_head, use_toasts,
};
use crate::piece::{Piece, derived, el, memo, pieces, signal_of, when};
use crate::plain::ground_rows::{self, BedRow};
use crate::plain::wording::{capital, day_words};
use crate::screens::fence::fence_lines;
use crate::screens::looker::{Looker, use_looker};
use crate::state::use_book;

/// The scale of the drawing that is saved: a bed of 6 m is 6 cm long on paper.
const ON_PAPER: i64 = 100;

/// The screen at `/ground`.
pub fn ground_screen() -> Piece {
    let book = use_book();
    let adding = signal_of(false);
    let has_ground = memo(move || ground_rows::extent(&book.garden.read()).is_some());
    let label = derived(move || {
        let today = book.today.get();
        // Any other day than today makes the words name the day itself.
        format!("Ground · {}", day_words(today, today.plus_days(-3)))
    });
    let title = derived(move || book.garden_name());
    let looker = use_looker();
    let hour = shade_hour();
    let under = use_under_plan();
    pieces![
        page_head(label, title).child(when(
            move || has_ground.get(),
            move || act("Print", move || looker.print())
                .spoken("Print the bed map")
                .kind(ActKind::Bare)
        )),
        when(
            move || has_ground.get(),
            move || el("div")
                .class("split")
                .child(ground_plan(looker, hour, under))
                .child(bed_list(adding, looker, hour))
        )
        .otherwise(move || no_ground(adding)),
        add_bed_sheet(adding)
    ]
}

fn no_ground(adding: RwSignal<bool>) -> Piece {
    let book = use_book();
    let refused = derived(move || book.why_not(Action::KeepGround, false));
    empty("Nothing is drawn on this ground yet")
        .child(el("p").child(
            "A drawn plan (GeoJSON) or a table of beds (CSV: label, length, \
             width, unit, holder) is brought in where the service runs:",
        ))
        .child(
            el("p").child(
                el("code")
                    .class("secret")
                    .child("selion garden import --help"),
            ),
        )
        .child(el("p").child("Rectangular beds can also be put down here, one beside the other."))
        .child(
            act("Add a bed", move || adding.set(true))
                .kind(ActKind::Main)
                .refused(refused),
        )
        .into()
}

fn bed_list(adding: RwSignal<bool>, looker: Looker, hour: ShadeHour) -> Piece {
    let book = use_book();
    let rows = memo(move || {
        let garden = book.garden.read();
        ground_rows::rows(&garden, looker.me(), book.today.get(), book.units())
    });
    let shown = move || rows.get().into_iter().map(bed_line).collect::<Piece>();
    let refused = derived(move || book.why_not(Action::KeepGround, false));
    let toasts = use_toasts();
    let save = move || match svg::plan(&book.garden.read_untracked(), ON_PAPER) {
        Ok(drawing) => page::note_trouble(page::save_as_file("ground.svg", &drawing)),
        Err(bad) => toasts.say(capital(&bad.to_string())),
    };
    el("section")
        .attr("aria-label", "Beds")
        .child(heading("Beds"))
        .child(lines().child(shown))
        .child(
            acts()
                .child(act_link("/season", "The year of the beds"))
                .child(act_link("/soil", "Soil tests, lime and compost"))
                .child(act_link("/weather", "Weather"))
                .child(act("Save as a drawing", save).spoken("Save as a drawing (SVG), 1 : 100"))
                .child(when(
                    move || refused.read().is_none(),
                    move || {
                        pieces![
                            act_link("/ground/draw", "Draw"),
                            act("Add a bed", move || adding.set(true))
                        ]
                    },
                )),
        )
        .child(fence_lines())
        .child(structure_list(hour))
        .child(ground_files())
        .into()
}

fn bed_line(row: BedRow) -> Piece {
    let BedRow {
        bed,
        label,
        holders,
        grows,
        week,
        area,
        unit,
        mine,
    } = row;
    let grows = (!grows.is_empty()).then(|| format!("Grows {grows}"));
    let small: Vec<String> = grows
        .into_iter()
        .chain((!week.is_empty()).then_some(week))
        .collect();
    line(holders)
        .bed(label)
        .small(small.join(" · "))
        .mine(mine)
        .href(format!("/bed/{bed}"))
        .child(area)
        .child(el("small").child(unit))
        .into()
}
