//! What is on at a bed: this week's tasks and pickers, its part of each load, what was picked from it.

use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::policy::Action;

use crate::parts::{
    Empty, FigureRow, Figures, Heading, Line, Lines, Tag, TagKind, Working, WorkingText,
};
use crate::plain::bed_facts::{self, LoadOfBed};
use crate::plain::tasks::{Show as Which, TaskLine, listed};
use crate::plain::turns::{TurnLine, turns_between};
use crate::plain::wording::{capital, day_words, taken_of};
use crate::state::use_book;

/// The tasks that are not done, and who picks this week.
#[component]
pub fn ThisWeek(
    /// At which bed.
    bed: BedId,
) -> impl IntoView {
    let book = use_book();
    let tasks = Memo::new(move |_| {
        let garden = book.garden.read();
        let (me, today) = (book.me.get(), book.today.get());
        listed(&garden, Which::ToDo, me)
            .into_iter()
            .filter(|(_, task)| task.bed == Some(bed))
            .filter_map(|(id, _)| TaskLine::of(&garden, id, me, today))
            .collect::<Vec<_>>()
    });
    let turns = Memo::new(move |_| {
        let today = book.today.get();
        let monday = today.week().first_day();
        let mut turns = turns_between(
            &book.garden.read(),
            monday,
            monday.plus_days(6),
            book.me.get(),
            today,
        );
        turns.retain(|turn| turn.bed == bed);
        turns
    });
    let is_empty = move || tasks.read().is_empty() && turns.read().is_empty();
    view! {
        <Heading text="Work and picking" />
        <Show
            when=move || !is_empty()
            fallback=|| view! { <Empty lead="Nothing is put up for this bed"><p>"No task waits, and nobody is down to pick it this week."</p></Empty> }
        >
            <Lines>
                {move || tasks.get().into_iter().map(task_line).collect_view()}
                {move || {
                    let today = book.today.get();
                    turns.get().into_iter().map(|turn| turn_line(&turn, today)).collect_view()
                }}
            </Lines>
        </Show>
    }
}

fn task_line(task: TaskLine) -> impl IntoView {
    let mine = task.mine.is_some();
    view! {
        <Line bed="do" what=task.title small=task.small mine=mine href=format!("/task/{}", task.task)>
            {taken_of(task.taken, task.places)}
            <small>"places"</small>
        </Line>
    }
}

fn turn_line(turn: &TurnLine, today: selion_core::quantities::Day) -> impl IntoView + use<> {
    let who = if turn.is_mine() {
        "You pick".to_owned()
    } else if turn.picker.is_some() {
        format!("{} picks", turn.name)
    } else {
        "Nobody picks yet".to_owned()
    };
    let day = capital(&day_words(turn.day, today));
    view! {
        <Line
            bed="pick" what=who small=day mine=turn.is_mine() done=turn.done
            href=format!("/picking?turn={}", turn.turn)
        />
    }
}

/// The bed's part of each load, with its working; not for helpers, who do not get the ledger.
#[component]
pub fn LoadsOfBed(
    /// Which bed.
    bed: BedId,
) -> impl IntoView {
    let book = use_book();
    let loads = Memo::new(move |_| {
        if book.may(Action::SeeLedger, false) {
            bed_facts::loads(&book.garden.read(), bed, book.today.get(), book.units())
        } else {
            Vec::new()
        }
    });
    let panel = |load: LoadOfBed| {
        let LoadOfBed {
            order,
            material,
            mass,
            small,
            steps,
            is_closed,
        } = load;
        let text = WorkingText {
            steps,
            basis: Vec::new(),
            rounding: Some("Grams are shared by largest remainder over all beds.".to_owned()),
            source: "The rate of the order over the bed's area.".to_owned(),
            is_estimate: false,
            cautions: Vec::new(),
        };
        let title = format!("Working for {mass}");
        view! {
            <Lines>
                <Line bed="load" what=material small=small href=format!("/order/{order}")>
                    {mass}
                    {is_closed.then(|| view! { <Tag word="closed" kind=TagKind::Done /> })}
                </Line>
            </Lines>
            <Working title=title of=text />
        }
    };
    view! {
        <Show when=move || !loads.read().is_empty()>
            <Heading text="Its part of the loads" />
            {move || loads.get().into_iter().map(panel).collect_view()}
        </Show>
    }
}

/// What was picked this season.
#[component]
pub fn Pickings(
    /// From which bed.
    bed: BedId,
) -> impl IntoView {
    let book = use_book();
    let rows = Memo::new(move |_| {
        let units = book.units();
        bed_facts::picked(&book.garden.read(), bed, book.today.get().year())
            .iter()
            .map(|crop| FigureRow {
                cells: crop.cells(units),
                mine: false,
            })
            .collect::<Vec<_>>()
    });
    let heads = Signal::derive(move || bed_facts::picked_heads(book.units()));
    let caption = Signal::derive(move || format!("Season {}", book.today.get().year()));
    view! {
        <Show when=move || !rows.read().is_empty()>
            <Heading text="Picked this season" />
            <Figures caption=caption heads=heads rows=rows />
        </Show>
    }
}
