//! The photo or sketch under the plan on the desk: taken in, scaled by two known points, turned, pinned, taken away.

use leptos::ev::Event;
use leptos::prelude::*;
use leptos::task::spawn_local;
use selion_core::document::ids::PictureId;
use selion_core::document::records::Backdrop;
use selion_core::geometry::Point;
use selion_core::quantities::BadInput;

use super::{Desk, pencil};
use crate::browser::picture;
use crate::parts::{ActKind, Filter, act, acts, amount_field, filters, form, heading, send_button};
use crate::piece::{Piece, derived, el, live, memo, pieces, signal_of, watch, when};
use crate::plain::bed_form::length_unit;
use crate::plain::draw::backdrop::{MOST_BYTES, SIDE, laid, pinned, said, scaled};
use crate::plain::draw::change::length;
use crate::plain::draw::pencil::{What, direction};
use crate::plain::ground_rows::extent_bounds;
use crate::plain::wording::capital;
use crate::screens::form::{Wrong, wrong_whole};
use crate::state::pictures;

const STRENGTHS: [(&str, i64, &str); 3] = [
    ("faint", 25, "Faint"),
    ("half", 50, "Half"),
    ("full", 99, "Full"),
];

/// Everything about the picture, folded until it is wanted.
pub(super) fn backdrop(desk: Desk) -> Piece {
    let has_one = memo(move || desk.under().lies.read().is_some());
    el("details")
        .class("more")
        .child(el("summary").child("Photo or sketch under the plan"))
        .child(choose(desk))
        .child(when(move || has_one.get(), move || laid_already(desk)))
        .into()
}

fn choose(desk: Desk) -> Piece {
    let busy = signal_of(false);
    let chosen = move |event: Event| {
        if let Some(file) = picture::chosen(&event) {
            busy.set(true);
            spawn_local(async move {
                if let Err(words) = take_in(desk, &file).await {
                    desk.pen.say(words);
                }
                let _left = busy.try_set(false);
            });
        }
    };
    el("div")
        .class("form")
        .child(
            el("label")
                .class("field")
                .child("Choose a photo or a sketch")
                .child(
                    el("input")
                        .attr("type", "file")
                        .attr("accept", "image/jpeg,image/png,image/webp")
                        .on_event("change", chosen),
                ),
        )
        .child(live(move || {
            busy.get().then(|| el("p").attr("role", "status").child("The picture is made smaller."))
        }))
        .child(el("p").class("help").child(
            "It is made smaller on this phone: 1600 dots on the longer side, 600 KB at most. It is written anew, so where and when \
             it was taken is left behind. Everybody in the garden gets it.",
        ))
        .into()
}

async fn take_in(desk: Desk, file: &wasm_bindgen::JsValue) -> Result<(), String> {
    let shrunk = picture::shrunk(file, SIDE, MOST_BYTES).await;
    let shrunk = shrunk.map_err(|trouble| trouble.to_string())?;
    let garden = desk
        .book
        .current
        .get_untracked()
        .ok_or("No garden is open.")?;
    let id = desk.book.fresh(PictureId::fresh);
    let kept = pictures::keep(garden, id, &shrunk.bytes).await;
    kept.map_err(|trouble| trouble.to_string())?;
    let ground = extent_bounds(&desk.book.garden.read_untracked());
    let backdrop = laid(id, (shrunk.wide, shrunk.high), ground);
    if desk.write(
        said(Some(backdrop)),
        "The picture lies under the plan; scale it by two known points.",
    ) {
        desk.under().took(id);
    }
    Ok(())
}

fn laid_already(desk: Desk) -> Piece {
    let strength = signal_of(STRENGTHS[1].0);
    watch(move || {
        let shows = desk
            .under()
            .lies
            .with(|lies| lies.as_ref().map(|lies| lies.shows));
        let named = STRENGTHS
            .iter()
            .find(|(_, percent, _)| Some(*percent) == shows);
        if let Some((key, ..)) = named {
            strength.set(*key);
        }
    });
    watch(move || {
        let chosen = strength.get();
        let percent = STRENGTHS
            .iter()
            .find(|(key, ..)| *key == chosen)
            .map(|(_, percent, _)| *percent);
        let lies = desk.under().lies.get_untracked();
        if let Some((lies, shows)) = lies
            .zip(percent)
            .filter(|(lies, shows)| lies.shows != *shows)
        {
            desk.write(said(Some(Backdrop { shows, ..lies })), "Written.");
        }
    });
    let choices = STRENGTHS
        .map(|(key, _, words)| Filter::new(key, words))
        .to_vec();
    pieces![
        desk.under().fields(),
        filters("How strongly it shows", choices, strength),
        acts()
            .child(act("Scale by two known points", move || pencil::begin(
                desk,
                What::Known
            )))
            .child(act("Move it", move || pencil::begin(desk, What::Pin)))
            .child(
                act("Take it away", move || {
                    desk.write(said(None), "The picture is taken away.");
                })
                .kind(ActKind::Grave)
            )
    ]
}

/// The two marks, once both are put.
fn marks(desk: Desk) -> Option<[Point; 2]> {
    let pencil = desk.pencil.get()?;
    match pencil.corners.as_slice() {
        [first, second, ..] => Some([*first, *second]),
        _ => None,
    }
}

/// The fields while marks are put on the picture.
pub(super) fn marks_panel(desk: Desk) -> Piece {
    let is_pin = memo(move || {
        desk.pencil
            .with(|pencil| pencil.as_ref().is_some_and(|it| it.what == What::Pin))
    });
    let both = memo(move || marks(desk).is_some());
    // A picture is pinned as soon as it is said where to.
    watch(move || {
        if let (true, Some(marks), Some(lies)) =
            (is_pin.get(), marks(desk), desk.under().lies.get_untracked())
        {
            lay(desk, pinned(&lies, marks));
        }
    });
    pieces![
        heading("The picture under the plan"),
        live(move || el("p").child(if is_pin.get() {
            "Tap a spot of the picture, then the place where it belongs."
        } else {
            "Tap two spots of the picture that you know the distance between, such as two corners of the shed."
        })),
        el("p").class("help").child(
            "With the keyboard: arrows move the mark by the grid, ten steps with Shift; Enter puts it, Escape gives up."
        ),
        when(move || both.get() && !is_pin.get(), move || scale_form(desk)),
        acts().child(act("Give it up", move || desk.pencil.set(None)))
    ]
}

fn scale_form(desk: Desk) -> Piece {
    let (apart, towards) = (signal_of(String::new()), signal_of(String::new()));
    let wrong = Wrong::new(&["distance", "direction"]);
    let unit = derived(move || length_unit(desk.book.units()).to_owned());
    let send = move || {
        wrong.clear();
        let (units, north) = untrack(|| {
            let profile = desk.book.profile();
            (
                desk.book.units(),
                profile.map_or(0, |profile| profile.north_degrees),
            )
        });
        let far = wrong.take(
            "distance",
            length("distance", &apart.read_untracked(), units),
        );
        let typed = towards.get_untracked();
        let towards = if typed.trim().is_empty() {
            Some(None)
        } else {
            wrong.take("direction", direction(&typed, north)).map(Some)
        };
        let lies = desk.under().lies.get_untracked();
        let Some((((far, towards), marks), lies)) =
            far.zip(towards).zip(untrack(|| marks(desk))).zip(lies)
        else {
            return;
        };
        match scaled(&lies, marks, far, towards) {
            Ok(laid) => lay(desk, Ok(laid)),
            Err(bad) => wrong.bad(&bad),
        }
    };
    form(send)
        .child(
            el("div")
                .class("pair")
                .child(amount_field("They are apart", apart, unit).error(wrong.at("distance")))
                .child(
                    amount_field("Direction", towards, "°").error(wrong.at("direction")),
                ),
        )
        .child(el("p").class("help").child(
            "The direction from the first to the second, clockwise from north, turns the picture; it may be left empty.",
        ))
        .child(wrong_whole(wrong))
        .child(send_button("Scale it"))
        .into()
}

fn lay(desk: Desk, laid: Result<Backdrop, BadInput>) {
    match laid {
        Ok(laid) => {
            if desk.write(said(Some(laid)), "The picture is laid anew.") {
                desk.pencil.set(None);
            }
        }
        Err(bad) => desk.pen.say(capital(&bad.to_string())),
    }
}
