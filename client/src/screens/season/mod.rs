//! The year of all beds: drawn as bars over its weeks, told in words, and what is to be bought for it.

pub mod about;
pub mod buy;
pub mod chart;
pub mod free;
pub mod then;
pub mod told;
pub mod turn;

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::Garden;
use selion_core::document::season_plan::year_view::YearView;
use selion_core::document::season_plan::{Books, year_view};
use selion_core::policy::Action;
use selion_core::quantities::Units;

use self::about::{closed_words, facts, frost_words, nothing_planned};
use self::buy::to_buy;
use self::chart::{chart, key};
use self::free::{Free, free_sheet};
use self::told::in_words;
use crate::address::use_query;
use crate::parts::{
    self, ActKind, NoteKind, act, act_link, acts, empty, note, page_head, select_field, tab_panel,
    tabs,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, signal_of, when};
use crate::plain::year_rows::choose::{self, Choice};
use crate::plain::year_rows::scale::{Mark, marks};
use crate::plain::year_rows::{Band, Looks, bands};
use crate::screens::looker::{Looker, use_looker};
use crate::state::{Book, use_book};

/// What ties the tabs to their leaves.
const TABS: &str = "season";
const DRAWN: &str = "drawn";
const TOLD: &str = "told";
const BUY: &str = "buy";
const LEAVES: [(&str, &str); 3] = [(DRAWN, "Drawn"), (TOLD, "In words"), (BUY, "To buy")];

/// What is looked at: the year, whose beds, which crop; and who looks.
#[derive(Clone, Copy, Debug)]
pub struct Asked {
    book: Book,
    looker: Looker,
    year: RwSignal<String>,
    beds: RwSignal<String>,
    crop: RwSignal<String>,
    looks_back: bool,
}

impl Asked {
    fn year(self) -> i16 {
        let today = self.book.today.get().year();
        self.year.read().parse().unwrap_or(today)
    }

    fn choice(self) -> Choice {
        Choice::read(&self.beds.read(), &self.crop.read(), self.book.me.get())
    }

    /// Whether something can still be planned in the year.
    fn plans(self) -> bool {
        let year = self.year();
        !self.looks_back
            && year >= self.book.today.get().year()
            && choose::is_open(&self.book.garden.read(), year)
    }

    fn units(self) -> Units {
        self.book.units()
    }
}

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    year: i16,
    bands: Vec<Band>,
    marks: Vec<Mark>,
    view: Arc<YearView>,
    looks_back: bool,
}

/// The crops' tables with the garden's own values, or why they cannot be read.
type Tables = Result<Arc<Books>, String>;

/// The screen at `/season`.
pub fn season_screen() -> Piece {
    let book = use_book();
    let query = use_query();
    let asked_for = query.get_untracked("year");
    let this_year = untrack(|| book.today.get().year().to_string());
    let asked = Asked {
        book,
        looker: use_looker(),
        year: signal_of(asked_for.unwrap_or(this_year)),
        beds: signal_of(choose::ALL.to_owned()),
        crop: signal_of(choose::ALL.to_owned()),
        looks_back: false,
    };
    let leaf = query.get_untracked("show");
    let begins = LEAVES
        .into_iter()
        .find(|(key, _)| leaf.as_deref() == Some(*key));
    let chosen = signal_of(begins.map_or(DRAWN, |(key, _)| key));
    let label = derived(move || format!("Season · {}", book.garden_name()));
    let title = derived(move || format!("The year {}", asked.year()));
    let looker = asked.looker;
    el("div")
        .class_if("year-paper", move || chosen.get() == DRAWN)
        .child(
            page_head(label, title).back("/ground", "Ground").child(
                act("Print", move || looker.print())
                    .spoken("Print what is shown of the year")
                    .kind(ActKind::Bare),
            ),
        )
        .child(the_year(asked, chosen))
        .child(further())
        .into()
}

/// The year with its choices and leaves; the screen of the season and a look back share it.
pub fn the_year(asked: Asked, chosen: RwSignal<&'static str>) -> Piece {
    let book = asked.book;
    let tables = tables(book);
    let shown = shown(asked, tables);
    let free = Free::new();
    let has_beds = memo(move || !book.garden.read().open_beds().is_empty());
    let leaf = move |key: &'static str| move || chosen.get() == key;
    pieces![
        choices(asked),
        closed_words(asked),
        live(
            move || tables.with(|tables| tables.as_ref().err().map(|bad| note()
                .kind(NoteKind::Stop)
                .lead("A value of the garden’s own crops cannot be read:")
                .child(bad.clone())))
        ),
        facts(shown),
        tabs(TABS, "The year", LEAVES.to_vec(), chosen),
        when(
            move || has_beds.get(),
            move || {
                pieces![
                    tab_panel(TABS, DRAWN, chosen).child(when(leaf(DRAWN), move || pieces![
                        nothing_planned(asked, shown),
                        live(move || shown
                            .with(|shown| shown.as_ref().map(|shown| chart(shown, free)))),
                        key(),
                        frost_words(asked, shown)
                    ])),
                    tab_panel(TABS, TOLD, chosen).child(when(leaf(TOLD), move || pieces![
                        nothing_planned(asked, shown),
                        in_words(shown, free),
                        frost_words(asked, shown)
                    ])),
                    tab_panel(TABS, BUY, chosen)
                        .child(when(leaf(BUY), move || to_buy(asked, tables)))
                ]
            }
        )
        .otherwise(|| empty("No bed is drawn yet")
            .child(el("p").child("Beds are put down under Ground; then their year stands here."))
            .child(act_link("/ground", "To the ground").kind(ActKind::Main))),
        free_sheet(asked, tables, free)
    ]
}

fn tables(book: Book) -> Memo<Tables> {
    memo(move || {
        Books::of(&book.garden.read())
            .map(Arc::new)
            .map_err(|bad| bad.to_string())
    })
}

fn shown(asked: Asked, tables: Memo<Tables>) -> Memo<Option<Shown>> {
    let book = asked.book;
    let view = memo(move || {
        let books = tables.get().ok()?;
        let view = year_view::of_year(&book.garden.read(), &books, asked.year());
        Some(Arc::new(view))
    });
    memo(move || {
        let view = view.get()?;
        let (year, today) = (asked.year(), book.today.get());
        let garden: Arc<Garden> = book.garden.get();
        let looks = Looks {
            me: asked.looker.me(),
            today,
            plans: asked.plans(),
        };
        let day_is = if asked.looks_back {
            "that day"
        } else {
            "today"
        };
        Some(Shown {
            year,
            bands: bands(&garden, &view, year, looks, &asked.choice()),
            marks: marks(&view, year, (today, day_is)),
            view,
            looks_back: asked.looks_back,
        })
    })
}

fn choices(asked: Asked) -> Piece {
    let book = asked.book;
    let offered = |choices: Vec<(String, String)>| -> Vec<parts::Choice> {
        let choice = |(key, name)| parts::Choice::new(key, name);
        choices.into_iter().map(choice).collect()
    };
    let years = move || {
        let garden = book.garden.read();
        let years = choose::years(&garden, book.today.get());
        let mut named = Vec::new();
        for year in years {
            let closed = if choose::is_open(&garden, year) {
                ""
            } else {
                ", closed"
            };
            named.push(parts::Choice::new(
                year.to_string(),
                format!("{year}{closed}"),
            ));
        }
        named
    };
    let beds = move || offered(choose::bed_choices(&book.garden.read(), book.me.get()));
    let crops = move || offered(choose::crop_choices(&book.garden.read(), asked.year()));
    let year = (!asked.looks_back).then(|| select_field("Year", asked.year, years));
    el("div")
        .class("form year-choices screen-only")
        .child(year)
        .child(select_field("Beds", asked.beds, beds))
        .child(select_field("Crop", asked.crop, crops))
        .into()
}

/// Where to from here.
fn further() -> Piece {
    let book = use_book();
    acts()
        .child(when(
            move || book.may(Action::KeepGarden, false),
            || act_link("/season/turn", "Turn of the year"),
        ))
        .child(act_link("/season/then", "As it stood on a day"))
        .child(act_link("/ground", "To the ground"))
        .into()
}
