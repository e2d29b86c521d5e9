//! What was spread on a bed, and the days to wait after raw manure.

use leptos::prelude::*;
use selion_core::document::ids::{AmendmentId, BedId};
use selion_core::document::manure_days::{self, ManureOnBed};
use selion_core::document::records::AmendmentKind;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;
use selion_core::quantities::{BadInput, Day};

use crate::parts::{
    ActKind, Choice, NoteKind, TagKind, WorkingText, act, act_link, acts, check_field, date_field,
    empty, form, heading, line, lines, note, note_field, select_field, send_button, sheet, tag,
    text_field, use_toasts, working,
};
use crate::piece::{Piece, el, live, memo, pieces, signal_of, when};
use crate::plain::spread_form::{self, SpreadRow};
use crate::plain::wording::{capital, day_words};
use crate::screens::form::{Wrong, wrong_whole};
use crate::screens::pen::use_pen;
use crate::state::{Book, use_book};

const FIELDS: &[&str] = &["day", "amount", "word"];

/// The raw-manure days and the history of a bed, with a way to write down what was spread.
pub fn soil_of(bed: BedId) -> Piece {
    let book = use_book();
    let logging = signal_of(false);
    let rows = memo(move || {
        spread_form::rows(
            &book.garden.read(),
            bed,
            book.me.get(),
            book.today.get(),
            book.units(),
        )
    });
    let manure = memo(move || manure_days::of_bed(&book.garden.read(), bed, book.today.get()));
    pieces![
        heading("Soil"),
        live(move || {
            let today = book.today.get();
            Piece::Several(manure.get().iter().map(|one| days_of(one, today)).collect())
        }),
        when(
            move || !rows.read().is_empty(),
            move || lines().child(move || rows
                .get()
                .into_iter()
                .map(spread_row)
                .collect::<Piece>())
        )
        .otherwise(|| empty("Nothing was spread on this bed yet").child(
            el("p").child(
                "Lime, ash, compost and manure are written down here, by whoever spread them."
            )
        )),
        acts()
            .child(
                act("Write down what was spread", move || logging.set(true))
                    .refused(move || book.why_not(Action::LogAmendment, true))
            )
            .child(act_link(
                format!("/soil/{bed}"),
                "Its soil test and what it is due"
            )),
        sheet(logging, "What was spread", move || spread_sheet(
            bed, logging
        ))
    ]
}

fn days_of(manure: &ManureOnBed, today: Day) -> Piece {
    let spread = day_words(manure.spread.record.day, today);
    let days = match &manure.picking {
        Err(_) => pieces![
            note()
                .kind(NoteKind::Mind)
                .lead("Raw manure lies on top.")
                .child(format!(
                    "Spread {spread} and not dug in: the days before picking have not begun to run."
                ))
        ],
        Ok(days) => {
            let mut rows: Vec<Piece> = Vec::new();
            for crop in &days.result.crops {
                let from = capital(&format!("from {}", day_words(crop.from, today)));
                rows.push(
                    line(from)
                        .bed("pick")
                        .small(format!(
                            "{}: {} days after digging in",
                            crop.name, crop.interval
                        ))
                        .into(),
                );
            }
            pieces![
                note()
                    .kind(NoteKind::Mind)
                    .lead("Raw manure, days to wait.")
                    .child(format!("Spread {spread}.")),
                lines().child(Piece::Several(rows)),
                working("Working for the raw-manure days", WorkingText::from(days))
            ]
        }
    };
    let last = manure.dig_in_by.as_ref().map(|latest| {
        let by = format!(
            "Dig it in by {}, or the first picking turn comes too early for {}.",
            day_words(latest.result.day, today),
            latest.result.strictest
        );
        pieces![
            note().kind(NoteKind::Mind).child(by),
            working(
                "Working for the last day to dig it in",
                WorkingText::from(latest)
            )
        ]
    });
    pieces![days, last]
}

fn spread_row(row: SpreadRow) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let SpreadRow {
        spread,
        what,
        small,
        amount,
        struck,
        lies_on_top,
        mine,
    } = row;
    let (document, id) = (DocumentName::Season(spread.year), spread.id);
    let spoken = format!("Strike out {what}");
    let strike = move || {
        let on = book.today.get_untracked();
        let edit = Edit::StrikeAmendment { amendment: id, on };
        // What is struck stays struck, so the way back writes the same line anew.
        let record = &spread.record;
        let undo = Edit::LogAmendment {
            amendment: book.fresh(AmendmentId::fresh),
            bed: record.bed,
            day: record.day,
            what: record.what,
            amount: record.amount,
            dug_in_on: record.dug_in_on,
            word: record.word.clone(),
        };
        pen.write_with_undo(document, edit, "Struck out.", undo);
    };
    let strike = std::rc::Rc::new(strike);
    let dig_in = move || {
        let on = book.today.get_untracked();
        let edit = Edit::DigIn { amendment: id, on };
        pen.write(document, edit, "Dug in today.");
    };
    line(what)
        .small(small)
        .mine(mine)
        .done(struck)
        .child(amount)
        .child(when(
            move || book.waits(&id),
            || tag("waiting", TagKind::Wait),
        ))
        .child(when(
            move || lies_on_top && book.may(Action::LogAmendment, true),
            move || act("Dug in", dig_in),
        ))
        .child(when(
            move || !struck && book.may(Action::StrikeAmendment, mine),
            move || {
                let strike = std::rc::Rc::clone(&strike);
                act("Strike out", move || strike())
                    .spoken(spoken.clone())
                    .kind(ActKind::Bare)
            },
        ))
        .into()
}

fn spread_sheet(bed: BedId, open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let wrong = Wrong::new(FIELDS);
    let kind = signal_of(AmendmentKind::Lime.key().to_owned());
    let day = signal_of(untrack(|| book.today.get()).to_string());
    let [amount, word] = [String::new(), String::new()].map(signal_of);
    // Whoever forgets the tick gets the stricter answer: the days of raw manure do not begin to run.
    let dug_in = signal_of(false);
    let read = move || {
        let on = wrong.take("day", Day::parse(&day.get_untracked()));
        let typed = amount.get_untracked();
        let amount = wrong.take(
            "amount",
            spread_form::amount(&typed, untrack(|| book.units())),
        );
        let key = kind.get_untracked();
        let what = spread_form::kind(&key)
            .ok_or_else(|| BadInput::new("what", "something from the list", &key));
        let (on, amount, what) = (on?, amount?, wrong.take("what", what)?);
        Some(Edit::LogAmendment {
            amendment: book.fresh(AmendmentId::fresh),
            bed,
            day: on,
            what,
            amount,
            dug_in_on: dug_in.get_untracked().then_some(on),
            word: word.get_untracked().trim().to_owned(),
        })
    };
    let send = move || {
        wrong.clear();
        let Some(edit) = read() else { return };
        let document = season_of(book, &edit);
        if wrong.write(book, document, edit) {
            toasts.say("Written down.");
            open.set(false);
        }
    };
    let kinds: Vec<Choice> = AmendmentKind::ALL
        .into_iter()
        .map(|kind| Choice::new(kind.key(), capital(kind.words())))
        .collect();
    form(send)
        .child(
            el("div")
                .class("pair")
                .child(select_field("What", kind, kinds))
                .child(date_field("Day", day).error(wrong.at("day"))),
        )
        .child(
            text_field("How much", amount)
                .error(wrong.at("amount"))
                .help("A weight, a volume, a rate or a layer; empty if nobody knows."),
        )
        .child(
            check_field("It was dug in the same day", dug_in)
                .help("Raw manure counts from the day it is in the soil."),
        )
        .child(note_field("A word about it", word).error(wrong.at("word")))
        .child(wrong_whole(wrong))
        .child(send_button("Write it down"))
        .into()
}

/// The season of the day it was spread, if that year is open; otherwise this year's.
fn season_of(book: Book, edit: &Edit) -> DocumentName {
    let garden = book.garden.read_untracked();
    if let Edit::LogAmendment { day, .. } = edit
        && garden.seasons.contains_key(&day.year())
    {
        return DocumentName::Season(day.year());
    }
    untrack(|| book.season())
}
