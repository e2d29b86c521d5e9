//! What a planting comes to, with the working of each number: plants, seed, days, what speaks against it, and what a cover
//! crop asks for and leaves.

use leptos::prelude::*;
use selion_core::document::season_plan::neighbours::Objection;
use selion_core::quantities::{Day, Units};
use selion_core::season::rotation::Weight;

use super::{Found, Shelf};
use crate::parts::{
    NoteKind, WorkingText, empty, heading, line, lines, note, title_block, working,
};
use crate::piece::{Memo, Piece, derived, el, live, pieces, when};
use crate::plain::plant_form::Preview;
use crate::plain::plant_form::preview::{CoverFacts, Facts, buy_words};
use crate::plain::plantings::rows::{brief_day, days_words};
use crate::plain::wording::counted;
use crate::state::use_book;

/// Own values that cannot be read stop everything that rests on the tables; which one it is is said.
pub fn without_books(shelf: Shelf) -> Piece {
    let words = move || shelf.with(|books| books.as_ref().err().map(ToString::to_string));
    live(move || {
        words().map(|words| {
            note()
                .kind(NoteKind::Stop)
                .lead("The garden's own crops cannot be read.")
                .child(words)
        })
    })
}

/// What the form would plan.
pub(super) fn before_it_is_kept(found: Found, shown: Memo<Option<Preview>>) -> Piece {
    let book = use_book();
    let is_there = derived(move || shown.read().is_some());
    let waits = move || found.with(|found| matches!(found, Some(Err(_)) | None));
    pieces![
        when(
            move || waits() && !is_there.get(),
            || {
                empty("Choose a crop and a day").child(el("p").child(
                "Then plants, seed, days of picking and what speaks against it stand here, before anything is kept."
            ))
            }
        ),
        live(move || {
            let (units, today) = (book.units(), book.today.get());
            shown.with(|shown| shown.as_ref().map(|shown| whole(shown, units, today)))
        })
    ]
}

fn whole(shown: &Preview, units: Units, today: Day) -> Piece {
    let Some(first) = shown.sowings.first() else {
        return Piece::Nothing;
    };
    let minds = shown
        .minds
        .iter()
        .map(|words| note().kind(NoteKind::Mind).child(words.clone()))
        .collect::<Piece>();
    pieces![
        figures_of(shown, units),
        shown.no_frost.then(no_frost),
        minds,
        against(&shown.objections),
        (shown.sowings.len() > 1).then(|| each_sowing(shown, today)),
        workings_of(first, shown.sowings.len() > 1),
        shown.buy_in_all.as_ref().map(|buy| working(
            "Working for the seed of all sowings",
            WorkingText::from(buy)
        )),
        shown.earliest.as_ref().map(|earliest| working(
            format!("When it is first sown: {}", earliest.result),
            WorkingText::from(earliest)
        )),
        fitting(shown),
        shown
            .cover
            .as_ref()
            .map(|cover| cover_answers(cover, units, today))
    ]
}

/// What is missing without frost dates, and where they are entered.
pub fn no_frost() -> Piece {
    note()
        .kind(NoteKind::Mind)
        .lead("The garden's frost dates are missing:")
        .child(
            "no last day to sow and no end by frost can be worked out. A coordinator enters them ",
        )
        .child(
            el("a")
                .attr("href", "/garden?leaf=garden")
                .child("under Garden"),
        )
        .child(".")
        .into()
}

fn figures_of(shown: &Preview, units: Units) -> Piece {
    let Some(first) = shown.sowings.first() else {
        return Piece::Nothing;
    };
    let mut entries = figures(first, units);
    if shown.sowings.len() > 1 {
        let plants = shown.sowings.iter().map(|facts| {
            let plants = facts.plants.as_ref()?.as_ref().ok()?;
            Some((plants.result.plants, plants.result.rows.len()))
        });
        if let Some(counts) = plants.collect::<Option<Vec<_>>>() {
            let plants: i64 = counts.iter().map(|(plants, _)| plants).sum();
            let rows: usize = counts.iter().map(|(_, rows)| rows).sum();
            entries.retain(|(name, _)| name == BUY);
            entries.insert(0, ("Plants".to_owned(), plants.to_string()));
            entries.insert(1, ("Rows".to_owned(), rows.to_string()));
        }
        entries.retain(|(name, _)| name != BUY);
        let buy = shown.buy_in_all.as_ref().map(|buy| buy.result.clone());
        entries.extend(buy.map(|buy| (BUY.to_owned(), buy)));
    }
    title_block(entries).into()
}

const BUY: &str = "To buy";

/// Plants, rows and what to buy, as far as they can be told.
pub fn figures(facts: &Facts, units: Units) -> Vec<(String, String)> {
    let mut entries = Vec::new();
    if let Some(Ok(plants)) = &facts.plants {
        entries.push(("Plants".to_owned(), plants.result.plants.to_string()));
        entries.push(("Rows".to_owned(), plants.result.rows.len().to_string()));
    }
    if let Ok(buy) = &facts.buy {
        entries.push((BUY.to_owned(), buy_words(&buy.result, units)));
    }
    entries
}

/// The working of plants, seed and days; where one cannot be told, why.
pub fn workings_of(facts: &Facts, of_first: bool) -> Piece {
    let title = |what: &str| {
        let which = if of_first { " of the first sowing" } else { "" };
        format!("Working for the {what}{which}")
    };
    let refused =
        |what: &'static str, why: String| note().kind(NoteKind::Mind).lead(what).child(why).into();
    let plants = facts.plants.as_ref().map(|plants| match plants {
        Ok(plants) => Piece::from(working(title("plants"), WorkingText::from(plants))),
        Err(why) => refused("Plants cannot be counted:", why.to_string()),
    });
    // Without plants there is no seed, for the same reason.
    let counted = !matches!(facts.plants, Some(Err(_)));
    let buy = match &facts.buy {
        Ok(buy) => Some(Piece::from(working(title("seed"), WorkingText::from(buy)))),
        Err(why) => counted.then(|| refused("Seed cannot be told:", why.to_string())),
    };
    let days = match &facts.days {
        Ok(days) => Piece::from(working(title("days"), WorkingText::from(days))),
        Err(why) => refused("Days cannot be told:", why.to_string()),
    };
    pieces![plants, buy, days]
}

fn each_sowing(shown: &Preview, today: Day) -> Piece {
    let one = |(number, facts): (usize, &Facts)| {
        let days = facts.days.as_ref().ok().map(|days| days.result);
        let plants = facts.plants.as_ref().and_then(|plants| {
            let count = usize::try_from(plants.as_ref().ok()?.result.plants).ok()?;
            Some(counted(count, "plant", "plants"))
        });
        line(brief_day(facts.planting.start, today))
            .bed(number.to_string())
            .small(days_words(&facts.planting, days, today))
            .child(plants.unwrap_or_default())
    };
    pieces![
        heading("Sowings"),
        lines().child((1..).zip(&shown.sowings).map(one).collect::<Piece>())
    ]
}

/// What speaks against a planting, each with the rule behind it.
pub fn against(objections: &[Objection]) -> Piece {
    let one = |objection: &Objection| {
        let (kind, lead) = match objection.weight {
            Weight::Warning => (NoteKind::Stop, "Better not:"),
            Weight::Note => (NoteKind::Mind, "Mind:"),
        };
        pieces![
            note().kind(kind).lead(lead).child(objection.words.clone()),
            working("The rule behind it", WorkingText::from(&objection.working))
        ]
    };
    objections.iter().map(one).collect()
}

fn fitting(shown: &Preview) -> Piece {
    match &shown.fitting {
        Some(Ok(fitting)) => {
            let title = format!("What the season has room for: {}", fitting.result);
            working(title, WorkingText::from(fitting)).into()
        }
        Some(Err(_)) | None => Piece::Nothing,
    }
}

/// What fits the gap, when to end it, how long to wait, and the nitrogen that it leaves.
pub fn cover_answers(cover: &CoverFacts, units: Units, today: Day) -> Piece {
    let brief = |day: Day| brief_day(day, today);
    let window = match &cover.window {
        Ok(window) => Piece::from(working(
            window.result.to_string(),
            WorkingText::from(window),
        )),
        Err(why) => Piece::from(
            note()
                .kind(NoteKind::Mind)
                .lead("When to sow cannot be told:")
                .child(why.to_string()),
        ),
    };
    let fits = cover.fit.as_ref().map(|fit| {
        let words = format!("Sow {} to {}", brief(fit.sow_from), brief(fit.sow_by));
        line(words)
            .bed("fits")
            .small("In the time there is before the next crop")
    });
    let end = cover
        .stop_when
        .as_ref()
        .map(|stop| line(format!("End it {stop}")).bed("end"));
    let by = cover.end_by.map(|day| {
        line(format!("End it by {}", brief(day)))
            .bed("by")
            .small("For the wait before the next crop that is planned here")
    });
    let free = cover.free_from.as_ref().map(|free| {
        let span = free.result.show(brief);
        pieces![
            lines().child(line(format!("Free for the next crop from {span}")).bed("wait")),
            working("Working for the wait", WorkingText::from(free))
        ]
    });
    let nitrogen = nitrogen_of(cover, units);
    pieces![
        heading("Cover crop"),
        lines().child(fits).child(end).child(by),
        window,
        free,
        nitrogen
    ]
}

fn nitrogen_of(cover: &CoverFacts, units: Units) -> Piece {
    if let Some(credit) = &cover.nitrogen {
        let span = credit.result.show(|rate| rate.show(units));
        return pieces![
            lines().child(line(format!("Nitrogen for the next crop: {span}")).bed("N")),
            working("Working for the nitrogen", WorkingText::from(credit))
        ];
    }
    let (words, small) = if cover.legume {
        (
            "Nitrogen for the next crop: not known",
            "It fixes some; the table has no confirmed figure, so put one in as an own value",
        )
    } else {
        ("No nitrogen for the next crop", "It fixes none")
    };
    lines().child(line(words).bed("N").small(small)).into()
}
