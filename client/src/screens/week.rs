//! This week: what is mine, what still needs people, what I was told, what was set aside, my loads and hours.

use leptos::prelude::*;
use leptos_router::hooks::use_location;
use selion_core::document::Role;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::TurnId;
use selion_core::document::records::Standing;
use selion_core::policy::Action;
use selion_core::reckoning::Caution;
use selion_core::sync::ToldRow;

use super::claims::use_claims;
use super::task_lines::{NEEDS_PEOPLE, RowKind, TaskRow};
use crate::browser::page;
use crate::parts::{
    Act, ActKind, ActLink, Confirm, Empty, Heading, Line, Lines, Note, NoteKind, PageHead, Tag,
    TagKind, use_toasts,
};
use crate::plain::turns::TurnLine;
use crate::plain::week;
use crate::plain::wording::{
    capital, counted, day_words, edit_words, notice_words, place_href, stand_by,
};
use crate::state::{AsideRow, use_book};

/// The screen.
#[component]
pub fn WeekPage() -> impl IntoView {
    let book = use_book();
    let label = Signal::derive(move || {
        let week = book.today.get().week().number();
        format!("{} · week {week}", book.garden_name())
    });
    view! {
        <PageHead label=label title="This week" />
        <SetAside />
        <ToldLines />
        <div class="split">
            <div>
                <Mine />
                <NeedsPeople />
            </div>
            <div>
                <Loads />
                <HoursLines />
            </div>
        </div>
    }
}

#[component]
fn Mine() -> impl IntoView {
    let book = use_book();
    let tasks = Memo::new(move |_| {
        let me = book.me.get();
        me.map(|me| week::my_tasks(&book.garden.read(), me, book.today.get()))
            .unwrap_or_default()
    });
    let turns = Memo::new(move |_| {
        let me = book.me.get();
        me.map(|me| week::my_turns(&book.garden.read(), me, book.today.get()))
            .unwrap_or_default()
    });
    let later = Memo::new(move |_| {
        let me = book.me.get();
        me.map_or(0, |me| {
            week::my_later_tasks(&book.garden.read(), me, book.today.get())
        })
    });
    let turn_ids = move || turns.get().into_iter().map(|turn| turn.turn);
    let is_empty = move || tasks.read().is_empty() && turns.read().is_empty();
    view! {
        <Heading text="Mine" />
        <Show
            when=move || !is_empty()
            fallback=|| view! {
                <Empty lead="You have claimed nothing this week">
                    <p>"Claim a task below, or look at all the work."</p>
                    <ActLink href="/work?show=open" words="What needs people" />
                </Empty>
            }
        >
            <Lines>
                <For each=turn_ids key=|turn| *turn let:turn>
                    <TurnRow turn=turn />
                </For>
                <For each=move || tasks.get() key=|task| *task let:task>
                    <TaskRow task=task />
                </For>
            </Lines>
        </Show>
        <Show when=move || later.get() != 0>
            <p><a href="/work?show=mine">{move || format!("And {} for later weeks", counted(later.get(), "task", "tasks"))}</a></p>
        </Show>
    }
}

/// One picking turn as a line of the week.
#[component]
fn TurnRow(turn: TurnId) -> impl IntoView {
    let book = use_book();
    let claims = use_claims();
    let line = Memo::new(move |_| {
        TurnLine::of(&book.garden.read(), turn, book.me.get(), book.today.get())
    });
    let bed = Signal::derive(move || line.get().map(|line| line.label).unwrap_or_default());
    let what = Signal::derive(move || format!("Pick {}", bed.get()));
    let small = Signal::derive(move || {
        let line = line.get();
        line.map(|line| {
            let day = day_words(line.day, book.today.get());
            if line.late {
                format!("was for {day}")
            } else {
                capital(&day)
            }
        })
        .unwrap_or_default()
    });
    let mine = Signal::derive(move || line.get().is_some_and(|line| line.mine.is_some()));
    let done = Signal::derive(move || line.get().is_some_and(|line| line.done));
    let tag = move || {
        let line = line.get()?;
        let (word, kind) = if book.waits(&turn) {
            ("waiting".to_owned(), TagKind::Wait)
        } else if line.done {
            ("done".to_owned(), TagKind::Done)
        } else if let Some((_, Standing::StandsBy(steps))) = line.mine {
            (stand_by(steps), TagKind::Wait)
        } else if line.late {
            ("late".to_owned(), TagKind::Stop)
        } else {
            ("turn".to_owned(), TagKind::Plain)
        };
        Some(view! { <Tag word=word kind=kind /> })
    };
    let is_open = move || line.get().is_some_and(|line| line.picker.is_none());
    let of = Claimable::Turn(turn);
    view! {
        <Line bed=bed what=what small=small href=place_href(of) mine=mine done=done>
            <Show when=is_open fallback=tag>
                <Act
                    words="Take" spoken=format!("Take the turn: {}", what.get_untracked())
                    on_press=move |()| {
                        claims.claim(of);
                        page::focus_in_place(NEEDS_PEOPLE);
                    }
                    refused=Signal::derive(move || book.why_not(Action::Claim, false))
                />
            </Show>
        </Line>
    }
}

#[component]
fn NeedsPeople() -> impl IntoView {
    let book = use_book();
    let tasks = Memo::new(move |_| {
        week::tasks_that_need_people(&book.garden.read(), book.me.get(), book.today.get())
    });
    let turns =
        Memo::new(move |_| week::turns_that_need_people(&book.garden.read(), book.today.get()));
    let turn_ids = move || turns.get().into_iter().map(|turn| turn.turn);
    let is_empty = move || tasks.read().is_empty() && turns.read().is_empty();
    view! {
        // What was claimed leaves this list; the focus then stays with the list.
        <section id=NEEDS_PEOPLE tabindex="-1" aria-label="Still needs people">
        <Heading text="Still needs people" />
        <Show
            when=move || !is_empty()
            fallback=|| view! {
                <Empty lead="Nothing waits for hands this week"><p>"Tasks and turns with a free place show here."</p></Empty>
            }
        >
            <Lines>
                <For each=turn_ids key=|turn| *turn let:turn>
                    <TurnRow turn=turn />
                </For>
                <For each=move || tasks.get() key=|task| *task let:task>
                    <TaskRow task=task kind=RowKind::Claimable />
                </For>
            </Lines>
        </Show>
        </section>
    }
}

// What the garden's service changed under this person; it stays until it is put away.
#[component]
fn ToldLines() -> impl IntoView {
    let book = use_book();
    view! {
        <Show when=move || !book.told.read().is_empty()>
            <Heading text="You were told" />
            <For each=move || book.told.get() key=|row| row.number let:row>
                <OneTold row=row />
            </For>
        </Show>
    }
}

#[component]
fn OneTold(row: ToldRow) -> impl IntoView {
    let book = use_book();
    let ToldRow { number, notice, .. } = row;
    let told = Memo::new(move |_| notice_words(&book.garden.read(), &notice, book.today.get()));
    let class = move || {
        if told.read().is_loss {
            "note wait"
        } else {
            "note"
        }
    };
    let look = move || {
        let href = told.get().href?;
        Some(view! { <ActLink href=href words="Look at it" /> })
    };
    view! {
        <div class=class>
            <p>{move || told.get().words}</p>
            <div class="acts-inline">
                {look}
                <Act words="Put away" on_press=move |()| book.put_away(number) />
            </div>
        </div>
    }
}

// Edits the garden refused. The truth line leads here.
#[component]
fn SetAside() -> impl IntoView {
    let book = use_book();
    let hash = use_location().hash;
    Effect::new(move |_| {
        if hash.read().as_str() == "#aside" && !book.set_aside.read().is_empty() {
            page::focus("aside");
        }
    });
    view! {
        <Show when=move || !book.set_aside.read().is_empty()>
            <section id="aside" tabindex="-1" aria-label="Set aside">
                <Heading text="Set aside" />
                <p>"This was written on this phone, and the garden could not take it. Nothing of it is lost: do it again, or drop it."</p>
                <For each=move || book.set_aside.get() key=|row| row.edit let:row>
                    <OneAside row=row />
                </For>
            </section>
        </Show>
    }
}

#[component]
fn OneAside(row: AsideRow) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let asking = RwSignal::new(false);
    let AsideRow {
        edit,
        envelope,
        refused,
        ..
    } = row;
    let words =
        Memo::new(move |_| edit_words(&book.garden.read(), &envelope.edit, book.today.get()));
    let redo = move |()| {
        if let Err(refused) = book.redo(edit) {
            toasts.say(refused.message);
        }
    };
    view! {
        <div class="note stop">
            <p class="lead">{words}</p>
            <p>{refused.message}</p>
            <div class="acts-inline">
                <Act words="Do it again" on_press=redo />
                <Act words="Drop it" kind=ActKind::Grave on_press=move |()| asking.set(true) />
            </div>
        </div>
        <Confirm
            open=asking question="Drop what was set aside?" follows=words yes="Drop it" grave=true
            on_yes=move |()| book.drop_aside(edit)
        />
    }
}

#[component]
fn Loads() -> impl IntoView {
    let book = use_book();
    let loads = Memo::new(move |_| {
        let may_see = book.may(Action::SeeLedger, true);
        let me = book.me.get().filter(|_| may_see);
        me.map(|me| week::my_loads(&book.garden.read(), me, book.today.get()))
            .unwrap_or_default()
    });
    let cautions = Memo::new(move |_| {
        let mut cautions: Vec<Caution> = Vec::new();
        for caution in loads.get().into_iter().flat_map(|load| load.cautions) {
            if !cautions.contains(&caution) {
                cautions.push(caution);
            }
        }
        cautions
    });
    let lines = move || {
        let line = |load: week::LoadLine| {
            let to_pay = if load.is_closed {
                "your share"
            } else {
                "as it stands"
            };
            view! {
                <Line bed="load" what=load.material small=format!("{} · {}", load.what, load.small) href=format!("/order/{}", load.order)>
                    {load.pays}
                    <small>{to_pay}</small>
                </Line>
            }
        };
        loads.get().into_iter().map(line).collect_view()
    };
    view! {
        <Show when=move || !loads.read().is_empty()>
            <Heading text="Loads" />
            <Lines>{lines}</Lines>
            {move || cautions.get().into_iter().map(|caution| view! {
                <Note kind=NoteKind::Mind>{caution.wording()}</Note>
            }).collect_view()}
        </Show>
    }
}

#[component]
fn HoursLines() -> impl IntoView {
    let book = use_book();
    let hours = Memo::new(move |_| {
        let me = book.me.get();
        me.map(|me| week::my_hours(&book.garden.read(), me))
            .unwrap_or_default()
    });
    let is_helper = move || book.role() == Some(Role::Helper);
    let lines = move || {
        let line = |hours: week::HoursLine| {
            let (due, small) = if hours.due.is_positive() {
                (
                    format!("of {} due", hours.due.show()),
                    "Your hours, by bed area",
                )
            } else {
                ("done".to_owned(), "")
            };
            view! {
                <Line bed="job" what=hours.title small=small href=format!("/job/{}", hours.job)>
                    {hours.done.show()}
                    <small>{due}</small>
                </Line>
            }
        };
        hours.get().into_iter().map(line).collect_view()
    };
    view! {
        <Show when=move || !hours.read().is_empty()>
            <Heading text=Signal::derive(move || {
                if is_helper() { "Hours you gave" } else { "Hours" }.to_owned()
            }) />
            <Lines>{lines}</Lines>
        </Show>
    }
}
