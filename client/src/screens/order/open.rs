//! A load that is not closed: its shares as they would be, and what a coordinator can do with it.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::edit::OrderField;
use selion_core::document::records::Order;
use selion_core::document::shared_out;
use selion_core::policy::Action;

use super::draft::{Draft, OrderFields};
use super::preview::{Preview, shares_of};
use super::{PutIn, Shown};
use crate::parts::{Act, ActKind, Acts, Confirm, Form, Heading, Note, SendButton, use_toasts};
use crate::plain::order_form::changes;
use crate::plain::wording::counted;
use crate::screens::form::{Wrong, WrongWhole};
use crate::screens::looker::Looker;
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The open load.
#[component]
pub fn OpenLoad(
    /// Which load.
    shown: Shown,
    /// Who looks.
    looker: Looker,
) -> impl IntoView {
    let changing = RwSignal::new(false);
    let order = Signal::derive(move || shown.with(Order::clone));
    view! {
        <Show
            when=move || changing.get()
            fallback=move || view! {
                <PutIn shown=shown />
                <Preview order=order looker=looker />
                <Desk shown=shown order=order changing=changing />
            }
        >
            <Changing shown=shown looker=looker changing=changing />
        </Show>
    }
}

// Close and share out, change, call off or take up again.
#[component]
fn Desk(shown: Shown, order: Signal<Option<Order>>, changing: RwSignal<bool>) -> impl IntoView {
    let book = use_book();
    let pen = use_pen();
    let refused = Signal::derive(move || book.why_not(Action::KeepOrders, false));
    let ended = move |day| Edit::ChangeOrder {
        order: shown.order,
        set: vec![OrderField::EndedOn(day)],
    };
    let call_off = move |()| {
        let today = book.today.get_untracked();
        pen.write_with_undo(
            shown.document(),
            ended(Some(today)),
            "The load is called off.",
            ended(None),
        );
    };
    let take_up = move |()| {
        pen.write(shown.document(), ended(None), "The load is open again.");
    };
    let is_ended = move || shown.with(|order| order.ended_on.is_some()) == Some(true);
    view! {
        <Show
            when=is_ended
            fallback=move || view! {
                <Closing shown=shown order=order />
                <Show when=move || refused.read().is_none()>
                    <Acts>
                        <Act words="Change it" on_press=move |()| changing.set(true) />
                        <Act words="Call it off" kind=ActKind::Grave on_press=call_off />
                    </Acts>
                </Show>
            }
        >
            <Acts><Act words="Take it up again" on_press=take_up refused=refused /></Acts>
        </Show>
    }
}

// The mark of the shares is taken when the question is asked, so that nobody agrees to figures they did not see.
#[component]
fn Closing(shown: Shown, order: Signal<Option<Order>>) -> impl IntoView {
    let book = use_book();
    let pen = use_pen();
    let shares = shares_of(book, order);
    let asking = RwSignal::new(false);
    let seen = RwSignal::new(String::new());
    let follows = RwSignal::new(String::new());
    let refused = Signal::derive(move || {
        book.why_not(Action::KeepOrders, false).or_else(|| {
            shares.with(|shares| match shares {
                Some(Err(refusal)) => Some(refusal.to_string()),
                Some(Ok(_)) | None => None,
            })
        })
    });
    let ask = move |()| {
        let Some(Ok(answer)) = shares.get_untracked() else {
            return;
        };
        seen.set(shared_out::mark_of_order(answer.shares()));
        follows.set(format!(
            "Areas, holders, rate and shares are frozen as they stand: {}, {} in all. From then on each account owes its part. What the ground does afterwards changes nothing here; a mistake is put right by paying back.",
            counted(answer.shares().accounts.len(), "account", "accounts"),
            answer.shares().total.show(answer.case.currency),
        ));
        asking.set(true);
    };
    let close = move |()| {
        let edit = Edit::CloseOrder {
            order: shown.order,
            on: book.today.get_untracked(),
            seen: seen.get_untracked(),
        };
        pen.write(shown.document(), edit, "The load is closed and shared out.");
    };
    view! {
        <Act words="Close and share out" kind=ActKind::Main wide=true on_press=ask refused=refused />
        <Confirm
            open=asking question="Close this load and share it out?" follows=follows yes="Share it out" on_yes=close
        />
    }
}

#[component]
fn Changing(shown: Shown, looker: Looker, changing: RwSignal<bool>) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let wrong = Wrong::new(&[]);
    let draft = Draft::new(shown.get_untracked());
    let preview = Memo::new(move |_| draft.read()?.ok());
    let others_changed = move || {
        let before = draft.before();
        shown.with(|now| before.is_some_and(|before| *before != *now)) == Some(true)
    };
    let send = move |()| {
        wrong.clear();
        let Some(before) = draft.before() else {
            return;
        };
        let Some(after) = draft.sent() else {
            return toasts.say("Not changed yet: see what is marked above.");
        };
        let set = changes(&before, &after);
        let is_new = !set.is_empty();
        let edit = Edit::ChangeOrder {
            order: shown.order,
            set,
        };
        if !is_new || wrong.write(book, shown.document(), edit) {
            if is_new {
                toasts.say("The load is changed.");
            }
            changing.set(false);
        }
    };
    view! {
        <div class="split">
            <div>
                <Heading text="Change the load" />
                <Show when=others_changed>
                    <Note>"Somebody else changed this load meanwhile. Only the fields that you change are sent."</Note>
                </Show>
                <Form on_send=send>
                    <OrderFields draft=draft />
                    <WrongWhole wrong=wrong />
                    <SendButton words="Keep the changes" />
                    <Act words="Leave it as it was" on_press=move |()| changing.set(false) />
                </Form>
            </div>
            <section aria-label="The shares as they would be"><Preview order=preview looker=looker /></section>
        </div>
    }
}
