//! Writing down what was picked.

use leptos::prelude::*;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::{BedId, PickingId, TurnId};
use selion_core::document::records::{Picked, Place, Standing};
use selion_core::document::{DocumentName, Edit};
use selion_core::quantities::{BadInput, Day, Mass, Minutes, Units};

use super::Sheets;
use crate::parts::{
    Choice, amount_field, check_field, date_field, form, note_field, select_field, send_button,
    sheet, text_field, use_toasts,
};
use crate::piece::{Piece, derived, each, el, memo, pieces, row, signal_of, when};
use crate::plain::pickings::crops;
use crate::plain::typed::with_unit;
use crate::screens::form::{Wrong, bed_choices, some_words, wrong_whole};
use crate::state::{Book, use_book};

/// So many crops are offered to be touched instead of typed.
const OFFERED_CROPS: usize = 6;
const KEPT: &str = "kept";
const GIVEN_AWAY: &str = "given";
const FIELDS: &[&str] = &["bed", "day", "crop", "weight in grams", "word"];

/// What has been typed. It outlives the sheet, so that a slip beside it loses nothing.
#[derive(Clone, Copy, Debug)]
pub struct LogDraft {
    bed: RwSignal<String>,
    day: RwSignal<String>,
    crop: RwSignal<String>,
    weight: RwSignal<String>,
    picked: RwSignal<String>,
    word: RwSignal<String>,
    turn: RwSignal<Option<TurnId>>,
    with_that_done: RwSignal<bool>,
}

impl LogDraft {
    pub(super) fn empty() -> Self {
        let [bed, day, crop, weight, picked, word] =
            std::array::from_fn(|_| signal_of(String::new()));
        picked.set(KEPT.to_owned());
        Self {
            bed,
            day,
            crop,
            weight,
            picked,
            word,
            turn: signal_of(None),
            with_that_done: signal_of(true),
        }
    }

    /// Begins for a turn, or for none; what was typed and not sent stays.
    pub(super) fn begin(self, today: Day, turn: Option<(TurnId, BedId)>) {
        self.day.set(today.to_string());
        self.turn.set(turn.map(|(turn, _)| turn));
        self.with_that_done.set(true);
        if let Some((_, bed)) = turn {
            self.bed.set(bed.to_string());
        }
    }

    /// Empties what belongs to one crop; bed and day stay for the next.
    fn clear(self) {
        for field in [self.crop, self.weight, self.word] {
            field.set(String::new());
        }
    }

    fn read(self, book: Book, wrong: Wrong) -> Option<Edit> {
        let bed = self.bed.get_untracked();
        let bed = bed
            .parse()
            .map_err(|_not_chosen| BadInput::new("bed", "a bed from the list", &bed));
        let bed = wrong.take("bed", bed);
        let day = wrong.take("day", Day::parse(&self.day.get_untracked()));
        let typed = with_unit(&self.weight.get_untracked(), untrack(|| unit(book.units())));
        let crop = wrong.take("crop", some_words("crop", &self.crop.get_untracked()));
        // Core knows the field by its base unit, people by what they typed.
        let mass = Mass::parse(&typed)
            .map_err(|bad| wrong.beside("weight in grams", &bad.named("weight")))
            .ok();
        let picked = if self.picked.get_untracked() == GIVEN_AWAY {
            Picked::GivenAway
        } else {
            Picked::Kept
        };
        Some(Edit::LogPicking {
            picking: book.fresh(PickingId::fresh),
            bed: bed?,
            day: day?,
            crop: crop?,
            mass: mass?,
            picked,
            turn: self.turn.get_untracked(),
            word: self.word.get_untracked().trim().to_owned(),
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

fn unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "kg",
        Units::UsCustomary => "lb",
    }
}

/// The sheet with the fields.
pub fn log_sheet(sheets: Sheets) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let draft = sheets.draft;
    let wrong = Wrong::new(FIELDS);
    let send = move || {
        wrong.clear();
        let Some(edit) = draft.read(book, wrong) else {
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
            .child(fields(draft, wrong))
            .child(wrong_whole(wrong))
            .child(send_button("Write it down"))
    })
}

fn fields(draft: LogDraft, wrong: Wrong) -> Piece {
    let book = use_book();
    let beds = derived(move || {
        std::iter::once(Choice::new("", "Choose a bed"))
            .chain(bed_choices(book))
            .collect::<Vec<_>>()
    });
    let became = vec![
        Choice::new(KEPT, "Kept"),
        Choice::new(GIVEN_AWAY, "Given away"),
    ];
    let unit = derived(move || unit(book.units()).to_owned());
    let in_a_turn = move || draft.turn_to_finish(book).is_some();
    pieces![
        el("div")
            .class("pair")
            .child(select_field("Bed", draft.bed, beds).error(wrong.at("bed")))
            .child(date_field("Day", draft.day).error(wrong.at("day"))),
        text_field("Crop", draft.crop).error(wrong.at("crop")),
        offered(draft),
        el("div")
            .class("pair")
            .child(
                amount_field("Weight", draft.weight, unit)
                    .error(wrong.at("weight in grams"))
                    .help("Another unit may be typed behind the number.")
            )
            .child(select_field("What became of it", draft.picked, became)),
        note_field("A word about it", draft.word).error(wrong.at("word")),
        when(in_a_turn, move || check_field(
            "With this my turn is done",
            draft.with_that_done
        ))
    ]
}

// Crops picked before, to be touched with gloves on instead of typed.
fn offered(draft: LogDraft) -> Piece {
    let book = use_book();
    let known = memo(move || {
        crops(
            &book.garden.read(),
            draft.bed.get().parse().ok(),
            OFFERED_CROPS,
        )
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
                .attr("aria-label", "Crops picked before")
                .child(each(
                    move || known.get(),
                    move |crop| row(crop.clone(), move || chip(crop)),
                ))
        },
    )
    .into()
}
