//! What Selion is for and what it promises, in plain words.

use crate::parts::{NoteKind, heading, note};
use crate::piece::{Piece, el, pieces};

/// The leaf.
pub fn about() -> Piece {
    pieces![
        heading("What this is"),
        el("p").child(
            "A selion is an old word for one strip of a field that people \
             share. Selion is the field book of your garden: who does what on \
             which bed, who picks when, and what each one's share of a load or \
             a job is."
        ),
        heading("Three promises"),
        note()
            .kind(NoteKind::Done)
            .lead("Nothing that somebody wrote is lost.")
            .child(
                "What you write is saved on this phone before the screen says so, \
                 and sent when there is a signal. What the garden cannot take is \
                 set aside with the reason, for you to redo or drop."
            ),
        note()
            .kind(NoteKind::Done)
            .lead("Every number shows its working.")
            .child(
                "Open the panel under a figure: what went in, which rule, where it \
                 comes from, how it was rounded. Shares add up to the whole, \
                 exactly."
            ),
        note()
            .kind(NoteKind::Done)
            .lead("Nobody is bumped in silence.")
            .child(
                "Who holds a task, a bed or a picking turn is the same on every \
                 phone. The first claim to arrive holds; whoever stands by is told, \
                 and so is whoever moves up."
            ),
        heading("With no signal"),
        el("p").child(
            "Everything but inviting and devices works without one. The line at \
             the top always tells how things stand: in step with the garden, so \
             many waiting on this phone, or something set aside."
        ),
        heading("Words"),
        el("dl")
            .class("words")
            .child(el("dt").child("Coordinator"))
            .child(el("dd").child("plans the ground, orders in bulk, keeps people and roles"))
            .child(el("dt").child("Member"))
            .child(el("dd").child("holds a bed, alone or in parts with others"))
            .child(el("dt").child("Helper"))
            .child(el("dd").child("comes to help, without a bed"))
            .child(el("dt").child("Stand-by"))
            .child(
                el("dd")
                    .child("claimed, but the places are taken; next in line when one comes free")
            )
            .child(el("dt").child("Common bed"))
            .child(
                el("dd")
                    .child("held by nobody in particular; its shares are on the garden's account")
            )
            .child(el("dt").child("Load"))
            .child(el("dd").child("something bought together, shared by bed area"))
            .child(el("dt").child("Closed"))
            .child(el("dd").child(
                "frozen as it stood that day; what changes afterwards does not \
                 change it"
            ))
    ]
}
