//! `/join#secret`: looks at an invite first, then uses it when a button is pressed.

use leptos::prelude::*;
use leptos::task::spawn_local;
use leptos_router::hooks::use_location;
use selion_core::quantities::{BadInput, Currency, Units};

use super::form::{Wrong, WrongWhole, some_words};
use super::start::{PasteInvite, in_plain_words};
use crate::browser::{Trouble, clock, page};
use crate::parts::{
    Act, ActKind, ActLink, Acts, Choice, Empty, Form, Note, NoteKind, PageHead, SelectField,
    SendButton, TextField,
};
use crate::plain::wording::capital;
use crate::state::{InviteSeen, NewGarden, use_book};

/// How far the invite has been looked at.
#[derive(Clone, Debug)]
enum Look {
    NoSecret,
    Looking,
    Seen(InviteSeen),
    Trouble(Trouble),
}

/// The screen.
#[component]
pub fn JoinPage() -> impl IntoView {
    let book = use_book();
    let hash = use_location().hash;
    let secret = RwSignal::new(None::<String>);
    let look = RwSignal::new(Look::NoSecret);
    let look_at = move |found: String| {
        secret.set(Some(found.clone()));
        look.set(Look::Looking);
        spawn_local(async move {
            look.set(match book.api().look(&found).await {
                Ok(seen) => Look::Seen(seen),
                Err(trouble) => Look::Trouble(trouble),
            });
        });
    };
    // The secret is taken out of the address at once: it is not to lie in the history or on a screen.
    Effect::new(move |_| {
        let in_address = hash.read().strip_prefix('#').map(ToOwned::to_owned);
        let found = page::fragment()
            .or(in_address)
            .filter(|found| !found.is_empty());
        if let Some(found) = found {
            page::note_trouble(page::clear_fragment());
            look_at(found);
        }
    });
    let again = move |()| {
        if let Some(found) = secret.get_untracked() {
            look_at(found);
        }
    };
    move || match look.get() {
        Look::NoSecret => view! {
            <PageHead label="Selion" title="Join a garden" />
            <PasteInvite />
        }
        .into_any(),
        Look::Looking => view! {
            <PageHead label="Selion" title="Your invite" />
            <p role="status">"Looking at the invite."</p>
        }
        .into_any(),
        Look::Seen(seen) => {
            view! { <Seen seen=seen secret=secret.get_untracked().unwrap_or_default() /> }
                .into_any()
        }
        Look::Trouble(trouble) => view! { <NotGood trouble=trouble again=again /> }.into_any(),
    }
}

#[component]
fn NotGood(trouble: Trouble, #[prop(into)] again: Callback<()>) -> impl IntoView {
    let book = use_book();
    let may_pass = trouble.may_pass();
    let gardens = move || book.account.read().gardens.clone();
    view! {
        <PageHead label="Selion" title="Your invite" />
        <Note kind=NoteKind::Stop>{in_plain_words(&trouble)}</Note>
        <Show
            when=move || may_pass
            fallback=|| view! { <p>"Each link works once, and for seven days."</p> }
        >
            <Acts><Act words="Try again" kind=ActKind::Main on_press=again /></Acts>
        </Show>
        <Show when=move || !gardens().is_empty()>
            <p>{move || format!("This phone is already in {}.", names(&gardens()))}</p>
            <ActLink href="/week" words="To this week" wide=true />
        </Show>
    }
}

fn names(gardens: &[crate::state::GardenEntry]) -> String {
    let names: Vec<&str> = gardens.iter().map(|garden| garden.name.as_str()).collect();
    names.join(", ")
}

#[component]
fn Seen(seen: InviteSeen, secret: String) -> impl IntoView {
    match seen.kind.as_str() {
        "new_garden" => view! { <BeginGarden secret=secret /> }.into_any(),
        "garden" | "device" => view! { <JoinGarden seen=seen secret=secret /> }.into_any(),
        _ => view! {
            <PageHead label="Selion" title="Your invite" />
            <Empty lead="This invite is of a kind that this program does not know">
                <p>"Load the page again to get the newest Selion, then open the link once more."</p>
            </Empty>
        }
        .into_any(),
    }
}

#[component]
fn JoinGarden(seen: InviteSeen, secret: String) -> impl IntoView {
    let book = use_book();
    let device = RwSignal::new(page::kind_of_device().to_owned());
    let busy = RwSignal::new(false);
    let wrong = Wrong::new(&[]);
    let is_device = seen.kind == "device";
    let garden = seen.garden_name.clone().unwrap_or_default();
    let person = seen.member_name.clone().unwrap_or_default();
    let role = seen
        .role
        .map(|role| format!("as a {}", role.word()))
        .unwrap_or_default();
    let (title, sentence) = if is_device {
        let whose = if person.is_empty() {
            "you".to_owned()
        } else {
            person
        };
        (
            "A further device".to_owned(),
            format!("With this link, this device acts for {whose}, in all of their gardens."),
        )
    } else {
        (
            format!("Join {garden}"),
            format!(
                "{garden} has a place for {person}, {role}. With it, this device acts for {person} in that garden."
            ),
        )
    };
    let already = {
        let garden = garden.clone();
        move || {
            book.account
                .read()
                .gardens
                .iter()
                .any(|entry| !garden.is_empty() && entry.name == garden)
        }
    };
    let others = move || names(&book.account.read().gardens);
    let has_others = {
        let already = already.clone();
        move || !others().is_empty() && !already()
    };
    let send = {
        let secret = StoredValue::new(secret);
        move |()| {
            wrong.clear();
            busy.set(true);
            spawn_local(async move {
                let device = device.get_untracked();
                let joined = book.api().join(&secret.get_value(), device.trim()).await;
                if let Err(trouble) = joined.and_then(|()| page::go_to("/week")) {
                    wrong.refused(in_plain_words(&trouble));
                    busy.set(false);
                }
            });
        }
    };
    let words = if is_device {
        "Use this device"
    } else {
        "Join the garden"
    };
    view! {
        <PageHead label="You were invited" title=capital(&title) />
        <p>{sentence}</p>
        <Show when=already.clone()>
            <Note kind=NoteKind::Mind>"This phone is in this garden already. You can go there without using the invite."</Note>
            <ActLink href="/week" words="To this week" wide=true />
        </Show>
        <Show when=has_others>
            <Note>{move || format!("This phone is in {} too; you switch between gardens on the page Garden.", others())}</Note>
        </Show>
        <Form on_send=send>
            <TextField label="Name of this device" value=device help="So that you know it again in the list of your devices." />
            <WrongWhole wrong=wrong />
            <SendButton words=words busy=busy />
        </Form>
    }
}

#[component]
fn BeginGarden(secret: String) -> impl IntoView {
    let book = use_book();
    let [name, your_name, currency] = std::array::from_fn(|_| RwSignal::new(String::new()));
    let units = RwSignal::new("metric".to_owned());
    let zone = RwSignal::new(clock::own_zone().unwrap_or_default());
    let device = RwSignal::new(page::kind_of_device().to_owned());
    let busy = RwSignal::new(false);
    let wrong = Wrong::new(&["garden name", "your name", "currency", "place on the clock"]);
    let read = move || -> Option<NewGarden> {
        let some = |field: RwSignal<String>, called: &'static str| {
            wrong.take(called, some_words(called, &field.get_untracked()))
        };
        let name = some(name, "garden name");
        let your_name = some(your_name, "your name");
        let typed = currency.get_untracked().trim().to_uppercase();
        let currency = wrong.take("currency", Currency::new(&typed));
        let typed = zone.get_untracked().trim().to_owned();
        let zone = clock::today(&typed)
            .map(|_| typed.clone())
            .map_err(|_unknown| {
                BadInput::new(
                    "place on the clock",
                    "a name such as Europe/Lisbon or America/Chicago",
                    &typed,
                )
            });
        let zone = wrong.take("place on the clock", zone);
        Some(NewGarden {
            name: name?,
            units: if units.get_untracked() == "us" {
                Units::UsCustomary
            } else {
                Units::Metric
            },
            currency: currency?,
            time_zone: zone?,
            your_name: your_name?,
        })
    };
    let secret = StoredValue::new(secret);
    let send = move |()| {
        wrong.clear();
        let Some(garden) = read() else { return };
        busy.set(true);
        spawn_local(async move {
            let device = device.get_untracked();
            let begun = book
                .api()
                .begin_garden(&secret.get_value(), &garden, device.trim())
                .await;
            if let Err(trouble) = begun.and_then(|()| page::go_to("/garden")) {
                wrong.refused(in_plain_words(&trouble));
                busy.set(false);
            }
        });
    };
    let choices = vec![
        Choice::new("metric", "Metres and kilograms"),
        Choice::new("us", "Feet and pounds"),
    ];
    view! {
        <PageHead label="Selion" title="Begin a garden" />
        <p>"With this link you begin a garden and are its first coordinator. All of this can be changed later."</p>
        <Form on_send=send>
            <TextField label="Name of the garden" value=name error=wrong.at("garden name") />
            <TextField label="Your name" value=your_name error=wrong.at("your name") autocomplete="name" help="As the others call you." />
            <SelectField label="Units" value=units choices=choices help="What amounts are shown in; either can be typed." />
            <TextField label="Currency" value=currency error=wrong.at("currency") help="Three letters, such as EUR, GBP or USD." />
            <TextField label="Place on the clock" value=zone error=wrong.at("place on the clock") help="As this phone is set; days and weeks go by it." />
            <TextField label="Name of this device" value=device help="So that you know it again in the list of your devices." />
            <WrongWhole wrong=wrong />
            <SendButton words="Begin the garden" busy=busy />
        </Form>
    }
}
