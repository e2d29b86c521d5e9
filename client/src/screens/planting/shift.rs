//! Moving it, alone or with the rest of its series, and what that moves.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::ids::{PlantingId, SeriesId};
use selion_core::document::records::{Planting, PlantingState};
use selion_core::policy::Action;
use selion_core::quantities::Day;

use super::Shown;
use crate::parts::{Choice, form, note, select_field, send_button, sheet, text_field, use_toasts};
use crate::piece::{Piece, el, live, signal_of, when};
use crate::plain::plantings::moves::{ShiftTyped, follows, moved, to_come};
use crate::plain::plantings::rows::brief_day;
use crate::plain::wording::capital;
use crate::screens::form::{Wrong, wrong_whole};
use crate::state::use_book;

const ALONE: &str = "alone";
const TOGETHER: &str = "together";
const DAYS: &str = "days";
const WEEKS: &str = "weeks";
const LATER: &str = "later";
const EARLIER: &str = "earlier";

/// The sheet.
pub fn shift_sheet(shown: Shown, moving: RwSignal<bool>) -> Piece {
    sheet(moving, "Move it", move || shift_form(shown, moving))
}

/// The sowings of its series that are still to be, itself among them.
fn rest_of(shown: Shown) -> Option<(SeriesId, Vec<(PlantingId, Planting)>)> {
    let (year, record) = shown.found.get()?;
    let series = record.series?;
    let rest = to_come(&shown.book.garden.read(), year, series);
    let is_of_it = rest.iter().any(|(id, _)| *id == shown.id);
    (is_of_it && rest.len() > 1).then_some((series, rest))
}

/// What is being typed.
#[derive(Clone, Copy)]
struct Draft {
    whom: RwSignal<String>,
    amount: RwSignal<String>,
    unit: RwSignal<String>,
    way: RwSignal<String>,
}

impl Draft {
    fn new() -> Self {
        let [whom, amount, unit, way] =
            [ALONE, "1", WEEKS, LATER].map(|it| signal_of(it.to_owned()));
        Self {
            whom,
            amount,
            unit,
            way,
        }
    }

    fn shift(self) -> ShiftTyped {
        ShiftTyped {
            amount: self.amount.get(),
            weeks: self.unit.get() == WEEKS,
            earlier: self.way.get() == EARLIER,
        }
    }

    fn is_together(self) -> bool {
        self.whom.read().as_str() == TOGETHER
    }
}

/// The edit of a move, and the one that takes it back.
fn edits(shown: Shown, record: &Planting, series: Option<SeriesId>, days: i64) -> (Edit, Edit) {
    if let Some(series) = series {
        let of = |days| Edit::MoveSeries { series, days };
        return (of(days), of(-days));
    }
    let later = |day: Option<Day>| day.map(|day| day.plus_days(days));
    let after = Planting {
        start: record.start.plus_days(days),
        first_picking: later(record.first_picking),
        last_picking: later(record.last_picking),
        ..record.clone()
    };
    (
        moved(shown.id, record, days),
        moved(shown.id, &after, -days),
    )
}

fn shift_form(shown: Shown, moving: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let wrong = Wrong::new(&["days"]);
    let rest = untrack(|| rest_of(shown));
    let draft = Draft::new();
    let series = rest.as_ref().map(|(series, _)| *series);
    let send = move || {
        wrong.clear();
        let typed = untrack(|| draft.shift());
        let Some(days) = wrong.take("days", typed.days()) else {
            return;
        };
        let Some((document, (_, record))) = shown.document().zip(shown.record_untracked()) else {
            return;
        };
        let series = series.filter(|_| untrack(|| draft.is_together()));
        let (edit, undo) = edits(shown, &record, series, days);
        if wrong.write(book, document, edit) {
            moving.set(false);
            toasts.say_with_undo("Moved.", move || {
                if let Err(refused) = book.write(document, undo.clone()) {
                    toasts.say(refused.message);
                }
            });
        }
    };
    let together = rest.as_ref().map(|(_, rest)| whom_field(draft, rest));
    let units = vec![Choice::new(DAYS, "days"), Choice::new(WEEKS, "weeks")];
    let ways = vec![Choice::new(LATER, "Later"), Choice::new(EARLIER, "Earlier")];
    form(send)
        .child(together)
        .child(
            el("div")
                .class("pair")
                .child(text_field("By", draft.amount).error(wrong.at("days")))
                .child(select_field("Days or weeks", draft.unit, units)),
        )
        .child(select_field("Which way", draft.way, ways))
        .child(stands_already(shown))
        .child(what_it_moves(shown, draft, rest.map(|(_, rest)| rest)))
        .child(wrong_whole(wrong))
        .child(send_button("Move it"))
        .into()
}

/// Alone or together; who does not hold all of their beds is told that together will be refused.
fn whom_field(draft: Draft, rest: &[(PlantingId, Planting)]) -> Piece {
    let book = use_book();
    let all = format!("All {} of its series that are not sown yet", rest.len());
    let choices = vec![
        Choice::new(ALONE, "This sowing alone"),
        Choice::new(TOGETHER, all),
    ];
    let holds_all = rest.iter().all(|(_, planting)| {
        untrack(|| {
            let me = book.me.get();
            let garden = book.garden.read();
            let bed = garden.open_bed(planting.bed);
            me.zip(bed).is_some_and(|(me, bed)| bed.is_held_by(me))
        })
    });
    let help = move || book.why_not(Action::Plan, holds_all).unwrap_or_default();
    select_field("What is moved", draft.whom, choices)
        .help(help)
        .into()
}

fn stands_already(shown: Shown) -> Piece {
    let stands = move || {
        let record = shown.record();
        record.is_some_and(|it| it.state == PlantingState::Standing)
    };
    when(stands, || {
        note().child("It stands already: its day is put right, and what is to come moves along.")
    })
    .into()
}

/// The days as they would be, and the tasks that follow or stay.
fn what_it_moves(shown: Shown, draft: Draft, rest: Option<Vec<(PlantingId, Planting)>>) -> Piece {
    let book = use_book();
    live(move || {
        let today = book.today.get();
        let alone = || shown.record().map(|it| (shown.id, Planting::clone(&it)));
        let together = rest.clone().filter(|_| draft.is_together());
        let found = together.unwrap_or_else(|| alone().into_iter().collect());
        let ids: Vec<PlantingId> = found.iter().map(|(id, _)| *id).collect();
        let mut words = Vec::new();
        if let Ok(days) = draft.shift().days() {
            words.extend(found.iter().map(|(_, planting)| {
                let (from, to) = (planting.start, planting.start.plus_days(days));
                let crop = capital(&planting.crop);
                let (from, to) = (brief_day(from, today), brief_day(to, today));
                format!("{crop}: {from} becomes {to}.")
            }));
        }
        words.extend(follows(&book.garden.read(), &ids, today));
        let line = |words: String| el("p").class("help").child(words);
        words.into_iter().map(line).collect::<Piece>()
    })
}
