//! Signals as the screens make them. Each of these is compiled once for a type of value, and not anew wherever it is used.

use std::any::Any;
use std::marker::PhantomData;
use std::sync::Arc;

use leptos::prelude::*;

use super::Ask;
use super::ask::WorkOut;

/// A signal that holds a value until another is set.
#[inline(never)]
pub fn signal_of<T: Send + Sync + 'static>(value: T) -> RwSignal<T> {
    RwSignal::new(value)
}

/// A value that is worked out from other signals whenever it is asked for.
pub fn derived<T: Send + Sync + 'static>(
    work_out: impl Fn() -> T + Send + Sync + 'static,
) -> Signal<T> {
    derived_boxed(Box::new(work_out))
}

#[inline(never)]
fn derived_boxed<T: Send + Sync + 'static>(work_out: Box<dyn Ask<T> + Send + Sync>) -> Signal<T> {
    Signal::derive(move || work_out.ask())
}

/// A value that is worked out from other signals when one of them changes, and tells further only when it differs from
/// before. Below they are all of one type, so that a further type of value costs next to nothing.
pub struct Memo<T> {
    answer: leptos::prelude::Memo<Answer>,
    of: PhantomData<fn() -> T>,
}

/// What was worked out, of whatever type, with how to tell two of that type apart.
#[derive(Clone)]
pub(super) struct Answer {
    value: Arc<dyn Any + Send + Sync>,
    same: fn(&Answer, &Answer) -> bool,
}

/// A value that is worked out anew when a signal it reads changes, and kept until then.
pub fn memo<T: PartialEq + Send + Sync + 'static>(
    work_out: impl Fn() -> T + Send + Sync + 'static,
) -> Memo<T> {
    Memo {
        answer: memo_boxed(Box::new(work_out)),
        of: PhantomData,
    }
}

#[inline(never)]
fn memo_boxed(work_out: Box<dyn WorkOut + Send + Sync>) -> leptos::prelude::Memo<Answer> {
    leptos::prelude::Memo::new(move |_| work_out.work_out())
}

impl Answer {
    #[inline(never)]
    pub(super) fn of<T: PartialEq + Send + Sync + 'static>(value: T) -> Self {
        Self {
            value: Arc::new(value),
            same: |one, other| match (
                one.value.downcast_ref::<T>(),
                other.value.downcast_ref::<T>(),
            ) {
                (Some(one), Some(other)) => one == other,
                _ => false,
            },
        }
    }

    #[inline(never)]
    fn take<T: Send + Sync + 'static>(self) -> Arc<T> {
        match self.value.downcast() {
            Ok(value) => value,
            Err(_) => unreachable!("a memo holds what it was made from"),
        }
    }
}

impl PartialEq for Answer {
    fn eq(&self, other: &Self) -> bool {
        (self.same)(self, other)
    }
}

impl<T: Send + Sync + 'static> Memo<T> {
    /// The value, to be looked at; read inside a signal, it follows it.
    pub fn read(self) -> Arc<T> {
        self.answer.get().take()
    }

    /// The value, to be looked at, without following it.
    pub fn read_untracked(self) -> Arc<T> {
        self.answer.get_untracked().take()
    }

    /// The value.
    pub fn get(self) -> T
    where
        T: Clone,
    {
        T::clone(&self.read())
    }

    /// The value, without following it.
    pub fn get_untracked(self) -> T
    where
        T: Clone,
    {
        T::clone(&self.read_untracked())
    }

    /// Looks at the value.
    pub fn with<U>(self, look: impl FnOnce(&T) -> U) -> U {
        look(&self.read())
    }

    /// Looks at the value, without following it.
    pub fn with_untracked<U>(self, look: impl FnOnce(&T) -> U) -> U {
        look(&self.read_untracked())
    }
}

impl<T> Clone for Memo<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Memo<T> {}

impl<T> std::fmt::Debug for Memo<T> {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Memo").finish_non_exhaustive()
    }
}

impl<T: Clone + Send + Sync + 'static> From<Memo<T>> for Signal<T> {
    fn from(memo: Memo<T>) -> Self {
        derived(move || memo.get())
    }
}
