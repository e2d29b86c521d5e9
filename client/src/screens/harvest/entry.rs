//! One line of what was picked, and striking it out: one's own at once and with a way back, somebody else's after asking.

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::edit::NewHarvest;
use selion_core::document::ids::PickingId;
use selion_core::document::records::Picking;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;

use crate::parts::{ActKind, TagKind, Toasts, act, confirm, line, tag, use_toasts};
use crate::piece::{Piece, derived, signal_of, when};
use crate::plain::harvest_rows::became;
use crate::plain::wording::{capital, day_words};
use crate::state::{Book, use_book};

/// Striking out a line.
#[derive(Clone, Copy, Debug)]
pub struct Strike {
    book: Book,
    toasts: Toasts,
    asked: RwSignal<Option<PickingId>>,
    asking: RwSignal<bool>,
}

/// The way to strike out, and the sheet that asks first where that is needed.
pub fn use_strike() -> (Strike, Piece) {
    let book = use_book();
    let strike = Strike {
        book,
        toasts: use_toasts(),
        asked: signal_of(None),
        asking: signal_of(false),
    };
    let follows = derived(move || {
        let found = strike.asked.get().and_then(|id| strike.find(id));
        found.map_or_else(String::new, |(_, picking)| {
            format!(
                "{} of {}, written down by {}, does not count any more. The line stays in the garden\u{2019}s memory.",
                shown(book, &picking),
                picking.crop,
                book.garden.read().name_of(picking.member)
            )
        })
    });
    let agree = move || {
        if let Some(id) = strike.asked.get_untracked() {
            strike.write(id);
        }
    };
    let sheet = confirm(strike.asking, "Strike this picking out?")
        .follows(follows)
        .yes("Strike it out", agree)
        .grave();
    (strike, sheet.into())
}

impl Strike {
    fn find(self, id: PickingId) -> Option<(i16, Arc<Picking>)> {
        let garden = self.book.garden.read();
        let mut seasons = garden.seasons.iter();
        seasons.find_map(|(year, season)| {
            let found = season.pickings.get(&id)?;
            Some((*year, Arc::clone(found)))
        })
    }

    fn press(self, id: PickingId) {
        let found = untrack(|| self.find(id));
        let own = found.is_some_and(|(_, picking)| untrack(|| self.book.is_me(picking.member)));
        if own {
            self.write(id);
        } else {
            self.asked.set(Some(id));
            self.asking.set(true);
        }
    }

    fn write(self, id: PickingId) {
        let Self { book, toasts, .. } = self;
        let Some((year, picking)) = untrack(|| self.find(id)) else {
            return;
        };
        let document = DocumentName::Season(year);
        let on = book.today.get_untracked();
        let edit = Edit::StrikePicking { picking: id, on };
        if let Err(refused) = book.write(document, edit) {
            toasts.say(refused.message);
            return;
        }
        if !untrack(|| book.is_me(picking.member)) {
            toasts.say("Struck out.");
            return;
        }
        // Nothing that was struck out comes to life again: the same is written down once more, by the same person.
        toasts.say_with_undo("Struck out.", move || {
            let edit = Edit::LogHarvest {
                picking: book.fresh(PickingId::fresh),
                harvest: again(&picking),
            };
            if let Err(refused) = book.write(document, edit) {
                toasts.say(refused.message);
            }
        });
    }
}

fn again(picking: &Picking) -> NewHarvest {
    NewHarvest {
        bed: picking.bed,
        day: picking.day,
        crop: picking.crop.clone(),
        planting: picking.planting,
        parts: picking.harvest(),
        turn: picking.turn,
        word: picking.word.clone(),
    }
}

fn shown(book: Book, picking: &Picking) -> String {
    let harvest = picking.harvest();
    harvest.unit.show(harvest.picked(), book.units())
}

/// A line: what, how much, when, by whom, and what became of it.
pub fn entry_row(id: PickingId, picking: Arc<Picking>, strike: Strike) -> Piece {
    let book = use_book();
    let bed = {
        let bed = picking.bed;
        derived(move || book.garden.read().label_of(Some(bed)).to_owned())
    };
    let member = picking.member;
    let crop = capital(picking.crop.trim());
    let may_strike = move || book.may(Action::StrikePicking, book.is_me(member));
    let spoken = format!("Strike out {crop}, {}", untrack(|| shown(book, &picking)));
    let figure = {
        let picking = Arc::clone(&picking);
        derived(move || shown(book, &picking))
    };
    let small = derived(move || small(book, &picking));
    line(crop)
        .bed(bed)
        .small(small)
        .mine(move || book.is_me(member))
        .child(figure)
        .child(when(
            move || book.waits(&id),
            move || tag("waiting", TagKind::Wait),
        ))
        .child(when(may_strike, move || {
            act("Strike out", move || strike.press(id))
                .spoken(spoken.clone())
                .kind(ActKind::Bare)
        }))
        .into()
}

fn small(book: Book, picking: &Picking) -> String {
    let garden = book.garden.read();
    let who = if book.is_me(picking.member) {
        "you"
    } else {
        garden.name_of(picking.member)
    };
    let day = capital(&day_words(picking.day, book.today.get()));
    let became = became(&garden, &picking.harvest(), book.units());
    let parts = [day.as_str(), who, became.as_str(), picking.word.trim()];
    let parts = parts.into_iter().filter(|part| !part.is_empty());
    parts.collect::<Vec<_>>().join(" \u{b7} ")
}
