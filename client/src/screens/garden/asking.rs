//! Calls that need a signal: what was answered, or a calm sentence; and moments as people say them.

use std::future::Future;

use leptos::prelude::*;
use leptos::task::spawn_local;
use selion_core::quantities::Moment;

use crate::browser::{Trouble, clock};
use crate::parts::{act, note};
use crate::piece::{Piece, live, pieces, signal_of, watch};
use crate::plain::wording::day_words;
use crate::state::Book;

/// A list that the service keeps.
#[derive(Debug)]
pub struct Asked<T: Send + Sync + 'static> {
    answer: RwSignal<Option<Result<T, Trouble>>>,
    again: RwSignal<usize>,
}

// Two signals, to be handed about like one; deriving would ask the same of what was answered.
impl<T: Send + Sync + 'static> Clone for Asked<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T: Send + Sync + 'static> Copy for Asked<T> {}

impl<T: Clone + Send + Sync + 'static> Asked<T> {
    /// Asks whenever `wanted` becomes true, and when it is asked to ask again. What was answered before stays meanwhile.
    pub fn when<Answer>(wanted: Signal<bool>, ask: impl Fn() -> Answer + 'static) -> Self
    where
        Answer: Future<Output = Result<T, Trouble>> + 'static,
    {
        let asked = Self {
            answer: signal_of(None),
            again: signal_of(0),
        };
        watch(move || {
            asked.again.track();
            if wanted.get() {
                let answer = ask();
                // The page may have been left when the answer comes.
                spawn_local(async move {
                    let _left = asked.answer.try_set(Some(answer.await));
                });
            }
        });
        asked
    }

    /// Asks once more.
    pub fn again(self) {
        let _left = self.again.try_update(|times| *times += 1);
    }

    /// What was answered.
    pub fn get(self) -> Option<T> {
        self.answer.get().and_then(Result::ok)
    }

    /// Why there is no answer.
    pub fn trouble(self) -> Option<String> {
        self.answer.with(|answer| match answer {
            Some(Err(trouble)) => Some(calm_words(trouble)),
            Some(Ok(_)) | None => None,
        })
    }
}

/// Says calmly that the list could not be had, with a way to try again.
pub fn no_answer<T>(of: Asked<T>) -> Piece
where
    T: Clone + Send + Sync + 'static,
{
    live(move || {
        of.trouble().map(|words| {
            pieces![
                note().child(words),
                act("Try again", move || of.again()).wide()
            ]
        })
    })
}

/// Whether a call is on its way, and what came of it.
#[derive(Clone, Copy, Debug)]
pub struct Sending {
    /// On its way.
    pub busy: RwSignal<bool>,
    /// Why it did not work; what was typed is still there.
    pub trouble: RwSignal<Option<String>>,
}

impl Sending {
    /// Nothing is on its way.
    pub fn new() -> Self {
        Self {
            busy: signal_of(false),
            trouble: signal_of(None),
        }
    }

    /// Sends it; `done` gets the answer, unless the page was left.
    pub fn send<T: 'static>(
        self,
        call: impl Future<Output = Result<T, Trouble>> + 'static,
        done: impl FnOnce(T) + 'static,
    ) {
        if self.busy.get_untracked() {
            return;
        }
        self.busy.set(true);
        self.trouble.set(None);
        spawn_local(async move {
            let answer = call.await;
            if self.busy.try_set(false).is_some() {
                return;
            }
            match answer {
                Ok(answer) => done(answer),
                Err(trouble) => self.trouble.set(Some(calm_words(&trouble))),
            }
        });
    }
}

impl Default for Sending {
    fn default() -> Self {
        Self::new()
    }
}

/// What came of a call, if it did not work.
pub fn sending_trouble(of: Sending) -> Piece {
    live(move || of.trouble.get().map(|words| note().child(words)))
}

/// A trouble in words that frighten nobody.
pub fn calm_words(trouble: &Trouble) -> String {
    if matches!(trouble, Trouble::NoSignal | Trouble::TooLate(_)) {
        "There is no signal to the garden just now, and this needs it. Nothing is lost; try again where there is some."
            .to_owned()
    } else {
        trouble.to_string()
    }
}

/// A moment at the garden's place on the clock: `Tue 2 December, 09:41`.
pub fn moment_words(book: Book, moment: Moment) -> String {
    let zone = book
        .profile()
        .map_or_else(|| "UTC".to_owned(), |profile| profile.time_zone.clone());
    let day = clock::day_of(moment, &zone).unwrap_or_else(|_no_zone| moment.day_in_utc());
    let day = day_words(day, book.today.get());
    match clock::time_of_day(moment, &zone) {
        Ok(time) => format!("{day}, {time}"),
        Err(_no_zone) => day,
    }
}
