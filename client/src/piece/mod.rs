//! What the screens are made of.
//!
//! A [`Piece`] is something on the page: words, an element, several of them, or a closure that is asked again whenever a
//! signal it reads changes. Leptos draws them ([`mounted`] is its `Render` for a piece) and its signals drive them.
//!
//! ```text
//! el("p").class("note").child("Claim a task below.")             an element
//! el("span").child(move || format!("{} left", left.get()))       words that follow a signal
//! pieces![heading("Mine"), el("p").child(words)]                 several, one after the other
//! when(move || is_late.get(), || tag("late", TagKind::Stop))     something only while it is so; `.otherwise(…)`
//! each(move || ids.get(), |id| row(id, move || line(id)))         a list whose rows keep their place and focus
//! ```
//!
//! A screen and a part are plain functions that return a `Piece`, or a struct that becomes one ([`Into`]) where there is
//! something to choose. A function runs once, and makes signals; only the closures in it run again. When a closure gives
//! elements like the ones that stand there, those are changed and not replaced, so that a finger or the focus on them
//! stays.
//!
//! What changes is made with [`signal_of`], [`derived`] and [`memo`] (a memo tells further only what differs, so it stands
//! where a piece is not to be made anew each time the garden changes), and what is to be done at a change with [`watch`].
//!
//! All pieces are of one type on purpose. `view!` gives every element, closure and component a type of its own, and for
//! each type the program for the browser carries the code that builds and changes it: as much again as the screens
//! themselves. For the same reason what is generic here hands over to something that is not, and is kept from being
//! inlined: a call is a few bytes, and what it does would be written out hundreds of times.

mod ask;
mod element;
mod mounted;
mod signals;
mod words;

use std::borrow::Cow;

use leptos::prelude::*;

pub use ask::{Ask, Draw, Speak};
pub use element::{El, el, svg};
pub use mounted::Mounted;
use signals::Answer;
pub use signals::{Memo, derived, memo, signal_of};
pub use words::{Given, Words};

/// Something on the page.
#[derive(Default)]
#[must_use = "a piece is on the page only once it stands in another"]
pub enum Piece {
    /// Nothing to see.
    #[default]
    Nothing,
    /// Words.
    Text(Cow<'static, str>),
    /// An element with what is in it.
    Element(El),
    /// Several, one after the other.
    Several(Vec<Piece>),
    /// Asked again whenever a signal it reads changes.
    Live(Box<dyn Draw>),
    /// A list whose rows keep their place while others come and go.
    Rows(Rows),
}

impl std::fmt::Debug for Piece {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(match self {
            Self::Nothing => "Piece::Nothing",
            Self::Text(_) => "Piece::Text",
            Self::Element(_) => "Piece::Element",
            Self::Several(_) => "Piece::Several",
            Self::Live(_) => "Piece::Live",
            Self::Rows(_) => "Piece::Rows",
        })
    }
}

/// The rows of a list as they are to be now.
#[derive(Debug)]
pub struct Rows {
    rows: Vec<Row>,
    owner: Owner,
}

/// One row: what it is known by, and how it is made when it is new.
pub struct Row {
    key: String,
    make: Box<dyn FnOnce() -> Piece>,
}

impl std::fmt::Debug for Row {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Row")
            .field("key", &self.key)
            .finish_non_exhaustive()
    }
}

/// A row of a list, known by its key; it is made once, and stays as long as the list names the key.
#[expect(
    clippy::needless_pass_by_value,
    reason = "ids are small, and handed over they read better"
)]
pub fn row<P: Into<Piece>>(key: impl ToString, make: impl FnOnce() -> P + 'static) -> Row {
    Row {
        key: key.to_string(),
        make: Box::new(move || make().into()),
    }
}

/// A piece that is asked again whenever a signal it reads changes.
pub fn live<P: Into<Piece>>(piece: impl Fn() -> P + 'static) -> Piece {
    piece.into()
}

/// A list with a row for each item. Rows are made once and keep their place, their focus and what is open in them.
pub fn each<I: IntoIterator>(
    items: impl Fn() -> I + 'static,
    row_of: impl Fn(I::Item) -> Row + 'static,
) -> Piece {
    each_of(Box::new(move || items().into_iter().map(&row_of).collect()))
}

fn each_of(rows: Box<dyn Ask<Vec<Row>>>) -> Piece {
    // Rows outlive the run of the closure that names them: they belong to whoever made the list.
    let owner = Owner::current().unwrap_or_default();
    Piece::Live(Box::new(move || {
        Piece::Rows(Rows {
            rows: rows.ask(),
            owner: owner.clone(),
        })
    }))
}

/// Something that stands only while a condition holds; it is made anew each time it comes to hold.
#[must_use = "a piece is on the page only once it stands in another"]
pub struct When {
    holds: Box<dyn Ask<bool> + Send + Sync>,
    then: Box<dyn Draw>,
    otherwise: Option<Box<dyn Draw>>,
}

/// Something only while a condition holds.
pub fn when<P: Into<Piece>>(
    holds: impl Fn() -> bool + Send + Sync + 'static,
    then: impl Fn() -> P + 'static,
) -> When {
    When {
        holds: Box::new(holds),
        then: Box::new(then),
        otherwise: None,
    }
}

impl When {
    /// And something else while it does not.
    pub fn otherwise<P: Into<Piece>>(self, piece: impl Fn() -> P + 'static) -> Self {
        Self {
            otherwise: Some(Box::new(piece)),
            ..self
        }
    }
}

impl std::fmt::Debug for When {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("When").finish_non_exhaustive()
    }
}

impl From<When> for Piece {
    fn from(when: When) -> Self {
        let When {
            holds,
            then,
            otherwise,
        } = when;
        let holds = ArcMemo::new(move |_| holds.ask());
        Self::Live(Box::new(move || {
            if holds.get() {
                then.draw()
            } else {
                otherwise
                    .as_ref()
                    .map_or(Self::Nothing, |piece| piece.draw())
            }
        }))
    }
}

/// Several pieces, one after the other.
#[macro_export]
macro_rules! pieces {
    ($($piece:expr),* $(,)?) => {
        $crate::piece::Piece::Several(vec![$($crate::piece::Piece::from($piece)),*])
    };
}
pub use pieces;

/// Does something now, and again whenever a signal it read changes.
pub fn watch(act: impl Fn() + 'static) {
    watch_boxed(Box::new(act));
}

#[inline(never)]
fn watch_boxed(act: Box<dyn Ask<()>>) {
    Effect::new(move |_| act.ask());
}

impl From<&'static str> for Piece {
    fn from(words: &'static str) -> Self {
        Self::Text(Cow::Borrowed(words))
    }
}

impl From<String> for Piece {
    fn from(words: String) -> Self {
        Self::Text(Cow::Owned(words))
    }
}

impl From<Words> for Piece {
    fn from(words: Words) -> Self {
        match words {
            Words::None => Self::Nothing,
            Words::Fixed(words) => Self::Text(words),
            Words::Live(words) => Self::Live(Box::new(move || words.speak())),
        }
    }
}

impl From<El> for Piece {
    fn from(element: El) -> Self {
        Self::Element(element)
    }
}

impl<P: Into<Piece>> From<Option<P>> for Piece {
    fn from(piece: Option<P>) -> Self {
        piece.map_or(Self::Nothing, Into::into)
    }
}

impl<P: Into<Piece>> From<Vec<P>> for Piece {
    fn from(pieces: Vec<P>) -> Self {
        pieces.into_iter().collect()
    }
}

impl<P: Into<Piece>> FromIterator<P> for Piece {
    fn from_iter<I: IntoIterator<Item = P>>(pieces: I) -> Self {
        Self::Several(pieces.into_iter().map(Into::into).collect())
    }
}

impl<F, P> From<F> for Piece
where
    F: Fn() -> P + 'static,
    P: Into<Piece>,
{
    fn from(piece: F) -> Self {
        Self::Live(Box::new(piece))
    }
}

impl<T: Clone + Into<Piece> + Send + Sync + 'static> From<Signal<T>> for Piece {
    fn from(signal: Signal<T>) -> Self {
        Self::Live(Box::new(move || signal.get()))
    }
}

impl<T: Clone + Into<Piece> + Send + Sync + 'static> From<Memo<T>> for Piece {
    fn from(memo: Memo<T>) -> Self {
        Self::Live(Box::new(move || memo.get()))
    }
}
