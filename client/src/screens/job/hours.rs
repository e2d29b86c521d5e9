//! The lines of hours of a job: where each comes from, and writing down hours done without a task.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::hours_done::HoursFrom;
use selion_core::document::ids::HoursId;
use selion_core::policy::Action;
use selion_core::quantities::{Day, Minutes};

use super::Shown;
use crate::parts::{
    Act, ActKind, AmountField, DateField, Empty, Form, Heading, Line, Lines, SendButton, Sheet,
    TextField, use_toasts,
};
use crate::plain::hours_rows::{self, HoursRow};
use crate::plain::typed::with_unit;
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
        let (me, today) = (book.me.get(), book.today.get());
        hours_rows::lines(&book.garden.read(), shown.job, me, today)
    });
    let one = move |row: HoursRow| view! { <OneLine shown=shown row=row /> };
    view! {
        <Heading text="Hours done" />
        <Show
            when=move || !lines.read().is_empty()
            fallback=|| view! { <Empty lead="Nothing is done yet"><p>"Done tasks of this job and hours written down stand here."</p></Empty> }
        >
            <Lines>{move || lines.get().into_iter().map(one).collect_view()}</Lines>
        </Show>
    }
}

#[component]
fn OneLine(shown: Shown, row: HoursRow) -> impl IntoView {
    let book = use_book();
    let pen = use_pen();
    let HoursRow {
        who,
        small,
        minutes,
        from,
        mine,
    } = row;
    let hours = match from {
        HoursFrom::Task(task, _) => {
            let href = format!("/task/{task}");
            return view! { <Line bed="task" what=who small=small mine=mine href=href>{minutes}</Line> }
                .into_any();
        }
        HoursFrom::Log(hours) => hours,
    };
    let spoken = format!("Strike out {minutes} of {who}");
    let strike = move |()| {
        let on = book.today.get_untracked();
        pen.write(
            shown.document(),
            Edit::StrikeHours { hours, on },
            "Struck out.",
        );
    };
    view! {
        <Line bed="log" what=who small=small mine=mine>
            {minutes}
            <Show when=move || book.may(Action::StrikeHours, mine)>
                <Act words="Strike out" spoken=spoken.clone() kind=ActKind::Bare on_press=strike />
            </Show>
        </Line>
    }
    .into_any()
}
