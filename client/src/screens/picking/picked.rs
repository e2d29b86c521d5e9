//! What was picked this week, with a way to strike a mistake out, and the totals.

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::ids::PickingId;
use selion_core::document::records::{Picked as Became, Picking};
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;
use selion_core::quantities::{Mass, Units, Week};

use crate::parts::{
    ActKind, FigureRow, TagKind, act, confirm, empty, figures, heading, line, lines, tag,
    use_toasts,
};
use crate::piece::{Memo, Piece, derived, each, el, memo, pieces, row, signal_of, when};
use crate::plain::pickings::{CropTotal, picked_in, totals};
use crate::plain::wording::{capital, day_words};
use crate::state::{Book, use_book};

/// The pickings of a week.
pub fn picked(week: Memo<Week>) -> Piece {
    let book = use_book();
    let pickings = memo(move || {
        let garden = book.garden.read();
        picked_in(&garden, week.get())
            .into_iter()
            .map(|(id, picking)| (id, Arc::clone(picking)))
            .collect::<Vec<_>>()
    });
    let striking = signal_of(None::<PickingId>);
    let asking = signal_of(false);
    let strike = move |picking| {
        striking.set(Some(picking));
        asking.set(true);
    };
    pieces![
        el("div")
            .class("split")
            .child(
                el("div").child(heading("Picked this week")).child(
                    when(
                        move || !pickings.read().is_empty(),
                        move || lines().child(each(
                            move || pickings.get(),
                            move |(id, picking)| row(id, move || picked_row(id, picking, strike))
                        ))
                    )
                    .otherwise(|| empty("Nothing was written down this week")
                        .child(el("p").child("Weight by weight the season adds up here.")))
                )
            )
            .child(el("div").child(totals_of(week))),
        strike_out(striking, asking)
    ]
}

fn picked_row(
    id: PickingId,
    picking: Arc<Picking>,
    strike: impl Fn(PickingId) + Copy + 'static,
) -> Piece {
    let book = use_book();
    let bed = {
        let bed = picking.bed;
        derived(move || book.garden.read().label_of(Some(bed)).to_owned())
    };
    let member = picking.member;
    let mass = picking.mass;
    let crop = picking.crop.clone();
    let may_strike = move || book.may(Action::StrikePicking, book.is_me(member));
    let small = derived(move || small(book, &picking));
    let weight = move || mass.show(book.units());
    let spoken = format!("Strike out {crop}, {}", mass.show(untrack(|| book.units())));
    line(crop)
        .bed(bed)
        .small(small)
        .mine(move || book.is_me(member))
        .child(weight)
        .child(when(
            move || book.waits(&id),
            move || tag("waiting", TagKind::Wait),
        ))
        .child(when(may_strike, move || {
            act("Strike out", move || strike(id))
                .spoken(spoken.clone())
                .kind(ActKind::Bare)
        }))
        .into()
}

fn small(book: Book, picking: &Picking) -> String {
    let who = if book.is_me(picking.member) {
        "you".to_owned()
    } else {
        book.garden.read().name_of(picking.member).to_owned()
    };
    let became = match picking.picked {
        Became::Kept => "kept",
        Became::GivenAway => "given away",
    };
    let day = capital(&day_words(picking.day, book.today.get()));
    let word = picking.word.trim();
    let parts = [day.as_str(), who.as_str(), became, word];
    parts
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(" · ")
}

fn totals_of(week: Memo<Week>) -> Piece {
    let book = use_book();
    let both = memo(move || totals(&book.garden.read(), week.get()));
    let crop_row = |units: Units, total: &CropTotal| {
        let shown = |mass: Mass| mass.show_apart(units).number;
        FigureRow {
            cells: vec![
                total.crop.clone(),
                shown(total.week),
                shown(total.given_away),
                shown(total.season),
            ],
            mine: false,
        }
    };
    let rows = derived(move || {
        let units = book.units();
        both.with(|(crops, _)| {
            crops
                .iter()
                .map(|total| crop_row(units, total))
                .collect::<Vec<_>>()
        })
    });
    let whole = derived(move || both.with(|(_, whole)| vec![crop_row(book.units(), whole)]));
    let caption = derived(move || {
        let unit = Mass::ZERO.show_apart(book.units()).unit;
        format!("In {unit}")
    });
    let heads = derived(move || {
        vec![
            "Crop".to_owned(),
            "Week".to_owned(),
            "given away".to_owned(),
            "Season".to_owned(),
        ]
    });
    when(
        move || !rows.read().is_empty(),
        move || {
            pieces![
                heading("Totals"),
                figures(caption, heads, rows).whole(whole)
            ]
        },
    )
    .into()
}

fn strike_out(striking: RwSignal<Option<PickingId>>, open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let found = move || {
        let id = striking.get()?;
        let garden = book.garden.read();
        let mut seasons = garden.seasons.iter();
        seasons.find_map(|(year, season)| {
            season
                .pickings
                .get(&id)
                .map(|picking| (id, *year, Arc::clone(picking)))
        })
    };
    let follows = derived(move || {
        found().map_or_else(String::new, |(_, _, picking)| {
            format!(
                "{} of {} does not count any more. The line stays in the garden's memory.",
                picking.mass.show(book.units()),
                picking.crop
            )
        })
    });
    let strike = move || {
        let Some((picking, year, _)) = untrack(found) else {
            return;
        };
        let on = book.today.get_untracked();
        if let Err(refused) = book.write(
            DocumentName::Season(year),
            Edit::StrikePicking { picking, on },
        ) {
            toasts.say(refused.message);
        }
    };
    confirm(open, "Strike this picking out?")
        .follows(follows)
        .yes("Strike it out", strike)
        .grave()
        .into()
}
