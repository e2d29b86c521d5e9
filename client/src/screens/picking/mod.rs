//! Picking: who picks which bed when, this week and next, and what was picked.

pub mod gaps;
pub mod log;
mod log_parts;
pub mod picked;
pub mod put_up;
pub mod turn_sheet;
pub mod turns;

use leptos::prelude::*;
use selion_core::document::ids::{BedId, TurnId};
use selion_core::policy::Action;

use self::put_up::PutUp;
use self::turns::week_turns;
use crate::address::use_query;
use crate::browser::page;
use crate::later::{Later, later_beside, later_part, later_sheet};
use crate::parts::{ActKind, act, act_link, acts, page_head, tab_panel, tabs};
use crate::piece::{Piece, derived, memo, pieces, signal_of, watch, when};
use crate::plain::wording::week_of;
use crate::state::use_book;

/// The sheets of this screen: which is up, and about what.
#[derive(Clone, Copy, Debug)]
pub struct Sheets {
    turn: RwSignal<Option<TurnId>>,
    turn_up: RwSignal<bool>,
    log_up: RwSignal<bool>,
    log_for: RwSignal<Option<(TurnId, BedId)>>,
}

impl Sheets {
    fn open_turn(self, turn: TurnId) {
        self.turn.set(Some(turn));
        self.turn_up.set(true);
    }

    /// Begins to write down what was picked, in a turn or without one.
    fn open_log(self, turn: Option<(TurnId, BedId)>) {
        self.turn_up.set(false);
        self.log_for.set(turn);
        self.log_up.set(true);
    }
}

/// The screen.
pub fn picking_page() -> Piece {
    let book = use_book();
    let sheets = Sheets {
        turn: signal_of(None),
        turn_up: signal_of(false),
        log_up: signal_of(false),
        log_for: signal_of(None),
    };
    let putting_up = PutUp::closed();
    let chosen = signal_of("this");
    open_asked_turn(sheets, chosen);
    let this_week = memo(move || book.today.get().week());
    let next_week = memo(move || this_week.get().next());
    let label = derived(move || format!("{} · {}", book.garden_name(), week_of(this_week.get())));
    pieces![
        page_head(label, "Picking").child(act_link("/harvest", "Harvest").kind(ActKind::Bare)),
        tabs(
            "picking",
            "Which week",
            vec![("this", "This week"), ("next", "Next week")],
            chosen
        ),
        tab_panel("picking", "this", chosen).child(week_turns(this_week, sheets)),
        tab_panel("picking", "next", chosen).child(week_turns(next_week, sheets)),
        later_beside(Later::RotaGaps(putting_up)),
        act("Write down what was picked", move || sheets.open_log(None))
            .kind(ActKind::Main)
            .wide()
            .refused(move || book.why_not(Action::LogPicking, true)),
        acts()
            .child(when(
                move || book.may(Action::KeepTurns, false),
                move || act("Put up turns", move || putting_up.open(None))
            ))
            .child(act("Print", move || page::note_trouble(page::print()))),
        later_part(Later::Picked(this_week)),
        later_sheet(sheets.turn_up, Later::Turn(sheets)),
        later_sheet(sheets.log_up, Later::LogPicking(sheets)),
        later_sheet(putting_up.up, Later::PutUpTurns(putting_up))
    ]
}

// `/picking?turn=…` opens the sheet of that turn, once it is here, on the leaf of its week.
fn open_asked_turn(sheets: Sheets, chosen: RwSignal<&'static str>) {
    let book = use_book();
    let query = use_query();
    let asked = memo(move || query.get("turn")?.parse::<TurnId>().ok());
    let opened = StoredValue::new(None);
    watch(move || {
        let Some(turn) = asked.get().filter(|turn| opened.get_value() != Some(*turn)) else {
            return;
        };
        let day = book.garden.read().turn(turn).map(|(_, turn)| turn.day);
        if let Some(day) = day {
            opened.set_value(Some(turn));
            if day.week() == book.today.get_untracked().week().next() {
                chosen.set("next");
            }
            sheets.open_turn(turn);
        }
    });
}
