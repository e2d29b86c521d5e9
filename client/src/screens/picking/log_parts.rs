//! The amounts of a picking: how much in all, what became of most of it, and the parts that went elsewhere.

use leptos::prelude::*;
use selion_core::document::picked_in::{PickedIn, bushel_weight};
use selion_core::quantities::Day;
use selion_core::season::giving::handling;

use super::log::LogDraft;
use crate::parts::{Choice, NoteKind, amount_field, note, select_field, working};
use crate::piece::{
    Memo, Piece, derived, each, el, live, memo, pieces, row, signal_of, watch, when,
};
use crate::plain::harvest_form::{Became, too_early, ways};
use crate::plain::wording::{capital, day_words};
use crate::screens::form::Wrong;
use crate::state::use_book;

/// How much was picked, in which unit, and what became of it. One part follows the others.
pub(super) fn parts_fields(
    draft: LogDraft,
    units: Memo<Vec<PickedIn>>,
    unit: Memo<PickedIn>,
    wrong: Wrong,
) -> Piece {
    let book = use_book();
    let word = derived(move || unit.get().word().to_owned());
    let unit_choices = derived(move || {
        let units = units.read();
        let choice = |unit: &PickedIn| Choice::new(unit.word(), unit.word());
        units.iter().map(choice).collect::<Vec<_>>()
    });
    let shown_unit = shown(draft, unit);
    let all = memo(move || ways(&book.garden.read()));
    let became = derived(move || {
        let garden = book.garden.read();
        let choice = |way: &Became| Choice::new(way.key(), capital(&way.words(&garden)));
        all.read().iter().map(choice).collect::<Vec<_>>()
    });
    let label = derived(move || {
        let some = draft
            .parts
            .with(|parts| parts.values().any(|part| !part.trim().is_empty()));
        if some {
            "What is left was"
        } else {
            "All of it was"
        }
        .to_owned()
    });
    pieces![
        el("div")
            .class("pair")
            .child(amount_field("Picked", draft.picked, word).error(wrong.at("picked")))
            .child(select_field("Counted in", shown_unit, unit_choices)),
        bushels(draft, unit),
        select_field(label, draft.rest, became),
        el("details")
            .class("more")
            .attr("open", move || draft
                .parts
                .with_untracked(|parts| !parts.is_empty()))
            .child(el("summary").child("In several parts"))
            .child(el("div").class("by-bed").child(each(
                move || all.get(),
                move |way| row(way.key(), move || part(draft, way, unit)),
            ))),
        left(draft, unit)
    ]
}

// The field shows the crop's usual unit until another is chosen, and keeps that one while the crop has it.
fn shown(draft: LogDraft, unit: Memo<PickedIn>) -> RwSignal<String> {
    let shown = signal_of(unit.get_untracked().word().to_owned());
    watch(move || {
        let word = unit.get().word();
        if *shown.read_untracked() != word {
            shown.set(word.to_owned());
        }
    });
    watch(move || {
        let chosen = shown.get();
        if chosen != unit.get_untracked().word() {
            draft.unit.set(chosen);
        }
    });
    shown
}

// One part; the one that follows the others says so instead of taking an amount.
fn part(draft: LogDraft, way: Became, unit: Memo<PickedIn>) -> Piece {
    let book = use_book();
    let typed = signal_of(
        draft
            .parts
            .with_untracked(|parts| parts.get(&way).cloned().unwrap_or_default()),
    );
    watch(move || {
        let text = typed.get();
        let known = draft
            .parts
            .with_untracked(|parts| parts.get(&way) == Some(&text));
        if !known {
            draft.parts.update(|parts| {
                parts.insert(way, text);
            });
        }
    });
    let follows = move || Became::of_key(&draft.rest.get()) == way;
    let label = derived(move || capital(&way.words(&book.garden.read())));
    let word = derived(move || unit.get().word().to_owned());
    let wrong = derived(move || {
        let wrong = draft.wrong_part.get();
        wrong
            .filter(|(at, _)| *at == way)
            .map(|(_, sentence)| sentence)
    });
    when(
        move || !follows(),
        move || amount_field(label, typed, word).error(wrong),
    )
    .into()
}

fn left(draft: LogDraft, unit: Memo<PickedIn>) -> Piece {
    let book = use_book();
    let words = memo(move || {
        let typed = draft.typed(unit.get());
        typed.left(&book.garden.read())
    });
    el("p")
        .class("help")
        .attr("role", "status")
        .child(move || words.get())
        .into()
}

// A bushel is written down as what it weighs; how much that is stands below the amount.
fn bushels(draft: LogDraft, unit: Memo<PickedIn>) -> Piece {
    let book = use_book();
    let weighed = memo(move || {
        if unit.get() != PickedIn::Bushels {
            return None;
        }
        let read = draft.typed(PickedIn::Bushels).read().ok()?;
        let answer = bushel_weight(&draft.crop.read(), read.picked).ok()?;
        let units = book.units();
        let span = answer.result.show(|mass| mass.show(units));
        Some((format!("Written down as weight: {span}."), (&answer).into()))
    });
    live(move || {
        let (words, text) = weighed.get()?;
        Some(pieces![
            el("p").class("help").child(words),
            working("What a bushel weighs", text)
        ])
    })
}

/// What to mind: raw manure in the bed, and food that others are to eat.
pub(super) fn cautions(draft: LogDraft, unit: Memo<PickedIn>) -> Piece {
    let book = use_book();
    let manure = memo(move || {
        let today = book.today.get();
        let (bed, day) = (
            draft.bed.get().parse().ok(),
            Day::parse(&draft.day.get()).ok(),
        );
        too_early(&book.garden.read(), bed, day, |day| day_words(day, today))
    });
    let shared = memo(move || {
        let read = draft.typed(unit.get()).read().ok()?;
        let garden = book.garden.read();
        // Of several the one is told for whom there is most to say.
        let receivers = read.parts.keys().filter_map(|way| way.receiver(&garden));
        Some((&handling(&draft.crop.read(), receivers.max()?)).into())
    });
    pieces![
        move || manure
            .get()
            .map(|words| { note().kind(NoteKind::Mind).lead("Raw manure.").child(words) }),
        move || shared.get().map(|text| working("Food for others", text))
    ]
}
