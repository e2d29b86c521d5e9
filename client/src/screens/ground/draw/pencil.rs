//! Drawing from nothing: a corner for each tap, for each Enter, or for each typed length and direction.

use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use selion_core::document::ids::{BedId, FenceId, StructureId};
use selion_core::geometry::Bounds;

use super::{Desk, backdrop};
use crate::browser::{page, timer};
use crate::parts::{
    ActKind, Hand, act, acts, amount_field, form, heading, send_button, text_field,
};
use crate::piece::{Piece, derived, el, live, memo, pieces, signal_of, svg, when};
use crate::plain::bed_form::length_unit;
use crate::plain::draw::change::length;
use crate::plain::draw::hold::arrow;
use crate::plain::draw::pencil::{Pencil, Put, What, direction};
use crate::plain::drawing;
use crate::plain::wording::capital;
use crate::screens::form::{Wrong, wrong_whole};

/// What the pencil itself is known by on the page.
const PENCIL: &str = "pencil";

/// Takes the pencil for something new. It begins in the middle of what is seen.
pub(super) fn begin(desk: Desk, what: What) {
    let middle = {
        let garden = desk.book.garden.read_untracked();
        crate::plain::ground_rows::extent_bounds(&garden).map(Bounds::centre)
    };
    desk.pick(None);
    let mut pencil = Pencil::new(what, middle.unwrap_or_default());
    pencil.to(pencil.at, &desk.snap(None));
    desk.pencil.set(Some(pencil));
    // The pencil is there once the sheet is drawn anew.
    leptos::task::spawn_local(async {
        timer::sleep(50).await;
        page::focus_in_place(PENCIL);
    });
}

/// A finger or the mouse on the sheet.
pub(super) fn by_hand(desk: Desk, hand: Hand) {
    if desk.pencil.read_untracked().is_none() {
        return;
    }
    let (Hand::Tap(place) | Hand::Over(place)) = hand;
    let snap = desk.snap(None);
    desk.pencil.update(|pencil| {
        if let Some(pencil) = pencil {
            pencil.to(drawing::point_at(place), &snap);
        }
    });
    if matches!(hand, Hand::Tap(_)) {
        put(desk);
    }
}

fn put(desk: Desk) {
    let mut came = None;
    desk.pencil
        .update(|pencil| came = pencil.as_mut().map(Pencil::put));
    match came {
        Some(Ok(Put::Closed)) => keep(desk),
        Some(Err(bad)) => desk.pen.say(capital(&bad.to_string())),
        Some(Ok(Put::On)) | None => {}
    }
}

fn back(desk: Desk) {
    desk.pencil.update(|pencil| {
        if let Some(pencil) = pencil {
            pencil.back();
        }
    });
}

fn keep(desk: Desk) {
    let Some(pencil) = desk.pencil.get_untracked() else {
        return;
    };
    let ids = (
        desk.book.fresh(BedId::fresh),
        desk.book.fresh(FenceId::fresh),
        desk.book.fresh(StructureId::fresh),
    );
    let kept = {
        let garden = desk.book.garden.read_untracked();
        pencil.kept(&garden, &desk.called.read_untracked(), ids)
    };
    match kept {
        Ok((edit, thing)) => {
            if desk.write(edit, format!("The {} is drawn.", pencil.noun())) {
                desk.pencil.set(None);
                desk.called.set(String::new());
                desk.pick(Some(thing));
            }
        }
        Err(bad) => desk.pen.say(capital(&bad.to_string())),
    }
}

fn by_key(desk: Desk, event: &KeyboardEvent) {
    let key = event.key();
    match untrack(|| arrow(&key, desk.grid(), desk.book.units())) {
        Some((east, north)) => desk.pencil.update(|pencil| {
            // With Shift ten steps at once.
            let steps = if event.shift_key() { 10 } else { 1 };
            for _ in 0..steps {
                if let Some(pencil) = pencil {
                    pencil.step(east, north);
                }
            }
        }),
        None => match key.as_str() {
            "Enter" | " " => put(desk),
            "Backspace" | "Delete" => back(desk),
            "Escape" => desk.pencil.set(None),
            _ => return,
        },
    }
    event.prevent_default();
    event.stop_propagation();
}

/// What is drawn so far, and the pencil.
pub(super) fn on_sheet(desk: Desk) -> Piece {
    let drawn = derived(move || {
        let pencil = desk.pencil.read();
        pencil
            .as_ref()
            .map(|pencil| drawing::points_path(&pencil.corners))
            .unwrap_or_default()
    });
    let next = derived(move || {
        let pencil = desk.pencil.read();
        let side = pencil.as_ref().and_then(|pencil| {
            let last = *pencil.corners.last()?;
            Some(drawing::points_path(&[last, pencil.at]))
        });
        side.unwrap_or_default()
    });
    let corners = memo(move || {
        let pencil = desk.pencil.read();
        pencil
            .as_ref()
            .map(|pencil| pencil.corners.clone())
            .unwrap_or_default()
    });
    let dot = |(place, point): (usize, selion_core::geometry::Point)| {
        let (x, y) = drawing::place(point);
        // The first one is larger: a tap on it closes.
        let r = if place == 0 { "9" } else { "4" };
        svg("g")
            .class("handle")
            .attr("transform", format!("translate({x:.0} {y:.0})"))
            .child(svg("circle").class("knob pinned").attr("r", r))
    };
    let at = derived(move || {
        let pencil = desk.pencil.read();
        let (x, y) = pencil
            .as_ref()
            .map(|pencil| drawing::place(pencil.at))
            .unwrap_or_default();
        format!("translate({x:.0} {y:.0})")
    });
    let spoken = derived(move || {
        let units = desk.book.units();
        let pencil = desk.pencil.read();
        let words = pencil.as_ref().map(|pencil| pencil.words(units));
        format!("Pencil: {}", words.unwrap_or_default())
    });
    pieces![
        svg("path").class("drawn").attr("d", drawn),
        svg("path").class("next").attr("d", next),
        live(move || corners
            .get()
            .into_iter()
            .enumerate()
            .map(dot)
            .collect::<Piece>()),
        svg("g")
            .class("handle")
            .id(PENCIL)
            .attr("transform", at)
            .attr("role", "button")
            .attr("tabindex", "0")
            .attr("aria-label", spoken)
            .on_event("keydown", move |event: KeyboardEvent| by_key(desk, &event))
            .child(
                svg("path")
                    .class("knob pinned")
                    .attr("d", "M-14 0H-4M4 0H14M0 -14V-4M0 4V14")
            )
    ]
}

/// The fields beside the plan while something is drawn.
pub(super) fn panel(desk: Desk) -> Piece {
    let marks = desk.pencil.with_untracked(|pencil| {
        let what = pencil.as_ref().map(|pencil| pencil.what);
        what.is_some_and(What::is_picture)
    });
    if marks {
        return backdrop::marks_panel(desk);
    }
    let title = derived(move || {
        let noun = desk.pencil.read().as_ref().map(Pencil::noun);
        format!("Drawing: {}", noun.unwrap_or_default())
    });
    let is_enough = memo(move || desk.pencil.read().as_ref().is_some_and(Pencil::is_enough));
    let has_corner = memo(move || {
        let pencil = desk.pencil.read();
        pencil
            .as_ref()
            .is_some_and(|pencil| !pencil.corners.is_empty())
    });
    let so_far = derived(move || {
        let units = desk.book.units();
        desk.pencil
            .read()
            .as_ref()
            .map(|pencil| pencil.words(units))
    });
    pieces![
        heading(title),
        el("p").child(
            "Tap corner after corner on the plan. A tap on the first one closes it; a fence line may stay open."
        ),
        el("p").class("help").child(
            "With the keyboard: arrows move the pencil by the grid, ten steps with Shift; Enter puts a corner, Backspace takes \
             the last one back, Escape gives it up."
        ),
        el("p")
            .class("visually-hidden")
            .attr("role", "status")
            .child(so_far),
        el("div")
            .class("form")
            .child(text_field("Called", desk.called)),
        side_form(desk),
        acts()
            .child(when(
                move || is_enough.get(),
                move || act("Keep it", move || keep(desk)).kind(ActKind::Main)
            ))
            .child(when(
                move || has_corner.get(),
                move || act("Last corner back", move || back(desk))
            ))
            .child(act("Give it up", move || desk.pencil.set(None)))
    ]
}

/// The next side by length and direction.
fn side_form(desk: Desk) -> Piece {
    let (far, towards) = (signal_of(String::new()), signal_of(String::new()));
    let wrong = Wrong::new(&["length", "direction"]);
    let unit = derived(move || length_unit(desk.book.units()).to_owned());
    let send = move || {
        wrong.clear();
        let units = untrack(|| desk.book.units());
        let north = untrack(|| desk.book.profile()).map_or(0, |profile| profile.north_degrees);
        let far = wrong.take("length", length("length", &far.read_untracked(), units));
        let towards = wrong.take("direction", direction(&towards.read_untracked(), north));
        let Some((far, towards)) = far.zip(towards) else {
            return;
        };
        let mut went = None;
        desk.pencil
            .update(|pencil| went = pencil.as_mut().map(|pencil| pencil.away(far, towards)));
        match went {
            Some(Ok(())) => put(desk),
            Some(Err(bad)) => wrong.bad(&bad),
            None => {}
        }
    };
    form(send)
        .child(
            el("div")
                .class("pair")
                .child(amount_field("Next side", far, unit).error(wrong.at("length")))
                .child(amount_field("Direction", towards, "°").error(wrong.at("direction"))),
        )
        .child(el("p").class("help").child(
            "The direction in degrees clockwise from north, or a point of the compass such as NE.",
        ))
        .child(wrong_whole(wrong))
        .child(send_button("Put this side"))
        .into()
}
