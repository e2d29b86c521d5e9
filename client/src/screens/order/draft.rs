//! A load as it is being typed: one value that all fields look into, kept on the phone until it is sent.

use std::rc::Rc;
use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::ids::LineId;
use selion_core::document::records::{Number, Order};
use selion_core::json;

use crate::browser::{drafts, page};
use crate::piece::{Memo, derived, memo, signal_of, watch};
use crate::plain::order_form::{Kind, LineTyped, OrderBox, OrderTyped, PackTyped, Wrong};
use crate::state::{Book, use_book};

/// The order as it stands in the form, and what is wrong with it.
type AsRead = Option<Result<Order, Wrong>>;

/// The form as it is being typed.
#[derive(Clone, Copy, Debug)]
pub struct Draft {
    book: Book,
    /// What stands in it.
    pub(super) typed: RwSignal<OrderTyped>,
    /// What it means; read once for the fields and the shares beside them.
    read: Memo<AsRead>,
    before: StoredValue<Option<Arc<Order>>>,
    tried: RwSignal<bool>,
    kept_as: StoredValue<Option<String>>,
}

impl Draft {
    /// A form for an order that is changed. It is not kept: others may change the order before it is taken up again.
    pub(super) fn of(order: Arc<Order>) -> Self {
        let book = use_book();
        let typed = untrack(|| Some(OrderTyped::of(&order, book.units(), book.currency()?)));
        Self::with(Some(order), typed.unwrap_or_default(), None)
    }

    /// A form for a new order: as it was left, or with this line.
    pub(super) fn begun(line: Option<LineTyped>, kept_as: String) -> Self {
        let typed = match line {
            Some(line) => with_line(use_book(), line),
            None => kept(&kept_as).unwrap_or_else(|| usual(use_book())),
        };
        Self::with(None, typed, Some(kept_as))
    }

    /// A form for a new order that begins with all of this.
    pub(super) fn begun_with(typed: OrderTyped, kept_as: String) -> Self {
        Self::with(None, typed, Some(kept_as))
    }

    fn with(before: Option<Arc<Order>>, typed: OrderTyped, kept_as: Option<String>) -> Self {
        let book = use_book();
        let typed = signal_of(typed);
        let before = StoredValue::new(before);
        let read = memo(move || {
            let (units, currency) = (book.units(), book.currency()?);
            let typed = typed.read();
            Some(before.with_value(|before| typed.read(units, currency, before.as_deref())))
        });
        let draft = Self {
            book,
            typed,
            read,
            before,
            tried: signal_of(false),
            kept_as: StoredValue::new(kept_as),
        };
        let begun_with = typed.get_untracked();
        // What was typed outlives a closed page; a form that nobody touched is not worth keeping.
        watch(move || {
            let typed = typed.read();
            if *typed != begun_with {
                draft.keep(&typed);
            }
        });
        draft
    }

    /// The order that is changed.
    pub(super) fn before(self) -> Option<Arc<Order>> {
        self.before.get_value()
    }

    /// The order as it stands, if nothing is wrong.
    pub(super) fn order(self) -> Memo<Option<Order>> {
        memo(move || self.read.with(|read| read.as_ref()?.as_ref().ok().cloned()))
    }

    /// The order that was typed; from a first try on, each wrong field says why until it is right.
    pub(super) fn sent(self) -> Option<Order> {
        self.tried.set(true);
        self.read
            .with_untracked(|read| read.as_ref()?.as_ref().ok().cloned())
    }

    /// Begins again with an empty form.
    pub(super) fn start_anew(self) {
        self.tried.set(false);
        self.typed.set(usual(self.book));
        self.forget();
    }

    fn keep(self, typed: &OrderTyped) {
        self.kept_as.with_value(|key| {
            if let Some(key) = key {
                page::note_trouble(drafts::put(key, &json::write(typed)));
            }
        });
    }

    /// What was typed is no longer wanted.
    pub(super) fn forget(self) {
        self.kept_as.with_value(|key| {
            if let Some(key) = key {
                page::note_trouble(drafts::remove(key));
            }
        });
    }

    /// What is wrong with a field, once somebody tried to send it.
    pub(super) fn wrong(self, of: OrderBox) -> Signal<Option<String>> {
        derived(move || {
            let tried = self.tried.get();
            self.read.with(|read| match read {
                Some(Err(wrong)) if tried => wrong.get(&of).cloned(),
                Some(_) | None => None,
            })
        })
    }

    /// One line of it as it stands; the usual one where it is gone.
    pub(super) fn line(self, id: LineId) -> Memo<LineTyped> {
        memo(move || {
            self.typed
                .with(|typed| typed.lines.get(&id).cloned().unwrap_or_default())
        })
    }

    /// Changes a line.
    pub(super) fn change_line(self, id: LineId, change: impl FnOnce(&mut LineTyped)) {
        self.typed.update(|typed| {
            if let Some(line) = typed.lines.get_mut(&id) {
                change(line);
            }
        });
    }

    /// Adds a line.
    pub(super) fn add_line(self) {
        let id = self.book.fresh(LineId::fresh);
        let line = untrack(|| Kind::Compost.line(self.book.units()));
        self.typed.update(|typed| {
            typed.lines.insert(id, line);
        });
    }

    /// One text of it as the signal of a field.
    pub(super) fn text(
        self,
        of: impl Fn(&mut OrderTyped) -> Option<&mut String> + Copy + 'static,
    ) -> RwSignal<String> {
        let set = move |typed: &mut OrderTyped, now: &str| {
            if let Some(text) = of(typed) {
                now.clone_into(text);
            }
        };
        self.lens(Box::new(move |typed| of(typed).cloned()), Box::new(set))
    }

    /// One text of a line as the signal of a field.
    pub(super) fn line_text(
        self,
        id: LineId,
        of: fn(&mut LineTyped) -> &mut String,
    ) -> RwSignal<String> {
        self.text(move |typed| typed.lines.get_mut(&id).map(of))
    }

    /// One text of a size as the signal of a field.
    pub(super) fn pack_text(
        self,
        id: LineId,
        number: Number,
        of: fn(&mut PackTyped) -> &mut String,
    ) -> RwSignal<String> {
        self.text(move |typed| typed.lines.get_mut(&id)?.packs.get_mut(&number).map(of))
    }

    /// One choice of a line as the signal of a field, by its key.
    pub(super) fn line_choice(
        self,
        id: LineId,
        get: fn(&LineTyped) -> &'static str,
        set: impl Fn(&mut LineTyped, &str) + 'static,
    ) -> RwSignal<String> {
        let get =
            move |typed: &mut OrderTyped| typed.lines.get(&id).map(|line| get(line).to_owned());
        let set = move |typed: &mut OrderTyped, key: &str| {
            if let Some(line) = typed.lines.get_mut(&id) {
                set(line, key);
            }
        };
        self.lens(Box::new(get), Box::new(set))
    }

    /// A signal that follows a part of the form, and that the form follows.
    pub(super) fn lens(self, get: Reads, set: Writes) -> RwSignal<String> {
        let typed = self.typed;
        let now = move || typed.try_update_untracked(|typed| get(typed)).flatten();
        let field = signal_of(now().unwrap_or_default());
        let now = Rc::new(now);
        let seen = Rc::clone(&now);
        watch(move || {
            let text = field.get();
            // Only a change is written, or the form would go round in a circle.
            if seen().is_some_and(|seen| seen != text) {
                typed.update(|typed| set(typed, &text));
            }
        });
        watch(move || {
            typed.track();
            if let Some(text) = now().filter(|text| *text != field.get_untracked()) {
                field.set(text);
            }
        });
        field
    }
}

/// What was kept of a form on this phone.
fn kept(key: &str) -> Option<OrderTyped> {
    json::read(&drafts::get(key)?).ok()
}

/// What most people order.
fn usual(book: Book) -> OrderTyped {
    with_line(book, untrack(|| Kind::Lime.line(book.units())))
}

fn with_line(book: Book, line: LineTyped) -> OrderTyped {
    let mut typed = OrderTyped::default();
    typed.lines.insert(book.fresh(LineId::fresh), line);
    typed
}

/// Reads a part of the form.
pub(super) type Reads = Box<dyn Fn(&mut OrderTyped) -> Option<String>>;
/// Writes it.
pub(super) type Writes = Box<dyn Fn(&mut OrderTyped, &str)>;
