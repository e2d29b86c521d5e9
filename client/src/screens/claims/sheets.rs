//! The sheets over the places of a task or turn: done, hand over, and somebody else's claim.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::{ClaimId, MemberId};
use selion_core::document::records::Standing;
use selion_core::quantities::{BadInput, Day, Minutes};

use super::{Claims, Sheets, use_claims};
use crate::parts::{
    Act, ActKind, Acts, AmountField, Choice, DateField, Form, NoteField, SelectField, SendButton,
    Sheet, use_toasts,
};
use crate::plain::claims::Desk;
use crate::plain::typed::with_unit;
use crate::screens::form::{Wrong, WrongWhole, people_choices};
use crate::state::use_book;

/// What a coordinator can do with somebody else's claim.
#[component]
pub fn OthersSheet(
    /// Of which task or turn.
    of: Claimable,
    /// Its places.
    desk: Memo<Option<Desk>>,
    /// Which sheet is up, and for which claim.
    sheets: Sheets,
) -> impl IntoView {
    let claims = use_claims();
    let line = move || desk.get()?.claim(sheets.claim.get()?).cloned();
    let title = Signal::derive(move || {
        line().map_or_else(String::new, |line| format!("{}: {}", line.name, line.words))
    });
    let is_done = move || line().is_some_and(|line| line.standing == Standing::Done);
    let holds = move || line().is_some_and(|line| line.standing == Standing::Holds);
    let close = move |then: fn(Claims, Sheets, Claimable, ClaimId)| {
        sheets.others.set(false);
        if let Some(claim) = sheets.claim.get_untracked() {
            then(claims, sheets, of, claim);
        }
    };
    let give_back = move |()| close(|claims, _, of, claim| claims.give_back(of, claim));
    let hand_over = move |()| close(|_, sheets, _, _| sheets.hand_over.set(true));
    let say_done = move |()| close(|_, sheets, _, _| sheets.done.set(true));
    let not_done = move |()| close(|claims, _, of, claim| claims.not_done(of, claim));
    view! {
        <Sheet open=sheets.others title=title>
            <p>"They are told when their claim is given back or handed over."</p>
            <Show
                when=move || !is_done()
                fallback=move || view! { <Acts><Act words="Not done after all" on_press=not_done /></Acts> }
            >
                <Acts>
                    <Show when=holds><Act words="Done" on_press=say_done /></Show>
                    <Act words="Hand over" on_press=hand_over />
                    <Act words="Give back" kind=ActKind::Grave on_press=give_back />
                </Acts>
            </Show>
        </Sheet>
    }
}

/// Says that a claim is done: how long it took, when, and a word about it.
#[component]
pub fn DoneSheet(
    /// Of which task or turn.
    of: Claimable,
    /// Its places.
    desk: Memo<Option<Desk>>,
    /// Which sheet is up, and for which claim.
    sheets: Sheets,
) -> impl IntoView {
    let book = use_book();
    let claims = use_claims();
    let [minutes, on, word] = std::array::from_fn(|_| RwSignal::new(String::new()));
    let wrong = Wrong::new(&["minutes", "day", "word"]);
    // Each time the sheet comes up for another claim it begins with what is likely; what was typed stays otherwise.
    let begun = StoredValue::new(None);
    Effect::new(move |_| {
        let claim = sheets.claim.get();
        if sheets.done.get() && begun.get_value() != claim {
            begun.set_value(claim);
            let expected = desk.get_untracked().map(|desk| desk.expected);
            let likely = expected.filter(|expected| expected.is_positive());
            minutes.set(likely.map(Minutes::show).unwrap_or_default());
            on.set(book.today.get_untracked().to_string());
            word.set(String::new());
            wrong.clear();
        }
    });
    let send = move |()| {
        wrong.clear();
        let typed = minutes.get_untracked();
        let read = if typed.trim().is_empty() {
            Ok(Minutes::ZERO)
        } else {
            Minutes::parse(&with_unit(&typed, "min"))
        };
        let (Some(minutes), Some(on)) = (
            wrong.take("minutes", read),
            wrong.take("day", Day::parse(&on.get_untracked())),
        ) else {
            return;
        };
        let (Some(claim), Some(desk)) = (sheets.claim.get_untracked(), desk.get_untracked()) else {
            return;
        };
        let word = word.get_untracked().trim().to_owned();
        let edit = Edit::Done {
            of,
            claim,
            minutes,
            on,
            word,
        };
        if wrong.write(book, desk.document, edit) {
            sheets.done.set(false);
            begun.set_value(None);
            claims.said_done(of, claim);
        }
    };
    view! {
        <Sheet open=sheets.done title="Done">
            <Form on_send=send>
                <div class="pair">
                    <AmountField
                        label="How long it took" value=minutes unit="min" error=wrong.at("minutes")
                        help="1 h 30 min is fine too; leave it empty if it does not matter."
                    />
                    <DateField label="On" value=on error=wrong.at("day") />
                </div>
                <NoteField label="A word about it" value=word error=wrong.at("word") help="Everybody in the garden can read it." />
                <WrongWhole wrong=wrong />
                <SendButton words="It is done" />
            </Form>
        </Sheet>
    }
}

/// Hands a claim over to somebody.
#[component]
pub fn HandOverSheet(
    /// Of which task or turn.
    of: Claimable,
    /// Its places.
    desk: Memo<Option<Desk>>,
    /// Which sheet is up, and for which claim.
    sheets: Sheets,
) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let to = RwSignal::new(String::new());
    let wrong = Wrong::new(&["person"]);
    // Whoever has a claim already cannot take another.
    let choices = Signal::derive(move || {
        let has_claim = |choice: &Choice| {
            let claims = desk.get().map(|desk| desk.claims).unwrap_or_default();
            claims
                .iter()
                .any(|line| line.member.to_string() == choice.key)
        };
        let people = people_choices(book);
        let nobody = Choice::new("", "Choose a person");
        std::iter::once(nobody)
            .chain(people.into_iter().filter(|choice| !has_claim(choice)))
            .collect::<Vec<_>>()
    });
    let send = move |()| {
        wrong.clear();
        let Ok(to_member) = to.get_untracked().parse::<MemberId>() else {
            wrong.bad(&BadInput::new("person", "somebody from the list", ""));
            return;
        };
        let (Some(claim), Some(desk)) = (sheets.claim.get_untracked(), desk.get_untracked()) else {
            return;
        };
        let new_claim = book.fresh(ClaimId::fresh);
        let edit = Edit::HandOver {
            of,
            claim,
            to: to_member,
            new_claim,
        };
        if wrong.write(book, desk.document, edit) {
            sheets.hand_over.set(false);
            to.set(String::new());
            let name = book.garden.read_untracked().name_of(to_member).to_owned();
            toasts.say(format!("Handed over to {name}, who is told."));
        }
    };
    view! {
        <Sheet open=sheets.hand_over title="Hand over">
            <Form on_send=send>
                <SelectField
                    label="To whom" value=to choices=choices error=wrong.at("person")
                    help="They take the place exactly where it stands, and are told."
                />
                <WrongWhole wrong=wrong />
                <SendButton words="Hand it over" />
            </Form>
        </Sheet>
    }
}
