//! What the garden has agreed on about money and shared work, and the sheet that changes it.

use leptos::prelude::*;
use selion_core::document::edit::ProfileField;
use selion_core::document::records::GardenRules;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;

use crate::parts::{
    Choice, act, acts, amount_field, check_field, form, heading, select_field, send_button, sheet,
    text_field,
};
use crate::piece::{Piece, derived, el, pieces, signal_of, when};
use crate::plain::money_rules::{BY_AREA, BY_HEAD, MIX, RulesTyped, RulesWrong, words};
use crate::screens::pen::use_pen;
use crate::state::use_book;

/// The rules as they stand.
pub fn money_rules() -> Piece {
    let book = use_book();
    let changing = signal_of(false);
    let refused = derived(move || book.why_not(Action::KeepGarden, false));
    let lines = move || {
        let profile = book.profile()?;
        let line = |(name, words): (&'static str, String)| {
            pieces![el("dt").child(name), el("dd").child(words)]
        };
        let told = words(&profile.rules, profile.currency);
        // What an hour stands for is money, which helpers see none of.
        let sees_money = book.may(Action::SeeLedger, false);
        let shown = if sees_money { told.len() } else { 1 };
        Some(told.into_iter().take(shown).map(line).collect::<Piece>())
    };
    pieces![
        heading("Money and shared work"),
        el("dl").class("facts").child(lines),
        acts().child(act("Change the money rules", move || changing.set(true)).refused(refused)),
        sheet(changing, "Money and shared work", move || rules_form(
            changing
        ))
    ]
}

fn rules_form(changing: RwSignal<bool>) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let Some(before) = untrack(|| book.profile()) else {
        return Piece::Nothing;
    };
    let currency = before.currency;
    let typed = RulesTyped::of(&before.rules, currency);
    let [due, by_area, hour] = [typed.due, typed.by_area, typed.hour].map(signal_of);
    let (in_lieu, open) = (signal_of(typed.in_lieu), signal_of(typed.open));
    let wrong = signal_of(RulesWrong::default());
    let send = move || {
        let Some(now) = untrack(|| book.profile()) else {
            return;
        };
        let typed = RulesTyped {
            due: due.get_untracked(),
            by_area: by_area.get_untracked(),
            in_lieu: in_lieu.get_untracked(),
            hour: hour.get_untracked(),
            open: open.get_untracked(),
        };
        match typed.read(currency) {
            Err(found) => wrong.set(found),
            Ok(rules) if rules == now.rules => changing.set(false),
            Ok(rules) => {
                wrong.set(RulesWrong::default());
                let said = "The money rules are changed.";
                if pen.write_with_undo(DocumentName::Ground, set(rules), said, set(now.rules)) {
                    changing.set(false);
                }
            }
        }
    };
    let ways = [
        (BY_AREA, "By bed area"),
        (BY_HEAD, "The same for everybody with a bed"),
        (MIX, "Some of each"),
    ];
    let ways = ways.map(|(key, name)| Choice::new(key, name)).to_vec();
    form(send)
        .child(select_field("Hours of shared jobs are due", due, ways)
            .help("Jobs whose hours are closed keep what was due."))
        .child(when(
            move || due.read().as_str() == MIX,
            move || text_field("Percent by bed area", by_area)
                .error(derived(move || wrong.read().by_area.clone()))
                .help("The rest is the same for everybody with a bed."),
        ))
        .child(check_field("Hours can be set against money", in_lieu)
            .help("A coordinator writes down hours done, or hours that are paid instead."))
        .child(when(
            move || in_lieu.get(),
            move || amount_field("An hour stands for", hour, currency.code())
                .error(derived(move || wrong.read().hour.clone())),
        ))
        .child(check_field("Members see each other’s accounts", open)
            .help("On screens and paper. Every member’s phone holds the ledger either way; helpers never get it."))
        .child(send_button("Keep it"))
        .into()
}

fn set(rules: GardenRules) -> Edit {
    Edit::ChangeProfile {
        set: vec![ProfileField::Rules(rules)],
    }
}
