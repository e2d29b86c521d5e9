//! What a coordinator changes at a bed: its label, who holds it in which parts, giving it up and taking it up again.

use leptos::prelude::*;
use selion_core::document::edit::BedField;
use selion_core::document::ids::MemberId;
use selion_core::document::{DocumentName, Edit};
use selion_core::ordered::Map;
use selion_core::policy::Action;

use super::Shown;
use crate::parts::{
    ActKind, Choice, act, acts, form, heading, note, select_field, send_button, sheet, text_field,
    use_toasts,
};
use crate::piece::{Piece, derived, each, el, pieces, row, signal_of, watch, when};
use crate::plain::bed_form::read_holders;
use crate::screens::form::{Wrong, people_choices, wrong_whole};
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The buttons below the sheet of a bed.
pub fn changes(shown: Shown) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let changing = signal_of(false);
    let refused = derived(move || book.why_not(Action::KeepGround, false));
    let ended = move |day| Edit::ChangeBed {
        bed: shown.bed,
        set: vec![BedField::EndedOn(day)],
    };
    let give_up = move || {
        let said = format!("{} is given up.", shown.label());
        let today = book.today.get_untracked();
        pen.write_with_undo(DocumentName::Ground, ended(Some(today)), said, ended(None));
    };
    let take_up = move || {
        let said = format!("{} is taken up again.", shown.label());
        let before = shown.with(|bed| bed.ended_on).flatten();
        pen.write_with_undo(DocumentName::Ground, ended(None), said, ended(before));
    };
    let is_ended = move || shown.with(|bed| bed.ended_on.is_some()).unwrap_or(false);
    pieces![
        heading("Change"),
        when(is_ended, move || acts()
            .child(act("Take it up again", take_up).refused(refused)))
        .otherwise(move || acts()
            .child(act("Change the bed", move || changing.set(true)).refused(refused))
            .child(when(
                move || refused.read().is_none(),
                move || act("Give it up", give_up).kind(ActKind::Grave)
            ))),
        change_sheet(shown, changing)
    ]
}

/// A holder in the form, with their parts as typed. Rows come and go, so each keeps its signal alive by itself.
type Row = (MemberId, ArcRwSignal<String>);

fn change_sheet(shown: Shown, changing: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let label = signal_of(String::new());
    let rows = signal_of(Vec::<Row>::new());
    let wrong_parts = signal_of(Map::<MemberId, String>::new());
    let wrong = Wrong::new(&["label"]);
    watch(move || {
        if changing.get() {
            wrong.clear();
            wrong_parts.set(Map::new());
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
    let send = move || {
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
        wrong_parts.set(Map::new());
        let Some(before) = shown.record.get_untracked() else {
            return;
        };
        let label = label.get_untracked().trim().to_owned();
        let held_before: Map<MemberId, u32> = before.held_by().collect();
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
    sheet(changing, "Label and holders", move || {
        form(send)
            .child(
                text_field("Label", label)
                    .error(wrong.at("label"))
                    .help("Short, as on the stake."),
            )
            .child(holder_rows(rows, wrong_parts))
            .child(wrong_whole(wrong))
            .child(send_button("Keep it"))
    })
}

fn holder_rows(rows: RwSignal<Vec<Row>>, wrong: RwSignal<Map<MemberId, String>>) -> Piece {
    let book = use_book();
    let name = move |member: MemberId| book.garden.read().name_of(member).to_owned();
    let adding = signal_of(String::new());
    watch(move || {
        if let Ok(member) = adding.get().parse::<MemberId>() {
            rows.update(|rows| rows.push((member, ArcRwSignal::new("1".to_owned()))));
            adding.set(String::new());
        }
    });
    let others = derived(move || {
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
    let holder = move |member: MemberId, parts: ArcRwSignal<String>| {
        let parts = RwSignal::from(parts);
        let label = format!("Parts of {}", name(member));
        let error = derived(move || wrong.read().get(&member).cloned());
        let remove = move || rows.update(|rows| rows.retain(|(other, _)| *other != member));
        let spoken = format!("{} no longer holds it", name(member));
        el("div")
            .class("with-act")
            .child(text_field(label, parts).error(error))
            .child(act("Take off", remove).spoken(spoken))
    };
    pieces![
        when(
            move || rows.read().is_empty(),
            move || note().child(
                "A common bed: its shares of loads and jobs are on the garden's \
                 account."
            )
        ),
        each(
            move || rows.get(),
            move |(member, parts)| row(member, move || holder(member, parts))
        ),
        select_field("Also held by", adding, others)
            .help("Each holder has parts: with 2 and 1 the first carries two thirds.")
    ]
}
