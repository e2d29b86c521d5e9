//! Where in the program the person is: the address as signals, and going elsewhere.
//!
//! The browser keeps the history; this keeps in step with it. It does what a router of some hundred lines would do, and
//! the table of screens in `app` does the rest: phones load a general router's matching and nesting for nothing.

use std::cell::Cell;

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::browser::{address, page, timer};
use crate::piece::signal_of;
use crate::plain::address::{Address, asked};

/// The parts of the address, each a signal of its own.
#[derive(Clone, Copy, Debug)]
pub struct Location {
    /// Which screen: `/order/new`.
    pub pathname: RwSignal<String>,
    /// Which place on it, with its mark: `#aside`.
    pub hash: RwSignal<String>,
    query: RwSignal<String>,
}

thread_local! {
    static HERE: Cell<Option<Location>> = const { Cell::new(None) };
}

/// How to go somewhere.
#[derive(Clone, Copy, Debug, Default)]
pub struct NavigateOptions {
    /// In place of the last step of the history, so that the way back does not lead here again.
    pub replace: bool,
}

/// Follows the address from now on; for the frame, once.
pub fn follow() {
    let Address { path, query, hash } = address::current();
    let location = Location {
        pathname: signal_of(path),
        query: signal_of(query),
        hash: signal_of(hash),
    };
    // A page has one address, so it is found from everywhere: a press has no context to ask.
    HERE.set(Some(location));
    let listeners = [
        address::on_step(move || location.is_at(address::current())),
        address::on_link(move |href| location.go(href, NavigateOptions::default())),
    ];
    for listener in listeners {
        match listener {
            Ok(listener) => {
                StoredValue::new_local(listener);
            }
            Err(trouble) => page::note(&trouble.to_string()),
        }
    }
}

/// The address of this page.
pub fn use_location() -> Location {
    HERE.get().unwrap_or_else(|| {
        follow();
        use_location()
    })
}

/// The way to another screen.
pub fn use_navigate() -> impl Fn(&str, NavigateOptions) + Copy {
    let location = use_location();
    move |to, options| location.go(to, options)
}

/// What the address asks of the screen.
pub fn use_query() -> Query {
    Query(use_location().query)
}

/// What an address asks behind its question mark.
#[derive(Clone, Copy, Debug)]
pub struct Query(RwSignal<String>);

impl Query {
    /// What is said of this name, now and whenever it changes.
    pub fn get(self, name: &str) -> Option<String> {
        asked(&self.0.read(), name)
    }

    /// What is said of this name now.
    pub fn get_untracked(self, name: &str) -> Option<String> {
        asked(&self.0.read_untracked(), name)
    }
}

impl Location {
    fn go(self, to: &str, options: NavigateOptions) {
        let to = Address::read(to);
        let replace = options.replace || to == address::current();
        page::note_trouble(address::put(&to, replace));
        let hash = to.hash.clone();
        self.is_at(to);
        // The screen is drawn after this; what stands where is known only then.
        spawn_local(async move {
            timer::sleep(0).await;
            address::show(&hash);
        });
    }

    fn is_at(self, now: Address) {
        let parts = [
            (self.query, now.query),
            (self.hash, now.hash),
            (self.pathname, now.path),
        ];
        for (signal, value) in parts {
            if *signal.read_untracked() != value {
                signal.set(value);
            }
        }
    }
}
