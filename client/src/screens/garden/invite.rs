//! Inviting somebody by link and QR code, the invites that are out, and taking a person's devices back.

use leptos::prelude::*;
use leptos::task::spawn_local;
use selion_core::document::ids::MemberId;
use selion_core::quantities::Moment;

use super::asking::{Sending, SendingTrouble, moment_words};
use super::people::AtTheService;
use crate::browser::{Trouble, page};
use crate::parts::{Act, ActKind, Acts, Confirm, Heading, Line, Lines, Qr, use_toasts};
use crate::plain::people_rows::initials;
use crate::state::{InviteMade, use_book};

/// Makes an invite for somebody and shows it; takes their devices back.
#[component]
pub fn InviteDesk(
    /// For whom.
    member: MemberId,
    /// Their name.
    #[prop(into)]
    name: Signal<String>,
    /// What the service knows.
    service: AtTheService,
    /// The sheet that it stands on; it closes when the devices are taken back.
    open: RwSignal<bool>,
) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let (inviting, revoking) = (Sending::new(), Sending::new());
    let made = RwSignal::new(None::<InviteMade>);
    let asking = RwSignal::new(false);
    let invite = move |()| {
        inviting.send(book.api().invite(member), move |invite| {
            made.set(Some(invite));
            service.again();
        });
    };
    let revoke = move |()| {
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
    let question =
        Signal::derive(move || format!("Revoke all devices of {} in this garden?", name.get()));
    let words = Signal::derive(move || {
        let words = match (inviting.busy.get(), made.read().is_some()) {
            (true, _) => "Asking",
            (false, true) => "Another invite",
            (false, false) => "Invite by link or code",
        };
        words.to_owned()
    });
    view! {
        {move || made.get().map(|InviteMade { secret, expires_at, .. }| {
            let label = format!("Code of the invite for {}", name.get());
            view! { <LinkToShow link=join_link(&secret) expires_at=expires_at label=label about="is for one device" /> }
        })}
        <SendingTrouble of=inviting />
        <SendingTrouble of=revoking />
        <Acts>
            <Act words=words on_press=invite />
            <Act words="Revoke devices" kind=ActKind::Grave on_press=move |()| asking.set(true) />
        </Acts>
        <Confirm
            open=asking question=question yes="Revoke them" on_yes=revoke grave=true
            follows="What was sent before stays. What their phones still hold is set aside there; an invite lets them in again."
        />
    }
}

/// A link to hand over: as a code to hold a phone against, to share, to copy, and to read.
#[component]
pub fn LinkToShow(
    /// The link.
    link: String,
    /// When it ends.
    expires_at: Moment,
    /// What the code is.
    #[prop(into)]
    label: String,
    /// How it may be used.
    about: &'static str,
) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let link = StoredValue::new(link);
    let until = move || moment_words(book, expires_at);
    // Said on the button, since a sheet may lie over everything else.
    let copy_words = RwSignal::new("Copy the link".to_owned());
    let copy = move |()| {
        spawn_local(async move {
            let words = match page::copy(&link.get_value()).await {
                Ok(()) => "Copied",
                Err(_) => "Cannot copy here: press long on the link",
            };
            let _left = copy_words.try_set(words.to_owned());
        });
    };
    let share = move |()| {
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
    view! {
        <Qr text=link.get_value() label=label />
        <p>{move || format!("This link {about}, and ends {}. Whoever has it can use it.", until())}</p>
        <p class="secret">{link.get_value()}</p>
        <Acts>
            <Show when=page::can_share><Act words="Share" kind=ActKind::Main on_press=share /></Show>
            <Act words=copy_words on_press=copy />
        </Acts>
    }
}

/// The secret stands behind the `#`, so that no server on the way gets to see it.
pub fn join_link(secret: &str) -> String {
    let origin = page::origin().unwrap_or_default();
    format!("{origin}/join#{secret}")
}

/// The invites that can still be used.
#[component]
pub fn PendingInvites(
    /// What the service knows.
    service: AtTheService,
) -> impl IntoView {
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
        let revoke = move |()| {
            let id = invite.id.clone();
            let call = async move { book.api().revoke_invite(&id).await };
            revoking.send(call, move |()| {
                toasts.say("The invite is taken back.");
                service.invites.again();
            });
        };
        view! {
            <Line bed=initials(&name) what=name small=until>
                <Act words="Take back" spoken=spoken kind=ActKind::Bare on_press=revoke />
            </Line>
        }
    };
    view! {
        <Show when=move || !pending().is_empty()>
            <Heading text="Invites that are out" />
            <SendingTrouble of=revoking />
            <Lines>{move || pending().into_iter().map(line).collect_view()}</Lines>
        </Show>
    }
}
