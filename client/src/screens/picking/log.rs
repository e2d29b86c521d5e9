//! Writing down what was picked, how much in the unit people use for it, and what became of each part.

use leptos::prelude::*;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::{BedId, PickingId, TurnId};
use selion_core::document::picked_in::PickedIn;
use selion_core::document::records::{Place, Standing};
use selion_core::document::{DocumentName, Edit};
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Day, Minutes};

use super::Sheets;
use super::log_parts::{cautions, parts_fields};
use crate::parts::{
    Choice, check_field, date_field, form, note_field, select_field, send_button, sheet,
    text_field, use_toasts,
};
use crate::piece::{Piece, derived, each, el, memo, pieces, row, signal_of, watch, when};
use crate::plain::harvest_form::{self, Became, Entry, HarvestTyped, to_store};
use crate::plain::pickings::crops;
use crate::screens::form::{Wrong, bed_choices, some_words, wrong_whole};
use crate::state::{Book, use_book};

/// So many crops are offered to be touched instead of typed.
const OFFERED_CROPS: usize = 6;
const FIELDS: &[&str] = &["bed", "day", "crop", "picked", "word"];

/// What has been typed. It outlives the sheet, so that a slip beside it loses nothing.
#[derive(Clone, Copy, Debug)]
pub struct LogDraft {
    pub(super) bed: RwSignal<String>,
    pub(super) day: RwSignal<String>,
    pub(super) crop: RwSignal<String>,
    /// The unit that was chosen; the crop's usual one until then.
    pub(super) unit: RwSignal<String>,
    pub(super) picked: RwSignal<String>,
    pub(super) rest: RwSignal<String>,
    pub(super) parts: RwSignal<Map<Became, String>>,
    pub(super) wrong_part: RwSignal<Option<(Became, String)>>,
    word: RwSignal<String>,
    turn: RwSignal<Option<TurnId>>,
    with_that_done: RwSignal<bool>,
}

impl LogDraft {
    fn empty() -> Self {
        let [bed, day, crop, unit, picked, rest, word] =
            std::array::from_fn(|_| signal_of(String::new()));
        rest.set(Became::Kept.key());
        Self {
            bed,
            day,
            crop,
            unit,
            picked,
            rest,
            parts: signal_of(Map::new()),
            wrong_part: signal_of(None),
            word,
            turn: signal_of(None),
            with_that_done: signal_of(true),
        }
    }

    /// Begins for a turn, or for none; what was typed and not sent stays.
    fn begin(self, today: Day, turn: Option<(TurnId, BedId)>) {
        self.day.set(today.to_string());
        self.turn.set(turn.map(|(turn, _)| turn));
        self.with_that_done.set(true);
        if let Some((_, bed)) = turn {
            self.bed.set(bed.to_string());
        }
    }

    /// Empties what belongs to one crop; bed and day stay for the next.
    fn clear(self) {
        for field in [self.crop, self.unit, self.picked, self.word] {
            field.set(String::new());
        }
        self.rest.set(Became::Kept.key());
        self.parts.update(Map::clear);
    }

    /// The amounts as they are typed, in this unit.
    pub(super) fn typed(self, unit: PickedIn) -> HarvestTyped {
        HarvestTyped {
            unit,
            picked: self.picked.get(),
            rest: Became::of_key(&self.rest.get()),
            parts: self.parts.get(),
        }
    }

    fn read(self, book: Book, unit: PickedIn, wrong: Wrong) -> Option<Edit> {
        let bed = self.bed.get_untracked();
        let bed = bed
            .parse()
            .map_err(|_not_chosen| BadInput::new("bed", "a bed from the list", &bed));
        let bed = wrong.take("bed", bed);
        let day = wrong.take("day", Day::parse(&self.day.get_untracked()));
        let crop = wrong.take("crop", some_words("crop", &self.crop.get_untracked()));
        let typed = untrack(|| self.typed(unit));
        let read = typed.read().map_err(|(at, bad)| match at {
            None => wrong.bad(&bad),
            Some(part) => self.wrong_part.set(Some((part, bad.to_string()))),
        });
        let (bed, day, crop, read) = (bed?, day?, crop?, read.ok()?);
        let stored = to_store(&typed, &read, &crop).map_err(|no| wrong.refused(no.to_string()));
        let word = self.word.get_untracked();
        let entry = Entry {
            bed,
            day,
            crop,
            word: &word,
        };
        let turn = self.turn.get_untracked();
        let garden = book.garden.read_untracked();
        Some(Edit::LogHarvest {
            picking: book.fresh(PickingId::fresh),
            harvest: harvest_form::record(&garden, entry, stored.ok()?, turn),
        })
    }

    /// The claim on the turn that this person can say is done along with the picking.
    fn turn_to_finish(self, book: Book) -> Option<Edit> {
        let turn = self.turn.get()?;
        let me = book.me.get()?;
        let garden = book.garden.read();
        let (_, record) = garden.turn(turn)?;
        let (claim, _, standing) = record.claim_of(me)?;
        (standing == Standing::Holds).then(|| Edit::Done {
            of: Claimable::Turn(turn),
            claim,
            minutes: Minutes::ZERO,
            on: book.today.get_untracked(),
            word: String::new(),
        })
    }

    /// The season that the picking belongs to.
    fn document(self, book: Book) -> DocumentName {
        let turn = self.turn.get_untracked();
        let garden = book.garden.read_untracked();
        turn.and_then(|turn| garden.turn(turn)).map_or_else(
            || untrack(|| book.season()),
            |(year, _)| DocumentName::Season(year),
        )
    }
}

/// The sheet with the fields.
pub fn log_sheet(sheets: Sheets) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let draft = LogDraft::empty();
    watch(move || {
        if sheets.log_up.get() {
            draft.begin(book.today.get_untracked(), sheets.log_for.get_untracked());
        }
    });
    let units = memo(move || offered_units(book, draft));
    let unit = memo(move || chosen_unit(draft, &units.read()));
    let wrong = Wrong::new(FIELDS);
    let send = move || {
        wrong.clear();
        draft.wrong_part.set(None);
        let Some(edit) = draft.read(book, unit.get_untracked(), wrong) else {
            return;
        };
        let document = draft.document(book);
        if !wrong.write(book, document, edit) {
            return;
        }
        let finish =
            untrack(|| draft.turn_to_finish(book)).filter(|_| draft.with_that_done.get_untracked());
        if let Some(finish) = finish
            && let Err(refused) = book.write(document, finish)
        {
            toasts.say(refused.message);
        }
        draft.clear();
        sheets.log_up.set(false);
        toasts.say("Written down.");
    };
    sheet(sheets.log_up, "What was picked", move || {
        form(send)
            .child(what_fields(draft, wrong))
            .child(parts_fields(draft, units, unit, wrong))
            .child(last_fields(draft, wrong))
            .child(cautions(draft, unit))
            .child(wrong_whole(wrong))
            .child(send_button("Write it down"))
    })
}

// The crop table is read for it, so it is worked out when the crop changes and not at each letter of an amount.
fn offered_units(book: Book, draft: LogDraft) -> Vec<PickedIn> {
    let garden = book.garden.read();
    harvest_form::units(&garden, &draft.crop.read(), book.units())
}

fn chosen_unit(draft: LogDraft, units: &[PickedIn]) -> PickedIn {
    let chosen = PickedIn::of_word(&draft.unit.read());
    let there = chosen.filter(|unit| units.contains(unit));
    there.or_else(|| units.first().copied()).unwrap_or_default()
}

fn what_fields(draft: LogDraft, wrong: Wrong) -> Piece {
    let book = use_book();
    let beds = derived(move || {
        std::iter::once(Choice::new("", "Choose a bed"))
            .chain(bed_choices(book))
            .collect::<Vec<_>>()
    });
    pieces![
        el("div")
            .class("pair")
            .child(select_field("Bed", draft.bed, beds).error(wrong.at("bed")))
            .child(date_field("Day", draft.day).error(wrong.at("day"))),
        text_field("Crop", draft.crop).error(wrong.at("crop")),
        offered(draft)
    ]
}

fn last_fields(draft: LogDraft, wrong: Wrong) -> Piece {
    let book = use_book();
    let in_a_turn = move || draft.turn_to_finish(book).is_some();
    pieces![
        note_field("A word about it", draft.word).error(wrong.at("word")),
        when(in_a_turn, move || check_field(
            "With this my turn is done",
            draft.with_that_done
        ))
    ]
}

// What stands in the bed and what was picked before, to be touched with gloves on instead of typed.
fn offered(draft: LogDraft) -> Piece {
    let book = use_book();
    let known = memo(move || {
        let (bed, day) = (
            draft.bed.get().parse().ok(),
            Day::parse(&draft.day.get()).ok(),
        );
        crops(&book.garden.read(), bed, day, OFFERED_CROPS)
    });
    let chip = move |crop: String| {
        let (compared, chosen) = (crop.clone(), crop.clone());
        let pressed = move || (*draft.crop.read() == compared).to_string();
        let choose = move || draft.crop.set(chosen.clone());
        el("button")
            .attr("type", "button")
            .class("chip")
            .attr("aria-pressed", pressed)
            .on("click", choose)
            .child(crop)
    };
    when(
        move || !known.read().is_empty(),
        move || {
            el("div")
                .class("chips")
                .attr("role", "group")
                .attr("aria-label", "Crops that stand here or were picked before")
                .child(each(
                    move || known.get(),
                    move |crop| row(crop.clone(), move || chip(crop)),
                ))
        },
    )
    .into()
}
