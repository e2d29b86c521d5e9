//! A new load: the form, and beside it the shares as they would be.

use leptos::prelude::*;
use leptos_router::NavigateOptions;
use leptos_router::hooks::use_navigate;
use selion_core::document::ids::{LineId, OrderId};
use selion_core::policy::Action;

use super::draft::{Draft, OrderFields};
use super::preview::Preview;
use crate::parts::{Empty, Form, Note, PageHead, SendButton, use_toasts};
use crate::plain::order_form::opened;
use crate::screens::form::{Wrong, WrongWhole};
use crate::screens::looker::use_looker;
use crate::state::use_book;

/// The screen at `/order/new`.
#[component]
pub fn NewOrder() -> impl IntoView {
    let book = use_book();
    let refused = Memo::new(move |_| book.why_not(Action::KeepOrders, false));
    view! {
        <PageHead label="Load · new" title="New load" back=("/shares", "Shares") />
        <Show
            when=move || refused.read().is_none()
            fallback=move || view! { <Note>{move || refused.get()}</Note> }
        >
            <NewOrderForm />
        </Show>
    }
}

#[component]
fn NewOrderForm() -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let navigate = use_navigate();
    let draft = Draft::new(None);
    let looker = use_looker();
    let wrong = Wrong::new(&[]);
    let typed = Memo::new(move |_| draft.read()?.ok());
    let send = move |()| {
        wrong.clear();
        let Some(order) = draft.sent() else {
            return toasts.say("Not opened yet: see what is marked above.");
        };
        let id = book.fresh(OrderId::fresh);
        if wrong.write(
            book,
            book.ledger(),
            opened(id, book.fresh(LineId::fresh), order),
        ) {
            toasts.say("The load is open: everybody sees their part, and nothing is owed before it is closed.");
            navigate(&format!("/order/{id}"), NavigateOptions::default());
        }
    };
    view! {
        <div class="split">
            <Form on_send=send>
                <OrderFields draft=draft />
                <WrongWhole wrong=wrong />
                <SendButton words="Open the load" />
            </Form>
            <section aria-label="The shares as they would be">
                <Show
                    when=move || typed.read().is_some()
                    fallback=|| view! {
                        <Empty lead="The shares show here while you type">
                            <p>"As soon as material, rate, bag and price are filled in."</p>
                        </Empty>
                    }
                >
                    <Preview order=typed looker=looker />
                </Show>
            </section>
        </div>
    }
}
