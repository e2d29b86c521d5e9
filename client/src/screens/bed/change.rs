//! What a coordinator changes at a bed: its label, who holds it in which parts, giving it up and taking it up again.

use std::collections::BTreeMap;

use leptos::prelude::*;
use selion_core::document::edit::BedField;
use selion_core::document::ids::MemberId;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;

use super::Shown;
use crate::parts::{
    Act, ActKind, Acts, Choice, Form, Heading, Note, SelectField, SendButton, Sheet, TextField,
    use_toasts,
};
use crate::plain::bed_form::read_holders;
use crate::screens::form::{Wrong, WrongWhole, people_choices};
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The buttons below the sheet of a bed.
#[component]
pub fn Changes(
    /// Which bed.
    shown: Shown,
) -> impl IntoView {
    let book = use_book();
    let pen = use_pen();
    let changing = RwSignal::new(false);
    let refused = Signal::derive(move || book.why_not(Action::KeepGround, false));
    let ended = move |day| Edit::ChangeBed {
        bed: shown.bed,
        set: vec![BedField::EndedOn(day)],
    };
    let give_up = move |()| {
        let said = format!("{} is given up.", shown.label());
        let today = book.today.get_untracked();
        pen.write_with_undo(DocumentName::Ground, ended(Some(today)), said, ended(None));
    };
    let take_up = move |()| {
        let said = format!("{} is taken up again.", shown.label());
        let before = shown.with(|bed| bed.ended_on).flatten();
        pen.write_with_undo(DocumentName::Ground, ended(None), said, ended(before));
    };
    let is_ended = move || shown.with(|bed| bed.ended_on.is_some()).unwrap_or(false);
    view! {
        <Heading text="Change" />
        <Show
            when=is_ended
            fallback=move || view! {
                <Acts>
                    <Act words="Change the bed" on_press=move |()| changing.set(true) refused=refused />
                    <Show when=move || refused.read().is_none()>
                        <Act words="Give it up" kind=ActKind::Grave on_press=give_up />
                    </Show>
                </Acts>
            }
        >
            <Acts><Act words="Take it up again" on_press=take_up refused=refused /></Acts>
        </Show>
        <ChangeSheet shown=shown changing=changing />
    }
}

/// A holder in the form, with their parts as typed. Rows come and go, so each keeps its signal alive by itself.
type Row = (MemberId, ArcRwSignal<String>);

#[component]
fn ChangeSheet(shown: Shown, changing: RwSignal<bool>) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let label = RwSignal::new(String::new());
    let rows = RwSignal::new(Vec::<Row>::new());
    let wrong_parts = RwSignal::new(BTreeMap::<MemberId, String>::new());
    let wrong = Wrong::new(&["label"]);
    Effect::new(move |_| {
        if changing.get() {
            wrong.clear();
            wrong_parts.set(BTreeMap::new());
            let bed = shown.record.get_untracked();
            label.set(
                bed.as_ref()
                    .map(|bed| bed.label.clone())
                    .unwrap_or_default(),
            );
            let held = bed.iter().flat_map(|bed| bed.held_by());
            rows.set(
                held.map(|(member, parts)| (member, ArcRwSignal::new(parts.to_string())))
                    .collect(),
            );
        }
    });
    let send = move |()| {
        wrong.clear();
        let typed: Vec<(MemberId, String)> = rows
            .get_untracked()
            .into_iter()
            .map(|(member, parts)| (member, parts.get_untracked()))
            .collect();
        let holders = match read_holders(&typed) {
            Ok(holders) => holders,
            Err(found) => return wrong_parts.set(found),
        };
        wrong_parts.set(BTreeMap::new());
        let Some(before) = shown.record.get_untracked() else {
            return;
        };
        let label = label.get_untracked().trim().to_owned();
        let held_before: BTreeMap<MemberId, u32> = before.held_by().collect();
        let set: Vec<BedField> = [
            (label != before.label).then_some(BedField::Label(label)),
            (holders != held_before).then_some(BedField::Holders(holders)),
        ]
        .into_iter()
        .flatten()
        .collect();
        let edit = Edit::ChangeBed {
            bed: shown.bed,
            set: set.clone(),
        };
        if set.is_empty() || wrong.write(book, DocumentName::Ground, edit) {
            changing.set(false);
            if !set.is_empty() {
                toasts.say("Changed.");
            }
        }
    };
    view! {
        <Sheet open=changing title="Label and holders">
            <Form on_send=send>
                <TextField label="Label" value=label error=wrong.at("label") help="Short, as on the stake." />
                <HolderRows rows=rows wrong=wrong_parts />
                <WrongWhole wrong=wrong />
                <SendButton words="Keep it" />
            </Form>
        </Sheet>
    }
}

#[component]
fn HolderRows(
    rows: RwSignal<Vec<Row>>,
    wrong: RwSignal<BTreeMap<MemberId, String>>,
) -> impl IntoView {
    let book = use_book();
    let name = move |member: MemberId| book.garden.read().name_of(member).to_owned();
    let adding = RwSignal::new(String::new());
    Effect::new(move |_| {
        if let Ok(member) = adding.get().parse::<MemberId>() {
            rows.update(|rows| rows.push((member, ArcRwSignal::new("1".to_owned()))));
            adding.set(String::new());
        }
    });
    let others = Signal::derive(move || {
        let rows = rows.read();
        let is_there = |choice: &Choice| {
            rows.iter()
                .any(|(member, _)| member.to_string() == choice.key)
        };
        let mut choices = vec![Choice::new("", "Nobody else")];
        choices.extend(
            people_choices(book)
                .into_iter()
                .filter(|choice| !is_there(choice)),
        );
        choices
    });
    let row = move |(member, parts): Row| {
        let parts = RwSignal::from(parts);
        let label = format!("Parts of {}", name(member));
        let error = Signal::derive(move || wrong.read().get(&member).cloned());
        let remove = move |()| rows.update(|rows| rows.retain(|(other, _)| *other != member));
        let spoken = format!("{} no longer holds it", name(member));
        view! {
            <div class="with-act">
                <TextField label=label value=parts error=error />
                <Act words="Take off" spoken=spoken on_press=remove />
            </div>
        }
    };
    view! {
        <Show when=move || rows.read().is_empty()>
            <Note>"A common bed: its shares of loads and jobs are on the garden's account."</Note>
        </Show>
        <For each=move || rows.get() key=|(member, _)| *member children=row />
        <SelectField label="Also held by" value=adding choices=others help="Each holder has parts: with 2 and 1 the first carries two thirds." />
    }
}
