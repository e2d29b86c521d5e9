//! A passphrase, for signing in on a further device when none of one's own is at hand.

use leptos::prelude::*;
use selion_core::quantities::BadInput;

use super::asking::{Sending, sending_trouble};
use crate::parts::{form, heading, send_button, text_field, use_toasts};
use crate::piece::{Piece, el, pieces, signal_of};
use crate::screens::form::Wrong;
use crate::state::use_book;

/// The shortest passphrase that is taken; the service asks for the same.
const SHORTEST: usize = 10;

/// The form.
pub fn passphrase() -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let known = book
        .account
        .with_untracked(|account| account.person.as_ref()?.sign_in_name.clone());
    let name = signal_of(known.unwrap_or_default());
    let passphrase = signal_of(String::new());
    let wrong = Wrong::new(&["sign-in name", "passphrase"]);
    let sending = Sending::new();
    let send = move || {
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
    pieces![
        heading("Passphrase"),
        el("p").child(
            "With it you sign in on a further device, also when this one is \
             lost. Without one, a coordinator can invite you again."
        ),
        form(send)
            .child(
                text_field("Sign-in name", name)
                    .error(wrong.at("sign-in name"))
                    .autocomplete("username")
            )
            .child(
                text_field("Passphrase", passphrase)
                    .kind("password")
                    .error(wrong.at("passphrase"))
                    .autocomplete("new-password")
            )
            .child(sending_trouble(sending))
            .child(send_button("Set the passphrase").attr("disabled", sending.busy))
    ]
}
