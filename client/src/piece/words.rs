//! What a piece is given to show: words, or a value, that may change while it shows.

use std::borrow::Cow;
use std::sync::Arc;

use leptos::prelude::{Get, RwSignal, Signal};

use super::{Ask, Memo, Speak};

/// Words on the page or in an attribute: none, fixed, or worked out anew whenever a signal they read changes.
#[derive(Clone, Default)]
pub enum Words {
    /// No words; an attribute that has none is left away.
    #[default]
    None,
    /// Words that stay.
    Fixed(Cow<'static, str>),
    /// Words that follow the signals they are made from.
    Live(Arc<dyn Speak + Send + Sync>),
}

impl Words {
    /// The words as they are now; read inside a signal, it follows them.
    pub fn now(&self) -> Option<String> {
        match self {
            Self::None => None,
            Self::Fixed(words) => Some(words.clone().into_owned()),
            Self::Live(words) => words.speak(),
        }
    }

    /// The words as they are now, or nothing at all.
    pub fn get(&self) -> String {
        self.now().unwrap_or_default()
    }

    /// The words as they are now, if there are any to read.
    pub fn some(&self) -> Option<String> {
        self.now().filter(|words| !words.is_empty())
    }

    /// Whether there are any to read now.
    pub fn is_some(&self) -> bool {
        self.some().is_some()
    }

    /// Whether somebody gave words, even if they are none just now.
    pub fn are_given(&self) -> bool {
        !matches!(self, Self::None)
    }
}

impl std::fmt::Debug for Words {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(match self {
            Self::None => "Words::None",
            Self::Fixed(_) => "Words::Fixed",
            Self::Live(_) => "Words::Live",
        })
    }
}

impl From<&'static str> for Words {
    fn from(words: &'static str) -> Self {
        Self::Fixed(Cow::Borrowed(words))
    }
}

impl From<String> for Words {
    fn from(words: String) -> Self {
        Self::Fixed(Cow::Owned(words))
    }
}

impl<T: Into<Words>> From<Option<T>> for Words {
    fn from(words: Option<T>) -> Self {
        words.map_or(Self::None, Into::into)
    }
}

/// An attribute that is there or not, such as `disabled`.
impl From<bool> for Words {
    fn from(is_there: bool) -> Self {
        is_there.then_some("").into()
    }
}

impl<F, W> From<F> for Words
where
    F: Fn() -> W + Send + Sync + 'static,
    W: Into<Words>,
{
    fn from(words: F) -> Self {
        Self::Live(Arc::new(words))
    }
}

impl<T: Clone + Into<Words> + Send + Sync + 'static> From<Signal<T>> for Words {
    fn from(words: Signal<T>) -> Self {
        Self::from(move || words.get())
    }
}

impl<T: Clone + Into<Words> + Send + Sync + 'static> From<Memo<T>> for Words {
    fn from(words: Memo<T>) -> Self {
        Self::from(move || words.get())
    }
}

impl<T: Clone + Into<Words> + Send + Sync + 'static> From<RwSignal<T>> for Words {
    fn from(words: RwSignal<T>) -> Self {
        Self::from(move || words.get())
    }
}

/// A value that stays, or is worked out anew whenever a signal it reads changes.
#[derive(Clone)]
pub enum Given<T> {
    /// A value that stays.
    Fixed(T),
    /// A value that follows the signals it is made from.
    Live(Arc<dyn Ask<T> + Send + Sync>),
}

impl<T: Clone> Given<T> {
    /// The value as it is now; read inside a signal, it follows it.
    pub fn get(&self) -> T {
        match self {
            Self::Fixed(value) => value.clone(),
            Self::Live(value) => value.ask(),
        }
    }
}

impl<T: Default> Default for Given<T> {
    fn default() -> Self {
        Self::Fixed(T::default())
    }
}

impl<T> std::fmt::Debug for Given<T> {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(match self {
            Self::Fixed(_) => "Given::Fixed",
            Self::Live(_) => "Given::Live",
        })
    }
}

macro_rules! fixed {
    ($($type:ty),*) => {
        $(impl From<$type> for Given<$type> {
            fn from(value: $type) -> Self {
                Self::Fixed(value)
            }
        })*
    };
}

fixed!(bool, f64, usize, (f64, f64));

impl<T> From<Vec<T>> for Given<Vec<T>> {
    fn from(values: Vec<T>) -> Self {
        Self::Fixed(values)
    }
}

impl<T, F: Fn() -> T + Send + Sync + 'static> From<F> for Given<T> {
    fn from(value: F) -> Self {
        Self::Live(Arc::new(value))
    }
}

impl<T: Clone + Send + Sync + 'static> From<Signal<T>> for Given<T> {
    fn from(value: Signal<T>) -> Self {
        Self::Live(Arc::new(move || value.get()))
    }
}

impl<T: Clone + Send + Sync + 'static> From<Memo<T>> for Given<T> {
    fn from(value: Memo<T>) -> Self {
        Self::Live(Arc::new(move || value.get()))
    }
}

impl<T: Clone + Send + Sync + 'static> From<RwSignal<T>> for Given<T> {
    fn from(value: RwSignal<T>) -> Self {
        Self::Live(Arc::new(move || value.get()))
    }
}
