//! The garden's profile: what it is called, what it measures and pays in, its place on the clock, north; and its years.

use leptos::prelude::*;
use selion_core::document::{DocumentName, Edit};
use selion_core::ordered::Map;
use selion_core::policy::Action;
use selion_core::quantities::Units;

use crate::browser::clock;
use crate::parts::{
    Choice, NoteKind, act, acts, form, heading, line, lines, note, select_field, send_button,
    sheet, text_field, use_toasts,
};
use crate::piece::{Piece, derived, el, memo, pieces, signal_of, when};
use crate::plain::profile_form::{ProfileBox, ProfileTyped};
use crate::screens::form::{Wrong, wrong_whole};
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The profile as it stands, and the sheet that changes it.
pub fn garden_profile() -> Piece {
    let book = use_book();
    let changing = signal_of(false);
    let refused = derived(move || book.why_not(Action::KeepGarden, false));
    let lines = move || {
        let profile = book.profile()?;
        let north = match profile.north_degrees {
            0 => "Straight up on the plan".to_owned(),
            degrees => format!("{degrees}° clockwise from up on the plan"),
        };
        Some(pieces![
            el("dt").child("Name"),
            el("dd").child(profile.name.clone()),
            el("dt").child("Units"),
            el("dd").child(units_words(profile.units)),
            el("dt").child("Currency"),
            el("dd").child(profile.currency.code()),
            el("dt").child("Place on the clock"),
            el("dd").child(profile.time_zone.clone()),
            el("dt").child("North"),
            el("dd").child(north)
        ])
    };
    pieces![
        heading("Profile"),
        el("dl").class("facts").child(lines),
        acts().child(act("Change the profile", move || changing.set(true)).refused(refused)),
        years(),
        sheet(changing, "Change the profile", move || profile_form(
            changing
        ))
    ]
}

fn profile_form(changing: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let before = untrack(|| book.profile());
    let typed = before.as_deref().map(ProfileTyped::of).unwrap_or_default();
    let units = signal_of(units_key(typed.units).to_owned());
    let [name, currency, zone, north] =
        [typed.name, typed.currency, typed.time_zone, typed.north].map(signal_of);
    let found = signal_of(Map::<ProfileBox, String>::new());
    let wrong = Wrong::new(&[]);
    let send = move || {
        wrong.clear();
        let Some(now) = untrack(|| book.profile()) else {
            return;
        };
        let typed = ProfileTyped {
            name: name.get_untracked(),
            units: units_of(&units.get_untracked()),
            currency: currency.get_untracked(),
            time_zone: zone.get_untracked(),
            north: north.get_untracked(),
        };
        match typed.changes(&now, |zone| clock::today(zone).is_ok()) {
            Err(bad) => found.set(bad),
            Ok(set) if set.is_empty() => changing.set(false),
            Ok(set) => {
                found.set(Map::new());
                let edit = Edit::ChangeProfile { set };
                if wrong.write(book, DocumentName::Ground, edit) {
                    toasts.say("The profile is changed.");
                    changing.set(false);
                }
            }
        }
    };
    let at = move |of: ProfileBox| derived(move || found.read().get(&of).cloned());
    let choices = [Units::Metric, Units::UsCustomary]
        .map(|units| Choice::new(units_key(units), units_words(units)))
        .to_vec();
    let own_zone = clock::own_zone()
        .map(|zone| format!("This phone is set to {zone}."))
        .unwrap_or_default();
    form(send)
        .child(text_field("Name", name).error(at(ProfileBox::Name)))
        .child(select_field("Units", units, choices))
        .child(
            text_field("Currency", currency)
                .error(at(ProfileBox::Currency))
                .help("Three letters, such as USD or EUR. It stays once there are orders."),
        )
        .child(
            text_field("Place on the clock", zone)
                .error(at(ProfileBox::TimeZone))
                .help(own_zone),
        )
        .child(
            text_field("North, in degrees", north)
                .error(at(ProfileBox::North))
                .help("How far north is turned from up on the plan, clockwise."),
        )
        .child(wrong_whole(wrong))
        .child(send_button("Keep it"))
        .into()
}

// The years that can be written in. Each has its season and its ledger.
fn years() -> Piece {
    let book = use_book();
    let pen = use_pen();
    let open = memo(move || {
        book.profile()
            .map(|profile| profile.open_years())
            .unwrap_or_default()
    });
    let words = derived(move || {
        let years: Vec<String> = open.read().iter().map(ToString::to_string).collect();
        years.join(", ")
    });
    let this_year = move || book.today.get().year();
    let next = move || {
        let this = this_year();
        [this, this.saturating_add(1)]
            .into_iter()
            .find(|year| !open.read().contains(year))
    };
    let refused = derived(move || book.why_not(Action::KeepGarden, false));
    let button = move || {
        next().map(|year| {
            let open = move || {
                pen.write(
                    DocumentName::Ground,
                    Edit::OpenYear { year },
                    format!("{year} is open."),
                );
            };
            acts().child(act(format!("Open {year}"), open).refused(refused))
        })
    };
    pieces![
        heading("Years"),
        lines().child(
            line(words)
                .bed("open")
                .small("Each year has its own tasks, pickings, loads and ledger")
        ),
        when(
            move || !open.read().contains(&this_year()),
            move || note().kind(NoteKind::Mind).child(move || format!(
                "{} is not open yet, so nothing can be written for it.",
                this_year()
            ))
        ),
        button
    ]
}

fn units_words(units: Units) -> &'static str {
    match units {
        Units::Metric => "Metres and kilograms",
        Units::UsCustomary => "Feet and pounds",
    }
}

fn units_key(units: Units) -> &'static str {
    match units {
        Units::Metric => "metric",
        Units::UsCustomary => "us",
    }
}

fn units_of(key: &str) -> Units {
    if key == units_key(Units::UsCustomary) {
        Units::UsCustomary
    } else {
        Units::Metric
    }
}
