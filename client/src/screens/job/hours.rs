//! The lines of hours of a job: where each comes from, and writing down hours done without a task.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::hours_done::{self, HoursFrom, HoursLine};
use selion_core::document::ids::HoursId;
use selion_core::policy::Action;
use selion_core::quantities::{Day, Minutes};

use super::Shown;
use crate::parts::{
    Act, ActKind, AmountField, DateField, Empty, Form, Heading, Line, Lines, SendButton, Sheet,
    TextField, use_toasts,
};
use crate::plain::typed::with_unit;
use crate::plain::wording::{capital, day_words};
use crate::screens::form::{Wrong, WrongWhole};
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The button that writes down hours, and its sheet.
#[component]
pub fn LogHours(
    /// Of which job.
    shown: Shown,
) -> impl IntoView {
    let book = use_book();
    let open = RwSignal::new(false);
    let refused = Signal::derive(move || book.why_not(Action::LogHours, true));
    view! {
        <Show when=move || !shown.is_ended()>
            <Act
                words="Write down my hours" kind=ActKind::Main wide=true refused=refused
                on_press=move |()| open.set(true)
            />
        </Show>
        <LogSheet shown=shown open=open />
    }
}

#[component]
fn LogSheet(shown: Shown, open: RwSignal<bool>) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let [minutes, day, word] = std::array::from_fn(|_| RwSignal::new(String::new()));
    let wrong = Wrong::new(&["minutes", "day", "word"]);
    Effect::new(move |_| {
        if open.get() {
            wrong.clear();
            day.set(book.today.get_untracked().to_string());
        }
    });
    let send = move |()| {
        wrong.clear();
        let typed = with_unit(&minutes.get_untracked(), "h");
        let read = wrong.take("minutes", Minutes::parse(&typed));
        let (Some(read), Some(on)) = (read, wrong.take("day", Day::parse(&day.get_untracked())))
        else {
            return;
        };
        let hours = book.fresh(HoursId::fresh);
        let edit = Edit::LogHours {
            hours,
            job: shown.job,
            minutes: read,
            day: on,
            word: word.get_untracked().trim().to_owned(),
        };
        let document = shown.document();
        if wrong.write(book, document, edit) {
            minutes.set(String::new());
            word.set(String::new());
            open.set(false);
            let strike = Edit::StrikeHours {
                hours,
                on: book.today.get_untracked(),
            };
            toasts.say_with_undo(format!("{} written down.", read.show()), move || {
                if let Err(refused) = book.write(document, strike.clone()) {
                    toasts.say(refused.message);
                }
            });
        }
    };
    view! {
        <Sheet open=open title="Write down my hours">
            <Form on_send=send>
                <div class="pair">
                    <AmountField label="How long" value=minutes unit="h" error=wrong.at("minutes") help="2 or 90 min" />
                    <DateField label="Day" value=day error=wrong.at("day") />
                </div>
                <TextField label="What" value=word error=wrong.at("word") help="A few words, if you like." />
                <WrongWhole wrong=wrong />
                <SendButton words="Write it down" />
            </Form>
        </Sheet>
    }
}

/// Every line of hours, the latest first.
#[component]
pub fn HoursLines(
    /// Of which job.
    shown: Shown,
) -> impl IntoView {
    let book = use_book();
    let lines = Memo::new(move |_| {
        let mut lines = hours_done::lines(&book.garden.read(), shown.job);
        lines.reverse();
        lines
    });
    view! {
        <Heading text="Hours done" />
        <Show
            when=move || !lines.read().is_empty()
            fallback=|| view! { <Empty lead="Nothing is done yet"><p>"Done tasks of this job and hours written down stand here."</p></Empty> }
        >
            <Lines>
                {move || lines.get().into_iter().map(|line| view! { <OneLine shown=shown line=line /> }).collect_view()}
            </Lines>
        </Show>
    }
}

#[component]
fn OneLine(shown: Shown, line: HoursLine) -> impl IntoView {
    let book = use_book();
    let pen = use_pen();
    let mine = book.is_me(line.member);
    let (name, task) = {
        let garden = book.garden.read();
        let title = match line.from {
            HoursFrom::Task(task, _) => garden
                .task(task)
                .map(|(_, record)| (task, record.title.clone())),
            HoursFrom::Log(_) => None,
        };
        (garden.name_of(line.member).to_owned(), title)
    };
    let day = line
        .day
        .map(|day| capital(&day_words(day, book.today.get())));
    let word = Some(line.word.clone()).filter(|word| !word.is_empty());
    let title = task.as_ref().map(|(_, title)| title.clone());
    let small: Vec<String> = [day, title, word].into_iter().flatten().collect();
    let who = if mine { "You".to_owned() } else { name };
    let strike = match line.from {
        HoursFrom::Task(..) => None,
        HoursFrom::Log(hours) => Some(move |()| {
            let on = book.today.get_untracked();
            pen.write(
                shown.document(),
                Edit::StrikeHours { hours, on },
                "Struck out.",
            );
        }),
    };
    let button = strike
        .filter(|_| book.may(Action::StrikeHours, mine))
        .map(|strike| {
            let spoken = format!("Strike out {} of {who}", line.minutes.show());
            view! { <Act words="Strike out" spoken=spoken kind=ActKind::Bare on_press=strike /> }
        });
    let figure = line.minutes.show();
    let small = small.join(" · ");
    match task {
        Some((task, _)) => view! {
            <Line bed="task" what=who small=small mine=mine href=format!("/task/{task}")>{figure}</Line>
        }
        .into_any(),
        None => view! { <Line bed="hours" what=who small=small mine=mine>{figure}{button}</Line> }.into_any(),
    }
}
