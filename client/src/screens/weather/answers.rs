//! What follows from the weather, each with its working, or with what is missing for it.

use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::quantities::Day;

use crate::parts::{
    Choice, NoteKind, WorkingText, date_field, heading, note, select_field, working,
};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, signal_of, watch, when};
use crate::plain::weather_answers::{self as plain, Account, Answer};
use crate::plain::wording::in_a_sentence;
use crate::screens::form::bed_choices;
use crate::state::{Book, use_book};

pub(super) fn answers() -> Piece {
    let book = use_book();
    let to = memo(move || plain::reckoned_to(&book.garden.read(), book.today.get()));
    let until = derived(move || {
        let to = to.get().ok().map(|to| in_a_sentence(to, book.today.get()));
        to.map_or_else(String::new, |to| {
            format!("Up to the last day with both temperatures, {to}.")
        })
    });
    pieces![
        heading("What follows from it"),
        when(
            move || to.with(Result::is_ok),
            move || el("p").class("help").child(until)
        )
        .otherwise(move || note().child(move || to.get().err().unwrap_or_default())),
        when(
            move || to.with(Result::is_ok),
            move || pieces![workable(book, to), account(book, to), heat(book, to)]
        )
    ]
}

/// An answer: its figure, then its working; or the sentence that says what is missing.
fn shown<T>(answer: Answer<T>, figure: impl Fn(&T) -> String, title: &'static str) -> Piece {
    match answer {
        Ok(answer) => {
            let words = figure(&answer.result);
            let text = WorkingText::from(&answer);
            pieces![el("p").class("answer").child(words), working(title, text)]
        }
        Err(missing) => note().kind(NoteKind::Mind).child(missing).into(),
    }
}

fn workable(book: Book, to: Memo<Result<Day, String>>) -> Piece {
    let texture = signal_of("loam".to_owned());
    let choices: Vec<Choice> = plain::textures().into_iter().map(choice).collect();
    part("Dry enough to work?")
        .child(select_field("Texture of the soil", texture, choices).help(
            "Squeeze a moist handful: sand falls apart, clay makes a ribbon, loam is between.",
        ))
        .child(move || {
            let to = to.get().ok()?;
            let answer = plain::workable(&book.garden.read(), &texture.read(), to);
            let figure = |found: &selion_core::work::workable::Workable| {
                plain::flag_words(found.flag).to_owned()
            };
            Some(shown(answer, figure, "Working of the top of the soil"))
        })
        .into()
}

fn account(book: Book, to: Memo<Result<Day, String>>) -> Piece {
    let beds = untrack(|| bed_choices(book));
    let first = beds.first().map(|bed| bed.key.clone()).unwrap_or_default();
    let bed = signal_of(first);
    let [texture, crop] = ["loam", "tomato"].map(|word| signal_of(word.to_owned()));
    let since = signal_of(None::<Day>);
    let soaked = signal_of(untrack(|| {
        let wettest = plain::wettest_day(&book.garden.read(), book.today.get());
        wettest.map(|day| day.to_string()).unwrap_or_default()
    }));
    // Choosing a bed puts in what is known of it; both can be put right.
    watch(move || {
        let Ok(bed) = bed.read().parse::<BedId>() else {
            return;
        };
        let garden = book.garden.get_untracked();
        if let Some(known) = plain::texture_of(&garden, bed) {
            texture.set(known.to_owned());
        }
        let stands = plain::crop_of(&garden, bed, book.today.get_untracked());
        since.set(stands.map(|(planting, _)| planting.start));
        if let Some((_, Some(known))) = stands {
            crop.set(known.to_owned());
        }
    });
    let textures: Vec<Choice> = plain::textures().into_iter().map(choice).collect();
    let crops: Vec<Choice> = plain::water_crops().into_iter().map(choice).collect();
    let answer = move || {
        let to = to.get().ok()?;
        let soaked = plain::day_typed("wet through on", &soaked.read());
        let answer = soaked.and_then(|soaked| {
            let asked = Account {
                texture: &texture.read(),
                crop: &crop.read(),
                since: since.get(),
                soaked,
                to,
            };
            plain::account(&book.garden.read(), book.units(), asked)
        });
        let figure = |found: &selion_core::work::water::balance::Balance| found.to_string();
        Some(shown(answer, figure, "Working of the account"))
    };
    part("Water account of a bed")
        .child(select_field("Bed", bed, beds))
        .child(
            el("div")
                .class("pair")
                .child(select_field("Crop", crop, crops))
                .child(select_field("Texture of the soil", texture, textures)),
        )
        .child(date_field("Wet through on", soaked).help(
            "A soaking rain or a thorough watering; the account begins full on the day after.",
        ))
        .child(answer)
        .into()
}

fn heat(book: Book, to: Memo<Result<Day, String>>) -> Piece {
    let since = signal_of(untrack(|| {
        let start = book
            .today
            .get()
            .plus_days(1 - crate::plain::weather_rows::SHOWN);
        start.to_string()
    }));
    part("Heat gathered")
        .child(date_field("Since", since))
        .child(move || {
            let to = to.get().ok()?;
            let since = plain::day_typed("since", &since.read());
            let answer = since.and_then(|since| plain::heat(&book.garden.read(), since, to));
            let units = book.units();
            let figure = |found: &selion_core::season::heat::Heat| found.sum.show(units);
            Some(shown(answer, figure, "Working of the heat"))
        })
        .into()
}

fn part(title: &'static str) -> crate::piece::El {
    el("fieldset")
        .class("part form")
        .child(el("legend").child(title))
}

fn choice(name: &'static str) -> Choice {
    Choice::new(name, name)
}
