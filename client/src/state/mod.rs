//! The one store behind all screens: the garden as it is shown comes out, edits go in.
//!
//! A screen takes the [`Book`] with [`use_book`], reads its signals, and writes with [`Book::write`]. It never sees the
//! outbox, the socket or the storage; `engine` runs those.

mod account;
mod engine;
mod judges;
mod keeping;
mod news;
pub mod pictures;

pub use account::{
    Account, Api, CalendarMade, CalendarSeen, Device, Enrolled, GardenEntry, InviteEntry,
    InviteMade, InviteSeen, NewGarden,
};
pub use judges::bring as bring_judges;
pub use news::{AsideRow, Phase};

use std::cell::Cell;
use std::collections::BTreeSet;
use std::rc::Rc;
use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::edit::{NoteBase, NoteOf};
use selion_core::document::ids::{Chance, EditId, GardenId, MemberId};
use selion_core::document::records::Profile;
use selion_core::document::{DocumentName, Edit, Garden, Role};
use selion_core::policy::{Action, Refused, may};
use selion_core::quantities::{Currency, Day, Moment, Units};
use selion_core::sync::ToldRow;

use crate::browser::{Trouble, chance, clock, page};
use crate::plain::truth::Truth;
use crate::plain::wording::forbidden;
use engine::Engine;

/// What the screens read and write. It is opened once and lasts as long as the page; copying it copies a reference, so
/// that the many closures which hold it stay small.
#[derive(Clone, Copy)]
pub struct Book(&'static Pages);

/// What stands in the book.
pub struct Pages {
    /// The garden as it is shown: confirmed, with this phone's waiting edits on top.
    pub garden: RwSignal<Arc<Garden>>,
    /// Who this phone's person is in the garden.
    pub me: RwSignal<Option<MemberId>>,
    /// Today, at the garden's place on the clock.
    pub today: RwSignal<Day>,
    /// How things stand between this phone and the garden.
    pub truth: RwSignal<Truth>,
    /// Whether there is a garden to show.
    pub phase: RwSignal<Phase>,
    /// The person's gardens and devices, as last heard.
    pub account: RwSignal<Account>,
    /// The garden that is open.
    pub current: RwSignal<Option<GardenId>>,
    /// Edits the garden refused.
    pub set_aside: RwSignal<Vec<AsideRow>>,
    /// What the person is to be told.
    pub told: RwSignal<Vec<ToldRow>>,
    /// The ids of records that a waiting edit is about.
    pub waiting: RwSignal<BTreeSet<String>>,
    /// A newer build of the program waits to take over.
    pub update_waits: RwSignal<bool>,
    /// Whether it shows the garden as it stood on an earlier day.
    pub looks_back: bool,
    engine: StoredValue<Option<Rc<Engine>>, LocalStorage>,
}

impl Pages {
    fn empty() -> Self {
        Self {
            garden: RwSignal::new(Arc::default()),
            me: RwSignal::new(None),
            today: RwSignal::new(today(None)),
            truth: RwSignal::new(Truth::opening()),
            phase: RwSignal::new(Phase::Opening),
            account: RwSignal::new(Account::default()),
            current: RwSignal::new(None),
            set_aside: RwSignal::new(Vec::new()),
            told: RwSignal::new(Vec::new()),
            waiting: RwSignal::new(BTreeSet::new()),
            update_waits: RwSignal::new(false),
            looks_back: false,
            engine: StoredValue::new_local(None),
        }
    }
}

impl std::ops::Deref for Book {
    type Target = Pages;

    fn deref(&self) -> &Pages {
        self.0
    }
}

impl std::fmt::Debug for Book {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("Book")
    }
}

impl std::fmt::Debug for Pages {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Pages")
            .field("current", &self.current.get_untracked())
            .finish_non_exhaustive()
    }
}

thread_local! {
    // A page has one book. It is found from here, and not from the context of a screen, because a press has no context.
    static OPENED: Cell<Option<Book>> = const { Cell::new(None) };
}

/// The book of this page, in a screen and in what a press does. Before the app opens it, one with nothing in it.
pub fn use_book() -> Book {
    if let Some(LookedBack(past)) = use_context() {
        return past;
    }
    OPENED.get().unwrap_or_else(Book::closed)
}

/// The book that a part of the page reads while it looks back. Nothing in such a part writes.
#[derive(Clone, Copy, Debug)]
pub struct LookedBack(pub Book);

impl Book {
    /// A book with nothing in it, not yet opened.
    fn closed() -> Self {
        Self(Box::leak(Box::new(Pages::empty())))
    }

    /// The garden as it stood at the end of a day, in a book of its own: it takes nothing, and nobody in particular looks at it.
    pub fn as_of(self, end: Moment, day: Day) -> Result<Self, String> {
        let garden = self
            .with_engine(|engine| engine.as_of(end))
            .map_err(|refused| refused.message)??;
        let pages = Pages {
            looks_back: true,
            ..Pages::empty()
        };
        pages.garden.set(Arc::new(garden));
        pages.today.set(day);
        pages.phase.set(Phase::Open);
        Ok(Self(Box::leak(Box::new(pages))))
    }

    /// The book of this phone: opened from its own storage first, the network after.
    pub fn open() -> Self {
        let book = Self::closed();
        OPENED.set(Some(book));
        book.engine.set_value(Some(Engine::start(book)));
        book
    }

    /// What this person may do, as the shown garden has it.
    pub fn role(self) -> Option<Role> {
        let me = self.me.get()?;
        self.garden.read().open_member(me).map(|member| member.role)
    }

    /// Whether a button for this action should work. The garden's service asks the same table.
    pub fn may(self, action: Action, own: bool) -> bool {
        self.role().is_some_and(|role| may(role, action, own))
    }

    /// Why a button for this action is grey, if it is.
    pub fn why_not(self, action: Action, own: bool) -> Option<String> {
        (!self.may(action, own)).then(|| forbidden(action))
    }

    /// Whether it is this phone's person.
    pub fn is_me(self, member: MemberId) -> bool {
        self.me.get() == Some(member)
    }

    /// The garden's profile, once it has come.
    pub fn profile(self) -> Option<Arc<Profile>> {
        self.garden.read().profile.clone()
    }

    /// The units that amounts are shown in.
    pub fn units(self) -> Units {
        self.profile()
            .map_or(Units::Metric, |profile| profile.units)
    }

    /// The garden's currency, once it is known.
    pub fn currency(self) -> Option<Currency> {
        self.profile().map(|profile| profile.currency)
    }

    /// The garden's name; empty before it is known.
    pub fn garden_name(self) -> String {
        self.profile()
            .map(|profile| profile.name.clone())
            .unwrap_or_default()
    }

    /// The season that today belongs to.
    pub fn season(self) -> DocumentName {
        DocumentName::Season(self.today.get().year())
    }

    /// The ledger that today belongs to.
    pub fn ledger(self) -> DocumentName {
        DocumentName::Ledger(self.today.get().year())
    }

    /// Whether an edit that is about this record still waits on this phone.
    pub fn waits(self, record: &impl ToString) -> bool {
        self.waiting.read().contains(&record.to_string())
    }

    /// A new id: `book.fresh(TaskId::fresh)`.
    pub fn fresh<Id>(self, make: fn(Moment, Chance) -> Id) -> Id {
        fresh(make)
    }

    /// Writes an edit. It is shown at once, kept on the phone, and sent when there is a signal.
    ///
    /// What cannot stand even on this phone is refused here, with a sentence for the person.
    pub fn write(self, document: DocumentName, edit: Edit) -> Result<EditId, Refused> {
        let id = fresh(EditId::fresh);
        self.with_engine(|engine| engine.write(id, document, edit))?
            .map(|()| id)
    }

    /// Writes a set-aside edit anew.
    pub fn redo(self, set_aside: EditId) -> Result<(), Refused> {
        let id = fresh(EditId::fresh);
        self.with_engine(|engine| engine.redo(set_aside, id))?
    }

    /// Drops a set-aside edit.
    pub fn drop_aside(self, set_aside: EditId) {
        let _closed = self.with_engine(|engine| engine.drop_row(set_aside));
    }

    /// Puts away something the person was told.
    pub fn put_away(self, number: u64) {
        let _closed = self.with_engine(|engine| engine.put_away(number));
    }

    /// What a note written now is written against.
    pub fn note_base(self, of: NoteOf, document: DocumentName) -> NoteBase {
        self.with_engine(|engine| engine.note_base(of, document))
            .unwrap_or_default()
    }

    /// Calls to the service about accounts, devices and invites; these need a signal.
    pub fn api(self) -> Api {
        Api::new(self)
    }

    /// Opens another of the person's gardens; the page is loaded anew.
    pub fn switch_to(self, garden: GardenId) {
        let _closed = self.with_engine(|engine| engine.switch_to(garden));
    }

    /// Hands over to the newer build; every tab is loaded anew.
    pub fn take_update(self) {
        let _closed = self.with_engine(|engine| engine.take_update());
    }

    /// Asks for the signal now instead of waiting for the next try.
    pub fn try_now(self) {
        let _closed = self.with_engine(Engine::wake);
    }

    /// What this phone still holds of edits, as JSON: the way out when a device was revoked.
    pub fn export_waiting(self) -> String {
        self.with_engine(|engine| engine.export_waiting())
            .unwrap_or_default()
    }

    fn with_engine<T>(self, ask: impl FnOnce(&Rc<Engine>) -> T) -> Result<T, Refused> {
        self.engine
            .with_value(|engine| engine.as_ref().map(ask))
            .ok_or_else(|| {
                Refused::new(
                    selion_core::policy::RefusalCode::NotAMember,
                    "No garden is open on this phone yet.",
                )
            })
    }
}

fn fresh<Id>(make: fn(Moment, Chance) -> Id) -> Id {
    let random = chance::bytes().unwrap_or_else(|trouble: Trouble| {
        // No browser that runs WebAssembly is without chance; still, an id from the clock alone beats stopping.
        page::note(&trouble.to_string());
        [0; 10]
    });
    make(clock::now(), random)
}

/// Today in a time zone, or in the phone's own.
fn today(zone: Option<&str>) -> Day {
    let own = clock::own_zone().unwrap_or_else(|| "UTC".to_owned());
    zone.and_then(|zone| clock::today(zone).ok())
        .or_else(|| clock::today(&own).ok())
        .unwrap_or_else(|| clock::now().day_in_utc())
}
