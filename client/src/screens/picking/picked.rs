//! What was picked this week, with a way to strike a mistake out, and the totals.

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::ids::PickingId;
use selion_core::document::records::{Picked as Became, Picking};
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;
use selion_core::quantities::{Mass, Units, Week};

use crate::parts::{
    Act, ActKind, Confirm, Empty, FigureRow, Figures, Heading, Line, Lines, Tag, TagKind,
    use_toasts,
};
use crate::plain::pickings::{CropTotal, picked_in, totals};
use crate::plain::wording::{capital, day_words};
use crate::state::{Book, use_book};

/// The pickings of a week.
#[component]
pub fn Picked(
    /// Which week.
    week: Memo<Week>,
) -> impl IntoView {
    let book = use_book();
    let pickings = Memo::new(move |_| {
        let garden = book.garden.read();
        picked_in(&garden, week.get())
            .into_iter()
            .map(|(id, picking)| (id, Arc::clone(picking)))
            .collect::<Vec<_>>()
    });
    let striking = RwSignal::new(None::<PickingId>);
    let asking = RwSignal::new(false);
    let strike = Callback::new(move |picking| {
        striking.set(Some(picking));
        asking.set(true);
    });
    view! {
        <div class="split">
        <div>
        <Heading text="Picked this week" />
        <Show
            when=move || !pickings.read().is_empty()
            fallback=|| view! {
                <Empty lead="Nothing was written down this week"><p>"Weight by weight the season adds up here."</p></Empty>
            }
        >
            <Lines>
                <For each=move || pickings.get() key=|(id, _)| *id let:picking>
                    <PickedRow id=picking.0 picking=picking.1 strike=strike />
                </For>
            </Lines>
        </Show>
        </div>
        <div>
        <Totals week=week />
        </div>
        </div>
        <Strike striking=striking open=asking />
    }
}

#[component]
fn PickedRow(id: PickingId, picking: Arc<Picking>, strike: Callback<PickingId>) -> impl IntoView {
    let book = use_book();
    let bed = {
        let bed = picking.bed;
        Signal::derive(move || book.garden.read().label_of(Some(bed)).to_owned())
    };
    let member = picking.member;
    let mass = picking.mass;
    let crop = picking.crop.clone();
    let may_strike = move || book.may(Action::StrikePicking, book.is_me(member));
    let small = Signal::derive(move || small(book, &picking));
    let weight = move || mass.show(book.units());
    let spoken = format!("Strike out {crop}, {}", mass.show(untrack(|| book.units())));
    view! {
        <Line bed=bed what=crop small=small mine=Signal::derive(move || book.is_me(member))>
            {weight}
            <Show when=move || book.waits(&id)><Tag word="waiting" kind=TagKind::Wait /></Show>
            <Show when=may_strike>
                <Act words="Strike out" spoken=spoken.clone() kind=ActKind::Bare on_press=move |()| strike.run(id) />
            </Show>
        </Line>
    }
}

fn small(book: Book, picking: &Picking) -> String {
    let who = if book.is_me(picking.member) {
        "you".to_owned()
    } else {
        book.garden.read().name_of(picking.member).to_owned()
    };
    let became = match picking.picked {
        Became::Kept => "kept",
        Became::GivenAway => "given away",
    };
    let day = capital(&day_words(picking.day, book.today.get()));
    let word = picking.word.trim();
    let parts = [day.as_str(), who.as_str(), became, word];
    parts
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(" · ")
}

#[component]
fn Totals(week: Memo<Week>) -> impl IntoView {
    let book = use_book();
    let both = Memo::new(move |_| totals(&book.garden.read(), week.get()));
    let figures = |units: Units, total: &CropTotal| {
        let shown = |mass: Mass| mass.show_apart(units).number;
        FigureRow {
            cells: vec![
                total.crop.clone(),
                shown(total.week),
                shown(total.given_away),
                shown(total.season),
            ],
            mine: false,
        }
    };
    let rows = Signal::derive(move || {
        let units = book.units();
        both.with(|(crops, _)| {
            crops
                .iter()
                .map(|total| figures(units, total))
                .collect::<Vec<_>>()
        })
    });
    let whole = Signal::derive(move || both.with(|(_, whole)| vec![figures(book.units(), whole)]));
    let caption = Signal::derive(move || {
        let unit = Mass::ZERO.show_apart(book.units()).unit;
        format!("In {unit}")
    });
    let heads = Signal::derive(move || {
        vec![
            "Crop".to_owned(),
            "Week".to_owned(),
            "given away".to_owned(),
            "Season".to_owned(),
        ]
    });
    view! {
        <Show when=move || !rows.read().is_empty()>
            <Heading text="Totals" />
            <Figures caption=caption heads=heads rows=rows whole=whole />
        </Show>
    }
}

#[component]
fn Strike(striking: RwSignal<Option<PickingId>>, open: RwSignal<bool>) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let found = move || {
        let id = striking.get()?;
        let garden = book.garden.read();
        let mut seasons = garden.seasons.iter();
        seasons.find_map(|(year, season)| {
            season
                .pickings
                .get(&id)
                .map(|picking| (id, *year, Arc::clone(picking)))
        })
    };
    let follows = Signal::derive(move || {
        found().map_or_else(String::new, |(_, _, picking)| {
            format!(
                "{} of {} does not count any more. The line stays in the garden's memory.",
                picking.mass.show(book.units()),
                picking.crop
            )
        })
    });
    let strike = move |()| {
        let Some((picking, year, _)) = untrack(found) else {
            return;
        };
        let on = book.today.get_untracked();
        if let Err(refused) = book.write(
            DocumentName::Season(year),
            Edit::StrikePicking { picking, on },
        ) {
            toasts.say(refused.message);
        }
    };
    view! { <Confirm open=open question="Strike this picking out?" follows=follows yes="Strike it out" on_yes=strike grave=true /> }
}
