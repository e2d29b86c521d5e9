//! One proposal: why, how long, what to be careful about; corrected, accepted or set aside.

use leptos::prelude::*;
use selion_core::document::proposals::Proposal;
use selion_core::document::{DocumentName, Edit};

use super::Decides;
use crate::parts::{
    WorkingText, act, acts, amount_field, date_field, form, note, send_button, sheet, text_field,
    working,
};
use crate::piece::{Piece, derived, el, pieces, signal_of, watch, when};
use crate::plain::proposal_rows::ProposalTyped;
use crate::screens::form::{Wrong, wrong_whole};

const FIELDS: &[&str] = &["title", "day", "places", "minutes"];

/// The sheet over the list; open while one is chosen.
pub(super) fn proposal_sheet(
    chosen: RwSignal<Option<Proposal>>,
    decides: Decides,
    refused: Signal<Option<String>>,
) -> Piece {
    let open = signal_of(false);
    watch(move || open.set(chosen.read().is_some()));
    watch(move || {
        if !open.get() && chosen.read_untracked().is_some() {
            chosen.set(None);
        }
    });
    let title = derived(move || {
        let chosen = chosen.read();
        chosen
            .as_ref()
            .map(|it| it.title.clone())
            .unwrap_or_default()
    });
    sheet(open, title, move || {
        chosen
            .get_untracked()
            .map(|proposal| one(&proposal, chosen, decides, refused))
    })
}

fn one(
    proposal: &Proposal,
    chosen: RwSignal<Option<Proposal>>,
    decides: Decides,
    refused: Signal<Option<String>>,
) -> Piece {
    let book = decides.book;
    let place = untrack(|| {
        let garden = book.garden.read();
        proposal.bed.map_or_else(
            || "On the whole ground.".to_owned(),
            |bed| format!("On bed {}.", garden.label_of(Some(bed))),
        )
    });
    let may = move || refused.read().is_none();
    let fields = proposal.clone();
    pieces![
        el("p").child(place),
        working("Why on that day", WorkingText::from(&proposal.why)).open(true),
        working("How long it takes", WorkingText::from(&proposal.minutes)),
        when(may, move || decision(fields.clone(), chosen, decides))
            .otherwise(move || note().child(move || refused.get().unwrap_or_default()))
    ]
}

fn decision(proposal: Proposal, chosen: RwSignal<Option<Proposal>>, decides: Decides) -> Piece {
    let book = decides.book;
    let wrong = Wrong::new(FIELDS);
    let typed = ProposalTyped::of(&proposal);
    let [title, day, places, minutes] =
        [typed.title, typed.day, typed.places, typed.minutes].map(signal_of);
    let aside = proposal.clone();
    let set_aside = move || {
        chosen.set(None);
        decides.aside(&aside);
    };
    let send = move || {
        wrong.clear();
        let typed = ProposalTyped {
            title: title.get_untracked(),
            day: day.get_untracked(),
            places: places.get_untracked(),
            minutes: minutes.get_untracked(),
        };
        let accepted = match typed.read(&proposal) {
            Ok(accepted) => accepted,
            Err(all) => {
                for bad in &all {
                    wrong.bad(bad);
                }
                return;
            }
        };
        let document = DocumentName::Season(proposal.year);
        let edit = Edit::AcceptProposal {
            task: proposal.task(),
            accepted,
        };
        if wrong.write(book, document, edit) {
            chosen.set(None);
            decides.accepted(document, &proposal);
        }
    };
    form(send)
        .child(text_field("What is to be done", title).error(wrong.at("title")))
        .child(date_field("Day", day).error(wrong.at("day")))
        .child(
            el("div")
                .class("pair")
                .child(amount_field("Places", places, "people").error(wrong.at("places")))
                .child(
                    amount_field("Time for one person", minutes, "min")
                        .help("An estimate; put in what it really takes.")
                        .error(wrong.at("minutes")),
                ),
        )
        .child(wrong_whole(wrong))
        .child(send_button("Make it a task"))
        .child(acts().child(act("Not wanted this time", set_aside)))
        .into()
}
