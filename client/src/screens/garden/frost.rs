//! The garden's frost dates and latitude, and the sheet that changes them.

use leptos::prelude::*;
use selion_core::document::{DocumentName, Edit};
use selion_core::ordered::Map;
use selion_core::policy::Action;

use crate::parts::{
    act, acts, amount_field, form, heading, send_button, sheet, text_field, use_toasts,
};
use crate::piece::{Piece, derived, el, pieces, signal_of};
use crate::plain::frost_form::{CHANCES, FrostBox, FrostTyped, words};
use crate::screens::form::{Wrong, wrong_whole};
use crate::state::use_book;

/// The dates as they stand.
pub fn frost_dates() -> Piece {
    let book = use_book();
    let changing = signal_of(false);
    let refused = derived(move || book.why_not(Action::KeepGarden, false));
    let lines = move || {
        let profile = book.profile()?;
        let line = |(name, words): (&'static str, String)| {
            pieces![el("dt").child(name), el("dd").child(words)]
        };
        Some(words(&profile).into_iter().map(line).collect::<Piece>())
    };
    pieces![
        heading("Frost and daylight"),
        el("dl").class("facts").child(lines),
        acts().child(act("Change the frost dates", move || changing.set(true)).refused(refused)),
        sheet(changing, "Frost and daylight", move || frost_form(changing))
    ]
}

#[expect(
    clippy::too_many_lines,
    reason = "a form is read from top to bottom; its fields are its lines"
)]
fn frost_form(changing: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let typed = untrack(|| book.profile())
        .as_deref()
        .map(FrostTyped::of)
        .unwrap_or_default();
    let chance = signal_of(typed.chance);
    let spring = typed.spring.map(signal_of);
    let fall = typed.fall.map(signal_of);
    let [station, latitude] = [typed.station, typed.latitude].map(signal_of);
    let found = signal_of(Map::<FrostBox, String>::new());
    let wrong = Wrong::new(&[]);
    let send = move || {
        wrong.clear();
        let Some(now) = untrack(|| book.profile()) else {
            return;
        };
        let typed = FrostTyped {
            chance: chance.get_untracked(),
            spring: spring.map(|date| date.get_untracked()),
            fall: fall.map(|date| date.get_untracked()),
            station: station.get_untracked(),
            latitude: latitude.get_untracked(),
        };
        match typed.changes(&now) {
            Err(bad) => found.set(bad),
            Ok(set) if set.is_empty() => changing.set(false),
            Ok(set) => {
                found.set(Map::new());
                if wrong.write(book, DocumentName::Ground, Edit::ChangeProfile { set }) {
                    toasts.say("The frost dates are changed.");
                    changing.set(false);
                }
            }
        }
    };
    let at = move |of: FrostBox| derived(move || found.read().get(&of).cloned());
    form(send)
        .child(el("p").class("help").child(
            "The dates of the nearest station for 32 °F (0 °C), as a weather service prints them by chance. \
             Write them as 11 May or 05-11. From them follow the first and last days to sow and when frost ends a crop.",
        ))
        .child(dates(
            "Last frost of spring",
            "By the chance of a frost after that day: 10 % is the late, cautious date.",
            spring.into_iter().zip(CHANCES.map(FrostBox::Spring)),
            found,
        ))
        .child(dates(
            "First frost of fall",
            "By the chance of a frost before that day: 10 % is the early, cautious date.",
            fall.into_iter().zip(CHANCES.map(FrostBox::Fall)),
            found,
        ))
        .child(
            amount_field("The garden plans with a chance of", chance, "%")
                .error(at(FrostBox::Chance))
                .help("50 % is the average; with 10 % a frost is in the way in one year of ten."),
        )
        .child(
            text_field("Station, or who says so", station)
                .error(at(FrostBox::Station))
                .help("A cold hollow is a week or two worse than its station: write dates that fit the garden."),
        )
        .child(
            text_field("Latitude", latitude)
                .error(at(FrostBox::Latitude))
                .help("Such as 42.7 N. The water that beds use is worked out from the length of their days."),
        )
        .child(wrong_whole(wrong))
        .child(send_button("Keep it"))
        .into()
}

/// The dates of one end of the season, by their chance.
fn dates(
    legend: &'static str,
    help: &'static str,
    values: impl Iterator<Item = (RwSignal<String>, FrostBox)>,
    found: RwSignal<Map<FrostBox, String>>,
) -> Piece {
    let field = |((value, of), chance): ((RwSignal<String>, FrostBox), u32)| {
        let error = derived(move || found.read().get(&of).cloned());
        text_field(format!("{chance} %"), value).error(error)
    };
    el("fieldset")
        .class("field")
        .child(el("legend").child(legend))
        .child(el("p").class("help").child(help))
        .child(
            el("div")
                .class("triple")
                .child(values.zip(CHANCES).map(field).collect::<Piece>()),
        )
        .into()
}
