//! Inviting somebody by link and QR code, the invites that are out, and taking a person's devices back.

use leptos::prelude::*;
use leptos::task::spawn_local;
use selion_core::document::ids::MemberId;
use selion_core::quantities::Moment;

use super::asking::{Sending, moment_words, sending_trouble};
use super::people::AtTheService;
use crate::browser::{Trouble, page};
use crate::parts::{ActKind, act, acts, confirm, heading, line, lines, qr, use_toasts};
use crate::piece::{Piece, Words, derived, el, pieces, signal_of, when};
use crate::plain::people_rows::initials;
use crate::state::{InviteMade, use_book};

/// Makes an invite for somebody and shows it; takes their devices back.
pub fn invite_desk(
    member: MemberId,
    name: Signal<String>,
    service: AtTheService,
    open: RwSignal<bool>,
) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let (inviting, revoking) = (Sending::new(), Sending::new());
    let made = signal_of(None::<InviteMade>);
    let asking = signal_of(false);
    let invite = move || {
        inviting.send(book.api().invite(member), move |invite| {
            made.set(Some(invite));
            service.again();
        });
    };
    let revoke = move || {
        let said = format!(
            "The devices of {} can no longer act here.",
            name.get_untracked()
        );
        revoking.send(book.api().revoke_member_devices(member), move |()| {
            toasts.say(said);
            service.again();
            open.set(false);
        });
    };
    let question = derived(move || format!("Revoke all devices of {} in this garden?", name.get()));
    let words = derived(move || {
        let words = match (inviting.busy.get(), made.read().is_some()) {
            (true, _) => "Asking",
            (false, true) => "Another invite",
            (false, false) => "Invite by link or code",
        };
        words.to_owned()
    });
    pieces![
        move || made.get().map(
            |InviteMade {
                 secret, expires_at, ..
             }| {
                let label = format!("Code of the invite for {}", name.get());
                link_to_show(join_link(&secret), expires_at, label, "is for one device")
            }
        ),
        sending_trouble(inviting),
        sending_trouble(revoking),
        acts()
            .child(act(words, invite))
            .child(act("Revoke devices", move || asking.set(true)).kind(ActKind::Grave)),
        confirm(asking, question)
            .follows(
                "What was sent before stays. What their phones still hold is set \
                 aside there; an invite lets them in again."
            )
            .yes("Revoke them", revoke)
            .grave()
    ]
}

/// A link to hand over: as a code to hold a phone against, to share, to copy, and to read.
pub fn link_to_show(
    link: String,
    expires_at: Moment,
    label: impl Into<Words>,
    about: &'static str,
) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let copy = copy_act(link.clone());
    let link = StoredValue::new(link);
    let until = move || moment_words(book, expires_at);
    let share = move || {
        spawn_local(async move {
            let title = format!("Invite to {}", book.garden_name());
            let shared = page::share(&title, "Open this on your phone:", &link.get_value()).await;
            if let Err(trouble) = shared
                && trouble != Trouble::Declined
            {
                toasts.say(trouble.to_string());
            }
        });
    };
    pieces![
        qr(&link.get_value(), label),
        el("p").child(move || format!(
            "This link {about}, and ends {}. Whoever has it can use it.",
            until()
        )),
        el("p").class("secret").child(link.get_value()),
        acts()
            .child(when(page::can_share, move || act("Share", share)
                .kind(ActKind::Main)))
            .child(copy)
    ]
}

/// Copies a link. What came of it is said on the button, since a sheet may lie over everything else.
pub fn copy_act(link: String) -> Piece {
    let words = signal_of("Copy the link".to_owned());
    let copy = move || {
        let link = link.clone();
        spawn_local(async move {
            let said = match page::copy(&link).await {
                Ok(()) => "Copied",
                Err(_) => "Cannot copy here: press long on the link",
            };
            let _left = words.try_set(said.to_owned());
        });
    };
    act(words, copy).into()
}

/// The secret stands behind the `#`, so that no server on the way gets to see it.
pub fn join_link(secret: &str) -> String {
    let origin = page::origin().unwrap_or_default();
    format!("{origin}/join#{secret}")
}

/// The invites that can still be used.
pub fn pending_invites(service: AtTheService) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let revoking = Sending::new();
    let pending = move || service.pending();
    let line = move |invite: crate::state::InviteEntry| {
        let name = invite.member.map_or_else(
            || "Somebody".to_owned(),
            |member| book.garden.read().name_of(member).to_owned(),
        );
        let until = format!("Ends {}", moment_words(book, invite.expires_at));
        let spoken = format!("Take back the invite for {name}");
        let margin = initials(&name);
        let revoke = move || {
            let id = invite.id.clone();
            let call = async move { book.api().revoke_invite(&id).await };
            revoking.send(call, move |()| {
                toasts.say("The invite is taken back.");
                service.invites.again();
            });
        };
        line(name)
            .bed(margin)
            .small(until)
            .child(act("Take back", revoke).spoken(spoken).kind(ActKind::Bare))
    };
    when(
        move || !pending().is_empty(),
        move || {
            pieces![
                heading("Invites that are out"),
                sending_trouble(revoking),
                lines().child(move || pending().into_iter().map(line).collect::<Piece>())
            ]
        },
    )
    .into()
}
