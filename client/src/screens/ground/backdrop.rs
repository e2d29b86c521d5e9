//! The photo or sketch under the plan, as it is shown; and the way of its bytes between this phone and the service.

use leptos::prelude::*;
use leptos::task::spawn_local;
use selion_core::document::ids::{GardenId, PictureId};
use selion_core::document::records::Backdrop;

use crate::browser::{page, picture, timer};
use crate::parts::check_field;
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, signal_of, svg, watch, when};
use crate::plain::draw::backdrop::placed;
use crate::state::{Book, pictures, use_book};

/// How often a picture that waits is offered to the service again.
const AGAIN_MILLIS: i32 = 20_000;

/// The picture of this garden on this page.
#[derive(Clone, Copy, Debug)]
pub struct UnderPlan {
    book: Book,
    /// Whether it is shown.
    pub shown: RwSignal<bool>,
    /// Where its bytes are, on this page.
    address: RwSignal<Option<String>>,
    /// Whether it still waits for the service.
    pub waits: RwSignal<bool>,
    /// Why it cannot be shown.
    trouble: RwSignal<Option<String>>,
    /// Where it lies.
    pub lies: Memo<Option<Backdrop>>,
}

/// Finds the picture, on this phone or at the service, and brings one that waits as soon as there is signal.
pub fn use_under_plan() -> UnderPlan {
    let book = use_book();
    let lies = memo(move || book.profile().and_then(|profile| profile.backdrop));
    let under = UnderPlan {
        book,
        shown: signal_of(true),
        address: signal_of(None),
        waits: signal_of(false),
        trouble: signal_of(None),
        lies,
    };
    let which = memo(move || lies.with(|lies| lies.as_ref().map(|lies| lies.picture)));
    watch(move || {
        under.forget();
        if let Some((garden, id)) = book.current.get().zip(which.get()) {
            spawn_local(under.find(garden, id));
        }
    });
    let again = timer::every(AGAIN_MILLIS, move || under.try_again());
    match again {
        Ok(again) => {
            StoredValue::new_local(again);
        }
        Err(trouble) => page::note(&trouble.to_string()),
    }
    on_cleanup(move || under.forget());
    under
}

impl UnderPlan {
    fn which(self) -> Option<(GardenId, PictureId)> {
        let garden = self.book.current.try_get_untracked()??;
        Some((garden, self.lies.get_untracked()?.picture))
    }

    fn forget(self) {
        if let Some(Some(address)) = self.address.try_get_untracked() {
            picture::forget(&address);
        }
        let _gone = self.address.try_set(None);
    }

    async fn find(self, garden: GardenId, id: PictureId) {
        let found = pictures::find(garden, id).await;
        let address = found.and_then(|bytes| picture::address_of(&bytes));
        match address {
            Ok(address) => {
                let _left = self.trouble.try_set(None);
                let _left = self.address.try_set(Some(address));
            }
            Err(trouble) => {
                let _left = self.trouble.try_set(Some(trouble.to_string()));
            }
        }
        self.bring(garden, id).await;
    }

    async fn bring(self, garden: GardenId, id: PictureId) {
        let waits = pictures::waits(garden, id).await;
        let _left = self.waits.try_set(waits);
        if waits && pictures::bring(garden, id).await.is_ok() {
            let _left = self.waits.try_set(false);
        }
    }

    /// What waits is brought, and what is missing is looked for again.
    fn try_again(self) {
        let missing = self.trouble.try_get_untracked().flatten().is_some();
        let waits = self.waits.try_get_untracked().unwrap_or(false);
        if let Some((garden, id)) = self.which() {
            if missing {
                spawn_local(self.find(garden, id));
            } else if waits {
                spawn_local(self.bring(garden, id));
            }
        }
    }

    /// Keeps a picture that was just taken in, and sends it on its way.
    pub fn took(self, id: PictureId) {
        self.waits.set(true);
        if let Some(garden) = self.book.current.get_untracked() {
            spawn_local(self.bring(garden, id));
        }
    }

    /// The picture on the sheet, below everything.
    pub fn on_sheet(self) -> Piece {
        let is_seen = memo(move || self.shown.get() && self.lies.read().is_some());
        when(
            move || is_seen.get(),
            move || {
                live(move || {
                    let (lies, address) = self.lies.get().zip(self.address.get())?;
                    let (place, [wide, high]) = placed(&lies);
                    let image = svg("image")
                        .class("backdrop")
                        .attr("href", address)
                        .attr("width", wide)
                        .attr("height", high)
                        .attr("preserveAspectRatio", "none")
                        .attr("transform", place)
                        .attr("opacity", format!("0.{:02}", lies.shows.clamp(1, 99)));
                    Some(image)
                })
            },
        )
        .into()
    }

    /// Whether it is shown, and how it stands with it; nothing where there is none.
    pub fn fields(self) -> Piece {
        let words = derived(move || {
            let trouble = self.trouble.get();
            match (self.waits.get(), trouble) {
                (true, _) => Some("The picture is on this phone and waits for signal.".to_owned()),
                (false, Some(trouble)) => Some(format!("The picture is not here yet. {trouble}")),
                (false, None) => None,
            }
        });
        let is_there = memo(move || self.lies.read().is_some());
        when(
            move || is_there.get(),
            move || {
                pieces![
                    el("div")
                        .class("form")
                        .child(check_field("Show the picture under the plan", self.shown)),
                    live(move || words
                        .get()
                        .map(|words| el("p").class("help").attr("role", "status").child(words)))
                ]
            },
        )
        .into()
    }
}
