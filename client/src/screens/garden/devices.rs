//! This person's devices: which there are, revoking one, linking a further one.

use leptos::prelude::*;

use super::asking::{Asked, NoAnswer, Sending, SendingTrouble, moment_words};
use super::invite::{LinkToShow, join_link};
use crate::parts::{Act, ActKind, Acts, Confirm, Heading, Line, Lines, Tag, TagKind, use_toasts};
use crate::state::{Device, InviteMade, use_book};

/// The list of devices and the code for a further one.
#[component]
pub fn Devices(
    /// Whether somebody looks at it.
    looked_at: Signal<bool>,
) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let devices = Asked::when(looked_at, move || book.api().devices());
    let revoking = Sending::new();
    let asking = RwSignal::new(false);
    let chosen = RwSignal::new(None::<Device>);
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
        let ask = move |()| {
            chosen.set(Some(device.clone()));
            asking.set(true);
        };
        let spoken = format!("Revoke {name}");
        view! {
            <Line bed=if this { "here" } else { "" } what=name small=seen mine=this>
                {this.then(|| view! { <Tag word="this one" kind=TagKind::Mine /> })}
                {(!this).then(|| view! { <Act words="Revoke" spoken=spoken kind=ActKind::Bare on_press=ask /> })}
            </Line>
        }
    };
    let revoke = move |()| {
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
    let question = Signal::derive(move || {
        let chosen = chosen.get();
        format!(
            "Revoke {}?",
            chosen.map(|device| device.name).unwrap_or_default()
        )
    });
    view! {
        <Heading text="My devices" />
        <NoAnswer of=devices />
        <SendingTrouble of=revoking />
        <Lines>{move || standing().into_iter().map(line).collect_view()}</Lines>
        <LinkDevice />
        <Confirm
            open=asking question=question yes="Revoke it" on_yes=revoke grave=true
            follows="It can no longer act for you. What it has not sent yet stays on it and can be carried over by hand."
        />
    }
}

#[component]
fn LinkDevice() -> impl IntoView {
    let book = use_book();
    let linking = Sending::new();
    let made = RwSignal::new(None::<InviteMade>);
    let link = move |()| {
        linking.send(book.api().link_device(), move |invite| {
            made.set(Some(invite));
        });
    };
    let words = Signal::derive(move || {
        let words = if linking.busy.get() {
            "Asking"
        } else {
            "Link a further device"
        };
        words.to_owned()
    });
    view! {
        {move || made.get().map(|invite| view! {
            <LinkToShow
                link=join_link(&invite.secret) expires_at=invite.expires_at label="Code that links a further device"
                about="makes one further device yours"
            />
        })}
        <SendingTrouble of=linking />
        <Acts><Act words=words on_press=link /></Acts>
    }
}
