//! Runs the phone's copy of the garden: storage first, network after.
//!
//! Core's [`Session`] decides what to do; this carries it out with the browser's socket, storage and clock, and reports
//! back. Of several tabs one holds the garden's lock and the connection; the others read what it keeps and leave their
//! edits in the storage for it to send.

use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::sync::Arc;

use leptos::prelude::*;
use leptos::task::spawn_local;
use selion_core::document::edit::{NoteBase, NoteOf};
use selion_core::document::ids::{EditId, GardenId};
use selion_core::document::{DocumentName, Edit, Garden};
use selion_core::json::{self, record};
use selion_core::policy::Refused;
use selion_core::quantities::Moment;
use selion_core::sync::vault::Keep;
use selion_core::sync::{Effect, Event, Link, LocalCopy, RowState, Session, Settings};

use super::account::{access, load_account, load_current, save_current};
use super::judges;
use super::keeping::{Keeping, edits_in};
use super::news::{AsideRow, Phase};
use super::{Book, today};
use crate::browser::channel::Channel;
use crate::browser::http::Call;
use crate::browser::socket::{Socket, SocketEvent};
use crate::browser::timer::Timer;
use crate::browser::vault::{Durability, Store, Value, Write};
use crate::browser::worker::Worker;
use crate::browser::{Trouble, chance, clock, locks, page, timer, vault, worker};
use crate::later::load_judges;
use crate::plain::subjects::subjects;
use crate::plain::truth::{Truth, TruthKind};

/// A screen at the back keeps its connection so long, in milliseconds.
const AWAKE_AT_THE_BACK: i32 = 60_000;
/// The picture for the first paint is kept so long after a change, in milliseconds.
const VIEW_AFTER: i32 = 1_500;
/// Words to the other tabs: new rows are in the outbox.
const ROWS: &str = "rows";
/// Words to the other tabs: something new is kept.
const KEPT: &str = "kept";

/// The machinery behind one open garden.
pub(super) struct Engine {
    book: Book,
    keeping: Rc<Keeping>,
    open: RefCell<Option<OpenGarden>>,
    trouble: RefCell<Option<String>>,
    worker: RefCell<Option<Worker>>,
    minute: RefCell<Option<Timer>>,
    view_timer: RefCell<Option<Timer>>,
    reread_timer: RefCell<Option<Timer>>,
}

struct OpenGarden {
    id: GardenId,
    copy: LocalCopy,
    session: Session,
    owns: Rc<Cell<bool>>,
    socket: Option<Socket>,
    tick: Option<Timer>,
    sleep: Option<Timer>,
    channel: Option<Channel>,
    listeners: Vec<crate::browser::Listener>,
}

impl Engine {
    /// Starts: reads the phone's storage, shows what is there, then reaches for the network.
    pub(super) fn start(book: Book) -> Rc<Self> {
        let engine = Rc::new(Self {
            book,
            keeping: Keeping::new(vault::open()),
            open: RefCell::new(None),
            trouble: RefCell::new(None),
            worker: RefCell::new(None),
            minute: RefCell::new(None),
            view_timer: RefCell::new(None),
            reread_timer: RefCell::new(None),
        });
        engine.watch_the_clock();
        engine.register_worker();
        let this = Rc::clone(&engine);
        spawn_local(async move { this.open_last().await });
        engine
    }

    async fn open_last(self: Rc<Self>) {
        let vault = self.keeping.vault().clone();
        let account = load_account(&vault).await;
        let current = load_current(&vault)
            .await
            .or_else(|| account.gardens.first().map(|entry| entry.id));
        self.book.account.set(account);
        match current {
            Some(garden) => self.open_garden(garden).await,
            None => self.book.phase.set(Phase::NoGarden),
        }
        // What the service knows of the person comes after, and does no harm if it does not come.
        if current.is_some()
            && let Err(trouble) = self.book.api().refresh().await
            && !trouble.may_pass()
        {
            self.hear_refusal(&trouble);
            page::note(&trouble.to_string());
        }
    }

    async fn open_garden(self: &Rc<Self>, garden: GardenId) {
        self.book.current.set(Some(garden));
        self.paint_cached(garden).await;
        let stored = match self.keeping.read(garden).await {
            Ok(stored) => stored,
            Err(trouble) => {
                // Without storage the garden can still be read from the service.
                *self.trouble.borrow_mut() = Some(trouble.to_string());
                selion_core::sync::Stored::default()
            }
        };
        let copy = LocalCopy::restore_with(judges::known(), garden, &stored);
        *self.open.borrow_mut() = Some(OpenGarden {
            id: garden,
            copy,
            session: Session::new(Settings::default()),
            owns: Rc::new(Cell::new(false)),
            socket: None,
            tick: None,
            sleep: None,
            channel: None,
            listeners: Vec::new(),
        });
        self.book.phase.set(Phase::Open);
        self.publish();
        self.judge_what_waits();
        self.join_other_tabs(garden);
        self.listen();
        self.ask_for_the_lock(garden);
        spawn_local(async {
            // The browser decides; what it decides changes nothing we do.
            let _granted = page::ask_to_keep_data().await;
        });
    }

    /// The picture of the last time, so that there is something to read while the documents load.
    async fn paint_cached(&self, garden: GardenId) {
        let stored = self
            .keeping
            .vault()
            .read(Store::View, &garden.to_string())
            .await
            .ok()
            .flatten();
        let picture = stored
            .and_then(Value::into_text)
            .and_then(|text| json::read::<Garden>(&text).ok());
        if let Some(picture) = picture {
            self.book.garden.set(Arc::new(picture));
            self.book.phase.set(Phase::Open);
        }
    }

    pub(super) fn write(
        self: &Rc<Self>,
        id: EditId,
        document: DocumentName,
        edit: Edit,
    ) -> Result<(), Refused> {
        let keep = self.with_copy(|copy| copy.write(id, document, edit, clock::now()))?;
        self.keep_rows(keep);
        Ok(())
    }

    pub(super) fn redo(self: &Rc<Self>, set_aside: EditId, id: EditId) -> Result<(), Refused> {
        let keep = self.with_copy(|copy| copy.redo(set_aside, id, clock::now()))?;
        self.keep_rows(keep);
        Ok(())
    }

    pub(super) fn drop_row(self: &Rc<Self>, set_aside: EditId) {
        if let Ok(keep) = self.with_copy(|copy| Ok(copy.drop_row(set_aside))) {
            self.keep_rows(keep);
        }
    }

    pub(super) fn put_away(self: &Rc<Self>, number: u64) {
        if let Ok(keep) = self.with_copy(|copy| Ok(copy.put_away(number))) {
            self.keep_rows(keep);
        }
    }

    pub(super) fn note_base(&self, of: NoteOf, document: DocumentName) -> NoteBase {
        self.open
            .borrow()
            .as_ref()
            .map(|open| open.copy.note_base(of, document))
            .unwrap_or_default()
    }

    /// The garden as it stood at a moment, as far as the service has confirmed it.
    pub(super) fn as_of(&self, moment: Moment) -> Result<Garden, String> {
        let open = self.open.borrow();
        let Some(open) = open.as_ref() else {
            return Err("The garden is still being opened on this phone.".to_owned());
        };
        let stood = open.copy.confirmed().as_of(moment);
        stood.map_err(|error| format!("{error}."))
    }

    pub(super) fn switch_to(self: &Rc<Self>, garden: GardenId) {
        let vault = self.keeping.vault().clone();
        spawn_local(async move {
            match save_current(&vault, garden).await {
                Ok(()) => page::reload(),
                Err(trouble) => page::note(&trouble.to_string()),
            }
        });
    }

    pub(super) fn take_update(&self) {
        if let Some(worker) = self.worker.borrow().as_ref() {
            page::note_trouble(worker.take_over());
        }
    }

    pub(super) fn wake(self: &Rc<Self>) {
        self.feed(Event::Wake);
    }

    pub(super) fn export_waiting(&self) -> String {
        let open = self.open.borrow();
        let rows: Vec<String> = open
            .iter()
            .flat_map(|open| open.copy.outbox().in_order())
            .map(json::write)
            .collect();
        format!("[\n{}\n]\n", rows.join(",\n"))
    }

    fn with_copy<T>(
        &self,
        ask: impl FnOnce(&mut LocalCopy) -> Result<T, Refused>,
    ) -> Result<T, Refused> {
        let mut open = self.open.borrow_mut();
        let open = open.as_mut().ok_or_else(|| {
            Refused::new(
                selion_core::policy::RefusalCode::NotAMember,
                "The garden is still being opened on this phone.",
            )
        })?;
        open.copy.learn(judges::known());
        ask(&mut open.copy)
    }

    /// Edits that the first screens do not write are judged, and so shown, by what is in the later file: where one of
    /// those waits, the file is loaded now.
    fn judge_what_waits(self: &Rc<Self>) {
        let waits = self
            .open
            .borrow()
            .as_ref()
            .is_some_and(|open| open.copy.waits_for_judges());
        if !waits {
            return;
        }
        let this = Rc::clone(self);
        spawn_local(async move {
            load_judges().await;
            let mut shows_more = false;
            this.with_open(|open| shows_more = open.copy.learn(judges::known()));
            if shows_more {
                this.publish();
            }
        });
    }

    /// Keeps what a person wrote, with strict durability, and lets it be sent once it stands.
    fn keep_rows(self: &Rc<Self>, keep: Vec<Keep>) {
        self.publish();
        let edits = edits_in(&keep);
        let this = Rc::clone(self);
        self.keeping.keep(keep, Durability::Strict, move |settled| {
            this.settled(settled);
            // If even the storage fails the edit is better sent than held back; the truth line says what failed.
            if this.owns() {
                this.feed(Event::Saved(edits));
                this.say(KEPT);
            } else {
                let _closed = this.with_copy(|copy| {
                    copy.saved(&edits);
                    Ok(())
                });
                this.publish();
                this.say(ROWS);
            }
        });
    }

    fn settled(&self, settled: Result<(), Trouble>) {
        *self.trouble.borrow_mut() = settled.err().map(|trouble| trouble.to_string());
    }

    /// Hands an event to the session and carries out what it asks for.
    fn feed(self: &Rc<Self>, event: Event) {
        let effects = {
            let mut open = self.open.borrow_mut();
            let Some(open) = open.as_mut() else { return };
            if !open.owns.get() {
                return;
            }
            let chance = chance::bytes().map_or(0, u32::from_le_bytes);
            let OpenGarden { copy, session, .. } = open;
            session.handle(copy, clock::now(), chance, event)
        };
        for effect in effects {
            self.carry_out(effect);
        }
    }

    fn carry_out(self: &Rc<Self>, effect: Effect) {
        match effect {
            Effect::Open => self.open_socket(),
            Effect::Close => self.with_open(|open| open.socket = None),
            Effect::Send(text) => {
                let sent = self
                    .open
                    .borrow()
                    .as_ref()
                    .and_then(|open| open.socket.as_ref().map(|socket| socket.send(&text)));
                if let Some(Err(trouble)) = sent {
                    // The close that follows is reported by the socket itself.
                    page::note(&trouble.to_string());
                }
            }
            Effect::Request(frames) => self.request(frames),
            Effect::Keep(keep) => {
                let this = Rc::clone(self);
                self.keeping
                    .keep(keep, Durability::Relaxed, move |settled| {
                        this.settled(settled);
                        this.say(KEPT);
                    });
            }
            Effect::Show => self.publish(),
            Effect::WakeAt(at) => {
                let wait = i32::try_from(at.millis() - clock::now().millis())
                    .unwrap_or(i32::MAX)
                    .max(1);
                let this = Rc::clone(self);
                let tick = timer::after(wait, move || this.feed(Event::Tick));
                self.with_open(|open| open.tick = tick.ok());
            }
            Effect::Ended(message) => self.end(message),
        }
    }

    fn open_socket(self: &Rc<Self>) {
        let Some(garden) = self.open.borrow().as_ref().map(|open| open.id) else {
            return;
        };
        let this = Rc::clone(self);
        let socket = Socket::open(
            &format!("/api/gardens/{garden}/socket"),
            move |event| match event {
                SocketEvent::Opened => this.feed(Event::Opened),
                SocketEvent::Text(text) => this.feed(Event::Frame(text)),
                SocketEvent::NotText => {}
                SocketEvent::Closed { .. } => this.feed(Event::Closed),
            },
        );
        match socket {
            Ok(socket) => self.with_open(|open| open.socket = Some(socket)),
            Err(_not_opened) => {
                let this = Rc::clone(self);
                spawn_local(async move { this.feed(Event::Closed) });
            }
        }
    }

    fn request(self: &Rc<Self>, frames: Vec<String>) {
        let Some(garden) = self.open.borrow().as_ref().map(|open| open.id) else {
            return;
        };
        let this = Rc::clone(self);
        spawn_local(async move {
            match post_frames(garden, frames).await {
                Ok(frames) => this.feed(Event::Replied(frames)),
                Err(trouble) => {
                    this.hear_refusal(&trouble);
                    this.feed(Event::RequestFailed);
                }
            }
        });
    }

    /// A phone that was signed out while it was switched off hears of it from the first call that is refused.
    fn hear_refusal(self: &Rc<Self>, trouble: &Trouble) {
        if let Some(why) = trouble.shut_out() {
            self.end(why);
        }
    }

    fn end(self: &Rc<Self>, message: String) {
        self.book.phase.set(Phase::Ended(message));
        self.publish();
    }

    /// Shows what there is to show.
    fn publish(self: &Rc<Self>) {
        let open = self.open.borrow();
        let Some(open) = open.as_ref() else { return };
        let book = self.book;
        let copy = &open.copy;
        if matches!(open.session.link(), Link::Up(_)) {
            // In touch again after a refusal: there is a place in the garden after all.
            set_if_new(book.phase, Phase::Open);
        }
        if *book.garden.read_untracked().as_ref() != *copy.garden()
            && copy.garden().profile.is_some()
        {
            book.garden.set(Arc::new(copy.garden().clone()));
            self.keep_view_soon();
        }
        set_if_new(book.me, copy.member());
        set_if_new(book.told, copy.told().to_vec());
        set_if_new(
            book.set_aside,
            copy.outbox()
                .set_aside()
                .into_iter()
                .filter_map(aside_row)
                .collect(),
        );
        set_if_new(
            book.waiting,
            copy.outbox()
                .waiting()
                .into_iter()
                .flat_map(|row| subjects(&row.envelope.edit))
                .collect(),
        );
        let zone = copy
            .garden()
            .profile
            .as_ref()
            .map(|profile| profile.time_zone.clone());
        set_if_new(book.today, today(zone.as_deref()));
        set_if_new(book.truth, self.truth(open, zone.as_deref()));
    }

    fn truth(&self, open: &OpenGarden, zone: Option<&str>) -> Truth {
        let counts = open.copy.truth();
        if matches!(*self.book.phase.read_untracked(), Phase::Ended(_)) {
            return Truth::signed_out(counts.waiting);
        }
        let up = matches!(open.session.link(), Link::Up(_)) || !open.owns.get();
        if let Some(trouble) = self.trouble.borrow().as_ref() {
            return Truth {
                kind: TruthKind::Aside,
                sentence: trouble.clone(),
                right: String::new(),
                href: None,
            };
        }
        let at = counts
            .in_step_at
            .map(|at| clock::time_of_day(at, zone.unwrap_or("UTC")).unwrap_or_default())
            .unwrap_or_default();
        if counts.unsaved > 0 {
            Truth {
                kind: TruthKind::Waiting,
                sentence: "Saving on this phone".to_owned(),
                right: String::new(),
                href: None,
            }
        } else if counts.set_aside > 0 {
            Truth::aside(counts.set_aside, "/week#aside")
        } else if counts.waiting > 0 {
            Truth::waiting(counts.waiting, up)
        } else if up && !counts.caught_up {
            Truth::catching_up()
        } else if up {
            Truth::in_step(at)
        } else {
            Truth::no_signal(at)
        }
    }

    fn keep_view_soon(self: &Rc<Self>) {
        let this = Rc::clone(self);
        let later = timer::after(VIEW_AFTER, move || {
            let Some(garden) = this.book.current.get_untracked() else {
                return;
            };
            let text = json::write(this.book.garden.read_untracked().as_ref());
            let vault = this.keeping.vault().clone();
            spawn_local(async move {
                page::note_trouble(
                    vault
                        .commit(
                            &[Write::text(Store::View, garden.to_string(), text)],
                            Durability::Relaxed,
                        )
                        .await,
                );
            });
        });
        *self.view_timer.borrow_mut() = later.ok();
    }

    fn join_other_tabs(self: &Rc<Self>, garden: GardenId) {
        let this = Rc::clone(self);
        let channel = Channel::join(&format!("selion-{garden}"), move |word| {
            if word == ROWS && this.owns() {
                this.adopt_rows();
            } else if word == KEPT && !this.owns() {
                this.reread_soon();
            }
        });
        self.with_open(|open| open.channel = channel.ok());
    }

    /// The tab with the connection takes over the rows that another tab left in the outbox.
    fn adopt_rows(self: &Rc<Self>) {
        let Some(garden) = self.open.borrow().as_ref().map(|open| open.id) else {
            return;
        };
        let this = Rc::clone(self);
        spawn_local(async move {
            if let Ok(rows) = this.keeping.read_outbox(garden).await {
                this.with_open(|open| open.copy.adopt(&rows));
                this.judge_what_waits();
                this.feed(Event::Saved(Vec::new()));
                this.say(KEPT);
            }
        });
    }

    /// A tab without the connection reads again what the other keeps.
    fn reread_soon(self: &Rc<Self>) {
        let this = Rc::clone(self);
        let later = timer::after(120, move || {
            let again = Rc::clone(&this);
            spawn_local(async move { again.reread().await });
        });
        *self.reread_timer.borrow_mut() = later.ok();
    }

    async fn reread(self: &Rc<Self>) {
        let Some(garden) = self.open.borrow().as_ref().map(|open| open.id) else {
            return;
        };
        if let Ok(stored) = self.keeping.read(garden).await {
            let copy = LocalCopy::restore_with(judges::known(), garden, &stored);
            self.with_open(|open| open.copy = copy);
            self.publish();
            self.judge_what_waits();
        }
    }

    fn ask_for_the_lock(self: &Rc<Self>, garden: GardenId) {
        let this = Rc::clone(self);
        let got = move || {
            spawn_local(async move {
                // Another tab may have kept more since this one read.
                this.reread().await;
                this.with_open(|open| open.owns.set(true));
                this.feed(Event::Wake);
            });
        };
        if let Err(_no_locks) = locks::hold(&format!("selion-{garden}"), got.clone()) {
            got();
        }
    }

    fn listen(self: &Rc<Self>) {
        let (this, other) = (Rc::clone(self), Rc::clone(self));
        let visible = page::on_visible(move |visible| this.seen(visible));
        let online = page::on_online(move |online| {
            if online {
                other.feed(Event::Wake);
            } else {
                other.publish();
            }
        });
        self.with_open(|open| {
            open.listeners.extend(visible);
            open.listeners.extend(online.into_iter().flatten());
        });
    }

    fn seen(self: &Rc<Self>, visible: bool) {
        if visible {
            self.with_open(|open| open.sleep = None);
            self.feed(Event::Wake);
        } else {
            let this = Rc::clone(self);
            let sleep = timer::after(AWAKE_AT_THE_BACK, move || this.feed(Event::Sleep));
            self.with_open(|open| open.sleep = sleep.ok());
        }
    }

    fn watch_the_clock(self: &Rc<Self>) {
        let this = Rc::clone(self);
        *self.minute.borrow_mut() = timer::every(60_000, move || this.publish()).ok();
    }

    fn register_worker(self: &Rc<Self>) {
        let this = Rc::clone(self);
        let book = self.book;
        spawn_local(async move {
            match worker::register(move || book.update_waits.set(true)).await {
                Ok(worker) => *this.worker.borrow_mut() = Some(worker),
                Err(trouble) => page::note(&trouble.to_string()),
            }
        });
    }

    fn owns(&self) -> bool {
        self.open
            .borrow()
            .as_ref()
            .is_some_and(|open| open.owns.get())
    }

    fn say(&self, word: &str) {
        if let Some(channel) = self
            .open
            .borrow()
            .as_ref()
            .and_then(|open| open.channel.as_ref())
        {
            page::note_trouble(channel.say(word));
        }
    }

    fn with_open(&self, change: impl FnOnce(&mut OpenGarden)) {
        if let Some(open) = self.open.borrow_mut().as_mut() {
            change(open);
        }
    }
}

async fn post_frames(garden: GardenId, frames: Vec<String>) -> Result<Vec<String>, Trouble> {
    struct Reply {
        frames: Vec<json::Value>,
    }
    record!(Reply { frames });
    // Each frame is JSON already, so a list of them is, too.
    let body = format!(r#"{{"frames":[{}]}}"#, frames.join(","));
    let token = access().await?;
    let path = format!("/api/gardens/{garden}/sync");
    let reply: Reply = Call::post_text(&path, body).bearer(&token).answer().await?;
    Ok(reply.frames.iter().map(json::write).collect())
}

fn aside_row(row: &selion_core::sync::Row) -> Option<AsideRow> {
    match &row.state {
        RowState::SetAside { refused, at } => Some(AsideRow {
            edit: row.envelope.id,
            envelope: row.envelope.clone(),
            refused: refused.clone(),
            at: *at,
        }),
        RowState::Waiting | RowState::Accepted { .. } => None,
    }
}

fn set_if_new<T: PartialEq + Send + Sync + 'static>(signal: RwSignal<T>, value: T) {
    if *signal.read_untracked() != value {
        signal.set(value);
    }
}
