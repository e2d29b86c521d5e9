//! The turns of one week: lines on a phone, a grid on a wide screen, bed by bed.

use leptos::prelude::*;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::TurnId;
use selion_core::document::records::Standing;
use selion_core::policy::Action;
use selion_core::quantities::Week;

use super::Sheets;
use crate::parts::{Act, Empty, Line, Lines, Tag, TagKind};
use crate::plain::turns::{BedWeek, TurnLine, days_of, grid, turns_between};
use crate::plain::wording::{capital, day_words, short_day, stand_by};
use crate::screens::claims::use_claims;
use crate::state::use_book;

/// Who picks when in a week.
#[component]
pub fn WeekTurns(
    /// Which week.
    week: Memo<Week>,
    /// The sheets of the screen.
    sheets: Sheets,
) -> impl IntoView {
    let book = use_book();
    let turns = Memo::new(move |_| {
        let first = week.get().first_day();
        turns_between(
            &book.garden.read(),
            first,
            first.plus_days(6),
            book.me.get(),
            book.today.get(),
        )
    });
    let ids = move || turns.get().into_iter().map(|turn| turn.turn);
    view! {
        <Show when=move || !turns.read().is_empty() fallback=|| view! { <NoTurns /> }>
            <div class="narrow-only">
                <Lines>
                    <For each=ids key=|turn| *turn let:turn>
                        <TurnRow turn=turn sheets=sheets />
                    </For>
                </Lines>
            </div>
            <div class="wide-only">
                <TurnGrid week=week turns=turns sheets=sheets />
            </div>
        </Show>
    }
}

#[component]
fn NoTurns() -> impl IntoView {
    view! {
        <Empty lead="No picking turns in this week">
            <p>"A coordinator puts up turns. What is picked can be written down without one."</p>
        </Empty>
    }
}

/// A turn as it is now, for the pieces below.
fn line_of(turn: TurnId) -> Memo<Option<TurnLine>> {
    let book = use_book();
    Memo::new(move |_| TurnLine::of(&book.garden.read(), turn, book.me.get(), book.today.get()))
}

fn who(line: &TurnLine) -> String {
    if line.is_mine() {
        "You".to_owned()
    } else if line.picker.is_none() {
        "Nobody yet".to_owned()
    } else {
        line.name.clone()
    }
}

#[component]
fn TurnRow(turn: TurnId, sheets: Sheets) -> impl IntoView {
    let book = use_book();
    let claims = use_claims();
    let line = line_of(turn);
    let bed = Signal::derive(move || line.get().map(|line| line.label).unwrap_or_default());
    let what = Signal::derive(move || line.get().map(|line| who(&line)).unwrap_or_default());
    let small = Signal::derive(move || {
        let line = line.get();
        line.map(|line| capital(&day_words(line.day, book.today.get())))
            .unwrap_or_default()
    });
    let mine = Signal::derive(move || line.get().is_some_and(|line| line.is_mine()));
    let is_open = move || line.get().is_some_and(|line| line.picker.is_none());
    let tag = move || {
        let (word, kind) = tag_of(&line.get()?, book.waits(&turn))?;
        Some(view! { <Tag word=word kind=kind /> })
    };
    let spoken = line
        .get_untracked()
        .map(|line| {
            let day = day_words(line.day, book.today.get_untracked());
            format!("Take the turn: {} {day}", line.label)
        })
        .unwrap_or_default();
    let open = Callback::new(move |()| sheets.open_turn(turn));
    view! {
        <Line bed=bed what=what small=small mine=mine on_press=open>
            <Show when=is_open fallback=tag>
                <Act
                    words="Take" spoken=spoken.clone() on_press=move |()| claims.claim(Claimable::Turn(turn))
                    refused=Signal::derive(move || book.why_not(Action::Claim, false))
                />
            </Show>
        </Line>
    }
}

fn tag_of(line: &TurnLine, waits: bool) -> Option<(String, TagKind)> {
    if waits {
        Some(("waiting".to_owned(), TagKind::Wait))
    } else if line.done {
        Some(("picked".to_owned(), TagKind::Done))
    } else if let Some((_, Standing::StandsBy(steps))) = line.mine {
        Some((format!("you: {}", stand_by(steps)), TagKind::Wait))
    } else if line.late {
        Some(("late".to_owned(), TagKind::Stop))
    } else {
        None
    }
}

#[component]
fn TurnGrid(week: Memo<Week>, turns: Memo<Vec<TurnLine>>, sheets: Sheets) -> impl IntoView {
    let book = use_book();
    let rows = Memo::new(move |_| grid(&turns.read(), week.get()));
    let heads = move || {
        let head = |day| {
            let today = book.today.get();
            let current = (day == today).then_some("date");
            view! { <th scope="col" aria-current=current>{short_day(day)}</th> }
        };
        days_of(week.get()).into_iter().map(head).collect_view()
    };
    let row = move |BedWeek { label, days, .. }: BedWeek| {
        let cells = days.into_iter().map(|turns| {
            let cell = |turn| view! { <Cell turn=turn sheets=sheets /> };
            view! { <td>{turns.into_iter().map(cell).collect_view()}</td> }
        });
        view! { <tr><th scope="row">{label}</th>{cells.collect_view()}</tr> }
    };
    view! {
        <div class="table-wrap">
            <table class="turns">
                <caption class="visually-hidden">"Who picks which bed on which day"</caption>
                <thead><tr><th scope="col">"Bed"</th>{heads}</tr></thead>
                <tbody>
                    <For each=move || rows.get() key=|row| (row.bed, row.days.clone()) let:bed_week>
                        {row(bed_week)}
                    </For>
                </tbody>
            </table>
        </div>
    }
}

// One turn in the grid; pressing it brings up its sheet, where it is taken or given back.
#[component]
fn Cell(turn: TurnId, sheets: Sheets) -> impl IntoView {
    let book = use_book();
    let line = line_of(turn);
    let is = move |read: fn(&TurnLine) -> bool| line.with(|line| line.as_ref().is_some_and(read));
    let words = move || line.get().map(|line| who(&line)).unwrap_or_default();
    let tag = move || {
        let (word, _) = tag_of(&line.get()?, book.waits(&turn))?;
        Some(view! { <small>{word}</small> })
    };
    view! {
        <button
            type="button" class="turn" class:mine=move || is(TurnLine::is_mine) class:open=move || is(|line| line.picker.is_none())
            class:done=move || is(|line| line.done) on:click=move |_| sheets.open_turn(turn)
        >
            {words}
            {tag}
        </button>
    }
}
