//! Claim, give back, hand over, done: what a task and a picking turn have in common.

pub mod sheets;

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::ClaimId;
use selion_core::document::records::Standing;
use selion_core::policy::Action;

use crate::browser::page;
use crate::later::{Later, later_sheet};
use crate::parts::{
    ActKind, Squares, TagKind, Toasts, act, acts, heading, line, lines, places, tag, use_toasts,
};
use crate::piece::{Memo, Piece, derived, each, el, memo, pieces, row, signal_of, when};
use crate::plain::claims::{ClaimLine, Desk};
use crate::plain::wording::{capital, counted, place_words, stand_by, taken_of};
use crate::state::{Book, use_book};

/// The id of the buttons below the places; the focus stays there when one of them goes away.
const CLAIM_ACTS: &str = "claim-acts";

/// Writes claims, and says with a way back what was done.
#[derive(Clone, Copy, Debug)]
pub struct Claims {
    book: Book,
    toasts: Toasts,
}

/// The claims of this page.
pub fn use_claims() -> Claims {
    Claims {
        book: use_book(),
        toasts: use_toasts(),
    }
}

impl Claims {
    /// Claims a place, or stands by when all are taken.
    pub fn claim(self, of: Claimable) {
        let claim = self.book.fresh(ClaimId::fresh);
        if !self.write(of, Edit::Claim { of, claim }) {
            return;
        }
        let standing = self
            .desk(of)
            .and_then(|desk| desk.claim(claim).map(|line| line.standing));
        let words = match standing {
            Some(Standing::StandsBy(steps)) => format!("You are {}", stand_by(steps)),
            Some(Standing::Holds | Standing::Done) | None => "Claimed".to_owned(),
        };
        self.say_with_undo(&words, of, move || {
            self.write(of, Edit::GiveBack { of, claim });
        });
    }

    /// Gives a claim back.
    pub fn give_back(self, of: Claimable, claim: ClaimId) {
        let mine = self.is_mine(of, claim);
        if !self.write(of, Edit::GiveBack { of, claim }) {
            return;
        }
        if mine {
            // A place given back may be gone: the way back is a new claim, in its turn.
            self.say_with_undo("Given back", of, move || {
                let claim = self.book.fresh(ClaimId::fresh);
                self.write(of, Edit::Claim { of, claim });
            });
        } else {
            self.toasts.say(format!("Given back: {}.", self.words(of)));
        }
    }

    /// Takes *done* back.
    pub fn not_done(self, of: Claimable, claim: ClaimId) {
        if self.write(of, Edit::NotDone { of, claim }) {
            self.toasts
                .say(format!("Not done after all: {}.", self.words(of)));
        }
    }

    fn said_done(self, of: Claimable, claim: ClaimId) {
        self.say_with_undo("Done", of, move || {
            self.write(of, Edit::NotDone { of, claim });
        });
    }

    fn desk(self, of: Claimable) -> Option<Desk> {
        Desk::of(
            &self.book.garden.read_untracked(),
            of,
            self.book.today.get_untracked(),
        )
    }

    fn is_mine(self, of: Claimable, claim: ClaimId) -> bool {
        let me = self.book.me.get_untracked();
        self.desk(of)
            .is_some_and(|desk| desk.claim(claim).map(|line| line.member) == me)
    }

    fn words(self, of: Claimable) -> String {
        place_words(
            &self.book.garden.read_untracked(),
            of,
            self.book.today.get_untracked(),
        )
    }

    fn say_with_undo(self, done: &str, of: Claimable, undo: impl Fn() + Send + Sync + 'static) {
        self.toasts
            .say_with_undo(format!("{done}: {}.", self.words(of)), undo);
    }

    fn write(self, of: Claimable, edit: Edit) -> bool {
        let Some(desk) = self.desk(of) else {
            return false;
        };
        self.book
            .write(desk.document, edit)
            .map_err(|refused| self.toasts.say(refused.message))
            .is_ok()
    }
}

/// Which sheet is up, and for which claim.
#[derive(Clone, Copy, Debug)]
pub struct Sheets {
    claim: RwSignal<Option<ClaimId>>,
    done: RwSignal<bool>,
    hand_over: RwSignal<bool>,
    others: RwSignal<bool>,
}

impl Sheets {
    fn open(self, sheet: RwSignal<bool>, claim: Option<ClaimId>) {
        self.claim.set(claim);
        sheet.set(true);
    }
}

/// The places with the names of those who claimed them, stand-bys in order, and what whoever looks can do.
pub fn claim_desk(of: Claimable) -> Piece {
    let book = use_book();
    let desk = memo(move || Desk::of(&book.garden.read(), of, book.today.get()));
    let sheets = Sheets {
        claim: signal_of(None),
        done: signal_of(false),
        hand_over: signal_of(false),
        others: signal_of(false),
    };
    let taken = derived(move || {
        let taken = desk.get().map(|desk| taken_of(desk.taken, desk.places));
        format!("Places · {} taken", taken.unwrap_or_default())
    });
    let free = move || desk.get().map_or(0, |desk| desk.free());
    let claims = move || desk.get().map(|desk| desk.claims).unwrap_or_default();
    pieces![
        heading(taken),
        lines()
            .child(each(claims, move |line| row(
                format!("{}{}", line.claim, line.words),
                move || claim_row(line, sheets)
            )))
            .child(when(
                move || free() != 0,
                move || line(move || counted(free(), "place is free", "places are free")).child(
                    places(move || Squares {
                        total: free(),
                        ..Squares::default()
                    })
                )
            )),
        my_acts(of, desk, sheets),
        later_sheet(sheets.done, Later::Done(of, desk, sheets)),
        later_sheet(sheets.hand_over, Later::HandOver(of, desk, sheets)),
        later_sheet(sheets.others, Later::OthersClaim(of, desk, sheets))
    ]
}

fn my_claim(book: Book, desk: Memo<Option<Desk>>) -> Option<ClaimLine> {
    let desk = desk.get()?;
    desk.claim_of(book.me.get()).cloned()
}

// A coordinator can press the line of somebody else's claim; one's own is acted on below the lines.
fn claim_row(claimed: ClaimLine, sheets: Sheets) -> Piece {
    let book = use_book();
    let ClaimLine {
        claim,
        member,
        name,
        standing,
        words,
    } = claimed;
    let mine = derived(move || book.is_me(member));
    let what = derived(move || {
        if mine.get() {
            "You".to_owned()
        } else {
            name.clone()
        }
    });
    let mark = match standing {
        Standing::Holds if mine.get_untracked() => "me",
        Standing::Holds | Standing::Done => "held",
        Standing::StandsBy(_) => "stand-by",
    };
    let small = capital(&words);
    let done = standing == Standing::Done;
    let square = move || {
        when(move || done, move || tag("done", TagKind::Done)).otherwise(move || {
            el("span")
                .class("places")
                .attr("aria-hidden", "true")
                .child(el("i").class(mark))
        })
    };
    if !mine.get_untracked() && untrack(|| book.may(Action::KeepClaim, false)) {
        let press = move || sheets.open(sheets.others, Some(claim));
        Piece::from(line(what).small(small).on_press(press).child(square()))
    } else {
        Piece::from(line(what).small(small).mine(mine).child(square()))
    }
}

// The first button stays the same element whatever it says, so that the focus is kept when a claim is made.
fn my_acts(of: Claimable, desk: Memo<Option<Desk>>, sheets: Sheets) -> Piece {
    let book = use_book();
    let claims = use_claims();
    let mine = memo(move || my_claim(book, desk).map(|line| (line.claim, line.standing)));
    let is_free = move || desk.get().is_some_and(|desk| desk.free() > 0);
    let free_words = match of {
        Claimable::Task(_) => "Claim a place",
        Claimable::Turn(_) => "Take the turn",
    };
    let words = derived(move || {
        match mine.get() {
            None if is_free() => free_words,
            None => "Stand by",
            Some((_, Standing::StandsBy(_))) => "Give my claim back",
            Some((_, Standing::Holds | Standing::Done)) => "Done",
        }
        .to_owned()
    });
    let press = move || match mine.get_untracked() {
        None => claims.claim(of),
        Some((claim, Standing::StandsBy(_))) => claims.give_back(of, claim),
        Some((claim, Standing::Holds | Standing::Done)) => sheets.open(sheets.done, Some(claim)),
    };
    let refused = derived(move || {
        let called_off = desk.get().is_some_and(|desk| desk.is_called_off);
        match mine.get() {
            None if called_off => Some("It was called off.".to_owned()),
            None => book.why_not(Action::Claim, false),
            Some(_) => book.why_not(Action::KeepClaim, true),
        }
    });
    let not_done = move || {
        if let Some((claim, _)) = mine.get_untracked() {
            claims.not_done(of, claim);
        }
    };
    let is_done = move || matches!(mine.get(), Some((_, Standing::Done)));
    el("div")
        .id(CLAIM_ACTS)
        .attr("tabindex", "-1")
        .child(
            acts()
                .child(
                    when(
                        move || !is_done(),
                        move || act(words, press).kind(ActKind::Main).refused(refused),
                    )
                    .otherwise(move || act("Not done after all", not_done).refused(refused)),
                )
                .child(more_acts(of, mine, sheets)),
        )
        .into()
}

/// What can be done with one's own claim besides: a stand-by is handed over as it stands, too, and whoever takes it waits
/// at the same place in the line.
fn more_acts(of: Claimable, mine: Memo<Option<(ClaimId, Standing)>>, sheets: Sheets) -> Piece {
    let claims = use_claims();
    let holds = move || matches!(mine.get(), Some((_, Standing::Holds)));
    let stands = move || {
        matches!(
            mine.get(),
            Some((_, Standing::Holds | Standing::StandsBy(_)))
        )
    };
    let claim = move || mine.get_untracked().map(|(claim, _)| claim);
    let give_back = move || {
        if let Some(claim) = claim() {
            claims.give_back(of, claim);
        }
        page::focus_in_place(CLAIM_ACTS);
    };
    pieces![
        when(holds, move || act("Give back", give_back)),
        when(stands, move || act("Hand over", move || {
            sheets.open(sheets.hand_over, claim());
        }))
    ]
}
