//! No garden is known on this phone: what Selion is, and the two ways in.

use leptos::prelude::*;
use leptos_router::NavigateOptions;
use leptos_router::hooks::use_navigate;

use super::form::{Wrong, WrongWhole};
use crate::browser::{Trouble, page};
use crate::parts::{Form, Heading, PageHead, SendButton, TextField};
use crate::plain::typed::secret_in;
use crate::state::use_book;

/// The screen.
#[component]
pub fn StartPage() -> impl IntoView {
    view! {
        <PageHead label="Selion" title="Shared ground" />
        <p>
            "Selion is the field book of a garden that people share: who does what on which bed, who picks when, and what "
            "each one's part of a load is, with the working. It runs on this phone and works where there is no signal."
        </p>
        <Heading text="You were invited" />
        <PasteInvite />
        <Heading text="You have a passphrase" />
        <SignIn />
    }
}

/// A field for an invite link; leads to the page that shows what it is for.
#[component]
pub fn PasteInvite() -> impl IntoView {
    let navigate = use_navigate();
    let pasted = RwSignal::new(String::new());
    let wrong = RwSignal::new(None::<String>);
    let send = StoredValue::new(move || match secret_in(&pasted.read_untracked()) {
        Some(secret) => navigate(&format!("/join#{secret}"), NavigateOptions::default()),
        None => wrong.set(Some(
            "Invite link: expected a link such as https://…/join#…, as it was sent to you."
                .to_owned(),
        )),
    });
    view! {
        <Form on_send=move |()| send.with_value(|send| send())>
            <TextField
                label="Invite link" value=pasted error=wrong kind="url"
                help="Open the link that was sent to you, or scan its code with the camera; or paste it here."
            />
            <SendButton words="Look at the invite" />
        </Form>
    }
}

#[component]
fn SignIn() -> impl IntoView {
    let book = use_book();
    let [name, passphrase] = std::array::from_fn(|_| RwSignal::new(String::new()));
    let device = RwSignal::new(page::kind_of_device().to_owned());
    let busy = RwSignal::new(false);
    let wrong = Wrong::new(&[]);
    let send = move |()| {
        wrong.clear();
        busy.set(true);
        leptos::task::spawn_local(async move {
            let (name, passphrase) = (name.get_untracked(), passphrase.get_untracked());
            let signed_in = book
                .api()
                .sign_in(name.trim(), &passphrase, device.get_untracked().trim())
                .await;
            let gone = signed_in.and_then(|()| page::go_to("/week"));
            if let Err(trouble) = gone {
                wrong.refused(in_plain_words(&trouble));
                busy.set(false);
            }
        });
    };
    view! {
        <Form on_send=send>
            <TextField label="Sign-in name" value=name autocomplete="username" />
            <TextField label="Passphrase" value=passphrase kind="password" autocomplete="current-password" />
            <TextField label="Name of this device" value=device help="So that you know it again in the list of your devices." />
            <WrongWhole wrong=wrong />
            <SendButton words="Sign in" busy=busy />
        </Form>
    }
}

/// What went wrong while joining or signing in, with what to do about it.
pub fn in_plain_words(trouble: &Trouble) -> String {
    if matches!(trouble, Trouble::NoSignal | Trouble::TooLate(_)) {
        "There is no signal to the garden just now. Joining needs it once; try again where there is some.".to_owned()
    } else {
        trouble.to_string()
    }
}
