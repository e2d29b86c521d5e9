//! Places of a task, as little squares.

use crate::piece::{Piece, el};

/// One square a place: filled when taken, in pen colour with a ring when it is yours; those who stand by follow as circles.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Squares {
    /// How many places there are.
    pub total: usize,
    /// How many are taken, yours included.
    pub held: usize,
    /// Whether one of them is yours.
    pub mine: bool,
    /// How many stand by.
    pub standing_by: usize,
}

/// The places as they are now.
pub fn places(squares: impl Fn() -> Squares + Copy + Send + Sync + 'static) -> Piece {
    el("span")
        .class("places")
        .attr("role", "img")
        .attr("aria-label", move || spoken(squares()))
        .child(move || drawn(squares()))
        .into()
}

fn drawn(squares: Squares) -> Piece {
    let Squares {
        total,
        held,
        mine,
        standing_by,
    } = squares;
    let place = (0..total.max(held)).map(|index| {
        if index == 0 && mine {
            "me"
        } else if index < held {
            "held"
        } else {
            ""
        }
    });
    place
        .chain(std::iter::repeat_n("stand-by", standing_by))
        .map(|class| el("i").class(class))
        .collect()
}

fn spoken(squares: Squares) -> String {
    let Squares {
        total,
        held,
        mine,
        standing_by,
    } = squares;
    let yours = if mine { ", one of them yours" } else { "" };
    let waiting = if standing_by > 0 {
        format!(", {standing_by} standing by")
    } else {
        String::new()
    };
    format!("{held} of {total} places taken{yours}{waiting}")
}
