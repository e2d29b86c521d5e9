//! The fields of one material: what it is, how much of it, how it is sold, and who pays and gets what.

use leptos::prelude::*;
use selion_core::document::ids::LineId;
use selion_core::quantities::CountedIn;
use selion_core::shares::order::{HandOut, LeftOver, ShareRule};
use selion_core::soil::doses::Placement;

use super::draft::Draft;
use super::own_amounts::own_amounts;
use super::pack_fields::pack_fields;
use crate::parts::{
    ActKind, Choice, Toasts, act, acts, amount_field, select_field, text_field, use_toasts,
};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, signal_of, watch, when};
use crate::plain::order_form::{Kind, LineBox, LineTyped, OrderBox, Origin, rate_hint};
use crate::plain::soil_rows::lime_begun;
use crate::plain::wording::capital;
use crate::screens::left_out::beds_taking_part;
use crate::state::{Book, use_book};

/// The fields of one line; where it is not the only one, it can be taken out.
pub(super) fn line_fields(draft: Draft, id: LineId, lines: Memo<Vec<LineId>>) -> Piece {
    let book = use_book();
    let kind = draft.line_choice(
        id,
        |line| line.kind.key(),
        move |line, key| {
            let kind = Kind::ALL.iter().find(|(kind, _)| kind.key() == key);
            if let Some((kind, _)) = kind {
                *line = line.turned_into(*kind, untrack(|| book.units()));
            }
        },
    );
    let kinds = Kind::ALL.map(|(kind, name)| Choice::new(kind.key(), name));
    let material = draft.line_text(id, |line| &mut line.material);
    let several = move || lines.read().len() > 1;
    let legend = move || {
        let place = lines
            .read()
            .iter()
            .position(|line| *line == id)
            .unwrap_or(0);
        let name = material.get();
        match several().then(|| place.saturating_add(1)) {
            Some(place) if name.trim().is_empty() => format!("Material {place}"),
            Some(place) => format!("{place}. {name}"),
            None => "What is bought".to_owned(),
        }
    };
    let take_out = move || {
        draft.typed.update(|typed| {
            typed.lines.remove(&id);
        });
    };
    el("fieldset")
        .class("part")
        .child(el("legend").child(legend))
        .child(
            el("div")
                .class("pair")
                .child(select_field("Kind", kind, kinds.to_vec()))
                .child(
                    text_field("Material", material)
                        .error(draft.wrong(OrderBox::Line(id, LineBox::Material))),
                ),
        )
        .child(amounts(draft, id))
        .child(pack_fields(draft, id))
        .child(usual(draft, id))
        .child(when(several, move || {
            acts().child(act("Leave this material out", take_out).kind(ActKind::Bare))
        }))
        .into()
}

// Where the amounts come from, and what that way asks for.
fn amounts(draft: Draft, id: LineId) -> Piece {
    let line = draft.line(id);
    let from = draft.line_choice(
        id,
        |line| line.from.key(),
        |line, key| {
            let origin = Origin::ALL.iter().find(|(origin, _)| origin.key() == key);
            line.from = origin.map(|(origin, _)| *origin).unwrap_or_default();
        },
    );
    let origins = derived(move || {
        // What is counted by the piece has no rate.
        let pieces = line.with(|line| line.counted_in == CountedIn::Pieces);
        let ways = Origin::ALL
            .iter()
            .filter(|(origin, _)| !(pieces && *origin == Origin::Rate));
        ways.map(|(origin, name)| Choice::new(origin.key(), *name))
            .collect::<Vec<_>>()
    });
    let origin = memo(move || line.with(|line| line.from));
    let by_area = move || origin.get() != Origin::Wishes;
    pieces![
        select_field("Where the amounts come from", from, origins),
        move || match origin.get() {
            Origin::Rate => rate(draft, id, line),
            Origin::ByBed => by_bed(draft, id, line),
            Origin::Wishes => el("p")
                .class("help")
                .child("Everybody is asked on the open load and can change it until it is closed.")
                .into(),
            Origin::Even => whole(draft, id, line),
        },
        when(by_area, move || beds_taking_part_of(draft, id))
    ]
}

fn rate(draft: Draft, id: LineId, line: Memo<LineTyped>) -> Piece {
    let book = use_book();
    let label = derived(move || {
        let by_volume = line.with(|line| line.counted_in == CountedIn::Volume);
        if by_volume { "Layer" } else { "Rate" }.to_owned()
    });
    let unit = derived(move || line.with(|line| line.rate_unit(book.units()).to_owned()));
    let hint = derived(move || line.with(|line| rate_hint(line, book.units())));
    pieces![
        amount_field(label, draft.line_text(id, |line| &mut line.rate), unit)
            .help(hint)
            .error(draft.wrong(OrderBox::Line(id, LineBox::Rate))),
        source(draft, id)
    ]
}

fn source(draft: Draft, id: LineId) -> Piece {
    text_field(
        "Where that comes from",
        draft.line_text(id, |line| &mut line.source),
    )
    .error(draft.wrong(OrderBox::Line(id, LineBox::Source)))
    .help("The soil test and its day, or a handbook; it stands in everybody's working.")
    .into()
}

fn whole(draft: Draft, id: LineId, line: Memo<LineTyped>) -> Piece {
    let book = use_book();
    let unit = derived(move || line.with(|line| line.unit(book.units()).to_owned()));
    amount_field(
        "How much in all",
        draft.line_text(id, |line| &mut line.whole),
        unit,
    )
    .error(draft.wrong(OrderBox::Line(id, LineBox::Whole)))
    .into()
}

fn by_bed(draft: Draft, id: LineId, line: Memo<LineTyped>) -> Piece {
    let is_lime =
        move || line.with(|line| line.kind == Kind::Lime && line.counted_in == CountedIn::Weight);
    let (book, toasts) = (use_book(), use_toasts());
    let take = move |placement| move || take_from_soil((book, toasts), draft, id, placement);
    pieces![
        when(is_lime, move || acts()
            .child(act("From the soil tests, dug in", take(Placement::DugIn)))
            .child(act(
                "From the soil tests, on top",
                take(Placement::OnTheSurface)
            ))),
        own_amounts(draft, id, line),
        source(draft, id)
    ]
}

fn take_from_soil((book, toasts): (Book, Toasts), draft: Draft, id: LineId, placement: Placement) {
    let due = untrack(|| {
        let shown = (book.units(), book.currency()?);
        lime_begun(&book.garden.read(), book.today.get(), placement, shown)
    });
    let Some(due) = due else {
        return toasts.say("No bed is due lime by its soil test.");
    };
    toasts.say(due.source.clone());
    draft.change_line(id, |line| {
        line.own = due.own;
        line.exact = due.exact;
        line.left_out = due.left_out;
        line.source = due.source;
    });
}

// Ticks for the beds of one line, as a set of those left out.
fn beds_taking_part_of(draft: Draft, id: LineId) -> Piece {
    let left_out = signal_of(untrack(|| {
        draft.line(id).with(|line| line.left_out.clone())
    }));
    watch(move || {
        let now = left_out.get();
        if draft.line(id).with_untracked(|line| line.left_out != now) {
            draft.change_line(id, |line| line.left_out = now);
        }
    });
    let line = draft.line(id);
    watch(move || {
        let now = line.with(|line| line.left_out.clone());
        if *left_out.read_untracked() != now {
            left_out.set(now);
        }
    });
    beds_taking_part(left_out)
}

// How it is counted, handed out and paid: what is usual for the kind stands there already.
fn usual(draft: Draft, id: LineId) -> Piece {
    let line = draft.line(id);
    let counted = draft.line_choice(
        id,
        |line| line.counted_in.key(),
        |line, key| {
            let counted = CountedIn::ALL.iter().find(|counted| counted.key() == key);
            line.counted_in = counted.copied().unwrap_or_default();
            if line.counted_in == CountedIn::Pieces && line.from == Origin::Rate {
                line.from = Origin::Wishes;
            }
        },
    );
    let rule = draft.line_choice(
        id,
        |line| line.rule.key(),
        |line, key| {
            let rule = ShareRule::ALL.iter().find(|rule| rule.key() == key);
            line.rule = rule.copied().unwrap_or_default();
        },
    );
    let counts = CountedIn::ALL.map(|counted| Choice::new(counted.key(), capital(counted.word())));
    let rules = ShareRule::ALL.map(|rule| Choice::new(rule.key(), capital(rule.words())));
    let summary = move || {
        line.with(|line| {
            format!(
                "Counted {}, paid {}",
                line.counted_in.word(),
                line.rule.words()
            )
        })
    };
    el("details")
        .class("more")
        .child(el("summary").child(summary))
        .child(select_field("Counted", counted, counts.to_vec()))
        .child(select_field("Paid", rule, rules.to_vec()))
        .child(handed_out(draft, id))
        .into()
}

// Packs opened or whole, and who gets what is left.
fn handed_out(draft: Draft, id: LineId) -> Piece {
    let line = draft.line(id);
    let left_over = draft.line_choice(
        id,
        |line| line.left_over.key(),
        |line, key| {
            line.left_over = if key == LeftOver::Shared.key() {
                LeftOver::Shared
            } else {
                LeftOver::Garden
            };
        },
    );
    let hand_out = draft.line_choice(
        id,
        |line| line.hand_out.key(),
        |line, key| {
            line.hand_out = if key == HandOut::WholePacks.key() {
                HandOut::WholePacks
            } else {
                HandOut::Loose
            };
        },
    );
    pieces![
        when(
            move || line.with(|line| !line.loose),
            move || select_field(
                "Packs are",
                hand_out,
                vec![
                    Choice::new(HandOut::Loose.key(), "Opened: everybody gets their amount"),
                    Choice::new(HandOut::WholePacks.key(), "Handed out whole"),
                ]
            ),
        ),
        select_field(
            "What is left over",
            left_over,
            vec![
                Choice::new(LeftOver::Garden.key(), "Stays in the shed, for the garden"),
                Choice::new(LeftOver::Shared.key(), "Goes to all by what they need"),
            ]
        )
    ]
}
