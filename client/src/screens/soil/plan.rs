//! What one bed is due: lime with its doses, ash in its place, compost; each answer with its working.

use std::fmt::Display;

use leptos::prelude::*;
use selion_core::document::DocumentName;
use selion_core::document::Edit;
use selion_core::document::bed_soil::newest_test;
use selion_core::document::ids::{BedId, SoilTestId};
use selion_core::document::soil_plan::{Asked, BedPlan, of_bed};
use selion_core::policy::Action;
use selion_core::quantities::{Day, Units};
use selion_core::reckoning::{Reckoning, Refusal};
use selion_core::soil::doses::DosePlan;

use super::crops::crops_of_bed;
use super::test_sheet::test_sheet;
use super::{DUG_IN, may_not_enter, placement, placements};
use crate::parts::{
    ActKind, NoteKind, WorkingText, act, act_link, acts, confirm, heading, line, lines, not_here,
    note, page_head, working,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, signal_of, when};
use crate::plain::soil_rows::test_words;
use crate::plain::wording::{capital, day_words};
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The screen at `/soil/:bed`.
pub fn soil_of_bed(id: &str) -> Piece {
    let book = use_book();
    let id = id.parse::<BedId>().ok();
    let bed = memo(move || id.filter(|bed| book.garden.read().beds.contains_key(bed)));
    live(move || match bed.get() {
        Some(bed) => one_bed(bed),
        None => not_here("bed", ("/soil", "Soil")),
    })
}

fn one_bed(bed: BedId) -> Piece {
    let book = use_book();
    let title = derived(move || {
        let garden = book.garden.read();
        format!("Soil of {}", garden.label_of(Some(bed)))
    });
    let chosen = signal_of(DUG_IN);
    let entering = signal_of(false);
    let plan = memo(move || {
        of_bed(
            &book.garden.read(),
            Asked {
                bed,
                today: book.today.get(),
                placement: placement(chosen),
            },
        )
    });
    pieces![
        page_head("Soil", title).back("/soil", "Soil"),
        test_of_bed(bed, plan, entering),
        crops_of_bed(bed),
        heading("What it is due"),
        placements(chosen),
        live(move || plan.with(|plan| answers(plan, book.units(), book.today.get()))),
        acts().child(act_link(format!("/bed/{bed}"), "To the bed’s sheet")),
        test_sheet(entering, Some(bed))
    ]
}

fn test_of_bed(bed: BedId, plan: Memo<BedPlan>, entering: RwSignal<bool>) -> Piece {
    let book = use_book();
    let words = move || test_words(&book.garden.read(), bed, book.today.get());
    let figure = move || plan.with(|plan| plan.ph.map(|ph| format!("pH {ph}")));
    let what = derived(move || words().unwrap_or_else(|| "No soil test yet".to_owned()));
    let missing = move || plan.with(|plan| plan.missing.join("; "));
    pieces![
        heading("Newest test"),
        lines().child(line(what).bed("test").child(figure)),
        when(
            move || !missing().is_empty(),
            move || note()
                .lead("Missing:")
                .child(move || format!("{}.", missing()))
        ),
        acts()
            .child(
                act("Enter a soil test", move || entering.set(true))
                    .refused(move || may_not_enter(book, Some(bed)))
            )
            .child(strike(bed))
    ]
}

// A mistake on a sheet is struck out; the sheet is then entered anew.
fn strike(bed: BedId) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let asking = signal_of(false);
    let test = memo(move || {
        let garden = book.garden.read();
        newest_test(&garden, bed).map(|(id, test)| (id, test.member))
    });
    let may = move || {
        let own = |(_, member): (SoilTestId, _)| book.is_me(member);
        test.get()
            .is_some_and(|test| book.may(Action::StrikeSoilTest, own(test)))
    };
    let yes = move || {
        if let Some((test, _)) = test.get_untracked() {
            let on = book.today.get_untracked();
            let edit = Edit::StrikeSoilTest { test, on };
            pen.write(DocumentName::Ground, edit, "The soil test is struck out.");
        }
    };
    pieces![
        when(may, move || act("Strike this test out", move || asking
            .set(true))
        .kind(ActKind::Bare)),
        confirm(asking, "Strike this soil test out?")
            .follows("It counts for none of its beds any more, and stays in the records.")
            .yes("Strike it out", yes)
            .grave()
    ]
}

/// What to spread and when comes first, what it rests on after it.
fn answers(plan: &BedPlan, units: Units, today: Day) -> Piece {
    let mut all = Vec::new();
    let mut rests_on = vec![answer("pH to aim at", &plan.target, |target| {
        format!("pH {}", target.aim)
    })];
    match &plan.lime {
        Err(refusal) => all.push(cannot_say("Lime", refusal)),
        Ok(lime) => {
            rests_on.push(shown(
                "Lime that the soil needs",
                &lime.need,
                ToString::to_string,
            ));
            match &lime.due {
                Err(refusal) => all.push(cannot_say("Lime still due", refusal)),
                Ok(due) => {
                    all.push(shown("Lime still due on this bed", &due.mass, |mass| {
                        mass.show(units)
                    }));
                    all.push(doses(&due.doses, units, today));
                    rests_on.push(said(
                        "Of the garden’s lime",
                        &due.product.result.to_string(),
                        said_once(WorkingText::from(&due.product)),
                    ));
                }
            }
        }
    }
    all.append(&mut rests_on);
    if let Some(sulfur) = &plan.sulfur {
        all.push(answer(
            "Sulfur for blueberries",
            sulfur,
            ToString::to_string,
        ));
    }
    all.push(answer(
        "Wood ash in place of lime",
        &plan.ash,
        ToString::to_string,
    ));
    all.push(answer(
        "Compost this year",
        &plan.compost,
        ToString::to_string,
    ));
    all.push(answer("Kind of stone", &plan.stone, ToString::to_string));
    all.push(answer(
        "Blossom-end rot, should it show",
        &plan.rot,
        ToString::to_string,
    ));
    Piece::Several(all)
}

fn doses(plan: &Result<Reckoning<DosePlan>, Refusal>, units: Units, today: Day) -> Piece {
    let plan = match plan {
        Ok(plan) => plan,
        Err(refusal) => return cannot_say("Doses", refusal),
    };
    let mut rows = Vec::new();
    for dose in &plan.result.doses {
        let when = capital(&format!("from {}", day_words(dose.on, today)));
        rows.push(
            line(when)
                .bed("dose")
                .small(dose.rate.show(units))
                .child(dose.mass.show(units))
                .into(),
        );
    }
    if let Some(test) = plan.result.test_from {
        rows.push(
            line(capital(&format!("from {}", day_words(test, today))))
                .bed("test")
                .small("From then on a new soil test means something")
                .into(),
        );
    }
    let warnings = |words: &String| note().kind(NoteKind::Mind).child(words.clone()).into();
    pieces![
        lines().child(Piece::Several(rows)),
        Piece::Several(plan.result.warnings.iter().map(warnings).collect()),
        working("Working for the doses", said_once(WorkingText::from(plan)))
    ]
}

/// Lime dust stands with the need already; the product and doses that follow from it do not say it again.
fn said_once(text: WorkingText) -> WorkingText {
    WorkingText {
        cautions: Vec::new(),
        ..text
    }
}

fn answer<T>(
    title: &'static str,
    found: &Result<Reckoning<T>, Refusal>,
    words: impl Fn(&T) -> String,
) -> Piece {
    match found {
        Ok(found) => shown(title, found, words),
        Err(refusal) => cannot_say(title, refusal),
    }
}

fn shown<T>(title: &'static str, found: &Reckoning<T>, words: impl Fn(&T) -> String) -> Piece {
    said(title, &words(&found.result), WorkingText::from(found))
}

fn said(title: &'static str, words: &str, text: WorkingText) -> Piece {
    let words: Vec<Piece> = words
        .lines()
        .map(|words| el("p").class("answer").child(words.to_owned()).into())
        .collect();
    pieces![
        heading(title),
        Piece::Several(words),
        working(format!("Working: {title}"), text)
    ]
}

fn cannot_say(title: &'static str, why: &impl Display) -> Piece {
    pieces![
        heading(title),
        note()
            .kind(NoteKind::Mind)
            .lead("Cannot say, because:")
            .child(why.to_string())
    ]
}
