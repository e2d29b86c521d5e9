//! A passphrase, for signing in on a further device when none of one's own is at hand.

use leptos::prelude::*;
use selion_core::quantities::BadInput;

use super::asking::{Sending, SendingTrouble};
use crate::parts::{Form, Heading, SendButton, TextField, use_toasts};
use crate::screens::form::Wrong;
use crate::state::use_book;

/// The shortest passphrase that is taken; the service asks for the same.
const SHORTEST: usize = 10;

/// The form.
#[component]
pub fn Passphrase() -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let known = book
        .account
        .with_untracked(|account| account.person.as_ref()?.sign_in_name.clone());
    let name = RwSignal::new(known.unwrap_or_default());
    let passphrase = RwSignal::new(String::new());
    let wrong = Wrong::new(&["sign-in name", "passphrase"]);
    let sending = Sending::new();
    let send = move |()| {
        wrong.clear();
        let (typed, secret) = (
            name.get_untracked().trim().to_owned(),
            passphrase.get_untracked(),
        );
        if typed.is_empty() {
            wrong.bad(&BadInput::new(
                "sign-in name",
                "a name to sign in with, such as ines",
                "",
            ));
        }
        if secret.chars().count() < SHORTEST {
            // What was typed is not repeated on the screen.
            let came = format!("{} letters", secret.chars().count());
            wrong.bad(&BadInput::new(
                "passphrase",
                format!("at least {SHORTEST} letters; four or five words are good"),
                came,
            ));
        }
        if typed.is_empty() || secret.chars().count() < SHORTEST {
            return;
        }
        let call = async move { book.api().set_passphrase(&typed, &secret).await };
        sending.send(call, move |()| {
            passphrase.set(String::new());
            toasts.say("The passphrase is set.");
        });
    };
    view! {
        <Heading text="Passphrase" />
        <p>"With it you sign in on a further device, also when this one is lost. Without one, a coordinator can invite you again."</p>
        <Form on_send=send>
            <TextField label="Sign-in name" value=name error=wrong.at("sign-in name") autocomplete="username" />
            <TextField
                label="Passphrase" value=passphrase kind="password" error=wrong.at("passphrase") autocomplete="new-password"
            />
            <SendingTrouble of=sending />
            <SendButton words="Set the passphrase" busy=sending.busy />
        </Form>
    }
}
