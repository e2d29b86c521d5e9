//! This person's devices: which there are, revoking one, linking a further one.

use leptos::prelude::*;

use super::asking::{Asked, Sending, moment_words, no_answer, sending_trouble};
use super::invite::{join_link, link_to_show};
use crate::parts::{ActKind, TagKind, act, acts, confirm, heading, line, lines, tag, use_toasts};
use crate::piece::{Piece, derived, pieces, signal_of};
use crate::state::{Device, InviteMade, use_book};

/// The list of devices and the code for a further one.
pub fn devices(looked_at: Signal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let devices = Asked::when(looked_at, move || book.api().devices());
    let revoking = Sending::new();
    let asking = signal_of(false);
    let chosen = signal_of(None::<Device>);
    let standing = move || {
        let mut devices = devices.get().unwrap_or_default();
        devices.retain(|device| device.revoked_at.is_none());
        devices.sort_by_key(|device| (!device.this, std::cmp::Reverse(device.last_seen)));
        devices
    };
    let line = move |device: Device| {
        let seen = device.last_seen.map_or_else(
            || "Not heard of yet".to_owned(),
            |seen| format!("Last heard of {}", moment_words(book, seen)),
        );
        let this = device.this;
        let name = device.name.clone();
        let ask = move || {
            chosen.set(Some(device.clone()));
            asking.set(true);
        };
        let spoken = format!("Revoke {name}");
        line(name)
            .bed(if this { "here" } else { "" })
            .small(seen)
            .mine(this)
            .child(this.then(|| tag("this one", TagKind::Mine)))
            .child((!this).then(|| act("Revoke", ask).spoken(spoken).kind(ActKind::Bare)))
    };
    let revoke = move || {
        let Some(device) = chosen.get_untracked() else {
            return;
        };
        let said = format!("{} is revoked.", device.name);
        let call = async move { book.api().revoke_device(&device.id).await };
        revoking.send(call, move |()| {
            toasts.say(said);
            devices.again();
        });
    };
    let question = derived(move || {
        let chosen = chosen.get();
        format!(
            "Revoke {}?",
            chosen.map(|device| device.name).unwrap_or_default()
        )
    });
    pieces![
        heading("My devices"),
        no_answer(devices),
        sending_trouble(revoking),
        lines().child(move || standing().into_iter().map(line).collect::<Piece>()),
        link_device(),
        confirm(asking, question)
            .follows(
                "It can no longer act for you. What it has not sent yet stays on it \
                 and can be carried over by hand."
            )
            .yes("Revoke it", revoke)
            .grave()
    ]
}

fn link_device() -> Piece {
    let book = use_book();
    let linking = Sending::new();
    let made = signal_of(None::<InviteMade>);
    let link = move || {
        linking.send(book.api().link_device(), move |invite| {
            made.set(Some(invite));
        });
    };
    let words = derived(move || {
        let words = if linking.busy.get() {
            "Asking"
        } else {
            "Link a further device"
        };
        words.to_owned()
    });
    pieces![
        move || made.get().map(|invite| link_to_show(
            join_link(&invite.secret),
            invite.expires_at,
            "Code that links a further device",
            "makes one further device yours"
        )),
        sending_trouble(linking),
        acts().child(act(words, link))
    ]
}
