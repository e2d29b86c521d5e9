//! Closures as objects. A `dyn Fn` carries two further ways of being called that nobody uses here, for every closure there
//! is; these carry one.

use super::{Answer, Piece, Words};

/// Gives a value whenever it is asked.
pub trait Ask<T> {
    /// The value as it is now.
    fn ask(&self) -> T;
}

impl<T, F: Fn() -> T> Ask<T> for F {
    fn ask(&self) -> T {
        self()
    }
}

/// Gives a piece whenever it is asked.
pub trait Draw {
    /// The piece as it is now.
    fn draw(&self) -> Piece;
}

impl<P: Into<Piece>, F: Fn() -> P> Draw for F {
    fn draw(&self) -> Piece {
        self().into()
    }
}

/// Gives words whenever it is asked.
pub trait Speak {
    /// The words as they are now, if there are any.
    fn speak(&self) -> Option<String>;
}

impl<W: Into<Words>, F: Fn() -> W> Speak for F {
    fn speak(&self) -> Option<String> {
        self().into().now()
    }
}

/// Works something out for a memo.
pub(super) trait WorkOut {
    /// The answer as it is now.
    fn work_out(&self) -> Answer;
}

impl<T: PartialEq + Send + Sync + 'static, F: Fn() -> T> WorkOut for F {
    fn work_out(&self) -> Answer {
        Answer::of(self())
    }
}
