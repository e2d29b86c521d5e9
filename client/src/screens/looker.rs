//! Who looks at a screen. On the screen that is this phone's person; paper on the shed door is for everybody, so while the
//! page is printed nobody in particular looks at it, and names stand where "you" stood.

use leptos::prelude::*;
use leptos::task::spawn_local;
use selion_core::document::ids::MemberId;

use crate::address::{NavigateOptions, use_location, use_navigate, use_query};
use crate::browser::{page, paper, timer};
use crate::piece::signal_of;
use crate::state::{Book, use_book};

/// How long the screen may take to be drawn anew before it is printed.
const DRAWN_MILLIS: i32 = 250;
/// The part of the address that asks for printing.
const PRINT: &str = "print";

/// Who looks, as a signal.
#[derive(Clone, Copy, Debug)]
pub struct Looker {
    book: Book,
    on_paper: RwSignal<bool>,
}

/// The looker of this screen. An address that ends in `?print` prints the screen once it is drawn.
pub fn use_looker() -> Looker {
    let looker = Looker {
        book: use_book(),
        on_paper: signal_of(false),
    };
    let heard = paper::on_print(move |prints| {
        let _left = looker.on_paper.try_set(prints);
    });
    match heard {
        Ok(listeners) => {
            StoredValue::new_local(listeners);
        }
        Err(trouble) => page::note(&trouble.to_string()),
    }
    if use_query().get_untracked(PRINT).is_some() {
        looker.print();
        // Loaded anew, the address is not to print again.
        let once = NavigateOptions { replace: true };
        use_navigate()(&use_location().pathname.get_untracked(), once);
    }
    looker
}

impl Looker {
    /// This phone's person, or nobody on paper.
    pub fn me(self) -> Option<MemberId> {
        self.book.me.get().filter(|_| !self.on_paper.get())
    }

    /// Whether the page is being printed.
    pub fn is_on_paper(self) -> bool {
        self.on_paper.get()
    }

    /// Prints the screen as it stands for nobody in particular.
    pub fn print(self) {
        self.on_paper.set(true);
        spawn_local(async move {
            timer::sleep(DRAWN_MILLIS).await;
            page::note_trouble(page::print());
            let _left = self.on_paper.try_set(false);
        });
    }
}

/// The address of a screen that prints itself.
pub fn printing(screen: &str) -> String {
    format!("{screen}?{PRINT}=yes")
}
