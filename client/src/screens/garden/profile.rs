//! The garden's profile: what it is called, what it measures and pays in, its place on the clock, north; and its years.

use std::collections::BTreeMap;

use leptos::prelude::*;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;
use selion_core::quantities::Units;

use crate::browser::clock;
use crate::parts::{
    Act, Acts, Choice, Form, Heading, Line, Lines, Note, NoteKind, SelectField, SendButton, Sheet,
    TextField, use_toasts,
};
use crate::plain::profile_form::{ProfileBox, ProfileTyped};
use crate::screens::form::{Wrong, WrongWhole};
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The profile as it stands, and the sheet that changes it.
#[component]
pub fn GardenProfile() -> impl IntoView {
    let book = use_book();
    let changing = RwSignal::new(false);
    let refused = Signal::derive(move || book.why_not(Action::KeepGarden, false));
    let lines = move || {
        let profile = book.profile()?;
        let north = match profile.north_degrees {
            0 => "Straight up on the plan".to_owned(),
            degrees => format!("{degrees}° clockwise from up on the plan"),
        };
        Some(view! {
            <dt>"Name"</dt><dd>{profile.name.clone()}</dd>
            <dt>"Units"</dt><dd>{units_words(profile.units)}</dd>
            <dt>"Currency"</dt><dd>{profile.currency.code()}</dd>
            <dt>"Place on the clock"</dt><dd>{profile.time_zone.clone()}</dd>
            <dt>"North"</dt><dd>{north}</dd>
        })
    };
    view! {
        <Heading text="Profile" />
        <dl class="facts">{lines}</dl>
        <Acts><Act words="Change the profile" on_press=move |()| changing.set(true) refused=refused /></Acts>
        <Years />
        <Sheet open=changing title="Change the profile"><ProfileForm changing=changing /></Sheet>
    }
}

#[component]
fn ProfileForm(changing: RwSignal<bool>) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let before = untrack(|| book.profile());
    let typed = before.as_deref().map(ProfileTyped::of).unwrap_or_default();
    let units = RwSignal::new(units_key(typed.units).to_owned());
    let [name, currency, zone, north] =
        [typed.name, typed.currency, typed.time_zone, typed.north].map(RwSignal::new);
    let found = RwSignal::new(BTreeMap::<ProfileBox, String>::new());
    let wrong = Wrong::new(&[]);
    let send = move |()| {
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
                found.set(BTreeMap::new());
                let edit = Edit::ChangeProfile { set };
                if wrong.write(book, DocumentName::Ground, edit) {
                    toasts.say("The profile is changed.");
                    changing.set(false);
                }
            }
        }
    };
    let at = move |of: ProfileBox| Signal::derive(move || found.read().get(&of).cloned());
    let choices = [Units::Metric, Units::UsCustomary]
        .map(|units| Choice::new(units_key(units), units_words(units)))
        .to_vec();
    let own_zone = clock::own_zone()
        .map(|zone| format!("This phone is set to {zone}."))
        .unwrap_or_default();
    view! {
        <Form on_send=send>
            <TextField label="Name" value=name error=at(ProfileBox::Name) />
            <SelectField label="Units" value=units choices=choices />
            <TextField
                label="Currency" value=currency error=at(ProfileBox::Currency)
                help="Three letters, such as USD or EUR. It stays once there are orders."
            />
            <TextField label="Place on the clock" value=zone error=at(ProfileBox::TimeZone) help=own_zone />
            <TextField
                label="North, in degrees" value=north error=at(ProfileBox::North)
                help="How far north is turned from up on the plan, clockwise."
            />
            <WrongWhole wrong=wrong />
            <SendButton words="Keep it" />
        </Form>
    }
}

// The years that can be written in. Each has its season and its ledger.
#[component]
fn Years() -> impl IntoView {
    let book = use_book();
    let pen = use_pen();
    let open = Memo::new(move |_| {
        book.profile()
            .map(|profile| profile.open_years())
            .unwrap_or_default()
    });
    let words = Signal::derive(move || {
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
    let refused = Signal::derive(move || book.why_not(Action::KeepGarden, false));
    let button = move || {
        next().map(|year| {
            let open = move |()| {
                pen.write(
                    DocumentName::Ground,
                    Edit::OpenYear { year },
                    format!("{year} is open."),
                );
            };
            view! { <Acts><Act words=format!("Open {year}") on_press=open refused=refused /></Acts> }
        })
    };
    view! {
        <Heading text="Years" />
        <Lines>
            <Line bed="open" what=words small="Each year has its own tasks, pickings, loads and ledger" />
        </Lines>
        <Show when=move || !open.read().contains(&this_year())>
            <Note kind=NoteKind::Mind>{move || format!("{} is not open yet, so nothing can be written for it.", this_year())}</Note>
        </Show>
        {button}
    }
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
