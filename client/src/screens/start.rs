//! No garden is known on this phone: what Selion is, and the two ways in.

use leptos::prelude::*;

use super::form::{Wrong, wrong_whole};
use crate::address::{NavigateOptions, use_navigate};
use crate::browser::{Trouble, page};
use crate::parts::{form, heading, page_head, send_button, text_field};
use crate::piece::{Piece, el, pieces, signal_of};
use crate::plain::typed::secret_in;
use crate::state::use_book;

/// The screen.
pub fn start_page() -> Piece {
    pieces![
        page_head("Selion", "Shared ground"),
        el("p")
            .child(
                "Selion is the field book of a garden that people share: who does \
                 what on which bed, who picks when, and what "
            )
            .child(
                "each one's part of a load is, with the working. It runs on this \
                 phone and works where there is no signal."
            ),
        heading("You were invited"),
        paste_invite(),
        heading("You have a passphrase"),
        sign_in()
    ]
}

/// A field for an invite link; leads to the page that shows what it is for.
pub fn paste_invite() -> Piece {
    let navigate = use_navigate();
    let pasted = signal_of(String::new());
    let wrong = signal_of(None::<String>);
    let send = StoredValue::new(move || match secret_in(&pasted.read_untracked()) {
        Some(secret) => navigate(&format!("/join#{secret}"), NavigateOptions::default()),
        None => wrong.set(Some(
            "Invite link: expected a link such as https://…/join#…, as it was sent to you."
                .to_owned(),
        )),
    });
    form(move || send.with_value(|send| send()))
        .child(
            text_field("Invite link", pasted)
                .error(wrong)
                .kind("url")
                .help(
                    "Open the link that was sent to you, or scan its code with the \
                     camera; or paste it here.",
                ),
        )
        .child(send_button("Look at the invite"))
        .into()
}

fn sign_in() -> Piece {
    let book = use_book();
    let [name, passphrase] = std::array::from_fn(|_| signal_of(String::new()));
    let device = signal_of(page::kind_of_device().to_owned());
    let busy = signal_of(false);
    let wrong = Wrong::new(&[]);
    let send = move || {
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
    form(send)
        .child(text_field("Sign-in name", name).autocomplete("username"))
        .child(
            text_field("Passphrase", passphrase)
                .kind("password")
                .autocomplete("current-password"),
        )
        .child(
            text_field("Name of this device", device)
                .help("So that you know it again in the list of your devices."),
        )
        .child(wrong_whole(wrong))
        .child(send_button("Sign in").attr("disabled", busy))
        .into()
}

/// What went wrong while joining or signing in, with what to do about it.
pub fn in_plain_words(trouble: &Trouble) -> String {
    if matches!(trouble, Trouble::NoSignal | Trouble::TooLate(_)) {
        "There is no signal to the garden just now. Joining needs it once; try again where there is some.".to_owned()
    } else {
        trouble.to_string()
    }
}
