//! A person's calendar link: what it shows, making it, taking it back. All of it needs a signal, since only the service
//! knows the link.

use leptos::prelude::*;

use super::asking::{Asked, Sending, moment_words, no_answer, sending_trouble};
use super::invite::copy_act;
use crate::browser::page;
use crate::parts::{ActKind, Note, act, acts, confirm, heading, line, lines, note, qr, use_toasts};
use crate::piece::{Piece, derived, el, live, pieces, signal_of};
use crate::state::{CalendarMade, use_book};

/// The link, and what can be done about it.
pub fn calendar(looked_at: Signal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let seen = Asked::when(looked_at, move || book.api().calendar());
    let (making, revoking) = (Sending::new(), Sending::new());
    let made = signal_of(None::<CalendarMade>);
    let (asking_anew, asking_end) = (signal_of(false), signal_of(false));
    let there_is_one = move || made.read().is_some() || seen.get().flatten().is_some();
    let make = move || {
        making.send(book.api().make_calendar(), move |link| {
            made.set(Some(link));
            seen.again();
        });
    };
    let revoke = move || {
        revoking.send(book.api().revoke_calendar(), move |()| {
            made.set(None);
            toasts.say("The calendar link is taken back.");
            seen.again();
        });
    };
    let words = derived(move || {
        let words = match (making.busy.get(), there_is_one()) {
            (true, _) => "Asking",
            (false, true) => "Make it anew",
            (false, false) => "Make my calendar link",
        };
        words.to_owned()
    });
    let press = move || {
        if untrack(there_is_one) {
            asking_anew.set(true);
        } else {
            make();
        }
    };
    let since = move || {
        let seen = seen.get().flatten()?;
        let words = format!("Made {}", moment_words(book, seen.made_at));
        Some(
            lines().child(
                line("Your calendar link")
                    .bed("link")
                    .small(words)
                    .child(act("Take back", move || asking_end.set(true)).kind(ActKind::Bare)),
            ),
        )
    };
    pieces![
        heading("My calendar"),
        el("p").child(
            "A link puts what you promised into the calendar of your phone and keeps it there: tasks with a day, and picking turns."
        ),
        no_answer(seen),
        live(since),
        live(move || made.with(|made| made.as_ref().map(shown_once))),
        sending_trouble(making),
        sending_trouble(revoking),
        acts().child(act(words, press)),
        what_it_shows(),
        confirm(asking_anew, "Make the link anew?")
            .follows("The link that there is stops at once: calendars that read it show nothing new until they are given the new one.")
            .yes("Make it anew", make),
        confirm(asking_end, "Take the calendar link back?")
            .follows("Calendars that read it get nothing more. What they hold already goes when they look again.")
            .yes("Take it back", revoke)
            .grave()
    ]
}

fn what_it_shows() -> Note {
    note().child(
        "It shows the work, the bed, the day, how long it takes and its note, in your gardens on this service; nothing of money, and nothing of other people. It changes nothing. Whoever has the link can read all that: give it to a calendar of your own or your household’s, not to a group, and take it back when a phone is lost.",
    )
}

/// The link is shown when it is made and never again, since the service keeps only its mark.
fn shown_once(made: &CalendarMade) -> Piece {
    let origin = page::origin().unwrap_or_default();
    let link = format!("{origin}{}", made.path);
    pieces![
        qr(&link, "Code of your calendar link"),
        el("p").child(
            "In your calendar choose to subscribe to an address, or to add a calendar by URL, and put this in. It is shown this once."
        ),
        el("p").class("secret").child(link.clone()),
        acts().child(copy_act(link))
    ]
}
