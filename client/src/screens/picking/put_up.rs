//! Putting up picking turns: a bed, a first day, every so many days, and if wanted a rota over people.

use leptos::prelude::*;
use selion_core::document::Edit;
use selion_core::document::edit::{LIMITS, NewTurn};
use selion_core::document::ids::{BedId, ClaimId, MemberId, TurnId};
use selion_core::quantities::{BadInput, Day};

use crate::parts::{
    Choice, amount_field, date_field, form, select_field, send_button, sheet, use_toasts,
};
use crate::piece::{Piece, derived, each, el, live, memo, row, signal_of, watch};
use crate::plain::turns::rota;
use crate::plain::wording::{capital, counted, day_words};
use crate::screens::form::{Wrong, bed_choices, people_choices, wrong_whole};
use crate::state::{Book, use_book};

const FIELDS: &[&str] = &["bed", "day", "every", "turns"];

/// The sheet: whether it is up, and the turns that were offered to be put up on it.
#[derive(Clone, Copy, Debug)]
pub struct PutUp {
    pub(super) up: RwSignal<bool>,
    offer: RwSignal<Option<Offer>>,
}

/// Turns that would close a gap of the rota.
#[derive(Clone, Copy, Debug)]
pub struct Offer {
    /// Of which bed.
    pub bed: BedId,
    /// The first of them.
    pub first: Day,
    /// Days from turn to turn.
    pub every: i64,
    /// How many.
    pub count: usize,
}

impl PutUp {
    pub(super) fn closed() -> Self {
        Self {
            up: signal_of(false),
            offer: signal_of(None),
        }
    }

    pub(super) fn open(self, offer: Option<Offer>) {
        self.offer.set(offer);
        self.up.set(true);
    }
}

/// What has been typed; the people in the order they were chosen.
#[derive(Clone, Copy)]
struct Draft {
    bed: RwSignal<String>,
    first: RwSignal<String>,
    every: RwSignal<String>,
    count: RwSignal<String>,
    people: RwSignal<Vec<MemberId>>,
}

impl Draft {
    fn fill(self, offer: Offer) {
        self.bed.set(offer.bed.to_string());
        self.first.set(offer.first.to_string());
        self.every.set(offer.every.to_string());
        self.count.set(offer.count.to_string());
    }

    fn planned(self) -> Result<Vec<(Day, Option<MemberId>)>, BadInput> {
        let first = Day::parse(&self.first.get())?;
        let every = number("every", &self.every.get(), 60)?;
        let most = i64::try_from(LIMITS.turns).unwrap_or(0);
        let count = number("turns", &self.count.get(), most)?;
        let count = usize::try_from(count).unwrap_or(0);
        Ok(rota(first, every, count, &self.people.read()))
    }
}

fn number(field: &str, text: &str, most: i64) -> Result<i64, BadInput> {
    let read = text.trim().parse().ok();
    read.filter(|number| (1..=most).contains(number))
        .ok_or_else(|| BadInput::new(field, format!("a whole number from 1 to {most}"), text))
}

/// The sheet, for a coordinator.
pub fn put_up(PutUp { up: open, offer }: PutUp) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let text = |text: &str| signal_of(text.to_owned());
    let draft = Draft {
        bed: text(""),
        first: signal_of(book.today.get_untracked().to_string()),
        every: text("2"),
        count: text("7"),
        people: signal_of(Vec::new()),
    };
    watch(move || {
        if open.get()
            && let Some(offer) = offer.get_untracked()
        {
            draft.fill(offer);
        }
    });
    let wrong = Wrong::new(FIELDS);
    let send = move || {
        wrong.clear();
        let bed = draft.bed.get_untracked();
        let bed = bed
            .parse::<BedId>()
            .map_err(|_not_chosen| BadInput::new("bed", "a bed from the list", &bed));
        let planned = untrack(|| draft.planned()).map_err(|bad| wrong.bad(&bad));
        let (Some(bed), Ok(planned)) = (wrong.take("bed", bed), planned) else {
            return;
        };
        let count = planned.len();
        let turns = planned
            .into_iter()
            .map(|(day, holder)| NewTurn {
                turn: book.fresh(TurnId::fresh),
                bed,
                day,
                holder: holder.map(|member| (member, book.fresh(ClaimId::fresh))),
            })
            .collect();
        if wrong.write(book, untrack(|| book.season()), Edit::AddTurns { turns }) {
            open.set(false);
            draft.people.update(Vec::clear);
            toasts.say(format!("{} put up.", counted(count, "turn", "turns")));
        }
    };
    let beds = derived(move || {
        std::iter::once(Choice::new("", "Choose a bed"))
            .chain(bed_choices(book))
            .collect::<Vec<_>>()
    });
    sheet(open, "Put up picking turns", move || {
        form(send)
            .child(select_field("Bed", draft.bed, beds).error(wrong.at("bed")))
            .child(date_field("First day", draft.first).error(wrong.at("day")))
            .child(
                el("div")
                    .class("pair")
                    .child(amount_field("Every", draft.every, "days").error(wrong.at("every")))
                    .child(amount_field("How many", draft.count, "turns").error(wrong.at("turns"))),
            )
            .child(people(draft))
            .child(preview(draft))
            .child(wrong_whole(wrong))
            .child(send_button("Put them up"))
    })
}

// Chosen people take turns in the order they were touched; without any the turns stay open.
fn people(draft: Draft) -> Piece {
    let book = use_book();
    let people = memo(move || people_choices(book));
    let chip = move |Choice { key, name }: Choice| {
        let member = key.parse::<MemberId>().ok()?;
        let place = move || {
            let people = draft.people.read();
            people.iter().position(|chosen| *chosen == member)
        };
        let toggle = move || {
            draft.people.update(|people| {
                match people.iter().position(|chosen| *chosen == member) {
                    Some(at) => {
                        people.remove(at);
                    }
                    None => people.push(member),
                }
            });
        };
        Some(
            el("button")
                .attr("type", "button")
                .class("chip")
                .attr("aria-pressed", move || place().is_some().to_string())
                .on("click", toggle)
                .child(name)
                .child(move || {
                    place().map(|at| el("span").class("count").child((at + 1).to_string()))
                }),
        )
    };
    el("fieldset")
        .class("field")
        .child(el("legend").child("Who takes turns"))
        .child(el("p").class("help").child(
            "Touch people in the order they are to pick. Without anybody the \
             turns stay open to be taken.",
        ))
        .child(el("div").class("chips").child(each(
            move || people.get(),
            move |person| row(person.key.clone(), move || chip(person)),
        )))
        .into()
}

fn preview(draft: Draft) -> Piece {
    let book = use_book();
    let lines = move || {
        let planned = draft.planned().ok()?;
        Some(
            planned
                .into_iter()
                .map(|turn| words(book, turn))
                .collect::<Vec<_>>()
                .join(", "),
        )
    };
    live(move || lines().map(|lines| el("p").class("help").child(lines)))
}

fn words(book: Book, (day, holder): (Day, Option<MemberId>)) -> String {
    let day = capital(&day_words(day, book.today.get()));
    holder.map_or(day.clone(), |member| {
        format!("{day} {}", book.garden.read().name_of(member))
    })
}
