//! Several beds chosen and brought in line, or put the same distance apart.

use leptos::prelude::*;
use selion_core::document::ids::BedId;

use super::Desk;
use crate::parts::{act, acts, check_field};
use crate::piece::{Piece, each, el, memo, row, signal_of, watch};
use crate::plain::draw::line_up::{LineUp, lined_up};
use crate::plain::wording::{capital, counted};

pub(super) fn line_up(desk: Desk) -> Piece {
    let chosen = signal_of(Vec::<BedId>::new());
    let beds = memo(move || {
        let garden = desk.book.garden.read();
        garden
            .open_beds()
            .into_iter()
            .map(|(bed, record)| (bed, record.label.clone()))
            .collect::<Vec<_>>()
    });
    let tick = move |(bed, label): (BedId, String)| {
        row(format!("{bed} {label}"), move || {
            let ticked = signal_of(chosen.read_untracked().contains(&bed));
            watch(move || {
                let is_in = ticked.get();
                chosen.update(|chosen| {
                    chosen.retain(|other| *other != bed);
                    if is_in {
                        chosen.push(bed);
                    }
                });
            });
            check_field(label, ticked)
        })
    };
    let go = move |how: LineUp| {
        let edits = {
            let garden = desk.book.garden.read_untracked();
            lined_up(&garden, &chosen.read_untracked(), how)
        };
        match edits {
            Ok(edits) if edits.is_empty() => desk.pen.say("They lie so already."),
            Ok(edits) => {
                let said = format!("Moved: {}.", counted(edits.len(), "bed", "beds"));
                desk.pick(None);
                desk.write_all(edits, said);
            }
            Err(bad) => desk.pen.say(capital(&bad.to_string())),
        }
    };
    let mut buttons = acts();
    for (how, words) in LineUp::ALL {
        buttons = buttons.child(act(words, move || go(how)));
    }
    el("details")
        .class("more")
        .child(el("summary").child("Line several beds up"))
        .child(
            el("div")
                .class("form")
                .attr("role", "group")
                .attr("aria-label", "Beds to line up")
                .child(
                    el("div")
                        .class("ticks")
                        .child(each(move || beds.get(), tick)),
                ),
        )
        .child(buttons)
        .into()
}
