//! Claim, give back, hand over, done: what a task and a picking turn have in common.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::{ClaimId, MemberId};
use selion_core::document::records::Standing;
use selion_core::policy::Action;
use selion_core::quantities::{Day, Minutes};

use super::form::{Wrong, WrongWhole, people_choices};
use crate::parts::{
    Act, ActKind, Acts, AmountField, Choice, DateField, Form, Heading, Line, Lines, NoteField,
    Places, SelectField, SendButton, Sheet, Toasts, use_toasts,
};
use crate::plain::claims::{ClaimLine, Desk};
use crate::plain::typed::with_unit;
use crate::plain::wording::{capital, counted, place_words, stand_by, taken_of};
use crate::state::{Book, use_book};

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
#[derive(Clone, Copy)]
struct Sheets {
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
#[component]
pub fn ClaimDesk(
    /// Of which task or turn.
    of: Claimable,
) -> impl IntoView {
    let book = use_book();
    let desk = Memo::new(move |_| Desk::of(&book.garden.read(), of, book.today.get()));
    let sheets = Sheets {
        claim: RwSignal::new(None),
        done: RwSignal::new(false),
        hand_over: RwSignal::new(false),
        others: RwSignal::new(false),
    };
    let taken = Signal::derive(move || {
        let taken = desk.get().map(|desk| taken_of(desk.taken, desk.places));
        format!("Places · {} taken", taken.unwrap_or_default())
    });
    let free = move || desk.get().map_or(0, |desk| desk.free());
    let lines = move || desk.get().map(|desk| desk.claims).unwrap_or_default();
    view! {
        <Heading text=taken />
        <Lines>
            <For each=lines key=|line| (line.claim, line.words.clone()) let:line>
                <ClaimRow line=line sheets=sheets />
            </For>
            <Show when=move || free() != 0>
                <Line what=Signal::derive(move || {
                    counted(free(), "place is free", "places are free")
                })>
                    <Places total=Signal::derive(free) held=0_usize />
                </Line>
            </Show>
        </Lines>
        <MyActs of=of desk=desk sheets=sheets />
        <DoneSheet of=of desk=desk sheets=sheets />
        <HandOverSheet of=of desk=desk sheets=sheets />
        <OthersSheet of=of desk=desk sheets=sheets />
    }
}

fn my_claim(book: Book, desk: Memo<Option<Desk>>) -> Option<ClaimLine> {
    let desk = desk.get()?;
    desk.claim_of(book.me.get()).cloned()
}

// A coordinator can press the line of somebody else's claim; one's own is acted on below the lines.
#[component]
fn ClaimRow(line: ClaimLine, sheets: Sheets) -> impl IntoView {
    let book = use_book();
    let ClaimLine {
        claim,
        member,
        name,
        standing,
        words,
    } = line;
    let mine = Signal::derive(move || book.is_me(member));
    let what = Signal::derive(move || {
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
    let square =
        move || view! { <span class="places" aria-hidden="true"><i class=mark></i></span> };
    if !mine.get_untracked() && book.may(Action::KeepClaim, false) {
        let press = move |()| sheets.open(sheets.others, Some(claim));
        view! {
            <Line what=what small=small done=done on_press=Callback::new(press)>
                {square()}
            </Line>
        }
        .into_any()
    } else {
        view! { <Line what=what small=small mine=mine done=done>{square()}</Line> }.into_any()
    }
}

// The first button stays the same element whatever it says, so that the focus is kept when a claim is made.
#[component]
fn MyActs(of: Claimable, desk: Memo<Option<Desk>>, sheets: Sheets) -> impl IntoView {
    let book = use_book();
    let claims = use_claims();
    let mine = Memo::new(move |_| my_claim(book, desk).map(|line| (line.claim, line.standing)));
    let is_free = move || desk.get().is_some_and(|desk| desk.free() > 0);
    let words = Signal::derive(move || {
        match mine.get() {
            None if is_free() => "Claim a place",
            None => "Stand by",
            Some((_, Standing::Holds)) => "Done",
            Some((_, Standing::StandsBy(_))) => "Give my claim back",
            Some((_, Standing::Done)) => "Not done after all",
        }
        .to_owned()
    });
    let press = move |()| match mine.get_untracked() {
        None => claims.claim(of),
        Some((claim, Standing::Holds)) => sheets.open(sheets.done, Some(claim)),
        Some((claim, Standing::StandsBy(_))) => claims.give_back(of, claim),
        Some((claim, Standing::Done)) => claims.not_done(of, claim),
    };
    let refused = Signal::derive(move || {
        let called_off = desk.get().is_some_and(|desk| desk.is_called_off);
        match mine.get() {
            None if called_off => Some("It was called off.".to_owned()),
            None => book.why_not(Action::Claim, false),
            Some(_) => book.why_not(Action::KeepClaim, true),
        }
    });
    let holds = move || matches!(mine.get(), Some((_, Standing::Holds)));
    let with_mine = move |act: fn(Claims, Sheets, Claimable, ClaimId)| {
        if let Some((claim, _)) = mine.get_untracked() {
            act(claims, sheets, of, claim);
        }
    };
    view! {
        <Acts>
            <Act words=words kind=ActKind::Main on_press=press refused=refused />
            <Show when=holds>
                <Act
                    words="Give back"
                    on_press=move |()| with_mine(|claims, _, of, claim| claims.give_back(of, claim))
                />
                <Act
                    words="Hand over"
                    on_press=move |()| {
                        with_mine(|_, sheets, _, claim| sheets.open(sheets.hand_over, Some(claim)));
                    }
                />
            </Show>
        </Acts>
    }
}

// What a coordinator can do with somebody else's claim.
#[component]
fn OthersSheet(of: Claimable, desk: Memo<Option<Desk>>, sheets: Sheets) -> impl IntoView {
    let claims = use_claims();
    let line = move || desk.get()?.claim(sheets.claim.get()?).cloned();
    let title = Signal::derive(move || {
        line().map_or_else(String::new, |line| format!("{}: {}", line.name, line.words))
    });
    let is_done = move || line().is_some_and(|line| line.standing == Standing::Done);
    let holds = move || line().is_some_and(|line| line.standing == Standing::Holds);
    let close = move |then: fn(Claims, Sheets, Claimable, ClaimId)| {
        sheets.others.set(false);
        if let Some(claim) = sheets.claim.get_untracked() {
            then(claims, sheets, of, claim);
        }
    };
    let give_back = move |()| close(|claims, _, of, claim| claims.give_back(of, claim));
    let hand_over = move |()| close(|_, sheets, _, _| sheets.hand_over.set(true));
    let say_done = move |()| close(|_, sheets, _, _| sheets.done.set(true));
    let not_done = move |()| close(|claims, _, of, claim| claims.not_done(of, claim));
    view! {
        <Sheet open=sheets.others title=title>
            <p>"They are told when their claim is given back or handed over."</p>
            <Show
                when=move || !is_done()
                fallback=move || view! { <Acts><Act words="Not done after all" on_press=not_done /></Acts> }
            >
                <Acts>
                    <Show when=holds><Act words="Done" on_press=say_done /></Show>
                    <Act words="Hand over" on_press=hand_over />
                    <Act words="Give back" kind=ActKind::Grave on_press=give_back />
                </Acts>
            </Show>
        </Sheet>
    }
}

#[component]
fn DoneSheet(of: Claimable, desk: Memo<Option<Desk>>, sheets: Sheets) -> impl IntoView {
    let book = use_book();
    let claims = use_claims();
    let [minutes, on, word] = std::array::from_fn(|_| RwSignal::new(String::new()));
    let wrong = Wrong::new(&["minutes", "day", "word"]);
    // Each time the sheet comes up for another claim it begins with what is likely; what was typed stays otherwise.
    let begun = StoredValue::new(None);
    Effect::new(move |_| {
        let claim = sheets.claim.get();
        if sheets.done.get() && begun.get_value() != claim {
            begun.set_value(claim);
            let expected = desk.get_untracked().map(|desk| desk.expected);
            let likely = expected.filter(|expected| expected.is_positive());
            minutes.set(likely.map(Minutes::show).unwrap_or_default());
            on.set(book.today.get_untracked().to_string());
            word.set(String::new());
            wrong.clear();
        }
    });
    let send = move |()| {
        wrong.clear();
        let typed = minutes.get_untracked();
        let read = if typed.trim().is_empty() {
            Ok(Minutes::ZERO)
        } else {
            Minutes::parse(&with_unit(&typed, "min"))
        };
        let (Some(minutes), Some(on)) = (
            wrong.take("minutes", read),
            wrong.take("day", Day::parse(&on.get_untracked())),
        ) else {
            return;
        };
        let (Some(claim), Some(desk)) = (sheets.claim.get_untracked(), desk.get_untracked()) else {
            return;
        };
        let word = word.get_untracked().trim().to_owned();
        let edit = Edit::Done {
            of,
            claim,
            minutes,
            on,
            word,
        };
        if wrong.write(book, desk.document, edit) {
            sheets.done.set(false);
            begun.set_value(None);
            claims.said_done(of, claim);
        }
    };
    view! {
        <Sheet open=sheets.done title="Done">
            <Form on_send=send>
                <div class="pair">
                    <AmountField
                        label="How long it took" value=minutes unit="min" error=wrong.at("minutes")
                        help="1 h 30 min is fine too; leave it empty if it does not matter."
                    />
                    <DateField label="On" value=on error=wrong.at("day") />
                </div>
                <NoteField label="A word about it" value=word error=wrong.at("word") help="Everybody in the garden can read it." />
                <WrongWhole wrong=wrong />
                <SendButton words="It is done" />
            </Form>
        </Sheet>
    }
}

#[component]
fn HandOverSheet(of: Claimable, desk: Memo<Option<Desk>>, sheets: Sheets) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let to = RwSignal::new(String::new());
    let wrong = Wrong::new(&["person"]);
    // Whoever has a claim already cannot take another.
    let choices = Signal::derive(move || {
        let has_claim = |choice: &Choice| {
            let claims = desk.get().map(|desk| desk.claims).unwrap_or_default();
            claims
                .iter()
                .any(|line| line.member.to_string() == choice.key)
        };
        let people = people_choices(book);
        let nobody = Choice::new("", "Choose a person");
        std::iter::once(nobody)
            .chain(people.into_iter().filter(|choice| !has_claim(choice)))
            .collect::<Vec<_>>()
    });
    let send = move |()| {
        wrong.clear();
        let Ok(to_member) = to.get_untracked().parse::<MemberId>() else {
            wrong.bad(&selion_core::quantities::BadInput::new(
                "person",
                "somebody from the list",
                "",
            ));
            return;
        };
        let (Some(claim), Some(desk)) = (sheets.claim.get_untracked(), desk.get_untracked()) else {
            return;
        };
        let new_claim = book.fresh(ClaimId::fresh);
        let edit = Edit::HandOver {
            of,
            claim,
            to: to_member,
            new_claim,
        };
        if wrong.write(book, desk.document, edit) {
            sheets.hand_over.set(false);
            to.set(String::new());
            let name = book.garden.read_untracked().name_of(to_member).to_owned();
            toasts.say(format!("Handed over to {name}, who is told."));
        }
    };
    view! {
        <Sheet open=sheets.hand_over title="Hand over">
            <Form on_send=send>
                <SelectField
                    label="To whom" value=to choices=choices error=wrong.at("person")
                    help="They take the place exactly where it stands, and are told."
                />
                <WrongWhole wrong=wrong />
                <SendButton words="Hand it over" />
            </Form>
        </Sheet>
    }
}
